package heat

import "math"

// OneNode is a machine seen as one lump of heat with two time constants:
// while it works its fan or its motion cools it, while it stands it cools more
// slowly. Times are in any one unit, s here; temperatures in °C or, as rises,
// in K.
//
//	dθ/dt = (θ_final − θ)/τ,   τ = Heating under load, Cooling at rest
//
// It is the picture in which duty types are rated, beside the two-node Body
// that judges a motor. Source: Dubey, Fundamentals of Electrical Drives, ch. 4.
type OneNode struct {
	Heating float64 // τ under load, > 0
	Cooling float64 // τ at rest; 0 takes Heating
}

func (n OneNode) cooling() float64 {
	if n.Cooling > 0 {
		return n.Cooling
	}
	return n.Heating
}

// Heat is the temperature after t under a load that would bring the machine
// to final: final + (from − final)·exp(−t/τ). A negative t looks back in time.
func (n OneNode) Heat(from, final, t float64) float64 {
	return final + (from-final)*math.Exp(-t/n.Heating)
}

// Cool is the same at rest, toward the temperature of the surroundings or of
// an idle run.
func (n OneNode) Cool(from, final, t float64) float64 {
	return final + (from-final)*math.Exp(-t/n.cooling())
}

// Final is the temperature toward which a load heats that brings the machine
// from one temperature to another in t > 0.
func (n OneNode) Final(from, to, t float64) float64 {
	return from + (to-from)/-math.Expm1(-t/n.Heating)
}

// Periodic is the highest and lowest temperature of a duty repeated without
// end: on under a load that would lead to loaded, off at rest toward idle.
func (n OneNode) Periodic(loaded, idle, on, off float64) (peak, valley float64) {
	h, c := math.Exp(-on/n.Heating), math.Exp(-off/n.cooling())
	valley = (idle*(1-c) + loaded*c*(1-h)) / (1 - c*h)
	return n.Heat(valley, loaded, on), valley
}

// TimeConstant is the τ with which a machine goes from one temperature to
// another in t on its way to final: t/ln((from − final)/(to − final)). NaN
// when it does not lie on such a way.
func TimeConstant(from, to, final, t float64) float64 {
	return t / math.Log((from-final)/(to-final))
}

// FromReadings is the final temperature and time constant that go with three
// readings at equal intervals t: at the start, after t and after 2·t. NaN or
// infinite when they lie on a straight line or bend upward.
func FromReadings(start, middle, end, t float64) (final, tau float64) {
	first, second := middle-start, end-middle
	if !(second < first) {
		return math.Inf(1), math.Inf(1)
	}
	return start + first*first/(first-second), t / math.Log(first/second)
}

// FromSlopes is the final temperature and time constant that go with the
// rates of rise at two temperatures, per unit of time.
func FromSlopes(at1, slope1, at2, slope2 float64) (final, tau float64) {
	tau = (at2 - at1) / (slope1 - slope2)
	return at1 + slope1*tau, tau
}

// S1 is the factor on the continuous rating in continuous duty, 1 by
// definition (IEC 60034-1).
func (n OneNode) S1() float64 { return 1 }

// S2 is the factor on the continuous rating in short-time duty: on for a time,
// then off until cold.
//
//	K = √((1 + a)/(1 − exp(−on/τh)) − a)
//
// a is the loss that does not depend on load over the copper loss, both at the
// continuous rating; 0 ≤ a. The factor is one on current, and on torque or
// power where those are proportional to current.
func (n OneNode) S2(on, a float64) float64 {
	return math.Sqrt((1+a)/-math.Expm1(-on/n.Heating) - a)
}

// Continuous is the inverse question: the continuous rating of a machine that
// is known by its short-time rating.
func (n OneNode) Continuous(shortTime, on, a float64) float64 {
	return shortTime / n.S2(on, a)
}

// Intermittent is the factor on the continuous rating when on and off follow
// one another without end.
//
//	K = √((1 + a)·(1 − exp(−(on/τh + off/τc)))/(1 − exp(−on/τh)) − a)
//
// With off → ∞ it is S2, with off = 0 it is 1.
func (n OneNode) Intermittent(on, off, a float64) float64 {
	share := math.Expm1(-(on/n.Heating + off/n.cooling())) / math.Expm1(-on/n.Heating)
	return math.Sqrt((1+a)*share - a)
}

// S3 is the factor in intermittent periodic duty as IEC 60034-1 names it: the
// cyclic duration factor is on/(on + off), 0 < factor ≤ 1; the cycle lasts 10
// minutes where nothing else is said (from memory).
func (n OneNode) S3(factor, cycle, a float64) float64 {
	return n.Intermittent(factor*cycle, (1-factor)*cycle, a)
}

// Piece is a stretch of a load that runs straight from one value to another.
type Piece struct{ From, To, Time float64 }

// RMS is the root of the mean square of a load in straight pieces: a piece
// from a to b counts (a² + a·b + b²)/3. It is the steady load that heats a
// machine the same, where the cycle is short against its time constants. 0
// without pieces.
func RMS(pieces ...Piece) float64 {
	var sum, time float64
	for _, p := range pieces {
		sum += (p.From*p.From + p.From*p.To + p.To*p.To) / 3 * p.Time
		time += p.Time
	}
	if time == 0 {
		return 0
	}
	return math.Sqrt(sum / time)
}
