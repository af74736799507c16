package sizing

import (
	"fmt"
	"math"
	"strings"

	"example.org/dray/loadcases"
	"example.org/dray/sizing/drive"
)

// stepped is a full command thrown on at a state of charge, winding and magnet
// at air temperature, from rest or against a motor speed ω in rad/s:
//
//	I = (d·b + k·ω − Vd)/(R + Rl + p·Ron + d²·n·Rt)
//
// within the controller's own limit, free without it. An adapter that holds its amps lets the
// bus fall until full command draws no more: I = (A − Iaux)/(n·d).
func (e *evaluator) stepped(omega, charge float64) (i, battery, bus float64) {
	return e.step(omega, charge, e.s.drive.Supply)
}

// free is a stepped command at full charge without the controller's own limit.
func (e *evaluator) free(omega float64) float64 {
	sup := e.s.drive.Supply
	sup.Limit = math.Inf(1)
	i, _, _ := e.step(omega, 1, sup)
	return i
}

func (e *evaluator) step(omega, charge float64, sup drive.Supply) (i, battery, bus float64) {
	m := &e.s.drive.Machine
	sup.EMF = e.s.emf(charge)
	rt, d := sup.Rt(), sup.DutyMax
	back, r := m.K(e.b.air)*omega, m.R(e.b.air)
	rsum := r + sup.MotorLeadR + sup.PerChannel*sup.SwitchR
	b := sup.EMF - sup.Aux*rt
	i = math.Max(0, (d*b+back-sup.Drop)/(rsum+d*d*sup.Motors*rt))
	battery = sup.Motors*d*i + sup.Aux
	bus = sup.EMF - battery*rt
	if limit := sup.Limit / sup.PerChannel; i > limit {
		p := sup.At(limit, -back, r)
		i, battery, bus = limit, p.Battery, p.Bus
	}
	if battery > sup.Holds {
		battery = sup.Holds
		i = math.Max((sup.Holds-sup.Aux)/(sup.Motors*d), (back-sup.Drop)/rsum)
		bus = math.Max(0, (i*rsum+sup.Drop-back)/d)
	}
	return i, battery, bus
}

// inrush is a stepped full command at full charge, from rest or on reversal.
func (e *evaluator) inrush(omega float64) Inrush {
	nan := math.NaN()
	in := Inrush{TamedByRamp: nan, TamedByLimit: nan, TorqueLeft: nan, Takes: nan, SlipsAt: nan, AfterDeadTime: nan, BusAfterDead: nan, FuseUsed: nan}
	in.Current, in.BatteryCurrent, in.BusVoltage = e.stepped(omega, 1)
	return in
}

// channelPeak is the most a controller channel carries for a moment, A.
func (e *evaluator) channelPeak() (amp float64, known bool) {
	k := e.s.pick.Controller
	switch {
	case k.CurrentPeak.Known():
		return float64(k.CurrentPeak.Value), true
	case k.CurrentContinuous.Known():
		return float64(k.CurrentContinuous.Value), true
	}
	return 0, false
}

// tamed is a start or reversal in full: the ramp and the limit that would keep
// it within the controller's peak, how long the run-up then takes, and what it
// does to the bus and the fuse.
func (e *evaluator) tamed(omega float64) Inrush {
	in := e.inrush(omega)
	_, _, in.BusAtReserve = e.stepped(omega, e.b.c.Wants.Reserve)
	if limit := e.b.c.Supply.ElectronicsMin; limit.Known() {
		in.BrownOut = math.Min(in.BusVoltage, in.BusAtReserve) < float64(limit.Value)
	}
	per := e.s.drive.Supply.PerChannel
	limit := in.Current
	if peak, known := e.channelPeak(); known && in.Current*per > peak {
		limit = peak / per
		in.TamedByLimit = limit
		in.TamedByRamp = e.ramp(omega, limit)
	}
	if in.Free = e.free(omega); limit < in.Free {
		in.TorqueLeft = math.Min(1, e.pull(limit)/e.pull(e.free(0)))
	}
	sup := &e.s.drive.Supply
	m := &e.s.drive.Machine
	if omega > 0 {
		in.Shorted = m.K(e.b.air) * omega / (m.R(e.b.air) + sup.MotorLeadR + sup.PerChannel*sup.SwitchR)
		if e.deadTime() > 0 {
			in.AfterDeadTime, _, in.BusAfterDead = e.stepped(omega*math.Exp(-deadConstants), 1)
		}
	}
	in.SlipsAt = e.slipCurrent()
	leg := e.legToRun(omega > 0)
	in.Leg = leg.name
	in.Takes, _ = e.runUp(-omega, leg.speed, leg.demand, limit)
	if e.b.fuse != nil {
		_, in.FuseUsed = e.runUp(-omega, leg.speed, leg.demand, math.Inf(1))
	}
	in.Sentence = e.inrushSentence(&in, omega > 0)
	return in
}

