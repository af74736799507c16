package main

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// damage makes one or a few random changes to a text: bytes, digits, signs,
// pieces moved, lines lost or doubled.
func damage(r *rand.Rand, data []byte) []byte {
	out := bytes.Clone(data)
	for range 1 + r.IntN(2) {
		if len(out) < 2 {
			return out
		}
		at := r.IntN(len(out))
		switch r.IntN(12) {
		case 0:
			out[at] = byte(r.IntN(256))
		case 1:
			out = append(out[:at:at], out[at+1:]...)
		case 2, 3, 4, 5, 6, 7: // a digit where a digit stands: the file stays readable, the number gets odd
			if d := bytes.IndexAny(out[at:], "0123456789"); d >= 0 {
				odd := []string{"0", "9", "-1", "1e3", "1e-3", "1e9", "00", "99999", "0.0001", "."}[r.IntN(10)]
				at += d
				out = append(append(append([]byte{}, out[:at]...), odd...), out[at+1:]...)
			}
		case 8:
			to := min(len(out), at+1+r.IntN(12))
			out = append(out[:at:at], out[to:]...)
		case 9:
			to := min(len(out), at+1+r.IntN(12))
			piece := bytes.Clone(out[at:to])
			where := r.IntN(len(out))
			out = append(append(append([]byte{}, out[:where]...), piece...), out[where:]...)
		default: // a line lost or doubled
			lines := bytes.SplitAfter(out, []byte("\n"))
			i := r.IntN(len(lines))
			keep := append([][]byte{}, lines[:i]...)
			if r.IntN(2) == 0 {
				keep = append(keep, lines[i], lines[i])
			}
			out = bytes.Join(append(keep, lines[i+1:]...), nil)
		}
	}
	return out
}

// smallDemo copies a demo with a few rows of its catalogs, so that a
// run is short. It returns the case and every file it reads.
func smallDemo(t *testing.T, name string) (file string, files []string) {
	t.Helper()
	dir := t.TempDir()
	for _, path := range []string{name + "/case.yaml", "shared/motors.csv", "shared/motors-workshop.csv", "shared/gear-trains.csv", "shared/batteries.csv", "shared/controllers.csv"} {
		data, err := os.ReadFile(filepath.Join("../../testdata", path))
		if err != nil {
			t.Fatal(err)
		}
		data = bytes.Replace(data, []byte("controllers: any"), []byte("controllers: [finch-2x9, heron-2x24]"), 1)
		data = bytes.Replace(data, []byte("[2.6, 3.6]"), []byte("2.6"), 1)
		if strings.Contains(path, "motors") || strings.Contains(path, "gear") { // a few rows
			var kept [][]byte
			for i, line := range bytes.SplitAfter(data, []byte("\n")) {
				if i < 4 || i%15 == 0 {
					kept = append(kept, line)
				}
			}
			data = bytes.Join(kept, nil)
		}
		to := filepath.Join(dir, path)
		if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(to, data, 0o666); err != nil {
			t.Fatal(err)
		}
		files = append(files, to)
	}
	return files[0], files
}

// Demos with random damage end in an answer or in messages, soon, and never in
// a fault of the program.
func TestDamagedDemosEndInAnAnswerOrAMessage(t *testing.T) {
	many := 300
	if testing.Short() {
		many = 60
	}
	if n, err := strconv.Atoi(os.Getenv("DRAY_DAMAGES")); err == nil {
		many = n
	}
	seed, _ := strconv.ParseUint(os.Getenv("DRAY_SEED"), 10, 64)
	codes := map[int]int{}
	for _, demo := range []struct {
		name string
		part int
	}{{"cart", many * 9 / 20}, {"arm", many / 10}, {"hoist", many * 9 / 20}} { // the arm's runs are long
		name := demo.name
		file, files := smallDemo(t, name)
		if code, _, stderr := typed(t, "rank", file); code == exitInput {
			t.Fatalf("%s, undamaged: %s", name, stderr)
		}
		r := rand.New(rand.NewPCG(seed, uint64(len(name))))
		for i := range demo.part {
			victim := file // the case itself every other time
			if i%2 == 1 {
				victim = files[r.IntN(len(files))]
			}
			whole, err := os.ReadFile(victim)
			if err != nil {
				t.Fatal(err)
			}
			hurt := damage(r, whole)
			if err := os.WriteFile(victim, hurt, 0o666); err != nil {
				t.Fatal(err)
			}
			args := [][]string{{"rank", file}, {"check", file, "1"}, {"lint", file}, {"rank", file, "--format", "json"}}[r.IntN(4)]
			if wrong := survives(args, codes); wrong != "" {
				t.Errorf("%s, damage %d to %s: %s\n%s", strings.Join(args, " "), i, filepath.Base(victim), wrong, changed(whole, hurt))
			}
			if err := os.WriteFile(victim, whole, 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
	t.Logf("exit codes %v", codes)
	if codes[exitDone] == 0 || codes[exitInput] == 0 {
		t.Errorf("the damage is too mild or too heavy: exit codes %v", codes)
	}
}

// survives runs one command line and says what is wrong with its end.
func survives(args []string, codes map[int]int) string {
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	var out, errs bytes.Buffer
	code := run(ctx, args, strings.NewReader(""), &out, &errs)
	codes[code]++
	switch {
	case code == exitInterrupted:
		return "no end within two minutes"
	case code != exitDone && code != exitVerdict && code != exitInput:
		return fmt.Sprintf("exit %d, %.1500s", code, errs.String())
	case code == exitInput && out.Len() > 0:
		return fmt.Sprintf("exit 2 with %q on stdout", out.String())
	case code == exitInput && !strings.Contains(errs.String(), "dray: error: "):
		return fmt.Sprintf("exit 2 without a message: %q", errs.String())
	case errs.Len() > 200_000:
		return fmt.Sprintf("%d bytes of messages", errs.Len())
	case code == exitDone && args[0] != "lint" && out.Len() == 0:
		return "an answer without words"
	case strings.Contains(out.String(), "NaN") || strings.Contains(out.String(), "+Inf"):
		return "a number that is none in the answer"
	}
	return ""
}

// changed shows the lines that the damage touched.
func changed(before, after []byte) string {
	a, b := strings.Split(string(before), "\n"), strings.Split(string(after), "\n")
	from := 0
	for from < len(a) && from < len(b) && a[from] == b[from] {
		from++
	}
	back := 0
	for back < len(a)-from && back < len(b)-from && a[len(a)-1-back] == b[len(b)-1-back] {
		back++
	}
	return fmt.Sprintf("was  %q\nnow  %q", strings.Join(a[from:len(a)-back], "\n"), strings.Join(b[from:len(b)-back], "\n"))
}
