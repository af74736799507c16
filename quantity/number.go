package quantity

import (
	"math"
	"strconv"
	"strings"
)

// number is one number as written.
type number struct {
	value    float64
	integer  bool // digits only: may be half of a fraction
	fraction bool // written a/b
	note     string
}

// number reads a signed number with its thousands marks at the cell's place.
// ok is false when no number begins there.
func (c *cell) number() (n number, ok bool, err error) {
	start := c.pos
	c.spaces()
	negative := false
	if c.at('-') || c.at('+') {
		negative = c.b[c.pos] == '-'
		c.pos++
	}
	point := c.decimalMark()
	if !isDigit(c.peek(0)) && (c.peek(0) != point || !isDigit(c.peek(1))) {
		c.pos = start
		return number{}, false, nil
	}
	n, err = c.unsigned(point)
	if negative {
		n.value = -n.value
	}
	return n, err == nil, err
}

func (c *cell) decimalMark() byte {
	if c.opts.Decimal == DecimalComma {
		return ','
	}
	return '.'
}

// unsigned reads digits, groups of three, decimals and an exponent.
func (c *cell) unsigned(point byte) (number, error) {
	start := c.pos
	var digits [32]byte
	buf := digits[:0]
	groups, groupMark := 0, byte(0)
	n := number{integer: true}
	for {
		b := c.peek(0)
		if isDigit(b) {
			buf = append(buf, b)
			c.pos++
			continue
		}
		if b == point || !c.groupHere(start, groups, groupMark) {
			break
		}
		groupMark = b
		groups++
		c.pos++
	}
	whole := c.pos
	if c.at(point) && (isDigit(c.peek(1)) || !isLetter(c.peek(1)) && c.peek(1) != point) {
		n.integer = false
		buf = append(buf, '.')
		for c.pos++; isDigit(c.peek(0)); c.pos++ {
			buf = append(buf, c.b[c.pos])
		}
	}
	if err := c.strayMark(start, point); err != nil {
		return n, err
	}
	if groups == 1 && c.pos == whole && (groupMark == ',' || groupMark == '.') {
		read := string(c.b[start:whole])
		n.note = "ambiguous: " + read + " read as " + string(buf) + ", its mark taken for a thousands mark"
	}
	if groupMark == ' ' {
		n.note = "ambiguous: " + string(c.b[start:whole]) + " read as " + string(buf) + ", its space taken for a thousands mark"
	}
	if groups > 0 {
		n.integer = false
	}
	buf = c.exponent(buf, &n)
	v, err := strconv.ParseFloat(string(buf), 64)
	if err != nil || math.IsInf(v, 0) {
		return n, c.fail(start, "the number is too large to be a quantity", "")
	}
	n.value = v
	return n, nil
}

// exponent appends e±dd when it stands at the place.
func (c *cell) exponent(buf []byte, n *number) []byte {
	if lower(c.peek(0)) != 'e' {
		return buf
	}
	p := 1
	if c.peek(p) == '-' || c.peek(p) == '+' {
		p++
	}
	if !isDigit(c.peek(p)) {
		return buf
	}
	n.integer = false
	buf = append(buf, c.b[c.pos:c.pos+p]...)
	for c.pos += p; isDigit(c.peek(0)); c.pos++ {
		buf = append(buf, c.b[c.pos])
	}
	return buf
}

// groupHere reports whether a thousands mark with exactly three digits behind
// it stands at the place: 10,000 · 2'590 · 10 000, or 1.355 under a decimal comma.
func (c *cell) groupHere(start, groups int, mark byte) bool {
	b := c.peek(0)
	switch b {
	case ',', '.':
		if b == c.decimalMark() {
			return false
		}
	case '\'', chWide, ' ':
	default:
		return false
	}
	if groups > 0 && b != mark {
		return false
	}
	first := c.pos - start
	if groups == 0 && (first < 1 || first > 3 || c.b[start] == '0') {
		return false
	}
	if !isDigit(c.peek(1)) || !isDigit(c.peek(2)) || !isDigit(c.peek(3)) || isDigit(c.peek(4)) {
		return false
	}
	if b == ' ' { // "10 000" but not "12 100/3" nor "12 250.5"
		next := c.peek(4)
		return next != '/' && next != '.' && next != ','
	}
	return true
}

// strayMark refuses a second decimal mark, or the other convention's.
func (c *cell) strayMark(start int, point byte) error {
	b := c.peek(0)
	if b != '.' && b != ',' || !isDigit(c.peek(1)) {
		return nil
	}
	if b == point {
		return c.fail(c.pos, "a number has only one decimal mark", "")
	}
	end := c.pos + 1
	for end < len(c.b) && isDigit(c.b[end]) {
		end++
	}
	hint := ""
	if whole := string(c.b[start:c.pos]); !strings.ContainsAny(whole, ".,") {
		hint = "write " + whole + string(point) + string(c.b[c.pos+1:end])
	}
	if b == ',' {
		return c.fail(c.pos, "the decimal mark is a point here, and a comma groups three digits", hint)
	}
	return c.fail(c.pos, "the decimal mark is a comma here, and a point groups three digits", hint)
}

// value reads a number or a fraction of whole numbers (1/4, 259/26, 1 1/2).
func (c *cell) value() (number, bool, error) {
	n, ok, err := c.number()
	if !ok || err != nil || !n.integer {
		return n, ok, err
	}
	if c.peek(0) == ' ' && isDigit(c.peek(1)) { // mixed number
		mark := c.pos
		part, is, err := c.number()
		if err == nil && is && part.integer {
			if frac, is, err := c.over(part); err == nil && is && frac.value < 1 {
				n.value += math.Copysign(frac.value, n.value)
				n.integer, n.fraction = false, true
				return n, true, nil
			}
		}
		c.pos = mark
		return n, true, nil
	}
	if frac, is, err := c.over(n); is || err != nil {
		return frac, true, err
	}
	return n, true, nil
}

// over reads "/b" behind the whole number a. Where a quotient is not a usual
// way of writing the kind, only an inch fraction (odd over a power of two) is
// one: 12/24 V are two values.
func (c *cell) over(a number) (number, bool, error) {
	mark := c.pos
	c.spaces()
	if !c.at('/') || !isDigit(c.peek(1)) && !(isSpace(c.peek(1)) && isDigit(c.peek(2))) {
		c.pos = mark
		return a, false, nil
	}
	c.pos++
	b, ok, err := c.number()
	if err != nil {
		return a, false, err
	}
	free := c.kind == KindRatio || c.kind == KindFraction || c.kind == KindFriction
	if !ok || !b.integer || !free && !inchFraction(a.value, b.value) {
		c.pos = mark
		return a, false, nil
	}
	if b.value == 0 {
		return a, false, c.fail(mark, "a fraction cannot divide by zero", "")
	}
	q := number{value: a.value / b.value, fraction: true}
	if !free && c.kind != KindLength && c.kind != KindPower {
		q.note = "read as the fraction " + Significant(q.value, 3)
	}
	return q, true, nil
}

func inchFraction(a, b float64) bool {
	if b < 2 || b > 64 || math.Mod(a, 2) == 0 {
		return false
	}
	frac, _ := math.Frexp(b)
	return frac == 0.5 && math.Abs(a) < b
}
