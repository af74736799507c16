// Package duty marches one duty cycle of one candidate: it follows the
// commanded motion where the motor can, lets the machine fall behind where
// voltage, current limit, supply or grip forbid it, and finds the two-node
// temperatures of the hottest cycle on the way.
package duty

import (
	"math"

	"example.org/dray/loadcases"
)

// Script is the commanded cycle of a case with the load it asks for at every
// sample. It depends on no candidate and is shared, read-only, by all of them.
type Script struct {
	Case   *loadcases.Case
	Plan   loadcases.Plan
	phases []phase
	loads  []load // of all phases; a phase with m intervals has 2m+1 of them
	steps  []instant
	top    float64 // largest commanded speed of the cycle
	grip   gripDemand
	slips  bool // the commanded motion asks for more traction than there is
}

// phase is a phase of the plan with its mesh.
type phase struct {
	leg    int
	kind   loadcases.PhaseKind
	time   float64
	first  int  // index of its first load
	count  int  // intervals; 0 for a flat phase, whose mesh the candidate chooses
	flat   bool // load and speed are constant
	level  bool // load torque is constant though the speed may change
	steady bool
	jump   bool
}

// load is what the machine asks for at an instant.
type load struct {
	share  float64 // of the phase's time, 0…1
	speed  float64 // the mechanism's, m/s or rad/s
	omega  float64 // load shaft, rad/s
	alpha  float64 // load shaft, rad/s²
	torque float64 // per motor at the load shaft, N·m
	sense  float64 // direction of motion, ±1
	radial float64 // N on one output shaft; NaN unknown
	need   float64 // traction needed, N, whole machine; NaN unknown
	hold   float64 // traction there is, N
	static float64 // load torque with nothing moving and no friction, N·m
}

// slips reports a demand beyond the traction there is.
func (l *load) slips() bool { return l.need > l.hold*(1+1e-9) }

// instant is a demand of zero duration: an obstacle, a breakaway.
type instant struct {
	leg  int
	at   float64
	load load
}

// mesh gives the interval edges of a phase whose load or speed varies. It is
// graded towards both ends, where a ramp's battery current peaks, so that the
// shortest windows of the envelope see the true peak.
func mesh(varies bool) []float64 {
	if varies {
		return []float64{0, .005, .02, .05, .09, .14, .2, .26, .32, .38, .44, .5, .56, .62, .68, .74, .8, .86, .91, .95, .98, .995, 1}
	}
	return []float64{0, .005, .02, .06, .14, .26, .42, .58, .74, .86, .94, .98, .995, 1}
}

// NewScript samples the commanded cycle of a case.
func NewScript(c *loadcases.Case) (*Script, error) {
	plan, err := c.Plan()
	if err != nil {
		return nil, err
	}
	s := &Script{Case: c, Plan: plan, grip: gripDemand{need: math.NaN(), leg: -1}}
	for i := range plan.Phases {
		p := &plan.Phases[i]
		s.top = math.Max(s.top, math.Max(math.Abs(p.Speed), math.Abs(p.Speed+p.Acceleration*p.Duration)))
		s.add(p)
	}
	return s, nil
}

func (s *Script) add(p *loadcases.Phase) {
	leg := &s.Case.Legs[p.Leg]
	if p.Kind == loadcases.Instant {
		s.addInstant(p, leg)
		return
	}
	if p.Duration <= 0 {
		return
	}
	ph := phase{leg: p.Leg, kind: p.Kind, time: p.Duration, first: len(s.loads), steady: p.Steady, jump: p.Jump}
	varies := s.Case.Mechanism.Varies()
	edges := mesh(varies)
	for i, e := range edges {
		if i > 0 {
			s.loads = append(s.loads, s.loadAt(p, leg, (edges[i-1]+e)/2))
		}
		s.loads = append(s.loads, s.loadAt(p, leg, e))
	}
	ph.count = len(edges) - 1
	ph.level = true
	first := s.loads[ph.first]
	for _, l := range s.loads[ph.first:] {
		if math.Abs(l.torque-first.torque) > 1e-12*math.Abs(first.torque) {
			ph.level = false
		}
		if l.slips() {
			s.slips = true
		}
		if s.grip.worse(&l) {
			s.grip = gripDemand{l.need, l.hold, p.Leg, p.Start + l.share*p.Duration}
		}
	}
	if ph.level && p.Acceleration == 0 {
		ph.flat, ph.count = true, 0
		s.loads = s.loads[:ph.first+1]
	}
	s.phases = append(s.phases, ph)
}

