package explore

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/internal/demo"
	"example.org/dray/loadcases"
	"example.org/dray/sizing"
)

// demoPick finds a pick of a demo by its candidate id.
func demoPick(t testing.TB, name, id string) (*loadcases.Case, *catalog.Catalog, sizing.Pick) {
	t.Helper()
	c := demo.Case(t, name, demo.Text(t, name))
	cat := demo.Parts(t, c)
	picks, err := sizing.Picks(c, cat)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range picks {
		if sizing.IDOf(&p) == id {
			return c, cat, p
		}
	}
	t.Fatalf("%s has no candidate %s", name, id)
	return nil, nil, sizing.Pick{}
}

// failsIn reports whether a pick fails in a case, and which checks do.
func failsIn(t testing.TB, c *loadcases.Case, p sizing.Pick) (bool, checkSet) {
	t.Helper()
	j, err := sizing.NewJudge(c)
	if err != nil {
		t.Fatal(err)
	}
	var out sizing.Candidate
	j.Evaluate(p, &out)
	var bad checkSet
	for i := range out.Checks {
		if out.Checks[i].Verdict == sizing.Fails {
			bad |= setOf(out.Checks[i].Name)
		}
	}
	return out.Verdict == sizing.Fails, bad
}

// edit replaces every number before a unit that a pattern captures in the text
// of a case by a function of it.
func edit(text, pattern string, f func(x float64) float64) string {
	re := regexp.MustCompile(pattern)
	return re.ReplaceAllStringFunc(text, func(hit string) string {
		m := re.FindStringSubmatchIndex(hit)
		x, err := strconv.ParseFloat(hit[m[2]:m[3]], 64)
		if err != nil {
			panic(err)
		}
		return hit[:m[2]] + strconv.FormatFloat(f(x), 'f', -1, 64) + hit[m[3]:]
	})
}

// written writes a quantity of a demo to its file: what a person would do who
// tries values one after the other.
func written(quantity, text string, from, to float64) string {
	scale := to / from
	times := func(x float64) float64 { return x * scale }
	switch quantity {
	case "payload":
		return edit(text, `payload: (-?[0-9.]+) kg`, func(x float64) float64 { return x + to })
	case "incline":
		return edit(text, `incline: (-?[0-9.]+) deg`, times)
	case "speed":
		text = edit(text, `[ {]in: ([0-9.]+) s`, func(x float64) float64 { return x / scale })
		return edit(text, `[ {]speed: (-?[0-9.]+) m/s`, times)
	case "acceleration":
		text = edit(text, `[ {]in: ([0-9.]+) s`, func(x float64) float64 { return x / math.Sqrt(scale) })
		return edit(text, `acceleration: ([0-9.]+) m/s`, times)
	case "air":
		return edit(text, `air: ([0-9.]+) degC`, func(float64) float64 { return to })
	}
	panic(quantity)
}

// Every limit of headroom is where trying value after value in the file finds
// it: nothing fails 0.2 % before it, the named check fails 0.2 % beyond, and
// nothing fails on the way.
func TestHeadroomIsWhereTryingFindsIt(t *testing.T) {
	for _, d := range []struct{ demo, id string }{
		{"cart", "poplar-24-l+ring-33+iris-fe-24+midge-1x6"},
		{"cart", "maple-24-52p6+iris-fe-24+heron-2x24"},
		{"hoist", "poplar-24-l+spiral-36+iris-fe-24+robin-2x12-n"},
		{"arm", "poplar-24-l+ring-118+x3.6+iris-fe-24+midge-1x6"},
	} {
		text := demo.Text(t, d.demo)
		c, _, p := demoPick(t, d.demo, d.id)
		h, err := FindHeadroom(context.Background(), c, p)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range h.Items {
			if r.Reason != "" || r.Gives < 0 || r.Quantity == "duty_share" {
				continue
			}
			at := func(x float64) (bool, checkSet) {
				from := r.Now
				if r.Quantity == "payload" {
					from = 1
				}
				return failsIn(t, demo.Case(t, d.demo, written(r.Quantity, text, from, x)), p)
			}
			way := r.Limit - r.Now
			for i := range 12 {
				if x := r.Now + way*float64(i)/12; i > 0 {
					if bad, _ := at(x); bad {
						t.Errorf("%s %s fails already at %s %g, before %g", d.demo, d.id, r.Quantity, x, r.Limit)
					}
				}
			}
			if bad, _ := at(r.Limit * 0.998); bad {
				t.Errorf("%s %s fails 0.2 %% before the limit of %s %g", d.demo, d.id, r.Quantity, r.Limit)
			}
			if _, bad := at(r.Limit * 1.002); !bad.has(sizing.CheckName(r.Gives)) {
				t.Errorf("%s %s: 0.2 %% beyond %s %g %v does not fail", d.demo, d.id, r.Quantity, r.Limit, sizing.CheckName(r.Gives))
			}
		}
	}
}

