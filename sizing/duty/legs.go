package duty

import (
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/sizing/drive"
)

// small is the speed, relative to the leg's own, that counts as reached; slow
// the one that counts as standing when a bound brings the machine to a halt.
const (
	small = 1e-9
	slow  = 1e-6
)

// near is how far below its goal, relative to the leg's speed, a machine may
// stay without being pushed on: a voltage that just suffices in one place and
// just fails in the next would otherwise be crossed back and forth for ever.
const near = 2e-5

// tolerance is the disagreement of a step with its two halves, relative to the
// leg's speed, below which the halves are taken.
const tolerance = 2e-4

// halt stands a machine still that a bound has all but stopped.
func (m *mover) halt(a float64, bound drive.Bound) {
	if bound != drive.NoBound && m.v*a < 0 && math.Abs(m.v) < slow*m.scale() {
		m.v = 0
	}
}

// stalls reports whether a bound brings the machine to a standstill, and not
// only down to the slower speed v − a/j at which its line meets the load.
func (m *mover) stalls(a float64, bound drive.Bound) bool {
	if bound == drive.NoBound || m.v*a >= 0 {
		return false
	}
	j := m.slope(bound)
	return j == 0 || (m.v-a/j)*m.v <= 0
}

// reach is the time in which the speed gets to a goal it is heading for, under
// a + j·(v − v0); +Inf where it settles short of it.
func (m *mover) reach(goal, a float64, bound drive.Bound) float64 {
	j, way := m.slope(bound), (goal-m.v)/a
	if math.Abs(j)*way < 1e-6 {
		return way
	}
	left := 1 + j*way
	if left <= 0 {
		return math.Inf(1)
	}
	return math.Log(left) / j
}

// scale is the leg's own speed.
func (m *mover) scale() float64 {
	if m.leg.Kind == loadcases.MoveLeg {
		return math.Abs(m.to-m.pos0) / m.leg.In
	}
	if m.leg.Speed != 0 {
		return math.Abs(m.leg.Speed)
	}
	return math.Max(m.r.script.top, 1e-9)
}

// speedLeg ramps towards the leg's speed and runs until its time or its net
// distance is done.
func (m *mover) speedLeg() {
	leg := m.leg
	for {
		left := m.timeLeft()
		if left <= 0 || (leg.Distance > 0 && m.done(m.pos) >= 0) {
			break
		}
		m.toward(leg.Speed, left, leg.Distance > 0)
	}
	m.r.trace.Legs[m.li].Steady = len(m.r.trace.Samples) - 1
}

// done is how far beyond the leg's net distance a position is.
func (m *mover) done(pos float64) float64 { return (pos-m.pos0)*m.way - m.leg.Distance }

// timeLeft is the time a leg may still take: its own clock, or patience.
func (m *mover) timeLeft() float64 {
	left := m.patience()
	if left <= 0 {
		m.given = true
	}
	if m.leg.For > 0 {
		left = math.Min(left, m.leg.For-m.tl)
		m.given = m.given && m.leg.For <= m.tl
		if m.leg.For-m.tl <= 1e-12*m.leg.For {
			m.given = false
			return 0
		}
	}
	if m.t+1e-12 >= m.limit {
		return 0
	}
	return math.Min(left, m.limit-m.t)
}

// toward makes one step towards a speed.
func (m *mover) toward(target, left float64, byDistance bool) {
	goal := target
	if m.v*target < 0 { // stop first: friction turns round at standstill
		goal = 0
	}
	if m.v == 0 && target != 0 {
		m.dir = math.Copysign(1, target)
	}
	want := 0.0
	switch off := math.Abs(goal - m.v); {
	case off > near*m.scale() || (goal == 0 && off > small*m.scale()):
		want = math.Copysign(m.leg.Acceleration, goal-m.v)
	case goal == 0:
		if m.v = 0; target == 0 {
			return // stopped
		}
	}
	a, bound := m.accelerate(m.v, m.pos, want)
	if m.halt(a, bound); m.v == 0 && target == 0 {
		return
	}
	if m.v == 0 && want*m.dir >= 0 && a*m.dir <= 0 && bound != drive.NoBound {
		m.standStuck(bound, left)
		return
	}
	if bound != drive.NoBound && m.locks {
		m.drivenDown(bound, left, byDistance)
		return
	}
	h := math.Min(left, m.step(a, bound, want))
	if (goal-m.v)*a > 0 { // do not pass the goal
		h = math.Min(h, m.reach(goal, a, bound))
	} else if m.stalls(a, bound) { // slowing down against its will: stop at standstill
		h = math.Min(h, -m.v/a)
	}
	var end func(pos, v float64) bool
	if byDistance {
		end = func(pos, _ float64) bool { return m.done(pos) > 0 }
	}
	m.advance(h, a, bound, want, goal, end)
}

