package loadcases

import (
	"encoding/json"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/dray/quantity"
	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the expected messages anew")

const badCases = "../testdata/bad-cases"

// openIn opens files of a folder only.
func openIn(folder string) func(string) ([]byte, error) {
	return func(path string) ([]byte, error) {
		data, err := os.ReadFile(filepath.Join(folder, filepath.Base(path)))
		if err != nil {
			return nil, errors.New("no such file")
		}
		return data, nil
	}
}

func TestEachMistakeIsToldAsExpected(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(badCases, "*.yaml"))
	if err != nil || len(files) < 40 {
		t.Fatalf("bad cases: %d files, %v", len(files), err)
	}
	for _, file := range files {
		name := filepath.Base(file)
		t.Run(strings.TrimSuffix(name, ".yaml"), func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			_, err = Read(name, data, openIn(badCases))
			var faults *Faults
			if !errors.As(err, &faults) {
				t.Fatalf("no faults but %v", err)
			}
			golden := strings.TrimSuffix(file, ".yaml") + ".want"
			if *update {
				if err := os.WriteFile(golden, []byte(err.Error()+"\n"), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, _ := os.ReadFile(golden)
			if diff := cmp.Diff(string(want), err.Error()+"\n"); diff != "" {
				t.Error(diff)
			}
		})
	}
}

const trayCart = `title: Tray cart, east glasshouse
mechanism:
  wheels:
    mass: 24 kg ± 10 %
    payload: 18 kg ± 3 kg
    wheel_diameter: 200 mm
    motors: 2
    rolling_resistance: 0.025
    grip: { friction: 0.6, share_on_driven: 55 %, height: 300 mm, wheelbase: 700 mm, driven: rear }
    further_stage: { driver_teeth: 12-13, driven_teeth: { from: 24, to: 25 } }
conditions: { air: 34 degC }
duty:
  acceleration: 0.4 m/s^2
  legs:
    - { name: aisle,  speed: 1.0 m/s, distance: 18 m }
    - { name: ramp,   speed: 0.7 m/s, distance: 5 m, incline: 9 deg }
    - { name: unload, rest: 45 s }
    - { name: down,   speed: -0.6 m/s, distance: 5 m, incline: -14 %, payload: 0 kg }
    - { name: home,   speed: -1.0 m/s, distance: 18 m, payload: 0 kg }
    - { name: load,   rest: 60 s }
  operating_time: 3 h
  pause: 9 h
supply:
  batteries: [hob-12-7]
  controllers: any
  battery_test: { open_voltage: 25.7 V, loaded_voltage: 21 V, current: 40 A }
  fuse: { rating: 30 A, type: C }
  connector: { rating: 30 A }
  leads: { supply: { gauge: 14 AWG, length: 0.6 m }, motor: { gauge: 2.5 mm^2, length: 0.8 m } }
  electronics: { current: 0.35 A, min_voltage: 7 V }
wants: { runtime: 2 h, reserve: 15 %, stays_put: no, gear_service_factor: 1.25 }
prefer: { thermal_margin: 2 }
columns: { Stall Torque: stall_torque }
catalogs: { motors: [motors.csv, /abs/more.csv], batteries: ../batteries.csv }
`

func mustRead(t *testing.T, text string) *Case {
	t.Helper()
	c, err := Read("cases/cart.yaml", []byte(text), openIn("testdata"))
	if err != nil {
		t.Fatalf("read:\n%v", err)
	}
	return c
}

func TestACaseIsReadWhole(t *testing.T) {
	c := mustRead(t, trayCart)
	w := c.Mechanism.(*Wheels)
	if c.Kind != kindWheels || c.Motors != 2 || w.Motors != 2 || w.Mass != 24 || w.Driven != DrivenRear {
		t.Errorf("mechanism: %+v", w)
	}
	near(t, "radius", w.Radius, 0.1, 1e-12)
	near(t, "wheelbase comes from grip", w.Wheelbase, 0.7, 1e-12)
	var ids []string
	for _, s := range c.Stages {
		ids = append(ids, s.ID)
	}
	if diff := cmp.Diff([]string{"12x24", "12x25", "13x24", "13x25"}, ids); diff != "" {
		t.Error(diff)
	}
	near(t, "stage ratio", c.Stages[1].Ratio, 25.0/12, 1e-12)
	payloads, senses := []float64{}, []float64{}
	for _, l := range c.Legs {
		payloads, senses = append(payloads, l.Payload), append(senses, l.Sense)
	}
	if diff := cmp.Diff([]float64{18, 18, 18, 0, 0, 18}, payloads); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]float64{1, 1, 1, -1, -1, -1}, senses); diff != "" {
		t.Error(diff)
	}
	if c.Legs[1].InclineText != "9° = 15.8 %" || c.Legs[3].InclineText != "-14 % = -7.97°" {
		t.Errorf("inclines: %q %q", c.Legs[1].InclineText, c.Legs[3].InclineText)
	}
	near(t, "pack resistance, two-point test of practice (no source)", float64(c.Supply.PackResistance.Value), 0.1175, 1e-12)
	if c.Wants.Reserve != 0.15 || c.Wants.SpeedTolerance != 0.05 || c.Prefer != (Prefer{2, 1, 1}) || c.OperatingTime != 10800 {
		t.Errorf("wants %+v prefer %+v", c.Wants, c.Prefer)
	}
	if diff := cmp.Diff([]string{"cases/motors.csv", "/abs/more.csv"}, c.Catalogs.Motors); diff != "" {
		t.Error(diff)
	}
	if c.Catalogs.Batteries[0] != "batteries.csv" || c.Catalogs.Columns["Stall Torque"] != "stall_torque" {
		t.Errorf("catalogs: %+v", c.Catalogs)
	}
	if len(c.Tolerances) != 2 || c.Tolerances[1].Input != "mechanism.wheels.payload" || c.Tolerances[1].Plus != 3 {
		t.Errorf("tolerances: %+v", c.Tolerances)
	}
	near(t, "10 % of 24 kg", c.Tolerances[0].Plus, 2.4, 1e-9)
}

