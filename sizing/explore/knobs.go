package explore

import (
	"math"
	"slices"

	"example.org/dray/loadcases"
)

// The ends of the ranges in which headroom is sought.
const (
	payloadTimes  = 20          // of the machine's own mass and its largest payload
	steepest      = math.Pi / 3 // 60°; a duty steeper than that is searched to 90°
	speedTimes    = 10
	hardestTimes  = 20    // of the acceleration
	warmest       = 85.0  // °C
	coldest       = -20.0 // °C
	longestRests  = 100   // times the rests and holds
	shortestRests = 1e-9  // of the rests and holds: the duty never stands
)

// knob is one quantity of the duty that can be turned up or down. Its setting is
// a number of its own (kg added, a factor, °C) in which the search runs.
type knob struct {
	quantity string
	unit     string
	now      float64 // of the quantity, as the case stands
	setting  float64 // as the case stands
	up, down []float64
	reason   string // why the knob does not apply; empty where it does
	turn     func(c *loadcases.Case, setting float64)
	value    func(c *loadcases.Case, setting float64) float64 // of the quantity, c turned
}

// growing are the factors of a scan upwards, closer where things first give.
var growing = [...]float64{1.02, 1.05, 1.1, 1.17, 1.25, 1.35, 1.5, 1.7, 2, 2.5, 3.2, 4, 5, 6.5, 8, 10, 13, 16, 20, 30, 50, 80}

// shrinking are the factors of a scan downwards.
var shrinking = [...]float64{0.98, 0.95, 0.9, 0.85, 0.78, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2, 0.1, 0.05, 0.02, 0.01}

// upTo are the growing factors below an end, and the end.
func upTo(end float64) (f []float64) {
	for _, x := range growing {
		if x < end*(1-1e-9) {
			f = append(f, x)
		}
	}
	return append(f, end)
}

// knobsOf lists the six quantities of a case, in their fixed order.
func knobsOf(c *loadcases.Case, plan *loadcases.Plan) []knob {
	return []knob{payloadKnob(c), inclineKnob(c), speedKnob(c, plan), accelerationKnob(c, plan), airKnob(c), dutyKnob(plan, c)}
}

// payloadKnob: kilograms added to every leg, from nothing to 20 times the
// machine with what it carries; downwards to an empty machine.
func payloadKnob(c *loadcases.Case) knob {
	k := knob{quantity: "payload", unit: "kg",
		turn:  func(c *loadcases.Case, kg float64) { c.AddPayload(kg) },
		value: func(_ *loadcases.Case, kg float64) float64 { return kg }}
	if !c.Clone().AddPayload(0) {
		k.reason = article(c.Kind) + " carries no payload"
		return k
	}
	carried := 0.0
	for i := range c.Legs {
		carried = math.Max(carried, c.Legs[i].Payload)
	}
	total := ownMass(c) + carried
	if total <= 0 {
		total = 1
	}
	for _, x := range [...]float64{0.01, 0.03, 0.06, 0.1, 0.15, 0.22, 0.3, 0.4, 0.55, 0.75, 1, 1.4, 2, 3, 4.5, 7, 10, 14, payloadTimes} {
		k.up = append(k.up, x*total)
	}
	if carried > 0 {
		for _, x := range shrinking {
			k.down = append(k.down, (x-1)*carried)
		}
		k.down = append(k.down, -carried)
	}
	return k
}

// article names a mechanism with its article; wheels need none.
func article(kind string) string {
	switch kind {
	case "arm":
		return "an arm"
	case "wheels":
		return "wheels"
	}
	return "a " + kind
}

// ownMass is the mass the mechanism moves besides its payload, kg.
func ownMass(c *loadcases.Case) float64 {
	switch m := c.Mechanism.(type) {
	case *loadcases.Wheels:
		return m.Mass
	case *loadcases.Arm:
		return m.Mass + m.ArmMass
	case *loadcases.Hoist:
		return m.Mass
	case *loadcases.Belt:
		return m.Mass
	case *loadcases.Screw:
		return m.Mass
	}
	return 0
}

// inclineKnob scales all inclines together, or tilts a level duty.
func inclineKnob(c *loadcases.Case) knob {
	k := knob{quantity: "incline", unit: "rad"}
	if c.Level() {
		if !c.Clone().AddIncline(0) {
			k.reason = article(c.Kind) + " knows no incline"
			return k
		}
		k.turn = func(c *loadcases.Case, rad float64) { c.AddIncline(rad) }
		k.value = func(_ *loadcases.Case, rad float64) float64 { return rad }
		for _, deg := range [...]float64{0.25, 0.5, 1, 1.7, 2.5, 3.5, 5, 7, 9, 12, 16, 21, 27, 35, 46, 60} {
			k.up = append(k.up, deg*math.Pi/180)
		}
		return k
	}
	for i := range c.Legs {
		k.now = math.Max(k.now, math.Abs(c.Legs[i].Incline))
	}
	now, end := k.now, steepest
	if now >= end*(1-1e-9) {
		end = math.Pi / 2
	}
	k.setting = 1
	k.turn = func(c *loadcases.Case, f float64) { c.ScaleIncline(f) }
	k.value = func(_ *loadcases.Case, f float64) float64 { return math.Min(math.Pi/2, f*now) }
	if end > now {
		k.up = upTo(end / now)
	}
	k.down = append(slices.Clone(shrinking[:]), 0)
	return k
}

