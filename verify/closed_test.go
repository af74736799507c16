package verify

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s: got %.8g, want %.8g ± %.2g", what, got, want, tol)
	}
}

// One step of the pair on y' = y·cos t leaves a local error of order 6, so
// halving the step divides the error of a fixed-step march by 2⁵.
func TestDormandPrinceHasOrderFive(t *testing.T) {
	f := func(t float64, y, dy []float64) { dy[0] = y[0] * math.Cos(t) }
	wrong := func(steps int) float64 {
		s := newStepper(1, 1, 1)
		y := []float64{1}
		h := 2.0 / float64(steps)
		for i := range steps {
			s.try(f, float64(i)*h, h, y)
			copy(y, s.out)
		}
		return math.Abs(y[0] - math.Exp(math.Sin(2)))
	}
	ratio := wrong(16) / wrong(32)
	if ratio < 24 || ratio > 48 {
		t.Errorf("error ratio on halving the step is %.1f, want about 32", ratio)
	}
}

func TestEventsAreMetInsideTheStep(t *testing.T) {
	s := newStepper(2, 1e-10, 1e-12)
	y := []float64{10, 0} // a stone falls 10 m
	f := func(_ float64, y, dy []float64) { dy[0], dy[1] = y[1], -gravity }
	at, hit := s.march(f, 0, 100, y, []event{func(_ float64, y []float64) float64 { return -y[0] }}, nil)
	near(t, "time of fall", at, math.Sqrt(2*10/gravity), 1e-9)
	near(t, "speed", y[1], -math.Sqrt(2*10*gravity), 1e-8)
	if hit != 0 {
		t.Errorf("hit %d", hit)
	}
}

// Two-node heating and cooling: inputs of an open-source motor-heating unit
// test (Rwh 1.93, Rha 4.65 K/W, 41.6 s, 1120 s), exact solution as published
// check D8 of the model's collection.
func TestTwoNodeHeatingMeetsTheExactSolution(t *testing.T) {
	m := &machine{Motor: motor{Rwh: 1.93, Rha: 4.65, Cw: 41.6 / 1.93, Ch: 1120 / 4.65}}
	for _, c := range []struct{ watt, air, start, at, tw, th float64 }{
		{0, 30, 60, 1, 59.9997, 59.9733}, {0, 30, 60, 10, 59.9705, 59.7360}, {0, 30, 60, 100, 58.4641, 57.5702},
		{0, 30, 60, 1000, 43.6761, 43.2112}, {0, 30, 60, 10000, 30.0087, 30.0085},
		{10, 25, 25, 10, 29.1274, 25.0457}, {10, 25, 25, 41.6, 37.3736, 25.6116}, {10, 25, 25, 100, 43.8505, 27.3807},
		{10, 25, 25, 1120, 70.9058, 52.2821}, {10, 25, 25, 5000, 89.9648, 70.6932},
	} {
		m.Air = c.air
		y := []float64{c.start, c.start}
		f := func(_ float64, y, dy []float64) { dy[0], dy[1] = m.warms(y[0], y[1], c.watt, 0) }
		newStepper(2, 1e-9, 1e-9).march(f, 0, c.at, y, nil, nil)
		near(t, "winding", y[0], c.tw, 1e-4)
		near(t, "housing", y[1], c.th, 1e-4)
	}
}

// bench is a bare motor of round numbers on a stiff source.
func bench() *machine {
	return &machine{
		Motor: motor{R: 0.5, K: 0.04, I0: 0.5, J: 2e-4, L: 1e-3, Tref: 25, Rwh: 2, Rha: 3, Cw: 1e9, Ch: 1e9},
		Train: train{{1, 1, 1}},
		Supply: supply{Pack: pack{Charge: []float64{0}, Volt: []float64{12}, Capacity: 3600, Peukert: 1}, Motors: 1,
			PerChannel: 1, DutyMax: 1},
		Load: &shaft{n: 1}, Air: 25, Charge: 0.5,
	}
}

// A locked winding on a stiff voltage: I = (V/R)·(1 − exp(−t·R/L)).
func TestLockedWindingRisesExponentially(t *testing.T) {
	m := bench()
	m.Legs = []leg{{kind: drive, speed: 100, time: 4e-3, acceleration: 1e6, torque: 100}}
	y := make([]float64, yDim)
	y[yW], y[yH] = 25, 25
	r := newSim(m).cycle(y, 0)
	near(t, "current", r.legs[0].end.current, 24*(1-math.Exp(-2)), 1e-6)
}

