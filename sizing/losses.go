package sizing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Loss is what one part of the chain takes, all motors together.
type Loss struct {
	Where  string
	Watts  float64 // W, mean over the cycle at half charge
	Share  float64 // of what the source gives
	Volts  float64 // V of the source's EMF that it takes in a stepped start at full charge; NaN not in that path
	Useful bool    // the load's own work, electronics
}

// losses ranks what each part of the chain takes over a cycle. The sum is what
// the source gives, ∫E·ib dt: what is left is a rounding of Simpson's rule.
func (e *evaluator) losses() ([]Loss, string) {
	var sum [lossParts]float64
	t := e.res.Trace
	for i := range t.Intervals {
		iv := &t.Intervals[i]
		for j, w := range [3]float64{1, 4, 1} {
			part := e.lossAt(iv.First + j)
			for k := range part {
				sum[k] += w * iv.Time / (6 * t.Time) * part[k]
			}
		}
	}
	total := 0.0
	for _, x := range sum {
		total += x
	}
	for k := range sum {
		if math.Abs(sum[k]) < 1e-9*total { // rounding, not loss
			sum[k] = 0
		}
	}
	volts := e.startVolts()
	var out []Loss
	for k, name := range [lossParts]string{"source", "supply lead", "controller", "motor leads", "winding", "motor friction", "gear train", "further stage", "electronics", "load"} {
		if sum[k] == 0 && !(volts[k] > 0) {
			continue
		}
		out = append(out, Loss{Where: name, Watts: sum[k], Share: sum[k] / total, Volts: volts[k], Useful: k >= lossElectronics})
	}
	slices.SortStableFunc(out, func(a, b Loss) int { return cmp.Compare(b.Watts, a.Watts) })
	return out, lossNote(volts, e.s.emf(1))
}

// The parts of the chain, in the order the power passes them.
const (
	lossSource = iota
	lossSupplyLead
	lossController
	lossMotorLeads
	lossWinding
	lossFriction
	lossGears
	lossStage
	lossElectronics
	lossLoad
	lossParts
)

// lossAt is what each part takes at a sample, W.
func (e *evaluator) lossAt(index int) [lossParts]float64 {
	s, sup, m := &e.res.Trace.Samples[index], &e.s.drive.Supply, &e.s.drive.Machine
	n, ib, i := sup.Motors, s.Battery, s.Current
	var p [lossParts]float64
	p[lossSource] = ib * ib * sup.PackR
	p[lossSupplyLead] = ib * ib * sup.LeadR
	p[lossElectronics] = sup.Aux * s.Bus
	if !s.Powered {
		return p
	}
	p[lossMotorLeads] = n * i * i * sup.MotorLeadR
	p[lossController] = s.Bus*(ib-sup.Aux) - n*s.Voltage*i - p[lossMotorLeads] // switches, bridge drop, and braking it burns
	p[lossWinding] = n * i * i * m.R(s.Winding)
	p[lossFriction] = n * m.Friction * math.Abs(s.Omega)
	out := s.Output * s.Omega / e.s.train.ratio
	p[lossGears] = n * (s.Demand*s.Omega - m.Friction*math.Abs(s.Omega) - out)
	p[lossLoad] = n * out
	if st := e.s.pick.Stage; st != nil {
		back := 2 - 1/st.Efficiency
		switch {
		case out >= 0:
			p[lossStage] = n * out * (1 - st.Efficiency)
		case back > 0:
			p[lossStage] = -n * out * (1/back - 1)
		}
		p[lossLoad] -= p[lossStage]
	}
	return p
}

// startVolts is how a stepped start at full charge shares out the EMF, V.
func (e *evaluator) startVolts() [lossParts]float64 {
	var v [lossParts]float64
	for k := range v {
		v[k] = math.NaN()
	}
	sup, m := &e.s.drive.Supply, &e.s.drive.Machine
	i, ib, bus := e.stepped(0, 1)
	v[lossSource], v[lossSupplyLead] = ib*sup.PackR, ib*sup.LeadR
	v[lossMotorLeads], v[lossWinding] = i*sup.MotorLeadR, i*m.R(e.b.air)
	v[lossController] = math.Max(0, bus-v[lossMotorLeads]-v[lossWinding])
	return v
}

// lossNote ranks what stands between the source and the winding at a start.
func lossNote(v [lossParts]float64, emf float64) string {
	type link struct {
		name string
		volt float64
	}
	links := []link{{"the source's own resistance", v[lossSource]}, {"the supply lead", v[lossSupplyLead]},
		{"the controller (bridge drop, switches, chopping)", v[lossController]}, {"the motor leads", v[lossMotorLeads]}}
	slices.SortStableFunc(links, func(a, b link) int { return cmp.Compare(b.volt, a.volt) })
	text := fmt.Sprintf("of %s V a stepped start leaves %s V across the winding", sig(emf), sig(v[lossWinding]))
	for k, l := range links {
		if !(l.volt > 0) {
			continue
		}
		if k == 0 {
			text += fmt.Sprintf("; first %s, %s V", l.name, sig(l.volt))
			continue
		}
		text += fmt.Sprintf(", then %s, %s V", l.name, sig(l.volt))
	}
	return text
}
