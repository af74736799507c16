package loadcases

import "math"

// Arm is a lever that turns against gravity. Motion is the angle in rad from
// the horizontal.
//
//	T = [(Σ mᵢ·rᵢ)·g·cos φ + J·φ̈ − balance(φ)]/n
//	J = Σ mᵢ·rᵢ² + m_arm·L²/12 + added
//
// The balance is a constant torque, a counterweight (whose m·r² counts in J)
// and a spring, torque_at − rate·(φ − angle); all three at once are allowed.
type Arm struct {
	Motors    int     // n ≥ 1
	Mass      float64 // kg at Radius; the leg's payload joins it there
	Radius    float64 // m
	ArmMass   float64 // kg at ArmRadius
	ArmRadius float64 // m, of the arm's own centre of mass
	ArmLength float64 // m; 0 treats the arm's mass as a point
	Inertia   float64 // kg·m², added
	Angle     float64 // rad, where the cycle begins when no move says so

	BalanceTorque float64 // N·m, constant, helping upwards
	CounterMass   float64 // kg
	CounterRadius float64 // m
	SpringRate    float64 // N·m/rad
	SpringTorque  float64 // N·m at SpringAngle, helping upwards
	SpringAngle   float64 // rad
}

// ShaftSpeed is 1: the arm turns with the shaft.
func (a *Arm) ShaftSpeed(*Leg) float64 { return 1 }

// Torque is the torque per motor at the arm's pivot in N·m.
func (a *Arm) Torque(leg *Leg, m Motion) float64 {
	return a.Held(leg, m.Position) + a.inertia(leg)*m.Acceleration/float64(a.Motors)
}

// Held is gravity less balance at an angle, N·m per motor.
func (a *Arm) Held(leg *Leg, angle float64) float64 {
	moment := (a.Mass+leg.Payload)*a.Radius + a.ArmMass*a.ArmRadius - a.CounterMass*a.CounterRadius
	spring := a.SpringTorque - a.SpringRate*(angle-a.SpringAngle)
	return (moment*gravity*math.Cos(angle) - a.BalanceTorque - spring) / float64(a.Motors)
}

// Turning is true: legs are in rad.
func (a *Arm) Turning() bool { return true }

// Varies is true: gravity's lever changes with the angle.
func (a *Arm) Varies() bool { return true }

// inertia is the whole moment of inertia about the pivot in kg·m².
func (a *Arm) inertia(leg *Leg) float64 {
	return (a.Mass+leg.Payload)*a.Radius*a.Radius +
		a.ArmMass*(a.ArmRadius*a.ArmRadius+a.ArmLength*a.ArmLength/12) +
		a.CounterMass*a.CounterRadius*a.CounterRadius + a.Inertia
}

// Turntable turns about a fixed axis. Motion is the angle in rad, from where
// the imbalance hangs level.
//
//	T = [friction·sign ω + (J + m_e·e²)·α + m_e·g·e·sin(tilt)·cos φ]/n
type Turntable struct {
	Motors          int     // n ≥ 1
	Inertia         float64 // kg·m²
	FrictionTorque  float64 // N·m
	ImbalanceMass   float64 // kg
	ImbalanceOffset float64 // m
	Tilt            float64 // rad, of the axis from the vertical; π/2 is a rotisserie
}

// ShaftSpeed is 1.
func (t *Turntable) ShaftSpeed(*Leg) float64 { return 1 }

// Torque is the torque per motor at the table's axis in N·m.
func (t *Turntable) Torque(leg *Leg, m Motion) float64 {
	inertia := t.Inertia + t.ImbalanceMass*t.ImbalanceOffset*t.ImbalanceOffset
	return t.Held(leg, m.Position) + (t.FrictionTorque*signOf(m)+inertia*m.Acceleration)/float64(t.Motors)
}

// Held is the imbalance's pull at an angle; friction does not help.
func (t *Turntable) Held(_ *Leg, angle float64) float64 {
	return t.ImbalanceMass * gravity * t.ImbalanceOffset * math.Sin(t.Tilt) * math.Cos(angle) / float64(t.Motors)
}

// Turning is true.
func (t *Turntable) Turning() bool { return true }

// Varies reports whether an imbalance makes torque depend on the angle.
func (t *Turntable) Varies() bool {
	return t.ImbalanceMass*t.ImbalanceOffset != 0 && math.Sin(t.Tilt) != 0
}
