package loadcases

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Figures beyond which a request is more likely a slip than a wish. All are
// conventions of this program.
const (
	gripLike     = 0.35   // Crr; tyres roll far below, they grip above
	wideWheel    = 2.0    // m, diameter of wheel, drum or pulley
	tinyWheel    = 0.003  // m
	fastGround   = 20.0   // m/s, 72 km/h
	fastShaft    = 1000.0 // rad/s at the load shaft, about 10 000 rpm
	heavySmall   = 50.0   // W per kg moved
	steepGround  = 30.0   // degrees
	closedEnough = 1e-6   // m or rad
	degree       = math.Pi / 180
)

// Judge looks at the request itself, before any catalog: what is zero that
// cannot be, what is so large that another unit was meant, what no tyre can
// grip. Read has called it already.
func (c *Case) Judge() []Warning {
	var j judge
	j.c = c
	j.mechanism()
	for i := range c.Legs {
		j.leg(&c.Legs[i])
	}
	j.order()
	if plan, err := c.Plan(); err == nil {
		j.grip(plan)
		j.closure(plan)
		j.power(plan)
	}
	return j.list
}

type judge struct {
	c    *Case
	list []Warning
	told map[string]bool
}

// say adds a warning once per text.
func (j *judge) say(line int, format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if j.told[text] {
		return
	}
	if j.told == nil {
		j.told = map[string]bool{}
	}
	j.told[text] = true
	j.list = append(j.list, Warning{Text: text, Line: line})
}

func (j *judge) mechanism() {
	switch m := j.c.Mechanism.(type) {
	case *Wheels:
		j.mass(m.Mass, "machine")
		j.round("wheel", m.Radius)
		if m.RollingResistance > gripLike {
			j.say(0, "rolling resistance %.3g looks like tyre grip: the share of the weight that rolling costs lies below %.2g on any firm ground; grip goes into grip: friction", m.RollingResistance, gripLike)
		}
		switch turns := slices.ContainsFunc(j.c.Legs, func(l Leg) bool { return l.Pivot }); {
		case turns:
		case m.Tracks:
			j.say(0, "tracks and no turn on the spot in the duty: the turn is often the sizing case (turn: pivot)")
		case m.Motors >= 4:
			j.say(0, "%d driven wheels and no turn on the spot in the duty: if they cannot be steered, the turn is often the sizing case (turn: pivot)", m.Motors)
		}
	case *Hoist:
		j.mass(m.Mass+j.heaviest(), "load")
		j.round("drum", m.Radius)
	case *Belt:
		j.mass(m.Mass+j.heaviest(), "load")
		j.round("pulley", m.Radius)
	case *Arm:
		leg := Leg{Payload: j.heaviest()}
		if m.inertia(&leg) == 0 {
			j.say(0, "the arm has no inertia: give mass and radius, or inertia, or every move is free")
		}
		if m.Radius > 5 || m.ArmRadius > 5 {
			j.say(0, "an arm of %.3g m: did you mean cm?", max(m.Radius, m.ArmRadius))
		}
	case *Screw:
		if m.Lead > 0.2 {
			j.say(0, "a lead of %.3g m per turn: did you mean mm?", m.Lead)
		}
	case *Turntable:
		if m.Inertia == 0 {
			j.say(0, "the turntable has no inertia: every start is free")
		}
	}
}

func (j *judge) heaviest() float64 {
	most := 0.0
	for i := range j.c.Legs {
		most = max(most, j.c.Legs[i].Payload)
	}
	return most
}

func (j *judge) mass(own float64, what string) {
	switch {
	case own > 0:
	case j.heaviest() > 0:
		j.say(0, "the %s's own mass is 0 and only the payload counts: frame, motors and pack weigh something too", what)
	default:
		j.say(0, "the %s's mass is 0: nothing is moved", what)
	}
}

func (j *judge) round(what string, radius float64) {
	switch {
	case 2*radius > wideWheel:
		j.say(0, "a %s of %.3g m diameter: did you mean %.3g cm?", what, 2*radius, 2*radius)
	case 2*radius < tinyWheel:
		j.say(0, "a %s of %.3g mm diameter: did you mean %.3g cm?", what, 2000*radius, 2000*radius)
	}
}

