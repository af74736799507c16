package catalog

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/dray/quantity"
)

// opener hands out the tables that ocv cells name.
type opener func(name string) ([]byte, error)

// batteries reads one file of packs. Findings in OCV tables are returned too.
func batteries(r *reader, ids *ledger, open opener, columns map[string]string) (list []Battery, more []Finding) {
	for _, line := range r.rows {
		rec := r.record(line)
		b, found, ok := rec.battery(ids, open, columns)
		more = append(more, found...)
		if ok && !rec.bad {
			list = append(list, b)
		}
	}
	return list, more
}

func (r *record) battery(ids *ledger, open opener, columns map[string]string) (b Battery, more []Finding, ok bool) {
	id, ok := r.identify()
	if !ok || !ids.enter(r) {
		return b, nil, false
	}
	c, _ := r.cell("chemistry")
	kind, ok := chemistryOf(c.text)
	if !ok {
		r.fault("chemistry", 0, "unknown chemistry", chemistries)
		return b, nil, false
	}
	b = Battery{ID: id, File: r.name, Line: r.row.line, Chemistry: kind.name}
	b.RatedHours = get[quantity.Time](r, "rated_hours")
	r.capacity(&b)
	r.cells(&b, kind)
	if b.Cells == 0 || !b.Capacity.Known() {
		if !r.bad {
			r.say(Warning, "id", "not enough to use the pack: needs capacity, and cells or nominal_voltage: "+id+" is left out")
		}
		return b, nil, false
	}
	b.RatedHours = assumedIf(b.RatedHours, quantity.Time(kind.hours*3600), "rated_hours not listed: usual for "+kind.name)
	r.packFigures(&b, kind)
	b.OCV, b.OCVBasis = kind.pack(b.Cells), kind.ocvBasis
	if name, filled := r.cell("ocv"); filled {
		more = r.ownOCV(&b, name.text, open, columns)
	}
	return b, more, true
}

// pack is the open-circuit voltage of cells in series.
func (c chemistry) pack(cells int) []OCVPoint {
	points := make([]OCVPoint, len(c.ocv))
	for i, p := range c.ocv {
		points[i] = OCVPoint{Charge: p.Charge, Voltage: p.Voltage * quantity.Voltage(cells)}
	}
	return points
}

// capacity reads a charge with what sellers glue behind it: `7.2Ah @20h` and
// `2200mAh 25C`.
func (r *record) capacity(b *Battery) {
	c, filled := r.cell("capacity")
	if !filled {
		return
	}
	text, hours, _ := strings.Cut(c.text, "@")
	text = trimSpace(text)
	if cut := strings.LastIndexAny(text, " \u00a0"); cut > 0 {
		if _, ok := r.rate(text[cut:]); ok && strings.ContainsAny(text[:cut], "hH") {
			text = trimSpace(text[:cut])
		}
	}
	e := r.read("capacity", text, 0)
	if !e.known {
		return
	}
	b.Capacity = quantity.Figure[quantity.Charge]{Value: quantity.Charge(e.value), Basis: quantity.Listed, Note: e.note}
	if hours = trimSpace(hours); hours == "" {
		return
	}
	got, err := quantity.ParseWith(quantity.KindTime, hours, quantity.Options{Decimal: r.dialect.decimal, DefaultUnit: "h"})
	if err != nil || got.Value <= 0 {
		r.fault("capacity", strings.IndexByte(c.text, '@'), "capacity: no hours behind the @", "hours such as 7.2 Ah @20h")
		return
	}
	if !b.RatedHours.Known() {
		b.RatedHours = quantity.Figure[quantity.Time]{Value: quantity.Time(got.Value), Basis: quantity.Listed, Note: "from the capacity cell"}
	}
}

