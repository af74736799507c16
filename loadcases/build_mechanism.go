package loadcases

import (
	"fmt"
	"math"

	"example.org/dray/quantity"
)

// mechanism builds the one mechanism of the case and reports whether it could.
func (b *builder) mechanism(top *section) bool {
	s := top.sub("mechanism")
	if s == nil {
		return false
	}
	var kinds []string
	for _, e := range mechanisms() {
		if s.has(e.name) {
			kinds = append(kinds, e.name)
		}
	}
	switch {
	case len(kinds) == 0:
		if len(b.faults.List) == 0 {
			b.fault(s.at, "no mechanism is given", "one of wheels, arm, hoist, turntable, belt, screw, shaft")
		}
		return false
	case len(kinds) > 1:
		a, z := s.values[kinds[0]].key, s.values[kinds[1]].key
		b.fault(later(a, z), fmt.Sprintf("two mechanisms are given, %s on line %d and %s on line %d", kinds[0], a.Line, kinds[1], z.Line), "one mechanism per case: write two cases")
		return false
	}
	m := s.sub(kinds[0])
	b.c.Kind = kinds[0]
	b.c.Motors = int(m.numOr("motors", 1))
	b.stages(m.sub("further_stage"))
	before := len(b.faults.List)
	b.c.Mechanism = b.machine(kinds[0], m)
	return len(b.faults.List) == before
}

func (b *builder) machine(kind string, m *section) Mechanism {
	n := b.c.Motors
	switch kind {
	case kindWheels:
		return b.wheels(m)
	case kindArm:
		return b.arm(m)
	case kindHoist:
		b.needMass(m)
		return &Hoist{Motors: n, Mass: m.num("mass"), Radius: b.radius(m, "drum"), Parts: m.numOr("parts_of_line", 1),
			Counterweight: m.num("counterweight"), RopeEfficiency: b.ropeEfficiency(m), DrumInertia: m.num("drum_inertia")}
	case kindTurntable:
		return b.turntable(m)
	case kindBelt:
		return b.belt(m)
	case kindScrew:
		return b.screw(m)
	default:
		return &Shaft{Motors: n, Inertia: m.num("inertia"), Log: b.log(m)}
	}
}

// radius reads name_diameter or name_radius, exactly one.
func (b *builder) radius(m *section, name string) float64 {
	wide, half := name+"_diameter", name+"_radius"
	switch {
	case m.has(wide) && m.has(half):
		b.fault(m.keyNode(half), fmt.Sprintf("%s and %s are both given", wide, half), "keep one of the two")
		return math.NaN()
	case m.has(half):
		return m.num(half)
	case m.has(wide):
		return m.num(wide) / 2
	}
	if m.lacks(wide, half) {
		b.fault(m.at, fmt.Sprintf("%s is missing in %s", wide, m.path), fmt.Sprintf("%s: 200 mm, or %s", wide, half))
	}
	return math.NaN()
}

func (b *builder) needMass(m *section) {
	if m.lacks("mass", "payload") {
		b.fault(m.at, "mass is missing in "+m.path, "mass: 24 kg")
	}
}

func (b *builder) wheels(m *section) Mechanism {
	w := &Wheels{
		Motors: b.c.Motors, Mass: m.num("mass"), Radius: b.radius(m, "wheel"),
		RollingResistance: b.rolling(m), RotatingInertia: m.num("wheel_inertia"), DragArea: m.num("drag_area"),
		Wheelbase: m.num("wheelbase"), Track: m.num("track"),
	}
	b.needMass(m)
	b.grip(w, m)
	if scrub := m.sub("scrub"); scrub != nil {
		w.ScrubFriction = scrub.num("friction")
		w.Tracks = scrub.text("contact") == "tracks"
	}
	if o := m.sub("obstacle"); o != nil {
		w.StepDriven = o.text("axle") == "driven"
		w.StepShare = o.num("share")
		w.StepRadius = o.num("wheel_diameter") / 2
	}
	return w
}

func (b *builder) grip(w *Wheels, m *section) {
	g := m.sub("grip")
	if g == nil {
		return
	}
	w.GripFriction, w.DrivenShare = g.num("friction"), g.num("share_on_driven")
	w.GripHeight, w.Driven = g.num("height"), g.text("driven")
	if g.has("wheelbase") && m.has("wheelbase") && g.num("wheelbase") != w.Wheelbase {
		b.fault(g.node("wheelbase"), fmt.Sprintf("the wheelbase is given twice, here and on line %d, and they differ", m.node("wheelbase").Line), "keep one of the two")
	}
	if g.has("wheelbase") {
		w.Wheelbase = g.num("wheelbase")
	}
	switch {
	case w.Driven == DrivenAll && !g.has("share_on_driven"):
		w.DrivenShare = 1
	case w.Driven == DrivenAll && w.DrivenShare < 1:
		b.fault(g.node("share_on_driven"), "all wheels are driven and share_on_driven is less than 100 %", "leave share_on_driven out, or write driven: rear")
	case g.lacks("share_on_driven"):
		b.fault(g.at, "share_on_driven is missing in "+g.path, "share_on_driven: 55 %, or driven: all")
	}
}

