package explore

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// tally turns the records into shares, bands and influences.
func (s *spreading) tally(r *SpreadResult) error {
	alone, err := s.alone()
	if err != nil {
		return err
	}
	ranks := make([][]float64, len(s.inputs))
	for i := range s.members {
		if s.picked >= 0 && i != s.picked {
			continue
		}
		m := &s.members[i]
		n := m.record.n
		if n == 0 {
			continue
		}
		out := SpreadCandidate{Candidate: m.nominal, Samples: n, Stopped: n < r.Done, Worst: band(m.record.worst[:n])}
		out.PassShare = float64(m.record.passed(0, n)) / float64(n)
		out.PassHalf = halfWidth(out.PassShare, n)
		out.FirstShare = float64(count(m.record.first[:n])) / float64(r.Done)
		for j := range m.record.checks {
			k := &m.record.checks[j]
			out.Checks = append(out.Checks, SpreadCheck{Name: k.name, Unit: k.unit, Margin: band(k.margin[:n]), Value: band(k.value[:n]),
				Fails: float64(count(k.fails[:n])) / float64(n)})
		}
		out.Matters = s.matters(i, ranks, alone)
		r.Candidates = append(r.Candidates, out)
	}
	r.Jumps = s.jumps(r)
	return nil
}

// ends are the worst margins of every member with one input at an end.
type ends struct{ low, high []float64 }

