package explore

import (
	"context"
	"math"
	"slices"
	"testing"

	"example.org/dray/internal/demo"
	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

func demoRank(t testing.TB, name string) *sizing.Field {
	t.Helper()
	c := demo.Case(t, name, demo.Text(t, name))
	f, err := sizing.Rank(context.Background(), c, demo.Parts(t, c), sizing.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Every change that is said to save a candidate does, alone: turned in the case,
// or swapped for the named candidate, which differs in one part.
func TestEveryChangeSavesTheCandidate(t *testing.T) {
	for _, demo := range []string{"cart", "hoist"} {
		f := demoRank(t, demo)
		plan, err := f.Case.Plan()
		if err != nil {
			t.Fatal(err)
		}
		kinds := map[string]int{}
		for i := 0; i < len(f.Candidates); i += len(f.Candidates)/8 + 1 {
			k := &f.Candidates[i]
			r, err := WhyNot(context.Background(), f, k)
			if err != nil {
				t.Fatal(err)
			}
			if (r == nil) != (k.Verdict != sizing.Fails) {
				t.Fatalf("%s is %v and its reasons are %v", k.ID, k.Verdict, r)
			}
			if r == nil {
				continue
			}
			if len(r.Fails) == 0 || int(r.Fails[0].Name) != k.FirstFailure || !(r.Fails[0].Margin < 0) {
				t.Errorf("%s: the first of %v is not the first failure", k.ID, r.Fails)
			}
			for _, ch := range r.Changes {
				kinds[ch.Kind]++
				if ch.ID != "" {
					saves, err := f.Find(ch.ID)
					if err != nil || saves.Verdict > sizing.Tight || differs(&k.Pick, &saves.Pick) != ch.Kind {
						t.Errorf("%s: another %s is %s, %v", k.ID, ch.Kind, ch.ID, saves.Verdict)
					}
					continue
				}
				for _, kn := range knobsOf(f.Case, &plan) {
					if kn.quantity != ch.Kind {
						continue
					}
					setting := ch.To
					switch kn.quantity {
					case "duty_share":
						setting = ch.Rests
					case "speed", "acceleration", "incline":
						if ch.From != 0 {
							setting = ch.To / ch.From
						}
					}
					turn := turning{ctx: context.Background(), c: f.Case, pick: k.Pick, knob: &kn}
					if bad, why := failsIn(t, turn.turned(setting), k.Pick); bad {
						t.Errorf("%s still fails (%b) with %s at %g", k.ID, why, ch.Kind, ch.To)
					}
				}
			}
		}
		if len(kinds) < 3 {
			t.Errorf("%s: only %v were ever proposed", demo, kinds)
		}
	}
}

// A pick that fails by its fuse alone wants the next larger one, and that passes.
func TestAFuseTooSmallIsSavedByALargerOne(t *testing.T) {
	c, cat, p := demoPick(t, "cart", "maple-24-52p6+iris-fe-24+heron-2x24")
	c.Supply.Fuse.Rating = 3
	c.Supply.Batteries, c.Supply.Controllers = []string{"iris-fe-24"}, []string{"heron-2x24"}
	f, err := sizing.Rank(context.Background(), c, cat, sizing.Options{})
	if err != nil {
		t.Fatal(err)
	}
	k, err := f.Find(sizing.IDOf(&p))
	if err != nil {
		t.Fatal(err)
	}
	r, err := WhyNot(context.Background(), f, k)
	if err != nil || r == nil {
		t.Fatalf("%v %v", r, err)
	}
	if len(r.Changes) == 0 || r.Changes[0].Kind != "fuse" || !(r.Changes[0].To > 3) {
		t.Fatalf("fails %v, changes %+v: want a larger fuse first", r.Fails, r.Changes)
	}
	larger := c.Clone()
	larger.Supply.Fuse.Rating = quantity.Current(r.Changes[0].To)
	if bad, _ := failsIn(t, larger, p); bad {
		t.Errorf("a fuse of %g A does not save it", r.Changes[0].To)
	}
}

func TestAThinLeadIsSavedByAThickerOne(t *testing.T) {
	c, cat, p := demoPick(t, "cart", "maple-24-52p6+iris-fe-24+heron-2x24")
	c.Supply.SupplyLead = &loadcases.Lead{Gauge: quantity.Gauge{AWG: 26}, Length: 3}
	c.Supply.Batteries, c.Supply.Controllers = []string{"iris-fe-24"}, []string{"heron-2x24"}
	f, err := sizing.Rank(context.Background(), c, cat, sizing.Options{})
	if err != nil {
		t.Fatal(err)
	}
	k, err := f.Find(sizing.IDOf(&p))
	if err != nil {
		t.Fatal(err)
	}
	r, err := WhyNot(context.Background(), f, k)
	if err != nil || r == nil {
		t.Fatalf("%v %v", r, err)
	}
	if i := slices.IndexFunc(r.Changes, func(ch sizing.Change) bool { return ch.Kind == "supply lead" }); i != 0 {
		t.Errorf("fails %v, changes %+v: want a thicker supply lead first", r.Fails, r.Changes)
	}
	for _, g := range [][2]quantity.Gauge{{{AWG: 15}, {AWG: 14}}, {{AWG: 14}, {AWG: 12}}, {{Section: 1.5e-6}, {Section: 2.5e-6}}} {
		if next := thicker(g[0]); len(next) == 0 || math.Abs(float64(next[0].Section-g[1].Section)) > 1e-12 || next[0].AWG != g[1].AWG {
			t.Errorf("after %v comes %v", g[0], next)
		}
	}
}

func TestACandidateThatPassesHasNoReasons(t *testing.T) {
	f := demoRank(t, "hoist")
	if r, err := WhyNot(context.Background(), f, &f.Candidates[0]); r != nil || err != nil {
		t.Errorf("%v %v", r, err)
	}
}
