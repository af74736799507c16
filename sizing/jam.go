package sizing

import (
	"fmt"
	"math"
	"slices"

	"example.org/dray/quantity"
	"example.org/dray/sizing/rating"
)

// jam builds the jam of all motors at full charge and full command, windings
// at the duty's peak temperatures; with single, of one motor alone.
//
// The other motors are then taken to draw nothing. That is the worst for the
// jammed one, whose bus stays stiffest and whose channel's current limit is all
// its own, and for the fuse, which sees one motor's current and opens latest.
func (e *evaluator) jam(single bool) rating.Jam {
	d, sup := &e.s.drive, e.s.drive.Supply
	tw, th := e.res.WindingPeak, e.res.HousingPeak
	if math.IsNaN(tw) || math.IsNaN(th) {
		tw, th = e.res.Start.Winding, e.res.Start.Housing
	}
	emf := e.s.emf(1)
	n := int(sup.Motors)
	if single {
		n = 1
	}
	j := rating.Jam{Bus: emf - sup.Aux*sup.Rt(), Supply: sup.Rt(), Aux: sup.Aux,
		Path: sup.MotorLeadR + sup.PerChannel*sup.SwitchR, Drop: sup.Drop, DutyMax: sup.DutyMax,
		Motors: n, Parallel: int(sup.PerChannel), Fuse: e.b.fuse,
		Winding: tw, Housing: th, ResistanceCold: d.Machine.R(tw),
		GearPeak: float64(e.s.train.peak.Or(0)), GearGain: e.gearGain(), Constant: d.Machine.K(th), Friction: d.Machine.Friction}
	if single {
		j.Path = sup.MotorLeadR + sup.SwitchR
		j.Parallel = 1
	}
	if !math.IsInf(sup.Limit, 1) {
		j.Limit = sup.Limit
	}
	if a := e.s.adapter; a != nil {
		if a.Beyond == "holds" {
			j.Holds = float64(a.Current)
		} else {
			j.Cuts = float64(a.Current)
		}
	}
	if s, basis := e.s.channelStands(); basis != quantity.Unknown {
		j.Controller = s
	}
	if d.Heated {
		j.Heat = e.motorHeat()
	}
	return j
}

// gearGain is N·η of the train at the motor.
func (e *evaluator) gearGain() float64 {
	last := e.s.drive.Train.Stages[len(e.s.drive.Train.Stages)-1]
	return last.Ratio * last.Forward
}

func (e *evaluator) motorHeat() rating.MotorHeat {
	b := &e.s.drive.Body
	return rating.MotorHeat{Resistance: b.Resistance, ReferenceTemp: b.RefTemp, Rwh: b.WindingToHousing, Rha: b.HousingToAir,
		Cw: b.WindingCapacity, Ch: b.HousingCapacity, Air: b.Air, Limit: e.s.drive.Limit}
}

// jammed follows a jam of all motors, or of one, and says who protects whom.
func (e *evaluator) jammed(single bool) Jam {
	j := e.jam(single)
	r := j.Run()
	out := Jam{Current: r.Current, BatteryCurrent: r.Battery, BusVoltage: r.Voltage, GearTorque: r.Torque, Protected: r.Protected,
		Judged: e.s.drive.Heated, Why: r.Reason, Adiabatic: math.NaN()}
	out.OpenLoop = e.openLoop(&j)
	if j.Heat.Known() {
		// The same jam with a winding that keeps all its heat.
		sealed := j
		sealed.Heat.Rwh *= 1e9
		out.Adiabatic = sealed.Run().WindingLimit
	}
	for _, ev := range r.Events {
		out.Events = append(out.Events, JamEvent{ev.After, ev.What})
	}
	parts := e.jamParts(&r, single)
	for _, p := range parts {
		if !math.IsInf(p.after, 1) && p.event != "" {
			out.Events = append(out.Events, JamEvent{p.after, p.event})
		}
	}
	slices.SortStableFunc(out.Events, func(a, b JamEvent) int {
		switch {
		case a.After < b.After:
			return -1
		case a.After > b.After:
			return 1
		}
		return 0
	})
	out.Protects = e.protects(&j, &r, parts)
	if !single {
		out.Protects = append(out.Protects, e.fuseCovers()...)
	}
	out.Notes = e.jamNotes(&out, single)
	return out
}

// openLoop is the current per motor that the duty's largest command alone would
// drive through a held motor: what a low throttle means without a speed loop.
func (e *evaluator) openLoop(j *rating.Jam) float64 {
	most := 0.0
	for i := range e.res.Trace.Samples {
		if s := &e.res.Trace.Samples[i]; s.Powered {
			most = math.Max(most, math.Abs(s.Duty))
		}
	}
	if most == 0 {
		return 0
	}
	open := *j
	open.DutyMax = math.Min(most, j.DutyMax)
	return open.Run().Current
}

// jamPart is a part of the current path in a jam: when it is past what it
// stands, from cold, at the jam's first current.
type jamPart struct {
	name  string
	after float64 // s; +Inf never
	event string
}

