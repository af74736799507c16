package rating

import (
	"errors"
	"fmt"
	"math"

	"example.org/dray/quantity"
)

// Copper, at 20 °C: 58 MS/m (IEC 60028); 234.5 is the temperature below zero
// at which its resistance would vanish; heat per volume is a handbook value.
const (
	copperResistivity = 1e-6 / 58 // Ω·m
	copperZero        = 234.5     // °C
	copperHeat        = 3.45e6    // J/(m³·K)
)

// Insulation is the temperature in °C that the ampacity table allows.
const Insulation = 105.0

var errGauge = errors.New("want an AWG number from -3 (4/0) to 44, or a cross-section above zero and below 0.01 m²")

// AWGDiameter returns the diameter in m of a solid wire of gauge n (0 is 1/0,
// −1 is 2/0): 0.127·92^((36−n)/39) mm, ASTM B258.
func AWGDiameter(n float64) float64 { return 0.127e-3 * math.Pow(92, (36-n)/39) }

// AWGArea returns the copper section in m² of gauge n.
func AWGArea(n float64) float64 { d := AWGDiameter(n); return math.Pi / 4 * d * d }

// point is a pair of a table that is read straight in log-log.
type point struct{ x, y float64 }

// loglog reads a rising-x table, straight in log-log; beyond its ends the
// given powers carry on.
func loglog(table []point, x, below, above float64) float64 {
	first, last := table[0], table[len(table)-1]
	if x <= first.x {
		return first.y * math.Pow(x/first.x, below)
	}
	if x >= last.x {
		return last.y * math.Pow(x/last.x, above)
	}
	i := 1
	for x > table[i].x {
		i++
	}
	a, b := table[i-1], table[i]
	return a.y * math.Pow(x/a.x, math.Log(b.y/a.y)/math.Log(b.x/a.x))
}

// class5 returns the largest resistance in Ω/m at 20 °C of flexible copper of
// a nominal section in mm²: IEC 60228 class 5 (Ω/km in the table), straight in
// log-log between its sizes; beyond 0.5 and 50 mm² it goes on as 1/A (from
// there 13 % and 12 % above 17.241/A).
func class5(mm2 float64) (ohm float64, listed bool) {
	table := [...]point{{0.5, 39.0}, {0.75, 26.0}, {1, 19.5}, {1.5, 13.3}, {2.5, 7.98}, {4, 4.95},
		{6, 3.30}, {10, 1.91}, {16, 1.21}, {25, 0.780}, {35, 0.554}, {50, 0.386}}
	for _, p := range table {
		if math.Abs(mm2/p.x-1) < 1e-6 {
			return p.y / 1000, true
		}
	}
	return loglog(table[:], mm2, -1, -1) / 1000, false
}

// checkGauge reports whether the gauge is one, and its mm².
func checkGauge(g quantity.Gauge) error {
	section := float64(g.Section)
	switch {
	case section == 0 && g.AWG >= -3 && g.AWG <= 44:
		return nil
	case section > 0 && section < 0.01:
		return nil
	case section != 0:
		return fmt.Errorf("wire of %g mm²: %w", section*1e6, errGauge)
	}
	return fmt.Errorf("wire of AWG %g: %w", g.AWG, errGauge)
}

// WireResistance returns the resistance of one conductor in Ω/m at a copper
// temperature in °C, and what it rests on. AWG: ρ/A of the solid wire, ρ =
// 1/58 µΩ·m at 20 °C (ASTM B258 geometry; stranded wire is a few percent
// more). mm²: IEC 60228 class 5. Temperature by the 234.5 rule,
// R = R20·(234.5 + T)/254.5. It fails on a gauge that is none.
func WireResistance(g quantity.Gauge, tempC float64) (ohmPerMetre float64, note string, err error) {
	if err := checkGauge(g); err != nil {
		return 0, "", err
	}
	if !(tempC > -copperZero) {
		return 0, "", fmt.Errorf("wire temperature %g °C: want one above %g °C", tempC, -copperZero)
	}
	hot := (copperZero + tempC) / (copperZero + 20)
	if g.Section == 0 {
		return copperResistivity / AWGArea(g.AWG) * hot, "solid copper of ASTM B258 diameter", nil
	}
	ohm, listed := class5(float64(g.Section) * 1e6)
	note = "IEC 60228 class 5"
	if !listed {
		note = "IEC 60228 class 5, between or beyond its sizes: assumed"
	}
	return ohm * hot, note, nil
}

// copperArea returns the solid-copper section in m² of the same resistance.
// For a nominal mm² size it is some 12 % less than the name says.
func copperArea(g quantity.Gauge) (float64, error) {
	if err := checkGauge(g); err != nil {
		return 0, err
	}
	if g.Section == 0 {
		return AWGArea(g.AWG), nil
	}
	ohm, _ := class5(float64(g.Section) * 1e6)
	return copperResistivity / ohm, nil
}

