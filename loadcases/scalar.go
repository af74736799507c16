package loadcases

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/dray/quantity"
	"go.yaml.in/yaml/v4"
)

// scalar reads the forms that are one word or one quantity.
func (w *walker) scalar(v *value, e *entry, path string) bool {
	n := v.node
	if n.Kind != yaml.ScalarNode {
		w.fault(n, fmt.Sprintf("%s is %s, and a single value was expected", e.name, shape(n)), w.example(e))
		return false
	}
	v.text = n.Value
	switch e.form {
	case formQuantity:
		return w.quantity(v, e, path)
	case formWhole:
		return w.whole(v, e)
	case formYesNo:
		switch strings.ToLower(n.Value) {
		case "yes", "true", "on":
			v.number = 1
		case "no", "false", "off":
		default:
			w.fault(n, fmt.Sprintf("%s is %s, and yes or no was expected", e.name, quote(n.Value)), "")
			return false
		}
	case formChoice:
		return w.choice(v, e)
	case formGauge:
		gauge, err := quantity.ParseGauge(n.Value)
		if err != nil {
			w.unreadable(n, e.name, err)
			return false
		}
		v.gauge = gauge
	default:
		if len(n.Value) > 300 || strings.ContainsAny(n.Value, "\n\r") {
			w.fault(n, e.name+" must be one line of at most 300 characters", "")
			return false
		}
	}
	return true
}

func (w *walker) choice(v *value, e *entry) bool {
	for _, word := range e.choices {
		if strings.EqualFold(word, v.text) {
			v.text = word
			return true
		}
	}
	hint := "one of " + strings.Join(e.choices, ", ")
	if near := nearest(v.text, e.choices); near != "" {
		hint = "did you mean " + near + "? " + hint
	}
	w.fault(v.node, fmt.Sprintf("%s is %s", e.name, quote(v.text)), hint)
	return false
}

func (w *walker) whole(v *value, e *entry) bool {
	n, err := strconv.Atoi(v.node.Value)
	if err != nil {
		w.fault(v.node, fmt.Sprintf("%s is %s, and a whole number was expected", e.name, quote(v.node.Value)), w.example(e))
		return false
	}
	if n < 1 || n > e.most {
		w.fault(v.node, fmt.Sprintf("%s is %d, and it must lie between 1 and %d", e.name, n, e.most), "")
		return false
	}
	v.number = float64(n)
	return true
}

func (w *walker) kindOf(e *entry) quantity.Kind {
	if e.turns && w.turning {
		return e.turn
	}
	return e.kind
}

// quantity reads one quantity, its tolerance and its bounds.
func (w *walker) quantity(v *value, e *entry, path string) bool {
	n, kind := v.node, w.kindOf(e)
	r, ok := w.reading(n, kind, e.name)
	if !ok || !w.inside(n, e, r.Value) {
		return false
	}
	v.number = r.Value
	plus := 0.0
	switch {
	case r.HasPlus:
		plus = r.Plus
	case r.Bound == "range":
		plus = (r.High - r.Low) / 2
	}
	if plus > 0 {
		w.tolerances = append(w.tolerances, Tolerance{Input: path, Value: r.Value, Plus: plus, Basis: quantity.Stated})
	}
	return true
}

// reading parses a quantity and reports what is wrong with it.
func (w *walker) reading(n *yaml.Node, kind quantity.Kind, name string) (quantity.Reading, bool) {
	r, err := quantity.Parse(kind, n.Value)
	if err != nil {
		w.unreadable(n, name, err)
		return r, false
	}
	if r.Bound != "" && r.Bound != "range" {
		w.fault(n, fmt.Sprintf("%s is %s, and a case needs one value", name, quote(n.Value)), "write the value, or a tolerance: 42 kg ± 3 kg")
		return r, false
	}
	if r.Note != "" {
		w.notes = append(w.notes, Warning{Text: name + ": " + r.Note, Line: n.Line})
	}
	return r, true
}

// unreadable reports a parse error at its place in the value.
func (w *walker) unreadable(n *yaml.Node, name string, err error) {
	line, column := n.Line, n.Column
	var pe *quantity.ParseError
	if !errors.As(err, &pe) {
		w.faultAt(line, column, fmt.Sprintf("%s is %s: %v", name, quote(n.Value), err), "")
		return
	}
	if n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) == 0 {
		if n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0 {
			column++
		}
		column += pe.Offset
	}
	w.faultAt(line, column, fmt.Sprintf("%s is %s: %s", name, quote(n.Value), pe.Reason), pe.Hint)
}

// hugest is the largest size of any SI value in a case; tiniest the smallest
// of one that must be more than zero.
const (
	hugest  = 1e12
	tiniest = 1e-12
)

// inside checks a quantity against the entry's bounds.
func (w *walker) inside(n *yaml.Node, e *entry, x float64) bool {
	switch {
	case math.Abs(x) > hugest:
		w.fault(n, fmt.Sprintf("%s is %s, larger than any such machine", e.name, quote(n.Value)), "check the unit")
	case x < e.low && e.low == 0:
		w.fault(n, fmt.Sprintf("%s is %s, and it must not be negative", e.name, quote(n.Value)), negativeHint(e.name))
	case e.above && x <= e.low:
		w.fault(n, fmt.Sprintf("%s is %s, and it must be more than zero", e.name, quote(n.Value)), "")
	case e.above && e.low == 0 && x < tiniest:
		w.fault(n, fmt.Sprintf("%s is %s, smaller than any such machine", e.name, quote(n.Value)), "check the unit")
	case x < e.low || x > e.high:
		w.fault(n, fmt.Sprintf("%s is %s, and that is outside what is possible: %s", e.name, quote(n.Value), bounds(w.kindOf(e), e)), "")
	default:
		return true
	}
	return false
}

func negativeHint(name string) string {
	if name == "distance" {
		return "the sign belongs to the speed"
	}
	return ""
}

// bounds writes an entry's limits for a person.
func bounds(kind quantity.Kind, e *entry) string {
	factor, unit := 1.0, " "+kind.SIUnit()
	switch kind {
	case quantity.KindIncline, quantity.KindAngle:
		factor, unit = 180/math.Pi, "°"
	case quantity.KindFraction:
		factor, unit = 100, " %"
	case quantity.KindFriction:
		unit = ""
	}
	if math.IsInf(e.low, -1) {
		return fmt.Sprintf("at most %.4g%s", e.high*factor, unit)
	}
	return fmt.Sprintf("%.4g to %.4g%s", e.low*factor, e.high*factor, unit)
}
