package published

import (
	"math"
	"strings"

	"example.org/dray/catalog"
	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/rating"
)

const rpm = math.Pi / 30

// machine is the row's motor: read from a listing, or by its numbers.
func (r *row) machine() drive.Machine {
	if _, listed := r.Text["motors"]; !listed {
		return drive.Machine{Resistance: r.num("resistance"), Constant: r.num("constant"), Friction: r.or("friction", 0), RefTemp: 25}
	}
	m := r.motor()
	k := float64(m.Constant.Value)
	return drive.Machine{Resistance: float64(m.Resistance.Value), Constant: k, Friction: k * float64(m.NoLoadCurrent.Value), RefTemp: float64(m.ReferenceTemp)}
}

// motor is the first motor of the row's listing.
func (r *row) motor() catalog.Motor {
	c := r.catalog()
	if len(c.Motors) == 0 {
		r.fail("no motor could be read: %v", c.Findings)
		return catalog.Motor{}
	}
	return c.Motors[0]
}

// catalog reads whatever tables the row brings.
func (r *row) catalog() *catalog.Catalog {
	files := catalog.Files{Open: func(name string) ([]byte, error) { return r.text(name), nil }}
	add := func(name string, into *[]catalog.CSV) {
		if _, ok := r.Text[name]; ok {
			*into = []catalog.CSV{{Name: name + ".csv", Data: r.text(name)}}
		}
	}
	add("motors", &files.Motors)
	add("gear_trains", &files.GearTrains)
	add("batteries", &files.Batteries)
	add("controllers", &files.Controllers)
	c, err := catalog.Read(files)
	if err != nil {
		r.fail("%v", err)
		return &catalog.Catalog{}
	}
	return c
}

// supply is a source of fixed voltage behind a chopper held at a duty.
func (r *row) supply() drive.Supply {
	return drive.Supply{EMF: r.num("voltage"), PackR: r.or("pack_resistance", 0), Aux: r.or("auxiliary", 0), Motors: 1, PerChannel: 1, DutyMax: r.or("duty", 1),
		Limit: math.Inf(1), Holds: math.Inf(1), Regenerate: true, Absorbs: true}
}

// operating solves one motor on a source: from current and speed, or from the
// command with a speed, a torque or a power.
func operating(r *row) answer {
	m, s := r.machine(), r.supply()
	i, speed := r.state(&m, &s)
	emf := m.K(25) * speed
	p := s.At(i, emf, m.R(25))
	torque := m.K(25)*i - m.Friction*sign(speed)
	a := answer{
		"constant": m.Constant, "resistance": m.Resistance, "friction": m.Friction,
		"current": i, "speed": speed, "speed_rpm": speed / rpm, "emf": emf, "torque": torque, "electromagnetic_torque": m.K(25) * i,
		"shaft_power": torque * speed, "electromagnetic_power": emf * i, "copper_loss": i * i * m.R(25), "rotational_loss": m.Friction * speed,
		"motor_voltage": p.MotorVoltage, "duty": p.Duty, "battery_current": p.Battery, "source_power": p.Battery * s.EMF, "electrical_power": p.MotorVoltage * i,
	}
	a["efficiency"] = a["shaft_power"] / a["source_power"]
	if a["source_power"] < 0 {
		a["efficiency"] = a["source_power"] / a["shaft_power"]
	}
	return a
}

