package verify

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/sizing"
	"pgregory.net/rapid"
)

// alike holds two answers' figures of merit together.
func alike(t failing, a, b *sizing.Candidate, part float64) {
	t.Helper()
	for _, p := range []struct {
		what string
		x, y float64
	}{
		{"winding peak", a.WindingPeak, b.WindingPeak}, {"winding mean", a.WindingMean, b.WindingMean}, {"housing peak", a.HousingPeak, b.HousingPeak},
		{"motor rms", a.MotorCurrentRMS, b.MotorCurrentRMS}, {"motor peak", a.MotorCurrentPeak, b.MotorCurrentPeak},
		{"cycle time", a.CycleTime, b.CycleTime}, {"bus", a.BusVoltageMin, b.BusVoltageMin},
	} {
		if math.Abs(p.x-p.y) > part*math.Max(math.Abs(p.x), 1) && !(math.IsNaN(p.x) && math.IsNaN(p.y)) {
			t.Errorf("%s: %.12g against %.12g", p.what, p.x, p.y)
		}
	}
	if a.ThermalRunaway != b.ThermalRunaway || a.Legs[0].LimitedBy != b.Legs[0].LimitedBy {
		t.Errorf("runaway %v %v, limited by %q %q", a.ThermalRunaway, b.ThermalRunaway, a.Legs[0].LimitedBy, b.Legs[0].LimitedBy)
	}
}

// Energy out of the open-circuit source over a cycle is the work on the load,
// counted from the duty alone, and the heat, counted from the trace: 0.1 % of
// what flows.
func TestEnergyInEqualsWorkPlusHeatOverTheEnginesCycle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		_, k := r.judge(t)
		if !followed(k) {
			t.Skip("falls behind: the distances of braking are not those of the duty")
		}
		in, heat := r.flows(k)
		work := r.work(k)
		if flow := math.Abs(in) + heat + math.Abs(work); math.Abs(in-heat-work) > 1e-3*flow {
			t.Errorf("in %.6g J, heat %.6g J, work %.6g J: %.3g of the flow is missing", in, heat, work, (in-heat-work)/flow)
		}
	})
}

// flows integrates the trace: energy out of the pack's source and all heat.
func (r *rig) flows(k *sizing.Candidate) (in, heat float64) {
	n := float64(r.Motors)
	aux := r.Electronics + n*r.Idle // a controller of one channel for every motor
	power := func(s *sizing.State) (in, heat float64) {
		source := s.BusVoltage + s.BatteryCurrent*r.Rb
		i := s.MotorCurrent
		copper := i * i * (r.R*(234.5+s.WindingTemp)/(234.5+25) + r.Ron)
		out := s.OutputTorque * s.OutputSpeed
		gear := out * (1/r.Eta - 1)
		if out < 0 {
			gear = -out * (1 - (2 - 1/r.Eta))
		}
		return source * s.BatteryCurrent, s.BatteryCurrent*s.BatteryCurrent*r.Rb + aux*s.BusVoltage +
			n*(copper+r.K*r.I0*math.Abs(s.MotorSpeed)+gear)
	}
	tr := k.Detail.Trace
	for j := 1; j < len(tr); j++ {
		dt := tr[j].At - tr[j-1].At
		if dt <= 0 {
			continue
		}
		a, b := power(&tr[j-1])
		c, d := power(&tr[j])
		in += dt * (a + c) / 2
		heat += dt * (b + d) / 2
	}
	return in, heat
}

// work is the work against gravity and rolling over one cycle, J, from the
// duty alone: legs by their distance, and the braking into the rests on the
// level after an incline is left behind.
func (r *rig) work(k *sizing.Candidate) (joule float64) {
	m := (r.Mass + r.Payload) * gravity
	for i, v := range r.Speeds {
		th := r.Inclines[i] * deg
		joule += r.Distances[i] * m * (math.Sin(th) + r.Crr*math.Cos(th))
		reached := k.Legs[2*i].Reached
		joule += reached * reached / (2 * r.Acceleration) * m * r.Crr
		_ = v
	}
	return joule
}

// Twice the wheel behind twice the ratio is the same machine to the motor.
func TestTwiceTheWheelBehindTwiceTheRatioIsTheSameMachine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		_, a := r.judge(t)
		r.Radius, r.Ratio = 2*r.Radius, 2*r.Ratio
		_, b := r.judge(t)
		alike(t, a, b, 1e-6)
	})
}

