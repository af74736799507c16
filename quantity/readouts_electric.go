package quantity

// Amperes gives A.
func (i Current) Amperes() float64 { return float64(i) }

// Milliamperes gives mA.
func (i Current) Milliamperes() float64 { return float64(i) * 1e3 }

// Volts gives V.
func (v Voltage) Volts() float64 { return float64(v) }

// Ohms gives Ω.
func (r Resistance) Ohms() float64 { return float64(r) }

// Milliohms gives mΩ.
func (r Resistance) Milliohms() float64 { return float64(r) * 1e3 }

// Millihenries gives mH.
func (l Inductance) Millihenries() float64 { return float64(l) * 1e3 }

// Microfarads gives µF.
func (c Capacitance) Microfarads() float64 { return float64(c) * 1e6 }

// Watts gives W.
func (p Power) Watts() float64 { return float64(p) }

// Horsepower gives mechanical hp, 550 ft·lbf/s.
func (p Power) Horsepower() float64 { return float64(p / Horsepower) }

// Joules gives J.
func (e Energy) Joules() float64 { return float64(e) }

// WattHours gives Wh.
func (e Energy) WattHours() float64 { return float64(e / WattHour) }

// Coulombs gives A·s.
func (q Charge) Coulombs() float64 { return float64(q) }

// AmpereHours gives Ah.
func (q Charge) AmpereHours() float64 { return float64(q / AmpereHour) }

// Hertz gives Hz.
func (f Frequency) Hertz() float64 { return float64(f) }

// Celsius gives °C.
func (t Temperature) Celsius() float64 { return float64(t) }

// Kelvin gives K above absolute zero.
func (t Temperature) Kelvin() float64 { return float64(t) - absoluteZeroC }

// Fahrenheit gives °F.
func (t Temperature) Fahrenheit() float64 { return float64(t)*9/5 + 32 }

// Above gives how far t lies above another temperature.
func (t Temperature) Above(base Temperature) TemperatureRise {
	return TemperatureRise(t - base)
}

// Plus gives the temperature a rise above t.
func (t Temperature) Plus(rise TemperatureRise) Temperature {
	return t + Temperature(rise)
}

// Kelvins gives K.
func (r TemperatureRise) Kelvins() float64 { return float64(r) }

// NewtonMetresPerAmpere gives N·m/A, the same number as V·s/rad.
func (k MotorConstant) NewtonMetresPerAmpere() float64 { return float64(k) }

// OunceInchesPerAmpere gives oz·in/A.
func (k MotorConstant) OunceInchesPerAmpere() float64 { return float64(k / OunceInchPerAmpere) }

// RPMPerVolt gives the speed constant 1/k in rpm per volt; k zero gives +Inf.
func (k MotorConstant) RPMPerVolt() float64 { return float64(k.SpeedConstant() / RPMPerVolt) }

// SpeedConstant gives 1/k in rad/s per volt; k zero gives +Inf.
func (k MotorConstant) SpeedConstant() SpeedConstant { return SpeedConstant(1 / k) }

// MotorConstant gives 1/kv in V·s/rad; zero gives +Inf.
func (s SpeedConstant) MotorConstant() MotorConstant { return MotorConstant(1 / s) }

// RPMPerVolt gives rpm/V.
func (s SpeedConstant) RPMPerVolt() float64 { return float64(s / RPMPerVolt) }

// Percent gives the fraction in %.
func (f Fraction) Percent() float64 { return float64(f) * 100 }
