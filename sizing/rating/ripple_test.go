package rating

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestRippleOfPublishedChoppers(t *testing.T) {
	// Gupta & Singhal, Power Electronics, Ex 5.7 p.257, via Python Textbook
	// Companions: ΔI 8.2570 A, rms 25.113 A about 25 A; that is √(25² + ΔI²/12), the exact
	// waveform gives 25.1142.
	d, x := Ripple(200, 0.5, 4, 6e-3, 1000)
	near(t, "ΔI", d, 8.2570, 1e-4)
	near(t, "rms", math.Sqrt(25*25+x), 25.113, 2e-3)
	// Singhal & Gupta, Introduction to Electric Drives, Ex 4.5 p.140, via the
	// same: 400 V, 50 mH, d 0.25, 10 A at 150 Hz, resistance neglected.
	d, _ = Ripple(400, 0.25, 0, 50e-3, 150)
	near(t, "ΔI", d, 10, 1e-9)
	// Bimbhra, Power Electronics, Ex 7.15 p.414, via the same: ΔI 2.9161 A
	// between 12.458 and 9.542 A, rms 11.032 A about 11 A (recomputed).
	d, x = Ripple(220, 0.5, 10, 15e-3, 1250)
	near(t, "ΔI", d, 2.9161, 1e-4)
	near(t, "rms", math.Sqrt(121+x), 11.032, 5e-4)
	// Katre, Power Electronics, Ex 6.5.1 and 6.5.5, via the same: without
	// inductance the form factor is 1/√d.
	for duty, want := range map[float64]float64{0.3: 1.82574, 0.5: 1.41421} {
		_, x = Ripple(24, duty, 2, 0, 1000)
		mean := 24 * duty / 2
		near(t, "form factor", math.Sqrt(mean*mean+x)/mean, want, 1e-5)
	}
}

func TestRippleAgreesWithSummingTheWaveform(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := rapid.Float64Range(0.02, 0.98).Draw(rt, "d")
		x := math.Pow(10, rapid.Float64Range(-1, 1.7).Draw(rt, "logx"))
		got, extra := Ripple(10, d, 1, 1/x, 1) // τ = 1/x, T = 1, V/r = 10
		low := 10 * (math.Exp(-x*(1-d)) - math.Exp(-x)) / -math.Expm1(-x)
		high := 10 - (10-low)*math.Exp(-x*d)
		const n = 20000
		sum := 0.0
		for k := range n {
			s := (float64(k) + 0.5) / n
			i := 10 - (10-low)*math.Exp(-x*s)
			if s > d {
				i = high * math.Exp(-x*(s-d))
			}
			sum += i * i / n
		}
		if math.Abs(got-(high-low)) > 1e-9*10 || math.Abs(extra-(sum-100*d*d)) > 1e-3*10 {
			rt.Fatalf("d %g x %g: ΔI %g want %g; extra %g want %g", d, x, got, high-low, extra, sum-100*d*d)
		}
	})
}

func TestRippleIsSmoothFromNoResistanceToNoInductance(t *testing.T) {
	for _, d := range []float64{0.01, 0.3, 0.5, 0.99} {
		i0 := d * (1 - d)
		for _, r := range []float64{0, 1e-300, 1e-12, 1e-6, 1e-4} {
			di, x := Ripple(1, d, r, 1, 1)
			near(t, "ΔI", di, i0, 1e-4*i0)
			near(t, "extra", x, i0*i0/12, 1e-4*i0*i0/12)
		}
		di, x := Ripple(1, d, 1, 1e-30, 1)
		near(t, "ΔI without inductance", di, 1, 1e-9)
		near(t, "extra without inductance", x, i0, 1e-9)
		a1, b1 := Ripple(1, d, 1.9999999, 1, 1)
		a2, b2 := Ripple(1, d, 2.0000001, 1, 1)
		near(t, "ΔI at the change of formula", a1, a2, 1e-6*a2)
		near(t, "extra at the change of formula", b1, b2, 1e-6*b2)
	}
	if di, x := Ripple(24, 1, 1, 1e-3, 1e4); di != 0 || x != 0 {
		t.Error("full duty has no ripple")
	}
}

func TestStepCurrentSatisfiesItsLoop(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		e := rapid.Float64Range(6, 60).Draw(rt, "e")
		kw := rapid.Float64Range(0, 50).Draw(rt, "kw")
		rsum := rapid.Float64Range(0.05, 5).Draw(rt, "rsum")
		pack := rapid.Float64Range(0, 0.3).Draw(rt, "rt")
		n := rapid.IntRange(1, 6).Draw(rt, "n")
		i, v := StepCurrent(e, kw, rsum, pack, n)
		if math.Abs(v+kw-i*rsum) > 1e-9*(e+kw) || math.Abs(e-v-float64(n)*i*pack) > 1e-9*(e+kw) {
			rt.Fatalf("bus %g, current %g", v, i)
		}
	})
}
