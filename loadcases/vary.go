package loadcases

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/dray/quantity"
)

// Set puts an SI value (°C for the air) where a dotted path of the case file
// points, as Tolerances name it: "mechanism.wheels.mass", "duty.legs[2].payload".
// What legs take over from mechanism or duty follows. The error names a path
// that cannot be varied: places of moves, whole numbers, words.
func (c *Case) Set(path string, value float64) error {
	section, key, _ := strings.Cut(path, ".")
	ok := false
	switch section {
	case "mechanism":
		_, key, _ = strings.Cut(key, ".")
		ok = c.setMechanism(key, value)
	case "duty":
		ok = c.setDuty(key, value)
	case "conditions":
		if ok = key == "air"; ok {
			c.SetAir(value)
		}
	case "supply":
		ok = c.setSupply(key, value)
	}
	if !ok {
		return fmt.Errorf("%s cannot be varied", path)
	}
	return nil
}

func (c *Case) setMechanism(key string, value float64) bool {
	switch key {
	case "payload":
		for i := range c.Legs {
			if !c.Legs[i].OwnPayload {
				c.Legs[i].Payload = value
			}
		}
		return true
	case "incline":
		for i := range c.Legs {
			if !c.Legs[i].OwnIncline {
				c.Legs[i].Incline = value
			}
		}
		return true
	case "further_stage.efficiency":
		for i := range c.Stages {
			c.Stages[i].Efficiency = value
		}
		return len(c.Stages) > 0
	case "further_stage.ratio":
		if len(c.Stages) != 1 {
			return false
		}
		c.Stages[0].Ratio = value
		return true
	}
	at := c.numbers()[key]
	if at == nil {
		return false
	}
	if strings.HasSuffix(key, "_diameter") && key != "screw_diameter" {
		value /= 2
	}
	*at = value
	return true
}

// numbers are the mechanism's figures by their keys; a diameter points at the
// radius it gives.
func (c *Case) numbers() map[string]*float64 {
	switch m := c.Mechanism.(type) {
	case *Wheels:
		return map[string]*float64{
			"mass": &m.Mass, "wheel_diameter": &m.Radius, "wheel_radius": &m.Radius, "rolling_resistance": &m.RollingResistance,
			"wheel_inertia": &m.RotatingInertia, "drag_area": &m.DragArea, "wheelbase": &m.Wheelbase, "track": &m.Track,
			"grip.friction": &m.GripFriction, "grip.share_on_driven": &m.DrivenShare, "grip.height": &m.GripHeight,
			"grip.wheelbase": &m.Wheelbase, "scrub.friction": &m.ScrubFriction, "obstacle.share": &m.StepShare,
			"obstacle.wheel_diameter": &m.StepRadius,
		}
	case *Arm:
		return map[string]*float64{
			"mass": &m.Mass, "radius": &m.Radius, "arm_mass": &m.ArmMass, "arm_radius": &m.ArmRadius, "arm_length": &m.ArmLength,
			"inertia": &m.Inertia, "angle": &m.Angle, "balance.torque": &m.BalanceTorque, "balance.mass": &m.CounterMass,
			"balance.radius": &m.CounterRadius, "balance.spring.rate": &m.SpringRate, "balance.spring.torque_at": &m.SpringTorque,
			"balance.spring.angle": &m.SpringAngle,
		}
	case *Hoist:
		return map[string]*float64{
			"mass": &m.Mass, "drum_diameter": &m.Radius, "drum_radius": &m.Radius, "counterweight": &m.Counterweight,
			"rope_efficiency": &m.RopeEfficiency, "drum_inertia": &m.DrumInertia,
		}
	case *Turntable:
		return map[string]*float64{
			"inertia": &m.Inertia, "friction_torque": &m.FrictionTorque, "imbalance.mass": &m.ImbalanceMass,
			"imbalance.offset": &m.ImbalanceOffset, "tilt": &m.Tilt,
		}
	case *Belt:
		return map[string]*float64{
			"mass": &m.Mass, "belt_mass": &m.BeltMass, "pulley_diameter": &m.Radius, "pulley_radius": &m.Radius,
			"friction": &m.Friction, "breakaway": &m.BreakawayFactor, "pulley_inertia": &m.PulleyInertia,
		}
	case *Screw:
		return map[string]*float64{
			"mass": &m.Mass, "force": &m.Force, "lead": &m.Lead, "screw_diameter": &m.Diameter, "friction": &m.Friction,
			"efficiency": &m.Efficiency, "flank_angle": &m.FlankAngle, "collar.friction": &m.CollarFriction,
			"collar.radius": &m.CollarRadius, "screw_inertia": &m.Inertia,
		}
	case *Shaft:
		return map[string]*float64{"inertia": &m.Inertia}
	}
	return nil
}

func (c *Case) setDuty(key string, value float64) bool {
	switch key {
	case "acceleration":
		for i := range c.Legs {
			leg := &c.Legs[i]
			switch {
			case leg.OwnAcceleration:
			case leg.Pivot:
				leg.Acceleration = c.yawAcceleration(value)
			default:
				leg.Acceleration = value
			}
		}
		return true
	case "operating_time":
		c.OperatingTime = quantity.Time(value)
		return true
	case "pause":
		c.Pause = quantity.Time(value)
		return true
	}
	rest, found := strings.CutPrefix(key, "legs[")
	number, name, cut := strings.Cut(rest, "].")
	i, err := strconv.Atoi(number)
	if len(c.Legs) > 0 && c.Legs[0].Log {
		i++ // the log stands before the written legs
	}
	if !found || !cut || err != nil || i < 0 || i >= len(c.Legs) {
		return false
	}
	return c.Legs[i].set(name, value)
}

func (l *Leg) set(name string, value float64) bool {
	switch name {
	case "speed":
		l.Speed = value
	case "distance":
		l.Distance = value
	case "for", "rest", "hold":
		l.For = value
	case "acceleration":
		l.Acceleration = value
	case "incline":
		l.Incline = value
	case "payload":
		l.Payload = value
	case "in":
		l.In = value
	case "step":
		l.StepHeight = value
	case "torque":
		l.Torque = value
	default:
		return false
	}
	return true
}

func (c *Case) setSupply(key string, value float64) bool {
	s := &c.Supply
	switch {
	case key == "health":
		s.Health = value
	case key == "electronics.current":
		s.ElectronicsCurrent = quantity.Current(value)
	case key == "leads.supply.length" && s.SupplyLead != nil:
		s.SupplyLead.Length = quantity.Length(value)
	case key == "leads.motor.length" && s.MotorLead != nil:
		s.MotorLead.Length = quantity.Length(value)
	case key == "adapter.voltage" && s.Adapter != nil:
		s.Adapter.Voltage = quantity.Voltage(value)
	case key == "adapter.current" && s.Adapter != nil:
		s.Adapter.Current = quantity.Current(value)
	case key == "capacitance":
		s.Capacitance.Value = quantity.Capacitance(value)
	default:
		return false
	}
	return true
}
