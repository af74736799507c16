package loadcases

// Settle fills what legs take from each other and what a convention leaves
// open: the sense of legs that stand still, the yaw of a stop after a pivot
// turn, and the ramp share of a move (one third). Read calls it; a case built
// in memory calls it once before use.
func (c *Case) Settle() {
	if c.Motors < 1 {
		c.Motors = 1
	}
	way := c.lastWay()
	for i := range c.Legs {
		leg := &c.Legs[i]
		way = leg.way(way)
		leg.Sense = way
		if leg.Kind == MoveLeg && leg.RampShare == 0 {
			leg.RampShare = 1.0 / 3
		}
		before := &c.Legs[(i+len(c.Legs)-1)%len(c.Legs)]
		still := leg.Kind == RestLeg || leg.Kind == HoldLeg
		if still && before.Kind == SpeedLeg && before.Pivot && !leg.Pivot {
			leg.Pivot = true
			leg.Acceleration = c.yawAcceleration(leg.Acceleration)
		}
	}
}

// yawAcceleration turns an acceleration of the wheels along the ground in m/s²
// into one of yaw in rad/s², 2·a/B.
func (c *Case) yawAcceleration(acceleration float64) float64 {
	if w, ok := c.Mechanism.(*Wheels); ok && w.Track > 0 {
		return acceleration * 2 / w.Track
	}
	return acceleration
}
