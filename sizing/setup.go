package sizing

import (
	"math"
	"strconv"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/duty"
	"example.org/dray/sizing/heat"
	"example.org/dray/sizing/rating"
)

// bench is what all candidates of a case share: the sampled duty and the
// wiring, worked out once.
type bench struct {
	c          *loadcases.Case
	script     *duty.Script
	air        float64
	leadR      float64 // Ω, supply lead there and back
	motorLeadR float64
	supplyWire *rating.Withstand
	motorWire  *rating.Withstand
	wireNote   string
	fuse       *rating.Fuse
	static     float64 // N·m per motor at the load shaft, the worst static load
	longest    float64 // s, the longest window of interest
	ramps      bool    // every speed change has an acceleration
	steps      bool    // a leg's speed steps, and no log says how
	footnotes  []string
}

// newBench samples the duty and looks the wires and the fuse up.
func newBench(c *loadcases.Case) (*bench, error) {
	script, err := duty.NewScript(c)
	if err != nil {
		return nil, err
	}
	b := &bench{c: c, script: script, air: float64(c.Air.Value), static: script.WorstStatic(), ramps: true}
	b.longest = math.Max(3600, 10*script.Plan.Duration)
	if c.OperatingTime > 0 {
		b.longest = float64(c.OperatingTime)
	}
	for i := range c.Legs {
		if l := &c.Legs[i]; l.Kind == loadcases.SpeedLeg && l.Acceleration == 0 {
			b.ramps = false
			b.steps = b.steps || !l.Log
		}
	}
	if err := b.wire(); err != nil {
		return nil, err
	}
	if f := c.Supply.Fuse; f != nil {
		fuse, err := rating.NewFuse(float64(f.Rating), f.Type, b.air)
		if err != nil {
			return nil, err
		}
		b.fuse = &fuse
	}
	if g, ok := c.Mechanism.(loadcases.Gripping); ok {
		if note := g.GripFootnote(); note != "" {
			b.footnotes = append(b.footnotes, note)
		}
	}
	return b, nil
}

func (b *bench) wire() error {
	s := &b.c.Supply
	for _, l := range []struct {
		lead *loadcases.Lead
		r    *float64
		w    **rating.Withstand
	}{{s.SupplyLead, &b.leadR, &b.supplyWire}, {s.MotorLead, &b.motorLeadR, &b.motorWire}} {
		if l.lead == nil {
			continue
		}
		perMetre, _, err := rating.WireResistance(l.lead.Gauge, b.air)
		if err != nil {
			return err
		}
		*l.r = 2 * float64(l.lead.Length) * perMetre
		stands, note, err := rating.WireWithstand(l.lead.Gauge, b.air, l.lead.Bundle)
		if err != nil {
			return err
		}
		*l.w, b.wireNote = &stands, note
	}
	return nil
}

// setup is one pick made ready for the march.
type setup struct {
	pick        Pick
	drive       duty.Drive
	ocv         []catalog.OCVPoint // of the whole pack in series
	series      float64
	parallel    float64
	capacity    float64 // A·s, health counted; NaN unknown
	rated       float64 // A·s, at the rated hours, health counted, for Peukert
	hours       float64 // s, rated
	peukert     float64
	cutOff      float64 // V, terminals of the whole pack; NaN none
	full        float64 // V, full-charge voltage for limits
	nominal     float64 // V; NaN unknown
	controllers int
	channels    int
	train       gearLimits
	adapter     *loadcases.Adapter
	stageR      float64
}

// gearLimits are the limits of the gear train at the motor, built in or apart.
type gearLimits struct {
	continuous, peak quantity.Figure[quantity.Torque]
	input            quantity.Figure[quantity.AngularSpeed]
	radial           quantity.Figure[quantity.Force]
	ratio            float64
}

// prepare builds the drive of a pick.
func (b *bench) prepare(p Pick, s *setup) {
	*s = setup{pick: p, stageR: 1, adapter: b.c.Supply.Adapter}
	m := p.Motor
	s.drive.Machine = drive.Machine{
		Resistance: float64(m.Resistance.Value), Constant: float64(m.Constant.Value),
		Friction: float64(m.Constant.Value) * float64(m.NoLoadCurrent.Value),
		Inertia:  float64(m.RotorInertia.Value), Inductance: float64(m.Inductance.Value),
		Flux: float64(m.Magnet.Value), RefTemp: float64(m.ReferenceTemp),
	}
	s.gears(p, b)
	s.body(m, b.air)
	s.source(b)
	s.controller(b)
}

