package loadcases

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func texts(list []Warning) string {
	var b strings.Builder
	for _, w := range list {
		b.WriteString(w.Text + "\n")
	}
	return b.String()
}

func wants(t *testing.T, text string, parts ...string) {
	t.Helper()
	for _, part := range parts {
		if !strings.Contains(text, part) {
			t.Errorf("no %q in:\n%s", part, text)
		}
	}
}

func TestPivotMomentIsTheClosedForm(t *testing.T) {
	// By hand: 0.7·40·9.80665·0.6·0.5/(2·√0.61) = 52.737 N·m; tracks 0.7·40·9.80665·0.6/4 = 41.188 N·m.
	w := &Wheels{Motors: 2, Mass: 40, Radius: 0.1, Wheelbase: 0.6, Track: 0.5, ScrubFriction: 0.7}
	leg := &Leg{Kind: SpeedLeg, Pivot: true, Sense: 1}
	turn := Motion{Speed: 1}
	near(t, "torque per motor, two of them: M/B·r", w.Torque(leg, turn), 52.737/0.5*0.1, 1e-4)
	power := 2 * w.Torque(leg, turn) * w.ShaftSpeed(leg)
	near(t, "power is moment times yaw rate", power, 52.737, 1e-4)
	w.Tracks = true
	near(t, "tracks", w.Torque(leg, turn), 41.188/0.5*0.1, 1e-4)
	near(t, "yaw inertia", w.Torque(leg, Motion{Speed: 1, Acceleration: 2})-w.Torque(leg, turn), 40*0.61/12*2/0.5*0.1, 1e-9)
	w.RollingResistance = 0.02
	near(t, "rolling", w.Torque(leg, turn)-41.188/0.5*0.1, 0.02*40*gravity*0.1/2, 1e-3)
	near(t, "the other way round", w.Torque(leg, Motion{Speed: -1}), -w.Torque(leg, turn), 1e-12)
}

func TestWeightMovesToTheRearUphillAndUnderAcceleration(t *testing.T) {
	w := &Wheels{Motors: 2, Mass: 50, Radius: 0.1, GripFriction: 0.6, DrivenShare: 0.5, GripHeight: 0.3, Wheelbase: 0.6, Driven: DrivenRear}
	level := &Leg{Sense: 1}
	_, still, _ := w.Grip(level, Motion{Speed: 1})
	near(t, "static", still, 0.6*0.5*50*gravity, 1e-12)
	_, up, _ := w.Grip(&Leg{Sense: 1, Incline: 0.2}, Motion{Speed: 1, Acceleration: 1})
	near(t, "uphill", up, 0.6*50*(0.5*gravity*math.Cos(0.2)+(gravity*math.Sin(0.2)+1)*0.5), 1e-12)
	w.Driven = DrivenFront
	_, front, _ := w.Grip(&Leg{Sense: 1, Incline: 0.2}, Motion{Speed: 1, Acceleration: 1})
	near(t, "front", front, 0.6*50*(0.5*gravity*math.Cos(0.2)-(gravity*math.Sin(0.2)+1)*0.5), 1e-12)
	_, back, _ := w.Grip(&Leg{Sense: -1, Incline: 0.2}, Motion{Speed: -1, Acceleration: -1})
	near(t, "front driven backwards uphill is rear driven in the sense of travel", back, up, 1e-12)
	needed, _, _ := w.Grip(&Leg{Sense: -1, Incline: 0.2}, Motion{Speed: -1, Acceleration: -1})
	near(t, "needed", needed, 50*(gravity*math.Sin(0.2)+1), 1e-12)
}

func TestDragGrowsWithTheSquareAndFollowsTheSign(t *testing.T) {
	w := &Wheels{Motors: 1, Mass: 1, Radius: 1, DragArea: 0.5}
	leg := &Leg{Sense: 1}
	near(t, "3 m/s", w.Torque(leg, Motion{Speed: 3}), 0.5*1.2*0.5*9, 1e-12)
	near(t, "−3 m/s", w.Torque(leg, Motion{Speed: -3}), -0.5*1.2*0.5*9, 1e-12)
}

func TestWheelInertiaLoadsTheMotorAndNotTheGrip(t *testing.T) {
	w := &Wheels{Motors: 1, Mass: 10, Radius: 0.2, RotatingInertia: 0.4, GripFriction: 1, DrivenShare: 1}
	m := Motion{Speed: 1, Acceleration: 2}
	near(t, "torque", w.Torque(&Leg{Sense: 1}, m), 0.2*(10+0.4/0.04)*2, 1e-12)
	needed, _, _ := w.Grip(&Leg{Sense: 1}, m)
	near(t, "grip", needed, 20, 1e-12)
}

