package quantity

import (
	"unicode"
	"unicode/utf8"
)

// maxText is the longest cell Parse looks at, in bytes.
const maxText = 400

// Bytes above ASCII that stand for one meaning each in a normalised cell.
const (
	chWide   = 0xA0 // a space that groups digits: no-break, thin
	chNearly = 0xA1 // ≈
	chMoney  = 0xA4 // € £ ¥
	chDegree = 0xB0
	chPlus   = 0xB1 // ±
	chSquare = 0xB2
	chCube   = 0xB3
	chMark   = 0xB6 // footnote mark
	chMille  = 0xBA // ‰
	chDelta  = 0xC4
	chOther  = 0xFF
)

// normalise appends text to dst in a small alphabet: ASCII and the bytes
// above, one dash, one tilde, one multiplication sign ('*'), plain digits.
// It writes at most two bytes for each byte read.
func normalise(dst []byte, text string) []byte {
	for i := 0; i < len(text); {
		b := text[i]
		if b < utf8.RuneSelf {
			if b < ' ' {
				b = ' '
			}
			dst = append(dst, b)
			i++
			continue
		}
		r, n := utf8.DecodeRuneInString(text[i:])
		dst = appendRune(dst, r)
		i += n
	}
	return dst
}

// runeOffset gives the rune of text that made byte pos of its normal form.
func runeOffset(text string, pos int) int {
	var scratch [8]byte
	runes, out := 0, 0
	for _, r := range text {
		if r < utf8.RuneSelf {
			out++
		} else {
			before := scratch[:1]
			before[0] = '0' // a digit, the longer case for vulgar fractions
			out += len(appendRune(before, r)) - 1
		}
		if out > pos {
			return runes
		}
		runes++
	}
	return runes
}

func appendRune(dst []byte, r rune) []byte {
	if r >= '！' && r <= '～' { // full-width forms of ASCII
		return append(dst, byte(r-'！'+'!'))
	}
	switch r {
	case '\u00A0', '\u2007', '\u2009', '\u202F', '\u2008', '\u2006':
		return append(dst, chWide)
	case '\u200B', '\u200C', '\u200D', '\u2060', '\uFEFF', '\u00AD', '\uFE0F':
		return dst
	case '·', '⋅', '•', '∙', '・', '‧', '×', '✕', '∗', '･':
		return append(dst, '*')
	case '⁻', '‐', '‑', '‒', '–', '—', '―', '−', '﹣':
		return append(dst, '-')
	case '∼', '〜', '˜':
		return append(dst, '~')
	case '≈', '≃', '≅':
		return append(dst, chNearly)
	case '⁄', '∕', '÷':
		return append(dst, '/')
	case '’', '‘', '′', 'ʹ', 'ʼ', '´':
		return append(dst, '\'')
	case '“', '”', '″', '〃':
		return append(dst, '"')
	case '\u00B5', '\u03BC': // micro sign, Greek mu
		return append(dst, 'u')
	case '\u03A9', '\u2126': // Greek omega, ohm sign
		return append(dst, "ohm"...)
	case '℃':
		return append(dst, chDegree, 'C')
	case '℉':
		return append(dst, chDegree, 'F')
	case '\u212A': // kelvin sign
		return append(dst, 'K')
	case '¹':
		if n := len(dst); n > 0 && dst[n-1] == '-' { // min⁻¹
			return append(dst, '1')
		}
		return append(dst, chMark)
	case '†', '‡', '§', '¶':
		return append(dst, chMark)
	}
	return appendSymbol(dst, r)
}

func appendSymbol(dst []byte, r rune) []byte {
	switch r {
	case '°', 'º', '˚':
		return append(dst, chDegree)
	case '±':
		return append(dst, chPlus)
	case '²':
		return append(dst, chSquare)
	case '³':
		return append(dst, chCube)
	case '‰':
		return append(dst, chMille)
	case 'Δ', '∆':
		return append(dst, chDelta)
	case '€', '£', '¥':
		return append(dst, chMoney)
	case '≤', '⩽', '≦':
		return append(dst, '<', '=')
	case '≥', '⩾', '≧':
		return append(dst, '>', '=')
	case '∶':
		return append(dst, ':')
	case '…':
		return append(dst, '.', '.')
	case '½':
		return appendFraction(dst, "1/2")
	case '¼':
		return appendFraction(dst, "1/4")
	case '¾':
		return appendFraction(dst, "3/4")
	case '⅛':
		return appendFraction(dst, "1/8")
	case '⅜':
		return appendFraction(dst, "3/8")
	case '⅝':
		return appendFraction(dst, "5/8")
	case '⅞':
		return appendFraction(dst, "7/8")
	}
	switch {
	case unicode.Is(unicode.Nd, r):
		return append(dst, '0'+digitValue(r))
	case unicode.IsSpace(r):
		return append(dst, ' ')
	default:
		return append(dst, chOther)
	}
}

// appendFraction writes a vulgar fraction; behind a digit it is a mixed number.
func appendFraction(dst []byte, frac string) []byte {
	if n := len(dst); n > 0 && isDigit(dst[n-1]) {
		dst = append(dst, ' ')
	}
	return append(dst, frac...)
}

// digitValue gives the value of a decimal digit of any script: digits stand in
// runs of ten in order of value.
func digitValue(r rune) byte {
	d := rune(0)
	for unicode.Is(unicode.Nd, r-d-1) {
		d++
	}
	return byte(d % 10)
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }

func isLetter(b byte) bool { return b|0x20 >= 'a' && b|0x20 <= 'z' }

func isSpace(b byte) bool { return b == ' ' || b == chWide }

func lower(b byte) byte {
	if b >= 'A' && b <= 'Z' {
		return b + 'a' - 'A'
	}
	return b
}
