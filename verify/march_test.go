package verify

import "math"

// kind of a leg.
type kind int

const (
	drive kind = iota // to a speed, by time or distance
	move              // between positions in a time, trapezoid of thirds
	hold              // braked to a stop, then powered and still
	rest              // braked to a stop, then unpowered
)

// leg is one leg of the duty.
type leg struct {
	name                     string
	kind                     kind
	speed, distance, time    float64
	acceleration             float64
	incline, payload, torque float64
	from, to                 float64
	sense                    float64 // ±1, filled by prepare
}

// machine is the whole coupled problem.
type machine struct {
	Motor  motor
	Train  train
	Supply supply
	Load   load
	Air    float64
	Legs   []leg
	Total  float64 // s, operating time; 0 repeats without end
	Drift  bool    // the charge drained within a march moves the open-circuit voltage
	Charge float64 // state of charge at which the march stands

	// Follow is the time constant of the ideal current loop and Settle that of
	// the speed error, s; 0 takes 1 ms and 0.3 s.
	Follow, Settle float64
	Rel            float64 // tolerance of the integrator, 0 takes 1e-8
}

// Indices of the state.
const (
	yX = iota
	yV
	yI
	yW
	yH
	ySquare     // ∫I² dt
	yCharge     // ∫ib dt
	ySquareBus  // ∫ib² dt
	yDrain      // ∫drain dt
	yTaken      // ∫E·ib dt, energy out of the pack's open-circuit source
	yHeat       // all heat, J
	yWork       // work on the load against gravity, rolling, drag and inertia, J
	yWinding    // ∫Tw dt
	yLost       // friction share of yHeat, J
	yHeatSquare // ∫I²rms dt with ripple
	yDim
)

// instant is what a leg looked like at a moment.
type instant struct {
	t, speed, torque, current, volt, duty, bus, ib, tw, th float64
}

// legRun is one leg as driven.
type legRun struct {
	start, time float64
	end         instant
	reached     float64
	behind      bool // something forbade following during the leg
}

// run is one cycle (or one operating time) as driven.
type run struct {
	time                       float64
	legs                       []legRun
	peakW, peakH, meanW        float64
	rms, peakI                 float64
	meanBus, rmsBus, peakBus   float64
	lowest, terminals, worstAt float64 // V, lowest at the bus and at the pack's terminals, and when
	charge, drain              float64 // C per cycle
	taken, heat, work          float64
	endW, endH                 float64
	stored                     float64 // change of kinetic and magnetic energy
	steps                      int
	startW, startH             float64
}

// mode of the speed law inside a leg.
type mode int

const (
	seek  mode = iota // towards the leg's speed at the leg's acceleration
	keep              // at the leg's speed
	stuck             // at rest until the torque suffices
	off               // unpowered and still
	track             // along a move's trajectory
	held              // powered and still
)

// sim is a march in progress.
type sim struct {
	m    *machine
	st   *stepper
	l    *leg
	mode mode
	way  float64 // direction of motion ±1
	t0   float64 // start of the leg
	c    chop
	acc  float64 // acceleration of the last evaluation
	iWnt float64 // current asked for at the last evaluation
	out  float64 // torque at the gear train's output, last evaluation
	run  *run
	lag  float64 // s of this leg in which something kept it from accelerating as commanded
	last float64 // time of the last accepted step
	mid  instant // at the end of a move's constant-speed part
	base float64 // charge drained before this cycle, C
}

// follow and settle are the time constants in use.
func (m *machine) follow() float64 {
	if m.Follow > 0 {
		return m.Follow
	}
	return 1e-3
}
func (m *machine) settle() float64 {
	if m.Settle > 0 {
		return m.Settle
	}
	return 0.3
}

// wanted is the acceleration the command asks for.
func (s *sim) wanted(t, x, v float64) float64 {
	l := s.l
	switch s.mode {
	case seek, stuck:
		return math.Copysign(l.acceleration, s.target()-v)
	case keep:
		a := (s.target() - v) / s.m.settle()
		return math.Max(-l.acceleration, math.Min(l.acceleration, a))
	case track:
		vc, ac := l.profile(t - s.t0)
		return ac + 10*(vc-v)/s.m.settle() // tight: the load changes with the angle
	}
	return 0
}

func (s *sim) target() float64 {
	if s.l.kind == drive {
		return s.l.speed
	}
	return 0
}

// profile is a move's commanded speed and acceleration: thirds of the time.
func (l *leg) profile(t float64) (v, a float64) {
	third := l.time / 3
	top := 1.5 * (l.to - l.from) / l.time
	switch {
	case t < third:
		return top * t / third, top / third
	case t < 2*third:
		return top, 0
	default:
		return top * (l.time - t) / third, -top / third
	}
}

// rates is the coupled right-hand side.
func (s *sim) rates(t float64, y, dy []float64) {
	m := s.m
	soc := m.Charge
	if m.Drift {
		soc -= (s.base + y[yDrain]) / m.Supply.Pack.Capacity
	}
	e := m.Supply.Pack.ocv(soc)
	for i := range dy {
		dy[i] = 0
	}
	if s.mode == off {
		s.idle(e, y, dy)
		return
	}
	r, k := m.Motor.resistance(y[yW]), m.Motor.constant(y[yH])
	omega := m.Train.ratio() * m.Load.turns() * y[yV]
	torque, inertia := m.Load.at(s.l, y[yX], y[yV], s.way)
	s.iWnt = s.asked(t, k, torque, inertia, y)

	i := y[yI]
	dI := (s.iWnt - i) / m.follow()
	line := m.Supply.Rl + float64(m.Supply.PerChannel)*m.Supply.Ron
	drop := i*(r+line) + k*omega + m.Supply.Vd*signum(i)
	s.c = m.Supply.chopper(e, i, drop+m.Motor.L*dI)
	if s.c.capped {
		dI = (s.c.vt - drop) / m.Motor.L
	}

	way, acc := s.way, 0.0
	still := s.mode == held || s.mode == stuck
	if !still {
		acc = s.accelerates(k*i-m.Motor.friction()*s.way, torque, inertia)
	}
	s.acc = acc
	s.out = torque + inertia*acc
	if still {
		way = 0
		s.out = m.Load.still(s.l, y[yX])
		if s.mode == stuck { // the load pushes back only as much as it is pushed
			s.out = (k*i - m.Motor.friction()*s.way) / m.Train.inward(s.way, s.way) * s.way
		}
	}
	dy[yX], dy[yV], dy[yI] = y[yV], acc, dI
	s.account(e, r, way, y, dy)
}

