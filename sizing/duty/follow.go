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
