package duty

import (
	"math"

	"example.org/dray/loadcases"
)

// lines are what a leg's load comes to, in both senses of motion, where it
// does not vary with speed and position: then no mechanism need be asked again.
type lines struct{ forward, backward line }

// line is a load torque straight in the acceleration.
type line struct {
	straight      bool
	torque, slope float64 // N·m, and N·m per unit of acceleration
	gripsTo       float64 // accelerations up to this magnitude are sure to grip; −1 none
}

func (l *lines) of(dir float64) *line {
	if dir < 0 {
		return &l.backward
	}
	return &l.forward
}

// linesOf asks the mechanism at a few accelerations whether its load is straight.
func (r *Runner) linesOf(leg int) lines {
	return lines{r.lineOf(leg, 1), r.lineOf(leg, -1)}
}

func (r *Runner) lineOf(index int, dir float64) line {
	c := r.script.Case
	leg := &c.Legs[index]
	if c.Mechanism.Varies() || leg.Kind == loadcases.StepLeg {
		return line{gripsTo: -1}
	}
	far := 4 * math.Max(leg.Acceleration, 0.25)
	at := func(a float64) float64 {
		return c.Mechanism.Torque(leg, loadcases.Motion{Acceleration: a, Direction: dir, Speed: dir * 1e-9})
	}
	l := line{torque: at(0), gripsTo: r.grips(leg, dir, far)}
	up, down := at(far), at(-far)
	l.slope = (up - down) / (2 * far)
	l.straight = math.Abs(up+down-2*l.torque) <= 1e-9*(math.Abs(up)+math.Abs(down))
	return l
}

// grips returns far when the traction suffices at both ends ±far of the
// accelerations: need less limit is convex between them.
func (r *Runner) grips(leg *loadcases.Leg, dir, far float64) float64 {
	g, ok := r.script.Case.Mechanism.(loadcases.Gripping)
	if !ok {
		return math.Inf(1)
	}
	for _, a := range [2]float64{far, -far} {
		need, hold, known := g.Grip(leg, loadcases.Motion{Acceleration: a, Direction: dir, Speed: dir * 1e-9})
		if known && math.Abs(need) > hold {
			return -1
		}
	}
	return far
}
