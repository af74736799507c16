package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"example.org/dray/sizing"
	"example.org/dray/sizing/explore"
)

// Ratios writes what the total ratio may be for a motor. It returns the
// writer's error, or an error that names an unknown format.
func Ratios(w io.Writer, f *sizing.Field, r *explore.Ratios, s Style) error {
	switch s.Format {
	case JSON:
		return writeJSON(w, ratiosJSON(f, r))
	case CSV:
		return ratiosCSV(w, r)
	case MD:
		s.Width = 0
		return writeMarkdown(w, ratiosDocument(f, r, s))
	case Table, "":
		return writeText(w, ratiosDocument(f, r, s), s)
	default:
		return unknownFormat(s.Format)
	}
}

// ratiosDocument arranges the windows for people.
func ratiosDocument(f *sizing.Field, r *explore.Ratios, s Style) *document {
	d := &document{title: titleOf(f, "ratios for "+r.Pick.Motor.ID)}
	d.warnings(f.Warnings)
	battery := "the adapter"
	if r.Pick.Battery != nil {
		battery = r.Pick.Battery.ID
	}
	text := fmt.Sprintf("with %s and %s, the parts of %s", battery, r.Pick.Controller.ID, r.ID)
	if c, err := f.Find(r.ID); err == nil {
		text += fmt.Sprintf(" (rank %d, %s)", c.Rank, c.Verdict)
	}
	d.paragraph(text + fmt.Sprintf(", whose total ratio is %s motor turns per turn of the load shaft", figure(r.Ratio)))
	if len(r.Windows) == 0 {
		ratioConflict(d, r)
	} else {
		d.section("ratios at which nothing fails")
		d.table(windowGrid("", r.Windows, true))
		ratioBest(d, r)
	}
	ratioOffers(d, r)
	if len(r.Windows) > 0 {
		ratioTeeth(d, r)
	}
	d.section("how this is meant")
	d.list(append(ratioRules(r), r.Notes...))
	return d
}

// windowGrid tabulates windows, each edge with the check that sets it.
func windowGrid(label string, windows []explore.Window, why bool) *grid {
	g := &grid{columns: []column{{head: "from", right: true}, {head: "set by", fit: wrap, min: 12}, {head: "to", right: true}, {head: "set by", fit: wrap, min: 12}}}
	if label != "" {
		g.columns = append([]column{{head: label, fit: wrap, min: 14}}, g.columns...)
	}
	addWindows(g, nil, windows, why)
	return g
}

func addWindows(g *grid, lead []string, windows []explore.Window, why bool) {
	for _, w := range windows {
		g.row(append(append([]string{}, lead...), figure(w.From.Ratio), edgeText(w.From), figure(w.To.Ratio), edgeText(w.To))...)
		if why {
			for _, e := range []struct {
				side string
				explore.Edge
			}{{"below", w.From}, {"above", w.To}} {
				if e.Why != "" {
					g.remark(fmt.Sprintf("↳ %s %s: %s", e.side, figure(e.Ratio), e.Why))
				}
			}
		}
	}
	if len(windows) == 0 {
		g.row(append(append([]string{}, lead...), absent, "at no ratio", absent, "")...)
	}
}

func edgeText(e explore.Edge) string {
	if e.SetBy < 0 {
		return "end of the range"
	}
	return sizing.CheckName(e.SetBy).String()
}

// ratioConflict says which checks ask for different ratios.
func ratioConflict(d *document, r *explore.Ratios) {
	k := r.Conflict
	d.section("no ratio passes")
	if len(k.Always) > 0 {
		names := make([]string, len(k.Always))
		for i, n := range k.Always {
			names[i] = n.String()
		}
		d.paragraph(fmt.Sprintf("whatever the ratio, this fails: %s; the windows below leave it out", strings.Join(names, ", ")))
	}
	d.paragraph(conflictText(k))
	g := &grid{columns: []column{{head: "passes", fit: wrap, min: 14}, {head: "from", right: true}, {head: "set by", fit: wrap, min: 12}, {head: "to", right: true}, {head: "set by", fit: wrap, min: 12}}}
	addWindows(g, []string{"speed-type checks"}, k.Speed, false)
	addWindows(g, []string{"torque- and heat-type checks"}, k.Torque, false)
	g.separate("each check by itself")
	for _, c := range k.Each {
		addWindows(g, []string{c.Name.String()}, c.Windows, false)
	}
	d.table(g)
}

