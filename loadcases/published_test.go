package loadcases

import (
	"math"
	"testing"
)

// The books compute with g = 9.81 m/s²; a force of weight is scaled by it.
const book = 9.81 / gravity

const exact = 0.001 // the gate of rows with exact inputs

func TestCounterweightHoistEnergyAndPower(t *testing.T) {
	// Gupta & Singhal, Fundamentals of Electric Drives and Control, Ex 1.1 p.10, via Python Textbook Companions.
	up := &Hoist{Motors: 1, Mass: 6000, Counterweight: 3000, Radius: 1}
	down := &Hoist{Motors: 1, Mass: 500, Counterweight: 3000, Radius: 1}
	near(t, "up", book*up.Held(&Leg{}, 0)*50, 1.4715e6, exact)
	near(t, "down", -book*down.Held(&Leg{}, 0)*50, 1.22625e6, exact)
	near(t, "motor", book*up.Held(&Leg{}, 0)*50/90/0.8, 20437.5, exact)
}

func TestTrainOnAGrade(t *testing.T) {
	// Gupta & Singhal Ex 3.3 and 3.4 p.35, via Python Textbook Companions; 3.4's printed 2.453 m/s² is W/kg and wrong.
	w := &Wheels{Motors: 1, Mass: 400e3 / gravity, Radius: 1, RollingResistance: 0.005}
	leg := &Leg{Incline: math.Asin(0.01), Sense: 1}
	v := 60 / 3.6
	near(t, "tractive effort", w.Torque(leg, Motion{Speed: v}), 6000, exact)
	near(t, "power", w.Torque(leg, Motion{Speed: v})*v, 100e3, exact)
	near(t, "0.14715 m/s² takes all of 200 kW", w.Torque(leg, Motion{Speed: v, Acceleration: 0.14715})*v, 200e3, exact)
}

func TestConveyorReflectedInertia(t *testing.T) {
	// Gupta & Singhal Ex 3.6 p.36, via Python Textbook Companions: inertia only.
	w := 1200 * rpm
	b := &Belt{Motors: 1, Mass: 4629.6, Radius: 1.2 / w, PulleyInertia: 0.1}
	near(t, "torque", b.Torque(&Leg{}, Motion{Speed: 1, Acceleration: 0.15}), 8.202, exact)
	near(t, "reflected", b.Mass*b.Radius*b.Radius, 0.42217, exact)
}

func TestWinchTorqueAndInertia(t *testing.T) {
	// Gupta & Singhal Ex 3.7 p.37, via Python Textbook Companions.
	h := &Hoist{Motors: 1, Mass: 400, Radius: 1 / (1000 * rpm), DrumInertia: 0.8}
	near(t, "torque with 80 N·m no-load", book*h.Torque(&Leg{}, Motion{Speed: 1})+80, 117.47, exact)
	near(t, "inertia", reflected(h, h.Radius), 0.83648, exact)
}

// reflected is the inertia at the shaft that torque answers acceleration with.
func reflected(m Mechanism, radius float64) float64 {
	still := m.Torque(&Leg{}, Motion{Speed: 1})
	return (m.Torque(&Leg{}, Motion{Speed: 1, Acceleration: 1}) - still) * radius
}

func TestLinearMassReflected(t *testing.T) {
	// Gupta & Singhal Ex 3.10 p.39, via Python Textbook Companions; printed J 5.314 takes newtons for kilograms.
	r := 10 / (1440 * rpm)
	b := &Belt{Motors: 1, Mass: 100, Radius: r, PulleyInertia: 1, Friction: 1.2 / gravity}
	near(t, "inertia", reflected(b, r), 1.4398, exact)
	near(t, "torque", b.Torque(&Leg{}, Motion{Speed: 10})+1.5, 9.458, exact)
}

func TestHoistWithGearLoad(t *testing.T) {
	// Dubey, Fundamentals of Electrical Drives, Ex 2.1 p.16, via Python Textbook Companions.
	r := 1.5 / (1420 * rpm)
	h := &Hoist{Motors: 1, Mass: 1000, Radius: r, RopeEfficiency: 0.85}
	near(t, "torque", book*h.Torque(&Leg{}, Motion{Speed: 1.5})+0.1*10/0.9, 117.53, exact)
	h = &Hoist{Motors: 1, Mass: 1000, Radius: r, DrumInertia: 0.2 + 0.1*0.1*10}
	near(t, "inertia", reflected(h, r), 0.40175, exact)
}

func TestInclineHaulage(t *testing.T) {
	// Khurmi & Gupta, Theory of Machines, Ex 3.4 p.35, via Python Textbook Companions.
	angle := math.Asin(0.05 * book)
	w := &Wheels{Motors: 1, Mass: 14e3, Radius: 0.5, RotatingInertia: 1250 * 0.45 * 0.45,
		RollingResistance: 1200 / (14e3 * gravity * math.Cos(angle))}
	drum := w.Torque(&Leg{Incline: angle, Sense: 1}, Motion{Speed: 1.8, Acceleration: 0.1})
	armature := 110 * 0.125 * 0.125 * 0.1 / 0.5 * 40
	torque := drum/(40*0.85) + armature
	near(t, "torque", torque, 154.46, exact)
	near(t, "power", torque*1.8/0.5*40, 22.24e3, exact)
}

