package loadcases

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/dray/quantity"
	"go.yaml.in/yaml/v4"
)

// The lengths a list may have; a file beyond them is a mistake or an attack.
const (
	maxLegs   = 2000
	maxNames  = 1000
	maxStages = 500
)

// sections reads a list of mappings: the legs.
func (w *walker) sections(v *value, e *entry, path string) *value {
	n := v.node
	if w.refused(n) {
		return nil
	}
	if n.Kind != yaml.SequenceNode {
		w.fault(n, fmt.Sprintf("%s is %s, and a list was expected", e.name, shape(n)), "- { name: out, speed: 1 m/s, distance: 5 m }")
		return nil
	}
	if len(n.Content) > maxLegs {
		w.fault(n, fmt.Sprintf("%s has %d entries, more than %d", e.name, len(n.Content), maxLegs), "")
		return nil
	}
	turning := w.turning
	for i, item := range n.Content {
		w.turning = turning || pivots(item)
		v.items = append(v.items, w.section(item, item, e.children, fmt.Sprintf("%s[%d]", path, i)))
	}
	w.turning = turning
	return v
}

// pivots reports whether a leg turns on the spot, so that its speed is a rate.
func pivots(leg *yaml.Node) bool {
	if leg.Kind != yaml.MappingNode {
		return false
	}
	for i := 0; i+1 < len(leg.Content); i += 2 {
		if leg.Content[i].Value == "turn" {
			return true
		}
	}
	return false
}

// nameList reads any, one name, or a list of names; any is the empty list.
func (w *walker) nameList(v *value, e *entry) bool {
	items := []*yaml.Node{v.node}
	if v.node.Kind == yaml.SequenceNode {
		items = v.node.Content
	}
	if len(items) == 0 {
		w.fault(v.node, e.name+" is an empty list", w.example(e))
		return false
	}
	if len(items) > maxNames {
		w.fault(v.node, fmt.Sprintf("%s has %d entries, more than %d", e.name, len(items), maxNames), "")
		return false
	}
	seen := map[string]*yaml.Node{}
	for _, item := range items {
		if w.refused(item) {
			return false
		}
		if item.Kind != yaml.ScalarNode || item.Value == "" || len(item.Value) > 300 || strings.ContainsAny(item.Value, "\n\r\x00") {
			w.fault(item, fmt.Sprintf("%s is %s, and a name was expected", e.name, shape(item)), w.example(e))
			return false
		}
		if before := seen[item.Value]; before != nil {
			w.fault(item, fmt.Sprintf("%s is given twice, first on line %d column %d", quote(item.Value), before.Line, before.Column), "keep one of the two")
			return false
		}
		seen[item.Value] = item
		if e.form == formNames && item.Value == "any" {
			if len(items) > 1 {
				w.fault(item, "any stands beside other names in "+e.name, "write any alone, or the names alone")
				return false
			}
			return true
		}
		v.list = append(v.list, item.Value)
	}
	return true
}

// ratios reads one ratio or a list of them.
func (w *walker) ratios(v *value, e *entry, path string) bool {
	items := []*yaml.Node{v.node}
	if v.node.Kind == yaml.SequenceNode {
		items = v.node.Content
	}
	if len(items) == 0 || len(items) > maxStages {
		w.fault(v.node, fmt.Sprintf("%s has %d entries, and 1 to %d were expected", e.name, len(items), maxStages), "")
		return false
	}
	for i, item := range items {
		if w.refused(item) {
			return false
		}
		if item.Kind != yaml.ScalarNode {
			w.fault(item, fmt.Sprintf("%s is %s, and a ratio was expected", e.name, shape(item)), w.example(e))
			return false
		}
		r, ok := w.reading(item, quantity.KindRatio, e.name)
		if !ok {
			return false
		}
		if r.Value <= 0 || r.Value > 1e4 {
			w.fault(item, fmt.Sprintf("%s is %s, and it must lie between 0 and 10000", e.name, quote(item.Value)), "")
			return false
		}
		if r.HasPlus && len(items) == 1 {
			w.tolerances = append(w.tolerances, Tolerance{Input: path, Value: r.Value, Plus: r.Plus, Basis: quantity.Stated})
		}
		v.numbers = append(v.numbers, r.Value)
		if i == 0 {
			v.text = item.Value
		}
	}
	return true
}

// teeth reads 14, [12, 14], 12-20 or {from: 12, to: 20}.
func (w *walker) teeth(v *value, e *entry) bool {
	n := v.node
	switch n.Kind {
	case yaml.SequenceNode:
		for _, item := range n.Content {
			if w.refused(item) || !w.teethRange(v, e, item) {
				return false
			}
		}
		if len(v.numbers) == 0 {
			w.fault(n, e.name+" is an empty list", w.example(e))
			return false
		}
		return true
	case yaml.MappingNode:
		s := w.section(n, v.key, []entry{whole("from", "", 1000, "smallest").need(), whole("to", "", 1000, "largest").need()}, e.name)
		if !s.has("from") || !s.has("to") {
			return false
		}
		return w.countUp(v, e, n, int(s.num("from")), int(s.num("to")))
	default:
		return w.teethRange(v, e, n)
	}
}

func (w *walker) teethRange(v *value, e *entry, n *yaml.Node) bool {
	if n.Kind != yaml.ScalarNode {
		w.fault(n, fmt.Sprintf("%s is %s, and a tooth count was expected", e.name, shape(n)), w.example(e))
		return false
	}
	low, high, ranged := strings.Cut(strings.ReplaceAll(n.Value, "–", "-"), "-")
	from, err := strconv.Atoi(strings.TrimSpace(low))
	to := from
	if ranged && err == nil {
		to, err = strconv.Atoi(strings.TrimSpace(high))
	}
	if err != nil {
		w.fault(n, fmt.Sprintf("%s is %s, and a tooth count was expected", e.name, quote(n.Value)), w.example(e))
		return false
	}
	return w.countUp(v, e, n, from, to)
}

func (w *walker) countUp(v *value, e *entry, n *yaml.Node, from, to int) bool {
	if from < 3 || to > 1000 || from > to {
		w.fault(n, fmt.Sprintf("%s runs from %d to %d, and 3 to 1000 rising was expected", e.name, from, to), w.example(e))
		return false
	}
	for z := from; z <= to; z++ {
		v.numbers = append(v.numbers, float64(z))
	}
	return true
}

// renames reads heading: heading.
func (w *walker) renames(v *value) bool {
	n := v.node
	if n.Kind != yaml.MappingNode {
		w.fault(n, "columns is "+shape(n)+", and headings were expected", "columns: { Stall Torque: stall_torque }")
		return false
	}
	v.pairs = map[string]string{}
	seen := map[string]*yaml.Node{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, val := n.Content[i], n.Content[i+1]
		if w.refused(key) || w.refused(val) {
			continue
		}
		if key.Kind != yaml.ScalarNode || val.Kind != yaml.ScalarNode || key.Value == "" || val.Value == "" {
			w.fault(key, "a renamed column is one heading and one name", "columns: { Stall Torque: stall_torque }")
			continue
		}
		if before := seen[key.Value]; before != nil {
			w.fault(key, fmt.Sprintf("%s is given twice, first on line %d column %d", quote(key.Value), before.Line, before.Column), "keep one of the two")
			continue
		}
		seen[key.Value] = key
		v.pairs[key.Value] = val.Value
	}
	return true
}