// From rest on full voltage the motor is a linear system of the second order:
// L·dI/dt = V − R·I − k·ω, J·dω/dt = k·I − Tf. Matrix exponential against
// march, once the current has first exceeded friction.
func TestVoltageLimitedStartMeetsTheMatrixExponential(t *testing.T) {
	m := bench()
	m.Legs = []leg{{kind: drive, speed: 1000, time: 0.2, acceleration: 1e6}}
	y := make([]float64, yDim)
	y[yW], y[yH] = 25, 25
	r := newSim(m).cycle(y, 0)
	q := m.Motor
	breaks := -q.L / q.R * math.Log(1-q.I0*q.R/12) // the current reaches I0
	a := mat.NewDense(3, 3, []float64{-q.R / q.L, -q.K / q.L, 12 / q.L, q.K / q.J, 0, -q.K * q.I0 / q.J, 0, 0, 0})
	a.Scale(0.2-breaks, a)
	var p mat.Dense
	p.Exp(a)
	near(t, "current", r.legs[0].end.current, p.At(0, 0)*q.I0+p.At(0, 2), 1e-5)
	near(t, "speed", r.legs[0].reached, p.At(1, 0)*q.I0+p.At(1, 2), 1e-4)
	near(t, "terminal speed", (12-q.I0*q.R)/q.K, 293.75, 1e-9)
}

// Copper feeds back linearly, so an on–off duty at constant current is a
// linear periodic system: z = A·z + b per phase, fixed point in closed form.
func TestPeriodicStateMeetsTheMatrixExponential(t *testing.T) {
	m := bench()
	q := &m.Motor
	q.Cw, q.Ch, q.J = 20, 400, 2e-6
	m.Legs = []leg{
		{kind: drive, speed: 50, time: 40, acceleration: 1e3, torque: 0.3},
		{kind: rest, time: 60, acceleration: 1e3, torque: 0.3},
	}
	r, ok := m.periodic()
	if !ok {
		t.Fatal("no periodic state")
	}
	i := (0.3 + q.friction()) / q.K
	phase := func(i, omega, dt float64) *mat.Dense {
		feed := i * i * q.R / (234.5 + 25)
		a := mat.NewDense(3, 3, []float64{
			(feed - 1/q.Rwh) / q.Cw, 1 / q.Rwh / q.Cw, feed * 234.5 / q.Cw,
			1 / q.Rwh / q.Ch, -(1/q.Rwh + 1/q.Rha) / q.Ch, (q.friction()*omega + 25/q.Rha) / q.Ch, 0, 0, 0})
		a.Scale(dt, a)
		var p mat.Dense
		p.Exp(a)
		return &p
	}
	on, idle := phase(i, 50, 40.05), phase(0, 0, 59.95) // the load is carried while it brakes for 50 ms
	var both mat.Dense
	both.Mul(idle, on)
	var lhs mat.Dense
	lhs.Sub(mat.NewDense(2, 2, []float64{1, 0, 0, 1}), both.Slice(0, 2, 0, 2))
	var z mat.VecDense
	if err := z.SolveVec(&lhs, both.Slice(0, 2, 2, 3).(*mat.Dense).ColView(0)); err != nil {
		t.Fatal(err)
	}
	peak := on.At(0, 0)*z.AtVec(0) + on.At(0, 1)*z.AtVec(1) + on.At(0, 2)
	near(t, "peak winding", r.peakW, peak, 0.02)
	near(t, "cycle time", r.time, 100, 1e-9)
	near(t, "rms current", r.rms, i*math.Sqrt(0.4), 0.01)
}

// Energy out of the open-circuit source = work on the load + heat + stored, in
// duties that climb, brake, regenerate and fall behind.
func TestEnergyInEqualsWorkPlusHeatPlusStored(t *testing.T) {
	for _, d := range duties() {
		m := d.machine
		y := make([]float64, yDim)
		y[yW], y[yH] = 60, 50
		r := newSim(m).cycle(y, m.Total)
		through := math.Abs(r.taken) + r.heat + math.Abs(r.work)
		near(t, d.name+": imbalance over throughput", (r.taken-r.work-r.heat-r.stored)/through, 0, 2e-4)
	}
}

// Chopper: 240 V, 20 A, 0.5 Ω, 800 rpm; 600 rpm at full torque needs a duty of
// 0.7604 (Singhal & Gupta, Introduction to Electric Drives, Ex 4.3 p. 133, via
// FOSSEE Python Textbook Companions).
func TestChopperMeetsThePublishedDuty(t *testing.T) {
	s := bench().Supply
	s.Pack.Volt[0] = 240
	back := (240 - 20*0.5) * 600 / 800
	near(t, "duty", s.chopper(240, 20, back+20*0.5).d, 0.7604, 5e-5)
}

// With a weak pack the current at full duty is not the most there is: the
// scan over duties finds the chopper's own limit.
func TestWeakPackGivesMostBelowFullDuty(t *testing.T) {
	s := bench().Supply
	s.Motors, s.Pack.R = 4, 0.2
	for _, i := range []float64{1, 5, 20, 60} {
		best := 0.0
		for d := 0.0; d <= 1; d += 1e-5 {
			best = math.Max(best, d*(12-4*d*i*0.2))
		}
		c := s.chopper(12, i, 1e3)
		near(t, "most voltage", c.vt, best, 1e-6)
		near(t, "bus", c.bus*c.d, c.vt, 1e-9)
	}
}
