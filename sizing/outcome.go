// Package sizing is the engine: it takes a load case and a catalog, builds
// every candidate, marches its duty, finds its temperatures, checks every
// rating along the current path and orders the field.
//
// It knows no files, no network and no clock. All numbers are SI float64
// named with their unit where they leave a function; NaN means unknown.
package sizing

import (
	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/quantity"
)

// Verdict of a check or a candidate, from best to worst.
type Verdict uint8

// Verdicts. A candidate's verdict is its worst check's.
const (
	Holds Verdict = iota
	Tight
	Uncertain // printed "unknown"
	Fails
)

// String gives the word used in tables and JSON.
func (v Verdict) String() string {
	return [...]string{"holds", "tight", "unknown", "fails"}[v]
}

// CheckName is one of the checks, in the order they are reported and in which
// the first failure is named.
type CheckName uint8

// The checks, in order.
const (
	CheckSpeed CheckName = iota
	CheckGrip
	CheckWinding
	CheckHousing
	CheckMotorVoltage
	CheckGearContinuous
	CheckGearPeak
	CheckGearInputSpeed
	CheckRadial
	CheckControllerCurrent
	CheckControllerVoltage
	CheckBatteryCurrent
	CheckFuse
	CheckJam
	CheckStart
	CheckReversal
	CheckConnector
	CheckLead
	CheckVoltageDrop
	CheckBrownOut
	CheckRegeneration
	CheckStaysPut
	CheckRuntime
	CheckRuleOfThumb
	checkCount
)

// String gives the check's name as outside readers know it.
func (n CheckName) String() string {
	return [...]string{"speed", "grip", "winding temperature", "housing temperature", "motor voltage",
		"gear torque continuous", "gear torque peak", "gear input speed", "radial load",
		"controller current", "controller voltage", "battery current", "fuse opening", "jam protection",
		"start current", "reversal current", "connector current", "lead current", "voltage drop",
		"brown-out", "regeneration voltage", "stays put", "runtime", "rule of thumb"}[n]
}

// Check is one rating held against its limit. Value and Limit are in Unit
// (A V W N N·m rad/s m/s degC s h 1); NaN where there is none.
type Check struct {
	Name    CheckName
	Value   float64
	Limit   float64
	Unit    string
	Margin  float64 // share of the limit left; negative fails; NaN unknown
	Verdict Verdict
	At      float64 // s into the duty cycle, the moment of the value; NaN none
	Basis   quantity.Basis
	Leg     int     // leg of the moment; −1 none
	Window  float64 // s, of an envelope check; NaN none
	Which   string  // element or part meant, when the name covers several
	Extra   float64 // a further number the sentence needs; NaN none
	Soft    bool    // tight at worst: it rejects no candidate

	show quantity.Display // of the sentence; SI unless SentenceIn says otherwise
}

// Pick is one candidate's parts. Train, Stage, Battery may be nil.
type Pick struct {
	Motor      *catalog.Motor
	Train      *catalog.GearTrain
	Stage      *loadcases.Stage
	Battery    *catalog.Battery
	Controller *catalog.Controller
}

// State is an instant of the drive, per motor, output = the gear train's output shaft.
type State struct {
	At             float64 // s into the cycle
	OutputSpeed    float64 // rad/s
	OutputTorque   float64 // N·m
	MotorTorque    float64 // N·m at the motor shaft
	MotorSpeed     float64 // rad/s
	MotorCurrent   float64 // A
	MotorVoltage   float64 // V at the motor terminals
	Command        float64 // signed duty −1…1 of the controller
	PulseSeconds   float64 // width of the servo pulse for that command
	BusVoltage     float64 // V
	BatteryCurrent float64 // A, negative charges
	WindingTemp    float64 // °C, NaN unknown
	HousingTemp    float64 // °C, NaN unknown
}

// LegResult is one leg as driven, at half charge in the hottest cycle.
type LegResult struct {
	Name      string
	Start     float64 // s
	Duration  float64 // s, actual
	Commanded float64 // s, commanded
	Steady    State
	Peak      State
	Reached   float64 // mechanism's speed at the end, m/s or rad/s
	Wanted    float64 // commanded speed at the end
	Shortfall float64 // missing share; 0 when followed
	Asked     float64 // N·m at the gear output that the commanded steady motion asks for
	LimitedBy string  // voltage, current limit, supply, grip; empty when followed
	Abandoned bool    // longer than ten times its commanded time
}

// Element is one element of the current path against its withstand curve.
type Element struct {
	Name        string    // motor, controller, battery, fuse, connector, supply lead, motor lead
	Duty        []float64 // A rms, E(w) of the windows
	Stands      []float64 // A, C(w); nil when no rating is known
	Utilisation float64   // NaN without a rating
	WorstWindow float64   // s
	ByMemory    bool      // the worst is the element's memory of earlier load
	Sentence    string
}

// Envelope is the current–time picture of the duty.
type Envelope struct {
	Windows  []float64 // s
	Elements []Element
}

