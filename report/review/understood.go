package review

import (
	"fmt"
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/report/figures"
	"example.org/dray/sizing"
)

const airKind = quantity.KindTemperature

// given is one figure of the mechanism as understood.
type given struct {
	name string
	kind quantity.Kind
	si   float64
}

// mechanismFigures lists what the mechanism was understood to be; zeros that
// mean "not given" are left out.
func mechanismFigures(m loadcases.Mechanism) []given {
	var all []given
	switch m := m.(type) {
	case *loadcases.Wheels:
		all = []given{{"mass of the machine", quantity.KindMass, m.Mass}, {"wheel radius", quantity.KindLength, m.Radius},
			{"rolling resistance", quantity.KindFriction, m.RollingResistance}, {"inertia of the wheels", quantity.KindInertia, m.RotatingInertia},
			{"drag area Cd·A", quantity.KindArea, m.DragArea}, {"wheelbase", quantity.KindLength, m.Wheelbase}, {"track", quantity.KindLength, m.Track},
			{"scrub friction", quantity.KindFriction, m.ScrubFriction}, {"grip friction", quantity.KindFriction, m.GripFriction},
			{"share of the weight on driven wheels", quantity.KindFraction, m.DrivenShare}, {"height of the centre of mass", quantity.KindLength, m.GripHeight}}
	case *loadcases.Arm:
		all = []given{{"mass at the end", quantity.KindMass, m.Mass}, {"its radius", quantity.KindLength, m.Radius}, {"mass of the arm", quantity.KindMass, m.ArmMass},
			{"its radius", quantity.KindLength, m.ArmRadius}, {"length of the arm", quantity.KindLength, m.ArmLength}, {"added inertia", quantity.KindInertia, m.Inertia},
			{"constant balance", quantity.KindTorque, m.BalanceTorque}, {"counterweight", quantity.KindMass, m.CounterMass}, {"its radius", quantity.KindLength, m.CounterRadius},
			{"spring rate", quantity.KindTorsionRate, m.SpringRate}, {"spring torque", quantity.KindTorque, m.SpringTorque}, {"at the angle", quantity.KindAngle, m.SpringAngle}}
	case *loadcases.Hoist:
		all = []given{{"mass of hook and cage", quantity.KindMass, m.Mass}, {"drum radius", quantity.KindLength, m.Radius}, {"parts of line", quantity.KindFriction, m.Parts},
			{"counterweight", quantity.KindMass, m.Counterweight}, {"rope efficiency", quantity.KindFraction, m.RopeEfficiency}, {"drum inertia", quantity.KindInertia, m.DrumInertia}}
	case *loadcases.Turntable:
		all = turntableFigures(m)
	case *loadcases.Belt:
		all = []given{{"mass on the belt", quantity.KindMass, m.Mass}, {"mass of the belt", quantity.KindMass, m.BeltMass}, {"pulley radius", quantity.KindLength, m.Radius},
			{"friction", quantity.KindFriction, m.Friction}, {"breakaway factor", quantity.KindFriction, m.BreakawayFactor}, {"pulley inertia", quantity.KindInertia, m.PulleyInertia}}
	case *loadcases.Screw:
		all = []given{{"mass", quantity.KindMass, m.Mass}, {"force against the motion", quantity.KindForce, m.Force}, {"lead", quantity.KindLength, m.Lead}, {"mean diameter", quantity.KindLength, m.Diameter},
			{"friction of the thread", quantity.KindFriction, m.Friction}, {"flank angle", quantity.KindAngle, m.FlankAngle}, {"efficiency", quantity.KindFraction, m.Efficiency},
			{"collar friction", quantity.KindFriction, m.CollarFriction}, {"collar radius", quantity.KindLength, m.CollarRadius}, {"inertia of the screw", quantity.KindInertia, m.Inertia}}
	case *loadcases.Shaft:
		all = []given{{"inertia", quantity.KindInertia, m.Inertia}}
	}
	var out []given
	for _, g := range all {
		if g.si != 0 {
			out = append(out, g)
		}
	}
	return out
}

// understood repeats the case in plain words and in both worlds' units, so that
// a misreading is seen before anything is built on it.
func (w *composer) understood() {
	s := w.section("understood", "The load case as understood")
	cs := w.f.Case
	s.say("If a line here is not what was meant, stop: everything after it rests on it.")
	t := figures.Table{Caption: "The machine", Heads: []string{"figure", "as understood"}, Left: 2}
	t.Rows = append(t.Rows, words("mechanism", cs.Kind), words("motors, sharing the load equally", fmt.Sprint(cs.Motors)))
	for _, g := range mechanismFigures(cs.Mechanism) {
		t.Rows = append(t.Rows, []figures.Cell{figures.Words(g.name), figures.Words(both(g.kind, g.si))})
	}
	for _, st := range cs.Stages {
		t.Rows = append(t.Rows, words("further stage "+st.ID, fmt.Sprintf("ratio %s, efficiency %s (%s)", sig(st.Ratio), share(st.Efficiency), st.Basis)))
	}
	t.Rows = append(t.Rows, words("air", both(airKind, float64(cs.Air.Value))))
	s.table(t)
	s.table(w.legsAsked())
	s.table(w.supplyAsked())
	s.table(w.wanted())
	if len(cs.Assumptions) > 0 {
		s.part("Assumptions")
		a := figures.Table{Caption: "What the case left open and a convention filled", Heads: []string{"what", "value", "basis", "why"}, Left: 4}
		for _, x := range cs.Assumptions {
			a.Rows = append(a.Rows, words(x.What, x.Value, x.Basis.String(), x.Why))
		}
		s.table(a)
	}
}

