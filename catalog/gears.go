package catalog

import (
	"fmt"
	"strings"

	"example.org/dray/quantity"
)

// gears reads one file of gear trains sold apart.
func gears(r *reader, ids *ledger) (list []GearTrain) {
	for _, line := range r.rows {
		rec := r.record(line)
		if g, ok := rec.gearTrain(ids); ok && !rec.bad {
			list = append(list, g)
		}
	}
	return list
}

func (r *record) gearTrain(ids *ledger) (g GearTrain, ok bool) {
	id, ok := r.identify()
	if !ok || !ids.enter(r) {
		return g, false
	}
	g = GearTrain{ID: id, File: r.name, Line: r.row.line, Kind: r.gearKind("kind")}
	if !r.has("ratio") {
		r.say(Warning, "ratio", "a gear train without a ratio: left out")
		return g, false
	}
	c, _ := r.cell("ratio")
	if strings.Contains(c.text, ";") {
		r.fault("ratio", strings.Index(c.text, ";"), "a list of ratios in a gear train", "one row for each ratio")
		return g, false
	}
	n, ok := r.ratio(c.text, 0, nil)
	if !ok {
		return g, false
	}
	g.Ratio = quantity.Figure[quantity.Ratio]{Value: quantity.Ratio(n), Basis: quantity.Listed}
	g.Stages, _ = r.number("stages")
	g.TorqueContinuous = get[quantity.Torque](r, "torque_continuous")
	g.TorquePeak = get[quantity.Torque](r, "torque_peak")
	g.InputSpeedMax = get[quantity.AngularSpeed](r, "input_speed_max")
	g.RadialLoadMax = get[quantity.Force](r, "radial_load_max")
	g.Inertia = get[quantity.Inertia](r, "inertia")
	g.Mass = get[quantity.Mass](r, "mass")
	g.Price = get[quantity.Money](r, "price")
	g.Fits = r.fits()
	r.gearEfficiency(&g)
	if g.TorquePeak.Known() && g.TorqueContinuous.Known() && g.TorquePeak.Value < g.TorqueContinuous.Value {
		r.say(Warning, "torque_peak", "torque_peak is below torque_continuous: swapped?")
	}
	return g, true
}

// gearEfficiency takes the listed efficiencies, else estimates the forward one
// and computes the backward one from it.
func (r *record) gearEfficiency(g *GearTrain) {
	g.Efficiency = get[quantity.Fraction](r, "efficiency")
	if !g.Efficiency.Known() {
		g.Efficiency = estimateEfficiency(g.Kind, g.Stages, float64(g.Ratio.Value))
	}
	g.BackEfficiency, g.SelfLocking = backEfficiency(g.Efficiency, g.Kind)
	c, filled := r.cell("backdrive_efficiency")
	if !filled {
		return
	}
	got, err := quantity.ParseWith(quantity.KindFraction, c.text, quantity.Options{Decimal: r.dialect.decimal, DefaultUnit: r.unit("backdrive_efficiency")})
	if err != nil {
		r.misread(r.table.column("backdrive_efficiency"), 0, err)
		return
	}
	if got.Value > 1 {
		r.fault("backdrive_efficiency", 0, "backdrive_efficiency: more than the whole", "a fraction such as 0.6, or below zero for a self-locking train")
		return
	}
	g.BackEfficiency = quantity.Figure[quantity.Fraction]{Value: quantity.Fraction(got.Value), Basis: quantity.Listed}
	g.SelfLocking = got.Value <= 0
}

// fits lists the motor rows a train fits; empty means any.
func (r *record) fits() (list []string) {
	c, filled := r.cell("fits")
	if !filled || strings.EqualFold(c.text, "any") {
		return nil
	}
	return strings.FieldsFunc(c.text, func(x rune) bool { return x == ';' || x == ',' || isSpace(x) })
}

// unknownFits warns of trains that name a motor no file lists.
func unknownFits(trains []GearTrain, motors *ledger) (found []Finding) {
	if len(motors.first) == 0 {
		return nil
	}
	for _, g := range trains {
		for _, id := range g.Fits {
			if _, ok := motors.first[id]; !ok {
				text := fmt.Sprintf("fits names %s, which no motor file lists", quoted(id))
				if near := nearest(id, keys(motors.first)); near != "" {
					text += "; perhaps " + near
				}
				found = append(found, Finding{File: g.File, Line: g.Line, Severity: Warning, ID: g.ID, Field: "fits", Read: id, Text: text})
			}
		}
	}
	return found
}
