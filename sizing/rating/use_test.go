package rating

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func drawWithstand(t *rapid.T) Withstand {
	ic := rapid.Float64Range(2, 60).Draw(t, "ic")
	switch rapid.IntRange(0, 3).Draw(t, "kind") {
	case 0:
		return ContinuousOnly(ic)
	case 1:
		return ContinuousPeak(ic, ic*rapid.Float64Range(1.001, 10).Draw(t, "peak"), math.Pow(10, rapid.Float64Range(-2, 2).Draw(t, "tp")))
	case 2:
		return Withstand{Continuous: ic, Tau: math.Pow(10, rapid.Float64Range(0, 3).Draw(t, "tau"))}
	}
	return Withstand{Scale: 0.75, Fuse: &FuseCurve{
		Time: []float64{0.03, 0.08, 0.15, 0.75, 360000}, Current: []float64{6 * ic, 3.5 * ic, 2 * ic, 1.35 * ic, 1.1 * ic}}}
}

// bruteUse looks at a dense logarithmic grid, and marches the memory.
func bruteUse(p *Profile, s Withstand, longest float64, perDecade int) float64 {
	best := 0.0
	for _, w := range Windows(longest, perDecade) {
		best = math.Max(best, bruteEnvelope(p, w)/s.At(w))
	}
	return best
}

func marchedMemory(p *Profile, tau float64) float64 {
	y := p.RMS() * p.RMS()
	cycles := int(40*tau/p.Period()) + 2
	top := 0.0
	for k := range cycles {
		for i, d := range p.Duration {
			y = p.Square[i] + (y-p.Square[i])*math.Exp(-d/tau)
			if k == cycles-1 {
				top = math.Max(top, y)
			}
		}
	}
	return top
}

func TestUtilisationIsTheWorstOfADenseGrid(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p, s := drawProfile(rt), drawWithstand(rt)
		longest := math.Pow(10, rapid.Float64Range(-2, 4).Draw(rt, "longest"))
		got := p.Use(s, 1, longest)
		want := bruteUse(p, s, longest, 300)
		if s.Tau > 0 {
			want = math.Max(want, math.Sqrt(marchedMemory(p, s.Tau))/s.Continuous)
		}
		if got.Utilisation < want*(1-1e-3) {
			rt.Fatalf("missed: %+v, grid says %.6g; %v %v %+v", got, want, p.Duration, p.Square, s)
		}
		if p.Peak() > 0 && math.Abs(got.Value/got.Limit-got.Utilisation) > 1e-9*got.Utilisation {
			rt.Fatalf("value over limit is not the utilisation: %+v", got)
		}
		if got.ByMemory || p.Peak() == 0 {
			return
		}
		if e := bruteEnvelope(p, got.WorstWindow); math.Abs(e-got.Value) > 1e-6*p.Peak() {
			rt.Fatalf("value %g at its window, brute force %g", got.Value, e)
		}
	})
}

func TestMemoryAgreesWithALongMarch(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawProfile(rt)
		tau := p.Period() * math.Pow(10, rapid.Float64Range(-2, 2.5).Draw(rt, "tau"))
		y, at := p.memory(tau)
		want := marchedMemory(p, tau)
		if math.Abs(y-want) > 1e-6*math.Max(want, 1e-6) {
			rt.Fatalf("tau %g: got %g want %g", tau, y, want)
		}
		if at < 0 || at > p.Period()*(1+1e-12) {
			rt.Fatalf("at %g outside", at)
		}
	})
}

func TestASteadyCurrentUsesItsShareOfTheContinuous(t *testing.T) {
	p := &Profile{Duration: []float64{7}, Square: []float64{12 * 12}}
	for _, s := range []Withstand{ContinuousOnly(20), ContinuousPeak(20, 50, 2), {Continuous: 20, Tau: 300}} {
		u := p.Use(s, 1, 1e5)
		near(t, "utilisation", u.Utilisation, 0.6, 1e-3*0.6)
		twice := p.Use(s, 2, 1e5)
		near(t, "twice the current", twice.Utilisation, 1.2, 1e-3*1.2)
	}
}

func TestWithstandPassesThroughItsTwoRatings(t *testing.T) {
	s := ContinuousPeak(15, 30, 2)
	near(t, "peak", s.At(2), 30, 1e-9)
	near(t, "peak below", s.At(0.01), 30, 1e-12)
	near(t, "continuous", s.At(1e6), 15, 1e-9)
	// τ = −tp/ln(1 − (Ic/Ip)²)
	near(t, "tau", s.Tau, -2/math.Log(0.75), 1e-9)
	if s := ContinuousPeak(15, 0, 0); s.At(0.01) != 15 || s.Tau != 0 {
		t.Errorf("no peak given: %+v", s)
	}
	if s := ContinuousPeak(15, 10, 1); s.At(1) != 10 || s.At(100) != 10 {
		t.Errorf("peak below continuous: %+v", s)
	}
	if s := ContinuousPeak(15, 30, 0); s.PeakTime != AssumedPeakTime {
		t.Errorf("blank peak time: %+v", s)
	}
}

func TestAPreloadCountsThroughTheMemory(t *testing.T) {
	// 14 A for long, then 25 A for 1 s: no window shows what the memory shows.
	p := &Profile{Duration: []float64{600, 1.5, 5}, Square: []float64{14 * 14, 25 * 25, 14 * 14}}
	u := p.Use(ContinuousPeak(15, 30, 1), 1, 3600)
	if !u.ByMemory || u.Utilisation <= 1 {
		t.Errorf("%+v", u)
	}
}

func TestNothingStandsInfinitelyUsedUp(t *testing.T) {
	p := forty()
	for _, s := range []Withstand{{}, ContinuousPeak(0, 0, 0), {Fuse: &FuseCurve{}}} {
		if u := p.Use(s, 1, 100); !math.IsInf(u.Utilisation, 1) {
			t.Errorf("%+v: %+v", s, u)
		}
	}
}

func BenchmarkUse(b *testing.B) {
	p := forty()
	for name, s := range map[string]Withstand{
		"peak": ContinuousPeak(15, 30, 1), "long": ContinuousPeak(15, 60, 10), "wire": {Continuous: 25, Tau: 200}, "connector": ContinuousOnly(30),
		"fuse": {Scale: 0.75, Fuse: &FuseCurve{Time: []float64{0.03, 0.08, 0.15, 0.75, 360000}, Current: []float64{180, 105, 60, 40.5, 33}}},
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				p.Use(s, 1, 3600)
			}
		})
	}
}
