package drive

import (
	"math"

	"example.org/dray/sizing/rating"
)

// Supply is the pack or adapter, the wiring and the controller that n equal
// motors share, as one motor sees them.
//
//	Vreq = V + I·Rl + p·I·Ron + Vd·sign I
//	ib   = n·d·I + Iaux        Vbus = E − ib·Rt        d·Vbus = Vreq
type Supply struct {
	EMF        float64 // E, V, open circuit at the state of charge
	PackR      float64 // Rb, Ω
	LeadR      float64 // Rs, Ω, supply lead there and back
	MotorLeadR float64 // Rl, Ω, motor lead there and back
	SwitchR    float64 // Ron, Ω, of one channel
	Drop       float64 // Vd, V
	Aux        float64 // Iaux, A
	Motors     float64 // n
	PerChannel float64 // p
	DutyMax    float64 // d_max, (0, 1]
	Limit      float64 // A, current limit of a channel; +Inf none
	Holds      float64 // A, an adapter that holds its current; +Inf none
	Regenerate bool    // the controller may return current to the bus
	Absorbs    bool    // the source takes returned current (a pack does, an adapter does not)
	Frequency  float64 // Hz of the PWM; 0 unknown
}

// Rt is the resistance between the source's EMF and the bus.
func (s *Supply) Rt() float64 { return s.PackR + s.LeadR }

// series is the resistance in one motor's loop besides the winding.
func (s *Supply) series() float64 { return s.MotorLeadR + s.PerChannel*s.SwitchR }

// Point is the electrical state that a motor current and speed ask for.
type Point struct {
	MotorVoltage float64 // V, at the motor terminals
	Duty         float64 // d, signed
	Bus          float64 // V
	Battery      float64 // A, ib, negative charges
	Possible     bool    // a duty exists at all (it may still exceed d_max)
}

// At solves the bus for a motor current at a back-EMF (k·ω) and winding
// resistance: the root of smaller magnitude of d·(b − n·d·I·Rt) = Vreq,
// valid in all quadrants and for Rt = 0. Where the power cannot be had at all
// Possible is false and the point at the nose of the curve is given.
func (s *Supply) At(current, emf, winding float64) Point {
	v := emf + current*winding
	req := v + current*s.series() + s.Drop*sign(current)
	rt := s.Rt()
	b := s.EMF - s.Aux*rt
	p := Point{MotorVoltage: v, Possible: true}
	if req*current < 0 && !s.Regenerate { // burnt in the controller
		p.Battery = s.Aux
		p.Bus = b
		p.Duty = req / b
		return p
	}
	disc := b*b - 4*s.Motors*current*rt*req
	if disc < 0 {
		p.Possible = disc > -1e-9*b*b // at the nose itself, but for rounding
		disc = 0
	}
	p.Duty = 2 * req / (b + math.Sqrt(disc))
	p.Battery = s.Motors*p.Duty*current + s.Aux
	if p.Battery < 0 && !s.Absorbs {
		p.Battery = 0
		p.Duty = req / s.EMF
		p.Bus = s.EMF
		return p
	}
	p.Bus = s.EMF - p.Battery*rt
	return p
}

// Bound names what keeps a current from going further.
type Bound uint8

// The bounds of a motor current.
const (
	NoBound     Bound = iota
	VoltageEnd        // d at ±d_max
	SupplyEnd         // the sagging supply, or an adapter's amps
	CurrentEnd        // the controller's current limit
	TractionEnd       // grip
)

// String gives the word that outside readers know.
func (b Bound) String() string {
	return [...]string{"", "voltage", "supply", "current limit", "grip"}[b]
}

// Range is the interval of motor current to be had at a speed.
type Range struct {
	Low, High           float64
	LowBound, HighBound Bound
	// LowSlope and HighSlope are dI/d(back-EMF) of the ends, 1/Ω, ≤ 0.
	LowSlope, HighSlope float64
}

