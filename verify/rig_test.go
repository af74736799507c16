package verify

import (
	"bytes"
	"context"
	"fmt"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/report"
	"example.org/dray/sizing"
	"pgregory.net/rapid"
)

// rig is a random sane cart with one motor, train, pack and controller, all in
// SI, that can be written as a case and catalogs.
type rig struct {
	Mass, Payload, Radius, Crr, Drag float64
	Motors, Parallel                 int
	Acceleration                     float64
	Speeds                           []float64 // m/s, signed, per drive leg; a rest follows each
	Distances                        []float64 // m
	Inclines                         []float64 // deg
	Rests                            []float64 // s
	R, K, I0, J                      float64
	Ratio, Eta                       float64
	Rwh, Rha, Tw, Th                 float64
	Cells, Capacity, Rb              float64
	Ron, Idle, Electronics           float64
	Air                              float64
	More                             string // further lines of the supply
}

// anyRig draws a cart.
func anyRig(t *rapid.T) rig {
	num := func(name string, low, high float64) float64 {
		return float64(int(rapid.Float64Range(low, high).Draw(t, name)*1e6)) / 1e6
	}
	r := rig{
		Mass: num("mass", 10, 80), Payload: num("payload", 0, 30), Radius: num("radius", 0.05, 0.2), Crr: num("crr", 0.008, 0.06),
		Motors: rapid.SampledFrom([]int{1, 2, 4}).Draw(t, "motors"), Parallel: 1,
		Acceleration: num("acceleration", 0.1, 1),
		R:            num("R", 0.1, 0.6), K: num("k", 0.02, 0.08), I0: num("I0", 0.1, 1), J: num("J", 1e-5, 3e-4),
		Eta: num("eta", 0.6, 0.95), Rwh: num("Rwh", 0.5, 3), Rha: num("Rha", 1, 5), Tw: num("tw", 5, 60), Th: num("th", 80, 1500),
		Cells: float64(rapid.IntRange(6, 10).Draw(t, "cells")), Capacity: num("capacity", 4, 20), Rb: num("Rb", 0.01, 0.3),
		Ron: num("Ron", 0, 0.02), Idle: num("idle", 0, 0.1), Electronics: num("electronics", 0, 0.5), Air: num("air", 0, 40),
	}
	legs := rapid.IntRange(1, 3).Draw(t, "legs")
	fastest := num("speed", 0.4, 2)
	for i := range legs {
		v := fastest * num("share", 0.4, 1)
		if rapid.Bool().Draw(t, "backwards") {
			v = -v
		}
		r.Speeds = append(r.Speeds, float64(int(v*1e4))/1e4)
		r.Distances = append(r.Distances, num("distance", 4, 30))
		r.Inclines = append(r.Inclines, num("incline", -8, 8))
		r.Rests = append(r.Rests, num("rest", 15, 60))
		_ = i
	}
	// the ratio brings the motor to a share of its voltage at the fastest speed:
	// some have strength in hand, some cannot follow
	volts := num("use", 0.4, 1) * 3.7 * r.Cells
	r.Ratio = float64(int(volts/r.K/(fastest/r.Radius)*1e4)) / 1e4
	return r
}

// text writes the case.
func (r *rig) text() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "title: a rig\nmechanism:\n  wheels: { mass: %v kg, payload: %v kg, wheel_radius: %v m, motors: %d, rolling_resistance: %v, drag_area: %v m^2 }\n",
		r.Mass, r.Payload, r.Radius, r.Motors, r.Crr, r.Drag)
	fmt.Fprintf(&b, "conditions: { air: %v degC }\nduty:\n  acceleration: %v m/s^2\n  legs:\n", r.Air, r.Acceleration)
	for i := range r.Speeds {
		fmt.Fprintf(&b, "    - { name: drive %d, speed: %v m/s, distance: %v m, incline: %v deg }\n", i, r.Speeds[i], r.Distances[i], r.Inclines[i])
		fmt.Fprintf(&b, "    - { name: rest %d, rest: %v s }\n", i, r.Rests[i])
	}
	fmt.Fprintf(&b, "supply:\n  batteries: [pack]\n  packs: { series: 1, parallel: %d }\n  health: 100 %%\n  controllers: [drive]\n  electronics: { current: %v A }\n%s",
		r.Parallel, r.Electronics, r.More)
	b.WriteString("catalogs: { motors: m.csv, gear_trains: g.csv, batteries: b.csv, controllers: c.csv }\n")
	return b.Bytes()
}

// files writes the catalogs.
func (r *rig) files() catalog.Files {
	one := func(name, format string, a ...any) []catalog.CSV {
		return []catalog.CSV{{Name: name, Data: fmt.Appendf(nil, format, a...)}}
	}
	return catalog.Files{
		Motors: one("m.csv", "id,nominal_voltage,no_load_current,resistance,torque_constant,rotor_inertia,magnet,winding_limit,winding_to_housing,housing_to_air,winding_time_constant,housing_time_constant\nmotor,24,%v,%v,%v,%v,ndfeb,155,%v,%v,%v,%v\n",
			r.I0, r.R, r.K, r.J, r.Rwh, r.Rha, r.Tw, r.Th),
		GearTrains:  one("g.csv", "id,kind,ratio,efficiency\ntrain,planetary,%v,%v\n", r.Ratio, r.Eta),
		Batteries:   one("b.csv", "id,chemistry,cells,capacity,resistance\npack,li_ion,%v,%v,%v\n", r.Cells, r.Capacity, r.Rb),
		Controllers: one("c.csv", "id,channels,current_continuous,current_peak,on_resistance,idle_current,regeneration\ndrive,1,30,60,%v,%v,yes\n", r.Ron, r.Idle),
	}
}

// failing is what a test of either kind can do.
type failing interface {
	Helper()
	Fatalf(format string, a ...any)
	Errorf(format string, a ...any)
}

// judge runs the rig through the public readers and the engine.
func (r *rig) judge(t failing) (*sizing.Field, *sizing.Candidate) {
	t.Helper()
	return judge(t, r.text(), r.files(), "motor+train+pack+drive")
}

func judge(t failing, text []byte, files catalog.Files, pick string) (*sizing.Field, *sizing.Candidate) {
	t.Helper()
	c, err := loadcases.Read("case.yaml", text, nil)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	cat, err := catalog.Read(files)
	if err != nil {
		t.Fatalf("%v", err)
	}
	f, k, err := sizing.Examine(context.Background(), c, cat, pick)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return f, k
}

// followed reports whether the machine did all that was commanded.
func followed(k *sizing.Candidate) bool {
	for i := range k.Legs {
		if k.Legs[i].LimitedBy != "" {
			return false
		}
	}
	return !k.ThermalRunaway
}

// jsonOf is the whole answer as the program prints it.
func jsonOf(t failing, f *sizing.Field, k *sizing.Candidate) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := report.Rank(&b, f, report.Style{Format: report.JSON}); err != nil {
		t.Fatalf("%v", err)
	}
	if err := report.Check(&b, f, k, report.Style{Format: report.JSON}); err != nil {
		t.Fatalf("%v", err)
	}
	return b.Bytes()
}
