package sizing_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/dray/sizing"
	"example.org/dray/sizing/rating"
)

// Case 63: a motor of 13 A stall thrown into reverse draws (V + E)/R, 26 A: the
// 15 A fuse is held against that current and its time, not only against stall.
func TestPractice63TheFuseMeetsTheReversal(t *testing.T) {
	at := func(inertia string) sizing.Inrush {
		return rig{
			yaml: shaft(1, inertia, "    - { name: steer, torque: 0.005 N·m, speed: 570 rad/s, acceleration: 5 rad/s^2, for: 200 s }\n    - { name: stop, rest: 20 s }\n",
				"  adapter: { voltage: 12 V, current: 1000 A, beyond: holds }\n  fuse: { rating: 15 A, type: F }\n"),
			motors: bareMotor("wiper", 12, 12.0/13, 0.02, 0.1), controllers: stiffController}.only(t).Detail.Reversal
	}
	light := at("0.00001 kg·m^2")
	within(t, "reversal", light.Current, (12+0.02*570)/(12.0/13), 1e-9)
	within(t, "which is about twice stall", light.Current, 26, 4e-2)
	if light.FuseUsed >= 1 {
		t.Errorf("a light rotor reverses before the fuse opens: %g", light.FuseUsed)
	}
	// The same reversal marched in time: I = (V − k·ω)/R from −570 to 570 rad/s.
	fuse, err := rating.NewFuse(15, "F", 25)
	if err != nil {
		t.Fatal(err)
	}
	const ohm, k, dt = 12.0 / 13, 0.02, 1e-6
	used := 0.0
	for omega := -570.0; omega < 570; {
		i := (12 - k*omega) / ohm
		net := k * i
		if omega > 0 {
			net -= 0.005 + k*0.1
		}
		omega += net / 0.00001 * dt
		used += dt / fuse.Shortest(i)
	}
	within(t, "fuse used", light.FuseUsed, used, 5e-3)
	heavy := at("0.003 kg·m^2")
	if heavy.FuseUsed < 1 {
		t.Errorf("a heavy one holds 26 A long enough to open it: %g", heavy.FuseUsed)
	}
	within(t, "and in proportion to its inertia", heavy.FuseUsed/light.FuseUsed, 300, 1e-6)
	says(t, heavy.Sentence, "may open the fuse")
}

// Case 65: 23 A at 12 V over 30 ft of 14 AWG: the ampacity holds, the drop of
// 3.5 V (29 %) does not; 12 AWG 2.2 V, 10 AWG 1.4 V.
func TestPractice65TheDropDecidesNotTheAmpacity(t *testing.T) {
	at := func(gauge string) *sizing.Candidate {
		const ohm, k, motor = 0.1 * 254.5 / 259.5, 0.05, 24.0 // at 20 °C; a ferrite magnet is then 1 % stronger
		speed := (23*8.5155/motor - ohm*motor) / k
		yaml := strings.Replace(shaft(1, "0.01 kg·m^2", fmt.Sprintf("    - { name: work, torque: %g N·m, speed: %g rad/s, acceleration: 20 rad/s^2, for: 60 s }\n    - { name: stop, rest: 60 s }\n", k*motor, speed),
			"  adapter: { voltage: 12 V, current: 1000 A, beyond: holds }\n  leads: { supply: { gauge: "+gauge+", length: 30 ft } }\n"), "25 degC", "20 degC", 1)
		return rig{yaml: yaml, motors: bareMotor("quarter", 12, 0.1, k/1.01, 0), controllers: stiffController}.only(t)
	}
	k := at("14 AWG")
	c := checkOf(t, k, sizing.CheckVoltageDrop)
	within(t, "current", k.Legs[0].Steady.BatteryCurrent, 23, 3e-3)
	within(t, "drop", k.Legs[0].Steady.BatteryCurrent*c.Value/k.BatteryCurrentPeak, 3.48, 5e-3)
	within(t, "limit", c.Limit, 0.6, 1e-9)
	if c.Verdict != sizing.Fails {
		t.Errorf("29 %% against 5 %%: %+v", c)
	}
	if lead := checkOf(t, k, sizing.CheckLead); lead.Verdict != sizing.Holds {
		t.Errorf("the ampacity holds: %+v", lead)
	}
	e := k.Detail.Leads
	within(t, "stall torque lost", e.StallLost, 0.1515/(0.1515+0.1*254.5/259.5), 5e-3)
	i := k.MotorCurrentPeak
	within(t, "speed lost", e.SpeedLost, 0.1515*i/(12-0.1*254.5/259.5*i), 5e-3)
	says(t, e.Sentence, "of the top speed", "of the stall torque", "round trip")
	for gauge, volts := range map[string]float64{"12 AWG": 2.19, "10 AWG": 1.378} {
		k = at(gauge)
		c = checkOf(t, k, sizing.CheckVoltageDrop)
		within(t, gauge, 23*c.Value/k.BatteryCurrentPeak, volts, 5e-3)
	}
}

