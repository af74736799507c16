package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Significant writes x with the given number of significant digits (1…15),
// trailing zeros after the point dropped. Magnitudes from 1e-6 to 1e9 never
// use an exponent; zero has no sign; NaN and infinities are "unknown" and "∞".
func Significant(x float64, digits int) string {
	digits = min(max(digits, 1), 15)
	switch {
	case math.IsNaN(x):
		return "unknown"
	case math.IsInf(x, 1):
		return "∞"
	case math.IsInf(x, -1):
		return "-∞"
	case x == 0:
		return "0"
	}
	e := strconv.FormatFloat(x, 'e', digits-1, 64)
	mantissa, exp, _ := strings.Cut(e, "e")
	power, _ := strconv.Atoi(exp)
	if power < -6 || power > 9 {
		return trimZeros(mantissa) + "e" + strconv.Itoa(power)
	}
	rounded, _ := strconv.ParseFloat(e, 64)
	return trimZeros(strconv.FormatFloat(rounded, 'f', max(0, digits-1-power), 64))
}

func trimZeros(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// Display selects the units people see; values stay in SI.
type Display uint8

// The three displays.
const (
	SI     Display = iota // N·m, rad/s, m/s
	Metric                // kg·cm for small torques, rpm, degrees
	US                    // oz·in, lb·ft, in, ft, lb, mph
)

// String gives the word of the command line: si, metric, us.
func (d Display) String() string {
	switch d {
	case Metric:
		return "metric"
	case US:
		return "us"
	default:
		return "si"
	}
}

// ParseDisplay reads the word of the command line; ok is false for another.
func ParseDisplay(word string) (d Display, ok bool) {
	for _, d := range []Display{SI, Metric, US} {
		if strings.EqualFold(word, d.String()) {
			return d, true
		}
	}
	return SI, false
}

// Format writes an SI value of the kind with three significant digits and a
// unit of the display: "12.3 kg·cm". Unknown (NaN) is "unknown".
func (d Display) Format(k Kind, si float64) string {
	if math.IsNaN(si) {
		return "unknown"
	}
	u := d.Unit(k, si)
	number := Significant(u.From(si), 3)
	switch {
	case u.Name == "":
		return number
	case u.Name == "°":
		return number + "°"
	default:
		return number + " " + u.Name
	}
}

// DisplayUnit is a unit values are shown in: shown = (SI − Offset)/Factor.
type DisplayUnit struct {
	Name   string
	Factor float64
	Offset float64
}

// From converts an SI value to the unit.
func (u DisplayUnit) From(si float64) float64 {
	return (si-u.Offset)/u.Factor + 0
}

// Unit chooses the unit in which a value of about the given size is shown; a
// table calls it once with its largest value and keeps one unit a column.
func (d Display) Unit(k Kind, si float64) DisplayUnit {
	size := math.Abs(si)
	if d == US {
		if u, ok := usUnit(k, size); ok {
			return u
		}
	}
	if d == Metric || d == US {
		if u, ok := everydayUnit(k, size); ok {
			return u
		}
	}
	return siUnit(k, size)
}

func usUnit(k Kind, size float64) (DisplayUnit, bool) {
	switch k {
	case KindLength:
		if size >= 10*footMetres {
			return DisplayUnit{Name: "ft", Factor: footMetres}, true
		}
		return DisplayUnit{Name: "in", Factor: inchMetres}, true
	case KindArea:
		return DisplayUnit{Name: "in²", Factor: inchMetres * inchMetres}, true
	case KindMass:
		if size < poundKilogram {
			return DisplayUnit{Name: "oz", Factor: ounceKilogram}, true
		}
		return DisplayUnit{Name: "lb", Factor: poundKilogram}, true
	case KindSpeed:
		return DisplayUnit{Name: "ft/s", Factor: footMetres}, true
	case KindAcceleration:
		return DisplayUnit{Name: "ft/s²", Factor: footMetres}, true
	case KindForce:
		return DisplayUnit{Name: "lbf", Factor: poundNewton}, true
	case KindTorque:
		if size >= 10*poundNewton*footMetres {
			return DisplayUnit{Name: "lb·ft", Factor: poundNewton * footMetres}, true
		}
		return DisplayUnit{Name: "oz·in", Factor: ounceNewton * inchMetres}, true
	case KindInertia:
		return DisplayUnit{Name: "oz·in²", Factor: ounceKilogram * inchMetres * inchMetres}, true
	case KindTemperature:
		return DisplayUnit{Name: "°F", Factor: 5.0 / 9, Offset: -160.0 / 9}, true
	case KindPower:
		if size >= horsepowerW {
			return DisplayUnit{Name: "hp", Factor: horsepowerW}, true
		}
	case KindMotorConstant, KindTorqueConstant:
		return DisplayUnit{Name: "oz·in/A", Factor: ounceNewton * inchMetres}, true
	}
	return DisplayUnit{}, false
}

// everydayUnit holds what metric and US displays share with the workshop.
func everydayUnit(k Kind, size float64) (DisplayUnit, bool) {
	switch k {
	case KindTorque:
		if size < 10 {
			return DisplayUnit{Name: "kg·cm", Factor: StandardGravity / 100}, true
		}
	case KindAngularSpeed:
		return DisplayUnit{Name: "rpm", Factor: rpmRadian}, true
	case KindSpeedConstant:
		return DisplayUnit{Name: "rpm/V", Factor: rpmRadian}, true
	case KindAngle, KindIncline:
		return DisplayUnit{Name: "°", Factor: degreeRadian}, true
	case KindCharge:
		return DisplayUnit{Name: "Ah", Factor: 3600}, true
	case KindEnergy:
		if size >= 3600 {
			return DisplayUnit{Name: "Wh", Factor: 3600}, true
		}
	case KindTime:
		if size >= 2*3600 {
			return DisplayUnit{Name: "h", Factor: 3600}, true
		}
		if size >= 120 {
			return DisplayUnit{Name: "min", Factor: 60}, true
		}
	}
	return DisplayUnit{}, false
}

// siUnit gives the SI unit, with a prefix where bare SI would read badly.
func siUnit(k Kind, size float64) DisplayUnit {
	small := size > 0 && size < 0.1
	switch k {
	case KindLength:
		if size > 0 && size < 1 {
			return DisplayUnit{Name: "mm", Factor: 0.001}
		}
	case KindArea:
		return DisplayUnit{Name: "mm²", Factor: 1e-6}
	case KindMass:
		if size > 0 && size < 1 {
			return DisplayUnit{Name: "g", Factor: 0.001}
		}
	case KindTorque, KindMotorConstant, KindTorqueConstant, KindCurrent, KindVoltage, KindResistance:
		if small {
			return DisplayUnit{Name: "m" + k.SIUnit(), Factor: 1e-3}
		}
	case KindInertia:
		if size > 0 && size < 1e-3 {
			return DisplayUnit{Name: "g·cm²", Factor: 1e-7}
		}
	case KindInductance, KindCapacitance:
		if size > 0 && size < 1e-3 {
			return DisplayUnit{Name: "µ" + k.SIUnit(), Factor: 1e-6}
		}
		if size > 0 && size < 1 {
			return DisplayUnit{Name: "m" + k.SIUnit(), Factor: 1e-3}
		}
	case KindTime:
		if size > 0 && size < 1e-3 {
			return DisplayUnit{Name: "µs", Factor: 1e-6}
		}
		if small {
			return DisplayUnit{Name: "ms", Factor: 1e-3}
		}
	case KindCharge:
		return DisplayUnit{Name: "Ah", Factor: 3600}
	case KindPower, KindEnergy, KindFrequency:
		if size >= 1e4 {
			return DisplayUnit{Name: "k" + k.SIUnit(), Factor: 1000}
		}
	case KindRatio, KindMoney:
		return DisplayUnit{Factor: 1}
	case KindFraction:
		return DisplayUnit{Name: "%", Factor: 0.01}
	case KindFriction:
		return DisplayUnit{Factor: 1}
	}
	return DisplayUnit{Name: k.SIUnit(), Factor: 1}
}
