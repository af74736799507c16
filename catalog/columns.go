package catalog

import "example.org/dray/quantity"

// form is how the cells of a column are written.
type form uint8

const (
	figures form = iota // a number with a unit
	counts              // a whole number
	words               // text taken as it stands
	special             // read by code of its own
)

// column is one heading of ours.
type column struct {
	name   string
	form   form
	kind   quantity.Kind
	unit   string // default where neither header nor cell has one; empty: a plain number
	zeroOK bool   // zero is a value; elsewhere a zero is read as unknown, with a note
	most   float64
	meant  string // what a bare number that large was probably written in
}

// table is what one sort of file may hold.
type table struct {
	sort    string // motors, gear trains, batteries, controllers
	columns []column
	needed  []string
}

func (t *table) column(name string) *column {
	for i := range t.columns {
		if t.columns[i].name == name {
			return &t.columns[i]
		}
	}
	return nil
}

func (t *table) names() []string {
	names := make([]string, len(t.columns))
	for i, c := range t.columns {
		names[i] = c.name
	}
	return names
}

func figure(name string, kind quantity.Kind, unit string) column {
	return column{name: name, kind: kind, unit: unit}
}

// zero is a figure that may be zero.
func zero(name string, kind quantity.Kind, unit string) column {
	return column{name: name, kind: kind, unit: unit, zeroOK: true}
}

// size is a length that no part of this trade exceeds: a bare 37 was millimetres.
func size(name string) column {
	return column{name: name, kind: quantity.KindLength, unit: "m", most: 2, meant: "mm"}
}

func mass() column {
	return column{name: "mass", kind: quantity.KindMass, unit: "kg", most: 500, meant: "g"}
}

func word(name string) column  { return column{name: name, form: words} }
func count(name string) column { return column{name: name, form: counts} }

func plain(name string, kind quantity.Kind) column {
	return column{name: name, kind: kind}
}

func motorTable() *table {
	return &table{sort: "motors", needed: []string{"id", "nominal_voltage"}, columns: []column{
		word("id"),
		figure("nominal_voltage", quantity.KindVoltage, "V"),
		figure("no_load_speed", quantity.KindAngularSpeed, "rpm"),
		zero("no_load_current", quantity.KindCurrent, "A"),
		figure("stall_torque", quantity.KindTorque, "N·m"),
		figure("stall_current", quantity.KindCurrent, "A"),
		{name: "ratio", form: special, kind: quantity.KindRatio},
		word("measured_at"),
		word("gear_kind"),
		plain("gear_efficiency", quantity.KindFraction),
		figure("resistance", quantity.KindResistance, "Ω"),
		figure("torque_constant", quantity.KindTorqueConstant, "N·m/A"),
		figure("speed_constant", quantity.KindSpeedConstant, "rpm/V"),
		figure("inductance", quantity.KindInductance, "H"),
		zero("rotor_inertia", quantity.KindInertia, "kg·m²"),
		figure("rated_torque", quantity.KindTorque, "N·m"),
		figure("rated_speed", quantity.KindAngularSpeed, "rpm"),
		figure("rated_current", quantity.KindCurrent, "A"),
		figure("gear_torque_continuous", quantity.KindTorque, "N·m"),
		figure("gear_torque_peak", quantity.KindTorque, "N·m"),
		figure("gear_input_speed_max", quantity.KindAngularSpeed, "rpm"),
		figure("radial_load_max", quantity.KindForce, "N"),
		size("diameter"),
		size("length"),
		mass(),
		figure("winding_limit", quantity.KindTemperature, "°C"),
		word("insulation_class"),
		{name: "magnet", form: special},
		figure("winding_to_housing", quantity.KindThermalResistance, "K/W"),
		figure("housing_to_air", quantity.KindThermalResistance, "K/W"),
		figure("winding_time_constant", quantity.KindTime, "s"),
		figure("housing_time_constant", quantity.KindTime, "s"),
		zero("price", quantity.KindMoney, ""),
	}}
}

