package loadcases

import (
	"fmt"
	"math"
)

// planner walks the legs of one cycle.
type planner struct {
	c        *Case
	plan     Plan
	time     float64
	position float64
	speed    float64
	pivot    bool    // the speed is a yaw rate
	way      float64 // last direction of motion
	leg      int
	placed   bool    // a move has fixed where the machine stands
	shift    float64 // written position − planned position, once placed
}

func (p *planner) run() error {
	for i := range p.c.Legs {
		p.leg = i
		leg := &p.c.Legs[i]
		began, first := p.time, len(p.plan.Phases)
		p.plan.LegStart = append(p.plan.LegStart, began)
		if err := p.one(leg); err != nil {
			return err
		}
		p.markSteady(leg, first)
		p.plan.LegTime = append(p.plan.LegTime, p.time-began)
		p.plan.Reached = append(p.plan.Reached, p.speed)
	}
	return nil
}

func (p *planner) one(leg *Leg) error {
	switch {
	case leg.Log:
		return p.replay()
	case leg.Kind == SpeedLeg:
		return p.speedLeg(leg)
	case leg.Kind == MoveLeg:
		return p.move(leg)
	case leg.Kind == HoldLeg:
		return p.stand(leg, Holding)
	case leg.Kind == RestLeg:
		return p.stand(leg, Resting)
	case leg.Kind == StepLeg:
		p.way = leg.way(p.way)
		p.add(Phase{Kind: Instant}, 0)
		return nil
	}
	return p.fault("the kind of this leg is not known", "")
}

func (p *planner) fault(text, hint string) error {
	return &LegError{Leg: p.leg, Line: p.c.Legs[p.leg].Line, Text: text, Hint: hint}
}

// add appends a phase that starts now, at the present speed, and goes on to
// its end.
func (p *planner) add(phase Phase, duration float64) {
	if phase.Kind != Instant && duration <= noTime {
		return
	}
	phase.Leg = p.leg
	phase.Start = p.time
	phase.Duration = duration
	phase.Position = p.position
	phase.Speed = p.speed
	if phase.Direction == 0 {
		phase.Direction = p.way
	}
	p.plan.Phases = append(p.plan.Phases, phase)
	p.time += duration
	p.position += p.speed*duration + phase.Acceleration*duration*duration/2
	p.speed += phase.Acceleration * duration
	p.way = phase.Direction
}

// ramp changes speed to target at a rate, split where it passes zero, for no
// longer than the time left. It reports the time used.
func (p *planner) ramp(target, rate, left float64) float64 {
	begin := p.time
	for p.speed != target && left > noTime {
		to := target
		if p.speed*target < 0 {
			to = 0
		}
		a := math.Copysign(rate, to-p.speed)
		need := (to - p.speed) / a
		way := 1.0
		if p.speed < 0 || (p.speed == 0 && to < 0) {
			way = -1
		}
		used := min(need, left)
		p.add(Phase{Kind: Moving, Acceleration: a, Direction: way, Ramp: true}, used)
		left -= used
		if used == need {
			p.speed = to
		}
	}
	return p.time - begin
}

// breakaway marks the instant a motion starts from a stand.
func (p *planner) breakaway(way float64) {
	b, ok := p.c.Mechanism.(*Belt)
	if p.speed == 0 && ok && b.breakaway() != 1 {
		p.add(Phase{Kind: Instant, Direction: way}, 0)
	}
}

func (p *planner) speedLeg(leg *Leg) error {
	if leg.Speed == 0 {
		return p.fault("a speed leg with speed 0 goes nowhere", "write hold: or rest: with a time")
	}
	if (leg.Distance > 0) == (leg.For > 0) {
		return p.fault("a speed leg needs either a distance or a time, more than zero", "distance: 5 m, or for: 10 s")
	}
	way := math.Copysign(1, leg.Speed)
	if err := p.enter(leg.Pivot); err != nil {
		return err
	}
	if p.speed != leg.Speed && leg.Acceleration == 0 {
		return p.jump(leg, way)
	}
	p.breakaway(way)
	if leg.For > 0 {
		used := p.ramp(leg.Speed, leg.Acceleration, leg.For)
		p.add(Phase{Kind: Moving, Direction: way}, leg.For-used)
		return nil
	}
	return p.distance(leg, way)
}

// enter refuses a turn on the spot out of motion along the ground, and back.
func (p *planner) enter(pivot bool) error {
	if pivot != p.pivot && p.speed != 0 {
		return p.fault("a pivot turn begins and ends at a standstill", "put a rest or a hold between it and the motion along the ground")
	}
	p.pivot = pivot
	return nil
}

// jump sets the speed at once; only a shaft's load may.
func (p *planner) jump(leg *Leg, way float64) error {
	if _, ok := p.c.Mechanism.(*Shaft); !ok {
		return p.fault("no acceleration is given and the speed must change", "add acceleration: to the duty or to this leg")
	}
	p.speed = leg.Speed
	duration := leg.For
	if duration == 0 {
		duration = leg.Distance / math.Abs(leg.Speed)
	}
	p.add(Phase{Kind: Moving, Direction: way, Jump: true}, duration)
	return nil
}

// distance runs until the net way along the leg's sense is done. With u the
// speed along that sense the ramp covers (u1² − u0²)/(2·a); where the way ends
// within it the speed reached is √(u0² ± 2·a·d), the root with which the
// machine passes the mark going forward.
func (p *planner) distance(leg *Leg, way float64) error {
	u0, u1, d := p.speed*way, leg.Speed*way, leg.Distance
	a := math.Copysign(leg.Acceleration, u1-u0)
	covered := 0.0
	if u0 != u1 {
		covered = (u1*u1 - u0*u0) / (2 * a)
	}
	if covered > d*(1+1e-12) {
		reached := math.Sqrt(max(0, u0*u0+2*a*d))
		p.ramp(way*reached, leg.Acceleration, math.Inf(1))
		return nil
	}
	p.ramp(leg.Speed, leg.Acceleration, math.Inf(1))
	p.add(Phase{Kind: Moving, Direction: way}, (d-covered)/u1)
	return nil
}

