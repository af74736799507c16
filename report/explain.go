package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/dray/quantity"
	"example.org/dray/sizing/explain"
)

// Explain writes a worked example. It is in SI whatever the style's display
// units are: its lines are to be computed again as they stand. It returns the
// writer's error, or an error that names an unknown format.
func Explain(w io.Writer, ex *explain.Example, s Style) error {
	switch s.Format {
	case JSON:
		return writeJSON(w, explainJSON(ex))
	case CSV:
		return explainCSV(w, ex)
	case MD:
		s.Width = 0
		return writeMarkdown(w, explainDocument(ex))
	case Table, "":
		return explainText(w, ex, s)
	default:
		return unknownFormat(s.Format)
	}
}

// explainHead gives what stands above the steps: verdict, leg, convention.
func explainHead(ex *explain.Example) []string {
	c := ex.Candidate
	verdict := fmt.Sprintf("%s (rank %d of %d)", strings.ToUpper(c.Verdict.String()), c.Rank, len(ex.Field.Candidates))
	if ch := deciding(c); ch != nil {
		verdict += ": " + ch.Sentence(c)
	}
	return []string{verdict, "worked through for the leg " + ex.Leg + ", because " + ex.Why,
		"all figures in SI; five digits are carried from line to line, and each result is what the printed numbers give"}
}

func explainTitle(ex *explain.Example) string {
	return titleOf(ex.Field, "the sizing of "+ex.Candidate.ID+", step by step")
}

// explainDocument arranges a worked example for Markdown, one item a step.
func explainDocument(ex *explain.Example) *document {
	d := &document{title: explainTitle(ex)}
	d.warnings(ex.Field.Warnings)
	for _, text := range explainHead(ex) {
		d.paragraph(text)
	}
	for i := range ex.Sections {
		sec := &ex.Sections[i]
		d.section(sec.Title)
		if sec.Text != "" {
			d.paragraph(sec.Text)
		}
		if sec.Table != nil {
			d.table(explainTable(sec.Table))
		}
		var lines []string
		for j := range sec.Steps {
			lines = append(lines, explainLine(&sec.Steps[j]))
		}
		d.list(lines)
		d.list(sec.Notes)
	}
	explainTail(d, ex)
	return d
}

// explainTail adds what the example rests on.
func explainTail(d *document, ex *explain.Example) {
	if len(ex.Assumptions) > 0 {
		d.section("what all this rests on")
		g := &grid{columns: []column{{head: "what", fit: wrap, min: 14}, {head: "value", fit: wrap, min: 10}, {head: "basis"}, {head: "why", fit: wrap, min: 24}}}
		for _, a := range ex.Assumptions {
			g.row(a.What, a.Value, a.Basis.String(), a.Why)
		}
		d.table(g)
	}
	if all := distinct(ex.Candidate.Footnotes, ex.Field.Footnotes); len(all) > 0 {
		d.section("notes")
		d.list(all)
	}
}

// explainText lays a worked example out for a terminal as it would stand on
// paper: what it is, then the formula, the numbers and the result below one
// another.
func explainText(w io.Writer, ex *explain.Example, s Style) error {
	top := &document{title: explainTitle(ex)}
	top.warnings(ex.Field.Warnings)
	for _, text := range explainHead(ex) {
		top.paragraph(text)
	}
	if err := writeText(w, top, s); err != nil {
		return err
	}
	width := s.width()
	for i := range ex.Sections {
		sec := &ex.Sections[i]
		head := &document{title: ""}
		head.section(sec.Title)
		if sec.Text != "" {
			head.paragraph(sec.Text)
		}
		if sec.Table != nil {
			head.table(explainTable(sec.Table))
		}
		if err := untitled(w, head, s); err != nil {
			return err
		}
		var b strings.Builder
		b.WriteByte('\n')
		for j := range sec.Steps {
			writeStep(&b, &sec.Steps[j], width)
		}
		for _, note := range sec.Notes {
			writeHanging(&b, "· ", note, width)
		}
		if _, err := io.WriteString(w, strings.ReplaceAll(b.String(), glue, " ")); err != nil {
			return err
		}
	}
	tail := &document{}
	explainTail(tail, ex)
	return untitled(w, tail, s)
}

// untitled lays out a stretch of a longer text.
func untitled(w io.Writer, d *document, s Style) error {
	var b strings.Builder
	if err := writeText(&b, d, s); err != nil {
		return err
	}
	_, err := io.WriteString(w, strings.TrimPrefix(b.String(), "\n"))
	return err
}

// writeStep lays one step out. Lines that go on are indented further than "=".
func writeStep(b *strings.Builder, s *explain.Step, width int) {
	title := s.Title
	if note := stepNote(s); note != "" {
		title += "  (" + note + ")"
	}
	writeHanging(b, "· ", title, width)
	left := "    "
	lead := left + "= "
	if s.Symbol != "" {
		lead = left + s.Symbol + " = "
	}
	for _, part := range []string{s.Formula, s.Expression, s.Result} {
		if part == "" {
			continue
		}
		for i, line := range wrapped(glued(part), width-utf8.RuneCountInString(lead)) {
			if i > 0 {
				lead = strings.Repeat(" ", utf8.RuneCountInString(lead))
			}
			b.WriteString(lead + line + "\n")
		}
		lead = left + strings.Repeat(" ", utf8.RuneCountInString(lead)-utf8.RuneCountInString(left)-2) + "= "
	}
}

