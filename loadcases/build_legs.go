package loadcases

import (
	"fmt"
	"math"
	"strings"

	"example.org/dray/quantity"
)

// duty builds the legs, also of a mechanism with faults, so that theirs are
// told in the same run.
func (b *builder) duty(top *section) {
	s := top.sub("duty")
	logged := top.sub("mechanism").sub(kindShaft).has("log")
	if s == nil && !logged {
		if !top.failed["duty"] {
			b.fault(top.at, "duty is missing in the case file", "duty: { acceleration: 0.5 m/s^2, legs: [ { speed: 1 m/s, distance: 5 m } ] }")
		}
		return
	}
	b.times(s)
	if logged {
		b.c.Legs = append(b.c.Legs, Leg{Name: "log", Line: top.sub("mechanism").sub(kindShaft).node("log").Line, Kind: SpeedLeg, Log: true})
		b.nodes = append(b.nodes, top.sub("mechanism").sub(kindShaft).node("log"))
	}
	if !logged && s.lacks("legs") {
		b.fault(s.at, "legs is missing in duty", "legs: [ { speed: 1 m/s, distance: 5 m } ]")
	}
	if !s.has("legs") {
		return
	}
	if len(s.values["legs"].items) == 0 && !logged {
		b.fault(s.node("legs"), "legs is an empty list", "- { speed: 1 m/s, distance: 5 m }")
	}
	if b.c.Mechanism == nil {
		return
	}
	d := legDefaults{acceleration: s.num("acceleration"), logged: logged}
	if s.failed["acceleration"] {
		d.acceleration = math.NaN() // given, and its fault is told
	}
	m := top.sub("mechanism").sub(b.c.Kind)
	d.payload, d.incline, d.inclineText = m.num("payload"), m.num("incline"), inclineText(m)
	for i, item := range s.values["legs"].items {
		b.nodes = append(b.nodes, item.at)
		b.c.Legs = append(b.c.Legs, b.leg(item, i, d))
	}
}

func (b *builder) times(s *section) {
	if s == nil {
		return
	}
	b.c.OperatingTime = quantity.Time(s.num("operating_time"))
	b.c.Pause = quantity.Time(s.num("pause"))
	if s.has("pause") && s.lacks("operating_time") {
		b.fault(s.keyNode("pause"), "a pause follows an operating time, and none is given", "operating_time: 3 h")
	}
}

// legDefaults is what a leg takes from duty and mechanism.
type legDefaults struct {
	acceleration, payload, incline float64
	inclineText                    string
	logged                         bool
}

// inclineText is the incline as written, with the other unit.
func inclineText(s *section) string {
	if !s.has("incline") {
		return ""
	}
	written, rad := s.text("incline"), s.num("incline")
	if strings.ContainsAny(written, "%:") || strings.Contains(written, " in ") {
		return fmt.Sprintf("%s = %.3g°", written, rad*180/math.Pi)
	}
	return fmt.Sprintf("%.4g° = %.3g %%", rad*180/math.Pi, 100*math.Tan(rad))
}

// legKeys are the keys that make a leg what it is, and what each makes it.
func legKeys() []struct {
	key  string
	kind LegKind
} {
	return []struct {
		key  string
		kind LegKind
	}{
		{"speed", SpeedLeg}, {"to", MoveLeg}, {"by", MoveLeg}, {"from", MoveLeg}, {"in", MoveLeg},
		{"hold", HoldLeg}, {"rest", RestLeg}, {"step", StepLeg},
	}
}

func (b *builder) leg(s *section, i int, d legDefaults) Leg {
	leg := Leg{Name: s.text("name"), Line: s.at.Line, Acceleration: s.numOr("acceleration", d.acceleration),
		Incline: s.numOr("incline", d.incline), InclineText: d.inclineText, Payload: s.numOr("payload", d.payload), Torque: s.num("torque")}
	leg.OwnPayload, leg.OwnAcceleration, leg.OwnIncline = s.has("payload"), s.has("acceleration"), s.has("incline")
	if leg.Name == "" {
		leg.Name = fmt.Sprintf("leg %d", i+1)
	}
	if s.has("incline") {
		leg.InclineText = inclineText(s)
	}
	kind, ok := b.legKind(s)
	if !ok {
		return leg
	}
	leg.Kind = kind
	b.strayKeys(s, kind)
	switch kind {
	case SpeedLeg:
		b.speedLeg(s, &leg, d)
	case MoveLeg:
		b.moveLeg(s, &leg)
	case HoldLeg:
		leg.For = s.num("hold")
	case RestLeg:
		leg.For = s.num("rest")
	case StepLeg:
		b.stepLeg(s, &leg)
	}
	if d.logged && kind != RestLeg {
		b.fault(s.at, "a logged shaft follows its log, and only rests may stand beside it", "rest: 60 s")
	}
	return leg
}

// legKind finds what a leg is, refusing two kinds in one.
func (b *builder) legKind(s *section) (LegKind, bool) {
	found := ""
	var kind LegKind
	for _, k := range legKeys() {
		if !s.has(k.key) {
			continue
		}
		if found != "" && k.kind != kind {
			b.fault(s.keyNode(k.key), fmt.Sprintf("%s and %s are both given in one leg", found, k.key), "write two legs")
			return 0, false
		}
		if found == "" {
			found, kind = k.key, k.kind
		}
	}
	if found == "" {
		if s.lacks("speed", "to", "by", "from", "in", "hold", "rest", "step") && len(s.failed) == 0 {
			b.fault(s.at, "this leg does nothing", "speed with distance or for, to with in, rest, hold, or step")
		}
		return 0, false
	}
	return kind, true
}

