package explain_test

import (
	"context"
	"maps"
	"math"
	"strings"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/internal/demo"
	"example.org/dray/loadcases"
	"example.org/dray/report"
	"example.org/dray/sizing"
	"example.org/dray/sizing/explain"
)

// changed reads a demo case, its text changed, or a case of its own whose catalogs
// are those of the demos.
func changed(t testing.TB, name, text string, swaps ...string) (*loadcases.Case, *catalog.Catalog) {
	t.Helper()
	if text == "" {
		text = demo.Text(t, name)
	}
	for i := 0; i+1 < len(swaps); i += 2 {
		if !strings.Contains(text, swaps[i]) {
			t.Fatalf("the demo %s does not hold %q", name, swaps[i])
		}
		text = strings.Replace(text, swaps[i], swaps[i+1], 1)
	}
	c := demo.Case(t, name, text)
	return c, demo.Parts(t, c)
}

// others are mechanisms no demo has, with the supply and catalogs of the demos.
func others() map[string]string {
	const tail = `
conditions: { air: 28 degC }
supply:
  batteries: [iris-fe-24]
  controllers: [robin-2x12-n, crane-1x48]
  leads: { motor: { gauge: 1 mm^2, length: 1 m } }
catalogs:
  motors: [../shared/motors.csv]
  gear_trains: ../shared/gear-trains.csv
  batteries: ../shared/batteries.csv
  controllers: ../shared/controllers.csv
`
	return map[string]string{
		"belt": `
mechanism:
  belt: { mass: 12 kg, belt_mass: 3 kg, pulley_diameter: 80 mm, friction: 0.3, breakaway: 1.6, incline: 12 deg }
duty:
  acceleration: 0.5 m/s^2
  legs:
    - { name: up, speed: 0.3 m/s, for: 8 s }
    - { name: stop, hold: 4 s }
    - { name: rest, rest: 10 s }
` + tail,
		"screw": `
mechanism:
  screw: { mass: 40 kg, force: 60 N, lead: 5 mm, screw_diameter: 14 mm, friction: 0.15, flank_angle: 15 deg, collar: { friction: 0.12, radius: 10 mm }, incline: 90 deg }
duty:
  acceleration: 0.05 m/s^2
  legs:
    - { name: lift, speed: 15 mm/s, for: 12 s }
    - { name: wait, rest: 20 s }
    - { name: down, speed: -15 mm/s, for: 12 s }
    - { name: load, rest: 20 s }
` + tail,
		"ball screw": `
mechanism:
  screw: { mass: 40 kg, lead: 10 mm, screw_diameter: 16 mm, efficiency: 88 %, incline: 90 deg }
duty:
  acceleration: 0.2 m/s^2
  legs:
    - { name: lift, speed: 40 mm/s, for: 6 s }
    - { name: keep, hold: 30 s }
    - { name: down, speed: -40 mm/s, for: 6 s }
    - { name: load, rest: 20 s }
` + tail,
		"turntable": `
mechanism:
  turntable: { inertia: 1.8 kg·m², friction_torque: 0.8 N·m, imbalance: { mass: 4 kg, offset: 150 mm }, tilt: 20 deg }
duty:
  acceleration: 1 rad/s^2
  legs:
    - { name: round, speed: 6 rpm, for: 30 s }
    - { name: rest, rest: 20 s }
` + tail,
		"shaft": `
mechanism:
  shaft: { inertia: 0.02 kg·m² }
duty:
  legs:
    - { name: mix, torque: 3 N·m, speed: 40 rpm, for: 60 s }
    - { name: rest, rest: 30 s }
` + tail,
	}
}

