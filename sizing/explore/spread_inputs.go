package explore

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/dray/catalog"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// Default half widths by basis, shares of the value.
const (
	listedWidth    = 0.10 // listed, and derived as what it is derived from
	estimatedWidth = 0.40 // estimated from size, mass or kind
	assumedWidth   = 0.50 // assumed by chemistry or convention
)

// spreadInput is one thing that is drawn.
type spreadInput struct {
	name, row string
	nominal   float64
	half      float64 // half width, SI
	low, high float64 // bounds a draw is kept within
	basis     quantity.Basis
	note      string
	kind      int // sign of the end that helps; 0 where that is not known
	set       func(t *spreadTrial, value float64) error
}

// at is the value of a draw u in −1…1.
func (in *spreadInput) at(u float64) float64 {
	return math.Max(in.low, math.Min(in.high, in.nominal+u*in.half))
}

// width is the default half width of a figure by its basis.
func width(b quantity.Basis) float64 {
	switch b {
	case quantity.Unknown:
		return 0
	case quantity.Assumed:
		return assumedWidth
	case quantity.Estimated:
		return estimatedWidth
	default:
		return listedWidth
	}
}

// listInputs lists the inputs of the case, then those of every catalog row.
func (s *spreading) listInputs() {
	s.caseInputs()
	seen := map[string]bool{}
	for i := range s.cat.Motors {
		if m := &s.cat.Motors[i]; !seen[m.Row] {
			seen[m.Row] = true
			s.motorInputs(m)
		}
	}
	for i := range s.cat.GearTrains {
		t := &s.cat.GearTrains[i]
		s.efficiency("gear_train.efficiency", t.ID, t.Efficiency, func(r *spreadRows, share float64) {
			r.trains[i].SetEfficiency(share * float64(t.Efficiency.Value))
		})
	}
	for i := range s.cat.Batteries {
		b := &s.cat.Batteries[i]
		if !s.c.Supply.PackResistance.Known() {
			row(s, "battery.resistance", b.ID, b.Resistance, -1, func(r *spreadRows, share float64) {
				r.batteries[i].Resistance.Value *= quantity.Resistance(share)
			})
		}
		row(s, "battery.capacity", b.ID, b.Capacity, 1, func(r *spreadRows, share float64) {
			r.batteries[i].Capacity.Value *= quantity.Charge(share)
		})
	}
	for i := range s.cat.Controllers {
		k := &s.cat.Controllers[i]
		row(s, "controller.on_resistance", k.ID, k.OnResistance, -1, func(r *spreadRows, share float64) {
			r.controllers[i].OnResistance.Value *= quantity.Resistance(share)
		})
	}
}

// motorInputs are a motor row's; a row with several ratios is drawn once.
func (s *spreading) motorInputs(m *catalog.Motor) {
	each := func(change func(m *catalog.Motor, share float64)) func(r *spreadRows, share float64) {
		return func(r *spreadRows, share float64) {
			for i := range r.motors {
				if r.motors[i].Row == m.Row {
					change(&r.motors[i], share)
				}
			}
		}
	}
	row(s, "motor.resistance", m.Row, m.Resistance, -1, each(func(m *catalog.Motor, x float64) { m.Resistance.Value *= quantity.Resistance(x) }))
	row(s, "motor.k", m.Row, m.Constant, 0, each(func(m *catalog.Motor, x float64) { m.Constant.Value *= quantity.MotorConstant(x) }))
	row(s, "motor.no_load_current", m.Row, m.NoLoadCurrent, -1, each(func(m *catalog.Motor, x float64) { m.NoLoadCurrent.Value *= quantity.Current(x) }))
	if !m.Bare {
		s.efficiency("motor.gear_efficiency", m.Row, m.GearEfficiency, each(func(m *catalog.Motor, x float64) {
			m.SetGearEfficiency(math.Min(1, x*float64(m.GearEfficiency.Value)))
		}))
	}
	row(s, "motor.winding_to_housing", m.Row, m.WindingToHousing, -1, each(func(m *catalog.Motor, x float64) { m.WindingToHousing.Value *= quantity.ThermalResistance(x) }))
	row(s, "motor.housing_to_air", m.Row, m.HousingToAir, -1, each(func(m *catalog.Motor, x float64) { m.HousingToAir.Value *= quantity.ThermalResistance(x) }))
	row(s, "motor.winding_capacity", m.Row, m.WindingCapacity, 1, each(func(m *catalog.Motor, x float64) { m.WindingCapacity.Value *= quantity.HeatCapacity(x) }))
	row(s, "motor.housing_capacity", m.Row, m.HousingCapacity, 1, each(func(m *catalog.Motor, x float64) { m.HousingCapacity.Value *= quantity.HeatCapacity(x) }))
}

// row adds an input of a catalog row, its half width by its basis; an unknown
// figure or a zero adds none. set multiplies the figure by a share of itself.
func row[Q ~float64](s *spreading, name, id string, f quantity.Figure[Q], kind int, set func(r *spreadRows, share float64)) {
	s.add(name, id, float64(f.Value), width(f.Basis), f.Basis, f.Note, kind, set)
}

