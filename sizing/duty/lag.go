package duty

import (
	"math"

	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/heat"
)

// lagger is the memory of the lagging march between its passes.
type lagger struct {
	entry  float64 // speed the cycle begins with
	frozen bool    // temperatures stand still
	light  bool    // a pass for the temperatures only: no bus, no traction
	hasty  bool    // the candidate falls far short: its temperatures need no fine search
	lines  []lines // per leg
	steps  []step  // of the cycle last kept
}

// runLagging marches the cycle with forward dynamics wherever the motor falls
// short, and finds the hottest cycle of that, looking from a first guess.
func (r *Runner) runLagging(guess heat.State) Result {
	if r.replays() {
		return r.clipped()
	}
	r.lag.entry, r.lag.frozen, r.lag.light = r.firstSpeed(), !r.d.Heated, false
	r.straighten()
	if r.lag.frozen {
		res := r.settle(r.march, 1)
		r.remarch(res.Start)
		return r.lagResult(res)
	}
	res := r.settleLagging(guess)
	r.lag.frozen = res.Runaway
	r.lag.light = false
	r.remarch(res.Start)
	res = r.lagResult(res)
	if res.burns(r.d) {
		r.lag.frozen = true
		r.remarch(res.Start)
	}
	return res
}

// straighten asks the mechanism once for the lines of every leg; they depend on
// no candidate.
func (r *Runner) straighten() {
	for i := len(r.lag.lines); i < len(r.script.Case.Legs); i++ {
		r.lag.lines = append(r.lag.lines, r.linesOf(i))
	}
}

// Shortfall marches the cycle once at frozen temperatures with the drive as it
// stands now, and returns the worst leg's missing share. The trace of the last
// Run stays.
func (r *Runner) Shortfall(x heat.State) float64 {
	r.trace, r.probe = r.probe, r.trace
	r.straighten()
	kept := r.lag
	r.lag.entry, r.lag.frozen, r.lag.light = r.firstSpeed(), true, true
	r.remarch(x)
	worst := 0.0
	for i := range r.trace.Legs {
		worst = math.Max(worst, r.trace.Legs[i].Shortfall)
	}
	r.lag = kept
	r.trace, r.probe = r.probe, r.trace
	return worst
}

// outer is how often the currents of a lagging cycle are found anew.
const outer = 8

// settleLagging finds the hottest cycle of a lagging duty. A march is dear, so
// the currents of one are kept while the heat room looks for the state they
// lead to, and found anew there, until the two agree. For a duty without end
// that is the march's own periodic state. An operating time takes the torques of
// its hottest cycle for all of them.
func (r *Runner) settleLagging(x heat.State) Result {
	r.lag.light = true
	r.march(x, math.Inf(1))
	var res Result
	agreed := 0.02 // K
	scorched := false
	for range outer {
		r.keep()
		if r.lag.hasty = !r.nearly(); r.lag.hasty {
			agreed = 0.2
		}
		res = r.settle(r.keptCycle, r.trace.Time)
		switch {
		case res.Runaway && scorched:
			return res
		case res.Runaway: // a stalled motor draws less as it warms: look from the hot end
			scorched = true
			x = heat.State{Winding: heat.Runaway - 0.5, Housing: r.d.Body.Air + 0.7*(heat.Runaway-r.d.Body.Air)}
		case math.Abs(res.Start.Winding-x.Winding) < agreed && math.Abs(res.Start.Housing-x.Housing) < agreed:
			return res
		case scorched: // the answer falls as the guess rises: meet halfway
			x = heat.State{Winding: (x.Winding + res.Start.Winding) / 2, Housing: (x.Housing + res.Start.Housing) / 2}
		default:
			x = res.Start
		}
		r.march(x, math.Inf(1))
	}
	return res
}

// nearly reports whether every leg comes close enough to its command to pass.
func (r *Runner) nearly() bool {
	for i := range r.trace.Legs {
		if r.trace.Legs[i].Shortfall > 1.2*r.script.Case.Wants.SpeedTolerance {
			return false
		}
	}
	return true
}

