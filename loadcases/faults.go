package loadcases

import (
	"fmt"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Fault is one thing wrong with a case file or a log.
type Fault struct {
	File    string
	Line    int    // 1-based; 0 when it is about the whole file
	Column  int    // 1-based, in characters; 0 unknown
	Message string // lower case, no full stop
	Source  string // the line as written; empty when there is none to show
	Hint    string // what would be right; may be empty
}

// String gives the place and the message, the line with a caret under the
// place, and the hint, each on its own line.
func (f Fault) String() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d", f.Line)
		if f.Column > 0 {
			fmt.Fprintf(&b, ":%d", f.Column)
		}
	}
	b.WriteString(": " + f.Message)
	if f.Source != "" {
		shown, at := window(f.Source, f.Column)
		b.WriteString("\n    " + shown)
		if f.Column > 0 {
			b.WriteString("\n    " + strings.Repeat(" ", at) + "^")
		}
	}
	if f.Hint != "" {
		b.WriteString("\n    hint: " + f.Hint)
	}
	return b.String()
}

// window cuts a long line around a column and makes what cannot be printed
// visible; it returns the text and the caret's place in it.
func window(line string, column int) (string, int) {
	const width = 100
	runes := []rune(strings.ToValidUTF8(line, "\ufffd"))
	at := max(0, min(column-1, len(runes)))
	from := 0
	if len(runes) > width && at > width*3/4 {
		from = min(at-width/2, len(runes)-width)
	}
	to := min(len(runes), from+width)
	shown := make([]rune, 0, width+2)
	if from > 0 {
		shown = append(shown, '…')
		at++
	}
	for _, r := range runes[from:to] {
		switch {
		case r == '\t':
			r = ' '
		case !unicode.IsPrint(r):
			r = '\ufffd'
		}
		shown = append(shown, r)
	}
	if to < len(runes) {
		shown = append(shown, '…')
	}
	return string(shown), at - from
}

// Faults is everything wrong with a case file, in the order of its lines. It
// is the error of Read.
type Faults struct {
	List []Fault
	More int // found beyond those listed
}

// Error gives every fault, a blank line between them.
func (f *Faults) Error() string {
	texts := make([]string, 0, len(f.List)+1)
	for _, fault := range f.List {
		texts = append(texts, fault.String())
	}
	if f.More > 0 {
		texts = append(texts, fmt.Sprintf("and %d more", f.More))
	}
	return strings.Join(texts, "\n")
}

// maxFaults bounds what one run reports.
const maxFaults = 50

// add keeps a fault, or counts it.
func (f *Faults) add(fault Fault) {
	if f.full() {
		f.More++
		return
	}
	f.List = append(f.List, fault)
}

// full reports whether further faults are only counted.
func (f *Faults) full() bool { return len(f.List) >= maxFaults }

// err is the faults as an error, sorted; nil when there are none.
func (f *Faults) err() error {
	if len(f.List) == 0 {
		return nil
	}
	sort.SliceStable(f.List, func(i, j int) bool {
		a, b := f.List[i], f.List[j]
		if a.File != b.File {
			return false
		}
		if a.Line != b.Line {
			return a.Line < b.Line
		}
		return a.Column < b.Column
	})
	return f
}

// quote shows a text in a message, cut where it is long.
func quote(text string) string {
	text = strings.ToValidUTF8(text, "\ufffd")
	if utf8.RuneCountInString(text) > 60 {
		text = string([]rune(text)[:60]) + "…"
	}
	return "“" + strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, text) + "”"
}

// nearest finds the known name a wrong one was probably meant to be; empty
// when none is near.
func nearest(wrong string, known []string) string {
	wrong = strings.ToLower(strings.NewReplacer("-", "_", " ", "_").Replace(wrong))
	if len(wrong) > 60 {
		return ""
	}
	best, bestAt := "", max(1, len(wrong)/3)+1
	for _, name := range known {
		if d := distance(wrong, name); d < bestAt && d < len(wrong) {
			best, bestAt = name, d
		}
	}
	return best
}

// distance counts the insertions, deletions, changes and swaps of neighbours
// between two words.
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	rows := make([][]int, len(x)+1)
	for i := range rows {
		rows[i] = make([]int, len(y)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(x); i++ {
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			rows[i][j] = min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return rows[len(x)][len(y)]
}
