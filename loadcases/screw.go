package loadcases

import "math"

// Screw pushes a load by a thread. Motion is in m of the load; the incline is
// positive uphill for positive speed, 90° is a jack.
//
//	F = m·g·sin θ + force·sign v + m·a
//	λ = atan(lead/(π·d_mean))   φ = atan(µ/cos β)
//	η = tan λ/tan(λ+φ)          ηb = tan(λ−φ)/tan λ, signed
//	T = F·lead/(2π·η)/n where F·v ≥ 0, F·lead·ηb/(2π)/n where F·v < 0
//
// A collar adds µc·|F|·rc against the motion. With a stated efficiency in
// place of friction ηb = 2 − 1/η.
type Screw struct {
	Motors         int     // n ≥ 1
	Mass           float64 // kg; the leg's payload joins it
	Force          float64 // N, against the motion
	Lead           float64 // m per turn
	Diameter       float64 // m, mean
	Friction       float64 // µ of the thread; used when Efficiency is 0
	FlankAngle     float64 // rad, β: half the included thread angle
	Efficiency     float64 // 0…1; 0 computes it from friction
	CollarFriction float64 // µc
	CollarRadius   float64 // m
	Inertia        float64 // kg·m², of the screw
}

// ShaftSpeed is 2π/lead.
func (s *Screw) ShaftSpeed(*Leg) float64 { return 2 * math.Pi / s.Lead }

// Torque is the torque per motor at the screw in N·m.
func (s *Screw) Torque(leg *Leg, m Motion) float64 {
	way := signOf(m)
	force := s.load(leg)*(gravity*math.Sin(leg.Incline)+m.Acceleration) + s.Force*way
	torque := force * s.Lead / (2 * math.Pi)
	forward, back := s.Efficiencies()
	if force*way >= 0 {
		torque /= forward
	} else {
		torque *= back
	}
	torque += s.CollarFriction * math.Abs(force) * s.CollarRadius * way
	return (torque + s.Inertia*m.Acceleration*s.ShaftSpeed(leg)) / float64(s.Motors)
}

// Efficiencies returns the thread's η and its signed ηb, the collar left out.
func (s *Screw) Efficiencies() (forward, back float64) {
	if s.Efficiency > 0 {
		return s.Efficiency, 2 - 1/s.Efficiency
	}
	lead := math.Atan(s.Lead / (math.Pi * s.Diameter))
	friction := math.Atan(s.Friction / math.Cos(s.FlankAngle))
	return math.Tan(lead) / math.Tan(lead+friction), math.Tan(lead-friction) / math.Tan(lead)
}

// SelfLocking reports whether the load cannot turn the screw, ηb ≤ 0.
func (s *Screw) SelfLocking() bool {
	_, back := s.Efficiencies()
	return back <= 0
}

// Held is F·lead/(2π) per motor with no friction's help, and 0 where the
// thread locks itself.
func (s *Screw) Held(leg *Leg, _ float64) float64 {
	if s.SelfLocking() {
		return 0
	}
	return s.pull(leg)
}

// Released is the torque per motor with which the load drives the screw when
// it runs back slowly, thread friction counted: 0 or less when self-locking.
func (s *Screw) Released(leg *Leg, _ float64) float64 {
	_, back := s.Efficiencies()
	return math.Abs(s.pull(leg)) * back
}

// Turning is false.
func (s *Screw) Turning() bool { return false }

// Varies is false.
func (s *Screw) Varies() bool { return false }

func (s *Screw) load(leg *Leg) float64 { return s.Mass + leg.Payload }

// pull is the frictionless torque of the weight along the screw, per motor.
func (s *Screw) pull(leg *Leg) float64 {
	return s.load(leg) * gravity * math.Sin(leg.Incline) * s.Lead / (2 * math.Pi) / float64(s.Motors)
}
