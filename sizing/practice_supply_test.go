package sizing_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/dray/sizing"
)

// Case 56: logic on the motors' pack: steady currents are equal both ways, a
// start leaves the bus above the drop-out, a reversal from speed does not.
func TestPractice56ReversalBrownsOutWhereAStartDoesNot(t *testing.T) {
	const ohm, pack, k, top = 1.0, 0.3, 0.02, 225.0
	r := rig{
		yaml: shaft(1, "0.00002 kg·m^2", "    - { name: fast, torque: 0.002 N·m, speed: 225 rad/s, acceleration: 900 rad/s^2, for: 10 s }\n    - { name: stop, rest: 10 s }\n    - { name: back, torque: -0.002 N·m, speed: -225 rad/s, acceleration: 900 rad/s^2, for: 10 s }\n    - { name: end, rest: 10 s }\n",
			"  electronics: { current: 0 A, min_voltage: 4 V }\n"),
		motors:      bareMotor("wheel", 6, ohm, k, 0.1),
		batteries:   "id,chemistry,cells,nominal_voltage [V],capacity [Ah],resistance [ohm]\nfive,nimh,5,6,2,0.3\n",
		controllers: stiffController}
	d := r.only(t).Detail
	full, reserve := 5*1.40, 5*1.15 // V, the ends of the open-circuit table
	within(t, "start current", d.Start.Current, full/(ohm+pack), 1e-6)
	within(t, "bus at start", d.Start.BusVoltage, full*ohm/(ohm+pack), 1e-6)
	within(t, "bus at start, reserve", d.Start.BusAtReserve, reserve*ohm/(ohm+pack), 1e-6)
	within(t, "reversal current", d.Reversal.Current, (full+k*top)/(ohm+pack), 1e-6)
	within(t, "bus at reversal, reserve", d.Reversal.BusAtReserve, reserve-(reserve+k*top)/(ohm+pack)*pack, 1e-6)
	if d.Start.BrownOut || !d.Reversal.BrownOut {
		t.Errorf("the reversal alone resets the logic: start %+v reversal %+v", d.Start, d.Reversal)
	}
	says(t, d.Reversal.Sentence, "the electronics need 4 V and reset")
}

// Case 57: six motors of 131 A on 12.7 V and 20 mΩ pull 360 A and the bus to
// 5.5 V; four pull 296 A, 6.78 V. At 14.8:1 (four) and 9.9:1 (six) the wheels of
// a 150 lb machine slip at 40 A a motor, and it never happens.
func TestPractice57SagOfLockedMotorsAndTheRatioThatSlipsFirst(t *testing.T) {
	at := func(motors int, ratio, pack float64) *sizing.Candidate {
		yaml := fmt.Sprintf(`title: arena
conditions: { air: 25 degC }
mechanism:
  wheels: { mass: 150 lb, wheel_diameter: 4 in, motors: %d, rolling_resistance: 0.02, grip: { friction: 1.1, share_on_driven: 100 %% } }
duty:
  acceleration: 0.5 m/s^2
  legs:
    - { name: run, speed: 0.5 m/s, for: 10 s }
    - { name: stop, rest: 10 s }
supply:
  electronics: { current: 0 A, min_voltage: 6.8 V }
`, motors) + "catalogs: { motors: [m.csv], gear_trains: g.csv, batteries: b.csv, controllers: c.csv }\n"
		return rig{yaml: yaml, motors: bareMotor("bolt", 12, 12.0/131, 2.41/(131-2.7), 2.7),
			gears:       fmt.Sprintf("id,ratio,efficiency\nbox,%g,0.9\n", ratio),
			batteries:   fmt.Sprintf("id,chemistry,cells,nominal_voltage [V],capacity [Ah],resistance [mohm],ocv\nbig,lead_acid,6,12,18,%g,o.csv\n", pack),
			ocv:         "charge,voltage\n0,11.5\n1,12.7\n",
			controllers: stiffController}.only(t)
	}
	six := at(6, 9.86, 20)
	within(t, "six motors", six.Detail.Jam.BatteryCurrent, 360, 3e-3)
	within(t, "their bus", six.Detail.Jam.BusVoltage, 5.5, 3e-3)
	within(t, "slipping current of six", six.Detail.Start.SlipsAt, 40, 3e-3)
	four := at(4, 14.8, 20)
	within(t, "four motors", four.Detail.Jam.BatteryCurrent, 296, 3e-3)
	within(t, "their bus", four.Detail.Jam.BusVoltage, 6.78, 3e-3)
	within(t, "slipping current of four", four.Detail.Start.SlipsAt, 40, 3e-3)
	says(t, four.Detail.Start.Sentence, "the driven wheels slip at 40 A")
	says(t, strings.Join(four.Detail.Jam.Notes, "\n"), "the electronics need 6.8 V and reset")
	for pack, amps := range map[float64]float64{15: 393, 30: 197} { // A to pull 12.7 V down to 6.8 V
		within(t, "amps to the brown-out", (12.7-6.8)/pack*1000, amps, 3e-3)
		j := at(6, 9.86, pack).Detail.Jam
		within(t, "sag", 12.7-j.BusVoltage, j.BatteryCurrent*pack/1000, 1e-6)
	}
}

