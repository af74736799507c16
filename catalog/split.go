package catalog

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// Bounds on one file; beyond them the file is refused with one clear fault.
const (
	maxFileBytes = 16 << 20
	maxColumns   = 400
	maxCellBytes = 4096
	maxQuoteRows = 20 // lines a quoted cell may span before its quote counts as unclosed
)

// cell is one cell as written, with the place it starts in the file.
type cell struct {
	text   string // content without the quotes, trimmed of all kinds of space
	offset int    // of the first byte of text in the file
}

// row is one record with the line it starts on.
type row struct {
	cells  []cell
	line   int
	offset int // of its first byte
}

// complaint is something the splitter cannot accept.
type complaint struct {
	offset     int
	line       int
	what, want string
}

// splitter cuts a file into rows. It accepts what spreadsheets write: CRLF or
// lone CR, quotes doubled inside quotes, quotes inside a bare cell (4.75"),
// blank lines and lines that start with #.
type splitter struct {
	data       []byte
	separator  byte
	pos, line  int
	complaints []complaint
}

// next returns the next record that is neither blank nor a comment.
func (s *splitter) next() (row, bool) {
	for s.pos < len(s.data) {
		if s.skipIdleLine() {
			continue
		}
		r := s.record()
		for _, c := range r.cells {
			if c.text != "" {
				return r, true
			}
		}
	}
	return row{}, false
}

// skipIdleLine steps over a comment line or a line of nothing but space.
func (s *splitter) skipIdleLine() bool {
	end := s.lineEnd(s.pos)
	text := trimSpace(string(s.data[s.pos:min(end, s.pos+maxCellBytes)]))
	if text != "" && text[0] != '#' {
		return false
	}
	s.pos = s.pastBreak(end)
	s.line++
	return true
}

func (s *splitter) lineEnd(from int) int {
	if i := bytes.IndexAny(s.data[from:], "\r\n"); i >= 0 {
		return from + i
	}
	return len(s.data)
}

// pastBreak returns the offset behind the line break at end.
func (s *splitter) pastBreak(end int) int {
	if end < len(s.data) && s.data[end] == '\r' {
		end++
	}
	if end < len(s.data) && s.data[end] == '\n' {
		return end + 1
	}
	return min(max(end, s.pos+1), len(s.data))
}

// record reads one record; the position ends behind its line break.
func (s *splitter) record() row {
	r := row{line: s.line, offset: s.pos}
	for {
		c, ended := s.cell()
		if len(r.cells) < maxColumns {
			r.cells = append(r.cells, c)
		} else if len(r.cells) == maxColumns {
			s.complain(c.offset, "a row has more than 400 columns", "a table of a few dozen columns")
			s.pos = s.lineEnd(s.pos)
			ended = true
		}
		if ended {
			s.pos = s.pastBreak(s.pos)
			s.line++
			return r
		}
		s.pos++ // the separator
	}
}

// cell reads one cell and reports whether it ended its record.
func (s *splitter) cell() (c cell, ended bool) {
	start := s.pos
	for start < len(s.data) && s.data[start] == ' ' && s.separator != ' ' {
		start++
	}
	if start < len(s.data) && s.data[start] == '"' {
		if c, closed := s.quotedCell(start); closed {
			return c, s.atEnd()
		}
	}
	end := s.pos
	for end < len(s.data) && s.data[end] != s.separator && s.data[end] != '\n' && s.data[end] != '\r' {
		end++
	}
	c = s.trimmed(s.pos, string(s.data[s.pos:end]))
	s.pos = end
	return c, s.atEnd()
}

// quotedCell reads a cell that starts with a quote. When the quote is never
// closed it complains once and leaves the position for a bare reading.
func (s *splitter) quotedCell(start int) (cell, bool) {
	var text []byte
	lines := 0
	for i := start + 1; i < len(s.data); i++ {
		switch b := s.data[i]; {
		case b == '"' && i+1 < len(s.data) && s.data[i+1] == '"':
			text = append(text, b)
			i++
		case b == '"':
			s.pos = i + 1
			s.line += lines
			s.pastClosingQuote()
			return s.trimmed(start+1, string(text)), true
		default:
			if b == '\n' {
				lines++
			}
			text = append(text, b)
		}
		if lines > maxQuoteRows || len(text) > maxCellBytes {
			break
		}
	}
	s.complain(start, "a quote is never closed", `a second quote at the end of the cell`)
	return cell{}, false
}

// pastClosingQuote steps to the separator behind a quoted cell and complains
// of anything but space on the way.
func (s *splitter) pastClosingQuote() {
	for s.pos < len(s.data) && s.data[s.pos] != s.separator && !s.atEnd() {
		if s.data[s.pos] != ' ' && s.data[s.pos] != '\t' {
			s.complain(s.pos, "text stands behind a closing quote", `quotes inside a quoted cell doubled ("8""")`)
			for s.pos < len(s.data) && s.data[s.pos] != s.separator && !s.atEnd() {
				s.pos++
			}
			return
		}
		s.pos++
	}
}

// atEnd reports whether the position is at the end of the record.
func (s *splitter) atEnd() bool {
	return s.pos >= len(s.data) || s.data[s.pos] == '\n' || s.data[s.pos] == '\r'
}

func (s *splitter) trimmed(offset int, text string) cell {
	if len(text) > maxCellBytes {
		s.complain(offset, "a cell is longer than 4096 characters", "a table with one value per cell")
		text = strings.ToValidUTF8(text[:maxCellBytes], "")
	}
	left := strings.TrimLeftFunc(text, isSpace)
	return cell{text: trimSpace(left), offset: offset + len(text) - len(left)}
}

func (s *splitter) complain(offset int, what, want string) {
	if len(s.complaints) < printedFaults {
		s.complaints = append(s.complaints, complaint{offset, s.line, what, want})
	}
}

// isSpace is true for every blank a spreadsheet or a web page leaves behind.
func isSpace(r rune) bool {
	switch r {
	case ' ', '\t', '\r', '\n', '\v', '\f', 0x85, 0xa0, 0x202f, 0x2007, 0x2008, 0x2009, 0x200a, 0x200b, 0x2060, 0xfeff, 0x3000:
		return true
	}
	return false
}

func trimSpace(s string) string { return strings.TrimFunc(s, isSpace) }

// lineAround returns the 1-based character column of a byte offset in its line
// and the line itself, cut to what a message could ever show.
func lineAround(data []byte, offset int) (column int, source string) {
	offset = min(max(offset, 0), len(data))
	start := bytes.LastIndexAny(data[:offset], "\r\n") + 1
	if start == 0 && bytes.HasPrefix(data, []byte("\xef\xbb\xbf")) && offset >= 3 {
		start = 3
	}
	end := len(data)
	if i := bytes.IndexAny(data[offset:min(len(data), offset+maxCellBytes)], "\r\n"); i >= 0 {
		end = offset + i
	}
	column = utf8.RuneCount(data[start:offset]) + 1
	return column, strings.ToValidUTF8(string(data[start:min(end, offset+maxCellBytes)]), "?")
}
