package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"example.org/dray/quantity"
	"example.org/dray/sizing"
	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "rewrite the golden renderings")

func rendered(t *testing.T, write func(*bytes.Buffer) error) string {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s differs (rerun with -update if it should):\n%s", name, diff)
	}
}

func TestRenderingsStandAsApproved(t *testing.T) {
	for _, width := range []int{80, 120} {
		s := Style{Width: width, Top: 20}
		golden(t, fmt.Sprintf("rank_%d.txt", width), rendered(t, func(b *bytes.Buffer) error { return Rank(b, fixtureField(), s) }))
		f := fixtureField()
		golden(t, fmt.Sprintf("check_%d.txt", width), rendered(t, func(b *bytes.Buffer) error { return Check(b, f, &f.Candidates[0], s) }))
	}
	f := fixtureField()
	golden(t, "rank.md", rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{Format: MD}) }))
	golden(t, "check.md", rendered(t, func(b *bytes.Buffer) error { return Check(b, f, &f.Candidates[0], Style{Format: MD}) }))
	golden(t, "rank.json", rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{Format: JSON}) }))
	golden(t, "rank.csv", rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{Format: CSV}) }))
}

func TestNoLineOfATableIsWiderThanThePage(t *testing.T) {
	for width := leastWidth; width <= 200; width += 7 {
		for _, display := range []quantity.Display{quantity.SI, quantity.Metric, quantity.US} {
			s := Style{Width: width, Display: display}
			f := fixtureField()
			text := rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, s) })
			for i := range f.Candidates {
				text += rendered(t, func(b *bytes.Buffer) error { return Check(b, f, &f.Candidates[i], s) })
			}
			for _, line := range strings.Split(text, "\n") {
				if n := utf8.RuneCountInString(line); n > width {
					t.Errorf("width %d: %d characters in %q", width, n, line)
				}
			}
		}
	}
}

func TestColourOnlyAddsToTheWords(t *testing.T) {
	f := fixtureField()
	without := rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{}) })
	with := rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{Colour: true}) })
	if strings.Contains(without, "\x1b") {
		t.Error("escape codes in a table without colour")
	}
	if with == without {
		t.Error("no colour in a table with colour")
	}
	bare := strings.NewReplacer("\x1b[32m", "", "\x1b[33m", "", "\x1b[31m", "", "\x1b[0m", "").Replace(with)
	if diff := cmp.Diff(without, bare); diff != "" {
		t.Errorf("colour changes more than colour:\n%s", diff)
	}
}

func TestTextFromFilesCannotSteerTheTerminal(t *testing.T) {
	f := fixtureField()
	f.Title = "evil\x1b[2Jtitle"
	f.Warnings = []string{"a\x1b]0;x\x07b"}
	f.Candidates[0].ID = "m\x1b[31m+b+c"
	f.Candidates[0].Legs[0].Name = "leg\x1b[1m"
	f.Candidates[0].Footnotes = []string{"n\x1b[5m"}
	text := rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{}) }) +
		rendered(t, func(b *bytes.Buffer) error { return Check(b, f, &f.Candidates[0], Style{}) }) +
		rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{Format: MD}) })
	if strings.ContainsAny(text, "\x1b\x07") {
		t.Errorf("a control character came through")
	}
}

func TestAShortTableSaysHowManyItHides(t *testing.T) {
	f := fixtureField()
	for range 40 {
		f.Candidates = append(f.Candidates, f.Candidates[0], f.Candidates[3])
	}
	text := rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{Top: 20}) })
	for _, want := range []string{"… and 22 more (--all)", "… and 32 more (--all)", "85 candidates:"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q missing", want)
		}
	}
	all := rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{Format: MD, Top: 20}) })
	if strings.Contains(all, "--all") {
		t.Error("Markdown hides candidates")
	}
}

func TestEveryRenderingShowsTheWarningsAndFootnotes(t *testing.T) {
	f := fixtureField()
	for _, format := range []Format{Table, MD, JSON} {
		for _, text := range []string{
			rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{Format: format, Width: 400}) }),
			rendered(t, func(b *bytes.Buffer) error { return Check(b, f, &f.Candidates[1], Style{Format: format, Width: 400}) }),
		} {
			for _, want := range []string{"the supply could give 118 W", "gross stall quotient", "rotor inertia blank", "ripple heat is left out"} {
				if !strings.Contains(text, want) {
					t.Errorf("%s: %q missing", format, want)
				}
			}
		}
	}
}

// keysOf decodes an object and reports the names missing from it.
func missing(t *testing.T, object any, names string) {
	t.Helper()
	m, ok := object.(map[string]any)
	if !ok {
		t.Fatalf("not an object: %v", object)
	}
	for _, name := range strings.Fields(names) {
		if _, there := m[name]; !there {
			t.Errorf("%q missing", name)
		}
	}
}

const candidateNames = `rank id motor gear_train ratio stage_ratio battery controller verdict first_failure dominated score price mass_kg parts
	thermal_margin winding_peak_degC winding_mean_degC housing_peak_degC motor_current_rms_A motor_current_peak_A battery_current_mean_A
	battery_current_rms_A battery_current_peak_A bus_voltage_min_V runtime_h runtime_ends_by constants legs checks`