func TestWhatIsLeftOpenIsSaid(t *testing.T) {
	c := mustRead(t, "mechanism: { wheels: { payload: 5 kg, wheel_radius: 4 in, surface: grass } }\nduty: { acceleration: 1 ft/s^2, legs: [ { speed: 2 mph, for: 10 s }, { rest: 9 s } ] }\n")
	said := map[string]quantity.Basis{}
	for _, a := range c.Assumptions {
		said[a.What] = a.Basis
		if a.Why == "" || a.Value == "" {
			t.Errorf("an assumption without reason or value: %+v", a)
		}
	}
	for _, what := range []string{"air temperature", "rolling resistance", "battery health", "reserve", "speed tolerance", "voltage drop", "gear service factor"} {
		if said[what] != quantity.Assumed {
			t.Errorf("%s is not said to be assumed", what)
		}
	}
	if len(c.Tolerances) != 1 || c.Tolerances[0].Basis != quantity.Assumed {
		t.Errorf("the surface's range is no tolerance: %+v", c.Tolerances)
	}
	wants(t, texts(c.Warnings), "own mass is 0")
	if c.Supply.PacksSeries != 1 || c.Supply.MotorsPerController != 1 || c.Supply.Batteries != nil || c.Supply.Health != 0.8 {
		t.Errorf("supply defaults: %+v", c.Supply)
	}
}

