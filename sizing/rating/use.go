package rating

import "math"

// Use is how far a duty uses an element up.
type Use struct {
	Utilisation float64 // worst of E/C over all windows and of the memory; 1 is the limit
	WorstWindow float64 // s, the window of the worst E/C; the memory τ when ByMemory
	Value       float64 // A: E there, or √max y when ByMemory
	Limit       float64 // A: C there, or the continuous current when ByMemory
	At          float64 // s in the cycle: where that window starts, or where y is largest
	ByMemory    bool    // the memory, not one window, decides
}

// precision of the search in utilisation²: 0.08 % in utilisation.
const precision = 0.0016

// settled is the number of τ after which C counts as the continuous current
// (it is within 0.007 %).
const settled = 9

// Use returns how far the profile, times scale (amperes of the element per
// ampere of the profile), uses up an element that stands s: the largest E/C
// over all windows from 10 ms to longest (s; less counts as 10 ms), not only
// those of a grid, and, where the element has a memory τ, √max y/Ic from
// τ·dy/dt = I² − y in the periodic state, so that pre-load counts; whichever
// is larger. Within 0.1 %.
//
// An element that stands nothing is used up infinitely by any current. An
// empty profile uses nothing.
func (p *Profile) Use(s Withstand, scale, longest float64) Use {
	p.ready()
	x := search{p: p, gain: scale * scale}
	if p.n == 0 || p.peak*x.gain == 0 {
		limit := s.At(ShortestWindow)
		return Use{WorstWindow: ShortestWindow, Limit: limit}
	}
	longest = math.Max(longest, ShortestWindow)
	var memory Use
	if s.Fuse == nil && s.Tau > 0 {
		y, at := p.memory(s.Tau)
		value := math.Sqrt(y * x.gain)
		memory = Use{value / s.Continuous, s.Tau, value, s.Continuous, at, true}
		x.floor = memory.Utilisation * memory.Utilisation
	}
	x.all(s, longest)
	if x.window == 0 || x.best <= memory.Utilisation*memory.Utilisation {
		return memory
	}
	amp, at := p.Envelope(x.window)
	amp *= math.Abs(scale)
	limit := s.At(x.window)
	return Use{amp / limit, x.window, amp, limit, at, false}
}

// memory returns the largest y (A²) of the periodic state of
// τ·dy/dt = I² − y and the time of it. Inside an interval y only moves toward
// I², so the largest stands at an edge.
func (p *Profile) memory(tau float64) (y, at float64) {
	var after float64 // y after one cycle from nothing
	for i := range p.n {
		k := oneMinusExp((p.edge[i+1] - p.edge[i]) / tau)
		after += (p.level[i] - after) * k
	}
	y = after / oneMinusExp(p.period/tau)
	now := y
	for i := range p.n {
		k := oneMinusExp((p.edge[i+1] - p.edge[i]) / tau)
		now += (p.level[i] - now) * k
		if now > y {
			y, at = now, p.edge[i+1]
		}
	}
	return y, at
}

// stretch is a range of windows over which C has one form, given by
// g(w) = 1/C². Flat: C constant. With tau: the memory form. Else C ∝ w^−q.
type stretch struct {
	from, to float64 // s
	c        float64 // A: constant, continuous, or the current at from
	tau      float64 // s
	twoQ     float64
}

func (s *stretch) g(w float64) float64 {
	g := 1 / (s.c * s.c)
	switch {
	case s.tau > 0:
		g *= oneMinusExp(w / s.tau)
	case s.twoQ == 1:
		g *= w / s.from
	case s.twoQ != 0:
		g *= math.Exp(s.twoQ * math.Log(w/s.from))
	}
	return g
}

// search keeps the best window found. With W(w) the largest ∫I² of a window w,
// utilisation² is W(w)·g(w)/w.
type search struct {
	p      *Profile
	gain   float64 // scale²
	floor  float64 // utilisation² already reached otherwise
	best   float64 // utilisation²
	window float64 // s
}

// try weighs one window and returns its content W in A²·s of the element.
func (x *search) try(w, g float64) float64 {
	if x.p.n == 0 {
		return 0
	}
	content, _ := x.p.worst(w)
	content *= x.gain
	if u := content * g / w; u > x.best || x.window == 0 {
		x.best, x.window = u, w
		x.floor = math.Max(x.floor, u)
	}
	return content
}

// all walks the stretches of a withstand curve.
//
// Where C is constant from a on, windows beyond 2a need no look: a window that
// long splits into pieces of a…2a, and one of them carries at least its mean.
func (x *search) all(s Withstand, longest float64) {
	const a = ShortestWindow
	switch {
	case s.Fuse != nil:
		x.fuse(s, longest)
	case s.Tau > 0:
		from := a
		if s.Peak > 0 && s.PeakTime > a {
			x.over(stretch{from: a, to: math.Min(longest, math.Min(s.PeakTime, 2*a)), c: s.Peak})
			from = s.PeakTime
		}
		to := math.Min(longest, 2*math.Max(from, settled*s.Tau))
		x.over(stretch{from: from, to: to, c: s.Continuous, tau: s.Tau})
	default:
		x.over(stretch{from: a, to: math.Min(longest, 2*a), c: s.Continuous})
	}
}

