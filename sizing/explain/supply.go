package explain

import (
	"fmt"
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing/rating"
)

// constants writes the motor's constants, by their formula where the row's
// listed figures give them, else as they are known.
func (w *work) constants() {
	m := w.cand.Motor
	w.section("the motor's constants, at its shaft", fmt.Sprintf("%s at %s °C", m.ID, num(float64(m.ReferenceTemp), "")))
	v, stall := float64(m.NominalVoltage.Value), float64(m.StallCurrent.Value)
	r, k, i0 := float64(m.Resistance.Value), float64(m.Constant.Value), float64(m.NoLoadCurrent.Value)
	known := m.NominalVoltage.Known() && m.StallCurrent.Known()
	w.derived("winding resistance", "R", "V/Is", num(v, "V")+" / "+num(stall, "A"), "Ω", r, m.Resistance.Basis, m.Resistance.Note, known && stall > 0)
	ratio := float64(m.Ratio.Or(1))
	speed := float64(m.NoLoadSpeed.Value)
	w.derived("motor constant", "k", "(V − I0·R)/(ω0·N)", "("+num(v, "V")+" − "+num(i0, "A")+" · "+num(r, "Ω")+") / ("+num(speed, "rad/s")+" · "+num(ratio, "")+")",
		"V·s/rad", k, m.Constant.Basis, m.Constant.Note, known && m.NoLoadSpeed.Known() && speed > 0)
	w.given("no-load current", "I0", i0, "A", m.NoLoadCurrent.Basis, m.NoLoadCurrent.Note)
	w.k25 = round(k)
	w.tf = w.line("friction torque of the motor, constant", "Tf", "k·I0", num(w.k25, "V·s/rad")+" · "+num(i0, "A"), "N·m")
	if !m.Bare {
		eta, ts := float64(m.GearEfficiency.Value), float64(m.StallTorque.Value)
		w.derived("efficiency of the gear train", "η", "Ts/(N·k·(Is − I0))", num(ts, "N·m")+" / ("+num(ratio, "")+" · "+num(w.k25, "V·s/rad")+" · ("+num(stall, "A")+" − "+num(i0, "A")+"))",
			"", eta, m.GearEfficiency.Basis, m.GearEfficiency.Note, m.GearEfficiency.Basis == quantity.Derived && m.StallTorque.Known() && stall > i0)
	}
}

// derived writes a constant by a formula where that formula gives the engine's
// value, and as a given figure where it does not.
func (w *work) derived(title, symbol, formula, expression, unit string, value float64, basis quantity.Basis, note string, try bool) {
	if try {
		if v, err := evaluate(expression); err == nil && math.Abs(v-value) <= 2e-4*math.Abs(value) {
			w.line(title, symbol, formula, expression, unit)
			w.remark(note)
			w.at.Steps[len(w.at.Steps)-1].Basis = basis
			return
		}
	}
	w.given(title, symbol, value, unit, basis, note)
}

// supply writes the figures between the pack's EMF and the motor's terminals.
func (w *work) supply() {
	c, s := &w.c.Supply, &w.works.Supply
	w.n, w.p = s.Motors, s.PerChannel
	w.section("supply, wiring and controller", fmt.Sprintf("motors: %s, on each controller channel %s; controllers: %d × %s", num(w.n, ""), num(w.p, ""), w.works.Controllers, w.cand.Controller.ID))
	w.pack()
	w.leadR, w.supplyR = w.lead("motor lead, there and back", "Rl", c.MotorLead), w.lead("supply lead, there and back", "Rs", c.SupplyLead)
	switch {
	case w.packR != 0 && w.supplyR != 0:
		w.rt = w.line("resistance from the EMF to the bus", "Rt", "Rb + Rs", num(w.packR, "Ω")+" + "+num(w.supplyR, "Ω"), "Ω")
	default:
		w.rt = w.packR + w.supplyR
	}
	w.switchR = 0
	if k := w.cand.Controller.OnResistance; k.Known() {
		w.switchR = w.given("on-resistance of one channel", "Ron", float64(k.Value), "Ω", k.Basis, k.Note)
	}
	idle := float64(w.cand.Controller.IdleCurrent.Or(0))
	w.aux = w.line("current of electronics and controllers", "Iaux", "I_el + controllers·I_idle", num(float64(c.ElectronicsCurrent), "A")+" + "+
		num(float64(w.works.Controllers), "")+" · "+num(idle, "A"), "A")
	w.b = w.line("EMF less what they take", "b", "E − Iaux·Rt", num(w.emf, "V")+" − "+num(w.aux, "A")+" · "+num(w.rt, "Ω"), "V")
}

// pack writes EMF at half charge and resistance of the whole pack.
func (w *work) pack() {
	if a := w.c.Supply.Adapter; a != nil {
		w.emf = w.given("voltage of the adapter", "E", float64(a.Voltage), "V", quantity.Stated, "")
		w.given("current of the adapter", "Imax", float64(a.Current), "A", quantity.Stated, "beyond it the adapter "+a.Beyond)
		return
	}
	p := w.cand.Battery
	for i := 1; i < len(p.OCV); i++ {
		low, high := p.OCV[i-1], p.OCV[i]
		if low.Charge <= 0.5 && 0.5 <= high.Charge {
			w.emf = w.line("open-circuit voltage at half charge", "E", "series·(V1 + (soc − s1)/(s2 − s1)·(V2 − V1))",
				num(w.works.Series, "")+" · ("+num(float64(low.Voltage), "V")+" + (0.5 − "+num(low.Charge, "")+") / ("+num(high.Charge, "")+" − "+num(low.Charge, "")+") · ("+
					num(float64(high.Voltage), "V")+" − "+num(float64(low.Voltage), "V")+"))", "V")
			w.at.Steps[len(w.at.Steps)-1].Basis = p.OCVBasis
			break
		}
	}
	r, note := p.Resistance, p.Resistance.Note
	if w.c.Supply.PackResistance.Known() {
		r, note = w.c.Supply.PackResistance, "from the case"
	}
	w.packR = w.line("resistance of the pack", "Rb", "R_pack·series/parallel", num(float64(r.Value), "Ω")+" · "+num(w.works.Series, "")+" / "+num(w.works.Parallel, ""), "Ω")
	w.at.Steps[len(w.at.Steps)-1].Basis = r.Basis
	w.remark(note)
}

// lead writes a lead's resistance; 0 without one.
func (w *work) lead(title, symbol string, l *loadcases.Lead) float64 {
	if l == nil {
		return 0
	}
	per, note, err := rating.WireResistance(l.Gauge, w.works.Air)
	if err != nil {
		w.fault = err
		return 0
	}
	r := w.line(title, symbol, "2·l·R′", "2 · "+num(float64(l.Length), "m")+" · "+num(per, "Ω/m"), "Ω")
	w.remark(note + ", at air temperature")
	return r
}
