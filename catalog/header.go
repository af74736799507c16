package catalog

import (
	"fmt"
	"strings"
)

// foldHeading makes headings comparable: lower case, one underscore for any
// run of spaces and dashes.
func foldHeading(text string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ToLower(trimSpace(text)) {
		if isSpace(r) || r == '-' || r == '_' {
			gap = true
			continue
		}
		if gap && b.Len() > 0 {
			b.WriteByte('_')
		}
		gap = false
		b.WriteRune(r)
	}
	return b.String()
}

// partHeading splits `stall torque [kg·cm]` or `stall torque (kg·cm)` into the
// folded name and the unit.
func partHeading(text string) (name, unit string) {
	text = trimSpace(text)
	for _, pair := range []string{"[]", "()"} {
		if open := strings.IndexByte(text, pair[0]); open > 0 && strings.HasSuffix(text, pair[1:]) {
			return foldHeading(text[:open]), trimSpace(text[open+1 : len(text)-1])
		}
	}
	return foldHeading(text), ""
}

// ours translates a heading: its own name, or the one the case renames it to.
// skip is true when the case says to pass the column over.
func (r *reader) ours(text string) (name, unit string, skip bool) {
	name, unit = partHeading(text)
	target, renamed := r.renamed[foldHeading(text)]
	if !renamed {
		target, renamed = r.renamed[name]
	}
	if !renamed {
		return name, unit, false
	}
	if target = trimSpace(target); target == "" || target == "-" {
		return "", "", true
	}
	name, given := partHeading(target)
	if given != "" {
		unit = given
	}
	return name, unit, false
}

// knows reports whether a heading is one of the table's.
func (r *reader) knows(text string) bool {
	name, _, skip := r.ours(text)
	return skip || r.table.column(name) != nil
}

// header understands the header row; false when rows cannot be read under it.
// Under a faulty heading they can: only its own cells are passed over.
func (r *reader) header(header row) bool {
	r.headLine = header.line
	last := len(header.cells)
	for last > 0 && header.cells[last-1].text == "" {
		last-- // trailing empty columns
	}
	if last < 2 {
		r.oneColumn(header)
		return false
	}
	for i, c := range header.cells {
		r.heading(i, c, header.line)
	}
	good := true
	for _, need := range r.table.needed {
		if _, ok := r.at[need]; !ok {
			r.add(Fault, header.cells[0].offset, header.line, need, "", "the column "+need+" is missing; want it in the header of "+r.table.sort)
			good = false
		}
	}
	return good
}

func (r *reader) heading(i int, c cell, line int) {
	h := heading{text: c.text, cell: c}
	name, unit, skip := "", "", true
	if c.text != "" {
		name, unit, skip = r.ours(c.text)
	}
	if skip {
		r.heads = append(r.heads, h)
		return
	}
	h.column, h.unit = r.table.column(name), unit
	if h.column == nil {
		want := "one of the columns of " + r.table.sort + ", or columns: in the case to rename it (to - to pass it over)"
		if near := nearest(name, r.table.names()); near != "" {
			want = near + ", or columns: in the case to rename it (to - to pass it over)"
		}
		r.add(Fault, c.offset, line, name, c.text, sentence("unknown column", c.text, want))
	} else if _, twice := r.at[name]; twice {
		h.column = nil
		column := r.columnOf(name)
		r.add(Fault, c.offset, line, name, c.text, sentence(fmt.Sprintf("the column %s is repeated, first at column %d", name, column), c.text, "each column once"))
	} else {
		r.at[name] = i
		if !r.headingUnit(&h, line) {
			h.unit, r.heads = "", append(r.heads, h)
			r.passOver(name)
			return
		}
	}
	r.heads = append(r.heads, h)
}

// columnOf is the 1-based character column of a heading already read.
func (r *reader) columnOf(name string) int {
	for _, h := range r.heads {
		if h.column != nil && h.column.name == name {
			column, _ := lineAround(r.data, h.cell.offset)
			return column
		}
	}
	return 0
}

// passOver leaves the cells of a column unread; it still counts as present.
func (r *reader) passOver(name string) { r.at[name] = passedOver }

// passedOver is beyond any cell of a row.
const passedOver = maxColumns + 1

// headingUnit checks that the unit in a heading fits its column.
func (r *reader) headingUnit(h *heading, line int) bool {
	if h.unit == "" {
		return true
	}
	if h.column.name == "magnet" && strings.HasPrefix(h.unit, "%") {
		h.unit = "%"
		return true
	}
	if h.unit == "-" || h.unit == "1" || h.column.form == words || h.column.form == counts || h.column.name == "magnet" || h.column.name == "cells" || h.column.name == "price" {
		h.unit = "" // [currency], [-], [#]: nothing to convert
		return true
	}
	note, ok := lookup(h.column.kind, h.unit)
	if !ok {
		r.add(Fault, h.cell.offset, line, h.column.name, h.text, sentence(h.unit+" is no unit of "+h.column.kind.String(), h.text, unitsOf(h.column)))
		return false
	}
	if note != "" {
		r.add(Note, h.cell.offset, line, h.column.name, h.text, h.column.name+": "+note)
	}
	return true
}

// oneColumn says what a header that is one column probably means.
func (r *reader) oneColumn(header row) {
	c := header.cells[0]
	hint := "columns parted by comma, semicolon or tab"
	what := "the header is one column"
	for _, guess := range []struct{ mark, word string }{{";", "semicolon"}, {"\t", "tab"}, {",", "comma"}, {"|", "bar"}} {
		if strings.Contains(c.text, guess.mark) {
			what += ": is this " + guess.word + "-separated?"
			if r.dialect.named {
				hint = "a sep= line that names the separator of the file"
			}
			break
		}
	}
	r.add(Fault, c.offset, header.line, "", c.text, sentence(what, c.text, hint))
}
