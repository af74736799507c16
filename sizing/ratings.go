package sizing

import (
	"math"

	"example.org/dray/quantity"
	"example.org/dray/sizing/rating"
)

// checkJam: an interruption at its latest against the winding limit, or the
// gear train's momentary torque; tight at worst unless wanted.
func (e *evaluator) checkJam() {
	if !e.s.drive.Heated {
		return
	}
	j := e.jam(false)
	j.Brief = true
	r := j.Run()
	c := check(CheckJam, math.Min(r.FuseLatest, 1e9), r.WindingLimit, "s", worst(e.out.ThermalBasis, e.constants()))
	switch {
	case !r.GearHolds:
		c = check(CheckJam, r.Torque, float64(e.s.train.peak.Value), "N·m", worst(e.s.train.peak.Basis, e.constants())).upper()
		c.Which = "gear"
	case math.IsInf(r.WindingLimit, 1):
		c = check(CheckJam, r.Warmest, e.s.drive.Limit, "degC", c.Basis).over(e.b.air)
		c.Which = "stays below"
		c.Margin = math.Max(c.Margin, 0)
	case r.Cut && r.WindingLimit > 0:
		c.Value, c.Which = 0, "source"
		c = c.upper()
	case math.IsInf(r.FuseLatest, 1):
		c.Value, c.Margin, c.Which = math.NaN(), -1, "nothing"
	case r.WindingLimit == 0:
		c.Margin, c.Which = -1, "fuse"
	default:
		c.Which = "fuse"
		c = c.upper()
	}
	if e.b.c.Wants.JamProtected {
		e.add(c)
		return
	}
	e.soft(c)
}

// checkInrush: start and reversal against the controller's peak.
func (e *evaluator) checkInrush() {
	peak := e.s.pick.Controller.CurrentPeak
	if !peak.Known() {
		peak = e.s.pick.Controller.CurrentContinuous
	}
	if !peak.Known() {
		return
	}
	for _, s := range [2]struct {
		name  CheckName
		omega float64
	}{{CheckStart, 0}, {CheckReversal, e.maxOmega}} {
		in := e.inrush(s.omega)
		c := check(s.name, in.Current*e.s.drive.Supply.PerChannel, float64(peak.Value), "A", worst(peak.Basis, e.constants())).upper()
		c.Extra = in.BusVoltage
		if e.b.ramps {
			e.soft(c)
		} else {
			e.add(c)
		}
	}
}

// checkWires: connector, leads and the voltage drop.
func (e *evaluator) checkWires() {
	s := &e.b.c.Supply
	if s.Connector != nil {
		u := e.pack.Use(rating.ContinuousOnly(float64(s.Connector.Rating)), 1, e.b.longest)
		e.add(e.envelope(CheckConnector, u, quantity.Stated))
	}
	best, found := Check{}, false
	if e.b.supplyWire != nil {
		best, found = e.envelope(CheckLead, e.pack.Use(*e.b.supplyWire, 1, e.b.longest), quantity.Stated), true
		best.Which = leadName("supply lead", best.Which)
	}
	if e.b.motorWire != nil {
		c := e.envelope(CheckLead, e.motor.Use(*e.b.motorWire, 1, e.b.longest), quantity.Stated)
		c.Which = leadName("motor lead", c.Which)
		if !found || c.Margin < best.Margin {
			best, found = c, true
		}
	}
	if found {
		e.add(best)
	}
	e.checkDrop()
}

// leadName names a lead, and that its memory decides when it does.
func leadName(lead, which string) string {
	if which == "memory" {
		return lead + " memory"
	}
	return lead
}

// checkDrop: the supply lead's drop at the largest battery current, or the
// motor lead's at the largest motor current when the supply lead is not given.
func (e *evaluator) checkDrop() {
	if math.IsNaN(e.s.nominal) || (e.b.c.Supply.SupplyLead == nil && e.b.c.Supply.MotorLead == nil) {
		return
	}
	value := e.out.BatteryCurrentPeak * e.b.leadR
	c := check(CheckVoltageDrop, value, e.b.c.Wants.VoltageDrop*e.s.nominal, "V", e.constants())
	c.Which = "supply lead"
	c.Extra = e.out.MotorCurrentPeak * e.b.motorLeadR
	if e.b.c.Supply.SupplyLead == nil {
		c.Value, c.Which = c.Extra, "motor lead"
	}
	e.add(c.upper().at(e.batteryAt, e.legAt(e.batteryAt)))
}

