package sizing

import (
	"math"

	"example.org/dray/quantity"
	"example.org/dray/sizing/duty"
	"example.org/dray/sizing/rating"
)

// tightBelow is the margin below which a check that holds is called tight.
const tightBelow = 0.1

// add appends a check judged by its margin.
func (e *evaluator) add(c Check) {
	switch {
	case math.IsNaN(c.Margin):
		c.Verdict = Uncertain
	case c.Margin < 0:
		c.Verdict = Fails
	case c.Margin < tightBelow:
		c.Verdict = Tight
	default:
		c.Verdict = Holds
	}
	e.out.Checks = append(e.out.Checks, c)
}

// soft appends a check that is tight at worst.
func (e *evaluator) soft(c Check) {
	c.Soft = true
	e.add(c)
	if last := &e.out.Checks[len(e.out.Checks)-1]; last.Verdict == Fails {
		last.Verdict = Tight
	}
}

// check starts a check with nothing known of its moment.
func check(name CheckName, value, limit float64, unit string, basis quantity.Basis) Check {
	return Check{Name: name, Value: value, Limit: limit, Unit: unit, Basis: basis,
		At: math.NaN(), Leg: -1, Window: math.NaN(), Extra: math.NaN()}
}

// upper gives the margin of a value that must stay below its limit.
func (k Check) upper() Check { k.Margin = (k.Limit - k.Value) / k.Limit; return k }

// lower gives the margin of a value that must stay above its limit.
func (k Check) lower() Check { k.Margin = (k.Value - k.Limit) / k.Limit; return k }

// over gives the margin of a temperature over air.
func (k Check) over(air float64) Check {
	k.Margin = (k.Limit - k.Value) / (k.Limit - air)
	return k
}

// at sets the moment.
func (k Check) at(t float64, leg int) Check { k.At, k.Leg = t, leg; return k }

// checks runs all of them, in their fixed order.
func (e *evaluator) checks() {
	e.out.Checks = make([]Check, 0, 20)
	e.checkSpeed()
	e.checkGrip()
	e.checkTemperatures()
	e.checkMotorVoltage()
	e.checkGears()
	e.checkRadial()
	e.checkController()
	e.checkBattery()
	e.checkFuse()
	e.checkJam()
	e.checkInrush()
	e.checkWires()
	e.checkBus()
	e.checkStaysPut()
	e.checkRuntime()
	e.checkRuleOfThumb()
}

// bestGuess is the weakest basis of the constants every operating point uses.
func (e *evaluator) constants() quantity.Basis {
	m := e.s.pick.Motor
	b := worst(m.Resistance.Basis, m.Constant.Basis, m.NoLoadCurrent.Basis)
	if t := e.s.pick.Train; t != nil {
		return worst(b, t.Efficiency.Basis)
	}
	if !m.Bare {
		return worst(b, m.GearEfficiency.Basis)
	}
	return b
}

// checkSpeed: 1 − shortfall/tolerance of the worst leg.
func (e *evaluator) checkSpeed() {
	w, tol := 0, e.b.c.Wants.SpeedTolerance
	for i := range e.out.Legs {
		if e.out.Legs[i].Shortfall > e.out.Legs[w].Shortfall {
			w = i
		}
	}
	short := e.out.Legs[w].Shortfall
	c := check(CheckSpeed, 1-short, 1-tol, "1", e.constants())
	if e.collapses() {
		short = 1
		c.Value, c.Which = 0, "adapter"
	}
	switch {
	case tol > 0:
		c.Margin = 1 - short/tol
	case short > 0:
		c.Margin = -short
	default:
		c.Margin = 1
	}
	if short > 0 {
		c = c.at(e.out.Legs[w].Start+e.out.Legs[w].Duration, w)
	}
	e.add(c)
}

// collapses reports whether an adapter that hiccups or trips is asked for more
// than its amps: then nothing starts. A duty without ramps asks for the stepped
// start as well.
func (e *evaluator) collapses() bool {
	a := e.s.adapter
	if a == nil || a.Beyond == "holds" {
		return false
	}
	most := e.out.BatteryCurrentPeak
	if e.b.steps {
		_, start, _ := e.stepped(0, 1)
		most = math.Max(most, start)
	}
	return most > float64(a.Current)*(1+1e-9)
}

// checkGrip: the worst traction needed against the traction there is.
func (e *evaluator) checkGrip() {
	best, found := check(CheckGrip, 0, 0, "N", quantity.Stated), false
	best.Margin = math.Inf(1)
	t := e.res.Trace
	for _, list := range [2][]duty.Sample{t.Samples, t.Instants} {
		for i := range list {
			s := &list[i]
			if math.IsNaN(s.Need) {
				continue
			}
			margin := -1.0
			if s.Hold > 0 {
				margin = (s.Hold - s.Need) / s.Hold
			} else if s.Need == 0 {
				continue
			}
			if margin < best.Margin || !found {
				best.Value, best.Limit, best.Margin, found = s.Need, s.Hold, margin, true
				best = best.at(s.Time, s.Leg)
			}
		}
	}
	// A march that slips shows what was reached, not what was asked for.
	if need, hold, leg, at := e.b.script.WorstGrip(); !math.IsNaN(need) {
		if margin := (hold - need) / hold; margin < best.Margin {
			best.Value, best.Limit, best.Margin = need, hold, margin
			best = best.at(at, leg)
			if hold <= 0 {
				best.Margin = -1
			}
		}
	}
	if found {
		e.add(best)
	}
}

