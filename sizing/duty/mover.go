package duty

import (
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/heat"
)

// abandonAfter is how many times its commanded time a leg may last.
const abandonAfter = 10

// mostSteps ends a leg that creeps on for ever in ever smaller steps.
const mostSteps = 700

// mover is the machine on its way through one cycle.
type mover struct {
	r       *Runner
	d       *Drive
	li      int
	leg     *loadcases.Leg
	kappa   float64 // motor rad per unit of motion
	t, tl   float64 // s into the cycle, into the leg
	pos, v  float64
	pos0    float64 // at the leg's start
	to      float64 // target of a move
	way     float64 // sense of the leg
	dir     float64 // sense of motion where v is 0
	heat    heat.State
	tangent heat.Matrix
	bound   drive.Bound // first bound met in this leg
	limit   float64
	lines   *lines
	size    float64 // of the next step, s
	inertia float64 // d(k·I)/da last met
	steep   float64 // da/dv of the acceleration last found, 1/s
	steps   int
	stuck   bool
	locks   bool // the train locks under the torque last solved for
	failed  bool // a hold that cannot be held
	given   bool // abandoned
}

// march is the map of one cycle by forward dynamics, cut off at limit seconds.
// It overwrites the trace.
func (r *Runner) march(x heat.State, limit float64) (heat.State, heat.Matrix) {
	t := &r.trace
	t.Samples, t.Intervals, t.Instants, t.Legs = t.Samples[:0], t.Intervals[:0], t.Instants[:0], t.Legs[:0]
	m := mover{r: r, d: r.d, heat: x, tangent: heat.Identity(), v: r.lag.entry, limit: limit, dir: 1}
	if len(r.script.Plan.Phases) > 0 {
		m.pos = r.script.Plan.Phases[0].Position
		m.dir = r.script.Plan.Phases[0].Direction
	}
	for i := range r.script.Case.Legs {
		m.begin(i)
		m.run()
		m.end()
		if m.t >= limit {
			break
		}
	}
	t.Time = m.t
	if math.IsInf(limit, 1) {
		r.lag.entry = m.v
		r.instants(m.heat)
		r.blameInstants()
	}
	return m.heat, m.tangent
}

func (m *mover) begin(i int) {
	c := m.r.script.Case
	m.li, m.leg = i, &c.Legs[i]
	m.kappa = c.Mechanism.ShaftSpeed(m.leg) * m.d.Train.Total
	m.tl, m.steps, m.pos0, m.bound, m.stuck, m.failed, m.given = 0, 0, m.pos, drive.NoBound, false, false, false
	m.size, m.inertia = math.Inf(1), 0
	m.lines = &m.r.lag.lines[i]
	switch m.leg.Kind {
	case loadcases.SpeedLeg, loadcases.StepLeg:
		m.way = math.Copysign(1, m.leg.Speed)
	case loadcases.MoveLeg:
		m.pos, m.to = m.leg.From, m.leg.To
		if m.leg.Relative {
			m.pos, m.to = m.pos0, m.pos0+m.leg.By
		} else if m.leg.FromOpen {
			m.pos = m.pos0
		}
		m.pos0 = m.pos
		m.way = math.Copysign(1, m.to-m.pos)
		m.v = 0
	}
	m.r.trace.Legs = append(m.r.trace.Legs, Leg{Start: m.t, Commanded: m.r.script.Plan.LegTime[i], Wanted: m.r.script.Plan.Reached[i], Steady: -1})
}

// run carries the leg through.
func (m *mover) run() {
	switch m.leg.Kind {
	case loadcases.StepLeg:
		return
	case loadcases.HoldLeg, loadcases.RestLeg:
		m.brake()
		m.stand()
	case loadcases.MoveLeg:
		m.move()
	default:
		if m.leg.Acceleration == 0 && m.v != m.leg.Speed {
			m.leap()
			return
		}
		m.speedLeg()
	}
}

// end writes how the leg went.
func (m *mover) end() {
	l := &m.r.trace.Legs[m.li]
	l.Time, l.Reached, l.Bound, l.Abandoned = m.tl, m.v, m.bound, m.given
	if m.bound == drive.NoBound {
		l.Reached = l.Wanted
		return
	}
	switch {
	case m.failed:
		l.Shortfall = 1
	case m.leg.Kind == loadcases.SpeedLeg && l.Wanted != 0:
		l.Shortfall = math.Abs(1 - l.Reached/l.Wanted)
		if l.Shortfall < 1e-4 {
			l.Shortfall = 0
		}
		if m.given {
			l.Shortfall = math.Max(l.Shortfall, 1-1.0/abandonAfter)
		}
	case m.given:
		l.Shortfall = 1
	case l.Time > 0:
		l.Shortfall = math.Max(0, 1-l.Commanded/l.Time)
	}
}

// patience is the time left before the leg is given up.
func (m *mover) patience() float64 {
	if m.steps > mostSteps {
		return 0
	}
	return abandonAfter*m.r.script.Plan.LegTime[m.li] - m.tl
}