// stand brakes to a stop under power and stays for the rest of its time.
func (p *planner) stand(leg *Leg, kind PhaseKind) error {
	if leg.For < 0 || (leg.For == 0 && p.speed == 0) {
		return p.fault("a rest or hold needs a time of more than zero", "rest: 45 s")
	}
	used := 0.0
	if p.speed != 0 {
		if p.pivot != leg.Pivot {
			return p.enter(leg.Pivot)
		}
		rate := leg.Acceleration
		if rate == 0 {
			if _, ok := p.c.Mechanism.(*Shaft); !ok {
				return p.fault("no acceleration is given to brake with", "add acceleration: to the duty or to this leg")
			}
			p.speed = 0
			p.add(Phase{Kind: kind, Jump: true}, leg.For)
			return nil
		}
		used = p.ramp(0, rate, math.Inf(1))
	}
	p.add(Phase{Kind: kind}, leg.For-used)
	p.pivot = false
	return nil
}

// move goes from and to rest in its time: ramp, constant speed, ramp. With
// ramps of share s of the time t over d the top speed is d/(t·(1 − s)).
func (p *planner) move(leg *Leg) error {
	if p.speed != 0 {
		return p.fault("a move starts from rest, and the leg before it is still moving", "put a rest or a hold before it")
	}
	if leg.In <= 0 {
		return p.fault("a move needs a time of more than zero", "in: 2 s")
	}
	way, err := p.length(leg)
	if err != nil {
		return err
	}
	p.pivot = false
	share := leg.RampShare
	if share <= 0 {
		share = 1.0 / 3
	}
	top := way / (leg.In * (1 - share))
	dir := math.Copysign(1, way)
	end := p.position + way
	p.breakaway(dir)
	ramp := share * leg.In
	p.add(Phase{Kind: Moving, Acceleration: top / ramp, Direction: dir, Ramp: true}, ramp)
	p.speed = top
	p.add(Phase{Kind: Moving, Direction: dir}, leg.In-2*ramp)
	p.add(Phase{Kind: Moving, Acceleration: -top / ramp, Direction: dir, Ramp: true}, ramp)
	p.speed, p.position = 0, end
	return nil
}

// length is the signed way of a move, after checking that it starts where the
// machine stands.
func (p *planner) length(leg *Leg) (float64, error) {
	from := leg.From
	switch {
	case leg.FromOpen:
		from = p.position + p.shift
	case !p.placed:
		p.shift = from - p.position
	case math.Abs(from-p.position-p.shift) > 1e-6*max(1, math.Abs(from)):
		return 0, p.fault(fmt.Sprintf("this move starts at %s and the machine stands at %s", p.c.place(from), p.c.place(p.position+p.shift)),
			"let it start where the last leg ended, or leave from: out")
	}
	p.placed = true
	way := leg.To - from
	if leg.Relative {
		way = leg.By
	}
	if way == 0 {
		return 0, p.fault("this move ends where it starts", "write hold: with a time to stay there")
	}
	return way, nil
}

// place writes a position for a message.
func (c *Case) place(position float64) string {
	if c.Mechanism != nil && c.Mechanism.Turning() {
		return fmt.Sprintf("%.4g deg", position*180/math.Pi)
	}
	return fmt.Sprintf("%.4g m", position)
}

// markSteady marks the phase at whose end the leg's steady state is read.
func (p *planner) markSteady(leg *Leg, first int) {
	best := -1
	for i := first; i < len(p.plan.Phases); i++ {
		phase := &p.plan.Phases[i]
		switch {
		case leg.Kind == StepLeg:
			best = i
		case phase.Kind == Instant:
		case leg.Kind != MoveLeg, best < 0, !phase.Ramp:
			best = i
		}
	}
	if best >= 0 {
		p.plan.Phases[best].Steady = true
	}
}

// replay turns each interval of a log into a phase.
func (p *planner) replay() error {
	shaft, ok := p.c.Mechanism.(*Shaft)
	if !ok || len(shaft.Log) < 2 {
		return p.fault("a logged leg needs a log of two samples or more", "")
	}
	jump := p.speed != shaft.Log[0].Speed
	p.speed = shaft.Log[0].Speed
	for i := 1; i < len(shaft.Log); i++ {
		a, b := shaft.Log[i-1], shaft.Log[i]
		span := b.Time - a.Time
		if span <= 0 {
			return p.fault(fmt.Sprintf("the log's times must rise, and %g s follows %g s", b.Time, a.Time), "")
		}
		p.interval(a, b, span, jump)
		jump = false
		p.speed = b.Speed
	}
	return nil
}

func (p *planner) interval(a, b Sample, span float64, jump bool) {
	rate := (b.Speed - a.Speed) / span
	if a.Speed*b.Speed < 0 {
		zero := -a.Speed / rate
		p.add(Phase{Kind: Moving, Acceleration: rate, Direction: math.Copysign(1, a.Speed), Ramp: true, Jump: jump}, zero)
		p.speed = 0
		p.add(Phase{Kind: Moving, Acceleration: rate, Direction: math.Copysign(1, b.Speed), Ramp: true}, span-zero)
		return
	}
	way := p.way
	if sum := a.Speed + b.Speed; sum != 0 {
		way = math.Copysign(1, sum)
	}
	p.add(Phase{Kind: Moving, Acceleration: rate, Direction: way, Ramp: rate != 0, Jump: jump}, span)
}
