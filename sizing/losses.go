package sizing

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/dray/sizing/drive"
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

// LeadEffect is what the leads cost in speed and stall torque.
type LeadEffect struct {
	Drop      float64 // V over the round trip of both leads at the duty's largest currents
	SpeedLost float64 // share of the top speed at the duty's largest motor current, full command, half charge
	StallLost float64 // share of the stall torque at full charge
	Sentence  string
}

// leads compares the machine with its leads and without; nil when none is given.
func (e *evaluator) leads() *LeadEffect {
	if e.b.c.Supply.SupplyLead == nil && e.b.c.Supply.MotorLead == nil {
		return nil
	}
	l := LeadEffect{Drop: e.out.BatteryCurrentPeak*e.b.leadR + e.out.MotorCurrentPeak*e.b.motorLeadR}
	with, without := e.s.drive.Supply, e.s.drive.Supply
	without.LeadR, without.MotorLeadR = 0, 0
	i := e.out.MotorCurrentPeak
	fast, slow := e.topSpeed(&without, i), e.topSpeed(&with, i)
	if fast > 0 {
		l.SpeedLost = 1 - slow/fast
	}
	with.EMF, without.EMF = e.s.emf(1), e.s.emf(1)
	if strong := e.pull(e.stalled(&without)); strong > 0 {
		l.StallLost = 1 - e.pull(e.stalled(&with))/strong
	}
	l.Sentence = fmt.Sprintf("the leads drop %s V over the round trip at the duty's largest currents; they cost %s of the top speed under that load and %s of the stall torque",
		sig(l.Drop), percent(l.SpeedLost), percent(l.StallLost))
	return &l
}

// topSpeed is the motor speed at full command and a motor current, rad/s, not
// below 0: k·ω = d·(b − n·d·I·Rt) − I·(R + Rl + p·Ron) − Vd.
func (e *evaluator) topSpeed(s *drive.Supply, i float64) float64 {
	m := &e.s.drive.Machine
	tw, th := e.res.Start.Winding, e.res.Start.Housing
	d := s.DutyMax
	b := s.EMF - s.Aux*s.Rt()
	back := d*(b-s.Motors*d*i*s.Rt()) - i*(m.R(tw)+s.MotorLeadR+s.PerChannel*s.SwitchR) - s.Drop
	return math.Max(0, back/m.K(th))
}

// stalled is the current per motor of a held motor at full command, A.
func (e *evaluator) stalled(s *drive.Supply) float64 {
	d := s.DutyMax
	b := s.EMF - s.Aux*s.Rt()
	i := math.Max(0, (d*b-s.Drop)/(e.s.drive.Machine.R(e.b.air)+s.MotorLeadR+s.PerChannel*s.SwitchR+d*d*s.Motors*s.Rt()))
	return math.Min(i, s.Limit/s.PerChannel)
}
