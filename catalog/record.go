package catalog

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.org/dray/quantity"
)

// entry is one value of a cell as understood, in SI.
type entry struct {
	value     float64
	known     bool
	note      string
	ranged    bool
	low, high float64
}

// record is one row while it is read. A motor row that lists several ratios
// is read once; index says which of its ratios is asked for.
type record struct {
	*reader
	row     row
	lists   int // how many ratios the row lists; cells may hold as many values
	index   int
	entries map[string][]entry
	bad     bool            // a fault was found in this row
	said    map[string]bool // sentences already said of this row
}

func (r *reader) record(line row) *record {
	r.id = ""
	return &record{reader: r, row: line, lists: 1, entries: make(map[string][]entry, len(r.heads))}
}

// cell returns the cell of a column; blank when the file lacks the column, the
// row is short, or the cell holds a mark of not knowing such as n/a.
func (r *record) cell(name string) (c cell, filled bool) {
	i, ok := r.at[name]
	if !ok || i >= len(r.row.cells) {
		return cell{offset: r.row.offset}, false
	}
	c = r.row.cells[i]
	return c, c.text != "" && (!quantity.IsUnknown(c.text) || strings.EqualFold(c.text, "nan"))
}

// has reports whether the row says anything in a column.
func (r *record) has(name string) bool {
	_, filled := r.cell(name)
	return filled
}

// lineOf is the line a cell starts on, also in a row that spans several.
func (r *record) lineOf(c cell) int {
	return r.row.line + countBreaks(r.data[r.row.offset:max(r.row.offset, c.offset)])
}

func (r *record) say(level Level, field, text string) {
	c, _ := r.cell(field)
	r.once(level, c, 0, field, text)
}

// once keeps a finding unless the row, read for another of its ratios, said so.
func (r *record) once(level Level, c cell, at int, field, text string) {
	r.bad = r.bad || level == Fault
	key := field + text
	if level != Fault {
		key += r.id
	}
	if r.said[key] {
		return
	}
	if r.said == nil {
		r.said = map[string]bool{}
	}
	r.said[key] = true
	r.add(level, c.offset+at, r.lineOf(c), field, c.text, text)
}

// fault is a cell that cannot be read; at is a byte offset within it.
func (r *record) fault(field string, at int, what, want string) {
	c, _ := r.cell(field)
	r.once(Fault, c, min(max(at, 0), len(c.text)), field, sentence(what, c.text, want))
}

// text returns a word cell in lower case; blank when not known.
func (r *record) text(name string) string {
	if c, filled := r.cell(name); filled {
		return strings.ToLower(c.text)
	}
	return ""
}

// get returns the figure of a column, of the ratio at hand.
func get[Q ~float64](r *record, name string) quantity.Figure[Q] {
	e := r.entry(name)
	if !e.known {
		return quantity.Figure[Q]{Note: e.note}
	}
	return quantity.Figure[Q]{Value: Q(e.value), Basis: quantity.Listed, Note: e.note}
}

// entry reads a figure cell once and remembers it.
func (r *record) entry(name string) entry {
	list, done := r.entries[name]
	if !done {
		list = r.readCell(name)
		r.entries[name] = list
	}
	if r.index < len(list) {
		return list[r.index]
	}
	return list[0]
}

// single reports whether a column holds one value for several ratios.
func (r *record) single(name string) bool {
	return r.entry(name).known && len(r.entries[name]) < r.lists
}

func (r *record) readCell(name string) []entry {
	c, filled := r.cell(name)
	if !filled {
		return []entry{{}}
	}
	if r.lists < 2 || !strings.Contains(c.text, ";") {
		return []entry{r.read(name, c.text, 0)}
	}
	parts := strings.Split(c.text, ";")
	if len(parts) != r.lists {
		r.fault(name, 0, fmt.Sprintf("%s lists %d values for %d ratios", name, len(parts), r.lists), "one value, or one for each ratio")
		return []entry{{}}
	}
	list, at := make([]entry, len(parts)), 0
	for i, part := range parts {
		if text := trimSpace(part); text != "" && !quantity.IsUnknown(text) {
			list[i] = r.read(name, text, at+strings.Index(part, text))
		}
		at += len(part) + 1
	}
	return list
}

// read turns the text of a cell, or a part of it that starts at byte `at`,
// into a value, and reports everything odd about it.
func (r *record) read(name, text string, at int) entry {
	column := r.table.column(name)
	if problem, want := oddFigure(column, text); problem != "" {
		r.fault(name, at, name+": "+problem, want)
		return entry{}
	}
	unit := r.unit(name)
	got, err := quantity.ParseWith(column.kind, text, quantity.Options{Decimal: r.dialect.decimal, DefaultUnit: unit})
	if err != nil {
		r.misread(column, at, err)
		return entry{}
	}
	if got.Note != "" {
		r.say(Note, name, fmt.Sprintf("%s: %s; read %s", name, got.Note, quoted(text)))
	}
	return r.judge(column, got, at)
}

// unit is the one a bare number of a column has: its header's, or the default.
func (r *record) unit(name string) string {
	if i, ok := r.at[name]; ok && i < len(r.heads) && r.heads[i].unit != "" {
		return r.heads[i].unit
	}
	return r.table.column(name).unit
}

// oddFigure recognises what no unit table can explain.
func oddFigure(column *column, text string) (problem, want string) {
	switch word := strings.Trim(strings.ToLower(text), "+-"); {
	case word == "nan", word == "inf", word == "infinity", word == "∞":
		return "not a finite number", "a number, or an empty cell when it is not known"
	case column.kind != quantity.KindRatio && column.kind != quantity.KindIncline && looksLikeRatio(text):
		return "that looks like a ratio", article(column.kind.String()) + "; a ratio belongs in the column ratio"
	}
	return "", ""
}

