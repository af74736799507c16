package quantity

// unitHere takes the longest unit of the kind that begins at the place and
// ends at a word's end; nil when there is none.
func (c *cell) unitHere() (*unit, string, error) {
	mark := c.pos
	c.spaces()
	if c.at('[') {
		c.pos++
		c.spaces()
	}
	start := c.pos
	run := c.b[start : start+c.unitRun(start)]
	for end := len(run); end > 0; end = previousEnd(run, end) {
		piece := run[:end]
		if end < len(run) && !unitMayEnd(run, end) {
			continue
		}
		u, note := findUnit(c.kind, piece)
		if u == nil {
			continue
		}
		if megaForMilli(u, piece) {
			read := c.original(start, start+end)
			return nil, "", c.fail(start, "the M of "+read+" means mega", "write "+u.canonical+" if milli is meant")
		}
		c.pos = start + end
		if c.at('.') && !isDigit(c.peek(1)) && c.peek(1) != '.' {
			c.pos++
		}
		if c.at(']') {
			c.pos++
		}
		if note != "" {
			note = c.original(start, start+end) + " read as the product " + u.canonical
		}
		return u, note, nil
	}
	c.pos = mark
	return nil, "", nil
}

// previousEnd gives the end of the word before the last one in run[:end].
func previousEnd(run []byte, end int) int {
	i := end - 1
	for i > 0 && !isSeparator(run[i]) {
		i--
	}
	for i > 0 && isSeparator(run[i-1]) {
		i--
	}
	return i
}

// unitMayEnd: a shorter unit inside a longer run counts only before a space or
// a slash with spaces around it, so "lb-in" is never a mass of 1 lb.
func unitMayEnd(run []byte, end int) bool {
	if run[end] == '.' && end+1 < len(run) {
		return isSpace(run[end+1])
	}
	return isSpace(run[end]) || run[end] == '*' && end+1 == len(run)
}

func isSeparator(b byte) bool {
	switch b {
	case ' ', chWide, '-', '*', '.', '/', '^':
		return true
	default:
		return false
	}
}

func isUnitChar(b byte) bool {
	switch b {
	case chDegree, chSquare, chCube, chMille, chDelta, '%', '"', '\'', '#':
		return true
	default:
		return isLetter(b)
	}
}

// unitRun gives the length of the stretch at start that may hold a unit,
// without separators at its end.
func (c *cell) unitRun(start int) int {
	b := c.b[start:min(len(c.b), start+maxUnit)]
	i, last, open := 0, 0, false
	if len(b) > 2 && b[0] == '1' && b[1] == '/' && isLetter(b[2]) { // 1/min
		i = 1
	}
scan:
	for ; i < len(b); i++ {
		switch ch := b[i]; {
		case isUnitChar(ch):
			last = i + 1
		case isSeparator(ch):
		case isDigit(ch):
			if i == 0 || !powerAt(b, i) {
				break scan
			}
			last = i + 1
		case ch == '(' && i > 0 && b[i-1] == '/':
			open = true
		case ch == ')' && open:
			open, last = false, i+1
		default:
			break scan
		}
	}
	return last
}

// powerAt reports whether the digit at i is an exponent: m2, m^2, min-1.
func powerAt(b []byte, i int) bool {
	if i+1 < len(b) && (isDigit(b[i+1]) || b[i+1] == '.' || b[i+1] == ',' || isLetter(b[i+1])) {
		return false
	}
	switch prev := b[i-1]; {
	case prev == '^' || isLetter(prev):
		return b[i] == '2' || b[i] == '3'
	case prev == '-' && i > 1:
		return b[i] == '1' && (isLetter(b[i-2]) || b[i-2] == '^')
	default:
		return false
	}
}

// foreign gives the run of unit characters at the place as the user wrote it.
func (c *cell) foreign(start int) string {
	n := c.unitRun(start)
	if n == 0 {
		return ""
	}
	return c.original(start, start+n)
}

// wrongUnit says what kind the unit found belongs to.
func (c *cell) wrongUnit(at int, word string) error {
	c.pos = at
	c.spaces()
	if c.at('[') {
		c.pos++
	}
	start := c.pos
	run := c.b[start : start+c.unitRun(start)]
	for end := len(run); end > 0; end = previousEnd(run, end) {
		if k, ok := kindOfUnit(run[:end]); ok {
			return c.fail(start, c.wrongKind(k, c.original(start, start+end)), c.accepted())
		}
	}
	if c.kind == KindTemperatureRise {
		return c.fail(start, word+" is a temperature, not a difference of two", c.accepted())
	}
	return c.fail(start, "“"+word+"” is not a unit of "+c.kind.String(), c.accepted())
}

func (c *cell) wrongKind(k Kind, unit string) string {
	switch {
	case c.kind == KindTorque && (k == KindMass || k == KindForce):
		return unit + " alone has no length, and a torque is a force times a length"
	case c.kind == KindCharge && k == KindCurrent:
		return unit + " is a current, and a charge is a current times hours"
	case c.kind == KindForce && k == KindMass:
		return unit + " is a mass"
	case c.kind == KindTemperatureRise && k == KindTemperature:
		return unit + " is a temperature, not a difference of two"
	default:
		return unit + " is a unit of " + k.String()
	}
}
