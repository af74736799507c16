package figures

import (
	"fmt"
	"math"

	"example.org/dray/sizing"
)

// field scatters all candidates over runtime and thermal margin, the pick marked.
func (s *Source) field() *Figure {
	f := &Figure{Name: "field", Title: "Every candidate by runtime and thermal margin"}
	c := s.Field.Candidates
	p := Panel{Heading: "thermal margin, %", X: Axis{Label: "runtime, h"}, Height: 240}
	top := 0.0
	var counts [4]int
	never, unknown := 0, 0
	for i := range c {
		counts[c[i].Verdict]++
		switch {
		case math.IsInf(c[i].Runtime, 1):
			never++
		case math.IsNaN(c[i].Runtime) || math.IsNaN(c[i].ThermalMargin):
			unknown++
		case c[i].Verdict < sizing.Uncertain:
			top = math.Max(top, c[i].Runtime)
		}
	}
	if top == 0 {
		for i := range c {
			if !math.IsInf(c[i].Runtime, 0) && !math.IsNaN(c[i].ThermalMargin) && !math.IsNaN(c[i].Runtime) {
				top = math.Max(top, c[i].Runtime)
			}
		}
	}
	p.X.Min, p.X.Max = 0, ceilTo(math.Max(top*1.15, 0.1), 1)
	p.Y = Axis{Min: -60, Max: 100}
	p.Points = scattered(c, p.X.Max, p.Y.Min)
	k := s.Pick
	if !math.IsNaN(k.ThermalMargin) && !math.IsNaN(k.Runtime) && !math.IsInf(k.Runtime, 0) {
		p.Points = append(p.Points, Point{X: k.Runtime, Y: 100 * k.ThermalMargin, Label: "the pick", Mark: Diamond, Tone: Rust})
	}
	if w := s.Field.Case.Wants.Runtime; w.Known() {
		p.Rules = append(p.Rules, Rule{At: float64(w.Value) / 3600, Vertical: true, Label: "wanted", Tone: Moss, Dash: Short})
	}
	f.Panels = []Panel{p}
	f.Key = []string{"● passes, × fails, ◆ the pick; points nearer than the page can show stand as one"}
	if never+unknown > 0 {
		f.Key = append(f.Key, fmt.Sprintf("not drawn: %d whose duty never empties the pack, %d without runtime or thermal margin", never, unknown))
	}
	f.Finding = s.fieldFinding(counts)
	f.Tables = []Table{s.fieldTable()}
	return f
}

// scattered marks the candidates, one for each spot the page can tell apart.
func scattered(c []sizing.Candidate, right, floor float64) []Point {
	type spot struct{ x, y int }
	seen := map[spot]bool{}
	var pass, fail []Point
	for i := range c {
		k := &c[i]
		if !(k.Runtime <= right) || !(100*k.ThermalMargin >= floor) {
			continue
		}
		q := Point{X: k.Runtime, Y: 100 * k.ThermalMargin, Mark: Dot, Tone: Blue}
		at := spot{int(k.Runtime / right * 130), int(k.ThermalMargin * 60)}
		if k.Verdict == sizing.Fails || k.Verdict == sizing.Uncertain {
			q.Mark, q.Tone = Cross, Grey
			if !seen[at] {
				fail = append(fail, q)
			}
		} else {
			at.x += 1e6
			if !seen[at] {
				pass = append(pass, q)
			}
		}
		seen[at] = true
	}
	return append(fail, pass...)
}

func (s *Source) fieldFinding(counts [4]int) string {
	passing := counts[sizing.Holds] + counts[sizing.Tight]
	better := 0
	k := s.Pick
	for i := range s.Field.Candidates {
		o := &s.Field.Candidates[i]
		if o.Verdict < sizing.Uncertain && o.ThermalMargin > k.ThermalMargin*1.001 && o.Runtime > k.Runtime*1.001 {
			better++
		}
	}
	words := fmt.Sprintf("%d of %d candidates pass.", passing, len(s.Field.Candidates))
	switch {
	case math.IsNaN(k.ThermalMargin):
		return words + " The pick has no thermal margin to place it by."
	case better == 0:
		return fmt.Sprintf("%s The pick has a thermal margin of %s %% and a runtime of %s h; none that passes is better in both.", words, Sig(100*k.ThermalMargin), Sig(k.Runtime))
	}
	return fmt.Sprintf("%s The pick has a thermal margin of %s %% and a runtime of %s h; %d that pass are better in both.", words, Sig(100*k.ThermalMargin), Sig(k.Runtime), better)
}

// fieldRows is how many candidates the table behind the field names.
const fieldRows = 25

func (s *Source) fieldTable() Table {
	t := Table{Caption: fmt.Sprintf("The first %d candidates in order", min(fieldRows, len(s.Field.Candidates))), Left: 2,
		Heads: []string{"candidate", "verdict", "thermal margin, %", "runtime, h", "pack mean, A"}}
	for i := range s.Field.Candidates {
		if i >= fieldRows {
			break
		}
		c := &s.Field.Candidates[i]
		at := fmt.Sprintf("field.candidates.%d.", i)
		t.Rows = append(t.Rows, []Cell{Words(fmt.Sprintf("%d %s", c.Rank, c.ID)), Words(c.Verdict.String()), Shown(c.ThermalMargin, Sig(100*c.ThermalMargin), at+"thermal_margin"), runtimeCell(c, at), Number(c.BatteryCurrentMean, at+"battery_current_mean_A")})
	}
	return t
}

func runtimeCell(c *sizing.Candidate, at string) Cell {
	if math.IsInf(c.Runtime, 1) {
		return Words("never ends")
	}
	return Number(c.Runtime, at+"runtime_h")
}
