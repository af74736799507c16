package rating

import (
	"math"
	"sort"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// held is an invented pair of motors on a 24 V pack, jammed.
func held() Jam {
	return Jam{Bus: 25.2, Supply: 0.04, Path: 0.03, DutyMax: 1, Motors: 2, Heat: d8(), Winding: 60, Housing: 50,
		GearPeak: 60, GearGain: 25, Constant: 0.05, Friction: 0.01}
}

func TestJamCurrentSatisfiesTheLoop(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		j := held()
		j.Motors = rapid.IntRange(1, 4).Draw(rt, "n")
		j.Parallel = rapid.IntRange(1, 2).Draw(rt, "p")
		j.Drop = rapid.Float64Range(0, 2).Draw(rt, "drop")
		j.DutyMax = rapid.Float64Range(0.3, 1).Draw(rt, "d")
		j.Limit = rapid.SampledFrom([]float64{0, 5, 20, 100}).Draw(rt, "limit")
		j.defaults()
		ohm := j.resistance(60)
		i, ib, bus, limited := j.flow(ohm)
		d := ib / (float64(j.Motors) * i)
		if math.Abs(d*bus-i*(ohm+j.Path)-j.Drop) > 1e-9*25 || math.Abs(bus-j.Bus+ib*j.Supply) > 1e-9*25 {
			rt.Fatalf("i %g ib %g bus %g d %g", i, ib, bus, d)
		}
		if limited && (math.Abs(i-j.Limit/float64(j.Parallel)) > 1e-12 || d > j.DutyMax) || !limited && math.Abs(d-j.DutyMax) > 1e-9 {
			rt.Fatalf("limited %v: i %g d %g", limited, i, d)
		}
	})
}

func TestALimitedJamHeatsAsTheWithstandCurveSays(t *testing.T) {
	j := held()
	j.Winding, j.Housing, j.Bus = 25, 25, 200 // enough for any of these limits
	for _, w := range []float64{1, 10, 60, 300} {
		j.Limit = MotorStands(w, j.Heat)
		r := j.Run()
		near(t, "winding limit", r.WindingLimit, w, 2e-3*w)
		if !r.Limited || r.Protected {
			t.Errorf("%+v", r)
		}
	}
	j.Limit = 0.98 * MotorStands(math.Inf(1), j.Heat)
	if r := j.Run(); !r.Protected || !math.IsInf(r.WindingLimit, 1) || r.Warmest >= 155 {
		t.Errorf("a limit below what the motor stands for ever protects it: %+v", r)
	}
}

func TestAnUnlimitedJamAgreesWithAnotherIntegrator(t *testing.T) {
	j := held()
	// Fourth-order steps of the coupled loop, voltage behind R(T).
	m, tw, th, h, at := j.Heat, 60.0, 50.0, 1e-3, 0.0
	f := func(tw, th float64) (float64, float64) {
		i := j.Bus / (m.At(tw) + j.Path + 2*j.Supply)
		flow := (tw - th) / m.Rwh
		return (i*i*m.At(tw) - flow) / m.Cw, (flow - (th-m.Air)/m.Rha) / m.Ch
	}
	for tw < m.Limit {
		a, b := f(tw, th)
		c, d := f(tw+h/2*a, th+h/2*b)
		tw, th, at = tw+h*c, th+h*d, at+h
	}
	r := j.Run()
	near(t, "winding limit", r.WindingLimit, at, 2e-3*at)
	near(t, "first current", r.Current, j.Bus/(m.At(60)+j.Path+2*j.Supply), 1e-9)
	near(t, "battery", r.Battery, 2*r.Current, 1e-9)
}

func TestASteadyJamOpensTheFuseInItsBandAndTheControllerOnItsCurve(t *testing.T) {
	f := fuse(t, 30, "C", 25)
	j := Jam{Bus: 24, Supply: 0.02, ResistanceCold: 0.4, Fuse: &f, Controller: ContinuousPeak(20, 80, 1)}
	r := j.Run()
	long, _ := f.Longest(r.Battery)
	near(t, "earliest", r.FuseEarliest, f.Shortest(r.Battery), 1e-6*long)
	near(t, "latest", r.FuseLatest, long, 1e-6*long)
	near(t, "controller", j.Controller.At(r.ControllerLimit), r.Current, 1e-3*r.Current)
	if r.Protected || !strings.Contains(r.Reason, "not known") || !math.IsNaN(r.Warmest) {
		t.Errorf("an unknown winding is protected by nothing: %+v", r)
	}
	j.Controller = ContinuousPeak(20, 40, 1)
	if r := j.Run(); r.ControllerLimit != 0 {
		t.Errorf("current above the peak is past the controller at once: %g s", r.ControllerLimit)
	}
}

