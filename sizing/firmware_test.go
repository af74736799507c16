package sizing_test

import (
	"math"
	"strings"
	"testing"

	"example.org/dray/sizing"
)

// firmRig runs a shaft at half of what full command would give.
func firmRig(motor, controller, extra string) rig {
	return rig{
		yaml: shaft(1, "0.002 kg·m^2", "    - { name: half, torque: 0.18 N·m, speed: 80 rad/s, acceleration: 40 rad/s^2, for: 60 s }\n    - { name: stop, rest: 30 s }\n",
			"  electronics: { current: 0 A, min_voltage: 2 V }\n"+extra),
		motors: "id,nominal_voltage [V],resistance [ohm],torque_constant [N·m/A],no_load_current [A],gear_torque_peak [N·m],ratio,gear_efficiency\n" + motor,
		// seven lithium cells: 25.956 V at half charge, 29.351 V full, 29.4 V for limits (published checks G4)
		batteries:   "id,chemistry,cells,nominal_voltage [V],capacity [Ah],resistance [ohm],cutoff_voltage [V]\nseven,li_ion,7,25.2,9,1e-6,20.3\n",
		controllers: "id,channels,current_continuous [A],current_peak [A],peak_time [s],voltage_min [V],voltage_max [V],pulse_min [us],pulse_max [us]\n" + controller}
}

const (
	plainMotor = "sheet,24,1,0.1,0.2,,1,100 %\n"
	wideDriver = "wide,1,50,90,2,5,40,1050,1950\n"
)

// The sheet of firmware limits follows from the pick, line by line.
func TestTheFirmwareSheetFollowsFromThePick(t *testing.T) {
	k := firmRig(plainMotor, wideDriver, "").only(t)
	f := k.Detail.Firmware
	// On the ramp J·α = 0.08 N·m more than the steady 0.18 N·m: 2.8 A.
	within(t, "duty's peak", k.MotorCurrentPeak, (0.18+0.002*40)/0.1+0.2, 1e-9)
	within(t, "current limit", f.CurrentLimit, 1.2*2.8, 1e-9)
	within(t, "ramp", f.Ramp, 7*4.193/0.1/40, 1e-6)
	within(t, "dead time", f.DeadTime, 3*0.002*1/(0.1*0.1), 1e-9)
	within(t, "cut-off", f.CutOffVoltage, 20.3, 1e-9)
	within(t, "command cap", f.CommandCap, 24/29.4, 1e-9)
	if len(f.Legs) != 1 || f.Legs[0].Name != "half" {
		t.Fatalf("a line for each powered leg: %+v", f.Legs)
	}
	d := (0.1*80 + 2*1) / 25.956
	within(t, "command", f.Legs[0].Command, d, 1e-5)
	// Common practice, no source: 1050 to 1950 µs maps −100 to +100 % linearly.
	within(t, "pulse", f.Legs[0].Pulse, 1500e-6+d*450e-6, 1e-5)
	says(t, strings.Join(f.Notes, "\n"), "a fifth above", "closed speed loop", "cap the command")
}

// The limit never exceeds the controller's peak nor what keeps the gears whole.
func TestTheCurrentLimitKeepsControllerAndGears(t *testing.T) {
	small := firmRig(plainMotor, "small,1,1.5,3,2,5,40,1000,2000\n", "").only(t).Detail.Firmware
	within(t, "limit", small.CurrentLimit, 3, 1e-9)
	within(t, "trip: half of what the controller stands its peak for", small.TripTime, 1, 1e-9)
	geared := firmRig("sheet,24,1,0.1,0.2,0.27,1,100 %\n", wideDriver, "").only(t).Detail
	within(t, "limit", geared.Firmware.CurrentLimit, 0.27/0.1+0.2, 1e-9)
	says(t, strings.Join(geared.Firmware.Notes, "\n"), "the gear train's momentary torque")
	says(t, strings.Join(geared.Jam.Protects, "\n"), "only a current limit of 2.9 A per motor protects it")
}

// Between what a lead carries and what surely opens the fuse nothing protects it.
func TestTheFuseCoversALeadOnlyBeyondItsSureOpening(t *testing.T) {
	for rating, word := range map[string]string{"25 A": "the fuse protects it at every current", "30 A": "between them the wire is the fuse"} {
		// 14 AWG carries 36.1 A at 25 °C; 135 % of the rating is 33.8 or 40.5 A.
		k := firmRig(plainMotor, wideDriver, "  fuse: { rating: "+rating+", type: C }\n  leads: { supply: { gauge: 14 AWG, length: 1 m } }\n").only(t)
		says(t, strings.Join(k.Detail.Jam.Protects, "\n"), word)
		if n := len(k.Detail.Fuse); n < 4 {
			t.Fatalf("bands at the printed multiples: %d", n)
		}
		for _, b := range k.Detail.Fuse {
			if !(b.Earliest < b.Latest) || math.IsInf(b.Latest, 1) {
				t.Errorf("a band has a shortest and a longest time: %+v", b)
			}
		}
	}
}

// The EMF of the source is shared out among the parts of a stepped start.
func TestAStartSharesOutTheVoltageOfTheSource(t *testing.T) {
	k := firmRig(plainMotor, "bridge,1,50,90,2,5,40,1000,2000\n", "  leads: { supply: { gauge: 14 AWG, length: 1 m }, motor: { gauge: 18 AWG, length: 2 m } }\n").only(t)
	sum := 0.0
	var lead sizing.Loss
	for _, l := range k.Detail.Losses {
		if !math.IsNaN(l.Volts) {
			sum += l.Volts
		}
		if l.Where == "motor leads" {
			lead = l
		}
	}
	within(t, "volts", sum, 7*4.193, 1e-6)
	// 18 AWG is 20.948 mΩ/m at 20 °C (HyperPhysics, after Floyd), 1.96 % more at 25.
	within(t, "motor leads", lead.Volts, k.Detail.Start.Current*4*20.948e-3*259.5/254.5, 1e-3)
}