func TestJSONHasTheNamesOutsideReadersRelyOn(t *testing.T) {
	f := fixtureField()
	var field, check map[string]any
	decode(t, rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{Format: JSON}) }), &field)
	missing(t, any(field), "title warnings footnotes candidates")
	for _, c := range field["candidates"].([]any) {
		missing(t, c, candidateNames)
		if _, there := c.(map[string]any)["envelope"]; there {
			t.Error("rank carries the detail of one candidate")
		}
	}
	decode(t, rendered(t, func(b *bytes.Buffer) error { return Check(b, f, &f.Candidates[0], Style{Format: JSON}) }), &check)
	missing(t, any(check), candidateNames+" envelope start reversal jam firmware warnings")
	missing(t, check["constants"], "resistance_ohm k_Vs_per_rad no_load_current_A gear_efficiency back_efficiency rotor_inertia_kgm2 inductance_H reference_temp_degC winding_limit_degC")
	missing(t, check["constants"].(map[string]any)["resistance_ohm"], "value basis note")
	leg := check["legs"].([]any)[0].(map[string]any)
	missing(t, any(leg), "name start_s duration_s steady peak reached shortfall limited_by")
	for _, state := range []string{"steady", "peak"} {
		missing(t, leg[state], "output_speed_rad_per_s output_torque_Nm motor_current_A motor_voltage_V command_percent pulse_us bus_voltage_V battery_current_A")
	}
	missing(t, check["checks"].([]any)[0], "name value limit unit margin verdict at_s basis why")
	missing(t, check["envelope"], "window_s elements")
	missing(t, check["envelope"].(map[string]any)["elements"].([]any)[0], "name duty_A stands_A utilisation worst_window_s")
	missing(t, check["start"], "current_A bus_voltage_V")
	missing(t, check["jam"], "current_A battery_current_A events protected")
	missing(t, check["jam"].(map[string]any)["events"].([]any)[0], "after_s what")
}

func decode(t *testing.T, text string, into any) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), into); err != nil {
		t.Fatalf("%v in %s", err, text)
	}
}

func TestUnknownIsNullAndNumbersKeepFullPrecision(t *testing.T) {
	f := fixtureField()
	var field struct{ Candidates []map[string]any }
	decode(t, rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{Format: JSON}) }), &field)
	best, never, dark, hot := field.Candidates[0], field.Candidates[1], field.Candidates[2], field.Candidates[4]
	if best["score"] != 0.8123456789012 {
		t.Errorf("score %v lost digits", best["score"])
	}
	if best["first_failure"] != nil || field.Candidates[3]["first_failure"] != "fuse opening" {
		t.Errorf("first failures %v and %v", best["first_failure"], field.Candidates[3]["first_failure"])
	}
	if never["runtime_h"] != nil || never["runtime_ends_by"] != "never" {
		t.Errorf("endless runtime is %v, %v", never["runtime_h"], never["runtime_ends_by"])
	}
	if dark["winding_peak_degC"] != nil || dark["thermal_margin"] != nil || dark["verdict"] != "unknown" {
		t.Errorf("unknown winding is %v, %v, %v", dark["winding_peak_degC"], dark["thermal_margin"], dark["verdict"])
	}
	if hot["winding_peak_degC"] != nil || hot["thermal_runaway"] != true {
		t.Errorf("runaway is %v, %v", hot["winding_peak_degC"], hot["thermal_runaway"])
	}
}

func TestCSVHasOneRowPerCandidateWhateverTheUnits(t *testing.T) {
	f := fixtureField()
	text := rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{Format: CSV, Display: quantity.US, Top: 1}) })
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 1+len(f.Candidates) {
		t.Fatalf("%d rows for %d candidates", len(rows), len(f.Candidates))
	}
	for i, name := range rows[0] {
		if name == "winding_peak_degC" && rows[1][i] != "90.6" {
			t.Errorf("winding peak %q, want 90.6 in SI", rows[1][i])
		}
		if name == "runtime_h" && rows[2][i] != "" {
			t.Errorf("endless runtime %q, want empty", rows[2][i])
		}
	}
}

func TestAnEmptyFieldSaysSo(t *testing.T) {
	f := &sizing.Field{Title: "nothing"}
	text := rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{}) })
	if !strings.Contains(text, "no candidate") {
		t.Errorf("got %q", text)
	}
	var field map[string]any
	decode(t, rendered(t, func(b *bytes.Buffer) error { return Rank(b, f, Style{Format: JSON}) }), &field)
	if _, ok := field["candidates"].([]any); !ok {
		t.Errorf("candidates is %v, want an empty array", field["candidates"])
	}
}

func TestAnUnknownFormatIsAnError(t *testing.T) {
	if err := Rank(&bytes.Buffer{}, fixtureField(), Style{Format: "xml"}); err == nil {
		t.Error("xml was accepted")
	}
}