// asked is the motor current the command asks for, by inverse dynamics, inside
// the channel's limit.
func (s *sim) asked(t, k, torque, inertia float64, y []float64) (current float64) {
	m := s.m
	if s.mode == held {
		current = m.Train.held(m.Load.still(s.l, y[yX])) / k
	} else {
		a := s.wanted(t, y[yX], y[yV])
		shaft := m.Train.inward(torque+inertia*a, s.way) + m.Motor.J*m.Train.ratio()*m.Load.turns()*a
		current = (shaft + m.Motor.friction()*s.way) / k
	}
	if lim := m.Supply.ChannelLimit / float64(m.Supply.PerChannel); lim > 0 {
		current = math.Max(-lim, math.Min(lim, current))
	}
	return current
}

// account fills the rates of heat, charge and energy for the instant the
// mechanics and the chopper have just settled.
func (s *sim) account(e, r, way float64, y, dy []float64) {
	m := s.m
	n, i := float64(m.Supply.Motors), y[yI]
	turn := m.Load.turns()
	omega := m.Train.ratio() * turn * y[yV]
	line := m.Supply.Rl + float64(m.Supply.PerChannel)*m.Supply.Ron
	still := way == 0
	ripple := m.ripple(s.c, r)
	heatW := (i*i + ripple) * r
	rubbing := m.Motor.friction() * math.Abs(omega)
	if still {
		rubbing = 0
	}
	dy[yW], dy[yH] = m.warms(y[yW], y[yH], heatW, rubbing)
	dy[ySquare] = i * i
	dy[yHeatSquare] = i*i + ripple
	dy[yCharge] = s.c.ib
	dy[ySquareBus] = s.c.ib * s.c.ib
	dy[yDrain] = m.Supply.Pack.drain(s.c.ib)
	dy[yTaken] = e * s.c.ib
	work := n * s.out * turn * y[yV]
	shaft := n * (m.Train.inward(s.out, way)) * omega
	dy[yWork] = work
	burnt := 0.0
	if m.Supply.NoRecovery && s.c.vt*i < 0 {
		burnt = -n * s.c.vt * i
	}
	dy[yHeat] = s.c.ib*s.c.ib*(m.Supply.Pack.R+m.Supply.Rs) + m.Supply.Iaux*s.c.bus +
		n*(i*i*(r+line)+m.Supply.Vd*math.Abs(i)+rubbing) + (shaft - work) + burnt
	dy[yWinding] = y[yW]
}

// idle is an unpowered machine at rest: only the electronics draw.
func (s *sim) idle(e float64, y, dy []float64) {
	m := s.m
	s.c = chop{ib: m.Supply.Iaux, bus: e - m.Supply.Iaux*(m.Supply.Pack.R+m.Supply.Rs)}
	s.acc, s.out, s.iWnt = 0, 0, 0
	dy[yW], dy[yH] = m.warms(y[yW], y[yH], 0, 0)
	dy[yCharge], dy[ySquareBus] = s.c.ib, s.c.ib*s.c.ib
	dy[yDrain] = m.Supply.Pack.drain(s.c.ib)
	dy[yTaken] = e * s.c.ib
	dy[yHeat] = e * s.c.ib
	dy[yWinding] = y[yW]
}

// warms is the two-node heat balance in K/s for watts into winding and housing.
func (m *machine) warms(tw, th, winding, housing float64) (dw, dh float64) {
	inward := (tw - th) / m.Motor.Rwh
	return (winding - inward) / m.Motor.Cw, (housing + inward - (th-m.Air)/m.Motor.Rha) / m.Motor.Ch
}

// accelerates solves forward dynamics through the gear rule: shaft is the
// torque left at the motor shaft after friction. The rule has one kink, where
// the torque at the load shaft changes sign; both sides are straight lines.
func (s *sim) accelerates(shaft, torque, inertia float64) float64 {
	m := s.m
	rotor := m.Motor.J * m.Train.ratio() * m.Load.turns()
	if inertia == 0 {
		return (shaft - m.Train.inward(torque, s.way)) / rotor
	}
	kink := -torque / inertia
	surplus := shaft - rotor*kink
	side := math.Copysign(1, surplus)
	slope := side*m.Train.inward(side, s.way)*inertia + rotor
	return kink + surplus/slope
}

// ripple is the mean square of the current ripple in A², by the segment
// exponentials of a winding switched between the bus and a short.
func (m *machine) ripple(c chop, r float64) float64 {
	if m.Supply.PWM == 0 || m.Motor.L == 0 {
		return 0
	}
	d := math.Abs(c.d)
	if d >= 1 || d == 0 {
		return 0
	}
	period, tau := 1/m.Supply.PWM, m.Motor.L/r
	e := func(t float64) float64 { return -math.Expm1(-t / tau) }
	share := d*(1-d) - tau/period*e(d*period)*e((1-d)*period)/e(period)
	return (c.bus / r) * (c.bus / r) * share
}

func signum(x float64) float64 {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}
