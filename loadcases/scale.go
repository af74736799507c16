package loadcases

import (
	"maps"
	"math"
	"slices"

	"example.org/dray/quantity"
)

// Clone copies the case deeply enough that legs, mechanism, stages, supply
// and wants of the copy can be changed without touching the original.
func (c *Case) Clone() *Case {
	d := *c
	d.Mechanism = cloneMechanism(c.Mechanism)
	d.Legs = slices.Clone(c.Legs)
	d.Stages = slices.Clone(c.Stages)
	d.Assumptions = slices.Clone(c.Assumptions)
	d.Warnings = slices.Clone(c.Warnings)
	d.Tolerances = slices.Clone(c.Tolerances)
	d.Catalogs.Motors = slices.Clone(c.Catalogs.Motors)
	d.Catalogs.GearTrains = slices.Clone(c.Catalogs.GearTrains)
	d.Catalogs.Batteries = slices.Clone(c.Catalogs.Batteries)
	d.Catalogs.Controllers = slices.Clone(c.Catalogs.Controllers)
	d.Catalogs.Columns = maps.Clone(c.Catalogs.Columns)
	d.Supply.Batteries = slices.Clone(c.Supply.Batteries)
	d.Supply.Controllers = slices.Clone(c.Supply.Controllers)
	d.Supply.Adapter = clonePointer(c.Supply.Adapter)
	d.Supply.Fuse = clonePointer(c.Supply.Fuse)
	d.Supply.Connector = clonePointer(c.Supply.Connector)
	d.Supply.SupplyLead = clonePointer(c.Supply.SupplyLead)
	d.Supply.MotorLead = clonePointer(c.Supply.MotorLead)
	return &d
}

func clonePointer[T any](p *T) *T {
	if p == nil {
		return nil
	}
	v := *p
	return &v
}

func cloneMechanism(m Mechanism) Mechanism {
	switch m := m.(type) {
	case *Wheels:
		return clonePointer(m)
	case *Arm:
		return clonePointer(m)
	case *Hoist:
		return clonePointer(m)
	case *Turntable:
		return clonePointer(m)
	case *Belt:
		return clonePointer(m)
	case *Screw:
		return clonePointer(m)
	case *Shaft:
		s := *m
		s.Log = slices.Clone(m.Log)
		return &s
	}
	return m
}

// AddPayload adds kg to what every leg carries, the empty way home and the rests
// included; a negative kg takes away, to no less than nothing. It reports false
// where the mechanism carries nothing.
func (c *Case) AddPayload(kg float64) bool {
	switch c.Mechanism.(type) {
	case *Turntable, *Shaft:
		return false
	}
	for i := range c.Legs {
		c.Legs[i].Payload = max(0, c.Legs[i].Payload+kg)
	}
	return true
}

// ScaleSpeed multiplies every commanded speed by f > 0; a move takes its time
// divided by f, a timed leg keeps its time and so covers f times the way.
func (c *Case) ScaleSpeed(f float64) {
	for i := range c.Legs {
		c.Legs[i].Speed *= f
		c.Legs[i].In /= f
	}
}

// ScaleAcceleration multiplies every acceleration by f > 0; a move, whose
// acceleration is that of its way and time, takes its time divided by √f.
func (c *Case) ScaleAcceleration(f float64) {
	for i := range c.Legs {
		c.Legs[i].Acceleration *= f
		c.Legs[i].In /= math.Sqrt(f)
	}
}

// Level reports whether no leg has an incline.
func (c *Case) Level() bool {
	return !slices.ContainsFunc(c.Legs, func(l Leg) bool { return l.Incline != 0 })
}

// ScaleIncline multiplies every leg's incline by f, between −90° and 90°.
func (c *Case) ScaleIncline(f float64) {
	for i := range c.Legs {
		c.Legs[i].Incline = max(-math.Pi/2, min(math.Pi/2, c.Legs[i].Incline*f))
	}
}

// AddIncline tilts a level duty: every leg that moves climbs by rad in its own
// direction of travel (belt and screw: for positive speed); rests, holds and
// pivot turns stay level. It reports false where the duty is not level or the
// mechanism knows no incline.
func (c *Case) AddIncline(rad float64) bool {
	if !c.Level() {
		return false
	}
	switch c.Mechanism.(type) {
	case *Wheels, *Belt, *Screw:
	default:
		return false
	}
	for i := range c.Legs {
		if leg := &c.Legs[i]; !leg.Pivot && (leg.Kind == SpeedLeg || leg.Kind == MoveLeg) {
			leg.Incline = rad
		}
	}
	return true
}

// SetAir sets the air temperature in °C.
func (c *Case) SetAir(degC float64) { c.Air.Value = quantity.Temperature(degC) }

// ScaleRests multiplies the time of every rest and hold by f > 0.
func (c *Case) ScaleRests(f float64) {
	for i := range c.Legs {
		if leg := &c.Legs[i]; leg.Kind == RestLeg || leg.Kind == HoldLeg {
			leg.For *= f
		}
	}
}
