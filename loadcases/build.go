package loadcases

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"example.org/dray/quantity"
	"go.yaml.in/yaml/v4"
)

// builder turns checked sections into a Case.
type builder struct {
	*walker
	open  func(path string) ([]byte, error)
	c     *Case
	nodes []*yaml.Node // of the legs

	scrubSaid, stepSaid bool // told once, not per leg
}

// assume records what a convention filled.
func (b *builder) assume(what, value string, basis quantity.Basis, why string) {
	b.c.Assumptions = append(b.c.Assumptions, Assumption{What: what, Value: value, Basis: basis, Why: why})
}

func (b *builder) warn(at *yaml.Node, text string) {
	line := 0
	if at != nil {
		line = at.Line
	}
	b.c.Warnings = append(b.c.Warnings, Warning{Text: text, Line: line})
}

func (b *builder) build(top *section) {
	c := b.c
	c.Title = top.text("title")
	if c.Title == "" {
		base := filepath.Base(c.File)
		c.Title = strings.TrimSuffix(base, filepath.Ext(base))
	}
	b.air(top.sub("conditions"))
	ok := b.mechanism(top)
	b.duty(top)
	b.supply(top.sub("supply"))
	b.wants(top.sub("wants"))
	b.prefer(top.sub("prefer"))
	b.catalogs(top)
	if len(b.faults.List) > 0 || !ok {
		return
	}
	c.Settle()
	b.plan()
}

func (b *builder) air(s *section) {
	if s.has("air") {
		b.c.Air = quantity.Figure[quantity.Temperature]{Value: quantity.Temperature(s.num("air")), Basis: quantity.Stated}
		return
	}
	b.c.Air = quantity.Figure[quantity.Temperature]{Value: 25, Basis: quantity.Assumed, Note: "none given"}
	b.assume("air temperature", "25 °C", quantity.Assumed, "none given")
}

// plan commands the cycle once, so that a duty that cannot be commanded is a
// fault of the file, and writes the places of its moves into the legs.
func (b *builder) plan() {
	plan, err := b.c.Plan()
	if err != nil {
		var le *LegError
		if !errors.As(err, &le) || len(b.nodes) == 0 {
			b.faultAt(1, 1, err.Error(), "")
			return
		}
		hint := le.Hint
		b.fault(b.nodes[min(le.Leg, len(b.nodes)-1)], fmt.Sprintf("leg %s: %s", quote(b.c.Legs[le.Leg].Name), le.Text), hint)
		return
	}
	for i := range b.c.Legs {
		leg := &b.c.Legs[i]
		if leg.Kind != MoveLeg {
			continue
		}
		for _, phase := range plan.Phases {
			if phase.Leg == i {
				leg.place(phase.Position)
				break
			}
		}
	}
}

// place fixes the ends of a move that begins at a position.
func (l *Leg) place(from float64) {
	l.From, l.FromOpen = from, false
	if l.Relative {
		l.To, l.Relative = from+l.By, false
	}
}

func (b *builder) wants(s *section) {
	w := &b.c.Wants
	if s.has("runtime") {
		w.Runtime = quantity.Figure[quantity.Time]{Value: quantity.Time(s.num("runtime")), Basis: quantity.Stated}
	}
	w.Reserve = s.num("reserve")
	if !s.has("reserve") {
		b.assume("reserve", "0 %", quantity.Assumed, "none wanted: the pack is run down to its cut-off")
	}
	w.SpeedTolerance = s.numOr("speed_tolerance", 0.05)
	if !s.has("speed_tolerance") {
		b.assume("speed tolerance", "5 %", quantity.Assumed, "none wanted")
	}
	w.VoltageDrop = s.numOr("voltage_drop", 0.05)
	if !s.has("voltage_drop") {
		b.assume("voltage drop", "5 %", quantity.Assumed, "none wanted")
	}
	w.StaysPut = s.num("stays_put") != 0
	w.JamProtected = s.num("jam_protected") != 0
	w.GearServiceFactor = s.numOr("gear_service_factor", 1)
	if !s.has("gear_service_factor") {
		b.assume("gear service factor", "1", quantity.Assumed, "none wanted")
	}
	w.HousingLimit = quantity.Figure[quantity.Temperature]{Value: 60, Basis: quantity.Assumed, Note: "touch"}
	if s.has("housing_temperature") {
		w.HousingLimit = quantity.Figure[quantity.Temperature]{Value: quantity.Temperature(s.num("housing_temperature")), Basis: quantity.Stated}
	}
}

func (b *builder) prefer(s *section) {
	b.c.Prefer = Prefer{
		ThermalMargin: s.numOr("thermal_margin", 1),
		Current:       s.numOr("current", 1),
		Runtime:       s.numOr("runtime", 1),
	}
	if b.c.Prefer == (Prefer{}) {
		b.fault(s.at, "all weights of prefer are zero, so nothing can be ranked", "thermal_margin: 2, current: 1, runtime: 1")
	}
}

func (b *builder) catalogs(top *section) {
	s := top.sub("catalogs")
	paths := func(name string) []string {
		list := append([]string(nil), s.list(name)...)
		for i := range list {
			list[i] = beside(b.c.File, list[i])
		}
		return list
	}
	b.c.Catalogs = Catalogs{
		Motors: paths("motors"), GearTrains: paths("gear_trains"),
		Batteries: paths("batteries"), Controllers: paths("controllers"),
		Columns: map[string]string{},
	}
	for _, from := range []*section{top, s} {
		if !from.has("columns") {
			continue
		}
		for theirs, ours := range from.values["columns"].pairs {
			if before, ok := b.c.Catalogs.Columns[theirs]; ok && before != ours {
				b.fault(from.keyNode("columns"), fmt.Sprintf("the heading %s is renamed twice, to %s and to %s", quote(theirs), quote(before), quote(ours)), "keep one of the two")
				continue
			}
			b.c.Catalogs.Columns[theirs] = ours
		}
	}
}
