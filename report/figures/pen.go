package figures

import (
	"math"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// box is the room a piece of text takes, in points from the lower left.
type box struct {
	text           string
	x0, y0, x1, y1 float64
}

func (b box) hits(o box) bool {
	const gap = 0.5
	return b.x0 < o.x1+gap && o.x0 < b.x1+gap && b.y0 < o.y1-gap && o.y0 < b.y1-gap
}

// slack widens measured text: a viewer may put another sans face in its place.
const slack = 1.06

// pen draws on a canvas and remembers where text stands.
type pen struct {
	c     draw.Canvas
	face  typeface
	boxes []box
	w, h  float64
}

// align says which end of a text its x coordinate is.
type align uint8

const (
	left align = iota
	centre
	right
)

// words is a text with its look.
type words struct {
	text string
	size float64
	bold bool
	tone Tone
}

func (p *pen) width(w words) float64 {
	return float64(p.face.style(w.size, w.bold, w.tone).Width(w.text)) * slack
}

// room is where a text would stand with the middle of its small letters at y.
func (p *pen) room(w words, x, y float64, a align) box {
	wide := p.width(w)
	switch a {
	case centre:
		x -= wide / 2
	case right:
		x -= wide
	}
	return box{w.text, x, y - 0.62*w.size, x + wide, y + 0.62*w.size}
}

// write sets a text at its room.
func (p *pen) write(w words, x, y float64, a align) {
	if w.text == "" {
		return
	}
	b := p.room(w, x, y, a)
	p.boxes = append(p.boxes, b)
	sty := p.face.style(w.size, w.bold, w.tone)
	sty.XAlign, sty.YAlign = text.XLeft, text.YBottom
	at := b.x0
	if a == right {
		at = b.x1 - (b.x1-b.x0)/slack
	} else if a == centre {
		at = b.x0 + (b.x1-b.x0)*(1-1/slack)/2
	}
	// Baseline a third of the size below the middle.
	p.c.SetColor(sty.Color)
	p.c.FillString(p.face.cache.Lookup(sty.Font, sty.Font.Size), vg.Point{X: vg.Length(at), Y: vg.Length(y - 0.34*w.size)}, w.text)
}

// free reports whether a room meets no text set so far and stays on the page.
func (p *pen) free(b box, within box) bool {
	if b.x0 < within.x0 || b.x1 > within.x1 || b.y0 < within.y0 || b.y1 > within.y1 {
		return false
	}
	for _, o := range p.boxes {
		if b.hits(o) {
			return false
		}
	}
	return true
}

func points(xy ...float64) []vg.Point {
	out := make([]vg.Point, 0, len(xy)/2)
	for i := 0; i+1 < len(xy); i += 2 {
		out = append(out, vg.Point{X: vg.Length(xy[i]), Y: vg.Length(xy[i+1])})
	}
	return out
}

func (p *pen) stroke(sty draw.LineStyle, pts []vg.Point) {
	if len(pts) > 1 {
		p.c.StrokeLines(sty, pts)
	}
}

func (p *pen) fill(s shade, alpha float64, pts []vg.Point) {
	c := s.rgb
	c.A = uint8(math.Round(255 * alpha))
	p.c.FillPolygon(c, pts)
}

// marks draws points of one shape and tone as one path, which keeps large
// fields small.
func (p *pen) marks(m Mark, t Tone, at []vg.Point) {
	if len(at) == 0 {
		return
	}
	var path vg.Path
	for _, q := range at {
		switch m {
		case Disc, Ring, Dot:
			r := map[Mark]vg.Length{Disc: 3.4, Ring: 3.2, Dot: 1.7}[m]
			path.Move(vg.Point{X: q.X + r, Y: q.Y})
			path.Arc(q, r, 0, 2*math.Pi)
			path.Close()
		case Cross, BigCross:
			r := map[Mark]vg.Length{Cross: 1.5, BigCross: 3}[m]
			path.Move(vg.Point{X: q.X - r, Y: q.Y - r})
			path.Line(vg.Point{X: q.X + r, Y: q.Y + r})
			path.Move(vg.Point{X: q.X - r, Y: q.Y + r})
			path.Line(vg.Point{X: q.X + r, Y: q.Y - r})
		case Diamond:
			const r = 5.5
			path.Move(vg.Point{X: q.X - r, Y: q.Y})
			path.Line(vg.Point{X: q.X, Y: q.Y + r})
			path.Line(vg.Point{X: q.X + r, Y: q.Y})
			path.Line(vg.Point{X: q.X, Y: q.Y - r})
			path.Close()
		}
	}
	p.c.SetLineDash(nil, 0)
	p.c.SetColor(shadeOf(t).rgb)
	switch m {
	case Ring:
		p.c.SetLineWidth(1.3)
		p.c.Stroke(path)
	case Cross, BigCross:
		p.c.SetLineWidth(map[Mark]vg.Length{Cross: 0.6, BigCross: 1.2}[m])
		p.c.Stroke(path)
	default:
		p.c.Fill(path)
	}
}
