package sizing_test

import (
	"testing"

	"example.org/dray/sizing"
)

// jammedRig is a heated motor that a held output would burn.
func jammedRig(supply, controllers string) rig {
	return rig{
		yaml: shaft(1, "0.0002 kg·m^2", "    - { name: run, torque: 0.05 N·m, speed: 100 rad/s, acceleration: 20 rad/s^2, for: 60 s }\n    - { name: stop, rest: 30 s }\n",
			supply) + "wants: { jam_protected: yes }\n",
		motors: "id,nominal_voltage [V],resistance [ohm],torque_constant [N·m/A],no_load_current [A],winding_to_housing [K/W],housing_to_air [K/W],winding_time_constant [s],housing_time_constant [s],insulation_class\n" +
			"held,24,1,0.1,0.1,2,4,30,900,F\n",
		controllers: controllers}
}

// A jam is ended by whatever interrupts first: an adapter that trips, a fuse, a
// current limit low enough; and by nothing where nothing does.
func TestAJamIsEndedByWhatInterrupts(t *testing.T) {
	const free, limited = "id,channels,current_continuous [A],voltage_max [V]\nfree,1,60,40\n", "id,channels,current_continuous [A],voltage_max [V],current_limit [A]\nlow,1,60,40,2.5\n"
	for _, c := range []struct {
		name, supply, controllers string
		protected                 bool
		word                      string
	}{
		{"nothing", "  adapter: { voltage: 24 V, current: 100 A, beyond: holds }\n", free, false, "nothing interrupts"},
		{"trips", "  adapter: { voltage: 24 V, current: 10 A, beyond: trips }\n", free, true, "the adapter cuts off at once"},
		{"holds few", "  adapter: { voltage: 24 V, current: 2 A, beyond: holds }\n", free, true, "the winding stays at"},
		{"fuse", "  adapter: { voltage: 24 V, current: 100 A, beyond: holds }\n  fuse: { rating: 5 A, type: F }\n", free, true, "the fuse opens after"},
		{"lazy fuse", "  adapter: { voltage: 24 V, current: 100 A, beyond: holds }\n  fuse: { rating: 20 A, type: F }\n", free, false, "nothing interrupts"},
		{"current limit", "  adapter: { voltage: 24 V, current: 100 A, beyond: holds }\n", limited, true, "the winding stays at"},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := jammedRig(c.supply, c.controllers).only(t)
			check := checkOf(t, k, sizing.CheckJam)
			if got := check.Verdict != sizing.Fails; got != c.protected || k.Detail.Jam.Protected != c.protected {
				t.Errorf("protected %v, the check says %v: %+v %+v", k.Detail.Jam.Protected, check.Verdict, check, k.Detail.Jam)
			}
			says(t, check.Sentence(k), c.word)
			if len(k.Detail.Jam.Protects) == 0 {
				t.Error("nobody says who protects whom")
			}
		})
	}
}

// A winding that keeps its heat is at its limit no later than one that gives it
// to the housing, and a low throttle draws less than full command only while no
// speed loop raises it.
func TestAnAdiabaticJamIsTheQuickest(t *testing.T) {
	k := jammedRig("  adapter: { voltage: 24 V, current: 100 A, beyond: holds }\n", "id,channels,current_continuous [A],voltage_max [V]\nfree,1,60,40\n").only(t)
	j := k.Detail.Jam
	var limit float64
	for _, ev := range j.Events {
		if len(ev.What) > 11 && ev.What[:11] == "the winding" {
			limit = ev.After
		}
	}
	// ∫ Cw dT / (I²·R): the voltage drives I = V/R(T), so with R = R0·(234.5+T)/(234.5+25)
	// t = Cw·R0/V²·∫ (234.5+T)/259.5 dT from the duty's peak to 145 °C.
	span := func(t float64) float64 { return (234.5*t + t*t/2) / 259.5 }
	want := 15 * 1.0 / (24 * 24) * (span(145) - span(k.WindingPeak))
	within(t, "adiabatic time", j.Adiabatic, want, 5e-3)
	if !(limit >= j.Adiabatic) {
		t.Errorf("limit after %g s, adiabatic %g s", limit, j.Adiabatic)
	}
	duty := k.Legs[0].Steady.Command
	if !(j.OpenLoop < j.Current) || j.OpenLoop < 0.9*duty*j.Current {
		t.Errorf("open loop %g A at a command of %g, full %g A", j.OpenLoop, duty, j.Current)
	}
}