func (j *judge) leg(leg *Leg) {
	shaft := math.Abs(leg.Speed) * j.c.Mechanism.ShaftSpeed(leg)
	turning := j.c.Mechanism.Turning() || leg.Pivot
	switch {
	case leg.Kind != SpeedLeg || leg.Log:
	case !turning && math.Abs(leg.Speed) > fastGround*(1-1e-9):
		v := math.Abs(leg.Speed)
		j.say(leg.Line, "leg %s goes at %.3g m/s, that is %.3g km/h: do you mean %.3g m/s?", quote(leg.Name), v, v*3.6, v/10)
	case shaft > fastShaft:
		j.say(leg.Line, "leg %s turns the load shaft at %.3g rpm: check speed and radius", quote(leg.Name), shaft*30/math.Pi)
	}
	if _, wheels := j.c.Mechanism.(*Wheels); wheels && math.Abs(leg.Incline) > steepGround*degree*(1+1e-9) {
		j.say(leg.Line, "leg %s has an incline of %s: steeper than any road or ramp", quote(leg.Name), leg.InclineText)
	}
	if leg.Kind == SpeedLeg && !leg.Log && leg.Torque*leg.Speed < 0 {
		j.say(leg.Line, "leg %s has a torque of %.3g N·m against a speed of the other sign: the load drives the motor; a resisting torque has the sign of the speed", quote(leg.Name), leg.Torque)
	}
	if s, ok := j.c.Mechanism.(*Shaft); ok && s.Inertia > 0 && leg.Kind == SpeedLeg && leg.Acceleration == 0 && !leg.Log {
		j.say(leg.Line, "leg %s has no acceleration: its speed steps, and the inertia given is left out of the torque", quote(leg.Name))
	}
}

// order looks at neighbours: reversals without rest, the last leg's included.
func (j *judge) order() {
	before, moving := -1, false
	visit := func(i int) {
		leg := &j.c.Legs[i]
		switch {
		case leg.Kind == StepLeg:
			return
		case leg.Kind != SpeedLeg || leg.Log:
			moving = false
			return
		}
		if moving && j.c.Legs[before].Speed*leg.Speed < 0 {
			j.say(leg.Line, "leg %s reverses out of leg %s without a rest or hold between them: the current of a reversal is larger than that of a start", quote(leg.Name), quote(j.c.Legs[before].Name))
		}
		before, moving = i, true
	}
	for round := 0; round < 2; round++ {
		for i := range j.c.Legs {
			visit(i)
		}
	}
}

// grip reports the worst leg whose traction needed exceeds what there is.
func (j *judge) grip(plan Plan) {
	g, ok := j.c.Mechanism.(*Wheels)
	if !ok {
		return
	}
	worst, leg, need, have := 1.0, -1, 0.0, 0.0
	meet := func(i int, needed, limit float64) {
		if ratio := needed / max(limit, 1e-9); ratio > worst*(1+1e-9) {
			worst, leg, need, have = ratio, i, needed, limit
		}
	}
	for _, p := range plan.Phases {
		l := &j.c.Legs[p.Leg]
		if p.Kind == Instant && l.Kind == StepLeg {
			if _, needed, limit, known := g.Step(l); known {
				meet(p.Leg, needed, limit)
			}
			continue
		}
		for _, m := range ends(p) {
			if needed, limit, known := g.Grip(l, m); known && p.Kind == Moving {
				meet(p.Leg, needed, limit)
			}
		}
	}
	if leg < 0 {
		return
	}
	would := fmt.Sprintf("%.3g would do", g.GripFriction*need/max(have, 1e-9))
	if have <= 0 {
		would = "the driven wheels carry nothing"
	}
	j.say(j.c.Legs[leg].Line, "leg %s needs %.3g N of traction and there is %.3g N: the wheels slip; a friction of %.3g is given, %s", quote(j.c.Legs[leg].Name), need, have, g.GripFriction, would)
}

// ends are the motion at both ends of a phase.
func ends(p Phase) [2]Motion {
	m := Motion{Position: p.Position, Speed: p.Speed, Acceleration: p.Acceleration, Direction: p.Direction}
	z := m
	z.Position += p.Speed*p.Duration + p.Acceleration*p.Duration*p.Duration/2
	z.Speed += p.Acceleration * p.Duration
	return [2]Motion{m, z}
}

// closure reports a cycle that ends elsewhere than it began, where that
// cannot go on for ever.
func (j *judge) closure(plan Plan) {
	first, last := plan.Phases[0], plan.Phases[len(plan.Phases)-1]
	gained := ends(last)[1].Position - first.Position
	climbed, gross, steps := 0.0, 0.0, false
	for _, p := range plan.Phases {
		leg := &j.c.Legs[p.Leg]
		rise := sense(leg) * math.Sin(leg.Incline) * (ends(p)[1].Position - p.Position) * flat(leg)
		climbed, gross = climbed+rise, gross+math.Abs(rise)
		steps = steps || leg.Kind == StepLeg
	}
	switch m := j.c.Mechanism.(type) {
	case *Wheels:
		if math.Abs(climbed) > max(0.01, gross/4) && !steps {
			j.say(0, "each cycle ends %.3g m %s than it began: no ground goes on like that", math.Abs(climbed), higher(climbed))
		}
	case *Arm:
		j.open(gained/degree, gained, "deg")
	case *Hoist, *Screw:
		j.open(gained, gained, "m")
	case *Turntable:
		if turns := gained / (2 * math.Pi); m.Varies() && math.Abs(turns-math.Round(turns)) > closedEnough {
			j.open(gained/degree, gained, "deg")
		}
	}
}

