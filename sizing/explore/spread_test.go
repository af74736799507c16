package explore_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/internal/demo"
	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
	"example.org/dray/sizing/explore"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// spreadDemo reads a demo case, its text changed, with its catalogs.
func spreadDemo(t testing.TB, name string, change func(text string) string) (*loadcases.Case, *catalog.Catalog) {
	t.Helper()
	c := demo.Case(t, name, change(demo.Text(t, name)))
	return c, demo.Parts(t, c)
}

// small narrows the cart to one pack and two controllers and states tolerances
// of its own.
func small(text string) string {
	for _, swap := range [][2]string{
		{"batteries: any ", "batteries: [iris-fe-24] "},
		{"controllers: any", "controllers: [stork-2x14-lim, midge-1x6]"},
		{"mass: 40 kg ", "mass: 40 kg ± 3 kg "},
		{"payload: 38 kg ", "payload: 38 kg ± 10 % "},
		{"rolling_resistance: 0.022", "surface: worn_asphalt"},
		{"air: 34 degC", "air: 34 degC ± 4 K"},
	} {
		text = strings.Replace(text, swap[0], swap[1], 1)
	}
	return text
}

func spread(t testing.TB, c *loadcases.Case, cat *catalog.Catalog, o explore.SpreadOptions) *explore.SpreadResult {
	t.Helper()
	r, err := explore.Spread(context.Background(), c, cat, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// fewMotors keeps the catalog's rows whose id starts with one of some words.
func fewMotors(cat *catalog.Catalog, words ...string) *catalog.Catalog {
	few := *cat
	few.Motors = slices.DeleteFunc(slices.Clone(cat.Motors), func(m catalog.Motor) bool {
		return !slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(m.ID, w) })
	})
	return &few
}

func TestSpreadIsTheSameForAnyNumberOfWorkers(t *testing.T) {
	c, cat := spreadDemo(t, "cart", small)
	cat = fewMotors(cat, "maple-24", "birch-24")
	one := spread(t, c, cat, explore.SpreadOptions{Samples: 60, Seed: 3, Workers: 1})
	if len(one.Candidates) < 4 {
		t.Fatalf("only %d candidates take part", len(one.Candidates))
	}
	names := withoutNominal(one)
	for _, workers := range []int{2, 7} {
		many := spread(t, c, cat, explore.SpreadOptions{Samples: 60, Seed: 3, Workers: workers})
		if got := withoutNominal(many); !slices.Equal(got, names) {
			t.Fatalf("%d workers tell of %q, one of %q", workers, got, names)
		}
		if diff := cmp.Diff(one, many, cmpopts.EquateNaNs()); diff != "" {
			t.Errorf("%d workers answer differently:\n%s", workers, diff)
		}
	}
	other := spread(t, c, cat, explore.SpreadOptions{Samples: 60, Seed: 4})
	if other.Candidates[0].Worst == one.Candidates[0].Worst {
		t.Error("another seed gives the same draws")
	}
}

// withoutNominal takes the nominal answer out of a spread and returns the ids
// that were told of: the rest is what the draws gave.
func withoutNominal(r *explore.SpreadResult) (ids []string) {
	r.Field = nil
	for i := range r.Candidates {
		ids = append(ids, r.Candidates[i].Candidate.ID)
		r.Candidates[i].Candidate = nil
	}
	return ids
}

// An independent Monte Carlo: plain draws with another source, put into clones
// of the case and the rows here, not by the code under test.
func TestSpreadAgreesWithPlainMonteCarlo(t *testing.T) {
	c, cat := spreadDemo(t, "cart", small)
	cat = fewMotors(cat, "maple-24-52p6", "maple-24-35p5")
	const id = "maple-24-35p5+iris-fe-24+midge-1x6"
	got := spread(t, c, cat, explore.SpreadOptions{Samples: 1000, Seed: 5, Pick: id}).Candidates[0]
	const n = 2000
	draw := rand.New(rand.NewPCG(99, 1))
	about := func(x, half float64) float64 { return x + half*(2*draw.Float64()-1) }
	margins := map[sizing.CheckName][]float64{}
	passes := 0
	for range n {
		d := c.Clone()
		w := d.Mechanism.(*loadcases.Wheels)
		w.Mass = about(40, 3)
		load := about(38, 3.8)
		for i := range d.Legs {
			if !d.Legs[i].OwnPayload {
				d.Legs[i].Payload = load
			}
		}
		w.RollingResistance = about(0.02, 0.005) // worn_asphalt's range
		d.SetAir(about(34, 4))
		p := got.Candidate.Pick
		m, b, k := *p.Motor, *p.Battery, *p.Controller
		ten := func() float64 { return about(1, 0.1) }
		m.Resistance.Value *= quantity.Resistance(ten())
		m.Constant.Value *= quantity.MotorConstant(ten())
		m.NoLoadCurrent.Value *= quantity.Current(ten())
		m.GearEfficiency.Value = quantity.Fraction(math.Min(1, float64(m.GearEfficiency.Value)*ten()))
		m.BackEfficiency.Value = quantity.Fraction(2 - 1/math.Max(0.6, float64(m.GearEfficiency.Value)))
		m.WindingToHousing.Value *= quantity.ThermalResistance(ten())
		m.HousingToAir.Value *= quantity.ThermalResistance(ten())
		m.WindingCapacity.Value *= quantity.HeatCapacity(ten())
		m.HousingCapacity.Value *= quantity.HeatCapacity(ten())
		b.Resistance.Value *= quantity.Resistance(ten())
		b.Capacity.Value *= quantity.Charge(ten())
		k.OnResistance.Value *= quantity.Resistance(ten())
		judge, err := sizing.NewJudge(d)
		if err != nil {
			t.Fatal(err)
		}
		var out sizing.Candidate
		judge.Evaluate(sizing.Pick{Motor: &m, Battery: &b, Controller: &k}, &out)
		if out.Verdict <= sizing.Tight {
			passes++
		}
		for _, ch := range out.Checks {
			margins[ch.Name] = append(margins[ch.Name], ch.Margin)
		}
	}
	share := float64(passes) / n
	if sigma := math.Sqrt(share*(1-share)/n + share*(1-share)/1000); math.Abs(got.PassShare-share) > 4*sigma+1e-3 {
		t.Errorf("pass share %g, plain Monte Carlo %g ± %.2g", got.PassShare, share, sigma)
	}
	for _, ch := range got.Checks {
		x := margins[ch.Name]
		slices.Sort(x)
		wide := x[n*98/100] - x[n*2/100]
		for p, have := range map[float64]float64{0.05: ch.Margin.P05, 0.5: ch.Margin.P50, 0.95: ch.Margin.P95} {
			if want := x[int(p*(n-1))]; math.Abs(have-want) > 0.06*wide+1e-9 {
				t.Errorf("%v: %g %% quantile of the margin %.4g, plain Monte Carlo %.4g", ch.Name, 100*p, have, want)
			}
		}
	}
}

