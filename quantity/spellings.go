package quantity

import (
	"strings"
	"sync"
)

// unit is one unit of a kind: SI = value·factor + offset.
type unit struct {
	canonical string
	factor    float64
	offset    float64
	milli     bool // the leading m is a prefix: M there would be mega, and is refused
}

// speller collects the spellings of one kind. Keys are in the folded form of
// unitKey: lower case, separators dropped, µ as u, ² as 2.
type speller struct {
	folded map[string]*unit
	exact  map[string]*unit // only where case alone tells two units apart
}

func (s *speller) add(canonical string, factor float64, names string) *unit {
	u := &unit{canonical: canonical, factor: factor}
	for name := range strings.FieldsSeq(names) {
		s.folded[name] = u
	}
	return u
}

func (s *speller) addMilli(canonical string, factor float64, names string) {
	s.add(canonical, factor, names).milli = true
}

func (s *speller) addExact(canonical string, factor float64, names string) {
	u := &unit{canonical: canonical, factor: factor}
	for name := range strings.FieldsSeq(names) {
		s.exact[name] = u
	}
}

// spellings is the one closed table of unit spellings, built at first use.
var spellings = sync.OnceValue(func() *[kindCount]speller {
	var all [kindCount]speller
	for k := range kindCount {
		s := &all[k]
		s.folded, s.exact = map[string]*unit{}, map[string]*unit{}
		spell(k, s)
	}
	return &all
})

func spell(k Kind, s *speller) {
	switch k {
	case KindLength, KindArea, KindMass, KindTime:
		spellBase(k, s)
	case KindSpeed, KindAcceleration, KindAngle, KindAngularSpeed, KindAngularAcceleration, KindIncline:
		spellMotion(k, s)
	case KindForce, KindTorque, KindInertia, KindTorsionRate:
		spellMechanics(k, s)
	case KindTemperature, KindTemperatureRise, KindThermalResistance, KindHeatCapacity:
		spellThermal(k, s)
	case KindMotorConstant, KindTorqueConstant, KindSpeedConstant:
		spellConstants(k, s)
	case KindFraction, KindFriction:
		s.add("%", 0.01, "% percent pct")
		s.add("‰", 0.001, "‰ permille")
	case KindRatio:
		s.add("", 1, "x :1 to1")
	case KindMoney:
		s.add("", 1, "$ € £ ¥")
	default:
		spellElectric(k, s)
	}
}

// Names of the lengths and the forces that torques are made of.
const (
	metreNames = "m metre metres meter meters"
	cmNames    = "cm centimetre centimetres centimeter centimeters"
	mmNames    = "mm millimetre millimetres millimeter millimeters"
	inchNames  = "in inch inches ins \" ''"
	footNames  = "ft foot feet '"
	gramNames  = "g gr gram grams gramme grammes"
	kiloNames  = "kg kgs kilo kilos kilogram kilograms kilogramme"
	ounceNames = "oz ozs ounce ounces"
	poundNames = "lb lbs lbm pound pounds"
	rpmNames   = "rpm r/min rev/min revs/min u/min t/min 1/min /min min1 rpms revolutions/minute turns/min turn/min"
)