// looksLikeRatio is true for 1:48 and 48:1.
func looksLikeRatio(text string) bool {
	a, b, ok := strings.Cut(text, ":")
	return ok && isNumber(trimSpace(a)) && isNumber(trimSpace(b))
}

func isNumber(s string) bool {
	_, err := strconv.ParseFloat(s, 64)
	return err == nil
}

// misread reports what the parser of quantities could not read.
func (r *record) misread(column *column, at int, err error) {
	what, want := err.Error(), unitsOf(column)
	var parse *quantity.ParseError
	if errors.As(err, &parse) {
		at += byteOffset(parse.Text, parse.Offset)
		what = parse.Reason
		if parse.Hint != "" && !strings.HasPrefix(parse.Hint, "write it as ") {
			want = strings.TrimPrefix(parse.Hint, "write ")
		}
	}
	r.fault(column.name, at, column.name+": "+what, want)
}

func valueAbove(column *column) string {
	if column.zeroOK {
		return "zero or more"
	}
	return "a value above zero"
}

// article puts a or an before a noun.
func article(noun string) string {
	if strings.ContainsRune("aeiou", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}

// byteOffset is where a rune of a text starts.
func byteOffset(text string, runes int) int {
	for i := range text {
		if runes == 0 {
			return i
		}
		runes--
	}
	return len(text)
}

// judge bounds a value by what its column can mean.
func (r *record) judge(column *column, got quantity.Reading, at int) entry {
	name, v := column.name, got.Value
	bare := got.Bare && !r.unitInHead(name)
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		r.fault(name, at, name+": not a finite number", unitsOf(column))
	case v < 0 && column.kind != quantity.KindTemperature:
		r.fault(name, at, name+": a negative "+column.kind.String(), valueAbove(column))
	case v == 0 && !column.zeroOK:
		r.say(Note, name, name+" of 0 is taken as not known")
		return entry{note: "listed as 0, taken as not known"}
	case column.kind == quantity.KindFraction && v > 1:
		r.fault(name, at, name+": more than the whole", "a fraction such as 0.85 or 85 %")
	case column.most > 0 && bare && v > column.most:
		r.fault(name, at, fmt.Sprintf("%s: %.4g %s is no part of a drive", name, v, column.kind.SIUnit()), "a unit, such as "+trimFloat(v)+" "+column.meant)
	default:
		r.reportBare(column, bare)
		e := entry{value: v, known: true}
		if e.ranged, e.low, e.high = got.Bound == "range", got.Low, got.High; e.ranged {
			r.reportRange(column, &e)
		}
		return e
	}
	return entry{}
}

// reportRange tells that a range was read; the ends of a voltage range are
// both used, of others the middle.
func (r *record) reportRange(column *column, e *entry) {
	e.note = "middle of the listed range"
	switch column.name {
	case "voltage_min", "voltage_max":
	case "nominal_voltage":
		r.say(Warning, column.name, "nominal_voltage is a range: at which voltage do the other figures hold? the middle is taken")
	default:
		r.say(Note, column.name, column.name+" is a range: the middle is taken")
	}
}

func (r *record) unitInHead(name string) bool {
	i, ok := r.at[name]
	return ok && i < len(r.heads) && r.heads[i].unit != ""
}

// reportBare notes once per column that its default unit was used.
func (r *record) reportBare(column *column, bare bool) {
	if !bare || column.unit == "" || r.bare[column.name] {
		return
	}
	r.bare[column.name] = true
	r.say(Note, column.name, fmt.Sprintf("%s has no unit in header or cell: taken as %s", column.name, column.unit))
}

// number reads a whole number of at least one.
func (r *record) number(name string) (n int, known bool) {
	c, filled := r.cell(name)
	if !filled {
		return 0, false
	}
	n, err := strconv.Atoi(strings.TrimSuffix(c.text, ".0"))
	if err != nil || n < 0 || n > 1000 {
		r.fault(name, 0, name+": not a whole number", "a whole number such as 2")
		return 0, false
	}
	if n == 0 {
		r.say(Note, name, name+" of 0 is taken as not known")
		return 0, false
	}
	return n, true
}

// identify reads the id and refuses those a shell or a pick could misread.
func (r *record) identify() (id string, ok bool) {
	c, _ := r.cell("id")
	id = c.text
	problem := ""
	switch {
	case id == "":
		problem = "the id is blank"
	case strings.EqualFold(id, "any"):
		problem = "the id is a word of the case file"
	case strings.Trim(id, "0123456789") == "":
		problem = "the id is all digits, which reads as a rank"
	case id[0] == '-':
		problem = "the id starts with a dash, which reads as a flag"
	case utf8.RuneCountInString(id) > 80:
		problem = "the id is longer than 80 characters"
	default:
		for i, b := range id {
			if !safeRune(b) {
				r.fault("id", i, fmt.Sprintf("the id holds %s", quoted(string(b))), "letters, digits, dot, dash and underscore only")
				return "", false
			}
		}
	}
	if problem != "" {
		r.fault("id", 0, problem, "letters, digits, dot, dash and underscore, such as gm-37-50")
		return "", false
	}
	r.id = id
	return id, true
}

func safeRune(r rune) bool {
	return 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || '0' <= r && r <= '9' || r == '.' || r == '-' || r == '_'
}

// trimFloat prints a number compactly, without an exponent.
func trimFloat(v float64) string {
	digits := 5
	if a := math.Abs(v); a >= 1 {
		digits = max(0, 5-int(math.Log10(a)))
	}
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}
