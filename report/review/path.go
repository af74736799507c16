package review

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/dray/quantity"
	"example.org/dray/report/figures"
	"example.org/dray/sizing"
)

// path follows the current from the pack to the motor.
func (w *composer) path() {
	s := w.section("path", "The current path")
	d := w.c.Detail
	s.picture(w.in.Figures, "current-path")
	s.picture(w.in.Figures, "envelope")
	if len(d.Source.Sags) > 0 {
		t := figures.Table{Caption: "The source at its worst moment", Left: 1, Heads: []string{"state of charge", "open circuit, V", "terminals, V", "bus, V", "current, A"}}
		for i, g := range d.Source.Sags {
			at := fmt.Sprintf("source.sags.%d.", i)
			name := share(g.Charge)
			if d.Source.Adapter {
				name = "adapter"
			}
			t.Rows = append(t.Rows, []figures.Cell{figures.Words(name), figures.Number(g.EMF, at+"open_circuit_V"), figures.Number(g.Terminals, at+"terminals_V"), figures.Number(g.Bus, at+"bus_voltage_V"), figures.Number(g.Current, at+"battery_current_A")})
		}
		s.table(t)
	}
	var items []string
	for _, n := range d.Source.Sentences {
		items = append(items, sentence(n))
	}
	if d.Leads != nil {
		items = append(items, sentence(d.Leads.Sentence))
	}
	if d.Pivot != nil {
		items = append(items, sentence(d.Pivot.Sentence))
	}
	s.list(items)
}

// firmware is the sheet of limits and pulses that follow from the pick.
func (w *composer) firmware() {
	s := w.section("firmware", "Firmware limits and pulses")
	fw := &w.c.Detail.Firmware
	s.facts(
		Fact{"current limit, per motor", amount(fw.CurrentLimit, with(fw.CurrentLimit, "A"), "firmware.current_limit_A")},
		Fact{"trip after, at that limit", amount(fw.TripTime, figures.Duration(fw.TripTime), "firmware.trip_time_s")},
		Fact{"ramp from 0 to 100 %", amount(fw.Ramp, figures.Duration(fw.Ramp), "firmware.ramp_s")},
		Fact{"dead time between reversals", amount(fw.DeadTime, figures.Duration(fw.DeadTime), "firmware.dead_time_s")},
		Fact{"cut-off voltage at the pack", amount(fw.CutOffVoltage, with(fw.CutOffVoltage, "V"), "firmware.cut_off_voltage_V")},
		Fact{"largest command", amount(100*fw.CommandCap, share(fw.CommandCap), "firmware.command_cap_percent")})
	t := figures.Table{Caption: "Command and pulse that hold each leg's steady state at half charge", Left: 1, Heads: []string{"leg", "command, %", "pulse, µs"}}
	for i, l := range w.c.Legs {
		at := fmt.Sprintf("legs.%d.steady.", i)
		us := 1e6 * l.Steady.PulseSeconds
		t.Rows = append(t.Rows, []figures.Cell{figures.Words(fmt.Sprintf("%d %s", i+1, l.Name)),
			amount(100*l.Steady.Command, sig(100*l.Steady.Command), at+"command_percent"), amount(us, fmt.Sprintf("%.0f", us), at+"pulse_us")})
	}
	s.table(t)
	var notes []string
	for _, n := range fw.Notes {
		notes = append(notes, sentence(n))
	}
	s.list(notes)
}

// jam tells starts, reversals and what happens when the output is held.
func (w *composer) jam() {
	s := w.section("jam", "Start, reversal and jam")
	d := w.c.Detail
	t := figures.Table{Caption: "A full command thrown on at full charge, one motor", Left: 1, Heads: []string{"event", "current, A", "bus, V", "tamed by a ramp of, s", "or by a limit of, A"}}
	for _, e := range []struct {
		name, at string
		i        sizing.Inrush
	}{{"start from rest", "start.", d.Start}, {"reversal at top speed", "reversal.", d.Reversal}} {
		t.Rows = append(t.Rows, []figures.Cell{figures.Words(e.name), figures.Number(e.i.Current, e.at+"current_A"), figures.Number(e.i.BusVoltage, e.at+"bus_voltage_V"),
			figures.Number(e.i.TamedByRamp, e.at+"tamed_by_ramp_s"), figures.Number(e.i.TamedByLimit, e.at+"tamed_by_limit_A")})
	}
	s.table(t)
	var said []string
	for _, text := range []string{d.Start.Sentence, d.Reversal.Sentence} {
		if text != "" {
			said = append(said, sentence(text))
		}
	}
	s.list(said)
	w.story(s, &d.Jam, "jam.", "All outputs held at full command and full charge")
	if d.Jam.Single != nil {
		w.story(s, d.Jam.Single, "jam.single.", "One motor held alone")
	}
	var protects []string
	for _, text := range append(slices.Clone(d.Jam.Protects), d.Jam.Notes...) {
		protects = append(protects, sentence(text))
	}
	s.list(protects)
	if d.HeldLoad > 0 {
		s.warn(fmt.Sprintf("Unpowered, a brake or latch must hold %s at the load shaft for each motor.", both(quantity.KindTorque, d.HeldLoad)))
	}
}

// story tells one jam in the order in which things give up.
func (w *composer) story(s *Section, j *sizing.Jam, at, title string) {
	s.part(title)
	word := "Not protected"
	switch {
	case !j.Judged:
		word = "Not judged, because heat data are missing"
	case j.Protected:
		word = "Protected"
	}
	text := word
	if j.Why != "" {
		text += ": " + j.Why
	}
	s.say(text + ".")
	facts := []Fact{{"current, per motor", amount(j.Current, with(j.Current, "A"), at+"current_A")}, {"from the pack", amount(j.BatteryCurrent, with(j.BatteryCurrent, "A"), at+"battery_current_A")}}
	if !math.IsNaN(j.GearTorque) {
		facts = append(facts, Fact{"torque on the gear output", amount(j.GearTorque, both(quantity.KindTorque, j.GearTorque), at+"gear_torque_Nm")})
	}
	s.facts(facts...)
	order := make([]int, len(j.Events))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(j.Events[a].After, j.Events[b].After) })
	t := figures.Table{Caption: "What gives up, in order", Left: 2, Heads: []string{"after", "what happens"}}
	for _, i := range order {
		e := j.Events[i]
		t.Rows = append(t.Rows, []figures.Cell{amount(e.After, figures.Duration(e.After), fmt.Sprintf("%sevents.%d.after_s", at, i)), figures.Words(sentence(e.What))})
	}
	if len(t.Rows) > 0 {
		s.table(t)
	}
}
