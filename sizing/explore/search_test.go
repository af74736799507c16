package explore

import (
	"context"
	"math"
	"testing"

	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// madeLook is a look whose one margin is a function's value.
func madeLook(f func(float64) float64) probe {
	return func(at float64) look {
		l := lookAt(at, &sizing.Candidate{})
		l.margin[sizing.CheckGrip] = f(at)
		return l
	}
}

// An edge is found to 1 part in a million whatever the margin does at it, and the
// end returned first passes.
func TestAnEdgeIsFoundWhateverTheMarginDoes(t *testing.T) {
	const at = 17.123456789
	for name, f := range map[string]func(float64) float64{
		"straight":   func(x float64) float64 { return at - x },
		"a jump":     func(x float64) float64 { return map[bool]float64{true: 0.8, false: -2.4}[x <= at] },
		"a step":     func(x float64) float64 { return map[bool]float64{true: 0, false: -1e-9}[x <= at] },
		"steep":      func(x float64) float64 { return math.Tanh(1e5 * (at - x)) },
		"flat":       func(x float64) float64 { return math.Pow(at-x, 7) },
		"then steep": func(x float64) float64 { return math.Min(0.3, 1e3*(at-x)) },
		"infinite":   func(x float64) float64 { return map[bool]float64{true: math.Inf(1), false: -0.1}[x <= at] },
		"in terraces": func(x float64) float64 {
			return math.Floor((at-x)*1000)/1000 + map[bool]float64{true: 1e-4, false: 0}[x <= at]
		},
	} {
		calls := 0
		p := func(x float64) look { calls++; return madeLook(f)(x) }
		pass, fail := edge(p, madeLook(f), p(10), p(30), allChecks, 0)
		if pass.least(allChecks) < 0 || fail.least(allChecks) >= 0 || math.Abs(pass.at/at-1) > 1.1e-6 || math.Abs(fail.at/at-1) > 1.1e-6 {
			t.Errorf("%s: between %.9g and %.9g, want %.9g", name, pass.at, fail.at, at)
		}
		if calls > 40 {
			t.Errorf("%s takes %d looks", name, calls)
		}
		// The other way round.
		g := func(x float64) float64 { return f(2*at - x) }
		pass, fail = edge(madeLook(g), madeLook(g), madeLook(g)(30), madeLook(g)(5), allChecks, 0)
		if pass.least(allChecks) < 0 || fail.least(allChecks) >= 0 || math.Abs(pass.at/at-1) > 1.1e-6 {
			t.Errorf("%s, falling: %.9g", name, pass.at)
		}
	}
}

// A top between three looks is climbed to its height, narrow or not, and no
// further than is enough.
func TestATopIsClimbed(t *testing.T) {
	const at = 12.3456
	value := func(l *look) float64 { return l.margin[sizing.CheckGrip] }
	for name, f := range map[string]func(float64) float64{
		"round":     func(x float64) float64 { return -(x - at) * (x - at) },
		"a roof":    func(x float64) float64 { return -math.Abs(x - at) },
		"one-sided": func(x float64) float64 { return math.Min(x-at, 30*(at-x)) },
	} {
		p := madeLook(f)
		l := climb(p, p(10), p(12), p(15), value, 1e-7, math.Inf(1))
		if math.Abs(l.at/at-1) > 1e-4 {
			t.Errorf("%s: top at %g, want %g", name, l.at, at)
		}
	}
	calls := 0
	p := func(x float64) look {
		calls++
		return madeLook(func(x float64) float64 { return 1 - math.Abs(x-at) })(x)
	}
	if l := climb(p, p(10), p(12), p(15), value, 1e-9, 0.5); value(&l) < 0.5 || calls > 4 {
		t.Errorf("%d looks to reach what the middle already had", calls)
	}
}

// A window far narrower than a step of the scan is found: the gears stand just
// 0.4 % more speed than the least ratio asks of them.
func TestANarrowWindowIsFound(t *testing.T) {
	c, cat, p := demoPick(t, "cart", "maple-24-52p6+iris-fe-24+heron-2x24")
	wide, err := FindRatios(context.Background(), c, cat, p)
	if err != nil {
		t.Fatal(err)
	}
	least := wide.Windows[0].From.Ratio
	k := judged(t, c, withRatio(p, least*1.004))
	m := *p.Motor
	fastest := 0.0
	for _, ch := range k.Checks {
		if ch.Name == sizing.CheckGearInputSpeed {
			fastest = ch.Value
		}
	}
	m.InputSpeedMax.Value = quantity.AngularSpeed(fastest)
	p.Motor = &m
	narrow, err := FindRatios(context.Background(), c, cat, p)
	if err != nil {
		t.Fatal(err)
	}
	if len(narrow.Windows) != 1 {
		t.Fatalf("windows %v, want one of 0.4 %% at %g", narrow.Windows, least)
	}
	w := narrow.Windows[0]
	if math.Abs(w.From.Ratio/least-1) > 1e-5 || math.Abs(w.To.Ratio/least-1.004) > 1e-5 || w.To.SetBy != int(sizing.CheckGearInputSpeed) || w.From.SetBy != wide.Windows[0].From.SetBy {
		t.Errorf("%+v, want %g to %g", w, least, least*1.004)
	}
}

// Two windows: a margin that fails in the middle of a range splits it in two,
// whether the scan meets the gap or falls on both sides of it.
func TestAGapSplitsAWindow(t *testing.T) {
	for _, half := range []float64{0.3, 0.004} {
		gap := func(x float64) float64 {
			return math.Min(math.Min(x/2-1, 4-x/10), math.Abs(math.Log(x/9.3))-half)
		}
		s := &scanned{f: madeLook(gap), g: madeLook(gap)}
		for i := range 49 {
			s.looks = append(s.looks, s.f(0.1*math.Pow(1e4, float64(i)/48)))
		}
		w := s.windows(allChecks)
		want := [][2]float64{{2, 9.3 * math.Exp(-half)}, {9.3 * math.Exp(half), 40}}
		if len(w) != 2 {
			t.Fatalf("gap ±%g: windows %v", half, w)
		}
		for i := range w {
			if math.Abs(w[i].From.Ratio/want[i][0]-1) > 2e-6 || math.Abs(w[i].To.Ratio/want[i][1]-1) > 2e-6 {
				t.Errorf("gap ±%g: %v, want %v", half, w[i], want[i])
			}
		}
	}
}
