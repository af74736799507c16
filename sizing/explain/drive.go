package explain

import (
	"fmt"
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
	"example.org/dray/sizing/drive"
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
	w.section("supply, wiring and controller", fmt.Sprintf("%s motors, %s on each controller channel, %d controllers of %s", num(w.n, ""), num(w.p, ""), w.works.Controllers, w.cand.Controller.ID))
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

// instants works the governing leg out: its hardest instant, and its steady
// state where that is another one.
func (w *work) instants() {
	leg := &w.cand.Legs[w.leg]
	kind := w.c.Legs[w.leg].Kind
	if !w.works.Followed && leg.Shortfall > 0 {
		in := w.hardest()
		w.section(fmt.Sprintf("%s: what the command asks for", leg.Name), "the machine falls behind its command here; first what following it would take")
		w.chain(in, leg.Steady.WindingTemp, leg.Steady.HousingTemp)
		w.driven(leg)
		return
	}
	peak, ok := w.commanded(&leg.Peak)
	if ok {
		w.section(fmt.Sprintf("%s: its hardest instant, %s s into the cycle", leg.Name, num(leg.Peak.At, "")), "")
		w.chain(peak, leg.Peak.WindingTemp, leg.Peak.HousingTemp)
	}
	steady, found := w.commanded(&leg.Steady)
	if found && kind != loadcases.HoldLeg && (!ok || steady.motion.Acceleration != peak.motion.Acceleration || steady.motion.Position != peak.motion.Position && w.c.Mechanism.Varies()) {
		w.section(fmt.Sprintf("%s: its steady state, %s s into the cycle", leg.Name, num(leg.Steady.At, "")), "")
		w.chain(steady, leg.Steady.WindingTemp, leg.Steady.HousingTemp)
	}
	if !ok && !found {
		w.section(leg.Name+": as driven", "")
		w.driven(leg)
	}
}

// commanded finds the commanded motion behind a state of a followed leg.
func (w *work) commanded(s *sizing.State) (*instant, bool) {
	best, miss := instant{}, math.Inf(1)
	for i := range w.works.Plan.Phases {
		ph := &w.works.Plan.Phases[i]
		t := s.At - ph.Start
		if ph.Leg != w.leg || ph.Kind == loadcases.Resting || t < -1e-6 || t > ph.Duration+1e-6 {
			continue
		}
		in := w.moment(ph, math.Max(0, math.Min(ph.Duration, t)))
		motor, _, output := w.demand(&in)
		omega := in.motion.Speed * w.c.Mechanism.ShaftSpeed(&w.c.Legs[ph.Leg]) * w.works.Train.Total
		d := apart(output, s.OutputTorque, 1e-6) + apart(motor, s.MotorTorque, 1e-6) + apart(omega, s.MotorSpeed, 1e-3)
		if d < miss {
			best, miss = in, d
		}
	}
	return &best, miss <= 5e-4
}

// apart is the difference of two numbers relative to the second, least being
// the size that counts as none.
func apart(x, y, least float64) float64 { return math.Abs(x-y) / math.Max(least, math.Abs(y)) }

// moment is the commanded motion t seconds into a phase.
func (w *work) moment(ph *loadcases.Phase, t float64) instant {
	m := loadcases.Motion{Position: ph.Position + ph.Speed*t + ph.Acceleration*t*t/2, Speed: ph.Speed + ph.Acceleration*t,
		Acceleration: ph.Acceleration, Direction: ph.Direction, Time: ph.Start + t - w.works.Plan.LegStart[ph.Leg]}
	if math.Abs(m.Speed) < 1e-9 {
		m.Speed = 0
	}
	return instant{leg: ph.Leg, kind: ph.Kind, motion: m}
}

// demand is the engine's own arithmetic at an instant, to find the instant by.
func (w *work) demand(in *instant) (motor, demand, output float64) {
	leg := &w.c.Legs[in.leg]
	mech, train := w.c.Mechanism, &w.works.Train
	switch in.kind {
	case loadcases.Holding:
		motor, output = train.Held(mech.Held(leg, in.motion.Position))
		return motor, motor, output
	case loadcases.Instant:
		torque := 0.0
		if c, ok := mech.(loadcases.Climbing); ok {
			torque, _, _, _ = c.Step(leg)
		} else if b, ok := mech.(loadcases.Breakaway); ok {
			torque = b.Start(leg, in.motion)
		}
		motor, output = train.Inward(torque, in.sense())
	default:
		motor, output = train.Inward(mech.Torque(leg, in.motion), in.sense())
		motor += w.works.Machine.Inertia * in.motion.Acceleration * mech.ShaftSpeed(leg) * train.Total
	}
	return motor, motor + w.works.Machine.Friction*in.sense(), output
}

// hardest is the commanded instant of the governing leg that asks for the most
// motor current.
func (w *work) hardest() *instant {
	var best instant
	most := -1.0
	for i := range w.works.Plan.Phases {
		ph := &w.works.Plan.Phases[i]
		if ph.Leg != w.leg || ph.Kind == loadcases.Resting {
			continue
		}
		for _, share := range []float64{1, 0.5, 0} {
			in := w.moment(ph, share*ph.Duration)
			_, demand, _ := w.demand(&in)
			if size := math.Abs(demand) + 1e-9*math.Abs(in.motion.Speed); size > most {
				best, most = in, size
			}
		}
	}
	return &best
}

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
	current := 0.0
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
	case err == nil && math.Abs(v-current) <= 1e-3*math.Abs(current):
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
