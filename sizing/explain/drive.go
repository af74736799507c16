package explain

import (
	"fmt"
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
	"example.org/dray/sizing/drive"
)

// chain works from the load to the battery at an instant.
func (w *work) chain(in *instant, winding, housing float64) {
	torque := w.load(in)
	leg := &w.c.Legs[in.leg]
	mech := w.c.Mechanism
	speed := 0.0
	unit := "m/s"
	if mech.Turning() || leg.Pivot {
		unit = "rad/s"
	}
	symbols, per := w.turn(leg)
	if in.motion.Speed != 0 {
		speed = w.line("speed of the load shaft", "ω", "v"+symbols, num(in.motion.Speed, unit)+per, "rad/s")
		w.remark("= " + num(speed*30/math.Pi, "rpm"))
	}
	motor := w.stages(in, torque, &speed)
	if j := w.works.Machine.Inertia; j > 0 && in.kind == loadcases.Moving && in.motion.Acceleration != 0 {
		alpha := w.line("acceleration of the motor", "αm", "a"+symbols+"·N_total", num(in.motion.Acceleration, unit+"²")+per+" · "+num(w.works.Train.Total, ""), "rad/s²")
		inertia := w.line("torque that speeds the rotor up", "Tj", "J·αm", num(j, "kg·m²")+" · "+num(alpha, "rad/s²"), "N·m")
		motor = w.line("torque the motor's shaft must deliver", "Tm", "T_in + Tj", num(motor, "N·m")+" + "+num(inertia, "N·m"), "N·m")
	}
	k := w.constant(housing)
	var current float64
	if in.kind == loadcases.Holding {
		current = w.line("motor current; friction does not help", "I", "Tm/k", num(motor, "N·m")+" / "+num(k, "V·s/rad"), "A")
	} else {
		current = w.line("motor current", "I", "(Tm + Tf·sign ω)/k", "("+num(motor, "N·m")+" + "+num(w.tf, "N·m")+" · "+num(in.sense(), "")+") / "+num(k, "V·s/rad"), "A")
	}
	e := w.electric(current, k, speed, winding)
	if e.possible {
		w.losses(e, torque, motor, speed)
	}
}

// turn is what makes the load shaft's turn of the machine's way, in symbols and
// with numbers, to stand behind a speed or an acceleration.
func (w *work) turn(leg *loadcases.Leg) (symbols, expression string) {
	switch m := w.c.Mechanism.(type) {
	case *loadcases.Wheels:
		if leg.Pivot {
			return "·B/(2·r)", " · " + num(m.Track, "m") + " / (2 · " + num(m.Radius, "m") + ")"
		}
		return "/r", " / " + num(m.Radius, "m")
	case *loadcases.Belt:
		return "/r", " / " + num(m.Radius, "m")
	case *loadcases.Hoist:
		return "·parts/r", " · " + num(math.Max(1, m.Parts), "") + " / " + num(m.Radius, "m")
	case *loadcases.Screw:
		return "·2π/lead", " · 2 · π / " + num(m.Lead, "m")
	}
	return "", ""
}

// constant writes k at the housing's temperature.
func (w *work) constant(housing float64) float64 {
	beta, ref := w.works.Machine.Flux, w.works.Machine.RefTemp
	note := "housing temperature of the march at this instant"
	if math.IsNaN(housing) {
		housing, note = w.fallback()
	}
	k := w.line("motor constant at housing temperature", "k", "k_ref·(1 + β·(Th − T_ref))",
		num(w.k25, "V·s/rad")+" · (1 + "+num(beta, "/K")+" · ("+num(housing, "°C")+" − "+num(ref, "°C")+"))", "V·s/rad")
	w.remark(note)
	return k
}

