package verify

import "math"

// newSim prepares a march of the machine.
func newSim(m *machine) *sim {
	rel := m.Rel
	if rel == 0 {
		rel = 1e-8
	}
	sense := 1.0
	for range 2 { // twice, so that a first rest takes the last leg's sense
		for i := range m.Legs {
			l := &m.Legs[i]
			switch {
			case l.kind == drive && l.speed != 0:
				sense = math.Copysign(1, l.speed)
			case l.kind == move:
				sense = math.Copysign(1, l.to-l.from)
			}
			l.sense = sense
		}
	}
	return &sim{m: m, st: newStepper(yDim, rel, 1e-9)}
}

// cycle marches every leg once from the state y (which it advances), for at
// most limit seconds (0 none).
func (s *sim) cycle(y []float64, limit float64) *run {
	r := &run{peakW: y[yW], peakH: y[yH], lowest: math.Inf(1), terminals: math.Inf(1), startW: y[yW], startH: y[yH]}
	s.run = r
	for i := ySquare; i < yDim; i++ {
		y[i] = 0
	}
	if s.m.Legs[0].kind == move {
		y[yX] = s.m.Legs[0].from
	}
	before := s.stored(y)
	t := 0.0
	for i := range s.m.Legs {
		end := math.Inf(1)
		if limit > 0 {
			end = limit
		}
		t = s.leg(&s.m.Legs[i], t, end, y)
		if limit > 0 && t >= limit {
			break
		}
	}
	r.time = t
	r.stored = s.stored(y) - before
	r.charge, r.drain = y[yCharge], y[yDrain]
	r.taken, r.heat, r.work = y[yTaken], y[yHeat], y[yWork]
	r.rms = math.Sqrt(y[yHeatSquare] / t)
	r.meanBus, r.rmsBus = y[yCharge]/t, math.Sqrt(y[ySquareBus]/t)
	r.meanW = y[yWinding] / t
	r.endW, r.endH = y[yW], y[yH]
	r.steps = s.st.steps
	return r
}

// stored is the kinetic energy of the rotors and the magnetic energy of the
// windings in J; the load's own is part of the work on the load.
func (s *sim) stored(y []float64) float64 {
	m := s.m
	omega := m.Train.ratio() * m.Load.turns() * y[yV]
	return float64(m.Supply.Motors) * (m.Motor.J*omega*omega + m.Motor.L*y[yI]*y[yI]) / 2
}

// leg marches one leg, until end at the latest, and returns the time reached.
func (s *sim) leg(l *leg, t, end float64, y []float64) float64 {
	s.l, s.t0, s.lag, s.last = l, t, 0, t
	s.st.h = 1e-4
	x0 := y[yX]
	var stop float64
	switch {
	case l.kind == drive && l.distance > 0:
		stop = t + 10*s.commanded(l, y[yV])
	default:
		stop = t + l.time
	}
	stop = math.Min(stop, end)
	s.begin(y)
	for t < stop {
		var hit int
		events, names := s.events(x0)
		t, hit = s.st.march(s.rates, t, stop, y, events, s.watch)
		if hit < 0 {
			break
		}
		if names[hit] == "arrived" {
			break
		}
		s.turn(names[hit], y)
		if s.mode == off || s.mode == held { // the stop may come after the rest's own time
			s.st.h = 1e-3
		}
	}
	t = s.brakeOut(t, x0, y)
	if l.kind == move {
		y[yV], y[yX] = 0, l.to // within the loop's error of it
	}
	var scratch [yDim]float64
	s.rates(t, y, scratch[:])
	done := legRun{start: s.t0, time: t - s.t0, end: s.look(t, y), reached: y[yV], behind: s.lag > 0.02*(t-s.t0) || s.lag > 0.02}
	if l.kind == move {
		done.end = s.mid
	}
	s.run.legs = append(s.run.legs, done)
	return t
}

// brakeOut lengthens a rest or hold that is too short to come to a stop in.
func (s *sim) brakeOut(t, x0 float64, y []float64) float64 {
	if s.l.kind != rest && s.l.kind != hold {
		return t
	}
	for s.mode == seek {
		events, names := s.events(x0)
		var hit int
		t, hit = s.st.march(s.rates, t, t+1e3, y, events, s.watch)
		if hit < 0 {
			break
		}
		s.turn(names[hit], y)
	}
	return t
}

