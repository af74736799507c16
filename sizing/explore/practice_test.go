package explore

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/sizing"
)

// The numbers of these tests are questions of people who build small machines,
// worked out again: common practice, no source.

const (
	asRPM = 30 / math.Pi
	inch  = 0.0254
)

// within holds a value to a share of what is wanted.
func within(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if !(math.Abs(got-want) <= share*math.Abs(want)) {
		t.Errorf("%s is %.5g, want %.5g", what, got, want)
	}
}

// stiff is a supply without resistance, and a controller without limits.
const stiff = "supply: { adapter: { voltage: 24 V, current: 900 A, beyond: holds, capacitance: 1 F }, controllers: any }\ncatalogs: { motors: m.csv, batteries: b.csv, controllers: k.csv, gear_trains: g.csv }\n"

// bareMotor is a row of a motor without gears, at 24 V, from its no-load speed
// in rpm and stall torque in N·m; its constants agree exactly.
func bareMotor(rpm, stall, idle float64) string {
	w := rpm / asRPM
	// V = I0·R + k·ω0 and Ts = k·(Is − I0), Is = V/R
	k := 24 / w
	for range 60 {
		r := 24 / (stall/k + idle)
		k = (24 - idle*r) / w
	}
	return fmt.Sprintf("m,24,,motor,,%.9g,%.9g,%.9g,%.9g,900\n", rpm, idle, stall, stall/k+idle)
}

const motorHead = "id,nominal_voltage [V],ratio,measured_at,gear_efficiency,no_load_speed [rpm],no_load_current [A],stall_torque [N·m],stall_current [A],mass [g]\n"

// practice evaluates the first pick of a case and its answer on ratios.
func practice(t *testing.T, text, motors, trains string) (*loadcases.Case, *catalog.Catalog, sizing.Pick) {
	t.Helper()
	c, cat := made(t, text, motorHead+motors, trains)
	for i := range cat.Controllers {
		cat.Controllers[i].CurrentContinuous.Value, cat.Controllers[i].CurrentPeak.Value = 900, 1800
	}
	picks, err := sizing.Picks(c, cat)
	if err != nil {
		t.Fatal(err)
	}
	return c, cat, picks[0]
}

func judged(t *testing.T, c *loadcases.Case, p sizing.Pick) *sizing.Candidate {
	t.Helper()
	j, err := sizing.NewJudge(c)
	if err != nil {
		t.Fatal(err)
	}
	out := new(sizing.Candidate)
	j.Evaluate(p, out)
	return out
}

// Case 2: 2 kg, four motors of 47 oz·in and 60 rpm, 15°: the wheel of 0.2615 m
// just stalls, and one of 0.158 m climbs with 0.495 m/s at half speed and half
// stall, which is the most power and no place to stay: the best ratio for heat
// lies beyond it.
func TestPractice2HalfOfStallIsNotTheBestForHeat(t *testing.T) {
	const stall = 47 * 0.00706155
	text := func(radius, speed float64) string {
		return fmt.Sprintf("title: p2\nmechanism: { wheels: { mass: 2 kg, wheel_radius: %g m, motors: 4, rolling_resistance: 0 } }\nduty: { acceleration: 0.5 m/s^2, legs: [ { speed: %g m/s, for: 20 s, incline: 15 deg }, { rest: 3600 s } ] }\n", radius, speed) + stiff
	}
	motor := bareMotor(60, stall, 0)
	speedAt := func(radius float64) float64 {
		c, _, p := practice(t, text(radius, 3), motor, "")
		return judged(t, c, p).Legs[0].Reached
	}
	if v := speedAt(0.2615 * 1.01); v > 0.001 {
		t.Errorf("a wheel beyond 0.2615 m climbs with %g m/s", v)
	}
	if v := speedAt(0.2615 * 0.97); v < 1e-3 {
		t.Errorf("a wheel below 0.2615 m does not climb: %g m/s", v)
	}
	c, cat, p := practice(t, text(0.2615, 0.3), motor, "")
	r, err := FindRatios(context.Background(), c, cat, p)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range r.Best {
		if o.Objective == "thermal_margin" && !(o.Ratio > 2*1.05) {
			t.Errorf("the best for heat is %g times the ratio that stalls, no further than peak power at 2", o.Ratio)
		}
	}
	// 0.158 m is the published answer, which takes 1.6 N·m for four motors
	// running at half speed; with 1.328 N·m in all, half of stall is r = 0.1308 m.
	c, _, p = practice(t, text(0.1308, 3), motor, "")
	k := judged(t, c, p)
	within(t, "speed at half of stall", k.Legs[0].Steady.OutputSpeed*asRPM, 30, 0.02)
}

