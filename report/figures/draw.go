package figures

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Heights of what stands around a plotted area, points.
const (
	headRoom   = 22 // heading above it
	spanRoom   = 14 // strip of span labels
	tickRoom   = 17 // numbers below it
	axisRoom   = 17 // name of the x axis
	pageMargin = 4
)

func (f *Figure) plotHeight(i int) float64 {
	switch {
	case f.Panels[i].Height > 0:
		return f.Panels[i].Height
	case len(f.Panels) == 1:
		return 230
	}
	return 96
}

// Size is the picture's width and height in points.
func (f *Figure) Size() (width, height float64) {
	if len(f.Panels) == 0 {
		return pageWidth, chainHeight(f.Chain)
	}
	h := 2.0 * pageMargin
	for i := range f.Panels {
		h += headRoom + f.plotHeight(i) + tickRoom
		if f.Panels[i].strip() {
			h += spanRoom
		}
		if f.ownX(i) {
			h += axisRoom
		}
	}
	return pageWidth, h
}

// ownX reports whether a panel prints the name of its x axis: the last one
// does, and one whose axis differs from the next one's.
func (f *Figure) ownX(i int) bool {
	return i == len(f.Panels)-1 || f.Panels[i].X.Label != f.Panels[i+1].X.Label
}

// draw puts the figure on a canvas and returns where its text stands.
func (f *Figure) draw(c draw.Canvas) []box {
	w, h := f.Size()
	p := &pen{c: c, face: newTypeface(), w: w, h: h}
	if len(f.Panels) == 0 {
		p.chain(f.Chain)
		return p.boxes
	}
	left, right := f.margins(p)
	top := h - pageMargin
	for i := range f.Panels {
		a := &area{pen: p, panel: &f.Panels[i], x0: left, x1: w - right}
		top -= headRoom
		if a.panel.strip() {
			top -= spanRoom
		}
		a.y1, a.y0 = top, top-f.plotHeight(i)
		a.named = f.ownX(i)
		a.scale()
		a.paint()
		top = a.y0 - tickRoom
		if a.named {
			top -= axisRoom
		}
	}
	return p.boxes
}

// margins are the same for all panels, so that their x axes stand over one
// another.
func (f *Figure) margins(p *pen) (left, right float64) {
	right = 10
	for i := range f.Panels {
		pan := &f.Panels[i]
		_, y := pan.reaches()
		for _, t := range pan.Y.ranged(y, 0, 1, tickCount(f.plotHeight(i))).ticks(tickCount(f.plotHeight(i))) {
			left = math.Max(left, p.width(words{text: t.label, size: smallSize}))
		}
		for _, l := range pan.labels() {
			right = math.Max(right, p.width(words{text: l.text, size: smallSize})+leaderRoom+2)
		}
	}
	return left + 9, right
}

func tickCount(height float64) int { return max(2, int(height/32)) }

// area is one panel being drawn.
type area struct {
	*pen
	panel          *Panel
	x0, x1, y0, y1 float64
	x, y           scale
	named          bool
}

func (a *area) scale() {
	x, y := a.panel.reaches()
	a.x = a.panel.X.ranged(x, a.x0, a.x1, 6)
	if a.panel.X.Min == a.panel.X.Max && !a.panel.X.Log && x.min < x.max && len(a.panel.Spans) > 0 {
		a.x.min, a.x.max = x.min, x.max // time ends with the cycle
	}
	a.y = a.panel.Y.ranged(y, a.y0, a.y1, tickCount(a.y1-a.y0))
}

func (a *area) paint() {
	a.spans()
	a.grid()
	for _, b := range a.panel.Bands {
		a.band(b)
	}
	for _, r := range a.panel.Rules {
		a.rule(r)
	}
	for i := range a.panel.Lines {
		l := &a.panel.Lines[i]
		wide := 1.3
		if l.Heavy {
			wide = 2.1
		}
		for _, part := range a.visible(l) {
			a.stroke(lineStyle(l.Tone, l.Dash, wide), part)
		}
	}
	a.spots()
	a.write(words{a.panel.Heading, textSize, true, Ink}, 2, a.top()+13, left)
	a.edgeLabels()
	a.verticalLabels()
	a.pointLabels()
}

// top is the upper edge of the panel without its heading.
func (a *area) top() float64 {
	if a.panel.strip() {
		return a.y1 + spanRoom
	}
	return a.y1
}

// spans shades every second stretch and labels those with room for it.
func (a *area) spans() {
	for i, s := range a.panel.Spans {
		x0, x1 := a.x.at(s.From), a.x.at(s.To)
		if i%2 == 0 {
			a.fill(spanShade(), 1, points(x0, a.y0, x1, a.y0, x1, a.top(), x0, a.top()))
		}
		w := words{s.Label, smallSize, false, Grey}
		if a.width(w)+2 <= x1-x0 && a.free(a.room(w, (x0+x1)/2, a.y1+spanRoom/2, centre), box{x1: a.w, y1: a.h}) {
			a.write(w, (x0+x1)/2, a.y1+spanRoom/2, centre)
		}
	}
}

