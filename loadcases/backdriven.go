package loadcases

// Backdriven is a mechanism whose own friction stands between the load and
// the shaft when nothing is powered.
type Backdriven interface {
	// Released returns the size of the torque per motor with which the load
	// drives the shaft, friction counted; 0 or less when it cannot.
	Released(leg *Leg, position float64) float64
}

// Locking is a mechanism that may lock itself; Held is then 0 and the report
// says why.
type Locking interface {
	SelfLocking() bool
}

var (
	_ Mechanism  = (*Wheels)(nil)
	_ Mechanism  = (*Arm)(nil)
	_ Mechanism  = (*Hoist)(nil)
	_ Mechanism  = (*Turntable)(nil)
	_ Mechanism  = (*Belt)(nil)
	_ Mechanism  = (*Screw)(nil)
	_ Mechanism  = (*Shaft)(nil)
	_ Gripping   = (*Wheels)(nil)
	_ Climbing   = (*Wheels)(nil)
	_ Bearing    = (*Wheels)(nil)
	_ Bearing    = (*Hoist)(nil)
	_ Bearing    = (*Belt)(nil)
	_ Breakaway  = (*Belt)(nil)
	_ Backdriven = (*Hoist)(nil)
	_ Backdriven = (*Screw)(nil)
	_ Locking    = (*Screw)(nil)
)