func spellBase(k Kind, s *speller) {
	switch k {
	case KindLength:
		s.add("m", 1, metreNames)
		s.add("cm", 0.01, cmNames)
		s.add("mm", 0.001, mmNames)
		s.add("µm", 1e-6, "um micron microns micrometre micrometer")
		s.add("km", 1000, "km kilometre kilometres kilometer kilometers")
		s.add("in", inchMetres, inchNames)
		s.add("ft", footMetres, footNames)
		s.add("yd", 3*footMetres, "yd yard yards")
		s.add("mi", mileMetres, "mi mile miles")
	case KindArea:
		s.add("m²", 1, "m2 sqm")
		s.add("cm²", 1e-4, "cm2 sqcm")
		s.add("mm²", 1e-6, "mm2 sqmm")
		s.add("in²", inchMetres*inchMetres, "in2 sqin")
		s.add("ft²", footMetres*footMetres, "ft2 sqft")
	case KindMass:
		s.add("kg", 1, kiloNames)
		s.add("g", 0.001, gramNames+" gm gms")
		s.addMilli("mg", 1e-6, "mg")
		s.add("lb", poundKilogram, poundNames+" #")
		s.add("oz", ounceKilogram, ounceNames)
		s.add("t", 1000, "t tonne tonnes")
	case KindTime:
		s.add("s", 1, "s sec secs second seconds")
		s.addMilli("ms", 1e-3, "ms msec millisecond milliseconds")
		s.add("µs", 1e-6, "us usec microsecond microseconds")
		s.add("min", 60, "min mins minute minutes")
		s.add("h", 3600, "h hr hrs hour hours")
		s.add("d", 86400, "d day days")
	}
}

func spellMotion(k Kind, s *speller) {
	switch k {
	case KindSpeed:
		s.add("m/s", 1, "m/s ms1 m/sec mps metres/second meters/second")
		s.add("m/min", 1.0/60, "m/min")
		s.add("cm/s", 0.01, "cm/s cm/sec")
		s.add("mm/s", 0.001, "mm/s mm/sec")
		s.add("km/h", 1/3.6, "km/h kmh kph kmph km/hr")
		s.add("ft/s", footMetres, "ft/s ft/sec fps feet/second")
		s.add("ft/min", footMetres/60, "ft/min fpm feet/minute")
		s.add("in/s", inchMetres, "in/s in/sec ips inches/second \"/s")
		s.add("in/min", inchMetres/60, "in/min ipm")
		s.add("mph", mileMetres/3600, "mph mi/h mile/h miles/hour")
	case KindAcceleration:
		s.add("m/s²", 1, "m/s2 ms2 m/s/s m/sec2")
		s.add("cm/s²", 0.01, "cm/s2")
		s.add("mm/s²", 0.001, "mm/s2 mm/s/s")
		s.add("ft/s²", footMetres, "ft/s2 ft/s/s ft/sec2")
		s.add("in/s²", inchMetres, "in/s2 in/s/s")
		s.add("g", StandardGravity, "g gn")
	case KindAngle:
		spellAngles(s)
	case KindIncline:
		s.add("rad", 1, "rad radian radians")
		s.add("deg", degreeRadian, "deg degs degree degrees °")
		s.add("%", 0.01, "% percent pct %grade %slope")
		s.add("‰", 0.001, "‰ mm/m")
	case KindAngularSpeed:
		s.add("rad/s", 1, "rad/s rads1 rad/sec rads/s radians/second")
		s.add("rpm", rpmRadian, rpmNames)
		s.add("rev/s", turnRadian, "rev/s rps r/s rev/sec revs/s turn/s turns/s 1/s s1 u/s")
		s.add("deg/s", degreeRadian, "deg/s °/s deg/sec degrees/second dps")
		s.add("deg/min", degreeRadian/60, "deg/min °/min")
	case KindAngularAcceleration:
		s.add("rad/s²", 1, "rad/s2 rads2 rad/s/s rad/sec2")
		s.add("deg/s²", degreeRadian, "deg/s2 °/s2 deg/s/s")
		s.add("rev/s²", turnRadian, "rev/s2 rev/s/s")
		s.add("rpm/s", rpmRadian, "rpm/s rpm/sec")
	}
}

func spellAngles(s *speller) {
	s.add("rad", 1, "rad rads radian radians")
	s.addMilli("mrad", 1e-3, "mrad")
	s.add("deg", degreeRadian, "deg degs degree degrees °")
	s.add("turn", turnRadian, "turn turns")
	s.add("rev", turnRadian, "rev revs revolution revolutions")
}

// torqueUnit is one product of a force and a length with all its spellings.
type torqueUnit struct {
	canonical string
	factor    float64
	force     string
	length    string
	milli     bool
	swaps     bool // the length may stand first: in·lb
}

