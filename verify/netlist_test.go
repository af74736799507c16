package verify

import (
	"fmt"
	"math"
	"strings"
)

// netlist writes the machine as a circuit for ngspice. Behavioural sources
// carry the motor's laws; the pack is a voltage source behind its resistance;
// the averaged chopper is a transformer of ratio d solved by the simulator's
// own Newton iteration; speed is the voltage of a capacitor of 1 F fed with
// acceleration, position one fed with speed; the two heat nodes are
// capacitors in kelvin per volt. Legs that end on distance end at the times of
// the other route, and the distance reached then is part of the comparison.
//
// The chopper follows its current command within 0.1 ms and the speed loop its
// target within 1 to 5 ms; the inductance is in the motor's loop throughout.
type netlist struct {
	m     *machine
	run   *run // of the other route: leg times
	runs  int
	tw    float64 // °C, windings at the start
	th    float64
	lines []string
	plan  []segment
	total float64
}

const (
	spiceFollow = 1e-4
	spiceEdge   = 2e-6 // s, width of a step in a commanded signal
)

// segment is a stretch of constant command.
type segment struct {
	leg            *leg
	start, end     float64
	from, to       float64 // speed reference at both ends
	forward, most  float64 // feed-forward acceleration and its bound
	powered, still bool
}

// segments lays the legs of all runs out on the clock.
func (n *netlist) segments() {
	t := 0.0
	for range n.runs {
		v := 0.0
		for i := range n.m.Legs {
			if i >= len(n.run.legs) {
				break
			}
			n.legSegments(&n.m.Legs[i], t, n.run.legs[i].time, v)
			t += n.run.legs[i].time
			v = n.run.legs[i].reached
		}
	}
	n.total = t
	if n.m.Total > 0 {
		n.total = n.m.Total
	}
}

func (n *netlist) legSegments(l *leg, t, length, v float64) {
	add := func(s segment) { s.leg = l; n.plan = append(n.plan, s) }
	switch l.kind {
	case drive:
		add(segment{start: t, end: t + length, from: l.speed, to: l.speed, most: l.acceleration, powered: true})
	case move:
		third, top := length/3, 1.5*(l.to-l.from)/length
		const free = 1e6
		add(segment{start: t, end: t + third, to: top, forward: top / third, most: free, powered: true})
		add(segment{start: t + third, end: t + 2*third, from: top, to: top, most: free, powered: true})
		add(segment{start: t + 2*third, end: t + length, from: top, forward: -top / third, most: free, powered: true})
	case rest, hold:
		brake := math.Abs(v) / l.acceleration
		if brake > 0 {
			add(segment{start: t, end: t + brake, from: v, forward: -v / brake, most: 1e6, powered: true})
		}
		add(segment{start: t + brake, end: t + length, powered: l.kind == hold, still: true})
	}
}

// signal is a piecewise-linear source of one commanded value.
func (n *netlist) signal(name string, at func(s *segment) (from, to float64)) {
	var b strings.Builder
	fmt.Fprintf(&b, "V%s %s 0 PWL(", name, name)
	for i := range n.plan {
		s := &n.plan[i]
		from, to := at(s)
		if s.end-s.start < 3*spiceEdge {
			continue
		}
		start := s.start
		if i > 0 {
			start += spiceEdge
		}
		fmt.Fprintf(&b, "\n+ %.12g %.12g %.12g %.12g", start, from, s.end, to)
	}
	b.WriteString(")")
	n.add("%s", b.String())
}

func (n *netlist) add(format string, a ...any) { n.lines = append(n.lines, fmt.Sprintf(format, a...)) }

