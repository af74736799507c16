package loadcases

import (
	"fmt"
	"strings"

	"example.org/dray/quantity"
	"go.yaml.in/yaml/v4"
)

// walker checks a document against the table and collects every fault.
type walker struct {
	file       string
	lines      []string
	faults     Faults
	kind       string // of the mechanism, once known
	turning    bool   // motion is an angle
	tolerances []Tolerance
	notes      []Warning // readings worth telling
}

// section is one mapping of the file with its values checked.
type section struct {
	path   string
	at     *yaml.Node // where a fault about the whole section points
	values map[string]*value
	failed map[string]bool // keys given and refused, so that they are not missed too
}

// value is one key's value as the table asks for it.
type value struct {
	node    *yaml.Node
	key     *yaml.Node
	number  float64   // quantity in SI, whole number, yes = 1
	text    string    // text, choice; a quantity as written
	list    []string  // names, paths
	numbers []float64 // ratios, teeth
	gauge   quantity.Gauge
	pairs   map[string]string
	section *section
	items   []*section
}

func (s *section) has(name string) bool { return s != nil && s.values[name] != nil }

// lacks reports whether none of the keys is given, not even wrongly.
func (s *section) lacks(names ...string) bool {
	if s != nil && s.failed["itself"] {
		return false
	}
	for _, name := range names {
		if s.has(name) || s != nil && s.failed[name] {
			return false
		}
	}
	return true
}

func (s *section) num(name string) float64 {
	if !s.has(name) {
		return 0
	}
	return s.values[name].number
}

// numOr is the number, or a fallback where the key is left out.
func (s *section) numOr(name string, fallback float64) float64 {
	if !s.has(name) {
		return fallback
	}
	return s.values[name].number
}

func (s *section) text(name string) string {
	if !s.has(name) {
		return ""
	}
	return s.values[name].text
}

func (s *section) list(name string) []string {
	if !s.has(name) {
		return nil
	}
	return s.values[name].list
}

func (s *section) sub(name string) *section {
	if !s.has(name) {
		return nil
	}
	return s.values[name].section
}

// node is where a fault about a key points: its value, or the section.
func (s *section) node(name string) *yaml.Node {
	if s.has(name) {
		return s.values[name].node
	}
	return s.at
}

// keyNode points at the key itself.
func (s *section) keyNode(name string) *yaml.Node {
	if s.has(name) {
		return s.values[name].key
	}
	return s.at
}

// fault records what is wrong at a node.
func (w *walker) fault(at *yaml.Node, message, hint string) {
	line, column := 1, 1
	if at != nil {
		line, column = max(1, at.Line), max(1, at.Column)
	}
	w.faultAt(line, column, message, hint)
}

func (w *walker) faultAt(line, column int, message, hint string) {
	source := ""
	if line >= 1 && line <= len(w.lines) {
		source = w.lines[line-1]
	}
	w.faults.add(Fault{File: w.file, Line: line, Column: column, Message: message, Source: source, Hint: hint})
}

// refused reports, with a fault, a node no case file may hold.
func (w *walker) refused(n *yaml.Node) bool {
	switch {
	case n.Kind == yaml.AliasNode:
		w.fault(n, "aliases are not read in a case file", "write the value out")
	case n.Anchor != "":
		w.fault(n, "anchors are not read in a case file", "write the value without &"+quoteless(n.Anchor))
	case n.Style&yaml.TaggedStyle != 0:
		w.fault(n, "tags are not read in a case file", "write the value without "+quoteless(n.Tag))
	default:
		return false
	}
	return true
}

func quoteless(text string) string { return strings.Trim(quote(text), "“”") }

