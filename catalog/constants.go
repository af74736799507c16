package catalog

import (
	"fmt"
	"math"

	"example.org/dray/quantity"
)

// listing is what one motor row says at one ratio, in SI. Speeds and torques
// stand at the shaft they were measured at.
type listing struct {
	bare       bool
	output     bool    // measured at the output shaft
	ratio      float64 // 1 for a bare motor
	gearKind   string
	stages     int
	tempRef    float64 // °C
	voltage    quantity.Figure[quantity.Voltage]
	speed      quantity.Figure[quantity.AngularSpeed]
	current    quantity.Figure[quantity.Current]
	torque     quantity.Figure[quantity.Torque] // at stall
	stall      quantity.Figure[quantity.Current]
	resistance quantity.Figure[quantity.Resistance]
	torqueK    quantity.Figure[quantity.MotorConstant]
	speedK     quantity.Figure[float64] // rad/s per volt
	efficiency quantity.Figure[quantity.Fraction]

	ratedTorque  quantity.Figure[quantity.Torque]
	ratedSpeed   quantity.Figure[quantity.AngularSpeed]
	ratedCurrent quantity.Figure[quantity.Current]
}

// remark is a finding about a row, before it has a place.
type remark struct {
	level Level
	field string
	text  string
}

// constants are those of the model at the motor shaft.
type constants struct {
	resistance quantity.Figure[quantity.Resistance]
	k          quantity.Figure[quantity.MotorConstant]
	current    quantity.Figure[quantity.Current]
	stall      quantity.Figure[quantity.Current]
	efficiency quantity.Figure[quantity.Fraction]
	gross      float64 // Ts/(N·k·Is); NaN when it cannot be formed
	remarks    []remark
	clash      string // why a fit was refused; empty when none was
}

// turns is the ratio between the motor shaft and the shaft of the listing.
func (l *listing) turns() float64 {
	if l.output {
		return l.ratio
	}
	return 1
}

// derive finds the constants of a row:
//
//	R = V/Is    k = (V − I0·R)/(ω0·N)    η = Ts/(N·k·(Is − I0))
//
// Listed constants stand in where a basic figure is missing; a fit over all
// figures is made only when that is not enough. ok is false when the row
// leaves a constant open; missing then names it and what would give it.
func derive(l *listing) (c constants, missing string, ok bool) {
	c.gross = math.NaN()
	c.resistance, c.stall = deriveResistance(l)
	c.current = l.current
	c.k = deriveConstant(l, c.resistance)
	c.deriveNoLoad(l)
	if !c.resistance.Known() || !c.k.Known() || !c.current.Known() {
		if !fit(l, &c) {
			return c, c.missing(l), false
		}
	}
	c.trainEfficiency(l)
	c.judgeRow(l)
	return c, "", true
}

func deriveResistance(l *listing) (r quantity.Figure[quantity.Resistance], stall quantity.Figure[quantity.Current]) {
	stall = l.stall
	switch {
	case l.voltage.Known() && l.stall.Known():
		r = quantity.Figure[quantity.Resistance]{Value: quantity.Resistance(float64(l.voltage.Value) / float64(l.stall.Value)),
			Basis: quantity.Derived, Note: "nominal voltage over stall current"}
	case l.resistance.Known():
		r = l.resistance
		if l.voltage.Known() {
			stall = quantity.Figure[quantity.Current]{Value: quantity.Current(float64(l.voltage.Value) / float64(r.Value)),
				Basis: quantity.Derived, Note: "nominal voltage over listed resistance"}
		}
	}
	return r, stall
}

func deriveConstant(l *listing, r quantity.Figure[quantity.Resistance]) quantity.Figure[quantity.MotorConstant] {
	switch {
	case l.voltage.Known() && l.speed.Known() && l.current.Known() && r.Known():
		k := (float64(l.voltage.Value) - float64(l.current.Value)*float64(r.Value)) / (float64(l.speed.Value) * l.turns())
		return quantity.Figure[quantity.MotorConstant]{Value: quantity.MotorConstant(k), Basis: quantity.Derived, Note: "no-load point: (V − I0·R)/ω0"}
	case l.torqueK.Known():
		return l.torqueK
	case l.speedK.Known():
		return quantity.Figure[quantity.MotorConstant]{Value: quantity.MotorConstant(1 / l.speedK.Value), Basis: quantity.Derived, Note: "one over the listed speed constant"}
	}
	return quantity.Figure[quantity.MotorConstant]{}
}

