// Package rating holds every element of a drive against one picture: the
// largest rms current a duty puts through it in any window of time, beside the
// current it stands for that long. Controllers, batteries, fuses, wires and
// connectors are judged so; a jam is followed to whatever gives up first.
//
// Everything here is pure arithmetic on float64 in SI (A, s, Ω, V, H, N·m),
// temperatures in °C. Nothing allocates on the way of a Use or an Envelope.
package rating

import "math"

// ShortestWindow is where every envelope begins, in s.
const ShortestWindow = 0.010

// Profile is one cycle of piecewise-constant current², repeated without end.
//
// Fill Duration and Square, then call Prepare; whoever forgets has it done by
// the first question, which then must not be asked from two goroutines at
// once. After changing the slices call Prepare again. A prepared profile may
// be read from any number of goroutines.
type Profile struct {
	Duration []float64 // s, > 0; an interval that is not is left out
	Square   []float64 // A², mean square current in the interval

	prepared bool
	n        int       // intervals in use
	edge     []float64 // s, two periods of interval edges, 2n+1 values from 0
	area     []float64 // A²·s, ∫I² up to each edge
	level    []float64 // A², the intervals in use, two periods
	rises    []int     // edges at which I² rises: where a worst window may start
	falls    []int     // edges at which I² falls: where it may end
	period   float64   // s
	total    float64   // A²·s in one period
	peak     float64   // A²
	least    float64   // A²
	run      float64   // s, the longest stretch at the peak
	runStart float64   // s
	surplus  float64   // A²·s, most a window holds beyond mean·length
	swell    float64   // s, the window (below one period) that holds it
}

// Prepare computes the running sums that all answers rest on, in O(n),
// reusing its storage.
func (p *Profile) Prepare() {
	p.prepared = true
	p.level, p.edge, p.area = p.level[:0], append(p.edge[:0], 0), append(p.area[:0], 0)
	p.rises, p.falls = p.rises[:0], p.falls[:0]
	var t, sum float64
	p.peak, p.least = 0, math.Inf(1)
	for i, d := range p.Duration {
		if !(d > 0) || i >= len(p.Square) {
			continue
		}
		s := p.Square[i]
		t, sum = t+d, sum+s*d
		p.level = append(p.level, s)
		p.edge, p.area = append(p.edge, t), append(p.area, sum)
		p.peak, p.least = math.Max(p.peak, s), math.Min(p.least, s)
	}
	p.n, p.period, p.total = len(p.level), t, sum
	p.run, p.runStart, p.surplus, p.swell = 0, 0, 0, 0
	if p.n == 0 {
		p.least = 0
		return
	}
	for i := range p.n {
		p.level = append(p.level, p.level[i])
		p.edge = append(p.edge, t+p.edge[i+1])
		p.area = append(p.area, sum+p.area[i+1])
	}
	p.findEdges()
	p.findRun()
	p.findSurplus()
}

// findEdges notes where a worst window may begin and end: moving a window by
// a little changes its content by what enters less what leaves, so at a
// maximum it starts at a rise or ends at a fall of I².
func (p *Profile) findEdges() {
	before := p.level[p.n-1]
	for i := range p.n {
		switch now := p.level[i]; {
		case now > before:
			p.rises = append(p.rises, i)
			before = now
		case now < before:
			p.falls = append(p.falls, i)
			before = now
		}
	}
}

// findRun finds the longest stretch at the peak; within it every window
// carries exactly the peak.
func (p *Profile) findRun() {
	begin := -1.0
	for i, s := range p.level {
		if s != p.peak {
			begin = -1
			continue
		}
		if begin < 0 {
			begin = p.edge[i]
		}
		if d := p.edge[i+1] - begin; d > p.run {
			p.run, p.runStart = d, begin
		}
	}
	p.run = math.Min(p.run, p.period)
	if p.runStart >= p.period {
		p.runStart -= p.period
	}
}

