package loadcases

import (
	"math"
	"sync"

	"example.org/dray/quantity"
)

// form is how the value of a key is written.
type form uint8

const (
	formQuantity form = iota // one quantity of the entry's kind
	formWhole                // a whole number
	formText                 // free text on one line
	formYesNo                // yes or no
	formChoice               // one of the entry's words
	formNames                // any, one name or a list of names
	formPaths                // one path or a list of paths
	formRatios               // one ratio or a list
	formTeeth                // tooth counts: 14, [12, 14], 12-20, {from, to}
	formGauge                // wire size
	formSection              // keys of its own
	formSections             // a list of those
	formRenames              // text to text
)

// entry is one key of the case file. The tree of entries is the one table that
// the reader, the JSON Schema and the documentation are made from.
type entry struct {
	name     string
	form     form
	kind     quantity.Kind
	turn     quantity.Kind // the kind where the mechanism turns
	turns    bool          // turn is meaningful
	low      float64       // SI
	high     float64
	above    bool // low itself is refused
	most     int  // of a whole number
	required bool
	only     []string // mechanisms that know the key; nil all
	choices  []string
	fallback string // default, as a person would write it
	help     string
	children []entry
}

func q(name string, kind quantity.Kind, help string) entry {
	return entry{name: name, kind: kind, help: help, high: math.Inf(1)}
}

// along is a quantity of motion: its kind is turn where the mechanism turns.
func along(name string, kind, turn quantity.Kind, help string) entry {
	e := q(name, kind, help)
	e.turn, e.turns = turn, true
	return e
}

func text(name, help string) entry { return entry{name: name, form: formText, help: help} }

func whole(name, fallback string, most int, help string) entry {
	return entry{name: name, form: formWhole, fallback: fallback, most: most, help: help}
}

func choice(name, help string, words ...string) entry {
	return entry{name: name, form: formChoice, choices: words, help: help}
}

func group(name, help string, children ...entry) entry {
	return entry{name: name, form: formSection, help: help, children: children}
}

func (e entry) shaped(f form) entry     { e.form = f; return e }
func (e entry) need() entry             { e.required = true; return e }
func (e entry) or(text string) entry    { e.fallback = text; return e }
func (e entry) pos() entry              { e.above = true; return e }
func (e entry) signed() entry           { e.low = math.Inf(-1); return e }
func (e entry) share() entry            { e.high = 1; return e }
func (e entry) on(m ...string) entry    { e.only = m; return e }
func (e entry) upTo(high float64) entry { e.high = high; return e }

// slope bounds an incline to ±90°.
func (e entry) slope() entry { e.low, e.high = -math.Pi/2, math.Pi/2; return e }

// The kinds of mechanism, as the key under mechanism names them.
const (
	kindWheels    = "wheels"
	kindArm       = "arm"
	kindHoist     = "hoist"
	kindTurntable = "turntable"
	kindBelt      = "belt"
	kindScrew     = "screw"
	kindShaft     = "shaft"
)

// tree is the whole table; it never changes once built.
var tree = sync.OnceValue(func() []entry {
	return []entry{
		text("title", "what the case is called; the file's name without it"),
		group("mechanism", "exactly one of wheels, arm, hoist, turntable, belt, screw, shaft", mechanisms()...).need(),
		group("conditions", "what surrounds it",
			q("air", quantity.KindTemperature, "air temperature").or("25 degC").signed().upTo(200)),
		dutyTable(),
		supplyTable(),
		group("wants", "limits that a candidate must keep", wantsTable()...),
		group("prefer", "weights of the ranking; zero leaves a figure out",
			q("thermal_margin", quantity.KindFriction, "weight of the thermal margin").or("1"),
			q("current", quantity.KindFriction, "weight of the mean battery current").or("1"),
			q("runtime", quantity.KindFriction, "weight of the runtime").or("1")),
		group("catalogs", "CSV files, paths relative to the case file",
			text("motors", "motors").shaped(formPaths),
			text("gear_trains", "gear trains sold apart").shaped(formPaths),
			text("batteries", "batteries").shaped(formPaths),
			text("controllers", "controllers").shaped(formPaths),
			renames()),
		renames(),
	}
})

func renames() entry {
	return entry{name: "columns", form: formRenames, help: "catalog headings renamed: the file's own heading to the name used here"}
}

func wantsTable() []entry {
	return []entry{
		q("runtime", quantity.KindTime, "operating hours from a full pack").pos(),
		q("reserve", quantity.KindFraction, "state of charge kept").or("0 %").upTo(0.95),
		q("speed_tolerance", quantity.KindFraction, "share of the commanded speed that may be missing").or("5 %").pos().share(),
		q("voltage_drop", quantity.KindFraction, "share of the nominal voltage that leads may lose").or("5 %").pos().share(),
		text("stays_put", "whether it must stay where it is without power").shaped(formYesNo).or("no"),
		text("jam_protected", "whether a jam must be survived").shaped(formYesNo).or("no"),
		q("gear_service_factor", quantity.KindFriction, "gear torque is multiplied by it before it is compared").or("1").pos().upTo(10),
		q("housing_temperature", quantity.KindTemperature, "limit of the motor's housing").or("60 degC").signed().upTo(400),
	}
}

