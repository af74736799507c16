package sizing_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/sizing"
)

// All numbers of the practice tests: common practice, no source. Each is a
// question people really ask, restated as numbers and recomputed by hand.

// Case 20: scooter motors at 1:1 on a 0.406 m wheel: the free speed of that
// set-up, 58 m/s or 131 mph, ends the debate; 1.5 m/s takes about 39:1.
func TestPractice20FreeSpeedNamesTheAbsurdRatio(t *testing.T) {
	yaml := `title: rover
conditions: { air: 25 degC }
mechanism:
  wheels: { mass: 100 kg, wheel_diameter: 406 mm, motors: 4, rolling_resistance: 0.08 }
duty:
  acceleration: 0.5 m/s^2
  legs:
    - { name: field, speed: 1.4 m/s, for: 20 s }
    - { name: stop, rest: 10 s }
supply:
  adapter: { voltage: 24 V, current: 200 A, beyond: holds }
` + filesTail
	motors := "id,nominal_voltage [V],no_load_speed [rpm],no_load_current [A],stall_torque [N·m],stall_current [A],ratio\n" +
		"scooter,24,2750,0.1,10,120,\n" + "geared,24,70.5,0.1,300,120,39\n"
	r := rig{yaml: yaml, motors: motors, controllers: stiffController}
	f, k := r.check(t, "scooter+adapter+broad")
	all := strings.Join(f.Warnings, "\n")
	says(t, all, "scooter+adapter+broad", "58.5 m/s", "131 mph")
	within(t, "torque per wheel", k.Legs[0].Steady.OutputTorque, 0.08*100*9.80665*0.203/4, 1e-6)
	// The rated 0.87 N·m of four motors pulls 17 N; the field takes 78 N.
	within(t, "pull needed", 4*k.Legs[0].Steady.OutputTorque/0.203, 78.45, 1e-3)
	_, g := r.check(t, "geared+adapter+broad")
	if c := checkOf(t, g, sizing.CheckSpeed); c.Verdict != sizing.Holds {
		t.Errorf("39:1 keeps 1.4 m/s: %+v", c)
	}
}

// Case 21: 800 W at 24 V and 75 % is 44 A, more than a 40 A controller stands
// at rated load; 60 A continuous with 120 A peak does. The controller is chosen.
func TestPractice21RatedWattsBecomeAmpsWithEfficiency(t *testing.T) {
	r := rig{
		yaml:   shaft(1, "0.5 kg·m^2", "    - { name: work, torque: 8 N·m, speed: 100 rad/s, for: 60 s }\n", "  adapter: { voltage: 24.2 V, current: 500 A, beyond: holds }\n"),
		motors: bareMotor("axle", 24, (24-100*8/(44.444-4))/44.444, 8/(44.444-4), 4),
		controllers: "id,channels,current_continuous [A],current_peak [A],peak_time [s],voltage_max [V]\n" +
			"forty,1,40,900,1,40\nsixty,1,60,900,10,40\nthirty,1,30,900,1,40\n",
	}
	_, k := r.check(t, "axle+adapter+forty")
	within(t, "input current", k.Legs[0].Steady.BatteryCurrent*24.2/24, 800/0.75/24, 2e-3)
	c := checkOf(t, k, sizing.CheckControllerCurrent)
	within(t, "controller current", c.Value, 44.44, 2e-3)
	if c.Verdict != sizing.Fails || k.Verdict != sizing.Fails {
		t.Errorf("40 A does not stand 44 A: %+v", c)
	}
	ch := k.Detail.Choice
	if ch.Smallest == nil || ch.Smallest.ID != "sixty" || ch.Largest == nil || ch.Largest.ID != "forty" {
		t.Fatalf("sixty is the smallest that stands it, forty the largest that does not: %+v", ch)
	}
	if len(ch.Ranked) != 3 || ch.Ranked[0].ID != "thirty" {
		t.Errorf("ranked from the smallest: %+v", ch.Ranked)
	}
	says(t, ch.Sentence, "sixty", "forty", "44.4 A", "40 A")
}

