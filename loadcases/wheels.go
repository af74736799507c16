package loadcases

import (
	"math"

	"example.org/dray/quantity"
)

const gravity = quantity.StandardGravity

// Driven axles of a wheeled machine, seen in its forward direction.
const (
	DrivenRear  = "rear"
	DrivenFront = "front"
	DrivenAll   = "all"
)

// Wheels is a machine on driven wheels or tracks. Motion is in m along the
// ground, or in rad of yaw in a pivot leg.
//
//	F = s·m·g·sin θ + Crr·m·g·cos θ·sign v + ½·ρ·CdA·v·|v| + m·a
//	T = r/n·(F + Jrot/r²·a)
//
// with s the leg's Sense, so an incline is positive uphill in the direction of
// travel.
type Wheels struct {
	Motors            int     // n ≥ 1, sharing the load equally
	Mass              float64 // kg, the machine itself; the payload is the leg's
	Radius            float64 // m
	RollingResistance float64 // Crr, 1
	RotatingInertia   float64 // kg·m², all wheels together, at the wheels
	DragArea          float64 // m², Cd·A
	Wheelbase         float64 // m; 0 not given
	Track             float64 // m; 0 not given
	ScrubFriction     float64 // µt of a pivot turn; 0 is a machine on casters
	Tracks            bool    // the contact is tracks, not wheels

	GripFriction float64 // µ; 0 not given
	DrivenShare  float64 // of the weight, at rest on the level; 0 not given
	GripHeight   float64 // m, of the centre of mass; 0 not given
	Driven       string  // rear, front, all; empty not given

	StepDriven bool    // a step meets the driven wheels, not the undriven axle
	StepShare  float64 // of the weight on the axle that meets the step; 0 takes 1 − DrivenShare, or one half
	StepRadius float64 // m, of the wheel that meets the step; 0 takes Radius
}

// ShaftSpeed is 1/r, or B/(2·r) in a pivot turn.
func (w *Wheels) ShaftSpeed(leg *Leg) float64 {
	if leg.Pivot {
		return w.Track / 2 / w.Radius
	}
	return 1 / w.Radius
}

// Torque is the torque per motor at the wheels in N·m, load inertia included.
func (w *Wheels) Torque(leg *Leg, m Motion) float64 {
	rotating := w.RotatingInertia * m.Acceleration * w.ShaftSpeed(leg)
	return (w.Radius*w.traction(leg, m) + rotating) / float64(w.Motors)
}

// Held is the share of the slope's pull; rolling resistance does not help.
func (w *Wheels) Held(leg *Leg, _ float64) float64 {
	if leg.Pivot {
		return 0
	}
	return w.Radius / float64(w.Motors) * sense(leg) * w.weight(leg) * math.Sin(leg.Incline)
}

// Turning is false: legs are in metres, pivot legs excepted.
func (w *Wheels) Turning() bool { return false }

// Varies reports whether air drag makes torque depend on speed.
func (w *Wheels) Varies() bool { return w.DragArea > 0 }

// traction is the force the ground takes from all driven wheels, in N along
// positive motion. In a pivot turn it is the sum over both sides of force per
// side M/B, rolling resistance included.
func (w *Wheels) traction(leg *Leg, m Motion) float64 {
	way := signOf(m)
	rolling := w.RollingResistance * w.weight(leg) * math.Cos(leg.Incline) * way
	if leg.Pivot {
		moment := w.scrub(leg)*way + w.yawInertia(leg)*m.Acceleration
		return 2*moment/w.Track + rolling
	}
	drag := 0.5 * quantity.AirDensity * w.DragArea * m.Speed * math.Abs(m.Speed)
	return sense(leg)*w.weight(leg)*math.Sin(leg.Incline) + rolling + drag + w.mass(leg)*m.Acceleration
}

// scrub is the yaw moment in N·m that turns the machine on the spot:
// µt·m·g·L·B/(2·√(L²+B²)) for wheels, µt·m·g·L/4 for tracks.
func (w *Wheels) scrub(leg *Leg) float64 {
	load := w.ScrubFriction * w.weight(leg) * w.Wheelbase
	if w.Tracks {
		return load / 4
	}
	if load == 0 {
		return 0
	}
	return load * w.Track / (2 * math.Hypot(w.Wheelbase, w.Track))
}

// yawInertia is m·(L²+B²)/12 in kg·m².
func (w *Wheels) yawInertia(leg *Leg) float64 {
	return w.mass(leg) * (w.Wheelbase*w.Wheelbase + w.Track*w.Track) / 12
}