// Range finds what the motor can get at a back-EMF k·ω: the ends of
//
//	I(ω,d) = (d·b − k·ω)/(R + Rl + p·Ron + d²·n·Rt),  |d| ≤ d_max
//
// whose maximum lies at d* = min(d_max, (kω + √((kω)² + b²·Rsum/(n·Rt)))/b),
// with the bridge drop taken off, further cut by the controller's limit and an
// adapter's amps.
func (s *Supply) Range(emf, winding float64) Range {
	high, hb, hs := s.most(emf, winding)
	low, lb, ls := s.most(-emf, winding)
	r := Range{-low, high, lb, hb, ls, hs}
	if lim := s.Limit / s.PerChannel; lim < r.High {
		r.High, r.HighBound, r.HighSlope = lim, CurrentEnd, 0
	}
	if lim := s.Limit / s.PerChannel; -lim > r.Low {
		r.Low, r.LowBound, r.LowSlope = -lim, CurrentEnd, 0
	}
	return r
}

// most is the largest positive current at a back-EMF, what bounds it, and its
// slope over the back-EMF. A negative result means that even full command
// cannot keep the current from being regenerated.
func (s *Supply) most(emf, winding float64) (float64, Bound, float64) {
	rsum := winding + s.series()
	rt := s.Rt()
	b := s.EMF - s.Aux*rt
	d, bound := s.DutyMax, VoltageEnd
	if rt > 0 {
		// With the bridge drop the motor's back-EMF is effectively larger.
		e := emf + s.Drop
		if star := (e + math.Sqrt(e*e+b*b*rsum/(s.Motors*rt))) / b; star < d && star > 0 {
			d, bound = star, SupplyEnd
		}
	}
	over := d*b - emf
	if over > 0 {
		over = math.Max(0, over-s.Drop)
	} else {
		over = math.Min(0, over+s.Drop)
	}
	path := rsum + d*d*s.Motors*rt
	if over < 0 && !(s.Regenerate && s.Absorbs) {
		path = rsum // the returned power meets no source resistance
	}
	i := over / path
	if i > 0 && !math.IsInf(s.Holds, 1) && s.Motors*d*i+s.Aux > s.Holds {
		if h := s.held(emf, rsum); h < i {
			return h, SupplyEnd, -h / (emf + s.Drop + 2*h*rsum)
		}
	}
	return i, bound, -1 / path
}

// held is the largest current with the source at its held amps: the bus then
// stands at Vh = E − A·Rt, and n·d·I = A − Iaux with d·Vh = kω + I·Rsum + Vd,
// so I·(kω + Vd + I·Rsum) = (A − Iaux)·Vh/n.
func (s *Supply) held(emf, rsum float64) float64 {
	power := (s.Holds - s.Aux) * (s.EMF - s.Holds*s.Rt()) / s.Motors
	if power <= 0 {
		return 0
	}
	e := emf + s.Drop
	return (-e + math.Sqrt(e*e+4*rsum*power)) / (2 * rsum)
}

// Least is the smallest EMF at which a motor current at a back-EMF can still
// be had within d_max, meaningful above a volt or so: the closed form behind "the first state of charge at
// which the duty can no longer be followed".
func (s *Supply) Least(current, emf, winding float64) float64 {
	req := emf + current*(winding+s.series()) + s.Drop*sign(current)
	rt := s.Rt()
	power := req * current
	need := math.Abs(req) / s.DutyMax
	if power < 0 && !s.Regenerate {
		return need + s.Aux*rt
	}
	// The nose of the curve, b² = 4·n·I·Rt·Vreq, lies inside d_max: below it
	// no command helps.
	if power > 0 {
		nose := 2 * math.Sqrt(s.Motors*power*rt)
		if nose > 0 && 2*math.Abs(req)/nose <= s.DutyMax {
			return nose + s.Aux*rt
		}
	}
	battery := s.Motors*s.DutyMax*current*sign(req) + s.Aux
	if battery < 0 && !s.Absorbs {
		return need
	}
	return need + battery*rt
}

// RippleSquare is the extra mean square of a motor's current from PWM ripple,
// A², by rating.RippleSquare; 0 when inductance or frequency is unknown.
func (s *Supply) RippleSquare(bus, duty, winding, inductance float64) float64 {
	if inductance <= 0 || s.Frequency <= 0 {
		return 0
	}
	return rating.RippleSquare(bus, duty, winding, inductance, s.Frequency)
}

func sign(x float64) float64 {
	if x > 0 {
		return 1
	}
	if x < 0 {
		return -1
	}
	return 0
}