// legsAsked is the duty as commanded.
func (w *composer) legsAsked() figures.Table {
	cs := w.f.Case
	t := figures.Table{Caption: "The duty, leg by leg, as commanded", Heads: []string{"leg", "what it does", "speed", "for", "on a slope of", "carries"}, Left: 6}
	for i := range cs.Legs {
		l := &cs.Legs[i]
		what, speed, until := legWords(l, cs.Mechanism.Turning() || l.Pivot)
		slope, carries := figures.Absent, figures.Absent
		if l.Incline != 0 {
			slope = both(quantity.KindIncline, l.Incline)
		}
		if l.Payload > 0 {
			carries = both(quantity.KindMass, l.Payload)
		}
		t.Rows = append(t.Rows, words(fmt.Sprintf("%d %s", i+1, l.Name), what, speed, until, slope, carries))
	}
	return t
}

func legWords(l *loadcases.Leg, turning bool) (what, speed, until string) {
	speedKind, wayKind := quantity.KindSpeed, quantity.KindLength
	if turning {
		speedKind, wayKind = quantity.KindAngularSpeed, quantity.KindAngle
	}
	speed, until = figures.Absent, figures.Absent
	if l.For > 0 {
		until = figures.Duration(l.For)
	}
	switch l.Kind {
	case loadcases.RestLeg:
		what = "rests, unpowered"
	case loadcases.HoldLeg:
		what = "holds still, powered"
	case loadcases.StepLeg:
		what = "meets a step of " + both(quantity.KindLength, l.StepHeight)
	case loadcases.MoveLeg:
		what = fmt.Sprintf("moves from %s to %s", both(wayKind, l.From), both(wayKind, l.To))
		if l.Relative {
			what = "moves by " + both(wayKind, l.By)
		}
		until = figures.Duration(l.In)
	default:
		what = "runs"
		if l.Acceleration > 0 {
			what = "speeds up at " + both(map[bool]quantity.Kind{false: quantity.KindAcceleration, true: quantity.KindAngularAcceleration}[turning], l.Acceleration) + ", then runs"
		}
		if l.Pivot {
			what += ", turning on the spot"
		}
		if l.Log {
			what = "replays the recorded log"
		}
		speed = both(speedKind, l.Speed)
		if l.Distance > 0 {
			until = both(wayKind, l.Distance)
		}
		if l.Torque != 0 {
			what += " against " + both(quantity.KindTorque, l.Torque)
		}
	}
	return what, speed, until
}

// supplyAsked is everything between pack and motor that the case gives.
func (w *composer) supplyAsked() figures.Table {
	s := &w.f.Case.Supply
	t := figures.Table{Caption: "The supply", Heads: []string{"figure", "as understood"}, Left: 2}
	row := func(name, value string) { t.Rows = append(t.Rows, words(name, value)) }
	if a := s.Adapter; a != nil {
		row("adapter", fmt.Sprintf("%s, %s, beyond that it %s", with(float64(a.Voltage), "V"), with(float64(a.Current), "A"), a.Beyond))
	} else {
		row("packs", fmt.Sprintf("%d in series, %d in parallel, health %s (%s)", s.PacksSeries, s.PacksParallel, share(s.Health), s.HealthBasis))
		if s.PackResistance.Known() {
			row("resistance of one pack, from a test", with(1000*float64(s.PackResistance.Value), "mΩ"))
		}
	}
	row("motors on each controller channel", fmt.Sprint(max(1, s.MotorsPerController)))
	if s.Fuse != nil {
		row("fuse", fmt.Sprintf("%s, type %s", with(float64(s.Fuse.Rating), "A"), s.Fuse.Type))
	}
	if s.Connector != nil {
		row("connector", with(float64(s.Connector.Rating), "A"))
	}
	for _, l := range []struct {
		name string
		lead *loadcases.Lead
	}{{"supply lead, one way", s.SupplyLead}, {"motor lead, one way", s.MotorLead}} {
		if l.lead != nil {
			row(l.name, fmt.Sprintf("%s of %s", both(quantity.KindLength, float64(l.lead.Length)), l.lead.Gauge))
		}
	}
	if s.ElectronicsCurrent > 0 {
		row("electronics", with(float64(s.ElectronicsCurrent), "A"))
	}
	if s.ElectronicsMin.Known() {
		row("least voltage of the electronics", with(float64(s.ElectronicsMin.Value), "V"))
	}
	return t
}

