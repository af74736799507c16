package loadcases

import "example.org/dray/quantity"

// mechanisms are the kinds of machine and their keys.
func mechanisms() []entry {
	return []entry{
		group(kindWheels, "a machine on driven wheels or tracks", driven(wheelsTable()...)...),
		group(kindArm, "a lever turning against gravity", driven(armTable()...)...),
		group(kindHoist, "rope and drum", driven(hoistTable()...)...),
		group(kindTurntable, "a table, platform or spit", driven(turntableTable()...)...),
		group(kindBelt, "a conveyor", driven(beltTable()...)...),
		group(kindScrew, "a lead screw or jack", driven(screwTable()...)...),
		group(kindShaft, "torque and speed as given, leg by leg or from a log", driven(
			q("inertia", quantity.KindInertia, "added to what the legs or the log say").or("0"),
			text("log", "CSV with columns time, torque and speed, units in the headings"))...),
	}
}

// driven adds what every mechanism has.
func driven(keys ...entry) []entry {
	return append(keys,
		whole("motors", "1", 1000, "sharing the load equally"),
		group("further_stage", "belt, chain or open gears between gear motor and load",
			q("ratio", quantity.KindRatio, "motor turns per load turn, or a list").shaped(formRatios),
			q("efficiency", quantity.KindFraction, "of the stage").or("95 %").pos().share(),
			entry{name: "driver_teeth", form: formTeeth, help: "on the motor's side: 14, [12, 14], 12-20 or {from, to}"},
			entry{name: "driven_teeth", form: formTeeth, help: "on the load's side"}))
}

func wheelsTable() []entry {
	return []entry{
		q("mass", quantity.KindMass, "the machine itself"),
		q("payload", quantity.KindMass, "what it carries; a leg's own takes its place").or("0 kg"),
		q("wheel_diameter", quantity.KindLength, "of the driven wheels").pos(),
		q("wheel_radius", quantity.KindLength, "in place of wheel_diameter").pos(),
		q("rolling_resistance", quantity.KindFriction, "force over weight, not the tyre's grip").upTo(2),
		text("surface", "a named surface in place of rolling_resistance").shaped(formChoice).withSurfaces(),
		q("wheel_inertia", quantity.KindInertia, "all wheels together, at the wheels").or("0"),
		q("drag_area", quantity.KindArea, "drag coefficient times frontal area").or("0"),
		q("wheelbase", quantity.KindLength, "front to rear axle, or length of track on the ground").pos(),
		q("track", quantity.KindLength, "between left and right wheels").pos(),
		group("grip", "traction there is",
			q("friction", quantity.KindFriction, "between tyre and ground").need().pos().upTo(3),
			q("share_on_driven", quantity.KindFraction, "of the weight on the driven wheels, at rest on the level").pos().share(),
			q("height", quantity.KindLength, "of the centre of mass").pos(),
			q("wheelbase", quantity.KindLength, "front to rear axle").pos(),
			choice("driven", "the driven axle when going forward", DrivenRear, DrivenFront, DrivenAll)),
		group("scrub", "sideways sliding in a turn on the spot",
			q("friction", quantity.KindFriction, "turning friction").need().upTo(3),
			choice("contact", "what slides", "wheels", "tracks").or("wheels")),
		group("obstacle", "the axle that meets a step leg",
			choice("axle", "which wheels climb", "undriven", "driven").or("undriven"),
			q("share", quantity.KindFraction, "of the weight on that axle; left out, from the grip's share").pos().share(),
			q("wheel_diameter", quantity.KindLength, "of those wheels; left out, as the driven ones").pos()),
	}
}

func (e entry) withSurfaces() entry {
	for _, s := range Surfaces() {
		e.choices = append(e.choices, s.Name)
	}
	return e
}

