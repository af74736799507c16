package sizing

import (
	"fmt"
	"math"

	"example.org/dray/sizing/duty"
)

// Sag is the lowest bus of the duty at a state of charge.
type Sag struct {
	Charge    float64 // 0…1
	EMF       float64 // V, open circuit
	Terminals float64 // V at the pack
	Bus       float64 // V at the controller
	Current   float64 // A from the source then
	At        float64 // s into the cycle
	Leg       int
}

// Source is the pack or adapter under the duty.
type Source struct {
	Adapter   bool
	Sags      []Sag   // at full charge and at the reserve; of an adapter one
	Label     float64 // A·s, the capacity on the label, packs in parallel together; NaN unknown
	Here      float64 // A·s, what the duty gets of it: health and Peukert counted; NaN unknown
	Charging  float64 // A, the largest current braking drives into a full pack
	ChargeMax float64 // A; NaN unknown
	BusMax    float64 // V, the highest bus at full charge
	Returned  float64 // J that the longest braking returns to an adapter
	Sentences []string
}

// source gathers what the duty asks of the pack or adapter and what it does to it.
func (e *evaluator) source() Source {
	s := Source{Adapter: e.s.adapter != nil, Label: math.NaN(), Here: math.NaN(), ChargeMax: math.NaN(), BusMax: e.fullHigh, Returned: e.returned}
	s.Sags = append(s.Sags, e.sag(1))
	if s.Adapter {
		s.BusMax = math.NaN()
		s.Sentences = e.adapterSentences(&s)
		return s
	}
	if r := e.b.c.Wants.Reserve; r < 1 {
		s.Sags = append(s.Sags, e.sag(r))
	}
	s.Charging = e.chargingFull()
	p := e.s.pick.Battery
	if p.ChargeMax.Known() {
		s.ChargeMax = float64(p.ChargeMax.Value) * e.s.parallel
	}
	if p.Capacity.Known() {
		s.Label = float64(p.Capacity.Value) * e.s.parallel
		s.Here = s.Label * e.b.c.Supply.Health * e.peukertShare()
	}
	s.Sentences = e.packSentences(&s)
	return s
}

// sag takes the duty's demands to a state of charge and finds the lowest bus.
func (e *evaluator) sag(charge float64) Sag {
	sup := e.s.drive.Supply
	sup.EMF = e.s.emf(charge)
	low := Sag{Charge: charge, EMF: sup.EMF, Bus: math.Inf(1), Leg: -1}
	t := e.res.Trace
	for _, list := range [2][]duty.Sample{t.Samples, t.Instants} {
		for i := range list {
			s := &list[i]
			ib := sup.Aux
			bus := sup.EMF - ib*sup.Rt()
			if s.Powered {
				p, _ := e.reelect(s, &sup)
				ib, bus = p.Battery, p.Bus
			}
			if bus < low.Bus {
				low.Bus, low.Current, low.At, low.Leg = bus, ib, s.Time, s.Leg
			}
		}
	}
	low.Terminals = low.EMF - low.Current*sup.PackR
	return low
}

// chargingFull is the largest current into a full pack.
func (e *evaluator) chargingFull() float64 {
	sup := e.s.drive.Supply
	sup.EMF = e.s.full
	most := 0.0
	for i := range e.res.Trace.Samples {
		if s := &e.res.Trace.Samples[i]; s.Powered && s.Battery < 0 {
			p, _ := e.reelect(s, &sup)
			most = math.Max(most, -p.Battery)
		}
	}
	return most
}

// peukertShare is the share of its capacity a pack gives at the duty's
// currents: charge drawn over charge drained, ∫ib dt / ∫ib·max(1, ib·H/C)^(n−1) dt.
func (e *evaluator) peukertShare() float64 {
	d := drain{e: e}
	t := e.res.Trace
	var drawn, drained float64
	for i := range t.Intervals {
		iv := &t.Intervals[i]
		for j, w := range [3]float64{1, 4, 1} {
			if ib := t.Samples[iv.First+j].Battery; ib > 0 {
				drawn += w * iv.Time * ib
				drained += w * iv.Time * d.cost(ib)
			}
		}
	}
	if drained <= 0 {
		return 1
	}
	return drawn / drained
}

func (e *evaluator) packSentences(s *Source) []string {
	var out []string
	for _, g := range s.Sags {
		where := "full charge"
		if g.Charge < 1 {
			where = "reserve charge (" + percent(g.Charge) + ")"
		}
		leg := ""
		if g.Leg >= 0 {
			leg = fmt.Sprintf(" in leg %q", e.b.c.Legs[g.Leg].Name)
		}
		out = append(out, fmt.Sprintf("at %s the worst moment%s draws %s A: %s V at rest, %s V at the terminals, %s V at the controller",
			where, leg, sig(g.Current), sig(g.EMF), sig(g.Terminals), sig(g.Bus)))
	}
	if !math.IsNaN(s.Here) {
		text := fmt.Sprintf("label %s Ah → %s Ah here: health %s", sig(s.Label/3600), sig(s.Here/3600), percent(e.b.c.Supply.Health))
		if e.s.peukert != 1 {
			text += fmt.Sprintf(", and drawn faster than in its %s with Peukert exponent %s it gives %s of the rest", span(e.s.hours), sig(e.s.peukert), percent(s.Here/(s.Label*e.b.c.Supply.Health)))
		}
		out = append(out, text)
	}
	if s.Charging > 0 {
		text := fmt.Sprintf("braking drives up to %s A into a full pack and raises the bus to %s V", sig(s.Charging), sig(s.BusMax))
		if !math.IsNaN(s.ChargeMax) {
			text += fmt.Sprintf("; the pack takes %s A", sig(s.ChargeMax))
			if s.Charging > s.ChargeMax {
				text += ": brake more gently, start the day below full, or burn it in a resistor"
			}
		}
		out = append(out, text)
	}
	return out
}

func (e *evaluator) adapterSentences(s *Source) []string {
	a := e.s.adapter
	amp := sig(float64(a.Current))
	does := map[string]string{
		"holds":   "is limited at " + amp + " A: it lets its voltage fall rather than give more",
		"hiccups": "cuts off beyond " + amp + " A and tries again: a load that asks for more never starts",
		"trips":   "trips at " + amp + " A and stays off",
	}[a.Beyond]
	out := []string{fmt.Sprintf("the adapter %s; a rating limits nothing by itself, the load decides what is drawn", does)}
	if g := s.Sags[0]; g.Leg >= 0 {
		out = append(out, fmt.Sprintf("the worst moment is in leg %q with %s A, the bus at %s V", e.b.c.Legs[g.Leg].Name, sig(g.Current), sig(g.Bus)))
	}
	if s.Returned > 0 {
		out = append(out, fmt.Sprintf("it absorbs nothing: the longest braking returns %s J, which only capacitance on the bus or a resistor can take", sig(s.Returned)))
	}
	return out
}
