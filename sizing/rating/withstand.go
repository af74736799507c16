package rating

import "math"

// AssumedPeakTime is how long a peak current is allowed when the row does not
// say, in s: a convention of the model.
const AssumedPeakTime = 1.0

// Withstand is the current an element stands, C(w) in A rms, for a window of w
// seconds. Make one with ContinuousPeak, ContinuousOnly, Fuse.Withstand or
// WireWithstand. C never rises with w.
//
// With Fuse set, C = Scale·curve. Else with Tau > 0,
// C = Continuous/√(1 − exp(−w/Tau)), never above Peak when Peak > 0. Else
// C = Continuous.
type Withstand struct {
	Continuous float64    // A, for ever
	Peak       float64    // A, for PeakTime; 0 means no ceiling
	PeakTime   float64    // s
	Tau        float64    // s, thermal memory; computed; 0 means none
	Fuse       *FuseCurve // shortest opening times, or nil
	Scale      float64    // factor on the fuse curve; 0 means 1
}

// ContinuousPeak returns what an element stands that carries ic for ever and
// ip for tp seconds (tp ≤ 0: AssumedPeakTime): C = ic/√(1 − exp(−w/τ)) with τ
// from C(tp) = ip, capped at ip below tp. ip = ic, or an ip that is not given
// (≤ 0), is ContinuousOnly(ic); an ip below ic limits to ip throughout.
func ContinuousPeak(ic, ip, tp float64) Withstand {
	if !(ip > 0) || ip == ic || !(ic > 0) {
		return ContinuousOnly(ic)
	}
	if ip < ic {
		return ContinuousOnly(ip)
	}
	if !(tp > 0) {
		tp = AssumedPeakTime
	}
	q := ic / ip
	return Withstand{Continuous: ic, Peak: ip, PeakTime: tp, Tau: -tp / math.Log1p(-q*q)}
}

// ContinuousOnly returns what an element stands that has no credit for short
// times: C = ic.
func ContinuousOnly(ic float64) Withstand { return Withstand{Continuous: ic} }

// At returns C(w) in A rms; w in s.
func (s Withstand) At(w float64) float64 {
	switch {
	case s.Fuse != nil:
		return s.fuseScale() * s.Fuse.At(w)
	case s.Tau > 0:
		if s.Peak > 0 && w <= s.PeakTime {
			return s.Peak
		}
		c := s.Continuous / math.Sqrt(oneMinusExp(w/s.Tau))
		if s.Peak > 0 {
			c = math.Min(c, s.Peak)
		}
		return c
	}
	return s.Continuous
}

func (s Withstand) fuseScale() float64 {
	if s.Scale == 0 {
		return 1
	}
	return s.Scale
}

// oneMinusExp returns 1 − exp(−x) for x ≥ 0 without loss at small x.
func oneMinusExp(x float64) float64 {
	if x < 1e-3 {
		return x * (1 - x/2*(1-x/3*(1-x/4)))
	}
	return 1 - math.Exp(-x)
}

// FuseCurve is a falling current over a rising time, straight in log-log
// between its points. Before the first point I²·t is constant; after the last
// the current is the last one.
type FuseCurve struct {
	Time    []float64 // s, rising
	Current []float64 // A, falling
}

// At returns the current in A at time t > 0 in s; an empty curve gives 0.
func (c *FuseCurve) At(t float64) float64 {
	n := len(c.Time)
	if n == 0 {
		return 0
	}
	if t <= c.Time[0] {
		return c.Current[0] * math.Sqrt(c.Time[0]/t)
	}
	for i := 1; i < n; i++ {
		if t < c.Time[i] {
			return c.Current[i-1] * math.Pow(t/c.Time[i-1], -c.steepness(i))
		}
	}
	return c.Current[n-1]
}

// steepness returns q of I ∝ t^−q between points i−1 and i.
func (c *FuseCurve) steepness(i int) float64 {
	return math.Log(c.Current[i-1]/c.Current[i]) / math.Log(c.Time[i]/c.Time[i-1])
}
