package review

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/dray/quantity"
	"example.org/dray/report/figures"
)

var sig = figures.Sig

// with writes a number and its unit; unknown is the absent mark alone.
func with(x float64, unit string) string {
	if math.IsNaN(x) {
		return figures.Absent
	}
	return sig(x) + " " + unit
}

// share reads a share of one as per cent.
func share(x float64) string { return with(100*x, "%") }

// both writes a quantity in SI and in the units of the other world: "40 kg
// (88.2 lb)". Angles carry their grade, angular speeds are in rpm.
func both(k quantity.Kind, si float64) string {
	if math.IsNaN(si) {
		return figures.Absent
	}
	switch k {
	case quantity.KindIncline:
		return fmt.Sprintf("%s° (%s %%)", sig(si*180/math.Pi), sig(100*math.Tan(si)))
	case quantity.KindAngle:
		return fmt.Sprintf("%s° (%s rad)", sig(si*180/math.Pi), sig(si))
	case quantity.KindAngularSpeed:
		return fmt.Sprintf("%s rad/s (%s rpm)", sig(si), sig(figures.Rpm(si)))
	case quantity.KindTorque:
		first := quantity.SI.Format(k, si)
		return fmt.Sprintf("%s (%s, %s)", first, quantity.Metric.Format(k, si), quantity.US.Format(k, si))
	case quantity.KindCharge, quantity.KindTime, quantity.KindCurrent, quantity.KindVoltage, quantity.KindFraction:
		return quantity.Metric.Format(k, si)
	}
	first, second := quantity.SI.Format(k, si), quantity.US.Format(k, si)
	if first == second {
		return first
	}
	return fmt.Sprintf("%s (%s)", first, second)
}

// count writes a number of things.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// sentence ends with a full stop and starts with a capital, unless it starts
// with the name of something.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	text = strings.TrimSuffix(text, ".") + "."
	first, _, _ := strings.Cut(text, " ")
	if strings.ContainsFunc(strings.Trim(first, ".,:;"), func(r rune) bool { return !unicode.IsLetter(r) }) {
		return text // an id, a file or a number
	}
	r, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(r)) + text[size:]
}

// joined lists words as a person does: "a, b and c".
func joined(words []string) string {
	switch len(words) {
	case 0:
		return "none"
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// shown is a cell in a display unit chosen by the caller for the whole column.
func shown(u quantity.DisplayUnit, si float64, path string) figures.Cell {
	return figures.Shown(si, sig(u.From(si)), path)
}

// amount is a cell with its unit written behind the number.
func amount(si float64, text, path string) figures.Cell { return figures.Shown(si, text, path) }

// words makes a row of cells without numbers.
func words(texts ...string) []figures.Cell {
	out := make([]figures.Cell, len(texts))
	for i, t := range texts {
		out[i] = figures.Words(t)
	}
	return out
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
