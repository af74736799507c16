package catalog

import (
	"strings"

	"example.org/dray/quantity"
)

// chemistry holds what is known of one cell of a kind when a row does not say.
// Voltages in V per cell, resistance in Ω·Ah.
type chemistry struct {
	name         string
	nominal      float64 // used for a pack whose voltage is not listed
	low, high    float64 // nominal voltages per cell that listings use
	cutOff, full float64
	resistance   float64 // ρ: cell resistance times capacity in Ah
	hours        float64 // at which capacity is rated
	ocv          []OCVPoint
	ocvBasis     quantity.Basis
}

const chemistries = "nimh, lead_acid, li_ion or lifepo4"

// chemistryOf finds a chemistry by its name or a usual spelling of it.
func chemistryOf(text string) (chemistry, bool) {
	key := strings.Map(func(r rune) rune {
		if r == '-' || r == '_' || isSpace(r) {
			return -1
		}
		return r
	}, strings.ToLower(text))
	switch key {
	case "nimh":
		return nimh(), true
	case "leadacid", "sla", "agm", "vrla", "pb":
		return leadAcid(), true
	case "liion", "lipo", "lipoly", "lipolymer", "nmc":
		return liIon(), true
	case "lifepo4", "lfp":
		return lifepo4(), true
	}
	return chemistry{}, false
}

// Open-circuit voltages per cell at rest: lead-acid after a trade-association
// table; li-ion an NMC cell after half-cell fits to Chen et al.,
// J. Electrochem. Soc. 167 (2020) 080534; lifepo4 by the model's convention;
// NiMH common practice, no source. Cut-off, full-charge voltage and resistance
// are conventions of the model.

func nimh() chemistry {
	return chemistry{name: "nimh", nominal: 1.2, low: 1.2, high: 1.2, cutOff: 1.0, full: 1.45, resistance: 0.040, hours: 5,
		ocvBasis: quantity.Assumed,
		ocv:      []OCVPoint{{0, 1.15}, {0.10, 1.25}, {0.50, 1.29}, {0.90, 1.35}, {1, 1.40}}}
}

func leadAcid() chemistry {
	return chemistry{name: "lead_acid", nominal: 2.0, low: 2.0, high: 2.0, cutOff: 1.75, full: 2.30, resistance: 0.030, hours: 20,
		ocvBasis: quantity.Estimated,
		ocv:      []OCVPoint{{0, 1.982}, {0.25, 2.010}, {0.50, 2.040}, {0.75, 2.075}, {1, 2.108}}}
}

func liIon() chemistry {
	return chemistry{name: "li_ion", nominal: 3.7, low: 3.6, high: 3.7, cutOff: 3.0, full: 4.20, resistance: 0.080, hours: 5,
		ocvBasis: quantity.Estimated,
		ocv: []OCVPoint{{0, 2.498}, {0.05, 3.073}, {0.10, 3.258}, {0.20, 3.449}, {0.30, 3.548}, {0.40, 3.634}, {0.50, 3.708},
			{0.60, 3.809}, {0.70, 3.924}, {0.80, 4.022}, {0.90, 4.094}, {1, 4.193}}}
}

func lifepo4() chemistry {
	return chemistry{name: "lifepo4", nominal: 3.2, low: 3.2, high: 3.2, cutOff: 2.5, full: 3.65, resistance: 0.050, hours: 5,
		ocvBasis: quantity.Estimated,
		ocv: []OCVPoint{{0, 2.50}, {0.02, 2.79}, {0.05, 3.09}, {0.10, 3.245}, {0.25, 3.292}, {0.50, 3.298}, {0.75, 3.303},
			{0.95, 3.307}, {1, 3.35}}}
}