func sign(x float64) float64 {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// state is the motor's current and speed.
func (r *row) state(m *drive.Machine, s *drive.Supply) (current, speed float64) {
	if v, ok := r.In["rpm"]; ok {
		r.In["speed"] = v * rpm
	}
	current, byCurrent := r.In["current"]
	speed, bySpeed := r.In["speed"]
	if byCurrent && bySpeed {
		return current, speed
	}
	most := func(speed float64) float64 { return s.Range(m.K(25)*speed, m.R(25)).High }
	if bySpeed {
		return most(speed), speed
	}
	// The motor runs at the speed where full command gives what the load takes;
	// with a load of constant power the upper of the two speeds is the stable one.
	load := func(speed float64) float64 {
		if byCurrent {
			return current
		}
		torque := r.or("torque", 0)
		if power, ok := r.In["power"]; ok {
			torque = power / speed
		}
		return (torque + m.Friction) / m.K(25)
	}
	top := 2 * s.EMF / m.K(25)
	speed = bisect(top*r.or("above", 0.05), top, func(w float64) float64 { return most(w) - load(w) })
	return load(speed), speed
}

// bisect finds where a falling function passes zero.
func bisect(low, high float64, f func(float64) float64) float64 {
	for range 200 {
		mid := (low + high) / 2
		if f(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// largest finds where a function of one hump is largest.
func largest(low, high float64, f func(float64) float64) float64 {
	const golden = 0.6180339887498949
	for range 200 {
		a, b := high-golden*(high-low), low+golden*(high-low)
		if f(a) > f(b) {
			high = b
		} else {
			low = a
		}
	}
	return (low + high) / 2
}

// best searches the current of greatest efficiency and of greatest output at
// the row's voltage.
func best(r *row) answer {
	m, s := r.machine(), r.supply()
	stall := s.Range(0, m.R(25)).High
	at := func(i float64) (eff, out float64) {
		speed := (s.EMF - i*m.R(25)) / m.K(25)
		p := s.At(i, m.K(25)*speed, m.R(25))
		out = (m.K(25)*i - m.Friction) * speed
		return out / (p.Battery * s.EMF), out
	}
	i := largest(0, stall, func(i float64) float64 { e, _ := at(i); return e })
	j := largest(0, stall, func(i float64) float64 { _, out := at(i); return out })
	e, _ := at(i)
	_, out := at(j)
	return answer{"current": i, "efficiency": e, "output": out, "output_current": j, "output_speed": (s.EMF - j*m.R(25)) / m.K(25), "stall_current": stall}
}

// listing reads a motor row and gives its constants.
func listing(r *row) answer {
	m := r.motor()
	named := 0.0
	for _, f := range r.catalog().Findings {
		if strings.Contains(f.Text, "V/k") || strings.Contains(f.Text, "gross") {
			named = 1
		}
	}
	k, i0, v, ohm := float64(m.Constant.Value), float64(m.NoLoadCurrent.Value), float64(m.NominalVoltage.Value), float64(m.Resistance.Value)
	return answer{"resistance": ohm, "constant": k, "no_load_current": i0, "gear_efficiency": float64(m.GearEfficiency.Value), "back_efficiency": float64(m.BackEfficiency.Value),
		"emf": v - i0*ohm, "convention_named": named, "gross_quotient": m.GrossStallQuotient}
}

// inward carries a torque through a train to the motor.
func inward(r *row) answer {
	t := r.train()
	motor, _ := t.Inward(r.num("torque"), r.or("sense", 1))
	held, _ := t.Held(r.num("torque"))
	return answer{"motor_torque": motor, "held_torque": held, "unpowered": t.Unpowered(r.num("torque")), "force": motor / r.or("radius", 1)}
}

// ripple chops a voltage onto a winding.
func ripple(r *row) answer {
	v, d, ohm, l := r.num("voltage"), r.num("duty"), r.num("resistance"), r.or("inductance", 0)
	f := r.or("frequency", 1000)
	delta, extra := rating.Ripple(v, d, ohm, l, f)
	a := answer{"ripple": delta}
	if ohm > 0 {
		mean := d * v / ohm
		s := drive.Supply{EMF: v, Motors: 1, PerChannel: 1, DutyMax: 1, Limit: math.Inf(1), Holds: math.Inf(1), Regenerate: true, Absorbs: true, Frequency: f}
		a["mean"], a["battery_mean"] = mean, s.At(mean, 0, ohm).Battery
		a["rms"], a["form_factor"] = math.Sqrt(mean*mean+extra), math.Sqrt(mean*mean+extra)/mean
		a["ripple_factor"] = math.Sqrt(extra) / mean
		a["rms_in_the_march"] = math.Sqrt(mean*mean + s.RippleSquare(v, d, ohm, l))
		if d == 0.5 { // the two halves of the wave mirror one another
			a["highest"], a["lowest"] = mean+delta/2, mean-delta/2
		}
	}
	return a
}
