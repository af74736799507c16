package catalog

import (
	"fmt"
	"slices"
	"strings"

	"example.org/dray/quantity"
)

// reader holds one file while its rows are read.
type reader struct {
	name     string
	data     []byte
	table    *table
	renamed  map[string]string // folded heading → our heading
	dialect  dialect
	heads    []heading
	headLine int
	at       map[string]int // our column name → index of the cell
	rows     []row
	bare     map[string]bool // columns whose default unit was already reported
	found    []Finding
	dropped  int // findings beyond those kept
	id       string
}

// heading is one cell of the header as understood.
type heading struct {
	column *column // nil: ignored, or faulty
	unit   string  // as written in the header; empty when none
	text   string
	cell   cell
}

// open reads the header and cuts the rows; ok is false when the file cannot
// be read further.
func open(csv CSV, t *table, columns map[string]string) (r *reader, ok bool) {
	r = &reader{name: csv.Name, data: csv.Data, table: t, renamed: renames(columns), bare: map[string]bool{}, at: map[string]int{}}
	if offset, what, want := unreadable(csv.Data); what != "" {
		r.add(Fault, offset, 1+countBreaks(csv.Data[:offset]), "", "", sentence(what, "", want))
		return r, false
	}
	r.dialect = opening(csv.Data)
	chooseSeparator(csv.Data, &r.dialect, r.knows)
	s := splitter{data: csv.Data, separator: r.dialect.separator, pos: r.dialect.start, line: r.dialect.line}
	header, ok := s.next()
	if !ok {
		r.addWhole(Fault, "the file holds no rows; want a header such as "+strings.Join(t.needed, ", "))
		return r, false
	}
	if ok = r.header(header); len(r.heads) > 0 {
		r.cut(&s, header)
	}
	for _, c := range s.complaints {
		r.add(Fault, c.offset, c.line, "", "", sentence(c.what, "", c.want))
	}
	if !ok || len(s.complaints) > 0 {
		return r, false
	}
	r.decimal()
	return r, true
}

// cut reads the remaining rows, leaves out repeated headers and complains of
// cells under no heading.
func (r *reader) cut(s *splitter, header row) {
	for line, ok := s.next(); ok; line, ok = s.next() {
		if sameCells(line.cells, header.cells) {
			r.add(Note, line.cells[0].offset, line.line, "", "", "the header is repeated and skipped")
			continue
		}
		for i := len(r.heads); i < len(line.cells); i++ {
			if c := line.cells[i]; c.text != "" {
				r.add(Fault, c.offset, line.line, "", "", sentence(fmt.Sprintf("a cell stands behind the last of %d columns", len(r.heads)),
					c.text, "quotes around a cell that holds the separator"))
				break
			}
		}
		for i, h := range r.heads {
			if h.text == "" && i < len(line.cells) && line.cells[i].text != "" {
				r.add(Fault, line.cells[i].offset, line.line, "", "", sentence("a cell stands under no heading", line.cells[i].text, "a name in the header"))
			}
		}
		r.rows = append(r.rows, line)
	}
}

func sameCells(a, b []cell) bool {
	return slices.EqualFunc(a, b, func(x, y cell) bool { return x.text == y.text })
}

// decimal settles the decimal mark from all number cells of the file, and
// refuses a lone 1.234 or 1,234 where no other cell tells what it means.
func (r *reader) decimal() {
	if r.dialect.separator == ',' {
		return
	}
	points, commas := 0, 0
	var open []cell
	var lines []int
	for _, line := range r.rows {
		for i, c := range line.cells {
			if i >= len(r.heads) || r.heads[i].column == nil || r.heads[i].column.form == words {
				continue
			}
			switch cellVote(c.text) {
			case forPoint:
				points++
			case forComma:
				commas++
			case ambiguous:
				open, lines = append(open, c), append(lines, line.line)
			}
		}
	}
	if commas > points {
		r.dialect.decimal = quantity.DecimalComma
	}
	if commas > 0 || points > 0 {
		return // a cell against the majority is refused where it is read
	}
	for i, c := range open {
		r.add(Fault, c.offset, lines[i], "", c.text, sentence("the mark may part thousands or decimals, and no other cell of the file tells",
			c.text, "the number without the mark, or with one digit more or fewer behind it"))
	}
}

// renames folds the user's headings, so that case and spaces do not matter.
func renames(columns map[string]string) map[string]string {
	folded := make(map[string]string, len(columns))
	for theirs, ours := range columns {
		folded[foldHeading(theirs)] = ours
	}
	return folded
}

func countBreaks(data []byte) int {
	n := 0
	for i, b := range data {
		if b == '\n' || b == '\r' && (i+1 == len(data) || data[i+1] != '\n') {
			n++
		}
	}
	return n
}

// add keeps a finding about a byte of the file.
func (r *reader) add(level Level, offset, line int, field, read, text string) {
	if len(r.found) >= keptFindings {
		r.dropped++
		if level == Fault && !r.faulty() { // never lose the fault that stops the run
			r.found[len(r.found)-1] = Finding{File: r.name, Line: line, Severity: Fault, Text: text}
		}
		return
	}
	f := Finding{File: r.name, Line: line, Severity: level, ID: r.id, Field: field, Read: read, Text: text}
	f.Column, f.Source = lineAround(r.data, offset)
	r.found = append(r.found, f)
}

func (r *reader) addWhole(level Level, text string) {
	r.found = append(r.found, Finding{File: r.name, Severity: level, Text: text})
}

// faulty reports whether a fault was found so far.
func (r *reader) faulty() bool {
	return slices.ContainsFunc(r.found, func(f Finding) bool { return f.Severity == Fault })
}

// unitsOf names units that fit a column, for messages.
func unitsOf(c *column) string {
	units := c.kind.Units()
	switch {
	case len(units) == 0:
		return "a plain number"
	case c.unit == "":
		return article(c.kind.String()) + " such as " + strings.Join(units, " or ")
	}
	return article(c.kind.String()) + " in " + strings.Join(units, ", ")
}

// lookup finds a unit that a header names.
func lookup(kind quantity.Kind, unit string) (note string, ok bool) {
	_, _, _, note, ok = quantity.LookupUnit(kind, unit)
	return note, ok
}