// Two machines side by side, coupled, draw on two packs as one does on one.
func TestTwoOfEverythingIsTwiceOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		_, a := r.judge(t)
		r.Mass, r.Payload, r.Motors, r.Parallel, r.Electronics = 2*r.Mass, 2*r.Payload, 2*r.Motors, 2, 2*r.Electronics
		_, b := r.judge(t)
		alike(t, a, b, 1e-6)
		near2(t, "battery current", b.BatteryCurrentMean, 2*a.BatteryCurrentMean, 1e-6*math.Abs(a.BatteryCurrentRMS))
	})
}

func near2(t failing, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

// The same duty driven backwards throughout is the same duty.
func TestReversalIsASymmetry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		_, a := r.judge(t)
		for i := range r.Speeds {
			r.Speeds[i] = -r.Speeds[i]
		}
		_, b := r.judge(t)
		alike(t, a, b, 1e-7) // the march of a lagging cycle meets its events to a share of that
		for i := range a.Legs {
			near2(t, "leg current", b.Legs[i].Steady.MotorCurrent, -a.Legs[i].Steady.MotorCurrent, 1e-7*math.Max(1, a.MotorCurrentPeak))
			near2(t, "leg battery current", b.Legs[i].Steady.BatteryCurrent, a.Legs[i].Steady.BatteryCurrent, 1e-7*math.Max(1, a.BatteryCurrentRMS))
		}
	})
}

// Where the duty only motors, more mass never cools the motor.
func TestMoreMassNeverCoolsAMotorThatOnlyMotors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		for i := range r.Inclines {
			r.Inclines[i] = math.Abs(r.Inclines[i])
		}
		r.Acceleration = 0.1
		r.Crr = math.Max(r.Crr, 0.03) // rolling alone brakes harder than the ramp
		r.J = 1e-5
		_, a := r.judge(t)
		r.Mass *= rapid.Float64Range(1, 2).Draw(t, "more")
		_, b := r.judge(t)
		if followed(a) && followed(b) && b.WindingPeak < a.WindingPeak-1e-9 {
			t.Errorf("winding %.6g °C, with more mass %.6g °C", a.WindingPeak, b.WindingPeak)
		}
	})
}

// A larger fuse of the same type never opens earlier, in the duty or in a jam.
func TestALargerFuseNeverOpensEarlier(t *testing.T) {
	ratings := []string{"5 A", "7.5 A", "10 A", "15 A", "20 A", "30 A"}
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		kind := rapid.SampledFrom([]string{"C", "F"}).Draw(t, "type")
		margin, after := math.Inf(-1), math.Inf(-1)
		for _, rating := range ratings {
			r.More = "  fuse: { rating: " + rating + ", type: " + kind + " }\n"
			_, k := r.judge(t)
			m, opens := math.NaN(), math.Inf(1)
			for _, c := range k.Checks {
				if c.Name == sizing.CheckFuse {
					m = c.Margin
				}
			}
			for _, e := range k.Detail.Jam.Events {
				if strings.Contains(e.What, "fuse") {
					opens = math.Min(opens, e.After)
				}
			}
			if m < margin-1e-9 || math.IsNaN(m) {
				t.Errorf("%s: margin %.6g after %.6g", rating, m, margin)
			}
			if opens < after-1e-9 {
				t.Errorf("%s opens in a jam after %.6g s, a smaller one after %.6g s", rating, opens, after)
			}
			margin, after = m, opens
		}
	})
}

// The order of rows in a catalog is no input.
func TestCatalogOrderIsNoInput(t *testing.T) {
	c, cat := readCase(t, "steady-climb", nil)
	c.Supply.Batteries, c.Supply.Controllers = nil, nil
	cat.Motors, cat.Batteries, cat.Controllers = cat.Motors[:3], cat.Batteries[:3], cat.Controllers[:2]
	first := rankJSON(t, c, cat)
	for seed := range uint64(5) {
		r := rand.New(rand.NewPCG(seed, 7))
		shuffled := catalog.Catalog{Motors: mixed(r, cat.Motors), GearTrains: mixed(r, cat.GearTrains),
			Batteries: mixed(r, cat.Batteries), Controllers: mixed(r, cat.Controllers), Findings: cat.Findings}
		if got := rankJSON(t, c, &shuffled); got != first {
			t.Errorf("the answer changes with the order of rows (seed %d): %s", seed, firstDifference(first, got))
		}
	}
}

func mixed[T any](r *rand.Rand, list []T) []T {
	out := slices.Clone(list)
	r.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}