// text is the whole netlist, writing its samples to file from the time since.
func (n *netlist) text(file string, since float64) string {
	m := n.m
	newSim(m) // fills the legs' sense
	n.segments()
	n.add("* whole coupled drive")
	n.commands()
	n.electrics()
	n.mechanics()
	n.heats()
	n.add(".options reltol=2e-5 abstol=1e-7 vntol=1e-6 chgtol=1e-8 method=gear maxord=2 itl4=100 trtol=1")
	n.add(".control\nset wr_singlescale\nset numdgt=10\ntran %.3g %.12g %.12g %.3g uic", 0.02, n.total, since, n.longest())
	n.add("wrdata %s v(x) v(v) i(Vsense) v(tw) v(th) v(q2) v(qb) v(qb2) v(qd) v(bus) v(ib) v(d) v(qw) v(tout)", file)
	n.add("quit\n.endc\n.end")
	return strings.Join(n.lines, "\n") + "\n"
}

// longest is the step bound: a fiftieth of the shortest stretch, at most 1 s.
func (n *netlist) longest() float64 {
	h := 1.0
	for _, s := range n.plan {
		if s.end > s.start+0.9 { // shorter ones are left to the error control
			h = math.Min(h, (s.end-s.start)/50)
		}
	}
	return math.Min(h, math.Max(0.02, n.total/25000))
}

// settle is the time constant of the speed loop: short against the shortest
// ramp, so that the corner at its end stays sharp.
func (n *netlist) settle() float64 {
	tau := 5e-3
	for i := range n.m.Legs {
		if l := &n.m.Legs[i]; l.kind == drive {
			tau = math.Min(tau, math.Abs(l.speed)/l.acceleration/400)
		}
	}
	return math.Max(tau, 1e-3)
}

