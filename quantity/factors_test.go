package quantity

import (
	"math"
	"testing"

	gonum "gonum.org/v1/gonum/unit"
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > rel*math.Abs(want) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

func factorOf(t *testing.T, k Kind, spelling string) float64 {
	t.Helper()
	f, _, _, _, ok := LookupUnit(k, spelling)
	if !ok {
		t.Fatalf("%v has no unit %q", k, spelling)
	}
	return f
}

// Every factor is printed in NIST SP 811 (2008), app. B.8 and B.9; those with
// seven digits there are compared to seven digits.
func TestFactorsAgreeWithTheirDefinitions(t *testing.T) {
	for _, c := range []struct {
		k    Kind
		unit string
		want float64
		rel  float64
	}{
		{KindLength, "in", 0.0254, 0},                // exact
		{KindLength, "ft", 0.3048, 1e-15},            // exact
		{KindLength, "yd", 0.9144, 1e-15},            // exact
		{KindLength, "mile", 1609.344, 1e-15},        // exact
		{KindArea, "in²", 6.4516e-4, 1e-15},          // exact
		{KindArea, "ft²", 9.290304e-2, 1e-15},        // exact
		{KindMass, "lb", 0.45359237, 0},              // exact
		{KindMass, "oz", 2.834952e-2, 5e-7},          // SP 811
		{KindForce, "kgf", 9.80665, 0},               // exact
		{KindForce, "lbf", 4.448222, 5e-7},           // SP 811
		{KindForce, "ozf", 2.780139e-1, 5e-7},        // SP 811
		{KindTorque, "kgf·m", 9.80665, 0},            // exact
		{KindTorque, "ozf·in", 7.061552e-3, 5e-7},    // SP 811
		{KindTorque, "lbf·in", 1.129848e-1, 5e-7},    // SP 811
		{KindTorque, "lbf·ft", 1.355818, 5e-7},       // SP 811
		{KindInertia, "lb·ft²", 4.214011e-2, 5e-7},   // SP 811
		{KindInertia, "lb·in²", 2.926397e-4, 5e-7},   // SP 811
		{KindPower, "hp", 7.456999e2, 5e-7},          // SP 811, 550 ft·lbf/s
		{KindPower, "PS", 7.354988e2, 5e-7},          // SP 811, metric horsepower
		{KindSpeed, "km/h", 2.777778e-1, 5e-7},       // SP 811
		{KindSpeed, "mph", 0.44704, 1e-15},           // exact
		{KindSpeed, "ft/min", 5.08e-3, 1e-15},        // exact
		{KindAngle, "deg", 1.745329e-2, 5e-7},        // SP 811
		{KindAngularSpeed, "rpm", 1.047198e-1, 5e-7}, // SP 811
		{KindEnergy, "kWh", 3.6e6, 0},                // exact
		{KindCharge, "Ah", 3600, 0},                  // exact
		{KindCharge, "mAh", 3.6, 0},
		{KindAcceleration, "g", 9.80665, 0},
		{KindMotorConstant, "V/krpm", 60 / (2 * math.Pi * 1000), 1e-15},
		{KindMotorConstant, "mV/rpm", 60 / (2 * math.Pi * 1000), 1e-15},
		{KindTorsionRate, "N·m/deg", 180 / math.Pi, 1e-15},
		{KindInertia, "oz·in²", 0.45359237 / 16 * 0.0254 * 0.0254, 1e-15},
		{KindInertia, "oz·in·s²", 7.061552e-3, 5e-7},
	} {
		near(t, c.k.String()+" "+c.unit, factorOf(t, c.k, c.unit), c.want, max(c.rel, 1e-16))
	}
}

// Common practice, no source: 1 oz·in = 7.0616 mN·m = 0.07201 kg·cm, and a
// servo listed with 106.93 oz·in and 7.70 kg·cm.
func TestOunceInchesAgreeWithTheTrade(t *testing.T) {
	near(t, "mN·m", OunceInch.MillinewtonMetres(), 7.0616, 1e-5)
	near(t, "kg·cm", OunceInch.KilogramCentimetres(), 0.07201, 1e-4)
	near(t, "servo", (106.93 * OunceInch).KilogramCentimetres(), 7.70, 1e-3)
}

func TestUnitsHaveTheDimensionOfTheirKind(t *testing.T) {
	nm := gonum.New(1, gonum.Dimensions{gonum.MassDim: 1, gonum.LengthDim: 2, gonum.TimeDim: -2})
	for _, c := range []struct {
		name    string
		factor  float64
		product *gonum.Unit
	}{
		{"lb·ft", float64(PoundFoot), gonum.Mass(0.45359237).Unit().Mul(gonum.Acceleration(9.80665)).Mul(gonum.Length(0.3048))},
		{"oz·in", float64(OunceInch), gonum.Mass(0.45359237 / 16).Unit().Mul(gonum.Acceleration(9.80665)).Mul(gonum.Length(0.0254))},
		{"kg·cm", float64(KilogramCentimetre), gonum.Mass(1).Unit().Mul(gonum.Acceleration(9.80665)).Mul(gonum.Length(0.01))},
	} {
		if !gonum.DimensionsMatch(c.product, nm) {
			t.Errorf("%s is not a torque", c.name)
		}
		near(t, c.name, c.factor, c.product.Value(), 1e-15)
	}
}

func TestReadOutsInvertTheUnitConstants(t *testing.T) {
	for _, c := range []struct {
		what string
		got  float64
	}{
		{"mm", (5 * Millimetre).Millimetres()}, {"in", (5 * Inch).Inches()}, {"ft", (5 * Foot).Feet()},
		{"mm²", (5 * SquareMillimetre).SquareMillimetres()},
		{"g", (5 * Gram).Grams()}, {"lb", (5 * Pound).Pounds()}, {"oz", (5 * Ounce).Ounces()},
		{"ms", (5 * Millisecond).Milliseconds()}, {"µs", (5 * Microsecond).Microseconds()},
		{"min", (5 * Minute).Minutes()}, {"h", (5 * Hour).Hours()},
		{"km/h", (5 * KilometrePerHour).KilometresPerHour()}, {"mph", (5 * MilePerHour).MilesPerHour()},
		{"kgf", (5 * KilogramForce).KilogramsForce()}, {"lbf", (5 * PoundForce).PoundsForce()},
		{"N·cm", (5 * NewtonCentimetre).NewtonCentimetres()}, {"kg·cm", (5 * KilogramCentimetre).KilogramCentimetres()},
		{"oz·in", (5 * OunceInch).OunceInches()}, {"lb·in", (5 * PoundInch).PoundInches()}, {"lb·ft", (5 * PoundFoot).PoundFeet()},
		{"deg", (5 * Degree).Degrees()}, {"turn", (5 * Turn).Turns()}, {"grade", Grade(5).GradePercent()},
		{"rpm", (5 * RPM).RPM()}, {"deg/s", (5 * DegreePerSecond).DegreesPerSecond()},
		{"g·cm²", (5 * GramSquareCentimetre).GramSquareCentimetres()}, {"oz·in²", (5 * OunceSquareInch).OunceSquareInches()},
		{"mA", (5 * Milliampere).Milliamperes()}, {"mΩ", (5 * Milliohm).Milliohms()}, {"mH", (5 * Millihenry).Millihenries()},
		{"µF", (5 * Microfarad).Microfarads()}, {"hp", (5 * Horsepower).Horsepower()}, {"Wh", (5 * WattHour).WattHours()},
		{"Ah", (5 * AmpereHour).AmpereHours()}, {"%", (5 * Percent).Percent()},
		{"rpm/V", (5 * RPMPerVolt).RPMPerVolt()}, {"kv", (5 * RPMPerVolt).MotorConstant().RPMPerVolt()},
		{"oz·in/A", (5 * OunceInchPerAmpere).OunceInchesPerAmpere()},
		{"°F", Temperature(-15).Fahrenheit()}, {"rise", Temperature(30).Above(25).Kelvins()},
	} {
		near(t, c.what, c.got, 5, 1e-14)
	}
}
