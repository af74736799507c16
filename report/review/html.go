package review

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/dray/report/figures"
)

//go:embed style.css
var styleSheet string

//go:embed page.tmpl
var pageTemplate string

// Paper is the size that a printed review is laid out for.
type Paper string

// The papers. AnyPaper leaves the size to the printer.
const (
	AnyPaper Paper = ""
	A4       Paper = "A4"
	Letter   Paper = "letter"
)

// page is what the template sees.
type page struct {
	Doc    *Document
	Style  template.CSS
	Policy string
}

// HTML writes the review as one file that needs nothing else: the style sheet
// is inside, the figures are SVG elements, nothing is fetched and no script
// runs. A policy in its head, which names the style sheet by its hash, forbids
// everything else.
func HTML(w io.Writer, d *Document, paper Paper) error {
	css := squeezed(styleSheet)
	if paper != AnyPaper {
		css = strings.Replace(css, "size: auto", "size: "+string(paper), 1)
	}
	sum := sha256.Sum256([]byte(css))
	p := page{Doc: d, Style: template.CSS(css),
		Policy: "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; base-uri 'none'; form-action 'none'"}
	n := &numbering{}
	t, err := template.New("page").Funcs(template.FuncMap{
		"number": numberOf, "grid": n.grid, "plain": n.plain, "picture": picture, "figureNumber": n.figure, "lastFigure": func() int { return n.figures },
	}).Parse(pageTemplate)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, "page", p); err != nil {
		return err
	}
	_, err = w.Write(b.Bytes())
	return err
}

// squeezed drops the line breaks and indents of the style sheet.
func squeezed(css string) string { return strings.Join(strings.Fields(css), " ") }

// numberOf is a cell's value as the JSON answer writes it; empty without one.
func numberOf(c figures.Cell) string {
	if math.IsNaN(c.Value) || math.IsInf(c.Value, 0) {
		return ""
	}
	return strconv.FormatFloat(c.Value, 'g', -1, 64)
}

func picture(f *figures.Figure) template.HTML { return template.HTML(f.Inline("svg-" + f.Name)) }

// numbering counts tables and figures in the order they are written.
type numbering struct{ tables, figures int }

func (n *numbering) figure(*figures.Figure) int { n.figures++; return n.figures }

// gridCell is a cell with its place in the table.
type gridCell struct {
	Cell    figures.Cell
	Class   string
	Verdict string
	Blank   string
	Head    bool
}

type gridHead struct{ Text, Class string }

// laidOut is a table as the template writes it.
type laidOut struct {
	Number  int
	Caption string
	Label   string
	Heads   []gridHead
	Rows    [][]gridCell
}

// grid lays out a numbered table: the first columns are words, one may hold
// verdicts, and after some of them come blanks for a pen.
func (n *numbering) grid(t *figures.Table, verdicts int, blanks []string, after int) laidOut {
	n.tables++
	g := n.plain(*t)
	g.Number = n.tables
	g.Label = fmt.Sprintf("Table %d: %s", n.tables, t.Caption)
	for i, b := range blanks {
		g.Heads = slices.Insert(g.Heads, after+i, gridHead{Text: b})
	}
	for i := range g.Rows {
		if verdicts > 0 && verdicts <= len(g.Rows[i]) {
			c := &g.Rows[i][verdicts-1]
			c.Verdict = c.Cell.Text
		}
		for k, b := range blanks {
			g.Rows[i] = slices.Insert(g.Rows[i], after+k, gridCell{Blank: b + ": " + t.Rows[i][0].Text})
		}
	}
	return g
}

// wideWords is the length from which a column of words gets room.
const wideWords = 42

// shortWords is the length up to which a column of words is never broken.
const shortWords = 24

// plain lays out a table without a number, as stands behind a figure.
func (n *numbering) plain(t figures.Table) laidOut {
	g := laidOut{Caption: t.Caption, Label: t.Caption}
	classes := make([]string, len(t.Heads))
	for j := range t.Heads {
		if j >= t.Left {
			classes[j] = "n"
		}
		if j > 0 && j < t.Left {
			classes[j] = wordClass(t, j)
		}
		g.Heads = append(g.Heads, gridHead{t.Heads[j], classes[j]})
	}
	for _, row := range t.Rows {
		cells := make([]gridCell, len(row))
		for j := range row {
			cells[j] = gridCell{Cell: row[j], Class: classes[j], Head: j == 0 && t.Left > 0}
		}
		g.Rows = append(g.Rows, cells)
	}
	return g
}

// wordClass is the look of a column of words: room for sentences, no break in
// short ones.
func wordClass(t figures.Table, j int) string {
	if t.Heads[j] == "SHA-256" {
		return "hash"
	}
	longest := 0
	for _, row := range t.Rows {
		longest = max(longest, len(row[j].Text))
	}
	switch {
	case longest > wideWords:
		return "w"
	case longest <= shortWords:
		return "k"
	}
	return ""
}
