package verify

import "math"

const (
	gravity    = 9.80665 // m/s², CGPM 1901
	airDensity = 1.2     // kg/m³, as the model states
)

// motor holds the constants of one motor at its shaft.
type motor struct {
	R, K, I0, J, L float64 // Ω, V·s/rad, A, kg·m², H at Tref
	Tref, Beta     float64 // °C, 1/K
	Rwh, Rha       float64 // K/W
	Cw, Ch         float64 // J/K
}

// resistance is R at a winding temperature: the 234.5 rule for copper.
func (m *motor) resistance(tw float64) float64 { return m.R * (234.5 + tw) / (234.5 + m.Tref) }

// constant is k at a magnet temperature.
func (m *motor) constant(th float64) float64 { return m.K * (1 + m.Beta*(th-m.Tref)) }

// friction is the constant friction torque in N·m.
func (m *motor) friction() float64 { return m.K * m.I0 }

// gear is one stage between motor and load.
type gear struct{ N, Eta, EtaB float64 }

// train is the chain of gears from the motor outwards.
type train []gear

// ratio is motor turns per turn of the load shaft.
func (t train) ratio() float64 {
	n := 1.0
	for _, g := range t {
		n *= g.N
	}
	return n
}

// inward carries a torque at the load shaft to the motor shaft, turning in
// the sense way (±1), stage by stage from the load.
func (t train) inward(torque, way float64) float64 {
	for i := len(t) - 1; i >= 0; i-- {
		if torque*way >= 0 {
			torque /= t[i].N * t[i].Eta
		} else {
			torque *= t[i].EtaB / t[i].N
		}
	}
	return torque
}

// held carries a torque at rest to the motor shaft without any friction.
func (t train) held(torque float64) float64 { return torque / t.ratio() }

// pack is a battery (or, with one OCV point, a stiff source).
type pack struct {
	Charge, Volt []float64 // open-circuit curve, charge 0…1 rising
	R            float64   // Ω, terminals
	Capacity     float64   // C, already scaled by health
	HourCurrent  float64   // A, the rated-hours current Capacity/(3600·H)
	Peukert      float64   // ≥ 1
}

func (p *pack) ocv(soc float64) float64 {
	n := len(p.Charge)
	if n == 1 || soc <= p.Charge[0] {
		return p.Volt[0]
	}
	for i := 1; i < n; i++ {
		if soc <= p.Charge[i] {
			f := (soc - p.Charge[i-1]) / (p.Charge[i] - p.Charge[i-1])
			return p.Volt[i-1] + f*(p.Volt[i]-p.Volt[i-1])
		}
	}
	return p.Volt[n-1]
}

// drain is the rate at which charge leaves the pack at a current, in A.
func (p *pack) drain(ib float64) float64 {
	if ib > p.HourCurrent && p.Peukert > 1 {
		return ib * math.Pow(ib/p.HourCurrent, p.Peukert-1)
	}
	return ib
}

// supply is everything between the pack and the motor terminals.
type supply struct {
	Pack         pack
	Motors       int     // n, sharing the load
	PerChannel   int     // p
	Rs, Rl, Ron  float64 // Ω: supply lead, motor lead, controller
	Vd           float64 // V, bridge drop
	Iaux         float64 // A
	DutyMax      float64
	ChannelLimit float64 // A, 0 none
	NoRecovery   bool    // returned power is burnt in the controller
	PWM          float64 // Hz, 0: no ripple heat
}

// chop is the electrical state of one instant.
type chop struct {
	d, vt, ib, bus float64 // duty; motor-side voltage; pack current; bus voltage
	capped         bool
}

// chopper gives the duty that puts the motor-side voltage want before leads,
// switches and motor, with the current i flowing in every motor, or the
// nearest the supply can give.
func (s *supply) chopper(e, i, want float64) chop {
	n := float64(s.Motors)
	rt := s.Pack.R + s.Rs
	b := e - s.Iaux*rt
	back := n * i * rt // V per unit of duty that the bus loses
	if s.NoRecovery && i*want < 0 {
		d := want / b
		c := chop{d: d, vt: want, ib: s.Iaux, bus: b}
		if math.Abs(d) > s.DutyMax {
			c.d = math.Copysign(s.DutyMax, d)
			c.vt, c.capped = c.d*b, true
		}
		return c
	}
	sign := 1.0
	if want < 0 {
		sign, want, back = -1, -want, -back
	}
	top := s.DutyMax // the duty that gives most voltage at this current
	if back > 0 {
		top = math.Min(top, b/(2*back))
	}
	most := top*b - back*top*top
	c := chop{}
	if want > most {
		c.d, c.vt, c.capped = top, most, true
	} else {
		c.d, c.vt = 2*want/(b+math.Sqrt(b*b-4*back*want)), want
	}
	c.d, c.vt = sign*c.d, sign*c.vt
	c.ib = n*c.d*i + s.Iaux
	c.bus = e - c.ib*rt
	return c
}