// Random carts: written with the limit, just before it and just beyond it, the
// case passes and fails as said. The generator's seed is fixed.
func TestHeadroomOfRandomCartsIsWhereTryingFindsIt(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 14))
	u := func(a, b float64) float64 { return a * math.Pow(b/a, rng.Float64()) }
	tried := 0
	for range 25 {
		mass, load, v1, v2, a, slope, air := u(10, 50), u(2, 30), u(0.4, 1.2), u(0.3, 0.8), u(0.2, 1), u(2, 12), u(15, 40)
		text := func(kg, steep, fast, hard, warm float64) string {
			return fmt.Sprintf(`title: random
mechanism: { wheels: { mass: %.12g kg, payload: %.12g kg, wheel_diameter: 200 mm, motors: 2, rolling_resistance: 0.03 } }
conditions: { air: %.12g degC }
duty: { acceleration: %.12g m/s^2, legs: [ { speed: %.12g m/s, distance: 15 m }, { speed: %.12g m/s, distance: 6 m, incline: %.12g deg }, { rest: 20 s }, { speed: %.12g m/s, distance: 6 m, payload: %.12g kg, incline: %.12g deg }, { rest: 15 s } ] }
supply: { batteries: any, controllers: any, fuse: { rating: 25 A, type: C } }
catalogs: { motors: m.csv, batteries: b.csv, controllers: k.csv }
`, mass, load+kg, air+warm, a*hard, v1*fast, v2*fast, slope*steep, -v2*fast, kg, -slope*steep)
		}
		motors := "id,nominal_voltage [V],ratio,measured_at,gear_efficiency,no_load_speed [rpm],no_load_current [A],stall_torque [N·m],stall_current [A],gear_torque_continuous [N·m],gear_input_speed_max [rpm],mass [g]\n" +
			fmt.Sprintf("m,24,%.4g,motor,0.75,6000,0.3,0.9,24,%.4g,7000,500\n", u(20, 40), u(8, 25))
		c, cat := made(t, text(0, 1, 1, 1, 0), motors, "")
		picks, err := sizing.Picks(c, cat)
		if err != nil {
			t.Fatal(err)
		}
		h, err := FindHeadroom(context.Background(), c, picks[0])
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range h.Items[:5] {
			if r.Gives < 0 {
				continue
			}
			tried++
			at := func(x float64) (bool, checkSet) {
				var written string
				switch r.Quantity {
				case "payload":
					if r.Down {
						return false, setOf(sizing.CheckName(r.Gives)) // the empty leg stays empty
					}
					written = text(x, 1, 1, 1, 0)
				case "incline":
					written = text(0, x/r.Now, 1, 1, 0)
				case "speed":
					written = text(0, 1, x/r.Now, 1, 0)
				case "acceleration":
					written = text(0, 1, 1, x/r.Now, 0)
				case "air":
					written = text(0, 1, 1, 1, x-air)
				}
				d, _ := made(t, written, motors, "")
				return failsIn(t, d, picks[0])
			}
			side := 0.002 * math.Abs(r.Limit)
			if bad, _ := at(r.Limit - side); bad {
				t.Errorf("%s fails 0.2 %% before %g (%+v)", r.Quantity, r.Limit, r)
			}
			if _, bad := at(r.Limit + side); !bad.has(sizing.CheckName(r.Gives)) {
				t.Errorf("%s: %v does not fail 0.2 %% beyond %g", r.Quantity, sizing.CheckName(r.Gives), r.Limit)
			}
		}
	}
	if tried < 40 {
		t.Errorf("only %d limits among 25 carts: the test sees too little", tried)
	}
}