// alone moves each input by itself to both its ends, catalog rows all at once:
// what they do to one candidate does not reach another.
func (s *spreading) alone() (map[string]ends, error) {
	type job struct {
		name string
		u    float64
	}
	var jobs []job
	out := map[string]ends{}
	for _, in := range s.inputs {
		if _, seen := out[in.name]; !seen {
			out[in.name] = ends{make([]float64, len(s.members)), make([]float64, len(s.members))}
			jobs = append(jobs, job{in.name, -1}, job{in.name, 1})
		}
	}
	faults := make([]error, len(jobs))
	_ = parallel(context.Background(), s.o.Workers, len(jobs), func(j int) {
		t, err := s.trial(func(i int) float64 {
			if s.inputs[i].name == jobs[j].name {
				return jobs[j].u
			}
			return 0
		})
		if err != nil {
			faults[j] = err
			return
		}
		into := out[jobs[j].name].low
		if jobs[j].u > 0 {
			into = out[jobs[j].name].high
		}
		var c sizing.Candidate
		for i := range s.members {
			if s.picked >= 0 && i != s.picked {
				continue
			}
			t.evaluate(&s.members[i], &c)
			into[i] = worstOf(&c)
		}
	}, nil)
	for _, err := range faults {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// matters orders a member's inputs by what they do to its worst margin. ranks
// keeps the ranks of the draws from one member to the next.
func (s *spreading) matters(member int, ranks [][]float64, alone map[string]ends) []SpreadMatter {
	m := &s.members[member]
	n := m.record.n
	worst := rankOf(m.record.worst[:n])
	var list []SpreadMatter
	for _, i := range m.inputs {
		in := &s.inputs[i]
		if len(ranks[i]) != n {
			ranks[i] = rankOf(s.draws[i][:n])
		}
		list = append(list, SpreadMatter{Input: in.name, Row: in.row, Nominal: in.nominal, Low: in.at(-1), High: in.at(1), Basis: in.basis,
			Note: in.note, RankCorrelation: correlation(ranks[i], worst), AtLow: alone[in.name].low[member], AtHigh: alone[in.name].high[member]})
	}
	slices.SortStableFunc(list, func(a, b SpreadMatter) int {
		return cmp.Or(cmp.Compare(size(b.RankCorrelation), size(a.RankCorrelation)), cmp.Compare(a.Input, b.Input))
	})
	return list
}

func size(x float64) float64 {
	if math.IsNaN(x) {
		return -1
	}
	return math.Abs(x)
}

// rankOf gives each value its rank from 1, ties their mean rank.
func rankOf(x []float64) []float64 {
	at := make([]int, len(x))
	for i := range at {
		at[i] = i
	}
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
	out := make([]float64, len(x))
	for i := 0; i < len(at); {
		j := i
		for j < len(at) && (x[at[j]] == x[at[i]] || math.IsNaN(x[at[j]]) && math.IsNaN(x[at[i]])) {
			j++
		}
		for _, k := range at[i:j] {
			out[k] = float64(i+j+1) / 2
		}
		i = j
	}
	return out
}

// correlation is Pearson's; of ranks it is Spearman's. NaN where one of the two
// never changes.
func correlation(x, y []float64) float64 {
	n := float64(len(x))
	var sx, sy, sxx, syy, sxy float64
	for i := range x {
		sx += x[i]
		sy += y[i]
	}
	for i := range x {
		dx, dy := x[i]-sx/n, y[i]-sy/n
		sxx += dx * dx
		syy += dy * dy
		sxy += dx * dy
	}
	if sxx == 0 || syy == 0 {
		return math.NaN()
	}
	return sxy / math.Sqrt(sxx*syy)
}

// band takes quantiles of the known values, linear between the order
// statistics at (n − 1)·p; NaN without any.
func band(x []float64) Band {
	known := make([]float64, 0, len(x))
	for _, v := range x {
		if !math.IsNaN(v) {
			known = append(known, v)
		}
	}
	slices.Sort(known)
	q := func(p float64) float64 {
		if len(known) == 0 {
			return math.NaN()
		}
		h := p * float64(len(known)-1)
		i := int(h)
		if i+1 >= len(known) || known[i] == known[i+1] {
			return known[i]
		}
		return known[i] + (h-float64(i))*(known[i+1]-known[i])
	}
	return Band{q(0.05), q(0.5), q(0.95)}
}

// Bounds of a steady answer, shares.
const (
	steadyHalf  = 0.03 // half width of a share's 95 % interval
	steadySplit = 0.06 // difference between the two halves of the samples
	normal95    = 1.959964
)

// halfWidth is the half width of the 95 % interval of a share of n independent
// samples, after Agresti and Coull so that 0 and 1 have one too. A Latin
// hypercube is a little steadier than that.
func halfWidth(p float64, n int) float64 {
	m := float64(n) + normal95*normal95
	centre := (p*float64(n) + normal95*normal95/2) / m
	return normal95 * math.Sqrt(centre*(1-centre)/m)
}

// jumps says where more samples are needed.
func (s *spreading) jumps(r *SpreadResult) []string {
	wide, split := 0, 0
	var widest, farthest *SpreadCandidate
	var gap float64
	for i := range r.Candidates {
		c := &r.Candidates[i]
		if c.Stopped {
			continue
		}
		if c.PassHalf > steadyHalf {
			wide++
			if widest == nil || c.PassHalf > widest.PassHalf {
				widest = c
			}
		}
		if d := s.halves(c); d > steadySplit {
			split++
			if d > gap {
				farthest, gap = c, d
			}
		}
	}
	var out []string
	percent := func(x float64) string { return quantity.Significant(100*x, 3) }
	if widest != nil {
		p := widest.PassShare
		need := normal95 * normal95 * max(p*(1-p), 0.01) / (steadyHalf * steadyHalf)
		which := fmt.Sprintf(" of %d of %d candidates", wide, len(r.Candidates))
		if len(r.Candidates) == 1 {
			which = ""
		}
		out = append(out, fmt.Sprintf("%d samples leave the pass share%s uncertain by more than 3 points, %s (%s %%) by up to %s: --samples %.0f would settle it",
			r.Done, which, widest.Candidate.ID, percent(p), percent(widest.PassHalf), math.Ceil(need/100+0.5)*100))
	}
	if farthest != nil {
		which := fmt.Sprintf(" of %d candidates", split)
		if len(r.Candidates) == 1 {
			which = ""
		}
		out = append(out, fmt.Sprintf("the two halves of the samples differ in the pass share%s, by %s points for %s: take more samples",
			which, percent(gap), farthest.Candidate.ID))
	}
	return out
}

// halves is how far the pass shares of the first and the second half of the
// samples lie apart.
func (s *spreading) halves(c *SpreadCandidate) float64 {
	for i := range s.members {
		if r := &s.members[i].record; s.members[i].nominal == c.Candidate && r.n >= 2 {
			h := r.n / 2
			return math.Abs(float64(r.passed(0, h))/float64(h) - float64(r.passed(h, r.n))/float64(r.n-h))
		}
	}
	return 0
}