func TestStatedTolerancesReachEveryCandidateAndRowsOnlyTheirOwn(t *testing.T) {
	c, cat := spreadDemo(t, "cart", small)
	cat = fewMotors(cat, "maple-24", "birch-24")
	r := spread(t, c, cat, explore.SpreadOptions{Samples: 40, Seed: 1})
	for _, k := range r.Candidates {
		seen := map[string]explore.SpreadMatter{}
		for _, m := range k.Matters {
			seen[m.Input] = m
			if strings.HasPrefix(m.Input, "motor.") && m.Row != k.Candidate.Motor.Row {
				t.Errorf("%s is moved by %s of %s", k.Candidate.ID, m.Input, m.Row)
			}
		}
		for path, want := range map[string][2]float64{"mechanism.wheels.mass": {37, 43}, "mechanism.wheels.payload": {34.2, 41.8},
			"mechanism.wheels.rolling_resistance": {0.015, 0.025}, "conditions.air": {30, 38}} {
			if m, ok := seen[path]; !ok || math.Abs(m.Low-want[0]) > 1e-9 || math.Abs(m.High-want[1]) > 1e-9 {
				t.Errorf("%s: %s runs from %g to %g, want %v", k.Candidate.ID, path, m.Low, m.High, want)
			}
		}
	}
}

// What lies outside the field spread must not pass where the field does: the
// left-out candidates are drawn here after all.
func TestLeftOutCandidatesPassInNoSample(t *testing.T) {
	c, cat := spreadDemo(t, "cart", small)
	cat = fewMotors(cat, "maple-24", "alder-12")
	r := spread(t, c, cat, explore.SpreadOptions{Samples: 16, Seed: 2})
	inside := map[string]bool{}
	for _, k := range r.Candidates {
		inside[k.Candidate.ID] = true
	}
	outside := 0
	for i := range r.Field.Candidates {
		if k := &r.Field.Candidates[i]; !inside[k.ID] && outside < 12 {
			outside++
			alone := spread(t, c, cat, explore.SpreadOptions{Samples: 16, Seed: 2, Pick: k.ID})
			if got := alone.Candidates[0].PassShare; got > 0 {
				t.Errorf("%s was left out and passes in %g of the samples", k.ID, got)
			}
		}
	}
	if outside == 0 {
		t.Fatal("nothing was left out, so the law was not tried")
	}
}

func TestInterruptedSpreadSaysPartial(t *testing.T) {
	c, cat := spreadDemo(t, "cart", small)
	cat = fewMotors(cat, "maple-24")
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	r, err := explore.Spread(ctx, c, cat, explore.SpreadOptions{Samples: 400, Seed: 1, Progress: func(done, _ int) {
		if done >= 120 {
			stop()
		}
	}})
	if err != nil {
		t.Fatal(err)
	}
	if !r.Partial || r.Done < 100 || r.Done >= 400 {
		t.Fatalf("partial %v after %d samples", r.Partial, r.Done)
	}
	whole := spread(t, c, cat, explore.SpreadOptions{Samples: 400, Seed: 1})
	if whole.Partial || math.Abs(whole.Candidates[0].Worst.P50-r.Candidates[0].Worst.P50) > 0.02 {
		t.Errorf("the partial median %g is far from the whole %g", r.Candidates[0].Worst.P50, whole.Candidates[0].Worst.P50)
	}
	stop()
	if _, err := explore.Spread(ctx, c, cat, explore.SpreadOptions{Samples: 400, Seed: 1}); !errors.Is(err, context.Canceled) {
		t.Errorf("an interruption before anything is known gives %v", err)
	}
}

func TestTooFewSamplesAreCalledOut(t *testing.T) {
	c, cat := spreadDemo(t, "cart", small)
	cat = fewMotors(cat, "maple-24-52p6", "maple-24-35p5")
	const unsteady = "maple-24-35p5+iris-fe-24+midge-1x6"
	if r := spread(t, c, cat, explore.SpreadOptions{Samples: 60, Seed: 1, Pick: unsteady}); len(r.Jumps) == 0 {
		t.Errorf("60 samples with a pass share of %g are taken for steady", r.Candidates[0].PassShare)
	}
	if r := spread(t, c, cat, explore.SpreadOptions{Samples: 1500, Seed: 1, Pick: unsteady}); len(r.Jumps) != 0 {
		t.Errorf("1500 samples jump: %q", r.Jumps)
	}
}
