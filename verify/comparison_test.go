package verify

import (
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"strings"
	"testing"

	"go.yaml.in/yaml/v4"
)

var update = flag.Bool("update", false, "write testdata/comparison.yaml anew")

const comparisonFile = "testdata/comparison.yaml"

// compared is one figure of one duty by the engine and by both routes. The
// verification page of the manual is printed from the list.
type compared struct {
	Duty      string
	Figure    string
	Unit      string
	Engine    float64
	March     float64
	Simulator *float64 // nil where its route was not run
	Tolerance string
}

// figures are the numbers of a run that the page shows.
func (r *run) figures() []struct {
	name, unit, tolerance string
	value                 float64
} {
	return []struct {
		name, unit, tolerance string
		value                 float64
	}{
		{"cycle time", "s", "0.5 %", r.time}, {"motor current rms", "A", "0.2 %", r.rms}, {"motor current peak", "A", "0.5 %", r.peakI},
		{"battery current rms", "A", "0.2 %", r.rmsBus}, {"winding peak", "°C", "0.3 K", r.peakW}, {"winding mean", "°C", "0.3 K", r.meanW},
		{"housing peak", "°C", "0.3 K", r.peakH},
	}
}

// compare puts the routes side by side; simulator may be nil.
func compare(name string, engine, march, simulator *run) (list []compared) {
	m := march.figures()
	for i, f := range engine.figures() {
		c := compared{Duty: name, Figure: f.name, Unit: f.unit, Engine: rounded(f.value), March: rounded(m[i].value), Tolerance: f.tolerance}
		if simulator != nil {
			v := rounded(simulator.figures()[i].value)
			c.Simulator = &v
		}
		list = append(list, c)
	}
	return list
}

// rounded keeps six digits, so that the file is the same on every machine.
func rounded(x float64) float64 {
	var y float64
	if _, err := fmt.Sscanf(fmt.Sprintf("%.6g", x), "%g", &y); err != nil {
		return x
	}
	return y
}

// The table that the manual prints is what is found now.
func TestTheComparisonTableIsCurrent(t *testing.T) {
	var list []compared
	for _, d := range duties() {
		if d.runaway {
			continue
		}
		march := solve(t, d)
		engine := asRun(examine(t, d.name, d.pick))
		if d.machine.Total > 0 {
			march.time = engine.time
		}
		var simulator *run
		if *update {
			simulator = bySimulator(t, d, march)
		}
		list = append(list, compare(d.name, engine, march, simulator)...)
	}
	if *update {
		var b strings.Builder
		b.WriteString("# Written by go test ./verify -run Comparison -update; docs/verification.md prints it.\n")
		for _, c := range list {
			simulator := "null"
			if c.Simulator != nil {
				simulator = fmt.Sprint(*c.Simulator)
			}
			fmt.Fprintf(&b, "- {duty: %s, figure: %s, unit: %s, engine: %v, march: %v, simulator: %s, tolerance: %s}\n", c.Duty, c.Figure, c.Unit, c.Engine, c.March, simulator, c.Tolerance)
		}
		if err := os.WriteFile(comparisonFile, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	data, err := os.ReadFile(comparisonFile)
	if err != nil {
		t.Fatal(err)
	}
	var was []compared
	if err := yaml.Load(data, &was, yaml.WithKnownFields(true)); err != nil {
		t.Fatal(err)
	}
	const hint = "write it anew with go test ./verify -run Comparison -update"
	if len(was) != len(list) {
		t.Fatalf("%s has %d figures and %d are found; %s", comparisonFile, len(was), len(list), hint)
	}
	for i, c := range list {
		w := was[i]
		off := math.Max(math.Abs(c.Engine-w.Engine), math.Abs(c.March-w.March))
		if w.Duty != c.Duty || w.Figure != c.Figure || off > 5e-4*math.Abs(c.March) {
			t.Errorf("%s %s: engine %g, march %g, the file says %s %s %g, %g; %s", c.Duty, c.Figure, c.Engine, c.March, w.Duty, w.Figure, w.Engine, w.March, hint)
		}
	}
}

// bySimulator runs the circuit, or gives nil where the simulator is absent.
func bySimulator(t *testing.T, d duty, march *run) *run {
	if _, err := exec.LookPath("ngspice"); err != nil {
		t.Log("without the simulator: ngspice is not installed")
		return nil
	}
	n := &netlist{m: d.machine, run: march, runs: d.runs, tw: march.startW + 4, th: march.startH + 4}
	since := float64(d.runs-1) * march.time
	if d.machine.Total > 0 {
		last, peakW, peakH := d.machine.repeat()
		last.peakW, last.peakH = peakW, peakH
		n.run, n.tw, n.th = last, d.machine.Air, d.machine.Air
		since = d.machine.Total - last.time
	}
	r := read(simulate(t, n, since), n)
	if d.machine.Total > 0 {
		r.time, r.peakW, r.peakH = march.time, math.Max(r.peakW, march.peakW), math.Max(r.peakH, march.peakH)
	}
	return r
}