// speedKnob scales every commanded speed; a move takes the less time.
func speedKnob(c *loadcases.Case, plan *loadcases.Plan) knob {
	k := knob{quantity: "speed", unit: "m/s", setting: 1, up: upTo(speedTimes), down: shrinking[:],
		turn: func(c *loadcases.Case, f float64) { c.ScaleSpeed(f) }}
	fastest, turning, logged := fastestOf(c, plan)
	if logged {
		k.reason = "a recorded log is replayed as it was"
		return k
	}
	if turning {
		k.unit = "rad/s"
	}
	k.now = fastest
	k.value = func(_ *loadcases.Case, f float64) float64 { return f * fastest }
	return k
}

// fastestOf is the largest commanded speed: along the ground where any leg goes
// along it, else the rate of turning. Speed legs count by what they command, moves
// by the speed of their middle part.
func fastestOf(c *loadcases.Case, plan *loadcases.Plan) (speed float64, turning, logged bool) {
	var along, turn float64
	for i := range c.Legs {
		leg := &c.Legs[i]
		logged = logged || leg.Log
		v := math.Abs(leg.Speed)
		if leg.Kind == loadcases.MoveLeg {
			v = 0
			for _, p := range plan.Phases {
				if p.Leg == i {
					v = math.Max(v, math.Max(math.Abs(p.Speed), math.Abs(p.Speed+p.Acceleration*p.Duration)))
				}
			}
		}
		if leg.Pivot {
			turn = math.Max(turn, v)
		} else {
			along = math.Max(along, v)
		}
	}
	if along == 0 && turn > 0 {
		return turn, true, logged
	}
	return along, c.Mechanism.Turning(), logged
}

// accelerationKnob scales every acceleration; a move takes the less time.
func accelerationKnob(c *loadcases.Case, plan *loadcases.Plan) knob {
	k := knob{quantity: "acceleration", unit: "m/s^2", setting: 1, up: upTo(hardestTimes), down: shrinking[:],
		turn: func(c *loadcases.Case, f float64) { c.ScaleAcceleration(f) }}
	var along, turn float64
	for _, p := range plan.Phases {
		leg := &c.Legs[p.Leg]
		if leg.Log {
			k.reason = "a recorded log is replayed as it was"
			return k
		}
		if a := math.Abs(p.Acceleration); leg.Pivot {
			turn = math.Max(turn, a)
		} else {
			along = math.Max(along, a)
		}
	}
	k.now = along
	if along == 0 {
		k.now = turn
	}
	if k.now == 0 {
		k.reason = "the duty changes speed without an acceleration"
		return k
	}
	if c.Mechanism.Turning() || along == 0 {
		k.unit = "rad/s^2"
	}
	now := k.now
	k.value = func(_ *loadcases.Case, f float64) float64 { return f * now }
	return k
}

// airKnob sets the air temperature.
func airKnob(c *loadcases.Case) knob {
	now := float64(c.Air.Value)
	k := knob{quantity: "air", unit: "degC", now: now, setting: now,
		turn:  func(c *loadcases.Case, t float64) { c.SetAir(t) },
		value: func(_ *loadcases.Case, t float64) float64 { return t }}
	for _, d := range [...]float64{1, 3, 6, 10, 15, 21, 28, 36, 45, 55, 65, 80} {
		if now+d < warmest {
			k.up = append(k.up, now+d)
		}
		if now-d > coldest {
			k.down = append(k.down, now-d)
		}
	}
	if now < warmest {
		k.up = append(k.up, warmest)
	}
	if now > coldest {
		k.down = append(k.down, coldest)
	}
	return k
}

// dutyKnob scales the time of every rest and hold; what it shows is the share of
// the cycle in motion, braking counted in.
func dutyKnob(plan *loadcases.Plan, c *loadcases.Case) knob {
	k := knob{quantity: "duty_share", unit: "1", setting: 1, now: movingShare(plan),
		turn: func(c *loadcases.Case, f float64) { c.ScaleRests(f) },
		value: func(c *loadcases.Case, _ float64) float64 {
			p, err := c.Plan()
			if err != nil {
				return math.NaN()
			}
			return movingShare(&p)
		}}
	if !slices.ContainsFunc(c.Legs, func(l loadcases.Leg) bool { return l.Kind == loadcases.RestLeg || l.Kind == loadcases.HoldLeg }) {
		k.reason = "the duty has no rest and no hold"
		return k
	}
	for _, f := range [...]float64{0.98, 0.95, 0.9, 0.83, 0.75, 0.65, 0.55, 0.45, 0.35, 0.25, 0.15, 0.08, 0.03, 0.01, shortestRests} {
		k.up = append(k.up, f)
	}
	k.down = upTo(longestRests)
	return k
}

// movingShare is the time in motion over the time of the cycle.
func movingShare(p *loadcases.Plan) float64 {
	moving := 0.0
	for _, ph := range p.Phases {
		if ph.Kind == loadcases.Moving {
			moving += ph.Duration
		}
	}
	if p.Duration <= 0 {
		return 1
	}
	return moving / p.Duration
}