// wanted is what the user asked for.
func (w *composer) wanted() figures.Table {
	x := &w.f.Case.Wants
	t := figures.Table{Caption: "What is wanted", Heads: []string{"limit", "value"}, Left: 2}
	row := func(name, value string) { t.Rows = append(t.Rows, words(name, value)) }
	if x.Runtime.Known() {
		row("runtime", figures.Duration(float64(x.Runtime.Value)))
	}
	row("charge kept in reserve", share(x.Reserve))
	row("speed may fall short by", share(x.SpeedTolerance))
	row("voltage drop, of nominal", share(x.VoltageDrop))
	row("gear service factor", sig(x.GearServiceFactor))
	if x.HousingLimit.Known() {
		row("housing stays below", fmt.Sprintf("%s (%s)", both(airKind, float64(x.HousingLimit.Value)), x.HousingLimit.Basis))
	}
	yes := map[bool]string{true: "yes", false: "no"}
	row("stays put unpowered", yes[x.StaysPut])
	row("protected against a jam", yes[x.JamProtected])
	return t
}

// requirement is what the duty asks of any drive, before parts are chosen.
func (w *composer) requirement() {
	if len(w.in.Demands) == 0 {
		return
	}
	s := w.section("requirement", "What the duty asks of one motor")
	s.say("At the load shaft, for one motor's share, before any part is chosen. These are running torques: compare them with what a gear motor may give continuously, not with a stall torque. Negative torque drives the motor.")
	t := figures.Table{Caption: "Torque, speed and power at the load shaft, one motor", Left: 1,
		Heads: []string{"leg", "steady, N·m", "kg·cm", "oz·in", "at, rpm", "worst in the leg, N·m", "at, rpm", "power, W"}}
	for _, d := range w.in.Demands {
		row := []figures.Cell{figures.Words(d.Leg)}
		for _, per := range []float64{1, 9.80665e-2, 7.0615518e-3} {
			row = append(row, figures.Shown(d.Steady, sig(d.Steady/per), ""))
		}
		speed, at := figures.Shown(d.Speed, sig(figures.Rpm(d.Speed)), ""), figures.Shown(d.At, sig(figures.Rpm(d.At)), "")
		if math.IsNaN(d.Steady) {
			speed = figures.Words(figures.Absent)
		}
		t.Rows = append(t.Rows, append(row, speed, figures.Number(d.Worst, ""), at, figures.Number(d.Power, "")))
	}
	s.table(t)
	s.say(demandWords(w.in.Demands, w.f.Case.Motors))
}

func demandWords(list []sizing.Demand, motors int) string {
	worst, strongest := 0, 0
	for i := range list {
		if math.Abs(list[i].Worst) > math.Abs(list[worst].Worst) {
			worst = i
		}
		if list[i].Power > list[strongest].Power {
			strongest = i
		}
	}
	return fmt.Sprintf("The largest torque is %s, in leg %q; the largest mechanical power is %s from one motor and %s from all %s, in leg %q.",
		both(quantity.KindTorque, list[worst].Worst), list[worst].Leg, with(list[strongest].Power, "W"), with(list[strongest].Power*float64(motors), "W"),
		count(motors, "motor", "motors"), list[strongest].Leg)
}

// machineSentence says in a breath what the machine is.
func machineSentence(cs *loadcases.Case) string {
	most := 0.0
	for i := range cs.Legs {
		most = math.Max(most, cs.Legs[i].Payload)
	}
	carries := ""
	if most > 0 {
		carries = ", carrying up to " + both(quantity.KindMass, most)
	}
	motors := count(cs.Motors, "motor", "motors sharing the load")
	kg := func(m float64) string { return both(quantity.KindMass, m) }
	switch m := cs.Mechanism.(type) {
	case *loadcases.Wheels:
		return fmt.Sprintf("A machine of %s on wheels%s, moved by %s.", kg(m.Mass), carries, motors)
	case *loadcases.Arm:
		return fmt.Sprintf("An arm with %s at %s%s, turned against gravity by %s.", kg(m.Mass), both(quantity.KindLength, m.Radius), carries, motors)
	case *loadcases.Hoist:
		return fmt.Sprintf("A hoist with a hook and cage of %s%s, lifted by %s.", kg(m.Mass), carries, motors)
	case *loadcases.Turntable:
		return fmt.Sprintf("A turntable, turned by %s.", motors)
	case *loadcases.Belt:
		return fmt.Sprintf("A belt with %s on it%s, driven by %s.", kg(m.Mass), carries, motors)
	case *loadcases.Screw:
		return fmt.Sprintf("A screw that moves %s%s, turned by %s.", kg(m.Mass), carries, motors)
	}
	return fmt.Sprintf("A load given at its shaft, driven by %s.", motors)
}

func turntableFigures(m *loadcases.Turntable) []given {
	return []given{{"inertia", quantity.KindInertia, m.Inertia}, {"friction torque", quantity.KindTorque, m.FrictionTorque},
		{"imbalance", quantity.KindMass, m.ImbalanceMass}, {"its offset", quantity.KindLength, m.ImbalanceOffset}, {"tilt of the axis", quantity.KindAngle, m.Tilt}}
}
