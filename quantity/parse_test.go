package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// reading is what a cell must give; SI values are written as products of the
// definitions (international yard and pound agreement, standard gravity).
type reading struct {
	kind  Kind
	text  string
	value float64
	unit  string
	note  string // part of the note; "-" none wanted
	bound string
}

const (
	lbf   = 0.45359237 * 9.80665
	ozf   = lbf / 16
	inch  = 0.0254
	kgcm  = 0.0980665
	rpm   = 2 * math.Pi / 60
	deg   = math.Pi / 180
	kilos = 0.45359237
)

func checkReadings(t *testing.T, cases []reading) {
	t.Helper()
	for _, c := range cases {
		r, err := Parse(c.kind, c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if math.Abs(r.Value-c.value) > 1e-12*math.Abs(c.value) || r.Unit != c.unit || r.Bound != c.bound {
			t.Errorf("%q as %v: got %.12g %q bound %q, want %.12g %q bound %q", c.text, c.kind, r.Value, r.Unit, r.Bound, c.value, c.unit, c.bound)
		}
		if c.note == "-" && r.Note != "" || c.note != "-" && !strings.Contains(r.Note, c.note) {
			t.Errorf("%q: note %q, want %q", c.text, r.Note, c.note)
		}
	}
}

func TestTorqueIsReadInEverySpelling(t *testing.T) {
	checkReadings(t, []reading{
		{KindTorque, "2.4 N·m", 2.4, "N·m", "-", ""},
		{KindTorque, "2.4Nm", 2.4, "N·m", "-", ""},
		{KindTorque, "2.4 N.m", 2.4, "N·m", "-", ""},
		{KindTorque, "2.4 N-M", 2.4, "N·m", "-", ""},
		{KindTorque, "2.4 NM", 2.4, "N·m", "-", ""},
		{KindTorque, "2.4 N x m", 2.4, "N·m", "-", ""},
		{KindTorque, "2.4 N*m", 2.4, "N·m", "-", ""},
		{KindTorque, "2.4 newton-metres", 2.4, "N·m", "-", ""},
		{KindTorque, "24 N·cm", 0.24, "N·cm", "-", ""},
		{KindTorque, "24 mN·m", 0.024, "mN·m", "-", ""},
		{KindTorque, "24 mNm", 0.024, "mN·m", "-", ""},
		{KindTorque, "3 kg·cm", 3 * kgcm, "kg·cm", "-", ""},
		{KindTorque, "3kgcm", 3 * kgcm, "kg·cm", "-", ""},
		{KindTorque, "3 KG.CM", 3 * kgcm, "kg·cm", "-", ""},
		{KindTorque, "3 kgf⋅cm", 3 * kgcm, "kg·cm", "-", ""},
		{KindTorque, "3 kgf•cm", 3 * kgcm, "kg·cm", "-", ""},
		{KindTorque, "3 Kg/cm", 3 * kgcm, "kg·cm", "Kg/cm read as the product kg·cm", ""},
		{KindTorque, "3 kg⋅mm", 0.3 * kgcm, "kg·mm", "-", ""},
		{KindTorque, "3 kg-m", 300 * kgcm, "kg·m", "-", ""},
		{KindTorque, "800gf.cm min", 0.8 * kgcm, "g·cm", "-", "at least"},
		{KindTorque, "800 g.cm", 0.8 * kgcm, "g·cm", "-", ""},
		{KindTorque, "15 oz·in", 15 * ozf * inch, "oz·in", "-", ""},
		{KindTorque, "70.55 oz-in", 70.55 * ozf * inch, "oz·in", "-", ""},
		{KindTorque, "15 ozf·in", 15 * ozf * inch, "oz·in", "-", ""},
		{KindTorque, "15 oz/in", 15 * ozf * inch, "oz·in", "read as the product oz·in", ""},
		{KindTorque, "15 ounce inches", 15 * ozf * inch, "oz·in", "-", ""},
		{KindTorque, "9.14 in-lbs", 9.14 * lbf * inch, "lb·in", "-", ""},
		{KindTorque, "9.14 inlb", 9.14 * lbf * inch, "lb·in", "-", ""},
		{KindTorque, "9.14 in/lb", 9.14 * lbf * inch, "lb·in", "read as the product lb·in", ""},
		{KindTorque, "9.14 lbf·in", 9.14 * lbf * inch, "lb·in", "-", ""},
		{KindTorque, "9 lb-ft", 9 * lbf * 12 * inch, "lb·ft", "-", ""},
		{KindTorque, "9 ft·lb", 9 * lbf * 12 * inch, "lb·ft", "-", ""},
		{KindTorque, "9 ft lbs.", 9 * lbf * 12 * inch, "lb·ft", "-", ""},
		{KindTorque, "9 N/m", 9, "N·m", "N/m read as the product N·m", ""},
		{KindTorque, "-5 N·m", -5, "N·m", "-", ""},
		{KindTorque, "−5 N·m", -5, "N·m", "-", ""},
		{KindTorque, "５．５　Ｎ・ｍ", 5.5, "N·m", "-", ""},
	})
}

func TestEveryKindReadsItsUnits(t *testing.T) {
	checkReadings(t, []reading{
		{KindLength, `8"`, 8 * inch, "in", "-", ""},
		{KindLength, "8 in", 8 * inch, "in", "-", ""},
		{KindLength, "8 inch", 8 * inch, "in", "-", ""},
		{KindLength, "8″", 8 * inch, "in", "-", ""},
		{KindLength, `1/2"`, inch / 2, "in", "-", ""},
		{KindLength, `1 1/2"`, 1.5 * inch, "in", "-", ""},
		{KindLength, "1½ in", 1.5 * inch, "in", "-", ""},
		{KindLength, "200 mm", 0.2, "mm", "-", ""},
		{KindLength, "10 cm", 0.1, "cm", "-", ""},
		{KindLength, "5'", 60 * inch, "ft", "-", ""},
		{KindLength, `5' 6"`, 66 * inch, "ft", "-", ""},
		{KindArea, "2.5 mm^2", 2.5e-6, "mm²", "-", ""},
		{KindArea, "2.5 mm2", 2.5e-6, "mm²", "-", ""},
		{KindMass, "About 45g", 0.045, "g", "-", "about"},
		{KindMass, "3 lbs", 3 * kilos, "lb", "-", ""},
		{KindMass, "12 oz", 12 * kilos / 16, "oz", "-", ""},
		{KindTime, "1500 µs", 1.5e-3, "µs", "-", ""},
		{KindTime, "1500us", 1.5e-3, "µs", "-", ""},
		{KindTime, "1 h 30 min", 5400, "h", "-", ""},
		{KindSpeed, "5 ft/s", 60 * inch, "ft/s", "-", ""},
		{KindSpeed, "36 km/h", 10, "km/h", "-", ""},
		{KindSpeed, "-0.6 m/s", -0.6, "m/s", "-", ""},
		{KindAcceleration, "0.4 m/s^2", 0.4, "m/s²", "-", ""},
		{KindAcceleration, "0.4 m/s²", 0.4, "m/s²", "-", ""},
		{KindAcceleration, "0.5 g", 0.5 * 9.80665, "g", "-", ""},
		{KindForce, "5 kgf", 5 * 9.80665, "kgf", "-", ""},
		{KindAngle, "15°", 15 * deg, "deg", "-", ""},
		{KindAngle, "2 rev", 4 * math.Pi, "rev", "-", ""},
		{KindAngularSpeed, "200 RPM", 200 * rpm, "rpm", "-", ""},
		{KindAngularSpeed, "200 U/min", 200 * rpm, "rpm", "-", ""},
		{KindAngularSpeed, "200 rev/min", 200 * rpm, "rpm", "-", ""},
		{KindAngularSpeed, "200 1/min", 200 * rpm, "rpm", "-", ""},
		{KindAngularSpeed, "200 min⁻¹", 200 * rpm, "rpm", "-", ""},
		{KindAngularSpeed, "200 min^-1", 200 * rpm, "rpm", "-", ""},
		{KindAngularSpeed, "90 deg/s", 90 * deg, "deg/s", "-", ""},
		{KindInertia, "12 g·cm²", 12e-7, "g·cm²", "-", ""},
		{KindInertia, "12 gcm2", 12e-7, "g·cm²", "-", ""},
		{KindInertia, "12 kg m^2", 12, "kg·m²", "-", ""},
		{KindTorsionRate, "2 N·m/rad", 2, "N·m/rad", "-", ""},
		{KindVoltage, "12 V DC", 12, "V", "-", ""},
		{KindVoltage, "12VDC", 12, "V", "-", ""},
		{KindCurrent, "350mA", 0.35, "mA", "-", ""},
		{KindCurrent, "~1A", 1, "A", "-", "about"},
		{KindCurrent, "≈ 1A", 1, "A", "-", "about"},
		{KindCurrent, "<12 A", 12, "A", "-", "at most"},
		{KindCurrent, "≤3A stall", 3, "A", "-", "at most"},
		{KindCurrent, "max 5.5 A", 5.5, "A", "-", "at most"},
		{KindCurrent, "5.5A MAX", 5.5, "A", "-", "at most"},
		{KindCurrent, ">60 A", 60, "A", "-", "at least"},
		{KindCurrent, "0.45A ( no load)", 0.45, "A", "no load", ""},
		{KindCurrent, "10 A (3)", 10, "A", "footnote (3) ignored", ""},
		{KindCurrent, "12 A*", 12, "A", "footnote mark", ""},
		{KindResistance, "2.23 Ω", 2.23, "Ω", "-", ""},
		{KindResistance, "80 mΩ", 0.08, "mΩ", "-", ""},
		{KindResistance, "80 mOhm", 0.08, "mΩ", "-", ""},
		{KindInductance, "2 mH", 2e-3, "mH", "-", ""},
		{KindCapacitance, "470 µF", 470e-6, "µF", "-", ""},
		{KindPower, "1/4 hp", 550 * 12 * inch * lbf / 4, "hp", "-", ""},
		{KindEnergy, "2 Wh", 7200, "Wh", "-", ""},
		{KindCharge, "3200 mAh", 11520, "mAh", "-", ""},
		{KindCharge, "2 A·h", 7200, "Ah", "-", ""},
		{KindCharge, "7.2Ah @20h", 25920, "Ah", "20h", ""},
		{KindCharge, "15A/h", 54000, "Ah", "A/h read as the product Ah", ""},
		{KindFrequency, "20 kHz", 20000, "kHz", "-", ""},
		{KindTemperature, "34 degC", 34, "°C", "-", ""},
		{KindTemperature, "-40 °F", -40, "°F", "-", ""},
		{KindTemperature, "298.15 K", 25, "K", "-", ""},
		{KindTemperatureRise, "80 K", 80, "K", "-", ""},
		{KindThermalResistance, "5 °C/W", 5, "°C/W", "-", ""},
		{KindMotorConstant, "24 mN·m/A", 0.024, "mN·m/A", "-", ""},
		{KindMotorConstant, "2 V/krpm", 2 / (1000 * rpm), "V/krpm", "-", ""},
		{KindTorqueConstant, "3 oz-in/A", 3 * ozf * inch, "oz·in/A", "-", ""},
		{KindMotorConstant, "0.05 V·s/rad", 0.05, "V·s/rad", "-", ""},
		{KindSpeedConstant, "500Kv", 500 * rpm, "rpm/V", "-", ""},
		{KindSpeedConstant, "500 rpm/V", 500 * rpm, "rpm/V", "-", ""},
		{KindFraction, "80 %", 0.8, "%", "-", ""},
		{KindFraction, "0.8", 0.8, "", "-", ""},
		{KindFriction, "0.6", 0.6, "", "-", ""},
		{KindMoney, "12.50", 12.5, "", "-", ""},
		{KindMoney, "€ 12.50", 12.5, "", "currency", ""},
	})
}

func TestRatiosAndInclinesKeepTheirForms(t *testing.T) {
	checkReadings(t, []reading{
		{KindRatio, "23.8:1", 23.8, "", "-", ""},
		{KindRatio, "1:120", 120, "", "reduction of 120", ""},
		{KindRatio, "50 : 1", 50, "", "-", ""},
		{KindRatio, "259/26", 259.0 / 26, "", "-", ""},
		{KindRatio, "(25/12)x(34/9)", 25.0 / 12 * 34 / 9, "", "-", ""},
		{KindRatio, "(25/12)×(34/9)×(37/10)", 25.0 / 12 * 34 / 9 * 3.7, "", "-", ""},
		{KindRatio, "18.75", 18.75, "", "-", ""},
		{KindRatio, "10 (3)", 10, "", "footnote (3)", ""},
		{KindRatio, "25:1 (24.99)", 25, "", "(24.99) not used", ""},
		{KindRatio, "12*", 12, "", "footnote mark", ""},
		{KindIncline, "14 %", math.Atan(0.14), "%", "-", ""},
		{KindIncline, "15 deg", 15 * deg, "deg", "-", ""},
		{KindIncline, "-9°", -9 * deg, "deg", "-", ""},
		{KindIncline, "1:20", math.Atan(0.05), "1:n", "-", ""},
		{KindIncline, "1 in 20", math.Atan(0.05), "1:n", "-", ""},
	})
}

func TestRangesAndTolerancesAreKept(t *testing.T) {
	for _, c := range []struct {
		kind      Kind
		text      string
		low, high float64
	}{
		{KindVoltage, "8-12 V", 8, 12}, {KindVoltage, "3~12 V", 3, 12}, {KindVoltage, "3V～12VDC", 3, 12},
		{KindVoltage, "12-24V", 12, 24}, {KindVoltage, "28 – 34V", 28, 34}, {KindVoltage, "6 to 12 V", 6, 12}, {KindVoltage, "500mV-1V", 0.5, 1},
	} {
		r, err := Parse(c.kind, c.text)
		if err != nil || r.Bound != "range" || r.Low != c.low || r.High != c.high || r.Value != (c.low+c.high)/2 {
			t.Errorf("%q: %+v, %v", c.text, r, err)
		}
	}
	for _, c := range []struct {
		kind        Kind
		text        string
		value, plus float64
	}{
		{KindMass, "42 kg ± 3 kg", 42, 3}, {KindMass, "42 kg ± 3", 42, 3}, {KindMass, "42 kg ± 10 %", 42, 4.2},
		{KindAngularSpeed, "90±10rpm", 90 * rpm, 10 * rpm}, {KindAngularSpeed, "90±10 rpm", 90 * rpm, 10 * rpm},
		{KindAngularSpeed, "295rpm + / – 5%", 295 * rpm, 295 * rpm * 0.05}, {KindAngularSpeed, "295 rpm +/-5%", 295 * rpm, 295 * rpm * 0.05},
		{KindFraction, "80 % ± 5 %", 0.8, 0.05}, {KindTemperature, "77 °F ± 9 °F", 25, 5}, {KindMass, "42 kg ± 500 g", 42, 0.5},
	} {
		r, err := Parse(c.kind, c.text)
		if err != nil || !r.HasPlus || math.Abs(r.Value-c.value) > 1e-12*c.value || math.Abs(r.Plus-c.plus) > 1e-12*c.plus {
			t.Errorf("%q: %+v, %v", c.text, r, err)
		}
	}
}

func TestASecondUnitIsCheckedAgainstTheFirst(t *testing.T) {
	for _, c := range []struct {
		text     string
		mismatch bool
	}{
		{"106.93 oz-in (7.7 kg-cm)", false}, {"2.1 N-M / 18.59 in lb", false}, {"106.93 oz-in (0.77 kg-cm)", true}, {"2.1 N·m = 25 kg·cm", true},
	} {
		r, err := Parse(KindTorque, c.text)
		if err != nil || r.Also == "" || strings.HasPrefix(r.Note, "mismatch") != c.mismatch {
			t.Errorf("%q: %+v, %v", c.text, r, err)
		}
	}
}

func TestTheFirstOfSeveralValuesIsTakenAndSaid(t *testing.T) {
	checkReadings(t, []reading{
		{KindTorque, "0.180 [N.m] (at 3.7 [V], 1.11 [A]) <br/> 0.215 [N.m] (at 5.0 [V], 1.47 [A])", 0.18, "N·m", "several values", ""},
		{KindCurrent, "190mA (250mA MAX)", 0.19, "mA", "(250mA MAX) not used", ""},
		{KindVoltage, "6V DC (Min. 2V Max. 7.5V)", 6, "V", "not used", ""},
		{KindCharge, "2200mAh 25C", 7920, "mAh", "“25C” ignored", ""},
		{KindCurrent, "1.2 A avg/3.2 A peak", 1.2, "A", "several values", ""},
		{KindCurrent, "18 A per channel", 18, "A", "-", ""},
		{KindCurrent, "70mA (3V)", 0.07, "mA", "(3V) not used", ""},
		{KindVoltage, "12V 7.2Ah", 12, "V", "“7.2Ah” ignored", ""},
		{KindVoltage, "12/24 V", 12, "V", "several values", ""},
		{KindCurrent, "10A max 5A cont.", 10, "A", "several values", "at most"},
	})
}

func TestThousandsAndDecimalMarksFollowTheFile(t *testing.T) {
	for _, c := range []struct {
		text string
		d    Decimal
		want float64
		note string
	}{
		{"10,000 mm", DecimalPoint, 10, "ambiguous"},
		{"1,234,567 mm", DecimalPoint, 1234.567, ""},
		{"1,234.5 mm", DecimalPoint, 1.2345, ""},
		{"2'590 mm", DecimalPoint, 2.59, ""},
		{"2’590 mm", DecimalPoint, 2.59, ""},
		{"10 000 mm", DecimalPoint, 10, "ambiguous"},
		{"10\u00a0000 mm", DecimalPoint, 10, ""},
		{"10\u202f000 mm", DecimalPoint, 10, ""},
		{"1.355,90 mm", DecimalComma, 1.3559, ""},
		{"1.000,92 mm", DecimalComma, 1.00092, ""},
		{"173,900 mm", DecimalComma, 0.1739, ""},
		{"1.234 mm", DecimalComma, 1.234, "ambiguous"},
		{"0,5 mm", DecimalComma, 0.0005, ""},
		{"1.5e3 mm", DecimalPoint, 1.5, ""},
		{".5 mm", DecimalPoint, 0.0005, ""},
	} {
		r, err := ParseWith(KindLength, c.text, Options{Decimal: c.d})
		if err != nil || math.Abs(r.Value-c.want) > 1e-12 || !strings.HasPrefix(r.Note, c.note) || c.note == "" && r.Note != "" {
			t.Errorf("%q: %+v, %v", c.text, r, err)
		}
	}
}

func TestWhatIsNoQuantityIsRefusedWithItsReason(t *testing.T) {
	for _, c := range []struct {
		kind   Kind
		text   string
		reason string
		offset int
	}{
		{KindTorque, "15 oz", "no length", 3}, {KindTorque, "9 kg", "no length", 2}, {KindTorque, "3 lb", "no length", 2}, {KindTorque, "5 N", "no length", 2},
		{KindForce, "5 N·m", "torque", 2}, {KindForce, "5 N m", "torque", 2}, {KindMass, "5 lb-in", "torque", 2}, {KindForce, "5 kg", "is a mass", 2},
		{KindTorque, "5 MN·m", "mega", 2}, {KindCurrent, "250 MA", "mega", 4},
		{KindCharge, "2210 mA", "is a current", 5}, {KindCharge, "2 A", "is a current", 2},
		{KindMass, "42", "no unit", 2}, {KindMass, "42 bananas", "not a unit of mass", 3}, {KindMass, "42 kg bananas", "not a unit of mass", 6},
		{KindMass, "heavy", "does not start with a number", 0}, {KindMass, "", "no value", 0}, {KindMass, "n/a", "no value", 0},
		{KindLength, "0,25 m", "groups three digits", 1}, {KindMass, "5 кг", "“кг” is not a unit", 2}, {KindLength, "1.2.3 m", "one decimal mark", 3},
		{KindLength, "1e400 m", "too large", 0}, {KindLength, "1e308 km", "too large", 0}, {KindLength, "NaN m", "start with a number", 0},
		{KindLength, "Inf m", "start with a number", 0}, {KindLength, "0x1p4 m", "not a unit", 1},
		{KindVoltage, "12-6 V", "larger to the smaller", 0}, {KindTemperature, "-300 °C", "absolute zero", 0},
		{KindTemperatureRise, "80 °C", "not a difference", 3}, {KindRatio, "0:1", "above zero", 0}, {KindRatio, "5/0", "divide by zero", 1}, {KindRatio, "-5", "above zero", 0},
		{KindMass, strings.Repeat("1", 401), "too long", 0}, {KindEnergy, "5 N·m", "torque", 2}, {KindCharge, "7.4V 2500mAh", "voltage", 3},
		{KindLength, "7x2.2x1.8cm", "no", 1},
	} {
		_, err := Parse(c.kind, c.text)
		var pe *ParseError
		if !errors.As(err, &pe) || !strings.Contains(pe.Reason, c.reason) || pe.Offset != c.offset || pe.Kind != c.kind || pe.Text != c.text {
			t.Errorf("%v %q: %#v, want reason with %q at %d", c.kind, c.text, err, c.reason, c.offset)
		}
	}
}

func TestABareNumberTakesTheDefaultUnit(t *testing.T) {
	r, err := ParseWith(KindTorque, "3*", Options{DefaultUnit: "kg·cm"})
	if err != nil || !r.Bare || r.Unit != "" || math.Abs(r.Value-3*kgcm) > 1e-15 {
		t.Errorf("%+v, %v", r, err)
	}
	if r, err = ParseWith(KindTorque, "3 N·m", Options{DefaultUnit: "kg·cm"}); err != nil || r.Value != 3 || r.Bare {
		t.Errorf("the cell's unit wins: %+v, %v", r, err)
	}
}

func TestUnknownMarkersAreUnknown(t *testing.T) {
	for _, s := range []string{"", " ", "-", "–", "—", "n/a", "N/A", "?", "*", "na", "unknown"} {
		if !IsUnknown(s) {
			t.Errorf("%q", s)
		}
	}
	for _, s := range []string{"0", "5 V", "-5", "any"} {
		if IsUnknown(s) {
			t.Errorf("%q", s)
		}
	}
}

func TestHeadingUnitsAreFoundInBrackets(t *testing.T) {
	for k, s := range map[Kind]string{KindTorque: "[kg·cm]", KindAngularSpeed: "(rpm)", KindResistance: "[Ω]", KindCharge: "[mAh]", KindRatio: "[:1]", KindSpeedConstant: "[(rad/s)/V]", KindTemperature: "[°F]"} {
		if _, _, _, _, ok := LookupUnit(k, s); !ok {
			t.Errorf("%v %q", k, s)
		}
	}
	if _, _, _, note, ok := LookupUnit(KindTorque, "[kg/cm]"); !ok || note != "kg/cm read as the product kg·cm" {
		t.Errorf("note %q", note)
	}
	if _, _, _, _, ok := LookupUnit(KindTorque, "[kg]"); ok {
		t.Error("a mass passed for a torque")
	}
}

func TestWireSizes(t *testing.T) {
	for s, want := range map[string]Gauge{
		"14 AWG": {AWG: 14}, "AWG 14": {AWG: 14}, "14AWG": {AWG: 14}, "2/0 AWG": {AWG: -1}, "1/0 AWG": {AWG: 0}, "0 AWG": {AWG: 0}, "#12": {AWG: 12},
		"2.5 mm^2": {Section: 2.5e-6}, "2.5 mm²": {Section: 2.5e-6}, "2.5 mm2": {Section: 2.5e-6}, "2.5mm²": {Section: 2.5e-6},
	} {
		got, err := ParseGauge(s)
		if err != nil || got.AWG != want.AWG || math.Abs(float64(got.Section-want.Section)) > 1e-18 {
			t.Errorf("%q: %+v, %v", s, got, err)
		}
		if err == nil {
			if again, err := ParseGauge(got.String()); err != nil || again.AWG != got.AWG {
				t.Errorf("%q prints as %q: %v", s, got, err)
			}
		}
	}
	for _, s := range []string{"", "14", "14 kg", "50 AWG", "14.5 AWG", "5/0 AWG", "2.5 m²", "AWG"} {
		if g, err := ParseGauge(s); err == nil {
			t.Errorf("%q passed as %+v", s, g)
		}
	}
}
