package duty

import (
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/heat"
)

// Runner drives candidates through one script. It keeps its working memory
// from one candidate to the next and must not be shared between goroutines.
type Runner struct {
	script      *Script
	d           *Drive
	asks        []ask  // per load of the script
	steps       []step // of the followed cycle
	trace       Trace
	alternative Trace // the commanded cycle of a lagging one
	probe       Trace // a cycle marched at another state of charge
	lag         lagger
}

// ask is a load carried inwards to this candidate's motor.
type ask struct{ motor, demand, output, omega float64 }

// step is one stretch the heat room takes in one go.
type step struct {
	time     float64
	square   float64 // mean square of k·I, (N·m)²
	friction float64 // W
	demand   float64 // k·I halfway, for the ripple
	omega    float64 // motor speed halfway
	phase    int
	kept     bool // from a march: the ripple is in the square already
}

// NewRunner makes a runner for a script.
func NewRunner(s *Script) *Runner { return &Runner{script: s} }

// prepare carries every load inwards and lays out the heat steps.
func (r *Runner) prepare(d *Drive) {
	r.d = d
	r.asks = r.asks[:0]
	r.steps = r.steps[:0]
	for i := range r.script.phases {
		ph := &r.script.phases[i]
		for j := range ph.count*2 + 1 {
			r.asks = append(r.asks, d.ask(&r.script.loads[ph.first+j], ph.kind))
		}
		r.layOut(i, ph)
	}
}

func (d *Drive) ask(l *load, kind loadcases.PhaseKind) ask {
	if kind == loadcases.Resting {
		_, output := d.Train.Inward(l.torque, l.sense)
		return ask{output: output}
	}
	a := ask{omega: l.omega * d.Train.Total}
	a.motor, a.demand, a.output = d.torque(l, kind == loadcases.Moving)
	return a
}

// layOut cuts one phase into heat steps.
func (r *Runner) layOut(index int, ph *phase) {
	d, a := r.d, r.asks[ph.first:]
	tw, th := d.Body.WindingToHousing*d.Body.WindingCapacity, d.Body.HousingToAir*d.Body.HousingCapacity
	friction := func(omega float64) float64 { return d.Machine.Friction * math.Abs(omega) }
	switch {
	case ph.kind == loadcases.Resting:
		r.steps = append(r.steps, step{time: ph.time, phase: index})
	case ph.flat:
		for left, size, gone := ph.time, tw/4, 0.0; left > 0; {
			h := left
			if d.Heated && left > 1.5*size {
				h = size
			}
			r.steps = append(r.steps, step{time: h, square: a[0].demand * a[0].demand, friction: friction(a[0].omega),
				demand: a[0].demand, omega: a[0].omega, phase: index})
			left -= h
			gone += h
			size = math.Min(2*size, math.Max(th/6, gone/4))
		}
	case ph.level && (!d.Heated || ph.time <= tw/2):
		m := &a[ph.count] // halfway: the mesh is symmetric
		r.steps = append(r.steps, step{time: ph.time, square: m.demand * m.demand, friction: friction(m.omega),
			demand: m.demand, omega: m.omega, phase: index})
	default:
		loads := r.script.loads[ph.first:]
		for i := range ph.count {
			p, m, q := &a[2*i], &a[2*i+1], &a[2*i+2]
			r.steps = append(r.steps, step{time: (loads[2*i+2].share - loads[2*i].share) * ph.time,
				square:   simpson(p.demand*p.demand, m.demand*m.demand, q.demand*q.demand),
				friction: friction(m.omega), demand: m.demand, omega: m.omega, phase: index})
		}
	}
}

// square is the mean-square current of a step at the temperatures of its start.
func (r *Runner) square(s *step, x heat.State) float64 {
	if s.square == 0 {
		return 0
	}
	d := r.d
	k := d.Machine.K(x.Housing)
	sq := s.square / (k * k)
	if !s.kept && d.Machine.Inductance > 0 && d.Supply.Frequency > 0 {
		w := d.Machine.R(x.Winding)
		p := d.Supply.At(s.demand/k, k*s.omega, w)
		sq += d.Supply.RippleSquare(p.Bus, p.Duty, w, d.Machine.Inductance)
	}
	return sq
}

// cycle is the map of one followed cycle, cut off at limit seconds.
func (r *Runner) cycle(x heat.State, limit float64) (heat.State, heat.Matrix) {
	return r.through(r.steps, x, limit)
}

