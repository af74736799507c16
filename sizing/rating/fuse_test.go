package rating

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func fuse(t testing.TB, rating float64, typ string, air float64) Fuse {
	t.Helper()
	f, err := NewFuse(rating, typ, air)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// ISO 8820-3 gates as printed in data sheets naming the standard (published
// checks F). A zero bound is not printed.
func TestFuseKeepsInsideThePublishedGates(t *testing.T) {
	type row struct{ percent, low, high float64 }
	for _, c := range []struct {
		typ     string
		ratings []float64
		rows    []row
	}{
		{"F", []float64{5, 10, 30}, []row{{110, 360000, 0}, {135, 0.75, 600}, {200, 0.15, 5}, {350, 0.08, 0.5}, {600, 0.03, 0.1}}},
		{"C", []float64{35, 40}, []row{{100, 360000, 0}, {135, 0.75, 600}, {200, 0.15, 5}, {350, 0.08, 0.5}, {600, 0, 0.15}}},
		// 110, 135, 350 and 600 % from memory.
		{"C", []float64{10, 20, 30}, []row{{110, 360000, 0}, {135, 0.75, 600}, {160, 0.25, 50}, {200, 0.15, 5}, {350, 0.04, 0.5}, {600, 0, 0.1}}},
		{"E", []float64{20, 40, 80}, []row{{100, 360000, 0}, {135, 60, 1800}, {200, 2, 50}, {350, 0.2, 7}, {600, 0.04, 1}}},
	} {
		for _, rating := range c.ratings {
			f := fuse(t, rating, c.typ, 20)
			for _, r := range c.rows {
				i := rating * r.percent / 100 * (1 + 1e-12)
				short := f.Shortest(i)
				long, finite := f.Longest(i)
				if short < r.low*(1-1e-6) || (r.high > 0 && (!finite || long > r.high*(1+1e-6))) {
					t.Errorf("%s %g A at %g %%: %g to %g s, published %g to %g", c.typ, rating, r.percent, short, long, r.low, r.high)
				}
				if r.low > 0 && r.percent > 110 && math.Abs(short/r.low-1) > 1e-6 {
					t.Errorf("%s %g A at %g %%: shortest %g leaves room below the gate %g", c.typ, rating, r.percent, short, r.low)
				}
			}
			if _, finite := f.Longest(1.3499 * rating); finite {
				t.Errorf("%s %g A promises to open below 135 %%", c.typ, rating)
			}
		}
	}
}

func drawFuse(t *rapid.T) (string, float64) {
	typ := rapid.SampledFrom([]string{"F", "C", "E"}).Draw(t, "type")
	top := map[string]float64{"F": 30, "C": 40, "E": 80}[typ]
	return typ, rapid.Float64Range(2, top).Draw(t, "rating")
}

func TestALargerFuseNeverOpensEarlier(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		typ, rating := drawFuse(rt)
		air := rapid.Float64Range(-20, 130).Draw(rt, "air")
		small, large := fuse(t, rating, typ, air), fuse(t, rating*rapid.Float64Range(1, 2).Draw(rt, "by"), typ, air)
		i := rating * rapid.Float64Range(0.5, 12).Draw(rt, "times")
		ls, _ := small.Longest(i)
		ll, _ := large.Longest(i)
		if large.Shortest(i) < small.Shortest(i)*(1-1e-9) || ll < ls*(1-1e-9) {
			rt.Fatalf("%s %g A and %g A at %g A", typ, small.Rating, large.Rating, i)
		}
	})
}

func TestALargerCurrentNeverOpensLaterAndShortestPrecedesLongest(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		typ, rating := drawFuse(rt)
		f := fuse(t, rating, typ, rapid.Float64Range(-20, 130).Draw(rt, "air"))
		i := rating * rapid.Float64Range(0.5, 12).Draw(rt, "times")
		j := i * rapid.Float64Range(1, 3).Draw(rt, "more")
		li, _ := f.Longest(i)
		lj, _ := f.Longest(j)
		if f.Shortest(j) > f.Shortest(i)*(1+1e-9) || lj > li*(1+1e-9) {
			rt.Fatalf("later at %g A than at %g A", j, i)
		}
		if f.Shortest(i) > li {
			rt.Fatalf("shortest %g after longest %g", f.Shortest(i), li)
		}
	})
}

func TestFuseCurrentInvertsItsShortestTime(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		typ, rating := drawFuse(rt)
		f := fuse(t, rating, typ, 25)
		w := math.Pow(10, rapid.Float64Range(-3, 5.5).Draw(rt, "logw"))
		if back := f.Shortest(f.Current(w) * (1 + 1e-12)); math.Abs(back/w-1) > 1e-4 {
			rt.Fatalf("%s %g A: w %g, current %g, back %g", typ, rating, w, f.Current(w), back)
		}
		if c := f.Withstand().At(w); math.Abs(c-0.75*f.Current(w)) > 1e-9*c {
			rt.Fatalf("withstand %g of %g", c, f.Current(w))
		}
	})
}

func TestFuseDeratesAsPublished(t *testing.T) {
	// High-current type E, 40 A (published checks F).
	for air, want := range map[float64]float64{-10: 40, 20: 40, 65: 34, 85: 30, 110: 25, 125: 22} {
		near(t, "derated", 40*fuse(t, 40, "E", air).Derating, want, 1e-9)
	}
	if f := fuse(t, 40, "C", 65); len(f.Notes) != 1 || !strings.Contains(f.Notes[0], "assumed") {
		t.Errorf("notes %q", f.Notes)
	}
	hot, cold := fuse(t, 40, "E", 85), fuse(t, 40, "E", 20)
	lh, _ := hot.Longest(80)
	lc, _ := cold.Longest(80)
	if !(hot.Shortest(80) < cold.Shortest(80)) || lh != lc {
		t.Error("a hot fuse opens earlier at its earliest; its latest is that of the cold one")
	}
}

func TestAFuseThatIsNoneIsRefused(t *testing.T) {
	for _, c := range []struct {
		rating float64
		typ    string
	}{{0, "C"}, {-3, "C"}, {math.NaN(), "C"}, {math.Inf(1), "F"}, {30, ""}, {30, "G"}} {
		if _, err := NewFuse(c.rating, c.typ, 25); err == nil {
			t.Errorf("%+v accepted", c)
		}
	}
	if f := fuse(t, 60, "C", 20); len(f.Notes) != 1 {
		t.Errorf("60 A of type C: notes %q", f.Notes)
	}
}

func TestBandReadsLikeASentence(t *testing.T) {
	f := fuse(t, 30, "C", 20)
	for i, want := range map[float64]string{
		60: "opens between 150 ms and 5 s at 60 A (200 %)",
		20: "does not open at 20 A (67 %)",
	} {
		if got := f.Band(i); got != want {
			t.Errorf("%q", got)
		}
	}
	if got := f.Band(36); !strings.Contains(got, "or never") {
		t.Errorf("%q", got)
	}
}