// gears lays the stages from the load inwards.
func (s *setup) gears(p Pick, b *bench) {
	stages := make([]drive.Stage, 0, 2)
	if p.Stage != nil {
		s.stageR = p.Stage.Ratio
		stages = append(stages, drive.Stage{Ratio: p.Stage.Ratio, Forward: p.Stage.Efficiency, Back: 2 - 1/p.Stage.Efficiency, Locks: p.Stage.Efficiency <= 0.5})
	}
	m := p.Motor
	switch {
	case p.Train != nil:
		t := p.Train
		s.train = gearLimits{t.TorqueContinuous, t.TorquePeak, t.InputSpeedMax, t.RadialLoadMax, float64(t.Ratio.Value)}
		stages = append(stages, drive.Stage{Ratio: float64(t.Ratio.Value), Forward: float64(t.Efficiency.Value), Back: float64(t.BackEfficiency.Value), Locks: t.SelfLocking})
		s.drive.Machine.Inertia += float64(t.Inertia.Value)
	case m.Bare:
		s.train = gearLimits{radial: m.RadialLoadMax, ratio: 1}
		stages = append(stages, drive.Stage{Ratio: 1, Forward: 1, Back: 1})
	default:
		s.train = gearLimits{m.TorqueContinuous, m.TorquePeak, m.InputSpeedMax, m.RadialLoadMax, float64(m.Ratio.Value)}
		stages = append(stages, drive.Stage{Ratio: float64(m.Ratio.Value), Forward: float64(m.GearEfficiency.Value), Back: float64(m.BackEfficiency.Value), Locks: m.SelfLocking})
	}
	s.drive.Train = drive.NewTrain(stages...)
}

// body fills the thermal network; without all four of its figures the drive
// runs at air temperature and its winding stays unknown.
func (s *setup) body(m *catalog.Motor, air float64) {
	d := &s.drive
	d.Heated = m.WindingToHousing.Known() && m.HousingToAir.Known() && m.WindingCapacity.Known() && m.HousingCapacity.Known()
	d.Body = heat.Body{
		WindingToHousing: float64(m.WindingToHousing.Value), HousingToAir: float64(m.HousingToAir.Value),
		WindingCapacity: float64(m.WindingCapacity.Value), HousingCapacity: float64(m.HousingCapacity.Value),
		Air: air, Resistance: d.Machine.Resistance, RefTemp: d.Machine.RefTemp, Flux: d.Machine.Flux,
	}
	d.Limit = float64(m.WindingLimit.Or(120))
}

// source fills the pack or the adapter, at half charge.
func (s *setup) source(b *bench) {
	c := &b.c.Supply
	sup := &s.drive.Supply
	s.capacity, s.cutOff, s.nominal = math.NaN(), math.NaN(), math.NaN()
	sup.Holds = math.Inf(1)
	sup.LeadR = b.leadR
	if a := s.adapter; a != nil {
		sup.EMF, s.full, s.nominal = float64(a.Voltage), float64(a.Voltage), float64(a.Voltage)
		if a.Beyond == "holds" {
			sup.Holds = float64(a.Current)
		}
		return
	}
	p := s.pick.Battery
	s.series, s.parallel = float64(c.PacksSeries), float64(c.PacksParallel)
	s.ocv = p.OCV
	resistance := float64(p.Resistance.Value)
	if c.PackResistance.Known() {
		resistance = float64(c.PackResistance.Value)
	}
	sup.PackR = resistance * s.series / s.parallel
	sup.Absorbs = true
	s.full = float64(p.FullVoltage.Value) * s.series
	if p.NominalVoltage.Known() {
		s.nominal = float64(p.NominalVoltage.Value) * s.series
	}
	if p.CutOff.Known() {
		s.cutOff = float64(p.CutOff.Value) * s.series
	}
	if p.Capacity.Known() {
		s.rated = float64(p.Capacity.Value) * s.parallel * c.Health
		s.capacity = s.rated
	}
	s.hours = float64(p.RatedHours.Or(5 * 3600))
	s.peukert = float64(p.Peukert.Or(1))
	sup.EMF = s.emf(0.5)
}

