package loadcases

import (
	"fmt"
	"math"
)

// LegError is a leg that cannot be commanded as written.
type LegError struct {
	Leg  int    // index into Case.Legs
	Line int    // of the case file; 0 when the case was built in memory
	Text string // lower case, no full stop
	Hint string
}

// Error names the leg and what is wrong with it.
func (e *LegError) Error() string { return fmt.Sprintf("leg %d: %s", e.Leg+1, e.Text) }

// The sizes below which a time or a speed counts as none.
const (
	noTime  = 1e-12 // s
	noSpeed = 1e-12 // m/s or rad/s
)

// longest is the longest cycle in s, about thirty years.
const longest = 1e9

// The passes that find the speed a cycle repeats with: first by repetition,
// which settles at once where the machine stops anywhere, then by bisection.
const (
	repeats    = 16
	bisections = 80
)

// Plan lays out one commanded cycle.
//
// A speed leg ramps from the speed it inherits at its own acceleration, then
// runs until its time or its net distance is done, ramp counted in; too short
// to reach its speed, it hands on what it reached. A rest or hold first brakes
// to a stop under power and is lengthened where it is shorter than that. A
// move goes from and to rest. The first leg inherits the last leg's speed.
// A ramp through zero is split there, because friction turns round.
//
// The error is a *LegError: a move after motion or from elsewhere than the
// machine stands, a missing acceleration, a leg without time or length.
func (c *Case) Plan() (Plan, error) {
	if len(c.Legs) == 0 {
		return Plan{}, &LegError{Text: "the duty has no legs"}
	}
	p, err := c.close()
	if err != nil {
		return Plan{}, err
	}
	if shift := c.startShift(p.plan); shift != 0 {
		for i := range p.plan.Phases {
			p.plan.Phases[i].Position += shift
		}
	}
	p.plan.Duration = p.time
	if math.IsNaN(p.time) || math.IsInf(p.position, 0) || math.IsNaN(p.position) || p.time > longest {
		return Plan{}, &LegError{Line: c.Legs[0].Line, Text: fmt.Sprintf("one cycle takes %.3g s, more than can be computed", p.time), Hint: "check times, distances, speeds and accelerations"}
	}
	if p.time <= noTime {
		return Plan{}, &LegError{Line: c.Legs[0].Line, Text: "the duty takes no time", Hint: "give at least one leg a time or a distance"}
	}
	return p.plan, nil
}

// close walks the cycle from the speed it ends with. The speed at the end
// never falls when the speed at the start rises, and lies between the extremes
// of the legs' own speeds, so that repetition climbs or sinks to the answer and
// bisection is sure to find one.
func (c *Case) close() (planner, error) {
	speed, pivot := c.closingGuess()
	low, high := min(0, speed), max(0, speed)
	for i := range c.Legs {
		low, high = min(low, c.Legs[i].Speed), max(high, c.Legs[i].Speed)
	}
	for pass := range repeats + bisections {
		if pass >= repeats {
			speed = (low + high) / 2
		}
		p := planner{c: c, speed: speed, pivot: pivot, position: c.startPosition(), way: c.lastWay()}
		if err := p.run(); err != nil {
			return p, err
		}
		gain := p.speed - speed
		if math.Abs(gain) <= noSpeed*max(1, math.Abs(speed)) || pass == repeats+bisections-1 {
			return p, nil
		}
		if gain > 0 {
			low = max(low, speed)
		} else {
			high = min(high, speed)
		}
		speed, pivot = p.speed, p.pivot
	}
	return planner{}, &LegError{Text: "the duty does not repeat"}
}

// closingGuess is the speed the last leg commands, the first guess of the
// speed the cycle repeats with.
func (c *Case) closingGuess() (speed float64, pivot bool) {
	for i := len(c.Legs) - 1; i >= 0; i-- {
		leg := &c.Legs[i]
		switch {
		case leg.Kind == StepLeg:
			continue
		case leg.Log:
			return c.lastLogged(), false
		case leg.Kind == SpeedLeg:
			return leg.Speed, leg.Pivot
		default:
			return 0, false
		}
	}
	return 0, false
}

func (c *Case) lastLogged() float64 {
	if s, ok := c.Mechanism.(*Shaft); ok && len(s.Log) > 0 {
		return s.Log[len(s.Log)-1].Speed
	}
	return 0
}

// lastWay is the sense of the cycle's last moving leg.
func (c *Case) lastWay() float64 {
	way := 1.0
	for i := range c.Legs {
		way = c.Legs[i].way(way)
	}
	return way
}

// way is the sense of the leg's own commanded motion, or the sense before it
// where it commands none.
func (l *Leg) way(before float64) float64 {
	going := l.Speed
	switch l.Kind {
	case MoveLeg:
		going = l.To - l.From
		if l.Relative {
			going = l.By
		}
	case SpeedLeg, StepLeg:
	default:
		return before
	}
	switch {
	case going > 0:
		return 1
	case going < 0:
		return -1
	default:
		return before
	}
}

// startPosition is where the cycle begins: the arm's own angle, or zero.
func (c *Case) startPosition() float64 {
	if a, ok := c.Mechanism.(*Arm); ok {
		return a.Angle
	}
	return 0
}

// startShift moves the whole cycle so that its first move begins at its From.
func (c *Case) startShift(plan Plan) float64 {
	for i := range c.Legs {
		leg := &c.Legs[i]
		if leg.Kind != MoveLeg {
			continue
		}
		if leg.FromOpen {
			return 0
		}
		for _, phase := range plan.Phases {
			if phase.Leg == i {
				return leg.From - phase.Position
			}
		}
	}
	return 0
}
