package review

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"example.org/dray/report/figures"
)

// Markdown writes the review as Markdown that the usual viewers render. The
// figures are pictures beside it: path gives, for a figure, the reference as it
// is to stand in the text.
func Markdown(w io.Writer, d *Document, path func(*figures.Figure) string) error {
	m := &markdown{path: path}
	m.line("# " + escaped(d.Title) + ": design review")
	m.line("")
	m.line("**" + escaped(d.Lead) + "**")
	m.line("")
	rows := make([][]figures.Cell, len(d.Plate))
	for i, f := range d.Plate {
		rows[i] = []figures.Cell{figures.Words(f.Name), f.Cell}
	}
	m.table(&figures.Table{Heads: []string{"", ""}, Left: 2, Rows: rows}, nil, 0)
	for _, s := range d.Sections {
		m.line("## " + s.Number + ". " + escaped(s.Title))
		m.line("")
		for i := range s.Contents {
			m.block(&s.Contents[i])
		}
	}
	_, err := io.WriteString(w, strings.TrimRight(m.b.String(), "\n")+"\n")
	return err
}

// markdown gathers the text.
type markdown struct {
	b       strings.Builder
	path    func(*figures.Figure) string
	tables  int
	figures int
}

func (m *markdown) line(text string) { m.b.WriteString(text + "\n") }

func (m *markdown) block(b *Block) {
	switch b.Kind {
	case Text:
		m.line(escaped(b.Text))
	case Part:
		m.line("### " + escaped(b.Text))
	case Warning:
		m.line("> **Note well:** " + escaped(b.Text))
	case List:
		for _, item := range b.Items {
			m.line("- " + escaped(item))
		}
	case Facts:
		for _, f := range b.Facts {
			m.line("- " + escaped(f.Name) + ": **" + escaped(f.Cell.Text) + "**")
		}
	case Table, Sheet:
		m.tables++
		m.line(fmt.Sprintf("*Table %d. %s*", m.tables, escaped(b.Table.Caption)))
		m.line("")
		m.table(b.Table, b.Blanks, b.BlankAfter)
		return
	case Picture:
		m.figure(b.Figure)
		return
	case Steps:
		for i, s := range b.Steps {
			m.step(i+1, s)
		}
	case Sign:
		t := &figures.Table{Heads: []string{"", "name", "date", "signature"}, Left: 4}
		for _, item := range b.Items {
			t.Rows = append(t.Rows, words(item, "", "", ""))
		}
		m.table(t, nil, 0)
		return
	}
	m.line("")
}

func (m *markdown) step(n int, s Step) {
	text := fmt.Sprintf("%d. %s: ", n, escaped(s.Title))
	var parts []string
	for _, t := range []string{s.Formula, s.Numbers} {
		if t != "" {
			parts = append(parts, escaped(t))
		}
	}
	text += strings.Join(append(parts, "**"+escaped(s.Result)+"**"), " = ")
	if s.Note != "" {
		text += " (" + escaped(s.Note) + ")"
	}
	m.line(text)
}

func (m *markdown) figure(f *figures.Figure) {
	m.figures++
	m.line(fmt.Sprintf("![%s](%s)", escaped(f.Finding), m.path(f)))
	m.line("")
	m.line(fmt.Sprintf("*Figure %d. %s.* %s", m.figures, escaped(f.Title), escaped(f.Finding)))
	m.line("")
	if len(f.Key) > 0 {
		m.line(escaped(strings.Join(f.Key, " · ")))
		m.line("")
	}
}

func (m *markdown) table(t *figures.Table, blanks []string, after int) {
	var heads, rules []string
	for j, h := range t.Heads {
		heads = append(heads, escaped(h))
		rules = append(rules, map[bool]string{true: "---", false: "---:"}[j < t.Left])
	}
	empty := make([]string, len(blanks))
	for i := range blanks {
		heads = slices.Insert(heads, after+i, escaped(blanks[i]))
		rules = slices.Insert(rules, after+i, "---")
	}
	m.row(heads)
	m.row(rules)
	for _, row := range t.Rows {
		var cells []string
		for _, c := range row {
			cells = append(cells, escaped(c.Text))
		}
		m.row(slices.Insert(cells, min(after, len(cells)), empty...))
	}
	m.line("")
}

func (m *markdown) row(cells []string) { m.line("| " + strings.Join(cells, " | ") + " |") }

// escaped keeps a user's text from acting as Markdown.
func escaped(text string) string {
	return strings.NewReplacer(`\`, `\\`, "|", `\|`, "*", `\*`, "_", `\_`, "`", "\\`", "<", "&lt;", "[", `\[`, "\n", " ").Replace(text)
}
