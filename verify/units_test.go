package verify

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/report"
	"example.org/dray/sizing"
)

func rankJSON(t failing, c *loadcases.Case, cat *catalog.Catalog) string {
	t.Helper()
	f, err := sizing.Rank(context.Background(), c, cat, sizing.Options{})
	if err != nil {
		t.Fatalf("%v", err)
	}
	var b bytes.Buffer
	if err := report.Rank(&b, f, report.Style{Format: report.JSON}); err != nil {
		t.Fatalf("%v", err)
	}
	return b.String()
}

// firstDifference shows the first line that differs.
func firstDifference(a, b string) string {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			return fmt.Sprintf("line %d: %s against %s", i+1, x[i], y[i])
		}
	}
	return fmt.Sprintf("%d lines against %d", len(x), len(y))
}

// The same arm and motor written in kg·cm and in oz·in: 1 oz·in is exactly
// 0.0720077887375 kg·cm (1 lb = 0.45359237 kg, 1 in = 2.54 cm, international
// yard and pound agreement of 1959).
func TestUnitsAreNoInput(t *testing.T) {
	metric := map[string]string{"balance": "14.4015577475 kg·cm", "stall": "72.0077887375 kg·cm", "mass": "0.45359237 kg", "radius": "254 mm",
		"lead": "304.8 mm", "capacity": "3.2 Ah", "slope": "30 deg", "inertia": "2 kg·cm²", "time": "2 s", "speed": "60 rpm"}
	imperial := map[string]string{"balance": "200 oz-in", "stall": "1000 oz-in", "mass": "1 lb", "radius": "10 in",
		"lead": "1 ft", "capacity": "3200 mAh", "slope": "0.5235987755982988 rad", "inertia": "2e-4 kg·m²", "time": "2000 ms", "speed": "360 deg/s"}
	a, b := armAnswer(t, metric), armAnswer(t, imperial)
	if a != b {
		t.Errorf("the answer changes with the units: %s", firstDifference(a, b))
	}
}

func armAnswer(t *testing.T, in map[string]string) string {
	text := fmt.Sprintf(`title: an arm
mechanism:
  arm: { mass: %s, radius: %s, inertia: %s, motors: 1, balance: { torque: %s } }
conditions: { air: 25 degC }
duty:
  legs:
    - { name: up, from: 0 deg, to: %s, in: %s }
    - { name: stay, hold: %s }
    - { name: down, to: 0 deg, in: %s }
supply:
  batteries: [pack]
  controllers: [drive]
  leads: { motor: { gauge: 18 AWG, length: %s } }
catalogs: { motors: m.csv, batteries: b.csv, controllers: c.csv }
`, in["mass"], in["radius"], in["inertia"], in["balance"], in["slope"], in["time"], in["time"], in["time"], in["lead"])
	one := func(name, text string) []catalog.CSV { return []catalog.CSV{{Name: name, Data: []byte(text)}} }
	files := catalog.Files{
		Motors: one("m.csv", "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio,winding_to_housing,housing_to_air,winding_time_constant,housing_time_constant,winding_limit\n"+
			"motor,12,"+in["speed"]+",0.2,"+in["stall"]+",6,50:1,3,5,20,300,120\n"),
		Batteries:   one("b.csv", "id,chemistry,cells,capacity,resistance\npack,nimh,10,"+in["capacity"]+",0.1\n"),
		Controllers: one("c.csv", "id,channels,current_continuous,current_peak,regeneration\ndrive,1,10,20,yes\n"),
	}
	f, k := judge(t, []byte(text), files, "motor+pack+drive")
	return string(jsonOf(t, f, k))
}
