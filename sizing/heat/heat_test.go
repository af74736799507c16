package heat

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// small is a gear motor's body with time constants of 20 s and 600 s.
func small() Body {
	return Body{WindingToHousing: 2.5, HousingToAir: 7.5, WindingCapacity: 8, HousingCapacity: 80,
		Air: 25, Resistance: 1.2, RefTemp: 25, Flux: -0.002}
}

// fineMarch integrates the two equations by classical Runge–Kutta with a step
// far below either time constant, the current following the torque: an
// integrator that shares nothing with Step.
func fineMarch(b Body, x State, demand, friction, t float64) State {
	n := int(math.Ceil(t / 0.05))
	h := t / float64(n)
	rate := func(w, th float64) (float64, float64) {
		i := demand / (1 + b.Flux*(th-b.RefTemp))
		p := i * i * b.Resistance * (234.5 + w) / (234.5 + b.RefTemp)
		q := (w - th) / b.WindingToHousing
		return (p - q) / b.WindingCapacity, (friction + q - (th-b.Air)/b.HousingToAir) / b.HousingCapacity
	}
	w, th := x.Winding, x.Housing
	for range n {
		a1, b1 := rate(w, th)
		a2, b2 := rate(w+h/2*a1, th+h/2*b1)
		a3, b3 := rate(w+h/2*a2, th+h/2*b2)
		a4, b4 := rate(w+h*a3, th+h*b3)
		w += h / 6 * (a1 + 2*a2 + 2*a3 + a4)
		th += h / 6 * (b1 + 2*b2 + 2*b3 + b4)
	}
	return State{w, th}
}

func TestStepAgreesWithAFineMarch(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := small()
		x := State{rapid.Float64Range(20, 120).Draw(rt, "winding"), rapid.Float64Range(20, 80).Draw(rt, "housing")}
		i := rapid.Float64Range(0, 4).Draw(rt, "current")
		f := rapid.Float64Range(0, 3).Draw(rt, "friction")
		h := rapid.Float64Range(0.1, 10).Draw(rt, "seconds")
		k := 1 + b.Flux*(x.Housing-b.RefTemp)
		y, _ := b.Step(x, i*i/(k*k), f, h, b.OfTorque(x.Housing))
		want := fineMarch(b, x, i, f, h)
		// The answer of the current is taken to first order over a step; half a
		// winding time constant is twice the longest step the march begins with,
		// and 0.02 K is a fifteenth of what is asked of temperatures.
		if math.Abs(y.Winding-want.Winding) > 0.02 || math.Abs(y.Housing-want.Housing) > 0.02 {
			rt.Fatalf("from %v: %v, the fine march says %v", x, y, want)
		}
	})
}

func TestStepsAddUp(t *testing.T) {
	b := small()
	x := State{60, 40}
	whole, _ := b.Step(x, 4, 0.5, 10, Answer{})
	half, _ := b.Step(x, 4, 0.5, 5, Answer{})
	half, _ = b.Step(half, 4, 0.5, 5, Answer{})
	if math.Abs(whole.Winding-half.Winding) > 1e-9 || math.Abs(whole.Housing-half.Housing) > 1e-9 {
		t.Errorf("two halves %v, one whole %v: the step is exact and must not care", half, whole)
	}
}

func TestTangentIsTheDerivativeOfTheStep(t *testing.T) {
	b := small()
	x := State{70, 45}
	step := func(x State) State {
		k := 1 + b.Flux*(x.Housing-b.RefTemp)
		y, _ := b.Step(x, 9/(k*k), 0.4, 12, b.OfTorque(x.Housing))
		return y
	}
	k := 1 + b.Flux*(x.Housing-b.RefTemp)
	_, m := b.Step(x, 9/(k*k), 0.4, 12, b.OfTorque(x.Housing))
	const d = 1e-4
	dw, dh := step(State{x.Winding + d, x.Housing}), step(State{x.Winding, x.Housing + d})
	y := step(x)
	for _, c := range []struct {
		name      string
		got, want float64
	}{{"WW", m.WW, (dw.Winding - y.Winding) / d}, {"HW", m.HW, (dw.Housing - y.Housing) / d},
		{"WH", m.WH, (dh.Winding - y.Winding) / d}, {"HH", m.HH, (dh.Housing - y.Housing) / d}} {
		if math.Abs(c.got-c.want) > 2e-3 {
			t.Errorf("tangent %s = %g, differences say %g", c.name, c.got, c.want)
		}
	}
}

// cycleOf is a duty of on seconds under a torque and off seconds of rest.
func cycleOf(b Body, demand, friction, on, off float64) Cycle {
	return func(x State) (State, Matrix) {
		tangent := Identity()
		for left := on; left > 1e-9; {
			h := math.Min(left, 5)
			k := 1 + b.Flux*(x.Housing-b.RefTemp)
			y, m := b.Step(x, demand*demand/(k*k), friction, h, b.OfTorque(x.Housing))
			x, tangent, left = y, m.Times(tangent), left-h
		}
		y, m := b.Cool(x, off)
		return y, m.Times(tangent)
	}
}

