// Package loadcases reads a load case from YAML and turns it into commanded
// motion and the torque each motor's share of the machine asks for.
package loadcases

import "example.org/dray/quantity"

// Warning is a judgement of the request that travels with every result.
type Warning struct {
	Text string // plain words with the number
	Line int    // of the case file; 0 none
}

// Assumption is something the case left open and a convention filled.
type Assumption struct {
	What  string // "grip", "air temperature"
	Value string // with its unit
	Basis quantity.Basis
	Why   string
}

// Case is one load case, all quantities in SI.
type Case struct {
	File  string
	Title string
	Kind  string // wheels, arm, hoist, turntable, belt, screw, shaft

	Mechanism Mechanism
	Motors    int // n, sharing the load equally
	Stages    []Stage
	Air       quantity.Figure[quantity.Temperature]

	Legs          []Leg
	OperatingTime quantity.Time // 0: repeats without end
	Pause         quantity.Time // 0: none

	Supply Supply
	Wants  Wants
	Prefer Prefer

	Catalogs Catalogs

	Assumptions []Assumption
	Warnings    []Warning
	Tolerances  []Tolerance
}

// Stage is one further stage (belt, chain, open gears) between gear motor and load.
type Stage struct {
	ID          string // "x1.5" or "14x40", part of the candidate id; shell-safe
	Ratio       float64
	Efficiency  float64
	Basis       quantity.Basis // of the efficiency
	DriverTeeth int            // 0 when given by ratio
	DrivenTeeth int
}

// Catalogs names the files, relative paths already joined to the case's folder.
type Catalogs struct {
	Motors      []string
	GearTrains  []string
	Batteries   []string
	Controllers []string
	Columns     map[string]string
}

// Supply is everything between pack and motor that the case gives.
type Supply struct {
	Batteries           []string // ids; empty means any
	PacksSeries         int      // ≥ 1
	PacksParallel       int      // ≥ 1
	Health              float64  // 0…1, scales capacity
	HealthBasis         quantity.Basis
	PackResistance      quantity.Figure[quantity.Resistance] // from a two-point test in the case, one pack
	Adapter             *Adapter                             // in place of batteries
	Controllers         []string                             // ids; empty means any
	MotorsPerController int                                  // per channel, p
	Fuse                *Fuse
	Connector           *Connector
	SupplyLead          *Lead
	MotorLead           *Lead
	ElectronicsCurrent  quantity.Current
	ElectronicsMin      quantity.Figure[quantity.Voltage]
	Capacitance         quantity.Figure[quantity.Capacitance] // on the bus, for returned energy
}

// Adapter is a mains or bench supply in place of a pack. It absorbs nothing.
type Adapter struct {
	Voltage     quantity.Voltage
	Current     quantity.Current
	Beyond      string // holds, hiccups, trips
	Capacitance quantity.Figure[quantity.Capacitance]
}

// Fuse is a blade fuse by its type letter.
type Fuse struct {
	Rating quantity.Current
	Type   string // F, C or E
}

// Connector has its class current and no credit beyond it.
type Connector struct{ Rating quantity.Current }

// Lead is a pair of wires; Length is one way.
type Lead struct {
	Gauge    quantity.Gauge
	Length   quantity.Length
	Bundle   int // conductors in the bundle; 0 or 1 alone
	AsListed string
}

// Wants are the user's limits; an unknown figure leaves the check out.
type Wants struct {
	Runtime           quantity.Figure[quantity.Time]
	Reserve           float64 // state of charge kept, default 0
	SpeedTolerance    float64 // default 0.05
	VoltageDrop       float64 // share of nominal, default 0.05
	StaysPut          bool
	JamProtected      bool
	GearServiceFactor float64                               // default 1
	HousingLimit      quantity.Figure[quantity.Temperature] // default 60 °C touch, assumed
}

// Prefer are the ranking weights, default 1 each.
type Prefer struct{ ThermalMargin, Current, Runtime float64 }

// Tolerance is a spread stated in the case for one input.
type Tolerance struct {
	Input string         // dotted path of the key, e.g. "mechanism.wheels.mass"
	Value float64        // nominal, SI
	Plus  float64        // SI, half width
	Basis quantity.Basis // stated by the user, or assumed with a preset
}

// LegKind says what a leg does.
type LegKind uint8

// The kinds of leg.
const (
	SpeedLeg LegKind = iota
	MoveLeg
	HoldLeg
	RestLeg
	StepLeg // an obstacle of zero duration
)

