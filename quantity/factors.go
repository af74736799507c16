package quantity

import "math"

// Definitions every factor is built from. The international yard and pound
// agreement (1959) fixes the inch and the pound exactly; NIST SP 811, app. B,
// repeats them.
const (
	inchMetres    = 0.0254          // exact
	footMetres    = 12 * inchMetres // exact
	mileMetres    = 5280 * footMetres
	poundKilogram = 0.45359237 // exact, avoirdupois
	ounceKilogram = poundKilogram / 16
	poundNewton   = poundKilogram * StandardGravity
	ounceNewton   = ounceKilogram * StandardGravity
	horsepowerW   = 550 * footMetres * poundNewton // 550 ft·lbf/s
	metricHorseW  = 75 * StandardGravity           // 75 kgf·m/s
	degreeRadian  = math.Pi / 180
	turnRadian    = 2 * math.Pi
	rpmRadian     = turnRadian / 60 // rad/s
	absoluteZeroC = -273.15         // °C
)

// Unit constants: multiply a number by one to get the quantity, 15 * Degree.
const (
	Metre      Length = 1
	Centimetre Length = 0.01
	Millimetre Length = 0.001
	Inch       Length = inchMetres
	Foot       Length = footMetres

	SquareMetre      Area = 1
	SquareMillimetre Area = 1e-6

	Kilogram Mass = 1
	Gram     Mass = 0.001
	Pound    Mass = poundKilogram
	Ounce    Mass = ounceKilogram
	Tonne    Mass = 1000

	Second      Time = 1
	Millisecond Time = 1e-3
	Microsecond Time = 1e-6
	Minute      Time = 60
	Hour        Time = 3600

	MetrePerSecond   Speed = 1
	KilometrePerHour Speed = 1 / 3.6
	FootPerSecond    Speed = footMetres
	FootPerMinute    Speed = footMetres / 60
	MilePerHour      Speed = mileMetres / 3600

	MetrePerSecondSquared Acceleration = 1

	Newton        Force = 1
	KilogramForce Force = StandardGravity
	GramForce     Force = StandardGravity / 1000
	PoundForce    Force = poundNewton
	OunceForce    Force = ounceNewton

	NewtonMetre        Torque = 1
	NewtonCentimetre   Torque = 0.01
	MillinewtonMetre   Torque = 0.001
	KilogramCentimetre Torque = StandardGravity / 100 // kgf·cm
	GramCentimetre     Torque = StandardGravity / 1e5 // gf·cm
	OunceInch          Torque = ounceNewton * inchMetres
	PoundInch          Torque = poundNewton * inchMetres
	PoundFoot          Torque = poundNewton * footMetres

	Radian Angle = 1
	Degree Angle = degreeRadian
	Turn   Angle = turnRadian

	RadianPerSecond     AngularSpeed = 1
	RPM                 AngularSpeed = rpmRadian
	RevolutionPerSecond AngularSpeed = turnRadian
	DegreePerSecond     AngularSpeed = degreeRadian

	RadianPerSecondSquared AngularAcceleration = 1

	KilogramSquareMetre  Inertia = 1
	GramSquareCentimetre Inertia = 1e-7
	OunceSquareInch      Inertia = ounceKilogram * inchMetres * inchMetres
	PoundSquareInch      Inertia = poundKilogram * inchMetres * inchMetres
	PoundSquareFoot      Inertia = poundKilogram * footMetres * footMetres

	NewtonMetrePerRadian TorsionRate = 1
	NewtonMetrePerDegree TorsionRate = 1 / degreeRadian
)

// Unit constants of the electric, thermal and plain kinds.
const (
	Ampere      Current = 1
	Milliampere Current = 1e-3

	Volt      Voltage = 1
	Millivolt Voltage = 1e-3

	Ohm      Resistance = 1
	Milliohm Resistance = 1e-3

	Henry      Inductance = 1
	Millihenry Inductance = 1e-3
	Microhenry Inductance = 1e-6

	Farad      Capacitance = 1
	Microfarad Capacitance = 1e-6

	Watt       Power = 1
	Kilowatt   Power = 1000
	Horsepower Power = horsepowerW

	Joule        Energy = 1
	WattHour     Energy = 3600
	KilowattHour Energy = 3.6e6

	Coulomb         Charge = 1
	AmpereHour      Charge = 3600
	MilliampereHour Charge = 3.6

	Hertz     Frequency = 1
	Kilohertz Frequency = 1000

	DegreeCelsius Temperature     = 1
	Kelvin        TemperatureRise = 1

	KelvinPerWatt  ThermalResistance = 1
	JoulePerKelvin HeatCapacity      = 1

	NewtonMetrePerAmpere      MotorConstant = 1
	MillinewtonMetrePerAmpere MotorConstant = 1e-3
	OunceInchPerAmpere        MotorConstant = ounceNewton * inchMetres
	VoltSecondPerRadian       MotorConstant = 1
	VoltPerThousandRPM        MotorConstant = 1 / (1000 * rpmRadian)

	RPMPerVolt SpeedConstant = rpmRadian

	Percent Fraction = 0.01
)

// SpeedConstant is a motor's speed per volt at its shaft, in rad/s per V; the
// reciprocal of its MotorConstant.
type SpeedConstant float64
