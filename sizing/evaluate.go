package sizing

import (
	"math"

	"example.org/dray/quantity"
	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/duty"
	"example.org/dray/sizing/rating"
)

// evaluator judges candidates one after another, reusing its memory. One per
// goroutine.
type evaluator struct {
	b      *bench
	s      setup
	runner *duty.Runner
	res    duty.Result
	motor  rating.Profile // of one motor, ripple in
	pack   rating.Profile // of the pack
	out    *Candidate

	fullHigh   float64 // V, highest bus at full charge
	fullHighAt float64
	returned   float64 // J, largest run of energy returned to an adapter
	maxOmega   float64 // rad/s, motor, where the speed is largest
	maxOmegaAt float64
	reserveAt  float64 // s of the lowest bus at reserve charge
	charging   float64 // A, largest current into the pack (positive)
	chargingAt float64
	batteryAt  float64 // s of the largest battery current
}

func newEvaluator(b *bench) *evaluator {
	return &evaluator{b: b, runner: duty.NewRunner(b.script)}
}

// judge evaluates a pick into out.
func (e *evaluator) judge(p Pick, out *Candidate) {
	e.b.prepare(p, &e.s)
	e.out = out
	*out = Candidate{Pick: p, ID: p.id(), FirstFailure: -1, Score: math.NaN(),
		Ratio: e.s.train.ratio, StageRatio: e.s.stageR, TotalRatio: e.s.drive.Train.Total}
	out.Parts, out.Price, out.Mass = e.s.parts(e.b)
	e.res = e.runner.Run(&e.s.drive)
	e.temperatures()
	e.currents()
	e.legs()
	e.battery()
	e.checks()
	e.verdict()
}

func (e *evaluator) temperatures() {
	o, r := e.out, &e.res
	m := e.s.pick.Motor
	o.WindingPeak, o.WindingMean, o.HousingPeak, o.ThermalMargin = r.WindingPeak, r.WindingMean, r.HousingPeak, math.NaN()
	o.ThermalRunaway = r.Runaway
	if !r.Heated {
		return
	}
	o.ThermalBasis = m.WindingToHousing.Basis.Weaker(m.HousingToAir.Basis).Weaker(m.WindingCapacity.Basis).Weaker(m.HousingCapacity.Basis)
	if r.Runaway {
		o.WindingPeak, o.WindingMean, o.HousingPeak = math.NaN(), math.NaN(), math.NaN()
		return
	}
	o.ThermalMargin = (e.s.drive.Limit - r.WindingPeak) / (e.s.drive.Limit - e.b.air)
}

// currents reads the motor's and the pack's currents off the trace.
func (e *evaluator) currents() {
	o, t := e.out, e.res.Trace
	motor, square := e.profiles(&e.motor, &e.pack, coarse())
	mean := 0.0
	for i := range t.Intervals {
		iv := &t.Intervals[i]
		a, b, c := &t.Samples[iv.First], &t.Samples[iv.First+1], &t.Samples[iv.First+2]
		mean += iv.Time * (a.Battery + 4*b.Battery + c.Battery) / 6
	}
	o.CycleTime = t.Time
	o.MotorCurrentRMS = math.Sqrt(motor / t.Time)
	o.BatteryCurrentMean, o.BatteryCurrentRMS = mean/t.Time, math.Sqrt(square/t.Time)
	e.maxOmega, e.charging, e.batteryAt = 0, 0, math.NaN()
	for _, list := range [2][]duty.Sample{t.Samples, t.Instants} {
		for i := range list {
			e.extremes(&list[i])
		}
	}
}

func (e *evaluator) extremes(s *duty.Sample) {
	o := e.out
	o.MotorCurrentPeak = math.Max(o.MotorCurrentPeak, math.Abs(s.Current))
	if s.Battery > o.BatteryCurrentPeak {
		o.BatteryCurrentPeak, e.batteryAt = s.Battery, s.Time
	}
	if -s.Battery > e.charging {
		e.charging, e.chargingAt = -s.Battery, s.Time
	}
	if w := math.Abs(s.Omega); w > e.maxOmega {
		e.maxOmega, e.maxOmegaAt = w, s.Time
	}
}

// grain is how finely a profile follows I² within an interval: in steps of step
// of the cycle's largest I² from near of it on, else of rest of the interval's
// own largest down to low of the cycle's.
type grain struct{ near, step, low, rest float64 }

// coarse serves the checks: only the peaks are refined, and a use is within
// 0.7 % of the trace's own.
func coarse() grain { return grain{near: 0.9, step: 0.02, low: 0.9, rest: 1} }

// fine serves the envelope that is shown: half a percent at every window.
func fine() grain { return grain{near: 0.8, step: 0.01, low: 0.01, rest: 0.05} }

// profiles fills the profiles of one motor, ripple in, and of the pack from the
// trace, and returns ∫I² of both over the cycle, A²·s.
func (e *evaluator) profiles(motor, pack *rating.Profile, g grain) (ofMotor, ofPack float64) {
	t := e.res.Trace
	motor.Duration, motor.Square = motor.Duration[:0], motor.Square[:0]
	pack.Duration, pack.Square = pack.Duration[:0], pack.Square[:0]
	var mostM, mostP float64 // A², the largest squares
	for i := range t.Samples {
		s := &t.Samples[i]
		mostM = math.Max(mostM, s.Current*s.Current+s.Ripple)
		mostP = math.Max(mostP, s.Battery*s.Battery)
	}
	for i := range t.Intervals {
		iv := &t.Intervals[i]
		a, b, c := &t.Samples[iv.First], &t.Samples[iv.First+1], &t.Samples[iv.First+2]
		ofMotor += iv.Time * g.curved(motor, iv.Time, a.Current*a.Current+a.Ripple, b.Current*b.Current+b.Ripple, c.Current*c.Current+c.Ripple, mostM)
		ofPack += iv.Time * g.curved(pack, iv.Time, a.Battery*a.Battery, b.Battery*b.Battery, c.Battery*c.Battery, mostP)
	}
	motor.Prepare()
	pack.Prepare()
	return ofMotor, ofPack
}

