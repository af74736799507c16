package duty

import (
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/heat"
)

// fill marches the hottest cycle once more and writes its samples.
func (r *Runner) fill(res *Result) {
	t := &r.trace
	t.Samples, t.Intervals, t.Instants, t.Legs = t.Samples[:0], t.Intervals[:0], t.Instants[:0], t.Legs[:0]
	t.Time, t.Followed = r.script.Plan.Duration, true
	res.Trace = t
	frozen := !res.Heated || res.Runaway
	x := res.Start
	w := watch{body: &r.d.Body}
	if !frozen && r.cutShort() == 0 {
		w.deaf = true // the operating time ends before its first cycle: only the part counts
	}
	next, clock := 0, 0.0
	for i := range r.script.phases {
		ph := &r.script.phases[i]
		begin, from := x, next
		for next < len(r.steps) && r.steps[next].phase == i {
			s := &r.steps[next]
			y, mid := x, x
			if !frozen {
				sq := r.square(s, x)
				answer := r.d.Body.OfTorque(x.Housing)
				y, _ = r.d.Body.Step(x, sq, s.friction, s.time, answer)
				w.see(x, y, sq, s.friction, s.time, answer)
				if ph.flat {
					mid, _ = r.d.Body.Step(x, sq, s.friction, s.time/2, answer)
				}
			}
			if ph.flat {
				r.flatSamples(ph, s, clock, x, mid, y, next == from)
			} else if r.perInterval(from, i) {
				r.meshSamples(ph, next-from, next-from+1, clock, s.time, x, y)
			}
			x = y
			clock += s.time
			next++
		}
		if !ph.flat && !r.perInterval(from, i) {
			r.meshSamples(ph, 0, ph.count, clock-ph.time, ph.time, begin, x)
		}
	}
	r.instants(x)
	if frozen {
		return
	}
	res.WindingPeak, res.HousingPeak, res.PeakAt, res.HousingAt = w.winding, w.housing, w.windingAt, w.housingAt
	res.WindingMean = w.meanWinding / w.time
	if rest := r.cutShort(); rest >= 0 {
		r.watchPart(res, r.steps, x, rest)
	}
}

// Commanded writes the commanded cycle at frozen temperatures into a trace of its
// own, whether or not it can be followed.
func (r *Runner) Commanded(x heat.State) *Trace {
	r.trace, r.alternative = r.alternative, r.trace
	res := Result{Start: x}
	r.fill(&res)
	r.trace, r.alternative = r.alternative, r.trace
	return &r.alternative
}

// Possible reports whether some state of charge could make a cycle possible:
// whether neither the controller's limit, nor the adapter, nor the ground
// forbids it.
func (r *Runner) Possible(t *Trace) bool {
	for _, list := range [2][]Sample{t.Samples, t.Instants} {
		for i := range list {
			s := &list[i]
			if b := r.d.within(s); b == drive.CurrentEnd || b == drive.TractionEnd || s.Battery > r.d.Supply.Holds {
				return false
			}
		}
	}
	return true
}

// perInterval reports whether a phase was laid out interval by interval.
func (r *Runner) perInterval(from, phase int) bool {
	return from+1 < len(r.steps) && r.steps[from+1].phase == phase
}

// cutShort is the length of a cut-off cycle at the end of the operating time:
// −1 when there is none, and 0 is never returned unless no whole cycle fits.
func (r *Runner) cutShort() float64 {
	c := r.script.Case
	if c.OperatingTime <= 0 {
		return -1
	}
	n, rest := cycles(float64(c.OperatingTime), r.trace.Time)
	if n == 0 {
		return 0
	}
	if rest == 0 {
		return -1
	}
	return rest
}

