package rating

import "math"

// Ripple returns what chopping at duty d (its magnitude counts) adds to a
// motor's mean current: the peak-to-peak ripple ΔI in A, and the mean square
// beyond the square of the mean in A² (I_rms² = I² + extra).
//
// With T = 1/f, τ = l/r, e(t) = 1 − exp(−t/τ):
//
//	ΔI    = (V/r)·e(dT)·e((1−d)T)/e(T)
//	extra = (V/r)²·[d(1−d) − (τ/T)·e(dT)·e((1−d)T)/e(T)]
//
// valid for a current that never stops (four-quadrant chopping). vbus in V, r
// in Ω, l in H, f in Hz. Exact for any T/τ, from r = 0 (V·d(1−d)/(l·f),
// ΔI²/12) to l = 0 (V/r, (V/r)²·d(1−d)); zeros where nothing is chopped
// (d ≤ 0 or ≥ 1, vbus = 0); both r and l zero give +Inf. The caller knows l
// and f: where they are unknown the ripple is unknown, not zero.
// Textbook steady state of an R-L chopper; published checks J.
func Ripple(vbus, d, r, l, f float64) (deltaI, extraSquare float64) {
	d = math.Abs(d)
	if !(d > 0) || d >= 1 || vbus == 0 {
		return 0, 0
	}
	extraSquare = RippleSquare(vbus, d, r, l, f)
	x := r / (l * f) // T/τ
	if x >= 2 || math.IsNaN(x) {
		return math.Abs(vbus) / r * oneMinusExp(d*x) * oneMinusExp((1-d)*x) / oneMinusExp(x), extraSquare
	}
	q := d * (1 - d)
	if x > 0 {
		q = oneMinusExp(d*x) / x * (oneMinusExp((1-d)*x) / oneMinusExp(x))
	}
	return math.Abs(vbus) / (l * f) * q, extraSquare
}

// RippleSquare is Ripple's mean square alone, A²; the march asks for it at
// every sample.
func RippleSquare(vbus, d, r, l, f float64) float64 {
	d = math.Abs(d)
	if !(d > 0) || d >= 1 || vbus == 0 {
		return 0
	}
	x := r / (l * f) // T/τ
	if x >= 2 || math.IsNaN(x) {
		i := vbus / r
		q := oneMinusExp(d*x) * oneMinusExp((1-d)*x) / oneMinusExp(x)
		return i * i * math.Max(0, d*(1-d)-q/x)
	}
	// Below, the bracket is a small difference of equal terms. With y = x/2
	// and v = (2d − 1)² it equals
	//	Σ_{k≥2} y^2k/(2k)!·(1 − v)·Σ_{j<k}(1 − v^j) / (2·y·sinh y),
	// a sum of positive terms only.
	y2 := x * x / 4
	v := (2*d - 1) * (2*d - 1)
	sum, inner, power, term := 0.0, 0.0, 1.0, 1.0/24
	for k := 2; k < 14; k++ {
		power *= v
		inner += 1 - power
		sum += term * inner
		if term *= y2 / float64((2*k+1)*(2*k+2)); term < 1e-15 {
			break
		}
	}
	sinhc := 1 + y2/6*(1+y2/20*(1+y2/42*(1+y2/72*(1+y2/110*(1+y2/156)))))
	i := vbus / (l * f)
	return i * i * (1 - v) * sum / (8 * sinhc)
}

// StepCurrent returns the current of each motor in A and the bus voltage in V
// at the instant a full command is thrown on n like motors: from rest (kw = 0)
// i = e/(rsum + n·rt), on a reversal from the back-EMF kw
// i = (e + kw)/(rsum + n·rt), bus e − n·i·rt.
//
// e in V is the full-charge voltage less the drop of the standing load
// (E − Iaux·Rt), rsum in Ω the motor's path at its temperature, rt in Ω the
// pack and its lead. No resistance at all gives +Inf. A controller's current
// limit or ramp that would tame it is not in it.
func StepCurrent(e, kw, rsum, rt float64, n int) (i, vbus float64) {
	i = (e + kw) / (rsum + float64(n)*rt)
	if rt == 0 {
		return i, e
	}
	return i, e - float64(n)*i*rt
}