// conflictText puts the conflict into a sentence.
func conflictText(k *explore.Conflict) string {
	switch {
	case k.Least.SetBy >= 0 && k.Most.SetBy >= 0 && k.Least.Ratio > k.Most.Ratio:
		return fmt.Sprintf("a ratio conflict: %s wants %s:1 at least, and %s allows %s:1 at most", edgeText(k.Least), figure(k.Least.Ratio),
			edgeText(k.Most), figure(k.Most.Ratio))
	case len(k.Always) > 0:
		return "but for that, no two checks ask for ratios that exclude each other"
	}
	return "a ratio conflict: the windows of the checks do not meet"
}

func ratioBest(d *document, r *explore.Ratios) {
	g := &grid{columns: []column{{head: "best for"}, {head: "ratio", right: true}, {head: "there", right: true}}}
	for _, o := range r.Best {
		name, value := strings.ReplaceAll(o.Objective, "_", " "), percentOf(o.Value)
		switch o.Objective {
		case "current":
			name, value = "mean battery current", amount(o.Value, "A")
		case "runtime":
			value = amount(o.Value, "h")
		}
		if math.IsNaN(o.Ratio) {
			value = "unknown, or without end at every ratio"
		}
		g.row(name, figure(o.Ratio), value)
	}
	d.table(g)
}

func ratioOffers(d *document, r *explore.Ratios) {
	d.section("on offer with this motor")
	g := &grid{columns: []column{{head: "motor and gears", fit: shorten, min: 20}, {head: "ratio", right: true}, {head: "inside"}, {head: "verdict"}, {head: "fails", fit: wrap, min: 20}}}
	for _, o := range r.OnOffer {
		in := "no"
		if o.Inside {
			in = "yes"
		}
		g.add([]gridCell{{text: o.ID}, {text: figure(o.Ratio)}, {text: in}, verdictCell(o.Verdict), {text: o.WhyNot}})
	}
	d.table(g)
}

func ratioTeeth(d *document, r *explore.Ratios) {
	d.section("further stages that land inside, behind the motor as listed")
	if len(r.Teeth) == 0 {
		d.paragraph("no pair of 10 to 30 driving and 10 to 72 driven teeth that was tried passes")
		return
	}
	g := &grid{columns: []column{{head: "driver", right: true}, {head: "driven", right: true}, {head: "total ratio", right: true}, {head: "thermal margin", right: true}, {head: "verdict"}}}
	for _, t := range r.Teeth {
		g.add([]gridCell{{text: strconv.Itoa(t.Driver)}, {text: strconv.Itoa(t.Driven)}, {text: figure(t.Ratio)}, {text: percentOf(t.ThermalMargin)}, verdictCell(t.Verdict)})
	}
	d.table(g)
}

// ratioRules say what the numbers stand for.
func ratioRules(r *explore.Ratios) []string {
	return []string{
		fmt.Sprintf("sought from %s to %s motor turns per turn of the load shaft; an edge is exact to 1 part in a million: it passes, just beyond it the named check fails", figure(r.From), figure(r.To)),
		"inside tells of the ratio alone; the verdict beside it has the efficiency and the limits of that row or train",
		"a check that is tight at worst sets no edge",
	}
}

// The JSON of ratios.
type (
	jsonRatios struct {
		Title    string        `json:"title"`
		Warnings []string      `json:"warnings"`
		ID       string        `json:"id"`
		Ratio    number        `json:"ratio"`
		Stage    number        `json:"stage_ratio"`
		Range    jsonRange     `json:"range"`
		Windows  []jsonWindow  `json:"windows"`
		Best     []jsonBest    `json:"best"`
		OnOffer  []jsonOffer   `json:"on_offer"`
		Teeth    []jsonTeeth   `json:"tooth_pairs"`
		Conflict *jsonConflict `json:"conflict"`
		Notes    []string      `json:"notes"`
	}
	jsonRange struct {
		From number `json:"from"`
		To   number `json:"to"`
	}
	jsonWindow struct {
		From      number  `json:"from"`
		To        number  `json:"to"`
		FromSetBy *string `json:"from_set_by"`
		ToSetBy   *string `json:"to_set_by"`
		FromWhy   *string `json:"from_why"`
		ToWhy     *string `json:"to_why"`
	}
	jsonBest struct {
		Objective string `json:"objective"`
		Ratio     number `json:"ratio"`
		Value     number `json:"value"`
	}
	jsonOffer struct {
		ID           string  `json:"id"`
		Ratio        number  `json:"ratio"`
		Inside       bool    `json:"inside"`
		Candidate    string  `json:"candidate"`
		Verdict      string  `json:"verdict"`
		FirstFailure *string `json:"first_failure"`
	}
	jsonTeeth struct {
		Driver        int    `json:"driver_teeth"`
		Driven        int    `json:"driven_teeth"`
		Ratio         number `json:"ratio"`
		ThermalMargin number `json:"thermal_margin"`
		Verdict       string `json:"verdict"`
	}
	jsonConflict struct {
		Always []string          `json:"always_fails"`
		Speed  []jsonWindow      `json:"speed_windows"`
		Torque []jsonWindow      `json:"torque_and_heat_windows"`
		Each   []jsonCheckWindow `json:"each_check"`
	}
	jsonCheckWindow struct {
		Name    string       `json:"name"`
		Windows []jsonWindow `json:"windows"`
	}
)

