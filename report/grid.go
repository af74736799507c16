package report

import (
	"strings"
	"unicode/utf8"
)

// fit says what a column may do when the page is too narrow.
type fit uint8

const (
	rigid   fit = iota // numbers: never cut while anything else can give way
	shorten            // cut in the middle
	joint              // broken over several lines at its joints, the + of an id
	wrap               // broken over several lines
)

// tone is the colour of a cell, always beside a word that says the same.
type tone uint8

const (
	plain tone = iota
	good
	warn
	bad
)

// column of a grid. Head may hold line breaks, used on a terminal only.
type column struct {
	head  string
	right bool
	fit   fit
	min   int // characters a column that gives way keeps
	roomy int // characters it should have to read well; 0 is min
}

// gridCell is one cell of a grid.
type gridCell struct {
	text string
	tone tone
}

// gridLine is a row of cells, or a separator with a label, or a remark that
// spans the grid.
type gridLine struct {
	cells  []gridCell
	label  string // of a separator
	remark string // spans the grid, indented under the first columns
}

// grid is a table before layout.
type grid struct {
	columns []column
	lines   []gridLine
}

const gap = 2 // blanks between columns

func cellsOf(texts ...string) []gridCell {
	cells := make([]gridCell, len(texts))
	for i, text := range texts {
		cells[i].text = text
	}
	return cells
}

func (g *grid) add(cells []gridCell)  { g.lines = append(g.lines, gridLine{cells: cells}) }
func (g *grid) row(texts ...string)   { g.add(cellsOf(texts...)) }
func (g *grid) separate(label string) { g.lines = append(g.lines, gridLine{label: label}) }
func (g *grid) remark(text string)    { g.lines = append(g.lines, gridLine{remark: text}) }

// natural gives the width each column would like.
func (g *grid) natural() []int {
	widths := make([]int, len(g.columns))
	for i, c := range g.columns {
		for _, part := range strings.Split(c.head, "\n") {
			widths[i] = max(widths[i], utf8.RuneCountInString(part))
		}
		for _, line := range g.lines {
			if i < len(line.cells) {
				widths[i] = max(widths[i], utf8.RuneCountInString(line.cells[i].text))
			}
		}
	}
	return widths
}

func total(widths []int) int {
	sum := gap * (len(widths) - 1)
	for _, w := range widths {
		sum += w
	}
	return sum
}

// fits reports whether the grid can stand in width with no number cut and every
// text column as wide as it should be to read well.
func (g *grid) fits(width int) bool {
	widths := g.natural()
	for i, c := range g.columns {
		if c.fit != rigid {
			widths[i] = min(widths[i], max(c.min, c.roomy))
		}
	}
	return total(widths) <= width
}

// widths narrows the natural widths to the page: wrapped columns give way
// first, then shortened ones, numbers last.
func (g *grid) widths(width int) []int {
	widths := g.natural()
	for _, f := range []fit{wrap, joint, shorten, rigid} {
		for total(widths) > width {
			widest := -1
			for i, c := range g.columns {
				if c.fit == f && widths[i] > max(c.min, 1) && (widest < 0 || widths[i] > widths[widest]) {
					widest = i
				}
			}
			if widest < 0 {
				break
			}
			widths[widest]--
		}
	}
	return widths
}

// text lays the grid out for a terminal.
func (g *grid) text(b *strings.Builder, width int, colour bool) {
	widths := g.widths(width)
	g.heads(b, widths)
	full := min(width, total(widths))
	for _, line := range g.lines {
		switch {
		case line.cells != nil:
			g.cells(b, line.cells, widths, colour)
		case line.remark != "":
			indent := 2
			if len(widths) > 0 && widths[0] <= 4 {
				indent = widths[0] + gap
			}
			writeHanging(b, strings.Repeat(" ", indent), line.remark, width)
		default:
			label := shortened(printable(line.label), full-5)
			rest := max(0, full-4-utf8.RuneCountInString(label))
			b.WriteString("── " + label + " " + strings.Repeat("─", rest) + "\n")
		}
	}
}

