package sizing

import (
	"fmt"
	"math"
	"slices"

	"example.org/dray/quantity"
	"example.org/dray/sizing/rating"
)

// perDecade is the density of the envelope's windows.
const perDecade = 10

// detail fills the detail of a candidate that was ranked before.
func (e *evaluator) detail(c *Candidate) {
	rank, dominated, score := c.Rank, c.Dominated, c.Score
	e.judge(c.Pick, c)
	c.Rank, c.Dominated, c.Score = rank, dominated, score
	d := &Detail{Envelope: e.envelopes(), Start: e.tamed(0), Reversal: e.tamed(e.maxOmega)}
	d.Jam = e.jammed(false)
	if e.b.c.Motors > 1 {
		one := e.jammed(true)
		d.Jam.Single = &one
	}
	d.Firmware = e.firmware(d)
	d.Trace = e.trace()
	if e.s.drive.Train.Unpowered(e.b.static) > 0 {
		d.HeldLoad = e.b.static
	}
	c.Detail = d
}

// element is one element of the current path before its envelope is drawn.
type element struct {
	name   string
	of     *rating.Profile
	scale  float64
	stands rating.Withstand
	basis  quantity.Basis
	fuse   bool
}

// path lists the elements from the pack to the motor.
func (e *evaluator) path() []element {
	var list []element
	if p := e.s.pick.Battery; p != nil {
		s, basis := stands(p.DischargeMax, p.DischargePeak, p.PeakTime, e.s.parallel)
		list = append(list, element{"battery", &e.pack, 1, s, basis, false})
	} else {
		list = append(list, element{"adapter", &e.pack, 1, rating.ContinuousOnly(float64(e.s.adapter.Current)), quantity.Stated, false})
	}
	if e.b.fuse != nil {
		list = append(list, element{"fuse", &e.pack, 1, e.b.fuse.Withstand(), quantity.Stated, true})
	}
	if c := e.b.c.Supply.Connector; c != nil {
		list = append(list, element{"connector", &e.pack, 1, rating.ContinuousOnly(float64(c.Rating)), quantity.Stated, false})
	}
	if e.b.supplyWire != nil {
		list = append(list, element{"supply lead", &e.pack, 1, *e.b.supplyWire, quantity.Stated, false})
	}
	s, basis := e.s.channelStands()
	list = append(list, element{"controller", &e.motor, e.s.drive.Supply.PerChannel, s, basis, false})
	if e.b.motorWire != nil {
		list = append(list, element{"motor lead", &e.motor, 1, *e.b.motorWire, quantity.Stated, false})
	}
	return list
}

// envelopes draws E(w) and C(w) of every element.
func (e *evaluator) envelopes() Envelope {
	env := Envelope{Windows: rating.Windows(e.b.longest, perDecade)}
	for _, el := range e.path() {
		out := Element{Name: el.name, Duty: scaled(el.of, env.Windows, el.scale), Utilisation: math.NaN(), WorstWindow: math.NaN()}
		if el.basis == quantity.Unknown {
			out.Sentence = "no current rating is known"
			env.Elements = append(env.Elements, out)
			continue
		}
		u := el.of.Use(el.stands, el.scale, e.b.longest)
		out.Utilisation, out.WorstWindow, out.ByMemory = u.Utilisation, u.WorstWindow, u.ByMemory
		for _, w := range env.Windows {
			out.Stands = append(out.Stands, el.stands.At(w))
		}
		out.Sentence = el.sentence(u)
		env.Elements = append(env.Elements, out)
	}
	return Envelope{env.Windows, append(env.Elements, e.motorElement(env.Windows))}
}

func (el *element) sentence(u rating.Use) string {
	name := CheckControllerCurrent
	which := ""
	switch el.name {
	case "battery", "adapter":
		name = CheckBatteryCurrent
	case "fuse":
		name = CheckFuse
	case "connector":
		name = CheckConnector
	case "supply lead", "motor lead":
		name, which = CheckLead, el.name
	}
	k := check(name, u.Value, u.Limit, "A", el.basis)
	k.Window, k.Which = u.WorstWindow, which
	if u.ByMemory && name != CheckLead {
		k.Which = "memory"
	}
	return k.envelopeSentence()
}

