package published

import "example.org/dray/quantity"

// pack reads a battery and gives its voltages at states of charge in %.
func pack(r *row) answer {
	list := r.catalog().Batteries
	if len(list) == 0 {
		r.fail("no battery could be read")
		return nil
	}
	b := list[0]
	cells := float64(b.Cells)
	a := answer{"cut_off_per_cell": float64(b.CutOff.Value) / cells, "full_per_cell": float64(b.FullVoltage.Value) / cells,
		"nominal_per_cell": float64(b.NominalVoltage.Value) / cells, "resistance": float64(b.Resistance.Value), "rated_hours": float64(b.RatedHours.Value) / 3600}
	if len(list) > 1 {
		a["resistance_times"] = a["resistance"] / float64(list[1].Resistance.Value)
	}
	charge := r.or("charge", 50) / 100
	for i := 1; i < len(b.OCV); i++ {
		low, high := b.OCV[i-1], b.OCV[i]
		if charge >= low.Charge && charge <= high.Charge {
			v := low.Voltage + (high.Voltage-low.Voltage)*quantity.Voltage((charge-low.Charge)/(high.Charge-low.Charge))
			a["voltage"], a["per_cell"] = float64(v), float64(v)/cells
			break
		}
	}
	return a
}