func ratiosJSON(f *sizing.Field, r *explore.Ratios) jsonRatios {
	out := jsonRatios{Title: f.Title, Warnings: listed(f.Warnings), ID: r.ID, Ratio: number(r.Ratio), Stage: number(r.StageRatio),
		Range: jsonRange{number(r.From), number(r.To)}, Windows: windowsJSON(r.Windows), Best: []jsonBest{}, OnOffer: []jsonOffer{}, Teeth: []jsonTeeth{}, Notes: listed(r.Notes)}
	for _, o := range r.Best {
		out.Best = append(out.Best, jsonBest{o.Objective, number(o.Ratio), number(o.Value)})
	}
	for _, o := range r.OnOffer {
		out.OnOffer = append(out.OnOffer, jsonOffer{o.ID, number(o.Ratio), o.Inside, o.Candidate, o.Verdict.String(), optional(givesName(o.Failure))})
	}
	for _, t := range r.Teeth {
		out.Teeth = append(out.Teeth, jsonTeeth{t.Driver, t.Driven, number(t.Ratio), number(t.ThermalMargin), t.Verdict.String()})
	}
	if k := r.Conflict; k != nil {
		j := &jsonConflict{Always: []string{}, Speed: windowsJSON(k.Speed), Torque: windowsJSON(k.Torque), Each: []jsonCheckWindow{}}
		for _, n := range k.Always {
			j.Always = append(j.Always, n.String())
		}
		for _, c := range k.Each {
			j.Each = append(j.Each, jsonCheckWindow{c.Name.String(), windowsJSON(c.Windows)})
		}
		out.Conflict = j
	}
	return out
}

func windowsJSON(windows []explore.Window) []jsonWindow {
	out := []jsonWindow{}
	for _, w := range windows {
		out = append(out, jsonWindow{number(w.From.Ratio), number(w.To.Ratio), optional(givesName(w.From.SetBy)), optional(givesName(w.To.SetBy)), optional(w.From.Why), optional(w.To.Why)})
	}
	return out
}

// ratiosCSV writes windows, optima, offers and tooth pairs as rows of their kind.
func ratiosCSV(w io.Writer, r *explore.Ratios) error {
	rows := [][]string{{"kind", "name", "ratio", "to_ratio", "from_set_by", "to_set_by", "inside", "verdict", "first_failure", "value"}}
	for _, o := range r.Windows {
		rows = append(rows, []string{"window", "", full(o.From.Ratio), full(o.To.Ratio), givesName(o.From.SetBy), givesName(o.To.SetBy), "", "", "", ""})
	}
	for _, o := range r.Best {
		rows = append(rows, []string{"best", o.Objective, full(o.Ratio), "", "", "", "", "", "", full(o.Value)})
	}
	for _, o := range r.OnOffer {
		rows = append(rows, []string{"on_offer", o.ID, full(o.Ratio), "", "", "", strconv.FormatBool(o.Inside), o.Verdict.String(), givesName(o.Failure), ""})
	}
	for _, t := range r.Teeth {
		rows = append(rows, []string{"tooth_pair", fmt.Sprintf("%dx%d", t.Driver, t.Driven), full(t.Ratio), "", "", "", "true", t.Verdict.String(), "", full(t.ThermalMargin)})
	}
	return csv.NewWriter(w).WriteAll(rows)
}
