package review

import (
	"fmt"
	"math"

	"example.org/dray/quantity"
	"example.org/dray/report/figures"
	"example.org/dray/sizing"
)

// Half widths of the bands on the commissioning sheet, shares of the value.
// They are conventions of this program, by the basis of the weakest figure
// used: listed figures of small motors and what is derived from them scatter by
// about a tenth, size tells heat to two fifths.
const (
	bandListed    = 0.10
	bandEstimated = 0.40
	bandAssumed   = 0.50
	bandLoad      = 0.15 // a current under load: motor, train and load together
	leastKelvin   = 2.0  // a temperature is not read better
)

func bandOf(b quantity.Basis) float64 {
	switch b {
	case quantity.Estimated:
		return bandEstimated
	case quantity.Assumed, quantity.Unknown:
		return bandAssumed
	}
	return bandListed
}

// reading is one line of the commissioning sheet.
type reading struct {
	what, how string
	value     float64
	low, high float64
	unit      string

	path  string
	means string
}

func (r reading) row() []figures.Cell {
	return []figures.Cell{figures.Words(r.what), amount(r.value, with(r.value, r.unit), r.path),
		figures.Words(fmt.Sprintf("%s … %s", sig(r.low), with(r.high, r.unit))), figures.Words(r.how), figures.Words(r.means)}
}

func about(value, share float64) (low, high float64) {
	return math.Min(value*(1-share), value*(1+share)), math.Max(value*(1-share), value*(1+share))
}

// commissioning is what to measure first on the real machine, in an order that
// finds mistakes before they cost a part.
func (w *composer) commissioning() {
	s := w.section("commissioning", "Commissioning sheet")
	s.NewPage = true
	s.say("Measure in this order, the first four with the wheels off the ground or the load off. Write each measured value down before looking at what the deviation would mean. Bands are conventions: ±10 % for what is listed or derived, ±40 % for heat estimated from size, ±50 % for what is assumed, ±15 % for a current under load.")
	t := figures.Table{Caption: "What to measure, what to expect", Left: 5, Heads: []string{"measure", "predicted", "band", "how", "outside the band it means"}}
	for _, r := range w.readings() {
		t.Rows = append(t.Rows, r.row())
	}
	s.add(Block{Kind: Sheet, Table: &t, Blanks: []string{"measured"}, BlankAfter: 3})
}

func (w *composer) readings() []reading {
	var out []reading
	out = append(out, w.restReadings()...)
	out = append(out, w.lockedReading(), w.freeReading())
	out = append(out, w.loadReadings()...)
	out = append(out, w.sagReading()...)
	return append(out, w.heatReadings()...)
}

// restReadings need nothing to turn, or only the bare motor.
func (w *composer) restReadings() (out []reading) {
	m := w.c.Motor
	if src := w.c.Detail.Source; len(src.Sags) > 0 && !src.Adapter {
		v := src.Sags[0].EMF
		r := reading{what: "pack voltage, full, at rest", how: "voltmeter at the pack, an hour after charging", value: v, unit: "V", path: "source.sags.0.open_circuit_V",
			means: "lower: not full, a weak or missing cell; higher: another chemistry or cell count than the catalog says"}
		r.low, r.high = about(v, 0.03)
		out = append(out, r)
	}
	i0 := float64(m.NoLoadCurrent.Value)
	r := reading{what: "no-load current of one motor", how: "gear motor alone at its nominal voltage, warm after two minutes", value: i0, unit: "A", path: "constants.no_load_current_A.value",
		means: "higher: a tight gear train, misaligned bearing or brake left on; lower: lubricant run in, or a bare motor listed"}
	r.low, r.high = about(i0, 2*bandOf(m.NoLoadCurrent.Basis))
	return append(out, r)
}

// lockedReading is the resistance by a low voltage with the output held: at
// about the duty's rms current, so that it may last for minutes.
func (w *composer) lockedReading() reading {
	m := w.c.Motor
	ohm := float64(m.Resistance.Value)
	volt := math.Max(0.5, math.Round(2*w.c.MotorCurrentRMS*ohm)/2)
	amp := volt / ohm
	r := reading{what: "locked-rotor current of one motor", value: amp, unit: "A",
		how:   fmt.Sprintf("output held, %s at the terminals, read within ten seconds, winding at %s °C; the largest of ten shaft positions", with(volt, "V"), sig(float64(m.ReferenceTemp))),
		means: "lower: more resistance than the catalog, a bad lead or brush; higher: another winding, shorted turns"}
	r.low, r.high = about(amp, bandOf(m.Resistance.Basis))
	return r
}

// freeReading is the speed at full command with nothing to drive.
func (w *composer) freeReading() reading {
	line := "cold"
	var speed float64
	for _, l := range w.in.Figures.Lines {
		if l.Name == line {
			speed = l.Points[len(l.Points)-1].Speed
		}
	}
	rpm := figures.Rpm(speed)
	r := reading{what: "free speed of the gear output", how: "full pack, full command, wheels off the ground or load off, all motors running", value: rpm, unit: "rpm",
		means: "lower: another ratio or winding, a low pack; higher: a ratio smaller than listed"}
	r.low, r.high = about(rpm, bandOf(w.c.Motor.Constant.Basis))
	return r
}

