package loadcases

import "math"

// Belt carries a load over a pulley. Motion is in m along the belt; the
// incline is positive uphill for positive speed.
//
//	T = r·[m·g·(µ·cos θ·sign v + sin θ) + (m + m_belt)·a]/n
//
// plus the pulleys' inertia.
type Belt struct {
	Motors          int     // n ≥ 1
	Mass            float64 // kg on the belt; the leg's payload joins it
	BeltMass        float64 // kg
	Radius          float64 // m, of the drive pulley
	Friction        float64 // µ between belt and bed, or the rollers' coefficient
	BreakawayFactor float64 // friction at the first instant over friction; 0 reads as 1
	PulleyInertia   float64 // kg·m², all pulleys, at the drive pulley
}

// ShaftSpeed is 1/r.
func (b *Belt) ShaftSpeed(*Leg) float64 { return 1 / b.Radius }

// Torque is the torque per motor at the drive pulley in N·m.
func (b *Belt) Torque(leg *Leg, m Motion) float64 { return b.torque(leg, m, 1) }

// Start is the torque at the instant motion starts, friction times breakaway.
func (b *Belt) Start(leg *Leg, m Motion) float64 { return b.torque(leg, m, b.breakaway()) }

// Held is the slope's pull; friction does not help.
func (b *Belt) Held(leg *Leg, _ float64) float64 {
	return b.Radius * b.load(leg) * gravity * math.Sin(leg.Incline) / float64(b.Motors)
}

// Turning is false.
func (b *Belt) Turning() bool { return false }

// Varies is false.
func (b *Belt) Varies() bool { return false }

// Radial is twice the belt force in N on one pulley shaft.
func (b *Belt) Radial(leg *Leg, m Motion) (newton float64, ok bool) {
	return 2 * math.Abs(b.force(leg, m, 1)) / float64(b.Motors), true
}

func (b *Belt) torque(leg *Leg, m Motion, factor float64) float64 {
	return (b.Radius*b.force(leg, m, factor) + b.PulleyInertia*m.Acceleration/b.Radius) / float64(b.Motors)
}

func (b *Belt) force(leg *Leg, m Motion, factor float64) float64 {
	load := b.load(leg)
	friction := b.Friction * factor * math.Cos(leg.Incline) * signOf(m)
	return load*gravity*(friction+math.Sin(leg.Incline)) + (load+b.BeltMass)*m.Acceleration
}

func (b *Belt) load(leg *Leg) float64 { return b.Mass + leg.Payload }

func (b *Belt) breakaway() float64 {
	if b.BreakawayFactor == 0 {
		return 1
	}
	return b.BreakawayFactor
}
