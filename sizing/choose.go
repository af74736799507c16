package sizing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// ControllerVerdict is one controller of the field on the same motor, gear
// train, stage and battery.
type ControllerVerdict struct {
	ID     string
	Amps   float64 // continuous per channel; 0 not listed
	Price  float64 // NaN unknown
	Stands bool    // it fails nothing that is the controller's to stand
	Used   float64 // share of its current used up; NaN without a rating
	Reason string
}

// ControllerChoice ranks the controllers of the field for a pick's other parts,
// the smallest first, and names the smallest that stands the duty and the
// largest that does not.
type ControllerChoice struct {
	Ranked   []ControllerVerdict
	Smallest *ControllerVerdict // nil when none stands
	Largest  *ControllerVerdict // nil when all stand
	Sentence string
}

// ChooseController looks through the field for the controllers beside a
// candidate's other parts.
func (f *Field) ChooseController(c *Candidate) *ControllerChoice {
	var ch ControllerChoice
	for i := range f.Candidates {
		k := &f.Candidates[i]
		if k.Motor != c.Motor || k.Train != c.Train || k.Stage != c.Stage || k.Battery != c.Battery {
			continue
		}
		ch.Ranked = append(ch.Ranked, k.controllerVerdict())
	}
	slices.SortStableFunc(ch.Ranked, func(a, b ControllerVerdict) int {
		return cmp.Or(cmp.Compare(a.Amps, b.Amps), cmp.Compare(a.Price, b.Price), cmp.Compare(a.ID, b.ID))
	})
	for i := range ch.Ranked {
		switch v := &ch.Ranked[i]; {
		case v.Stands && ch.Smallest == nil:
			ch.Smallest = v
		case !v.Stands:
			ch.Largest = v
		}
	}
	ch.Sentence = ch.tell()
	return &ch
}

func (ch *ControllerChoice) tell() string {
	switch {
	case len(ch.Ranked) == 1 && ch.Smallest != nil:
		return fmt.Sprintf("%s is the only controller allowed and stands the duty", ch.Smallest.ID)
	case ch.Smallest == nil:
		return fmt.Sprintf("no controller allowed stands the duty; the largest, %s: %s", ch.Largest.ID, ch.Largest.Reason)
	case ch.Largest == nil:
		return fmt.Sprintf("every controller allowed stands the duty; %s is the smallest", ch.Smallest.ID)
	}
	return fmt.Sprintf("%s is the smallest controller that stands the duty; %s is the largest that does not: %s", ch.Smallest.ID, ch.Largest.ID, ch.Largest.Reason)
}

// controllerVerdict holds a candidate to what is its controller's to stand:
// current, voltage at both ends, start, reversal, and a current limit that
// makes the motion fall behind.
func (c *Candidate) controllerVerdict() ControllerVerdict {
	k := c.Controller
	v := ControllerVerdict{ID: k.ID, Amps: float64(k.CurrentContinuous.Or(k.CurrentPeak.Or(0))), Price: math.NaN(), Stands: true, Used: math.NaN()}
	if k.Price.Known() {
		v.Price = float64(k.Price.Value)
	}
	var tight *Check
	for i := range c.Checks {
		ch := &c.Checks[i]
		switch ch.Name {
		case CheckSpeed:
			if ch.Leg < 0 || c.Legs[ch.Leg].LimitedBy != "current limit" {
				continue
			}
		case CheckControllerCurrent:
			v.Used = 1 - ch.Margin
		case CheckControllerVoltage, CheckStart, CheckReversal, CheckRegeneration:
		default:
			continue
		}
		if ch.Verdict == Fails && v.Stands {
			v.Stands, v.Reason = false, ch.Sentence(c)
		}
		if ch.Verdict == Tight && tight == nil {
			tight = ch
		}
	}
	switch {
	case !v.Stands:
	case tight != nil:
		v.Reason = "stands it, though tight: " + tight.Sentence(c)
	default:
		v.Reason = "stands it"
		for i := range c.Checks {
			if ch := &c.Checks[i]; ch.Name == CheckControllerCurrent {
				v.Reason = ch.Sentence(c)
			}
		}
	}
	return v
}
