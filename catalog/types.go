// Package catalog reads motors, gear trains, batteries and controllers from
// CSV files as they really look, and derives each motor's constants with the
// basis on which each one stands.
package catalog

import "example.org/dray/quantity"

// Finding is something noticed while reading: a fault, a doubt or a note.
type Finding struct {
	File     string
	Line     int    // 1-based; 0 when the finding is about the whole file
	Column   int    // 1-based character column in the line; 0 unknown
	Severity Level  // Note, Warning, Impossible, Fault
	ID       string // row id, when the finding belongs to a row
	Field    string // column name, when it belongs to a cell
	Read     string // what was read
	Want     string // what would be right
	Text     string // the whole sentence, lower case start, no full stop
	Source   string // the line of the file as it stands, for the caret; may be empty
}

// Level orders findings.
type Level uint8

// Levels of a finding.
const (
	Note       Level = iota // a reading worth telling (kg/cm taken as a product)
	Warning                 // doubtful data; the row is used
	Impossible              // the row contradicts physics; it makes no candidate
	Fault                   // the file cannot be used; exit 2
)

// Catalog is what the files of a case hold.
type Catalog struct {
	Motors      []Motor
	GearTrains  []GearTrain
	Batteries   []Battery
	Controllers []Controller
	Findings    []Finding // notes, warnings and impossible rows, in file order
}

// Motor is one motor at one ratio, its constants at the motor shaft at
// ReferenceTemperature. A row with a list of ratios makes several.
type Motor struct {
	ID   string // row id, with "@N" behind it when the row lists several ratios
	Row  string // row id as written
	File string
	Line int

	NominalVoltage quantity.Figure[quantity.Voltage]

	// Constants at the motor shaft.
	Resistance    quantity.Figure[quantity.Resistance]
	Constant      quantity.Figure[quantity.MotorConstant]
	NoLoadCurrent quantity.Figure[quantity.Current]
	RotorInertia  quantity.Figure[quantity.Inertia] // unknown counts as 0, with a footnote
	Inductance    quantity.Figure[quantity.Inductance]
	Magnet        quantity.Figure[quantity.Fraction] // reversible flux change per kelvin, e.g. -0.0020 for ferrite
	ReferenceTemp quantity.Temperature               // 25 unless the row says otherwise

	// The gear train built into the row. Bare motors have Ratio 1 and Bare true.
	Bare           bool
	Ratio          quantity.Figure[quantity.Ratio]
	GearEfficiency quantity.Figure[quantity.Fraction] // forward, already min(1, inferred)
	BackEfficiency quantity.Figure[quantity.Fraction] // signed, 2 − 1/η by the model's rule
	SelfLocking    bool                               // only when the basis allows saying so
	GearKind       string

	// As listed at the output, for the tables and the report; zero basis unknown.
	NoLoadSpeed  quantity.Figure[quantity.AngularSpeed] // at the output shaft
	StallTorque  quantity.Figure[quantity.Torque]       // at the output shaft
	StallCurrent quantity.Figure[quantity.Current]
	RatedTorque  quantity.Figure[quantity.Torque] // at the output shaft
	RatedSpeed   quantity.Figure[quantity.AngularSpeed]
	RatedCurrent quantity.Figure[quantity.Current]

	// Limits of the gear train in the row (output side, input speed at the motor).
	TorqueContinuous quantity.Figure[quantity.Torque]
	TorquePeak       quantity.Figure[quantity.Torque]
	InputSpeedMax    quantity.Figure[quantity.AngularSpeed]
	RadialLoadMax    quantity.Figure[quantity.Force]

	Diameter, Length quantity.Figure[quantity.Length]
	Mass             quantity.Figure[quantity.Mass]

	// Thermal data with basis: listed, derived or estimated; unknown stays unknown.
	WindingToHousing   quantity.Figure[quantity.ThermalResistance]
	HousingToAir       quantity.Figure[quantity.ThermalResistance]
	WindingCapacity    quantity.Figure[quantity.HeatCapacity]
	HousingCapacity    quantity.Figure[quantity.HeatCapacity]
	WindingLimit       quantity.Figure[quantity.Temperature]
	GrossStallQuotient float64 // Ts/(N·k·Is); NaN when it cannot be formed

	Price quantity.Figure[quantity.Money]
}

