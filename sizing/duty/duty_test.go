package duty

import (
	"math"
	"testing"

	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/heat"
	"pgregory.net/rapid"
)

// cart is 30 kg on 200 mm wheels with one motor: a level leg, a climb, a rest.
func cart(t testing.TB, incline float64) *Script {
	t.Helper()
	c := &loadcases.Case{Kind: "wheels", Motors: 1,
		Mechanism: &loadcases.Wheels{Motors: 1, Mass: 30, Radius: 0.1, RollingResistance: 0.02},
		Legs: []loadcases.Leg{
			{Name: "level", Kind: loadcases.SpeedLeg, Speed: 1, Distance: 6, Acceleration: 0.5},
			{Name: "climb", Kind: loadcases.SpeedLeg, Speed: 0.8, Distance: 4, Acceleration: 0.5, Incline: incline},
			{Name: "wait", Kind: loadcases.RestLeg, For: 20, Acceleration: 0.5},
		},
		Wants: loadcases.Wants{SpeedTolerance: 0.05}}
	c.Settle()
	s, err := NewScript(c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// gearMotor drives it: 12 V, 0.6 Ω, behind 20:1 at 80 %.
func gearMotor() Drive {
	return Drive{
		Machine: drive.Machine{Resistance: 0.6, Constant: 0.03, Friction: 0.03 * 0.3, Inertia: 1e-5, Flux: -0.002, RefTemp: 25},
		Train:   drive.NewTrain(drive.Stage{Ratio: 20, Forward: 0.8, Back: 0.75}),
		Supply: drive.Supply{EMF: 12, PackR: 0.05, Aux: 0.1, Motors: 1, PerChannel: 1, DutyMax: 1,
			Limit: math.Inf(1), Holds: math.Inf(1), Regenerate: true, Absorbs: true},
		Body: heat.Body{WindingToHousing: 1.5, HousingToAir: 5, WindingCapacity: 20, HousingCapacity: 160,
			Air: 25, Resistance: 0.6, RefTemp: 25, Flux: -0.002},
		Heated: true, Limit: 120,
	}
}

// way is the net distance of a leg in a trace.
func way(t *Trace, leg int) float64 {
	sum := 0.0
	for i := range t.Intervals {
		if iv := &t.Intervals[i]; iv.Leg == leg {
			s := t.Samples[iv.First : iv.First+3]
			sum += iv.Time * simpson(s[0].Speed, s[1].Speed, s[2].Speed)
		}
	}
	return sum
}

func TestAStrongDriveFollowsAndItsCycleAddsUp(t *testing.T) {
	s := cart(t, 0.05)
	d := gearMotor()
	res := NewRunner(s).Run(&d)
	if !res.Trace.Followed || res.Runaway {
		t.Fatalf("followed %v, runaway %v", res.Trace.Followed, res.Runaway)
	}
	total := 0.0
	for _, iv := range res.Trace.Intervals {
		total += iv.Time
	}
	if math.Abs(total-s.Plan.Duration) > 1e-9*total || math.Abs(way(res.Trace, 0)-6) > 1e-6 {
		t.Errorf("intervals add up to %v s of %v, leg 0 to %v m of 6", total, s.Plan.Duration, way(res.Trace, 0))
	}
	end := res.Trace.Samples[len(res.Trace.Samples)-1]
	if math.Abs(end.Winding-res.Start.Winding) > 2e-3 || math.Abs(end.Housing-res.Start.Housing) > 2e-3 {
		t.Errorf("the hottest cycle of an endless duty ends at %.4f/%.4f °C, it began at %v", end.Winding, end.Housing, res.Start)
	}
}

func TestAWeakDriveClimbsAtTheSpeedItsLineAllows(t *testing.T) {
	s := cart(t, 0.12)
	d := gearMotor()
	d.Heated = false
	d.Body.Air = 25
	d.Supply.EMF = 7
	res := NewRunner(s).Run(&d)
	leg := &res.Trace.Legs[1]
	if res.Trace.Followed || leg.Bound != drive.VoltageEnd {
		t.Fatalf("followed %v, bound %v", res.Trace.Followed, leg.Bound)
	}
	// Steady at full duty: k·I = T_wheel/(N·η) + Tf, and
	// E − Iaux·Rt = kω + I·(R + n·Rt), ω = v·N/r.
	torque := 0.1 * 30 * 9.80665 * (math.Sin(0.12) + 0.02*math.Cos(0.12))
	i := (torque/(20*0.8) + 0.03*0.3) / 0.03
	want := (7 - 0.1*0.05 - i*(0.6+0.05)) / 0.03 / 20 * 0.1
	if math.Abs(leg.Reached-want) > 1e-4*want {
		t.Errorf("climbs at %v m/s, its line says %v", leg.Reached, want)
	}
	if math.Abs(leg.Shortfall-(1-want/0.8)) > 1e-3 {
		t.Errorf("shortfall %v", leg.Shortfall)
	}
	if got := way(res.Trace, 1); math.Abs(got-4) > 1e-3 {
		t.Errorf("a leg that ends on distance covered %v m of 4", got)
	}
}

func TestACurrentLimitSetsTheAcceleration(t *testing.T) {
	s := cart(t, 0)
	d := gearMotor()
	d.Heated = false
	d.Supply.Limit = 1.6
	res := NewRunner(s).Run(&d)
	if res.Trace.Legs[0].Bound != drive.CurrentEnd {
		t.Fatalf("bound %v", res.Trace.Legs[0].Bound)
	}
	// N·η·(k·I − Tf − J·αm) = r·(Crr·m·g + m·a), αm = a·N/r
	rolling := 0.02 * 30 * 9.80665
	a := (20*0.8*(0.03*1.6-0.009)/0.1 - rolling) / (30 + 20*0.8*1e-5*20/0.1/0.1)
	if !(a < 0.5) {
		t.Fatal("the case does not test the limit")
	}
	first := res.Trace.Intervals[0]
	got := (res.Trace.Samples[first.First+2].Speed - res.Trace.Samples[first.First].Speed) / first.Time
	if math.Abs(got-a) > 1e-6 {
		t.Errorf("starts with %v m/s², the limit allows %v", got, a)
	}
}

func TestAMachineThatCannotStartIsGivenUp(t *testing.T) {
	s := cart(t, 0.5)
	d := gearMotor()
	d.Heated = false
	d.Supply.EMF = 5
	res := NewRunner(s).Run(&d)
	leg := &res.Trace.Legs[1]
	if !leg.Abandoned || leg.Reached != 0 || leg.Shortfall < 0.9 {
		t.Errorf("%+v", *leg)
	}
	if math.Abs(leg.Time-10*leg.Commanded) > 1e-6*leg.Time {
		t.Errorf("given up after %v s, ten times %v s", leg.Time, leg.Commanded)
	}
}

func TestEveryMarchEndsWhateverTheDrive(t *testing.T) {
	s := cart(t, 0.15)
	r := NewRunner(s)
	rapid.Check(t, func(t *rapid.T) {
		d := gearMotor()
		d.Heated = rapid.Bool().Draw(t, "heated")
		d.Machine.Resistance = rapid.Float64Range(0.2, 20).Draw(t, "resistance")
		d.Body.Resistance = d.Machine.Resistance
		d.Machine.Constant = rapid.Float64Range(0.002, 0.2).Draw(t, "constant")
		d.Machine.Inertia = rapid.Float64Range(0, 1e-4).Draw(t, "inertia")
		eta := rapid.Float64Range(0.3, 0.98).Draw(t, "efficiency")
		d.Train = drive.NewTrain(drive.Stage{Ratio: rapid.Float64Range(1, 200).Draw(t, "ratio"), Forward: eta, Back: 2 - 1/eta})
		d.Supply.PackR = rapid.Float64Range(0, 2).Draw(t, "pack")
		d.Supply.Limit = rapid.SampledFrom([]float64{math.Inf(1), 2, 8}).Draw(t, "limit")
		res := r.Run(&d)
		if n := len(res.Trace.Intervals); n == 0 || n > 9000 {
			t.Fatalf("%d intervals", n)
		}
		for i := range res.Trace.Samples {
			if x := &res.Trace.Samples[i]; math.IsNaN(x.Current + x.Battery + x.Bus + x.Speed) {
				t.Fatalf("not a number in %+v", *x)
			}
		}
		for i, l := range res.Trace.Legs {
			if leg := &s.Case.Legs[i]; leg.Distance > 0 && !l.Abandoned && math.Abs(way(res.Trace, i)-leg.Distance) > 2e-3*leg.Distance {
				t.Fatalf("leg %d covered %v of %v m in %v s, bound %v", i, way(res.Trace, i), leg.Distance, l.Time, l.Bound)
			}
		}
	})
}

func TestALimitedOperatingTimeIsCoolerThanAnEndlessOne(t *testing.T) {
	s := cart(t, 0.1)
	d := gearMotor()
	r := NewRunner(s)
	endless := r.Run(&d).WindingPeak
	last := 25.0
	for _, minutes := range []float64{1, 5, 20, 600} {
		s.Case.OperatingTime = quantity.Time(60 * minutes)
		peak := r.Run(&d).WindingPeak
		if peak < last-1e-6 || peak > endless+0.05 {
			t.Errorf("after %v min the winding peaks at %v, before at %v, endless %v", minutes, peak, last, endless)
		}
		last = peak
	}
	if math.Abs(last-endless) > 0.1 {
		t.Errorf("ten hours peak at %v, endless at %v", last, endless)
	}
}

// A machine without mass and a rotor without inertia have no dynamics at all:
// the march must settle at the speed the line allows, in few steps.
func TestNothingToAccelerateEndsToo(t *testing.T) {
	s := cart(t, 0.1)
	s.Case.Mechanism.(*loadcases.Wheels).Mass = 0
	d := gearMotor()
	d.Machine.Inertia = 0
	d.Supply.EMF = 5
	fresh, err := NewScript(s.Case)
	if err != nil {
		t.Fatal(err)
	}
	res := NewRunner(fresh).Run(&d)
	if n := len(res.Trace.Intervals); n > 400 {
		t.Errorf("%d intervals", n)
	}
	// Nothing but the motor's own friction: k·I = Tf, kω = E − Iaux·Rt − I·(R+Rt).
	want := (5 - 0.1*0.05 - 0.3*0.65) / 0.03 / 20 * 0.1
	if got := res.Trace.Legs[0].Reached; math.Abs(got-want) > 0.02*want {
		t.Errorf("runs at %v m/s, its line says about %v", got, want)
	}
}
