package quantity

import "strings"

// Kind names what a figure is, beyond its dimension: a torque is not an
// energy, an incline is not just an angle. It selects the table of spellings.
type Kind uint8

// The kinds a cell or a key can have.
const (
	KindLength Kind = iota
	KindArea
	KindMass
	KindTime
	KindSpeed
	KindAcceleration
	KindForce
	KindTorque
	KindAngle
	KindAngularSpeed
	KindAngularAcceleration
	KindInertia
	KindTorsionRate
	KindCurrent
	KindVoltage
	KindResistance
	KindInductance
	KindCapacitance
	KindPower
	KindEnergy
	KindCharge
	KindFrequency
	KindTemperature
	KindTemperatureRise
	KindThermalResistance
	KindHeatCapacity
	KindMotorConstant
	KindRatio
	KindFraction
	KindMoney
	KindIncline        // an angle, also written as a grade: 14 %, 1:20
	KindSpeedConstant  // rad/s per volt
	KindTorqueConstant // N·m per ampere; spelled like KindMotorConstant
	KindFriction       // a coefficient: plain number or %

	kindCount
)

// kindFace is how a kind shows itself in messages.
type kindFace struct {
	name, si, units string
}

func (k Kind) face() kindFace {
	switch k {
	case KindLength:
		return kindFace{"length", "m", "mm, cm, m, in, ft"}
	case KindArea:
		return kindFace{"area", "m²", "m², cm², mm², in², ft²"}
	case KindMass:
		return kindFace{"mass", "kg", "kg, g, lb, oz, t"}
	case KindTime:
		return kindFace{"time", "s", "s, ms, µs, min, h"}
	case KindSpeed:
		return kindFace{"speed", "m/s", "m/s, mm/s, cm/s, km/h, ft/s, ft/min, in/s, mph"}
	case KindAcceleration:
		return kindFace{"acceleration", "m/s²", "m/s², mm/s², ft/s², in/s², g"}
	case KindForce:
		return kindFace{"force", "N", "N, kN, mN, kgf, gf, lbf, ozf"}
	case KindTorque:
		return kindFace{"torque", "N·m", "N·m, N·cm, mN·m, kg·cm, g·cm, oz·in, lb·in, lb·ft"}
	case KindAngle:
		return kindFace{"angle", "rad", "deg, °, rad, turn, rev"}
	case KindAngularSpeed:
		return kindFace{"angular speed", "rad/s", "rpm, rev/s, rad/s, deg/s"}
	case KindAngularAcceleration:
		return kindFace{"angular acceleration", "rad/s²", "rad/s², deg/s², rev/s², rpm/s"}
	case KindInertia:
		return kindFace{"inertia", "kg·m²", "kg·m², kg·cm², g·cm², oz·in², lb·in², lb·ft²"}
	case KindTorsionRate:
		return kindFace{"torsion rate", "N·m/rad", "N·m/rad, N·m/deg, kg·cm/deg, oz·in/deg, lb·in/deg"}
	default:
		return k.electricFace()
	}
}

func (k Kind) electricFace() kindFace {
	switch k {
	case KindCurrent:
		return kindFace{"current", "A", "A, mA"}
	case KindVoltage:
		return kindFace{"voltage", "V", "V, mV"}
	case KindResistance:
		return kindFace{"resistance", "Ω", "Ω, mΩ, ohm, mohm"}
	case KindInductance:
		return kindFace{"inductance", "H", "mH, µH, H"}
	case KindCapacitance:
		return kindFace{"capacitance", "F", "µF, mF, F, nF"}
	case KindPower:
		return kindFace{"power", "W", "W, kW, mW, hp"}
	case KindEnergy:
		return kindFace{"energy", "J", "J, kJ, Wh, kWh"}
	case KindCharge:
		return kindFace{"charge", "A·s", "Ah, mAh, C, A·s"}
	case KindFrequency:
		return kindFace{"frequency", "Hz", "Hz, kHz"}
	case KindMotorConstant:
		return kindFace{"motor constant", "N·m/A", "N·m/A, mN·m/A, oz·in/A, V·s/rad, V/krpm, mV/rpm"}
	case KindTorqueConstant:
		return kindFace{"torque constant", "N·m/A", "N·m/A, mN·m/A, oz·in/A, kg·cm/A, V·s/rad"}
	case KindSpeedConstant:
		return kindFace{"speed constant", "rad/s/V", "rpm/V, Kv, rad/s/V"}
	default:
		return k.otherFace()
	}
}

func (k Kind) otherFace() kindFace {
	switch k {
	case KindTemperature:
		return kindFace{"temperature", "°C", "°C, degC, K, °F"}
	case KindTemperatureRise:
		return kindFace{"temperature rise", "K", "K"}
	case KindThermalResistance:
		return kindFace{"thermal resistance", "K/W", "K/W, °C/W"}
	case KindHeatCapacity:
		return kindFace{"heat capacity", "J/K", "J/K, J/°C, kJ/K"}
	case KindRatio:
		return kindFace{"ratio", "1", "23.8:1, 1:120, 259/26, 23.8"}
	case KindFraction:
		return kindFace{"fraction", "1", "0.85, 85 %"}
	case KindFriction:
		return kindFace{"plain number", "1", "0.6, 60 %"}
	case KindMoney:
		return kindFace{"price", "", "12.50"}
	case KindIncline:
		return kindFace{"incline", "rad", "deg, °, rad, % (grade), 1:20"}
	default:
		return kindFace{"quantity", "", ""}
	}
}

// String gives the word messages use: "torque".
func (k Kind) String() string { return k.face().name }

// SIUnit gives the unit values of the kind are held in: "N·m"; "1" for pure
// numbers, "°C" for temperatures.
func (k Kind) SIUnit() string { return k.face().si }

// Units lists the accepted spellings worth telling a person, most usual first.
// The table reads many more (see Parse).
func (k Kind) Units() []string {
	if k.face().units == "" {
		return nil
	}
	return strings.Split(k.face().units, ", ")
}

// bareAllowed reports whether a plain number is the right way to write the kind.
func (k Kind) bareAllowed() bool {
	switch k {
	case KindRatio, KindFraction, KindFriction, KindMoney:
		return true
	default:
		return false
	}
}