func (w *Wheels) mass(leg *Leg) float64   { return w.Mass + leg.Payload }
func (w *Wheels) weight(leg *Leg) float64 { return w.mass(leg) * gravity }

// Grip returns the traction needed and the traction there is in N for the
// whole machine. The limit is
//
//	µ·(share·m·g·cos θ ± m·(g·sin θ + a)·h/Lw)
//
// + for rear, − for front driven in the sense of travel, when height,
// wheelbase and driven axle are given; the static share otherwise.
func (w *Wheels) Grip(leg *Leg, m Motion) (needed, limit float64, ok bool) {
	if w.GripFriction == 0 {
		return 0, 0, false
	}
	needed = math.Abs(w.traction(leg, m))
	normal := w.share() * w.weight(leg) * math.Cos(leg.Incline)
	if w.transfers() && !leg.Pivot {
		along := sense(leg)*gravity*math.Sin(leg.Incline) + m.Acceleration
		moved := w.mass(leg) * along * w.GripHeight / w.Wheelbase
		if w.Driven == DrivenFront {
			moved = -moved
		}
		normal += moved
	}
	return needed, w.GripFriction * max(normal, 0), true
}

// transfers reports whether weight transfer can be computed and matters.
func (w *Wheels) transfers() bool {
	return w.GripHeight > 0 && w.Wheelbase > 0 && (w.Driven == DrivenRear || w.Driven == DrivenFront)
}

// share is the weight share on the driven wheels; not given counts as all.
func (w *Wheels) share() float64 {
	if w.DrivenShare == 0 {
		return 1
	}
	return w.DrivenShare
}

// GripFootnote says what the grip limit leaves out; empty when nothing.
func (w *Wheels) GripFootnote() string {
	switch {
	case w.GripFriction == 0 || w.Driven == DrivenAll || w.transfers():
		return ""
	case w.Driven == "":
		return "grip from the weight share at rest: without driven: rear or front weight transfer is left out"
	default:
		return "grip from the weight share at rest: without height and wheelbase weight transfer is left out"
	}
}

// Radial is √((share·m·g·cos θ/n)² + (F/n)²) in N on one wheel shaft; not
// known when the share on the driven wheels is not.
func (w *Wheels) Radial(leg *Leg, m Motion) (newton float64, ok bool) {
	if w.DrivenShare == 0 && w.Driven != DrivenAll {
		return 0, false
	}
	n := float64(w.Motors)
	carried := w.share() * w.weight(leg) * math.Cos(leg.Incline) / n
	return math.Hypot(carried, w.traction(leg, m)/n), true
}

// Step meets an obstacle of height h at standstill. For the undriven axle of
// weight W the push is W·√(2rh−h²)/(r−h); for driven wheels the torque is
// W·√(2rh−h²) and the friction needed √(2rh−h²)/(r−h). Infinite for h ≥ r.
// The torque is per motor in N·m with the sign of the travel.
func (w *Wheels) Step(leg *Leg) (torque, needed, limit float64, gripKnown bool) {
	r, h := w.stepRadius(), leg.StepHeight
	n := float64(w.Motors)
	if h >= r {
		return math.Inf(1), math.Inf(1), 0, w.GripFriction > 0
	}
	reach := math.Sqrt(2*r*h - h*h)
	whole := w.weight(leg) * math.Cos(leg.Incline)
	axle := w.stepShare() * whole
	needed = axle * reach / (r - h)
	if w.StepDriven {
		return sense(leg) * axle * reach / n, needed, w.GripFriction * axle, w.GripFriction > 0
	}
	return sense(leg) * needed * w.Radius / n, needed, w.GripFriction * w.share() * whole, w.GripFriction > 0
}

func (w *Wheels) stepRadius() float64 {
	if w.StepRadius > 0 {
		return w.StepRadius
	}
	return w.Radius
}

func (w *Wheels) stepShare() float64 {
	switch {
	case w.StepShare > 0:
		return w.StepShare
	case w.DrivenShare == 0:
		return 0.5
	case w.StepDriven:
		return w.DrivenShare
	default:
		return 1 - w.DrivenShare
	}
}

// sense is the leg's sense with the zero value read as forward.
func sense(leg *Leg) float64 {
	if leg.Sense < 0 {
		return -1
	}
	return 1
}

// signOf is the sign of the speed, or of the direction where speed is 0.
func signOf(m Motion) float64 {
	switch {
	case m.Speed > 0:
		return 1
	case m.Speed < 0:
		return -1
	case m.Direction < 0:
		return -1
	default:
		return 1
	}
}
