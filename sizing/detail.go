package sizing

import (
	"fmt"
	"math"
	"slices"

	"example.org/dray/quantity"
	"example.org/dray/sizing/rating"
)

// perDecade is the density of the envelope's windows.
const perDecade = 10

// detail fills the detail of a candidate that was ranked before.
func (e *evaluator) detail(c *Candidate) {
	rank, dominated, score := c.Rank, c.Dominated, c.Score
	e.judge(c.Pick, c)
	c.Rank, c.Dominated, c.Score = rank, dominated, score
	d := &Detail{Envelope: e.envelopes(), Start: e.tamed(0), Reversal: e.tamed(e.maxOmega), Pivot: e.pivot(), Source: e.source(), Leads: e.leads(), Ripple: e.rippleBand()}
	d.Losses, d.LossNote = e.losses()
	d.Jam = e.jammed(false)
	if e.b.c.Motors > 1 {
		one := e.jammed(true)
		d.Jam.Single = &one
	}
	d.Fuse = e.fuseBands(d.Jam.BatteryCurrent)
	d.Firmware = e.firmware(d)
	d.Trace = e.trace()
	if e.s.drive.Train.Unpowered(e.b.static) > 0 {
		d.HeldLoad = e.b.static
	}
	c.Detail = d
}

// element is one element of the current path before its envelope is drawn.
type element struct {
	name   string
	of     *rating.Profile
	scale  float64
	stands rating.Withstand
	basis  quantity.Basis
	fuse   bool
}

// path lists the elements from the pack to the motor.
func (e *evaluator) path() []element {
	var list []element
	if p := e.s.pick.Battery; p != nil {
		s, basis := stands(p.DischargeMax, p.DischargePeak, p.PeakTime, e.s.parallel)
		list = append(list, element{"battery", &e.pack, 1, s, basis, false})
	} else {
		list = append(list, element{"adapter", &e.pack, 1, rating.ContinuousOnly(float64(e.s.adapter.Current)), quantity.Stated, false})
	}
	if e.b.fuse != nil {
		list = append(list, element{"fuse", &e.pack, 1, e.b.fuse.Withstand(), quantity.Stated, true})
	}
	if c := e.b.c.Supply.Connector; c != nil {
		list = append(list, element{"connector", &e.pack, 1, rating.ContinuousOnly(float64(c.Rating)), quantity.Stated, false})
	}
	if e.b.supplyWire != nil {
		list = append(list, element{"supply lead", &e.pack, 1, *e.b.supplyWire, quantity.Stated, false})
	}
	s, basis := e.s.channelStands()
	list = append(list, element{"controller", &e.motor, e.s.drive.Supply.PerChannel, s, basis, false})
	if e.b.motorWire != nil {
		list = append(list, element{"motor lead", &e.motor, 1, *e.b.motorWire, quantity.Stated, false})
	}
	return list
}

// envelopes draws E(w) and C(w) of every element.
func (e *evaluator) envelopes() Envelope {
	env := Envelope{Windows: rating.Windows(e.b.longest, perDecade)}
	var motor, pack rating.Profile
	e.profiles(&motor, &pack, fine())
	for _, el := range e.path() {
		shown := &pack
		if el.of == &e.motor {
			shown = &motor
		}
		out := Element{Name: el.name, Duty: scaled(shown, env.Windows, el.scale), Utilisation: math.NaN(), WorstWindow: math.NaN()}
		if el.basis == quantity.Unknown {
			out.Sentence = "no current rating is known"
			env.Elements = append(env.Elements, out)
			continue
		}
		u := el.of.Use(el.stands, el.scale, e.b.longest)
		out.Utilisation, out.WorstWindow, out.ByMemory = u.Utilisation, u.WorstWindow, u.ByMemory
		for _, w := range env.Windows {
			out.Stands = append(out.Stands, el.stands.At(w))
		}
		out.Sentence = el.sentence(u)
		env.Elements = append(env.Elements, out)
	}
	return Envelope{env.Windows, append(env.Elements, e.motorElement(&motor, env.Windows))}
}

func (el *element) sentence(u rating.Use) string {
	name := CheckControllerCurrent
	which := ""
	switch el.name {
	case "battery", "adapter":
		name = CheckBatteryCurrent
	case "fuse":
		name = CheckFuse
	case "connector":
		name = CheckConnector
	case "supply lead", "motor lead":
		name, which = CheckLead, el.name
	}
	k := check(name, u.Value, u.Limit, "A", el.basis)
	k.Window, k.Which = u.WorstWindow, which
	if u.ByMemory {
		k.Which = leadName(which, "memory")
	}
	return k.envelopeSentence()
}

func scaled(p *rating.Profile, windows []float64, scale float64) []float64 {
	out := p.EnvelopeAll(windows, make([]float64, 0, len(windows)))
	for i := range out {
		out[i] *= scale
	}
	return out
}

// motorElement is the motor's own curve: what brings the winding from air
// temperature to its limit at standstill. It is shown; the winding temperature
// alone judges.
func (e *evaluator) motorElement(motor *rating.Profile, windows []float64) Element {
	out := Element{Name: "motor", Duty: scaled(motor, windows, 1), Utilisation: math.NaN(), WorstWindow: math.NaN()}
	if !e.s.drive.Heated {
		out.Sentence = "no thermal data: what the winding stands is unknown"
		return out
	}
	h := e.motorHeat()
	for i, w := range windows {
		c := rating.MotorStands(w, h)
		out.Stands = append(out.Stands, c)
		if u := out.Duty[i] / c; !(u <= out.Utilisation) {
			out.Utilisation, out.WorstWindow = u, w
		}
	}
	i := slices.Index(windows, out.WorstWindow)
	out.Sentence = fmt.Sprintf("the worst %s carry %s A rms; %s A would bring the winding from air temperature to its limit in that time (judged by winding temperature alone)",
		span(out.WorstWindow), sig(out.Duty[i]), sig(out.Stands[i]))
	return out
}

// trace is the hottest cycle as readers know it.
func (e *evaluator) trace() []State {
	out := make([]State, 0, len(e.res.Trace.Samples))
	for i := range e.res.Trace.Samples {
		out = append(out, e.state(&e.res.Trace.Samples[i]))
	}
	return out
}
