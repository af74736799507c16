package catalog

import (
	"fmt"
	"math"

	"example.org/dray/quantity"
)

// Figures of the model's thermal estimate.
const (
	copperZero      = 234.5  // °C, where the resistance of copper would vanish
	airReference    = 25.0   // °C, at which continuous ratings hold
	filmCoefficient = 12.0   // W/(m²·K), still air
	motorDensity    = 5000.0 // kg/m³
	copperShare     = 0.12   // of the mass, winding
	ironShare       = 0.88   // of the mass, housing and iron
	copperHeat      = 385.0  // J/(kg·K)
	ironHeat        = 460.0  // J/(kg·K)
	longByDiameter  = 1.5    // length over diameter, where neither is listed
)

// thermal fills the thermal data of a motor: listed, else derived from its
// continuous rating, else estimated from size or mass; else left unknown.
func (r *record) thermal(m *Motor, l *listing, c *constants) {
	m.WindingLimit = r.windingLimit()
	m.WindingToHousing = get[quantity.ThermalResistance](r, "winding_to_housing")
	m.HousingToAir = get[quantity.ThermalResistance](r, "housing_to_air")
	m.fillResistances(l, c)
	m.fillCapacities(get[quantity.Time](r, "winding_time_constant"), get[quantity.Time](r, "housing_time_constant"))
}

// fillResistances fills what the row does not list of Rwh and Rha.
func (m *Motor) fillResistances(l *listing, c *constants) {
	inside, outside := &m.WindingToHousing, &m.HousingToAir
	if inside.Known() && outside.Known() {
		return
	}
	var total float64
	var basis quantity.Basis
	var note string
	if rated, why, ok := m.ratedResistance(l, c); ok {
		total, basis, note = rated, quantity.Derived, why
	} else if area, why, ok := m.surface(); ok {
		total, basis, note = 4.0/3/(filmCoefficient*area), quantity.Estimated, why
	}
	switch {
	case inside.Known():
		rest := total - float64(inside.Value)
		if basis == quantity.Unknown || rest <= 0 {
			rest, basis, note = 3*float64(inside.Value), quantity.Estimated, "three times the listed winding_to_housing"
		}
		*outside = thermalFigure(rest, basis, note)
	case outside.Known():
		*inside = thermalFigure(float64(outside.Value)/3, quantity.Estimated, "a third of the listed housing_to_air")
	case basis != quantity.Unknown:
		*inside = thermalFigure(total/4, basis, note)
		*outside = thermalFigure(total*3/4, basis, note)
	}
}

func thermalFigure(v float64, basis quantity.Basis, note string) quantity.Figure[quantity.ThermalResistance] {
	return quantity.Figure[quantity.ThermalResistance]{Value: quantity.ThermalResistance(v), Basis: basis, Note: note}
}

// ratedResistance solves T_lim − 25 = I²·R(T_lim)·(Rwh + Rha) + Tf·ω·Rha with
// Rwh:Rha = 1:3 for the sum. A rated point above half the stall torque or
// current is a stall figure and no continuous rating.
func (m *Motor) ratedResistance(l *listing, c *constants) (sum float64, why string, ok bool) {
	k, r, i0 := float64(c.k.Value), float64(c.resistance.Value), float64(c.current.Value)
	i, why := float64(l.ratedCurrent.Value), "from the rated current"
	if !l.ratedCurrent.Known() {
		if !l.ratedTorque.Known() {
			return 0, "", false
		}
		i, why = i0+float64(l.ratedTorque.Value)/(l.turns()*c.toShaft(l)*k), "from the rated torque"
	}
	tooLarge := l.ratedTorque.Known() && l.torque.Known() && l.ratedTorque.Value > l.torque.Value/2
	if tooLarge || c.stall.Known() && i > float64(c.stall.Value)/2 {
		return 0, "", false
	}
	speed := max(0, (float64(l.voltage.Value)-i*r)/k)
	if l.ratedSpeed.Known() {
		speed = float64(l.ratedSpeed.Value) * l.turns()
	}
	limit := float64(m.WindingLimit.Value)
	hot := r * (copperZero + limit) / (copperZero + l.tempRef)
	heat := i*i*hot + 0.75*k*i0*speed
	if heat <= 0 || limit <= airReference {
		return 0, "", false
	}
	return (limit - airReference) / heat, "continuous rating, " + why + ", Rwh:Rha = 1:3", true
}

