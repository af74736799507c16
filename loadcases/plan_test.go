package loadcases

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// cart is a case of wheels with the given legs, settled.
func cart(legs ...Leg) *Case {
	c := &Case{Kind: "wheels", Motors: 1, Mechanism: &Wheels{Motors: 1, Mass: 10, Radius: 0.1}, Legs: legs}
	c.Settle()
	return c
}

func mustPlan(t interface{ Fatalf(string, ...any) }, c *Case) Plan {
	plan, err := c.Plan()
	if err != nil {
		t.Fatalf("plan: %v", err)
	}
	return plan
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tolerance*max(math.Abs(want), 1e-9) {
		t.Errorf("%s: got %.8g, want %.8g", what, got, want)
	}
}

func TestARampCountsInTheDistance(t *testing.T) {
	// From rest to 1 m/s at 0.5 m/s²: 2 s and 1 m; the other 9 m take 9 s.
	plan := mustPlan(t, cart(
		Leg{Kind: SpeedLeg, Speed: 1, Distance: 10, Acceleration: 0.5},
		Leg{Kind: RestLeg, For: 5, Acceleration: 0.5},
	))
	near(t, "leg time", plan.LegTime[0], 11, 1e-12)
	near(t, "rest", plan.LegTime[1], 5, 1e-12)
	near(t, "reached", plan.Reached[0], 1, 0)
	last := plan.Phases[len(plan.Phases)-1]
	if last.Kind != Resting || last.Duration != 3 || !last.Steady {
		t.Errorf("the rest should brake 2 s and stand 3 s: %+v", last)
	}
}

func TestALegTooShortHandsOnWhatItReached(t *testing.T) {
	plan := mustPlan(t, cart(
		Leg{Kind: SpeedLeg, Speed: 2, Distance: 1, Acceleration: 0.5},
		Leg{Kind: RestLeg, For: 0.5, Acceleration: 0.5},
	))
	near(t, "reached √(2·a·d)", plan.Reached[0], 1, 1e-12)
	near(t, "rest lengthened to its braking", plan.LegTime[1], 2, 1e-12)
	if !plan.Phases[0].Steady {
		t.Error("the only ramp is the leg's steady phase")
	}
}

func TestAReversalSplitsAtZeroSpeedAndCountsNetDistance(t *testing.T) {
	// Inherited −1 m/s at 0.5 m/s²: 2 s and 1 m backwards, 2 s and 1 m forwards, then 5 m in 5 s.
	plan := mustPlan(t, cart(
		Leg{Kind: SpeedLeg, Speed: 1, Distance: 5, Acceleration: 0.5},
		Leg{Kind: SpeedLeg, Speed: -1, Distance: 5, Acceleration: 0.5},
	))
	near(t, "leg time", plan.LegTime[0], 9, 1e-12)
	if plan.Phases[0].Direction != -1 || plan.Phases[1].Direction != 1 || plan.Phases[1].Speed != 0 {
		t.Errorf("no split at zero: %+v", plan.Phases[:2])
	}
	near(t, "duration", plan.Duration, 18, 1e-12)
}

func TestAReversalTooShortToReachItsSpeedIsClosedForm(t *testing.T) {
	// Inherited −1 at 0.5: turns after 1 m, then √(2·0.5·(1+0.5)) at net +0.5 m.
	plan := mustPlan(t, cart(
		Leg{Kind: SpeedLeg, Speed: -1, Distance: 5, Acceleration: 0.5},
		Leg{Kind: SpeedLeg, Speed: 3, Distance: 0.5, Acceleration: 0.5},
		Leg{Kind: RestLeg, For: 9, Acceleration: 0.5},
	))
	near(t, "reached after turning", plan.Reached[1], math.Sqrt(2*0.5*1.5), 1e-12)
	near(t, "time", plan.LegTime[1], 2+math.Sqrt(1.5)/0.5, 1e-12)
}