// drivenDown runs a locking train at the speed its motor can drive it with.
func (m *mover) drivenDown(bound drive.Bound, left float64, byDistance bool) {
	v, _ := m.balance(m.v)
	if v != 0 && math.Abs(v-m.v) <= near*m.scale() {
		v = m.v // on that speed already
	}
	if m.v = v; v == 0 {
		m.standStuck(bound, left)
		return
	}
	h := math.Min(left, m.calm())
	if byDistance {
		h = math.Min(h, math.Max(-m.done(m.pos)/math.Abs(v), 1e-9*left))
	}
	half, whole := glimpse{v: v, pos: m.pos + v*h/2, bound: bound}, glimpse{v: v, pos: m.pos + v*h, bound: bound}
	m.commit(h, 0, bound, half, whole)
}

// step proposes a step's length: a share of the ramp while the speed changes,
// growing with the heat mesh while it does not.
func (m *mover) step(a float64, bound drive.Bound, want float64) float64 {
	ramp := m.ramp()
	fine := ramp / 8
	if m.r.script.Case.Mechanism.Varies() {
		return math.Min(ramp/24, m.r.script.Plan.LegTime[m.li]/48)
	}
	if bound != drive.NoBound {
		h := math.Min(m.size, m.calm())
		// While the speed still falls towards its end, 1/|j| is the time it
		// does so in; the samples must show that curve.
		if j := math.Abs(m.slope(bound)); j > 0 && math.Abs(a) > 5e-4*j*m.scale() {
			h = math.Min(h, 1/j)
		}
		return h
	}
	if want != 0 {
		return fine
	}
	return m.calm()
}

// ramp is how long the leg's own change of speed takes, or the leg itself.
func (m *mover) ramp() float64 {
	ramp := m.r.script.Plan.LegTime[m.li]
	if a := m.leg.Acceleration; a > 0 && m.leg.Kind != loadcases.MoveLeg {
		ramp = math.Min(ramp, m.scale()/a)
	}
	return ramp
}

// calm is the longest step the temperatures allow, growing with the leg.
func (m *mover) calm() float64 {
	b := &m.d.Body
	if m.r.lag.frozen {
		return math.Inf(1)
	}
	tw, th := b.WindingToHousing*b.WindingCapacity, b.HousingToAir*b.HousingCapacity
	return math.Max(tw/4, math.Min(m.tl, math.Max(th/6, m.tl/4)))
}

