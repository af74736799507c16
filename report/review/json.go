package review

import (
	"bytes"
	"encoding/json"
	"io"
	"math"

	"example.org/dray/report"
	"example.org/dray/report/figures"
	"example.org/dray/sizing"
)

// The JSON shapes of a review.
type (
	jsonReview struct {
		Title     string          `json:"title"`
		Pick      string          `json:"pick"`
		Verdict   string          `json:"verdict"`
		Summary   string          `json:"summary"`
		Version   string          `json:"version"`
		Date      string          `json:"date,omitempty"`
		Files     []jsonFile      `json:"files"`
		Seed      *uint64         `json:"seed"`
		Check     json.RawMessage `json:"check"`
		Field     json.RawMessage `json:"field"`
		FieldSize int             `json:"field_size"`
		Rejected  []jsonRejected  `json:"rejected"`
		Sections  []jsonSection   `json:"sections"`
	}
	jsonFile struct {
		Name   string `json:"name"`
		Bytes  int    `json:"bytes"`
		SHA256 string `json:"sha256"`
	}
	jsonRejected struct {
		ID      string   `json:"id"`
		Price   number   `json:"price"`
		WhyNot  string   `json:"why_not"`
		Changes []string `json:"changes"`
	}
	jsonSection struct {
		ID       string      `json:"id"`
		Number   string      `json:"number"`
		Title    string      `json:"title"`
		Contents []jsonBlock `json:"contents"`
	}
	jsonBlock struct {
		Kind   Kind        `json:"kind"`
		Text   string      `json:"text,omitempty"`
		Items  []string    `json:"items,omitempty"`
		Facts  []jsonFact  `json:"facts,omitempty"`
		Table  *jsonTable  `json:"table,omitempty"`
		Blanks []string    `json:"blanks,omitempty"`
		Figure *jsonFigure `json:"figure,omitempty"`
		Steps  []jsonStep  `json:"steps,omitempty"`
	}
	jsonFact struct {
		Name string   `json:"name"`
		Cell jsonCell `json:"cell"`
	}
	jsonTable struct {
		Caption string       `json:"caption"`
		Heads   []string     `json:"heads"`
		Rows    [][]jsonCell `json:"rows"`
	}
	jsonCell struct {
		Text  string `json:"text"`
		Value number `json:"value"`
		Path  string `json:"path,omitempty"`
	}
	jsonFigure struct {
		Name    string      `json:"name"`
		Title   string      `json:"title"`
		Finding string      `json:"finding"`
		Tables  []jsonTable `json:"tables"`
	}
	jsonStep struct {
		Title   string `json:"title"`
		Formula string `json:"formula"`
		Numbers string `json:"numbers"`
		Result  string `json:"result"`
		Note    string `json:"note"`
	}
)

// number is null when unknown or without end.
type number float64

// MarshalJSON implements json.Marshaler.
func (n number) MarshalJSON() ([]byte, error) {
	if f := float64(n); !math.IsNaN(f) && !math.IsInf(f, 0) {
		return json.Marshal(f)
	}
	return []byte("null"), nil
}

// JSON writes the review with, under "check", the answer of the check command
// and, under "field", the first candidates of the rank command's. Each number
// of the document names its place in them by path, as far as it is one of
// theirs: a path that starts with "field." or "rejected." is taken from the
// top, any other from "check".
func JSON(w io.Writer, in *Inputs, d *Document) error {
	out := jsonReview{Title: d.Title, Pick: d.Pick, Verdict: d.Verdict, Summary: d.Lead, Version: in.Version, Date: in.Date,
		Files: []jsonFile{}, Rejected: []jsonRejected{}, FieldSize: len(in.Field.Candidates)}
	for _, f := range in.Files {
		out.Files = append(out.Files, jsonFile(f))
	}
	if in.Spread != nil {
		out.Seed = &in.Spread.Seed
	}
	for _, r := range in.Rejected {
		out.Rejected = append(out.Rejected, jsonRejected{r.Candidate.ID, number(r.Candidate.Price), r.Candidate.WhyNot(), append([]string{}, r.Changes...)})
	}
	var err error
	if out.Check, err = answer(func(b *bytes.Buffer) error {
		return report.Check(b, in.Field, in.Pick, report.Style{Format: report.JSON})
	}); err != nil {
		return err
	}
	short := *in.Field
	short.Candidates = append([]sizing.Candidate(nil), short.Candidates[:min(ShownFirst, len(short.Candidates))]...)
	if out.Field, err = answer(func(b *bytes.Buffer) error { return report.Rank(b, &short, report.Style{Format: report.JSON}) }); err != nil {
		return err
	}
	for i := range d.Sections {
		out.Sections = append(out.Sections, sectionJSON(&d.Sections[i]))
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(out)
}

func answer(write func(*bytes.Buffer) error) (json.RawMessage, error) {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func sectionJSON(s *Section) jsonSection {
	out := jsonSection{ID: s.ID, Number: s.Number, Title: s.Title, Contents: []jsonBlock{}}
	for i := range s.Contents {
		b := &s.Contents[i]
		j := jsonBlock{Kind: b.Kind, Text: b.Text, Items: b.Items, Blanks: b.Blanks}
		for _, f := range b.Facts {
			j.Facts = append(j.Facts, jsonFact{f.Name, cellJSON(f.Cell)})
		}
		if b.Table != nil {
			t := tableJSON(b.Table)
			j.Table = &t
		}
		if f := b.Figure; f != nil {
			j.Figure = &jsonFigure{Name: f.Name, Title: f.Title, Finding: f.Finding, Tables: []jsonTable{}}
			for k := range f.Tables {
				j.Figure.Tables = append(j.Figure.Tables, tableJSON(&f.Tables[k]))
			}
		}
		for _, st := range b.Steps {
			j.Steps = append(j.Steps, jsonStep(st))
		}
		out.Contents = append(out.Contents, j)
	}
	return out
}

func tableJSON(t *figures.Table) jsonTable {
	out := jsonTable{Caption: t.Caption, Heads: t.Heads, Rows: [][]jsonCell{}}
	for _, row := range t.Rows {
		cells := make([]jsonCell, len(row))
		for i, c := range row {
			cells[i] = cellJSON(c)
		}
		out.Rows = append(out.Rows, cells)
	}
	return out
}

func cellJSON(c figures.Cell) jsonCell { return jsonCell{c.Text, number(c.Value), c.Path} }
