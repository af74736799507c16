package explore

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// sameFamily is how far R, k and I0 of two rows may differ and still be those
// of one motor: listings agree with themselves to a few per cent.
const sameFamily = 0.05

// Family reports whether two rows are one motor by their constants.
func Family(a, b *catalog.Motor) bool {
	if a.Row == b.Row {
		return true
	}
	return near(float64(a.Resistance.Value), float64(b.Resistance.Value)) &&
		near(float64(a.Constant.Value), float64(b.Constant.Value)) &&
		near(float64(a.NoLoadCurrent.Value), float64(b.NoLoadCurrent.Value))
}

func near(a, b float64) bool { return math.Abs(a-b) <= sameFamily*math.Max(a, b) }

// inside reports whether a ratio lies in one of the windows.
func inside(ratio float64, windows []Window) bool {
	return slices.ContainsFunc(windows, func(w Window) bool {
		return ratio >= w.From.Ratio*(1-edgeTolerance) && ratio <= w.To.Ratio*(1+edgeTolerance)
	})
}

// offers lists the total ratios to be had with the same motor: its row's other
// ratios, rows of the same family, trains that fit a bare motor, each with every
// further stage of the case; at the pick's battery and controller.
func (s *ratioSearch) offers(cat *catalog.Catalog, windows []Window) []Offer {
	stages := []*loadcases.Stage{nil}
	if len(s.c.Stages) > 0 {
		stages = stages[:0]
		for i := range s.c.Stages {
			stages = append(stages, &s.c.Stages[i])
		}
	}
	var out []Offer
	for i := range cat.Motors {
		m := &cat.Motors[i]
		if !Family(s.pick.Motor, m) {
			continue
		}
		for _, t := range sizing.TrainsOf(m, cat, len(s.c.Stages) > 0) {
			for _, g := range stages {
				out = append(out, s.offer(sizing.Pick{Motor: m, Train: t, Stage: g, Battery: s.pick.Battery, Controller: s.pick.Controller}, windows))
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Offer) int { return cmp.Or(cmp.Compare(a.Ratio, b.Ratio), cmp.Compare(a.ID, b.ID)) })
	return out
}

func (s *ratioSearch) offer(p sizing.Pick, windows []Window) Offer {
	var c sizing.Candidate
	s.judges[0].Evaluate(p, &c)
	return Offer{ID: drives(p), Candidate: c.ID, Ratio: c.TotalRatio, Inside: inside(c.TotalRatio, windows),
		Verdict: c.Verdict, Failure: c.FirstFailure, WhyNot: c.WhyNot()}
}

// drives is the part of a candidate's id that turns: motor[+train][+stage].
func drives(p sizing.Pick) string {
	id := p.Motor.ID
	if p.Train != nil {
		id += "+" + p.Train.ID
	}
	if p.Stage != nil {
		id += "+" + p.Stage.ID
	}
	return id
}

// The tooth counts that are tried for a further stage, and how many pairs are
// evaluated and shown.
const (
	driverFrom, driverTo = 10, 30
	drivenFrom, drivenTo = 10, 72
	pairsTried           = 60
	pairsShown           = 5
)

// teeth suggests further stages by tooth counts, in place of the case's own,
// that bring the motor as listed into a window and pass with the stage's
// efficiency. The nearest to where aim says come first.
func (s *ratioSearch) teeth(r *Ratios) (out []TeethPair) {
	if len(r.Windows) == 0 || s.pick.Motor.Bare && s.pick.Train == nil && s.pick.Stage == nil {
		return nil
	}
	pairs := s.pairs(r)
	for _, t := range pairs[:min(pairsTried, len(pairs))] {
		var c sizing.Candidate
		p := s.pick
		p.Stage = s.stage(t)
		s.judges[0].Evaluate(p, &c)
		if c.Verdict == sizing.Fails {
			continue
		}
		t.ThermalMargin, t.Verdict = c.ThermalMargin, c.Verdict
		if out = append(out, t); len(out) == pairsShown {
			break
		}
	}
	return out
}

// stage is a pair of tooth counts with the efficiency of the case's stages.
func (s *ratioSearch) stage(t TeethPair) *loadcases.Stage {
	g := loadcases.Stage{Efficiency: stageEfficiency, Basis: quantity.Assumed}
	if s.pick.Stage != nil {
		g = *s.pick.Stage
	}
	g.ID = fmt.Sprintf("%dx%d", t.Driver, t.Driven)
	g.Ratio, g.DriverTeeth, g.DrivenTeeth = float64(t.Driven)/float64(t.Driver), t.Driver, t.Driven
	return &g
}

// stageEfficiency is that of a belt or chain when the case gives none: common
// practice, no source.
const stageEfficiency = 0.95

// pairs lists the tooth pairs whose total ratio lies in a window, each ratio
// once, nearest to the target first; among equals the fewer teeth.
func (s *ratioSearch) pairs(r *Ratios) []TeethPair {
	gear := r.Ratio / r.StageRatio
	target := aim(r)
	var out []TeethPair
	for z1 := driverFrom; z1 <= driverTo; z1++ {
		for z2 := drivenFrom; z2 <= drivenTo; z2++ {
			if total := gear * float64(z2) / float64(z1); z1 != z2 && inside(total, r.Windows) {
				out = append(out, TeethPair{Driver: z1, Driven: z2, Ratio: total})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b TeethPair) int {
		da, db := math.Abs(math.Log(a.Ratio/target)), math.Abs(math.Log(b.Ratio/target))
		if math.Abs(da-db) > 1e-9 {
			return cmp.Compare(da, db)
		}
		return cmp.Compare(a.Driver+a.Driven, b.Driver+b.Driven)
	})
	return slices.CompactFunc(out, func(a, b TeethPair) bool { return math.Abs(a.Ratio/b.Ratio-1) < 1e-9 })
}

// aim is the ratio a further stage should come near: the best thermal margin,
// or the middle of the widest window where that is unknown; in either case in the
// middle eight tenths of its window, for an edge leaves nothing for tolerances.
func aim(r *Ratios) float64 {
	w := slices.MaxFunc(r.Windows, func(a, b Window) int {
		return cmp.Compare(a.To.Ratio/a.From.Ratio, b.To.Ratio/b.From.Ratio)
	})
	target := math.Sqrt(w.From.Ratio * w.To.Ratio)
	for _, o := range r.Best {
		if o.Objective == "thermal_margin" && !math.IsNaN(o.Ratio) {
			target = o.Ratio
		}
	}
	for _, v := range r.Windows {
		if inside(target, []Window{v}) {
			w = v
		}
	}
	at := func(share float64) float64 { return w.From.Ratio * math.Pow(w.To.Ratio/w.From.Ratio, share) }
	return math.Max(at(0.1), math.Min(at(0.9), target))
}