// grid draws the pale lines, the ticks' numbers and the frame.
func (a *area) grid() {
	pale := draw.LineStyle{Color: gridShade().rgb, Width: 0.7}
	frame := draw.LineStyle{Color: shadeOf(Grey).rgb, Width: 0.8}
	for _, t := range a.y.ticks(tickCount(a.y1 - a.y0)) {
		y := a.y.at(t.at)
		a.stroke(pale, points(a.x0, y, a.x1, y))
		a.write(words{t.label, smallSize, false, Ink}, a.x0-4, y, right)
	}
	last := math.Inf(-1)
	for _, t := range a.x.ticks(6) {
		x := a.x.at(t.at)
		a.stroke(pale, points(x, a.y0, x, a.y1))
		w := words{t.label, smallSize, false, Ink}
		if b := a.room(w, x, 0, centre); t.label != "" && b.x0 > last+3 {
			a.write(w, x, a.y0-9, centre)
			last = b.x1
		}
	}
	if !a.y.log && a.y.min < 0 && a.y.max > 0 {
		y := a.y.at(0)
		a.stroke(frame, points(a.x0, y, a.x1, y))
	}
	a.stroke(frame, points(a.x0, a.y1, a.x0, a.y0, a.x1, a.y0))
	if a.named {
		a.write(words{a.panel.X.Label, smallSize, true, Ink}, a.x1, a.y0-tickRoom-7, right)
	}
}

func (a *area) band(b Band) {
	var up, down []vg.Point
	for i := range b.X {
		x, lo, hi := a.x.at(b.X[i]), a.y.at(a.clampY(b.Low[i])), a.y.at(a.clampY(b.High[i]))
		up = append(up, vg.Point{X: vg.Length(x), Y: vg.Length(hi)})
		down = append(down, vg.Point{X: vg.Length(x), Y: vg.Length(lo)})
	}
	for i := len(down) - 1; i >= 0; i-- {
		up = append(up, down[i])
	}
	a.fill(shadeOf(b.Tone), 0.16, up)
}

func (a *area) clampY(y float64) float64 { return math.Min(a.y.max, math.Max(a.y.min, y)) }

func (a *area) rule(r Rule) {
	sty := lineStyle(r.Tone, r.Dash, 1)
	if r.Vertical {
		if a.x.holds(r.At) {
			a.stroke(sty, points(a.x.at(r.At), a.y0, a.x.at(r.At), a.y1))
		}
		return
	}
	if a.y.holds(r.At) {
		a.stroke(sty, points(a.x0, a.y.at(r.At), a.x1, a.y.at(r.At)))
	}
}

// visible is a line's course inside the plotted area, thinned to what the page
// can show.
func (a *area) visible(l *Line) [][]vg.Point {
	var pts []vg.Point
	for i := range l.X {
		if math.IsNaN(l.Y[i]) || a.x.log && l.X[i] <= 0 || a.y.log && l.Y[i] <= 0 {
			continue
		}
		pts = append(pts, vg.Point{X: vg.Length(a.x.at(l.X[i])), Y: vg.Length(a.y.at(l.Y[i]))})
	}
	inner := draw.Canvas{Canvas: a.c.Canvas, Rectangle: vg.Rectangle{
		Min: vg.Point{X: vg.Length(a.x0 - 0.01), Y: vg.Length(a.y0 - 0.01)}, Max: vg.Point{X: vg.Length(a.x1 + 0.01), Y: vg.Length(a.y1 + 0.01)}}}
	return inner.ClipLinesXY(thinned(pts))
}

// thinned drops points that lie within a fifth of a point of the straight line
// between those kept (Douglas and Peucker's rule).
func thinned(pts []vg.Point) []vg.Point {
	if len(pts) < 3 {
		return pts
	}
	a, b := pts[0], pts[len(pts)-1]
	far, at := 0.0, 0
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	long := math.Hypot(dx, dy)
	for i := 1; i < len(pts)-1; i++ {
		ex, ey := float64(pts[i].X-a.X), float64(pts[i].Y-a.Y)
		d := math.Hypot(ex, ey)
		if long > 0 {
			along := math.Min(1, math.Max(0, (ex*dx+ey*dy)/(long*long)))
			d = math.Hypot(ex-along*dx, ey-along*dy)
		}
		if d > far {
			far, at = d, i
		}
	}
	if far < 0.2 {
		return []vg.Point{a, b}
	}
	head := thinned(pts[:at+1])
	return append(head[:len(head)-1:len(head)-1], thinned(pts[at:])...)
}

// spots draws the points, one path for each look.
func (a *area) spots() {
	type look struct {
		m Mark
		t Tone
	}
	var order []look
	at := map[look][]vg.Point{}
	for _, q := range a.panel.Points {
		if !a.x.holds(q.X) || !a.y.holds(q.Y) {
			continue
		}
		k := look{q.Mark, q.Tone}
		if at[k] == nil {
			order = append(order, k)
		}
		at[k] = append(at[k], vg.Point{X: vg.Length(a.x.at(q.X)), Y: vg.Length(a.y.at(q.Y))})
	}
	for _, k := range order {
		a.marks(k.m, k.t, at[k])
	}
}