// stages carries the torque from the load inwards and the speed with it, both
// sides of each stage printed. It returns the torque at the motor's side.
func (w *work) stages(in *instant, torque float64, speed *float64) float64 {
	stages := w.works.Train.Stages
	for i, s := range stages {
		last := i == len(stages)-1
		name, side := "gear train", "motor"
		if w.cand.Train != nil && last {
			name += " " + w.cand.Train.ID
		}
		if !last {
			name, side = "further stage "+w.cand.Stage.ID, "gear motor"
		}
		if s.Ratio == 1 && s.Forward == 1 {
			continue
		}
		before := torque
		torque = w.through(in, &s, torque, name, side, last)
		if *speed != 0 {
			was := *speed
			*speed = w.line(fmt.Sprintf("speed through the %s", name), speedSymbol(last), "ω·N", num(was, "rad/s")+" · "+num(s.Ratio, ""), "rad/s")
			w.remark(fmt.Sprintf("load side %s and %s; %s side %s and %s", num(before, "N·m"), num(was*30/math.Pi, "rpm"), side, num(torque, "N·m"), num(*speed*30/math.Pi, "rpm")))
		}
	}
	return torque
}

func speedSymbol(last bool) string {
	if last {
		return "ωm"
	}
	return "ω1"
}

func (w *work) through(in *instant, s *drive.Stage, torque float64, name, side string, last bool) float64 {
	symbol := "T1"
	if last {
		symbol = "T_in"
	}
	title := fmt.Sprintf("torque on the %s side of the %s", side, name)
	switch {
	case in.kind == loadcases.Holding && s.Locks:
		return w.given(title, symbol, 0, "N·m", quantity.Derived, "self-locking: it holds by itself")
	case in.kind == loadcases.Holding:
		return w.line(title, symbol, "T/N", num(torque, "N·m")+" / "+num(s.Ratio, ""), "N·m")
	case torque*in.sense() >= 0:
		return w.line(title, symbol, "T/(N·η)", num(torque, "N·m")+" / ("+num(s.Ratio, "")+" · "+num(s.Forward, "")+")", "N·m")
	}
	t := w.line(title, symbol, "T·ηb/N", num(torque, "N·m")+" · "+num(s.Back, "")+" / "+num(s.Ratio, ""), "N·m")
	w.remark("the load drives the motor: ηb = 2 − 1/η")
	return t
}

// electrical is an electric state as printed.
type electrical struct {
	i, r, v, req, d, bus, battery float64
	possible                      bool
}

// electric works from the motor's current to the battery's.
func (w *work) electric(current, k, speed, winding float64) electrical {
	s, m := &w.works.Supply, &w.works.Machine
	e := electrical{i: current, possible: true}
	note := "winding temperature of the march at this instant"
	if math.IsNaN(winding) {
		winding, note = w.fallback()
	}
	e.r = w.line("winding resistance at its temperature", "R", "R_ref·(234.5 + Tw)/(234.5 + T_ref)",
		num(m.Resistance, "Ω")+" · (234.5 + "+num(winding, "°C")+") / (234.5 + "+num(m.RefTemp, "°C")+")", "Ω")
	w.remark(note)
	i := num(current, "A")
	e.v = w.line("voltage at the motor's terminals", "V", "I·R + k·ωm", i+" · "+num(e.r, "Ω")+" + "+num(k, "V·s/rad")+" · "+num(speed, "rad/s"), "V")
	way := 0.0
	if current != 0 {
		way = math.Copysign(1, current)
	}
	expression, formula := num(e.v, "V")+" + "+i+" · "+num(w.leadR, "Ω")+" + "+num(w.p, "")+" · "+i+" · "+num(w.switchR, "Ω"), "V + I·Rl + p·I·Ron"
	if s.Drop != 0 {
		expression, formula = expression+" + "+num(s.Drop, "V")+" · "+num(way, ""), formula+" + Vd·sign I"
	}
	e.req = w.line("voltage the bridge must give", "Vreq", formula, expression, "V")
	switch {
	case e.req*current < 0 && !s.Regenerate:
		e.d = w.line("command", "d", "Vreq/b", num(e.req, "V")+" / "+num(w.b, "V"), "")
		e.battery = w.given("battery current: the controller burns what the motor returns", "ib", w.aux, "A", quantity.Derived, "Iaux alone")
	default:
		disc := w.b*w.b - 4*w.n*current*w.rt*e.req
		if disc < 0 {
			w.line("under the root of the supply equation", "D", "b² − 4·n·I·Rt·Vreq", "("+num(w.b, "V")+")² − 4 · "+num(w.n, "")+" · "+i+" · "+num(w.rt, "Ω")+" · "+num(e.req, "V"), "V²")
			w.note("D is negative: the supply cannot give this power at any command")
			e.possible = false
			return e
		}
		e.d = w.line("command", "d", "2·Vreq/(b + √(b² − 4·n·I·Rt·Vreq))", "2 · "+num(e.req, "V")+" / ("+num(w.b, "V")+" + √(("+num(w.b, "V")+")² − 4 · "+num(w.n, "")+" · "+
			i+" · "+num(w.rt, "Ω")+" · "+num(e.req, "V")+"))", "")
		if battery := w.n*e.d*current + w.aux; battery < 0 && !s.Absorbs {
			e.d = w.line("command: the source takes nothing back, the bus stands at E", "d", "Vreq/E", num(e.req, "V")+" / "+num(w.emf, "V"), "")
			e.battery = w.given("battery current", "ib", 0, "A", quantity.Derived, "an adapter absorbs nothing")
		} else {
			e.battery = w.line("battery current", "ib", "n·d·I + Iaux", num(w.n, "")+" · "+num(e.d, "")+" · "+i+" + "+num(w.aux, "A"), "A")
		}
	}
	w.bounds(&e)
	e.bus = w.line("bus voltage", "Vbus", "E − ib·Rt", num(w.emf, "V")+" − "+num(e.battery, "A")+" · "+num(w.rt, "Ω"), "V")
	w.pulse(e.d)
	return e
}