func dutyTable() entry {
	legs := entry{name: "legs", form: formSections, help: "what the machine does, in order, repeated", children: legTable()}
	return group("duty", "the commanded cycle",
		along("acceleration", quantity.KindAcceleration, quantity.KindAngularAcceleration, "of every leg that gives none itself").pos(),
		legs,
		q("operating_time", quantity.KindTime, "stop after this long; left out, the cycle repeats without end").pos(),
		q("pause", quantity.KindTime, "everything off and the pack recharged after the operating time").pos(),
	)
}

func legTable() []entry {
	return []entry{
		text("name", "what the leg is called").or("leg and its number"),
		along("speed", quantity.KindSpeed, quantity.KindAngularSpeed, "commanded speed, signed; a yaw rate in a pivot turn").signed(),
		along("distance", quantity.KindLength, quantity.KindAngle, "net way along the speed's sign, ramp counted in").pos(),
		q("for", quantity.KindTime, "time of a speed leg").pos(),
		along("acceleration", quantity.KindAcceleration, quantity.KindAngularAcceleration, "in place of the duty's").pos(),
		q("incline", quantity.KindIncline, "positive uphill in the direction of travel (wheels) or for positive speed (belt, screw)").slope().on(kindWheels, kindBelt, kindScrew),
		q("payload", quantity.KindMass, "carried in this leg, in place of the mechanism's payload").on(kindWheels, kindArm, kindHoist, kindBelt, kindScrew),
		along("from", quantity.KindLength, quantity.KindAngle, "where a move starts; left out, where the last leg ended").signed(),
		along("to", quantity.KindLength, quantity.KindAngle, "where a move ends").signed(),
		along("by", quantity.KindLength, quantity.KindAngle, "length of a move, signed, in place of to").signed(),
		q("in", quantity.KindTime, "time of a move").pos(),
		choice("profile", "speed over time of a move: a trapezoid of one third each, or a triangle", "trapezoid", "triangular").or("trapezoid"),
		q("rest", quantity.KindTime, "brake to a stop, then unpowered, for this long").pos(),
		q("hold", quantity.KindTime, "brake to a stop, then powered and still, for this long").pos(),
		choice("turn", "a turn on the spot", "pivot").on(kindWheels),
		q("step", quantity.KindLength, "height of an obstacle met at a standstill").pos().on(kindWheels),
		q("torque", quantity.KindTorque, "load torque; positive resists positive rotation").signed().on(kindShaft),
	}
}

func supplyTable() entry {
	lead := []entry{
		{name: "gauge", form: formGauge, required: true, help: "14 AWG, or 2.5 mm^2"},
		q("length", quantity.KindLength, "one way").need(),
		whole("bundle", "1", 200, "current-carrying conductors bundled together"),
	}
	return group("supply", "everything between pack and motor",
		text("batteries", "ids from the catalog, or any").shaped(formNames).or("any"),
		group("packs", "packs joined",
			whole("series", "1", 100, "in series"),
			whole("parallel", "1", 100, "in parallel")),
		q("health", quantity.KindFraction, "capacity left, a pack is sized for its old age").or("80 %").pos().share(),
		group("battery_test", "resistance of one pack from two readings",
			q("open_voltage", quantity.KindVoltage, "at rest").need().pos(),
			q("loaded_voltage", quantity.KindVoltage, "under the current").need().pos(),
			q("current", quantity.KindCurrent, "drawn at the loaded voltage").need().pos()),
		group("adapter", "a mains or bench supply in place of batteries",
			q("voltage", quantity.KindVoltage, "output").need().pos(),
			q("current", quantity.KindCurrent, "rated output").need().pos(),
			choice("beyond", "what it does above its current", "holds", "hiccups", "trips").or("hiccups"),
			q("capacitance", quantity.KindCapacitance, "at its output").pos()),
		text("controllers", "ids from the catalog, or any").shaped(formNames).or("any"),
		whole("motors_per_controller", "1", 100, "motors in parallel on each channel"),
		group("fuse", "blade fuse in the supply lead",
			q("rating", quantity.KindCurrent, "as printed on it").need().pos(),
			choice("type", "F miniature, C, E high current", "F", "C", "E").or("F")),
		group("connector", "in the supply lead",
			q("rating", quantity.KindCurrent, "class current").need().pos()),
		group("leads", "wires, lengths one way",
			group("supply", "pack to controller", lead...),
			group("motor", "controller to each motor", lead...)),
		group("electronics", "what else the pack feeds",
			q("current", quantity.KindCurrent, "drawn all the time").or("0 A"),
			q("min_voltage", quantity.KindVoltage, "below this it resets").pos()),
		q("capacitance", quantity.KindCapacitance, "on the bus, takes up returned energy").pos(),
	)
}