func TestJamVerdictFollowsTheOrderOfEvents(t *testing.T) {
	fast, slow := fuse(t, 10, "F", 25), fuse(t, 60, "E", 25)
	j := held()
	j.Fuse = &fast
	if r := j.Run(); !r.Protected || r.FuseLatest > r.WindingLimit {
		t.Errorf("fast fuse: %+v", r)
	}
	j.Fuse = &slow
	if r := j.Run(); r.Protected || r.FuseLatest < r.WindingLimit {
		t.Errorf("slow fuse: %+v", r)
	}
	j.Controller = ContinuousPeak(20, 40, 1)
	if r := j.Run(); r.Protected {
		t.Errorf("a controller not known to trip protects nothing: %+v", r)
	}
	j.Trips = true
	if r := j.Run(); !r.Protected || !strings.Contains(r.Reason, "trip") {
		t.Errorf("a trip before the winding limit: %+v", r)
	}
	j.Fuse, j.GearPeak = &fast, 20
	if r := j.Run(); r.Protected || r.GearHolds || !strings.Contains(r.Reason, "gear") {
		t.Errorf("a broken gear is not protected by a fuse: %+v", r)
	}
	j.Limit = 15 // 25·(0.05·15 − 0.01) = 18.5 N·m
	r := j.Run()
	near(t, "torque", r.Torque, 18.5, 1e-9)
	if !r.GearHolds || !r.Limited {
		t.Errorf("the limit keeps the gear: %+v", r)
	}
}

func TestJamEventsAreInOrderAndASmallerFuseNeverProtectsLess(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		j := held()
		j.Limit = rapid.SampledFrom([]float64{0, 8, 15, 30}).Draw(rt, "limit")
		j.Winding = rapid.Float64Range(20, 170).Draw(rt, "tw")
		j.Controller = ContinuousPeak(15, 40, 2)
		j.Trips = rapid.Bool().Draw(rt, "trips")
		typ, rating := drawFuse(rt)
		small, large := fuse(t, rating, typ, 25), fuse(t, rating*1.5, typ, 25)
		j.Fuse = &small
		a := j.Run()
		j.Fuse = &large
		b := j.Run()
		if b.Protected && !a.Protected {
			rt.Fatalf("%g A protects, %g A does not", large.Rating, small.Rating)
		}
		if !sort.SliceIsSorted(a.Events, func(x, y int) bool { return a.Events[x].After < a.Events[y].After }) {
			rt.Fatalf("%+v", a.Events)
		}
		if a.FuseEarliest > a.FuseLatest {
			rt.Fatalf("earliest %g after latest %g", a.FuseEarliest, a.FuseLatest)
		}
	})
}

func BenchmarkJam(b *testing.B) {
	f, _ := NewFuse(60, "E", 25)
	j := held()
	j.Fuse, j.Limit = &f, 10
	b.ReportAllocs()
	for b.Loop() {
		j.Run()
	}
}

func TestASourceThatHoldsItsAmpsLimitsTheJamAndOneThatCutsEndsIt(t *testing.T) {
	j := held()
	free := j.Run()
	j.Holds = free.Battery / 4
	r := j.Run()
	near(t, "battery current", r.Battery, j.Holds, 1e-12)
	near(t, "current", r.Current, (j.Holds-j.Aux)/2, 1e-12)
	near(t, "bus", r.Voltage, r.Current*(j.Heat.At(60)+j.Path), 1e-9)
	if !(r.WindingLimit > free.WindingLimit) {
		t.Errorf("a quarter of the current heats no slower: %g s, free %g s", r.WindingLimit, free.WindingLimit)
	}
	j.Holds, j.Cuts = 0, free.Battery*0.99
	if r = j.Run(); !r.Cut || !r.Protected {
		t.Errorf("a source that cuts off at once protects: %+v", r)
	}
	j.Cuts = free.Battery * 1.01
	if r = j.Run(); r.Cut || r.Protected {
		t.Errorf("a source that is not asked for too much cuts nothing: %+v", r)
	}
}
