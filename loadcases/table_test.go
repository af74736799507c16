package loadcases

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/dray/quantity"
	"pgregory.net/rapid"
)

// sample writes a value for an entry that its form accepts.
func sample(t *rapid.T, e *entry, turning bool) string {
	switch e.form {
	case formWhole:
		return fmt.Sprint(rapid.IntRange(1, min(3, e.most)).Draw(t, e.name))
	case formYesNo:
		return rapid.SampledFrom([]string{"yes", "no"}).Draw(t, e.name)
	case formChoice:
		return rapid.SampledFrom(e.choices).Draw(t, e.name)
	case formNames, formPaths:
		return "[one, two]"
	case formRatios:
		return "[1.5, 2:1]"
	case formTeeth:
		return "12-14"
	case formGauge:
		return "14 AWG"
	case formRenames:
		return "{ Torque: stall_torque }"
	case formText:
		return "words"
	}
	kind := e.kind
	if e.turns && turning {
		kind = e.turn
	}
	size := rapid.Float64Range(0.01, 0.9).Draw(t, e.name)
	switch {
	case kind == quantity.KindIncline:
		return fmt.Sprintf("%.3g deg", 20*size)
	case len(kind.Units()) > 0 && !bare(kind):
		return fmt.Sprintf("%.3g %s", size, kind.SIUnit())
	}
	return fmt.Sprintf("%.3g", size)
}

// write writes a section with a random choice of its keys, at the likelihood
// each, and the required ones always.
func write(t *rapid.T, entries []entry, kind string, likely float64, turning bool) string {
	var parts []string
	for i := range entries {
		e := &entries[i]
		if !e.required && rapid.Float64Range(0, 1).Draw(t, "pick "+e.name) > likely {
			continue
		}
		if e.only != nil && !contains(e.only, kind) {
			continue
		}
		if e.form == formSection {
			parts = append(parts, e.name+": "+write(t, e.children, kind, likely, turning))
			continue
		}
		parts = append(parts, e.name+": "+sample(t, e, turning))
	}
	return "{ " + strings.Join(parts, ", ") + " }"
}

// writeCase writes a case of any mechanism with random keys, often a good one.
func writeCase(t *rapid.T) string {
	m := rapid.SampledFrom(mechanisms()).Draw(t, "mechanism")
	turning := m.name == kindArm || m.name == kindTurntable || m.name == kindShaft
	legs := []string{
		"{ speed: %s, for: 3 s%s }", "{ rest: 2 s }", "{ hold: 2 s%s }", "{ speed: -%s, for: 2 s%s }",
	}
	speed, torque := "0.3 m/s", ""
	if turning {
		speed = "0.3 rad/s"
	}
	if m.name == kindShaft {
		torque = ", torque: 0.2 N·m"
	}
	var list []string
	for range rapid.IntRange(1, 5).Draw(t, "legs") {
		switch leg := rapid.SampledFrom(legs).Draw(t, "leg"); strings.Count(leg, "%s") {
		case 2:
			list = append(list, fmt.Sprintf(leg, speed, torque))
		case 1:
			list = append(list, fmt.Sprintf(leg, torque))
		default:
			list = append(list, leg)
		}
	}
	acceleration := "0.5 m/s^2"
	if turning {
		acceleration = "0.5 rad/s^2"
	}
	text := "mechanism: { " + m.name + ": " + write(t, m.children, m.name, rapid.Float64Range(0, 1).Draw(t, "likely"), turning) + " }\n" +
		"duty: { acceleration: " + acceleration + ", legs: [ " + strings.Join(list, ", ") + " ] }\n"
	for _, e := range tree() {
		if e.name != "mechanism" && e.name != "duty" && e.form == formSection && rapid.Bool().Draw(t, e.name) {
			text += e.name + ": " + write(t, e.children, m.name, 0.3, turning) + "\n"
		}
	}
	return text
}

func TestAnyChoiceOfKeysIsReadOrRefusedAndNeverHalfBuilt(t *testing.T) {
	good := 0
	rapid.Check(t, func(t *rapid.T) {
		text := writeCase(t)
		c, err := Read("drawn.yaml", []byte(text), func(string) ([]byte, error) { return nil, errors.New("none") })
		if err != nil {
			var faults *Faults
			if !errors.As(err, &faults) || len(faults.List) == 0 {
				t.Fatalf("%v\n%s", err, text)
			}
			for _, f := range faults.List {
				if strings.Contains(f.Message, "not a key") || strings.Contains(f.Message, "is missing in duty") {
					t.Fatalf("a key of the table is refused: %v\n%s", f, text)
				}
			}
			return
		}
		good++
		plan := mustPlan(t, c)
		for _, p := range plan.Phases {
			m := p.at(p.Duration/2, plan.LegStart[p.Leg])
			for _, x := range []float64{c.Mechanism.Torque(&c.Legs[p.Leg], m), c.Mechanism.Held(&c.Legs[p.Leg], m.Position)} {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("torque %g at %+v\n%s", x, p, text)
				}
			}
		}
	})
	if good < 5 && !testing.Short() { // with -short few are drawn
		t.Errorf("only %d of the drawn cases were good", good)
	}
}

func TestMarksAtTheStartAndWindowsLineEndsAreRead(t *testing.T) {
	text := "\ufeff" + strings.ReplaceAll(trayCart, "\n", "\r\n")
	c := mustRead(t, text)
	if c.Title != "Tray cart, east glasshouse" || c.Legs[0].Line != 15 {
		t.Errorf("title %q, first leg on line %d", c.Title, c.Legs[0].Line)
	}
	_, err := Read("x.yaml", []byte("\ufefftitle: x\r\nmechanism: { wheels: { mass: 3 } }\r\n"), nil)
	if err == nil || !strings.Contains(err.Error(), "x.yaml:2:") || strings.Contains(err.Error(), "\r") {
		t.Errorf("%v", err)
	}
}