// surface is the outside A = π·d·l + π·d²/2 of the motor, in m².
func (m *Motor) surface() (area float64, note string, ok bool) {
	d, l, note, ok := m.size()
	return math.Pi*d*l + math.Pi*d*d/2, note + ", ±40 %", ok
}

// size is diameter and length in m, from each other and the mass where one is
// not listed.
func (m *Motor) size() (d, l float64, note string, ok bool) {
	d, l = float64(m.Diameter.Value), float64(m.Length.Value)
	volume := float64(m.Mass.Value) / motorDensity
	switch {
	case m.Diameter.Known() && m.Length.Known():
		return d, l, "from the size", true
	case m.Diameter.Known() && m.Mass.Known():
		return d, volume / (math.Pi / 4 * d * d), "from diameter and mass at 5000 kg/m³", true
	case m.Length.Known() && m.Mass.Known():
		return math.Sqrt(volume / (math.Pi / 4 * l)), l, "from length and mass at 5000 kg/m³", true
	case m.Mass.Known():
		d = math.Cbrt(volume / (math.Pi / 4 * longByDiameter))
		return d, longByDiameter * d, "from the mass at 5000 kg/m³, length 1.5 diameters", true
	case m.Diameter.Known():
		return d, longByDiameter * d, "from the diameter, length 1.5 diameters", true
	case m.Length.Known():
		return l / longByDiameter, l, "from the length, length 1.5 diameters", true
	}
	return 0, 0, "", false
}

// fillCapacities takes Cw = τw/Rwh and Ch = τh/Rha where listed, else the
// shares of the mass.
func (m *Motor) fillCapacities(winding, housing quantity.Figure[quantity.Time]) {
	kilograms, note := float64(m.Mass.Value), "from the mass"
	if !m.Mass.Known() {
		if d, l, why, ok := m.size(); ok {
			kilograms, note = motorDensity*math.Pi/4*d*d*l, why+" at 5000 kg/m³"
		}
	}
	m.WindingCapacity = capacity(winding, m.WindingToHousing, copperShare*copperHeat*kilograms, note)
	m.HousingCapacity = capacity(housing, m.HousingToAir, ironShare*ironHeat*kilograms, note)
}

func capacity(tau quantity.Figure[quantity.Time], resistance quantity.Figure[quantity.ThermalResistance], estimate float64, note string) quantity.Figure[quantity.HeatCapacity] {
	switch {
	case tau.Known() && resistance.Known():
		return quantity.Figure[quantity.HeatCapacity]{Value: quantity.HeatCapacity(float64(tau.Value) / float64(resistance.Value)),
			Basis: resistance.Basis.Weaker(quantity.Derived), Note: "listed time constant over thermal resistance"}
	case estimate > 0:
		return quantity.Figure[quantity.HeatCapacity]{Value: quantity.HeatCapacity(estimate), Basis: quantity.Estimated, Note: note}
	}
	return quantity.Figure[quantity.HeatCapacity]{}
}

// windingLimit is the mean winding temperature the row allows: as listed, else
// by insulation class, else class B.
func (r *record) windingLimit() quantity.Figure[quantity.Temperature] {
	limit := get[quantity.Temperature](r, "winding_limit")
	if limit.Known() {
		if limit.Value <= airReference {
			r.fault("winding_limit", 0, fmt.Sprintf("a winding limit of %.3g °C", float64(limit.Value)), "a temperature above 25 °C, such as 120 °C")
		}
		return limit
	}
	assumed := quantity.Figure[quantity.Temperature]{Value: 120, Basis: quantity.Assumed, Note: "class B, neither winding_limit nor insulation_class listed"}
	class := r.text("insulation_class")
	if class == "" {
		return assumed
	}
	mean, letter := meanOfClass(class)
	if mean == 0 {
		r.fault("insulation_class", 0, "unknown insulation class", "A, E, B, F or H")
		return assumed
	}
	return quantity.Figure[quantity.Temperature]{Value: mean, Basis: quantity.Derived, Note: "class " + letter + " as a mean winding temperature"}
}

// meanOfClass gives the mean winding temperature of a class; the class itself
// is the hot spot.
func meanOfClass(text string) (mean quantity.Temperature, letter string) {
	switch {
	case text == "a", text == "class a", text == "cl. a":
		return 100, "A"
	case text == "e", text == "class e", text == "cl. e":
		return 115, "E"
	case text == "b", text == "class b", text == "cl. b":
		return 120, "B"
	case text == "f", text == "class f", text == "cl. f":
		return 145, "F"
	case text == "h", text == "class h", text == "cl. h":
		return 165, "H"
	}
	return 0, ""
}