func TestRodWithTipMass(t *testing.T) {
	// Closed form, derived: 1 kg rod of 0.5 m and 0.5 kg at its tip; g = 9.81.
	a := &Arm{Motors: 1, Mass: 0.5, Radius: 0.5, ArmMass: 1, ArmRadius: 0.25, ArmLength: 0.5}
	near(t, "hold", book*a.Held(&Leg{}, 0), 4.905, exact)
	near(t, "inertia", a.inertia(&Leg{}), 0.20833, exact)
}

func TestScrewsAsPublished(t *testing.T) {
	const mm, lbIn = 1e-3, pound * gravity * inch
	jack := func(newton float64, s Screw) *Screw {
		s.Motors, s.Mass = 1, newton/gravity
		return &s
	}
	up := &Leg{Incline: math.Pi / 2}

	// Wentzell, Machine Design, Ex 18.2 p.400, via Python Textbook Companions.
	s := jack(1, Screw{Lead: inch / 3, Diameter: 1.354 * inch, Friction: 0.15})
	forward, _ := s.Efficiencies()
	near(t, "power screw efficiency", forward, 0.3391, exact)
	if !s.SelfLocking() || s.Held(up, 0) != 0 {
		t.Error("the power screw locks itself")
	}
	near(t, "its lead angle, deg", math.Atan(s.Lead/(math.Pi*s.Diameter))/degree, 4.481, exact)

	// Housner & Hudson, Applied Mechanics: Statics.
	s = jack(10000*pound*gravity, Screw{Lead: inch / 2, Diameter: 2 * inch, Friction: 0.2})
	near(t, "jack, lb·in", s.Torque(up, Motion{Speed: 1})/lbIn, 2841, exact)

	// Khurmi & Gupta, Theory of Machines, Ex 10.11 p.280, via Python Textbook Companions (prints 7717 and 10 710 J by rounding).
	s = jack(20e3, Screw{Lead: 10 * mm, Diameter: 50 * mm, Friction: 0.08})
	near(t, "press screw", s.Torque(up, Motion{Speed: 1}), 72.199, exact)
	near(t, "work of 17 turns", s.Torque(up, Motion{Speed: 1})*17*2*math.Pi, 7711.8, exact)
	s.CollarFriction, s.CollarRadius = 0.08, 0.0175
	near(t, "with collar", s.Torque(up, Motion{Speed: 1})*17*2*math.Pi, 10702.6, exact)

	// Khurmi & Gupta Ex 10.12 p.282: the printed lever is 1.2 % wrong.
	s = jack(10e3, Screw{Lead: 12 * mm, Diameter: 50 * mm, Friction: 0.15})
	near(t, "screw jack", s.Torque(up, Motion{Speed: 1}), 57.25, exact)
	forward, _ = s.Efficiencies()
	near(t, "its efficiency", forward, 0.3336, exact)

	// Bansal, Engineering Mechanics, Ex 9.22 p.327, via Python Textbook Companions.
	s = jack(1500, Screw{Lead: 9 * mm, Diameter: 60 * mm, Friction: 0.095})
	near(t, "raise", s.Torque(up, Motion{Speed: 1})/0.7, 9.218, exact)
	near(t, "lower: the motor drives it down", s.Torque(up, Motion{Speed: -1})/0.7, -3.024, exact)
	forward, back := s.Efficiencies()
	near(t, "forward", forward, 0.33297, exact)
	near(t, "back, signed", back, -0.98521, exact)
	stated := Screw{Efficiency: 0.33297}
	_, back = stated.Efficiencies()
	near(t, "2 − 1/η", back, -1.0033, exact)

	// Machine Design, Ex 9.2 p.257, via Python Textbook Companions: ACME, 29° thread, single start.
	s = jack(2e3, Screw{Lead: 8 * mm, Diameter: 46 * mm, Friction: 0.15, FlankAngle: 14.5 * degree})
	near(t, "ACME thread", s.Torque(up, Motion{Speed: 1}), 9.757, exact)
	s.CollarFriction, s.CollarRadius = 0.1, 0.0375
	near(t, "with collar", s.Torque(up, Motion{Speed: 1}), 9.757+7.5, exact)
	near(t, "power at 25 rpm", s.Torque(up, Motion{Speed: 1})*25*rpm, 45.18, exact)
}

func TestThreadEfficiencyBothWays(t *testing.T) {
	// Carvill, Mechanical Engineer's Data Handbook p.99 (formula); numbers derived: flank 20°, µ 0.05.
	for _, row := range []struct{ lead, forward, back float64 }{
		{3, 0.49482, -0.01524}, {5, 0.61893, 0.39000}, {10, 0.76098, 0.69175}, {20, 0.85556, 0.83759},
	} {
		s := Screw{Lead: math.Pi * 0.02 * math.Tan(row.lead*degree), Diameter: 0.02, Friction: 0.05, FlankAngle: 20 * degree}
		forward, back := s.Efficiencies()
		near(t, "forward", forward, row.forward, exact)
		near(t, "back", back, row.back, exact)
		if s.SelfLocking() != (row.back <= 0) {
			t.Errorf("lead %g°: self-locking %v", row.lead, s.SelfLocking())
		}
	}
}