// watchPart lets the cut-off cycle behind the last whole one count for the peaks.
func (r *Runner) watchPart(res *Result, steps []step, x heat.State, rest float64) {
	if rest == 0 { // no whole cycle: the part starts where the "hottest cycle" does
		x = res.Start
		rest = float64(r.script.Case.OperatingTime)
	}
	w := watch{body: &r.d.Body, winding: x.Winding, housing: x.Housing}
	for i := range steps {
		s := &steps[i]
		h := math.Min(s.time, rest)
		if h <= 0 {
			break
		}
		sq := r.square(s, x)
		answer := r.d.Body.OfTorque(x.Housing)
		y, _ := r.d.Body.Step(x, sq, s.friction, h, answer)
		w.see(x, y, sq, s.friction, h, answer)
		x = y
		rest -= s.time
	}
	res.take(&w)
}

// flatSamples writes one step of a flat phase as an interval.
func (r *Runner) flatSamples(ph *phase, s *step, at float64, x, mid, y heat.State, first bool) {
	t := &r.trace
	if first {
		t.Samples = append(t.Samples, r.sampleOf(ph, 0, at, x))
	}
	t.Intervals = append(t.Intervals, Interval{First: len(t.Samples) - 1, Time: s.time, Leg: ph.leg, Kind: kindOf(ph.kind)})
	t.Samples = append(t.Samples, r.sampleOf(ph, 0, at+s.time/2, mid), r.sampleOf(ph, 0, at+s.time, y))
}

// meshSamples writes the intervals from…to of a meshed phase, the temperatures
// running straight from x to y over the stretch.
func (r *Runner) meshSamples(ph *phase, from, to int, at, span float64, x, y heat.State) {
	t := &r.trace
	loads := r.script.loads[ph.first:]
	s0, s1 := loads[2*from].share, loads[2*to].share
	state := func(share float64) (float64, heat.State) {
		u := (share - s0) / (s1 - s0)
		return at + u*span, heat.State{Winding: x.Winding + u*(y.Winding-x.Winding), Housing: x.Housing + u*(y.Housing-x.Housing)}
	}
	if from == 0 {
		time, st := state(s0)
		t.Samples = append(t.Samples, r.sampleOf(ph, 0, time, st))
	}
	for i := from; i < to; i++ {
		t.Intervals = append(t.Intervals, Interval{First: len(t.Samples) - 1,
			Time: (loads[2*i+2].share - loads[2*i].share) * ph.time, Leg: ph.leg, Kind: kindOf(ph.kind)})
		for j := 2*i + 1; j <= 2*i+2; j++ {
			time, st := state(loads[j].share)
			t.Samples = append(t.Samples, r.sampleOf(ph, j, time, st))
		}
	}
}

func kindOf(k loadcases.PhaseKind) Kind {
	switch k {
	case loadcases.Holding:
		return Holding
	case loadcases.Resting:
		return Resting
	}
	return Moving
}

func (r *Runner) sampleOf(ph *phase, j int, time float64, x heat.State) Sample {
	l, a := &r.script.loads[ph.first+j], &r.asks[ph.first+j]
	s := Sample{Time: time, Speed: l.speed, Omega: a.omega, Output: a.output, Motor: a.motor, Demand: a.demand,
		Winding: x.Winding, Housing: x.Housing, Radial: l.radial, Need: l.need, Hold: l.hold,
		Leg: ph.leg, Powered: ph.kind != loadcases.Resting}
	r.d.electric(&s)
	return s
}

// instants evaluates the demands of zero duration at the temperatures of the
// cycle's end, each with what bounds it.
func (r *Runner) instants(x heat.State) {
	for i := range r.script.steps {
		in := &r.script.steps[i]
		s := Sample{Time: in.at, Winding: x.Winding, Housing: x.Housing, Radial: in.load.radial,
			Need: in.load.need, Hold: in.load.hold, Leg: in.leg, Powered: true}
		s.Motor, s.Demand, s.Output = r.d.torque(&in.load, true)
		r.d.electric(&s)
		s.Bound = r.d.within(&s)
		r.trace.Instants = append(r.trace.Instants, s)
	}
}
