package sizing

import (
	"fmt"
	"math"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/quantity"
)

// footnotes are what a reader of one candidate must know beside its numbers.
func (e *evaluator) footnotes() []string {
	m, k := e.s.pick.Motor, e.s.pick.Controller
	var notes []string
	note := func(when bool, text string) {
		if when {
			notes = append(notes, text)
		}
	}
	note(!m.RotorInertia.Known(), "rotor inertia is not listed and counts as 0: starts are easier here than they will be")
	note(e.s.pick.Train != nil && !e.s.pick.Train.Inertia.Known(), "the gear train's inertia is not listed and counts as 0")
	note(!m.Inductance.Known() || !k.PWMFrequency.Known(), "inductance or PWM frequency is not listed: ripple heat is left out")
	note(!e.s.drive.Heated, "no thermal data: currents are given at air temperature, and the winding is judged by a rule of thumb only")
	note(e.res.Runaway, "currents are given with the winding at its limit, because no periodic temperature exists")
	note(e.s.drive.Train.Locks(), "a self-locking stage carries held loads: the motor rests in holds")
	note(k.RegenerationBasis == quantity.Assumed, "the controller is assumed to return braking energy")
	note(k.CurrentPeak.Known() && k.PeakTime.Basis == quantity.Assumed, "the controller's peak is assumed to last 1 s")
	note(e.efficiency() == quantity.Derived && e.s.pick.Motor.Ratio.Value > 2 && e.s.pick.Motor.GearEfficiency.Value > 0.97, "the stall torque shows nearly lossless gears, which do not exist: torque and current come out too good")
	note(e.efficiency() == quantity.Estimated, "gear efficiency is estimated from the kind of gears: torque and current stand on that guess")
	note(e.restsOnLoad() != "", fmt.Sprintf("in leg %q the machine rests unpowered on a load that its gears do not hold: it rolls or falls unless a brake or latch holds it", e.restsOnLoad()))
	if p := e.s.pick.Battery; p != nil {
		note(p.Chemistry == "lead_acid" && p.Peukert.Basis != quantity.Listed, "no Peukert exponent is listed: a lead-acid pack gives less at this rate than its label, which is left out (1.1 to 1.3 is usual, from memory)")
		note(p.Resistance.Basis == quantity.Assumed && !e.b.c.Supply.PackResistance.Known(), "pack resistance is assumed from chemistry and capacity, ±50 %")
	}
	note(e.s.adapter == nil && e.lags(), "the duty is not followed as commanded at half charge: legs show what is reached; runtime counts while no leg falls short by more than the speed tolerance")
	return notes
}

// efficiency is the basis of the gear train's efficiency; Listed without one.
func (e *evaluator) efficiency() quantity.Basis {
	switch m := e.s.pick.Motor; {
	case e.s.pick.Train != nil:
		return e.s.pick.Train.Efficiency.Basis
	case !m.Bare:
		return m.GearEfficiency.Basis
	}
	return quantity.Listed
}

// lags reports whether a leg falls behind by more than a reader would see.
func (e *evaluator) lags() bool {
	for i := range e.out.Legs {
		if l := &e.out.Legs[i]; l.Shortfall > 0.005 || l.Duration > 1.005*l.Commanded {
			return true
		}
	}
	return false
}

// restsOnLoad names the first leg that rests unpowered on a load which neither
// the gears nor the motor's friction hold; empty when there is none.
func (e *evaluator) restsOnLoad() string {
	for i := range e.b.c.Legs {
		if load := e.b.script.RestLoad(i); load > 0 && e.s.drive.Train.Unpowered(load) > e.s.drive.Machine.Friction {
			return e.b.c.Legs[i].Name
		}
	}
	return ""
}

