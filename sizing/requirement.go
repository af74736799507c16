package sizing

import (
	"math"

	"example.org/dray/loadcases"
)

// Demand is what one leg asks of one motor's share of the machine at the load
// shaft, before any part is chosen: the torque that resists the motion
// (positive) or drives it (negative), with the speed at that instant.
type Demand struct {
	Leg    string
	Kind   loadcases.LegKind
	Steady float64 // N·m at the end of the steady part; NaN without one
	Speed  float64 // rad/s of the load shaft then, without sign
	Worst  float64 // N·m, the largest magnitude in the leg, signed
	At     float64 // rad/s at the worst instant, without sign
	Power  float64 // W, the largest mechanical power of the leg; below 0 it brakes throughout
}

// Demands lists what every leg asks for as commanded. A rest asks for nothing
// once it stands; a step is worth its torque only. The error is a
// *loadcases.LegError when the duty cannot be commanded.
func Demands(c *loadcases.Case) ([]Demand, error) {
	plan, err := c.Plan()
	if err != nil {
		return nil, err
	}
	out := make([]Demand, len(c.Legs))
	for i := range out {
		out[i] = Demand{Leg: c.Legs[i].Name, Kind: c.Legs[i].Kind, Steady: math.NaN(), Power: math.Inf(-1)}
	}
	for i := range plan.Phases {
		p := &plan.Phases[i]
		out[p.Leg].meet(c, p, plan.LegStart[p.Leg])
	}
	for i := range out {
		if math.IsInf(out[i].Power, 0) {
			out[i].Power = 0
		}
	}
	return out, nil
}

// demandParts is how finely a phase is looked through.
const demandParts = 24

func (d *Demand) meet(c *loadcases.Case, p *loadcases.Phase, start float64) {
	leg := &c.Legs[p.Leg]
	if p.Kind == loadcases.Instant {
		if climbs, ok := c.Mechanism.(loadcases.Climbing); ok && leg.StepHeight > 0 {
			torque, _, _, _ := climbs.Step(leg)
			d.see(torque, 0)
			d.Steady = torque
		}
		return
	}
	if p.Kind == loadcases.Resting {
		return
	}
	k := c.Mechanism.ShaftSpeed(leg)
	for j := range demandParts + 1 {
		t := p.Duration * float64(j) / demandParts
		m := loadcases.Motion{Position: p.Position + p.Speed*t + p.Acceleration*t*t/2, Speed: p.Speed + p.Acceleration*t,
			Acceleration: p.Acceleration, Direction: p.Direction, Time: p.Start + t - start}
		torque := c.Mechanism.Held(leg, m.Position)
		if p.Kind == loadcases.Moving {
			torque = c.Mechanism.Torque(leg, m)
		}
		way := 1.0
		if p.Direction < 0 {
			way = -1
		}
		d.see(torque*way, math.Abs(m.Speed)*k)
		if p.Steady && j == demandParts {
			d.Steady, d.Speed = torque*way, math.Abs(m.Speed)*k
		}
	}
}

func (d *Demand) see(torque, speed float64) {
	switch x, y := math.Abs(torque), math.Abs(d.Worst); {
	case x > y*(1+1e-9), x >= y*(1-1e-9) && speed > d.At:
		d.Worst, d.At = torque, speed
	}
	d.Power = math.Max(d.Power, torque*speed)
}
