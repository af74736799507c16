package duty

import (
	"math"

	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/heat"
)

// Drive is one candidate as the march sees it.
type Drive struct {
	Machine drive.Machine
	Train   drive.Train
	Supply  drive.Supply
	Body    heat.Body
	Heated  bool    // thermal data are known; otherwise everything runs at Body.Air
	Limit   float64 // °C, the winding limit, where a runaway is evaluated
}

// torque is the motor-shaft torque a load asks for, its friction-laden demand
// (k·I) and the torque at the gear train's output.
func (d *Drive) torque(l *load, moving bool) (motor, demand, output float64) {
	if !moving {
		motor, output = d.Train.Held(l.torque)
		return motor, motor, output
	}
	motor, output = d.Train.Inward(l.torque, l.sense)
	motor += d.Machine.Inertia * l.alpha * d.Train.Total
	return motor, motor + d.Machine.Friction*l.sense, output
}

// pushes is the torque at the gear train's output of a motor that stands still
// against its load: what the train makes of the motor's torque, and nothing
// when the motor's own friction takes it all.
func (d *Drive) pushes(motor, dir float64) float64 {
	if motor*dir <= 0 {
		return 0
	}
	s := &d.Train.Stages[len(d.Train.Stages)-1]
	return motor * s.Ratio * s.Forward
}

// Sample is an instant of the cycle as driven, per motor.
type Sample struct {
	Time     float64 // s into the cycle
	Speed    float64 // of the mechanism, m/s or rad/s
	Omega    float64 // motor, rad/s
	Output   float64 // torque at the gear train's output, N·m
	Motor    float64 // torque at the motor shaft, N·m
	Demand   float64 // k·I, N·m
	Current  float64 // A
	Voltage  float64 // V, motor terminals
	Duty     float64 // signed
	Bus      float64 // V
	Battery  float64 // A
	Ripple   float64 // A², extra mean square from PWM
	Winding  float64 // °C
	Housing  float64 // °C
	Radial   float64 // N, NaN unknown
	Need     float64 // N of traction, NaN unknown
	Hold     float64 // N
	Leg      int
	Powered  bool
	Bound    drive.Bound
	Possible bool
}

// Interval is a stretch between samples First and First+2, with First+1 halfway.
type Interval struct {
	First int
	Time  float64 // s
	Leg   int
	Kind  Kind
}

// Kind says how an interval is powered.
type Kind uint8

// The kinds of interval.
const (
	Moving Kind = iota
	Holding
	Resting
)

// Trace is one cycle as driven.
type Trace struct {
	Samples   []Sample
	Intervals []Interval
	Instants  []Sample // demands of zero duration
	Legs      []Leg
	Time      float64 // s, the whole cycle
	Followed  bool
}

// Leg is how one leg went.
type Leg struct {
	Start, Time float64
	Commanded   float64 // s
	Reached     float64 // speed at the end
	Wanted      float64 // commanded speed at the end
	Shortfall   float64
	Bound       drive.Bound
	Abandoned   bool
	Steady      int // index of the sample of the steady state; −1 none
}

// simpson is the mean of three equally spaced values.
func simpson(a, b, c float64) float64 { return (a + 4*b + c) / 6 }

// MeanSquare is the mean square of the motor current in an interval, ripple in.
func (t *Trace) MeanSquare(iv *Interval) float64 {
	a, b, c := &t.Samples[iv.First], &t.Samples[iv.First+1], &t.Samples[iv.First+2]
	return simpson(a.Current*a.Current+a.Ripple, b.Current*b.Current+b.Ripple, c.Current*c.Current+c.Ripple)
}

// BatterySquare is the mean square of the battery current in an interval.
func (t *Trace) BatterySquare(iv *Interval) float64 {
	a, b, c := &t.Samples[iv.First], &t.Samples[iv.First+1], &t.Samples[iv.First+2]
	return simpson(a.Battery*a.Battery, b.Battery*b.Battery, c.Battery*c.Battery)
}

// electric fills the electrical part of a sample at its temperatures.
func (d *Drive) electric(s *Sample) {
	k, r := d.Machine.K(s.Housing), d.Machine.R(s.Winding)
	s.Current = s.Demand / k
	if !s.Powered {
		s.Current = 0
		s.Battery = d.Supply.Aux
		s.Bus = d.Supply.EMF - s.Battery*d.Supply.Rt()
		s.Voltage = k * s.Omega
		s.Possible = true
		return
	}
	p := d.Supply.At(s.Current, k*s.Omega, r)
	s.Voltage, s.Duty, s.Bus, s.Battery, s.Possible = p.MotorVoltage, p.Duty, p.Bus, p.Battery, p.Possible
	s.Ripple = d.Supply.RippleSquare(p.Bus, p.Duty, r, d.Machine.Inductance)
}

// slack is the relative overrun of a bound still taken as followed: rounding,
// not physics.
const slack = 1e-9

// within reports whether the supply and the controller can give what a sample
// asks for, and which bound forbids it.
func (d *Drive) within(s *Sample) drive.Bound {
	if !s.Powered {
		return drive.NoBound
	}
	if math.Abs(s.Current) > d.Supply.Limit/d.Supply.PerChannel*(1+slack) {
		return drive.CurrentEnd
	}
	if !s.Possible || s.Battery > d.Supply.Holds*(1+slack) {
		return drive.SupplyEnd
	}
	if math.Abs(s.Duty) > d.Supply.DutyMax*(1+slack) {
		return drive.VoltageEnd
	}
	if s.Need > s.Hold*(1+slack) {
		return drive.TractionEnd
	}
	return drive.NoBound
}