// Case 59: a motor of 8.6 A stall on a 5 V 1 A charger that hiccups: it needs
// less than half an ampere and never starts; on one that holds its amps it does.
func TestPractice59AChargerThatHiccupsNeverStarts(t *testing.T) {
	at := func(beyond string) *sizing.Candidate {
		return rig{
			yaml:        shaft(1, "0.00001 kg·m^2", "    - { name: turn, torque: 0.0009 N·m, speed: 500 rad/s, for: 20 s }\n    - { name: stop, rest: 5 s }\n", "  adapter: { voltage: 5 V, current: 1 A, beyond: "+beyond+" }\n"),
			motors:      bareMotor("fan", 5, 5/8.6, 0.0075, 0.35),
			controllers: stiffController}.only(t)
	}
	k := at("hiccups")
	if k.BatteryCurrentPeak > 0.5 {
		t.Errorf("the duty itself takes %g A", k.BatteryCurrentPeak)
	}
	within(t, "start", k.Detail.Start.Current, 8.6, 1e-6)
	c := checkOf(t, k, sizing.CheckSpeed)
	if c.Verdict != sizing.Fails {
		t.Errorf("it never starts: %+v", c)
	}
	says(t, c.Sentence(k), "will not start")
	says(t, k.Detail.Start.Sentence, "the adapter hiccups beyond 1 A")
	k = at("holds")
	if c = checkOf(t, k, sizing.CheckSpeed); c.Verdict != sizing.Holds {
		t.Errorf("held amps start it: %+v", c)
	}
	within(t, "held start", k.Detail.Start.Current, 1, 1e-9)
	within(t, "bus of a held start", k.Detail.Start.BusVoltage, 5/8.6, 1e-6)
}

// Case 60: a rating is not a limiter: what trips at 2 A fails a load of 4.5 A,
// what is limited at 2 A lets the speed fall.
func TestPractice60RatedLimitedAndTripsAreThreeThings(t *testing.T) {
	at := func(beyond string) *sizing.Candidate {
		return rig{
			yaml:        shaft(1, "0.001 kg·m^2", "    - { name: pull, torque: 0.36 N·m, speed: 200 rad/s, acceleration: 50 rad/s^2, for: 60 s }\n    - { name: stop, rest: 30 s }\n", "  adapter: { voltage: 18 V, current: 2 A, beyond: "+beyond+" }\n"),
			motors:      bareMotor("saw", 18, 0.2, 0.082, 0.11),
			controllers: stiffController}.only(t)
	}
	k := at("trips")
	within(t, "what the load draws", k.Legs[0].Steady.MotorCurrent, 4.5, 2e-3)
	c := checkOf(t, k, sizing.CheckBatteryCurrent)
	if c.Verdict != sizing.Fails || c.Limit != 2 || c.Value <= 2 {
		t.Errorf("the load decides what is drawn: %+v", c)
	}
	says(t, k.Detail.Source.Sentences[0], "trips at 2 A", "a rating limits nothing by itself")
	if !k.Detail.Jam.Protected && k.Detail.Jam.Judged {
		t.Errorf("a supply that trips ends a jam: %+v", k.Detail.Jam)
	}
	says(t, k.Detail.Jam.Events[0].What, "the source cuts off")
	k = at("holds")
	if k.BatteryCurrentPeak > 2*(1+1e-9) {
		t.Errorf("held at 2 A, drawn %g A", k.BatteryCurrentPeak)
	}
	if c = checkOf(t, k, sizing.CheckSpeed); c.Verdict != sizing.Fails {
		t.Errorf("and the motion falls behind: %+v", c)
	}
	says(t, k.Detail.Source.Sentences[0], "is limited at 2 A")
	within(t, "held jam", k.Detail.Jam.BatteryCurrent, 2, 1e-9)
}

