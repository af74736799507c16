package duty

import (
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/heat"
)

// warm carries the temperatures over the interval just written.
func (m *mover) warm(first int, h float64, kind Kind, bound drive.Bound) {
	t := &m.r.trace
	iv := &t.Intervals[len(t.Intervals)-1]
	mid := &t.Samples[first+1]
	var answer heat.Answer
	switch {
	case kind == Resting:
	case m.stuck && (bound == drive.VoltageEnd || bound == drive.SupplyEnd):
		w := m.d.Machine.R(m.heat.Winding)
		total := w + m.d.Supply.MotorLeadR + m.d.Supply.PerChannel*m.d.Supply.SwitchR + m.d.Supply.Motors*m.d.Supply.Rt()
		answer.Winding = -2 * w / total / (heat.CopperZero + m.heat.Winding)
	case bound != drive.CurrentEnd:
		answer = m.d.Body.OfTorque(m.heat.Housing)
	}
	y, tangent := m.d.Body.Step(m.heat, t.MeanSquare(iv), m.d.Machine.Friction*math.Abs(mid.Omega), h, answer)
	s := t.Samples[first : first+3]
	if m.r.lag.light {
		s[1].Winding, s[1].Housing = (m.heat.Winding+y.Winding)/2, (m.heat.Housing+y.Housing)/2
	} else {
		half, _ := m.d.Body.Step(m.heat, t.MeanSquare(iv), m.d.Machine.Friction*math.Abs(mid.Omega), h/2, answer)
		s[1].Winding, s[1].Housing = half.Winding, half.Housing
	}
	s[2].Winding, s[2].Housing = y.Winding, y.Housing
	for i := range s[1:] {
		switch x := &s[1+i]; {
		case m.r.lag.light || kind == Resting:
		case m.stuck && kind == Moving:
			m.stall(x)
		case !m.stuck:
			m.d.electric(x)
		}
	}
	m.heat, m.tangent = y, tangent.Times(m.tangent)
}

// standStuck spends up to left seconds at standstill against a bound: the
// motor draws what the bound allows and the load does not move.
func (m *mover) standStuck(bound drive.Bound, left float64) {
	h := math.Min(left, m.calm())
	t := &m.r.trace
	first := len(t.Samples)
	s := m.sample(m.t, 0, m.pos, 0, bound, loadcases.Moving)
	m.stall(&s)
	s2, s3 := s, s
	s2.Time, s3.Time = m.t+h/2, m.t+h
	t.Samples = append(t.Samples, s, s2, s3)
	m.stuck = true
	if m.bound == drive.NoBound {
		m.bound = bound
	}
	m.interval(first, h, Moving, bound)
}

// stall gives a sample at standstill the current its bound allows at its
// temperatures; at the traction bound, what the spinning wheels take.
func (m *mover) stall(s *Sample) {
	k := m.d.Machine.K(s.Housing)
	rng := m.d.Supply.Range(0, m.d.Machine.R(s.Winding))
	i := rng.High
	if m.dir < 0 {
		i = rng.Low
	}
	if s.Bound == drive.TractionEnd {
		a, _ := m.accelerate(0, m.pos, math.Copysign(m.rate(), m.dir))
		i = math.Min(math.Abs(i), math.Abs(m.demand(0, m.pos, a, m.dir)/k)) * m.dir
	}
	s.Demand, s.Motor = i*k, i*k-m.d.Machine.Friction*m.dir
	s.Output = m.d.pushes(s.Motor, m.dir)
	m.d.electric(s)
}

// rate is the leg's commanded acceleration.
func (m *mover) rate() float64 {
	if m.leg.Kind == loadcases.MoveLeg {
		share := m.share()
		return math.Abs(m.to-m.pos0) / (m.leg.In * (1 - share)) / (share * m.leg.In)
	}
	return m.leg.Acceleration
}

func (m *mover) share() float64 {
	if m.leg.RampShare > 0 {
		return m.leg.RampShare
	}
	return 1.0 / 3
}

// brake brings the machine to a stop under power before a rest or a hold.
func (m *mover) brake() {
	if m.leg.Acceleration == 0 {
		m.v = 0
		return
	}
	for m.v != 0 && m.t+1e-12 < m.limit {
		left := math.Min(m.patience(), m.limit-m.t)
		if left <= 0 {
			m.given = true
			m.v = 0
			return
		}
		before := math.Abs(m.v)
		m.toward(0, left, false)
		if math.Abs(m.v) > 20*before+1 { // running away under an overhauling load
			m.given = true
			m.v = 0
		}
	}
}

// stand spends the rest of a hold's or rest's time still.
func (m *mover) stand() {
	kind, own := loadcases.Resting, Resting
	if m.leg.Kind == loadcases.HoldLeg {
		kind, own = loadcases.Holding, Holding
	}
	t := &m.r.trace
	for {
		left := math.Min(m.leg.For-m.tl, m.limit-m.t)
		if left <= 1e-12*m.leg.For {
			break
		}
		h := left
		if kind == loadcases.Holding {
			h = math.Min(left, m.calm())
		}
		first := len(t.Samples)
		s := m.sample(m.t, 0, m.pos, 0, drive.NoBound, kind)
		bound := m.d.within(&s)
		if kind == loadcases.Holding && bound != drive.NoBound {
			m.failed, m.stuck = true, true
			if m.bound == drive.NoBound {
				m.bound = bound
			}
			rng := m.d.Supply.Range(0, m.d.Machine.R(m.heat.Winding))
			k := m.d.Machine.K(m.heat.Housing)
			s.Demand = math.Max(rng.Low*k, math.Min(rng.High*k, s.Demand))
			s.Motor, s.Bound = s.Demand, bound
			m.d.electric(&s)
		}
		s2, s3 := s, s
		s2.Time, s3.Time = m.t+h/2, m.t+h
		t.Samples = append(t.Samples, s, s2, s3)
		m.interval(first, h, own, bound)
	}
	t.Legs[m.li].Steady = len(t.Samples) - 1
}

