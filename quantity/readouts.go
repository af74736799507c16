package quantity

import "math"

// Read-outs give a quantity as a plain number in the unit the method names.
// They are the inverses of the unit constants.

// Metres gives m.
func (l Length) Metres() float64 { return float64(l) }

// Millimetres gives mm.
func (l Length) Millimetres() float64 { return float64(l) * 1e3 }

// Inches gives in.
func (l Length) Inches() float64 { return float64(l / Inch) }

// Feet gives ft.
func (l Length) Feet() float64 { return float64(l / Foot) }

// SquareMillimetres gives mm².
func (a Area) SquareMillimetres() float64 { return float64(a) * 1e6 }

// Kilograms gives kg.
func (m Mass) Kilograms() float64 { return float64(m) }

// Grams gives g.
func (m Mass) Grams() float64 { return float64(m) * 1e3 }

// Pounds gives lb, avoirdupois.
func (m Mass) Pounds() float64 { return float64(m / Pound) }

// Ounces gives oz, avoirdupois.
func (m Mass) Ounces() float64 { return float64(m / Ounce) }

// Weight gives the force of standard gravity on the mass, in N.
func (m Mass) Weight() Force { return Force(m) * StandardGravity }

// Seconds gives s.
func (t Time) Seconds() float64 { return float64(t) }

// Milliseconds gives ms.
func (t Time) Milliseconds() float64 { return float64(t) * 1e3 }

// Microseconds gives µs.
func (t Time) Microseconds() float64 { return float64(t) * 1e6 }

// Minutes gives min.
func (t Time) Minutes() float64 { return float64(t / Minute) }

// Hours gives h.
func (t Time) Hours() float64 { return float64(t / Hour) }

// MetresPerSecond gives m/s.
func (v Speed) MetresPerSecond() float64 { return float64(v) }

// KilometresPerHour gives km/h.
func (v Speed) KilometresPerHour() float64 { return float64(v) * 3.6 }

// FeetPerSecond gives ft/s.
func (v Speed) FeetPerSecond() float64 { return float64(v / FootPerSecond) }

// MilesPerHour gives mph.
func (v Speed) MilesPerHour() float64 { return float64(v / MilePerHour) }

// MetresPerSecondSquared gives m/s².
func (a Acceleration) MetresPerSecondSquared() float64 { return float64(a) }

// Gravities gives multiples of standard gravity.
func (a Acceleration) Gravities() float64 { return float64(a) / StandardGravity }

// Newtons gives N.
func (f Force) Newtons() float64 { return float64(f) }

// KilogramsForce gives kgf.
func (f Force) KilogramsForce() float64 { return float64(f / KilogramForce) }

// PoundsForce gives lbf.
func (f Force) PoundsForce() float64 { return float64(f / PoundForce) }

// NewtonMetres gives N·m.
func (t Torque) NewtonMetres() float64 { return float64(t) }

// NewtonCentimetres gives N·cm.
func (t Torque) NewtonCentimetres() float64 { return float64(t) * 100 }

// MillinewtonMetres gives mN·m.
func (t Torque) MillinewtonMetres() float64 { return float64(t) * 1e3 }

// KilogramCentimetres gives kg·cm, that is kgf·cm.
func (t Torque) KilogramCentimetres() float64 { return float64(t / KilogramCentimetre) }

// OunceInches gives oz·in, that is ozf·in.
func (t Torque) OunceInches() float64 { return float64(t / OunceInch) }

// PoundInches gives lb·in, that is lbf·in.
func (t Torque) PoundInches() float64 { return float64(t / PoundInch) }

// PoundFeet gives lb·ft, that is lbf·ft.
func (t Torque) PoundFeet() float64 { return float64(t / PoundFoot) }

// Radians gives rad.
func (a Angle) Radians() float64 { return float64(a) }

// Degrees gives degrees.
func (a Angle) Degrees() float64 { return float64(a / Degree) }

// Turns gives whole turns.
func (a Angle) Turns() float64 { return float64(a / Turn) }

// GradePercent gives the rise per hundred of run, 100·tan; an incline of 14 %
// is 7.97°. It has no meaning at ±90°.
func (a Angle) GradePercent() float64 { return 100 * math.Tan(float64(a)) }

// Grade gives the incline that rises percent per hundred of run.
func Grade(percent float64) Angle { return Angle(math.Atan(percent / 100)) }

// RadiansPerSecond gives rad/s.
func (w AngularSpeed) RadiansPerSecond() float64 { return float64(w) }

// RPM gives revolutions per minute.
func (w AngularSpeed) RPM() float64 { return float64(w / RPM) }

// DegreesPerSecond gives deg/s.
func (w AngularSpeed) DegreesPerSecond() float64 { return float64(w / DegreePerSecond) }

// KilogramSquareMetres gives kg·m².
func (j Inertia) KilogramSquareMetres() float64 { return float64(j) }

// GramSquareCentimetres gives g·cm².
func (j Inertia) GramSquareCentimetres() float64 { return float64(j) * 1e7 }

// OunceSquareInches gives oz·in², the ounce a mass.
func (j Inertia) OunceSquareInches() float64 { return float64(j / OunceSquareInch) }