func torqueUnits() []torqueUnit {
	const (
		newtons = "n newton newtons"
		kgf     = "kgf kgfs kp " + kiloNames
		gf      = "gf gmf " + gramNames
		ozf     = "ozf " + ounceNames
		lbf     = "lbf lbfs lbsf " + poundNames
		g       = StandardGravity
	)
	return []torqueUnit{
		{"N·m", 1, newtons, metreNames, false, false},
		{"N·cm", 0.01, newtons, cmNames, false, false},
		{"N·mm", 0.001, newtons, mmNames, false, false},
		{"mN·m", 0.001, "mn millinewton millinewtons", metreNames, true, false},
		{"µN·m", 1e-6, "un micronewton", metreNames, false, false},
		{"kN·m", 1000, "kn kilonewton kilonewtons", metreNames, false, false},
		{"kg·m", g, kgf, metreNames, false, false},
		{"kg·cm", g / 100, kgf, cmNames, false, true},
		{"kg·mm", g / 1000, kgf, mmNames, false, false},
		{"g·cm", g / 1e5, gf, cmNames, false, true},
		{"g·mm", g / 1e6, gf, mmNames, false, false},
		{"oz·in", ounceNewton * inchMetres, ozf, inchNames, false, true},
		{"oz·ft", ounceNewton * footMetres, ozf, footNames, false, true},
		{"lb·in", poundNewton * inchMetres, lbf, inchNames, false, true},
		{"lb·ft", poundNewton * footMetres, lbf, footNames, false, true},
	}
}

// spellTorque adds every torque spelling, followed by each of the suffixes
// (divisor names such as "/rad"), dividing the factor by per.
func spellTorque(s *speller, per float64, suffix string, suffixes ...string) {
	for _, t := range torqueUnits() {
		u := &unit{canonical: t.canonical + suffix, factor: t.factor / per, milli: t.milli}
		for f := range strings.FieldsSeq(t.force) {
			for l := range strings.FieldsSeq(t.length) {
				for _, end := range suffixes {
					s.folded[f+l+end] = u
					if t.swaps {
						s.folded[l+f+end] = u
					}
				}
			}
		}
	}
}

func spellMechanics(k Kind, s *speller) {
	switch k {
	case KindForce:
		s.add("N", 1, "n newton newtons")
		s.addMilli("mN", 1e-3, "mn millinewton millinewtons")
		s.add("kN", 1000, "kn kilonewton kilonewtons")
		s.add("kgf", StandardGravity, "kgf kp")
		s.add("gf", StandardGravity/1000, "gf gmf")
		s.add("lbf", poundNewton, "lbf lbsf")
		s.add("ozf", ounceNewton, "ozf")
	case KindTorque:
		spellTorque(s, 1, "", "")
	case KindTorsionRate:
		spellTorque(s, 1, "/rad", "/rad", "/radian")
		spellTorque(s, degreeRadian, "/deg", "/deg", "/°", "/degree")
		spellTorque(s, turnRadian, "/turn", "/turn", "/rev")
	case KindInertia:
		s.add("kg·m²", 1, "kgm2")
		s.add("kg·cm²", 1e-4, "kgcm2")
		s.add("kg·mm²", 1e-6, "kgmm2")
		s.add("g·m²", 1e-3, "gm2")
		s.add("g·cm²", 1e-7, "gcm2")
		s.add("g·mm²", 1e-9, "gmm2")
		s.add("oz·in²", ounceKilogram*inchMetres*inchMetres, "ozin2")
		s.add("lb·in²", poundKilogram*inchMetres*inchMetres, "lbin2 lbsin2")
		s.add("lb·ft²", poundKilogram*footMetres*footMetres, "lbft2 lbsft2")
		s.add("oz·in·s²", ounceNewton*inchMetres, "ozins2 ozfins2")
		s.add("lb·in·s²", poundNewton*inchMetres, "lbins2 lbfins2")
	}
}