func TestRadialLoadIsWeightAndPullTogether(t *testing.T) {
	w := &Wheels{Motors: 2, Mass: 30, Radius: 0.1, DrivenShare: 0.6}
	leg := &Leg{Sense: 1, Incline: 0.3}
	got, ok := w.Radial(leg, Motion{Speed: 1})
	near(t, "wheel", got, math.Hypot(0.6*30*gravity*math.Cos(0.3)/2, 30*gravity*math.Sin(0.3)/2), 1e-12)
	if !ok {
		t.Error("the share is known")
	}
	h := &Hoist{Motors: 1, Mass: 20, Radius: 0.05, Parts: 2, RopeEfficiency: 0.9}
	got, _ = h.Radial(&Leg{}, Motion{Speed: 1})
	near(t, "rope", got, 20*gravity/2/0.9, 1e-12)
	b := &Belt{Motors: 1, Mass: 10, Radius: 0.05, Friction: 0.2}
	got, _ = b.Radial(&Leg{}, Motion{Speed: 1})
	near(t, "belt", got, 2*0.2*10*gravity, 1e-12)
}

func TestBadRopesMustBeDrivenDown(t *testing.T) {
	h := &Hoist{Motors: 1, Mass: 10, Radius: 0.1, Parts: 3, RopeEfficiency: 0.4}
	load := 0.1 * 10 * gravity / 3
	near(t, "up", h.Torque(&Leg{}, Motion{Speed: 1}), load/0.4, 1e-12)
	near(t, "down: negative, the motor pushes", h.Torque(&Leg{}, Motion{Speed: -1}), load*(2-1/0.4), 1e-12)
	near(t, "held without friction", h.Held(&Leg{}, 0), load, 1e-12)
	if h.Released(&Leg{}, 0) > 0 {
		t.Error("such a rope does not run back")
	}
	h.Counterweight = 25
	near(t, "heavier counterweight drives up", h.Torque(&Leg{}, Motion{Speed: 1}), 0.1*(10-25)*gravity/3*(2-1/0.4), 1e-12)
	near(t, "both masses are accelerated", h.Torque(&Leg{}, Motion{Speed: -1, Acceleration: -1})-h.Torque(&Leg{}, Motion{Speed: -1}), -0.1*35/3/0.4, 1e-12)
}

func TestBalanceTakesLoadAndAddsInertia(t *testing.T) {
	a := &Arm{Motors: 2, Mass: 3, Radius: 0.4, CounterMass: 6, CounterRadius: 0.2}
	near(t, "counterweight holds", a.Held(&Leg{}, 0.7), 0, 1e-9)
	near(t, "and counts in J", a.Torque(&Leg{}, Motion{Position: 0.7, Acceleration: 2}), (3*0.16+6*0.04)*2/2, 1e-12)
	a = &Arm{Motors: 1, Mass: 3, Radius: 0.4, SpringTorque: 8, SpringRate: 2, SpringAngle: 0.1}
	near(t, "spring", a.Held(&Leg{}, 0.6), 3*0.4*gravity*math.Cos(0.6)-(8-2*0.5), 1e-12)
	a = &Arm{Motors: 1, BalanceTorque: 5, Inertia: 1}
	near(t, "constant", a.Held(&Leg{}, 1.3), -5, 1e-12)
	near(t, "payload joins at the radius", (&Arm{Motors: 1, Mass: 1, Radius: 0.5}).Held(&Leg{Payload: 2}, 0), 1.5*gravity, 1e-12)
}

func TestImbalanceJoinsGravityAndInertia(t *testing.T) {
	table := &Turntable{Motors: 1, Inertia: 2, FrictionTorque: 0.3, ImbalanceMass: 4, ImbalanceOffset: 0.5, Tilt: 0.2}
	got := table.Torque(nil, Motion{Position: 1, Speed: -1, Acceleration: 3})
	near(t, "all terms", got, -0.3+(2+1)*3+4*gravity*0.5*math.Sin(0.2)*math.Cos(1), 1e-12)
	if (&Turntable{Motors: 1, ImbalanceMass: 4, ImbalanceOffset: 0.5}).Varies() {
		t.Error("a level table does not vary")
	}
}