// through carries a state over heat steps, cut off at limit seconds.
func (r *Runner) through(steps []step, x heat.State, limit float64) (heat.State, heat.Matrix) {
	tangent := heat.Identity()
	b := &r.d.Body
	for i := range steps {
		s := &steps[i]
		h := math.Min(s.time, limit)
		if h <= 0 {
			break
		}
		y, m := b.Step(x, r.square(s, x), s.friction, h, b.OfTorque(x.Housing))
		x, tangent = y, m.Times(tangent)
		limit -= s.time
	}
	return x, tangent
}

// Result is one candidate's duty at one state of charge.
type Result struct {
	Trace       *Trace // valid until the runner's next candidate
	Heated      bool   // thermal data were known
	Runaway     bool
	Start       heat.State // at the start of the hottest cycle
	WindingPeak float64    // °C, of the hottest cycle and a cut-off one behind it
	WindingMean float64    // °C, over the hottest cycle
	HousingPeak float64
	PeakAt      float64 // s into the cycle of the winding's peak
	HousingAt   float64
}

// Run drives a candidate: the commanded motion where it can be followed, the
// lagging march where not.
func (r *Runner) Run(d *Drive) Result {
	r.prepare(d)
	if r.script.slips {
		return r.runLagging(heat.State{Winding: d.Body.Air, Housing: d.Body.Air})
	}
	r.lag.hasty = false
	res := r.settle(r.cycle, r.script.Plan.Duration)
	r.fill(&res)
	if res.burns(d) {
		r.fill(&res)
	}
	if r.follows() {
		r.finishFollowed()
		return res
	}
	return r.runLagging(res.Start)
}

// burns turns a periodic state whose winding passes the heat room's end into a
// runaway, evaluated at the limit; it reports whether it did.
func (res *Result) burns(d *Drive) bool {
	if res.Runaway || !(res.WindingPeak >= heat.Runaway) {
		return false
	}
	nan := math.NaN()
	res.Runaway, res.Start = true, heat.State{Winding: d.Limit, Housing: d.Limit}
	res.WindingPeak, res.WindingMean, res.HousingPeak, res.PeakAt, res.HousingAt = nan, nan, nan, nan, nan
	return true
}

// settle finds the hottest cycle of a cycle map.
func (r *Runner) settle(cycle func(heat.State, float64) (heat.State, heat.Matrix), period float64) Result {
	d, c := r.d, r.script.Case
	res := Result{Heated: d.Heated, WindingPeak: math.NaN(), WindingMean: math.NaN(), HousingPeak: math.NaN(), PeakAt: math.NaN(), HousingAt: math.NaN()}
	if !d.Heated {
		res.Start = heat.State{Winding: d.Body.Air, Housing: d.Body.Air}
		return res
	}
	whole := func(x heat.State) (heat.State, heat.Matrix) { return cycle(x, math.Inf(1)) }
	var f heat.Found
	if c.OperatingTime <= 0 {
		f = heat.Endless(whole, d.Body.Air)
	} else {
		n, rest := cycles(float64(c.OperatingTime), period)
		rep := heat.Repeats{Whole: n, Pause: float64(c.Pause), Cool: d.Body.Cool, Hasty: r.lag.hasty}
		if rest > 0 {
			rep.Part = func(x heat.State) (heat.State, heat.Matrix) { return cycle(x, rest) }
		}
		f = heat.Limited(whole, d.Body.Air, rep)
	}
	res.Start, res.Runaway = f.Start, f.Runaway
	if res.Runaway {
		res.Start = heat.State{Winding: d.Limit, Housing: d.Limit}
	}
	return res
}

// cycles splits an operating time into whole cycles and the rest of one.
func cycles(total, period float64) (whole int, rest float64) {
	n := math.Floor(total/period + 1e-9)
	rest = total - n*period
	if rest < 1e-9*period {
		rest = 0
	}
	return int(n), rest
}

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