func gearTable() *table {
	return &table{sort: "gear trains", needed: []string{"id", "ratio"}, columns: []column{
		word("id"),
		word("kind"),
		{name: "ratio", form: special, kind: quantity.KindRatio},
		count("stages"),
		plain("efficiency", quantity.KindFraction),
		{name: "backdrive_efficiency", form: special, kind: quantity.KindFraction},
		figure("torque_continuous", quantity.KindTorque, "N·m"),
		figure("torque_peak", quantity.KindTorque, "N·m"),
		figure("input_speed_max", quantity.KindAngularSpeed, "rpm"),
		figure("radial_load_max", quantity.KindForce, "N"),
		zero("inertia", quantity.KindInertia, "kg·m²"),
		mass(),
		word("fits"),
		zero("price", quantity.KindMoney, ""),
	}}
}

func batteryTable() *table {
	return &table{sort: "batteries", needed: []string{"id", "chemistry", "capacity"}, columns: []column{
		word("id"),
		word("chemistry"),
		{name: "cells", form: special},
		figure("nominal_voltage", quantity.KindVoltage, "V"),
		{name: "capacity", form: special, kind: quantity.KindCharge, unit: "Ah"},
		figure("rated_hours", quantity.KindTime, "h"),
		zero("resistance", quantity.KindResistance, "Ω"),
		{name: "discharge_continuous", form: special, kind: quantity.KindCurrent, unit: "A"},
		{name: "discharge_peak", form: special, kind: quantity.KindCurrent, unit: "A"},
		figure("peak_time", quantity.KindTime, "s"),
		{name: "charge_max", form: special, kind: quantity.KindCurrent, unit: "A", zeroOK: true},
		figure("cutoff_voltage", quantity.KindVoltage, "V"),
		plain("peukert", quantity.KindFriction),
		word("ocv"),
		mass(),
		zero("price", quantity.KindMoney, ""),
	}}
}

func controllerTable() *table {
	return &table{sort: "controllers", needed: []string{"id", "current_continuous"}, columns: []column{
		word("id"),
		count("channels"),
		figure("current_continuous", quantity.KindCurrent, "A"),
		figure("current_peak", quantity.KindCurrent, "A"),
		figure("peak_time", quantity.KindTime, "s"),
		figure("current_limit", quantity.KindCurrent, "A"),
		zero("voltage_min", quantity.KindVoltage, "V"),
		figure("voltage_max", quantity.KindVoltage, "V"),
		zero("on_resistance", quantity.KindResistance, "Ω"),
		zero("voltage_drop", quantity.KindVoltage, "V"),
		plain("duty_max", quantity.KindFraction),
		zero("idle_current", quantity.KindCurrent, "A"),
		figure("pwm_frequency", quantity.KindFrequency, "Hz"),
		word("regeneration"),
		figure("pulse_min", quantity.KindTime, "µs"),
		figure("pulse_max", quantity.KindTime, "µs"),
		zero("price", quantity.KindMoney, ""),
	}}
}

func ocvTable() *table {
	return &table{sort: "open-circuit voltage", needed: []string{"charge", "voltage"}, columns: []column{
		{name: "charge", form: special, kind: quantity.KindFraction, zeroOK: true},
		figure("voltage", quantity.KindVoltage, "V"),
	}}
}

// TableOf guesses from its header which sort of catalog a file is: motors,
// gear trains, batteries or controllers; empty when it looks like none. Names
// renamed by columns count under their new name.
func TableOf(data []byte, columns map[string]string) string {
	best, most := "", 1
	for _, t := range []*table{motorTable(), gearTable(), batteryTable(), controllerTable()} {
		d := opening(data)
		r := &reader{table: t, renamed: renames(columns)}
		chooseSeparator(data, &d, r.knows)
		if n := scoreSeparator(data, d, d.separator, r.knows)[0]; n > most {
			best, most = t.sort, n
		}
	}
	return best
}