// commanded is the time a distance leg takes when followed.
func (s *sim) commanded(l *leg, v float64) float64 {
	way := math.Copysign(1, l.speed)
	top, from := math.Abs(l.speed), v*way
	ramp := math.Abs(top-from) / l.acceleration
	covered := (top + from) / 2 * ramp
	if covered >= l.distance { // never gets there
		return (-from + math.Sqrt(math.Max(0, from*from+2*l.acceleration*l.distance))) / l.acceleration
	}
	return ramp + (l.distance-covered)/top
}

// begin sets the mode in which a leg starts.
func (s *sim) begin(y []float64) {
	l := s.l
	if y[yV] != 0 {
		s.way = math.Copysign(1, y[yV])
	} else {
		s.way = l.sense
	}
	switch l.kind {
	case drive:
		s.mode = seek
		if y[yV] == 0 {
			s.mode = stuck
		} else if math.Abs(y[yV]-l.speed) < 5e-3*math.Abs(l.speed) {
			s.mode = keep
		}
	case move:
		s.mode = track
		y[yV] = 0
		s.charged(y)
	case rest, hold:
		s.mode = seek
		if math.Abs(y[yV]) < 1e-9 {
			s.halt(y)
		}
	}
}

// charged puts the wanted current into the winding at once: a brake lets go
// only when the torque is there.
func (s *sim) charged(y []float64) {
	var scratch [yDim]float64
	s.rates(s.t0, y, scratch[:])
	y[yI] = s.iWnt
}

// halt ends the braking of a rest or hold.
func (s *sim) halt(y []float64) {
	y[yV] = 0
	if s.l.kind == rest {
		s.mode, y[yI] = off, 0
	} else {
		s.mode = held
		s.charged(y)
	}
}

// events lists what may end the present mode.
func (s *sim) events(x0 float64) ([]event, []string) {
	l := s.l
	var list []event
	var names []string
	add := func(name string, g event) { list, names = append(list, g), append(names, name) }
	if l.kind == drive && l.distance > 0 {
		way := math.Copysign(1, l.speed)
		add("arrived", func(_ float64, y []float64) float64 { return (y[yX]-x0)*way - l.distance })
	}
	switch s.mode {
	case seek:
		target, side := s.target(), 0.0
		side = math.NaN()
		add("at speed", func(_ float64, y []float64) float64 {
			if math.IsNaN(side) {
				side = math.Copysign(1, y[yV]-target)
			}
			return -(y[yV] - target) * side
		})
		if s.target() != 0 && s.way*s.target() < 0 { // reversing under power
			way := s.way
			add("through rest", func(_ float64, y []float64) float64 { return -y[yV] * way })
		} else if s.target() != 0 {
			way := s.way
			add("stalls", func(_ float64, y []float64) float64 { return -y[yV] * way })
		}
	case keep:
		target := l.speed
		band := math.Max(6e-3*math.Abs(target), 3*l.acceleration*s.m.follow()) // clear of the current loop's lag
		add("fell behind", func(_ float64, y []float64) float64 {
			return math.Abs(y[yV]-target) - band
		})
	case stuck:
		scratch := make([]float64, yDim)
		add("breaks away", func(t float64, y []float64) float64 {
			s.rates(t, y, scratch)
			m := s.m
			torque, inertia := m.Load.at(l, y[yX], 0, s.way)
			k := m.Motor.constant(y[yH])
			a := s.accelerates(k*y[yI]-m.Motor.friction()*s.way, torque, inertia)
			return a*s.way - 1e-12
		})
	}
	return list, names
}

// turn changes the mode after an event.
func (s *sim) turn(name string, y []float64) {
	switch name {
	case "at speed":
		if s.l.kind == drive {
			s.mode = keep
			return
		}
		s.halt(y)
	case "through rest":
		y[yV], s.way = 0, -s.way
		s.mode = stuck
	case "stalls":
		y[yV] = 0
		s.mode = stuck
	case "fell behind":
		s.mode = seek
	case "breaks away":
		s.mode = seek
		y[yV] = 1e-12 * s.way
	}
}

