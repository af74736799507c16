package explain

import (
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/quantity"
)

// instant is a moment of the commanded motion that the example works out.
type instant struct {
	leg    int
	kind   loadcases.PhaseKind
	motion loadcases.Motion
}

const degree = 180 / math.Pi

// gravity is printed whole, with all its digits.
const gravity = "9.80665 m/s²"

// sense is the direction of an instant's motion.
func (in *instant) sense() float64 {
	switch {
	case in.motion.Speed != 0:
		return math.Copysign(1, in.motion.Speed)
	case in.motion.Direction < 0:
		return -1
	}
	return 1
}

// load writes the load's forces or moments term by term and returns the torque
// per motor at the load shaft as printed.
func (w *work) load(in *instant) float64 {
	leg := &w.c.Legs[in.leg]
	if in.kind == loadcases.Instant && leg.StepHeight == 0 {
		return w.breakaway(leg, in)
	}
	switch m := w.c.Mechanism.(type) {
	case *loadcases.Wheels:
		switch {
		case in.kind == loadcases.Instant:
			return w.step(m, leg)
		case in.kind == loadcases.Holding:
			return w.heldWheels(m, leg)
		case leg.Pivot:
			return w.pivot(m, leg, in)
		}
		return w.wheels(m, leg, in)
	case *loadcases.Arm:
		return w.arm(m, leg, in)
	case *loadcases.Hoist:
		return w.hoist(m, leg, in)
	case *loadcases.Turntable:
		return w.turntable(m, leg, in)
	case *loadcases.Belt:
		return w.belt(m, leg, in, 1)
	case *loadcases.Screw:
		return w.screw(m, leg, in)
	case *loadcases.Shaft:
		return w.shaft(m, leg, in)
	}
	return 0
}

func (w *work) breakaway(leg *loadcases.Leg, in *instant) float64 {
	if b, ok := w.c.Mechanism.(*loadcases.Belt); ok {
		return w.belt(b, leg, in, math.Max(1, b.BreakawayFactor))
	}
	return 0
}

// mass adds machine and payload.
func (w *work) mass(own, payload float64) float64 {
	if payload == 0 {
		return w.given("mass that moves", "m", own, "kg", quantity.Stated, "")
	}
	return w.line("mass that moves: machine and payload", "m", "m0 + payload", num(own, "kg")+" + "+num(payload, "kg"), "kg")
}

// travel is the leg's sense, which makes an incline positive uphill.
func travel(leg *loadcases.Leg) float64 {
	if leg.Sense < 0 {
		return -1
	}
	return 1
}

// total adds the terms there are; a single one is returned as it stands.
func (w *work) total(title, symbol, unit string, terms []term) float64 {
	if len(terms) == 1 {
		return terms[0].value
	}
	formula, expression := "", ""
	for i, t := range terms {
		if i > 0 {
			formula, expression = formula+" + ", expression+" + "
		}
		formula += t.symbol
		expression += num(t.value, unit)
	}
	if expression == "" {
		expression = "0 " + unit
	}
	return w.line(title, symbol, formula, expression, unit)
}

type term struct {
	symbol string
	value  float64
}

func (w *work) wheels(m *loadcases.Wheels, leg *loadcases.Leg, in *instant) float64 {
	mass := w.mass(m.Mass, leg.Payload)
	way := in.sense()
	slope := num(leg.Incline*degree, "°")
	var terms []term
	if leg.Incline != 0 {
		terms = append(terms, term{"Fs", w.line("slope, positive uphill in the direction of travel", "Fs", "s·m·g·sin θ",
			num(travel(leg), "")+" · "+num(mass, "kg")+" · "+gravity+" · sin("+slope+")", "N")})
	}
	if m.RollingResistance != 0 {
		terms = append(terms, term{"Fr", w.line("rolling resistance", "Fr", "Crr·m·g·cos θ·sign v",
			num(m.RollingResistance, "")+" · "+num(mass, "kg")+" · "+gravity+" · cos("+slope+") · "+num(way, ""), "N")})
	}
	if m.DragArea != 0 && in.motion.Speed != 0 {
		terms = append(terms, term{"Fd", w.line("air drag", "Fd", "½·ρ·CdA·v·|v|",
			"0.5 · "+num(quantity.AirDensity, "kg/m³")+" · "+num(m.DragArea, "m²")+" · "+num(in.motion.Speed, "m/s")+" · "+num(math.Abs(in.motion.Speed), "m/s"), "N")})
	}
	if in.motion.Acceleration != 0 {
		terms = append(terms, term{"Fa", w.line("acceleration of the mass", "Fa", "m·a",
			num(mass, "kg")+" · "+num(in.motion.Acceleration, "m/s²"), "N")})
	}
	force := w.total("force at the ground", "F", "N", terms)
	r := num(m.Radius, "m")
	return w.shared("torque at the wheel shaft, per motor", r+" · "+num(force, "N"), "r·F", m.RotatingInertia, in.motion.Acceleration, " / "+r, "Jrot·a/r", "m/s²", float64(m.Motors))
}

