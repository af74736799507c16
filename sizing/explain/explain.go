// Package explain writes the sizing of one candidate out as a worked example:
// data, not text laid out. Every numeric line holds the formula in symbols, the
// same with numbers and units, and the result; the result is what the printed
// numbers give, so that a reader with a calculator gets it too.
//
// All numbers are SI; angles are printed in degrees. Five significant digits
// are carried from line to line, so that the example agrees with the engine to
// about one part in ten thousand.
package explain

import (
	"fmt"
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// Example is one candidate's sizing, written out.
type Example struct {
	Field     *sizing.Field
	Candidate *sizing.Candidate
	Leg       string // the governing leg
	Why       string // why that one
	Sections  []Section
	// Assumptions are everything the numbers rest on that nobody stated or listed.
	Assumptions []loadcases.Assumption
}

// Section is a stretch of the example under one heading.
type Section struct {
	Title string
	Text  string // before the steps; may be empty
	Steps []Step
	Table *Table // after the steps; nil none
	Notes []string
}

// Step is one line: Symbol = Formula = Expression = Result.
type Step struct {
	Title      string  // what it is, in words
	Symbol     string  // "Fs"
	Formula    string  // in symbols: "s·m·g·sin θ"; empty for a figure that is only given
	Expression string  // with numbers and units, as evaluated
	Value      float64 // SI, rounded to the digits printed
	Unit       string
	Result     string // value and unit as printed
	Basis      quantity.Basis
	Note       string
}

// Table holds a small table of words and printed numbers.
type Table struct {
	Heads []string
	Rows  [][]string
}

// Explain writes the example of a candidate of a field. The error is that of a
// duty that cannot be laid out.
func Explain(f *sizing.Field, c *sizing.Candidate) (*Example, error) { return ExplainLeg(f, c, -1) }

// ExplainLeg does so for a leg of the reader's choice, by its index; −1 takes
// the governing leg. A leg out of range or unpowered is an error.
func ExplainLeg(f *sizing.Field, c *sizing.Candidate, leg int) (*Example, error) {
	judge, err := sizing.NewJudge(f.Case)
	if err != nil {
		return nil, err
	}
	w := &work{c: f.Case, cand: c, works: judge.Works(c.Pick), ex: &Example{Field: f, Candidate: c}}
	switch {
	case leg >= len(c.Legs):
		return nil, fmt.Errorf("there are %d legs, and leg %d is asked for", len(c.Legs), leg+1)
	case leg >= 0 && !w.powered(leg):
		return nil, fmt.Errorf("leg %q is a rest: nothing is asked of the motor in it", c.Legs[leg].Name)
	case leg >= 0:
		w.leg, w.ex.Leg, w.ex.Why = leg, c.Legs[leg].Name, "it was asked for"
	default:
		w.govern()
	}
	w.constants()
	w.supply()
	w.instants()
	w.legs()
	w.heat()
	w.battery()
	w.checks()
	w.assumptions()
	if w.fault != nil {
		return nil, w.fault
	}
	return w.ex, nil
}

// work is an example being written.
type work struct {
	c     *loadcases.Case
	cand  *sizing.Candidate
	works sizing.Works
	ex    *Example
	at    *Section
	leg   int // governing
	fault error

	// rounded figures, as printed
	k25, tf, n        float64
	emf, rt, aux, b   float64
	leadR, switchR, p float64
	packR, supplyR    float64
}

// section starts a section.
func (w *work) section(title, text string) {
	w.ex.Sections = append(w.ex.Sections, Section{Title: title, Text: text})
	w.at = &w.ex.Sections[len(w.ex.Sections)-1]
}

func (w *work) note(text string) { w.at.Notes = append(w.at.Notes, text) }

// digits are the significant digits carried from line to line.
const digits = 5

// num prints a number with its unit as an operand; a negative one in brackets.
func num(x float64, unit string) string {
	text := quantity.Significant(x, digits)
	switch {
	case unit == "°":
		text += unit
	case unit != "":
		text += " " + unit
	}
	if x < 0 {
		return "(" + text + ")"
	}
	return text
}

// round is x with the digits that are printed.
func round(x float64) float64 {
	var v float64
	if _, err := fmt.Sscan(quantity.Significant(x, digits), &v); err != nil {
		return x
	}
	return v
}

// line writes a step and returns its result as printed.
func (w *work) line(title, symbol, formula, expression, unit string) float64 {
	v, err := evaluate(expression)
	if err != nil {
		if w.fault == nil {
			w.fault = fmt.Errorf("explain %s: %w", title, err)
		}
		return math.NaN()
	}
	v = round(v)
	text := quantity.Significant(v, digits)
	if unit != "" {
		text += " " + unit
	}
	w.at.Steps = append(w.at.Steps, Step{Title: title, Symbol: symbol, Formula: formula, Expression: expression, Value: v, Unit: unit, Result: text, Basis: quantity.Derived})
	return v
}

// given writes a figure that is not computed here, and returns it as printed.
func (w *work) given(title, symbol string, x float64, unit string, basis quantity.Basis, note string) float64 {
	v := round(x)
	text := quantity.Significant(v, digits)
	if unit != "" {
		text += " " + unit
	}
	w.at.Steps = append(w.at.Steps, Step{Title: title, Symbol: symbol, Value: v, Unit: unit, Result: text, Basis: basis, Note: note})
	return v
}

// remark adds a note to the last step.
func (w *work) remark(text string) {
	if n := len(w.at.Steps); n > 0 {
		w.at.Steps[n-1].Note = text
	}
}

// govern chooses the leg the example follows: the one the first failure names,
// else the one that heats the winding most.
func (w *work) govern() {
	c := w.cand
	if c.FirstFailure >= 0 {
		for i := range c.Checks {
			k := &c.Checks[i]
			if int(k.Name) == c.FirstFailure && k.Leg >= 0 && k.Leg < len(c.Legs) && w.powered(k.Leg) {
				w.leg = k.Leg
				w.ex.Leg = c.Legs[w.leg].Name
				w.ex.Why = fmt.Sprintf("the first failure, %s, falls in it: %s", k.Name, k.Sentence(c))
				return
			}
		}
	}
	total := 0.0
	for i := range w.works.Legs {
		total += w.works.Legs[i].Square
		if w.powered(i) && (!w.powered(w.leg) || w.works.Legs[i].Square > w.works.Legs[w.leg].Square) {
			w.leg = i
		}
	}
	l := &w.works.Legs[w.leg]
	w.ex.Leg = c.Legs[w.leg].Name
	w.ex.Why = fmt.Sprintf("it heats the winding most: %s A²·s of the cycle's %s (%s %%) in %s of its %s s",
		quantity.Significant(l.Square, 4), quantity.Significant(total, 4), quantity.Significant(100*l.Square/total, 3),
		quantity.Significant(l.Time, 3), quantity.Significant(c.CycleTime, 4))
	if k := weakest(c); k != nil {
		w.ex.Why += fmt.Sprintf("; the weakest margin that decides is %s, %s %%", k.Name, quantity.Significant(100*k.Margin, 3))
		if k.Leg >= 0 && k.Leg < len(c.Legs) {
			w.ex.Why += ", in " + c.Legs[k.Leg].Name
		}
	}
}

// weakest is the check with the least margin among those that decide: one that
// is tight at worst does not once it is exceeded.
func weakest(c *sizing.Candidate) (least *sizing.Check) {
	for i := range c.Checks {
		k := &c.Checks[i]
		if math.IsNaN(k.Margin) || k.Verdict == sizing.Tight && k.Margin < 0 {
			continue
		}
		if least == nil || k.Margin < least.Margin {
			least = k
		}
	}
	return least
}

// powered reports whether a leg asks the motor for anything.
func (w *work) powered(leg int) bool {
	return w.c.Legs[leg].Kind != loadcases.RestLeg
}