// curved appends an interval in which I² runs through three values, start,
// middle and end, and returns its mean: the parabola's, that of Simpson.
func (g grain) curved(p *rating.Profile, time, a, b, c, most float64) (mean float64) {
	mean = (a + 4*b + c) / 6
	top := math.Max(a, c)
	step := g.rest * top
	if top >= g.near*most {
		step = g.step * most
	}
	parts := math.Ceil(math.Abs(c-a) / step)
	if top < g.low*most || !(parts > 1) {
		extend(p, time, mean)
		return mean
	}
	s1, s2, peak := -3*a+4*b-c, 2*(a-2*b+c), math.Max(top, b)
	for k := range int(parts) {
		u, v := float64(k)/parts, float64(k+1)/parts
		q := a + s1*(u+v)/2 + s2*(u*u+u*v+v*v)/3
		extend(p, time/parts, math.Max(0, math.Min(q, peak))) // no parabola overshoots a bound that the current kept
	}
	return mean
}

// extend appends an interval to a profile, or lengthens its last one when the
// current is the same.
func extend(p *rating.Profile, time, square float64) {
	if n := len(p.Square); n > 0 && math.Abs(p.Square[n-1]-square) <= 1e-12*square {
		p.Duration[n-1] += time
		return
	}
	p.Duration = append(p.Duration, time)
	p.Square = append(p.Square, square)
}

// legs turns the trace into leg results.
func (e *evaluator) legs() {
	t := e.res.Trace
	e.out.Legs = make([]LegResult, len(t.Legs))
	peak := make([]int, len(t.Legs))
	for i := range peak {
		peak[i] = -1
	}
	for i := range t.Samples {
		s := &t.Samples[i]
		if p := peak[s.Leg]; p < 0 || harder(s, &t.Samples[p]) {
			peak[s.Leg] = i
		}
	}
	for i := range t.Legs {
		l, r := &t.Legs[i], &e.out.Legs[i]
		*r = LegResult{Name: e.b.c.Legs[i].Name, Start: l.Start, Duration: l.Time, Commanded: l.Commanded,
			Reached: l.Reached, Wanted: l.Wanted, Shortfall: l.Shortfall, Asked: e.runner.Asked(i), LimitedBy: l.Bound.String(), Abandoned: l.Abandoned}
		if l.Steady >= 0 {
			r.Steady = e.state(&t.Samples[l.Steady])
		}
		if peak[i] >= 0 {
			r.Peak = e.state(&t.Samples[peak[i]])
		}
	}
	for i := range t.Instants {
		s := &t.Instants[i]
		if r := &e.out.Legs[s.Leg]; math.Abs(s.Current) >= math.Abs(r.Peak.MotorCurrent) {
			r.Peak = e.state(s)
			if e.b.c.Legs[s.Leg].StepHeight > 0 {
				r.Steady = r.Peak
			}
		}
	}
}

// harder reports whether a sample draws more motor current than another, or as
// much (within a ten-thousandth, as all through a ramp) and more from the pack.
func harder(a, b *duty.Sample) bool {
	x, y := math.Abs(a.Current), math.Abs(b.Current)
	if math.Abs(x-y) <= 1e-4*y {
		return math.Abs(a.Battery) > math.Abs(b.Battery)
	}
	return x > y
}

// state is a sample as readers know it.
func (e *evaluator) state(s *duty.Sample) State {
	st := State{At: s.Time, OutputSpeed: s.Omega / e.s.train.ratio, OutputTorque: s.Output, MotorTorque: s.Motor,
		MotorSpeed: s.Omega, MotorCurrent: s.Current, MotorVoltage: s.Voltage, Command: s.Duty, BusVoltage: s.Bus,
		BatteryCurrent: s.Battery, WindingTemp: s.Winding, HousingTemp: s.Housing, PulseSeconds: math.NaN()}
	k := e.s.pick.Controller
	if k.PulseMin.Known() && k.PulseMax.Known() {
		low, high := float64(k.PulseMin.Value), float64(k.PulseMax.Value)
		st.PulseSeconds = (low+high)/2 + s.Duty*(high-low)/2
	}
	if !e.res.Heated || e.res.Runaway {
		st.WindingTemp, st.HousingTemp = math.NaN(), math.NaN()
	}
	return st
}

// reelect re-solves a sample's supply at another EMF, at the same demand. Where
// the supply cannot give it, the most it can give is taken.
func (e *evaluator) reelect(s *duty.Sample, sup *drive.Supply) (p drive.Point, possible bool) {
	m := &e.s.drive.Machine
	k, r := m.K(s.Housing), m.R(s.Winding)
	emf := k * s.Omega
	if sup.EMF >= sup.Least(s.Current, emf, r)*(1-1e-9) {
		return sup.At(s.Current, emf, r), true
	}
	rng := sup.Range(emf, r)
	return sup.At(math.Max(rng.Low, math.Min(rng.High, s.Current)), emf, r), false
}

// worst returns the weaker of several bases.
func worst(bases ...quantity.Basis) quantity.Basis {
	w := quantity.Stated
	for _, b := range bases {
		w = w.Weaker(b)
	}
	return w
}