// shared divides a torque among the motors, rotating inertia added: inertia
// times acceleration times what turns it into the shaft's.
func (w *work) shared(title, torque, symbols string, inertia, acceleration float64, per, inertiaSymbols, unit string, n float64) float64 {
	if inertia != 0 && acceleration != 0 {
		return w.line(title, "T", "("+symbols+" + "+inertiaSymbols+")/n",
			"("+torque+" + "+num(inertia, "kg·m²")+" · "+num(acceleration, unit)+per+") / "+num(n, ""), "N·m")
	}
	return w.line(title, "T", symbols+"/n", torque+" / "+num(n, ""), "N·m")
}

func (w *work) heldWheels(m *loadcases.Wheels, leg *loadcases.Leg) float64 {
	mass := w.mass(m.Mass, leg.Payload)
	return w.line("torque that keeps it still, per motor; rolling resistance does not help", "T", "r·s·m·g·sin θ/n",
		num(m.Radius, "m")+" · "+num(travel(leg), "")+" · "+num(mass, "kg")+" · "+gravity+" · sin("+num(leg.Incline*degree, "°")+") / "+num(float64(m.Motors), ""), "N·m")
}

func (w *work) pivot(m *loadcases.Wheels, leg *loadcases.Leg, in *instant) float64 {
	mass := w.mass(m.Mass, leg.Payload)
	base, track := num(m.Wheelbase, "m"), num(m.Track, "m")
	way := in.sense()
	var moment float64
	var terms []term
	if m.ScrubFriction != 0 {
		formula, expression := "µt·m·g·L·B/(2·√(L² + B²))", num(m.ScrubFriction, "")+" · "+num(mass, "kg")+" · "+gravity+" · "+base+" · "+track+" / (2 · √(("+base+")² + ("+track+")²))"
		if m.Tracks {
			formula, expression = "µt·m·g·L/4", num(m.ScrubFriction, "")+" · "+num(mass, "kg")+" · "+gravity+" · "+base+" / 4"
		}
		moment = w.line("scrub moment of a turn on the spot", "M", formula, expression, "N·m")
		terms = append(terms, term{"M·sign ω", way * moment})
	}
	if in.motion.Acceleration != 0 {
		j := w.line("moment of inertia about the turning point", "Jz", "m·(L² + B²)/12", num(mass, "kg")+" · (("+base+")² + ("+track+")²) / 12", "kg·m²")
		terms = append(terms, term{"Jz·α", w.line("its acceleration", "Mα", "Jz·α", num(j, "kg·m²")+" · "+num(in.motion.Acceleration, "rad/s²"), "N·m")})
	}
	moment = w.total("yaw moment", "Mz", "N·m", terms)
	if len(terms) == 0 {
		moment = 0
	}
	force := []term{{"2·Mz/B", w.line("force of both sides", "Fz", "2·Mz/B", "2 · "+num(moment, "N·m")+" / "+track, "N")}}
	if m.RollingResistance != 0 {
		force = append(force, term{"Fr", w.line("rolling resistance", "Fr", "Crr·m·g·cos θ·sign ω",
			num(m.RollingResistance, "")+" · "+num(mass, "kg")+" · "+gravity+" · cos("+num(leg.Incline*degree, "°")+") · "+num(way, ""), "N")})
	}
	f := w.total("force at the ground", "F", "N", force)
	r := num(m.Radius, "m")
	return w.shared("torque at the wheel shaft, per motor", r+" · "+num(f, "N"), "r·F", m.RotatingInertia, in.motion.Acceleration, " · "+track+" / 2 / "+r, "Jrot·α·B/(2·r)", "rad/s²", float64(m.Motors))
}

func (w *work) step(m *loadcases.Wheels, leg *loadcases.Leg) float64 {
	torque, needed, _, _ := m.Step(leg)
	w.given("force that climbs the step", "F", needed, "N", quantity.Derived, "W·√(2rh − h²)/(r − h) on the axle that meets it")
	return w.given("torque at the wheel shaft, per motor", "T", torque, "N·m", quantity.Derived, "an obstacle of "+num(leg.StepHeight*1000, "mm"))
}
