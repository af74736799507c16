package published

import (
	"math"

	"example.org/dray/quantity"
	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/heat"
	"example.org/dray/sizing/rating"
)

// copper warms copper by the rule of wire and of winding.
func copper(r *row) answer {
	gauge := quantity.Gauge{AWG: 10}
	ohm := func(t float64) float64 {
		v, _, err := rating.WireResistance(gauge, t)
		if err != nil {
			r.fail("%v", err)
		}
		return v
	}
	hot, cold := ohm(r.num("hot")), ohm(r.num("cold"))
	m := drive.Machine{Resistance: 1, RefTemp: r.num("cold")}
	h := rating.MotorHeat{Resistance: 1, ReferenceTemp: r.num("cold")}
	return answer{
		"resistivity": ohm(20) * rating.AWGArea(10) * 1e6, "conductivity": 1e-6 / (ohm(20) * rating.AWGArea(10)),
		"wire": hot / cold, "winding": m.R(r.num("hot")), "jammed_winding": h.At(r.num("hot")), "inverse": cold / hot,
		"coefficient": (ohm(21) - ohm(20)) / ohm(20),
		"resistive":   hot / cold * r.or("ohmic", 0), "eddy": cold / hot * r.or("eddy", 0),
		"losses": hot/cold*r.or("ohmic", 0) + cold/hot*r.or("eddy", 0),
	}
}

// class reads the winding limit that a row's insulation class stands for.
func class(r *row) answer {
	m := r.motor()
	return answer{"limit": float64(m.WindingLimit.Value)}
}

// magnet reads the flux coefficient that a row's magnet stands for, in %/K.
func magnet(r *row) answer {
	m := r.motor()
	machine := drive.Machine{Constant: 1, Flux: float64(m.Magnet.Value), RefTemp: 20}
	return answer{"percent_per_kelvin": float64(m.Magnet.Value) * 100, "left_at": machine.K(r.or("hot", 100))}
}

// network is the two-node body of a motor, given by resistances and listed
// time constants as a catalog row gives them.
func network(r *row) answer {
	m := r.motor()
	b := heat.Body{
		WindingToHousing: float64(m.WindingToHousing.Value), HousingToAir: float64(m.HousingToAir.Value),
		WindingCapacity: float64(m.WindingCapacity.Value), HousingCapacity: float64(m.HousingCapacity.Value),
		Air: r.num("air"), Resistance: 1, RefTemp: 25,
	}
	power, x := r.or("power", 0), heat.State{Winding: r.num("start"), Housing: r.num("start")}
	step := func(x heat.State, dt float64) (heat.State, heat.Matrix) {
		// The current that gives this power now; it falls as the copper warms,
		// so that the power stays.
		ohm := (heat.CopperZero + x.Winding) / (heat.CopperZero + b.RefTemp)
		return b.Step(x, power/ohm, 0, dt, heat.Answer{Winding: -1 / (heat.CopperZero + x.Winding)})
	}
	steps := int(r.or("steps", 1))
	t := r.or("after", 1)
	y := x
	for range steps {
		y, _ = step(y, t/float64(steps))
	}
	found := heat.Endless(func(s heat.State) (heat.State, heat.Matrix) { return step(s, 100) }, b.Air)
	_, tangent := step(x, 1)
	mean, half := (tangent.WW+tangent.HH)/2, (tangent.WW-tangent.HH)/2
	q := math.Sqrt(half*half + tangent.WH*tangent.HW)
	return answer{
		"winding": y.Winding, "housing": y.Housing, "steady_winding": found.Start.Winding, "steady_housing": found.Start.Housing,
		"winding_capacity": b.WindingCapacity, "housing_capacity": b.HousingCapacity,
		"slow_time_constant": -1 / math.Log(mean+q), "fast_time_constant": -1 / math.Log(mean-q),
	}
}