// Case 22: a no-load current near the rated one is a dragging brake or two motors.
func TestPractice22NoLoadCurrentNearRatedIsSuspicious(t *testing.T) {
	row := func(noLoad float64) string {
		return "id,nominal_voltage [V],no_load_speed [rpm],no_load_current [A],stall_torque [N·m],stall_current [A],rated_current [A]\n" +
			fmt.Sprintf("chair,24,3000,%g,6,100,11.9\n", noLoad)
	}
	told := func(noLoad float64) string {
		cat, err := catalog.Read(catalog.Files{Motors: []catalog.CSV{{Name: "m.csv", Data: []byte(row(noLoad))}}})
		if err != nil {
			t.Fatal(err)
		}
		var all []string
		for _, f := range cat.Findings {
			all = append(all, f.Text)
		}
		return strings.Join(all, "\n")
	}
	says(t, told(9.5), "brake", "two motors", "80 %")
	if text := told(1.2); strings.Contains(text, "brake") {
		t.Errorf("1.2 A is no suspicion: %s", text)
	}
}

// Case 24: two motors of 70 A stall on a channel of 60 A; turning, not driving,
// is the sizing case; a 40 A fuse does not protect a 14 AWG lead.
func TestPractice24ChannelCarriesTheSumAndTheTurnIsNamed(t *testing.T) {
	r := rig{yaml: `title: plough
conditions: { air: 25 degC }
mechanism:
  wheels: { mass: 120 kg, wheel_diameter: 300 mm, motors: 4, rolling_resistance: 0.03, wheelbase: 0.7 m, track: 0.6 m, scrub: { friction: 0.7, contact: wheels } }
duty:
  acceleration: 0.4 m/s^2
  legs:
    - { name: straight, speed: 0.8 m/s, for: 30 s }
    - { name: stop, rest: 10 s }
supply:
  adapter: { voltage: 24 V, current: 1000 A, beyond: holds }
  motors_per_controller: 2
  fuse: { rating: 40 A, type: C }
  leads: { supply: { gauge: 10 AWG, length: 0.01 mm }, motor: { gauge: 14 AWG, length: 0.01 mm } }
` + filesTail,
		motors:      "id,nominal_voltage [V],no_load_speed [rpm],no_load_current [A],stall_torque [N·m],stall_current [A],ratio\nchair,24,150,1,75,70,25\n",
		controllers: "id,channels,current_continuous [A],voltage_max [V]\npair,2,60,40\n"}
	f, k := r.check(t, "1")
	c := checkOf(t, k, sizing.CheckStart)
	within(t, "start per channel", c.Value, 140, 2e-3)
	if c.Margin > -1 {
		t.Errorf("140 A against 60 A: margin %g", c.Margin)
	}
	says(t, strings.Join(f.Warnings, "\n"), "turn: pivot")
	p := k.Detail.Pivot
	if p == nil || p.InDuty {
		t.Fatalf("the turn is worked out though it is not in the duty: %+v", p)
	}
	// M = µ·m·g·L·B/(2·√(L²+B²)), wheel force 2M/B + Crr·m·g over four wheels.
	moment := 0.7 * 120 * 9.80665 * 0.7 * 0.6 / (2 * math.Hypot(0.7, 0.6))
	torque := (2*moment/0.6 + 0.03*120*9.80665) * 0.15 / 4
	m := k.Motor
	want := torque/25/float64(m.GearEfficiency.Value)/float64(m.Constant.Value) + 1
	within(t, "turning current", p.Current, want, 1e-6)
	within(t, "turning channel current", p.ChannelCurrent, 2*want, 1e-6)
	straight := k.Legs[0].Steady.MotorCurrent
	if p.Current < 3*straight {
		t.Errorf("turning (%g A) is the sizing case beside %g A straight", p.Current, straight)
	}
	// 33 CFR 183.425, 105 °C insulation: AWG 10 carries 60 A, AWG 14 35 A in 30 °C air.
	says(t, strings.Join(k.Detail.Jam.Protects, "\n"), "the 40 A fuse surely opens only from 54 A and the motor lead carries 36.1 A for ever: between them the wire is the fuse",
		"the 40 A fuse surely opens from 54 A and the supply lead carries 62 A for ever: the fuse protects it")
}