func scaled(p *rating.Profile, windows []float64, scale float64) []float64 {
	out := p.EnvelopeAll(windows, make([]float64, 0, len(windows)))
	for i := range out {
		out[i] *= scale
	}
	return out
}

// motorElement is the motor's own curve: what brings the winding from air
// temperature to its limit at standstill. It is shown; the winding temperature
// alone judges.
func (e *evaluator) motorElement(windows []float64) Element {
	out := Element{Name: "motor", Duty: scaled(&e.motor, windows, 1), Utilisation: math.NaN(), WorstWindow: math.NaN()}
	if !e.s.drive.Heated {
		out.Sentence = "no thermal data: what the winding stands is unknown"
		return out
	}
	h := e.motorHeat()
	for i, w := range windows {
		c := rating.MotorStands(w, h)
		out.Stands = append(out.Stands, c)
		if u := out.Duty[i] / c; !(u <= out.Utilisation) {
			out.Utilisation, out.WorstWindow = u, w
		}
	}
	i := slices.Index(windows, out.WorstWindow)
	out.Sentence = fmt.Sprintf("the worst %s carry %s A rms; %s A would bring the winding from air temperature to its limit in that time (judged by winding temperature alone)",
		span(out.WorstWindow), sig(out.Duty[i]), sig(out.Stands[i]))
	return out
}

// tamed is a start or reversal with the ramp and the limit that would keep it
// within the controller's peak.
func (e *evaluator) tamed(omega float64) Inrush {
	in := e.inrush(omega)
	k := e.s.pick.Controller
	peak := k.CurrentPeak
	if !peak.Known() {
		peak = k.CurrentContinuous
	}
	per := e.s.drive.Supply.PerChannel
	if !peak.Known() || in.Current*per <= float64(peak.Value) {
		return in
	}
	in.TamedByLimit = float64(peak.Value) / per
	in.TamedByRamp = e.ramp(omega, in.TamedByLimit)
	return in
}

// ramp is the time from 0 to 100 % command (or from full back to full reverse)
// that keeps the current within a limit while the machine follows it: the
// acceleration the command asks for must not cost more than what the limit
// leaves beside the load. NaN when the load alone takes it all.
func (e *evaluator) ramp(omega, limit float64) float64 {
	worst, inertia := e.rampLoad()
	k := e.s.drive.Machine.K(e.b.air)
	spare := limit*k - worst
	if spare <= 0 || inertia <= 0 {
		return math.NaN()
	}
	full := e.s.emf(1) * e.s.drive.Supply.DutyMax / k
	if omega > 0 { // reversal: through zero to the same speed the other way
		return 2 * full * inertia / spare
	}
	return full * inertia / spare
}

// rampLoad is the largest steady k·I of the duty's moving legs and the inertia
// one motor feels, both at the motor shaft.
func (e *evaluator) rampLoad() (demand, inertia float64) {
	for i := range e.res.Trace.Legs {
		l := &e.res.Trace.Legs[i]
		if l.Steady >= 0 {
			if s := &e.res.Trace.Samples[l.Steady]; s.Omega != 0 {
				demand = math.Max(demand, math.Abs(s.Demand))
			}
		}
	}
	return demand, e.runner.FeltInertia(&e.s.drive)
}

// jammed follows a jam of all motors, or of one.
func (e *evaluator) jammed(single bool) Jam {
	j := e.jam(single)
	r := j.Run()
	out := Jam{Current: r.Current, BatteryCurrent: r.Battery, GearTorque: r.Torque, Protected: r.Protected,
		Judged: e.s.drive.Heated, Why: r.Reason}
	for _, ev := range r.Events {
		out.Events = append(out.Events, JamEvent{ev.After, ev.What})
	}
	return out
}

