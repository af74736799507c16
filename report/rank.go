package report

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// The groups of a ranking, in order.
const (
	passing = iota
	unproven
	failing
	groupCount
)

func groupOf(c *sizing.Candidate) int {
	switch c.Verdict {
	case sizing.Fails:
		return failing
	case sizing.Uncertain:
		return unproven
	default:
		return passing
	}
}

func groupLabel(group int) string {
	return [...]string{"passing", "unknown: winding temperature cannot be judged", "failing"}[group]
}

func verdictCell(v sizing.Verdict) gridCell {
	tones := [...]tone{sizing.Holds: good, sizing.Tight: warn, sizing.Uncertain: warn, sizing.Fails: bad}
	return gridCell{v.String(), tones[v]}
}

// rankDocument arranges the field for people.
func rankDocument(f *sizing.Field, s Style) *document {
	d := &document{title: titleOf(f, "candidates in order")}
	d.warnings(f.Warnings)
	shown, hidden := selected(f, s.Top)
	if len(f.Candidates) == 0 {
		d.paragraph("no candidate: the catalogs hold no motor, supply and controller that the case allows together")
		d.list(f.Footnotes)
	} else {
		rt := rankTable{field: f, style: s, shown: shown, hidden: hidden}
		rt.collectNotes()
		d.table(rt.build())
		d.paragraph(counted(f))
		rt.legend(d)
	}
	return d
}

func titleOf(f *sizing.Field, what string) string {
	if f.Title == "" {
		return what
	}
	return f.Title + ": " + what
}

// selected picks what a short table shows of each group, and counts the rest.
func selected(f *sizing.Field, top int) (shown [groupCount][]*sizing.Candidate, hidden [groupCount]int) {
	limits := [groupCount]int{top, (top + 1) / 2, (top + 1) / 2}
	for i := range f.Candidates {
		c := &f.Candidates[i]
		g := groupOf(c)
		if top > 0 && len(shown[g]) >= limits[g] {
			hidden[g]++
			continue
		}
		shown[g] = append(shown[g], c)
	}
	return shown, hidden
}

// rankTable builds the table of a ranking. It takes the columns the page has
// room for, in the order of their worth.
type rankTable struct {
	field   *sizing.Field
	style   Style
	shown   [groupCount][]*sizing.Candidate
	hidden  [groupCount]int
	shared  []string       // footnotes of every candidate shown
	special []string       // footnotes of some, marked
	marks   map[string]int // special footnote → its index
}

const mostNotes = 12 // special footnotes a short table prints

// collectNotes parts footnotes that hold for all from those that need a mark.
func (t *rankTable) collectNotes() {
	count, all := map[string]int{}, 0
	var order [][]string
	for _, group := range t.shown {
		for _, c := range group {
			all++
			mine := distinct(c.Footnotes)
			order = append(order, mine)
			for _, note := range mine {
				count[note]++
			}
		}
	}
	t.marks = map[string]int{}
	for _, note := range distinct(order...) {
		switch {
		case count[note] == all:
			t.shared = append(t.shared, note)
		case t.style.Top == 0 || len(t.special) < mostNotes:
			t.marks[note] = len(t.special)
			t.special = append(t.special, note)
		}
	}
}

// build tries the full table first and drops columns until it fits.
func (t *rankTable) build() *grid {
	for _, set := range []columnSet{
		{failure: true, extra: true, price: t.anyPrice(), stage: t.anyStage()},
		{extra: true, price: t.anyPrice(), stage: t.anyStage()},
		{extra: true, price: t.anyPrice()},
		{extra: true},
		{failure: true},
	} {
		if t.style.Format == MD {
			return t.grid(set)
		}
		if set.extra && t.style.width() < wideFrom {
			continue
		}
		if g := t.grid(set); g.fits(t.style.width()) {
			return g
		}
	}
	return t.grid(columnSet{})
}

type columnSet struct{ failure, extra, price, stage bool }

func (t *rankTable) grid(set columnSet) *grid {
	g := &grid{columns: []column{
		{head: "#", right: true}, {head: "candidate", fit: joint, min: 20, roomy: 32}, {head: "verdict"},
		{head: "thermal\nmargin\n%", right: true}, {head: "battery\nmean\nA", right: true}, {head: "runtime\nh", right: true},
	}}
	if set.extra {
		g.columns = append(g.columns, column{head: "winding\npeak\n" + readout{t.style.Display}.scale("degC", 100).Name, right: true})
		g.columns = append(g.columns, column{head: "ratio", right: true})
	}
	if set.stage {
		g.columns = append(g.columns, column{head: "further\nstage", right: true})
	}
	if set.price {
		g.columns = append(g.columns, column{head: "price", right: true})
	}
	if set.extra {
		g.columns = append(g.columns, column{head: "domi-\nnated"})
	}
	if len(t.special) > 0 {
		g.columns = append(g.columns, column{head: "note", fit: shorten, min: 4})
	}
	if set.failure {
		g.columns = append(g.columns, column{head: "first failure", fit: wrap, min: 20, roomy: 26})
	}
	if t.style.Format == MD {
		for i := range g.columns {
			g.columns[i].head = strings.NewReplacer("-\n", "", "\n", " ").Replace(g.columns[i].head)
		}
	}
	for group, list := range t.shown {
		if len(list) == 0 {
			continue
		}
		g.separate(groupLabel(group))
		for _, c := range list {
			t.line(g, c, set)
		}
		if t.hidden[group] > 0 {
			g.remark(fmt.Sprintf("… and %d more (--all)", t.hidden[group]))
		}
	}
	return g
}