func TestAMoveIsAOneThirdTrapezoid(t *testing.T) {
	// Profile constants B20, derived: v 1.5·d/t, a 4.5·d/t²; triangular 2·d/t, 4·d/t².
	c := &Case{Mechanism: &Arm{Motors: 1, Mass: 1, Radius: 1}, Legs: []Leg{
		{Kind: MoveLeg, From: -0.5, To: 1, In: 3},
		{Kind: HoldLeg, For: 1},
		{Kind: MoveLeg, FromOpen: true, Relative: true, By: -1.5, In: 3, RampShare: 0.5},
	}}
	c.Settle()
	plan := mustPlan(t, c)
	near(t, "start", plan.Phases[0].Position, -0.5, 0)
	near(t, "acceleration", plan.Phases[0].Acceleration, 4.5*1.5/9, 1e-12)
	near(t, "speed", plan.Phases[1].Speed, 1.5*1.5/3, 1e-12)
	near(t, "triangular acceleration", plan.Phases[4].Acceleration, -4*1.5/9, 1e-12)
	near(t, "triangular speed", plan.Phases[5].Speed, -2*1.5/3, 1e-12)
	if !plan.Phases[1].Steady || !plan.Phases[4].Steady {
		t.Error("the steady state is the constant part, or the end of a triangle's first ramp")
	}
}

func TestNonsenseIsRefusedWithItsLeg(t *testing.T) {
	arm := func(legs ...Leg) *Case { return &Case{Mechanism: &Arm{Motors: 1}, Legs: legs} }
	for name, c := range map[string]*Case{
		"no legs":               cart(),
		"speed zero":            cart(Leg{Kind: SpeedLeg, For: 1}),
		"no time nor way":       cart(Leg{Kind: SpeedLeg, Speed: 1, Acceleration: 1}),
		"no acceleration":       cart(Leg{Kind: SpeedLeg, Speed: 1, For: 1}, Leg{Kind: RestLeg, For: 1}),
		"rest without time":     cart(Leg{Kind: RestLeg}),
		"move after motion":     arm(Leg{Kind: SpeedLeg, Speed: 1, For: 5, Acceleration: 1}, Leg{Kind: MoveLeg, FromOpen: true, To: 9, In: 1}),
		"move from elsewhere":   arm(Leg{Kind: MoveLeg, To: 1, In: 1}, Leg{Kind: MoveLeg, From: 2, To: 1, In: 1}),
		"move to where it is":   arm(Leg{Kind: MoveLeg, From: 1, To: 1, In: 1}),
		"pivot out of motion":   cart(Leg{Kind: SpeedLeg, Speed: 1, For: 5, Acceleration: 1}, Leg{Kind: SpeedLeg, Speed: 1, For: 5, Acceleration: 1, Pivot: true}),
		"only a step, no time":  cart(Leg{Kind: StepLeg, StepHeight: 0.01}),
		"log without a recoder": cart(Leg{Kind: SpeedLeg, Log: true}),
	} {
		if plan, err := c.Plan(); err == nil {
			t.Errorf("%s: no error, plan %+v", name, plan)
		}
	}
}

func TestAShaftWithoutAccelerationJumps(t *testing.T) {
	c := &Case{Mechanism: &Shaft{Motors: 1}, Legs: []Leg{
		{Kind: SpeedLeg, Speed: 10, For: 2, Torque: 1}, {Kind: SpeedLeg, Speed: -4, For: 3, Torque: -1}, {Kind: RestLeg, For: 1}}}
	c.Settle()
	plan := mustPlan(t, c)
	if len(plan.Phases) != 3 || !plan.Phases[0].Jump || !plan.Phases[1].Jump || !plan.Phases[2].Jump {
		t.Errorf("three jumps wanted: %+v", plan.Phases)
	}
	near(t, "duration", plan.Duration, 6, 1e-12)
}

func TestALogBecomesOnePhasePerInterval(t *testing.T) {
	s := &Shaft{Motors: 2, Log: []Sample{{0, 2, 0}, {1, 4, 10}, {3, 4, -10}}}
	c := &Case{Mechanism: s, Legs: []Leg{{Kind: SpeedLeg, Log: true}, {Kind: RestLeg, For: 2}}}
	c.Settle()
	plan := mustPlan(t, c)
	if len(plan.Phases) != 4 {
		t.Fatalf("one interval, one split in two, one rest: %+v", plan.Phases)
	}
	near(t, "leg", plan.LegTime[0], 3, 1e-12)
	near(t, "torque between samples, per motor", s.Torque(&c.Legs[0], Motion{Time: 0.5}), 1.5, 1e-12)
}

func TestABeltBreaksAwayOnceFromEachStand(t *testing.T) {
	c := &Case{Mechanism: &Belt{Motors: 1, Mass: 1, Radius: 1, Friction: 0.2, BreakawayFactor: 1.5}, Legs: []Leg{
		{Kind: SpeedLeg, Speed: 1, For: 5, Acceleration: 1}, {Kind: SpeedLeg, Speed: 2, For: 5, Acceleration: 1}, {Kind: RestLeg, For: 9, Acceleration: 1}}}
	c.Settle()
	count := 0
	for _, phase := range mustPlan(t, c).Phases {
		if phase.Kind == Instant {
			count++
		}
	}
	if count != 1 {
		t.Errorf("breakaways: %d", count)
	}
}

