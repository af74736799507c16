package catalog

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"example.org/dray/quantity"
)

// dialect is how one file writes its cells: decided once per file, from all
// of its rows, never cell by cell.
type dialect struct {
	separator byte
	decimal   quantity.Decimal
	start     int  // offset of the first byte behind a byte order mark and a sep= line
	line      int  // line number at start
	named     bool // a sep= line named the separator
}

// opening reads what may stand before the header: a byte order mark and the
// `sep=;` line a spreadsheet leaves.
func opening(data []byte) dialect {
	d := dialect{line: 1}
	if bytes.HasPrefix(data, []byte("\xef\xbb\xbf")) {
		d.start = 3
	}
	rest := data[d.start:]
	if len(rest) > 4 && strings.EqualFold(string(rest[:4]), "sep=") {
		s := splitter{data: data, pos: d.start, line: 1}
		d.separator, d.named = rest[4], true
		d.start, d.line = s.pastBreak(s.lineEnd(d.start)), 2
	}
	return d
}

// chooseSeparator takes the separator under which the header holds most known
// names, and among equals the one under which most rows are as long as it.
func chooseSeparator(data []byte, d *dialect, known func(heading string) bool) {
	if d.named {
		return
	}
	best := [3]int{-1}
	for _, separator := range []byte{',', ';', '\t'} {
		if score := scoreSeparator(data, *d, separator, known); better(score, best) {
			best, d.separator = score, separator
		}
	}
}

func scoreSeparator(data []byte, d dialect, separator byte, known func(string) bool) (score [3]int) {
	s := splitter{data: data, separator: separator, pos: d.start, line: d.line}
	header, ok := s.next()
	if !ok {
		return score
	}
	for _, c := range header.cells {
		if known(c.text) {
			score[0]++
		}
	}
	if len(header.cells) < 2 {
		return score
	}
	for r, ok := s.next(); ok; r, ok = s.next() {
		if len(r.cells) == len(header.cells) {
			score[1]++
		}
	}
	score[2] = len(header.cells)
	return score
}

func better(a, b [3]int) bool {
	for i := range a {
		if a[i] != b[i] {
			return a[i] > b[i]
		}
	}
	return false
}

// vote is what one number says about the decimal mark.
type vote uint8

const (
	silent    vote = iota // no mark, or none that could be read
	forPoint              // 12.5, 1,234.5, 1,234,567
	forComma              // 12,5, 1.234,5, 1.234.567
	ambiguous             // 1.234 or 1,234 alone
)

// votes of one cell: the first number in it that says anything.
func cellVote(text string) vote {
	undecided := silent
	for i := 0; i < len(text); {
		if !isDigit(text[i]) {
			i++
			continue
		}
		end := i
		for end < len(text) && (isDigit(text[end]) || text[end] == '.' || text[end] == ',') {
			end++
		}
		switch v := numberVote(strings.TrimRight(text[i:end], ".,")); v {
		case forPoint, forComma:
			return v
		case ambiguous:
			undecided = v
		}
		i = end
	}
	return undecided
}

func numberVote(number string) vote {
	points, commas := strings.Count(number, "."), strings.Count(number, ",")
	mark, as, other := byte('.'), forPoint, forComma
	switch {
	case points+commas == 0:
		return silent
	case points > 0 && commas > 0:
		if strings.LastIndexByte(number, '.') > strings.LastIndexByte(number, ',') {
			return forPoint
		}
		return forComma
	case commas > 0:
		mark, as, other = ',', forComma, forPoint
	}
	if points+commas > 1 {
		return other // the mark parts thousands
	}
	at := strings.IndexByte(number, mark)
	if len(number)-at-1 == 3 && at <= 3 && number[0] != '0' {
		return ambiguous
	}
	return as
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

// unreadable reports what makes a file no text at all: UTF-16, NUL bytes,
// bytes that are not UTF-8, or a size no catalog has.
func unreadable(data []byte) (offset int, what, want string) {
	switch {
	case len(data) > maxFileBytes:
		return 0, "the file is larger than 16 MB", "a catalog of rows, one part each"
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return 0, "the file is UTF-16 text", "it saved as UTF-8"
	}
	if i := bytes.IndexByte(data, 0); i >= 0 {
		return i, "a NUL byte stands in the file", "a text file in UTF-8"
	}
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return i, "bytes that are not UTF-8", "the file saved as UTF-8"
		}
		i += size
	}
	return -1, "", ""
}