// Leg is one leg of the duty, as commanded.
type Leg struct {
	Name string
	Line int
	Kind LegKind

	Speed                                   float64 // commanded, signed; m/s, or rad/s where the mechanism turns
	Distance                                float64 // net, positive along the leg's speed; 0 when timed
	For                                     float64 // s; 0 when the leg ends on distance
	Acceleration                            float64 // positive; 0 = a step without inertia torque (shaft only)
	Incline                                 float64 // rad, positive uphill in the direction of travel
	InclineText                             string  // as written, with the other unit: "9° = 15.8 %"
	Payload                                 float64 // kg carried in this leg
	From, To                                float64 // of a move
	In                                      float64 // s, of a move
	RampShare                               float64 // share of a move's time in each ramp: 1/3, or 1/2 for triangular
	Pivot                                   bool    // Speed is a yaw rate
	StepHeight                              float64 // m
	Torque                                  float64 // N·m, shaft legs
	Sense                                   float64 // ±1: sign of the leg's commanded speed, or of the last moving leg
	FromOpen                                bool    // a move whose From was left out: it starts where the machine stands
	Relative                                bool    // a move given by its length: To = From + By
	By                                      float64 // of a Relative move, signed
	OwnPayload, OwnAcceleration, OwnIncline bool    // stated in the leg itself, not taken over

	Log bool // the leg replays the samples of Shaft.Log
}

// Motion is an instant of the machine's motion in the leg's own unit
// (m or rad), together with the sense of motion used where Speed is 0.
type Motion struct {
	Position, Speed, Acceleration float64
	Direction                     float64 // ±1
	Time                          float64 // s since the leg's start; only a recorded log reads it
}

// Mechanism turns motion into torque. All torques are per motor, at the shaft
// the drive turns (the load shaft), positive when they resist positive motion.
type Mechanism interface {
	// ShaftSpeed returns the load-shaft angular speed per unit of the leg's
	// motion: rad/m or rad/rad. It does not depend on the state.
	ShaftSpeed(leg *Leg) float64
	// Torque at the load shaft with the load's inertia, in N·m per motor.
	Torque(leg *Leg, m Motion) float64
	// Held is the torque that keeps the machine still at a position; no
	// friction helps.
	Held(leg *Leg, position float64) float64
	// Turning reports whether motion is an angle (rad) rather than a length (m).
	Turning() bool
	// PositionDependent reports whether torque varies with position, or with
	// the square of speed, so that a phase must be sampled finely.
	Varies() bool
}

// Gripping is a mechanism that moves by traction.
type Gripping interface {
	// Grip returns the traction needed and the traction there is, in N for
	// the whole machine; ok is false when the case gives no friction.
	Grip(leg *Leg, m Motion) (needed, limit float64, ok bool)
	// GripFootnote is empty, or says that weight transfer was left out.
	GripFootnote() string
}

// Bearing is a mechanism that loads the output shaft sideways.
type Bearing interface {
	// Radial returns the radial load on one output shaft in N.
	Radial(leg *Leg, m Motion) (newton float64, ok bool)
}

// Climbing is a mechanism that meets steps of zero duration.
type Climbing interface {
	// Step returns the torque per motor at the load shaft, and the traction
	// needed and available in N, for a leg with a StepHeight.
	Step(leg *Leg) (torque, needed, limit float64, gripKnown bool)
}

// Breakaway is a mechanism whose friction is larger at the first instant.
type Breakaway interface {
	// Start returns the torque at the instant motion starts, N·m per motor.
	Start(leg *Leg, m Motion) float64
}

// PhaseKind says how a phase is powered.
type PhaseKind uint8

// The kinds of phase.
const (
	Moving  PhaseKind = iota // under power, speed Speed + Acceleration·t
	Holding                  // under power, still
	Resting                  // unpowered, still
	Instant                  // zero duration: a step or a breakaway
)

// Phase is a piece of commanded motion with constant acceleration.
type Phase struct {
	Leg          int // index into Case.Legs: whose incline and payload apply
	Kind         PhaseKind
	Start        float64 // s from the start of the cycle
	Duration     float64 // s
	Position     float64 // at the start, m or rad
	Speed        float64 // at the start
	Acceleration float64
	Direction    float64 // ±1
	Ramp         bool    // a speed change, not the steady part
	Steady       bool    // the leg's steady state is taken at this phase's end
	Jump         bool    // speed arrived here by a step (shaft without acceleration)
}

// Plan is one commanded cycle. The first leg inherits the last leg's speed.
type Plan struct {
	Phases   []Phase
	Duration float64   // s, one cycle
	LegStart []float64 // s, per leg
	LegTime  []float64 // s, per leg
	Reached  []float64 // speed reached by command at each leg's end
}
