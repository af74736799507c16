package rating

import (
	"math"
	"strings"
	"testing"

	"example.org/dray/quantity"
	"pgregory.net/rapid"
)

func within01(t *testing.T, what string, got, want float64) {
	t.Helper()
	near(t, what, got, want, 1e-3*math.Abs(want))
}

// Wire table of HyperPhysics (after Floyd), geometry of ASTM B258 (published
// checks E1, E2): Ω per 1000 ft, recomputed Ω/km and mm².
func TestWireTableIsReproduced(t *testing.T) {
	for _, r := range []struct{ awg, inch, cmil, kft, km, mm2 float64 }{
		{4, .20431, 41742, .2485, .81517, 21.151},
		{6, .16202, 26250, .3951, 1.2962, 13.302},
		{8, .12849, 16509, .6282, 2.0610, 8.3656},
		{10, .10189, 10381, .9989, 3.2771, 5.2612},
		{12, .0808, 6529, 1.588, 5.2108, 3.3088},
		{14, .06408, 4106.8, 2.525, 8.2855, 2.0809},
		{16, .05082, 2582.9, 4.016, 13.1745, 1.3087},
		{18, .0403, 1624.3, 6.385, 20.948, .82305},
		{20, .03196, 1021.5, 10.15, 33.309, .51762},
		{22, .02535, 642.4, 16.14, 52.963, .32553},
		{24, .0201, 404.01, 25.67, 84.215, .20473},
	} {
		ohm, _, err := WireResistance(quantity.Gauge{AWG: r.awg}, 20)
		if err != nil {
			t.Fatal(err)
		}
		within01(t, "diameter", AWGDiameter(r.awg)/0.0254, r.inch)
		within01(t, "circular mils", circularMils(AWGArea(r.awg)), r.cmil)
		within01(t, "per 1000 ft", ohm*304.8, r.kft)
		within01(t, "per km", ohm*1000, r.km)
		within01(t, "section", AWGArea(r.awg)*1e6, r.mm2)
	}
}

func TestMetricWireIsThatOfIEC60228(t *testing.T) {
	// IEC 60228 class 5, plain copper, Ω/km at 20 °C (published checks E3).
	for mm2, want := range map[float64]float64{.5: 39.0, .75: 26.0, 1: 19.5, 1.5: 13.3, 2.5: 7.98, 4: 4.95, 6: 3.30, 10: 1.91, 16: 1.21, 25: .780, 35: .554, 50: .386} {
		ohm, note, err := WireResistance(quantity.Gauge{Section: quantity.Area(mm2 * 1e-6)}, 20)
		if err != nil || strings.Contains(note, "assumed") {
			t.Errorf("%g mm²: %q %v", mm2, note, err)
		}
		near(t, "listed", ohm*1000, want, 1e-9)
	}
	_, note, _ := WireResistance(quantity.Gauge{Section: 3e-6}, 20)
	if !strings.Contains(note, "assumed") {
		t.Errorf("3 mm² is not a nominal size: %q", note)
	}
}

func TestHotCopperFollowsThe234Rule(t *testing.T) {
	// Langsdorf, Theory of AC Machinery, Ex 1.15 p.33, via Python Textbook
	// Companions: 504 W at 20 °C is 612.92 W at 75 °C.
	cold, _, _ := WireResistance(quantity.Gauge{AWG: 12}, 20)
	hot, _, _ := WireResistance(quantity.Gauge{AWG: 12}, 75)
	within01(t, "ratio", hot/cold, 612.92/504)
}

func TestAmpacityIsThatOfTheBoatingRule(t *testing.T) {
	// 33 CFR 183.425 / ABYC E-11, 105 °C insulation, 30 °C (published checks E5).
	for awg, want := range map[float64]float64{18: 20, 16: 25, 14: 35, 12: 45, 10: 60, 8: 80, 6: 120, 4: 160, 2: 210, 1: 245} {
		g := quantity.Gauge{AWG: awg}
		amps, note, err := WireAmpacity(g, 30, 1)
		if err != nil || strings.Contains(note, "assumed") {
			t.Errorf("AWG %g: %q %v", awg, note, err)
		}
		near(t, "alone", amps, want, 1e-9)
		for bundle, k := range map[int]float64{3: 0.7, 4: 0.6, 6: 0.6, 7: 0.5, 24: 0.5} {
			amps, _, _ := WireAmpacity(g, 30, bundle)
			near(t, "bundled", amps, k*want, 1e-9)
		}
	}
	if _, note, _ := WireAmpacity(quantity.Gauge{AWG: 22}, 30, 1); !strings.Contains(note, "extrapolated") {
		t.Errorf("AWG 22 is not in the table: %q", note)
	}
	if amps, _, _ := WireAmpacity(quantity.Gauge{AWG: 12}, 110, 1); amps != 0 {
		t.Errorf("%g A in air hotter than the insulation", amps)
	}
}

