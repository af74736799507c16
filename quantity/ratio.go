package quantity

// ratio reads 23.8:1, 1:120, 259/26, (25/12)x(34/9), 18.75; 1:n is the
// reduction n, with a note.
func (c *cell) ratio() (number, error) {
	start := c.pos
	n, err := c.factor(start)
	if err != nil {
		return n, err
	}
	for c.times() {
		f, err := c.factor(c.pos)
		if err != nil {
			return n, err
		}
		n = number{value: n.value * f.value}
	}
	if !c.toOne(n) {
		return n, nil
	}
	second, err := c.factor(c.pos)
	if err != nil {
		return n, err
	}
	if second.value <= 0 || n.value <= 0 {
		return n, c.fail(start, "both sides of a ratio are above zero", c.accepted())
	}
	if n.value == 1 && second.value > 1 {
		return number{value: second.value, note: c.original(start, c.pos) + " read as a reduction of " + Significant(second.value, 6)}, nil
	}
	return number{value: n.value / second.value}, nil
}

// toOne steps over the mark between the sides of a ratio.
func (c *cell) toOne(n number) bool {
	mark := c.pos
	c.spaces()
	if c.at(':') {
		c.pos++
		c.spaces()
		return true
	}
	if lower(c.peek(0)) == 't' && lower(c.peek(1)) == 'o' && isSpace(c.peek(2)) {
		c.pos += 2
		c.spaces()
		if n.value == 1 || c.at('1') && !isDigit(c.peek(1)) && c.peek(1) != '.' {
			return true
		}
	}
	c.pos = mark
	return false
}

// factor reads one factor of a ratio, bracketed or not.
func (c *cell) factor(start int) (number, error) {
	c.spaces()
	open := c.at('(') || c.at('[')
	if open {
		c.pos++
	}
	n, ok, err := c.value()
	if err != nil {
		return n, err
	}
	if !ok {
		return n, c.fail(start, "no number stands where a ratio should", c.accepted())
	}
	if open {
		c.spaces()
		if !c.at(')') && !c.at(']') {
			return n, c.fail(c.pos, "a bracket is not closed", "")
		}
		c.pos++
	}
	return n, nil
}

// times steps over a multiplication sign with a factor behind it.
func (c *cell) times() bool {
	mark := c.pos
	c.spaces()
	if c.at('*') || lower(c.peek(0)) == 'x' {
		c.pos++
		c.spaces()
		if c.at('(') || c.at('[') || isDigit(c.peek(0)) {
			return true
		}
	}
	c.pos = mark
	return false
}
