package review

import (
	"fmt"
	"math"
	"strings"

	"example.org/dray/quantity"
	"example.org/dray/report"
	"example.org/dray/report/figures"
	"example.org/dray/sizing"
)

// pick shows the chosen drive: its checks, operating points and constants.
func (w *composer) pick() {
	s := w.section("pick", "The pick, checked")
	s.judged(w.checks(), 2)
	s.say("Margin is the share of the limit that is left. A check that nothing in the case or the catalog gives a limit for is left out and not counted as passed.")
	s.part("Operating points")
	s.say("One motor, at half charge in the hottest cycle. Steady is the leg's final state, of a move the end of its constant-speed part; peak is the instant of its largest current.")
	s.table(w.points())
	s.list(w.behind())
	s.picture(w.in.Figures, "torque-speed")
	s.picture(w.in.Figures, "duty")
	s.part("What the pick stands on")
	s.say("Every constant with its basis: listed in a catalog, derived from listed figures, estimated from size or mass, or assumed by convention. A result is no better than the weakest of them.")
	s.table(w.constants())
	s.list(w.notesOf())
}

// checks are every check as a sentence, with its margin.
func (w *composer) checks() figures.Table {
	t := figures.Table{Caption: "Every check", Left: 5, Heads: []string{"check", "verdict", "margin", "in words", "basis"}}
	for i := range w.c.Checks {
		k := &w.c.Checks[i]
		t.Rows = append(t.Rows, []figures.Cell{figures.Words(k.Name.String()), figures.Words(k.Verdict.String()),
			amount(k.Margin, share(k.Margin), fmt.Sprintf("checks.%d.margin", i)), figures.Words(sentence(k.Sentence(w.c))), figures.Words(k.Basis.String())})
	}
	return t
}

// points are the legs' states.
func (w *composer) points() figures.Table {
	most := 0.0
	for _, l := range w.c.Legs {
		most = math.Max(most, math.Max(math.Abs(l.Steady.OutputTorque), math.Abs(l.Peak.OutputTorque)))
	}
	torque := w.in.Display.Unit(quantity.KindTorque, most)
	t := figures.Table{Caption: "Operating points, one motor", Left: 2,
		Heads: []string{"leg", "state", "output, rpm", "torque, " + torque.Name, "motor, A", "motor, V", "command, %", "bus, V", "pack, A"}}
	for i, l := range w.c.Legs {
		for _, k := range []struct {
			name string
			st   sizing.State
		}{{"steady", l.Steady}, {"peak", l.Peak}} {
			at := fmt.Sprintf("legs.%d.%s.", i, k.name)
			t.Rows = append(t.Rows, []figures.Cell{figures.Words(fmt.Sprintf("%d %s", i+1, l.Name)), figures.Words(k.name),
				amount(k.st.OutputSpeed, sig(figures.Rpm(k.st.OutputSpeed)), at+"output_speed_rad_per_s"),
				shown(torque, k.st.OutputTorque, at+"output_torque_Nm"),
				figures.Number(k.st.MotorCurrent, at+"motor_current_A"), figures.Number(k.st.MotorVoltage, at+"motor_voltage_V"),
				amount(100*k.st.Command, sig(100*k.st.Command), at+"command_percent"), figures.Number(k.st.BusVoltage, at+"bus_voltage_V"),
				figures.Number(k.st.BatteryCurrent, at+"battery_current_A")})
		}
	}
	return t
}

// behind says which legs are not followed as commanded.
func (w *composer) behind() (out []string) {
	for _, l := range w.c.Legs {
		if l.LimitedBy == "" && !l.Abandoned && !(l.Shortfall > 0) {
			continue
		}
		text := fmt.Sprintf("Leg %q falls behind its command by %s", l.Name, share(l.Shortfall))
		if l.LimitedBy != "" {
			text += ", held back by " + l.LimitedBy
		}
		if l.Abandoned {
			text += "; given up at ten times its commanded time"
		}
		out = append(out, text+".")
	}
	return out
}

func (w *composer) constants() figures.Table {
	t := figures.Table{Caption: "Constants and where they come from", Left: 4, Heads: []string{"constant", "value", "basis", "note"}}
	for _, k := range report.Constants(w.c) {
		unit := w.in.Display.Unit(k.Kind, k.Value)
		cell := amount(k.Value, strings.TrimSpace(sig(unit.From(k.Value))+" "+unit.Name+k.Per), "constants."+k.Key+".value")
		if k.Basis == quantity.Unknown {
			cell = figures.Words(figures.Absent)
		}
		t.Rows = append(t.Rows, []figures.Cell{figures.Words(k.Name), cell, figures.Words(k.Basis.String()), figures.Words(k.Note)})
	}
	return t
}

func (w *composer) notesOf() (out []string) {
	for _, n := range distinct(w.c.Footnotes, w.f.Footnotes) {
		out = append(out, sentence(n))
	}
	return out
}

// heat shows the temperatures and where the power goes.
func (w *composer) heat() {
	s := w.section("heat", "Heat")
	c := w.c
	switch {
	case c.ThermalRunaway:
		s.warn("The winding runs away: no state below 400 °C repeats.")
	case math.IsNaN(c.WindingPeak):
		s.warn("The winding temperature is unknown, because the motor's thermal data are: that is not a pass.")
	default:
		s.facts(Fact{"winding, peak", amount(c.WindingPeak, both(airKind, c.WindingPeak), "winding_peak_degC")},
			Fact{"winding, mean", amount(c.WindingMean, both(airKind, c.WindingMean), "winding_mean_degC")},
			Fact{"housing, peak", amount(c.HousingPeak, both(airKind, c.HousingPeak), "housing_peak_degC")},
			Fact{"thermal margin", amount(c.ThermalMargin, share(c.ThermalMargin), "thermal_margin")},
			Fact{"motor current, rms", amount(c.MotorCurrentRMS, with(c.MotorCurrentRMS, "A"), "motor_current_rms_A")},
			Fact{"thermal data", figures.Words(c.ThermalBasis.String())})
	}
	s.picture(w.in.Figures, "temperature")
	w.losses(s)
	if r := c.Detail.Ripple.Sentence; r != "" {
		s.say(sentence(r))
	}
}

// losses tabulates where the source's power goes.
func (w *composer) losses(s *Section) {
	if len(w.c.Detail.Losses) == 0 {
		return
	}
	t := figures.Table{Caption: "Where the power goes, mean over a cycle at half charge", Left: 2, Heads: []string{"where", "kind", "W", "share, %"}}
	for i, l := range w.c.Detail.Losses {
		kind := "loss"
		if l.Useful {
			kind = "use"
		}
		at := fmt.Sprintf("losses.%d.", i)
		t.Rows = append(t.Rows, []figures.Cell{figures.Words(l.Where), figures.Words(kind), figures.Number(l.Watts, at+"mean_W"), amount(l.Share, sig(100*l.Share), at+"share")})
	}
	s.table(t)
	if w.c.Detail.LossNote != "" {
		s.say(sentence(w.c.Detail.LossNote))
	}
}