// The share of the duty in motion rises by shorter rests: writing the rests so
// in the file passes just before the limit and fails just beyond.
func TestDutyShareIsTheTimeInMotion(t *testing.T) {
	text := demo.Text(t, "cart")
	c, _, p := demoPick(t, "cart", "maple-24-52p6+iris-fe-24+heron-2x24")
	h, err := FindHeadroom(context.Background(), c, p)
	if err != nil {
		t.Fatal(err)
	}
	r := h.Items[5]
	if r.Quantity != "duty_share" || r.Gives < 0 || !(r.Rests < 1) {
		t.Fatalf("no limit to the share in motion: %+v", r)
	}
	shorter := func(f float64) *loadcases.Case {
		s := edit(text, `rest: ([0-9.]+) s`, func(x float64) float64 { return x * f })
		return demo.Case(t, "cart", edit(s, `rest: ([0-9.]+) min`, func(x float64) float64 { return x * f }))
	}
	moving := func(c *loadcases.Case) float64 {
		plan, err := c.Plan()
		if err != nil {
			t.Fatal(err)
		}
		still := 0.0
		for _, ph := range plan.Phases {
			if ph.Kind != loadcases.Moving {
				still += ph.Duration
			}
		}
		return 1 - still/plan.Duration
	}
	if got := moving(shorter(r.Rests)); math.Abs(got/r.Limit-1) > 1e-6 {
		t.Errorf("rests of %g make a share of %g in motion, said %g", r.Rests, got, r.Limit)
	}
	if got := moving(c); math.Abs(got/r.Now-1) > 1e-9 {
		t.Errorf("the share is %g, said %g", got, r.Now)
	}
	if bad, _ := failsIn(t, shorter(r.Rests*1.01), p); bad {
		t.Error("fails before the limit")
	}
	if _, bad := failsIn(t, shorter(r.Rests*0.99), p); !bad.has(sizing.CheckName(r.Gives)) {
		t.Error("does not fail beyond the limit as named")
	}
}

// What must give for a failing pick: at the limit it passes, just short of it
// the named check still fails, and where nothing alone does, nothing in the
// range passes.
func TestWhatMustGiveLetsAFailingPickPass(t *testing.T) {
	ids := map[string]string{
		"poplar-24-l+ring-79+iris-fe-24+midge-1x6": "too slow a motor for the aisle",
		"poplar-24-l+ring-21+iris-fe-24+midge-1x6": "too much current for its controller",
		"alder-12-46p9+reed-pb-12+heron-2x24":      "a small motor for this cart",
	}
	found := 0
	for id := range ids {
		c, _, p := demoPick(t, "cart", id)
		h, err := FindHeadroom(context.Background(), c, p)
		if err != nil {
			t.Fatal(err)
		}
		if h.Candidate.Verdict != sizing.Fails {
			t.Fatalf("%s passes; the test wants one that fails", id)
		}
		plan, err := c.Plan()
		if err != nil {
			t.Fatal(err)
		}
		for i, k := range knobsOf(c, &plan) {
			r := h.Items[i]
			if k.reason != "" {
				continue
			}
			if math.IsNaN(r.Limit) {
				for _, s := range k.down {
					turn := turning{ctx: context.Background(), c: c, pick: p, knob: &k}
					if bad, _ := failsIn(t, turn.turned(s), p); !bad {
						t.Errorf("%s passes at %s %g and headroom did not see it", id, k.quantity, s)
					}
				}
				continue
			}
			found++
			if !r.Down || r.Gives < 0 || !(r.Limit < r.Now) {
				t.Errorf("%s: what must give is not below what is: %+v", id, r)
			}
			if r.Quantity == "speed" || r.Quantity == "air" || r.Quantity == "incline" {
				text := demo.Text(t, "cart")
				if bad, _ := failsIn(t, demo.Case(t, "cart", written(r.Quantity, text, r.Now, r.Limit*0.9999)), p); bad {
					t.Errorf("%s fails at its limit of %s %g", id, r.Quantity, r.Limit)
				}
				if _, bad := failsIn(t, demo.Case(t, "cart", written(r.Quantity, text, r.Now, r.Limit*1.002)), p); !bad.has(sizing.CheckName(r.Gives)) {
					t.Errorf("%s does not fail as named above %s %g", id, r.Quantity, r.Limit)
				}
			}
		}
	}
	if found == 0 {
		t.Error("nothing could give for any of the picks: the test saw nothing")
	}
}

