package loadcases

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"
	"time"
)

// hostileCases are files that want to hurt the reader or the planner.
func hostileCases() map[string]string {
	wheels := "mechanism: {wheels: {mass: %s, wheel_diameter: %s, rolling_resistance: %s}}\nduty: {acceleration: %s, legs: [{speed: %s, distance: %s}, {rest: %s}]}\n"
	list := map[string]string{
		"deep flow":         "a: " + strings.Repeat("[", 100_000) + strings.Repeat("]", 100_000),
		"deep maps":         strings.Repeat("{a: ", 50_000) + "1" + strings.Repeat("}", 50_000),
		"deep blocks":       deepBlocks(400),
		"open flow":         "a: " + strings.Repeat("{", 500_000),
		"aliases":           "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nmechanism: *c\n",
		"self alias":        "mechanism: &a\n  wheels: *a\n",
		"merge":             "mechanism: {<<: {wheels: {mass: 1 kg}}}\n",
		"tags":              "mechanism: !!binary AAAA\nduty: !!python/object:os.system {}\n",
		"wide line":         "title: " + strings.Repeat("x", 900_000),
		"million keys":      strings.Repeat("k: 1\n", 200_000),
		"distinct keys":     distinctKeys(60_000),
		"million legs":      "mechanism: {shaft: {}}\nduty: {legs: [" + strings.Repeat("{rest: 1 s},", 80_000) + "]}",
		"wide list":         "mechanism: {wheels: {further_stage: {ratio: [" + strings.Repeat("1,", 400_000) + "]}}}",
		"teeth":             "mechanism: {wheels: {mass: 1 kg, wheel_diameter: 1 m, further_stage: {driver_teeth: 1-1000000000, driven_teeth: 1-1000000000}}}\nduty: {legs: [{rest: 1 s}]}\n",
		"long number":       fmt.Sprintf(wheels, strings.Repeat("9", 100_000)+" kg", "1 m", "0", "1 m/s^2", "1 m/s", "1 m", "1 s"),
		"only zero bytes":   strings.Repeat("\x00", 100_000),
		"zero byte":         "title: a\x00b\n",
		"only spaces":       strings.Repeat(" ", 900_000),
		"only line breaks":  strings.Repeat("\n", 900_000),
		"only tabs":         strings.Repeat("\t", 900_000),
		"only colons":       strings.Repeat(":", 300_000),
		"documents":         strings.Repeat("---\n", 200_000),
		"carriage returns":  strings.Repeat("a: 1\r", 100_000),
		"byte order marks":  strings.Repeat("\ufeff", 100_000) + "a: 1",
		"half a character":  "title: \xe2\x82\n",
		"comment":           "#" + strings.Repeat("c", 900_000),
		"folded text":       "title: >\n" + strings.Repeat("  word\n", 100_000),
		"quoted text":       "title: \"" + strings.Repeat("\\u00e9", 100_000) + "\"\n",
		"unknown long keys": "mechanism: {" + strings.Repeat("w", 500_000) + ": 1}\n",
	}
	for i, v := range []string{"NaN kg", "Inf kg", "-Inf kg", "1e308 kg", "-1e308 kg", "1e-308 kg", "1e999 kg", "0 kg", ".nan", ".inf", "~", "null", "true", "0x10 kg", "1_000 kg"} {
		list[fmt.Sprintf("mass %d", i)] = fmt.Sprintf(wheels, v, "200 mm", "0.02", "1 m/s^2", "1 m/s", "10 m", "5 s")
	}
	for i, v := range []string{"1e308", "1e150", "1e-300", "NaN", "Inf", "-1e308"} {
		list[fmt.Sprintf("wheel %d", i)] = fmt.Sprintf(wheels, "10 kg", v+" m", "0.02", "1 m/s^2", "1 m/s", "10 m", "5 s")
		list[fmt.Sprintf("rolling %d", i)] = fmt.Sprintf(wheels, "10 kg", "1 m", v, "1 m/s^2", "1 m/s", "10 m", "5 s")
		list[fmt.Sprintf("acceleration %d", i)] = fmt.Sprintf(wheels, "10 kg", "1 m", "0.02", v+" m/s^2", "1 m/s", "10 m", "5 s")
		list[fmt.Sprintf("speed %d", i)] = fmt.Sprintf(wheels, "10 kg", "1 m", "0.02", "1 m/s^2", v+" m/s", "10 m", "5 s")
		list[fmt.Sprintf("distance %d", i)] = fmt.Sprintf(wheels, "10 kg", "1 m", "0.02", "1 m/s^2", "1 m/s", v+" m", "5 s")
		list[fmt.Sprintf("rest %d", i)] = fmt.Sprintf(wheels, "10 kg", "1 m", "0.02", "1 m/s^2", "1 m/s", "10 m", v+" s")
		list[fmt.Sprintf("everything %d", i)] = fmt.Sprintf(wheels, v+" kg", v+" m", v, v+" m/s^2", v+" m/s", v+" m", v+" s")
	}
	list["wheel that is almost none"] = fmt.Sprintf(wheels, "10 kg", "1e-320 mm", "0.02", "1 m/s^2", "1 m/s", "10 m", "5 s")
	return list
}

func deepBlocks(depth int) string {
	var b strings.Builder
	for i := range depth {
		b.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return b.String()
}

func distinctKeys(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "key%d: 1\n", i)
	}
	return b.String()
}

// A number so small that one over it is none is refused like one too large.
func TestAMachineOfNoSizeIsRefused(t *testing.T) {
	_, err := Read("x.yaml", []byte(hostileCases()["wheel that is almost none"]), nil)
	if err == nil || !strings.Contains(err.Error(), "smaller than any such machine") {
		t.Errorf("%v", err)
	}
}

// Every file ends soon, in little memory, in a bounded list of faults or in a
// case that can be laid out with finite numbers.
func TestHostileCasesAreReadOrRefusedAtOnce(t *testing.T) {
	for name, text := range hostileCases() {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			began := time.Now()
			c, err := Read("hostile.yaml", []byte(text), nil)
			took := time.Since(began)
			runtime.ReadMemStats(&after)
			if taken := after.TotalAlloc - before.TotalAlloc; taken > 400*uint64(len(text))+16<<20 {
				t.Errorf("%d MB taken for a file of %d bytes", taken>>20, len(text))
			}
			if took > 20*time.Second {
				t.Errorf("took %v", took)
			}
			if err != nil {
				var faults *Faults
				if !errors.As(err, &faults) || len(faults.List) == 0 || len(err.Error()) > 100_000 {
					t.Errorf("not a bounded list of faults: %T of %d bytes", err, len(err.Error()))
				}
				return
			}
			plan, err := c.Plan()
			if err != nil {
				t.Fatalf("read without a fault, and then: %v", err)
			}
			for _, p := range plan.Phases {
				for _, x := range []float64{p.Start, p.Duration, p.Position, p.Speed, p.Acceleration} {
					if math.IsNaN(x) || math.IsInf(x, 0) {
						t.Fatalf("a phase of %+v", p)
					}
				}
			}
		})
	}
}
