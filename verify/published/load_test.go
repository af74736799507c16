package published

import (
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/sizing/drive"
)

// readCase reads the row's case by the reader that users' cases go through.
func (r *row) readCase() *loadcases.Case {
	c, err := loadcases.Read(r.ID+".yaml", r.text("case"), func(string) ([]byte, error) { return r.text("log"), nil })
	if err != nil {
		r.fail("%v", err)
		return nil
	}
	return c
}

// train is the row's stages from the load inwards, by its numbers or from a
// listing.
func (r *row) train() drive.Train {
	var stages []drive.Stage
	if _, listed := r.Text["gear_trains"]; listed {
		for _, g := range r.catalog().GearTrains {
			stages = append(stages, drive.Stage{Ratio: float64(g.Ratio.Value), Forward: float64(g.Efficiency.Value), Back: float64(g.BackEfficiency.Value), Locks: g.SelfLocking})
		}
		return drive.NewTrain(stages...)
	}
	ratios, forward, back := r.List["ratio"], r.List["efficiency"], r.List["back"]
	for i, n := range ratios {
		s := drive.Stage{Ratio: n, Forward: 1, Back: 1}
		if i < len(forward) {
			s.Forward, s.Back = forward[i], 2-1/forward[i]
		}
		if i < len(back) {
			s.Back = back[i]
		}
		stages = append(stages, s)
	}
	return drive.NewTrain(stages...)
}

// seen is a load at one instant of its commanded motion, through a train.
type seen struct {
	mech     loadcases.Mechanism
	leg      *loadcases.Leg
	motion   loadcases.Motion
	train    drive.Train
	rotor    float64 // kg·m² at the motor
	friction float64 // N·m at the motor
}

// see lays the case's duty out and looks at one phase.
func (r *row) see() (*seen, *loadcases.Plan) {
	c := r.readCase()
	if c == nil {
		return nil, nil
	}
	plan, err := c.Plan()
	if err != nil {
		r.fail("%v", err)
		return nil, nil
	}
	p := plan.Phases[int(r.or("phase", 0))]
	t := r.or("share", 1) * p.Duration
	m := loadcases.Motion{Position: p.Position + p.Speed*t + p.Acceleration*t*t/2, Speed: p.Speed + p.Acceleration*t,
		Acceleration: p.Acceleration, Direction: p.Direction}
	return &seen{mech: c.Mechanism, leg: &c.Legs[p.Leg], motion: m, train: r.train(), rotor: r.or("rotor", 0), friction: r.or("friction", 0)}, &plan
}

// torques are those at the load shaft and at the motor for an acceleration.
func (s *seen) torques(acceleration float64) (atLoad, atMotor float64) {
	m := s.motion
	m.Acceleration = acceleration
	way := m.Direction
	if m.Speed != 0 {
		way = math.Copysign(1, m.Speed)
	}
	atLoad = s.mech.Torque(s.leg, m)
	atMotor, _ = s.train.Inward(atLoad, way)
	return atLoad, atMotor + s.friction*way + s.rotor*acceleration*s.turns()
}

// turns is the motor's rotation per unit of the load's motion.
func (s *seen) turns() float64 { return s.mech.ShaftSpeed(s.leg) * s.train.Total }

// accelerates is the acceleration that a motor torque gives.
func (s *seen) accelerates(torque float64) float64 {
	const h = 1e-3
	_, still := s.torques(0)
	_, moved := s.torques(math.Copysign(h, torque-still))
	return (torque - still) / (moved - still) * math.Copysign(h, torque-still)
}