func flat(leg *Leg) float64 {
	if leg.Pivot {
		return 0
	}
	return 1
}

func higher(climbed float64) string {
	if climbed > 0 {
		return "higher"
	}
	return "lower"
}

func (j *judge) open(shown, gained float64, unit string) {
	if math.Abs(gained) > closedEnough {
		j.say(0, "the cycle does not close: it ends %.3g %s from where it began, and the next one is computed as if it had gone back", math.Abs(shown), unit)
	}
}

// power reports a demand that nothing of the machine's mass can give, in watts
// and in watts per kilogram.
func (j *judge) power(plan Plan) {
	watt, name := j.c.peak(plan)
	mass := j.c.movedMass()
	if mass <= 0 || watt/mass < heavySmall {
		return
	}
	j.say(0, "leg %s asks for %.3g W of mechanical power for %.3g kg, %.3g W/kg: check speed and acceleration", quote(name), watt, mass, watt/mass)
}

// movedMass is the mass the machine moves with its heaviest payload, kg; 0
// where the mechanism has none.
func (c *Case) movedMass() float64 {
	load := 0.0
	for i := range c.Legs {
		load = max(load, c.Legs[i].Payload)
	}
	switch m := c.Mechanism.(type) {
	case *Wheels:
		return m.Mass + load
	case *Arm:
		return m.Mass + m.ArmMass + load
	case *Hoist:
		return m.Mass + load
	case *Belt:
		return m.Mass + load
	case *Screw:
		return m.Mass + load
	}
	return 0
}

// PeakPower is the largest mechanical power the load takes at the load shaft,
// all motors together, in W, and the name of the leg that takes it; 0 when the
// duty cannot be commanded or only gives power back.
func (c *Case) PeakPower() (watt float64, leg string) {
	plan, err := c.Plan()
	if err != nil {
		return 0, ""
	}
	return c.peak(plan)
}

// peakSamples is how finely a phase is looked at where torque varies in it.
const peakSamples = 32

func (c *Case) peak(plan Plan) (watt float64, name string) {
	for _, p := range plan.Phases {
		if p.Kind != Moving {
			continue
		}
		leg := &c.Legs[p.Leg]
		count := 1
		if c.Mechanism.Varies() {
			count = peakSamples
		}
		for i := 0; i <= count; i++ {
			m := p.at(p.Duration*float64(i)/float64(count), plan.LegStart[p.Leg])
			power := c.Mechanism.Torque(leg, m) * m.Speed * c.Mechanism.ShaftSpeed(leg) * float64(max(1, c.Motors))
			if power > watt {
				watt, name = power, leg.Name
			}
		}
	}
	return watt, name
}

// at is the commanded motion a time after the phase's start.
func (p *Phase) at(t, legStart float64) Motion {
	return Motion{
		Position: p.Position + p.Speed*t + p.Acceleration*t*t/2, Speed: p.Speed + p.Acceleration*t,
		Acceleration: p.Acceleration, Direction: p.Direction, Time: p.Start + t - legStart,
	}
}

// JudgeSupply warns where the load's peak mechanical power exceeds what the
// supply could ever give: watt is E²/(4·Rt) of a pack at full charge, or V·I of
// an adapter, less nothing. Zero or less says nothing is known.
func (c *Case) JudgeSupply(watt float64) []Warning {
	need, name := c.PeakPower()
	if watt <= 0 || need <= watt {
		return nil
	}
	text := []string{
		fmt.Sprintf("leg %s asks for %.3g W of mechanical power and the supply can never give more than %.3g W: impossible with any motor", quote(name), need, watt),
		fmt.Sprintf("the ways out: at most %.2g of the speed, or a load and incline that take as much less, or a supply of more than %.3g W", watt/need, need),
	}
	return []Warning{{Text: strings.Join(text, "; "), Line: c.lineOf(name)}}
}

func (c *Case) lineOf(name string) int {
	for i := range c.Legs {
		if c.Legs[i].Name == name {
			return c.Legs[i].Line
		}
	}
	return 0
}
