package explain

import (
	"fmt"
	"math"
	"strings"

	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// legs tabulates every leg and takes the rms current over the cycle.
func (w *work) legs() {
	w.section("every leg, and the rms current over the cycle", "steady state per motor, and ∫I²dt from the march, ripple in where it is known")
	t := &Table{Heads: []string{"leg", "time s", "torque N·m", "motor A", "motor V", "command %", "bus V", "battery A", "∫I²dt A²s"}}
	var squares, times []string
	cell := func(x float64) string {
		if math.IsNaN(x) {
			return "–"
		}
		return quantity.Significant(x, 4)
	}
	for i := range w.cand.Legs {
		l, s := &w.cand.Legs[i], &w.cand.Legs[i].Steady
		square := round(w.works.Legs[i].Square)
		t.Rows = append(t.Rows, []string{l.Name, cell(l.Duration), cell(s.OutputTorque), cell(s.MotorCurrent), cell(s.MotorVoltage), cell(100 * s.Command),
			cell(s.BusVoltage), cell(s.BatteryCurrent), quantity.Significant(square, digits)})
		times = append(times, num(l.Duration, "s"))
		if square != 0 {
			squares = append(squares, num(square, "A²s"))
		}
	}
	if len(squares) == 0 {
		squares = []string{"0 A²s"}
	}
	w.at.Table = t
	cycle := w.line("one duty cycle", "T", "Σ t", strings.Join(times, " + "), "s")
	w.line("rms motor current", "Irms", "√(Σ ∫I²dt/T)", "√(("+strings.Join(squares, " + ")+") / "+num(cycle, "s")+")", "A")
}

// heat estimates the winding from the cycle's mean losses, beside the march.
func (w *work) heat() {
	w.section("temperatures", "two nodes, winding and housing. First the state that the cycle's mean losses would hold for ever; beside it the peak of the hottest cycle that the engine marched, which also knows swings, operating time and pause")
	b, m := &w.works.Body, w.cand.Motor
	if !m.WindingToHousing.Known() || !m.HousingToAir.Known() {
		w.note("no thermal data: the winding temperature is unknown, and only the rule of thumb among the checks judges it")
		return
	}
	rwh := w.given("winding to housing", "Rwh", b.WindingToHousing, "K/W", m.WindingToHousing.Basis, m.WindingToHousing.Note)
	rha := w.given("housing to air", "Rha", b.HousingToAir, "K/W", m.HousingToAir.Basis, m.HousingToAir.Note)
	irms := round(w.cand.MotorCurrentRMS)
	s := w.line("heat of the winding for each kelvin above −234.5 °C", "s", "Irms²·R_ref/(234.5 + T_ref)", "("+num(irms, "A")+")² · "+num(w.works.Machine.Resistance, "Ω")+" / (234.5 + "+num(w.works.Machine.RefTemp, "°C")+")", "W/K")
	var sum float64
	for i := range w.works.Legs {
		sum += w.works.Legs[i].Friction
	}
	sum = round(sum)
	friction := w.line("mean friction heat, into the housing", "Pf", "Σ∫Tf·|ωm|dt/T", num(sum, "J")+" / "+num(round(w.cand.CycleTime), "s"), "W")
	room := w.line("what the feedback of a hotter winding leaves", "q", "1 − (Rwh + Rha)·s", "1 − ("+num(rwh, "K/W")+" + "+num(rha, "K/W")+") · "+num(s, "W/K"), "")
	air := num(w.works.Air, "°C")
	if room <= 0 {
		w.note("q is not positive: at these mean losses the winding would heat without end")
	} else {
		tw := w.line("winding at the mean losses", "Tw", "(Ta + Rha·Pf + (Rwh + Rha)·s·234.5)/q", "("+air+" + "+num(rha, "K/W")+" · "+num(friction, "W")+" + ("+num(rwh, "K/W")+" + "+num(rha, "K/W")+") · "+
			num(s, "W/K")+" · 234.5) / "+num(room, ""), "°C")
		p := w.line("heat of the winding there", "Pw", "s·(234.5 + Tw)", num(s, "W/K")+" · (234.5 + "+num(tw, "°C")+")", "W")
		w.line("housing at the mean losses", "Th", "Ta + Rha·(Pw + Pf)", air+" + "+num(rha, "K/W")+" · ("+num(p, "W")+" + "+num(friction, "W")+")", "°C")
	}
	if w.cand.ThermalRunaway {
		w.note("the engine finds no periodic state below 400 °C: thermal runaway")
		return
	}
	w.given("housing, peak of the engine's march", "", w.cand.HousingPeak, "°C", w.cand.ThermalBasis, "")
	peak := w.given("winding, peak of the engine's march", "Tpeak", w.cand.WindingPeak, "°C", w.cand.ThermalBasis, "")
	limit := w.given("winding limit", "Tlim", w.works.Limit, "°C", m.WindingLimit.Basis, m.WindingLimit.Note)
	w.line("thermal margin", "", "(Tlim − Tpeak)/(Tlim − Ta)", "("+num(limit, "°C")+" − "+num(peak, "°C")+") / ("+num(limit, "°C")+" − "+air+")", "")
}

// battery writes the charge of a cycle and the runtime.
func (w *work) battery() {
	w.section("battery", "")
	var charges []string
	for i := range w.works.Legs {
		if q := w.works.Legs[i].Charge; q != 0 {
			charges = append(charges, num(q, "A·s"))
		}
	}
	if len(charges) == 0 {
		return
	}
	cycle := round(w.cand.CycleTime)
	q := w.line("charge of one cycle at half charge, leg by leg", "q", "Σ∫ib dt", strings.Join(charges, " + "), "A·s")
	w.line("mean battery current", "", "q/T", num(q, "A·s")+" / "+num(cycle, "s"), "A")
	if w.cand.Battery == nil {
		w.note("an adapter does not run empty")
		return
	}
	p := w.cand.Battery
	if math.IsNaN(w.works.Capacity) || math.IsNaN(w.works.Drain) {
		w.note("the pack's capacity is unknown, so no runtime")
		return
	}
	drain := q
	if d := round(w.works.Drain); math.Abs(d-q) > 1e-4*math.Abs(q) {
		drain = w.given("the same with Peukert's exponent", "q", d, "A·s", p.Peukert.Basis, "ib·max(1, ib·H/C)^(n − 1), n = "+num(float64(p.Peukert.Or(1)), ""))
	}
	capacity := w.line("usable charge", "Q", "C·parallel·health·(1 − reserve)", num(float64(p.Capacity.Value), "A·s")+" · "+num(w.works.Parallel, "")+" · "+num(w.c.Supply.Health, "")+" · (1 − "+num(w.c.Wants.Reserve, "")+")", "A·s")
	if drain > 0 {
		w.line("runtime at half charge's current", "", "Q/q·T/3600", num(capacity, "A·s")+" / "+num(drain, "A·s")+" · "+num(cycle, "s")+" / 3600", "h")
	}
	if r := w.cand.Runtime; math.IsInf(r, 1) {
		w.note("the engine, over all states of charge: the duty returns as much as it takes")
	} else {
		w.given("runtime of the engine, charge by charge", "", r, "h", quantity.Derived, "ends by "+strings.ReplaceAll(w.cand.RuntimeEndsBy, "_", "-"))
	}
}

// checks writes each margin by the formula it follows.
func (w *work) checks() {
	w.section("checks: what each rating leaves", "value and limit are the engine's; the sentence says where")
	air := num(w.works.Air, "°C")
	for i := range w.cand.Checks {
		k := &w.cand.Checks[i]
		unit := k.Unit
		switch unit {
		case "degC":
			unit = "°C"
		case "1":
			unit = ""
		}
		v, l := num(k.Value, unit), num(k.Limit, unit)
		forms := [][2]string{{"(limit − value)/limit", "(" + l + " − " + v + ") / " + l}, {"(value − limit)/limit", "(" + v + " − " + l + ") / " + l}}
		switch {
		case unit == "°C":
			forms = [][2]string{{"(limit − value)/(limit − air)", "(" + l + " − " + v + ") / (" + l + " − " + air + ")"}}
		case k.Name == sizing.CheckSpeed:
			forms = [][2]string{{"1 − (1 − reached)/tolerance", "1 − (1 − " + v + ") / " + num(w.c.Wants.SpeedTolerance, "")}}
		}
		done := false
		for _, f := range forms {
			if m, err := evaluate(f[1]); err == nil && !done && math.Abs(m-k.Margin) <= 2e-4*(1+math.Abs(k.Margin)) {
				w.line(k.Name.String()+": "+k.Verdict.String(), "margin", f[0], f[1], "")
				w.at.Steps[len(w.at.Steps)-1].Basis = k.Basis
				w.remark(k.Sentence(w.cand))
				done = true
			}
		}
		if !done {
			w.note(fmt.Sprintf("%s: %s: %s", k.Name, k.Verdict, k.Sentence(w.cand)))
		}
	}
}

// assumptions lists everything nobody stated or listed, with its basis.
func (w *work) assumptions() {
	add := func(what, value string, basis quantity.Basis, why string) {
		w.ex.Assumptions = append(w.ex.Assumptions, loadcases.Assumption{What: what, Value: value, Basis: basis, Why: why})
	}
	w.ex.Assumptions = append(w.ex.Assumptions, w.c.Assumptions...)
	m, k := w.cand.Motor, w.cand.Controller
	weak(add, "winding resistance", "Ω", m.Resistance)
	weak(add, "motor constant", "V·s/rad", m.Constant)
	weak(add, "no-load current", "A", m.NoLoadCurrent)
	weak(add, "flux change of the magnet", "/K", m.Magnet)
	weak(add, "rotor inertia", "kg·m²", m.RotorInertia)
	if t := w.cand.Train; t != nil {
		weak(add, "gear efficiency", "", t.Efficiency)
		weak(add, "back-driven efficiency", "", t.BackEfficiency)
		weak(add, "gear inertia", "kg·m²", t.Inertia)
	} else if !m.Bare {
		weak(add, "gear efficiency", "", m.GearEfficiency)
		weak(add, "back-driven efficiency", "", m.BackEfficiency)
	}
	weak(add, "winding to housing", "K/W", m.WindingToHousing)
	weak(add, "housing to air", "K/W", m.HousingToAir)
	weak(add, "winding heat capacity", "J/K", m.WindingCapacity)
	weak(add, "housing heat capacity", "J/K", m.HousingCapacity)
	weak(add, "winding limit", "°C", m.WindingLimit)
	if p := w.cand.Battery; p != nil {
		if !w.c.Supply.PackResistance.Known() {
			weak(add, "pack resistance", "Ω", p.Resistance)
		}
		weak(add, "rated hours", "s", p.RatedHours)
		weak(add, "cut-off voltage", "V", p.CutOff)
		weak(add, "Peukert exponent", "", p.Peukert)
		if p.OCVBasis < quantity.Listed {
			add("open-circuit voltage", "by chemistry", p.OCVBasis, "the chemistry's table for "+p.Chemistry)
		}
	}
	weak(add, "controller on-resistance", "Ω", k.OnResistance)
	weak(add, "controller peak time", "s", k.PeakTime)
	if k.RegenerationBasis < quantity.Listed {
		add("braking energy", "returned", k.RegenerationBasis, "the controller's row does not say")
	}
	for _, a := range [][2]string{
		{"gravity", "9.80665 m/s²"}, {"air", "1.2 kg/m³"},
	} {
		add(a[0], a[1], quantity.Assumed, "convention")
	}
	add("states of charge", "half", quantity.Assumed, "currents, heat and speed at half charge; lowest bus at reserve, jam and start at full charge")
	add("friction heat", "all into the housing", quantity.Assumed, "gear loss heats the motor by no part")
	add("load", "shared equally", quantity.Assumed, "by all motors")
}

// weak lists a figure that is neither stated nor listed.
func weak[Q ~float64](add func(what, value string, basis quantity.Basis, why string), what, unit string, f quantity.Figure[Q]) {
	switch {
	case !f.Known():
		if f.Note != "" || what == "rotor inertia" || what == "gear inertia" {
			add(what, "unknown", f.Basis, strings.TrimSpace(f.Note+" counts as 0"))
		}
	case f.Basis < quantity.Listed:
		add(what, strings.Trim(num(float64(f.Value), unit), "()"), f.Basis, f.Note)
	}
}