// picks chooses candidates of a field that differ: the first, the last that
// passes, one of every first failure, some that lag.
func picks(f *sizing.Field) []*sizing.Candidate {
	var out []*sizing.Candidate
	seen := map[string]bool{}
	for i := range f.Candidates {
		c := &f.Candidates[i]
		key := "passes"
		if c.FirstFailure >= 0 {
			key = sizing.CheckName(c.FirstFailure).String()
		}
		for _, l := range c.Legs {
			key += l.LimitedBy
		}
		if c.Motor.Bare {
			key += "bare"
		}
		if c.ThermalRunaway {
			key += "runaway"
		}
		if !seen[key] && len(out) < 20 {
			seen[key] = true
			out = append(out, c)
		}
	}
	return out
}

// cases are those the laws are tried on.
func cases() map[string][]string {
	const wheels = "  wheels:\n"
	all := map[string][]string{}
	for name := range others() {
		all[name] = nil
	}
	maps.Copy(all, map[string][]string{
		"cart": nil, "arm": nil, "hoist": nil,
		"cart on an adapter": {"  batteries: any                 # every pack of the catalog is tried\n  packs: { series: 1, parallel: 1 }\n",
			"  adapter: { voltage: 24 V, current: 9 A, beyond: holds }\n", "  health: 80 %                   # sized for a pack in its old age\n", "", "  operating_time: 5.5 h          # then everything is off ...\n  pause: 12 h                    # ... and the pack is recharged overnight\n", "",
			"  runtime: 5.5 h                 # one working day\n", ""},
		"cart that drags air and turns": {wheels, wheels + "    drag_area: 0.6 m^2\n    wheel_inertia: 0.2 kg·m²\n    track: 520 mm\n    scrub: { friction: 0.5, contact: wheels }\n",
			"batteries: any ", "batteries: [iris-fe-24, reed-pb-12] ", "controllers: any", "controllers: [crane-1x48, stork-2x14-lim]",
			"    - { name: unload,     rest: 45 s }", "    - { name: unload,     rest: 45 s }\n    - { name: turn, speed: 0.6 rad/s, for: 3 s, turn: pivot }\n    - { name: stand, rest: 5 s }"},
	})
	return all
}

func field(t *testing.T, name string) *sizing.Field {
	t.Helper()
	if f := fields[name]; f != nil {
		return f
	}
	folder, _, _ := strings.Cut(name, " ")
	text := others()[name]
	if text != "" {
		folder = "cart"
	}
	c, cat := changed(t, folder, text, cases()[name]...)
	few := *cat
	few.Motors = nil
	for i, m := range cat.Motors { // every fifth motor will do
		if i%5 == 0 || strings.HasPrefix(m.ID, "poplar-24-l") {
			few.Motors = append(few.Motors, m)
		}
	}
	f, err := sizing.Rank(context.Background(), c, &few, sizing.Options{})
	if err != nil {
		t.Fatal(err)
	}
	fields[name] = f
	return f
}

// fields keeps what was ranked from one law to the next.
var fields = map[string]*sizing.Field{}

func TestEveryPrintedLineComputesToItsResult(t *testing.T) {
	for name := range cases() {
		t.Run(name, func(t *testing.T) {
			f := field(t, name)
			lines := 0
			for _, c := range picks(f) {
				ex, err := explain.Explain(f, c)
				if err != nil {
					t.Fatalf("%s: %v", c.ID, err)
				}
				for _, style := range []report.Style{{Width: 80}, {Width: 200}, {Format: report.MD}} {
					var b strings.Builder
					if err := report.Explain(&b, ex, style); err != nil {
						t.Fatal(err)
					}
					lines += redo(t, c.ID, b.String(), style)
				}
			}
			if lines < 150 {
				t.Errorf("only %d lines were computed again", lines)
			}
		})
	}
}

