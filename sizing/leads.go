package sizing

import (
	"fmt"
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/rating"
)

// LeadEffect is what the leads cost in speed and stall torque.
type LeadEffect struct {
	Drop      float64 // V over the round trip of both leads at the duty's largest currents
	SpeedLost float64 // share of the top speed at the duty's largest motor current, full command, half charge
	StallLost float64 // share of the stall torque at full charge
	Sentence  string
	Wires     []Wire
}

// Wire is one lead by its gauge, there and back.
type Wire struct {
	Name     string
	Gauge    string  // as the case gives it
	Length   float64 // m, one way
	Ohm      float64 // Ω over the round trip at air temperature
	Carries  float64 // A for ever
	Tau      float64 // s, its thermal memory
	Drop     float64 // V over the round trip at the duty's largest current
	Heat     float64 // W per metre of pair at the duty's rms current
	Sentence string
}

// FuseBand is when the fuse opens at a steady current.
type FuseBand struct {
	Current          float64 // A
	Earliest, Latest float64 // s; +Inf never
	Sentence         string
}

// fuseBands tells the fuse's opening times at the currents its type is printed
// for, and at the jam's; nil without a fuse.
func (e *evaluator) fuseBands(jam float64) []FuseBand {
	f := e.b.fuse
	if f == nil {
		return nil
	}
	amps := []float64{rating.FuseProtects * f.Rating, 2 * f.Rating, 3.5 * f.Rating, 6 * f.Rating}
	if jam > amps[0] {
		amps = append(amps, jam)
	}
	out := make([]FuseBand, 0, len(amps))
	for _, i := range amps {
		late, _ := f.Longest(i)
		out = append(out, FuseBand{i, f.Shortest(i), late, f.Band(i)})
	}
	return out
}

// wires describes the leads the case gives.
func (e *evaluator) wires() []Wire {
	var out []Wire
	for _, l := range []struct {
		name      string
		lead      *loadcases.Lead
		stands    *rating.Withstand
		ohm       float64
		most, rms float64
	}{
		{"supply lead", e.b.c.Supply.SupplyLead, e.b.supplyWire, e.b.leadR, e.out.BatteryCurrentPeak, e.out.BatteryCurrentRMS},
		{"motor lead", e.b.c.Supply.MotorLead, e.b.motorWire, e.b.motorLeadR, e.out.MotorCurrentPeak, e.out.MotorCurrentRMS},
	} {
		if l.lead == nil {
			continue
		}
		w := Wire{Name: l.name, Gauge: l.lead.AsListed, Length: float64(l.lead.Length), Ohm: l.ohm, Carries: l.stands.Continuous, Tau: l.stands.Tau,
			Drop: l.most * l.ohm, Heat: l.rms * l.rms * l.ohm / float64(l.lead.Length)}
		w.Sentence = fmt.Sprintf("the %s (%s, %s m one way) has %s mΩ over the round trip and carries %s A for ever; at the duty's largest %s A it drops %s V, and its rms of %s A heats it with %s W per metre",
			w.Name, w.Gauge, sig(w.Length), sig(1000*w.Ohm), sig(w.Carries), sig(l.most), sig(w.Drop), sig(l.rms), sig(w.Heat))
		out = append(out, w)
	}
	return out
}

// leads compares the machine with its leads and without; nil when none is given.
func (e *evaluator) leads() *LeadEffect {
	if e.b.c.Supply.SupplyLead == nil && e.b.c.Supply.MotorLead == nil {
		return nil
	}
	l := LeadEffect{Wires: e.wires(), Drop: e.out.BatteryCurrentPeak*e.b.leadR + e.out.MotorCurrentPeak*e.b.motorLeadR}
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
