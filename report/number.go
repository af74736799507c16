package report

import (
	"math"
	"strconv"

	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// absent stands where a number is unknown or does not apply.
const absent = "–"

// figure rounds to three significant digits; NaN is the absent mark.
func figure(x float64) string {
	if math.IsNaN(x) {
		return absent
	}
	return quantity.Significant(x, 3)
}

// amount is a figure with its unit, a space between at which no line breaks:
// "12.3 A".
func amount(x float64, unit string) string {
	if math.IsNaN(x) || unit == "" {
		return figure(x)
	}
	return figure(x) + glue + unit
}

// glue is the space between number and unit until a line is laid out.
const glue = "\u00a0"

// percent reads a share as per cent: 0.153 is "15.3".
func percent(share float64) string { return figure(100 * share) }

// percentOf is percent with its sign: "15.3 %".
func percentOf(share float64) string { return amount(100*share, "%") }

// whole rounds to the nearest integer, for pulses and counts.
func whole(x float64) string {
	if math.IsNaN(x) {
		return absent
	}
	return strconv.FormatFloat(math.Round(x)+0, 'f', 0, 64)
}

// duration reads seconds in the unit a person would use.
func duration(s float64) string {
	switch {
	case math.IsNaN(s):
		return absent
	case math.IsInf(s, 1):
		return "never"
	case s == 0:
		return "0" + glue + "s"
	case math.Abs(s) < 1e-3:
		return amount(s*1e6, "µs")
	case math.Abs(s) < 1:
		return amount(s*1e3, "ms")
	case math.Abs(s) < 300:
		return amount(s, "s")
	case math.Abs(s) < 7200:
		return amount(s/60, "min")
	default:
		return amount(s/3600, "h")
	}
}

// runtime reads a candidate's running hours.
func runtime(c *sizing.Candidate) string {
	if math.IsInf(c.Runtime, 1) {
		return "never"
	}
	return figure(c.Runtime)
}

// full is a number at full precision for programs; empty when unknown or
// without end.
func full(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

// distinct joins lists in order and drops what was already said.
func distinct(lists ...[]string) []string {
	seen := map[string]bool{}
	var out []string
	for _, l := range lists {
		for _, text := range l {
			if !seen[text] {
				seen[text] = true
				out = append(out, text)
			}
		}
	}
	return out
}

// scale is a display unit chosen for one column or one number.
type scale struct{ quantity.DisplayUnit }

func (u scale) number(si float64) string { return figure(u.From(si)) }

func (u scale) with(si float64) string {
	if math.IsNaN(si) {
		return absent
	}
	return amount(u.From(si), u.Name)
}

// readout chooses display units for the unit words of the engine.
type readout struct{ display quantity.Display }

// scale gives the unit to show values of about the given size in, from the
// engine's unit word: A V W N N·m rad/s m/s degC s h 1. Shaft speeds are in
// rpm in every display, because that is how drives are listed and measured.
func (r readout) scale(unit string, size float64) scale {
	switch unit {
	case "rad/s":
		return scale{quantity.Metric.Unit(quantity.KindAngularSpeed, size)}
	case "N·m":
		return scale{r.display.Unit(quantity.KindTorque, size)}
	case "N":
		return scale{r.display.Unit(quantity.KindForce, size)}
	case "m/s":
		return scale{r.display.Unit(quantity.KindSpeed, size)}
	case "degC":
		return scale{r.display.Unit(quantity.KindTemperature, size)}
	case "1":
		return scale{quantity.DisplayUnit{Name: "%", Factor: 0.01}}
	default:
		return scale{quantity.DisplayUnit{Name: unit, Factor: 1}}
	}
}

// with writes one value in the unit that suits its size.
func (r readout) with(unit string, si float64) string { return r.scale(unit, si).with(si) }
