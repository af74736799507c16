package sizing

import (
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/duty"
	"example.org/dray/sizing/heat"
)

// battery finds the lowest bus at reserve charge, the highest at full charge
// and the runtime.
func (e *evaluator) battery() {
	o := e.out
	o.Runtime = math.NaN()
	e.busExtremes()
	if e.s.adapter != nil {
		e.returned = e.returnedEnergy()
		return
	}
	o.Runtime, o.RuntimeEndsBy = e.runtime()
}

// busExtremes takes the duty's bus to reserve charge and to full charge.
func (e *evaluator) busExtremes() {
	o, t := e.out, e.res.Trace
	low, high := e.s.drive.Supply, e.s.drive.Supply
	low.EMF, high.EMF = e.s.emf(e.b.c.Wants.Reserve), e.s.full
	o.BusVoltageMin, e.fullHigh = math.Inf(1), 0
	for _, list := range [2][]duty.Sample{t.Samples, t.Instants} {
		for i := range list {
			s := &list[i]
			lo, hi := low.EMF-low.Aux*low.Rt(), high.EMF-high.Aux*high.Rt()
			if s.Powered {
				p, _ := e.reelect(s, &low)
				lo = p.Bus
				if s.Battery < 0 {
					q, _ := e.reelect(s, &high)
					hi = q.Bus
				}
			}
			if lo < o.BusVoltageMin {
				o.BusVoltageMin, e.reserveAt = lo, s.Time
			}
			if hi > e.fullHigh {
				e.fullHigh, e.fullHighAt = hi, s.Time
			}
		}
	}
}

// returnedEnergy is the largest energy, J, that one braking returns to a source
// that cannot absorb it: the longest run of returned power in the cycle.
func (e *evaluator) returnedEnergy() float64 {
	t := e.res.Trace
	sup := &e.s.drive.Supply
	if !sup.Regenerate {
		return 0
	}
	power := func(s *duty.Sample) float64 {
		if !s.Powered {
			return sup.Aux * s.Bus
		}
		return (sup.Motors*s.Duty*s.Current + sup.Aux) * s.Bus
	}
	run, most := 0.0, 0.0
	for range 2 { // twice round, so that a run over the cycle's end counts whole
		for i := range t.Intervals {
			iv := &t.Intervals[i]
			a, b, c := &t.Samples[iv.First], &t.Samples[iv.First+1], &t.Samples[iv.First+2]
			run = math.Max(0, run-iv.Time*(power(a)+4*power(b)+power(c))/6)
			most = math.Max(most, run)
		}
	}
	return most
}

// drain asks what a cycle costs the pack at other EMFs.
type drain struct {
	e   *evaluator
	t   *duty.Trace
	sup drive.Supply
}

// battery is the pack's current at a sample.
func (d *drain) battery(s *duty.Sample) float64 {
	if !s.Powered {
		return d.sup.Aux
	}
	m := &d.e.s.drive.Machine
	return d.sup.At(s.Current, m.K(s.Housing)*s.Omega, m.R(s.Winding)).Battery
}

// cost is the charge drained at a battery current, per second:
// ib·max(1, ib·H/C)^(n−1) for ib > 0, recovered charge one to one.
func (d *drain) cost(ib float64) float64 {
	s := &d.e.s
	if ib > 0 && s.peukert != 1 {
		return ib * math.Pow(math.Max(1, ib*s.hours/s.rated), s.peukert-1)
	}
	return ib
}

// charge is what one cycle costs at an EMF, A·s.
func (d *drain) charge(emf float64) float64 {
	d.sup.EMF = emf
	var sum, end float64
	last := -1
	for i := range d.t.Intervals {
		iv := &d.t.Intervals[i]
		first := end
		if last != iv.First {
			first = d.cost(d.battery(&d.t.Samples[iv.First]))
		}
		if iv.Kind == duty.Resting {
			sum += first * iv.Time
			last = -1
			continue
		}
		mid := d.cost(d.battery(&d.t.Samples[iv.First+1]))
		end = d.cost(d.battery(&d.t.Samples[iv.First+2]))
		sum += iv.Time * (first + 4*mid + end) / 6
		last = iv.First + 2
	}
	return sum
}

