package loadcases

import (
	"fmt"

	"example.org/dray/quantity"
)

// supply builds everything between pack and motor; s may be nil.
func (b *builder) supply(s *section) {
	v := &b.c.Supply
	packs := s.sub("packs")
	v.Batteries = s.list("batteries")
	v.Controllers = s.list("controllers")
	v.PacksSeries = int(packs.numOr("series", 1))
	v.PacksParallel = int(packs.numOr("parallel", 1))
	v.MotorsPerController = int(s.numOr("motors_per_controller", 1))
	if b.c.Motors > 0 && v.MotorsPerController > b.c.Motors {
		b.fault(s.node("motors_per_controller"), fmt.Sprintf("motors_per_controller is %d, and motors is %d", v.MotorsPerController, b.c.Motors), "motors are given in the mechanism")
	}
	v.Health, v.HealthBasis = s.numOr("health", 0.8), quantity.Stated
	v.ElectronicsCurrent = quantity.Current(s.sub("electronics").num("current"))
	v.ElectronicsMin = stated[quantity.Voltage](s.sub("electronics"), "min_voltage")
	v.Capacitance = stated[quantity.Capacitance](s, "capacitance")
	b.adapter(s)
	if v.Adapter == nil && !s.has("health") {
		v.HealthBasis = quantity.Assumed
		b.assume("battery health", "80 %", quantity.Assumed, "a pack is sized for its old age")
	}
	b.batteryTest(s.sub("battery_test"))
	b.protection(s)
	v.SupplyLead = lead(s.sub("leads").sub("supply"))
	v.MotorLead = lead(s.sub("leads").sub("motor"))
}

// stated is a figure the case gives, unknown where it does not.
func stated[Q ~float64](s *section, name string) quantity.Figure[Q] {
	if !s.has(name) {
		return quantity.Figure[Q]{}
	}
	return quantity.Figure[Q]{Value: Q(s.num(name)), Basis: quantity.Stated}
}

func (b *builder) adapter(s *section) {
	a := s.sub("adapter")
	if a == nil {
		return
	}
	for _, name := range []string{"batteries", "packs", "battery_test", "health"} {
		if s.has(name) {
			b.fault(s.keyNode(name), name+" and adapter are both given, and an adapter stands in place of batteries", "keep one of the two")
		}
	}
	beyond := a.text("beyond")
	if beyond == "" {
		beyond = "hiccups"
		b.assume("adapter above its current", beyond, quantity.Assumed, "none given; the least helpful of the usual ways")
	}
	b.c.Supply.Adapter = &Adapter{
		Voltage: quantity.Voltage(a.num("voltage")), Current: quantity.Current(a.num("current")),
		Beyond: beyond, Capacitance: stated[quantity.Capacitance](a, "capacitance"),
	}
}

// batteryTest is the resistance of one pack, (V_open − V_loaded)/I.
func (b *builder) batteryTest(s *section) {
	if !s.has("open_voltage") || !s.has("loaded_voltage") || !s.has("current") {
		return
	}
	open, loaded, current := s.num("open_voltage"), s.num("loaded_voltage"), s.num("current")
	if loaded >= open {
		b.fault(s.node("loaded_voltage"), fmt.Sprintf("loaded_voltage is %.4g V and open_voltage %.4g V: a loaded pack shows less", loaded, open), "exchange the two readings")
		return
	}
	b.c.Supply.PackResistance = quantity.Figure[quantity.Resistance]{
		Value: quantity.Resistance((open - loaded) / current), Basis: quantity.Derived,
		Note: fmt.Sprintf("two-point test: (%.4g V − %.4g V)/%.4g A", open, loaded, current),
	}
}

func (b *builder) protection(s *section) {
	if f := s.sub("fuse"); f.has("rating") {
		kind := f.text("type")
		if kind == "" {
			kind = "F"
			b.assume("fuse type", "F", quantity.Assumed, "none given; the miniature blade fuse is the usual one")
		}
		b.c.Supply.Fuse = &Fuse{Rating: quantity.Current(f.num("rating")), Type: kind}
	}
	if c := s.sub("connector"); c.has("rating") {
		b.c.Supply.Connector = &Connector{Rating: quantity.Current(c.num("rating"))}
	}
}

func lead(s *section) *Lead {
	if !s.has("gauge") || !s.has("length") {
		return nil
	}
	return &Lead{
		Gauge: s.values["gauge"].gauge, Length: quantity.Length(s.num("length")),
		Bundle: int(s.numOr("bundle", 1)), AsListed: s.text("gauge"),
	}
}
