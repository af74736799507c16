package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// Compare writes candidates of a field side by side, only what differs between
// them. What a reader would not see in three digits does not differ; JSON and
// CSV hold every number that differs at all. It returns the writer's error, or
// an error that names an unknown format.
func Compare(w io.Writer, f *sizing.Field, picks []*sizing.Candidate, s Style) error {
	sheet := compared(picks, s)
	switch s.Format {
	case JSON:
		return writeJSON(w, sheet.json(f))
	case CSV:
		return sheet.csv(w)
	case MD:
		s.Width = 0
		return writeMarkdown(w, sheet.document(f, s))
	case Table, "":
		return writeText(w, sheet.document(f, s), s)
	default:
		return unknownFormat(s.Format)
	}
}

// comparison is the rows of several picks, alike or not.
type comparison struct {
	picks    []*sizing.Candidate
	read     readout
	sections []compareSection
}

type compareSection struct {
	title string
	rows  []compareRow
}

// compareRow is one property of every pick: words, or numbers in SI with the
// texts people see.
type compareRow struct {
	name, unit string    // unit of the texts
	si         string    // unit of the values
	values     []float64 // nil for words; NaN unknown
	texts      []string
}

// shown reports whether a reader sees a difference.
func (r *compareRow) shown() bool {
	return slices.ContainsFunc(r.texts, func(t string) bool { return t != r.texts[0] })
}

// differs reports whether there is a difference at all; rounding is none.
func (r *compareRow) differs() bool {
	for _, v := range r.values {
		if a := r.values[0]; math.IsNaN(v) != math.IsNaN(a) || math.Abs(v-a) > 1e-9*math.Max(math.Abs(v), math.Abs(a)) {
			return true
		}
	}
	return r.shown()
}

func (c *comparison) section(title string) {
	c.sections = append(c.sections, compareSection{title: title})
}

func (c *comparison) add(r compareRow) {
	last := &c.sections[len(c.sections)-1]
	last.rows = append(last.rows, r)
}

// words adds a row of words; an empty one is the absent mark.
func (c *comparison) words(name string, get func(k *sizing.Candidate) string) {
	r := compareRow{name: name}
	for _, k := range c.picks {
		text := get(k)
		if text == "" {
			text = absent
		}
		r.texts = append(r.texts, text)
	}
	c.add(r)
}

// numbers adds a row of numbers in one of the engine's units.
func (c *comparison) numbers(name, unit string, get func(k *sizing.Candidate) float64) {
	r := compareRow{name: name, si: unit}
	size := 0.0
	for _, k := range c.picks {
		r.values = append(r.values, get(k))
		size = largest(size, get(k))
	}
	u := c.read.scale(unit, size)
	r.unit = u.Name
	for _, v := range r.values {
		text := u.number(v)
		if math.IsInf(v, 1) {
			text = "never ends"
		}
		r.texts = append(r.texts, text)
	}
	c.add(r)
}

// compared lists everything worth comparing.
func compared(picks []*sizing.Candidate, s Style) *comparison {
	c := &comparison{picks: picks, read: readout{s.Display}}
	c.parts()
	c.figures()
	c.constants(s)
	c.checks()
	c.legs()
	c.limits()
	return c
}

func (c *comparison) parts() {
	c.section("parts")
	c.words("motor", func(k *sizing.Candidate) string { return k.Motor.ID })
	c.words("gear train", func(k *sizing.Candidate) string {
		if k.Train == nil {
			return ""
		}
		return k.Train.ID
	})
	c.words("further stage", func(k *sizing.Candidate) string {
		if k.Stage == nil {
			return ""
		}
		return k.Stage.ID
	})
	c.words("battery", func(k *sizing.Candidate) string {
		if k.Battery == nil {
			return ""
		}
		return k.Battery.ID
	})
	c.words("controller", func(k *sizing.Candidate) string { return k.Controller.ID })
	c.numbers("total ratio", "", func(k *sizing.Candidate) float64 { return k.TotalRatio })
	c.numbers("controllers", "", func(k *sizing.Candidate) float64 { return partCount(k, "controller") })
	price := compareRow{name: "price"}
	for _, k := range c.picks {
		price.values, price.texts = append(price.values, k.Price), append(price.texts, money(k.Price))
	}
	c.add(price)
	c.numbers("mass", "kg", func(k *sizing.Candidate) float64 { return k.Mass })
}

