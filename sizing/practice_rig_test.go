package sizing_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/sizing"
)

// rig is a case written as a person would write it, with its catalogs.
type rig struct {
	yaml                                       string
	motors, gears, batteries, controllers, ocv string
}

// The rows that most rigs use. Invented data.
const (
	stiffController = "id,channels,current_continuous [A],voltage_min [V],voltage_max [V]\nbroad,1,400,1,100\n"
	shaftHead       = "title: bench\nconditions: { air: 25 degC }\nmechanism:\n  shaft: { motors: %d, inertia: %s }\n"
	filesTail       = "catalogs: { motors: [m.csv], batteries: b.csv, controllers: c.csv }\n"
)

// field ranks the rig.
func (r rig) field(t testing.TB) (*loadcases.Case, *catalog.Catalog) {
	t.Helper()
	c, err := loadcases.Read("case.yaml", []byte(r.yaml), nil)
	if err != nil {
		t.Fatal(err)
	}
	files := catalog.Files{Motors: []catalog.CSV{{Name: "m.csv", Data: []byte(r.motors)}},
		Controllers: []catalog.CSV{{Name: "c.csv", Data: []byte(r.controllers)}},
		Open:        func(string) ([]byte, error) { return []byte(r.ocv), nil }}
	if r.gears != "" {
		files.GearTrains = []catalog.CSV{{Name: "g.csv", Data: []byte(r.gears)}}
	}
	if r.batteries != "" {
		files.Batteries = []catalog.CSV{{Name: "b.csv", Data: []byte(r.batteries)}}
	}
	cat, err := catalog.Read(files)
	if err != nil {
		t.Fatal(err)
	}
	return c, cat
}

// check is the public path of `dray check CASE PICK`.
func (r rig) check(t testing.TB, pick string) (*sizing.Field, *sizing.Candidate) {
	t.Helper()
	c, cat := r.field(t)
	f, k, err := sizing.Examine(context.Background(), c, cat, pick)
	if err != nil {
		t.Fatal(err)
	}
	return f, k
}

func (r rig) only(t testing.TB) *sizing.Candidate {
	t.Helper()
	_, k := r.check(t, "1")
	return k
}

// shaft is a shaft case with its legs and supply.
func shaft(motors int, inertia, legs, supply string) string {
	return fmt.Sprintf(shaftHead, motors, inertia) + "duty:\n  legs:\n" + legs + "supply:\n" + supply + filesTail
}

// bareMotor is a motor row by its constants at the shaft.
func bareMotor(id string, volts, ohm, k, noLoad float64) string {
	return "id,nominal_voltage [V],resistance [ohm],torque_constant [N·m/A],no_load_current [A]\n" +
		fmt.Sprintf("%s,%g,%.12g,%.12g,%g\n", id, volts, ohm, k, noLoad)
}

func within(t testing.TB, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s is %.6g, want %.6g within %.2g %%", what, got, want, 100*rel)
	}
}

func says(t testing.TB, text string, words ...string) {
	t.Helper()
	for _, w := range words {
		if !strings.Contains(text, w) {
			t.Errorf("want %q in %q", w, text)
		}
	}
}

func checkOf(t testing.TB, c *sizing.Candidate, name sizing.CheckName) sizing.Check {
	t.Helper()
	for _, k := range c.Checks {
		if k.Name == name {
			return k
		}
	}
	t.Fatalf("no check %q among %v", name, c.Checks)
	return sizing.Check{}
}
