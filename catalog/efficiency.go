package catalog

import "example.org/dray/quantity"

// SetGearEfficiency puts another forward efficiency, 0 < η ≤ 1, of the same
// basis into the motor's gear train; the back-driven efficiency and what may be
// called self-locking follow by the rule the row was read with.
func (m *Motor) SetGearEfficiency(eta float64) {
	m.GearEfficiency.Value = quantity.Fraction(eta)
	m.BackEfficiency, m.SelfLocking = backEfficiency(m.GearEfficiency, m.GearKind)
}

// SetEfficiency does the same for a gear train sold apart; a back-driven
// efficiency that is listed stays as it is.
func (t *GearTrain) SetEfficiency(eta float64) {
	t.Efficiency.Value = quantity.Fraction(eta)
	if t.BackEfficiency.Basis >= quantity.Listed {
		return
	}
	t.BackEfficiency, t.SelfLocking = backEfficiency(t.Efficiency, t.Kind)
}