// strayKeys refuses keys that mean nothing in a leg of the kind.
func (b *builder) strayKeys(s *section, kind LegKind) {
	allowed := map[LegKind]string{
		SpeedLeg: " distance for acceleration turn torque ",
		MoveLeg:  " profile ",
		HoldLeg:  " acceleration torque ",
		RestLeg:  " acceleration torque ",
		StepLeg:  " ",
	}
	what := map[LegKind]string{SpeedLeg: "a leg with a speed", MoveLeg: "a move", HoldLeg: "a hold", RestLeg: "a rest", StepLeg: "a step"}
	for _, key := range []string{"distance", "for", "acceleration", "turn", "profile", "torque"} {
		if s.has(key) && !strings.Contains(allowed[kind], " "+key+" ") {
			b.fault(s.keyNode(key), fmt.Sprintf("%s means nothing in %s", key, what[kind]), strayHint(key, kind))
		}
	}
}

func strayHint(key string, kind LegKind) string {
	switch {
	case key == "for" && kind == MoveLeg:
		return "the time of a move is in:"
	case key == "acceleration" && kind == MoveLeg:
		return "the acceleration of a move follows from its way, its time and its profile"
	case key == "distance" && kind == MoveLeg:
		return "the way of a move is by:"
	case key == "for":
		return "the time stands behind rest: or hold: itself"
	}
	return "remove it"
}

func (b *builder) speedLeg(s *section, leg *Leg, d legDefaults) {
	leg.Speed, leg.Distance, leg.For = s.num("speed"), s.num("distance"), s.num("for")
	leg.Pivot = s.has("turn")
	if leg.Speed == 0 {
		b.fault(s.node("speed"), "a leg with speed 0 goes nowhere", "rest: or hold: with a time")
	}
	switch {
	case s.has("distance") && s.has("for"):
		b.fault(s.keyNode("for"), "distance and for are both given", "keep one of the two: a leg ends on its way or on the clock")
	case s.lacks("distance", "for"):
		b.fault(s.at, "a leg with a speed needs a distance or a time", "distance: 5 m, or for: 10 s")
	}
	if leg.Pivot {
		b.pivot(s, leg)
	}
	if b.c.Kind == kindShaft {
		if s.lacks("torque") {
			b.fault(s.at, "torque is missing in this leg", "torque: 2 N·m")
		}
		return
	}
	if leg.Acceleration == 0 && s.lacks("acceleration") && d.acceleration == 0 {
		b.fault(s.at, "no acceleration is given, in this leg or in duty", "duty: { acceleration: 0.5 "+b.accelerationUnit()+" }")
	}
}

func (b *builder) accelerationUnit() string {
	if b.turning {
		return "rad/s^2"
	}
	return "m/s^2"
}

func (b *builder) pivot(s *section, leg *Leg) {
	w := b.c.Mechanism.(*Wheels)
	if w.Track == 0 || w.Wheelbase == 0 {
		b.fault(s.keyNode("turn"), "a pivot turn needs wheelbase and track of the wheels", "wheelbase: 500 mm, track: 450 mm")
		return
	}
	if w.ScrubFriction == 0 && !b.scrubSaid {
		b.scrubSaid = true
		b.warn(s.at, "a pivot turn without scrub: sideways sliding is counted as none, right only for two driven wheels and casters")
	}
	if s.has("incline") && s.num("incline") != 0 {
		b.fault(s.keyNode("incline"), "a pivot turn is computed on level ground", "leave the incline out of this leg")
	}
	if !s.has("acceleration") {
		leg.Acceleration = b.c.yawAcceleration(leg.Acceleration)
	}
}

func (b *builder) moveLeg(s *section, leg *Leg) {
	leg.From, leg.To, leg.By, leg.In = s.num("from"), s.num("to"), s.num("by"), s.num("in")
	leg.FromOpen, leg.Relative = !s.has("from"), s.has("by")
	leg.RampShare = 1.0 / 3
	if s.text("profile") == "triangular" {
		leg.RampShare = 0.5
	}
	switch {
	case s.has("to") && s.has("by"):
		b.fault(s.keyNode("by"), "to and by are both given", "keep one of the two")
	case s.lacks("to", "by"):
		b.fault(s.at, "a move needs to or by", "to: 80 deg")
	}
	if s.lacks("in") {
		b.fault(s.at, "a move needs its time", "in: 2 s")
	}
	if b.c.Kind == kindShaft {
		b.fault(s.at, "a shaft is given by speeds and torques, not by moves", "torque: 2 N·m, speed: 60 rpm, for: 5 s")
	}
}

func (b *builder) stepLeg(s *section, leg *Leg) {
	leg.StepHeight = s.num("step")
	w, ok := b.c.Mechanism.(*Wheels)
	if !ok {
		return
	}
	if r := w.stepRadius(); leg.StepHeight >= r {
		b.fault(s.node("step"), fmt.Sprintf("a step of %.4g mm is met by a wheel of %.4g mm radius, and a wheel climbs only what is lower than its middle", leg.StepHeight*1e3, r*1e3), "a larger wheel, or a ramp")
	}
	if !b.stepSaid && w.StepShare == 0 && w.DrivenShare == 0 {
		b.stepSaid = true
		b.assume("weight on the axle that meets a step", "50 %", quantity.Assumed, "no share is given in obstacle or grip")
	}
}
