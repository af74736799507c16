package loadcases

import (
	"math"
	"testing"
)

// All numbers in this file are common practice, no source: questions of
// builders recomputed by hand, gated at 1 %.
const (
	practice = 0.01
	inch     = 0.0254
	foot     = 0.3048
	pound    = 0.45359237
	mph      = 0.44704
	rpm      = math.Pi / 30
)

func climb(deg float64) *Leg { return &Leg{Kind: SpeedLeg, Incline: deg * degree, Sense: 1} }

func TestWheelsClimbAsRecomputed(t *testing.T) {
	w := &Wheels{Motors: 4, Mass: 25 * pound, Radius: 0.25 * foot}
	near(t, "25 lb, four motors, 30°", w.Torque(climb(30), Motion{Speed: 1}), 1.06, practice)

	w = &Wheels{Motors: 2, Mass: 22.6, Radius: 0.038}
	steep := Motion{Speed: 1.67, Acceleration: 0.8}
	torque := w.Torque(climb(20), steep)
	near(t, "22.6 kg, 20°, 0.8 m/s²", torque, 1.78, practice)
	near(t, "its speed", w.ShaftSpeed(climb(20))*1.67/rpm, 419.7, practice)
	near(t, "its power per motor", torque*1.67/0.038, 78, practice)

	w = &Wheels{Motors: 2, Mass: 20, Radius: 0.05}
	near(t, "20 kg, 35°, at the wheel", w.Torque(climb(35), Motion{Speed: 0.5}), 2.81, practice)
	near(t, "at the motor of an 8:20 chain", w.Torque(climb(35), Motion{Speed: 0.5})/2.5, 1.12, practice)

	w = &Wheels{Motors: 1, Mass: 600 * pound, Radius: 6.5 * inch}
	near(t, "600 lb, 15°", w.Torque(climb(15), Motion{Speed: 3 * mph}), 114, practice)
	near(t, "its power", w.Torque(climb(15), Motion{Speed: 3 * mph})*3*mph/w.Radius, 926, practice)
	w.RollingResistance = 0.02
	near(t, "with rolling", w.Torque(climb(15), Motion{Speed: 3 * mph})*3*mph/w.Radius, 996, practice)

	w = &Wheels{Motors: 1, Mass: 1000 * pound, Radius: 1}
	near(t, "1000 lb, 10°: slope", w.Torque(climb(10), Motion{Speed: 1}), 772, practice)
	w.RollingResistance = 0.02
	near(t, "rolling added", w.Torque(climb(10), Motion{Speed: 1})-w.Held(climb(10), 0), 88, practice)
}

func TestTheWeightIsNoDriveLoadOnTheLevel(t *testing.T) {
	w := &Wheels{Motors: 4, Mass: 60, Radius: 0.5 * inch, RollingResistance: 0.03, GripFriction: 1, DrivenShare: 1}
	level := climb(0)
	near(t, "60 kg on 1 in wheels", w.Torque(level, Motion{Speed: 1}), 0.056, practice)
	near(t, "1 m/s² more", w.Torque(level, Motion{Speed: 1, Acceleration: 1})-w.Torque(level, Motion{Speed: 1}), 0.19, practice)
	_, limit, _ := w.Grip(level, Motion{Speed: 1})
	near(t, "slip limit per wheel", limit*w.Radius/4, 1.87, practice)
}

func TestAnAbsurdRequestIsNamed(t *testing.T) {
	c := &Case{Kind: kindWheels, Motors: 1,
		Mechanism: &Wheels{Motors: 1, Mass: 5 * pound, Radius: 0.04, GripFriction: 0.8, DrivenShare: 1, Driven: DrivenAll},
		Legs: []Leg{
			{Name: "dash", Kind: SpeedLeg, Speed: 20, Distance: 100, Acceleration: 10, Incline: 10 * degree},
			{Name: "back", Kind: SpeedLeg, Speed: -20, Distance: 100, Acceleration: 10, Incline: -10 * degree},
			{Name: "stop", Kind: RestLeg, For: 10, Acceleration: 10}}}
	c.Settle()
	watt, leg := c.PeakPower()
	near(t, "peak power", watt, 531, practice)
	if leg != "dash" {
		t.Errorf("peak in %q", leg)
	}
	all := texts(c.Judge())
	wants(t, all, "72 km/h: do you mean 2 m/s?", "531 W", "2.27 kg", "the wheels slip", "1.21 would do", "without a rest")
}

func TestAStepNeedsAForceNotAnEnergy(t *testing.T) {
	w := &Wheels{Motors: 2, Mass: 100, Radius: 0.1, StepShare: 0.5, GripFriction: 0.7, DrivenShare: 0.5}
	torque, push, limit, known := w.Step(&Leg{Kind: StepLeg, StepHeight: 0.05})
	near(t, "50 mm under a 100 mm wheel, 50 kg", push, 849, practice)
	near(t, "its torque per motor", torque, push*0.1/2, 1e-12)
	near(t, "grip of the driven axle", limit, 0.7*50*gravity, 1e-12)
	if !known {
		t.Error("friction is given")
	}
	_, push, _, _ = w.Step(&Leg{Kind: StepLeg, StepHeight: 0.09})
	near(t, "90 mm", push, 4879, practice)
	w.StepDriven = true
	torque, _, _, _ = w.Step(&Leg{Kind: StepLeg, StepHeight: 0.05, Sense: -1})
	near(t, "driven wheel, backwards: W·√(2rh−h²)/n", torque, -50*gravity*math.Sqrt(2*0.1*0.05-0.05*0.05)/2, 1e-12)
	if torque, _, _, _ := w.Step(&Leg{StepHeight: 0.1}); !math.IsInf(torque, 1) {
		t.Errorf("a step as high as the radius gives %g", torque)
	}
}