func TestThickerWireCarriesMoreAndResistsLess(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		thin := quantity.Gauge{AWG: rapid.Float64Range(-3, 40).Draw(rt, "awg")}
		thick := quantity.Gauge{AWG: math.Max(-3, thin.AWG-rapid.Float64Range(0, 6).Draw(rt, "less"))}
		if rapid.Bool().Draw(rt, "metric") {
			mm2 := math.Pow(10, rapid.Float64Range(-1.5, 2).Draw(rt, "log"))
			thin = quantity.Gauge{Section: quantity.Area(mm2 * 1e-6)}
			thick = quantity.Gauge{Section: thin.Section * quantity.Area(rapid.Float64Range(1, 3).Draw(rt, "by"))}
		}
		air := rapid.Float64Range(-20, 100).Draw(rt, "air")
		n := rapid.IntRange(0, 30).Draw(rt, "bundle")
		a, _, err1 := WireWithstand(thin, air, n)
		b, _, err2 := WireWithstand(thick, air, n)
		if err1 != nil || err2 != nil {
			rt.Fatal(err1, err2)
		}
		w := math.Pow(10, rapid.Float64Range(-2, 4).Draw(rt, "logw"))
		if b.Continuous < a.Continuous*(1-1e-9) || b.At(w) < a.At(w)*(1-1e-9) {
			rt.Fatalf("%+v stands %+v, %+v stands %+v", thin, a, thick, b)
		}
		r1, _, _ := WireResistance(thin, air)
		r2, _, _ := WireResistance(thick, air)
		if r2 > r1*(1+1e-9) {
			rt.Fatalf("%+v %g Ω/m, %+v %g Ω/m", thin, r1, thick, r2)
		}
		m1, _, _ := WireAmpacity(thin, air+5, n)
		if m1 > a.Continuous {
			rt.Fatal("warmer air carries more")
		}
	})
}

func TestAShortWindowHeatsTheCopperAlone(t *testing.T) {
	g := quantity.Gauge{AWG: 14}
	s, _, err := WireWithstand(g, 30, 1)
	if err != nil {
		t.Fatal(err)
	}
	// I²R′t = c·A·ΔT in the limit of short times.
	ohm, _, _ := WireResistance(g, 105)
	i := s.At(1e-3)
	within01(t, "heat", i*i*ohm*1e-3, 3.45e6*AWGArea(14)*75)
}

func TestWiresMeltAsPublished(t *testing.T) {
	// Preece and Onderdonk (published checks E7), recomputed there.
	within01(t, "Preece .0524 in", Preece(.0524*.0254), 122.88)
	within01(t, "Preece .0508 in", Preece(.0508*.0254), 117.29)
	within01(t, "Preece in mm", Preece(1e-3), 80.02)
	mil := math.Pi / 4 * 25.4e-6 * 25.4e-6
	within01(t, "Onderdonk 16 AWG 5 s", Onderdonk(2581*mil, 25, 1083, 5), 168.86)
	within01(t, "Onderdonk 14 AWG 400 A", OnderdonkTime(4110*mil, 25, 1083, 400), 2.260)
	near(t, "inverse", OnderdonkTime(mil, 25, 1083, Onderdonk(mil, 25, 1083, 3)), 3, 1e-9)
}

func TestAWireThatIsNoneIsRefused(t *testing.T) {
	for _, g := range []quantity.Gauge{{AWG: -4}, {AWG: 45}, {AWG: math.NaN()}, {Section: -1e-6}, {Section: 1}, {Section: quantity.Area(math.NaN())}} {
		if _, _, err := WireResistance(g, 20); err == nil {
			t.Errorf("%+v has a resistance", g)
		}
		if _, _, err := WireAmpacity(g, 20, 1); err == nil {
			t.Errorf("%+v has an ampacity", g)
		}
		if _, _, err := WireWithstand(g, 20, 1); err == nil {
			t.Errorf("%+v stands something", g)
		}
	}
	if _, _, err := WireResistance(quantity.Gauge{AWG: 12}, -300); err == nil {
		t.Error("below absolute zero")
	}
}