// findSurplus finds the most that any window holds beyond its share of the
// mean: the climb of ∫(I² − mean) from its lowest to its highest edge.
func (p *Profile) findSurplus() {
	mean := p.total / p.period
	low, high := 0.0, 0.0
	var from, to float64
	for i := range p.n {
		c := p.area[i] - mean*p.edge[i]
		if c < low {
			low, from = c, p.edge[i]
		}
		if c > high {
			high, to = c, p.edge[i]
		}
	}
	p.surplus, p.swell = high-low, to-from
	if p.swell <= 0 {
		p.swell += p.period
	}
}

func (p *Profile) ready() {
	if !p.prepared {
		p.Prepare()
	}
}

// Period returns the length of the cycle in s; 0 for an empty profile.
func (p *Profile) Period() float64 { p.ready(); return p.period }

// Peak returns the largest interval's rms current in A.
func (p *Profile) Peak() float64 { p.ready(); return math.Sqrt(p.peak) }

// RMS returns the rms current over the whole cycle in A; 0 for an empty profile.
func (p *Profile) RMS() float64 {
	p.ready()
	if p.n == 0 {
		return 0
	}
	return math.Sqrt(p.total / p.period)
}

// Envelope returns the largest rms current in A that any window of w seconds
// of the endlessly repeated cycle carries, exactly, and the time in the cycle
// (s, below one period) at which such a window starts. Windows longer than the
// cycle are included; w ≤ 0 gives the peak; an empty profile gives zeros.
func (p *Profile) Envelope(w float64) (amp, start float64) {
	p.ready()
	if p.n == 0 {
		return 0, 0
	}
	if !(w > 0) {
		return math.Sqrt(p.peak), p.runStart
	}
	content, start := p.worst(w)
	return math.Sqrt(content / w), start
}

// EnvelopeAll returns the envelope at each window, in out when it has room
// (then nothing is allocated). Windows in s, answers in A.
func (p *Profile) EnvelopeAll(windows, out []float64) []float64 {
	out = out[:0]
	for _, w := range windows {
		amp, _ := p.Envelope(w)
		out = append(out, amp)
	}
	return out
}

// worst returns the largest ∫I² dt (A²·s) over any window of length w > 0, and
// its start. The profile is prepared and not empty. Two pointers, O(n).
func (p *Profile) worst(w float64) (content, start float64) {
	if w <= p.run {
		return p.peak * w, p.runStart
	}
	whole, rest := 0.0, w
	if w >= p.period {
		whole = math.Floor(w / p.period)
		rest = w - whole*p.period
		if rest < 0 || rest >= p.period || len(p.rises) == 0 {
			// A whole number of cycles but for rounding, or a steady current.
			return w * (p.total / p.period), 0
		}
	}
	best, start := -1.0, 0.0
	j := 0
	for _, i := range p.rises {
		end := p.edge[i] + rest
		for p.edge[j+1] <= end {
			j++
		}
		if c := p.area[j] + p.level[j]*(end-p.edge[j]) - p.area[i]; c > best {
			best, start = c, p.edge[i]
		}
	}
	j = 0
	for _, i := range p.falls {
		from := p.edge[i+p.n] - rest
		for p.edge[j+1] <= from {
			j++
		}
		if c := p.area[i+p.n] - p.area[j] - p.level[j]*(from-p.edge[j]); c > best {
			best, start = c, from
		}
	}
	if start >= p.period {
		start -= p.period
	}
	return whole*p.total + best, start
}

// Windows returns window lengths from 10 ms to longest (s) on a logarithmic
// axis with about perDecade points to the decade (at least 1), both ends
// included exactly. A longest of 10 ms or less gives the one window 10 ms.
func Windows(longest float64, perDecade int) []float64 {
	if !(longest > ShortestWindow) || math.IsInf(longest, 1) {
		return []float64{ShortestWindow}
	}
	decades := math.Log10(longest / ShortestWindow)
	steps := max(1, int(math.Ceil(decades*float64(max(1, perDecade))-1e-9)))
	out := make([]float64, steps+1)
	for i := range out {
		out[i] = ShortestWindow * math.Pow(10, decades*float64(i)/float64(steps))
	}
	out[0], out[steps] = ShortestWindow, longest
	return out
}
