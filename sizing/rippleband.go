package sizing

import (
	"fmt"
	"math"

	"example.org/dray/quantity"
	"example.org/dray/sizing/rating"
)

// Time constants L/R assumed of a small brushed motor whose inductance is not
// listed, s (common practice, no source).
const (
	shortestElectric = 0.3e-3
	longestElectric  = 1e-3
)

// RippleBand is what PWM ripple adds to the heat of a cycle, in the two ways of
// driving a bridge: sign-magnitude with the motor shorted in the pauses (slow
// decay), which the model takes, and locked anti-phase, which swings between
// plus and minus the bus. Low and high are equal when the inductance is listed;
// else they are the ends of the assumed L/R.
type RippleBand struct {
	Known     bool       // inductance and frequency are both listed: the heat counts everywhere
	Frequency float64    // Hz; NaN unknown
	Extra     [2]float64 // A², mean over the cycle, sign-magnitude; NaN when the frequency is unknown
	Factor    [2]float64 // form factor I_rms/√mean I², sign-magnitude
	Swing     [2]float64 // A, the largest peak-to-peak, sign-magnitude
	Locked    [2]float64 // form factor of locked anti-phase
	Peak      [2]float64 // °C, the winding's peak with that ripple where it is not counted; NaN when counted or unknown
	Quiet     float64    // Hz above which ripple adds less than 1 % to copper heat, sign-magnitude, at the shorter L/R
	Sentence  string
}

// rippleBand works the ripple out, or its band.
func (e *evaluator) rippleBand() RippleBand {
	nan := [2]float64{math.NaN(), math.NaN()}
	b := RippleBand{Frequency: math.NaN(), Extra: nan, Factor: nan, Swing: nan, Locked: nan, Peak: nan}
	m := &e.s.drive.Machine
	inductance := [2]float64{m.Inductance, m.Inductance}
	listed := m.Inductance > 0
	if !listed {
		inductance = [2]float64{longestElectric * m.Resistance, shortestElectric * m.Resistance}
	}
	f := e.s.drive.Supply.Frequency
	b.Known = listed && f > 0
	square := e.meanSquare()
	if square > 0 {
		b.Quiet = e.quiet(inductance[1], 0.01*square)
	}
	if f > 0 {
		b.Frequency = f
		for k, l := range inductance {
			b.Extra[k] = e.meanRipple(l, f, false)
			b.Factor[k] = math.Sqrt(1 + b.Extra[k]/square)
			b.Locked[k] = math.Sqrt(1 + e.meanRipple(l, f, true)/square)
			b.Swing[k] = e.swing(l, f)
			if !b.Known {
				b.Peak[k] = e.peakWith(l)
			}
		}
	}
	b.Sentence = b.tell(listed, square > 0)
	switch {
	case !math.IsNaN(b.Peak[1]):
		b.Sentence += fmt.Sprintf("; the winding would peak at %s to %s °C instead of %s °C", sig(b.Peak[0]), sig(b.Peak[1]), sig(e.out.WindingPeak))
	case !b.Known && f > 0 && e.res.Heated && !e.res.Runaway:
		b.Sentence += "; the winding might run away"
	}
	return b
}

// peakWith is the winding's peak if its inductance were this, °C; NaN when it
// is unknown or runs away.
func (e *evaluator) peakWith(henry float64) float64 {
	p := e.s.pick
	m := *p.Motor
	m.Inductance = quantity.Figure[quantity.Inductance]{Value: quantity.Inductance(henry), Basis: quantity.Assumed}
	p.Motor = &m
	var out Candidate
	newEvaluator(e.b).judge(p, &out)
	return out.WindingPeak
}

func (b *RippleBand) tell(listed, current bool) string {
	switch {
	case !current:
		return "no current flows: there is no ripple to speak of"
	case b.Known:
		return fmt.Sprintf("at %s kHz ripple swings %s A at most and multiplies copper heat by %s (sign-magnitude, slow decay; counted in every temperature); locked anti-phase would make it %s",
			sig(b.Frequency/1000), sig(b.Swing[0]), sig(b.Factor[0]*b.Factor[0]), sig(b.Locked[0]*b.Locked[0]))
	case math.IsNaN(b.Frequency):
		why := "with the inductance listed"
		if !listed {
			why = "for an L/R of 0.3 ms, assumed"
		}
		return fmt.Sprintf("the PWM frequency is not listed, so ripple heat is left out; above %s kHz it adds less than 1 %% (%s, sign-magnitude)", sig(b.Quiet/1000), why)
	}
	return fmt.Sprintf("at %s kHz, with an L/R of 1 to 0.3 ms assumed because the inductance is not listed, ripple would multiply copper heat by %s to %s (sign-magnitude, slow decay) or %s to %s (locked anti-phase); it is left out of the temperatures. Above %s kHz it adds less than 1 %%; switching loss grows with frequency",
		sig(b.Frequency/1000), sig(b.Factor[0]*b.Factor[0]), sig(b.Factor[1]*b.Factor[1]), sig(b.Locked[0]*b.Locked[0]), sig(b.Locked[1]*b.Locked[1]), sig(b.Quiet/1000))
}

// meanSquare is the mean of I² over the cycle without ripple, A².
func (e *evaluator) meanSquare() float64 {
	return e.overCycle(func(i int) float64 {
		c := e.res.Trace.Samples[i].Current
		return c * c
	})
}

// meanRipple is the mean extra square of ripple over the cycle, A². Locked
// anti-phase is a chopper of twice the bus at the duty (1 + d)/2.
func (e *evaluator) meanRipple(l, f float64, locked bool) float64 {
	return e.overCycle(func(i int) float64 {
		s := &e.res.Trace.Samples[i]
		if !s.Powered {
			return 0
		}
		r := e.s.drive.Machine.R(s.Winding)
		if locked {
			return rating.RippleSquare(2*s.Bus, (1+s.Duty)/2, r, l, f)
		}
		return rating.RippleSquare(s.Bus, s.Duty, r, l, f)
	})
}

// swing is the largest peak-to-peak ripple of the cycle, A.
func (e *evaluator) swing(l, f float64) float64 {
	most := 0.0
	for i := range e.res.Trace.Samples {
		if s := &e.res.Trace.Samples[i]; s.Powered {
			d, _ := rating.Ripple(s.Bus, s.Duty, e.s.drive.Machine.R(s.Winding), l, f)
			most = math.Max(most, d)
		}
	}
	return most
}

// quiet is the frequency at which ripple's mean square falls to a target, Hz.
func (e *evaluator) quiet(l, target float64) float64 {
	low, high := 1.0, 1e6
	if e.meanRipple(l, low, false) <= target {
		return 0
	}
	for range 40 {
		mid := math.Sqrt(low * high)
		if e.meanRipple(l, mid, false) > target {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Sqrt(low * high)
}

// overCycle is the mean over the cycle of something asked at every sample.
func (e *evaluator) overCycle(of func(sample int) float64) float64 {
	t := e.res.Trace
	sum := 0.0
	for i := range t.Intervals {
		iv := &t.Intervals[i]
		sum += iv.Time * (of(iv.First) + 4*of(iv.First+1) + of(iv.First+2)) / 6
	}
	return sum / t.Time
}
