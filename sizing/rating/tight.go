package rating

import "math"

// narrow is the widest cell, as w2/w1, worth a closer bound.
const narrow = 1.3

// closer improves the bound of a narrow cell that the cheap one did not rule
// out. Every worst window starts at a rise or ends at a fall of I², and the
// content of such a window is made of straight pieces A + B·w. In u = ln w
// both h = g/w and g bend by no more than themselves (|h″| ≤ h, |g″| ≤ g for a
// constant, a memory and a power with 2q < 1), so that over a piece of a cell
// of width δ in u
//
//	A·h + B·g ≤ the larger of its two ends + δ²/8·(|A|·h(w1) + B·g(w2))
//
// and the search ends after cells of some ten percent, not of parts of one.
func (x *search) closer(s *stretch, c *cell) {
	p := x.p
	whole := math.Floor(c.w1 / p.period)
	rest1, rest2 := c.w1-whole*p.period, c.w2-whole*p.period
	if rest1 < 0 || rest2 > p.period || len(p.rises) == 0 {
		return
	}
	delta := math.Log(c.w2 / c.w1)
	b := pieces{s: s, c: c, gain: x.gain, base: whole * p.total, slack: delta * delta / 8,
		h1: s.g(c.w1) / c.w1, g2: s.g(c.w2), top: x.floor * (1 + precision)}
	least := b.top
	j := 0
	for _, i := range p.rises {
		end := p.edge[i] + rest2
		for j < 2*p.n-1 && p.edge[j+1] < end {
			j++
		}
		content := p.area[j] + p.level[j]*(end-p.edge[j]) - p.area[i]
		if b.worth(content) {
			b.afterwards(p, end, j, content)
		}
	}
	j = 0
	for _, i := range p.falls {
		from := p.edge[i+p.n] - rest2
		for p.edge[j+1] <= from {
			j++
		}
		content := p.area[i+p.n] - p.area[j] - p.level[j]*(from-p.edge[j])
		if b.worth(content) {
			b.beforehand(p, from, j, content)
		}
	}
	if b.top > least {
		c.bound = math.Min(c.bound, b.top)
	} else {
		c.bound = 0
	}
}

// pieces gathers the largest bound of utilisation² over a cell.
type pieces struct {
	s      *stretch
	c      *cell
	gain   float64
	base   float64 // A²·s of the profile in whole periods
	slack  float64
	h1, g2 float64
	top    float64
}

// worth reports whether a window that holds this at the far end of the cell
// can reach the top: it holds no more before, and h is nowhere larger than h1.
func (b *pieces) worth(content float64) bool {
	return (b.base+content)*b.gain*b.h1 > b.top
}

// afterwards walks a window of fixed start from the far end of the cell back
// to the near end; its end lies in interval j.
func (b *pieces) afterwards(p *Profile, end float64, j int, content float64) {
	w := b.c.w2
	for w > b.c.w1 {
		step := math.Min(math.Max(end-p.edge[j], 0), w-b.c.w1)
		if !b.piece(w, step, content, p.level[j]) || j == 0 {
			return
		}
		w, end, content = w-step, p.edge[j], content-p.level[j]*step
		j--
	}
}

// beforehand does the same for a window of fixed end, whose start lies in
// interval j and moves later.
func (b *pieces) beforehand(p *Profile, from float64, j int, content float64) {
	w := b.c.w2
	for w > b.c.w1 && j < 2*p.n {
		step := math.Min(math.Max(p.edge[j+1]-from, 0), w-b.c.w1)
		if !b.piece(w, step, content, p.level[j]) {
			return
		}
		w, from, content = w-step, p.edge[j+1], content-p.level[j]*step
		j++
	}
}

// piece takes one straight piece in, from w−step to w where the window holds
// content; it reports whether an earlier piece can still matter.
func (b *pieces) piece(w, step, content, level float64) bool {
	total := (b.base + content) * b.gain
	if total*b.h1 <= b.top {
		return false
	}
	level *= b.gain
	u := w - step
	far := total * b.s.g(w) / w
	near := 0.0
	if u > 0 {
		near = (total - level*step) * b.s.g(u) / u
	}
	bound := math.Max(far, near) + b.slack*(math.Abs(total-level*w)*b.h1+level*b.g2)
	b.top = math.Max(b.top, math.Min(bound, total*b.h1))
	return true
}
