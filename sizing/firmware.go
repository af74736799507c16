package sizing

import (
	"fmt"
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/quantity"
)

// deadConstants is how many mechanical time constants a dead time waits: the
// motor then turns at a twentieth of its speed.
const deadConstants = 3

// deadTime is the time between reversals, s: with the motor shorted its speed
// falls with τ = J·R/k²; 0 when nothing is known to have inertia.
func (e *evaluator) deadTime() float64 {
	m, sup := &e.s.drive.Machine, &e.s.drive.Supply
	k := m.K(e.b.air)
	loop := m.R(e.b.air) + sup.MotorLeadR + sup.PerChannel*sup.SwitchR
	return deadConstants * e.runner.FeltInertia(&e.s.drive) * loop / (k * k)
}

// firmware is the sheet of limits that follow from the pick.
func (e *evaluator) firmware(d *Detail) Firmware {
	f := Firmware{CurrentLimit: math.NaN(), TripTime: math.NaN(), Ramp: math.NaN(), DeadTime: math.NaN(), CutOffVoltage: math.NaN(), CommandCap: math.NaN()}
	e.firmwareCurrent(&f, d)
	e.firmwareRamp(&f, d)
	if dead := e.deadTime(); e.maxOmega > 0 && dead > 0 {
		f.DeadTime = dead
		f.Notes = append(f.Notes, "dead time: three mechanical time constants with the motor shorted, after which a reversal starts from near rest")
		if peak, known := e.channelPeak(); known && d.Reversal.Shorted*e.s.drive.Supply.PerChannel > peak {
			f.Notes = append(f.Notes, fmt.Sprintf("shorting at top speed drives %s A through each motor, above the controller's peak: let it coast first, or ramp down", sig(d.Reversal.Shorted)))
		}
	}
	f.CutOffVoltage = e.s.cutOff
	if nominal := e.s.pick.Motor.NominalVoltage; nominal.Known() && e.s.full > float64(nominal.Value) {
		f.CommandCap = float64(nominal.Value) / e.s.full
		f.Notes = append(f.Notes, fmt.Sprintf("a full %s stands at %s V, above the motor's %s V: cap the command at %s", e.packName(), sig(e.s.full), sig(float64(nominal.Value)), percent(f.CommandCap)))
	}
	f.Notes = append(f.Notes, "a closed speed loop raises the command to full at stall: the current limit and the trip time must act whatever the command")
	for i := range e.out.Legs {
		l := &e.out.Legs[i]
		if e.b.c.Legs[i].Kind == loadcases.RestLeg {
			continue
		}
		f.Legs = append(f.Legs, LegCommand{l.Name, l.Steady.Command, l.Steady.PulseSeconds})
	}
	return f
}

func (e *evaluator) packName() string {
	if e.s.adapter != nil {
		return "adapter"
	}
	return "pack"
}

// firmwareRamp takes the slower of the ramps that tame the start and that the
// duty itself commands.
func (e *evaluator) firmwareRamp(f *Firmware, d *Detail) {
	k := e.s.drive.Machine.K(e.b.air)
	full := e.s.emf(1) * e.s.drive.Supply.DutyMax / k // rad/s of the motor at full command, unloaded
	own, rate := math.NaN(), 0.0
	for i := range e.b.c.Legs {
		leg := &e.b.c.Legs[i]
		if leg.Kind == loadcases.SpeedLeg && leg.Acceleration > 0 {
			rate = math.Max(rate, leg.Acceleration*e.b.c.Mechanism.ShaftSpeed(leg)*e.s.drive.Train.Total)
		}
	}
	if rate > 0 {
		own = full / rate
	}
	switch tame := d.Start.TamedByRamp; {
	case !math.IsNaN(tame) && !(own > tame):
		f.Ramp = tame
		f.Notes = append(f.Notes, "ramp: what keeps a start within the controller's peak; it does not help a machine that is blocked: keep the current limit as well")
	case !math.IsNaN(own):
		f.Ramp = own
		f.Notes = append(f.Notes, "ramp: the duty's own acceleration, which keeps a start within the controller's peak; it does not help a machine that is blocked: keep the current limit as well")
	}
}

// firmwareCurrent sets the current limit: what the duty needs with a fifth to
// spare, never above the controller's peak or what keeps the gears whole; and
// the trip time: how long the winding and the controller stand that limit.
func (e *evaluator) firmwareCurrent(f *Firmware, d *Detail) {
	limit := 1.2 * e.out.MotorCurrentPeak
	why := "a fifth above the duty's largest current"
	cut := func(x float64, because string) {
		if x > 0 && x < limit {
			limit, why = x, because
		}
	}
	per := e.s.drive.Supply.PerChannel
	if k := e.s.pick.Controller; k.CurrentPeak.Known() {
		cut(float64(k.CurrentPeak.Value)/per, "the controller's peak")
	} else if k.CurrentContinuous.Known() {
		cut(float64(k.CurrentContinuous.Value)/per, "the controller's continuous current")
	}
	if peak := e.s.train.peak; peak.Known() {
		m := &e.s.drive.Machine
		cut((float64(peak.Value)/e.gearGain()+m.Friction)/m.K(e.b.air), "the gear train's momentary torque")
	}
	f.CurrentLimit = limit
	f.Notes = append(f.Notes, "current limit: "+why)
	if free := e.free(0); limit < free {
		f.Notes = append(f.Notes, fmt.Sprintf("the limit leaves %s of the torque of a free start, where the current is largest; it does not touch the top speed", percent(e.pull(limit)/e.pull(free))))
	}
	if limit < e.out.MotorCurrentPeak {
		f.Notes = append(f.Notes, "this limit is below what the duty asks for: the motion will fall behind")
	}
	if limit > d.Jam.Current {
		f.Notes = append(f.Notes, fmt.Sprintf("the motor held fast draws only %s A: the limit never acts, trip on speed or time", sig(d.Jam.Current)))
	}
	f.TripTime = e.tripTime(math.Min(limit, d.Jam.Current))
}

// tripTime is how long the winding, from the duty's peak temperatures, and the
// controller stand a current at standstill, halved for the data's spread.
func (e *evaluator) tripTime(amp float64) float64 {
	t := math.Inf(1)
	if e.s.drive.Heated && !e.res.Runaway {
		j := e.jam(false)
		j.Limit, j.Fuse = amp*float64(max(1, j.Parallel)), nil
		t = j.Run().WindingLimit
	}
	if s, basis := e.s.channelStands(); basis != quantity.Unknown {
		if own := standsFor(s, amp*e.s.drive.Supply.PerChannel); own > 0 {
			t = math.Min(t, own)
		}
	}
	if math.IsInf(t, 1) {
		return math.NaN()
	}
	return t / 2
}
