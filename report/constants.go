package report

import (
	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// constant is one figure the candidate stands on, in SI.
type constant struct {
	key   string // name in JSON, with its SI unit
	name  string // name for people
	value float64
	kind  quantity.Kind
	basis quantity.Basis
	note  string
	per   string // behind the unit: "/K"
}

func figureOf[Q ~float64](key, name string, kind quantity.Kind, f quantity.Figure[Q]) constant {
	return constant{key: key, name: name, value: float64(f.Value), kind: kind, basis: f.Basis, note: f.Note}
}

// constants lists the figures of the candidate's parts in reading order:
// electrical, mechanical, thermal, battery, controller.
func constants(c *sizing.Candidate) []constant {
	var out []constant
	if m := c.Motor; m != nil {
		magnet := figureOf("magnet_per_K", "flux change", quantity.KindFraction, m.Magnet)
		magnet.per = "/K"
		out = append(out,
			figureOf("nominal_voltage_V", "nominal voltage", quantity.KindVoltage, m.NominalVoltage),
			figureOf("resistance_ohm", "winding resistance", quantity.KindResistance, m.Resistance),
			figureOf("k_Vs_per_rad", "motor constant k", quantity.KindMotorConstant, m.Constant),
			figureOf("no_load_current_A", "no-load current", quantity.KindCurrent, m.NoLoadCurrent),
			figureOf("inductance_H", "inductance", quantity.KindInductance, m.Inductance),
			constant{key: "reference_temp_degC", name: "reference temperature", value: float64(m.ReferenceTemp),
				kind: quantity.KindTemperature, basis: quantity.Assumed, note: "temperature at which the constants hold"},
			magnet,
			figureOf("rotor_inertia_kgm2", "rotor inertia", quantity.KindInertia, m.RotorInertia),
		)
		out = append(out, trainConstants(c)...)
		out = append(out,
			figureOf("winding_to_housing_K_per_W", "winding to housing", quantity.KindThermalResistance, m.WindingToHousing),
			figureOf("housing_to_air_K_per_W", "housing to air", quantity.KindThermalResistance, m.HousingToAir),
			figureOf("winding_capacity_J_per_K", "winding heat capacity", quantity.KindHeatCapacity, m.WindingCapacity),
			figureOf("housing_capacity_J_per_K", "housing heat capacity", quantity.KindHeatCapacity, m.HousingCapacity),
			figureOf("winding_limit_degC", "winding limit", quantity.KindTemperature, m.WindingLimit),
		)
	}
	if b := c.Battery; b != nil {
		out = append(out,
			figureOf("battery_capacity_C", "battery capacity, one pack", quantity.KindCharge, b.Capacity),
			figureOf("battery_resistance_ohm", "battery resistance, one pack", quantity.KindResistance, b.Resistance),
			figureOf("battery_cut_off_V", "battery cut-off, one pack", quantity.KindVoltage, b.CutOff),
		)
	}
	if k := c.Controller; k != nil {
		out = append(out,
			figureOf("controller_on_resistance_ohm", "controller on-resistance", quantity.KindResistance, k.OnResistance),
			figureOf("controller_peak_time_s", "controller peak time", quantity.KindTime, k.PeakTime),
		)
	}
	return out
}

// trainConstants takes the gear train's figures from the train sold apart or,
// without one, from the motor's own row.
func trainConstants(c *sizing.Candidate) []constant {
	m, ratio := c.Motor, c.Motor.Ratio
	forward, back := m.GearEfficiency, m.BackEfficiency
	if c.Train != nil {
		ratio, forward, back = c.Train.Ratio, c.Train.Efficiency, c.Train.BackEfficiency
	}
	out := []constant{
		figureOf("gear_ratio", "gear ratio", quantity.KindRatio, ratio),
		figureOf("gear_efficiency", "gear efficiency", quantity.KindFraction, forward),
		figureOf("back_efficiency", "back-driven efficiency", quantity.KindFraction, back),
	}
	if c.Train != nil {
		out = append(out, figureOf("gear_inertia_kgm2", "gear inertia at the motor", quantity.KindInertia, c.Train.Inertia))
	}
	if c.Stage != nil {
		out = append(out,
			constant{key: "stage_efficiency", name: "further stage efficiency", value: c.Stage.Efficiency, kind: quantity.KindFraction, basis: c.Stage.Basis})
	}
	return out
}