// load is the torque at the load shaft per motor as gravity, friction and the
// like at a position and speed, and the part that multiplies acceleration in
// the leg's own unit.
type load interface {
	// at returns torque without inertia, N·m, and inertia, N·m per unit/s².
	at(l *leg, x, v, way float64) (torque, inertia float64)
	// still is the torque that holds the machine at rest.
	still(l *leg, x float64) float64
	// turns is load-shaft rad per unit of motion.
	turns() float64
}

// cart is a machine on wheels.
type cart struct{ n, mass, r, crr, jrot, cda float64 }

func (c *cart) at(l *leg, _, v, way float64) (float64, float64) {
	m := c.mass + l.payload
	force := l.sense*m*gravity*math.Sin(l.incline) + way*c.crr*m*gravity*math.Cos(l.incline) + airDensity/2*c.cda*v*math.Abs(v)
	return force * c.r / c.n, c.r / c.n * (m + c.jrot/(c.r*c.r))
}
func (c *cart) still(l *leg, _ float64) float64 {
	return l.sense * (c.mass + l.payload) * gravity * math.Sin(l.incline) * c.r / c.n
}
func (c *cart) turns() float64 { return 1 / c.r }

// lever is an arm: point masses on a pivot with a constant balancing torque
// and a spring.
type lever struct {
	n, mass, radius, armMass, armRadius, added, help float64
	rate, torqueAt, angle                            float64
}

func (a *lever) still(l *leg, x float64) float64 {
	moment := (a.mass+l.payload)*a.radius + a.armMass*a.armRadius
	return (moment*gravity*math.Cos(x) - a.help - (a.torqueAt - a.rate*(x-a.angle))) / a.n
}
func (a *lever) at(l *leg, x, _, _ float64) (float64, float64) {
	j := (a.mass+l.payload)*a.radius*a.radius + a.armMass*a.armRadius*a.armRadius + a.added
	return a.still(l, x), j / a.n
}
func (a *lever) turns() float64 { return 1 }

// shaft is a load known by torque and speed.
type shaft struct{ n, inertia float64 }

func (s *shaft) at(l *leg, _, _, _ float64) (float64, float64) {
	return l.torque / s.n, s.inertia / s.n
}
func (s *shaft) still(l *leg, _ float64) float64 { return l.torque / s.n }
func (s *shaft) turns() float64                  { return 1 }

// wire is the resistance of a pair of leads of an American gauge, one way
// length in m, at a temperature in °C: d = 0.127 mm·92^((36−g)/39) (ASTM
// B258), copper 1/58 Ω·mm²/m at 20 °C (IEC 60028), 234.5 rule.
func wire(gauge, length, air float64) float64 {
	d := 0.127 * math.Pow(92, (36-gauge)/39)
	return 2 * length / (58 * math.Pi / 4 * d * d) * (234.5 + air) / (234.5 + 20)
}

// ocvCell are the open-circuit voltages per cell that the model states.
var ocvCell = map[string][2][]float64{
	"lead_acid": {{0, .25, .5, .75, 1}, {1.982, 2.010, 2.040, 2.075, 2.108}},
	"lifepo4":   {{0, .02, .05, .10, .25, .50, .75, .95, 1}, {2.50, 2.79, 3.09, 3.245, 3.292, 3.298, 3.303, 3.307, 3.35}},
	"nimh":      {{0, .1, .5, .9, 1}, {1.15, 1.25, 1.29, 1.35, 1.40}},
	"li_ion":    {{0, .05, .1, .2, .3, .4, .5, .6, .7, .8, .9, 1}, {2.498, 3.073, 3.258, 3.449, 3.548, 3.634, 3.708, 3.809, 3.924, 4.022, 4.094, 4.193}},
}

// cells builds a pack of series cells, capacity in Ah before health.
func cells(kind string, series float64, ah, hours, health, r float64) pack {
	curve := ocvCell[kind]
	p := pack{Charge: curve[0], R: r, Capacity: ah * 3600 * health, HourCurrent: ah * health / hours, Peukert: 1}
	for _, v := range curve[1] {
		p.Volt = append(p.Volt, series*v)
	}
	return p
}