// pull is the torque k·I − Tf of a motor at standstill, N·m.
func (e *evaluator) pull(amp float64) float64 {
	m := &e.s.drive.Machine
	return math.Max(0, m.K(e.b.air)*amp-m.Friction)
}

// runLeg is a moving leg as a run-up meets it.
type runLeg struct {
	name   string
	demand float64 // k·I when steady, N·m at the motor, friction in
	speed  float64 // motor, rad/s
}

// legToRun picks the moving leg that asks for most current when steady, or the
// fastest one.
func (e *evaluator) legToRun(fastest bool) runLeg {
	var best runLeg
	for i := range e.b.c.Legs {
		l := e.runLeg(i)
		if l.speed > 0 && (best.speed == 0 || fastest && l.speed > best.speed || !fastest && l.demand > best.demand) {
			best = l
		}
	}
	return best
}

// runLeg asks the mechanism what a speed leg takes at its commanded speed; of a
// move or a log it takes what the trace shows.
func (e *evaluator) runLeg(i int) runLeg {
	leg, t := &e.b.c.Legs[i], e.res.Trace
	l := runLeg{name: leg.Name}
	if leg.Kind == loadcases.SpeedLeg && !leg.Log && leg.Speed != 0 {
		sense := math.Copysign(1, leg.Speed)
		torque := e.b.c.Mechanism.Torque(leg, loadcases.Motion{Speed: leg.Speed, Direction: sense})
		motor, _ := e.s.drive.Train.Inward(torque, sense)
		l.demand = motor*sense + e.s.drive.Machine.Friction
		l.speed = math.Abs(leg.Speed) * e.b.c.Mechanism.ShaftSpeed(leg) * e.s.drive.Train.Total
		return l
	}
	for j := range t.Samples {
		if s := &t.Samples[j]; s.Leg == i && s.Powered && leg.Kind != loadcases.RestLeg && leg.Kind != loadcases.HoldLeg {
			l.speed = math.Max(l.speed, math.Abs(s.Omega))
		}
	}
	if k := t.Legs[i].Steady; k >= 0 {
		l.demand = math.Abs(t.Samples[k].Demand)
	}
	return l
}

// inertia is what a motor that speeds its load up feels at its shaft, kg·m²: its
// own and the load's, whose share comes through every stage's friction,
// J + J_load/(N²·η).
func (e *evaluator) inertia() float64 {
	own, forward := e.s.drive.Machine.Inertia, 1.0
	for _, s := range e.s.drive.Train.Stages {
		forward *= s.Forward
	}
	return own + (e.runner.FeltInertia(&e.s.drive)-own)/forward
}

// runSteps is how many steps of speed a run-up is cut into.
const runSteps = 400

// runUp takes the motor from a speed to another (rad/s, from < 0 against the
// command) under a full command limited to a current per motor: the time,
//
//	t = ∫ J dω / (k·I(ω) − demand),
//
// and the share of the fuse's shortest opening time used up on the way, NaN
// without a fuse. While it still turns the old way the load neither helps nor
// hinders. +Inf when it stops short of the speed; NaN when nothing is known to
// have inertia.
func (e *evaluator) runUp(from, to, demand, limit float64) (seconds, fuse float64) {
	inertia := e.inertia()
	k := e.s.drive.Machine.K(e.b.air)
	fuse = math.NaN()
	if e.b.fuse != nil {
		fuse = 0
	}
	if inertia <= 0 || to <= from {
		return math.NaN(), fuse
	}
	step := (to - from) / runSteps
	for n := range runSteps {
		omega := from + (float64(n)+0.5)*step
		i, battery, _ := e.stepped(-omega, 1)
		if i > limit {
			battery *= limit / i // the chopped command draws no more than this
			i = limit
		}
		net := k * i
		if omega > 0 {
			net -= demand
		}
		if net <= 1e-9*k*i || i == 0 { // it stands there, and the fuse takes what time it takes
			if e.b.fuse != nil && !math.IsInf(e.b.fuse.Shortest(battery), 1) {
				fuse = math.Inf(1)
			}
			return math.Inf(1), fuse
		}
		dt := inertia * step / net
		seconds += dt
		if e.b.fuse != nil {
			fuse += dt / e.b.fuse.Shortest(battery)
		}
	}
	return seconds, fuse
}

