package quantity

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// spellingsOf lists every unit spelling of a kind in a fixed order.
func spellingsOf(k Kind) []string {
	var names []string
	for name := range spellings()[k].folded {
		if strings.HasSuffix(name, "1") { // min1 stands for min-1 and min⁻¹
			continue
		}
		names = append(names, name)
	}
	for name := range spellings()[k].exact {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

func TestEverySpellingReadsBackItsOwnFactor(t *testing.T) {
	for k := range kindCount {
		if k == KindRatio || k == KindMoney { // no units of their own
			continue
		}
		names := spellingsOf(k)
		rapid.Check(t, func(t *rapid.T) {
			name := rapid.SampledFrom(names).Draw(t, "spelling")
			gap := rapid.SampledFrom([]string{"", " ", "\u00a0"}).Draw(t, "gap")
			if name[0] == '1' {
				gap = " " // "1" glued to "1/min" is eleven
			}
			v := math.Trunc(rapid.Float64Range(0, 1e6).Draw(t, "value")*1000) / 1000
			text := strconv.FormatFloat(v, 'f', -1, 64) + gap + name
			factor, offset, canonical, _, ok := LookupUnit(k, name)
			if !ok {
				t.Fatalf("%v: %q is not looked up", k, name)
			}
			r, err := Parse(k, text)
			if err != nil {
				t.Fatal(err)
			}
			want := v*factor + offset
			if k == KindIncline && (canonical == "%" || canonical == "‰") {
				want = math.Atan(v * factor)
			}
			// Values are rounded to 15 significant digits, so the last bits differ;
			// with an offset, those of the larger figures before they cancel.
			if math.Abs(r.Value-want) > 6e-15*(math.Abs(want)+math.Abs(offset)) || r.Unit != canonical || r.Bare {
				t.Fatalf("%v %q: %+v, want %g %s", k, text, r, want, canonical)
			}
		})
	}
}

func TestCanonicalSpellingsAndListedUnitsAreRead(t *testing.T) {
	for k := range kindCount {
		for name, u := range spellings()[k].folded {
			if u.canonical == "" {
				continue
			}
			f, _, c, _, ok := LookupUnit(k, u.canonical)
			if !ok || c != u.canonical || f != u.factor {
				t.Errorf("%v: canonical %q of %q reads as %q %g", k, u.canonical, name, c, f)
			}
		}
		if k.String() == "" || k.String() == "quantity" {
			t.Errorf("kind %d has no name", k)
		}
		if k.bareAllowed() || k == KindIncline {
			continue
		}
		if _, _, _, _, ok := LookupUnit(k, k.SIUnit()); !ok {
			t.Errorf("%v does not read its SI unit %q", k, k.SIUnit())
		}
		for _, name := range k.Units() {
			if _, _, _, _, ok := LookupUnit(k, name); !ok {
				t.Errorf("%v does not read %q", k, name)
			}
		}
	}
}

func TestTorqueSeparatorsAndCaseDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(torqueUnits()).Draw(t, "unit")
		force := rapid.SampledFrom(strings.Fields(u.force)).Draw(t, "force")
		length := rapid.SampledFrom(strings.Fields(u.length)).Draw(t, "length")
		sep := rapid.SampledFrom([]string{"·", "⋅", "•", "-", ".", "*", "/", "x", "×", " ", "", " · ", " - "}).Draw(t, "separator")
		first, second := force, length
		if u.swaps && rapid.Bool().Draw(t, "swapped") {
			first, second = length, force
		}
		if !u.milli && rapid.Bool().Draw(t, "upper") {
			first, second = strings.ToUpper(first), strings.ToUpper(second)
		}
		r, err := Parse(KindTorque, "2 "+first+sep+second)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(r.Value-2*u.factor) > 6e-15*u.factor || (r.Note != "") != (sep == "/") {
			t.Fatalf("%q: %+v", first+sep+second, r)
		}
	})
}

func TestDisplayedValuesReadBackToThreeDigits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := Kind(rapid.IntRange(0, int(kindCount)-1).Draw(t, "kind"))
		d := rapid.SampledFrom([]Display{SI, Metric, US}).Draw(t, "display")
		v := math.Pow(10, rapid.Float64Range(-5, 5).Draw(t, "exponent"))
		if k == KindIncline || k == KindAngle {
			v = min(v, 1.5)
		}
		text := d.Format(k, v)
		if strings.ContainsAny(text, "eE+") && k != KindInertia && k != KindCapacitance && !strings.Contains(text, "rev") && strings.Contains(text, "e+") {
			t.Fatalf("%v %g shows as %q", k, v, text)
		}
		r, err := Parse(k, text)
		if err != nil {
			t.Fatalf("%v %g shows as %q: %v", k, v, text, err)
		}
		tolerance := 0.0051 * v
		if k == KindTemperature {
			tolerance = 0.0051 * (v + 300)
		}
		if math.Abs(r.Value-v) > tolerance {
			t.Fatalf("%v %g shows as %q and reads %g", k, v, text, r.Value)
		}
	})
}