// every draws one of the mechanisms with plausible numbers.
func every(t *rapid.T) Mechanism {
	x := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	n := rapid.IntRange(1, 4).Draw(t, "motors")
	switch rapid.IntRange(0, 5).Draw(t, "mechanism") {
	case 0:
		return &Wheels{Motors: n, Mass: x("m", 1, 99), Radius: x("r", .02, .3), RollingResistance: x("c", 0, .1), DragArea: x("d", 0, 1)}
	case 1:
		return &Arm{Motors: n, Mass: x("m", 1, 99), Radius: x("r", .1, 1), CounterMass: x("c", 0, 9), CounterRadius: .2}
	case 2:
		return &Hoist{Motors: n, Mass: x("m", 1, 99), Radius: x("r", .02, .3), Parts: 2, RopeEfficiency: x("e", .4, 1), Counterweight: x("c", 0, 99)}
	case 3:
		return &Turntable{Motors: n, Inertia: x("J", 0, 9), FrictionTorque: x("f", 0, 9), ImbalanceMass: x("m", 0, 9), ImbalanceOffset: .1, Tilt: x("t", 0, 1)}
	case 4:
		return &Belt{Motors: n, Mass: x("m", 1, 99), BeltMass: x("b", 0, 9), Radius: x("r", .02, .3), Friction: x("f", 0, .5)}
	default:
		return &Screw{Motors: n, Mass: x("m", 1, 99), Force: x("F", 0, 999), Lead: x("l", .002, .02), Diameter: .02, Friction: x("f", .01, .3)}
	}
}

func TestFrictionAlwaysTakesPower(t *testing.T) {
	// Up and down the same stretch at the same speed, gravity cancels and what is left is loss.
	rapid.Check(t, func(t *rapid.T) {
		m := every(t)
		leg := &Leg{Sense: 1, Incline: rapid.Float64Range(-0.5, 0.5).Draw(t, "incline"), Payload: rapid.Float64Range(0, 20).Draw(t, "payload")}
		v, at := rapid.Float64Range(0.01, 3).Draw(t, "v"), rapid.Float64Range(-1, 1).Draw(t, "at")
		there := m.Torque(leg, Motion{Position: at, Speed: v}) * v
		back := m.Torque(leg, Motion{Position: at, Speed: -v}) * -v
		if there+back < -1e-9*(math.Abs(there)+1) {
			t.Fatalf("%T gains %g W going there and back", m, -there-back)
		}
	})
}

func TestSharesAddUpToTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := &Case{Motors: 1, Mechanism: every(t), Legs: []Leg{{Sense: 1, Payload: 3, Incline: 0.1}}}
		d := c.Clone()
		two := d.Mechanism
		n := 0
		switch m := two.(type) {
		case *Wheels:
			n, m.Motors = m.Motors, m.Motors*2
		case *Arm:
			n, m.Motors = m.Motors, m.Motors*2
		case *Hoist:
			n, m.Motors = m.Motors, m.Motors*2
		case *Turntable:
			n, m.Motors = m.Motors, m.Motors*2
		case *Belt:
			n, m.Motors = m.Motors, m.Motors*2
		case *Screw:
			n, m.Motors = m.Motors, m.Motors*2
		}
		m := Motion{Position: 0.3, Speed: 0.4, Acceleration: 0.5}
		a, b := c.Mechanism.Torque(&c.Legs[0], m), two.Torque(&d.Legs[0], m)
		if math.Abs(a-2*b) > 1e-9*(1+math.Abs(a)) {
			t.Fatalf("%d motors take %g each, twice as many %g", n, a, b)
		}
	})
}

func TestACloneSharesNothing(t *testing.T) {
	c := cart(Leg{Kind: SpeedLeg, Speed: 1, Distance: 5, Acceleration: 1, Payload: 2}, Leg{Kind: RestLeg, For: 4, Acceleration: 1})
	c.Supply.Fuse = &Fuse{Rating: 30}
	d := c.Clone()
	d.Mechanism.(*Wheels).Mass = 99
	d.Supply.Fuse.Rating = 1
	d.ScaleSpeed(3)
	d.ScaleRests(2)
	d.ScaleAcceleration(2)
	if !d.AddPayload(5) || !d.AddIncline(0.1) || d.AddIncline(0.1) {
		t.Error("payload and one incline can be added")
	}
	d.ScaleIncline(2)
	d.SetAir(40)
	if c.Mechanism.(*Wheels).Mass != 10 || c.Supply.Fuse.Rating != 30 || c.Legs[0].Speed != 1 || c.Legs[1].For != 4 || c.Air.Value != 0 {
		t.Error("the original changed")
	}
	l := d.Legs[0]
	if l.Speed != 3 || l.Acceleration != 2 || l.Payload != 7 || l.Incline != 0.2 || d.Legs[1].For != 8 || d.Legs[1].Payload != 5 || d.Air.Value != 40 {
		t.Errorf("the copy is not scaled: %+v", d.Legs)
	}
	if d.AddPayload(-6); d.Legs[0].Payload != 1 || d.Legs[1].Payload != 0 {
		t.Errorf("no leg carries less than nothing: %+v", d.Legs)
	}
}