// deriveNoLoad finds I0 = (V − k·ω0)/R where a listed constant allows it.
func (c *constants) deriveNoLoad(l *listing) {
	if c.current.Known() || !c.resistance.Known() || !c.k.Known() || !l.speed.Known() || !l.voltage.Known() {
		return
	}
	i0 := (float64(l.voltage.Value) - float64(c.k.Value)*float64(l.speed.Value)*l.turns()) / float64(c.resistance.Value)
	if i0 >= 0 {
		c.current = quantity.Figure[quantity.Current]{Value: quantity.Current(i0), Basis: quantity.Derived, Note: "no-load point: (V − k·ω0)/R"}
	}
}

// missing names what the row lacks, in words for a person with the sheet.
func (c *constants) missing(l *listing) string {
	switch {
	case !c.resistance.Known():
		return "the winding resistance: needs stall_current, resistance, or rated_current with rated_speed"
	case !c.k.Known() && !l.current.Known():
		return "the motor constant: needs no_load_current with no_load_speed, torque_constant or speed_constant"
	case !c.k.Known():
		return "the motor constant: needs no_load_speed, torque_constant or speed_constant"
	default:
		return "the friction of the motor: needs no_load_current"
	}
}

// trainEfficiency takes the listed efficiency, else infers it from the stall
// torque, else estimates it from kind and stages.
func (c *constants) trainEfficiency(l *listing) {
	switch {
	case l.bare:
		c.efficiency = quantity.Figure[quantity.Fraction]{Value: 1, Basis: quantity.Listed, Note: "no gear train in the row"}
	case l.efficiency.Known():
		c.efficiency = l.efficiency
	case c.efficiency.Known(): // from the fit
		c.efficiency.Value = min(1, c.efficiency.Value)
	case l.torque.Known() && l.output && c.stall.Known() && c.stall.Value > c.current.Value:
		net := float64(l.torque.Value) / (l.ratio * float64(c.k.Value) * float64(c.stall.Value-c.current.Value))
		c.efficiency = quantity.Figure[quantity.Fraction]{Value: quantity.Fraction(min(1, net)), Basis: quantity.Derived, Note: "inferred from stall torque: Ts/(N·k·(Is − I0))"}
	default:
		c.efficiency = estimateEfficiency(l.gearKind, l.stages, l.ratio)
	}
}

// estimateEfficiency of a small gearhead: 0.81 a planetary stage, 0.90 a spur
// stage, 0.5 a worm, 0.4 a screw (common practice, no source).
func estimateEfficiency(kind string, stages int, ratio float64) quantity.Figure[quantity.Fraction] {
	estimate := func(v float64, note string) quantity.Figure[quantity.Fraction] {
		return quantity.Figure[quantity.Fraction]{Value: quantity.Fraction(v), Basis: quantity.Estimated, Note: note + " (common practice)"}
	}
	switch kind {
	case "worm":
		return estimate(0.5, "a worm")
	case "screw":
		return estimate(0.4, "a screw")
	}
	perStage, widest, word := 0.90, 4.0, "spur"
	if kind == "planetary" {
		perStage, widest, word = 0.81, 5.5, "planetary"
	}
	counted := ""
	if stages == 0 {
		stages, counted = estimateStages(ratio, widest), ", counted from the ratio"
	}
	if kind == "" {
		counted += ", kind not listed"
	}
	return estimate(math.Pow(perStage, float64(stages)), fmt.Sprintf("%d %s stages%s", stages, word, counted))
}

// estimateStages is the least number of stages of at most `widest` each.
func estimateStages(ratio, widest float64) int {
	if ratio < 1 {
		ratio = 1 / ratio
	}
	return max(1, int(math.Ceil(math.Log(ratio)/math.Log(widest)-1e-9)))
}

// backEfficiency is the signed 2 − 1/η of the model. From an efficiency that
// was only inferred or estimated it never falls below η = 0.6, and only a
// listed efficiency or a train declared worm or screw may be called self-locking.
func backEfficiency(forward quantity.Figure[quantity.Fraction], kind string) (back quantity.Figure[quantity.Fraction], locking bool) {
	declared := kind == "worm" || kind == "screw"
	v := float64(forward.Value)
	switch {
	case !forward.Known():
		return back, false
	case forward.Basis >= quantity.Listed, declared && forward.Basis == quantity.Derived:
		back = quantity.Figure[quantity.Fraction]{Value: quantity.Fraction(2 - 1/v), Basis: quantity.Derived, Note: "2 − 1/η"}
		return back, back.Value <= 1e-12
	case declared:
		return quantity.Figure[quantity.Fraction]{Value: quantity.Fraction(2 - 1/v), Basis: quantity.Assumed,
			Note: "2 − 1/η of an estimated η; not called self-locking"}, false
	}
	return quantity.Figure[quantity.Fraction]{Value: quantity.Fraction(2 - 1/max(v, 0.6)), Basis: quantity.Assumed,
		Note: "2 − 1/max(η, 0.6): the forward efficiency is not listed"}, false
}
