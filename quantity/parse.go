package quantity

import (
	"math"
	"strings"
)

// Decimal is a file's decimal mark. The zero value is the point.
type Decimal uint8

// The two decimal marks.
const (
	DecimalPoint Decimal = iota // 1,234.5
	DecimalComma                // 1.234,5
)

// Options tell ParseWith what the cell itself cannot.
type Options struct {
	Decimal     Decimal // decimal mark of the whole file; zero is the point
	DefaultUnit string  // applied to a bare number; "" refuses a bare number
}

// Reading is what a cell says.
type Reading struct {
	Value float64 // SI (°C for temperature); the midpoint of a range
	Unit  string  // canonical spelling of the unit read, "" when bare
	Bare  bool    // no unit stood there
	Note  string  // what a reader should be told, such as "kg/cm read as the product kg·cm"; "" none
	Bound string  // "", "about", "at most", "at least", "range"

	Low, High float64 // SI, when Bound is "range"

	Plus    float64 // SI half width of a stated tolerance
	HasPlus bool

	Also string // a second unit in the cell as written, checked against the first
}

// ParseError says why a text is not a quantity of the kind.
type ParseError struct {
	Kind   Kind
	Text   string // the whole text read
	Offset int    // runes before the offending part
	Reason string
	Hint   string // what would be right; may be empty
}

// Error gives the text, the reason and the way out in one line.
func (e *ParseError) Error() string {
	text := e.Text
	if runes := []rune(text); len(runes) > 60 {
		text = string(runes[:60]) + "…"
	}
	msg := "“" + text + "” is no " + e.Kind.String() + ": " + e.Reason
	if e.Hint != "" {
		msg += "; " + e.Hint
	}
	return msg
}

// Parse reads one quantity of the kind, decimal point, unit required where the
// kind has one. The error is a *ParseError.
func Parse(k Kind, text string) (Reading, error) {
	return ParseWith(k, text, Options{})
}

// ParseWith reads one quantity of the kind under the options. The value is
// finite or the error, a *ParseError, is not nil. Texts over 400 bytes are refused.
func ParseWith(k Kind, text string, o Options) (Reading, error) {
	c := cell{kind: k, opts: o, text: text}
	if k >= kindCount {
		return Reading{}, c.fail(0, "no such kind", "")
	}
	if len(text) > maxText {
		return Reading{}, c.fail(0, "the text is too long for one quantity", c.accepted())
	}
	if IsUnknown(text) {
		return Reading{}, c.fail(0, "no value is given", c.accepted())
	}
	var buf [2 * maxText]byte
	c.b = normalise(buf[:0], text)
	c.spaces()
	r, err := c.read()
	if err != nil {
		return Reading{}, err
	}
	return r, nil
}

// IsUnknown reports whether a cell says that nothing is known: empty, a dash,
// a question mark, a lone footnote mark, n/a.
func IsUnknown(text string) bool {
	t := strings.TrimSpace(text)
	switch t {
	case "", "-", "--", "---", "–", "—", "−", "?", "??", "*", ".", "/", "…":
		return true
	}
	if len(t) > 14 || t[0] >= '0' && t[0] <= '9' {
		return false
	}
	switch strings.ToLower(t) {
	case "n/a", "na", "n.a.", "n.a", "nan", "unknown", "none", "null", "nil", "tbd", "tba", "not available", "not given", "not stated", "(n/a)", "#n/a":
		return true
	default:
		return false
	}
}

// cell is a text being read.
type cell struct {
	kind Kind
	opts Options
	text string
	b    []byte // normalised
	pos  int
	note string
}

func (c *cell) peek(n int) byte {
	if c.pos+n < len(c.b) {
		return c.b[c.pos+n]
	}
	return 0
}

func (c *cell) at(b byte) bool { return c.pos < len(c.b) && c.b[c.pos] == b }

func (c *cell) done() bool { return c.pos >= len(c.b) }

