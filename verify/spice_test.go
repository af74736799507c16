package verify

import (
	"bufio"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// needSpice skips without the simulator, or fails where it is required.
func needSpice(t *testing.T) string {
	t.Helper()
	path, err := exec.LookPath("ngspice")
	if err == nil {
		return path
	}
	if os.Getenv("DRAY_REQUIRE_NGSPICE") == "1" {
		t.Fatal("ngspice is required here (DRAY_REQUIRE_NGSPICE=1) but is not on the path")
	}
	t.Skip("the circuit simulator ngspice is not installed: its route is not checked here")
	return ""
}

// sample is one row of the simulator's output.
type sample struct {
	t, x, v, i, tw, th, q2, qb, qb2, qd, bus, ib, d, qw, tout float64
}

// simulate runs the netlist and returns its samples from since on.
func simulate(t *testing.T, n *netlist, since float64) []sample {
	t.Helper()
	ngspice := needSpice(t)
	dir := t.TempDir()
	data, circuit := filepath.Join(dir, "out.txt"), filepath.Join(dir, "drive.cir")
	if err := os.WriteFile(circuit, []byte(n.text(data, since)), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	out, err := exec.CommandContext(ctx, ngspice, "-b", circuit).CombinedOutput()
	if err != nil {
		t.Fatalf("ngspice: %v\n%s", err, tail(string(out)))
	}
	list, err := readSamples(data)
	if err != nil {
		t.Fatalf("ngspice gave no samples: %v\n%s", err, tail(string(out)))
	}
	if last := list[len(list)-1].t; math.Abs(last-n.total) > 1e-3 {
		t.Fatalf("ngspice stopped at %.4g s of %.4g s\n%s", last, n.total, tail(string(out)))
	}
	return list
}

func tail(s string) string {
	if len(s) > 1500 {
		return "…" + s[len(s)-1500:]
	}
	return s
}

func readSamples(file string) (list []sample, err error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		fields := strings.Fields(lines.Text())
		if len(fields) != 15 {
			return nil, fmt.Errorf("a row of %d numbers", len(fields))
		}
		var v [15]float64
		for i, s := range fields {
			if v[i], err = strconv.ParseFloat(s, 64); err != nil {
				return nil, err
			}
		}
		list = append(list, sample{v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7], v[8], v[9], v[10], v[11], v[12], v[13], v[14]})
	}
	if len(list) < 2 {
		return nil, fmt.Errorf("%d rows", len(list))
	}
	return list, lines.Err()
}

// at interpolates between samples.
func at(list []sample, t float64, what func(*sample) float64) float64 {
	for i := 1; i < len(list); i++ {
		if list[i].t >= t {
			a, b := &list[i-1], &list[i]
			f := (t - a.t) / (b.t - a.t)
			return what(a) + f*(what(b)-what(a))
		}
	}
	return what(&list[len(list)-1])
}
