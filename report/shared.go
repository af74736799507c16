package report

import (
	"strings"

	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// Constant is one figure a candidate stands on, in SI.
type Constant struct {
	Key   string // its name under "constants" in the JSON answer
	Name  string
	Value float64
	Kind  quantity.Kind
	Basis quantity.Basis
	Note  string
	Per   string // behind the unit: "/K"
}

// Constants lists the figures of a candidate's parts in reading order, for
// renderings outside this package.
func Constants(c *sizing.Candidate) []Constant {
	var out []Constant
	for _, k := range constants(c) {
		out = append(out, Constant{k.key, k.name, k.value, k.kind, k.basis, k.note, k.per})
	}
	return out
}

// Cautions are the standing words of care under every answer.
func Cautions() []string { return cautions() }

// ChangeText says in plain words one change that would save a rejected
// candidate, in a display's units.
func ChangeText(d quantity.Display, ch sizing.Change) string {
	return strings.ReplaceAll(changeText(readout{d}, ch), glue, " ")
}

// QuantityText writes a quantity of headroom with its unit: an incline in
// degrees and per cent.
func QuantityText(d quantity.Display, unit string, si float64) string {
	return strings.ReplaceAll(quantityText(readout{d}, unit, si), glue, " ")
}
