package report

import (
	"fmt"
	"math"
	"strings"

	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// checkDocument arranges one candidate in full for people.
func checkDocument(f *sizing.Field, c *sizing.Candidate, s Style) *document {
	d := &document{title: titleOf(f, c.ID)}
	cs := checkSections{d: d, f: f, c: c, s: s, r: readout{s.Display}}
	cs.headline()
	d.warnings(f.Warnings)
	cs.checks()
	cs.whyNot()
	cs.legs()
	cs.stages()
	if c.Detail != nil {
		cs.path()
		cs.source()
		cs.inrush()
		cs.jam()
		cs.losses()
		cs.choice()
		cs.firmware()
	}
	cs.constants()
	cs.bill()
	cs.assumptions()
	if all := distinct(c.Footnotes, f.Footnotes); len(all) > 0 {
		d.section("notes")
		d.list(all)
	}
	d.section("with care")
	d.list(cautions())
	return d
}

// checkSections writes the sections of a check into a document.
type checkSections struct {
	d *document
	f *sizing.Field
	c *sizing.Candidate
	s Style
	r readout
}

func (cs checkSections) wide() bool { return cs.s.Format == MD || cs.s.width() >= wideFrom }

// headline gives the verdict, what decides it, and the three figures.
func (cs checkSections) headline() {
	c := cs.c
	text := fmt.Sprintf("%s (rank %d of %d)", strings.ToUpper(c.Verdict.String()), c.Rank, len(cs.f.Candidates))
	if c.Rank <= 0 {
		text = strings.ToUpper(c.Verdict.String())
	}
	if ch := deciding(c); ch != nil {
		text += ": " + ch.SentenceIn(c, cs.s.Display)
	}
	cs.d.paragraph(text)
	temperature := "winding peak " + cs.r.with("degC", c.WindingPeak)
	if c.ThermalRunaway {
		temperature = "thermal runaway"
	}
	margin := thermalMargin(c)
	if !c.ThermalRunaway && !math.IsNaN(c.ThermalMargin) {
		margin += " %"
	}
	cs.d.paragraph(fmt.Sprintf("thermal margin %s (%s, basis %s) · battery mean %s, peak %s · runtime %s",
		margin, temperature, c.ThermalBasis, amount(c.BatteryCurrentMean, "A"), amount(c.BatteryCurrentPeak, "A"), runtimeText(c)))
	cs.d.paragraph(fmt.Sprintf("motor current %s rms, %s peak, per motor · lowest bus voltage %s at reserve charge · one cycle as driven %s",
		amount(c.MotorCurrentRMS, "A"), amount(c.MotorCurrentPeak, "A"), amount(c.BusVoltageMin, "V"), duration(c.CycleTime)))
}

func runtimeText(c *sizing.Candidate) string {
	ends := map[string]string{"reserve": "to the reserve", "cut_off": "to the cut-off voltage",
		"ability": "until the duty can no longer be followed", "never": "the duty returns as much as it takes"}[c.RuntimeEndsBy]
	switch {
	case math.IsNaN(c.Runtime):
		return absent
	case math.IsInf(c.Runtime, 1):
		return "never ends"
	case ends == "":
		return amount(c.Runtime, "h")
	default:
		return amount(c.Runtime, "h") + " " + ends
	}
}

// deciding is the check that sets the verdict: the first failure, else the
// worst verdict's, else the one with the least margin.
func deciding(c *sizing.Candidate) *sizing.Check {
	if ch := firstFailure(c); ch != nil {
		return ch
	}
	var worst *sizing.Check
	for i := range c.Checks {
		ch := &c.Checks[i]
		if worst == nil || graver(ch, worst) {
			worst = ch
		}
	}
	return worst
}

// graver reports whether one check says more about a pick than another: the
// worse verdict, and among tight ones those that can fail before those that are
// tight at worst, which show a negative margin.
func graver(a, b *sizing.Check) bool {
	if a.Verdict != b.Verdict {
		return a.Verdict > b.Verdict
	}
	if soft := a.Margin < 0; soft != (b.Margin < 0) && a.Verdict == sizing.Tight {
		return !soft
	}
	return a.Margin < b.Margin
}

// checks tabulates every check; the sentence stands with each that does not hold.
func (cs checkSections) checks() {
	cs.d.section("checks")
	g := &grid{columns: []column{{head: "check", fit: shorten, min: 22}, {head: "value", right: true}, {head: "limit", right: true}, {head: "unit"},
		{head: "margin\n%", right: true}, {head: "verdict"}, {head: "when", fit: shorten, min: 8}}}
	if cs.wide() {
		g.columns = append(g.columns, column{head: "basis"}, column{head: "why", fit: wrap, min: 30})
	}
	if cs.s.Format == MD {
		g.columns[4].head = "margin %"
	}
	for _, ch := range cs.c.Checks {
		name := ch.Name.String()
		unit := cs.r.scale(ch.Unit, largest(ch.Value, ch.Limit))
		cells := cellsOf(name, unit.number(ch.Value), unit.number(ch.Limit), unit.Name, percent(ch.Margin))
		cells = append(cells, verdictCell(ch.Verdict), gridCell{text: cs.when(ch)})
		why := ""
		if ch.Verdict != sizing.Holds {
			why = ch.SentenceIn(cs.c, cs.s.Display)
		}
		if cs.wide() {
			if why == "" && (ch.Name == sizing.CheckLead || ch.Name == sizing.CheckVoltageDrop) {
				why = strings.TrimSuffix(ch.Which, " memory")
			}
			cells = append(cells, gridCell{text: ch.Basis.String()}, gridCell{text: why})
		}
		g.add(cells)
		if why != "" && !cs.wide() {
			g.remark("↳ " + why)
		}
	}
	cs.d.table(g)
}

// when gives the moment of a check: time and leg. The window of an envelope
// check is told by the current path.
func (cs checkSections) when(ch sizing.Check) string {
	var parts []string
	if !math.IsNaN(ch.At) {
		parts = append(parts, amount(ch.At, "s"))
	}
	if name := legName(cs.c, ch.Leg); name != "" {
		parts = append(parts, name)
	}
	return strings.Join(parts, " ")
}

// legs tabulates each leg's steady state and its instant of largest current.
func (cs checkSections) legs() {
	if len(cs.c.Legs) == 0 {
		return
	}
	cs.d.section("legs, per motor, at half charge in the hottest cycle")
	lt := legTable{speed: cs.r.scale("rad/s", 1), torque: cs.r.scale("N·m", cs.largestTorque())}
	g := &grid{columns: []column{{head: "leg", fit: shorten, min: 5}, {head: "state"},
		{head: "output\n" + lt.speed.Name, right: true}, {head: "torque\n" + lt.torque.Name, right: true},
		{head: "motor\nA", right: true}, {head: "motor\nV", right: true}, {head: "cmd\n%", right: true}, {head: "pulse\nµs", right: true},
		{head: "bus\nV", right: true}, {head: "batt.\nA", right: true}}}
	if cs.s.Format == MD {
		for i := range g.columns {
			g.columns[i].head = strings.ReplaceAll(g.columns[i].head, "\n", " ")
		}
	}
	var behind []string
	for _, l := range cs.c.Legs {
		lt.line(g, l.Name, "steady", l.Steady)
		lt.line(g, "", "peak", l.Peak)
		if text := cs.shortfall(l); text != "" {
			behind = append(behind, text)
		}
	}
	cs.d.table(g)
	cs.d.list(behind)
}

// legTable holds the units of the legs' table.
type legTable struct{ speed, torque scale }

func (cs checkSections) largestTorque() float64 {
	size := 0.0
	for _, l := range cs.c.Legs {
		size = largest(size, largest(l.Steady.OutputTorque, l.Peak.OutputTorque))
	}
	return size
}

// largest is the larger magnitude; an unknown one does not count.
func largest(a, b float64) float64 {
	a, b = math.Abs(a), math.Abs(b)
	if math.IsNaN(a) || b > a {
		return b
	}
	return a
}

func (lt legTable) line(g *grid, name, state string, s sizing.State) {
	g.row(name, state, lt.speed.number(s.OutputSpeed), lt.torque.number(s.OutputTorque), figure(s.MotorCurrent), figure(s.MotorVoltage),
		percent(s.Command), whole(1e6*s.PulseSeconds), figure(s.BusVoltage), figure(s.BatteryCurrent))
}

// shortfall says how a leg fell behind its command; empty when it did not.
func (cs checkSections) shortfall(l sizing.LegResult) string {
	if l.LimitedBy == "" && !l.Abandoned && !(l.Shortfall > 0) {
		return ""
	}
	unit := "m/s"
	if cs.f.Case != nil && cs.f.Case.Mechanism != nil && cs.f.Case.Mechanism.Turning() {
		unit = "rad/s"
	}
	text := fmt.Sprintf("%s: reached %s of %s", l.Name, cs.r.scale(unit, l.Wanted).number(l.Reached), cs.r.with(unit, l.Wanted))
	if l.Shortfall > 0 {
		text += fmt.Sprintf(", %s short", percentOf(l.Shortfall))
	}
	if l.LimitedBy != "" {
		text += ", held back by " + l.LimitedBy
	}
	if l.Abandoned {
		text += "; given up at ten times its commanded time"
	}
	return text
}

// constants tabulates what the candidate stands on, with basis and reason.
func (cs checkSections) constants() {
	cs.d.section("constants and where they come from")
	g := &grid{columns: []column{{head: "constant", fit: shorten, min: 20}, {head: "value", right: true}, {head: "unit"}, {head: "basis"},
		{head: "note", fit: wrap, min: 20}}}
	for _, k := range constants(cs.c) {
		unit := scale{cs.s.Display.Unit(k.kind, k.value)}
		if k.basis == quantity.Unknown {
			g.row(k.name, absent, "", k.basis.String(), k.note)
			continue
		}
		g.row(k.name, unit.number(k.value), unit.Name+k.per, k.basis.String(), k.note)
	}
	cs.d.table(g)
}
