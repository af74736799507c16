package sizing

import "math"

// LoadSide carries a state from the gear train's output through the further
// stage to the load shaft: speed in rad/s, torque in N·m per motor. Without a
// further stage it is the output itself.
//
//	T_load = T_out·N·η where it resists the motion, T_out·N/ηb where the load
//	drives (ηb = 2 − 1/η), T_out·N at standstill
//
// The torque is NaN where the load drives a stage that locks, ηb ≤ 0: the output
// does not tell what the load is then.
func (c *Candidate) LoadSide(s State) (speed, torque float64) {
	g := c.Stage
	if g == nil {
		return s.OutputSpeed, s.OutputTorque
	}
	speed, torque = s.OutputSpeed/g.Ratio, s.OutputTorque*g.Ratio
	back := 2 - 1/g.Efficiency
	switch {
	case s.OutputSpeed == 0:
	case back <= 0:
		if s.OutputTorque != 0 {
			torque = math.NaN()
		}
	case s.OutputTorque*s.OutputSpeed >= 0:
		torque *= g.Efficiency
	default:
		torque /= back
	}
	return speed, torque
}