func TestEveryMechanismReads(t *testing.T) {
	lift := "duty: { acceleration: 0.2 m/s^2, legs: [ { speed: 0.1 m/s, distance: 1 m }, { hold: 5 s }, { speed: -0.1 m/s, distance: 1 m }, { rest: 9 s } ] }\n"
	turn := "duty: { acceleration: 1 rad/s^2, legs: [ { speed: 5 rpm, for: 20 s }, { rest: 9 s } ] }\n"
	for name, text := range map[string]string{
		"arm":       "mechanism: { arm: { mass: 2 kg, radius: 0.4 m, arm_mass: 1 kg, arm_radius: 0.2 m, arm_length: 0.4 m, balance: { spring: { rate: 0.05 N·m/deg, torque_at: 8 N·m, angle: 0 deg } } } }\nduty: { legs: [ { from: -10 deg, to: 70 deg, in: 2 s }, { hold: 4 s }, { by: -80 deg, in: 3 s, profile: triangular }, { rest: 3 s } ] }\n",
		"hoist":     "mechanism: { hoist: { mass: 20 kg, payload: 5 kg, drum_diameter: 60 mm, parts_of_line: 2, counterweight: 8 kg, rope_efficiency: 96 %, drum_inertia: 20 kg·cm^2 } }\n" + lift,
		"turntable": "mechanism: { turntable: { inertia: 0.85 kg·m^2, friction_torque: 0.4 N·m, imbalance: { mass: 25 kg, offset: 0.2 m }, tilt: 90 deg } }\n" + turn,
		"belt":      "mechanism: { belt: { mass: 30 kg, belt_mass: 4 kg, pulley_diameter: 80 mm, friction: 0.2, breakaway: 1.4, incline: 10 % } }\n" + lift,
		"screw":     "mechanism: { screw: { mass: 40 kg, lead: 4 mm, screw_diameter: 18 mm, friction: 0.15, flank_angle: 15 deg, collar: { friction: 0.1, radius: 9 mm }, incline: 90 deg } }\n" + lift,
		"shaft":     "mechanism: { shaft: { inertia: 0.01 kg·m^2 } }\nduty: { legs: [ { torque: 2 N·m, speed: 60 rpm, for: 5 s }, { rest: 5 s } ] }\n",
		"log":       "mechanism: { shaft: { log: run.csv } }\nduty: { legs: [ { rest: 5 s } ] }\n",
		"pivot":     "mechanism: { wheels: { mass: 30 kg, wheel_diameter: 8 in, rolling_resistance: 2 %, motors: 4, wheelbase: 0.5 m, track: 0.4 m, scrub: { friction: 0.7, contact: tracks } } }\nduty: { acceleration: 0.5 m/s^2, legs: [ { turn: pivot, speed: 90 deg/s, distance: 180 deg }, { rest: 5 s }, { step: 20 mm }, { speed: 0.5 m/s, for: 4 s }, { rest: 4 s } ] }\n",
	} {
		t.Run(name, func(t *testing.T) {
			c, err := Read("x.yaml", []byte(text), func(string) ([]byte, error) {
				return []byte("time [s]; torque [N·m]; speed [rpm]\n# run 3\n2; 0,5; 0\n3; 1,5; 60\n5; 1,5; -60\n"), nil
			})
			if err != nil {
				t.Fatal(err)
			}
			plan := mustPlan(t, c)
			if plan.Duration <= 0 || len(plan.LegTime) != len(c.Legs) {
				t.Errorf("plan: %+v", plan)
			}
		})
	}
}

func TestAMoveIsPlacedWhereItBegins(t *testing.T) {
	c := mustRead(t, "mechanism: { arm: { mass: 2 kg, radius: 0.4 m } }\nduty: { legs: [ { from: -10 deg, to: 70 deg, in: 2 s }, { by: -80 deg, in: 3 s } ] }\n")
	last := c.Legs[1]
	near(t, "from", last.From, 70*degree, 1e-12)
	near(t, "to", last.To, -10*degree, 1e-9)
	if last.FromOpen || last.Relative {
		t.Error("the move is still open")
	}
}

func TestABrakeAfterAPivotTurnsToo(t *testing.T) {
	c := mustRead(t, "mechanism: { wheels: { mass: 30 kg, wheel_diameter: 200 mm, rolling_resistance: 0.02, wheelbase: 0.5 m, track: 0.4 m, scrub: { friction: 0.7 } } }\nduty: { acceleration: 0.5 m/s^2, legs: [ { turn: pivot, speed: 1 rad/s, for: 5 s }, { rest: 5 s } ] }\n")
	if !c.Legs[1].Pivot {
		t.Error("the rest brakes a yaw rate")
	}
	near(t, "yaw acceleration 2·a/B", c.Legs[1].Acceleration, 2.5, 1e-12)
	near(t, "of the leg too", c.Legs[0].Acceleration, 2.5, 1e-12)
}