// singleAmpacity returns the current in A that one conductor of a copper
// section (m²) carries in 30 °C air with 105 °C insulation: the table of
// 33 CFR 183.425 / ABYC E-11 for AWG 18 to 1 (published checks E5), straight
// in log-log between sizes. Thinner, it is carried on in the proportions of
// the chassis-wiring column (16 A at AWG 18, 11, 7, 3.5 at 20, 22, 24; a rule
// of thumb), beyond AWG 24 with A^0.75; thicker than AWG 1 with the power of
// its last step. Those are marked by note.
func singleAmpacity(area float64) (amps float64, note string) {
	const chassis = 20.0 / 16 // the two columns meet at AWG 18
	table := [...]struct{ awg, amps float64 }{{24, 3.5 * chassis}, {22, 7 * chassis}, {20, 11 * chassis},
		{18, 20}, {16, 25}, {14, 35}, {12, 45}, {10, 60}, {8, 80}, {6, 120}, {4, 160}, {2, 210}, {1, 245}}
	var points [len(table)]point
	for i, t := range table {
		points[i] = point{AWGArea(t.awg), t.amps}
	}
	last, before := points[len(points)-1], points[len(points)-2]
	power := math.Log(last.y/before.y) / math.Log(last.x/before.x)
	note = "ampacity by 33 CFR 183.425 (105 °C insulation)"
	if area < AWGArea(18)*(1-1e-9) || area > AWGArea(1)*(1+1e-9) {
		note = "ampacity extrapolated from 33 CFR 183.425 (105 °C insulation), assumed"
	}
	return loglog(points[:], area, 0.75, power), note
}

// bundling returns the share of its ampacity a conductor keeps among n laid
// together: 3 ×0.7, 4–6 ×0.6, 7–24 ×0.5 (33 CFR 183.425); more ×0.4, assumed.
func bundling(n int) float64 {
	switch {
	case n < 3:
		return 1
	case n == 3:
		return 0.7
	case n <= 6:
		return 0.6
	case n <= 24:
		return 0.5
	}
	return 0.4
}

// WireAmpacity returns the current in A that a conductor carries for ever in
// air of a temperature in °C, bundle conductors laid together (0 or 1: alone),
// and what it rests on: 33 CFR 183.425 / ABYC E-11 with 105 °C insulation,
// times its bundling factor, times √((105 − air)/75) for air other than the
// table's 30 °C. A nominal mm² size counts with the copper section that its
// class 5 resistance tells. Nothing at 105 °C and above. It fails on a gauge
// that is none.
func WireAmpacity(g quantity.Gauge, airC float64, bundle int) (amps float64, note string, err error) {
	area, err := copperArea(g)
	if err != nil {
		return 0, "", err
	}
	amps, note = singleAmpacity(area)
	if k := bundling(bundle); k < 1 {
		amps *= k
		note += fmt.Sprintf(", ×%g for %d conductors together", k, bundle)
		if bundle > 24 {
			note += " (beyond the table, assumed)"
		}
	}
	if airC != 30 {
		k := math.Sqrt(math.Max(0, (Insulation-airC)/(Insulation-30)))
		amps *= k
		note += fmt.Sprintf(", ×%.2f for air of %g °C", k, airC)
	}
	return amps, note, nil
}

// WireWithstand returns what a conductor stands: its ampacity for ever and,
// for short, the heat its copper takes: τ = c·A·ΔT/(Ic²·R′), c = 3.45 MJ/(m³K),
// ΔT = 105 °C − air and R′ at 105 °C, where Ic brings it. It has no ceiling.
func WireWithstand(g quantity.Gauge, airC float64, bundle int) (Withstand, string, error) {
	ic, note, err := WireAmpacity(g, airC, bundle)
	if err != nil {
		return Withstand{}, "", err
	}
	area, err := copperArea(g)
	if err != nil {
		return Withstand{}, "", err
	}
	if ic == 0 {
		return ContinuousOnly(0), note, nil
	}
	ohm, _, err := WireResistance(g, Insulation)
	if err != nil {
		return Withstand{}, "", err
	}
	return Withstand{Continuous: ic, Tau: copperHeat * area * (Insulation - airC) / (ic * ic * ohm)}, note, nil
}

// Preece returns the current in A that in time melts a copper wire of a
// diameter in m in open air: 80.02·d^1.5 with d in mm (10244 with d in inches).
func Preece(diameter float64) float64 { return 10244 * math.Pow(diameter/0.0254, 1.5) }

// Onderdonk returns the current in A that brings a copper section (m²) from an
// air temperature to a melting temperature (1083 for copper), both °C, in t
// seconds: I = A·√(log10((Tm − Ta)/(234 + Ta) + 1)/(33·t)), A in circular
// mils. Adiabatic: for short times only, roughly under 10 s.
func Onderdonk(area, airC, meltC, t float64) float64 {
	return circularMils(area) * math.Sqrt(math.Log10((meltC-airC)/(234+airC)+1)/(33*t))
}

// OnderdonkTime returns the time in s for a current in A: Onderdonk solved for t.
func OnderdonkTime(area, airC, meltC, current float64) float64 {
	q := circularMils(area) / current
	return q * q * math.Log10((meltC-airC)/(234+airC)+1) / 33
}

// circularMils converts m²; a circular mil is the area of a circle one
// thousandth of an inch across.
func circularMils(area float64) float64 { return area / (math.Pi / 4 * 25.4e-6 * 25.4e-6) }