// section reads a mapping under its entries.
func (w *walker) section(n, at *yaml.Node, entries []entry, path string) *section {
	s := &section{path: path, at: at, values: map[string]*value{}, failed: map[string]bool{}}
	if w.refused(n) {
		s.failed["itself"] = true
		return s
	}
	if n.Kind == yaml.ScalarNode && n.Tag == "!!null" {
		w.missing(s, entries)
		return s
	}
	if n.Kind != yaml.MappingNode {
		w.fault(n, fmt.Sprintf("%s is %s, and keys with values were expected", place(path), shape(n)), "one of "+strings.Join(names(entries), ", "))
		s.failed["itself"] = true
		return s
	}
	first := map[string]*yaml.Node{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, val := n.Content[i], n.Content[i+1]
		if w.refused(key) {
			continue
		}
		if key.Kind != yaml.ScalarNode {
			w.fault(key, "a key must be a word", "one of "+strings.Join(names(entries), ", "))
			continue
		}
		if before := first[key.Value]; before != nil {
			w.fault(key, fmt.Sprintf("%s is given twice, first on line %d column %d", quote(key.Value), before.Line, before.Column), "keep one of the two")
			continue
		}
		first[key.Value] = key
		e := find(entries, key.Value)
		if e == nil {
			s.failed[w.unknownKey(key, entries, path)] = true
			continue
		}
		if e.only != nil && w.kind != "" && !contains(e.only, w.kind) {
			s.failed[e.name] = true
			w.fault(key, fmt.Sprintf("%s means nothing for %s %s", e.name, article(w.kind), w.kind), "it belongs to "+strings.Join(e.only, ", "))
			continue
		}
		if v := w.value(key, val, e, join(path, e.name)); v != nil {
			s.values[e.name] = v
		} else {
			s.failed[e.name] = true
		}
	}
	for i := range entries {
		if entries[i].required && s.lacks(entries[i].name) {
			w.absent(s, &entries[i])
		}
	}
	return s
}

func (w *walker) missing(s *section, entries []entry) {
	for i := range entries {
		if entries[i].required {
			w.absent(s, &entries[i])
		}
	}
}

func (w *walker) absent(s *section, e *entry) {
	w.fault(s.at, fmt.Sprintf("%s is missing in %s", e.name, place(s.path)), w.example(e))
}

// example says what a key holds and how it is written.
func (w *walker) example(e *entry) string {
	hint := e.name + ": " + e.help
	if e.form == formQuantity {
		if units := w.kindOf(e).Units(); len(units) > 0 {
			hint += " (" + strings.Join(units, ", ") + ")"
		}
	}
	return hint
}

// unknownKey reports a key the table does not know and returns the known one
// it was probably meant to be.
func (w *walker) unknownKey(key *yaml.Node, entries []entry, path string) string {
	if w.faults.full() { // counted, not told: no need to search for a name
		w.fault(key, "", "")
		return ""
	}
	near := nearest(key.Value, names(entries))
	hint := "known here: " + strings.Join(names(entries), ", ")
	if near != "" {
		hint = "did you mean " + near + "?"
	} else if elsewhere := homes(tree(), key.Value, ""); len(elsewhere) > 0 {
		hint = "it belongs in " + strings.Join(elsewhere[:min(3, len(elsewhere))], " or ")
	}
	w.fault(key, fmt.Sprintf("%s is not a key of %s", quote(key.Value), place(path)), hint)
	return near
}

// homes finds the sections that know a key.
func homes(entries []entry, name, path string) []string {
	var found []string
	for _, e := range entries {
		if e.name == name {
			found = append(found, place(path))
		}
		if e.form == formSection || e.form == formSections {
			found = append(found, homes(e.children, name, join(path, e.name))...)
		}
	}
	return found
}

// value reads one value in the entry's form; nil after a fault.
func (w *walker) value(key, n *yaml.Node, e *entry, path string) *value {
	v := &value{node: n, key: key}
	switch e.form {
	case formSection:
		v.section = w.section(n, key, e.children, path)
		return v
	case formSections:
		return w.sections(v, e, path)
	}
	if w.refused(n) {
		return nil
	}
	if n.Kind == yaml.ScalarNode && n.Tag == "!!null" && n.Value == "" {
		n.Line, n.Column = key.Line, key.Column
		w.fault(n, "no value is given for "+e.name, w.example(e))
		return nil
	}
	var ok bool
	switch e.form {
	case formNames, formPaths:
		ok = w.nameList(v, e)
	case formRatios:
		ok = w.ratios(v, e, path)
	case formTeeth:
		ok = w.teeth(v, e)
	case formRenames:
		ok = w.renames(v)
	default:
		ok = w.scalar(v, e, path)
	}
	if !ok {
		return nil
	}
	return v
}

func find(entries []entry, name string) *entry {
	for i := range entries {
		if entries[i].name == name {
			return &entries[i]
		}
	}
	return nil
}

func names(entries []entry) []string {
	list := make([]string, len(entries))
	for i := range entries {
		list[i] = entries[i].name
	}
	return list
}

func contains(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func place(path string) string {
	if path == "" {
		return "the case file"
	}
	return path
}

func article(kind string) string {
	switch kind {
	case kindArm:
		return "an"
	case kindWheels:
		return "a machine on"
	}
	return "a"
}

// shape says what a node is in plain words.
func shape(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "a set of keys"
	case yaml.SequenceNode:
		return "a list"
	case yaml.ScalarNode:
		if n.Value == "" {
			return "empty"
		}
		return quote(n.Value)
	default:
		return "not a value"
	}
}