// Case 66: 26 AWG leads of a motor with 5 A stall: 82 mΩ and 2 W to the foot
// of pair: the rms of the duty heats them, a stall is fine for seconds.
func TestPractice66LeadsAreHeatedByTheDutyNotByStall(t *testing.T) {
	yaml := strings.Replace(shaft(1, "0.0001 kg·m^2", "    - { name: run, torque: 0.015 N·m, speed: 100 rad/s, acceleration: 100 rad/s^2, for: 20 s }\n    - { name: stop, rest: 20 s }\n",
		"  adapter: { voltage: 6 V, current: 100 A, beyond: holds }\n  leads: { motor: { gauge: 26 AWG, length: 1 ft } }\n"), "25 degC", "20 degC", 1)
	k := rig{yaml: yaml, motors: bareMotor("hobby", 6, (6.0/5-0.0817)*259.5/254.5, 0.03, 0.05), controllers: stiffController}.only(t)
	within(t, "stall", k.Detail.Start.Current, 5, 4e-3)
	var lead sizing.Loss
	for _, l := range k.Detail.Losses {
		if l.Where == "motor leads" {
			lead = l
		}
	}
	within(t, "ohms to the foot of pair", lead.Volts/k.Detail.Start.Current, 0.0817, 5e-3)
	within(t, "watts to the foot", lead.Volts*k.Detail.Start.Current, 2.04, 1e-2)
	c := checkOf(t, k, sizing.CheckLead)
	if c.Verdict != sizing.Holds || c.Value > 1 {
		t.Errorf("the duty's rms is half an ampere: %+v", c)
	}
	after := math.Inf(1)
	for _, ev := range k.Detail.Jam.Events {
		if strings.Contains(ev.What, "the motor lead is past") {
			after = ev.After
		}
	}
	if after < 5 || after > 60 {
		t.Errorf("a stall is fine for seconds, not for ever: %g s", after)
	}
}

// Case 67: a motor of 60 A on a channel of 50 A: the limit leaves 83 % of the
// starting torque and does not touch the top speed; the thin section is the
// weakest link along the path.
func TestPractice67ALimitCostsTorqueAtStartNotTopSpeed(t *testing.T) {
	at := func(row string) *sizing.Candidate {
		return rig{
			yaml: shaft(1, "0.01 kg·m^2", "    - { name: work, torque: 2.3 N·m, speed: 80 rad/s, acceleration: 5 rad/s^2, for: 10 min }\n    - { name: stop, rest: 5 s }\n",
				"  adapter: { voltage: 24 V, current: 1000 A, beyond: holds }\n  connector: { rating: 60 A }\n  leads: { supply: { gauge: 20 AWG, length: 0.2 m }, motor: { gauge: 8 AWG, length: 0.2 m } }\n"),
			motors:      bareMotor("kart", 24, 0.4, 0.1, 0.01),
			controllers: "id,channels,current_continuous [A],current_peak [A],peak_time [s],current_limit [A],voltage_max [V]\n" + row}.only(t)
	}
	with := at("fifty,1,50,50,10,50,40\n")
	within(t, "free start", with.Detail.Start.Free, 24/(0.4+2*0.2*(33.309+2.0610)*1.0196e-3), 2e-3)
	within(t, "limited start", with.Detail.Start.Current, 50, 1e-9)
	within(t, "torque left", with.Detail.Start.TorqueLeft, 50/with.Detail.Start.Free, 1e-3)
	says(t, with.Detail.Start.Sentence, "of the free start's torque is left", "not at top speed")
	without := at("open,1,100,100,10,,40\n")
	within(t, "top speed", with.Legs[0].Steady.OutputSpeed, without.Legs[0].Steady.OutputSpeed, 1e-9)
	var worst sizing.Element
	names := ""
	for _, e := range with.Detail.Envelope.Elements {
		names += e.Name + " "
		if e.Name != "motor" && e.Utilisation > worst.Utilisation {
			worst = e
		}
	}
	if names != "adapter connector supply lead controller motor lead motor " {
		t.Errorf("the chain runs from source to motor: %s", names)
	}
	if worst.Name != "supply lead" || worst.Utilisation < 1 {
		t.Errorf("the thin section is the weakest link: %+v", worst)
	}
}