// Case 61: two single cells of 1 Ah in series: at 8.4 V two stalled motors draw
// 2.8 A, above 1 to 2 C.
func TestPractice61StalledMotorsAgainstSmallCells(t *testing.T) {
	r := rig{
		yaml: shaft(2, "0.0001 kg·m^2", "    - { name: run, torque: 0.004 N·m, speed: 100 rad/s, acceleration: 50 rad/s^2, for: 30 s }\n    - { name: stop, rest: 10 s }\n",
			"  packs: { series: 2, parallel: 1 }\n"),
		motors:      bareMotor("mini", 6, 5.8, 0.01, 0.05),
		batteries:   "id,chemistry,cells,nominal_voltage [V],capacity [mAh],resistance [ohm],discharge_continuous [A],discharge_peak [A],peak_time [s]\ncell,li_ion,1,3.7,1000,0.05,1,2,2\n",
		controllers: stiffController}
	k := r.only(t)
	within(t, "two stalled motors", k.Detail.Jam.BatteryCurrent, 2.8, 5e-3)
	found := false
	for _, ev := range k.Detail.Jam.Events {
		found = found || strings.Contains(ev.What, "the battery is past what it stands") && ev.After == 0
	}
	if !found {
		t.Errorf("2.8 A on a 2 A cell: %+v", k.Detail.Jam.Events)
	}
	if c := checkOf(t, k, sizing.CheckBatteryCurrent); c.Verdict == sizing.Fails || c.Limit > 2 {
		t.Errorf("the duty itself is fine: %+v", c)
	}
}

// Case 62: a dead time between reversals, and what it does to the bus.
func TestPractice62ADeadTimeLiftsTheLowestBus(t *testing.T) {
	const ohm, pack, k, inertia, top = 1.2, 0.9, 0.015, 3e-5, 200.0
	r := rig{
		yaml: shaft(1, "0.00003 kg·m^2", "    - { name: left, torque: 0.002 N·m, speed: 200 rad/s, acceleration: 900 rad/s^2, for: 2 s }\n    - { name: stop, rest: 1 s }\n    - { name: right, torque: -0.002 N·m, speed: -200 rad/s, acceleration: 900 rad/s^2, for: 2 s }\n    - { name: end, rest: 1 s }\n",
			"  electronics: { current: 0 A, min_voltage: 2.7 V }\n"),
		motors:      bareMotor("steer", 6, ohm, k, 0.1),
		batteries:   "id,chemistry,cells,nominal_voltage [V],capacity [Ah],resistance [ohm]\nfour,nimh,4,4.8,2,0.9\n",
		controllers: stiffController}
	d := r.only(t).Detail
	within(t, "dead time", d.Firmware.DeadTime, 3*inertia*ohm/(k*k), 1e-6)
	e, left := 4*1.40, k*top*math.Exp(-3)
	within(t, "bus at once", d.Reversal.BusVoltage, e-(e+k*top)/(ohm+pack)*pack, 1e-6)
	within(t, "bus after the dead time", d.Reversal.BusAfterDead, e-(e+left)/(ohm+pack)*pack, 1e-6)
	if !(d.Reversal.BusVoltage < 2.7) || !(d.Reversal.BusAfterDead > 2.7) {
		t.Errorf("the dead time keeps the logic alive: %g V then %g V", d.Reversal.BusVoltage, d.Reversal.BusAfterDead)
	}
	says(t, d.Reversal.Sentence, "after a dead time of")
}