// move goes to the target with the leg's own acceleration and top speed; where
// the machine lags, the braking starts at the distance it needs.
func (m *mover) move() {
	rate := m.rate()
	top := rate * m.share() * m.leg.In
	far := math.Abs(m.to - m.pos0)
	m.dir = m.way
	for {
		rest := (m.to - m.pos) * m.way
		left := math.Min(m.patience(), m.limit-m.t)
		if rest <= 1e-9*far {
			break
		}
		if left <= 0 {
			m.given = m.patience() <= 0
			break
		}
		speed := m.v * m.way
		want, goal, h := m.command(speed, rest, rate, top, far)
		a, bound := m.accelerate(m.v, m.pos, want*m.way)
		m.halt(a, bound)
		if m.v == 0 && a*m.way <= 0 && bound != drive.NoBound {
			m.standStuck(bound, left)
			continue
		}
		if bound != drive.NoBound && want != 0 { // the command's own event comes later, or not at all
			if h = math.Inf(1); (goal*m.way-m.v)*a > 0 {
				h = m.reach(goal*m.way, a, bound)
			}
		}
		h = math.Min(h, math.Min(left, m.step(a, bound, want)))
		braking := want < 0
		end := func(pos, v float64) bool {
			rest, speed := (m.to-pos)*m.way, v*m.way
			if braking {
				return rest < 0 || speed < 0
			}
			return rest < speed*speed/(2*rate)*(1-1e-9)
		}
		if bound == drive.NoBound {
			end = nil // the step's length already ends at the event
		} else if m.stalls(a, bound) {
			h = math.Min(h, -m.v/a)
		}
		m.advance(h, a, bound, want*m.way, goal*m.way, end)
		if !braking && want == 0 {
			m.r.trace.Legs[m.li].Steady = len(m.r.trace.Samples) - 1
		}
		if braking && m.v == 0 {
			break
		}
	}
	if !m.given {
		m.pos = m.to
	}
	m.v = 0
	if t := &m.r.trace; t.Legs[m.li].Steady < 0 {
		t.Legs[m.li].Steady = len(t.Samples) - 1
	}
}

// command is what a move asks for at a speed and a distance to go: the
// acceleration along its sense, the speed it aims at, and the time to the next
// change of mind.
func (m *mover) command(speed, rest, rate, top, far float64) (want, goal, h float64) {
	stop := speed * speed / (2 * rate)
	switch {
	case rest <= stop*(1+1e-9)+1e-12*far:
		return -rate, 0, math.Max(speed/rate, 1e-9*m.leg.In)
	case speed < top*(1-near):
		// rest − v·h − a·h²/2 = (v + a·h)²/(2·a)
		meet := (-speed + math.Sqrt(speed*speed/2+rate*rest)) / rate
		return rate, top, math.Min((top-speed)/rate, math.Max(meet, 1e-9*m.leg.In))
	default:
		return 0, top, math.Max((rest-stop)/math.Max(speed, 1e-12), 1e-9*m.leg.In)
	}
}

// leap sets a shaft's speed at once, or to the most the drive can hold.
func (m *mover) leap() {
	leg := m.leg
	m.dir = m.way
	for {
		left := m.timeLeft()
		if left <= 0 || (leg.Distance > 0 && m.done(m.pos) >= -1e-12) {
			break
		}
		v, bound := m.balance(leg.Speed)
		if v == 0 {
			m.v = 0
			m.standStuck(bound, left)
			continue
		}
		m.v = v
		h := math.Min(left, m.calm())
		if leg.Distance > 0 {
			h = math.Min(h, -m.done(m.pos)/math.Abs(v))
		}
		g := glimpse{v: v, bound: bound}
		half := g
		half.pos, g.pos = m.pos+v*h/2, m.pos+v*h
		m.commit(h, 0, bound, half, g)
	}
	m.r.trace.Legs[m.li].Steady = len(m.r.trace.Samples) - 1
}

// balance is the speed nearest to the wanted one at which the drive can carry
// the load without accelerating.
func (m *mover) balance(want float64) (float64, drive.Bound) {
	k, w := m.d.Machine.K(m.heat.Housing), m.d.Machine.R(m.heat.Winding)
	fits := func(v float64) drive.Bound {
		rng := m.d.Supply.Range(k*v*m.kappa, w)
		switch i := m.demand(v, m.pos, 0, m.sense(v)) / k; {
		case i > rng.High*(1+slack)+slack:
			return rng.HighBound
		case i < rng.Low*(1+slack)-slack:
			return rng.LowBound
		}
		return drive.NoBound
	}
	bound := fits(want)
	if bound == drive.NoBound {
		return want, bound
	}
	if fits(0) != drive.NoBound {
		return 0, bound
	}
	low, high := 0.0, want
	for range 50 {
		mid := (low + high) / 2
		if fits(mid) == drive.NoBound {
			low = mid
		} else {
			high = mid
		}
	}
	return low, bound
}
