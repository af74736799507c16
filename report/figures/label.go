package figures

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg/draw"
)

// edgeLabel is a label at the right edge with the place its leader meets.
type edgeLabel struct {
	text string
	tone Tone
	line *Line
	rule *Rule
	x, y float64 // page
}

// labels lists what a panel writes at its right edge.
func (p *Panel) labels() []edgeLabel {
	var out []edgeLabel
	for i := range p.Lines {
		if l := &p.Lines[i]; l.Label != "" {
			out = append(out, edgeLabel{text: l.Label, tone: l.Tone, line: l})
		}
	}
	for i := range p.Rules {
		if r := &p.Rules[i]; r.Label != "" && !r.Vertical {
			out = append(out, edgeLabel{text: r.Label, tone: r.Tone, rule: r})
		}
	}
	return out
}

// edgeLabels stacks the labels at the right edge as near to the height of
// their lines as they can stand without touching, and joins each to its line.
func (a *area) edgeLabels() {
	var list []edgeLabel
	for _, l := range a.panel.labels() {
		if l.anchor(a) {
			list = append(list, l)
		}
	}
	slices.SortStableFunc(list, func(p, q edgeLabel) int {
		switch {
		case p.y > q.y:
			return -1
		case p.y < q.y:
			return 1
		}
		return 0
	})
	ys := spread(list, a.y0, a.y1)
	for i, l := range list {
		at := a.x1 + leaderRoom
		thin := draw.LineStyle{Color: shadeOf(l.tone).rgb, Width: 0.6}
		elbow := a.x1 + 3
		if l.x > elbow {
			elbow = l.x
		}
		a.stroke(thin, points(l.x, l.y, elbow, l.y, at-2, ys[i]))
		if l.x < a.x1-1 {
			a.marks(Dot, l.tone, points(l.x, l.y))
		}
		a.write(words{l.text, smallSize, false, l.tone}, at, ys[i], left)
	}
}

// anchor finds where the leader meets the line; false when it is out of sight.
func (l *edgeLabel) anchor(a *area) bool {
	if l.rule != nil {
		l.x, l.y = a.x1, a.y.at(l.rule.At)
		return a.y.holds(l.rule.At)
	}
	if !math.IsNaN(l.line.Anchor) && l.line.Anchor != 0 {
		if y, ok := l.line.at(l.line.Anchor); ok && a.y.holds(y) && a.x.holds(l.line.Anchor) {
			l.x, l.y = a.x.at(l.line.Anchor), a.y.at(y)
			return true
		}
	}
	parts := a.visible(l.line)
	if len(parts) == 0 || len(parts[len(parts)-1]) == 0 {
		return false
	}
	last := parts[len(parts)-1]
	l.x, l.y = float64(last[len(last)-1].X), float64(last[len(last)-1].Y)
	return true
}

// at reads the line at an x.
func (l *Line) at(x float64) (float64, bool) {
	for i := 1; i < len(l.X); i++ {
		if (x-l.X[i-1])*(x-l.X[i]) <= 0 && l.X[i] != l.X[i-1] {
			return l.Y[i-1] + (l.Y[i]-l.Y[i-1])*(x-l.X[i-1])/(l.X[i]-l.X[i-1]), true
		}
	}
	return 0, false
}

// spread moves heights, sorted from the top, apart to a line's gap each, as
// little as that allows, between a floor and a ceiling: clusters are joined
// until none touches the next.
func spread(list []edgeLabel, floor, ceiling float64) []float64 {
	type cluster struct {
		sum   float64 // of the wishes, each less its place in the cluster
		n     int
		first int
	}
	top := func(c cluster) float64 {
		t := c.sum / float64(c.n)
		t = math.Min(t, ceiling)
		return math.Max(t, floor+lineGap*float64(c.n-1))
	}
	var cs []cluster
	for i, l := range list {
		cs = append(cs, cluster{l.y, 1, i})
		for len(cs) > 1 {
			p, q := cs[len(cs)-2], cs[len(cs)-1]
			if top(p)-lineGap*float64(p.n) >= top(q) {
				break
			}
			p.sum += q.sum + lineGap*float64(p.n*q.n)
			p.n += q.n
			cs = append(cs[:len(cs)-2], p)
		}
	}
	ys := make([]float64, len(list))
	for _, c := range cs {
		for k := range c.n {
			ys[c.first+k] = top(c) - lineGap*float64(k)
		}
	}
	return ys
}