// Case 68: the 20 h capacity of 17 Ah comes to 5.6 … 7.3 Ah over five minutes,
// by Peukert exponents of 1.25, 1.21 and 1.18.
func TestPractice68LabelBecomesWhatThereIs(t *testing.T) {
	for _, p := range []struct{ exponent, here float64 }{{1.2535, 5.61}, {1.2143, 6.46}, {1.1818, 7.31}} {
		amps := p.here * 12 // five minutes
		const ohm, k, bus = 0.02, 0.2, 24.6
		// A shaft that takes just these amps from the pack: with ω at d = 1,
		// V = bus and I = ib.
		torque := k * amps
		speed := (0.98*bus - amps*ohm) / k
		r := rig{
			yaml:        shaft(1, "0.1 kg·m^2", fmt.Sprintf("    - { name: bout, torque: %.9g N·m, speed: %.9g rad/s, for: 5 min }\n", torque, speed), "  health: 100 %\n"),
			motors:      bareMotor("fighter", 24, ohm, k, 0),
			batteries:   fmt.Sprintf("id,chemistry,cells,nominal_voltage [V],capacity [Ah],rated_hours [h],resistance [ohm],peukert,ocv\npb,lead_acid,12,24,17,20,0.000001,%g,o.csv\n", p.exponent),
			ocv:         fmt.Sprintf("charge,voltage\n0,%g\n1,%g\n", bus-0.01, bus+0.01),
			controllers: stiffController}
		k68 := r.only(t)
		ib := k68.BatteryCurrentMean
		// The pack's own formula at the amps it really gives.
		within(t, "amps", ib, 0.98*amps, 2e-3)
		within(t, "effective capacity", k68.Detail.Source.Here/3600, 17*math.Pow(ib*20/17, 1-p.exponent), 1e-6)
		within(t, "against five minutes", k68.Detail.Source.Here/3600, p.here, 1e-2)
		says(t, strings.Join(k68.Detail.Source.Sentences, "\n"), "label 17 Ah → ", "Peukert exponent")
		within(t, "runtime", k68.Runtime*60, 60*k68.Detail.Source.Here/3600/ib, 2e-3)
	}
}

// Case 80: 41 J returned to a supply that absorbs nothing: 24 V rise to 34 V on
// 0.14 F; a 20 kg machine at 2 m/s would take 1 mF to 284 V.
func TestPractice80ReturnedEnergyRaisesTheBus(t *testing.T) {
	at := func(farad string, inertia, speed float64) *sizing.Candidate {
		return rig{
			yaml: shaft(1, fmt.Sprintf("%.9g kg·m^2", inertia), fmt.Sprintf("    - { name: spin, torque: 0 N·m, speed: %g rad/s, acceleration: %.9g rad/s^2, for: 2 s }\n    - { name: stop, rest: 2 s, acceleration: %.9g rad/s^2 }\n", speed, speed/0.3, speed/0.3),
				"  adapter: { voltage: 24 V, current: 1000 A, beyond: holds, capacitance: "+farad+" }\n"),
			motors:      bareMotor("inside", 24, 1e-6, 0.1, 0),
			controllers: "id,channels,current_continuous [A],voltage_max [V]\ndrive,1,400,36\n"}.only(t)
	}
	k := at("0.1414 F", 2*41/(200.0*200), 200)
	within(t, "energy", k.Detail.Source.Returned, 41, 2e-3)
	c := checkOf(t, k, sizing.CheckRegeneration)
	within(t, "bus", c.Value, 34, 2e-3)
	if c.Verdict == sizing.Fails {
		t.Errorf("34 V on a 36 V drive holds: %+v", c)
	}
	c = checkOf(t, at("1 mF", 2*40/(200.0*200), 200), sizing.CheckRegeneration)
	within(t, "bus on a millifarad", c.Value, 284, 2e-3)
	if c.Verdict != sizing.Fails {
		t.Errorf("284 V fails: %+v", c)
	}
	says(t, strings.Join(k.Detail.Source.Sentences, "\n"), "absorbs nothing", "41 J")
}

// Case 82: 8 V, 1.5 A no load, 15 A stall: the back-EMF at full speed is 7.2 V;
// shorted it brakes with 13.5 A, in full reverse with 28.5 A, 1.9 × stall.
func TestPractice82ShortedAndReversedCurrentsStandBesideThePeak(t *testing.T) {
	const ohm = 8.0 / 15
	k := (8 - 1.5*ohm) / 400
	r := rig{
		yaml:        shaft(1, "0.0001 kg·m^2", "    - { name: full, torque: 0 N·m, speed: 399.999 rad/s, acceleration: 100 rad/s^2, for: 20 s }\n    - { name: stop, rest: 10 s }\n", "  adapter: { voltage: 8 V, current: 1000 A, beyond: holds }\n"),
		motors:      bareMotor("car", 8, ohm, k, 1.5),
		controllers: "id,channels,current_continuous [A],current_peak [A],peak_time [s],voltage_max [V]\npeak20,1,10,20,1,20\n"}
	c := r.only(t)
	d := c.Detail
	within(t, "shorted", d.Reversal.Shorted, 13.5, 1e-4)
	within(t, "reversed", d.Reversal.Current, 28.5, 1e-4)
	check := checkOf(t, c, sizing.CheckReversal)
	if check.Limit != 20 || check.Value < 28 {
		t.Errorf("both stand beside the controller's peak: %+v", check)
	}
	says(t, d.Reversal.Sentence, "13.5 A", "28.5 A")
}