// slipCurrent is the current per motor at which the driven wheels slip from
// rest on the level; NaN when nothing is known of the grip.
func (e *evaluator) slipCurrent() float64 {
	g, ok := e.b.c.Mechanism.(loadcases.Gripping)
	if !ok {
		return math.NaN()
	}
	for i := range e.b.c.Legs {
		leg := e.b.c.Legs[i]
		if leg.Kind != loadcases.SpeedLeg || leg.Pivot {
			continue
		}
		leg.Incline, leg.Sense = 0, 1
		_, limit, known := g.Grip(&leg, loadcases.Motion{Direction: 1})
		if !known {
			return math.NaN()
		}
		torque := limit / e.b.c.Mechanism.ShaftSpeed(&leg) / float64(e.b.c.Motors)
		motor, _ := e.s.drive.Train.Inward(torque, 1)
		m := &e.s.drive.Machine
		return (motor + m.Friction) / m.K(e.b.air)
	}
	return math.NaN()
}

// ramp is the time from 0 to 100 % command (or from full back to full reverse)
// that keeps the current within a limit while the machine follows it: the
// acceleration the command asks for must not cost more than what the limit
// leaves beside the load. NaN when the load alone takes it all.
func (e *evaluator) ramp(omega, limit float64) float64 {
	inertia := e.inertia()
	k := e.s.drive.Machine.K(e.b.air)
	spare := limit*k - e.legToRun(omega > 0).demand
	if spare <= 0 || inertia <= 0 {
		return math.NaN()
	}
	full := e.s.emf(1) * e.s.drive.Supply.DutyMax / k
	if omega > 0 { // reversal: through zero to the same speed the other way
		return 2 * full * inertia / spare
	}
	return full * inertia / spare
}

// inrushSentence tells a stepped command in plain words.
func (e *evaluator) inrushSentence(in *Inrush, reversal bool) string {
	var say []string
	add := func(format string, args ...any) { say = append(say, fmt.Sprintf(format, args...)) }
	verb, event := "starts", "full command thrown on at rest"
	if reversal {
		verb, event = "reverses", "full reverse thrown on at the duty's top speed"
	}
	add("%s draws %s A per motor, %s A from the %s, and the bus falls to %s V (%s V at reserve charge)", event, sig(in.Current), sig(in.BatteryCurrent), e.sourceName(), sig(in.BusVoltage), sig(in.BusAtReserve))
	if in.Shorted > 0 {
		add("shorted at that speed it brakes with %s A", sig(in.Shorted))
	}
	if a := e.s.adapter; a != nil && a.Beyond != "holds" && in.BatteryCurrent > float64(a.Current) {
		add("the adapter %s beyond %s A: it will not start so; ramp or limit the command", a.Beyond, sig(float64(a.Current)))
	}
	if in.BrownOut {
		add("the electronics need %s V and reset", sig(float64(e.b.c.Supply.ElectronicsMin.Value)))
	}
	if in.SlipsAt < in.Current {
		add("on the level the driven wheels slip at %s A, before that is reached, unless they are held", sig(in.SlipsAt))
	}
	limit := math.Min(in.Current, e.s.drive.Supply.Limit/e.s.drive.Supply.PerChannel)
	if !math.IsNaN(in.TamedByLimit) {
		limit = in.TamedByLimit
	}
	if !math.IsNaN(in.TorqueLeft) {
		add("held to %s A per motor %s of the free start's torque is left; the limit acts at a start, not at top speed", sig(limit), percent(in.TorqueLeft))
	}
	switch held := map[bool]string{true: "held so, ", false: ""}[!math.IsNaN(in.TamedByLimit)]; {
	case math.IsInf(in.Takes, 1):
		add("%sit never %s in leg %q: the load takes all the current there is", held, verb, in.Leg)
	case !math.IsNaN(in.Takes):
		add("%sit %s in %s (leg %q)", held, verb, span(in.Takes), in.Leg)
	}
	if !math.IsNaN(in.AfterDeadTime) {
		add("after a dead time of %s, shorted, the reversal draws %s A and the bus stays at %s V", span(e.deadTime()), sig(in.AfterDeadTime), sig(in.BusAfterDead))
	}
	switch {
	case in.FuseUsed >= 1:
		add("left untamed it may open the fuse")
	case in.FuseUsed > 0.5:
		add("left untamed it uses %s of the fuse's shortest opening time", percent(in.FuseUsed))
	}
	return strings.Join(say, "; ")
}