// worst is the largest battery current of the cycle at an EMF, A.
func (d *drain) worst(emf float64) float64 {
	d.sup.EMF = emf
	most := 0.0
	for _, list := range [2][]duty.Sample{d.t.Samples, d.t.Instants} {
		for i := range list {
			most = math.Max(most, d.battery(&list[i]))
		}
	}
	return most
}

// nodes are where the cycle's charge is sampled over EMF, Chebyshev points.
const nodes = 3

// runtime is T_cycle·∫ C dsoc/q_cycle(soc) from full down to the reserve, the
// cut-off under the duty's worst load, or the first charge at which the duty
// can no longer be followed, whichever is first; in hours.
func (e *evaluator) runtime() (hours float64, endsBy string) {
	s := &e.s
	if math.IsNaN(s.capacity) {
		return math.NaN(), ""
	}
	t := e.res.Trace
	if !t.Followed { // the pack is drained by the commanded motion, not by the lagging one
		t = e.runner.Commanded(e.restState())
	}
	stop, endsBy := e.b.c.Wants.Reserve, "reserve"
	switch c := e.ableTo(t, stop); {
	case c >= 1:
		return 0, "ability"
	case c > stop:
		stop, endsBy = c, "ability"
	}
	low := s.emf(stop)
	d := drain{e: e, t: t, sup: s.drive.Supply}
	if c, ends := d.cutOff(low, s.emf(1)); ends && c > stop {
		stop, endsBy = c, "cut_off"
		if stop >= 1 {
			return 0, endsBy
		}
		low = s.emf(stop)
	}
	curve := d.curve(low, s.emf(1))
	cycles := 0.0
	for i := 1; i < len(s.ocv); i++ {
		a, b := math.Max(stop, s.ocv[i-1].Charge), s.ocv[i].Charge
		if b <= a {
			continue
		}
		part := curve.over(s.emf(a), s.emf(b))
		if part < 0 {
			return math.Inf(1), "never"
		}
		cycles += s.capacity * (b - a) * part
	}
	return cycles * t.Time / 3600, endsBy
}