// firmware is the sheet of limits that follow from the pick.
func (e *evaluator) firmware(d *Detail) Firmware {
	f := Firmware{CurrentLimit: math.NaN(), TripTime: math.NaN(), Ramp: math.NaN(), DeadTime: math.NaN(), CutOffVoltage: math.NaN(), CommandCap: math.NaN()}
	e.firmwareCurrent(&f, d)
	if !math.IsNaN(d.Start.TamedByRamp) {
		f.Ramp = d.Start.TamedByRamp
		f.Notes = append(f.Notes, "a ramp does not help a machine that is blocked: keep the current limit as well")
	}
	if e.maxOmega > 0 {
		// Coasting, friction alone slows the motor; shorted, the back-EMF does.
		m, sup := &e.s.drive.Machine, &e.s.drive.Supply
		k := m.K(e.b.air)
		loop := m.R(e.b.air) + sup.MotorLeadR + sup.PerChannel*sup.SwitchR
		if j := e.runner.FeltInertia(&e.s.drive); j > 0 {
			f.DeadTime = 3 * j * loop / (k * k)
			f.Notes = append(f.Notes, "dead time: three mechanical time constants with the motor shorted, after which a reversal starts from near rest")
		}
	}
	f.CutOffVoltage = e.s.cutOff
	if nominal := e.s.pick.Motor.NominalVoltage; nominal.Known() && e.s.full > float64(nominal.Value) {
		f.CommandCap = float64(nominal.Value) / e.s.full
		f.Notes = append(f.Notes, fmt.Sprintf("a full pack stands at %s V, above the motor's %s V: cap the command at %s", sig(e.s.full), sig(float64(nominal.Value)), percent(f.CommandCap)))
	}
	f.Notes = append(f.Notes, "a closed speed loop raises the command to full at stall: the current limit and the trip time must act whatever the command")
	return f
}

// firmwareCurrent sets the current limit: what the duty needs with a fifth to
// spare, never above the controller's peak or what keeps the gears whole; and
// the trip time: how long the winding and the controller stand that limit.
func (e *evaluator) firmwareCurrent(f *Firmware, d *Detail) {
	limit := 1.2 * e.out.MotorCurrentPeak
	why := "a fifth above the duty's largest current"
	cut := func(x float64, because string) {
		if x > 0 && x < limit {
			limit, why = x, because
		}
	}
	per := e.s.drive.Supply.PerChannel
	k := e.s.pick.Controller
	if k.CurrentPeak.Known() {
		cut(float64(k.CurrentPeak.Value)/per, "the controller's peak")
	} else if k.CurrentContinuous.Known() {
		cut(float64(k.CurrentContinuous.Value)/per, "the controller's continuous current")
	}
	if peak := e.s.train.peak; peak.Known() {
		m := &e.s.drive.Machine
		cut((float64(peak.Value)/e.gearGain()+m.Friction)/m.K(e.b.air), "the gear train's momentary torque")
	}
	f.CurrentLimit = limit
	f.Notes = append(f.Notes, "current limit: "+why)
	if limit < e.out.MotorCurrentPeak {
		f.Notes = append(f.Notes, "this limit is below what the duty asks for: the motion will fall behind")
	}
	if limit > d.Jam.Current {
		f.Notes = append(f.Notes, fmt.Sprintf("the motor held fast draws only %s A: the limit never acts, trip on speed or time", sig(d.Jam.Current)))
	}
	f.TripTime = e.tripTime(math.Min(limit, d.Jam.Current))
}

// tripTime is how long the winding, from the duty's peak temperatures, and the
// controller stand a current at standstill, halved for the data's spread.
func (e *evaluator) tripTime(amp float64) float64 {
	t := math.Inf(1)
	if e.s.drive.Heated && !e.res.Runaway {
		j := e.jam(false)
		j.Limit, j.Fuse = amp*float64(max(1, j.Parallel)), nil
		t = j.Run().WindingLimit
	}
	if s, basis := e.s.channelStands(); basis != quantity.Unknown && s.Tau > 0 {
		i := amp * e.s.drive.Supply.PerChannel
		if i > s.Continuous {
			q := s.Continuous / i
			t = math.Min(t, -s.Tau*math.Log1p(-q*q))
		}
	}
	if math.IsInf(t, 1) {
		return math.NaN()
	}
	return t / 2
}

// trace is the hottest cycle as readers know it.
func (e *evaluator) trace() []State {
	out := make([]State, 0, len(e.res.Trace.Samples))
	for i := range e.res.Trace.Samples {
		out = append(out, e.state(&e.res.Trace.Samples[i]))
	}
	return out
}