// Inrush is a stepped command at full charge: current per motor and the bus then.
type Inrush struct {
	Current        float64 // A per motor
	BusVoltage     float64 // V
	BatteryCurrent float64 // A from the pack then
	BusAtReserve   float64 // V, the same at reserve charge
	TamedByRamp    float64 // s, ramp 0…100 % that keeps it within the controller's peak; NaN none needed or none enough
	TamedByLimit   float64 // A per motor, limit that would
	Free           float64 // A per motor if no controller limited it
	TorqueLeft     float64 // share of the free torque at standstill that the limit leaves; NaN when nothing limits
	Takes          float64 // s to the heaviest leg's speed with the current so limited; +Inf never; NaN no inertia known
	Leg            string  // that leg
	SlipsAt        float64 // A per motor at which the driven wheels slip on the level; NaN unknown
	Shorted        float64 // A per motor with the motor shorted at that speed; 0 at rest
	AfterDeadTime  float64 // A per motor of a reversal after the firmware's dead time, shorted; NaN none
	BusAfterDead   float64 // V then
	FuseUsed       float64 // share of the fuse's shortest opening time that the run-up uses, untamed; NaN no fuse
	BrownOut       bool    // the electronics lose their voltage then, at full or at reserve charge
	Sentence       string
}

// JamEvent is one thing that gives up after the output is held.
type JamEvent struct {
	After float64 // s
	What  string
}

// Jam is what follows after all outputs are held at full charge and full command.
type Jam struct {
	Current        float64 // A per motor
	BatteryCurrent float64 // A
	BusVoltage     float64 // V
	GearTorque     float64 // N·m at the gear output
	OpenLoop       float64 // A per motor at the duty's largest command, were no speed loop to raise it
	Adiabatic      float64 // s until the winding is at its limit if no heat left it; +Inf never; NaN unknown
	Events         []JamEvent
	Protected      bool
	Judged         bool // false when heat data are missing
	Single         *Jam // one motor jammed alone; nil when n = 1
	Why            string
	Protects       []string // who protects whom, a sentence for each part
	Notes          []string
}

// Firmware is the sheet of limits that follow from the pick; NaN none.
type Firmware struct {
	CurrentLimit  float64 // A per motor
	TripTime      float64 // s at the current limit
	Ramp          float64 // s from 0 to 100 %
	DeadTime      float64 // s between reversals
	CutOffVoltage float64 // V at the pack
	CommandCap    float64 // share of full command
	Notes         []string
	Legs          []LegCommand
}

// LegCommand is the command that holds a leg's steady state at half charge.
type LegCommand struct {
	Name    string
	Command float64 // −1…1
	Pulse   float64 // s, NaN without a pulse range
}

// Part is one line of the bill.
type Part struct {
	Role  string // motor, gear train, battery, controller
	ID    string
	Count int
	Price float64 // each, NaN unknown
	Mass  float64 // kg each, NaN unknown
}

// Candidate is one answer: a pick and everything known about it.
type Candidate struct {
	Pick
	ID         string
	Rank       int
	Ratio      float64 // of the gear train, motor turns per output turn
	StageRatio float64 // of the further stage; 1 without
	TotalRatio float64

	Verdict      Verdict
	FirstFailure int // CheckName, −1 none
	Dominated    bool
	Score        float64 // 0…1 in the first group; NaN otherwise
	Price        float64 // NaN unknown
	Mass         float64 // kg, NaN unknown
	Parts        []Part

	ThermalMargin  float64 // NaN unknown
	WindingPeak    float64 // °C
	WindingMean    float64
	HousingPeak    float64
	ThermalRunaway bool
	ThermalBasis   quantity.Basis

	MotorCurrentRMS, MotorCurrentPeak                         float64 // A per motor, over one duty cycle
	BatteryCurrentMean, BatteryCurrentRMS, BatteryCurrentPeak float64
	BusVoltageMin                                             float64 // at reserve charge
	Runtime                                                   float64 // h; +Inf never ends
	RuntimeEndsBy                                             string  // reserve, cut_off, ability, never; "" with an adapter

	CycleTime float64 // s, as driven
	Legs      []LegResult
	Checks    []Check
	Footnotes []string

	// Filled by Check (one candidate in full), nil after Rank.
	Detail *Detail
}

// Detail is what `check` shows beyond `rank`.
type Detail struct {
	Envelope Envelope
	Start    Inrush
	Reversal Inrush
	Jam      Jam
	Firmware Firmware
	Trace    []State  // the hottest cycle, for the figures
	HeldLoad float64  // N·m at the load shaft per motor that a brake or latch must hold; 0 none
	Reasons  *Reasons // why it is rejected and what would save it; nil when it is not, or nobody asked

	Pivot    *Pivot // nil when nothing turns on the spot and nothing is known of how it would
	Source   Source
	Losses   []Loss // along the chain, the largest first
	LossNote string
	Leads    *LeadEffect // nil when no lead is given
	Fuse     []FuseBand  // nil without a fuse
	Ripple   RippleBand
	Choice   *ControllerChoice // of the field; nil from a Judge
}

// Field is the whole answer of rank.
type Field struct {
	Title      string
	Case       *loadcases.Case
	Warnings   []string // of the request
	Footnotes  []string
	Weights    loadcases.Prefer
	Candidates []Candidate
}