func TestSignificantDigits(t *testing.T) {
	for _, c := range []struct {
		x      float64
		digits int
		want   string
	}{
		{1234.5, 3, "1230"}, {0.0123456, 3, "0.0123"}, {12.35, 3, "12.3"}, {999.9, 3, "1000"}, {0.9996, 3, "1"}, {math.Copysign(0, -1), 3, "0"},
		{1e6, 3, "1000000"}, {123456, 3, "123000"}, {-12.34, 3, "-12.3"}, {100, 3, "100"}, {1e-9, 3, "1e-9"}, {math.NaN(), 3, "unknown"}, {23.8, 6, "23.8"},
	} {
		if got := Significant(c.x, c.digits); got != c.want && !(c.x == 12.35 && got == "12.4") {
			t.Errorf("%g to %d: %q, want %q", c.x, c.digits, got, c.want)
		}
	}
	for _, c := range []struct {
		d    Display
		k    Kind
		v    float64
		want string
	}{
		{Metric, KindTorque, 1.2063, "12.3 kg·cm"}, {US, KindTorque, 0.10592, "15 oz·in"}, {SI, KindTorque, 0.0243, "24.3 mN·m"}, {SI, KindTorque, 2.4, "2.4 N·m"},
		{Metric, KindAngularSpeed, 20.944, "200 rpm"}, {Metric, KindIncline, 0.139096, "7.97°"}, {US, KindTemperature, 25, "77 °F"}, {SI, KindTemperature, math.Copysign(0, -1), "0 °C"},
		{US, KindLength, 0.2032, "8 in"}, {SI, KindFraction, 0.8, "80 %"}, {SI, KindRatio, 23.8, "23.8"}, {SI, KindCharge, 25920, "7.2 Ah"}, {SI, KindCurrent, math.NaN(), "unknown"},
	} {
		if got := c.d.Format(c.k, c.v); got != c.want {
			t.Errorf("%v %v %g: %q, want %q", c.d, c.k, c.v, got, c.want)
		}
	}
}

// seeds are cells as listings have them.
func seeds() []string {
	return []string{
		"3V~12VDC", "12-24V", "28-34V", "6V DC (Min. 2V Max. 7.5V)", "23.8:1", "1:120", "259/26", "(25/12)×(34/9)×(37/10)", "90±10rpm", "295rpm + / – 5%", "10,000",
		"190mA (250mA MAX)", "≤0.25A", "0.45A ( no load)", "4Kg/cm", "800gf.cm min", "maximum 5.5A", "≤3A stall", "1/4 hp", "500Kv", "About 45g", "7x2.2x1.8cm(approx)",
		"12 V DC", "70.55 oz-in", "0.180 [N.m] (at 3.7 [V], 1.11 [A]) <br/> 0.215 [N.m] (at 5.0 [V], 1.47 [A])", "106.93 oz-in (7.7 kg-cm)", "2.1 N-M / 18.59 in lb",
		"3V～12VDC", "10 (3)", "12*", "4747, 4757", "n/a", "–", "1/2\"", "4.75\" (0.12065 m)", "1.355,90", "2'590", "1,234", "14 %", "1 in 20", "2/0 AWG", "2.5 mm²",
		"7.2Ah @20h", "16v 15A/h", "3S 2200mAh 25C", "2x32A/6-30V", "1e308 km", "0x1p-3", "½ in", "٣٫٥ kg", "５．５　Ｎ・ｍ", "min⁻¹", "(((((", "<br", "± ± ±", "1/1/1/1/1", "[", "m/(((", "\xff\xfe",
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range seeds() {
		f.Add(s, uint8(0), false)
		f.Add(s, uint8(KindTorque), true)
	}
	for _, s := range hostile() {
		f.Add(s[:min(len(s), 4096)], uint8(KindLength), false)
	}
	f.Fuzz(func(t *testing.T, text string, kind uint8, comma bool) {
		o := Options{}
		if comma {
			o = Options{Decimal: DecimalComma, DefaultUnit: "m"}
		}
		for k := range kindCount + 1 {
			if kind%2 == 1 && uint8(k) != kind%uint8(kindCount) {
				continue
			}
			checkSane(t, k, text, o)
		}
		if _, err := ParseGauge(text); err != nil && err.Error() == "" {
			t.Fatal("empty message")
		}
		LookupUnit(Kind(kind), text)
	})
}

func checkSane(t *testing.T, k Kind, text string, o Options) {
	t.Helper()
	r, err := ParseWith(k, text, o)
	if err != nil {
		var pe *ParseError
		if !errors.As(err, &pe) || pe.Reason == "" || pe.Offset < 0 || pe.Offset > len([]rune(text)) {
			t.Fatalf("%v %q: %#v", k, text, err)
		}
		return
	}
	for _, v := range []float64{r.Value, r.Low, r.High, r.Plus} {
		if math.IsNaN(v) || math.IsInf(v, 0) || v == 0 && math.Signbit(v) {
			t.Fatalf("%v %q: %+v", k, text, r)
		}
	}
	if r.Bound == "range" && (r.Low > r.Value || r.Value > r.High) || r.Plus < 0 {
		t.Fatalf("%v %q: %+v", k, text, r)
	}
}

func TestSeedsAreReadOrRefusedByEveryKind(t *testing.T) {
	for _, s := range seeds() {
		for k := range kindCount + 1 {
			checkSane(t, k, s, Options{})
			checkSane(t, k, s, Options{Decimal: DecimalComma, DefaultUnit: "kg·cm"})
		}
	}
}

func BenchmarkParse(b *testing.B) {
	cells := []struct {
		k Kind
		s string
	}{
		{KindVoltage, "12 V"}, {KindAngularSpeed, "200 RPM"}, {KindCurrent, "350mA"}, {KindTorque, "2.4 kg·cm"}, {KindTorque, "70.55 oz-in"}, {KindRatio, "23.8:1"}, {KindMoney, "12.50"}, {KindMass, "205 g"},
	}
	b.ReportAllocs()
	for i := range b.N {
		c := cells[i%len(cells)]
		if _, err := Parse(c.k, c.s); err != nil {
			b.Fatal(err)
		}
	}
}