// loadAt samples a phase at a share of its time.
func (s *Script) loadAt(p *loadcases.Phase, leg *loadcases.Leg, share float64) load {
	t := share * p.Duration
	m := loadcases.Motion{
		Position:     p.Position + p.Speed*t + p.Acceleration*t*t/2,
		Speed:        p.Speed + p.Acceleration*t,
		Acceleration: p.Acceleration,
		Direction:    p.Direction,
		Time:         p.Start + t - s.Plan.LegStart[p.Leg],
	}
	if share == 1 && math.Abs(m.Speed) < 1e-12 {
		m.Speed = 0
	}
	l := s.sample(leg, p.Kind, m)
	l.share = share
	return l
}

func (s *Script) sample(leg *loadcases.Leg, kind loadcases.PhaseKind, m loadcases.Motion) load {
	mech := s.Case.Mechanism
	k := mech.ShaftSpeed(leg)
	l := load{speed: m.Speed, omega: m.Speed * k, alpha: m.Acceleration * k,
		sense: m.Direction, radial: math.NaN(), need: math.NaN(), hold: math.NaN()}
	if l.sense == 0 {
		l.sense = 1
	}
	l.static = mech.Held(leg, m.Position)
	l.torque = l.static
	if kind == loadcases.Moving {
		l.torque = mech.Torque(leg, m)
	}
	if b, ok := mech.(loadcases.Bearing); ok {
		if f, known := b.Radial(leg, m); known {
			l.radial = f
		}
	}
	if kind == loadcases.Resting {
		return l
	}
	if g, ok := mech.(loadcases.Gripping); ok {
		if need, limit, known := g.Grip(leg, m); known {
			l.need, l.hold = math.Abs(need), limit
		}
	}
	return l
}

func (s *Script) addInstant(p *loadcases.Phase, leg *loadcases.Leg) {
	in := instant{leg: p.Leg, at: p.Start}
	m := loadcases.Motion{Position: p.Position, Speed: p.Speed, Direction: p.Direction}
	in.load = load{sense: p.Direction, radial: math.NaN(), need: math.NaN(), hold: math.NaN()}
	if in.load.sense == 0 {
		in.load.sense = 1
	}
	switch mech := s.Case.Mechanism.(type) {
	case loadcases.Climbing:
		torque, need, limit, known := mech.Step(leg)
		in.load.torque = torque
		if known {
			in.load.need, in.load.hold = math.Abs(need), limit
		}
	case loadcases.Breakaway:
		in.load.torque = mech.Start(leg, m)
	default:
		return
	}
	s.steps = append(s.steps, in)
}

// WorstStatic is the largest magnitude of the load torque per motor at the load
// shaft, N·m, that would move the machine if nothing held it: slope and
// gravity alone, over every position the cycle visits.
func (s *Script) WorstStatic() float64 {
	worst := 0.0
	for i := range s.loads {
		worst = math.Max(worst, math.Abs(s.loads[i].static))
	}
	return worst
}

// RestLoad is the largest magnitude of the load torque, N·m per motor at the load
// shaft, that a leg's unpowered rest stands under; 0 for other legs.
func (s *Script) RestLoad(leg int) float64 {
	worst := 0.0
	for i := range s.phases {
		if ph := &s.phases[i]; ph.leg == leg && ph.kind == loadcases.Resting {
			worst = math.Max(worst, math.Abs(s.loads[ph.first].static))
		}
	}
	return worst
}

// WorstGrip is the commanded instant with the least traction to spare: what it
// needs and what there is, N, with its leg and its time in the cycle. need is
// NaN when the case gives no friction.
func (s *Script) WorstGrip() (need, hold float64, leg int, at float64) {
	return s.grip.need, s.grip.hold, s.grip.leg, s.grip.at
}

// gripDemand is a traction demand of the commanded cycle.
type gripDemand struct {
	need, hold float64
	leg        int
	at         float64
}

// worse reports whether a load has less traction to spare.
func (g *gripDemand) worse(l *load) bool {
	if math.IsNaN(l.need) {
		return false
	}
	return math.IsNaN(g.need) || l.need*g.hold > g.need*l.hold
}
