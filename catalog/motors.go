package catalog

import (
	"fmt"
	"math"
	"strings"

	"example.org/dray/quantity"
)

// motors reads one file of motors.
func motors(r *reader, ids *ledger) (list []Motor) {
	r.needDerivable()
	for _, line := range r.rows {
		list = append(list, r.record(line).motors(ids)...)
	}
	for _, name := range []string{"nominal_voltage", "no_load_current", "stall_current"} {
		r.mergedCells(name)
	}
	return list
}

// motors makes one motor for each ratio of the row, none when the row is
// faulty, contradicts physics or leaves a constant open.
func (r *record) motors(ids *ledger) (list []Motor) {
	id, ok := r.identify()
	if !ok || !ids.enter(r) {
		return nil
	}
	gear := r.gearKind("gear_kind")
	ratios, bare := r.ratios()
	output := r.output(bare)
	r.lists = max(1, len(ratios))
	r.refuseShared(output)
	for i, ratio := range ratios {
		r.index = i
		l := r.listing(bare, output, ratio, gear)
		name := id
		if len(ratios) > 1 {
			name += "@" + trimFloat(ratio)
		}
		r.id = name
		if m, ok := r.motor(name, id, &l); ok {
			list = append(list, m)
		}
	}
	if r.bad {
		return nil
	}
	return list
}

// ratios reads the ratio cell; a blank one is a bare motor at ratio 1.
func (r *record) ratios() (list []float64, bare bool) {
	c, filled := r.cell("ratio")
	if !filled {
		return []float64{1}, true
	}
	at := 0
	for part := range strings.SplitSeq(c.text, ";") {
		text := trimSpace(part)
		if text != "" {
			if n, ok := r.ratio(text, at+strings.Index(part, text), list); ok {
				list = append(list, n)
			}
		}
		at += len(part) + 1
	}
	return list, false
}

// ratio reads one ratio of a list and refuses one that is there already.
func (r *record) ratio(text string, at int, before []float64) (float64, bool) {
	got, err := quantity.ParseWith(quantity.KindRatio, text, quantity.Options{Decimal: r.dialect.decimal})
	if err != nil {
		r.misread(r.table.column("ratio"), at, err)
		return 0, false
	}
	if got.Note != "" {
		r.say(Note, "ratio", "ratio: "+got.Note)
	}
	n := got.Value
	if !(n > 0) || n > 1e6 {
		r.fault("ratio", at, "ratio: no train has it", "turns in per turn out, such as 23.8:1")
		return 0, false
	}
	for _, other := range before {
		if trimFloat(other) == trimFloat(n) {
			r.fault("ratio", at, "ratio: "+trimFloat(n)+" stands in the list twice", "each ratio once")
			return 0, false
		}
	}
	if n < 1 {
		r.say(Warning, "ratio", fmt.Sprintf("a ratio of %.4g turns the output faster than the motor", n))
	}
	return n, true
}

func (r *record) output(bare bool) bool {
	switch r.text("measured_at") {
	case "":
		return !bare
	case "output":
		if bare {
			r.say(Warning, "measured_at", "measured_at output in a row without a ratio: read as a bare motor")
		}
		return !bare
	case "motor":
		return false
	}
	r.fault("measured_at", 0, "unknown side of the gear train", "output or motor")
	return false
}

func (r *record) gearKind(name string) string {
	kind := r.text(name)
	switch kind {
	case "", "planetary", "spur", "worm", "screw":
		return kind
	}
	r.fault(name, 0, "unknown kind of gear train", "planetary, spur, worm or screw, or blank")
	return ""
}

// refuseShared faults a figure of the output shaft that stands once for
// several ratios: nobody can tell which ratio it belongs to.
func (r *record) refuseShared(output bool) {
	if r.lists < 2 || !output {
		return
	}
	for _, name := range []string{"no_load_speed", "stall_torque", "rated_torque", "rated_speed"} {
		if r.single(name) {
			r.fault(name, 0, fmt.Sprintf("one %s at the output for %d ratios", name, r.lists), "a list as long as the ratios, or measured_at motor")
		}
	}
}