// bounds says when an asked-for state cannot be had.
func (w *work) bounds(e *electrical) {
	s := &w.works.Supply
	if math.Abs(e.d) > s.DutyMax*(1+1e-6) {
		w.note(fmt.Sprintf("the command would have to be %s, and %s is the most there is", num(e.d, ""), num(s.DutyMax, "")))
	}
	if limit := s.Limit / s.PerChannel; math.Abs(e.i) > limit*(1+1e-6) {
		w.note(fmt.Sprintf("the controller limits the current to %s per motor", num(limit, "A")))
	}
	if e.battery > s.Holds*(1+1e-6) {
		w.note(fmt.Sprintf("the adapter holds %s and no more", num(s.Holds, "A")))
	}
}

func (w *work) pulse(d float64) {
	k := w.cand.Controller
	if !k.PulseMin.Known() || !k.PulseMax.Known() || math.Abs(d) > 1 {
		return
	}
	low, high := num(1e6*float64(k.PulseMin.Value), "µs"), num(1e6*float64(k.PulseMax.Value), "µs")
	w.line("pulse for that command", "tp", "(min + max)/2 + d·(max − min)/2", "("+low+" + "+high+") / 2 + "+num(d, "")+" · ("+high+" − "+low+") / 2", "µs")
}

// losses follows the power from the battery to the load.
func (w *work) losses(e electrical, torque, motor, speed float64) {
	n, i := num(w.n, ""), num(e.i, "A")
	if speed != 0 {
		load := w.line("mechanical power at the load shafts", "P", "n·T·ω", n+" · "+num(torque, "N·m")+" · "+num(round(speed/w.works.Train.Total), "rad/s"), "W")
		shaft := w.line("mechanical power at the motor shafts", "Pm", "n·Tm·ωm", n+" · "+num(motor, "N·m")+" · "+num(speed, "rad/s"), "W")
		w.line("lost in gears, or put into the rotor", "Pg", "Pm − P", num(shaft, "W")+" − "+num(load, "W"), "W")
		w.line("lost to motor friction", "Pf", "n·Tf·|ωm|", n+" · "+num(w.tf, "N·m")+" · "+num(math.Abs(speed), "rad/s"), "W")
		defer func() {
			if load > 0 && e.battery > 0 {
				w.line("efficiency from battery to load", "", "P/(E·ib)", num(load, "W")+" / ("+num(w.emf, "V")+" · "+num(e.battery, "A")+")", "")
			}
		}()
	}
	w.line("lost in the windings", "Pw", "n·I²·R", n+" · ("+i+")² · "+num(e.r, "Ω"), "W")
	expression, formula := n+" · ("+i+")² · ("+num(w.leadR, "Ω")+" + "+num(w.p, "")+" · "+num(w.switchR, "Ω")+")", "n·I²·(Rl + p·Ron)"
	if d := w.works.Supply.Drop; d != 0 {
		expression, formula = expression+" + "+n+" · "+num(d, "V")+" · "+num(math.Abs(e.i), "A"), formula+" + n·Vd·|I|"
	}
	w.line("lost in motor leads and controller", "Pl", formula, expression, "W")
	w.line("lost in pack and supply lead", "Pb", "ib²·Rt", "("+num(e.battery, "A")+")² · "+num(w.rt, "Ω"), "W")
	w.line("taken by electronics and idle controllers", "Pa", "Iaux·Vbus", num(w.aux, "A")+" · "+num(e.bus, "V"), "W")
}