func partCount(k *sizing.Candidate, role string) float64 {
	for _, p := range k.Parts {
		if p.Role == role {
			return float64(p.Count)
		}
	}
	return math.NaN()
}

func (c *comparison) figures() {
	c.section("figures")
	c.words("verdict", func(k *sizing.Candidate) string { return k.Verdict.String() })
	c.words("first failure", failureName)
	c.numbers("rank", "", func(k *sizing.Candidate) float64 { return float64(k.Rank) })
	c.numbers("score", "", func(k *sizing.Candidate) float64 { return k.Score })
	for _, row := range []struct {
		name, unit string
		get        func(k *sizing.Candidate) float64
	}{
		{"thermal margin", "1", func(k *sizing.Candidate) float64 { return k.ThermalMargin }},
		{"winding peak", "degC", func(k *sizing.Candidate) float64 { return k.WindingPeak }},
		{"housing peak", "degC", func(k *sizing.Candidate) float64 { return k.HousingPeak }},
		{"runtime", "h", func(k *sizing.Candidate) float64 { return k.Runtime }},
		{"battery current, mean", "A", func(k *sizing.Candidate) float64 { return k.BatteryCurrentMean }},
		{"battery current, peak", "A", func(k *sizing.Candidate) float64 { return k.BatteryCurrentPeak }},
		{"motor current, rms", "A", func(k *sizing.Candidate) float64 { return k.MotorCurrentRMS }},
		{"motor current, peak", "A", func(k *sizing.Candidate) float64 { return k.MotorCurrentPeak }},
		{"lowest bus voltage", "V", func(k *sizing.Candidate) float64 { return k.BusVoltageMin }},
		{"one cycle as driven", "s", func(k *sizing.Candidate) float64 { return k.CycleTime }},
	} {
		c.numbers(row.name, row.unit, row.get)
	}
	c.words("heat data", func(k *sizing.Candidate) string { return k.ThermalBasis.String() })
	c.words("runtime ends by", func(k *sizing.Candidate) string { return strings.ReplaceAll(k.RuntimeEndsBy, "_", "-") })
}

// constants compares the figures each pick stands on; one estimated or assumed
// is marked ≈.
func (c *comparison) constants(s Style) {
	c.section("constants")
	lists := make([][]constant, len(c.picks))
	var keys []constant
	for i, k := range c.picks {
		lists[i] = constants(k)
		for _, x := range lists[i] {
			if !slices.ContainsFunc(keys, func(y constant) bool { return y.key == x.key }) {
				keys = append(keys, x)
			}
		}
	}
	for _, key := range keys {
		r := compareRow{name: key.name, si: key.kind.SIUnit()}
		size := 0.0
		found := make([]constant, len(lists))
		for i, list := range lists {
			found[i] = constant{value: math.NaN()}
			if at := slices.IndexFunc(list, func(x constant) bool { return x.key == key.key && x.basis != quantity.Unknown }); at >= 0 {
				found[i] = list[at]
				size = largest(size, list[at].value)
			}
		}
		unit := scale{s.Display.Unit(key.kind, size)}
		r.unit = unit.Name + key.per
		for _, x := range found {
			text := unit.number(x.value)
			if x.basis == quantity.Estimated || x.basis == quantity.Assumed {
				text = "≈" + text
			}
			r.values, r.texts = append(r.values, x.value), append(r.texts, text)
		}
		c.add(r)
	}
}

// checks compares margins, with the verdict where it is not holds.
func (c *comparison) checks() {
	c.section("checks: margin left, %")
	for name := sizing.CheckSpeed; name <= sizing.CheckRuleOfThumb; name++ {
		r := compareRow{name: name.String(), si: "1"}
		any := false
		for _, k := range c.picks {
			text, margin := absent, math.NaN()
			for i := range k.Checks {
				if ch := &k.Checks[i]; ch.Name == name {
					text, margin, any = percent(ch.Margin), ch.Margin, true
					if ch.Verdict != sizing.Holds {
						text += " " + ch.Verdict.String()
					}
				}
			}
			r.values, r.texts = append(r.values, margin), append(r.texts, text)
		}
		if any {
			c.add(r)
		}
	}
}