// listing collects what the row says at one ratio.
func (r *record) listing(bare, output bool, ratio float64, gear string) listing {
	return listing{
		bare: bare, output: output, ratio: ratio, gearKind: gear, tempRef: 25,
		voltage:    get[quantity.Voltage](r, "nominal_voltage"),
		speed:      get[quantity.AngularSpeed](r, "no_load_speed"),
		current:    get[quantity.Current](r, "no_load_current"),
		torque:     get[quantity.Torque](r, "stall_torque"),
		stall:      get[quantity.Current](r, "stall_current"),
		resistance: get[quantity.Resistance](r, "resistance"),
		torqueK:    get[quantity.MotorConstant](r, "torque_constant"),
		speedK:     get[float64](r, "speed_constant"),
		efficiency: get[quantity.Fraction](r, "gear_efficiency"),

		ratedTorque:  get[quantity.Torque](r, "rated_torque"),
		ratedSpeed:   get[quantity.AngularSpeed](r, "rated_speed"),
		ratedCurrent: get[quantity.Current](r, "rated_current"),
	}
}

// motor derives one motor; false when the row gives none at this ratio.
func (r *record) motor(name, id string, l *listing) (Motor, bool) {
	m := Motor{ID: name, Row: id, File: r.name, Line: r.row.line, Bare: l.bare, GearKind: l.gearKind}
	m.NominalVoltage = l.voltage
	m.plain(r)
	c, missing, ok := derive(l)
	if !ok || !l.voltage.Known() {
		if !l.voltage.Known() {
			missing = "nominal_voltage"
		}
		if c.clash != "" {
			r.say(Impossible, "id", c.clash+": "+name+" is left out")
		} else if !r.bad {
			r.say(Warning, "id", "not enough to derive "+missing+": "+name+" is left out")
		}
		return m, false
	}
	impossible := false
	for _, remark := range c.remarks {
		if remark.level >= Warning && r.bare[remark.field] {
			remark.text += "; no unit stood there and one was assumed: is it the right one?"
		}
		r.say(remark.level, remark.field, remark.text)
		impossible = impossible || remark.level == Impossible
	}
	if impossible {
		return m, false
	}
	m.constants(l, &c)
	m.atOutput(l, &c)
	r.thermal(&m, l, &c)
	if m.TorquePeak.Known() && m.StallTorque.Value > m.TorquePeak.Value {
		r.say(Warning, "gear_torque_peak", fmt.Sprintf("the stall torque of %.3g N·m is above the %.3g N·m that the gear train stands: a jam breaks the gears",
			float64(m.StallTorque.Value), float64(m.TorquePeak.Value)))
	}
	return m, true
}

// plain fills what is taken as it stands.
func (m *Motor) plain(r *record) {
	m.ReferenceTemp = 25
	m.Magnet = r.magnet()
	m.RotorInertia = get[quantity.Inertia](r, "rotor_inertia")
	m.Inductance = get[quantity.Inductance](r, "inductance")
	m.TorqueContinuous = get[quantity.Torque](r, "gear_torque_continuous")
	m.TorquePeak = get[quantity.Torque](r, "gear_torque_peak")
	m.InputSpeedMax = get[quantity.AngularSpeed](r, "gear_input_speed_max")
	m.RadialLoadMax = get[quantity.Force](r, "radial_load_max")
	m.Diameter = get[quantity.Length](r, "diameter")
	m.Length = get[quantity.Length](r, "length")
	m.Mass = get[quantity.Mass](r, "mass")
	m.Price = get[quantity.Money](r, "price")
}

// constants copies the derived constants and the train's two efficiencies.
func (m *Motor) constants(l *listing, c *constants) {
	m.Resistance, m.Constant, m.NoLoadCurrent = c.resistance, c.k, c.current
	m.GearEfficiency, m.GrossStallQuotient = c.efficiency, c.gross
	m.Ratio = quantity.Figure[quantity.Ratio]{Value: quantity.Ratio(l.ratio), Basis: quantity.Listed}
	if l.bare {
		m.Ratio.Note = "no gear train in the row"
		m.BackEfficiency = c.efficiency
		return
	}
	m.BackEfficiency, m.SelfLocking = backEfficiency(c.efficiency, l.gearKind)
}

// atOutput fills the figures of the output shaft, converting those listed at
// the motor and computing from the constants those not listed at all.
func (m *Motor) atOutput(l *listing, c *constants) {
	n, eta := l.ratio, float64(c.efficiency.Value)
	v, k := float64(l.voltage.Value), float64(c.k.Value)
	i0, r := float64(c.current.Value), float64(c.resistance.Value)
	m.NoLoadSpeed = speedAtOutput(l, l.speed)
	if !m.NoLoadSpeed.Known() {
		m.NoLoadSpeed = quantity.Figure[quantity.AngularSpeed]{Value: quantity.AngularSpeed((v - i0*r) / (k * n)), Basis: quantity.Derived, Note: "from the constants"}
	}
	m.StallCurrent = c.stall
	m.StallTorque = l.torque
	if !l.torque.Known() || !l.bare && !l.output {
		m.StallTorque = quantity.Figure[quantity.Torque]{Value: quantity.Torque(n * eta * k * math.Max(0, v/r-i0)), Basis: quantity.Derived.Weaker(c.efficiency.Basis), Note: "from the constants: N·η·k·(Is − I0)"}
	}
	m.RatedCurrent, m.RatedTorque = l.ratedCurrent, l.ratedTorque
	m.RatedSpeed = speedAtOutput(l, l.ratedSpeed)
	if l.ratedTorque.Known() && !l.bare && !l.output {
		m.RatedTorque.Value *= quantity.Torque(n * eta)
		m.RatedTorque.Basis, m.RatedTorque.Note = quantity.Derived.Weaker(c.efficiency.Basis), "listed at the motor, through the gear train"
	}
}