// keptCycle is the map of the cycle last kept.
func (r *Runner) keptCycle(x heat.State, limit float64) (heat.State, heat.Matrix) {
	return r.through(r.lag.steps, x, limit)
}

// keep turns the marched cycle into heat steps: k·I is kept where the torque
// sets the current, and the current itself where a bound does.
func (r *Runner) keep() {
	t := &r.trace
	b := &r.d.Body
	short := b.WindingToHousing * b.WindingCapacity / 50
	r.lag.steps = r.lag.steps[:0]
	for i := range t.Intervals {
		iv := &t.Intervals[i]
		mid := &t.Samples[iv.First+1]
		k := r.d.Machine.K(mid.Housing)
		s := step{time: iv.Time, square: t.MeanSquare(iv) * k * k, friction: r.d.Machine.Friction * math.Abs(mid.Omega), kept: true}
		if n := len(r.lag.steps); n > 0 && r.lag.steps[n-1].time+s.time < short {
			r.lag.steps[n-1].join(&s)
			continue
		}
		r.lag.steps = append(r.lag.steps, s)
	}
}

// join lengthens a step by another, both far shorter than the winding's memory.
func (s *step) join(o *step) {
	t := s.time + o.time
	s.square = (s.square*s.time + o.square*o.time) / t
	s.friction = (s.friction*s.time + o.friction*o.time) / t
	s.time = t
}

// remarch repeats the hottest cycle until the speed it begins with is the one
// it ends with.
func (r *Runner) remarch(x heat.State) {
	for range 4 {
		before := r.lag.entry
		r.march(x, math.Inf(1))
		if math.Abs(r.lag.entry-before) <= 1e-6*math.Max(1e-3, math.Abs(before)) {
			return
		}
	}
}

func (r *Runner) firstSpeed() float64 {
	if len(r.script.Plan.Phases) == 0 {
		return 0
	}
	return r.script.Plan.Phases[0].Speed
}

// replays reports whether a recorded log drives the motion.
func (r *Runner) replays() bool {
	for i := range r.script.Case.Legs {
		if r.script.Case.Legs[i].Log {
			return true
		}
	}
	return false
}

// clipped keeps a recorded motion as it is and marks the legs that ask for more
// than there is: a record cannot fall behind itself.
func (r *Runner) clipped() Result {
	res := r.settle(r.cycle, r.script.Plan.Duration)
	r.fill(&res)
	r.finishFollowed()
	t := &r.trace
	t.Followed = false
	for i := range t.Samples {
		s := &t.Samples[i]
		if s.Bound = r.d.within(s); s.Bound != drive.NoBound && t.Legs[s.Leg].Bound == drive.NoBound {
			t.Legs[s.Leg].Bound, t.Legs[s.Leg].Shortfall = s.Bound, 1
		}
	}
	return res
}

// lagResult reads the peaks off the marched cycle.
func (r *Runner) lagResult(res Result) Result {
	t := &r.trace
	res.Trace = t
	t.Followed = false
	if len(t.Samples) == 0 || !res.Heated || res.Runaway {
		return res
	}
	w := watch{body: &r.d.Body, deaf: r.cutShort() == 0}
	for i := range t.Intervals {
		iv := &t.Intervals[i]
		a, b := &t.Samples[iv.First], &t.Samples[iv.First+2]
		mid := &t.Samples[iv.First+1]
		w.see(heat.State{Winding: a.Winding, Housing: a.Housing}, heat.State{Winding: b.Winding, Housing: b.Housing},
			t.MeanSquare(iv), r.d.Machine.Friction*math.Abs(mid.Omega), iv.Time, heat.Answer{})
	}
	res.WindingPeak, res.HousingPeak, res.PeakAt, res.HousingAt = w.winding, w.housing, w.windingAt, w.housingAt
	res.WindingMean = w.meanWinding / w.time
	if rest := r.cutShort(); rest >= 0 {
		r.keep()
		last := &t.Samples[len(t.Samples)-1]
		r.watchPart(&res, r.lag.steps, heat.State{Winding: last.Winding, Housing: last.Housing}, rest)
	}
	return res
}
