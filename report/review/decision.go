package review

import (
	"fmt"
	"math"
	"strings"

	"example.org/dray/report/figures"
	"example.org/dray/sizing"
)

// How much of a large field a review prints.
const (
	shownPassing = 12 // passing candidates in the ranking
	ShownFirst   = 25 // candidates of the field that the JSON answer carries, in order
	shownWhyNot  = 6  // rejected candidates that are cheaper than the pick
)

// decision tells the field, the order, and why not the others.
func (w *composer) decision() {
	s := w.section("decision", "The field and the decision")
	var counts [4]int
	for i := range w.f.Candidates {
		counts[w.f.Candidates[i].Verdict]++
	}
	passing := counts[sizing.Holds] + counts[sizing.Tight]
	s.say(fmt.Sprintf("%s examined: every motor, gear train, further stage, battery and controller that the case allows together. %d hold, %d are tight, %d have an unknown winding temperature, %d fail.",
		count(len(w.f.Candidates), "candidate was", "candidates were"), counts[0], counts[1], counts[2], counts[3]))
	p := w.f.Weights
	s.say(fmt.Sprintf("What passes is ordered by thermal margin × %s, mean pack current × %s and runtime × %s, each between the worst and the best of those that pass; ties by id. What fails is ordered by its worst margin. The weights are the user's.",
		sig(p.ThermalMargin), sig(p.Current), sig(p.Runtime)))
	if passing > 0 {
		s.judged(w.ranking(), 2)
		s.say(w.whyThisOne())
	}
	s.picture(w.in.Figures, "field")
	w.whyNot(s)
	if ch := w.c.Detail.Choice; ch != nil && ch.Sentence != "" {
		s.say(sentence(ch.Sentence))
	}
}

// ranking is the table of the best that pass, the pick among them wherever it
// stands.
func (w *composer) ranking() figures.Table {
	t := figures.Table{Caption: "The best of those that pass", Left: 3,
		Heads: []string{"candidate", "verdict", "dominated", "thermal margin, %", "pack mean, A", "runtime, h", "price", "score"}}
	row := func(i int) {
		c := &w.f.Candidates[i]
		at := fmt.Sprintf("field.candidates.%d.", i)
		if i >= ShownFirst {
			at = ""
		}
		path := func(name string) string {
			if at == "" {
				return ""
			}
			return at + name
		}
		name := fmt.Sprintf("%d %s", c.Rank, c.ID)
		if c == w.c {
			name += " ← the pick"
		}
		dominated := ""
		if c.Dominated {
			dominated = "yes"
		}
		runtime := figures.Number(c.Runtime, path("runtime_h"))
		if math.IsInf(c.Runtime, 1) {
			runtime = figures.Words("never ends")
		}
		t.Rows = append(t.Rows, []figures.Cell{figures.Words(name), figures.Words(c.Verdict.String()), figures.Words(dominated),
			amount(c.ThermalMargin, sig(100*c.ThermalMargin), path("thermal_margin")), figures.Number(c.BatteryCurrentMean, path("battery_current_mean_A")), runtime,
			amount(c.Price, fmt.Sprintf("%.2f", c.Price), path("price")), figures.Number(c.Score, path("score"))})
	}
	for i := range w.f.Candidates {
		if c := &w.f.Candidates[i]; c.Verdict < sizing.Uncertain && len(t.Rows) < shownPassing {
			row(i)
		} else if c == w.c {
			row(i)
		}
	}
	return t
}

// whyThisOne gives the reasons for the pick, and against it.
func (w *composer) whyThisOne() string {
	c := w.c
	var b strings.Builder
	switch {
	case c.Verdict > sizing.Tight:
		fmt.Fprintf(&b, "The pick is not among those that pass. ")
	case c.Rank == 1:
		fmt.Fprintf(&b, "The pick comes first by these weights. ")
	default:
		first := &w.f.Candidates[0]
		fmt.Fprintf(&b, "The pick comes %s; first is %s, with a thermal margin of %s, %s A from the pack on average and a runtime of %s h. ",
			ordinal(c.Rank), first.ID, share(first.ThermalMargin), sig(first.BatteryCurrentMean), sig(first.Runtime))
	}
	if c.Dominated {
		b.WriteString("It is dominated: another that passes is better in thermal margin, pack current and runtime all at once. ")
	}
	dominated, passing := 0, 0
	for i := range w.f.Candidates {
		if o := &w.f.Candidates[i]; o.Verdict < sizing.Uncertain {
			passing++
			if o.Dominated {
				dominated++
			}
		}
	}
	fmt.Fprintf(&b, "Of %d that pass, %d are dominated: whatever the weights, another is better in all three figures.", passing, dominated)
	if cheaper := w.cheapest(); cheaper != nil && cheaper != c {
		fmt.Fprintf(&b, " The cheapest that passes is %s at %.2f", cheaper.ID, cheaper.Price)
		if !math.IsNaN(c.Price) {
			fmt.Fprintf(&b, " against %.2f for the pick", c.Price)
		}
		fmt.Fprintf(&b, "; it has a thermal margin of %s and a runtime of %s h.", share(cheaper.ThermalMargin), sig(cheaper.Runtime))
	}
	return b.String()
}

// cheapest is the passing candidate of the least price; nil when none has one.
func (w *composer) cheapest() *sizing.Candidate {
	var best *sizing.Candidate
	for i := range w.f.Candidates {
		if c := &w.f.Candidates[i]; c.Verdict < sizing.Uncertain && !math.IsNaN(c.Price) && (best == nil || c.Price < best.Price) {
			best = c
		}
	}
	return best
}

// AskedAbout picks the rejected candidates that a reader would ask about: of
// those cheaper than the pick, or of all where it has no price, the nearest to
// passing, one for each motor row, in the order of the field.
func AskedAbout(f *sizing.Field, pick *sizing.Candidate) []*sizing.Candidate {
	var out []*sizing.Candidate
	seen := map[string]bool{}
	for i := range f.Candidates {
		c := &f.Candidates[i]
		if c.Verdict <= sizing.Tight || !math.IsNaN(pick.Price) && !(c.Price < pick.Price) || seen[c.Motor.Row] || c == pick {
			continue
		}
		seen[c.Motor.Row] = true
		if out = append(out, c); len(out) == shownWhyNot {
			break
		}
	}
	return out
}

// whyNot answers "why not the cheaper one".
func (w *composer) whyNot(s *Section) {
	if len(w.in.Rejected) == 0 {
		return
	}
	s.part("Why not the cheaper one")
	t := figures.Table{Caption: "Rejected although cheaper: the nearest to passing, one for each motor", Left: 3, Heads: []string{"candidate", "fails first by", "what would save it", "price"}}
	for i, r := range w.in.Rejected {
		change := figures.Absent
		if len(r.Changes) > 0 {
			change = strings.Join(r.Changes[:min(2, len(r.Changes))], "; or ")
		}
		t.Rows = append(t.Rows, []figures.Cell{figures.Words(r.Candidate.ID), figures.Words(r.Candidate.WhyNot()), figures.Words(change),
			amount(r.Candidate.Price, fmt.Sprintf("%.2f", r.Candidate.Price), fmt.Sprintf("rejected.%d.price", i))})
	}
	s.table(t)
}