// take keeps the hotter of two peaks.
func (res *Result) take(w *watch) {
	if !(w.winding <= res.WindingPeak) {
		res.WindingPeak, res.PeakAt = w.winding, w.windingAt
	}
	if !(w.housing <= res.HousingPeak) {
		res.HousingPeak, res.HousingAt = w.housing, w.housingAt
	}
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

// follows reports whether every sample and instant stays within all bounds.
func (r *Runner) follows() bool {
	for i := range r.trace.Samples {
		if r.d.within(&r.trace.Samples[i]) != drive.NoBound {
			return false
		}
	}
	return true
}

// finishFollowed writes the legs of a followed cycle.
func (r *Runner) finishFollowed() {
	t, plan := &r.trace, &r.script.Plan
	for i := range r.script.Case.Legs {
		t.Legs = append(t.Legs, Leg{Start: plan.LegStart[i], Time: plan.LegTime[i], Commanded: plan.LegTime[i],
			Reached: plan.Reached[i], Wanted: plan.Reached[i], Steady: -1})
	}
	iv, next := 0, 0
	for i := range r.script.phases {
		ph := &r.script.phases[i]
		n := ph.count
		if ph.flat {
			for n = 0; next < len(r.steps) && r.steps[next].phase == i; next++ {
				n++
			}
		} else {
			for next < len(r.steps) && r.steps[next].phase == i {
				next++
			}
		}
		iv += n
		if ph.steady && n > 0 {
			t.Legs[ph.leg].Steady = t.Intervals[iv-1].First + 2
		}
	}
	r.blameInstants()
}

// blameInstants lets a leg fall short entirely whose obstacle cannot be taken.
func (r *Runner) blameInstants() {
	for i := range r.trace.Instants {
		if s := &r.trace.Instants[i]; s.Bound != drive.NoBound {
			l := &r.trace.Legs[s.Leg]
			l.Shortfall, l.Bound = 1, s.Bound
		}
	}
}

// watch follows the temperatures of a cycle for their peaks and means.
type watch struct {
	body                 *heat.Body
	time                 float64
	winding, housing     float64
	windingAt, housingAt float64
	meanWinding          float64 // K·s
	begun, deaf          bool
}

// see takes in one step from x to y. The square is the one at its start; its
// answer to the temperatures is followed to the step's end.
func (w *watch) see(x, y heat.State, square, friction, dt float64, answer heat.Answer) {
	if !w.begun {
		w.begun, w.winding, w.housing = true, x.Winding, x.Housing
		w.windingAt, w.housingAt = w.time, w.time
	}
	end := square * (1 + answer.Winding*(y.Winding-x.Winding) + answer.Housing*(y.Housing-x.Housing))
	w.meanWinding += w.body.Mean(x, y, (square+end)/2, friction, dt).Winding * dt
	if w.deaf {
		w.time += dt
		return
	}
	rw0, rh0 := w.body.Rate(x, square, friction)
	rw1, rh1 := w.body.Rate(y, end, friction)
	if rw0 > 0 && rw1 < 0 {
		w.crest(x, square, friction, dt, answer, true)
	}
	if rh0 > 0 && rh1 < 0 {
		w.crest(x, square, friction, dt, answer, false)
	}
	w.time += dt
	w.note(y, w.time)
}

func (w *watch) note(y heat.State, at float64) {
	if y.Winding > w.winding {
		w.winding, w.windingAt = y.Winding, at
	}
	if y.Housing > w.housing {
		w.housing, w.housingAt = y.Housing, at
	}
}

// crest finds a maximum inside a step by halving on the sign of its rate.
func (w *watch) crest(x heat.State, square, friction, dt float64, answer heat.Answer, winding bool) {
	low, high := 0.0, dt
	var y heat.State
	for range 20 {
		mid := (low + high) / 2
		y, _ = w.body.Step(x, square, friction, mid, answer)
		now := square * (1 + answer.Winding*(y.Winding-x.Winding) + answer.Housing*(y.Housing-x.Housing))
		rw, rh := w.body.Rate(y, now, friction)
		if (winding && rw > 0) || (!winding && rh > 0) {
			low = mid
		} else {
			high = mid
		}
	}
	w.note(y, w.time+low)
}

// Asked is the torque at the gear train's output, N·m, that a leg's commanded
// steady motion asks for; NaN for a leg without one.
func (r *Runner) Asked(leg int) float64 {
	out := math.NaN()
	for i := range r.script.phases {
		if ph := &r.script.phases[i]; ph.leg == leg && ph.steady {
			out = r.asks[ph.first+2*ph.count].output
		}
	}
	return out
}

// FeltInertia is the inertia one motor feels at its shaft, kg·m²: its own, the
// gear train's, and the load's at the heaviest leg, found from what an extra
// acceleration costs at the load shaft.
func (r *Runner) FeltInertia(d *Drive) float64 {
	c := r.script.Case
	heaviest := 0.0
	for i := range c.Legs {
		leg := &c.Legs[i]
		k := c.Mechanism.ShaftSpeed(leg)
		if k == 0 || leg.Kind == loadcases.StepLeg {
			continue
		}
		m := loadcases.Motion{Direction: 1}
		rest := c.Mechanism.Torque(leg, m)
		m.Acceleration = 1
		heaviest = math.Max(heaviest, (c.Mechanism.Torque(leg, m)-rest)/k)
	}
	return d.Machine.Inertia + heaviest/(d.Train.Total*d.Train.Total)
}