func TestArmsHoldAndThrowAsRecomputed(t *testing.T) {
	a := &Arm{Motors: 1, Mass: 8, Radius: 1}
	near(t, "8 kg at 1 m", a.Held(climb(0), 0), 78.45, practice)
	near(t, "power at 120 rpm", a.Torque(climb(0), Motion{Speed: 120 * rpm})*120*rpm, 986, practice)

	jaw := &Arm{Motors: 1, Mass: 0.9, Radius: 0.2}
	near(t, "jaw, static", jaw.Held(climb(0), 0), 1.77, practice)
	for _, row := range []struct{ seconds, torque float64 }{{0.15, 3.35}, {0.3, 0.84}} {
		c := &Case{Mechanism: jaw, Legs: []Leg{
			{Kind: MoveLeg, To: 30 * degree, In: row.seconds, RampShare: 0.5}, {Kind: RestLeg, For: 1}}}
		c.Settle()
		plan := mustPlan(t, c)
		near(t, "30° in a short time, inertia", jaw.inertia(&c.Legs[0])*plan.Phases[0].Acceleration, row.torque, practice)
	}
}

func TestLinesAndDrumsAsRecomputed(t *testing.T) {
	h := &Hoist{Motors: 1, Mass: 368 / gravity, Radius: 0.02}
	lift := climb(0)
	near(t, "368 N on a 20 mm drum", h.Torque(lift, Motion{Speed: 0.39}), 7.4, practice)
	near(t, "its speed", h.ShaftSpeed(lift)*0.39/rpm, 186, practice)
	near(t, "its power", h.Torque(lift, Motion{Speed: 0.39})*0.39/0.02, 144, practice)

	h = &Hoist{Motors: 1, Mass: 4, Radius: 0.025}
	near(t, "curtain, 4 kg on a 50 mm pulley", h.Held(lift, 0), 0.981, practice)
	h = &Hoist{Motors: 1, Mass: 3.5, Radius: 0.0225}
	near(t, "blinds, 3.5 kg on a 4.5 cm drum", h.Held(lift, 0), 0.772, practice)
	c := &Case{Mechanism: &Hoist{Motors: 1, Mass: 3.5, Radius: 2.25}, Legs: []Leg{{Kind: HoldLeg, For: 1}}}
	c.Settle()
	wants(t, texts(c.Judge()), "drum of 4.5 m diameter: did you mean 4.5 cm?")
}

func TestConveyorsAsRecomputed(t *testing.T) {
	run := climb(0)
	b := &Belt{Motors: 1, Mass: 0.454, Radius: 0.03175, Friction: 0.47, BreakawayFactor: 0.61 / 0.47}
	near(t, "model conveyor", b.Torque(run, Motion{Speed: 0.203}), 0.066, practice)
	near(t, "breakaway", b.Start(run, Motion{Direction: 1}), 0.086, practice)
	near(t, "speed", b.ShaftSpeed(run)*0.203/rpm, 61, practice)

	b = &Belt{Motors: 1, Mass: 500 * pound, Radius: 1}
	v := 30 * foot / 60
	near(t, "500 lb, 10°", b.Torque(climb(10), Motion{Speed: v}), 386, practice)
	near(t, "acceleration in 2 s", b.Torque(climb(10), Motion{Speed: v, Acceleration: v / 2})-b.Torque(climb(10), Motion{Speed: v}), 17, 0.02)
	b.Friction = 0.03 / math.Cos(10*degree)
	near(t, "rollers, no cosine", b.Torque(climb(10), Motion{Speed: v})-b.Held(climb(10), 0), 67, practice)
	b.Friction = 0.2 / math.Cos(10*degree)
	near(t, "slider bed, power", b.Torque(climb(10), Motion{Speed: v})*v, 126, practice)
}

func TestRotaryLoadsAsRecomputed(t *testing.T) {
	spit := &Turntable{Motors: 1, ImbalanceMass: 25, ImbalanceOffset: 0.2, Tilt: 90 * degree}
	near(t, "25 kg, 0.2 m off axis", spit.Held(nil, 0), 49, practice)
	near(t, "at 45°", spit.Held(nil, 45*degree), 35, practice)
	six := &Turntable{Motors: 1, Inertia: 6 * 0.5 * 0.6 * 0.15 * 0.15}
	near(t, "six 600 g tables to 12 rpm in 2 s", six.Torque(nil, Motion{Acceleration: 12 * rpm / 2}), 0.025, 0.02)
}
