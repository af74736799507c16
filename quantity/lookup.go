package quantity

import "strings"

// maxUnit is the longest run of characters taken for a unit, in bytes.
const maxUnit = 40

// LookupUnit finds a unit of the kind by any of its spellings, brackets
// allowed: "[kg·cm]", "(oz-in)". SI = value·factor + offset; the offset is zero
// but for temperatures. A grade in % has factor 0.01 and its arctangent is the
// incline. note is non-empty when the spelling was read as something else than
// it says, such as kg/cm. ok is false for a unit the kind does not have.
func LookupUnit(k Kind, text string) (factor, offset float64, canonical, note string, ok bool) {
	if k >= kindCount || len(text) > maxText {
		return 0, 0, "", "", false
	}
	var buf [2 * maxText]byte
	b := normalise(buf[:0], strings.TrimSpace(text))
	for len(b) > 1 && (b[0] == '[' && b[len(b)-1] == ']' || b[0] == '(' && b[len(b)-1] == ')' && !strings.Contains(string(b[1:len(b)-1]), "(")) {
		b = b[1 : len(b)-1]
	}
	if len(b) == 0 || len(b) > maxUnit {
		return 0, 0, "", "", false
	}
	u, note := findUnit(k, b)
	if u == nil || megaForMilli(u, b) {
		return 0, 0, "", "", false
	}
	return u.factor, u.offset, u.canonical, note, true
}

// findUnit looks a normalised spelling up; nil when the kind has no such unit.
func findUnit(k Kind, b []byte) (*unit, string) {
	s := &spellings()[k]
	var scratch [2*maxUnit + 8]byte
	if len(s.exact) > 0 {
		if u := s.exact[string(unitKey(scratch[:0], k, b, false, false))]; u != nil {
			return u, ""
		}
	}
	if u := s.folded[string(unitKey(scratch[:0], k, b, true, false))]; u != nil {
		return u, ""
	}
	if k != KindTorque && k != KindCharge && k != KindEnergy {
		return nil, ""
	}
	u := s.folded[string(unitKey(scratch[:0], k, b, true, true))]
	if u == nil {
		return nil, ""
	}
	return u, string(trimSpaces(b)) + " read as the product " + u.canonical
}

// unitKey appends the table key of a spelling: separators, powers' marks and
// brackets dropped, degree and per-mille signs as in the table.
func unitKey(key []byte, k Kind, b []byte, fold, dropSlash bool) []byte {
	for i, ch := range b {
		switch ch {
		case ' ', chWide, '-', '.', '*', '^', '[', ']', '(', ')':
			continue
		case '/':
			if dropSlash {
				continue
			}
		case 'x', 'X':
			if k == KindTorque && i > 0 && i+1 < len(b) {
				continue
			}
		case chSquare:
			ch = '2'
		case chCube:
			ch = '3'
		case chDegree:
			key = append(key, "°"...)
			continue
		case chMille:
			key = append(key, "‰"...)
			continue
		case chDelta:
			key = append(key, "delta"...)
			continue
		}
		if fold {
			ch = lower(ch)
		}
		key = append(key, ch)
	}
	return key
}

// megaForMilli reports a capital M where the unit has the prefix milli.
func megaForMilli(u *unit, b []byte) bool {
	if !u.milli {
		return false
	}
	b = trimSpaces(b)
	return len(b) > 0 && b[0] == 'M' && (len(b) < 5 || lower(b[2]) != 'l')
}

func trimSpaces(b []byte) []byte {
	for len(b) > 0 && isSpace(b[0]) {
		b = b[1:]
	}
	for len(b) > 0 && isSpace(b[len(b)-1]) {
		b = b[:len(b)-1]
	}
	return b
}

// kindOfUnit names the first kind that knows the spelling, for messages.
func kindOfUnit(b []byte) (Kind, bool) {
	for k := range kindCount {
		if k == KindMoney || k == KindRatio {
			continue
		}
		if u, note := findUnit(k, b); u != nil && note == "" && u.canonical != "" {
			return k, true
		}
	}
	return 0, false
}