// Case 50: electronics of 5 A continuous and 10 A peak on a motor of 40 A stall
// leave a quarter of the torque: it starts in a time that can be told, or never.
func TestPractice50StartsInTimeOrNever(t *testing.T) {
	const k, inertia = 0.05, 0.004
	at := func(torque float64) *sizing.Candidate {
		legs := fmt.Sprintf("    - { name: go, torque: %g N·m, speed: 100 rad/s, acceleration: 20 rad/s^2, for: 20 s }\n    - { name: stop, rest: 20 s }\n", torque)
		return rig{
			yaml:        shaft(1, fmt.Sprintf("%g kg·m^2", inertia), legs, "  adapter: { voltage: 12 V, current: 500 A, beyond: holds }\n"),
			motors:      bareMotor("drum", 12, 0.3, k, 0.01),
			controllers: "id,channels,current_continuous [A],current_peak [A],peak_time [s],voltage_max [V]\nsmall,1,5,10,1,20\n",
		}.only(t)
	}
	s := at(0.05).Detail.Start
	within(t, "start current", s.Current, 40, 1e-3)
	within(t, "limit", s.TamedByLimit, 10, 1e-9)
	within(t, "torque left", s.TorqueLeft, 0.25, 2e-3)
	within(t, "start time", s.Takes, inertia*100/(k*10-0.05-k*0.01), 2e-3)
	says(t, s.Sentence, "it starts in", "not at top speed")
	s = at(0.52).Detail.Start
	if !math.IsInf(s.Takes, 1) || !math.IsNaN(s.TamedByRamp) {
		t.Errorf("10 A give 0.5 N·m, the load asks for 0.52: never, and no ramp helps: %+v", s)
	}
	says(t, s.Sentence, "it never starts")
}

// Case 52: a controller sold for six cells that stands four: the full charge
// decides, 25.2 V against 16.8 V; two motors on a channel add up.
func TestPractice52FullChargeIsHeldAgainstTheController(t *testing.T) {
	r := rig{
		yaml: shaft(2, "0.001 kg·m^2", "    - { name: run, torque: 0.02 N·m, speed: 200 rad/s, acceleration: 100 rad/s^2, for: 20 s }\n    - { name: stop, rest: 20 s }\n",
			"  motors_per_controller: 2\n  health: 100 %\n"),
		motors:      bareMotor("spinner", 18, 0.5, 0.04, 0.2),
		batteries:   "id,chemistry,cells,nominal_voltage [V],capacity [Ah],resistance [mohm]\nsix,li_ion,6,22.2,5,1\nfour,li_ion,4,14.8,5,1\n",
		controllers: "id,channels,current_continuous [A],voltage_max [V]\nsold-as-six,1,40,16.8\n"}
	_, k := r.check(t, "spinner+six+sold-as-six")
	c := checkOf(t, k, sizing.CheckControllerVoltage)
	within(t, "full charge", c.Value, 25.2, 1e-6)
	within(t, "over-voltage", -c.Margin, 0.5, 1e-6)
	if c.Verdict != sizing.Fails {
		t.Errorf("25.2 V on 16.8 V fails: %+v", c)
	}
	start := checkOf(t, k, sizing.CheckStart)
	within(t, "channel start", start.Value, 2*k.Detail.Start.Current, 1e-9)
	_, k = r.check(t, "spinner+four+sold-as-six")
	if c = checkOf(t, k, sizing.CheckControllerVoltage); c.Verdict == sizing.Fails {
		t.Errorf("four cells just hold: %+v", c)
	}
}

// Case 54: a bipolar bridge takes 2.5 V of 7.2 V; what is blocked draws 4.3 A a
// motor, 8.6 A a pair against 2 A: the driver, not the wire, comes first.
func TestPractice54TheBridgeComesBeforeTheWire(t *testing.T) {
	r := rig{
		yaml: shaft(4, "0.0002 kg·m^2", "    - { name: run, torque: 0.004 N·m, speed: 50 rad/s, acceleration: 100 rad/s^2, for: 20 s }\n    - { name: stop, rest: 20 s }\n",
			"  adapter: { voltage: 7.2 V, current: 100 A, beyond: holds }\n  motors_per_controller: 2\n  leads: { motor: { gauge: 24 AWG, length: 1 mm } }\n"),
		motors:      bareMotor("toy", 6, 6/5.5, 0.01, 0.05),
		controllers: "id,channels,current_continuous [A],current_peak [A],peak_time [s],voltage_drop [V],voltage_max [V]\nbipolar,2,1,2,1,2.5,40\nmosfet,2,1,2,1,0,40\n"}
	_, k := r.check(t, "toy+adapter+bipolar")
	within(t, "blocked", k.Detail.Jam.Current, 4.31, 3e-3)
	within(t, "pair", checkOf(t, k, sizing.CheckStart).Value, 8.62, 3e-3)
	says(t, k.Detail.LossNote, "first the controller", "2.5 V", "leaves 4.7 V across the winding")
	var bridge sizing.Loss
	for _, l := range k.Detail.Losses {
		if l.Where == "controller" {
			bridge = l
		}
	}
	within(t, "bridge at start", bridge.Volts, 2.5, 1e-3)
	_, free := r.check(t, "toy+adapter+mosfet")
	within(t, "without the drop", free.Detail.Jam.Current, 7.2/6*5.5, 3e-3)
}
