package report

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// blockKind says what a block of a document is.
type blockKind uint8

const (
	heading   blockKind = iota // starts a section
	paragraph                  // wrapped text
	warning                    // marked text that must not be overlooked
	list                       // items, one mark each
	notes                      // items with the marks that stand beside numbers
	table
)

// block is one piece of a document. Which fields count depends on the kind.
type block struct {
	kind  blockKind
	text  string
	items []string
	grid  *grid
}

// document is an answer arranged but not yet laid out: the same one serves
// the terminal and Markdown.
type document struct {
	title  string
	blocks []block
}

func (d *document) section(text string) {
	d.blocks = append(d.blocks, block{kind: heading, text: text})
}
func (d *document) paragraph(text string) {
	d.blocks = append(d.blocks, block{kind: paragraph, text: text})
}
func (d *document) table(g *grid) { d.blocks = append(d.blocks, block{kind: table, grid: g}) }

func (d *document) warnings(texts []string) {
	for _, text := range texts {
		d.blocks = append(d.blocks, block{kind: warning, text: text})
	}
}

func (d *document) list(items []string) {
	if len(items) > 0 {
		d.blocks = append(d.blocks, block{kind: list, items: items})
	}
}

// notes adds items whose place is the mark other blocks use.
func (d *document) notes(items []string) {
	if len(items) > 0 {
		d.blocks = append(d.blocks, block{kind: notes, items: items})
	}
}

// writeText lays a document out for a terminal; no line is wider than the
// style says, counted in characters.
func writeText(w io.Writer, d *document, s Style) error {
	var b strings.Builder
	width := s.width()
	writeWrapped(&b, d.title, "", width)
	for i, bl := range d.blocks {
		if !(bl.kind == warning && i > 0 && d.blocks[i-1].kind == warning) {
			b.WriteByte('\n')
		}
		switch bl.kind {
		case heading:
			writeWrapped(&b, strings.ToUpper(bl.text), "", width)
			b.WriteString(strings.Repeat("═", min(width, utf8.RuneCountInString(bl.text))) + "\n")
		case paragraph:
			writeWrapped(&b, bl.text, "", width)
		case warning:
			writeHanging(&b, "! ", "warning: "+bl.text, width)
		case list:
			for _, item := range bl.items {
				writeHanging(&b, "· ", item, width)
			}
		case notes:
			for i, item := range bl.items {
				writeHanging(&b, mark(i)+" ", item, width)
			}
		case table:
			bl.grid.text(&b, width, s.Colour)
		}
	}
	_, err := io.WriteString(w, strings.ReplaceAll(tidied(b.String()), glue, " "))
	return err
}

// tidied joins a heading to what follows: the blank line between them says nothing.
func tidied(text string) string {
	lines := strings.Split(text, "\n")
	kept := lines[:0]
	for i, line := range lines {
		afterRule := i > 0 && lines[i-1] != "" && strings.Trim(lines[i-1], "═") == ""
		if line == "" && afterRule {
			continue
		}
		kept = append(kept, line)
	}
	return strings.Join(kept, "\n")
}

// writeMarkdown lays a document out as Markdown.
func writeMarkdown(w io.Writer, d *document) error {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n", escaped(d.title))
	for _, bl := range d.blocks {
		b.WriteByte('\n')
		switch bl.kind {
		case heading:
			fmt.Fprintf(&b, "## %s\n", escaped(bl.text))
		case paragraph:
			fmt.Fprintf(&b, "%s\n", escaped(bl.text))
		case warning:
			fmt.Fprintf(&b, "> **warning:** %s\n", escaped(bl.text))
		case list:
			for _, item := range bl.items {
				fmt.Fprintf(&b, "- %s\n", escaped(item))
			}
		case notes:
			for i, item := range bl.items {
				fmt.Fprintf(&b, "- %s %s\n", escaped(mark(i)), escaped(item))
			}
		case table:
			bl.grid.markdown(&b)
		}
	}
	_, err := io.WriteString(w, strings.ReplaceAll(b.String(), glue, " "))
	return err
}

// mark is the sign of the i-th footnote, counted from 0: a letter, so that many
// stand in little room, and numbers in brackets once the letters are used up.
func mark(i int) string {
	if i < 26 {
		return string(rune('a' + i))
	}
	return fmt.Sprintf("[%d]", i+1)
}

// escaped keeps a user's text from acting as Markdown.
func escaped(text string) string {
	return strings.NewReplacer(`\`, `\\`, "|", `\|`, "*", `\*`, "_", `\_`, "`", "\\`", "<", "&lt;",
		"[", `\[`).Replace(printable(text))
}

func writeWrapped(b *strings.Builder, text, indent string, width int) {
	for _, line := range wrapped(text, width-utf8.RuneCountInString(indent)) {
		b.WriteString(strings.TrimRight(indent+line, " ") + "\n")
	}
}

// writeHanging writes text behind a mark, later lines indented to its width.
func writeHanging(b *strings.Builder, mark, text string, width int) {
	indent := utf8.RuneCountInString(mark)
	for i, line := range wrapped(text, width-indent) {
		if i > 0 {
			mark = strings.Repeat(" ", indent)
		}
		b.WriteString(mark + line + "\n")
	}
}

// wrapped breaks text at spaces into lines of at most width characters; a
// longer word is cut. It returns at least one line.
func wrapped(text string, width int) []string {
	width = max(width, 1)
	var lines []string
	line, used := "", 0
	for _, word := range strings.FieldsFunc(printable(text), func(r rune) bool { return r == ' ' }) {
		n := utf8.RuneCountInString(word)
		if used > 0 && used+1+n > width {
			lines = append(lines, line)
			line, used = "", 0
		}
		for n > width {
			runes := []rune(word)
			lines = append(lines, string(runes[:width]))
			word, n = string(runes[width:]), n-width
		}
		if used > 0 {
			line, used = line+" ", used+1
		}
		line, used = line+word, used+n
	}
	return append(lines, line)
}

// printable replaces control characters, so that no text from a file can
// steer a terminal.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' || r == '\t' {
			return ' '
		}
		if r < ' ' || r >= 0x7f && r < 0xa0 || r == 0x202e || r == 0x2066 || r == 0x2067 {
			return '�'
		}
		return r
	}, text)
}

// shortened cuts text in the middle to at most width characters, its ends kept.
func shortened(text string, width int) string {
	runes := []rune(text)
	if len(runes) <= width {
		return text
	}
	if width <= 1 {
		return "…"
	}
	head := width / 2
	tail := width - head - 1
	return string(runes[:head]) + "…" + string(runes[len(runes)-tail:])
}
