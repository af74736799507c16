package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"example.org/dray/sizing"
)

// path tabulates the current path from pack to motor, the weakest link named
// first.
func (cs checkSections) path() {
	elements := cs.c.Detail.Envelope.Elements
	if len(elements) == 0 {
		return
	}
	cs.d.section("current path, from source to motor")
	if w := weakest(elements); w != nil {
		cs.d.paragraph(fmt.Sprintf("weakest link: %s, %s used: %s", w.Name, percentOf(w.Utilisation), w.Sentence))
	}
	g := &grid{columns: []column{{head: "element", fit: shorten, min: 12}, {head: "used %", right: true}, {head: "worst window"},
		{head: "in words", fit: wrap, min: 24}}}
	for _, e := range elements {
		window := duration(e.WorstWindow)
		if e.ByMemory {
			window = "by memory"
		}
		g.row(e.Name, percent(e.Utilisation), window, e.Sentence)
	}
	cs.d.table(g)
}

// weakest is the element most used up; the motor is judged by its temperature
// and counts only when nothing else has a rating.
func weakest(elements []sizing.Element) *sizing.Element {
	var worst *sizing.Element
	for i := range elements {
		e := &elements[i]
		switch {
		case math.IsNaN(e.Utilisation):
		case worst == nil, worst.Name == "motor", e.Name != "motor" && e.Utilisation > worst.Utilisation:
			worst = e
		}
	}
	return worst
}

// source tells what the duty does to the pack or adapter.
func (cs checkSections) source() {
	s := &cs.c.Detail.Source
	if len(s.Sentences) == 0 {
		return
	}
	name := "battery"
	if s.Adapter {
		name = "adapter"
	}
	cs.d.section(name + " under the duty")
	cs.d.list(s.Sentences)
}

// losses ranks what each part of the chain takes, and what the leads cost.
func (cs checkSections) losses() {
	d := cs.c.Detail
	if len(d.Losses) > 0 {
		cs.d.section("where the power goes, mean of a cycle, largest first")
		g := &grid{columns: []column{{head: "part", fit: shorten, min: 14}, {head: "W", right: true}, {head: "%", right: true}, {head: "V of a stepped start", right: true}}}
		for _, l := range d.Losses {
			g.row(l.Where, figure(l.Watts), percent(l.Share), figure(l.Volts))
		}
		cs.d.table(g)
	}
	var say []string
	if d.LossNote != "" {
		say = append(say, d.LossNote)
	}
	if d.Leads != nil {
		for _, w := range d.Leads.Wires {
			say = append(say, w.Sentence)
		}
		say = append(say, d.Leads.Sentence)
	}
	if d.Ripple.Sentence != "" {
		say = append(say, d.Ripple.Sentence)
	}
	cs.d.list(say)
}

// inrush shows what a stepped command and a turn on the spot do, and what would
// tame them.
func (cs checkSections) inrush() {
	cs.d.section("stepped command at full charge")
	g := &grid{columns: []column{{head: "event", fit: shorten, min: 8}, {head: "A per motor", right: true}, {head: "bus V", right: true},
		{head: "tamed by ramp", right: true}, {head: "or by limit, A per motor", right: true}, {head: "then takes", right: true}}}
	var say []string
	for _, e := range []struct {
		name string
		i    sizing.Inrush
	}{{"start", cs.c.Detail.Start}, {"reversal", cs.c.Detail.Reversal}} {
		takes := duration(e.i.Takes)
		if math.IsInf(e.i.Takes, 1) {
			takes = "never"
		}
		g.row(e.name, figure(e.i.Current), figure(e.i.BusVoltage), duration(e.i.TamedByRamp), figure(e.i.TamedByLimit), takes)
		if e.i.Sentence != "" {
			say = append(say, e.i.Sentence)
		}
	}
	if p := cs.c.Detail.Pivot; p != nil {
		g.row("pivot", figure(p.Current), figure(p.BusVoltage), absent, absent, absent)
		say = append(say, p.Sentence)
	}
	cs.d.table(g)
	cs.d.list(say)
}

// choice names the controllers that stand the duty and those that do not.
func (cs checkSections) choice() {
	ch := cs.c.Detail.Choice
	if ch == nil || len(ch.Ranked) == 0 {
		return
	}
	cs.d.section("controllers for these parts, the smallest first")
	cs.d.paragraph(ch.Sentence)
	g := &grid{columns: []column{{head: "controller", fit: shorten, min: 12}, {head: "A per\nchannel", right: true}, {head: "used %", right: true}, {head: "stands it"},
		{head: "why", fit: wrap, min: 24}}}
	if cs.s.Format == MD {
		g.columns[1].head = "A per channel"
	}
	for _, v := range ch.Ranked {
		word, amps := "no", absent
		if v.Stands {
			word = "yes"
		}
		if v.Amps > 0 {
			amps = figure(v.Amps)
		}
		g.row(v.ID, amps, percent(v.Used), word, v.Reason)
	}
	cs.d.table(g)
}