// drawLegs draws a duty of speed legs, rests and holds that can be commanded.
func drawLegs(t *rapid.T) []Leg {
	count := rapid.IntRange(1, 6).Draw(t, "legs")
	legs := make([]Leg, count)
	for i := range legs {
		leg := Leg{Acceleration: rapid.Float64Range(0.05, 5).Draw(t, "a")}
		switch rapid.IntRange(0, 3).Draw(t, "kind") {
		case 0:
			leg.Kind, leg.For = RestLeg, rapid.Float64Range(0.01, 50).Draw(t, "rest")
		case 1:
			leg.Kind, leg.For = HoldLeg, rapid.Float64Range(0.01, 50).Draw(t, "hold")
		default:
			leg.Speed = rapid.Float64Range(0.01, 3).Draw(t, "v")
			if rapid.Bool().Draw(t, "back") {
				leg.Speed = -leg.Speed
			}
			if rapid.Bool().Draw(t, "timed") {
				leg.For = rapid.Float64Range(0.01, 50).Draw(t, "t")
			} else {
				leg.Distance = rapid.Float64Range(0.01, 50).Draw(t, "d")
			}
		}
		legs[i] = leg
	}
	return legs
}

func TestPlanConservesTimeDistanceAndSpeed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := cart(drawLegs(t)...)
		plan := mustPlan(t, c)
		sum, speed, position := 0.0, plan.Phases[0].Speed, plan.Phases[0].Position
		way := make([]float64, len(c.Legs))
		for _, p := range plan.Phases {
			if math.Abs(p.Start-sum) > 1e-9*(1+sum) {
				t.Fatalf("phase starts at %g, the times so far add up to %g", p.Start, sum)
			}
			if math.Abs(p.Speed-speed) > 1e-7 || math.Abs(p.Position-position) > 1e-6 {
				t.Fatalf("speed or position jumps: %+v after %g %g", p, speed, position)
			}
			end := p.Speed + p.Acceleration*p.Duration
			if p.Kind == Moving && (p.Speed*p.Direction < -1e-9 || end*p.Direction < -1e-9) {
				t.Fatalf("a phase runs through zero: %+v", p)
			}
			moved := p.Speed*p.Duration + p.Acceleration*p.Duration*p.Duration/2
			way[p.Leg] += moved
			sum, speed, position = sum+p.Duration, end, p.Position+moved
		}
		if math.Abs(sum-plan.Duration) > 1e-9*(1+sum) {
			t.Fatalf("phases last %g, cycle %g", sum, plan.Duration)
		}
		if math.Abs(speed-plan.Phases[0].Speed) > 1e-7 {
			t.Fatalf("the cycle ends at %g and begins at %g", speed, plan.Phases[0].Speed)
		}
		steady := make([]int, len(c.Legs))
		for _, p := range plan.Phases {
			if p.Steady {
				steady[p.Leg]++
			}
		}
		for i, leg := range c.Legs {
			if leg.Distance > 0 && math.Abs(way[i]*leg.Sense-leg.Distance) > 1e-6 {
				t.Fatalf("leg %d covers %g of %g", i, way[i], leg.Distance)
			}
			if leg.Kind == SpeedLeg && leg.For > 0 && math.Abs(plan.LegTime[i]-leg.For) > 1e-9 {
				t.Fatalf("leg %d takes %g of %g", i, plan.LegTime[i], leg.For)
			}
			if steady[i] != 1 {
				t.Fatalf("leg %d has %d steady phases: %+v", i, steady[i], plan.Phases)
			}
		}
	})
}

func BenchmarkPlan(b *testing.B) {
	c := cart(
		Leg{Kind: SpeedLeg, Speed: 1, Distance: 18, Acceleration: 0.4},
		Leg{Kind: RestLeg, For: 45, Acceleration: 0.4},
		Leg{Kind: SpeedLeg, Speed: -1, Distance: 18, Acceleration: 0.4},
		Leg{Kind: RestLeg, For: 60, Acceleration: 0.4},
	)
	for b.Loop() {
		if _, err := c.Plan(); err != nil {
			b.Fatal(err)
		}
	}
}