// watch keeps the extremes after every accepted step.
func (s *sim) watch(t float64, y []float64) {
	var scratch [yDim]float64
	s.rates(t, y, scratch[:])
	r := s.run
	r.peakW, r.peakH = math.Max(r.peakW, y[yW]), math.Max(r.peakH, y[yH])
	r.peakI = math.Max(r.peakI, math.Abs(y[yI]))
	if math.Abs(s.c.ib) > math.Abs(r.peakBus) {
		r.peakBus = s.c.ib
	}
	r.lowest = math.Min(r.lowest, s.c.bus)
	if v := s.c.bus + s.c.ib*s.m.Supply.Rs; v < r.terminals {
		r.terminals, r.worstAt = v, t
	}
	if s.mode == stuck || s.mode == seek && math.Abs(s.acc) < 0.99*s.l.acceleration {
		s.lag += t - s.last
	}
	s.last = t
	if s.l.kind == move && t <= s.t0+s.l.time*2/3 {
		s.mid = s.look(t, y)
	}
}

// look is the state at a moment.
func (s *sim) look(t float64, y []float64) instant {
	m := s.m
	line := float64(m.Supply.PerChannel)*m.Supply.Ron + m.Supply.Rl
	out := s.out
	for i := len(m.Train) - 1; i >= 1; i-- { // further stages lie outside the gear train
		switch {
		case s.mode == held:
			out /= m.Train[i].N
		default:
			out = m.Train[i:i+1].inward(out, s.way)
		}
	}
	speed := y[yV] * m.Load.turns()
	for i := 1; i < len(m.Train); i++ {
		speed *= m.Train[i].N
	}
	volt := s.c.vt - y[yI]*line - m.Supply.Vd*signum(y[yI])
	return instant{t: t, speed: speed, torque: out, current: y[yI], volt: volt, duty: s.c.d,
		bus: s.c.bus, ib: s.c.ib, tw: y[yW], th: y[yH]}
}

// periodic finds the repeating cycle: Newton's method on the two temperatures
// at the cycle's start gives the guess, then plain cycles run until one
// changes them by less than 1e-4 K. ok is false when no such state lies below
// 400 °C.
func (m *machine) periodic() (r *run, ok bool) {
	s := newSim(m)
	z := [2]float64{m.Air + 20, m.Air + 10}
	once := func(z [2]float64) ([2]float64, *run) {
		y := make([]float64, yDim)
		y[yW], y[yH] = z[0], z[1]
		r := s.cycle(y, 0)
		return [2]float64{y[yW], y[yH]}, r
	}
	for range 40 {
		p, r := once(z)
		if p[0] > 400 || math.IsNaN(p[0]) {
			return r, false
		}
		if math.Hypot(p[0]-z[0], p[1]-z[1]) < 1e-4 {
			return r, true
		}
		const dT = 1.0
		pw, _ := once([2]float64{z[0] + dT, z[1]})
		ph, _ := once([2]float64{z[0], z[1] + dT})
		a, b := 1-(pw[0]-p[0])/dT, -(ph[0]-p[0])/dT
		c, d := -(pw[1]-p[1])/dT, 1-(ph[1]-p[1])/dT
		det := a*d - b*c
		fw, fh := p[0]-z[0], p[1]-z[1]
		if det <= 0 { // the cycle feeds on its own heat
			z = p
			z[0], z[1] = z[0]+20, z[1]+20
			if z[0] > 400 {
				return r, false
			}
			continue
		}
		z[0] += math.Min(150, (d*fw-b*fh)/det)
		z[1] += math.Min(150, (a*fh-c*fw)/det)
	}
	return nil, false
}

// repeat marches cycles from air temperature until the operating time is
// over, and returns the run that holds the highest winding temperature and
// the extremes of all.
func (m *machine) repeat() (last *run, peakW, peakH float64) {
	s := newSim(m)
	y := make([]float64, yDim)
	y[yW], y[yH] = m.Air, m.Air
	left := m.Total
	for left > 1e-9 {
		last = s.cycle(y, left)
		s.base += last.drain
		left -= last.time
		peakW, peakH = math.Max(peakW, last.peakW), math.Max(peakH, last.peakH)
	}
	return last, peakW, peakH
}