func (t *rankTable) line(g *grid, c *sizing.Candidate, set columnSet) {
	cells := cellsOf(strconv.Itoa(c.Rank), c.ID)
	cells = append(cells, verdictCell(c.Verdict))
	cells = append(cells, cellsOf(thermalMargin(c), figure(c.BatteryCurrentMean), runtime(c))...)
	if set.extra {
		peak := readout{t.style.Display}.scale("degC", 100).number(c.WindingPeak)
		if c.ThermalRunaway {
			peak = "runaway"
		}
		cells = append(cells, cellsOf(peak, figure(c.Ratio))...)
	}
	if set.stage {
		cells = append(cells, cellsOf(figure(c.StageRatio))...)
	}
	if set.price {
		cells = append(cells, cellsOf(money(c.Price))...)
	}
	if set.extra {
		cells = append(cells, cellsOf(map[bool]string{true: "yes"}[c.Dominated])...)
	}
	if len(t.special) > 0 {
		cells = append(cells, cellsOf(t.marksOf(c))...)
	}
	if set.failure {
		cells = append(cells, cellsOf(failure(c))...)
	}
	g.add(cells)
	if !set.failure && groupOf(c) != passing {
		g.remark("↳ " + failure(c))
	}
}

func (t *rankTable) marksOf(c *sizing.Candidate) string {
	var marks []int
	for _, note := range distinct(c.Footnotes) {
		if i, known := t.marks[note]; known {
			marks = append(marks, i)
		}
	}
	slices.Sort(marks)
	var b strings.Builder
	for _, i := range marks {
		b.WriteString(mark(i))
	}
	return b.String()
}

func (t *rankTable) anyPrice() bool {
	return t.any(func(c *sizing.Candidate) bool { return !math.IsNaN(c.Price) })
}

func (t *rankTable) anyStage() bool {
	return t.any(func(c *sizing.Candidate) bool { return c.Stage != nil })
}

func (t *rankTable) any(is func(*sizing.Candidate) bool) bool {
	for _, group := range t.shown {
		for _, c := range group {
			if is(c) {
				return true
			}
		}
	}
	return false
}

// legend explains the marks, the order and what was left out.
func (t *rankTable) legend(d *document) {
	w := t.field.Weights
	d.paragraph(fmt.Sprintf("order: passing, unknown, failing; passing by thermal margin × %s, battery mean current × %s, runtime × %s, ties by id; "+
		"failing by their worst margin", figure(w.ThermalMargin), figure(w.Current), figure(w.Runtime)))
	if text := tightIn(t.field); text != "" {
		d.paragraph(text)
	}
	if t.any(approximate) {
		d.paragraph("≈ the thermal data behind this margin are estimated or assumed")
	}
	d.notes(t.special)
	d.list(distinct(t.shared, t.field.Footnotes))
}

// counted says how many candidates there are of each verdict.
func counted(f *sizing.Field) string {
	var counts [4]int
	for _, c := range f.Candidates {
		counts[c.Verdict]++
	}
	text := fmt.Sprintf("%d candidates:", len(f.Candidates))
	if len(f.Candidates) == 1 {
		text = "1 candidate:"
	}
	for v, n := range counts {
		if n > 0 {
			text += fmt.Sprintf(" %s %d,", sizing.Verdict(v), n)
		}
	}
	return strings.TrimSuffix(text, ",")
}

// tightIn names the checks that leave passing candidates little, most often first.
func tightIn(f *sizing.Field) string {
	counts := map[sizing.CheckName]int{}
	for i := range f.Candidates {
		if groupOf(&f.Candidates[i]) != passing {
			continue
		}
		for _, ch := range f.Candidates[i].Checks {
			if ch.Verdict == sizing.Tight {
				counts[ch.Name]++
			}
		}
	}
	names := slices.Sorted(maps.Keys(counts))
	slices.SortStableFunc(names, func(a, b sizing.CheckName) int { return cmp.Compare(counts[b], counts[a]) })
	parts := make([]string, len(names))
	for i, name := range names {
		parts[i] = fmt.Sprintf("%s (%d)", name, counts[name])
	}
	if len(parts) == 0 {
		return ""
	}
	return "tight among the passing: " + strings.Join(parts, ", ")
}

// approximate reports a thermal margin that rests on size or convention.
func approximate(c *sizing.Candidate) bool {
	return !math.IsNaN(c.ThermalMargin) && (c.ThermalBasis == quantity.Estimated || c.ThermalBasis == quantity.Assumed)
}

func thermalMargin(c *sizing.Candidate) string {
	switch {
	case c.ThermalRunaway:
		return "runaway"
	case approximate(c):
		return "≈" + percent(c.ThermalMargin)
	default:
		return percent(c.ThermalMargin)
	}
}

func money(x float64) string {
	if math.IsNaN(x) {
		return absent
	}
	return strconv.FormatFloat(x, 'f', 2, 64)
}

// failureName names the check the candidate fails first; empty when none.
func failureName(c *sizing.Candidate) string {
	if c.FirstFailure < 0 {
		return ""
	}
	return sizing.CheckName(c.FirstFailure).String()
}

// firstFailure finds the failed check; nil when there is none.
func firstFailure(c *sizing.Candidate) *sizing.Check {
	for i := range c.Checks {
		if int(c.Checks[i].Name) == c.FirstFailure && c.Checks[i].Verdict == sizing.Fails {
			return &c.Checks[i]
		}
	}
	return nil
}

// failure says what the candidate fails first and by how much, or what keeps
// it from being judged.
func failure(c *sizing.Candidate) string {
	if why := c.WhyNot(); why != "" {
		return why
	}
	return failureName(c)
}

func legName(c *sizing.Candidate, leg int) string {
	if leg < 0 || leg >= len(c.Legs) {
		return ""
	}
	return c.Legs[leg].Name
}
