package sizing

import (
	"math"

	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/heat"
)

// Line is the most that a pick's motor can give over speed, in one state of
// pack and motor, all motors drawing the same at once.
type Line struct {
	Name    string  // "listed", "cold", "hot", "spent"
	Charge  float64 // state of charge 0…1; NaN at stiff terminals or an adapter
	Winding float64 // °C
	Housing float64 // °C
	Points  []LinePoint
}

// LinePoint is one speed of a line. Output is the gear train's output shaft.
type LinePoint struct {
	Speed   float64 // rad/s at the output
	Torque  float64 // N·m at the output, never below 0
	Current float64 // A per motor
	Bound   string  // what keeps the current from going further: voltage, supply, current limit
}

// linePoints is the number of speeds on a line, from rest to where no torque
// is left; the line is straight but for the supply's sag and a current limit.
const linePoints = 49

// Lines gives a pick's torque over speed at full command:
//
//	listed  at stiff terminals of the motor's nominal voltage, constants as
//	        given; left out where no nominal voltage is known
//	cold    at full charge, the motor at air temperature
//	hot     at half charge, winding and housing at the duty's peaks
//	spent   hot, at the charge kept in reserve; left out with an adapter
//
// each under the sag of the shared supply except the first. Without a
// temperature to be had (no thermal data, or a runaway) the hot lines take the
// winding at its limit and the housing at air temperature.
func (j *Judge) Lines(p Pick) []Line {
	var c Candidate
	j.e.judge(p, &c)
	s := &j.e.s
	m := &s.drive.Machine
	winding, housing := c.WindingPeak, c.HousingPeak
	if math.IsNaN(winding) || math.IsNaN(housing) {
		winding, housing = s.drive.Limit, j.e.b.air
	}
	var lines []Line
	if v := p.Motor.NominalVoltage; v.Known() {
		stiff := drive.Supply{EMF: float64(v.Value), Motors: 1, PerChannel: 1, DutyMax: 1,
			Limit: math.Inf(1), Holds: math.Inf(1), Regenerate: true, Absorbs: true}
		lines = append(lines, s.line("listed", &stiff, math.NaN(), m.RefTemp, m.RefTemp))
	}
	at := func(name string, charge, winding, housing float64) {
		sup := s.drive.Supply
		sup.EMF = s.emf(charge)
		if s.adapter != nil {
			charge = math.NaN()
		}
		lines = append(lines, s.line(name, &sup, charge, winding, housing))
	}
	at("cold", 1, j.e.b.air, j.e.b.air)
	at("hot", 0.5, winding, housing)
	if s.adapter == nil {
		at("spent", j.e.b.c.Wants.Reserve, winding, housing)
	}
	return lines
}

// line samples one state's line from rest to the speed at which the torque is
// used up by friction.
func (s *setup) line(name string, sup *drive.Supply, charge, winding, housing float64) Line {
	l := Line{Name: name, Charge: charge, Winding: winding, Housing: housing}
	m := &s.drive.Machine
	k, r := m.K(housing), m.R(winding)
	least := m.Friction / k
	low, high := 0.0, 2*sup.EMF/k
	for range 60 {
		if mid := (low + high) / 2; sup.Range(k*mid, r).High > least {
			low = mid
		} else {
			high = mid
		}
	}
	for i := range linePoints {
		w := low * float64(i) / (linePoints - 1)
		g := sup.Range(k*w, r)
		l.Points = append(l.Points, LinePoint{Speed: w / s.train.ratio, Current: g.High,
			Torque: math.Max(0, s.outward(k*g.High-m.Friction)), Bound: g.HighBound.String()})
	}
	return l
}

// outward carries a motor torque through the gear train at the motor, driving.
func (s *setup) outward(torque float64) float64 {
	last := s.drive.Train.Stages[len(s.drive.Train.Stages)-1]
	return torque * last.Ratio * last.Forward
}

// WarmPoint is the motor some time after a cold start, as means over a cycle.
type WarmPoint struct {
	Time    float64 // s of operation
	Winding float64 // °C
	Housing float64 // °C
}

// warmPoints is the number of moments of a warm-up.
const warmPoints = 61

// WarmUp follows the cycle means of winding and housing from air temperature
// for the operating time, or to six time constants of the housing without one.
// The copper heat is that of the hottest cycle's rms current, carried to other
// temperatures by R(Tw) and k(Th); within a cycle the temperatures swing about
// these means. Nil without thermal data or in a runaway.
func (j *Judge) WarmUp(p Pick) []WarmPoint {
	var c Candidate
	j.e.judge(p, &c)
	e := j.e
	if !e.res.Heated || e.res.Runaway {
		return nil
	}
	b, m := &e.s.drive.Body, &e.s.drive.Machine
	span := 6 * b.HousingToAir * (b.HousingCapacity + b.WindingCapacity)
	if t := float64(e.b.c.OperatingTime); t > 0 {
		span = t
	}
	friction, hot := e.meanFriction(), m.K(e.res.HousingPeak)
	square := c.MotorCurrentRMS * c.MotorCurrentRMS
	x := heat.State{Winding: b.Air, Housing: b.Air}
	out := []WarmPoint{{0, x.Winding, x.Housing}}
	for i := 1; i < warmPoints; i++ {
		dt := span / (warmPoints - 1)
		const parts = 8
		for range parts {
			k := hot / m.K(x.Housing)
			x, _ = b.Step(x, square*k*k, friction, dt/parts, b.OfTorque(x.Housing))
		}
		out = append(out, WarmPoint{float64(i) * dt, x.Winding, x.Housing})
	}
	return out
}

// meanFriction is the friction heat, W, averaged over the hottest cycle.
func (e *evaluator) meanFriction() float64 {
	t, sum := e.res.Trace, 0.0
	for i := range t.Intervals {
		iv := &t.Intervals[i]
		a, b, c := &t.Samples[iv.First], &t.Samples[iv.First+1], &t.Samples[iv.First+2]
		sum += iv.Time * (math.Abs(a.Omega) + 4*math.Abs(b.Omega) + math.Abs(c.Omega)) / 6
	}
	return e.s.drive.Machine.Friction * sum / t.Time
}