// loadReadings are the currents of the legs that drive hardest, at most two.
func (w *composer) loadReadings() (out []reading) {
	first, second := -1, -1
	amps := func(i int) float64 { return math.Abs(w.c.Legs[i].Steady.MotorCurrent) }
	for i := range w.c.Legs {
		switch {
		case amps(i) == 0:
		case first < 0 || amps(i) > amps(first):
			first, second = i, first
		case second < 0 || amps(i) > amps(second):
			second = i
		}
	}
	for _, i := range []int{first, second} {
		if i < 0 {
			continue
		}
		l := &w.c.Legs[i]
		r := reading{what: fmt.Sprintf("current of one motor, leg %q", l.Name), how: "loaded as in the case, at half charge, once the speed is steady; clamp meter on one motor lead",
			value: l.Steady.MotorCurrent, unit: "A", path: fmt.Sprintf("legs.%d.steady.motor_current_A", i),
			means: "higher: the machine is heavier, the slope steeper, rolling or rope friction larger, or the gears less efficient than stated; lower: the opposite, and room to spare; unequal between motors: they do not share the load"}
		r.low, r.high = about(r.value, bandLoad)
		out = append(out, r)
	}
	return out
}

// sagReading is the bus at the leg of the largest battery current.
func (w *composer) sagReading() []reading {
	i, most := -1, 0.0
	for k := range w.c.Legs {
		if a := w.c.Legs[k].Steady.BatteryCurrent; a > most {
			i, most = k, a
		}
	}
	sags := w.c.Detail.Source.Sags
	if i < 0 || w.c.Battery == nil || len(sags) == 0 {
		return nil
	}
	st := &w.c.Legs[i].Steady
	share := bandOf(w.c.Battery.Resistance.Basis)
	if w.f.Case.Supply.PackResistance.Known() {
		share = bandListed
	}
	drop := w.halfCharge() - st.BusVoltage
	if !(drop > 0) {
		return nil
	}
	r := reading{what: fmt.Sprintf("fall of the bus from rest, leg %q", w.c.Legs[i].Name), how: "voltmeter at the controller's supply terminals, at half charge: at rest with the electronics off, less under way", value: drop, unit: "V",
		means: "more: a worn or cold pack, thin or long leads, a bad contact; less: the pack is better than assumed"}
	r.low, r.high = about(drop, share)
	return []reading{r}
}

// halfCharge is the pack's open-circuit voltage at half charge.
func (w *composer) halfCharge() float64 {
	b := w.c.Battery
	if b == nil || len(b.OCV) == 0 {
		return math.NaN()
	}
	t := b.OCV
	for i := 1; i < len(t); i++ {
		if t[i].Charge >= 0.5 {
			u := (0.5 - t[i-1].Charge) / (t[i].Charge - t[i-1].Charge)
			return (float64(t[i-1].Voltage) + u*float64(t[i].Voltage-t[i-1].Voltage)) * float64(w.f.Case.Supply.PacksSeries)
		}
	}
	return math.NaN()
}

// early is when the case temperature is first read, s.
const early = 600

// heatReadings are the housing after ten minutes and when settled, and the
// winding by its resistance.
func (w *composer) heatReadings() (out []reading) {
	warm := w.in.Figures.Warm
	if len(warm) == 0 || math.IsNaN(w.c.HousingPeak) {
		return []reading{}
	}
	air, share := float64(w.f.Case.Air.Value), bandOf(w.c.ThermalBasis)
	rise := func(what, how, path string, t float64, means string) {
		r := reading{what: what, how: how, value: t, unit: "°C", path: path, means: means}
		half := math.Max(leastKelvin, share*(t-air))
		r.low, r.high = t-half, t+half
		out = append(out, r)
	}
	means := "hotter: worse cooling than estimated or more current than predicted, so check the current first; cooler: room to spare"
	if warm[len(warm)-1].Time > 2*early {
		rise("housing after ten minutes of the duty", fmt.Sprintf("from cold, in air of %s °C; probe under tape on the motor's housing", sig(air)), "", housingAt(warm, early), means)
	}
	rise("housing when it no longer rises", fmt.Sprintf("after %s of the duty or more", figures.Duration(warm[len(warm)-1].Time)), "housing_peak_degC", w.c.HousingPeak, means)
	m := w.c.Motor
	ohm := float64(m.Resistance.Value) * (234.5 + w.c.WindingMean) / (234.5 + float64(m.ReferenceTemp))
	r := reading{what: "winding resistance, hot", how: "stop, and within half a minute the locked-rotor test again: volts over amperes", value: 1000 * ohm, unit: "mΩ",
		means: "higher: the winding is hotter than predicted, by 1 K for each " + sig(1000*float64(m.Resistance.Value)/(234.5+float64(m.ReferenceTemp))) + " mΩ; judge the winding by this and not by the housing"}
	cold := 1000 * float64(m.Resistance.Value)
	half := math.Max(share*math.Abs(r.value-cold), bandListed*cold)
	r.low, r.high = r.value-half, r.value+half
	return append(out, r)
}

// housingAt reads the warm-up at a time.
func housingAt(warm []sizing.WarmPoint, t float64) float64 {
	for i := 1; i < len(warm); i++ {
		if a, b := warm[i-1], warm[i]; t <= b.Time {
			return a.Housing + (b.Housing-a.Housing)*(t-a.Time)/(b.Time-a.Time)
		}
	}
	return warm[len(warm)-1].Housing
}