// emf is the open-circuit voltage of the whole pack at a state of charge,
// linear between the points of its table.
func (s *setup) emf(charge float64) float64 {
	if s.adapter != nil {
		return float64(s.adapter.Voltage)
	}
	t := s.ocv
	if charge <= t[0].Charge {
		return float64(t[0].Voltage) * s.series
	}
	for i := 1; i < len(t); i++ {
		if charge <= t[i].Charge {
			u := (charge - t[i-1].Charge) / (t[i].Charge - t[i-1].Charge)
			return (float64(t[i-1].Voltage) + u*float64(t[i].Voltage-t[i-1].Voltage)) * s.series
		}
	}
	return float64(t[len(t)-1].Voltage) * s.series
}

// charge is the state of charge at which the pack's EMF is a given one; below
// the table 0, above it 1, and on a flat stretch its upper end.
func (s *setup) charge(emf float64) float64 {
	t := s.ocv
	v := emf / s.series
	if v <= float64(t[0].Voltage) {
		return 0
	}
	for i := 1; i < len(t); i++ {
		if v <= float64(t[i].Voltage) {
			rise := float64(t[i].Voltage - t[i-1].Voltage)
			if rise <= 0 {
				return t[i].Charge
			}
			return t[i-1].Charge + (v-float64(t[i-1].Voltage))/rise*(t[i].Charge-t[i-1].Charge)
		}
	}
	return 1.0000001 // beyond full: never
}

// controller fills the controller's part of the supply.
func (s *setup) controller(b *bench) {
	c, k := &b.c.Supply, s.pick.Controller
	sup := &s.drive.Supply
	n := float64(b.c.Motors)
	per := float64(max(1, c.MotorsPerController))
	s.channels = max(1, k.Channels)
	s.controllers = int(math.Ceil(n / (per * float64(s.channels))))
	sup.Motors, sup.PerChannel = n, per
	sup.MotorLeadR = b.motorLeadR
	sup.SwitchR, sup.Drop = float64(k.OnResistance.Or(0)), float64(k.VoltageDrop.Or(0))
	sup.Aux = float64(c.ElectronicsCurrent) + float64(s.controllers)*float64(k.IdleCurrent.Or(0))
	sup.DutyMax = float64(k.DutyMax.Or(1))
	sup.Limit = math.Inf(1)
	if k.CurrentLimit.Known() {
		sup.Limit = float64(k.CurrentLimit.Value)
	}
	sup.Regenerate = k.Regeneration
	sup.Frequency = float64(k.PWMFrequency.Or(0))
}

// id is the candidate's id: motor[+train][+stage]+battery+controller.
func (p *Pick) id() string {
	id := p.Motor.ID
	if p.Train != nil {
		id += "+" + p.Train.ID
	}
	if p.Stage != nil {
		id += "+" + p.Stage.ID
	}
	if p.Battery != nil {
		id += "+" + p.Battery.ID
	} else {
		id += "+adapter"
	}
	return id + "+" + p.Controller.ID
}

// parts is the bill of a pick, and its price and mass where all are known.
func (s *setup) parts(b *bench) (parts []Part, price, mass float64) {
	n := b.c.Motors
	line := func(role, id string, count int, cost quantity.Figure[quantity.Money], kg quantity.Figure[quantity.Mass]) {
		p := Part{Role: role, ID: id, Count: count, Price: math.NaN(), Mass: math.NaN()}
		if cost.Known() {
			p.Price = float64(cost.Value)
		}
		if kg.Known() {
			p.Mass = float64(kg.Value)
		}
		price += float64(count) * p.Price
		if role != "controller" { // their mass is not in the catalogs
			mass += float64(count) * p.Mass
		}
		parts = append(parts, p)
	}
	parts = make([]Part, 0, 4)
	line("motor", s.pick.Motor.ID, n, s.pick.Motor.Price, s.pick.Motor.Mass)
	if t := s.pick.Train; t != nil {
		line("gear train", t.ID, n, t.Price, t.Mass)
	}
	if p := s.pick.Battery; p != nil {
		line("battery", p.ID, int(s.series*s.parallel), p.Price, p.Mass)
	}
	line("controller", s.pick.Controller.ID, s.controllers, s.pick.Controller.Price, quantity.Figure[quantity.Mass]{})
	return parts, price, mass
}

// digits reports whether a pick is written as a rank.
func digits(pick string) (int, bool) {
	n, err := strconv.Atoi(pick)
	return n, err == nil && n > 0
}
