package figures

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Window is what ratios pass for one motor, pack and controller.
type Window struct {
	Motor    string
	Pick     float64 // total ratio of the pick
	From, To float64 // range searched
	Passing  []Passage
	Best     []Best
	Offers   []Offer
	Conflict string // why no ratio passes; empty where one does
	Note     string
}

// Passage is a range of ratios in which nothing fails.
type Passage struct {
	Low, High     float64
	LowBy, HighBy string // the check that sets the edge; empty at the end of the search
}

// Best is the ratio that serves one objective best.
type Best struct {
	Name  string
	Ratio float64
}

// Offer is a ratio that can be bought.
type Offer struct {
	ID     string
	Ratio  float64
	Passes bool
	WhyNot string
}

// Rows of the ratio figure, from the top.
const (
	rowPasses = 3.0
	rowOffers = 2.0
	rowBest   = 1.0
)

// ratioWindow shows on one axis of ratios what passes, what is on offer and
// what would serve each objective best.
func (s *Source) ratioWindow() (*Figure, error) {
	w := s.Window
	if w == nil {
		return nil, &Missing{"ratio-window", "the ratios were not explored"}
	}
	low, high := w.reach()
	p := Panel{Heading: "which ratios pass with this motor, pack and controller",
		X: Axis{Label: "total ratio, motor turns per turn of the load shaft", Log: true, Min: low, Max: high},
		Y: Axis{Min: 0.3, Max: 4.4, Bare: true}, Height: 150}
	for i, g := range w.Passing {
		l := Line{X: []float64{math.Max(low, g.Low), math.Min(high, g.High)}, Y: []float64{rowPasses, rowPasses}, Tone: Blue, Heavy: true, Anchor: noAnchor()}
		if i == 0 {
			l.Label = "passes"
		}
		p.Lines = append(p.Lines, l)
		p.Bands = append(p.Bands, Band{X: l.X, Low: []float64{0.3, 0.3}, High: []float64{4.4, 4.4}, Tone: Blue})
		for _, e := range []struct {
			at float64
			by string
		}{{g.Low, g.LowBy}, {g.High, g.HighBy}} {
			if e.by != "" {
				p.Rules = append(p.Rules, Rule{At: e.at, Vertical: true, Label: Sig(e.at) + ", " + shortCheck(e.by), Tone: Ink, Dash: Short})
			}
		}
	}
	p.Rules = append(p.Rules, Rule{At: rowOffers, Label: "on offer", Tone: Grey, Dash: Dotted})
	for _, o := range w.Offers {
		q := Point{X: o.Ratio, Y: rowOffers, Mark: BigCross, Tone: Grey}
		if o.Passes {
			q.Mark, q.Tone = Disc, Blue
		}
		p.Points = append(p.Points, q)
	}
	p.Points = append(p.Points, Point{X: w.Pick, Y: rowOffers, Label: "pick " + Sig(w.Pick), Mark: Diamond, Tone: Rust})
	if len(w.Best) > 0 {
		p.Rules = append(p.Rules, Rule{At: rowBest, Label: "best for", Tone: Grey, Dash: Dotted})
	}
	for _, b := range together(w.Best) {
		p.Points = append(p.Points, Point{X: b.Ratio, Y: rowBest, Label: b.Name, Mark: Ring, Tone: Ink})
	}
	f := &Figure{Name: "ratio-window", Title: "The ratios that pass, what sets their ends, and the ratios on offer", Panels: []Panel{p},
		Key: []string{"shaded: nothing fails; dashed uprights: its ends, each with the check that fails beyond it; ● on offer and passes, × on offer and fails with its own efficiency and limits, ◆ the pick, ○ best for an objective"}}
	if w.Note != "" {
		f.Key = append(f.Key, w.Note)
	}
	f.Finding = w.finding()
	f.Tables = w.tables()
	return f, nil
}

// together joins objectives that want the same ratio, to 2 %.
func together(list []Best) (out []Best) {
	for _, b := range list {
		i := slices.IndexFunc(out, func(o Best) bool { return math.Abs(math.Log(o.Ratio/b.Ratio)) < 0.02 })
		if i < 0 {
			out = append(out, b)
			continue
		}
		out[i].Name += ", " + b.Name
	}
	return out
}

// reach is the stretch of ratios worth drawing: about what passes, what is on
// offer and the pick.
func (w *Window) reach() (low, high float64) {
	r := reach{math.Inf(1), math.Inf(-1)}
	r.see(w.Pick)
	for _, g := range w.Passing {
		r.see(g.Low, g.High)
	}
	for _, b := range w.Best {
		r.see(b.Ratio)
	}
	for _, o := range w.Offers {
		if o.Ratio > w.Pick/10 && o.Ratio < w.Pick*10 {
			r.see(o.Ratio)
		}
	}
	return math.Max(w.From, r.min/2.5), math.Min(w.To, r.max*2.5)
}

func (w *Window) finding() string {
	if len(w.Passing) == 0 {
		return strings.TrimSuffix(fmt.Sprintf("With motor %s no ratio passes: %s", w.Motor, w.Conflict), ": ")
	}
	var parts []string
	for _, g := range w.Passing {
		text := fmt.Sprintf("%s to %s", Sig(g.Low), Sig(g.High))
		if g.LowBy != "" {
			text += fmt.Sprintf(", below it %s fails", g.LowBy)
		}
		if g.HighBy != "" {
			text += fmt.Sprintf(", above it %s fails", g.HighBy)
		}
		parts = append(parts, text)
	}
	return fmt.Sprintf("With motor %s these total ratios pass: %s; the pick turns %s.", w.Motor, strings.Join(parts, "; "), Sig(w.Pick))
}

func (w *Window) tables() []Table {
	ends := Table{Caption: "Ratios that pass", Heads: []string{"below it fails", "above it fails", "from", "to"}, Left: 2}
	for _, g := range w.Passing {
		ends.Rows = append(ends.Rows, []Cell{Words(orAbsent(g.LowBy)), Words(orAbsent(g.HighBy)), Number(g.Low, ""), Number(g.High, "")})
	}
	offers := Table{Caption: "Ratios on offer", Heads: []string{"train", "passes", "why not", "ratio"}, Left: 3}
	for _, o := range w.Offers {
		offers.Rows = append(offers.Rows, []Cell{Words(o.ID), Words(map[bool]string{true: "yes", false: "no"}[o.Passes]), Words(orAbsent(o.WhyNot)), Number(o.Ratio, "")})
	}
	if len(w.Passing) == 0 {
		return []Table{offers}
	}
	return []Table{ends, offers}
}

func orAbsent(text string) string {
	if text == "" {
		return Absent
	}
	return text
}

// shortCheck keeps a check's name short enough for a label.
func shortCheck(name string) string {
	switch name {
	case "winding temperature":
		return "winding"
	case "housing temperature":
		return "housing"
	case "gear torque continuous":
		return "gears, always"
	case "gear torque peak":
		return "gears, a moment"
	case "gear input speed":
		return "gear input"
	case "controller current", "controller voltage":
		return "controller"
	case "battery current":
		return "battery"
	case "regeneration voltage":
		return "regeneration"
	}
	return name
}
