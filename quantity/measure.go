package quantity

import (
	"math"
	"strconv"
)

// measure is the first value of a cell with all that belongs to it.
type measure struct {
	*cell
	first  number
	start  int
	unit   *unit // nil when bare
	unitAt int   // where the unit begins
	single bool  // the value is neither a range nor a sum of two units
}

// si converts a value in the unit; a bare number is already SI. A grade's
// arctangent is the incline.
func (c *cell) si(v float64, u *unit) float64 {
	if u == nil {
		return v
	}
	if c.kind == KindIncline && (u.canonical == "%" || u.canonical == "‰") {
		return math.Atan(scaled(v, u.factor))
	}
	if c.kind == KindAngle || c.kind == KindIncline {
		return v * u.factor // a right angle must not come out beyond one
	}
	return scaled(v, u.factor) + u.offset
}

func (m *measure) specialUnit() string { return "1:n" }

// withUnit reads an optional range or tolerance, the unit, and again a range
// or tolerance: 8-12 V, 12V-24V, 90±10 rpm, 42 kg ± 3 kg.
func (m *measure) withUnit(r *Reading) error {
	c := m.cell
	high, isRange, err := c.rangeEnd()
	if err != nil {
		return err
	}
	half, percent, isTol := number{}, false, false
	if !isRange {
		if half, percent, isTol, err = c.tolerance(); err != nil {
			return err
		}
	}
	if !isRange && !isTol {
		c.slashedValues()
	}
	if err := m.readUnit(r); err != nil {
		return err
	}
	m.single = !isRange
	if isRange {
		return c.setRange(r, c.si(m.first.value, m.unit), c.si(high.value, m.unit), m.start)
	}
	r.Value = c.si(m.first.value, m.unit)
	if isTol {
		m.setTolerance(r, half.value, percent, m.unit)
	}
	return nil
}

// readUnit takes the unit at the place, or the default, or refuses.
func (m *measure) readUnit(r *Reading) error {
	c := m.cell
	c.spaces()
	m.unitAt = c.pos
	u, note, err := c.unitHere()
	if err != nil {
		return err
	}
	if u != nil {
		m.unit, r.Unit = u, u.canonical
		c.say(note)
		return nil
	}
	r.Bare = true
	if c.opts.DefaultUnit != "" {
		return m.defaultUnit()
	}
	if c.kind.bareAllowed() {
		return nil
	}
	at := c.pos
	c.spaces()
	if word := c.foreign(c.pos); word != "" {
		return c.wrongUnit(at, word)
	}
	if c.at(chOther) {
		return c.fail(c.pos, "“"+c.original(c.pos, len(c.b))+"” is not a unit of "+c.kind.String(), c.accepted())
	}
	return c.fail(at, "the number has no unit", c.accepted())
}

// slashedValues steps over further values that share the unit: 12/24 V.
func (c *cell) slashedValues() {
	for {
		mark := c.pos
		c.spaces()
		if !c.at('/') {
			c.pos = mark
			return
		}
		c.pos++
		if _, ok, err := c.number(); !ok || err != nil {
			c.pos = mark
			return
		}
		c.say("several values in the cell, the first is taken")
	}
}

func (m *measure) defaultUnit() error {
	c := m.cell
	var buf [2 * maxText]byte
	d := c.opts.DefaultUnit
	if len(d) > maxUnit {
		return c.fail(c.pos, "the default unit "+d[:maxUnit]+"… is not known", c.accepted())
	}
	b := normalise(buf[:0], d)
	u, note := findUnit(c.kind, b)
	if u == nil || megaForMilli(u, b) {
		return c.fail(c.pos, "the default unit "+d+" is not known", c.accepted())
	}
	m.unit = u
	c.say(note)
	return nil
}

// rangeEnd reads the upper end of a range when a range mark stands here.
func (c *cell) rangeEnd() (number, bool, error) {
	mark := c.pos
	c.spaces()
	switch {
	case c.at('-'), c.at('~'):
		c.pos++
	case c.at('.') && c.peek(1) == '.':
		for c.at('.') {
			c.pos++
		}
	case lower(c.peek(0)) == 't' && lower(c.peek(1)) == 'o' && (isSpace(c.peek(2)) || isDigit(c.peek(2))):
		c.pos += 2
	default:
		c.pos = mark
		return number{}, false, nil
	}
	end, ok, err := c.value()
	if err != nil {
		return end, false, err
	}
	if !ok {
		c.pos = mark
		return end, false, nil
	}
	c.say(end.note)
	return end, true, nil
}

func (c *cell) setRange(r *Reading, low, high float64, start int) error {
	if high < low {
		return c.fail(start, "the range runs from the larger to the smaller value", "")
	}
	r.Bound, r.Low, r.High = "range", low, high
	r.Value = low + (high-low)/2
	return nil
}

// tolerance reads ±, +/-, "+ / –" and the half width behind it; percent tells
// that a percent sign followed.
func (c *cell) tolerance() (half number, percent, ok bool, err error) {
	mark := c.pos
	c.spaces()
	if !c.plusMinus() {
		c.pos = mark
		return number{}, false, false, nil
	}
	at := c.pos
	half, ok, err = c.number()
	if err != nil {
		return half, false, false, err
	}
	if !ok || half.value < 0 {
		return half, false, false, c.fail(at, "no number stands behind the ±", "")
	}
	after := c.pos
	c.spaces()
	if c.at('%') && !c.percentIsUnit() {
		c.pos++
		return half, true, true, nil
	}
	c.pos = after
	return half, false, true, nil
}

// percentIsUnit: in these kinds a % behind a tolerance is the unit of both.
func (c *cell) percentIsUnit() bool {
	return c.kind == KindFraction || c.kind == KindFriction || c.kind == KindIncline
}

func (c *cell) plusMinus() bool {
	if c.at(chPlus) {
		c.pos++
		return true
	}
	if !c.at('+') {
		return false
	}
	mark := c.pos
	c.pos++
	c.spaces()
	if c.at('/') {
		c.pos++
		c.spaces()
	}
	if c.at('-') {
		c.pos++
		return true
	}
	c.pos = mark
	return false
}

// setTolerance stores the half width in SI: a percentage of the value, or a
// difference in the unit u (an offset does not count in a difference).
func (m *measure) setTolerance(r *Reading, half float64, percent bool, u *unit) {
	r.HasPlus = true
	switch {
	case percent:
		r.Plus = math.Abs(r.Value) * half / 100
	case u == nil:
		r.Plus = half
	case m.kind == KindIncline && u.canonical != "deg" && u.canonical != "rad":
		r.Plus = math.Abs(m.si(m.first.value+half, u) - r.Value)
	default:
		r.Plus = scaled(half, u.factor)
	}
}

// scaled is v·factor, rounded to 15 significant digits: the same torque written
// in kg·cm and in oz·in is then the same float64, and 95 % is 0.95, whichever
// factor it came through.
func scaled(v, factor float64) float64 {
	if factor == 1 || v == 0 {
		return v * factor
	}
	var buf [32]byte
	digits := strconv.AppendFloat(buf[:0], v*factor, 'e', 14, 64)
	rounded, err := strconv.ParseFloat(string(digits), 64)
	if err != nil { // out of range: the caller's own test refuses it
		return v * factor
	}
	return rounded
}