func (s *spreading) add(name, id string, v, half float64, basis quantity.Basis, note string, kind int, set func(r *spreadRows, share float64)) {
	if v == 0 || half == 0 {
		return
	}
	s.inputs = append(s.inputs, spreadInput{name: name, row: id, nominal: v, half: half * v, low: 0, high: math.Inf(1),
		basis: basis, note: note, kind: kind, set: func(t *spreadTrial, value float64) error { set(&t.rows, value/v); return nil }})
}

// efficiency adds a train's efficiency: ±10 % whatever its basis, because one
// inferred or estimated for its kind already is the middle of a narrow band,
// and never above 1.
func (s *spreading) efficiency(name, id string, f quantity.Figure[quantity.Fraction], set func(r *spreadRows, share float64)) {
	if f.Known() {
		s.add(name, id, float64(f.Value), listedWidth, f.Basis, f.Note, 1, set)
		s.inputs[len(s.inputs)-1].high = 1
	}
}

// caseInputs are the tolerances the case states or takes from a surface.
func (s *spreading) caseInputs() {
	for _, tol := range s.c.Tolerances {
		if !(tol.Plus > 0) {
			continue
		}
		if err := s.c.Clone().Set(tol.Input, tol.Value); err != nil {
			s.held = append(s.held, fmt.Sprintf("%v: its tolerance is left out", err))
			continue
		}
		in := spreadInput{name: tol.Input, nominal: tol.Value, half: tol.Plus, low: math.Inf(-1), high: math.Inf(1),
			basis: tol.Basis, kind: kindEnd(tol.Input), set: func(t *spreadTrial, v float64) error { return t.c.Set(tol.Input, v) }}
		if tol.Basis == quantity.Assumed {
			in.note = "range of the surface"
		}
		switch { // a tolerance does not turn a figure's sign
		case tol.Input == "conditions.air":
		case tol.Value > 0:
			in.low = 0
		case tol.Value < 0:
			in.high = 0
		}
		if strings.HasSuffix(tol.Input, "efficiency") || strings.HasSuffix(tol.Input, "health") || strings.HasSuffix(tol.Input, "share_on_driven") {
			in.high = math.Min(in.high, 1)
		}
		s.inputs = append(s.inputs, in)
	}
	if r := s.c.Supply.PackResistance; r.Known() && s.c.Supply.Adapter == nil {
		s.inputs = append(s.inputs, spreadInput{name: "supply.pack_resistance", nominal: float64(r.Value), half: listedWidth * float64(r.Value),
			low: 0, high: math.Inf(1), basis: r.Basis, note: "from the two-point test", kind: -1,
			set: func(t *spreadTrial, v float64) error {
				t.c.Supply.PackResistance.Value = quantity.Resistance(v)
				return nil
			}})
	}
	if len(s.c.Tolerances) == 0 {
		s.held = append(s.held, "the case states no tolerance, so its own figures are held: write mass: 42 kg ± 3 kg, or ± 10 %, to have them varied")
	}
}

// kindEnd is the sign of the end of a case's figure that helps every check.
func kindEnd(path string) int {
	last := path[strings.LastIndexByte(path, '.')+1:]
	switch last {
	case "rolling_resistance", "drag_area", "air", "wheel_inertia", "drum_inertia", "friction_torque", "force", "breakaway", "current":
		return -1
	case "share_on_driven", "rope_efficiency", "health", "efficiency", "rest":
		return 1
	case "mass", "payload":
		if strings.Contains(path, "balance") || strings.HasPrefix(path, "mechanism.hoist") || strings.HasPrefix(path, "mechanism.arm") {
			return 0 // a counterweight may have been fitted to it
		}
		return -1
	case "friction":
		if strings.Contains(path, "grip") {
			return 1
		}
		return -1
	}
	return 0
}

// reaches reports whether an input is one of a candidate's.
func (in *spreadInput) reaches(c *sizing.Candidate) bool {
	switch {
	case in.row == "":
		return true
	case strings.HasPrefix(in.name, "motor."):
		return c.Motor.Row == in.row
	case strings.HasPrefix(in.name, "gear_train."):
		return c.Train != nil && c.Train.ID == in.row
	case strings.HasPrefix(in.name, "battery."):
		return c.Battery != nil && c.Battery.ID == in.row
	default:
		return c.Controller.ID == in.row
	}
}

// drop removes the inputs that reach no member, and says which reach each.
func (s *spreading) drop() {
	s.inputs = slices.DeleteFunc(s.inputs, func(in spreadInput) bool {
		return !slices.ContainsFunc(s.members, func(m spreadMember) bool { return in.reaches(m.nominal) })
	})
	for i := range s.members {
		m := &s.members[i]
		m.inputs = m.inputs[:0]
		for j := range s.inputs {
			if s.inputs[j].reaches(m.nominal) {
				m.inputs = append(m.inputs, j)
			}
		}
	}
}