func (g *grid) heads(b *strings.Builder, widths []int) {
	depth := 1
	for _, c := range g.columns {
		depth = max(depth, 1+strings.Count(c.head, "\n"))
	}
	for level := range depth {
		parts := make([]string, len(g.columns))
		for i, c := range g.columns {
			lines := strings.Split(c.head, "\n")
			if at := level - (depth - len(lines)); at >= 0 {
				parts[i] = padded(shortened(lines[at], widths[i]), widths[i], c.right)
			} else {
				parts[i] = padded("", widths[i], false)
			}
		}
		b.WriteString(strings.TrimRight(strings.Join(parts, strings.Repeat(" ", gap)), " ") + "\n")
	}
	for i, w := range widths {
		if i > 0 {
			b.WriteString(strings.Repeat(" ", gap))
		}
		b.WriteString(strings.Repeat("─", w))
	}
	b.WriteByte('\n')
}

func (g *grid) cells(b *strings.Builder, cells []gridCell, widths []int, colour bool) {
	stacks := make([][]string, len(cells))
	depth := 1
	for i, c := range cells {
		text := printable(c.text)
		switch g.columns[i].fit {
		case wrap:
			stacks[i] = wrapped(text, widths[i])
		case joint:
			stacks[i] = jointed(text, widths[i])
		default:
			stacks[i] = []string{shortened(text, widths[i])}
		}
		depth = max(depth, len(stacks[i]))
	}
	for level := range depth {
		var row strings.Builder
		for i := range cells {
			if i > 0 {
				row.WriteString(strings.Repeat(" ", gap))
			}
			text := ""
			if level < len(stacks[i]) {
				text = stacks[i][level]
			}
			text = padded(text, widths[i], g.columns[i].right)
			if colour {
				text = toned(text, cells[i].tone)
			}
			row.WriteString(text)
		}
		b.WriteString(strings.TrimRight(row.String(), " ") + "\n")
	}
}

// jointed breaks an id before its + signs, so that no two ids look alike; a part
// too long for the column is cut in the middle.
func jointed(text string, width int) []string {
	var lines []string
	line := ""
	for i, part := range strings.Split(text, "+") {
		if i > 0 {
			part = "+" + part
		}
		if line != "" && utf8.RuneCountInString(line+part) > width {
			lines = append(lines, shortened(line, width))
			line = ""
		}
		line += part
	}
	return append(lines, shortened(line, width))
}

func padded(text string, width int, right bool) string {
	blanks := strings.Repeat(" ", max(0, width-utf8.RuneCountInString(text)))
	if right {
		return blanks + text
	}
	return text + blanks
}

// toned wraps a cell in its terminal colour: green, yellow or red.
func toned(text string, t tone) string {
	code, known := map[tone]string{good: "32", warn: "33", bad: "31"}[t]
	if !known {
		return text
	}
	word := strings.TrimSpace(text)
	if word == "" {
		return text
	}
	return strings.Replace(text, word, "\x1b["+code+"m"+word+"\x1b[0m", 1)
}

// markdown writes the grid as a Markdown table; separators become rows of one
// bold label, remarks rows of their own.
func (g *grid) markdown(b *strings.Builder) {
	for _, c := range g.columns {
		b.WriteString("| " + escaped(c.head) + " ")
	}
	b.WriteString("|\n")
	for _, c := range g.columns {
		if c.right {
			b.WriteString("| ---: ")
		} else {
			b.WriteString("| --- ")
		}
	}
	b.WriteString("|\n")
	for _, line := range g.lines {
		cells := make([]string, len(g.columns))
		switch {
		case line.cells != nil:
			for i, c := range line.cells {
				cells[i] = escaped(printable(c.text))
			}
		case line.remark != "":
			cells[min(1, len(cells)-1)] = escaped(printable(line.remark))
		default:
			cells[min(1, len(cells)-1)] = "**" + escaped(printable(line.label)) + "**"
		}
		b.WriteString("| " + strings.Join(cells, " | ") + " |\n")
	}
}