// sourceName is the battery or the adapter.
func (e *evaluator) sourceName() string {
	if e.s.adapter != nil {
		return "adapter"
	}
	return "battery"
}

// Pivot is the turn on the spot: the largest current of the duty's pivot legs
// at full charge, or, where none is commanded but the machine's tracks and
// scrub are known, what holding such a turn would take.
type Pivot struct {
	InDuty         bool
	Leg            string  // of the largest current; empty when not in the duty
	Current        float64 // A per motor
	ChannelCurrent float64 // A per controller channel
	BatteryCurrent float64 // A
	BusVoltage     float64 // V
	Possible       bool    // the supply and the controller can give it
	Sentence       string
}

// pivot looks at the turn on the spot.
func (e *evaluator) pivot() *Pivot {
	w, ok := e.b.c.Mechanism.(*loadcases.Wheels)
	if !ok {
		return nil
	}
	sup := e.s.drive.Supply
	sup.EMF = e.s.emf(1)
	p := Pivot{Possible: true}
	for i := range e.res.Trace.Samples {
		s := &e.res.Trace.Samples[i]
		if !e.b.c.Legs[s.Leg].Pivot || math.Abs(s.Current) < p.Current {
			continue
		}
		at, can := e.reelect(s, &sup)
		p.InDuty, p.Leg, p.Current, p.Possible = true, e.b.c.Legs[s.Leg].Name, math.Abs(s.Current), can && e.out.Legs[s.Leg].LimitedBy == ""
		p.BatteryCurrent, p.BusVoltage = at.Battery, at.Bus
	}
	if !p.InDuty && !e.turning(w, &p) {
		return nil
	}
	p.ChannelCurrent = p.Current * sup.PerChannel
	p.Sentence = fmt.Sprintf("turning on the spot takes %s A per motor, %s A per channel and %s A from the %s, the bus at %s V",
		sig(p.Current), sig(p.ChannelCurrent), sig(p.BatteryCurrent), e.sourceName(), sig(p.BusVoltage))
	if !p.InDuty {
		p.Sentence += "; it is not in the duty and often the sizing case (turn: pivot)"
	}
	if !p.Possible {
		p.Sentence += "; it cannot be had"
	}
	return &p
}

// turning works out a slow turn that the duty does not command.
func (e *evaluator) turning(w *loadcases.Wheels, p *Pivot) bool {
	if w.ScrubFriction <= 0 || w.Track <= 0 || len(e.b.c.Legs) == 0 {
		return false
	}
	leg := e.b.c.Legs[0]
	leg.Pivot, leg.Incline, leg.Speed, leg.Sense = true, 0, 1, 1
	for i := range e.b.c.Legs {
		leg.Payload = math.Max(leg.Payload, e.b.c.Legs[i].Payload)
	}
	m, sup := &e.s.drive.Machine, e.s.drive.Supply
	sup.EMF = e.s.emf(1)
	motor, _ := e.s.drive.Train.Inward(w.Torque(&leg, loadcases.Motion{Direction: 1}), 1)
	p.Current = (motor + m.Friction) / m.K(e.b.air)
	p.Possible = p.Current <= sup.Range(0, m.R(e.b.air)).High
	at := sup.At(p.Current, 0, m.R(e.b.air))
	p.BatteryCurrent, p.BusVoltage = at.Battery, at.Bus
	return true
}