func armTable() []entry {
	return []entry{
		q("mass", quantity.KindMass, "at radius").or("0 kg"),
		q("radius", quantity.KindLength, "of mass and payload from the pivot"),
		q("payload", quantity.KindMass, "also at radius; a leg's own takes its place").or("0 kg"),
		q("arm_mass", quantity.KindMass, "of the arm itself, at arm_radius").or("0 kg"),
		q("arm_radius", quantity.KindLength, "of the arm's centre of mass"),
		q("arm_length", quantity.KindLength, "makes the arm a uniform rod: adds m·L²/12").pos(),
		q("inertia", quantity.KindInertia, "added").or("0"),
		q("angle", quantity.KindAngle, "from the horizontal, where the cycle begins when no move says so").or("0 deg").signed(),
		group("balance", "what takes load off the motor: torque, or mass and radius, or spring",
			q("torque", quantity.KindTorque, "constant, helping upwards").signed(),
			q("mass", quantity.KindMass, "counterweight").pos(),
			q("radius", quantity.KindLength, "of the counterweight on the other side").pos(),
			group("spring", "torque_at − rate·(angle now − angle)",
				q("rate", quantity.KindTorsionRate, "torque lost per angle").need(),
				q("torque_at", quantity.KindTorque, "helping upwards at the angle").need().signed(),
				q("angle", quantity.KindAngle, "from the horizontal").or("0 deg").signed())),
	}
}

func hoistTable() []entry {
	return []entry{
		q("mass", quantity.KindMass, "lifted: cage, hook, load").or("0 kg"),
		q("payload", quantity.KindMass, "lifted besides mass; a leg's own takes its place").or("0 kg"),
		q("drum_diameter", quantity.KindLength, "to the middle of the rope").pos(),
		q("drum_radius", quantity.KindLength, "in place of drum_diameter").pos(),
		whole("parts_of_line", "1", 50, "ropes carrying the load"),
		q("counterweight", quantity.KindMass, "on the other side").or("0 kg"),
		q("rope_efficiency", quantity.KindFraction, "of drum and sheaves").or("100 %").pos().share(),
		q("drum_inertia", quantity.KindInertia, "of the drum").or("0"),
	}
}

func turntableTable() []entry {
	return []entry{
		q("inertia", quantity.KindInertia, "of everything that turns, about the axis").need(),
		q("friction_torque", quantity.KindTorque, "of bearings and rollers").or("0"),
		group("imbalance", "centre of mass off the axis",
			q("mass", quantity.KindMass, "off the axis").need().pos(),
			q("offset", quantity.KindLength, "of its centre from the axis").need().pos()),
		q("tilt", quantity.KindAngle, "of the axis from the vertical; 90 deg is a spit").or("0 deg").signed(),
	}
}

func beltTable() []entry {
	return []entry{
		q("mass", quantity.KindMass, "on the belt").or("0 kg"),
		q("payload", quantity.KindMass, "on the belt besides mass; a leg's own takes its place").or("0 kg"),
		q("belt_mass", quantity.KindMass, "of the belt itself").or("0 kg"),
		q("pulley_diameter", quantity.KindLength, "of the drive pulley").pos(),
		q("pulley_radius", quantity.KindLength, "in place of pulley_diameter").pos(),
		q("friction", quantity.KindFriction, "belt on its bed or rollers").upTo(3),
		q("breakaway", quantity.KindFriction, "friction at the first instant over friction").or("1").upTo(20),
		q("incline", quantity.KindIncline, "positive uphill for positive speed").or("0 deg").slope(),
		q("pulley_inertia", quantity.KindInertia, "all pulleys, at the drive pulley").or("0"),
	}
}

func screwTable() []entry {
	return []entry{
		q("mass", quantity.KindMass, "moved").or("0 kg"),
		q("payload", quantity.KindMass, "moved besides mass; a leg's own takes its place").or("0 kg"),
		q("force", quantity.KindForce, "against the motion, both ways").or("0 N"),
		q("lead", quantity.KindLength, "travel per turn").need().pos(),
		q("screw_diameter", quantity.KindLength, "mean diameter of the thread").pos(),
		q("friction", quantity.KindFriction, "of the thread; needs screw_diameter").upTo(3),
		q("efficiency", quantity.KindFraction, "in place of friction").pos().share(),
		q("flank_angle", quantity.KindAngle, "half the included thread angle").or("0 deg").upTo(1.3),
		group("collar", "thrust bearing that rubs",
			q("friction", quantity.KindFriction, "of the collar").need().upTo(3),
			q("radius", quantity.KindLength, "mean").need().pos()),
		q("incline", quantity.KindIncline, "positive uphill for positive speed; 90 deg is a jack").or("0 deg").slope(),
		q("screw_inertia", quantity.KindInertia, "of the screw").or("0"),
	}
}