func (e *evaluator) checkTemperatures() {
	m, r, air := e.s.pick.Motor, &e.res, e.b.air
	basis := worst(e.out.ThermalBasis, m.WindingLimit.Basis, e.constants())
	c := check(CheckWinding, r.WindingPeak, e.s.drive.Limit, "degC", basis).over(air)
	leg := e.legAt(r.PeakAt)
	limit := e.b.c.Wants.HousingLimit
	h := check(CheckHousing, r.HousingPeak, float64(limit.Or(60)), "degC", worst(e.out.ThermalBasis, e.constants())).over(air)
	switch {
	case !r.Heated:
		c.Margin, c.Basis = math.NaN(), quantity.Unknown
		e.add(c)
		return
	case r.Runaway:
		c.Margin, h.Margin = (c.Limit-400)/(c.Limit-air), (h.Limit-400)/(h.Limit-air)
		c.Value, h.Value = math.NaN(), math.NaN()
		c.Which, h.Which = "runaway", "runaway"
		if h.Limit <= air {
			h.Margin = -1
		}
		e.add(c)
		e.soft(h)
		return
	}
	if h.Limit <= air { // the air alone is warmer than that
		h.Margin = -1
	}
	e.add(c.at(r.PeakAt, leg))
	e.soft(h.at(r.HousingAt, e.legAt(r.HousingAt)))
}

// legAt is the leg that runs at a time of the cycle.
func (e *evaluator) legAt(t float64) int {
	for i := range e.out.Legs {
		if l := &e.out.Legs[i]; t <= l.Start+l.Duration*(1+1e-9) {
			return i
		}
	}
	return len(e.out.Legs) - 1
}

// checkMotorVoltage: the largest terminal voltage of the duty against nominal.
func (e *evaluator) checkMotorVoltage() {
	nominal := e.s.pick.Motor.NominalVoltage
	if !nominal.Known() {
		return
	}
	c := check(CheckMotorVoltage, 0, float64(nominal.Value), "V", worst(nominal.Basis, e.constants()))
	for i := range e.res.Trace.Samples {
		if s := &e.res.Trace.Samples[i]; s.Powered && math.Abs(s.Voltage) > c.Value {
			c.Value = math.Abs(s.Voltage)
			c = c.at(s.Time, s.Leg)
		}
	}
	e.soft(c.upper())
}

// checkGears: the speed-weighted cubic mean with the service factor, the peak,
// and the input speed.
func (e *evaluator) checkGears() {
	t, g := e.res.Trace, &e.s.train
	var cube, way float64
	peak := check(CheckGearPeak, 0, float64(g.peak.Value), "N·m", worst(g.peak.Basis, e.constants()))
	for i := range t.Intervals {
		iv := &t.Intervals[i]
		a, b, c := &t.Samples[iv.First], &t.Samples[iv.First+1], &t.Samples[iv.First+2]
		wa, wb, wc := math.Abs(a.Omega), math.Abs(b.Omega), math.Abs(c.Omega)
		cube += iv.Time * (cubed(a.Output)*wa + 4*cubed(b.Output)*wb + cubed(c.Output)*wc) / 6
		way += iv.Time * (wa + 4*wb + wc) / 6
	}
	for _, list := range [2][]duty.Sample{t.Samples, t.Instants} {
		for i := range list {
			if s := &list[i]; math.Abs(s.Output) > peak.Value {
				peak.Value = math.Abs(s.Output)
				peak = peak.at(s.Time, s.Leg)
			}
		}
	}
	if g.continuous.Known() {
		mean := 0.0
		if way > 0 {
			mean = math.Cbrt(cube / way)
		}
		factor := e.b.c.Wants.GearServiceFactor
		c := check(CheckGearContinuous, mean*factor, float64(g.continuous.Value), "N·m", worst(g.continuous.Basis, e.constants())).upper()
		c.Extra = factor
		e.add(c)
	}
	if g.peak.Known() {
		e.add(peak.upper())
	}
	if g.input.Known() {
		c := check(CheckGearInputSpeed, e.maxOmega, float64(g.input.Value), "rad/s", worst(g.input.Basis, e.constants())).upper()
		e.add(c.at(e.maxOmegaAt, e.legAt(e.maxOmegaAt)))
	}
}

func cubed(x float64) float64 { x = math.Abs(x); return x * x * x }