func TestTheRequestIsJudged(t *testing.T) {
	lift := "duty: { acceleration: 0.2 m/s^2, legs: [ { speed: 0.1 m/s, distance: 1 m }, { rest: 9 s } ] }\n"
	for want, text := range map[string]string{
		"looks like tyre grip":   "mechanism: { wheels: { mass: 5 kg, wheel_radius: 4 in, rolling_resistance: 0.7 } }\n" + lift,
		"rolling is counted":     "mechanism: { wheels: { mass: 5 kg, wheel_radius: 4 in } }\n" + lift,
		"does not close":         "mechanism: { hoist: { mass: 5 kg, drum_diameter: 40 mm } }\n" + lift,
		"0.0998 m higher":        "mechanism: { wheels: { mass: 5 kg, wheel_radius: 4 in, rolling_resistance: 0.02 } }\nduty: { acceleration: 0.2 m/s^2, legs: [ { speed: 0.1 m/s, distance: 1 m, incline: 0.1 rad }, { rest: 9 s } ] }\n",
		"did you mean 5 cm":      "mechanism: { hoist: { mass: 5 kg, drum_diameter: 5 m } }\n" + lift,
		"no imbalance is given":  "mechanism: { turntable: { inertia: 1 kg·m^2 } }\nduty: { acceleration: 1 rad/s^2, legs: [ { speed: 5 rpm, for: 20 s }, { rest: 9 s } ] }\n",
		"the arm has no inertia": "mechanism: { arm: { balance: { torque: 1 N·m } } }\nduty: { legs: [ { to: 80 deg, in: 2 s }, { to: 0 deg, in: 2 s } ] }\n",
		"tracks and no turn on":  "mechanism: { wheels: { mass: 5 kg, wheel_radius: 4 in, rolling_resistance: 0.02, motors: 2, wheelbase: 0.5 m, track: 0.4 m, scrub: { friction: 0.7, contact: tracks } } }\n" + lift,
		"no turn on the spot":    "mechanism: { wheels: { mass: 5 kg, wheel_radius: 4 in, rolling_resistance: 0.02, motors: 4 } }\n" + lift,
		"reverses out of leg":    "mechanism: { belt: { mass: 5 kg, pulley_diameter: 60 mm, friction: 0.2 } }\nduty: { acceleration: 0.2 m/s^2, legs: [ { speed: 0.1 m/s, distance: 1 m }, { speed: -0.1 m/s, distance: 1 m } ] }\n",
	} {
		wants(t, texts(mustRead(t, text).Warnings), want)
	}
	if got := texts(mustRead(t, trayCart).Warnings); got != "" {
		t.Errorf("a sound case is warned about:\n%s", got)
	}
	c := mustRead(t, trayCart)
	if got := c.JudgeSupply(1e6); got != nil {
		t.Errorf("a large supply is enough: %v", got)
	}
	wants(t, texts(c.JudgeSupply(20)), "can never give more than 20 W")
}

func TestSchemaAndKeysComeFromTheSameTable(t *testing.T) {
	data, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	var schema struct {
		Properties map[string]json.RawMessage
	}
	if err := json.Unmarshal(data, &schema); err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, k := range Keys() {
		if seen[k.Path] || k.Help == "" {
			t.Errorf("key %s twice, or without help", k.Path)
		}
		seen[k.Path] = true
		top, _, _ := strings.Cut(k.Path, ".")
		if _, ok := schema.Properties[top]; !ok {
			t.Errorf("%s is not in the schema", k.Path)
		}
	}
	if len(seen) < 120 || !seen["duty.legs[].speed"] {
		t.Errorf("%d keys", len(seen))
	}
}

func TestHugeFilesAreRefusedAtOnce(t *testing.T) {
	_, err := Read("x.yaml", make([]byte, 2<<20), nil)
	if err == nil || len(err.Error()) > 300 {
		t.Errorf("%v", err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(trayCart))
	files, _ := filepath.Glob(filepath.Join(badCases, "*.yaml"))
	for _, file := range files {
		if data, err := os.ReadFile(file); err == nil {
			f.Add(data)
		}
	}
	for _, text := range hostileCases() {
		f.Add([]byte(text[:min(len(text), 4096)]))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := Read("fuzz.yaml", data, openIn(badCases))
		if err != nil {
			var faults *Faults
			if !errors.As(err, &faults) || len(faults.List) == 0 || len(err.Error()) > 100000 {
				t.Fatalf("not a bounded list of faults: %T %d", err, len(err.Error()))
			}
			return
		}
		if _, err := c.Plan(); err != nil {
			t.Fatalf("read without a fault, and then: %v", err)
		}
	})
}

func BenchmarkRead(b *testing.B) {
	data := []byte(trayCart)
	for b.Loop() {
		if _, err := Read("cart.yaml", data, nil); err != nil {
			b.Fatal(err)
		}
	}
}