func speedAtOutput(l *listing, listed quantity.Figure[quantity.AngularSpeed]) quantity.Figure[quantity.AngularSpeed] {
	if listed.Known() && !l.bare && !l.output {
		listed.Value /= quantity.AngularSpeed(l.ratio)
		listed.Basis, listed.Note = quantity.Derived, "listed at the motor, over the ratio"
	}
	return listed
}

// magnet is the reversible change of flux per kelvin: by material as the model
// has it, or a number per kelvin; ferrite where blank.
func (r *record) magnet() quantity.Figure[quantity.Fraction] {
	by := func(v float64, basis quantity.Basis, note string) quantity.Figure[quantity.Fraction] {
		return quantity.Figure[quantity.Fraction]{Value: quantity.Fraction(v), Basis: basis, Note: note}
	}
	text := r.text("magnet")
	switch text {
	case "":
		return by(-0.0020, quantity.Assumed, "ferrite, magnet not listed")
	case "ferrite", "ceramic":
		return by(-0.0020, quantity.Derived, "ferrite")
	case "ndfeb", "neodymium", "neo":
		return by(-0.0011, quantity.Derived, "NdFeB")
	case "smco", "samarium-cobalt", "samarium cobalt":
		return by(-0.0004, quantity.Derived, "SmCo")
	}
	number := trimSpace(strings.TrimSuffix(strings.TrimSuffix(text, "/k"), "/°c"))
	got, err := quantity.ParseWith(quantity.KindFraction, number, quantity.Options{Decimal: r.dialect.decimal, DefaultUnit: r.unit("magnet")})
	if err != nil || math.Abs(got.Value) > 0.01 {
		r.fault("magnet", 0, "unknown magnet", "ferrite, ndfeb, smco, or a change per kelvin such as -0.2 %/K")
		return by(0, quantity.Unknown, "")
	}
	if got.Value > 0 && r.index == 0 {
		r.say(Note, "magnet", "magnet: a loss of flux with heat is meant, taken as negative")
	}
	return by(-math.Abs(got.Value), quantity.Listed, "")
}

// needDerivable faults a header under which no row could ever give constants,
// naming the basic columns that are missing.
func (r *reader) needDerivable() {
	has := func(names ...string) bool {
		for _, name := range names {
			if _, ok := r.at[name]; ok {
				return true
			}
		}
		return false
	}
	rated := has("rated_current", "rated_torque") && has("rated_speed")
	for _, group := range []struct {
		basic string
		ways  []string
		also  bool
	}{
		{"no_load_speed", []string{"torque_constant", "speed_constant"}, rated || has("stall_torque") && has("stall_current", "resistance")},
		{"stall_current", []string{"resistance"}, rated},
		{"no_load_current", nil, rated || has("torque_constant", "speed_constant") && has("no_load_speed")},
	} {
		if !has(group.basic) && !has(group.ways...) && !group.also {
			text := "the column " + group.basic + " is missing; want it in the header of motors"
			if len(group.ways) > 0 {
				text += ", or " + strings.Join(group.ways, " or ")
			}
			r.add(Fault, r.heads[0].cell.offset, r.headLine, group.basic, "", text)
		}
	}
}

// mergedCells notes a column filled above two or more blanks, as a sheet with
// merged cells leaves behind.
func (r *reader) mergedCells(name string) {
	filled := -1
	for i, line := range r.rows {
		rec := record{reader: r, row: line}
		if rec.has(name) {
			filled = i
			continue
		}
		if filled < 0 || filled != i-1 || i+1 == len(r.rows) {
			continue
		}
		if below := (&record{reader: r, row: r.rows[i+1]}); !below.has(name) {
			r.id = ""
			rec.say(Note, name, name+" blank below a filled cell: merged cells? write it in every row")
			return
		}
	}
}