// checkRadial is left out behind a further stage.
func (e *evaluator) checkRadial() {
	limit := e.s.train.radial
	if !limit.Known() || e.s.pick.Stage != nil {
		return
	}
	c, found := check(CheckRadial, 0, float64(limit.Value), "N", limit.Basis), false
	t := e.res.Trace
	for _, list := range [2][]duty.Sample{t.Samples, t.Instants} {
		for i := range list {
			if s := &list[i]; !math.IsNaN(s.Radial) && (!found || s.Radial > c.Value) {
				c.Value, found = s.Radial, true
				c = c.at(s.Time, s.Leg)
			}
		}
	}
	if found {
		e.add(c.upper())
	}
}

// envelope makes a check of how far a duty uses an element up.
func (e *evaluator) envelope(name CheckName, u rating.Use, basis quantity.Basis) Check {
	c := check(name, u.Value, u.Limit, "A", worst(basis, e.constants()))
	c.Margin = 1 - u.Utilisation
	c.Window = u.WorstWindow
	if u.ByMemory {
		c.Which = "memory"
	}
	if u.ByMemory { // the moment is an end
		return c.at(u.At, e.legAt(u.At-1e-6*e.out.CycleTime))
	}
	return c.at(u.At, e.legAt(u.At+math.Min(u.WorstWindow/2, 1e-6*e.out.CycleTime))) // and here a beginning
}

// checkController: the summed current of a channel, and the voltage at both
// ends: full charge above, the lowest bus at reserve charge below.
func (e *evaluator) checkController() {
	k := e.s.pick.Controller
	if stands, basis := e.s.channelStands(); basis != quantity.Unknown {
		u := e.motor.Use(stands, e.s.drive.Supply.PerChannel, e.b.longest)
		e.add(e.envelope(CheckControllerCurrent, u, basis))
	}
	best, found := check(CheckControllerVoltage, e.s.full, 0, "V", quantity.Listed), false
	if k.VoltageMax.Known() {
		best.Limit, best.Basis, found = float64(k.VoltageMax.Value), k.VoltageMax.Basis, true
		best.Which = "above"
		best = best.upper()
	}
	if k.VoltageMin.Known() {
		low := check(CheckControllerVoltage, e.out.BusVoltageMin, float64(k.VoltageMin.Value), "V", k.VoltageMin.Basis).lower()
		low.Which = "below"
		low = low.at(e.reserveAt, e.legAt(e.reserveAt))
		if !found || low.Margin < best.Margin {
			best, found = low, true
		}
	}
	if found {
		e.add(best)
	}
}

// channelStands is what one controller channel stands.
func (s *setup) channelStands() (rating.Withstand, quantity.Basis) {
	k := s.pick.Controller
	return stands(k.CurrentContinuous, k.CurrentPeak, k.PeakTime, 1)
}

// stands builds a withstand curve from a continuous and a peak current, either
// of which may be unknown.
func stands(ic, ip quantity.Figure[quantity.Current], tp quantity.Figure[quantity.Time], times float64) (rating.Withstand, quantity.Basis) {
	switch {
	case ic.Known() && ip.Known():
		return rating.ContinuousPeak(float64(ic.Value)*times, float64(ip.Value)*times, float64(tp.Or(1))), worst(ic.Basis, ip.Basis)
	case ic.Known():
		return rating.ContinuousOnly(float64(ic.Value) * times), ic.Basis
	case ip.Known():
		return rating.ContinuousOnly(float64(ip.Value) * times), ip.Basis
	}
	return rating.Withstand{}, quantity.Unknown
}

// checkBattery: discharge through its envelope, charging by its limit, an
// adapter by its amps; the worst of them.
func (e *evaluator) checkBattery() {
	if a := e.s.adapter; a != nil {
		c := check(CheckBatteryCurrent, e.out.BatteryCurrentPeak, float64(a.Current), "A", worst(quantity.Stated, e.constants())).upper()
		c.Which = a.Beyond
		if a.Beyond == "holds" && c.Margin < 0 {
			c.Margin = 0 // held, and what that costs shows in the speed
		}
		e.add(c.at(e.batteryAt, e.legAt(e.batteryAt)))
		return
	}
	p := e.s.pick.Battery
	best, found := Check{}, false
	if s, basis := stands(p.DischargeMax, p.DischargePeak, p.PeakTime, e.s.parallel); basis != quantity.Unknown {
		best, found = e.envelope(CheckBatteryCurrent, e.pack.Use(s, 1, e.b.longest), basis), true
	}
	if p.ChargeMax.Known() && e.charging > 0 {
		c := check(CheckBatteryCurrent, e.charging, float64(p.ChargeMax.Value)*e.s.parallel, "A", worst(p.ChargeMax.Basis, e.constants())).upper()
		c.Which = "charging"
		if c = c.at(e.chargingAt, e.legAt(e.chargingAt)); !found || c.Margin < best.Margin {
			best, found = c, true
		}
	}
	if found {
		e.add(best)
	}
}

func (e *evaluator) checkFuse() {
	if e.b.fuse == nil {
		return
	}
	e.add(e.envelope(CheckFuse, e.pack.Use(e.b.fuse.Withstand(), 1, e.b.longest), quantity.Stated))
}
