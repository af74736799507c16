package published

import (
	"context"
	"math"
	"strings"

	"example.org/dray/sizing"
	"example.org/dray/sizing/heat"
)

// driven runs the whole engine on the row's case and catalog and takes its
// only candidate.
func driven(r *row) answer {
	c, cat := r.readCase(), r.catalog()
	if r.err != nil {
		return nil
	}
	_, k, err := sizing.Examine(context.Background(), c, cat, "1")
	if err != nil {
		r.fail("%v", err)
		return nil
	}
	constant := float64(k.Motor.Constant.Value)
	a := answer{
		"torque_rms": k.MotorCurrentRMS * constant, "torque_peak": k.MotorCurrentPeak * constant, "current_rms": k.MotorCurrentRMS,
		"rms_over_peak": k.MotorCurrentRMS / k.MotorCurrentPeak, "cycle": k.CycleTime, "runtime_h": k.Runtime,
		"battery_current": k.BatteryCurrentMean, "winding_peak": k.WindingPeak, "housing_peak": k.HousingPeak,
	}
	for i := range k.Checks {
		c := &k.Checks[i]
		name := strings.ReplaceAll(c.Name.String(), " ", "_")
		a[name], a[name+"_limit"], a[name+"_margin"] = c.Value, c.Limit, c.Margin
	}
	a["bus_voltage_min"] = k.BusVoltageMin
	a["power_rms"] = a["torque_rms"] * r.or("rpm", 0) * rpm
	if leg := int(r.or("leg", 0)); leg < len(k.Legs) {
		s := k.Legs[leg].Steady
		a["motor_torque"], a["output_torque"], a["motor_current"] = s.MotorTorque, s.OutputTorque, s.MotorCurrent
		a["motor_power"], a["command"], a["pulse_us"] = s.MotorTorque*s.MotorSpeed, s.Command, s.PulseSeconds*1e6
		a["motor_speed_rpm"], a["motor_voltage"] = s.MotorSpeed/rpm, s.MotorVoltage
		a["shortfall"] = k.Legs[leg].Shortfall
	}
	return a
}

// rms takes a load in straight pieces as one node of heat sees it.
func rms(r *row) answer {
	var pieces []heat.Piece
	to := r.List["to"]
	for i, v := range r.List["from"] {
		p := heat.Piece{From: v, To: v, Time: r.List["time"][i]}
		if i < len(to) {
			p.To = to[i]
		}
		pieces = append(pieces, p)
	}
	return answer{"rms": heat.RMS(pieces...)}
}

func (r *row) node() heat.OneNode {
	return heat.OneNode{Heating: r.num("heating"), Cooling: r.or("cooling", 0)}
}

// ratings rates a machine for other duties.
func ratings(r *row) answer {
	n, rated, on, a := r.node(), r.or("rated", 1), r.or("on", math.NaN()), r.or("fixed", 0)
	got := answer{"continuous": n.S1() * rated, "short_time": n.S2(on, a) * rated, "from_short_time": n.Continuous(rated, on, a)}
	if off, ok := r.In["off"]; ok {
		got["intermittent"] = n.Intermittent(on, off, a) * rated
	}
	if factor, ok := r.In["factor"]; ok {
		got["s3"] = n.S3(factor, r.num("cycle"), a) * rated
	}
	return got
}

// node follows one node of heat.
func node(r *row) answer {
	a := answer{}
	if _, ok := r.In["slope1"]; ok {
		a["final"], a["tau"] = heat.FromSlopes(r.num("at1"), r.num("slope1"), r.num("at2"), r.num("slope2"))
		return a
	}
	if _, ok := r.In["first"]; ok {
		a["final"], a["heating"] = heat.FromReadings(r.num("start"), r.num("first"), r.num("second"), r.num("interval"))
		r.In["heating"] = a["heating"]
		if _, ok := r.In["cooled_to"]; ok {
			a["cooling"] = heat.TimeConstant(a["final"], r.num("cooled_to")-r.or("air", 0), 0, r.num("cooled_in"))
		}
		a["final_temperature"] = a["final"] + r.or("air", 0)
		return a
	}
	n := r.node()
	if _, ok := r.In["valley"]; ok { // of a periodic duty whose load is not known
		a["peak"] = n.Cool(r.num("valley"), r.num("idle"), -r.num("off"))
		a["final"] = n.Final(r.num("valley"), a["peak"], r.num("on"))
		return a
	}
	a["heated"] = n.Heat(r.or("start", 0), r.num("final"), r.num("on"))
	if off, ok := r.In["off"]; ok {
		a["one_cycle"] = n.Cool(a["heated"], r.or("idle", 0), off)
		a["peak"], a["valley"] = n.Periodic(r.num("final"), r.or("idle", 0), r.num("on"), off)
	}
	return a
}
