package review

import (
	"fmt"
	"math"
	"strings"

	"example.org/dray/quantity"
	"example.org/dray/report"
	"example.org/dray/report/figures"
	"example.org/dray/sizing"
	"example.org/dray/sizing/explore"
)

// WindowOf turns explored ratios into what the figure draws.
func WindowOf(r *explore.Ratios) *figures.Window {
	if r == nil {
		return nil
	}
	name := func(by int) string {
		if by < 0 {
			return ""
		}
		return sizing.CheckName(by).String()
	}
	w := &figures.Window{Motor: r.Pick.Motor.ID, Pick: r.Ratio, From: r.From, To: r.To, Note: strings.Join(r.Notes, "; ")}
	for _, g := range r.Windows {
		w.Passing = append(w.Passing, figures.Passage{Low: g.From.Ratio, High: g.To.Ratio, LowBy: name(g.From.SetBy), HighBy: name(g.To.SetBy)})
	}
	for _, b := range r.Best {
		if !math.IsNaN(b.Ratio) {
			word := map[string]string{"thermal_margin": "heat", "current": "current", "runtime": "runtime"}[b.Objective]
			w.Best = append(w.Best, figures.Best{Name: word, Ratio: b.Ratio})
		}
	}
	for _, o := range r.OnOffer {
		w.Offers = append(w.Offers, figures.Offer{ID: o.ID, Ratio: o.Ratio, Passes: o.Failure < 0 && o.Verdict < sizing.Uncertain, WhyNot: o.WhyNot})
	}
	if k := r.Conflict; k != nil {
		var always []string
		for _, n := range k.Always {
			always = append(always, n.String())
		}
		if len(always) > 0 {
			w.Conflict = joined(always) + " " + plural(len(always), "fails", "fail") + " at every ratio"
		} else {
			w.Conflict = "speed wants " + windows(k.Speed) + ", torque and heat want " + windows(k.Torque)
		}
	}
	return w
}

func windows(list []explore.Window) string {
	var out []string
	for _, w := range list {
		out = append(out, w.String())
	}
	if len(out) == 0 {
		return "no ratio at all"
	}
	return strings.Join(out, " or ")
}

// ratios shows which ratios would do with the pick's motor, pack and controller.
func (w *composer) ratios() {
	if w.in.Ratios == nil {
		return
	}
	s := w.section("ratios", "The window of ratios")
	s.picture(w.in.Figures, "ratio-window")
	var items []string
	for _, g := range w.in.Ratios.Windows {
		for _, e := range []struct {
			word string
			edge explore.Edge
		}{{"Below", g.From}, {"Above", g.To}} {
			if e.edge.Why != "" {
				items = append(items, fmt.Sprintf("%s %s: %s", e.word, sig(e.edge.Ratio), sentence(e.edge.Why)))
			}
		}
	}
	s.list(items)
}

// headroom tells how far each quantity of the duty can go.
func (w *composer) headroom() {
	s := w.section("headroom", "Headroom")
	if w.in.Headroom == nil {
		s.say("Not explored for this report.")
		return
	}
	s.say("How far one quantity can go, all others as they are, and which check turns first. Below each limit nothing fails.")
	t := figures.Table{Caption: "Room around the pick", Left: 4, Heads: []string{"quantity", "now", "can go to", "then gives", "in words"}}
	t.Left = 5
	for _, r := range w.in.Headroom.Items {
		name := quantityNames(r.Quantity)
		if r.Reason != "" {
			t.Rows = append(t.Rows, words(name, figures.Absent, figures.Absent, figures.Absent, sentence(r.Reason)))
			continue
		}
		limit, gives := w.quantity(r.Unit, r.Limit), figures.Absent
		switch {
		case math.IsNaN(r.Limit):
			limit, gives = "nothing in reach passes", figures.Absent
		case r.Gives < 0:
			limit = "beyond " + w.quantity(r.Unit, r.End)
		default:
			gives = sizing.CheckName(r.Gives).String()
		}
		if r.Down && !math.IsNaN(r.Limit) {
			limit = "must come down to " + limit
		}
		t.Rows = append(t.Rows, []figures.Cell{figures.Words(name), amount(r.Now, w.quantity(r.Unit, r.Now), ""), amount(r.Limit, limit, ""), figures.Words(gives), figures.Words(sentence(r.Why))})
	}
	s.table(t)
}

func (w *composer) quantity(unit string, si float64) string {
	if w.in.Display == quantity.SI && unit == "kg" {
		return both(quantity.KindMass, si)
	}
	return report.QuantityText(w.in.Display, unit, si)
}

// spread tells what tolerances do, when it was asked for.
func (w *composer) spread() {
	r := w.in.Spread
	if r == nil || len(r.Candidates) == 0 {
		return
	}
	s := w.section("spread", "What tolerances do")
	k := &r.Candidates[0]
	s.say(fmt.Sprintf("Every figure was drawn %d times within its tolerance (Latin hypercube, seed %d). The pick passes in %s of the samples, ± %s.",
		k.Samples, r.Seed, share(k.PassShare), share(k.PassHalf)))
	if r.Partial {
		s.warn(fmt.Sprintf("Partial: interrupted after %d of %d samples.", r.Done, r.Samples))
	}
	s.warnings(r.Jumps)
	t := figures.Table{Caption: "Margins in the samples, %", Left: 1, Heads: []string{"check", "5 %", "50 %", "95 %", "fails in, %"}}
	for _, c := range k.Checks {
		t.Rows = append(t.Rows, []figures.Cell{figures.Words(c.Name.String()), amount(c.Margin.P05, sig(100*c.Margin.P05), ""), amount(c.Margin.P50, sig(100*c.Margin.P50), ""),
			amount(c.Margin.P95, sig(100*c.Margin.P95), ""), amount(c.Fails, sig(100*c.Fails), "")})
	}
	s.table(t)
	m := figures.Table{Caption: "What matters most for the worst margin", Left: 3, Heads: []string{"input", "row", "basis", "rank correlation", "worst margin at its low end, %", "at its high end, %"}}
	for i, x := range k.Matters {
		if i >= 10 {
			break
		}
		m.Rows = append(m.Rows, append(words(x.Input, x.Row, x.Basis.String()), figures.Number(x.RankCorrelation, ""), amount(x.AtLow, sig(100*x.AtLow), ""), amount(x.AtHigh, sig(100*x.AtHigh), "")))
	}
	s.table(m)
}

// quantityNames are the knobs of headroom in words.
func quantityNames(q string) string {
	switch q {
	case "payload":
		return "payload added to every leg"
	case "incline":
		return "steepest slope"
	case "speed":
		return "top speed"
	case "acceleration":
		return "acceleration"
	case "air":
		return "air temperature"
	case "duty_share":
		return "share of the cycle in motion"
	}
	return strings.ReplaceAll(q, "_", " ")
}