// verticalLabels write beside vertical rules, each at the first height from
// the top at which it touches nothing.
func (a *area) verticalLabels() {
	in := box{x0: a.x0, x1: a.x1, y0: a.y0 + 2, y1: a.y1}
	for _, r := range a.panel.Rules {
		if !r.Vertical || r.Label == "" || !a.x.holds(r.At) {
			continue
		}
		w := words{r.Label, smallSize, false, r.Tone}
		for y := a.y1 - 8; y > a.y0+8; y -= 4 {
			x := a.x.at(r.At)
			if b := a.room(w, x+4, y, left); a.free(b, in) && !a.crossed(b, r.At) {
				a.write(w, x+4, y, left)
				break
			}
			if b := a.room(w, x-4, y, right); a.free(b, in) && !a.crossed(b, r.At) {
				a.write(w, x-4, y, right)
				break
			}
		}
	}
}

// crossed reports whether another vertical rule runs through a room.
func (a *area) crossed(b box, own float64) bool {
	for _, r := range a.panel.Rules {
		if r.Vertical && r.At != own && a.x.holds(r.At) {
			if x := a.x.at(r.At); x > b.x0-2 && x < b.x1+2 {
				return true
			}
		}
	}
	return false
}

// pointLabels set each point's label at the nearest free place around it.
func (a *area) pointLabels() {
	in := box{x0: a.x0, x1: a.x1 + leaderRoom, y0: a.y0, y1: a.y1}
	for _, q := range a.panel.Points {
		if q.Label == "" || !a.x.holds(q.X) || !a.y.holds(q.Y) {
			continue
		}
		x, y := a.x.at(q.X), a.y.at(q.Y)
		w := words{q.Label, smallSize, true, q.Tone}
		a.around(w, x, y, in)
	}
}

// around tries eight sides at growing distance: first for a place that no rule
// crosses and no other point lies under, then for one that is only free of text.
// A label that had to go far is joined to its point.
func (a *area) around(w words, x, y float64, in box) {
	dirs := [...][2]float64{{1, 0.6}, {-1, 0.6}, {1, -0.6}, {-1, -0.6}, {0, 1}, {0, -1}, {1, 0}, {-1, 0}}
	for _, strict := range []bool{true, false} {
		for far := 7.0; far < 70; far += 5 {
			for _, d := range dirs {
				side := centre
				if d[0] > 0 {
					side = left
				} else if d[0] < 0 {
					side = right
				}
				tx, ty := x+d[0]*far, y+d[1]*far*1.4
				b := a.room(w, tx, ty, side)
				if !a.free(b, in) || a.onPoint(b, !strict) || strict && a.crossed(b, math.NaN()) {
					continue
				}
				if far > 13 {
					a.stroke(draw.LineStyle{Color: shadeOf(w.tone).rgb, Width: 0.6}, points(x, y, tx-d[0]*2, ty))
				}
				a.write(w, tx, ty, side)
				return
			}
			if strict && far > 25 {
				break
			}
		}
	}
}

// onPoint reports whether a room covers a point, or only a labelled one.
func (a *area) onPoint(b box, labelled bool) bool {
	for _, q := range a.panel.Points {
		if q.Label == "" && labelled || !a.x.holds(q.X) || !a.y.holds(q.Y) {
			continue
		}
		if x, y := a.x.at(q.X), a.y.at(q.Y); x > b.x0-3 && x < b.x1+3 && y > b.y0-2 && y < b.y1+2 {
			return true
		}
	}
	return false
}
