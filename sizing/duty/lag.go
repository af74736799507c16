package duty

import (
	"math"

	"example.org/dray/loadcases"
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

// abandonAfter is how many times its commanded time a leg may last.
const abandonAfter = 10

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

// march is the map of one cycle by forward dynamics, cut off at limit seconds.
// It overwrites the trace.
func (r *Runner) march(x heat.State, limit float64) (heat.State, heat.Matrix) {
	t := &r.trace
	t.Samples, t.Intervals, t.Instants, t.Legs = t.Samples[:0], t.Intervals[:0], t.Instants[:0], t.Legs[:0]
	m := mover{r: r, d: r.d, heat: x, tangent: heat.Identity(), v: r.lag.entry, limit: limit, dir: 1}
	if len(r.script.Plan.Phases) > 0 {
		m.pos = r.script.Plan.Phases[0].Position
		m.dir = r.script.Plan.Phases[0].Direction
	}
	for i := range r.script.Case.Legs {
		m.begin(i)
		m.run()
		m.end()
		if m.t >= limit {
			break
		}
	}
	t.Time = m.t
	if math.IsInf(limit, 1) {
		r.lag.entry = m.v
		r.instants(m.heat)
		r.blameInstants()
	}
	return m.heat, m.tangent
}

// mover is the machine on its way through one cycle.
type mover struct {
	r       *Runner
	d       *Drive
	li      int
	leg     *loadcases.Leg
	kappa   float64 // motor rad per unit of motion
	t, tl   float64 // s into the cycle, into the leg
	pos, v  float64
	pos0    float64 // at the leg's start
	to      float64 // target of a move
	way     float64 // sense of the leg
	dir     float64 // sense of motion where v is 0
	heat    heat.State
	tangent heat.Matrix
	bound   drive.Bound // first bound met in this leg
	limit   float64
	lines   *lines
	size    float64 // of the next step, s
	inertia float64 // d(k·I)/da last met
	steep   float64 // da/dv of the acceleration last found, 1/s
	steps   int
	stuck   bool
	locks   bool // the train locks under the torque last solved for
	failed  bool // a hold that cannot be held
	given   bool // abandoned
}

func (m *mover) begin(i int) {
	c := m.r.script.Case
	m.li, m.leg = i, &c.Legs[i]
	m.kappa = c.Mechanism.ShaftSpeed(m.leg) * m.d.Train.Total
	m.tl, m.steps, m.pos0, m.bound, m.stuck, m.failed, m.given = 0, 0, m.pos, drive.NoBound, false, false, false
	m.size, m.inertia = math.Inf(1), 0
	m.lines = &m.r.lag.lines[i]
	switch m.leg.Kind {
	case loadcases.SpeedLeg, loadcases.StepLeg:
		m.way = math.Copysign(1, m.leg.Speed)
	case loadcases.MoveLeg:
		m.pos, m.to = m.leg.From, m.leg.To
		if m.leg.Relative {
			m.pos, m.to = m.pos0, m.pos0+m.leg.By
		} else if m.leg.FromOpen {
			m.pos = m.pos0
		}
		m.pos0 = m.pos
		m.way = math.Copysign(1, m.to-m.pos)
		m.v = 0
	}
	m.r.trace.Legs = append(m.r.trace.Legs, Leg{Start: m.t, Commanded: m.r.script.Plan.LegTime[i], Wanted: m.r.script.Plan.Reached[i], Steady: -1})
}

// run carries the leg through.
func (m *mover) run() {
	switch m.leg.Kind {
	case loadcases.StepLeg:
		return
	case loadcases.HoldLeg, loadcases.RestLeg:
		m.brake()
		m.stand()
	case loadcases.MoveLeg:
		m.move()
	default:
		if m.leg.Acceleration == 0 && m.v != m.leg.Speed {
			m.leap()
			return
		}
		m.speedLeg()
	}
}

// end writes how the leg went.
func (m *mover) end() {
	l := &m.r.trace.Legs[m.li]
	l.Time, l.Reached, l.Bound, l.Abandoned = m.tl, m.v, m.bound, m.given
	if m.bound == drive.NoBound {
		l.Reached = l.Wanted
		return
	}
	switch {
	case m.failed:
		l.Shortfall = 1
	case m.leg.Kind == loadcases.SpeedLeg && l.Wanted != 0:
		l.Shortfall = math.Abs(1 - l.Reached/l.Wanted)
		if l.Shortfall < 1e-4 {
			l.Shortfall = 0
		}
		if m.given {
			l.Shortfall = math.Max(l.Shortfall, 1-1.0/abandonAfter)
		}
	case m.given:
		l.Shortfall = 1
	case l.Time > 0:
		l.Shortfall = math.Max(0, 1-l.Commanded/l.Time)
	}
}

// mostSteps ends a leg that creeps on for ever in ever smaller steps.
const mostSteps = 3000

// patience is the time left before the leg is given up.
func (m *mover) patience() float64 {
	if m.steps > mostSteps {
		return 0
	}
	return abandonAfter*m.r.script.Plan.LegTime[m.li] - m.tl
}

// accelerate returns the acceleration nearest to the wanted one that the drive
// and the ground allow at a speed and position, and what bounds it. Under a
// bound of the drive it also leaves the slope of that acceleration over speed.
func (m *mover) accelerate(v, pos, want float64) (float64, drive.Bound) {
	dir := m.sense(v)
	k, w := m.d.Machine.K(m.heat.Housing), m.d.Machine.R(m.heat.Winding)
	rng := m.d.Supply.Range(k*v*m.kappa, w)
	a, bound := want, drive.NoBound
	m.steep = 0
	asked := m.demand(v, pos, want, dir)
	if i := asked / k; i > rng.High*(1+slack)+slack {
		a, bound = m.solve(v, pos, want, asked, dir, k*rng.High), rng.HighBound
		m.steep = m.fall(k, rng.HighSlope)
	} else if i < rng.Low*(1+slack)-slack {
		a, bound = m.solve(v, pos, want, asked, dir, k*rng.Low), rng.LowBound
		m.steep = m.fall(k, rng.LowSlope)
	}
	return m.grip(v, pos, a, dir, bound)
}

// fall is da/dv for a current that changes with the back-EMF by slope.
func (m *mover) fall(k, slope float64) float64 {
	if m.inertia <= 0 {
		return 0
	}
	return k * k * m.kappa * slope / m.inertia
}

func (m *mover) sense(v float64) float64 {
	if v > 0 {
		return 1
	}
	if v < 0 {
		return -1
	}
	return m.dir
}

// demand is k·I for an acceleration.
func (m *mover) demand(v, pos, a, dir float64) float64 {
	motor, _ := m.d.Train.Inward(m.load(v, pos, a, dir), dir)
	return motor + m.d.Machine.Inertia*a*m.kappa + m.d.Machine.Friction*dir
}

// load is the torque at the load shaft.
func (m *mover) load(v, pos, a, dir float64) float64 {
	if l := m.lines.of(dir); l.straight {
		return l.torque + l.slope*a
	}
	return m.r.script.Case.Mechanism.Torque(m.leg, loadcases.Motion{Position: pos, Speed: v, Acceleration: a, Direction: dir, Time: m.tl})
}

// solve finds the acceleration that asks for a given k·I, from one that asks
// for another. The demand is piecewise straight and rising in the
// acceleration, so a secant lands after a step or two. The slope at the end,
// d(k·I)/da, is left in m.inertia. Where it is negative the train locks: an
// overhauled train whose motor gives too little asks for the more the harder it
// is slowed, so it stops at once at the speed the motor can drive it down with.
func (m *mover) solve(v, pos, guess, asked, dir, want float64) float64 {
	a0, f0 := guess, asked-want
	if m.locks = false; !(m.inertia > 0) {
		m.inertia = m.slopeAt(v, pos, guess, asked, dir)
	}
	a1 := a0 - f0/m.inertia
	f1 := m.demand(v, pos, a1, dir) - want
	close := 1e-9*(math.Abs(want)+m.d.Machine.Friction) + 1e-18
	for range 60 {
		if math.Abs(f1) <= close || a1 == a0 || f1 == f0 {
			break
		}
		m.inertia = (f1 - f0) / (a1 - a0)
		a2 := a1 - f1/m.inertia
		a0, f0, a1 = a1, f1, a2
		f1 = m.demand(v, pos, a1, dir) - want
	}
	if !(m.inertia > 0) {
		m.locks, m.inertia = true, 0
	}
	return a1
}

// slopeAt is d(k·I)/da by a small difference.
func (m *mover) slopeAt(v, pos, a, asked, dir float64) float64 {
	d := math.Max(math.Abs(a), math.Max(m.leg.Acceleration, 1e-3)) * 1e-3
	return (m.demand(v, pos, a+d, dir) - asked) / d
}

// grip cuts an acceleration to what the ground allows.
func (m *mover) grip(v, pos, a, dir float64, bound drive.Bound) (float64, drive.Bound) {
	g, ok := m.r.script.Case.Mechanism.(loadcases.Gripping)
	if l := m.lines.of(dir); !ok || math.Abs(a) <= l.gripsTo {
		return a, bound
	}
	over := func(a float64) float64 {
		need, hold, known := g.Grip(m.leg, loadcases.Motion{Position: pos, Speed: v, Acceleration: a, Direction: dir})
		if !known {
			return -1
		}
		return math.Abs(need) - hold*(1+slack)
	}
	f := over(a)
	if f <= 0 {
		return a, bound
	}
	// The force in excess changes sign with the acceleration towards coasting:
	// less thrust when driving, less braking when braking.
	step := math.Max(math.Abs(a), math.Max(m.leg.Acceleration, 0.1))
	away := -step
	if over(a-1e-6*step) > f {
		away = step
	}
	low, high := a, a+away
	for range 40 {
		if over(high) <= 0 {
			break
		}
		high += away
	}
	for range 60 {
		mid := (low + high) / 2
		if over(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return high, drive.TractionEnd
}