// rate reads a C-rate such as 25C.
func (r *record) rate(text string) (float64, bool) {
	text = trimSpace(text)
	digits, ok := strings.CutSuffix(strings.ToUpper(text), "C")
	if !ok {
		return 0, false
	}
	if r.dialect.decimal == quantity.DecimalComma {
		digits = strings.Replace(digits, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(trimSpace(digits), 64)
	return v, err == nil && v > 0 && v < 1000
}

// rateCurrent reads a current that may be written as a C-rate, that is, as so
// many times the capacity per hour.
func (r *record) rateCurrent(name string, capacity quantity.Charge) quantity.Figure[quantity.Current] {
	c, filled := r.cell(name)
	if !filled {
		return quantity.Figure[quantity.Current]{}
	}
	times, ok := r.rate(c.text)
	if !ok {
		return get[quantity.Current](r, name)
	}
	return quantity.Figure[quantity.Current]{Value: quantity.Current(times * float64(capacity) / 3600), Basis: quantity.Listed,
		Note: trimFloat(times) + " times the capacity in an hour"}
}

// cells finds the number in series and the nominal voltage, each from the
// other where only one is listed.
func (r *record) cells(b *Battery, kind chemistry) {
	b.NominalVoltage = get[quantity.Voltage](r, "nominal_voltage")
	v := float64(b.NominalVoltage.Value)
	if c, filled := r.cell("cells"); filled {
		b.Cells = r.seriesCells(c.text)
	}
	switch {
	case b.Cells == 0 && b.NominalVoltage.Known() && !r.bad:
		b.Cells = max(1, int(math.Round(v/kind.nominal)))
		if !kind.fits(v, b.Cells) {
			r.say(Warning, "nominal_voltage", fmt.Sprintf("%.3g V is no whole number of %s cells: taken as %d", v, kind.name, b.Cells))
		}
	case b.Cells > 0 && !b.NominalVoltage.Known():
		b.NominalVoltage = quantity.Figure[quantity.Voltage]{Value: quantity.Voltage(kind.nominal * float64(b.Cells)), Basis: quantity.Derived,
			Note: fmt.Sprintf("%d cells of %.3g V", b.Cells, kind.nominal)}
	case b.Cells > 0 && !kind.fits(v, b.Cells):
		r.say(Warning, "nominal_voltage", fmt.Sprintf("%d %s cells give %.3g V, not %.3g V: the cells are used", b.Cells, kind.name, kind.nominal*float64(b.Cells), v))
	}
	if b.Cells > 400 {
		r.fault("cells", 0, "more than 400 cells in series", "cells in series")
	}
}

// fits reports whether a nominal voltage is that of so many cells.
func (c chemistry) fits(v float64, cells int) bool {
	n := float64(cells)
	return v >= 0.95*c.low*n && v <= 1.05*c.high*n
}

// seriesCells reads 3, 3S, 3S2P and 6*AA.
func (r *record) seriesCells(text string) int {
	upper := strings.ToUpper(trimSpace(text))
	digits := strings.TrimRight(upper[:len(upper)-len(strings.TrimLeft(upper, "0123456789"))], " ")
	n, err := strconv.Atoi(digits)
	rest := trimSpace(upper[len(digits):])
	parallel := strings.TrimSuffix(strings.TrimPrefix(rest, "S"), "P")
	switch {
	case err != nil || n < 1:
	case rest == "", rest == "S", rest == "CELLS", rest == "CELL":
		return n
	case strings.HasPrefix(rest, "S") && strings.HasSuffix(rest, "P") && strings.Trim(parallel, "0123456789") == "":
		r.say(Note, "cells", "cells: "+text+" read as "+digits+" in series; capacity and currents are taken as those of the whole pack")
		return n
	case strings.HasPrefix(rest, "*"), strings.HasPrefix(rest, "X"), strings.HasPrefix(rest, "×"):
		r.say(Note, "cells", "cells: "+text+" read as "+digits+" cells in series")
		return n
	}
	r.fault("cells", 0, "cells: not a number of cells in series", "3, 3S, 3S2P or 6*AA")
	return 0
}

// packFigures fills limits and resistance, by chemistry where not listed.
func (r *record) packFigures(b *Battery, kind chemistry) {
	n, hours := float64(b.Cells), float64(b.Capacity.Value)/3600
	b.Resistance = assumedIf(get[quantity.Resistance](r, "resistance"), quantity.Resistance(n*kind.resistance/hours),
		fmt.Sprintf("%d cells of %.3g mΩ·Ah, ±50 %%", b.Cells, kind.resistance*1000))
	b.CutOff = assumedIf(get[quantity.Voltage](r, "cutoff_voltage"), quantity.Voltage(n*kind.cutOff), fmt.Sprintf("%.3g V a cell", kind.cutOff))
	b.FullVoltage = quantity.Figure[quantity.Voltage]{Value: quantity.Voltage(n * kind.full), Basis: quantity.Assumed, Note: fmt.Sprintf("%.3g V a cell", kind.full)}
	b.DischargeMax = r.rateCurrent("discharge_continuous", b.Capacity.Value)
	if !b.DischargeMax.Known() {
		r.rateInCapacity(b)
	}
	b.DischargePeak = r.rateCurrent("discharge_peak", b.Capacity.Value)
	b.ChargeMax = r.rateCurrent("charge_max", b.Capacity.Value)
	b.PeakTime = assumedIf(get[quantity.Time](r, "peak_time"), 1, "peak_time not listed")
	b.Peukert = assumedIf(get[quantity.Fraction](r, "peukert"), 1, "peukert not listed: capacity does not depend on current")
	b.Mass = get[quantity.Mass](r, "mass")
	b.Price = get[quantity.Money](r, "price")
	r.judgePack(b, kind)
}

// rateInCapacity takes the 25C of a capacity cell such as `2200mAh 25C`.
func (r *record) rateInCapacity(b *Battery) {
	c, _ := r.cell("capacity")
	if cut := strings.LastIndexAny(c.text, " \u00a0"); cut > 0 {
		if times, ok := r.rate(c.text[cut:]); ok && strings.ContainsAny(c.text[:cut], "hH") {
			b.DischargeMax = quantity.Figure[quantity.Current]{Value: quantity.Current(times * float64(b.Capacity.Value) / 3600),
				Basis: quantity.Listed, Note: trimFloat(times) + "C in the capacity cell; such rates are often marketing"}
		}
	}
}

func (r *record) judgePack(b *Battery, kind chemistry) {
	if b.Peukert.Value < 1 || b.Peukert.Value > 2 {
		r.fault("peukert", 0, "no Peukert exponent", "a number from 1 to 2, such as 1.2")
	}
	if b.CutOff.Value >= b.FullVoltage.Value {
		r.fault("cutoff_voltage", 0, fmt.Sprintf("a cut-off above the full pack's %.3g V", float64(b.FullVoltage.Value)), "volts at the pack's terminals")
	} else if b.Cells > 1 && float64(b.CutOff.Value) < 1.5*kind.cutOff {
		r.say(Warning, "cutoff_voltage", fmt.Sprintf("a cut-off of %.3g V for %d cells: is it written for one cell? the pack's terminals are meant", float64(b.CutOff.Value), b.Cells))
	}
	if b.DischargePeak.Known() && b.DischargeMax.Known() && b.DischargePeak.Value < b.DischargeMax.Value {
		r.say(Warning, "discharge_peak", "discharge_peak is below discharge_continuous: swapped?")
	}
	if hours := float64(b.Capacity.Value) / 3600; hours > 2000 {
		r.say(Warning, "capacity", fmt.Sprintf("a capacity of %.4g Ah: were mAh meant?", hours))
	}
}