// Case 3: 22.6 kg, two motors, 76 mm wheels, 20°, 1.67 m/s, 0.8 m/s²: 1.78 N·m
// and 419.7 rpm per motor, 78 W.
func TestPractice3PerMotor178NewtonMetresAt420RPM(t *testing.T) {
	text := "title: p3\nmechanism: { wheels: { mass: 22.6 kg, wheel_diameter: 76 mm, motors: 2, rolling_resistance: 0 } }\nduty: { acceleration: 0.8 m/s^2, legs: [ { speed: 1.67 m/s, distance: 20 m, incline: 20 deg }, { rest: 60 s } ] }\n" + stiff
	c, _, p := practice(t, text, strings.Replace(bareMotor(9000, 1.5, 0.1), "m,24,,motor,,", "m,24,14,motor,1,", 1), "")
	k := judged(t, c, p)
	within(t, "peak torque", k.Legs[0].Peak.OutputTorque, 1.78, 0.01)
	within(t, "speed", k.Legs[0].Steady.OutputSpeed*asRPM, 419.7, 0.01)
	within(t, "power", k.Legs[0].Peak.OutputTorque*1.67/0.038, 78, 0.01)
}

// Case 5: 60 kg on 10 in wheels, 5 mph, the wheel on the motor itself: 168 rpm
// is not where a bare motor is of use, a ratio of some 15 to 40 is.
func TestPractice5ABareMotorWantsARatio(t *testing.T) {
	text := "title: p5\nmechanism: { wheels: { mass: 60 kg, wheel_diameter: 10 in, motors: 4, rolling_resistance: 0.03 } }\nduty: { acceleration: 1 m/s^2, legs: [ { speed: 5 mph, distance: 60 m }, { rest: 20 s } ] }\n" + stiff
	c, cat, p := practice(t, text, bareMotor(5000, 0.8, 0.2), "")
	r, err := FindRatios(context.Background(), c, cat, p)
	if err != nil {
		t.Fatal(err)
	}
	if inside(1, r.Windows) || !inside(15, r.Windows) || len(r.Windows) != 1 {
		t.Errorf("windows %v, want 15:1 inside and 1:1 outside", r.Windows)
	}
	k := judged(t, c, withRatio(p, 15))
	within(t, "wheel speed", k.Legs[0].Steady.OutputSpeed*asRPM, 168, 0.01)
	within(t, "wheel torque", k.Legs[0].Steady.OutputTorque, 0.56, 0.01)
	within(t, "torque with acceleration", k.Legs[0].Peak.OutputTorque, 0.56+1.91, 0.01)
}

// Case 7: 20 kg, 35°, 10 cm wheels, a chain of 8 teeth driving 20: 2.81 N·m at
// the wheel is 1.12 N·m at the motor, not 7.03; the motor turns 239 rpm at
// 0.5 m/s and 955 at 2 m/s.
func TestPractice7TheChainDividesTheTorque(t *testing.T) {
	for speed, rpm := range map[float64]float64{0.5: 239, 2: 955} {
		text := fmt.Sprintf("title: p7\nmechanism: { wheels: { mass: 20 kg, wheel_diameter: 10 cm, motors: 2, rolling_resistance: 0, further_stage: { driver_teeth: 8, driven_teeth: 20, efficiency: 100 %% } } }\nduty: { acceleration: 1 m/s^2, legs: [ { speed: %g m/s, for: 20 s, incline: 35 deg }, { rest: 60 s } ] }\n", speed) + stiff
		c, _, p := practice(t, text, bareMotor(1500, 12, 0.1), "")
		k := judged(t, c, p)
		if !strings.Contains(k.ID, "+8x20+") {
			t.Errorf("the stage is not in the id %s", k.ID)
		}
		s := k.Legs[0].Steady
		v, torque := k.LoadSide(s)
		within(t, "wheel torque", torque, 2.81, 0.01)
		within(t, "torque before the chain", s.OutputTorque, 1.12, 0.01)
		within(t, "motor torque", s.MotorTorque, 1.12, 0.01)
		within(t, "motor speed", s.MotorSpeed*asRPM, rpm, 0.01)
		within(t, "wheel speed", v, s.OutputSpeed/2.5, 1e-12)
		within(t, "power", s.OutputTorque*s.OutputSpeed, 28*speed/0.5, 0.01)
	}
}

