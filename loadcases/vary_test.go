package loadcases

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestSettingAPathEqualsWritingItInTheFile(t *testing.T) {
	base := "mechanism: { wheels: { mass: 24 kg, payload: 3 kg, wheel_diameter: 200 mm, rolling_resistance: 0.02 } }\nduty: { acceleration: 0.5 m/s^2, legs: [ { speed: 1 m/s, distance: 5 m }, { speed: 0.5 m/s, for: 5 s, payload: 1 kg, acceleration: 0.2 m/s^2 }, { rest: 9 s } ] }\n"
	for path, edit := range map[string]struct {
		from, to string
		value    float64
	}{
		"mechanism.wheels.mass":               {"24 kg", "26 kg", 26},
		"mechanism.wheels.payload":            {"payload: 3 kg", "payload: 4 kg", 4},
		"mechanism.wheels.wheel_diameter":     {"200 mm", "0.25 m", 0.25},
		"mechanism.wheels.rolling_resistance": {"0.02 }", "0.04 }", 0.04},
		"duty.acceleration":                   {"acceleration: 0.5", "acceleration: 0.75", 0.75},
		"duty.legs[1].payload":                {"payload: 1 kg", "payload: 2 kg", 2},
		"duty.legs[0].distance":               {"5 m }", "6 m }", 6},
	} {
		c := mustRead(t, base).Clone()
		if err := c.Set(path, edit.value); err != nil {
			t.Errorf("%s: %v", path, err)
		}
		want := mustRead(t, replaceOnce(t, base, edit.from, edit.to))
		if diff := cmp.Diff(want.Legs, c.Legs); diff != "" {
			t.Errorf("%s: %s", path, diff)
		}
		if diff := cmp.Diff(want.Mechanism, c.Mechanism); diff != "" {
			t.Errorf("%s: %s", path, diff)
		}
	}
}

func replaceOnce(t *testing.T, text, from, to string) string {
	t.Helper()
	for i := 0; i+len(from) <= len(text); i++ {
		if text[i:i+len(from)] == from {
			return text[:i] + to + text[i+len(from):]
		}
	}
	t.Fatalf("no %q in the case", from)
	return ""
}

func TestEveryToleranceOfACaseCanBeVaried(t *testing.T) {
	c := mustRead(t, trayCart)
	for _, tolerance := range c.Tolerances {
		if err := c.Set(tolerance.Input, tolerance.Value); err != nil {
			t.Error(err)
		}
	}
	for _, path := range []string{"", "mechanism", "mechanism.wheels.motors", "duty.legs[9].speed", "duty.legs[-1].speed", "duty.legs[x", "title", "duty.legs[0].to", "supply.adapter.voltage"} {
		if c.Set(path, 1) == nil {
			t.Errorf("%q was varied", path)
		}
	}
}