// Case 91: at 50 Hz the current follows the voltage: copper heat ×2 at 50 %
// duty and ×4 at 25 %; without a listed inductance there is a band.
func TestPractice91RippleHeatHasAFactorOrABand(t *testing.T) {
	const ohm, k = 1.0, 0.05
	at := func(duty float64, henry, hertz string) sizing.RippleBand {
		torque := k * 12 * duty / ohm
		motors := "id,nominal_voltage [V],resistance [ohm],torque_constant [N·m/A],no_load_current [A],inductance [mH]\n" + fmt.Sprintf("hot,12,1,%g,0,%s\n", k, henry)
		return rig{
			yaml:        shaft(1, "0.0001 kg·m^2", fmt.Sprintf("    - { name: creep, torque: %g N·m, speed: 0.001 rad/s, for: 20 s }\n", torque), "  adapter: { voltage: 12 V, current: 1000 A, beyond: holds }\n"),
			motors:      motors,
			controllers: "id,channels,current_continuous [A],voltage_max [V],pwm_frequency [Hz]\nslow,1,100,40," + hertz + "\n"}.only(t).Detail.Ripple
	}
	for duty, want := range map[float64]float64{0.5: 2, 0.25: 4} {
		r := at(duty, "0.001", "50")
		if !r.Known {
			t.Fatalf("inductance and frequency are listed: %+v", r)
		}
		within(t, "copper heat", r.Factor[0]*r.Factor[0], want, 1e-3)
	}
	r := at(0.5, "", "50")
	if r.Known || !(r.Factor[0] < r.Factor[1]) || math.Abs(r.Factor[1]*r.Factor[1]-2) > 0.3 {
		t.Errorf("an unknown inductance gives a band near ×2: %+v", r)
	}
	says(t, r.Sentence, "L/R of 1 to 0.3 ms assumed")
	fast := at(0.5, "", "20000")
	// T ≪ τ: the extra is (V/R)²·d²(1−d)²·(T/τ)²/12.
	for i, tau := range []float64{1e-3, 0.3e-3} {
		x := 1 / (20000 * tau)
		within(t, "fast ripple", fast.Extra[i], 144*0.25*0.25*x*x/12, 5e-3)
	}
	if !(fast.Locked[1] > fast.Factor[1]) {
		t.Errorf("locked anti-phase ripples more: %+v", fast)
	}
	if !(fast.Quiet > 50 && fast.Quiet < 20000) {
		t.Errorf("quiet above %g Hz", fast.Quiet)
	}
	if r = at(0.5, "", ""); !math.IsNaN(r.Factor[0]) {
		t.Errorf("without a frequency there is no factor: %+v", r)
	}
	says(t, r.Sentence, "left out", "adds less than 1 %")
}

// The band of the winding's peak is what the same motor would reach with its
// inductance listed at either end.
func TestTheBandOfARippleIsWhatAListedInductanceGives(t *testing.T) {
	at := func(millihenry string) *sizing.Candidate {
		motors := "id,nominal_voltage [V],resistance [ohm],torque_constant [N·m/A],no_load_current [A],inductance [mH],winding_to_housing [K/W],housing_to_air [K/W],winding_time_constant [s],housing_time_constant [s]\n" +
			"warm,12,1,0.05,0.1," + millihenry + ",1,4,20,600\n"
		return rig{
			yaml:        shaft(1, "0.0001 kg·m^2", "    - { name: work, torque: 0.05 N·m, speed: 60 rad/s, acceleration: 60 rad/s^2, for: 40 s }\n    - { name: stop, rest: 20 s }\n", "  adapter: { voltage: 12 V, current: 1000 A, beyond: holds }\n"),
			motors:      motors,
			controllers: "id,channels,current_continuous [A],voltage_max [V],pwm_frequency [Hz]\nslow,1,100,40,400\n"}.only(t)
	}
	k := at("")
	b := k.Detail.Ripple
	if b.Known || !(b.Peak[0] > k.WindingPeak) || !(b.Peak[1] > b.Peak[0]+1) {
		t.Fatalf("400 Hz heats a winding that peaks at %g °C: %+v", k.WindingPeak, b)
	}
	for i, millihenry := range []string{"1", "0.3"} {
		listed := at(millihenry)
		within(t, "peak", b.Peak[i], listed.WindingPeak, 1e-9)
		if !listed.Detail.Ripple.Known {
			t.Error("a listed inductance is known")
		}
	}
	says(t, b.Sentence, "the winding would peak at")
}