// advance takes one step of at most h seconds from the present state. Under a
// bound the speed follows dv/dt = a(v), advanced by v + a·φ1(jh)·h with j the
// slope of a(v): exact where the torque–speed line is straight, and stable for
// any step. The step is halved until two half steps agree with it.
func (m *mover) advance(h, a float64, bound drive.Bound, want, goal float64, end func(pos, v float64) bool) {
	fine := tolerance * math.Max(0.05*m.scale(), math.Abs(m.v))
	least := 1e-7 * math.Max(m.r.script.Plan.LegTime[m.li], h)
	through := 1e-6 * m.ramp() // the longest stretch a change of bound may be stepped over
	size, whole := math.Inf(1), h
	var p, q glimpse
	for {
		var err float64
		p, q, err = m.try(h, a, bound, want)
		if err > fine && h > least {
			h = math.Max(least, h*math.Max(0.2, math.Min(0.7, 0.8*math.Sqrt(fine/err))))
			size = 2.5 * h
			continue
		}
		if p.bound == bound && q.bound == bound {
			break
		}
		if h <= through {
			if m.settleSpeed(h, bound, want, goal, &p, &q) {
				m.stay(whole, &q)
				return
			}
			break
		}
		if bound == drive.NoBound && want == 0 && !m.r.script.Case.Mechanism.Varies() {
			break // heat alone will bring the bound: the next step sees it
		}
		h = math.Max(through, m.crossing(h, a, bound, want))
		through = h
	}
	if end != nil && end(q.pos, q.v) {
		low, high := 0.0, h
		for range 50 {
			mid := (low + high) / 2
			p, q, _ = m.try(mid, a, bound, want)
			if end(q.pos, q.v) {
				high = mid
			} else {
				low = mid
			}
		}
		h = high
		p, q, _ = m.try(h, a, bound, want)
	}
	if (q.v-goal)*(m.v-goal) < 0 || math.Abs(q.v-goal) <= small*m.scale() {
		q.v = goal
	}
	m.size = math.Min(size, 4*math.Max(m.size, through))
	m.commit(h, a, bound, p, q)
}

// settleSpeed steps over the kink at which following ends. Where the speed at
// which the drive can no longer gain lies next to the present one, a step of any
// length would pass it, so the machine is put on it. It reports whether the
// machine stood on it before.
func (m *mover) settleSpeed(h float64, bound drive.Bound, want, goal float64, p, q *glimpse) bool {
	if bound != drive.NoBound || want == 0 {
		return false
	}
	gains := func(v float64) (float64, drive.Bound) {
		a, b := m.accelerate(v, m.pos, want)
		return a * want, b
	}
	low, high := m.v, goal
	last, met := gains(high)
	if last > 0 {
		return false
	}
	for range 50 {
		mid := (low + high) / 2
		if g, b := gains(mid); g > 0 {
			low = mid
		} else {
			high, met = mid, b
		}
	}
	if math.Abs(high-m.v) > 1e-3*m.scale() && math.Abs(high-m.v) > 1e-2*math.Abs(high) {
		return false
	}
	*p = glimpse{pos: m.pos + (3*m.v+high)/8*h, v: (m.v + high) / 2, bound: met}
	*q = glimpse{pos: m.pos + (m.v+high)/2*h, v: high, bound: met}
	return high != 0 && math.Abs(high-m.v) <= near*m.scale()
}

// stay keeps a machine on the speed its drive can just hold for a step as long
// as the temperatures allow.
func (m *mover) stay(h float64, on *glimpse) {
	h = math.Min(h, m.calm())
	if d := m.leg.Distance; d > 0 && on.v*m.way > 0 && m.leg.Kind == loadcases.SpeedLeg {
		h = math.Min(h, math.Max(-m.done(m.pos)/math.Abs(on.v), 1e-9*h))
	}
	half := glimpse{pos: m.pos + on.v*h/2, v: on.v, bound: on.bound}
	m.commit(h, 0, on.bound, half, glimpse{pos: m.pos + on.v*h, v: on.v, bound: on.bound})
}

// crossing is the time within h at which the bound changes, from below.
func (m *mover) crossing(h, a float64, bound drive.Bound, want float64) float64 {
	j := m.slope(bound)
	low, high := 0.0, h
	for range 11 {
		mid := (low + high) / 2
		pos, v := glide(m.pos, m.v, a, j, mid)
		if _, b := m.accelerate(v, pos, want); b == bound {
			low = mid
		} else {
			high = mid
		}
	}
	m.accelerate(m.v, m.pos, want) // leaves the slope of here again
	return low
}

// glimpse is a state ahead.
type glimpse struct {
	pos, v, a float64
	bound     drive.Bound
}

// try looks ahead half a step and a whole one; err is the disagreement of one
// step with two halves. The slope of the present state must stand in m.steep.
func (m *mover) try(h, a float64, bound drive.Bound, want float64) (half, whole glimpse, err float64) {
	here := m.steep
	j := m.slope(bound)
	half.pos, half.v = glide(m.pos, m.v, a, j, h/2)
	half.a, half.bound = m.accelerate(half.v, half.pos, want)
	_, v1 := glide(m.pos, m.v, a, j, h)
	whole.pos, whole.v = glide(half.pos, half.v, half.a, m.slope(half.bound), h/2)
	whole.a, whole.bound = m.accelerate(whole.v, whole.pos, want)
	m.steep = here
	return half, whole, math.Abs(whole.v - v1)
}

