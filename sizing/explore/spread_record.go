package explore

import (
	"math"
	"slices"

	"example.org/dray/sizing"
)

// spreadRecord holds what a member did in each sample.
type spreadRecord struct {
	n      int // leading samples that count
	pass   []bool
	first  []bool
	worst  []float64
	checks []spreadSeries // in the order of the checks
}

// spreadSeries is one check over the samples; NaN where it was left out.
type spreadSeries struct {
	name          sizing.CheckName
	unit          string
	margin, value []float64
	fails         []bool
}

// init makes room for n samples of the checks a member has.
func (r *spreadRecord) init(n int, checks []sizing.Check) {
	*r = spreadRecord{}
	for i := range checks {
		r.checks = append(r.checks, spreadSeries{name: checks[i].Name, unit: checks[i].Unit})
	}
	r.grow(n)
}

// grow makes room for n samples and keeps those there are.
func (r *spreadRecord) grow(n int) {
	more := n - r.n
	r.n = n
	r.pass, r.first = append(r.pass, make([]bool, more)...), append(r.first, make([]bool, more)...)
	r.worst = unknowns(r.worst, more)
	for i := range r.checks {
		s := &r.checks[i]
		s.margin, s.value, s.fails = unknowns(s.margin, more), unknowns(s.value, more), append(s.fails, make([]bool, more)...)
	}
}

func unknowns(x []float64, n int) []float64 {
	x = slices.Grow(x, n)
	for range n {
		x = append(x, math.NaN())
	}
	return x
}

// put records one sample.
func (r *spreadRecord) put(n int, c *sizing.Candidate) {
	r.pass[n] = c.Verdict <= sizing.Tight
	r.worst[n] = worstOf(c)
	for i := range c.Checks {
		k := &c.Checks[i]
		for j := range r.checks {
			if s := &r.checks[j]; s.name == k.Name {
				s.margin[n], s.value[n], s.fails[n] = k.Margin, k.Value, k.Verdict == sizing.Fails
			}
		}
	}
}

// passed counts the passes among the samples from…to.
func (r *spreadRecord) passed(from, to int) int { return count(r.pass[from:to]) }

func count(flags []bool) (n int) {
	for _, ok := range flags {
		if ok {
			n++
		}
	}
	return n
}
