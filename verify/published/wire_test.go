package published

import (
	"math"

	"example.org/dray/quantity"
	"example.org/dray/sizing/rating"
)

// gauge is the row's wire as a person writes it in a case.
func (r *row) gauge() quantity.Gauge {
	g, err := quantity.ParseGauge(string(r.text("gauge")))
	if err != nil {
		r.fail("%v", err)
	}
	return g
}

// wire looks a gauge up.
func wire(r *row) answer {
	g := r.gauge()
	ohm, _, err := rating.WireResistance(g, r.or("temperature", 20))
	if err != nil {
		r.fail("%v", err)
	}
	a := answer{"ohm_per_km": ohm * 1000, "ohm_per_1000_ft": ohm * 304.8}
	if g.Section == 0 {
		a["diameter_in"], a["section_mm2"] = rating.AWGDiameter(g.AWG)/0.0254, rating.AWGArea(g.AWG)*1e6
		a["circular_mils"] = math.Pow(rating.AWGDiameter(g.AWG)/25.4e-6, 2)
	}
	return a
}

// ampacity looks up what a gauge carries for ever.
func ampacity(r *row) answer {
	amps, _, err := rating.WireAmpacity(r.gauge(), r.or("air", 30), 1)
	if err != nil {
		r.fail("%v", err)
	}
	a := answer{"alone": amps}
	for name, n := range map[string]int{"three": 3, "four": 4, "six": 6, "seven": 7, "twenty_four": 24} {
		bundled, _, err := rating.WireAmpacity(r.gauge(), r.or("air", 30), n)
		if err != nil {
			r.fail("%v", err)
		}
		a[name] = bundled
	}
	s, _, err := rating.WireWithstand(r.gauge(), r.or("air", 30), 1)
	if err != nil {
		r.fail("%v", err)
	}
	a["continuous_withstand"] = s.At(math.Inf(1))
	return a
}

// fusing melts a wire.
func fusing(r *row) answer {
	const mil = math.Pi / 4 * 25.4e-6 * 25.4e-6
	area := r.or("circular_mils", 1) * mil
	return answer{
		"preece":         rating.Preece(r.or("diameter_in", 0) * 0.0254),
		"onderdonk":      rating.Onderdonk(area, r.or("air", 25), r.or("melting", 1083), r.or("time", 1)),
		"onderdonk_time": rating.OnderdonkTime(area, r.or("air", 25), r.or("melting", 1083), r.or("current", 1)),
	}
}

// fuse asks when a blade fuse opens at a share of its rating. Where no opening
// is promised the longest time is infinite.
func fuse(r *row) answer {
	f, err := rating.NewFuse(r.num("rating"), string(r.text("type")), r.or("air", 20))
	if err != nil {
		r.fail("%v", err)
		return nil
	}
	current := r.num("rating") * r.or("percent", 100) / 100 * (1 + 1e-12)
	longest, _ := f.Longest(current)
	s := f.Withstand()
	return answer{"shortest": f.Shortest(current), "longest": longest, "derated": f.Rating * f.Derating,
		"stands_for_ever": s.At(math.Inf(1)) / f.Rating}
}
