package report

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"example.org/dray/sizing"
)

func TestCompareShowsOnlyWhatDiffers(t *testing.T) {
	f := fixtureField()
	a, b := &f.Candidates[0], &f.Candidates[1]
	sheet := compared(picked(a, b), Style{})
	shown, alike := 0, 0
	for _, sec := range sheet.sections {
		for _, r := range sec.rows {
			if len(r.texts) != 2 {
				t.Fatalf("%s has %d cells for two picks", r.name, len(r.texts))
			}
			if r.shown() {
				shown++
			} else {
				alike++
			}
			if r.shown() && !r.differs() {
				t.Errorf("%s is shown, and JSON leaves it out", r.name)
			}
		}
	}
	if shown == 0 || alike == 0 {
		t.Errorf("%d rows differ and %d are alike: the fixture tries only one of the two", shown, alike)
	}
	var text strings.Builder
	if err := Compare(&text, f, picked(a, b), Style{}); err != nil {
		t.Fatal(err)
	}
	for line := range strings.SplitSeq(text.String(), "\n") {
		if n := len([]rune(line)); n > 80 {
			t.Errorf("%d columns: %s", n, line)
		}
	}
}

func TestAPickComparedWithItsTwinDiffersInNothing(t *testing.T) {
	f := fixtureField()
	a := f.Candidates[0]
	twin := a
	sheet := compared(picked(&a, &twin), Style{})
	for _, sec := range sheet.sections {
		for _, r := range sec.rows {
			if r.differs() {
				t.Errorf("%s: %q", r.name, r.texts)
			}
		}
	}
}

func TestCompareWritesNumbersAndWordsInJSON(t *testing.T) {
	f := fixtureField()
	var text strings.Builder
	if err := Compare(&text, f, picked(&f.Candidates[0], &f.Candidates[1]), Style{Format: JSON}); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Picks    []struct{ ID string }
		Sections []struct {
			Title string
			Rows  []struct {
				Name   string
				Values []any
			}
		}
	}
	if err := json.Unmarshal([]byte(text.String()), &got); err != nil {
		t.Fatal(err)
	}
	var kinds []string
	for _, s := range got.Sections {
		for _, r := range s.Rows {
			if len(r.Values) != len(got.Picks) {
				t.Errorf("%s: %d values for %d picks", r.Name, len(r.Values), len(got.Picks))
			}
			for _, v := range r.Values {
				switch v.(type) {
				case float64:
					kinds = append(kinds, "number")
				case string:
					kinds = append(kinds, "word")
				}
			}
		}
	}
	if !slices.Contains(kinds, "number") || !slices.Contains(kinds, "word") {
		t.Error("the comparison holds no numbers or no words")
	}
}

func picked(list ...*sizing.Candidate) []*sizing.Candidate { return list }
