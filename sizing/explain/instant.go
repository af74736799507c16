package explain

import (
	"fmt"
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/sizing"
)

// instants works the governing leg out: its hardest instant, and its steady
// state where that is another one.
func (w *work) instants() {
	leg := &w.cand.Legs[w.leg]
	kind := w.c.Legs[w.leg].Kind
	if !w.works.Followed && leg.Shortfall > 0 {
		in := w.hardest()
		w.section(fmt.Sprintf("%s: what the command asks for", leg.Name), "the machine falls behind its command here; first what following it would take")
		w.chain(in, leg.Steady.WindingTemp, leg.Steady.HousingTemp)
		w.driven(leg)
		return
	}
	peak, ok := w.commanded(&leg.Peak)
	if ok {
		w.section(fmt.Sprintf("%s: its hardest instant, %s s into the cycle", leg.Name, num(leg.Peak.At, "")), "")
		w.chain(peak, leg.Peak.WindingTemp, leg.Peak.HousingTemp)
	}
	steady, found := w.commanded(&leg.Steady)
	if found && kind != loadcases.HoldLeg && (!ok || steady.motion.Acceleration != peak.motion.Acceleration || steady.motion.Position != peak.motion.Position && w.c.Mechanism.Varies()) {
		w.section(fmt.Sprintf("%s: its steady state, %s s into the cycle", leg.Name, num(leg.Steady.At, "")), "")
		w.chain(steady, leg.Steady.WindingTemp, leg.Steady.HousingTemp)
	}
	if !ok && !found {
		w.section(leg.Name+": as driven", "")
		w.driven(leg)
	}
}

// commanded finds the commanded motion behind a state of a followed leg.
func (w *work) commanded(s *sizing.State) (*instant, bool) {
	best, miss := instant{}, math.Inf(1)
	for i := range w.works.Plan.Phases {
		ph := &w.works.Plan.Phases[i]
		t := s.At - ph.Start
		if ph.Leg != w.leg || ph.Kind == loadcases.Resting || t < -1e-6 || t > ph.Duration+1e-6 {
			continue
		}
		in := w.moment(ph, math.Max(0, math.Min(ph.Duration, t)))
		motor, _, output := w.demand(&in)
		omega := in.motion.Speed * w.c.Mechanism.ShaftSpeed(&w.c.Legs[ph.Leg]) * w.works.Train.Total
		d := apart(output, s.OutputTorque, 1e-6) + apart(motor, s.MotorTorque, 1e-6) + apart(omega, s.MotorSpeed, 1e-3)
		if d < miss {
			best, miss = in, d
		}
	}
	return &best, miss <= 5e-4
}

// apart is the difference of two numbers relative to the second, least being
// the size that counts as none.
func apart(x, y, least float64) float64 { return math.Abs(x-y) / math.Max(least, math.Abs(y)) }

// moment is the commanded motion t seconds into a phase.
func (w *work) moment(ph *loadcases.Phase, t float64) instant {
	m := loadcases.Motion{Position: ph.Position + ph.Speed*t + ph.Acceleration*t*t/2, Speed: ph.Speed + ph.Acceleration*t,
		Acceleration: ph.Acceleration, Direction: ph.Direction, Time: ph.Start + t - w.works.Plan.LegStart[ph.Leg]}
	if math.Abs(m.Speed) < 1e-9 {
		m.Speed = 0
	}
	return instant{leg: ph.Leg, kind: ph.Kind, motion: m}
}

// demand is the engine's own arithmetic at an instant, to find the instant by.
func (w *work) demand(in *instant) (motor, demand, output float64) {
	leg := &w.c.Legs[in.leg]
	mech, train := w.c.Mechanism, &w.works.Train
	switch in.kind {
	case loadcases.Holding:
		motor, output = train.Held(mech.Held(leg, in.motion.Position))
		return motor, motor, output
	case loadcases.Instant:
		torque := 0.0
		if c, ok := mech.(loadcases.Climbing); ok {
			torque, _, _, _ = c.Step(leg)
		} else if b, ok := mech.(loadcases.Breakaway); ok {
			torque = b.Start(leg, in.motion)
		}
		motor, output = train.Inward(torque, in.sense())
	default:
		motor, output = train.Inward(mech.Torque(leg, in.motion), in.sense())
		motor += w.works.Machine.Inertia * in.motion.Acceleration * mech.ShaftSpeed(leg) * train.Total
	}
	return motor, motor + w.works.Machine.Friction*in.sense(), output
}

// hardest is the commanded instant of the governing leg that asks for the most
// motor current.
func (w *work) hardest() *instant {
	var best instant
	most := -1.0
	for i := range w.works.Plan.Phases {
		ph := &w.works.Plan.Phases[i]
		if ph.Leg != w.leg || ph.Kind == loadcases.Resting {
			continue
		}
		for _, share := range []float64{1, 0.5, 0} {
			in := w.moment(ph, share*ph.Duration)
			_, demand, _ := w.demand(&in)
			if size := math.Abs(demand) + 1e-9*math.Abs(in.motion.Speed); size > most {
				best, most = in, size
			}
		}
	}
	return &best
}