// checkBus: brown-out at reserve charge, and the bus that regeneration raises
// at full charge.
func (e *evaluator) checkBus() {
	if limit := e.b.c.Supply.ElectronicsMin; limit.Known() {
		c := check(CheckBrownOut, e.out.BusVoltageMin, float64(limit.Value), "V", worst(limit.Basis, e.constants())).lower()
		e.add(c.at(e.reserveAt, e.legAt(e.reserveAt)))
	}
	k := e.s.pick.Controller
	if !k.VoltageMax.Known() {
		return
	}
	value := e.fullHigh
	c := check(CheckRegeneration, value, float64(k.VoltageMax.Value), "V", worst(k.VoltageMax.Basis, k.RegenerationBasis, e.constants()))
	if a := e.s.adapter; a != nil {
		if e.returned == 0 {
			return
		}
		farad := a.Capacitance
		if !farad.Known() {
			farad = e.b.c.Supply.Capacitance
		}
		if !farad.Known() || farad.Value <= 0 {
			// Nothing is known to take the energy: without capacitance the bus
			// rises beyond any limit.
			c.Value, c.Margin, c.Which, c.Extra = math.NaN(), -1, "no capacitance", e.returned
			e.add(c)
			return
		}
		v := float64(a.Voltage)
		c.Value = math.Sqrt(v*v + 2*e.returned/float64(farad.Value))
		c.Which, c.Extra = "adapter", e.returned
		e.add(c.upper())
		return
	}
	if e.charging == 0 {
		c.Which = "nothing returned"
		e.add(c.upper())
		return
	}
	e.add(c.upper().at(e.fullHighAt, e.legAt(e.fullHighAt)))
}

// checkStaysPut: unpowered, the load against the motor's friction through all
// stages. Only when the case wants it.
func (e *evaluator) checkStaysPut() {
	if !e.b.c.Wants.StaysPut {
		return
	}
	m, sup := &e.s.drive.Machine, &e.s.drive.Supply
	tb := e.s.drive.Train.Unpowered(e.b.static)
	if e.b.static == 0 {
		tb = 0
	}
	c := check(CheckStaysPut, math.Max(tb, 0), m.Friction, "N·m", worst(e.constants()))
	switch {
	case e.b.static == 0:
		c.Margin, c.Which = 1, "no load"
	case tb <= 0 && e.s.drive.Train.Locks():
		c.Margin, c.Which = 1, "self-locking"
	case tb <= m.Friction:
		c.Margin, c.Which = math.Min((m.Friction-math.Max(tb, 0))/m.Friction, tightBelow-1e-9), "friction"
	default:
		c.Which = "creeps"
		c.Margin = -1
		if m.Friction > 0 {
			c.Margin = (m.Friction - tb) / m.Friction
		}
		k := m.K(e.b.air)
		c.Extra = (tb - m.Friction) * (m.R(e.b.air) + sup.MotorLeadR + sup.PerChannel*sup.SwitchR) / (k * k * e.s.drive.Train.Total)
	}
	e.add(c)
}

func (e *evaluator) checkRuntime() {
	want := e.b.c.Wants.Runtime
	if !want.Known() || e.s.adapter != nil || math.IsNaN(e.out.Runtime) {
		return
	}
	p := e.s.pick.Battery
	c := check(CheckRuntime, e.out.Runtime, float64(want.Value)/3600, "h", worst(p.Capacity.Basis, p.OCVBasis, e.b.c.Supply.HealthBasis, e.constants())).lower()
	c.Which = e.out.RuntimeEndsBy
	if math.IsInf(e.out.Runtime, 1) {
		c.Margin = 1
	}
	e.add(c)
}

// ruleShare is the trade's rule for a motor of unknown heat: rms torque under
// 30 % of stall (common practice, no source).
const ruleShare = 0.3

// checkRuleOfThumb judges only what nothing better can.
func (e *evaluator) checkRuleOfThumb() {
	nominal := e.s.pick.Motor.NominalVoltage
	if e.s.drive.Heated || !nominal.Known() {
		return
	}
	t, m := e.res.Trace, &e.s.drive.Machine
	sum := 0.0
	for i := range t.Intervals {
		iv := &t.Intervals[i]
		a, b, c := &t.Samples[iv.First], &t.Samples[iv.First+1], &t.Samples[iv.First+2]
		sum += iv.Time * (a.Motor*a.Motor + 4*b.Motor*b.Motor + c.Motor*c.Motor) / 6
	}
	stall := m.Constant * float64(nominal.Value) / m.Resistance
	e.add(check(CheckRuleOfThumb, math.Sqrt(sum/t.Time), ruleShare*stall, "N·m", quantity.Assumed).upper())
}

// verdict takes the worst check.
func (e *evaluator) verdict() {
	o := e.out
	for i := range o.Checks {
		c := &o.Checks[i]
		o.Verdict = max(o.Verdict, c.Verdict)
		if c.Verdict == Fails && o.FirstFailure < 0 {
			o.FirstFailure = int(c.Name)
		}
	}
	o.Footnotes = e.footnotes()
}