// slope is da/dv under a bound, as the last accelerate left it; 0 while
// following.
func (m *mover) slope(bound drive.Bound) float64 {
	if bound != drive.VoltageEnd && bound != drive.SupplyEnd {
		return 0
	}
	return math.Min(0, m.steep)
}

// glide advances speed and position under a + j·(v − v0) for t seconds.
func glide(pos, v, a, j, t float64) (float64, float64) {
	x := j * t
	if math.Abs(x) < 1e-6 {
		return pos + v*t + a*t*t/2, v + a*t*(1+x/2)
	}
	e := math.Expm1(x)
	return pos + v*t + a*(e-x)/(j*j), v + a*e/j
}

// commit writes the step as an interval and carries the temperatures over it.
func (m *mover) commit(h, a float64, bound drive.Bound, p, q glimpse) {
	t := &m.r.trace
	first := len(t.Samples)
	t.Samples = append(t.Samples, m.sample(m.t, m.v, m.pos, a, bound, loadcases.Moving),
		m.sample(m.t+h/2, p.v, p.pos, p.a, p.bound, loadcases.Moving),
		m.sample(m.t+h, q.v, q.pos, q.a, q.bound, loadcases.Moving))
	if bound != drive.NoBound && m.bound == drive.NoBound {
		m.bound = bound
	}
	m.interval(first, h, Moving, bound)
	m.pos, m.v = q.pos, q.v
	if m.v != 0 {
		m.dir = math.Copysign(1, m.v)
	}
}

// interval closes three samples into an interval: heat, then clock.
func (m *mover) interval(first int, h float64, kind Kind, bound drive.Bound) {
	t := &m.r.trace
	m.steps++
	t.Intervals = append(t.Intervals, Interval{First: first, Time: h, Leg: m.li, Kind: kind})
	if !m.r.lag.frozen {
		m.warm(first, h, kind, bound)
	}
	m.t += h
	m.tl += h
}

func (m *mover) sample(at, v, pos, a float64, bound drive.Bound, kind loadcases.PhaseKind) Sample {
	if m.r.lag.light {
		return m.lightSample(at, v, pos, a, bound, kind)
	}
	l := m.r.script.sample(m.leg, kind, loadcases.Motion{Position: pos, Speed: v, Acceleration: a, Direction: m.sense(v), Time: m.tl})
	s := Sample{Time: at, Speed: v, Omega: v * m.kappa, Winding: m.heat.Winding, Housing: m.heat.Housing,
		Radial: l.radial, Need: l.need, Hold: l.hold, Leg: m.li, Powered: kind != loadcases.Resting, Bound: bound}
	if s.Powered {
		s.Motor, s.Demand, s.Output = m.d.torque(&l, kind == loadcases.Moving)
	} else {
		_, s.Output = m.d.Train.Inward(l.torque, l.sense)
	}
	m.d.electric(&s)
	return s
}

// lightSample fills only what the temperatures ask for.
func (m *mover) lightSample(at, v, pos, a float64, bound drive.Bound, kind loadcases.PhaseKind) Sample {
	s := Sample{Time: at, Omega: v * m.kappa, Winding: m.heat.Winding, Housing: m.heat.Housing,
		Leg: m.li, Powered: kind != loadcases.Resting, Bound: bound}
	switch kind {
	case loadcases.Moving:
		s.Demand = m.demand(v, pos, a, m.sense(v))
	case loadcases.Holding:
		s.Motor, _ = m.d.Train.Held(m.r.script.Case.Mechanism.Held(m.leg, pos))
		s.Demand = s.Motor
	}
	if kind == loadcases.Holding || (m.d.Machine.Inductance > 0 && m.d.Supply.Frequency > 0) {
		m.d.electric(&s)
		return s
	}
	s.Current = s.Demand / m.d.Machine.K(s.Housing)
	return s
}