// Case 18: 2000 lb, 12 in tyres, 39.06:1 from 2500 rpm: 64.0 rpm, 2.285 mph;
// level 183 W, on 9° 1614 W and 239 N·m at the axle.
func TestPractice18RatioAndSpeedOfAHeavyCart(t *testing.T) {
	text := "title: p18\nmechanism: { wheels: { mass: 2000 lb, wheel_diameter: 12 in, rolling_resistance: 0.02 } }\nduty: { acceleration: 0.5 m/s^2, legs: [ { name: level, speed: 2.3 mph, distance: 30 m }, { name: slope, speed: 2.3 mph, distance: 10 m, incline: 9 deg }, { rest: 300 s } ] }\n" + stiff
	c, _, p := practice(t, text, strings.Replace(bareMotor(2900, 60, 0.5), "m,24,,motor,,", "m,24,39.06,motor,1,", 1), "")
	k := judged(t, c, p)
	level, slope := k.Legs[0].Steady, k.Legs[1].Steady
	within(t, "axle speed", level.OutputSpeed*asRPM, 64.0*2.3/2.285, 0.01)
	within(t, "motor speed", level.MotorSpeed*asRPM, 2500*2.3/2.285, 0.01)
	within(t, "level power", level.OutputTorque*level.OutputSpeed, 183, 0.01)
	within(t, "power on 9°", slope.OutputTorque*slope.OutputSpeed, 1614, 0.01)
	within(t, "axle torque", slope.OutputTorque, 239, 0.01)
}

// Case 20: scooter motors of 2750 rpm with 1:1 chain on wheels of 0.406 m would
// drive 58 m/s; 1.5 m/s wants 39:1.
func TestPractice20AScooterMotorWants39To1(t *testing.T) {
	text := "title: p20\nmechanism: { wheels: { mass: 100 kg, wheel_diameter: 0.406 m, motors: 4, rolling_resistance: 0.08, further_stage: { driver_teeth: 12, driven_teeth: 12 } } }\nduty: { acceleration: 0.3 m/s^2, legs: [ { speed: 1.5 m/s, distance: 60 m }, { rest: 60 s } ] }\n" + stiff
	c, cat, p := practice(t, text, bareMotor(3050, 8.8, 1), "")
	r, err := FindRatios(context.Background(), c, cat, p)
	if err != nil {
		t.Fatal(err)
	}
	if r.Ratio != 1 || inside(1, r.Windows) || !inside(39, r.Windows) {
		t.Errorf("as built %g:1, windows %v: want 39 inside and 1 outside", r.Ratio, r.Windows)
	}
	within(t, "motor speed at 39:1", judged(t, c, withRatio(p, 39)).Legs[0].Steady.MotorSpeed*asRPM, 2750, 0.01)
	within(t, "free speed at 1:1", 2750/asRPM*0.203, 58, 0.01)
}

// Case 28: 8 kg at 1 m are 78.45 N·m; a motor of 0.498 N·m and 19300 rpm stalls
// at 157.5:1 without loss, and at 900:1 and 70 % lifts with a quarter of its
// stall torque at 16 rpm.
func TestPractice28TheArmWants900To1(t *testing.T) {
	text := "title: p28\nmechanism: { shaft: { } }\nduty: { legs: [ { torque: 78.453 N·m, speed: 16 rpm, for: 0.5 s }, { torque: 0 N·m, rest: 600 s } ] }\n" + stiff
	trains := "id,ratio,efficiency\ng,900,70 %\n"
	c, cat, p := practice(t, text, bareMotor(19300, 0.498, 0.0), trains)
	k := judged(t, c, p)
	within(t, "share of stall", k.Legs[0].Steady.MotorTorque/0.498, 0.25, 0.01)
	within(t, "fastest at that torque", 19300*0.75/900, 16, 0.01)
	r, err := FindRatios(context.Background(), c, cat, p)
	if err != nil {
		t.Fatal(err)
	}
	if !inside(900, r.Windows) || inside(161, r.Windows) {
		t.Errorf("windows %v: want 900 inside and 161 outside", r.Windows)
	}
	loss := *p.Train
	loss.Efficiency.Value, loss.BackEfficiency.Value = 1, 1
	p.Train = &loss
	if v := judged(t, c, withRatio(p, 157.5*0.99)).Legs[0].Reached; v > 1e-3 {
		t.Errorf("below 157.5:1 the arm turns with %g rad/s", v)
	}
	if v := judged(t, c, withRatio(p, 157.5*1.05)).Legs[0].Reached; v <= 0.01 {
		t.Errorf("above it the arm does not turn")
	}
}