// rolling reads the coefficient, or the middle of a named surface's range.
func (b *builder) rolling(m *section) float64 {
	if m.has("rolling_resistance") && m.has("surface") {
		b.fault(m.keyNode("surface"), "rolling_resistance and surface are both given", "keep one of the two")
	}
	if m.has("rolling_resistance") {
		return m.num("rolling_resistance")
	}
	for _, s := range Surfaces() {
		if s.Name != m.text("surface") {
			continue
		}
		b.assume("rolling resistance", fmt.Sprintf("%.3g (%.3g to %.3g on %s)", s.Middle(), s.Low, s.High, s.Name), quantity.Assumed, s.Source)
		b.c.Tolerances = append(b.c.Tolerances, Tolerance{Input: m.path + ".rolling_resistance",
			Value: s.Middle(), Plus: (s.High - s.Low) / 2, Basis: quantity.Assumed})
		return s.Middle()
	}
	b.assume("rolling resistance", "0", quantity.Assumed, "none given, nor a surface")
	b.warn(m.at, "no rolling_resistance and no surface is given: rolling is counted as free, which no ground is")
	return 0
}

func (b *builder) arm(m *section) Mechanism {
	a := &Arm{
		Motors: b.c.Motors, Mass: m.num("mass"), Radius: m.num("radius"), ArmMass: m.num("arm_mass"),
		ArmRadius: m.num("arm_radius"), ArmLength: m.num("arm_length"), Inertia: m.num("inertia"), Angle: m.num("angle"),
	}
	for mass, radius := range map[string]string{"mass": "radius", "payload": "radius", "arm_mass": "arm_radius"} {
		if m.num(mass) > 0 && m.lacks(radius) {
			b.fault(m.keyNode(mass), fmt.Sprintf("%s is given without %s", mass, radius), radius+": 300 mm")
		}
	}
	b.balance(a, m.sub("balance"))
	return a
}

func (b *builder) balance(a *Arm, s *section) {
	if s == nil {
		return
	}
	if s.has("mass") && s.lacks("radius") || s.has("radius") && s.lacks("mass") {
		b.fault(s.at, "a counterweight needs mass and radius", "balance: { mass: 2 kg, radius: 150 mm }")
	}
	if s.lacks("torque", "mass", "radius", "spring") {
		b.fault(s.at, "balance is empty", "torque, or mass and radius, or spring")
	}
	a.BalanceTorque, a.CounterMass, a.CounterRadius = s.num("torque"), s.num("mass"), s.num("radius")
	spring := s.sub("spring")
	a.SpringRate, a.SpringTorque, a.SpringAngle = spring.num("rate"), spring.num("torque_at"), spring.num("angle")
}

func (b *builder) ropeEfficiency(m *section) float64 {
	if !m.has("rope_efficiency") {
		b.assume("rope efficiency", "100 %", quantity.Assumed, "none given")
	}
	return m.numOr("rope_efficiency", 1)
}

func (b *builder) turntable(m *section) Mechanism {
	imbalance := m.sub("imbalance")
	if imbalance == nil {
		b.warn(m.at, "no imbalance is given: the centre of mass is taken to lie on the axis, and off it gravity is often the whole load")
	}
	if !m.has("friction_torque") {
		b.assume("friction torque", "0", quantity.Assumed, "none given")
		b.warn(m.at, "no friction_torque is given: bearings and rollers are counted as free; measure with a string and a scale")
	}
	return &Turntable{Motors: b.c.Motors, Inertia: m.num("inertia"), FrictionTorque: m.num("friction_torque"),
		ImbalanceMass: imbalance.num("mass"), ImbalanceOffset: imbalance.num("offset"), Tilt: m.num("tilt")}
}

func (b *builder) belt(m *section) Mechanism {
	b.needMass(m)
	if !m.has("friction") {
		b.assume("belt friction", "0", quantity.Assumed, "none given")
		b.warn(m.at, "no friction is given: the belt is counted as sliding freely; rollers need about 0.03, a slider bed 0.15 to 0.25 (common practice, no source)")
	}
	factor := m.numOr("breakaway", 1)
	if factor < 1 {
		b.fault(m.node("breakaway"), "breakaway is less than 1, and friction is never less at the first instant", "breakaway: 1.3")
	}
	return &Belt{Motors: b.c.Motors, Mass: m.num("mass"), BeltMass: m.num("belt_mass"), Radius: b.radius(m, "pulley"),
		Friction: m.num("friction"), BreakawayFactor: factor, PulleyInertia: m.num("pulley_inertia")}
}

func (b *builder) screw(m *section) Mechanism {
	switch {
	case m.has("efficiency") && m.has("friction"):
		b.fault(m.keyNode("friction"), "efficiency and friction are both given", "keep one of the two")
	case m.lacks("efficiency") && (m.lacks("friction") || m.lacks("screw_diameter")):
		b.fault(m.at, "a screw needs friction and screw_diameter, or efficiency", "friction: 0.15, screw_diameter: 18 mm")
	}
	if m.lacks("mass", "payload", "force") {
		b.fault(m.at, "a screw needs a mass or a force", "force: 500 N")
	}
	collar := m.sub("collar")
	return &Screw{Motors: b.c.Motors, Mass: m.num("mass"), Force: m.num("force"), Lead: m.num("lead"), Diameter: m.num("screw_diameter"),
		Friction: m.num("friction"), Efficiency: m.num("efficiency"), FlankAngle: m.num("flank_angle"),
		CollarFriction: collar.num("friction"), CollarRadius: collar.num("radius"), Inertia: m.num("screw_inertia")}
}
