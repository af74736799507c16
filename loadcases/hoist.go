package loadcases

import "math"

// Hoist lifts a load by rope and drum. Motion is in m of the load, positive up.
//
//	F = (m − m_cw)·g + (m + m_cw)·a
//	T = r·F/(parts·η_rope)/n          where F·v ≥ 0
//	T = r·F·(2 − 1/η_rope)/parts/n    where F·v < 0, signed
//
// plus the drum's inertia; drum speed is v·parts/r.
type Hoist struct {
	Motors         int     // n ≥ 1
	Mass           float64 // kg, cage and hook; the leg's payload joins it
	Radius         float64 // m, of the drum
	Parts          float64 // parts of line ≥ 1
	Counterweight  float64 // kg
	RopeEfficiency float64 // 0…1; 0 reads as 1
	DrumInertia    float64 // kg·m²
}

// ShaftSpeed is parts/r.
func (h *Hoist) ShaftSpeed(*Leg) float64 { return h.parts() / h.Radius }

// Torque is the torque per motor at the drum in N·m.
func (h *Hoist) Torque(leg *Leg, m Motion) float64 {
	drum := h.DrumInertia * m.Acceleration * h.ShaftSpeed(leg)
	return (h.rope(h.force(leg, m.Acceleration), signOf(m)) + drum) / float64(h.Motors)
}

// Held is r·F/parts per motor: no rope friction helps.
func (h *Hoist) Held(leg *Leg, _ float64) float64 {
	return h.Radius * h.force(leg, 0) / h.parts() / float64(h.Motors)
}

// Released is the torque per motor with which the load drives the drum when
// it runs back slowly, rope friction counted: 0 or less when that friction
// alone holds it.
func (h *Hoist) Released(leg *Leg, _ float64) float64 {
	return math.Abs(h.Held(leg, 0)) * (2 - 1/h.efficiency())
}

// Turning is false.
func (h *Hoist) Turning() bool { return false }

// Varies is false: torque is constant over a phase.
func (h *Hoist) Varies() bool { return false }

// Radial is the rope pull on one drum shaft in N, both ropes where there is
// a counterweight.
func (h *Hoist) Radial(leg *Leg, m Motion) (newton float64, ok bool) {
	load := (h.Mass + leg.Payload) * (gravity + m.Acceleration)
	pull := math.Abs(load)
	if h.Counterweight == 0 {
		pull = math.Abs(h.rope(load, signOf(m))) * h.parts() / h.Radius
	} else {
		pull += math.Abs(h.Counterweight * (gravity - m.Acceleration))
	}
	return pull / h.parts() / float64(h.Motors), true
}

func (h *Hoist) force(leg *Leg, acceleration float64) float64 {
	load := h.Mass + leg.Payload
	return (load-h.Counterweight)*gravity + (load+h.Counterweight)*acceleration
}

// rope is the torque of a rope force at the drum, N·m for all motors.
func (h *Hoist) rope(force, way float64) float64 {
	torque := h.Radius * force / h.parts()
	if force*way >= 0 {
		return torque / h.efficiency()
	}
	return torque * (2 - 1/h.efficiency())
}

func (h *Hoist) parts() float64 {
	if h.Parts < 1 {
		return 1
	}
	return h.Parts
}

func (h *Hoist) efficiency() float64 {
	if h.RopeEfficiency == 0 {
		return 1
	}
	return h.RopeEfficiency
}
