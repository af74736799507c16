package quantity

func spellElectric(k Kind, s *speller) {
	switch k {
	case KindCurrent:
		s.add("A", 1, "a amp amps ampere amperes adc")
		s.addMilli("mA", 1e-3, "ma milliamp milliamps milliampere milliamperes")
		s.add("µA", 1e-6, "ua microamp microamps")
	case KindVoltage:
		s.add("V", 1, "v volt volts vdc dcv")
		s.addMilli("mV", 1e-3, "mv millivolt millivolts")
		s.add("kV", 1000, "kv kilovolt kilovolts")
	case KindResistance:
		s.add("Ω", 1, "ohm ohms r")
		s.addMilli("mΩ", 1e-3, "mohm mohms milliohm milliohms")
		s.add("kΩ", 1000, "kohm kohms kiloohm")
		s.add("µΩ", 1e-6, "uohm uohms microohm")
		s.addExact("MΩ", 1e6, "Mohm MOhm MOHM Mohms")
	case KindInductance:
		s.add("H", 1, "h henry henries henrys")
		s.addMilli("mH", 1e-3, "mh millihenry millihenries millihenrys")
		s.add("µH", 1e-6, "uh microhenry microhenries microhenrys")
		s.add("nH", 1e-9, "nh")
	case KindCapacitance:
		s.add("F", 1, "f farad farads")
		s.addMilli("mF", 1e-3, "mf millifarad")
		s.add("µF", 1e-6, "uf microfarad microfarads")
		s.add("nF", 1e-9, "nf")
		s.add("pF", 1e-12, "pf")
	case KindPower:
		s.add("W", 1, "w watt watts")
		s.addMilli("mW", 1e-3, "mw milliwatt milliwatts")
		s.add("kW", 1000, "kw kilowatt kilowatts")
		s.addExact("MW", 1e6, "MW")
		s.add("hp", horsepowerW, "hp bhp horsepower")
		s.add("PS", metricHorseW, "ps cv")
	case KindFrequency:
		s.add("Hz", 1, "hz hertz 1/s s1 /s")
		s.add("kHz", 1000, "khz kilohertz")
		s.addExact("MHz", 1e6, "MHz MHZ Mhz")
	default:
		spellStores(k, s)
	}
}

func spellStores(k Kind, s *speller) {
	switch k {
	case KindEnergy:
		s.add("J", 1, "j joule joules ws wsec")
		s.addMilli("mJ", 1e-3, "mj millijoule")
		s.add("kJ", 1000, "kj kilojoule kilojoules")
		s.addExact("MJ", 1e6, "MJ")
		s.add("Wh", 3600, "wh whr whrs watthour watthours")
		s.addMilli("mWh", 3.6, "mwh")
		s.add("kWh", 3.6e6, "kwh kwhr")
	case KindCharge:
		s.add("A·s", 1, "as asec c coulomb coulombs")
		s.add("Ah", 3600, "ah ahr ahrs amph amphr amphour amphours amperehour amperehours")
		s.add("mAh", 3.6, "mah mahr mahrs milliamphour milliamphours")
	}
}

func spellThermal(k Kind, s *speller) {
	const celsiusNames = "°c degc c celsius degreecelsius degreescelsius degreec degreesc"
	switch k {
	case KindTemperature:
		s.add("°C", 1, celsiusNames)
		s.add("K", 1, "k kelvin kelvins °k").offset = absoluteZeroC
		s.add("°F", 5.0/9, "°f degf f fahrenheit degreesf degreesfahrenheit").offset = -160.0 / 9
	case KindTemperatureRise:
		s.add("K", 1, "k kelvin kelvins deltak")
	case KindThermalResistance:
		s.add("K/W", 1, "k/w kelvin/watt °k/w")
		s.add("°C/W", 1, "°c/w c/w degc/w celsius/watt")
		s.addMilli("mK/W", 1e-3, "mk/w")
		s.add("K/kW", 1e-3, "k/kw")
	case KindHeatCapacity:
		s.add("J/K", 1, "j/k j/°c j/c j/degc ws/k")
		s.add("kJ/K", 1000, "kj/k kj/°c")
		s.add("Wh/K", 3600, "wh/k")
	}
}

func spellConstants(k Kind, s *speller) {
	if k == KindSpeedConstant {
		s.add("rad/s/V", 1, "rad/s/v rad/sv rad/vs rad/sec/v")
		s.add("rpm/V", rpmRadian, "rpm/v kv rpmpervolt rpm/volt r/min/v rev/min/v u/min/v")
		return
	}
	spellTorque(s, 1, "/A", "/a", "/amp", "/ampere")
	s.add("V·s/rad", 1, "vs/rad v/rad/s v/rads v/rad/sec vsec/rad")
	s.addMilli("mV·s/rad", 1e-3, "mvs/rad mv/rad/s")
	s.add("V/krpm", 1/(1000*rpmRadian), "v/krpm vperkrpm")
	s.addMilli("mV/rpm", 1e-3/rpmRadian, "mv/rpm mv/r/min")
	s.add("V/rpm", 1/rpmRadian, "v/rpm v/r/min")
	s.add("Wb", 1, "wb")
}
