package catalog

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"example.org/dray/internal/edits"
)

// Bounds on what is printed, so that a hostile file cannot flood a terminal.
const (
	printedFaults = 50  // faults that Error prints; the rest are counted
	keptFindings  = 500 // findings kept per file; reading stops beyond them
	quotedRunes   = 60  // of a cell shown in a message
	shownRunes    = 100 // of a source line shown under a message
)

// String gives the word that messages print.
func (l Level) String() string {
	switch l {
	case Note:
		return "note"
	case Warning:
		return "warning"
	case Impossible:
		return "impossible"
	default:
		return "fault"
	}
}

// Faults is the error of Read: every fault of every file.
type Faults struct {
	List []Finding // all of severity Fault, in file order
}

// Error prints each fault with its line and a caret below, the first fifty in
// full and the rest as a number.
func (f *Faults) Error() string {
	var b strings.Builder
	for i, finding := range f.List {
		if i == printedFaults {
			fmt.Fprintf(&b, "and %d more\n", len(f.List)-i)
			break
		}
		b.WriteString(finding.String())
		b.WriteByte('\n')
	}
	return strings.TrimSuffix(b.String(), "\n")
}

// Place gives FILE:LINE:COL, leaving out what is not known.
func (f Finding) Place() string {
	switch {
	case f.Line == 0:
		return f.File
	case f.Column == 0:
		return fmt.Sprintf("%s:%d", f.File, f.Line)
	default:
		return fmt.Sprintf("%s:%d:%d", f.File, f.Line, f.Column)
	}
}

// String gives the whole message: place, sentence, and, when known, the line
// it is about with a caret under the column.
func (f Finding) String() string {
	message := f.Text
	if place := f.Place(); place != "" {
		message = place + ": " + message
	}
	if f.Source == "" {
		return message
	}
	line, caret := window(f.Source, f.Column)
	message += "\n    " + line
	if f.Column > 0 {
		message += "\n    " + strings.Repeat(" ", caret) + "^"
	}
	return message
}

// window cuts a line to what fits on a screen around a 1-based column and
// returns the 0-based column of the caret in the cut. Tabs and control
// characters become single characters, so that the caret stays in place.
func window(line string, column int) (cut string, caret int) {
	runes := []rune(line)
	for i, r := range runes {
		if r < ' ' || r == 0x7f || r == utf8.RuneError {
			runes[i] = ' '
		}
	}
	start := 0
	if column > shownRunes*3/4 {
		start = min(column-shownRunes/2, max(0, len(runes)-shownRunes/2))
	}
	end := min(len(runes), start+shownRunes)
	cut = strings.TrimRight(string(runes[start:end]), " ")
	caret = column - 1 - start
	if start > 0 {
		cut, caret = "…"+cut, caret+1
	}
	if end < len(runes) {
		cut += "…"
	}
	return cut, max(0, caret)
}

// quoted shows what was read, in quotes, never longer than a message stands.
func quoted(text string) string {
	if utf8.RuneCountInString(text) > quotedRunes {
		runes := []rune(text)
		return fmt.Sprintf("%q… (%d characters)", string(runes[:quotedRunes]), len(runes))
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		if r < ' ' || r == 0x7f || r == utf8.RuneError {
			fmt.Fprintf(&b, "\\x%02x", r&0xff)
			continue
		}
		b.WriteRune(r)
	}
	b.WriteByte('"')
	return b.String()
}

// sentence joins what is wrong, what was read and what would be right.
func sentence(what, read, want string) string {
	if read != "" {
		what += "; read " + quoted(read)
	}
	if want != "" {
		what += "; want " + want
	}
	return what
}

// nearest returns the candidate with the smallest edit distance to name, or
// empty when none is near enough to be what was meant.
func nearest(name string, candidates []string) string {
	if len(name) > 40 {
		return ""
	}
	best, least := "", max(2, len(name)*2/5)+1
	for _, c := range candidates {
		if d := edits.Distance(name, c); d < least {
			best, least = c, d
		}
	}
	if best != "" {
		return best
	}
	for _, c := range candidates { // "torque" for "stall_torque"
		if len(name) >= 4 && strings.Contains(c, name) {
			return c
		}
	}
	return ""
}