func (n *netlist) commands() {
	n.signal("ref", func(s *segment) (float64, float64) { return s.from, s.to })
	n.signal("aff", func(s *segment) (float64, float64) { return s.forward, s.forward })
	n.signal("amax", func(s *segment) (float64, float64) { return s.most, s.most })
	n.signal("pow", func(s *segment) (float64, float64) { return truth(s.powered), truth(s.powered) })
	n.signal("still", func(s *segment) (float64, float64) { return truth(s.still), truth(s.still) })
	n.signal("way", func(s *segment) (float64, float64) { return s.leg.sense, s.leg.sense })
	n.signal("pay", func(s *segment) (float64, float64) { return s.leg.payload, s.leg.payload })
	n.signal("inc", func(s *segment) (float64, float64) {
		return s.leg.sense * math.Sin(s.leg.incline), s.leg.sense * math.Sin(s.leg.incline)
	})
	n.signal("flat", func(s *segment) (float64, float64) { return math.Cos(s.leg.incline), math.Cos(s.leg.incline) })
	n.signal("tq", func(s *segment) (float64, float64) { return s.leg.torque, s.leg.torque })
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// electrics: pack, chopper, motor loop.
func (n *netlist) electrics() {
	m := n.m
	s, q := &m.Supply, &m.Motor
	rt := s.Pack.R + s.Rs
	e := s.Pack.ocv(m.Charge)
	line := s.Rl + float64(s.PerChannel)*s.Ron
	n.add("Vocv p 0 %.12g", e)
	n.add("Rt p bus %.12g", math.Max(rt, 1e-9))
	n.add("Bib ib 0 V = %s + %.12g", n.packShare(), s.Iaux)
	n.add("Bdraw bus 0 I = v(ib)")
	n.add("Brw rw 0 V = %.12g*(234.5 + v(tw))/%.12g", q.R, 234.5+q.Tref)
	n.add("Bk k 0 V = %.12g*(1 + %.12g*(v(th) - %.12g))", q.K, q.Beta, q.Tref)
	n.add("Bvreq vreq 0 V = %.12g*(v(want) - i(Vsense))/%g + i(Vsense)*(v(rw) + %.12g) + v(k)*v(om) + %.12g*tanh(i(Vsense)/0.005)",
		q.L, spiceFollow, line, s.Vd)
	// the duty that gives most voltage at this current, for either sign of it
	back := 2 * float64(s.Motors) * rt
	b := e - s.Iaux*rt
	n.add("Btopp topp 0 V = min(%.12g, %.12g/max(1e-3, %.12g*i(Vsense)))", s.DutyMax, b, back)
	n.add("Btopn topn 0 V = min(%.12g, %.12g/max(1e-3, -%.12g*i(Vsense)))", s.DutyMax, b, back)
	n.add("Bd d 0 V = v(pow)*max(-v(topn), min(v(topp), v(vreq)/v(bus)))")
	n.add("Bmot m 0 V = v(d)*v(bus)")
	n.add("Rline m m1 %.12g", math.Max(line, 1e-9))
	n.add("Vsense m1 m2 0")
	n.add("Lw m2 m3 %.12g IC=0", q.L)
	n.add("Bload m3 0 V = i(Vsense)*v(rw) + v(pow)*(v(k)*v(om) + %.12g*tanh(i(Vsense)/0.005))", s.Vd)
}

// packShare is the pack current of the motors.
func (n *netlist) packShare() string {
	share := fmt.Sprintf("%d*v(d)*i(Vsense)", n.m.Supply.Motors)
	if n.m.Supply.NoRecovery {
		return "max(0, " + share + ")"
	}
	return share
}

// mechanics: speed law, gear rule, forward dynamics.
func (n *netlist) mechanics() {
	m := n.m
	q := &m.Motor
	ratio, turn := m.Train.ratio(), m.Load.turns()
	resist, driven := 1.0, 1.0
	for _, g := range m.Train {
		resist /= g.N * g.Eta
		driven *= g.EtaB / g.N
	}
	rotor := q.J * ratio * turn
	tf := q.K * q.I0
	n.add("Bom om 0 V = %.12g*v(v)", ratio*turn)
	load, inertia, still := n.loads()
	n.add("Bt0 t0 0 V = %s", load)
	n.add("Bjl jl 0 V = %s", inertia)
	n.add("Bask ask 0 V = max(-v(amax), min(v(amax), v(aff) + (v(ref) - v(v))/%g))", n.settle())
	n.add("Bneed need 0 V = v(t0) + v(jl)*v(ask)")
	n.add("Bgear gear 0 V = v(need)*(v(need)*v(way) >= 0 ? %.12g : %.12g) + %.12g*v(ask) + %.12g*v(way)", resist, driven, rotor, tf)
	n.add("Bheld held 0 V = (%s)/%.12g", still, ratio)
	n.add("Bfree free 0 V = v(pow)*(v(still)*v(held) + (1 - v(still))*v(gear))/v(k)")
	if lim := m.Supply.ChannelLimit; lim > 0 {
		lim /= float64(m.Supply.PerChannel)
		n.add("Bwant want 0 V = max(-%.12g, min(%.12g, v(free)))", lim, lim)
	} else {
		n.add("Bwant want 0 V = v(free)")
	}
	n.add("Bshaft shaft 0 V = v(k)*i(Vsense) - %.12g*v(way)", tf)
	n.add("Ba1 a1 0 V = (v(shaft) - v(t0)*%.12g)/(v(jl)*%.12g + %.12g)", resist, resist, rotor)
	n.add("Ba2 a2 0 V = (v(shaft) - v(t0)*%.12g)/(v(jl)*%.12g + %.12g)", driven, driven, rotor)
	n.add("Braw raw 0 V = (v(t0) + v(jl)*v(a1))*v(way) >= 0 ? v(a1) : v(a2)")
	n.add("Bacc acc 0 V = -v(still)*v(v)/1e-3 + (1 - v(still))*(%s)", n.moving())
	n.add("Cv v 0 1 IC=0")
	n.add("Bv 0 v I = v(acc)")
	n.add("Cx x 0 1 IC=%.12g", m.Legs[0].from)
	n.add("Bx 0 x I = v(v)")
	n.add("Btout tout 0 V = v(still)*v(pow)*(%s) + (1 - v(still))*(v(t0) + v(jl)*v(acc))", still)
}

// moving is the acceleration of a machine free to move. On a drive leg it does
// not roll back while the torque to start is still building up: the floor
// −v/τ reaches zero with the speed.
func (n *netlist) moving() string {
	if n.m.Legs[0].kind == move {
		return "v(raw)"
	}
	return "v(way)*max(v(raw)*v(way), -v(v)*v(way)/2e-4)"
}

// loads are the torque, the inertia per unit of acceleration and the torque at rest.
func (n *netlist) loads() (torque, inertia, still string) {
	switch c := n.m.Load.(type) {
	case *cart:
		mass := fmt.Sprintf("(%.12g + v(pay))", c.mass)
		torque = fmt.Sprintf("%.12g*(%s*%.8g*(v(inc) + %.12g*v(flat)*v(way)) + %.12g*v(v)*abs(v(v)))", c.r/c.n, mass, gravity, c.crr, airDensity/2*c.cda)
		return torque, fmt.Sprintf("%.12g*(%s + %.12g)", c.r/c.n, mass, c.jrot/(c.r*c.r)), "0"
	case *lever:
		still = fmt.Sprintf("(%.12g*cos(v(x)) - %.12g + %.12g*(v(x) - %.12g))/%g",
			(c.mass*c.radius+c.armMass*c.armRadius)*gravity, c.help+c.torqueAt, c.rate, c.angle, c.n)
		return still, fmt.Sprintf("%.12g", (c.mass*c.radius*c.radius+c.armMass*c.armRadius*c.armRadius+c.added)/c.n), still
	case *shaft:
		return fmt.Sprintf("v(tq)/%g", c.n), fmt.Sprintf("%.12g", c.inertia/c.n), "0"
	}
	panic("no such load")
}

// heats: two nodes, and the integrals that are read out.
func (n *netlist) heats() {
	m := n.m
	q := &m.Motor
	n.add("Bsq sq 0 V = i(Vsense)*i(Vsense) + (%s)", n.ripple())
	n.add("Cw tw 0 %.12g IC=%.12g", q.Cw, n.tw)
	n.add("Bw 0 tw I = v(sq)*v(rw)")
	n.add("Rwh tw th %.12g", q.Rwh)
	n.add("Ch th 0 %.12g IC=%.12g", q.Ch, n.th)
	n.add("Bh 0 th I = (1 - v(still))*%.12g*abs(v(om))", q.K*q.I0)
	n.add("Rha th air %.12g", q.Rha)
	n.add("Vair air 0 %.12g", m.Air)
	p := &m.Supply.Pack
	drain := "v(ib)"
	if p.Peukert > 1 {
		drain = fmt.Sprintf("(v(ib) > %.12g ? v(ib)*pow(v(ib)/%.12g, %.12g) : v(ib))", p.HourCurrent, p.HourCurrent, p.Peukert-1)
	}
	for _, c := range [][2]string{{"q2", "v(sq)"}, {"qb", "v(ib)"}, {"qb2", "v(ib)*v(ib)"}, {"qd", drain}, {"qw", "v(tw)"}} {
		n.add("C%s %s 0 1 IC=0", c[0], c[0])
		n.add("B%s 0 %s I = %s", c[0], c[0], c[1])
	}
}

// ripple is the mean square of the chopper's ripple current.
func (n *netlist) ripple() string {
	s, q := &n.m.Supply, &n.m.Motor
	if s.PWM == 0 {
		return "0"
	}
	period := 1 / s.PWM
	e := func(share string) string { return fmt.Sprintf("(1 - exp(-%s*%.12g*v(rw)/%.12g))", share, period, q.L) }
	n.add("Badd adu 0 V = min(1, abs(v(d)))")
	return fmt.Sprintf("v(pow)*(v(bus)/v(rw))*(v(bus)/v(rw))*(v(adu)*(1 - v(adu)) - %.12g/v(rw)/%.12g*%s*%s/%s)",
		q.L, period, e("v(adu)"), e("(1 - v(adu))"), e("1"))
}