func TestEndlessIsWhereManyCyclesEnd(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := small()
		c := cycleOf(b, rapid.Float64Range(0.5, 2.3).Draw(rt, "current"), 0.4,
			rapid.Float64Range(2, 60).Draw(rt, "on"), rapid.Float64Range(5, 90).Draw(rt, "off"))
		f := Endless(c, b.Air)
		x := State{b.Air, b.Air}
		for range 20000 {
			y, _ := c(x)
			if hot(y) {
				x = y
				break
			}
			done := math.Abs(y.Winding-x.Winding) < 1e-8 && math.Abs(y.Housing-x.Housing) < 1e-8
			x = y
			if done {
				break
			}
		}
		if f.Runaway != hot(x) {
			rt.Fatalf("runaway %v, cycles end at %v", f.Runaway, x)
		}
		if !f.Runaway && (math.Abs(f.Start.Winding-x.Winding) > 0.01 || math.Abs(f.Start.Housing-x.Housing) > 0.01) {
			rt.Fatalf("found %v, cycles end at %v", f.Start, x)
		}
	})
}

func TestEndlessTakesFewPasses(t *testing.T) {
	b := small()
	if f := Endless(cycleOf(b, 1.8, 0.4, 30, 40), b.Air); f.Passes > 8 {
		t.Errorf("%d passes, Newton should need a handful", f.Passes)
	}
}

func TestRunawayIsWhereCopperOutrunsItsCooling(t *testing.T) {
	b := small()
	b.Flux = 0
	// Held for ever, the winding equation dT/dt = I²R₀(234.5+T)/259.5 − T/10 K/W
	// has no rest once I²·R₀/259.5 exceeds 1/(Rwh+Rha): I² > 259.5/(10·1.2).
	limit := math.Sqrt(259.5 / (10 * 1.2))
	hold := func(i float64) Cycle {
		return func(x State) (State, Matrix) { return b.Step(x, i*i, 0, 20, Answer{}) }
	}
	if f := Endless(hold(1.02*limit), b.Air); !f.Runaway {
		t.Errorf("no runaway 2 %% above the limit: %v", f.Start)
	}
	// Below, the rest is at T = (I²·R₀·234.5/259.5 + 25/10)/(1/10 − I²·R₀/259.5),
	// which passes 400 °C long before the limit.
	i := 0.7 * limit
	want := (i*i*1.2*234.5/259.5 + 2.5) / (0.1 - i*i*1.2/259.5)
	if f := Endless(hold(i), b.Air); f.Runaway || math.Abs(f.Start.Winding-want) > 0.01 {
		t.Errorf("at 70 %% of the limit %v (runaway %v), want %.3f °C", f.Start, f.Runaway, want)
	}
}

func TestLimitedIsWhatMarchingEveryCycleGives(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := small()
		on, off := rapid.Float64Range(2, 60).Draw(rt, "on"), rapid.Float64Range(5, 90).Draw(rt, "off")
		c := cycleOf(b, rapid.Float64Range(0.5, 2.2).Draw(rt, "current"), 0.4, on, off)
		r := Repeats{Whole: rapid.IntRange(1, 150).Draw(rt, "cycles"), Cool: b.Cool,
			Pause: float64(rapid.SampledFrom([]int{0, 300, 3600}).Draw(rt, "pause"))}
		f := Limited(c, b.Air, r)
		x, last := State{b.Air, b.Air}, State{}
		for range 60 {
			before := x
			for range r.Whole {
				last = x
				x, _ = c(x)
				if hot(x) {
					break
				}
			}
			if r.Pause == 0 || hot(x) {
				break
			}
			x, _ = b.Cool(x, r.Pause)
			if math.Abs(x.Housing-before.Housing) < 1e-7 {
				break
			}
		}
		if f.Runaway != hot(x) {
			rt.Fatalf("runaway %v, marching ends at %v", f.Runaway, x)
		}
		if !f.Runaway && (math.Abs(f.Start.Winding-last.Winding) > 0.1 || math.Abs(f.Start.Housing-last.Housing) > 0.1) {
			rt.Fatalf("last cycle starts at %v, marching says %v", f.Start, last)
		}
	})
}

func TestMeanIsTheAverageOverTheStep(t *testing.T) {
	b := small()
	x := State{80, 50}
	const n = 4000
	var sw, sh float64
	y := x
	for range n {
		z, _ := b.Step(y, 6, 0.7, 30.0/n, Answer{})
		sw += (y.Winding + z.Winding) / 2 / n
		sh += (y.Housing + z.Housing) / 2 / n
		y = z
	}
	m := b.Mean(x, y, 6, 0.7, 30)
	if math.Abs(m.Winding-sw) > 1e-4 || math.Abs(m.Housing-sh) > 1e-4 {
		t.Errorf("mean %v, small steps average to %.5f, %.5f", m, sw, sh)
	}
}