// A duty without slopes is tilted: every moving leg climbs.
func TestALevelDutyIsTiltedUphillOnEveryMovingLeg(t *testing.T) {
	text := strings.NewReplacer(", incline: 9 deg", "", ", incline: -9 deg", "").Replace(demo.Text(t, "cart"))
	c := demo.Case(t, "cart", text)
	_, _, p := demoPick(t, "cart", "maple-24-52p6+iris-fe-24+heron-2x24")
	h, err := FindHeadroom(context.Background(), c, p)
	if err != nil {
		t.Fatal(err)
	}
	r := h.Items[1]
	if r.Quantity != "incline" || r.Now != 0 || !(r.Limit > 0) || r.Gives < 0 {
		t.Fatalf("%+v", r)
	}
	tilted := func(rad float64) *loadcases.Case {
		return demo.Case(t, "cart", regexp.MustCompile(`(speed: -?[0-9.]+ m/s,)`).ReplaceAllString(text, fmt.Sprintf("$1 incline: %.12f rad,", rad)))
	}
	if bad, _ := failsIn(t, tilted(r.Limit*0.998), p); bad {
		t.Error("fails before the limit")
	}
	if _, bad := failsIn(t, tilted(r.Limit*1.002), p); !bad.has(sizing.CheckName(r.Gives)) {
		t.Error("does not fail beyond it as named")
	}
}

// What a mechanism does not know is said, not answered.
func TestQuantitiesThatDoNotApplySaySo(t *testing.T) {
	c, _, p := demoPick(t, "hoist", "poplar-24-l+spiral-36+iris-fe-24+robin-2x12-n")
	h, err := FindHeadroom(context.Background(), c, p)
	if err != nil {
		t.Fatal(err)
	}
	if r := h.Items[1]; r.Reason == "" || !math.IsNaN(r.Limit) || !math.IsNaN(r.Now) || r.Gives != -1 {
		t.Errorf("a hoist has no incline: %+v", r)
	}
	names := []string{"payload", "incline", "speed", "acceleration", "air", "duty_share"}
	for i, r := range h.Items {
		if r.Quantity != names[i] {
			t.Errorf("item %d is %s, want %s", i, r.Quantity, names[i])
		}
		if r.Reason == "" && r.Gives < 0 && (r.Limit != r.End || math.IsNaN(r.End)) {
			t.Errorf("an unbounded %s ends at its range: %+v", r.Quantity, r)
		}
	}
}

func TestHeadroomDoesNotDependOnTheProcessors(t *testing.T) {
	c, _, p := demoPick(t, "cart", "maple-24-52p6+iris-fe-24+heron-2x24")
	a, err := FindHeadroom(context.Background(), c, p)
	if err != nil {
		t.Fatal(err)
	}
	b, err := FindHeadroom(context.Background(), c, p)
	if err != nil {
		t.Fatal(err)
	}
	for i := range a.Items {
		if fmt.Sprint(a.Items[i]) != fmt.Sprint(b.Items[i]) {
			t.Errorf("%+v and %+v", a.Items[i], b.Items[i])
		}
	}
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := FindHeadroom(stopped, c, p); err == nil {
		t.Error("a cancelled search answered")
	}
}

func BenchmarkHeadroomCart(b *testing.B) {
	c, _, p := demoPick(b, "cart", "poplar-24-l+ring-33+iris-fe-24+midge-1x6")
	for b.Loop() {
		if _, err := FindHeadroom(context.Background(), c, p); err != nil {
			b.Fatal(err)
		}
	}
}