// jam tells what happens, in order, after the outputs are held.
func (cs checkSections) jam() {
	cs.d.section("jam: all outputs held at full command and full charge")
	j := &cs.c.Detail.Jam
	cs.jamStory(j, "")
	if j.Single != nil {
		cs.jamStory(j.Single, "one motor jammed alone: ")
	}
	if bands := cs.c.Detail.Fuse; len(bands) > 0 {
		items := make([]string, len(bands))
		for i, b := range bands {
			items[i] = "the fuse " + b.Sentence
		}
		cs.d.list(items)
	}
	if held := cs.c.Detail.HeldLoad; held > 0 {
		cs.d.paragraph("a brake or latch must hold " + cs.r.with("N·m", held) + " at the load shaft, per motor")
	}
}

func (cs checkSections) jamStory(j *sizing.Jam, before string) {
	word := "not protected"
	switch {
	case !j.Judged:
		word = "not judged: heat data are missing"
	case j.Protected:
		word = "protected"
	}
	text := fmt.Sprintf("%s%s; %s per motor, %s from the battery", before, word, amount(j.Current, "A"), amount(j.BatteryCurrent, "A"))
	if !math.IsNaN(j.GearTorque) {
		text += ", " + cs.r.with("N·m", j.GearTorque) + " at the gear output"
	}
	if j.Why != "" {
		text += ": " + j.Why
	}
	cs.d.paragraph(text)
	defer func() { cs.d.list(append(slices.Clone(j.Protects), j.Notes...)) }()
	if len(j.Events) == 0 {
		return
	}
	events := slices.Clone(j.Events)
	slices.SortStableFunc(events, func(a, b sizing.JamEvent) int { return cmp.Compare(a.After, b.After) })
	g := &grid{columns: []column{{head: "after", right: true}, {head: "what happens", fit: wrap, min: 24}}}
	for _, e := range events {
		g.row(duration(e.After), e.What)
	}
	cs.d.table(g)
}

// firmware is the sheet of limits that follow from the pick.
func (cs checkSections) firmware() {
	cs.d.section("firmware limits that follow")
	fw := cs.c.Detail.Firmware
	g := &grid{columns: []column{{head: "setting", fit: shorten, min: 20}, {head: "value", right: true}}}
	for _, row := range []struct{ name, value string }{
		{"current limit, per motor", amount(fw.CurrentLimit, "A")},
		{"trip after, at that limit", duration(fw.TripTime)},
		{"ramp from 0 to 100 %", duration(fw.Ramp)},
		{"dead time between reversals", duration(fw.DeadTime)},
		{"cut-off voltage at the pack", amount(fw.CutOffVoltage, "V")},
		{"largest command", percentOf(fw.CommandCap)},
	} {
		g.row(row.name, row.value)
	}
	cs.d.table(g)
	cs.d.list(fw.Notes)
}

// bill lists the parts.
func (cs checkSections) bill() {
	if len(cs.c.Parts) == 0 {
		return
	}
	cs.d.section("parts")
	g := &grid{columns: []column{{head: "part"}, {head: "id", fit: shorten, min: 16}, {head: "count", right: true},
		{head: "price each", right: true}, {head: "mass each, kg", right: true}}}
	for _, p := range cs.c.Parts {
		g.row(p.Role, p.ID, strconv.Itoa(p.Count), money(p.Price), figure(p.Mass))
	}
	cs.d.table(g)
	cs.d.paragraph("together: price " + money(cs.c.Price) + ", mass " + amount(cs.c.Mass, "kg"))
}

// assumptions lists what the case left open.
func (cs checkSections) assumptions() {
	if cs.f.Case == nil || len(cs.f.Case.Assumptions) == 0 {
		return
	}
	cs.d.section("assumptions")
	g := &grid{columns: []column{{head: "what", fit: wrap, min: 14}, {head: "value", fit: wrap, min: 10}, {head: "basis"},
		{head: "why", fit: wrap, min: 24}}}
	for _, a := range cs.f.Case.Assumptions {
		g.row(a.What, a.Value, a.Basis.String(), a.Why)
	}
	cs.d.table(g)
}

// cautions are the standing words of care under every check.
func cautions() []string {
	return []string{
		"these are estimates from the data given; confirm by the no-load current, the current on the steepest slope or heaviest load, and the case temperature after ten minutes",
		"keep fingers, hair and cloth away from gears, belts, drums and wheels: pinch points do not stop at a stalled motor",
		"for the first runs keep wheels off the ground or the load off the hook, with a switch in reach that cuts the pack",
		"put the fuse within a hand's breadth of the pack: the wire before it is protected by nothing",
		"never rely on a motor, powered or shorted, to hold a load above people: fit a brake or latch rated for it",
		"charge a pack with a charger for its chemistry, watched and off soft furniture; a shorted pack gives hundreds of amperes",
		"never bypass a cell's or a pack's protection circuit; cells in series need one made for that series",
		"motor housings get hot enough to burn before the winding is in danger",
		"local codes, the makers' instructions and licensed practice come before anything printed here",
	}
}
