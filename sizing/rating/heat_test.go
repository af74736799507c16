package rating

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The network of published checks D8: inputs of an open-source motor-heating
// unit test, exact solution recomputed there.
func d8() MotorHeat {
	return MotorHeat{Resistance: 0.5, ReferenceTemp: 25, Rwh: 1.93, Rha: 4.65, Cw: 41.6 / 1.93, Ch: 1120 / 4.65, Air: 25, Limit: 155}
}

func TestTwoLumpsHeatAndCoolAsPublished(t *testing.T) {
	var l lumps
	m := d8()
	l.loss(m, 10, 0)
	for at, want := range map[float64][2]float64{10: {29.1274, 25.0457}, 41.6: {37.3736, 25.6116}, 100: {43.8505, 27.3807},
		1120: {70.9058, 52.2821}, 5000: {89.9648, 70.6932}, math.Inf(1): {90.8, 71.5}} {
		tw, th := l.after(25, 25, 25, at)
		near(t, "winding", tw, want[0], 1e-4)
		near(t, "housing", th, want[1], 1e-4)
	}
	near(t, "slow eigen time", -1/l.l1, 1223.75, 0.01)
	near(t, "fast eigen time", -1/l.l2, 38.073, 0.001)
	m.Air = 30
	l.loss(m, 0, 0)
	for at, want := range map[float64][2]float64{1: {59.9997, 59.9733}, 10: {59.9705, 59.7360}, 100: {58.4641, 57.5702}, 1000: {43.6761, 43.2112}, 10000: {30.0087, 30.0085}} {
		tw, th := l.after(60, 60, 30, at)
		near(t, "winding cooling", tw, want[0], 1e-4)
		near(t, "housing cooling", th, want[1], 1e-4)
	}
}

// marched integrates with R(T) by small fourth-order steps: another way.
func marched(m MotorHeat, i, t float64, n int) float64 {
	f := func(tw, th float64) (float64, float64) {
		flow := (tw - th) / m.Rwh
		return (i*i*m.At(tw) - flow) / m.Cw, (flow - (th-m.Air)/m.Rha) / m.Ch
	}
	tw, th, h := m.Air, m.Air, t/float64(n)
	for range n {
		a, b := f(tw, th)
		c, d := f(tw+h/2*a, th+h/2*b)
		e, g := f(tw+h/2*c, th+h/2*d)
		p, q := f(tw+h*e, th+h*g)
		tw, th = tw+h/6*(a+2*c+2*e+p), th+h/6*(b+2*d+2*g+q)
	}
	return tw
}

func TestMotorStandsWhatBringsItToItsLimit(t *testing.T) {
	for _, w := range []float64{0.01, 0.5, 3, 20, 100, 600, 4000} {
		i := MotorStands(w, d8())
		near(t, "winding at the end", marched(d8(), i, w, 20000), 155, 0.01)
	}
	// For ever: I²R(155)·(Rwh + Rha) = 130 K.
	m := d8()
	near(t, "for ever", MotorStands(math.Inf(1), m), math.Sqrt(130/(m.At(155)*(1.93+4.65))), 1e-6)
}

func TestMotorStandsLessForLongerAndInWarmerAir(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := d8()
		m.Air = rapid.Float64Range(-20, 140).Draw(rt, "air")
		w := math.Pow(10, rapid.Float64Range(-3, 6).Draw(rt, "logw"))
		i := MotorStands(w, m)
		if longer := MotorStands(w*rapid.Float64Range(1, 5).Draw(rt, "by"), m); longer > i*(1+1e-9) {
			rt.Fatalf("%g A for longer than %g A", longer, i)
		}
		m.Air += 5
		if warm := MotorStands(w, m); warm > i {
			rt.Fatalf("%g A in warmer air, %g A in cooler", warm, i)
		}
	})
	if !math.IsNaN(MotorStands(1, MotorHeat{})) {
		t.Error("an unknown motor stands something")
	}
	m := d8()
	m.Air = 155
	if MotorStands(1, m) != 0 {
		t.Error("a motor at its limit stands something")
	}
}