// load asks what a case's load is at the motor.
func load(r *row) answer {
	s, _ := r.see()
	if s == nil {
		return nil
	}
	atLoad, atMotor := s.torques(s.motion.Acceleration)
	_, still := s.torques(0)
	_, more := s.torques(1)
	v := s.motion.Speed
	a := answer{
		"load_torque": atLoad, "motor_torque": atMotor, "held_torque": s.mech.Held(s.leg, s.motion.Position),
		"motor_speed_rpm": v * s.turns() / rpm, "motor_power": atMotor * v * s.turns(), "load_power": atLoad * v * s.mech.ShaftSpeed(s.leg),
		"inertia": (more - still) / s.turns(), "force": atLoad * s.mech.ShaftSpeed(s.leg), "work": atLoad * s.mech.ShaftSpeed(s.leg) * r.or("distance", 0),
		"motor_force": atMotor / r.or("radius", 1), "acceleration": s.motion.Acceleration, "speed": v,
	}
	coasting := s.accelerates(0)
	a["coast_distance"] = -v * v / 2 / coasting
	if torque, ok := r.In["available"]; ok {
		a["acceleration"] = s.accelerates(torque)
		a["time"] = r.or("to_speed", 0) / a["acceleration"]
		a["angular_acceleration"] = a["acceleration"] * s.mech.ShaftSpeed(s.leg)
	}
	if power, ok := r.In["available_power"]; ok {
		a["acceleration"] = s.accelerates(power / (v * s.turns()))
	}
	if high, ok := r.In["ratio_up_to"]; ok {
		stage := s.train.Stages[0]
		a["best_acceleration"] = 0
		best := largest(1, high, func(n float64) float64 {
			stage.Ratio = n
			s.train = drive.NewTrain(stage)
			return s.accelerates(r.num("available"))
		})
		stage.Ratio = best
		s.train = drive.NewTrain(stage)
		a["best_acceleration"], a["best_ratio"] = s.accelerates(r.num("available")), best
	}
	return a
}

// train reads listed gear trains and gives the first one's efficiencies.
func train(r *row) answer {
	trains := r.catalog().GearTrains
	if len(trains) == 0 {
		r.fail("no gear train could be read")
		return nil
	}
	g := trains[0]
	locks := 0.0
	if g.SelfLocking {
		locks = 1
	}
	return answer{"efficiency": float64(g.Efficiency.Value), "back_efficiency": float64(g.BackEfficiency.Value), "self_locking": locks}
}

// screw raises and lowers a load by the case's thread.
func screw(r *row) answer {
	s, _ := r.see()
	if s == nil {
		return nil
	}
	thread, ok := s.mech.(*loadcases.Screw)
	if !ok {
		r.fail("the case is no screw")
		return nil
	}
	up, _ := s.torques(0)
	s.motion.Speed, s.motion.Direction = -s.motion.Speed, -1
	down, _ := s.torques(0)
	forward, back := thread.Efficiencies()
	locks := 0.0
	if thread.SelfLocking() {
		locks = 1
	}
	const poundInch = 0.45359237 * 9.80665 * 0.0254
	lead := thread.Lead / (2 * math.Pi)
	force := thread.Mass * 9.80665 * math.Sin(s.leg.Incline)
	return answer{
		"raise": up, "lower": -down, "raise_lb_in": up / poundInch, "raise_effort": up / r.or("arm", 1), "lower_effort": -down / r.or("arm", 1),
		"lever": up / r.or("effort", 1), "work": up * 2 * math.Pi * r.or("turns", 1), "power": up * r.or("rpm", 0) * rpm,
		"efficiency": forward, "back_efficiency": back, "self_locking": locks, "overall_efficiency": force * lead / up,
		"lead_angle": math.Atan(lead*2/thread.Diameter) * 180 / math.Pi, "horsepower": r.or("torque", 0) * poundInch * r.or("rpm", 0) * rpm / 745.699872,
	}
}

// grip finds the mass of the driven vehicle at which the traction needed is
// the traction there is.
func grip(r *row) answer {
	over := func(mass float64) float64 {
		r.In["driven_mass"] = mass
		r.In["share"] = mass / (mass + r.num("trailing"))
		s, _ := r.see()
		if s == nil {
			return 0
		}
		needed, limit, _ := s.mech.(loadcases.Gripping).Grip(s.leg, s.motion)
		return needed - limit
	}
	mass := bisect(r.num("trailing")/100, r.num("trailing"), over)
	return answer{"driven_mass": mass, "axles": math.Ceil(mass / r.num("per_axle"))}
}

// profile lays a move out and gives its top speed and acceleration in units
// of way over time and way over time squared.
func profile(r *row) answer {
	s, plan := r.see()
	if s == nil {
		return nil
	}
	top, ramp, way := 0.0, 0.0, 0.0
	for _, p := range plan.Phases {
		end := p.Speed + p.Acceleration*p.Duration
		top = math.Max(top, math.Max(p.Speed, end))
		ramp = math.Max(ramp, p.Acceleration)
		way += (p.Speed + end) / 2 * p.Duration
	}
	t := plan.Duration
	return answer{"top_speed": top * t / way, "ramp": ramp * t * t / way, "way": way}
}

// surface is the rolling resistance of a case that names one.
func surface(r *row) answer {
	s, _ := r.see()
	if s == nil {
		return nil
	}
	return answer{"rolling_resistance": s.mech.(*loadcases.Wheels).RollingResistance}
}
