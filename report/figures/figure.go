// Package figures holds the pictures of a design review: each is described
// once, as data, and drawn from that description to SVG or PNG in one house
// style. A figure never computes physics; it arranges what the engine found.
//
// Every figure states its finding in words (Finding, the alternative text) and
// carries the numbers behind it as tables, so that nothing is known only by
// looking.
package figures

import (
	"math"

	"example.org/dray/quantity"
)

// Figure is one picture: stacked panels over one x axis, or the current path.
type Figure struct {
	Name    string   // as the command line knows it: "torque-speed"
	Title   string   // what is shown
	Finding string   // what it says, with its numbers: the alternative text
	Panels  []Panel  // from the top; empty when Chain is drawn instead
	Chain   []Link   // the current path, from the pack to the motor
	Key     []string // what numbers and marks mean, printed under the picture
	Tables  []Table  // the numbers behind it
}

// Panel is one pair of axes.
type Panel struct {
	Heading string // quantity and unit of the y axis, set above it
	X, Y    Axis
	Spans   []Span
	Bands   []Band
	Lines   []Line
	Points  []Point
	Rules   []Rule
	Height  float64 // of the plotted area, points; 0 is 230 alone, 96 in a stack
}

// Axis of a panel. With Min = Max the range follows the data.
type Axis struct {
	Label    string
	Min, Max float64
	Log      bool
	Bare     bool // no numbers and no grid: rows with names
}

// Tone is one of the house colours; they differ in lightness as well as hue.
type Tone uint8

// The tones.
const (
	Ink Tone = iota
	Blue
	Rust
	Moss
	Plum
	Grey
)

// Dash is one of the house line styles, so that lines can be told apart
// without colour.
type Dash uint8

// The line styles.
const (
	Solid Dash = iota
	Long
	Short
	Dotted
	DashDot
	DashDotDot
)

// Line is a curve with its label at the right edge, joined to the curve by a
// thin leader.
type Line struct {
	Label  string // empty: none
	X, Y   []float64
	Tone   Tone
	Dash   Dash
	Heavy  bool
	Anchor float64 // x at which the leader meets the curve; NaN is its visible end
}

// Band is an area between two curves over the same x.
type Band struct {
	X, Low, High []float64
	Tone         Tone
}

// Mark is the shape of a point.
type Mark uint8

// The shapes.
const (
	Disc Mark = iota
	Ring
	Cross // small, for large fields
	BigCross
	Diamond
	Dot // small, for large fields
)

// Point is one mark, with an optional short label beside it.
type Point struct {
	X, Y  float64
	Label string
	Mark  Mark
	Tone  Tone
}

// Rule is a straight line over the whole panel at one value.
type Rule struct {
	At       float64
	Vertical bool
	Label    string
	Tone     Tone
	Dash     Dash
}

// Span is a stretch of the x axis with a short label in a strip above the
// plotted area; every second one is shaded.
type Span struct {
	From, To float64
	Label    string
}

// Link is one element of the current path.
type Link struct {
	Name  string
	Used  float64 // share of what it stands; NaN unknown
	Words string  // its worst figure as a sentence
}

// Table is numbers for reading, with what each is in the JSON answer.
type Table struct {
	Caption string
	Heads   []string
	Left    int // the first columns are words, set to the left; the others are numbers
	Rows    [][]Cell
}

// Cell is one entry of a table. Value is the number exactly as the JSON answer
// holds it under Path (SI, unit in the path's last name); NaN when the cell is
// words or unknown.
type Cell struct {
	Text  string
	Value float64
	Path  string
}

// Absent stands where a number is unknown or does not apply.
const Absent = "–"

// Words is a cell without a number.
func Words(text string) Cell { return Cell{Text: text, Value: math.NaN()} }

// Number is a cell whose JSON value is shown as it is, to three digits.
func Number(value float64, path string) Cell { return Shown(value, Sig(value), path) }

// Shown is a number with a text of its own, such as one in a display unit.
// An unknown one is the absent mark.
func Shown(value float64, text, path string) Cell {
	if math.IsNaN(value) {
		return Cell{Text: Absent, Value: value, Path: path}
	}
	return Cell{Text: text, Value: value, Path: path}
}

// Sig writes three significant digits; NaN is the absent mark.
func Sig(x float64) string {
	if math.IsNaN(x) {
		return Absent
	}
	return quantity.Significant(x, 3)
}

// Rpm reads rad/s as revolutions per minute.
func Rpm(radPerSecond float64) float64 { return radPerSecond * 30 / math.Pi }

// Duration writes seconds in the unit a person would use.
func Duration(s float64) string {
	switch {
	case math.IsNaN(s):
		return Absent
	case math.IsInf(s, 0):
		return "without end"
	case s == 0:
		return "0 s"
	case math.Abs(s) < 1e-3:
		return Sig(s*1e6) + " µs"
	case math.Abs(s) < 1:
		return Sig(s*1e3) + " ms"
	case math.Abs(s) < 300:
		return Sig(s) + " s"
	case math.Abs(s) < 7200:
		return Sig(s/60) + " min"
	}
	return Sig(s/3600) + " h"
}

// strip reports whether a panel has a strip of span labels above it.
func (p *Panel) strip() bool {
	for _, s := range p.Spans {
		if s.Label != "" {
			return true
		}
	}
	return false
}