// The example follows the rounded numbers a reader sees; the engine does not
// round. They must agree to the digits shown anywhere else.
func TestTheExampleAgreesWithTheEngine(t *testing.T) {
	for name := range cases() {
		t.Run(name, func(t *testing.T) {
			f := field(t, name)
			for _, c := range picks(f) {
				ex, err := explain.Explain(f, c)
				if err != nil {
					t.Fatal(err)
				}
				near(t, c.ID+" rms current", value(ex, "Irms"), c.MotorCurrentRMS, 5e-4)
				near(t, c.ID+" cycle", value(ex, "T", "one duty cycle"), c.CycleTime, 1e-4)
				agree(t, c, ex)
				if !c.ThermalRunaway && !math.IsNaN(c.ThermalMargin) {
					near(t, c.ID+" thermal margin", value(ex, "", "thermal margin"), c.ThermalMargin, 1e-2)
				}
				for i := range c.Legs {
					if f.Case.Legs[i].Kind == loadcases.RestLeg {
						continue
					}
					other, err := explain.ExplainLeg(f, c, i)
					if err != nil {
						t.Fatal(err)
					}
					agree(t, c, other)
				}
			}
		})
	}
}

// agree holds an example's electric state against the engine's.
func agree(t *testing.T, c *sizing.Candidate, ex *explain.Example) {
	t.Helper()
	leg := governing(c, ex.Leg)
	behind := leg.Shortfall > 0
	for _, s := range ex.Sections {
		var state *sizing.State
		switch {
		case strings.Contains(s.Title, "hardest instant"):
			state = &leg.Peak
		case strings.Contains(s.Title, "steady state,"), strings.Contains(s.Title, "what the machine gets"):
			state = &leg.Steady
		default:
			continue
		}
		for symbol, want := range map[string]float64{"I": state.MotorCurrent, "V": state.MotorVoltage, "d": state.Command, "Vbus": state.BusVoltage, "ib": state.BatteryCurrent, "Tm": state.MotorTorque} {
			got, found := last(&s, symbol)
			if !found && symbol == "Tm" {
				continue
			}
			size := math.Max(math.Abs(want), map[string]float64{"ib": 2, "V": 1, "d": 0.05, "I": 0.1, "Tm": 0.05}[symbol])
			tolerance := 1e-3
			if behind { // a bound holds the current to about that
				tolerance = 2e-3
			}
			if !(math.Abs(got-want) <= tolerance*size) {
				t.Errorf("%s, %s (behind %v): %s = %g in the example, %g in the engine", c.ID, s.Title, behind, symbol, got, want)
			}
		}
	}
}

func governing(c *sizing.Candidate, name string) *sizing.LegResult {
	for i := range c.Legs {
		if c.Legs[i].Name == name {
			return &c.Legs[i]
		}
	}
	return nil
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*(1e-2+math.Abs(want))) {
		t.Errorf("%s: %g in the example, %g in the engine", what, got, want)
	}
}

// value is the last step with a symbol, and title where one is given.
func value(ex *explain.Example, symbol string, title ...string) float64 {
	for i := range ex.Sections {
		for _, s := range ex.Sections[i].Steps {
			if s.Symbol == symbol && (len(title) == 0 || s.Title == title[0]) {
				return s.Value
			}
		}
	}
	return math.NaN()
}

func last(s *explain.Section, symbol string) (v float64, found bool) {
	for _, step := range s.Steps {
		if step.Symbol == symbol {
			v, found = step.Value, true
		}
	}
	return v, found
}

// Every assumption the case or a constant rests on is listed with its basis.
func TestEveryAssumptionIsListed(t *testing.T) {
	f := field(t, "hoist")
	c := &f.Candidates[0]
	ex, err := explain.Explain(f, c)
	if err != nil {
		t.Fatal(err)
	}
	listed := map[string]bool{}
	for _, a := range ex.Assumptions {
		listed[a.What] = true
	}
	for _, a := range f.Case.Assumptions {
		if !listed[a.What] {
			t.Errorf("the case assumes %s, and the example does not say so", a.What)
		}
	}
	for _, what := range []string{"winding resistance", "motor constant", "flux change of the magnet", "winding limit", "open-circuit voltage"} {
		if !listed[what] {
			t.Errorf("%s is derived or assumed, and not listed", what)
		}
	}
}