// GearTrain is a gear train sold apart, for bare motors.
type GearTrain struct {
	ID                           string
	File                         string
	Line                         int
	Kind                         string // planetary, spur, worm, screw or empty
	Ratio                        quantity.Figure[quantity.Ratio]
	Stages                       int
	Efficiency                   quantity.Figure[quantity.Fraction]
	BackEfficiency               quantity.Figure[quantity.Fraction] // signed
	SelfLocking                  bool
	TorqueContinuous, TorquePeak quantity.Figure[quantity.Torque]
	InputSpeedMax                quantity.Figure[quantity.AngularSpeed]
	RadialLoadMax                quantity.Figure[quantity.Force]
	Inertia                      quantity.Figure[quantity.Inertia] // at the motor shaft
	Mass                         quantity.Figure[quantity.Mass]
	Fits                         []string // motor row ids; empty means any
	Price                        quantity.Figure[quantity.Money]
}

// OCVPoint is one point of an open-circuit-voltage curve of a whole pack.
type OCVPoint struct {
	Charge  float64 // state of charge 0…1
	Voltage quantity.Voltage
}

// Battery is one pack of the catalog, before packs are put in series or parallel.
type Battery struct {
	ID             string
	File           string
	Line           int
	Chemistry      string // nimh, lead_acid, li_ion, lifepo4
	Cells          int    // in series
	NominalVoltage quantity.Figure[quantity.Voltage]
	Capacity       quantity.Figure[quantity.Charge]
	RatedHours     quantity.Figure[quantity.Time]
	Resistance     quantity.Figure[quantity.Resistance]
	DischargeMax   quantity.Figure[quantity.Current] // continuous
	DischargePeak  quantity.Figure[quantity.Current]
	PeakTime       quantity.Figure[quantity.Time]
	ChargeMax      quantity.Figure[quantity.Current]
	CutOff         quantity.Figure[quantity.Voltage] // pack terminals
	FullVoltage    quantity.Figure[quantity.Voltage] // full-charge voltage used for limits
	Peukert        quantity.Figure[quantity.Fraction]
	OCV            []OCVPoint // rising in charge, from 0 to 1
	OCVBasis       quantity.Basis
	Mass           quantity.Figure[quantity.Mass]
	Price          quantity.Figure[quantity.Money]
}

// Controller is one motor controller; currents are per channel.
type Controller struct {
	ID                string
	File              string
	Line              int
	Channels          int
	CurrentContinuous quantity.Figure[quantity.Current]
	CurrentPeak       quantity.Figure[quantity.Current]
	PeakTime          quantity.Figure[quantity.Time]    // 1 s assumed when blank
	CurrentLimit      quantity.Figure[quantity.Current] // motor side; unknown = none
	VoltageMin        quantity.Figure[quantity.Voltage]
	VoltageMax        quantity.Figure[quantity.Voltage]
	OnResistance      quantity.Figure[quantity.Resistance]
	VoltageDrop       quantity.Figure[quantity.Voltage]
	DutyMax           quantity.Figure[quantity.Fraction]
	IdleCurrent       quantity.Figure[quantity.Current]
	PWMFrequency      quantity.Figure[quantity.Frequency]
	Regeneration      bool
	RegenerationBasis quantity.Basis // assumed when blank
	PulseMin          quantity.Figure[quantity.Time]
	PulseMax          quantity.Figure[quantity.Time]
	Price             quantity.Figure[quantity.Money]
}

// CSV is the content of one file with the name that messages print.
type CSV struct {
	Name string
	Data []byte
}

// Files are the catalogs of a case, already read: this room opens no files.
type Files struct {
	Motors      []CSV
	GearTrains  []CSV
	Batteries   []CSV
	Controllers []CSV
	// OCV tables named in a battery's ocv cell, by that name; Read asks for
	// them through Open so that paths stay the caller's business.
	Open func(name string) ([]byte, error)
	// Columns renames the user's headings to ours: theirs → ours.
	Columns map[string]string
}
