package quantity

import (
	"math"
	"strings"
)

// leading reads the bounds that may stand before the value: ~1A, ≤3A, max 5.5.
func (c *cell) leading(r *Reading) {
	for {
		c.spaces()
		switch {
		case c.at('~') || c.at(chNearly):
			c.pos++
			c.bound(r, "about")
		case c.at('<'):
			c.pos++
			c.bound(r, "at most")
		case c.at('>'):
			c.pos++
			c.bound(r, "at least")
		case c.at('=') || c.at(':'):
			c.pos++
		default:
			word, end := c.word()
			meaning, known := boundWord(word)
			if !known {
				return
			}
			c.pos = end
			c.bound(r, meaning)
		}
	}
}

func (c *cell) bound(r *Reading, b string) {
	if r.Bound == "" {
		r.Bound = b
	}
}

// word gives the lower-case word at the place, and where it ends with its dot.
func (c *cell) word() (string, int) {
	end := c.pos
	for end < len(c.b) && isLetter(c.b[end]) {
		end++
	}
	if end == c.pos {
		return "", end
	}
	w := strings.ToLower(string(c.b[c.pos:end]))
	if end < len(c.b) && c.b[end] == '.' {
		end++
	}
	return w, end
}

// boundWord gives the bound a word means; "" for words without meaning here
// that may stand beside a value.
func boundWord(w string) (meaning string, known bool) {
	switch w {
	case "about", "approx", "approximately", "ca", "circa", "around", "typ", "typical", "typically", "nom", "nominal":
		return "about", true
	case "max", "maximum", "upto", "below", "under":
		return "at most", true
	case "min", "minimum", "over", "above":
		return "at least", true
	case "dc", "ac", "vdc", "stall", "peak", "cont", "continuous", "rated", "free", "noload", "no", "load",
		"avg", "average", "mean", "rms", "per", "channel", "motor", "each", "run", "grade", "slope", "recommended",
		"reduction", "usd", "eur", "gbp", "and", "or", "to", "up", "at", "than", "less", "more":
		return "", true
	default:
		return "", false
	}
}

// tail reads what may follow a value and its unit.
func (c *cell) tail(r *Reading, m *measure) error {
	direct := true // nothing but spaces stands between the value and the place
	for {
		c.spaces()
		if c.done() {
			return nil
		}
		start := c.pos
		if direct && m.single && r.Bound != "range" {
			if done, err := m.late(r); done || err != nil {
				if err != nil {
					return err
				}
				continue
			}
		}
		direct = false
		if err := c.tailPart(r, m); err != nil {
			return err
		}
		if c.pos == start {
			return c.fail(start, "“"+c.original(start, len(c.b))+"” is not understood after the value", "")
		}
	}
}

// late reads a range end, a tolerance or a smaller unit right behind the unit.
func (m *measure) late(r *Reading) (bool, error) {
	c := m.cell
	if high, ok, err := c.rangeEnd(); ok || err != nil {
		if err != nil {
			return false, err
		}
		return true, m.lateRange(r, high)
	}
	half, percent, ok, err := c.tolerance()
	if err != nil || ok {
		if err != nil {
			return false, err
		}
		u, _, err := c.unitHere()
		if err != nil {
			return false, err
		}
		if u == nil {
			u = m.unit
		}
		m.setTolerance(r, half.value, percent, u)
		return true, nil
	}
	return m.compound(r)
}

func (m *measure) lateRange(r *Reading, high number) error {
	c := m.cell
	at := c.pos
	u, note, err := c.unitHere()
	if err != nil {
		return err
	}
	if u == nil {
		if word := c.foreign(c.pos); word != "" && !c.knownWordHere() {
			return c.wrongUnit(at, word)
		}
		u = m.unit
	}
	c.say(note)
	m.single = false
	return c.setRange(r, c.si(m.first.value, m.unit), c.si(high.value, u), m.start)
}

func (c *cell) knownWordHere() bool {
	mark := c.pos
	c.spaces()
	w, _ := c.word()
	c.pos = mark
	_, known := boundWord(w)
	return known
}

// compound reads 5 ft 6 in, 1 h 30 min, 2 lb 4 oz: a smaller unit behind a larger.
func (m *measure) compound(r *Reading) (bool, error) {
	c := m.cell
	if m.unit == nil || c.kind != KindLength && c.kind != KindTime && c.kind != KindMass || !isDigit(c.peek(0)) {
		return false, nil
	}
	mark := c.pos
	n, ok, err := c.value()
	if err != nil || !ok {
		return false, err
	}
	u, _, err := c.unitHere()
	if err != nil {
		return false, err
	}
	if u == nil || u.factor >= m.unit.factor || n.value*u.factor >= m.unit.factor {
		c.pos = mark
		return false, nil
	}
	r.Value += math.Copysign(n.value*u.factor, m.first.value)
	m.single = false
	return true, nil
}

func (c *cell) tailPart(r *Reading, m *measure) error {
	switch b := c.b[c.pos]; {
	case b == '(' || b == '[':
		return c.aside(r, m)
	case b == '*' || b == chMark || b == '#':
		c.pos++
		c.say("footnote mark ignored")
	case b == '<' && lower(c.peek(1)) == 'b' && lower(c.peek(2)) == 'r':
		end := strings.IndexByte(string(c.b[c.pos:]), '>')
		if end < 0 {
			end = len(c.b) - c.pos - 1
		}
		c.pos += end + 1
	case b == '@':
		c.condition(r)
	case b == '/' || b == '=' || b == '~' || b == chNearly || b == ',' || b == ';' || b == '|' || b == '.' || b == '<' || b == '>':
		c.pos++
	case isDigit(b) || (b == '-' || b == '+') && isDigit(c.peek(1)):
		return c.second(r, m)
	case isLetter(b):
		return c.tailWord(r, m)
	case b == chMoney || b == '$':
		c.currency()
	}
	return nil
}