func (c *cell) spaces() {
	for c.pos < len(c.b) && isSpace(c.b[c.pos]) {
		c.pos++
	}
}

// say adds a note once.
func (c *cell) say(note string) {
	switch {
	case note == "" || strings.Contains(c.note, note):
	case c.note == "":
		c.note = note
	default:
		c.note += "; " + note
	}
}

func (c *cell) fail(pos int, reason, hint string) error {
	return &ParseError{Kind: c.kind, Text: c.text, Offset: runeOffset(c.text, pos), Reason: reason, Hint: hint}
}

func (c *cell) accepted() string {
	units := c.kind.Units()
	if len(units) == 0 {
		return ""
	}
	return "write it as " + strings.Join(units, ", ")
}

// original gives what the user wrote between two normalised places.
func (c *cell) original(from, to int) string {
	runes := []rune(c.text)
	a, b := runeOffset(c.text, from), runeOffset(c.text, to)
	return strings.TrimSpace(string(runes[a:max(a, min(b, len(runes)))]))
}

// read is the grammar of a cell: bounds, value, range or tolerance, unit, the rest.
func (c *cell) read() (Reading, error) {
	var r Reading
	c.leading(&r)
	if c.kind == KindMoney {
		c.currency()
	}
	start := c.pos
	n, special, err := c.first()
	if err != nil {
		return r, err
	}
	c.say(n.note)
	m := measure{cell: c, first: n, start: start}
	if special {
		r.Value, r.Unit = n.value, m.specialUnit()
	} else if err := m.withUnit(&r); err != nil {
		return r, err
	}
	if err := c.tail(&r, &m); err != nil {
		return r, err
	}
	return r, c.finish(&r, start)
}

// first reads the first value; special is true for the forms that carry their
// unit in the form itself: ratios and inclines written a:b.
func (c *cell) first() (n number, special bool, err error) {
	start := c.pos
	if c.kind == KindRatio {
		n, err = c.ratio()
		return n, false, err
	}
	n, ok, err := c.value()
	if err != nil {
		return n, false, err
	}
	if !ok {
		reason := "no number stands at the start"
		if !c.done() {
			reason = "“" + c.original(c.pos, len(c.b)) + "” does not start with a number"
		}
		return n, false, c.fail(start, reason, c.accepted())
	}
	if c.kind == KindIncline {
		return c.incline(n)
	}
	return n, false, nil
}

// incline reads 1:20 and 1 in 20, a rise over a run.
func (c *cell) incline(n number) (number, bool, error) {
	mark := c.pos
	c.spaces()
	switch {
	case c.at(':'):
		c.pos++
	case lower(c.peek(0)) == 'i' && lower(c.peek(1)) == 'n' && isSpace(c.peek(2)):
		c.pos += 2
	default:
		c.pos = mark
		return n, false, nil
	}
	run, ok, err := c.number()
	if err != nil {
		return n, false, err
	}
	if !ok || run.value <= 0 {
		return n, false, c.fail(mark, "an incline written rise:run needs a run above zero", c.accepted())
	}
	n.value = math.Atan2(n.value, run.value)
	return n, true, nil
}

// finish refuses what no quantity of the kind can be.
func (c *cell) finish(r *Reading, start int) error {
	for _, v := range [...]float64{r.Value, r.Low, r.High, r.Plus} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return c.fail(start, "the number is too large to be a quantity", "")
		}
	}
	if c.kind == KindTemperature && r.Value < absoluteZeroC-1e-9 {
		return c.fail(start, "it lies below absolute zero", "")
	}
	if c.kind == KindRatio && r.Value <= 0 {
		return c.fail(start, "a ratio is above zero", c.accepted())
	}
	for _, v := range [...]*float64{&r.Value, &r.Low, &r.High, &r.Plus} {
		*v += 0 // no negative zero
	}
	r.Note = c.note
	return nil
}