// driven shows what a leg that falls behind gets: the state the march ends in.
func (w *work) driven(leg *sizing.LegResult) {
	s := &leg.Steady
	by := leg.LimitedBy
	if by == "" {
		by = "an earlier leg"
	}
	w.section(leg.Name+": what the machine gets", fmt.Sprintf("held back by %s, the march ends the leg at %s of the %s commanded", by, num(leg.Reached, ""), num(leg.Wanted, "")))
	winding, housing := s.WindingTemp, s.HousingTemp
	k := w.constant(housing)
	omega := w.given("motor speed as driven", "ωm", s.MotorSpeed, "rad/s", quantity.Derived, "= "+num(s.MotorSpeed*30/math.Pi, "rpm"))
	if math.IsNaN(winding) {
		winding, _ = w.fallback()
	}
	winding, held := w.heldAt(s, winding, k, omega)
	sup, d := &w.works.Supply, round(s.Command)
	r := round(w.works.Machine.R(winding))
	current := round(s.MotorCurrent)
	expression := "(" + num(d, "") + " · " + num(w.b, "V") + " − " + num(k, "V·s/rad") + " · " + num(omega, "rad/s") + ") / (" + num(r, "Ω") + " + " + num(w.leadR, "Ω") + " + " +
		num(w.p, "") + " · " + num(w.switchR, "Ω") + " + (" + num(d, "") + ")² · " + num(w.n, "") + " · " + num(w.rt, "Ω") + ")"
	v, err := evaluate(expression)
	switch limit := sup.Limit / sup.PerChannel; {
	case err == nil && math.Abs(v-current) <= 5e-4*math.Abs(current):
		current = w.line("current at that speed and command", "I", "(d·b − k·ωm)/(R + Rl + p·Ron + d²·n·Rt)", expression, "A")
	case !math.IsInf(limit, 1) && math.Abs(math.Abs(current)-limit) <= 1e-3*limit:
		current = w.line("current at the controller's limit", "I", "I_limit/p", num(sup.Limit, "A")+" / "+num(sup.PerChannel, ""), "A")
	default:
		current = w.given("current as driven", "I", current, "A", quantity.Derived, "of the march")
	}
	if math.Abs(omega) > 1e-3 {
		w.line("torque that leaves at the motor's shaft", "Tm", "k·I − Tf·sign ω", num(k, "V·s/rad")+" · "+num(current, "A")+" − "+num(w.tf, "N·m")+" · "+num(math.Copysign(1, omega), ""), "N·m")
	}
	w.electric(current, k, omega, winding)
	if held {
		w.note("winding temperature: the march holds it over a stretch; this is the one the state's voltage rests on")
	}
}

// heldAt is the winding temperature behind a driven state's voltage: the march
// takes one for a whole stretch, and its samples carry the one at their end.
func (w *work) heldAt(s *sizing.State, winding, k, omega float64) (degC float64, held bool) {
	m := &w.works.Machine
	ohmic := s.MotorVoltage - k*omega
	if s.MotorCurrent == 0 || math.Abs(s.MotorCurrent*m.R(winding)-ohmic) <= 5e-4*math.Abs(s.MotorVoltage) {
		return winding, false
	}
	return ohmic/s.MotorCurrent/m.Resistance*(234.5+m.RefTemp) - 234.5, true
}

// fallback is the temperature the engine takes where there is no thermal state.
func (w *work) fallback() (degC float64, note string) {
	if w.cand.ThermalRunaway {
		return w.works.Limit, "no periodic state: at the winding's limit"
	}
	return w.works.Air, "no thermal data: at air temperature"
}
