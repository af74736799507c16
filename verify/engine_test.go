package verify

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/sizing"
)

// readCase reads a case of testdata and its catalogs by the public readers.
func readCase(t failing, name string, change func(text string) string) (*loadcases.Case, *catalog.Catalog) {
	t.Helper()
	file := filepath.Join("testdata", name+".yaml")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v", err)
	}
	if change != nil {
		data = []byte(change(string(data)))
	}
	return parse(t, file, data)
}

// parse reads the text of a case that stands beside the catalogs of testdata.
func parse(t failing, file string, data []byte) (*loadcases.Case, *catalog.Catalog) {
	t.Helper()
	c, err := loadcases.Read(file, data, nil)
	if err != nil {
		t.Fatalf("%v", err)
	}
	var files catalog.Files
	for _, sort := range []struct {
		names []string
		into  *[]catalog.CSV
	}{{c.Catalogs.Motors, &files.Motors}, {c.Catalogs.GearTrains, &files.GearTrains},
		{c.Catalogs.Batteries, &files.Batteries}, {c.Catalogs.Controllers, &files.Controllers}} {
		for _, name := range sort.names {
			content, err := os.ReadFile(name)
			if err != nil {
				t.Fatalf("%v", err)
			}
			*sort.into = append(*sort.into, catalog.CSV{Name: name, Data: content})
		}
	}
	cat, err := catalog.Read(files)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return c, cat
}

// examine runs the engine on one pick of a case of testdata.
func examine(t failing, name, pick string) *sizing.Candidate {
	t.Helper()
	c, cat := readCase(t, name, nil)
	only(cat, pick)
	_, k, err := sizing.Examine(context.Background(), c, cat, pick)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return k
}

// only leaves in the catalog what the pick is made of.
func only(cat *catalog.Catalog, pick string) {
	parts := strings.Split(pick, "+")
	cat.Motors = slices.DeleteFunc(cat.Motors, func(m catalog.Motor) bool { return !slices.Contains(parts, m.ID) })
	cat.GearTrains = slices.DeleteFunc(cat.GearTrains, func(g catalog.GearTrain) bool { return !slices.Contains(parts, g.ID) })
}

// asRun puts the engine's answer in the form of the other routes.
func asRun(k *sizing.Candidate) *run {
	r := &run{time: k.CycleTime, peakW: k.WindingPeak, meanW: k.WindingMean, peakH: k.HousingPeak,
		rms: k.MotorCurrentRMS, peakI: k.MotorCurrentPeak,
		meanBus: k.BatteryCurrentMean, rmsBus: k.BatteryCurrentRMS, peakBus: k.BatteryCurrentPeak,
		charge: k.BatteryCurrentMean * k.CycleTime, drain: math.NaN(), lowest: math.NaN()}
	for i := range k.Legs {
		l := &k.Legs[i]
		s := &l.Steady
		r.legs = append(r.legs, legRun{start: l.Start, time: l.Duration, reached: l.Reached, behind: l.LimitedBy != "",
			end: instant{speed: s.OutputSpeed, torque: s.OutputTorque, current: s.MotorCurrent, volt: s.MotorVoltage,
				duty: s.Command, bus: s.BusVoltage, ib: s.BatteryCurrent, tw: s.WindingTemp, th: s.HousingTemp}})
	}
	return r
}

// The engine's answer against the march, at the tolerances of the model.
func TestTheEngineAndTheMarchAgree(t *testing.T) {
	for _, d := range duties() {
		t.Run(d.name, func(t *testing.T) {
			k := examine(t, d.name, d.pick)
			if d.runaway {
				if _, ok := d.machine.periodic(); ok || !k.ThermalRunaway {
					t.Errorf("runaway: engine %v, march %v", k.ThermalRunaway, !ok)
				}
				return
			}
			if k.ThermalRunaway {
				t.Fatal("the engine finds no periodic state, the march does")
			}
			want := solve(t, d)
			got := asRun(k)
			if d.machine.Total > 0 { // rms and mean are those of one duty cycle
				want.time = got.time
			}
			got.lowest, got.drain = want.lowest, want.drain
			agree(t, got, want)
			for i := range want.legs {
				w, g := &want.legs[i], &got.legs[i]
				share(t, d.machine.Legs[i].name+" time", g.time, w.time, 0.005, 0)
				share(t, d.machine.Legs[i].name+" start", g.start, w.start, 0.005, 0.1)
				if d.machine.Legs[i].kind == drive {
					share(t, d.machine.Legs[i].name+" torque", g.end.torque, w.end.torque, 0.002, 0.1)
					share(t, d.machine.Legs[i].name+" voltage", g.end.volt, w.end.volt, 0.002, 1)
					share(t, d.machine.Legs[i].name+" output speed", g.end.speed, w.end.speed, 0.002, 0.1)
				}
				if g.behind != w.behind {
					t.Errorf("%s: engine behind %v, march %v", d.machine.Legs[i].name, g.behind, w.behind)
				}
			}
		})
	}
}

// Every candidate of every duty gets an answer, the hopeless ones too: many
// stall, run away or fall behind for ever.
func TestTheWholeFieldOfEveryDutyIsAnswered(t *testing.T) {
	for _, d := range duties() {
		c, cat := readCase(t, d.name, nil)
		f, err := sizing.Rank(context.Background(), c, cat, sizing.Options{})
		if err != nil {
			t.Fatalf("%s: %v", d.name, err)
		}
		for i := range f.Candidates {
			k := &f.Candidates[i]
			if math.IsNaN(k.MotorCurrentRMS) || math.IsNaN(k.BatteryCurrentMean) || !(k.CycleTime > 0) || math.IsInf(k.CycleTime, 0) {
				t.Errorf("%s %s: rms %v A, mean %v A, cycle %v s", d.name, k.ID, k.MotorCurrentRMS, k.BatteryCurrentMean, k.CycleTime)
			}
		}
	}
}