// glued keeps each number together with its unit.
func glued(text string) string {
	var b strings.Builder
	runes := []rune(text)
	for i, r := range runes {
		if r == ' ' && i > 0 && i+1 < len(runes) && runes[i-1] >= '0' && runes[i-1] <= '9' {
			next := runes[i+1]
			if next == '/' && i+2 < len(runes) {
				next = runes[i+2]
			}
			if unicode.IsLetter(next) || next == '°' {
				b.WriteString(glue)
				continue
			}
		}
		b.WriteRune(r)
	}
	return b.String()
}

func explainTable(t *explain.Table) *grid {
	g := &grid{}
	for i, h := range t.Heads {
		head := strings.Replace(h, " ", "\n", 1)
		if i == 0 {
			g.columns = append(g.columns, column{head: head, fit: shorten, min: 6})
			continue
		}
		g.columns = append(g.columns, column{head: head, right: true})
	}
	for _, row := range t.Rows {
		g.row(row...)
	}
	return g
}

// explainLine is one step on one line: "slope: Fs = s·m·g·sin θ = 1 · … = 120 N".
// A number and its unit stay together.
func explainLine(s *explain.Step) string {
	var b strings.Builder
	b.WriteString(s.Title + ": ")
	if s.Symbol != "" {
		b.WriteString(s.Symbol + " = ")
	}
	if s.Formula != "" {
		b.WriteString(s.Formula + " = ")
	}
	if s.Expression != "" {
		b.WriteString(s.Expression + " = ")
	}
	b.WriteString(s.Result)
	if note := stepNote(s); note != "" {
		b.WriteString("  (" + note + ")")
	}
	return b.String()
}

// stepNote is a step's note, its basis before it where that is a weak one.
func stepNote(s *explain.Step) string {
	if s.Basis >= quantity.Derived {
		return s.Note
	}
	return strings.TrimSuffix(s.Basis.String()+"; "+s.Note, "; ")
}

// explainCSV writes one row per step.
func explainCSV(w io.Writer, ex *explain.Example) error {
	out := csv.NewWriter(w)
	if err := out.Write([]string{"section", "title", "symbol", "formula", "expression", "value", "unit", "basis", "note"}); err != nil {
		return err
	}
	for i := range ex.Sections {
		for _, s := range ex.Sections[i].Steps {
			row := []string{ex.Sections[i].Title, s.Title, s.Symbol, s.Formula, s.Expression, full(s.Value), s.Unit, s.Basis.String(), s.Note}
			if err := out.Write(row); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}

// The JSON shapes of a worked example.
type (
	jsonExample struct {
		Title       string           `json:"title"`
		ID          string           `json:"id"`
		Rank        int              `json:"rank"`
		Verdict     string           `json:"verdict"`
		Leg         string           `json:"governing_leg"`
		Why         string           `json:"why"`
		Warnings    []string         `json:"warnings"`
		Footnotes   []string         `json:"footnotes"`
		Sections    []jsonSection    `json:"sections"`
		Assumptions []jsonAssumption `json:"assumptions"`
	}
	jsonSection struct {
		Title string            `json:"title"`
		Text  string            `json:"text"`
		Steps []jsonStep        `json:"steps"`
		Table *jsonExplainTable `json:"table"`
		Notes []string          `json:"notes"`
	}
	jsonStep struct {
		Title      string `json:"title"`
		Symbol     string `json:"symbol"`
		Formula    string `json:"formula"`
		Expression string `json:"expression"`
		Value      number `json:"value"`
		Unit       string `json:"unit"`
		Result     string `json:"result"`
		Basis      string `json:"basis"`
		Note       string `json:"note"`
	}
	jsonExplainTable struct {
		Heads []string   `json:"heads"`
		Rows  [][]string `json:"rows"`
	}
)

func explainJSON(ex *explain.Example) jsonExample {
	c := ex.Candidate
	out := jsonExample{Title: ex.Field.Title, ID: c.ID, Rank: c.Rank, Verdict: c.Verdict.String(), Leg: ex.Leg, Why: ex.Why,
		Warnings: listed(ex.Field.Warnings), Footnotes: listed(distinct(c.Footnotes, ex.Field.Footnotes)), Sections: make([]jsonSection, len(ex.Sections)),
		Assumptions: []jsonAssumption{}}
	for i := range ex.Sections {
		sec := &ex.Sections[i]
		j := jsonSection{Title: sec.Title, Text: sec.Text, Steps: make([]jsonStep, len(sec.Steps)), Notes: listed(sec.Notes)}
		for k, s := range sec.Steps {
			j.Steps[k] = jsonStep{s.Title, s.Symbol, s.Formula, s.Expression, number(s.Value), s.Unit, s.Result, s.Basis.String(), s.Note}
		}
		if sec.Table != nil {
			j.Table = &jsonExplainTable{sec.Table.Heads, sec.Table.Rows}
		}
		out.Sections[i] = j
	}
	for _, a := range ex.Assumptions {
		out.Assumptions = append(out.Assumptions, jsonAssumption{a.What, a.Value, a.Basis.String(), a.Why})
	}
	return out
}
