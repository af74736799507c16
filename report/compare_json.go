package report

import (
	"encoding/csv"
	"encoding/json"
	"io"

	"example.org/dray/sizing"
)

// The JSON shapes of a comparison.
type (
	jsonComparison struct {
		Title    string               `json:"title"`
		Warnings []string             `json:"warnings"`
		Picks    []jsonComparedPick   `json:"picks"`
		Sections []jsonCompareSection `json:"sections"`
		Alike    int                  `json:"alike"`
	}
	jsonComparedPick struct {
		ID      string `json:"id"`
		Rank    int    `json:"rank"`
		Verdict string `json:"verdict"`
	}
	jsonCompareSection struct {
		Title string           `json:"title"`
		Rows  []jsonCompareRow `json:"rows"`
	}
	jsonCompareRow struct {
		Name   string            `json:"name"`
		Unit   string            `json:"unit"`
		Values []json.RawMessage `json:"values"` // numbers in SI, or words; null unknown
	}
)

func (c *comparison) json(f *sizing.Field) jsonComparison {
	out := jsonComparison{Title: f.Title, Warnings: listed(f.Warnings), Sections: []jsonCompareSection{}}
	for _, k := range c.picks {
		out.Picks = append(out.Picks, jsonComparedPick{k.ID, k.Rank, k.Verdict.String()})
	}
	for i := range c.sections {
		sec := jsonCompareSection{Title: c.sections[i].title}
		for _, r := range c.sections[i].rows {
			if !r.differs() {
				out.Alike++
				continue
			}
			sec.Rows = append(sec.Rows, r.json())
		}
		if len(sec.Rows) > 0 {
			out.Sections = append(out.Sections, sec)
		}
	}
	return out
}

func (r *compareRow) json() jsonCompareRow {
	out := jsonCompareRow{Name: r.name, Unit: r.si}
	for i, text := range r.texts {
		var raw []byte
		switch {
		case r.values != nil:
			raw, _ = number(r.values[i]).MarshalJSON()
		case text == absent:
			raw = []byte("null")
		default:
			raw, _ = json.Marshal(text)
		}
		out.Values = append(out.Values, raw)
	}
	return out
}

// csv writes one row per property that differs, a column per pick.
func (c *comparison) csv(w io.Writer) error {
	out := csv.NewWriter(w)
	head := []string{"section", "property", "unit"}
	for _, k := range c.picks {
		head = append(head, k.ID)
	}
	if err := out.Write(head); err != nil {
		return err
	}
	for i := range c.sections {
		for _, r := range c.sections[i].rows {
			if !r.differs() {
				continue
			}
			row := []string{c.sections[i].title, r.name, r.si}
			for j, text := range r.texts {
				switch {
				case r.values != nil:
					text = full(r.values[j])
				case text == absent:
					text = ""
				}
				row = append(row, text)
			}
			if err := out.Write(row); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}