// ableTo is the least state of charge, not below stop, at which the duty is
// still followed: in full, or with no leg short by more than the speed tolerance,
// which is the user's own word for following. 1 when a full pack cannot.
func (e *evaluator) ableTo(t *duty.Trace, stop float64) float64 {
	s := &e.s
	strict := 1.0
	if e.res.Trace.Followed || e.runner.Possible(t) {
		able := e.ability(t)
		if s.emf(stop) >= able*(1-1e-9) {
			return stop
		}
		strict = math.Min(1, s.charge(able))
	}
	keeps := func(charge float64) bool {
		s.drive.Supply.EMF = s.emf(charge)
		return e.runner.Shortfall(e.restState()) <= e.b.c.Wants.SpeedTolerance
	}
	defer func(emf float64) { s.drive.Supply.EMF = emf }(s.drive.Supply.EMF)
	switch {
	case e.out.shortfall() <= e.b.c.Wants.SpeedTolerance && keeps(stop):
		return stop
	case strict >= 1 && (e.hopeless() || !keeps(1)):
		return 1
	}
	low, high := stop, strict
	for high-low > 1e-3 {
		if mid := (low + high) / 2; keeps(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}

// shortfall is the worst leg's missing share at half charge.
func (c *Candidate) shortfall() float64 {
	worst := 0.0
	for i := range c.Legs {
		worst = math.Max(worst, c.Legs[i].Shortfall)
	}
	return worst
}

// hopeless reports that not even a full pack brings the slowest leg within the
// tolerance: a motor's speed rises with its supply by no more than ΔE·d_max/k.
func (e *evaluator) hopeless() bool {
	d := &e.s.drive
	rise := (e.s.emf(1) - e.s.emf(0.5)) * d.Supply.DutyMax / d.Machine.K(e.restState().Housing) / d.Train.Total
	for i := range e.out.Legs {
		l, leg := &e.out.Legs[i], &e.b.c.Legs[i]
		if l.Shortfall == 0 || leg.Kind != loadcases.SpeedLeg || l.Wanted == 0 {
			continue
		}
		most := math.Abs(l.Reached) + rise/e.b.c.Mechanism.ShaftSpeed(leg)
		if most < (1-e.b.c.Wants.SpeedTolerance)*math.Abs(l.Wanted) {
			return true
		}
	}
	return false
}

// restState is the temperatures at which a duty that cannot be followed at half
// charge is judged at others: the means of its hottest cycle.
func (e *evaluator) restState() heat.State {
	if !e.res.Heated || e.res.Runaway {
		return e.res.Start
	}
	return heat.State{Winding: e.res.WindingMean, Housing: (e.res.Start.Housing + e.res.HousingPeak) / 2}
}

// ability is the least EMF at which every demand of a cycle can be met.
func (e *evaluator) ability(t *duty.Trace) float64 {
	m, sup := &e.s.drive.Machine, &e.s.drive.Supply
	least := 0.0
	for _, list := range [2][]duty.Sample{t.Samples, t.Instants} {
		for i := range list {
			if s := &list[i]; s.Powered {
				least = math.Max(least, sup.Least(s.Current, m.K(s.Housing)*s.Omega, m.R(s.Winding)))
			}
		}
	}
	return least
}

// cutOff is the state of charge at which the terminals of the pack under the
// duty's worst load reach the cut-off voltage: E − ib·Rb = V_cut.
func (d *drain) cutOff(low, full float64) (charge float64, ends bool) {
	limit := d.e.s.cutOff
	if math.IsNaN(limit) {
		return 0, false
	}
	terminals := func(emf float64) float64 { return emf - d.worst(emf)*d.sup.PackR - limit }
	if terminals(low) >= 0 {
		return 0, false
	}
	if terminals(full) < 0 {
		return 1, true
	}
	a, b := low, full
	fa, fb := terminals(a), terminals(b)
	for range 30 { // false position, Illinois variant
		x := b - fb*(b-a)/(fb-fa)
		fx := terminals(x)
		if math.Abs(fx) < 1e-7*limit {
			return d.e.s.charge(x), true
		}
		if fx*fb < 0 {
			a, fa = b, fb
		} else {
			fa /= 2
		}
		b, fb = x, fx
	}
	return d.e.s.charge(b), true
}

// chargeCurve is the cycle's charge as a polynomial in EMF through Chebyshev
// points: ib is a smooth, slowly varying function of E.
type chargeCurve struct {
	low, high float64
	at        [nodes]float64 // the points, in −1…1
	value     [nodes]float64 // A·s
	weight    [nodes]float64 // barycentric
	flat      bool
}

func (d *drain) curve(low, high float64) chargeCurve {
	c := chargeCurve{low: low, high: high}
	if high-low < 1e-9*high {
		c.flat = true
		c.value[0] = d.charge(high)
		return c
	}
	for i := range nodes {
		a := math.Pi * (float64(i) + 0.5) / nodes
		c.at[i] = math.Cos(a)
		c.weight[i] = math.Sin(a)
		if i%2 == 1 {
			c.weight[i] = -c.weight[i]
		}
		c.value[i] = d.charge(low + (high-low)*(c.at[i]+1)/2)
	}
	return c
}

// get interpolates at an EMF.
func (c *chargeCurve) get(emf float64) float64 {
	if c.flat {
		return c.value[0]
	}
	x := 2*(emf-c.low)/(c.high-c.low) - 1
	var up, down float64
	for i := range nodes {
		d := x - c.at[i]
		if d == 0 {
			return c.value[i]
		}
		w := c.weight[i] / d
		up += w * c.value[i]
		down += w
	}
	return up / down
}

// over is the mean of 1/q over a stretch on which EMF is linear in charge, by
// three Gauss points; negative where a cycle costs nothing.
func (c *chargeCurve) over(a, b float64) float64 {
	mid, half := (a+b)/2, (b-a)/2
	reach := half * math.Sqrt(0.6)
	sum := 0.0
	for _, p := range [3][2]float64{{mid - reach, 5.0 / 18}, {mid, 8.0 / 18}, {mid + reach, 5.0 / 18}} {
		q := c.get(p[0])
		if q <= 0 {
			return -1
		}
		sum += p[1] / q
	}
	return sum
}
