package explore

import (
	"math"

	"example.org/dray/sizing"
)

// checkTotal is the number of checks there are.
const checkTotal = int(sizing.CheckRuleOfThumb) + 1

// checkSet is a set of check names, one bit each.
type checkSet uint64

// allChecks holds every check.
const allChecks = checkSet(1)<<checkTotal - 1

func setOf(names ...sizing.CheckName) (s checkSet) {
	for _, n := range names {
		s |= 1 << n
	}
	return s
}

func (s checkSet) has(n sizing.CheckName) bool { return s&(1<<n) != 0 }

// look is one evaluation seen by a search: the margin of every check that can
// reject a candidate, +Inf where there is none or it cannot, and the figures a
// window is searched for. A look that could not be had keeps why.
type look struct {
	at      float64 // of the quantity searched
	margin  [checkTotal]float64
	thermal float64 // thermal margin, NaN unknown
	current float64 // A, battery mean
	runtime float64 // h, +Inf never ends
	runaway bool
	fault   error
}

// disbelieve takes the speed of a motor whose winding runs away, which is judged
// cold for want of a temperature, for as bad as its heat.
func (l *look) disbelieve() {
	if l.runaway {
		l.margin[sizing.CheckSpeed] = math.Min(l.margin[sizing.CheckSpeed], l.margin[sizing.CheckWinding])
	}
}

// lookAt reads a candidate.
func lookAt(at float64, c *sizing.Candidate) look {
	l := look{at: at, thermal: c.ThermalMargin, current: c.BatteryCurrentMean, runtime: c.Runtime, runaway: c.ThermalRunaway}
	for i := range l.margin {
		l.margin[i] = math.Inf(1)
	}
	for i := range c.Checks {
		k := &c.Checks[i]
		if k.Soft || math.IsNaN(k.Margin) {
			continue
		}
		l.margin[k.Name] = math.Min(l.margin[k.Name], k.Margin)
	}
	return l
}

// least is the smallest margin of a set of checks; negative where one fails. A
// look that could not be had counts as failing.
func (l *look) least(of checkSet) float64 {
	if l.fault != nil {
		return -1
	}
	least := math.Inf(1)
	for i, m := range l.margin {
		if of&(1<<i) != 0 && m < least {
			least = m
		}
	}
	return least
}

// failing is the set of checks that fail.
func (l *look) failing() (s checkSet) {
	for i, m := range l.margin {
		if m < 0 {
			s |= 1 << i
		}
	}
	return s
}

// first is the first check of a set that fails, in the order of the checks; −1
// where none does.
func (l *look) first(of checkSet) int {
	for i, m := range l.margin {
		if of&(1<<i) != 0 && m < 0 {
			return i
		}
	}
	return -1
}
