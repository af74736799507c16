package quantity

import "strings"

// ParseGauge reads a wire size: "14 AWG", "AWG 14", "#14", "2/0 AWG", or a
// nominal section "2.5 mm²". Gauges run from 4/0 to 40 (ASTM B258); sections
// from 0.01 to 1000 mm². The error is a *ParseError of KindArea.
func ParseGauge(text string) (Gauge, error) {
	c := cell{kind: KindArea, text: text}
	hint := "write 14 AWG, 2/0 AWG or 2.5 mm²"
	if len(text) > maxText {
		return Gauge{}, c.fail(0, "the text is too long for a wire size", hint)
	}
	if IsUnknown(text) {
		return Gauge{}, c.fail(0, "no value is given", hint)
	}
	var buf [2 * maxText]byte
	c.b = normalise(buf[:0], text)
	named := c.awgWord()
	n, ok, err := c.number()
	if err != nil {
		return Gauge{}, err
	}
	if !ok {
		return Gauge{}, c.fail(c.pos, "no wire size is given", hint)
	}
	zeros := c.at('/') && c.peek(1) == '0' && !isDigit(c.peek(2))
	if zeros {
		c.pos += 2
	}
	named = c.awgWord() || named
	if !named && !zeros {
		return c.section(text, hint)
	}
	c.spaces()
	if !c.done() || !n.integer {
		return Gauge{}, c.fail(c.pos, "a wire gauge is a whole number", hint)
	}
	if zeros {
		n.value = 1 - n.value
	}
	if n.value < -3 || n.value > 40 || zeros && n.value > 0 {
		return Gauge{}, c.fail(0, "wire gauges run from 4/0 to 40", hint)
	}
	return Gauge{AWG: n.value + 0}, nil
}

// section reads a cross-section in an area unit.
func (c *cell) section(text, hint string) (Gauge, error) {
	r, err := Parse(KindArea, text)
	if err != nil {
		return Gauge{}, c.fail(0, "the wire size has neither AWG nor mm²", hint)
	}
	if mm := r.Value * 1e6; mm < 0.01 || mm > 1000 {
		return Gauge{}, c.fail(0, "wire sections run from 0.01 to 1000 mm²", hint)
	}
	return Gauge{Section: Area(r.Value)}, nil
}

// awgWord steps over AWG, ga., gauge or #.
func (c *cell) awgWord() bool {
	c.spaces()
	if c.at('#') {
		c.pos++
		c.spaces()
		return true
	}
	w, end := c.word()
	switch strings.TrimSpace(w) {
	case "awg", "ga", "gauge":
		c.pos = end
		c.spaces()
		if c.at('-') || c.at('#') {
			c.pos++
		}
		return true
	default:
		return false
	}
}

// String writes the size the way it is sold: "14 AWG", "2/0 AWG", "2.5 mm²".
func (g Gauge) String() string {
	switch {
	case g.Section > 0:
		return Significant(float64(g.Section)*1e6, 4) + " mm²"
	case g.AWG <= 0:
		return Significant(1-g.AWG, 2) + "/0 AWG"
	default:
		return Significant(g.AWG, 4) + " AWG"
	}
}
