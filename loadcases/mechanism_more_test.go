package loadcases

import (
	"math"
	"testing"
)

func TestTheUndrivenAxleCarriesTheRest(t *testing.T) {
	w := &Wheels{Motors: 1, Mass: 100, Radius: 0.1, DrivenShare: 0.7}
	leg := &Leg{Kind: StepLeg, StepHeight: 0.05}
	_, push, _, known := w.Step(leg)
	near(t, "30 % of the weight", push, 30*gravity*math.Sqrt(0.0075)/0.05, 1e-12)
	if known {
		t.Error("no friction is given")
	}
	w.StepDriven = true
	_, push, _, _ = w.Step(leg)
	near(t, "70 % of the weight", push, 70*gravity*math.Sqrt(0.0075)/0.05, 1e-12)
	w.StepRadius = 0.2
	_, push, _, _ = w.Step(leg)
	near(t, "on its own wheels", push, 70*gravity*math.Sqrt(0.0175)/0.15, 1e-12)
}

func TestTheBeltItselfIsAcceleratedAndNotLifted(t *testing.T) {
	b := &Belt{Motors: 1, Mass: 10, BeltMass: 4, Radius: 0.1}
	leg := &Leg{Incline: 0.2}
	near(t, "held", b.Held(leg, 0), 0.1*10*gravity*math.Sin(0.2), 1e-12)
	near(t, "accelerated", b.Torque(leg, Motion{Speed: 1, Acceleration: 3})-b.Held(leg, 0), 0.1*14*3, 1e-12)
	near(t, "no breakaway given is none", b.Start(leg, Motion{Direction: 1}), b.Torque(leg, Motion{Direction: 1}), 1e-12)
}

func TestTheCollarRubsBothWays(t *testing.T) {
	s := &Screw{Motors: 1, Mass: 50, Lead: 0.005, Diameter: 0.02, Friction: 0.1}
	up, down := Motion{Speed: 1}, Motion{Speed: -1}
	leg := &Leg{Incline: math.Pi / 2}
	before := [2]float64{s.Torque(leg, up), s.Torque(leg, down)}
	s.CollarFriction, s.CollarRadius = 0.1, 0.01
	rub := 0.1 * 50 * gravity * 0.01
	near(t, "up", s.Torque(leg, up)-before[0], rub, 1e-9)
	near(t, "down", s.Torque(leg, down)-before[1], -rub, 1e-9)
	s.Inertia = 1e-4
	near(t, "screw inertia", s.Torque(&Leg{}, Motion{Speed: 1, Acceleration: 2})-(&Screw{Motors: 1, Mass: 50, Lead: 0.005, Diameter: 0.02, Friction: 0.1,
		CollarFriction: 0.1, CollarRadius: 0.01}).Torque(&Leg{}, Motion{Speed: 1, Acceleration: 2}), 1e-4*2*2*math.Pi/0.005, 1e-9)
}

func TestAForceOpposesBothWaysAndHoldsNothing(t *testing.T) {
	s := &Screw{Motors: 2, Force: 100, Lead: 0.01, Efficiency: 0.8}
	near(t, "out", s.Torque(&Leg{}, Motion{Speed: 1}), 100*0.01/(2*math.Pi*0.8)/2, 1e-12)
	near(t, "in", s.Torque(&Leg{}, Motion{Speed: -1}), -100*0.01/(2*math.Pi*0.8)/2, 1e-12)
	near(t, "held", s.Held(&Leg{}, 0), 0, 0)
}

func TestADrumCarriesBothRopes(t *testing.T) {
	h := &Hoist{Motors: 1, Mass: 20, Counterweight: 15, Radius: 0.1}
	got, _ := h.Radial(&Leg{}, Motion{Speed: 1, Acceleration: 1})
	near(t, "load up, counterweight down", got, 20*(gravity+1)+15*(gravity-1), 1e-12)
}

func TestLiftedWheelsHaveNoGripAndNotLessThanNone(t *testing.T) {
	w := &Wheels{Motors: 1, Mass: 10, Radius: 0.1, GripFriction: 0.8, DrivenShare: 0.2, GripHeight: 1, Wheelbase: 0.3, Driven: DrivenFront}
	_, limit, _ := w.Grip(&Leg{Sense: 1, Incline: 0.5}, Motion{Speed: 1})
	near(t, "limit", limit, 0, 0)
	c := cart(Leg{Kind: SpeedLeg, Speed: 1, Distance: 5, Acceleration: 1, Incline: 0.5, InclineText: "28.6°"}, Leg{Kind: RestLeg, For: 5, Acceleration: 1})
	c.Mechanism = w
	wants(t, texts(c.Judge()), "the driven wheels carry nothing")
}

func TestScalingFollowsTheDuty(t *testing.T) {
	c := cart(
		Leg{Kind: SpeedLeg, Speed: 1, Distance: 5, Acceleration: 1},
		Leg{Kind: SpeedLeg, Speed: -1, Distance: 5, Acceleration: 1},
		Leg{Kind: RestLeg, For: 5, Acceleration: 1})
	c.AddIncline(0.1)
	if c.Legs[0].Incline != 0.1 || c.Legs[1].Incline != 0.1 || c.Legs[2].Incline != 0 {
		t.Errorf("every moving leg climbs, a rest does not: %+v", c.Legs)
	}
	arm := &Case{Mechanism: &Arm{Motors: 1, Mass: 1, Radius: 1}, Legs: []Leg{{Kind: MoveLeg, To: 1, In: 4}, {Kind: HoldLeg, For: 1}}}
	arm.Settle()
	arm.ScaleSpeed(2)
	near(t, "twice as fast, half the time", arm.Legs[0].In, 2, 1e-12)
	arm.ScaleAcceleration(4)
	near(t, "four times the acceleration, half the time", arm.Legs[0].In, 1, 1e-12)
	if (&Case{Mechanism: &Shaft{}}).AddPayload(1) || (&Case{Mechanism: &Arm{}}).AddIncline(1) {
		t.Error("a shaft carries nothing and an arm knows no incline")
	}
}