// requestWarnings are the case's own warnings and what the supplies allowed say
// of the power asked for.
func requestWarnings(c *loadcases.Case, b *bench, f *Field) []string {
	var out []string
	for _, w := range c.Warnings {
		out = append(out, w.Text)
	}
	for _, w := range c.JudgeSupply(bestSupply(b, f)) {
		out = append(out, w.Text)
	}
	out = append(out, bestMotor(c, f)...)
	return append(out, freeSpeed(c, f)...)
}

// bestMotor warns when no motor of the field can give the mechanical power that
// the duty asks for at its hardest moment: a motor gives at most a quarter of
// V²/R at its shaft, at half its free speed.
func bestMotor(c *loadcases.Case, f *Field) []string {
	asked, leg := c.PeakPower()
	best, id := 0.0, ""
	for i := range f.Candidates {
		m := f.Candidates[i].Motor
		if v := float64(m.NominalVoltage.Or(0)); v > 0 {
			if p := float64(c.Motors) * v * v / (4 * float64(m.Resistance.Value)); p > best {
				best, id = p, m.ID
			}
		}
	}
	if best == 0 || asked <= best {
		return nil
	}
	return []string{fmt.Sprintf("leg %q asks for %s W of mechanical power; the strongest motor here, %d × %s, gives %s W at most at its rated voltage, in no ratio more: slower, lighter, less steep or a bigger motor",
		leg, sig(asked), c.Motors, id, sig(best))}
}

// bestSupply is the most power any allowed supply could ever give: E²/(4·Rt) at
// full charge, or an adapter's volts times amps.
func bestSupply(b *bench, f *Field) float64 {
	if a := b.c.Supply.Adapter; a != nil {
		return float64(a.Voltage) * float64(a.Current)
	}
	best := 0.0
	seen := map[string]bool{}
	for i := range f.Candidates {
		p := f.Candidates[i].Pick
		if seen[p.Battery.ID] {
			continue
		}
		seen[p.Battery.ID] = true
		var s setup
		b.prepare(p, &s)
		if e, rt := s.emf(1), s.drive.Supply.Rt(); rt > 0 {
			best = math.Max(best, e*e/(4*rt))
		} else {
			best = math.Inf(1)
		}
	}
	return best
}

// absurdSpeed is the ground speed, m/s, beyond which a small geared machine's
// free speed is called out.
const absurdSpeed = 20

// freeSpeed warns when a ratio leads to an absurd free speed of the machine.
func freeSpeed(c *loadcases.Case, f *Field) []string {
	if c.Mechanism.Turning() || len(c.Legs) == 0 {
		return nil
	}
	fast, id := 0.0, ""
	for i := range f.Candidates {
		k := &f.Candidates[i]
		m := k.Motor
		v := float64(m.NominalVoltage.Or(0)) / float64(m.Constant.Value) / k.TotalRatio / c.Mechanism.ShaftSpeed(&c.Legs[0])
		if v > fast {
			fast, id = v, k.ID
		}
	}
	if fast < absurdSpeed {
		return nil
	}
	return []string{fmt.Sprintf("with %s the machine's free speed would be %s m/s (%s km/h, %s mph): that ratio is far too small for this wheel",
		id, sig(fast), sig(fast*3.6), sig(fast/0.44704))}
}

// fieldFootnotes are what a reader of the whole field must know.
func fieldFootnotes(b *bench, cat *catalog.Catalog) []string {
	out := append([]string(nil), b.footnotes...)
	for _, f := range cat.Findings {
		if f.Severity == catalog.Impossible {
			out = append(out, fmt.Sprintf("%s:%d: %s: %s; it makes no candidate", f.File, f.Line, f.ID, f.Text))
		}
	}
	if b.fuse != nil {
		for _, n := range b.fuse.Notes {
			out = append(out, "fuse: "+n)
		}
	}
	if b.wireNote != "" {
		out = append(out, "leads: "+b.wireNote)
	}
	out = append(out, "not modelled: demagnetisation, brush-contact drop, rotor impact in a jam, battery temperature")
	return out
}
