package figures

import (
	"fmt"
	"math"

	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// duty shows one hottest cycle: speed, torque and currents over time, each in
// a panel of its own.
func (s *Source) duty() *Figure {
	unit := s.torque()
	tr := s.Pick.Detail.Trace
	panel := func(heading string, lines ...Line) Panel {
		return Panel{Heading: heading, X: Axis{Label: "time in the cycle, s"}, Lines: lines}
	}
	line := func(label string, tone Tone, dash Dash, of func(*sizing.State) float64) Line {
		x, y := columns(tr, of)
		return Line{Label: label, X: x, Y: y, Tone: tone, Dash: dash, Anchor: noAnchor()}
	}
	f := &Figure{Name: "duty", Title: "One cycle of the duty, at half charge, in the hottest cycle",
		Panels: []Panel{
			panel("output speed, rpm", line("", Ink, Solid, func(st *sizing.State) float64 { return Rpm(st.OutputSpeed) })),
			panel("torque of one motor at the gear output, "+unit.Name, line("", Ink, Solid, func(st *sizing.State) float64 { return unit.From(st.OutputTorque) })),
			panel("current, A", line("one motor", Ink, Solid, func(st *sizing.State) float64 { return st.MotorCurrent }),
				line("pack", Rust, Short, func(st *sizing.State) float64 { return st.BatteryCurrent })),
		},
		Key: s.legKey()}
	for i := range f.Panels {
		f.Panels[i].Spans = s.legSpans(i == 0)
		f.Panels[i].X.Min, f.Panels[i].X.Max = 0, s.Pick.CycleTime
	}
	c := s.Pick
	f.Finding = fmt.Sprintf("One cycle takes %s. The current of one motor peaks at %s A and is %s A rms over the cycle; the pack gives %s A at most and %s A on average.",
		Duration(c.CycleTime), Sig(c.MotorCurrentPeak), Sig(c.MotorCurrentRMS), Sig(c.BatteryCurrentPeak), Sig(c.BatteryCurrentMean))
	f.Tables = []Table{s.traceTable(unit)}
	return f
}

// traceRows is about how many rows of a trace a table prints.
const traceRows = 24

func (s *Source) traceTable(unit quantity.DisplayUnit) Table {
	tr := s.Pick.Detail.Trace
	t := Table{Caption: "The cycle in numbers", Left: 0,
		Heads: []string{"time, s", "output, rpm", "torque, " + unit.Name, "motor, A", "pack, A", "bus, V", "winding, °C", "housing, °C"}}
	for _, i := range everyNth(len(tr), traceRows) {
		st := &tr[i]
		t.Rows = append(t.Rows, []Cell{Number(st.At, ""), Shown(st.OutputSpeed, Sig(Rpm(st.OutputSpeed)), ""), Shown(st.OutputTorque, Sig(unit.From(st.OutputTorque)), ""),
			Number(st.MotorCurrent, ""), Number(st.BatteryCurrent, ""), Number(st.BusVoltage, ""), Number(st.WindingTemp, ""), Number(st.HousingTemp, "")})
	}
	return t
}

// everyNth picks about want of n places, the first and the last among them.
func everyNth(n, want int) []int {
	if n <= want {
		out := make([]int, n)
		for i := range out {
			out[i] = i
		}
		return out
	}
	out := make([]int, want)
	for i := range want {
		out[i] = i * (n - 1) / (want - 1)
	}
	return out
}

// Spread of temperature rises where the thermal data are estimated from size
// or mass: the resistances are known to ±40 %, and the rise follows them.
const estimatedSpread = 0.4

// temperature shows the warm-up from air to the periodic state as cycle means,
// and under it the swing within the hottest cycle.
func (s *Source) temperature() (*Figure, error) {
	c := s.Pick
	if len(s.Warm) == 0 || math.IsNaN(c.WindingPeak) {
		why := "no thermal data for the motor"
		if c.ThermalRunaway {
			why = "the winding runs away: there is no periodic state"
		}
		return nil, &Missing{"temperature", why}
	}
	limit, air := float64(c.Motor.WindingLimit.Or(120)), float64(s.Field.Case.Air.Value)
	scale, name := 3600.0, "operating time from cold, h"
	if s.Warm[len(s.Warm)-1].Time < 3*3600 {
		scale, name = 60, "operating time from cold, min"
	}
	var t, w, h []float64
	for _, q := range s.Warm {
		t, w, h = append(t, q.Time/scale), append(w, q.Winding), append(h, q.Housing)
	}
	x, cw := columns(c.Detail.Trace, func(st *sizing.State) float64 { return st.WindingTemp })
	_, ch := columns(c.Detail.Trace, func(st *sizing.State) float64 { return st.HousingTemp })
	warm := s.hotPanel("mean over a cycle, °C", name, t, w, h, air, limit)
	warm.X.Max = t[len(t)-1]
	warm.Y.Min, warm.Y.Max = math.Floor(air/10)*10, math.Ceil(math.Max(limit, c.WindingPeak)/10+0.5)*10
	swing := s.hotPanel("within the hottest cycle, °C", "time in the cycle, s", x, cw, ch, air, limit)
	if c.WindingPeak-air < 0.5*(limit-air) {
		swing.Rules = nil // its own range: the limit would flatten the swing
	}
	swing.X.Min, swing.X.Max = 0, c.CycleTime
	swing.Spans = s.legSpans(true)
	f := &Figure{Name: "temperature", Title: "Winding and housing temperature, from cold to the periodic state and within the hottest cycle",
		Panels: []Panel{warm, swing}, Key: s.legKey()}
	f.Finding = fmt.Sprintf("The winding peaks at %s °C against a limit of %s °C, the housing at %s °C, in air of %s °C; %s %% of the permitted rise is left. The thermal data are %s%s.",
		Sig(c.WindingPeak), Sig(limit), Sig(c.HousingPeak), Sig(air), Sig(100*c.ThermalMargin), c.ThermalBasis, s.bandWords())
	f.Tables = []Table{{Caption: "From cold, means over a cycle", Heads: []string{"time, s", "winding, °C", "housing, °C"}}}
	for i := 0; i < len(s.Warm); i += 4 {
		q := s.Warm[i]
		f.Tables[0].Rows = append(f.Tables[0].Rows, []Cell{Number(q.Time, ""), Number(q.Winding, ""), Number(q.Housing, "")})
	}
	return f, nil
}

func (s *Source) guessed() bool {
	return s.Pick.ThermalBasis == quantity.Estimated || s.Pick.ThermalBasis == quantity.Assumed
}

func (s *Source) bandWords() string {
	if s.guessed() {
		return ": the bands show the rise over air ±40 %"
	}
	return ""
}

// hotPanel draws winding and housing over time; its axis reaches to the limit
// only when that is near enough not to flatten the curves.
func (s *Source) hotPanel(heading, axis string, x, winding, housing []float64, air, limit float64) Panel {
	p := Panel{Heading: heading, X: Axis{Label: axis}, Height: 108,
		Lines: []Line{
			{Label: "winding", X: x, Y: winding, Tone: Rust, Dash: Solid, Heavy: true, Anchor: noAnchor()},
			{Label: "housing", X: x, Y: housing, Tone: Blue, Dash: Long, Anchor: noAnchor()},
		},
		Rules: []Rule{{At: limit, Label: "limit " + Sig(limit), Tone: Ink, Dash: Short}, {At: air, Label: "air " + Sig(air), Tone: Grey, Dash: Dotted}}}
	if s.guessed() {
		for i, y := range [][]float64{winding, housing} {
			b := Band{X: x, Tone: [...]Tone{Rust, Blue}[i]}
			for _, v := range y {
				b.Low = append(b.Low, air+(v-air)*(1-estimatedSpread))
				b.High = append(b.High, air+(v-air)*(1+estimatedSpread))
			}
			p.Bands = append(p.Bands, b)
		}
	}
	return p
}
