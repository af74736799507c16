// Package quantity holds the typed SI quantities every other room works with,
// and the one table of spellings by which a person may write them.
//
// A kind is more than a dimension: a torque is not an energy and a
// temperature difference is not a temperature, so a wrong call does not
// compile. Values are float64 in SI; temperatures are in degrees Celsius.
package quantity

// The kinds. Each is a plain float64 in the unit named beside it.
type (
	Length              float64 // m
	Area                float64 // m²
	Mass                float64 // kg
	Time                float64 // s
	Speed               float64 // m/s
	Acceleration        float64 // m/s²
	Force               float64 // N
	Torque              float64 // N·m
	Angle               float64 // rad
	AngularSpeed        float64 // rad/s
	AngularAcceleration float64 // rad/s²
	Inertia             float64 // kg·m²
	TorsionRate         float64 // N·m/rad
	Current             float64 // A
	Voltage             float64 // V
	Resistance          float64 // Ω
	Inductance          float64 // H
	Capacitance         float64 // F
	Power               float64 // W
	Energy              float64 // J
	Charge              float64 // A·s (coulomb)
	Frequency           float64 // Hz
	Temperature         float64 // °C
	TemperatureRise     float64 // K
	ThermalResistance   float64 // K/W
	HeatCapacity        float64 // J/K
	MotorConstant       float64 // N·m/A = V·s/rad
	Ratio               float64 // turns in per turn out
	Fraction            float64 // 1 (written as a number or in %)
	Money               float64 // in the catalog's own currency
)

// Standard values the model fixes.
const (
	StandardGravity = 9.80665 // m/s², CGPM 1901
	AirDensity      = 1.2     // kg/m³, the model's convention
)