// jamParts times the parts that the jam itself does not: pack, connector, leads.
func (e *evaluator) jamParts(r *rating.JamResult, single bool) []jamPart {
	var parts []jamPart
	for _, el := range e.path() {
		amp := r.Battery
		switch {
		case el.fuse || el.basis == quantity.Unknown || el.name == "controller" || el.name == "adapter":
			continue
		case el.name == "motor lead":
			amp = r.Current
		}
		after := standsFor(el.stands, amp)
		p := jamPart{el.name, after, ""}
		if !math.IsInf(after, 1) {
			p.event = fmt.Sprintf("the %s is past what it stands (%s A)", el.name, sig(amp))
		}
		parts = append(parts, p)
	}
	return parts
}

// standsFor is how long, from cold, an element stands a steady current, s.
func standsFor(s rating.Withstand, amp float64) float64 {
	switch {
	case amp <= s.Continuous:
		return math.Inf(1)
	case s.Tau == 0 || s.Peak > 0 && amp > s.Peak:
		return 0
	}
	q := s.Continuous / amp
	return -s.Tau * math.Log1p(-q*q)
}

// protects says for each part what ends a jam before it suffers, or that
// nothing does.
func (e *evaluator) protects(j *rating.Jam, r *rating.JamResult, parts []jamPart) []string {
	off, by := r.FuseLatest, "the fuse, open at the latest after "+span(r.FuseLatest)+","
	if r.Cut {
		off, by = 0, "the adapter, which "+e.s.adapter.Beyond+" at once,"
	}
	line := func(name string, after float64) string {
		switch {
		case math.IsInf(after, 1):
			return fmt.Sprintf("%s: stands the jam by itself", name)
		case off < after:
			return fmt.Sprintf("%s: %s protects it; its limit comes after %s", name, by, span(after))
		case math.IsInf(off, 1):
			return fmt.Sprintf("%s: past its limit after %s, and nothing interrupts", name, span(after))
		case after == 0:
			return fmt.Sprintf("%s: past its limit at once; %s comes too late", name, by)
		}
		return fmt.Sprintf("%s: past its limit after %s; %s comes too late", name, span(after), by)
	}
	var out []string
	if j.Heat.Known() {
		out = append(out, line("winding", r.WindingLimit))
	}
	if j.GearPeak > 0 {
		out = append(out, e.gearProtection(j, r))
	}
	if j.Controller.Continuous > 0 {
		out = append(out, line("controller", r.ControllerLimit))
	}
	for _, p := range parts {
		out = append(out, line(p.name, p.after))
	}
	return out
}

// gearProtection tells whether the current keeps the gears whole, and which
// limit would.
func (e *evaluator) gearProtection(j *rating.Jam, r *rating.JamResult) string {
	safe := (j.GearPeak/j.GearGain + j.Friction) / j.Constant
	switch {
	case !r.GearHolds:
		return fmt.Sprintf("gear train: past its momentary torque at once; only a current limit of %s A per motor protects it, no fuse is so quick", sig(safe))
	case r.Limited:
		return fmt.Sprintf("gear train: the current limit protects it; it stands %s A per motor", sig(safe))
	}
	return fmt.Sprintf("gear train: stands the jam by itself (up to %s A per motor)", sig(safe))
}

// fuseCovers holds the fuse against each lead at every current: between what the
// lead carries for ever and what surely opens the fuse nothing protects the
// wire. A chopped motor lead carries more than the fuse sees.
func (e *evaluator) fuseCovers() []string {
	if e.b.fuse == nil {
		return nil
	}
	sure := rating.FuseProtects * e.b.fuse.Rating
	var out []string
	for _, l := range []struct {
		name   string
		stands *rating.Withstand
	}{{"supply lead", e.b.supplyWire}, {"motor lead", e.b.motorWire}} {
		switch {
		case l.stands == nil:
		case l.stands.Continuous >= sure:
			out = append(out, fmt.Sprintf("the %s A fuse surely opens from %s A and the %s carries %s A for ever: the fuse protects it at every current", sig(e.b.fuse.Rating), sig(sure), l.name, sig(l.stands.Continuous)))
		default:
			out = append(out, fmt.Sprintf("the %s A fuse surely opens only from %s A and the %s carries %s A for ever: between them the wire is the fuse", sig(e.b.fuse.Rating), sig(sure), l.name, sig(l.stands.Continuous)))
		}
	}
	return out
}

// jamNotes are what a reader must know beside a jam.
func (e *evaluator) jamNotes(j *Jam, single bool) []string {
	var notes []string
	if !single {
		notes = append(notes, fmt.Sprintf("a closed speed loop raises the command to full at stall, so full command is taken; without one the duty's largest command would draw %s A per motor", sig(j.OpenLoop)))
	}
	if !math.IsNaN(j.Adiabatic) && !math.IsInf(j.Adiabatic, 1) {
		notes = append(notes, fmt.Sprintf("with no heat leaving the winding its limit would come after %s", span(j.Adiabatic)))
	}
	if single {
		notes = append(notes, "the other motors are taken to draw nothing: the stiffest bus for the jammed one, the least current for the fuse")
	}
	if limit := e.b.c.Supply.ElectronicsMin; limit.Known() && j.BusVoltage < float64(limit.Value) {
		notes = append(notes, fmt.Sprintf("the bus falls to %s V: the electronics need %s V and reset", sig(j.BusVoltage), sig(float64(limit.Value))))
	}
	return notes
}