func (c *comparison) legs() {
	c.section("legs, steady state per motor")
	for i := range c.picks[0].Legs {
		name := c.picks[0].Legs[i].Name + ": "
		at := func(get func(l *sizing.LegResult) float64) func(k *sizing.Candidate) float64 {
			return func(k *sizing.Candidate) float64 {
				if i >= len(k.Legs) {
					return math.NaN()
				}
				return get(&k.Legs[i])
			}
		}
		c.numbers(name+"motor", "A", at(func(l *sizing.LegResult) float64 { return l.Steady.MotorCurrent }))
		c.numbers(name+"command", "1", at(func(l *sizing.LegResult) float64 { return l.Steady.Command }))
		c.numbers(name+"battery", "A", at(func(l *sizing.LegResult) float64 { return l.Steady.BatteryCurrent }))
		c.numbers(name+"falls short by", "1", at(func(l *sizing.LegResult) float64 { return l.Shortfall }))
		c.words(name+"held back by", func(k *sizing.Candidate) string {
			if i >= len(k.Legs) {
				return ""
			}
			return k.Legs[i].LimitedBy
		})
	}
}

// limits compares what follows from the picks; only where the detail is there.
func (c *comparison) limits() {
	if slices.ContainsFunc(c.picks, func(k *sizing.Candidate) bool { return k.Detail == nil }) {
		return
	}
	c.section("start, jam and firmware")
	for _, row := range []struct {
		name, unit string
		get        func(d *sizing.Detail) float64
	}{
		{"stepped start", "A", func(d *sizing.Detail) float64 { return d.Start.Current }},
		{"stepped reversal", "A", func(d *sizing.Detail) float64 { return d.Reversal.Current }},
		{"jam current, per motor", "A", func(d *sizing.Detail) float64 { return d.Jam.Current }},
		{"jam torque at the gears", "N·m", func(d *sizing.Detail) float64 { return d.Jam.GearTorque }},
		{"current limit to set", "A", func(d *sizing.Detail) float64 { return d.Firmware.CurrentLimit }},
		{"trip after", "s", func(d *sizing.Detail) float64 { return d.Firmware.TripTime }},
		{"ramp to set", "s", func(d *sizing.Detail) float64 { return d.Firmware.Ramp }},
		{"largest command", "1", func(d *sizing.Detail) float64 { return d.Firmware.CommandCap }},
	} {
		c.numbers(row.name, row.unit, func(k *sizing.Candidate) float64 { return row.get(k.Detail) })
	}
	c.words("jam", func(k *sizing.Candidate) string {
		switch j := &k.Detail.Jam; {
		case !j.Judged:
			return "not judged"
		case j.Protected:
			return "protected"
		}
		return "not protected"
	})
}

// letter heads the column of a pick.
func letter(i int) string { return string(rune('A' + i%26)) }

// document arranges what differs for people.
func (c *comparison) document(f *sizing.Field, s Style) *document {
	d := &document{title: titleOf(f, "picks side by side, only what differs")}
	d.warnings(f.Warnings)
	var legend []string
	for i, k := range c.picks {
		legend = append(legend, fmt.Sprintf("%s  %s (%s, rank %d of %d)", letter(i), k.ID, k.Verdict, k.Rank, len(f.Candidates)))
	}
	d.list(legend)
	g := &grid{columns: []column{{head: "", fit: shorten, min: 20}}}
	for i := range c.picks {
		g.columns = append(g.columns, column{head: letter(i), right: true, fit: shorten, min: 9})
	}
	g.columns = append(g.columns, column{head: "unit"})
	alike := 0
	for i := range c.sections {
		named := false
		for _, r := range c.sections[i].rows {
			if !r.shown() {
				alike++
				continue
			}
			if !named {
				g.separate(c.sections[i].title)
				named = true
			}
			g.row(append(append([]string{r.name}, r.texts...), r.unit)...)
		}
	}
	if len(g.lines) == 0 {
		d.paragraph("they differ in nothing that is shown")
		return d
	}
	d.table(g)
	d.paragraph(fmt.Sprintf("%d further properties are alike to three digits; ≈ marks figures that are estimated or assumed", alike))
	return d
}
