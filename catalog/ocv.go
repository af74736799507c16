package catalog

import (
	"fmt"
	"math"
	"slices"

	"example.org/dray/quantity"
)

// ownOCV replaces the chemistry's curve by the table a row names: columns
// charge (0…1 or %) and voltage (of the whole pack), rising together, from
// empty to full.
func (r *record) ownOCV(b *Battery, name string, open opener, columns map[string]string) []Finding {
	if open == nil {
		r.fault("ocv", 0, "an ocv table is named where no files can be opened", "the row without an ocv cell")
		return nil
	}
	data, err := open(name)
	if err != nil {
		r.fault("ocv", 0, fmt.Sprintf("the ocv table cannot be read: %v", err), "a CSV with the columns charge and voltage")
		return nil
	}
	points, found := readOCV(CSV{Name: name, Data: data}, columns)
	if slices.ContainsFunc(found, func(f Finding) bool { return f.Severity == Fault }) {
		r.bad = true
		return found
	}
	b.OCV, b.OCVBasis = points, quantity.Listed
	if top := float64(points[len(points)-1].Voltage); b.Cells > 1 && top < 0.5*float64(b.NominalVoltage.Value) {
		r.say(Warning, "ocv", fmt.Sprintf("the ocv table ends at %.3g V, far below the pack's %.3g V: is it written for one cell?", top, float64(b.NominalVoltage.Value)))
	}
	return found
}

// readOCV reads and judges one table.
func readOCV(csv CSV, columns map[string]string) ([]OCVPoint, []Finding) {
	r, ok := open(csv, ocvTable(), columns)
	if !ok {
		return nil, r.findings()
	}
	var points []OCVPoint
	var rows []*record
	for _, line := range r.rows {
		rec := r.record(line)
		p, ok := rec.ocvPoint()
		if ok {
			points, rows = append(points, p), append(rows, rec)
		}
	}
	if r.faulty() {
		return nil, r.findings()
	}
	if len(points) < 2 {
		r.addWhole(Fault, "an ocv table of fewer than two points; want charge from 0 to 1 with the voltage at each")
		return nil, r.findings()
	}
	points = asShares(r, points)
	judgeOCV(r, points, rows)
	slices.SortFunc(points, func(a, b OCVPoint) int {
		if a.Charge < b.Charge {
			return -1
		}
		return 1
	})
	return points, r.findings()
}

// ocvPoint reads one row, the charge as it is written.
func (r *record) ocvPoint() (p OCVPoint, ok bool) {
	c, filled := r.cell("charge")
	v := get[quantity.Voltage](r, "voltage")
	if !filled || !v.Known() {
		if !r.bad {
			r.fault("charge", 0, "a point of the ocv table lacks charge or voltage", "both")
		}
		return p, false
	}
	got, err := quantity.ParseWith(quantity.KindFriction, c.text, quantity.Options{Decimal: r.dialect.decimal, DefaultUnit: r.unit("charge")})
	if err != nil {
		r.misread(r.table.column("charge"), 0, err)
		return p, false
	}
	if !(got.Value >= 0 && got.Value <= 100) {
		r.fault("charge", 0, "a state of charge outside empty to full", "0 to 1, or 0 to 100 %")
		return p, false
	}
	return OCVPoint{Charge: got.Value, Voltage: v.Value}, true
}

// asShares reads a bare column that goes beyond 1.5 as percent.
func asShares(r *reader, points []OCVPoint) []OCVPoint {
	most := 0.0
	for _, p := range points {
		most = max(most, p.Charge)
	}
	if most <= 1.5 {
		return points
	}
	r.found = append(r.found, Finding{File: r.name, Severity: Note, Field: "charge", Text: "charge goes to " + trimFloat(most) + ": taken as percent"})
	for i := range points {
		points[i].Charge /= 100
	}
	return points
}

// judgeOCV faults a table that does not rise with charge, repeats a charge or
// does not reach from empty to full.
func judgeOCV(r *reader, points []OCVPoint, rows []*record) {
	order := make([]int, len(points))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch d := points[a].Charge - points[b].Charge; {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	for j := 1; j < len(order); j++ {
		low, high := points[order[j-1]], points[order[j]]
		switch rec := rows[order[j]]; {
		case low.Charge == high.Charge:
			rec.fault("charge", 0, "the charge is repeated", "each charge once")
		case high.Voltage < low.Voltage:
			rec.fault("voltage", 0, fmt.Sprintf("the voltage falls as the charge rises, from %.4g V below", float64(low.Voltage)), "a voltage that rises with charge")
		}
	}
	first, last := points[order[0]].Charge, points[order[len(order)-1]].Charge
	if math.Abs(first) > 1e-9 || math.Abs(last-1) > 1e-9 {
		r.addWhole(Fault, fmt.Sprintf("the ocv table reaches from %.3g to %.3g of full charge; want it from 0 to 1", first, last))
	}
}
