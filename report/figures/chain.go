package figures

import (
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
)

// Measures of the current-path drawing, points.
const (
	linkHeight = 58
	spineX     = 26  // the conductor runs down here
	linkText   = 58  // names and sentences start here
	barX       = 296 // bars of use
	barWidth   = 56  // at 100 %
)

func chainHeight(links []Link) float64 { return float64(len(links))*linkHeight + 26 }

// chain draws the current path from the pack down to the motor: a symbol, the
// name and the worst figure of each element, and a bar of how much of what it
// stands is used.
func (p *pen) chain(links []Link) {
	top := p.h - 22
	p.write(words{"used", smallSize, true, Ink}, barX, p.h-9, left)
	full := barX + barWidth
	p.stroke(lineStyle(Grey, Short, 0.9), points(float64(full), top, float64(full), 4))
	p.write(words{"100 %", smallSize, false, Grey}, float64(full), p.h-9, centre)
	if n := len(links); n > 1 {
		y := top - linkHeight/2
		p.stroke(lineStyle(Ink, Solid, 1.4), points(spineX, y, spineX, y-float64(n-1)*linkHeight))
	}
	for i, l := range links {
		y := top - (float64(i)+0.5)*linkHeight
		p.symbol(l.Name, y)
		p.write(words{l.Name, textSize, true, Ink}, linkText, y+18, left)
		for k, line := range p.wrapped(l.Words, barX-linkText-8) {
			p.write(words{line, smallSize, false, Ink}, linkText, y+4-12*float64(k), left)
		}
		p.use(l, y)
	}
}

// use draws the bar of one element; beyond 120 % it ends in an open edge.
func (p *pen) use(l Link, y float64) {
	if math.IsNaN(l.Used) {
		p.write(words{"not known", smallSize, false, Grey}, barX, y+18, left)
		return
	}
	tone := Blue
	if l.Used > 1 {
		tone = Rust
	}
	wide := barWidth * math.Min(l.Used, 1.2)
	frame := points(barX, y, barX+wide, y, barX+wide, y+9, barX, y+9)
	p.fill(shadeOf(tone), 1, frame)
	p.write(words{Sig(100*l.Used) + " %", smallSize, true, tone}, barX, y+18, left)
}

// symbol draws an element on the conductor.
func (p *pen) symbol(name string, y float64) {
	ink := lineStyle(Ink, Solid, 1.4)
	paper := spanShade()
	frame := func(w, h float64) {
		pts := points(spineX-w, y-h, spineX+w, y-h, spineX+w, y+h, spineX-w, y+h, spineX-w, y-h)
		p.fill(paper, 1, pts)
		p.stroke(ink, pts)
	}
	switch name {
	case "battery":
		p.fill(paper, 1, points(spineX-14, y-7, spineX+14, y-7, spineX+14, y+7, spineX-14, y+7))
		for i, half := range []float64{13, 7, 13, 7} {
			yy := y + 6 - 4*float64(i)
			p.stroke(ink, points(spineX-half, yy, spineX+half, yy))
		}
	case "fuse":
		frame(6, 13)
		p.stroke(ink, points(spineX, y-13, spineX, y+13))
	case "connector":
		p.fill(paper, 1, points(spineX-6, y-6, spineX+6, y-6, spineX+6, y+6, spineX-6, y+6))
		p.stroke(ink, points(spineX-7, y+7, spineX, y, spineX+7, y+7))
		p.stroke(ink, points(spineX-7, y+1, spineX, y-6, spineX+7, y+1))
	case "supply lead", "motor lead":
		p.stroke(lineStyle(Ink, Solid, 3.2), points(spineX, y-12, spineX, y+12))
		p.stroke(ink, points(spineX-8, y-4, spineX+8, y+4))
	case "motor":
		var path vg.Path
		const r = 14
		path.Move(vg.Point{X: spineX + r, Y: vg.Length(y)})
		path.Arc(vg.Point{X: spineX, Y: vg.Length(y)}, r, 0, 2*math.Pi)
		path.Close()
		p.c.SetColor(paper.rgb)
		p.c.Fill(path)
		p.c.SetLineStyle(ink)
		p.c.Stroke(path)
		p.write(words{"M", textSize, true, Ink}, spineX, y, centre)
	case "controller":
		frame(15, 12)
		p.stroke(ink, points(spineX-10, y-5, spineX-5, y-5, spineX-5, y+5, spineX+1, y+5, spineX+1, y-5, spineX+5, y-5, spineX+5, y+5, spineX+10, y+5))
	default:
		frame(15, 11)
	}
}

// wrapped breaks a sentence into lines no wider than the room beside the bars;
// what stands in brackets at its end is left to the table.
func (p *pen) wrapped(sentence string, room float64) []string {
	if i := strings.LastIndex(sentence, " ("); i > 0 && strings.HasSuffix(sentence, ")") {
		sentence = sentence[:i]
	}
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(sentence) {
		next := strings.TrimSpace(line + " " + word)
		if line != "" && p.width(words{text: next, size: smallSize}) > room {
			lines = append(lines, line)
			next = word
		}
		line = next
	}
	return append(lines, line)
}
