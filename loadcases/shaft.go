package loadcases

import "sort"

// Sample is one row of a recorded log at the load shaft.
type Sample struct {
	Time   float64 // s, from 0, rising
	Torque float64 // N·m at the load shaft, all motors together
	Speed  float64 // rad/s
}

// Shaft is a load known only by torque and speed at the load shaft, given leg
// by leg or as a recorded log. Motion is in rad.
//
//	T = (torque + J·α)/n
//
// A positive torque resists positive rotation. Legs without acceleration step
// in speed without inertia torque.
type Shaft struct {
	Motors  int      // n ≥ 1
	Inertia float64  // kg·m², added to what the log or leg says
	Log     []Sample // replayed by a leg with Log set; nil without a log
}

// ShaftSpeed is 1.
func (s *Shaft) ShaftSpeed(*Leg) float64 { return 1 }

// Torque is the torque per motor at the load shaft in N·m.
func (s *Shaft) Torque(leg *Leg, m Motion) float64 {
	torque := leg.Torque
	if leg.Log {
		torque = s.At(m.Time)
	}
	return (torque + s.Inertia*m.Acceleration) / float64(s.Motors)
}

// Held is the leg's torque per motor.
func (s *Shaft) Held(leg *Leg, _ float64) float64 { return leg.Torque / float64(s.Motors) }

// Turning is true.
func (s *Shaft) Turning() bool { return true }

// Varies reports whether a log makes torque change within a phase.
func (s *Shaft) Varies() bool { return len(s.Log) > 0 }

// At is the logged torque in N·m at a time in s, linear between samples and
// constant beyond them; 0 without a log.
func (s *Shaft) At(time float64) float64 {
	n := len(s.Log)
	if n == 0 {
		return 0
	}
	i := sort.Search(n, func(i int) bool { return s.Log[i].Time >= time })
	switch {
	case i == 0:
		return s.Log[0].Torque
	case i == n:
		return s.Log[n-1].Torque
	}
	a, b := s.Log[i-1], s.Log[i]
	return a.Torque + (b.Torque-a.Torque)*(time-a.Time)/(b.Time-a.Time)
}