func (x *search) fuse(s Withstand, longest float64) {
	c, k := s.Fuse, s.fuseScale()
	n := len(c.Time)
	if n == 0 {
		x.over(stretch{from: ShortestWindow, to: ShortestWindow})
		return
	}
	x.over(stretch{from: ShortestWindow, to: math.Min(longest, c.Time[0]), c: s.At(ShortestWindow), twoQ: 1})
	for i := 1; i < n; i++ {
		from := math.Max(ShortestWindow, c.Time[i-1])
		x.over(stretch{from: from, to: math.Min(longest, c.Time[i]), c: s.At(from), twoQ: 2 * c.steepness(i)})
	}
	from := math.Max(ShortestWindow, c.Time[n-1])
	x.over(stretch{from: from, to: math.Min(longest, 2*from), c: k * c.Current[n-1]})
}

// cell is a range of windows with the content at both ends.
type cell struct {
	w1, w2, c1, c2, bound, split float64
}

// over finds the best window of a stretch by branch and bound.
func (x *search) over(s stretch) {
	if s.to < s.from {
		return
	}
	c2 := x.try(s.to, s.g(s.to))
	if s.twoQ >= 1 || s.to == s.from {
		return // W never falls with w, nor does g/w: the far end is the worst
	}
	first := cell{w1: s.from, w2: s.to, c1: x.try(s.from, s.g(s.from)), c2: c2}
	for _, w := range [2]float64{x.p.run, x.p.swell} {
		if w > s.from && w < s.to {
			x.try(w, s.g(w))
		}
	}
	var stack [128]cell
	x.bound(&s, &first)
	stack[0] = first
	for n := 1; n > 0; {
		n--
		c := stack[n]
		if !(c.bound > x.floor*(1+precision)) || c.w2-c.w1 <= 1e-9*c.w2 {
			continue
		}
		mid := x.try(c.split, s.g(c.split))
		left := cell{w1: c.w1, w2: c.split, c1: c.c1, c2: mid}
		right := cell{w1: c.split, w2: c.w2, c1: mid, c2: c.c2}
		x.bound(&s, &left)
		x.bound(&s, &right)
		if left.bound > right.bound {
			left, right = right, left
		}
		if n+2 > len(stack) {
			continue // so deep that the cell is narrower than any window that matters
		}
		stack[n], stack[n+1] = left, right
		n += 2
	}
}

// bound sets an upper bound of utilisation² in the cell, and where to split.
// W rises with w at least as the least and at most as the peak of I², and is
// never above mean·w + surplus; with A ≥ 0, (A + B·w)·g(w)/w is at most
// A·g(u)/u + B·g(v) between u and v.
func (x *search) bound(s *stretch, c *cell) {
	peak, least := x.p.peak*x.gain, x.p.least*x.gain
	mean, surplus := x.p.total/x.p.period*x.gain, x.p.surplus*x.gain
	g2 := s.g(c.w2)
	cross := c.w2
	if peak > least {
		cross = within((c.c2-least*c.w2-c.c1+peak*c.w1)/(peak-least), c.w1, c.w2)
	}
	c.bound = math.Max(0, c.c2-least*c.w2)*s.g(cross)/cross + least*g2
	knee := c.w1
	if peak > mean {
		knee = within((surplus-c.c1+peak*c.w1)/(peak-mean), c.w1, c.w2)
	}
	c.bound = math.Min(c.bound, surplus*s.g(knee)/knee+mean*g2)
	if c.bound > x.floor*(1+precision) && c.w2 <= narrow*c.w1 {
		x.closer(s, c)
	}
	c.split = x.splitAt(c, cross)
}

// splitAt chooses where to look next: the geometric middle of a wide cell,
// else where the bounds cross; beyond one period where a surplus recurs.
func (x *search) splitAt(c *cell, cross float64) float64 {
	if c.w2 > 3*c.w1 {
		cross = math.Sqrt(c.w1 * c.w2)
	}
	margin := (c.w2 - c.w1) / 8
	if period := x.p.period; c.w2 > period {
		snapped := x.p.swell + period*math.Round((cross-x.p.swell)/period)
		if snapped > c.w1+margin/8 && snapped < c.w2-margin/8 {
			return snapped
		}
	}
	return within(cross, c.w1+margin, c.w2-margin)
}

func within(x, low, high float64) float64 { return math.Min(math.Max(x, low), high) }