func (c *cell) tailWord(r *Reading, m *measure) error {
	w, end := c.word()
	meaning, known := boundWord(w)
	switch {
	case w == "at" || w == "for":
		c.condition(r)
	case known:
		c.pos = end
		if meaning != "" {
			c.bound(r, meaning)
		}
	case c.kind == KindRatio && w == "x" || c.kind == KindMoney && len(w) == 3:
		c.pos = end
	default:
		if m.unit != nil && !c.lastSeparates(m.unitAt) { // "5 N m" read as a force
			if k, ok := kindOfUnit(c.b[m.unitAt : m.unitAt+c.unitRun(m.unitAt)]); ok {
				return c.fail(m.unitAt, c.wrongKind(k, c.foreign(m.unitAt)), c.accepted())
			}
		}
		return c.wrongUnit(c.pos, c.foreign(c.pos))
	}
	return nil
}

// lastSeparates reports whether the run of unit characters at start ends
// before the place: then the word here belongs to no compound unit.
func (c *cell) lastSeparates(start int) bool {
	return start+c.unitRun(start) <= c.pos
}

// condition skips "@ 20h", "at 5 V": what the value holds for.
func (c *cell) condition(r *Reading) {
	start := c.pos
	for c.pos < len(c.b) && c.b[c.pos] != ')' && c.b[c.pos] != ';' && c.b[c.pos] != '<' {
		c.pos++
	}
	text := c.original(start, c.pos)
	if c.kind == KindCharge {
		c.say("rated " + text)
		return
	}
	c.say("holds " + text)
}

// second reads a further value in the cell: another unit is checked against the
// first, the same unit means several values.
func (c *cell) second(r *Reading, m *measure) error {
	start := c.pos
	n, ok, err := c.value()
	if err != nil || !ok {
		return err
	}
	u, _, err := c.unitHere()
	if err != nil {
		return err
	}
	switch {
	case u != nil && c.kind == KindCharge && u.factor == 1 && m.unit != u: // 2200 mAh 25C: a discharge rate
		c.say("“" + c.original(start, c.pos) + "” ignored")
	case u != nil && m.unit != nil && u != m.unit && m.single:
		c.compare(r, start, c.si(n.value, u))
	case u != nil || m.unit == nil || c.foreign(c.pos) == "":
		c.say("several values in the cell, the first is taken")
	default:
		c.spaces()
		c.pos += c.unitRun(c.pos)
		c.say("“" + c.original(start, c.pos) + "” ignored")
	}
	return nil
}

// compare notes a second unit and any disagreement above 2 % (the model, data
// forms: two units in one cell must agree).
func (c *cell) compare(r *Reading, start int, also float64) {
	r.Also = c.original(start, c.pos)
	if math.Abs(also-r.Value) > 0.02*math.Abs(r.Value) {
		mismatch := "mismatch: " + r.Also + " is " + Significant(100*(also/r.Value-1), 3) + " % off the first value, which is used"
		if r.Value == 0 {
			mismatch = "mismatch: " + r.Also + " differs from the first value, which is used"
		}
		if c.note != "" {
			mismatch += "; " + c.note
		}
		c.note = mismatch
	}
}

// aside reads a bracket: a second unit, a footnote number or a remark.
func (c *cell) aside(r *Reading, m *measure) error {
	start := c.pos
	closing := byte(')')
	if c.at('[') {
		closing = ']'
	}
	end := c.pos + 1
	for end < len(c.b) && c.b[end] != closing {
		end++
	}
	inner := cell{kind: c.kind, opts: c.opts, text: c.text, b: c.b[:end], pos: start + 1}
	c.pos = min(end+1, len(c.b))
	var ignored Reading
	inner.leading(&ignored)
	n, ok, err := inner.value()
	if err != nil || !ok {
		c.remark(r, start, ignored.Bound)
		return nil //nolint:nilerr // words in brackets are no value, and no fault
	}
	valueStart := start + 1
	u, _, err := inner.unitHere()
	inner.spaces()
	switch {
	case err != nil || u == nil && !inner.done():
		c.remark(r, start, "")
	case u == nil && n.integer && n.value < 100:
		c.say("footnote " + c.original(start, c.pos) + " ignored")
	case u != nil && m.unit != nil && u != m.unit && m.single && inner.done() && ignored.Bound != "at most" && ignored.Bound != "at least":
		inner.note = c.note
		inner.compare(r, valueStart, c.si(n.value, u))
		c.note = inner.note
	default:
		c.say(c.original(start, c.pos) + " not used, the first value is taken")
	}
	return nil
}

// remark passes over a bracket of words; a lone bound word in it counts.
func (c *cell) remark(r *Reading, start int, meaning string) {
	if meaning != "" {
		c.bound(r, meaning)
	}
	inside := strings.ToLower(strings.Trim(c.original(start, c.pos), "()[] ."))
	if b, known := boundWord(inside); known {
		if b != "" {
			c.bound(r, b)
		}
		return
	}
	c.say(c.original(start, c.pos) + " not used")
}

// currency steps over a money sign.
func (c *cell) currency() {
	c.spaces()
	if c.at('$') || c.at(chMoney) {
		c.pos++
		c.say("currency sign ignored, prices are in the catalog's own currency")
	}
}
