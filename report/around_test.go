package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
	"example.org/dray/sizing/explore"
)

// fixtureHeadroom has an item of every kind: bounded, without end, not to be
// asked; and the reverse, with and without a way out.
func fixtureHeadroom(c *sizing.Candidate) *explore.Headroom {
	n := nan()
	if c.Verdict == sizing.Fails {
		return &explore.Headroom{Candidate: c, Items: []explore.Room{
			{Quantity: "payload", Unit: "kg", Now: 0, Limit: -6.5, Gives: int(sizing.CheckFuse), Down: true, End: -38, Rests: n, Why: "the worst 10 s carry 21.3 A rms"},
			{Quantity: "incline", Unit: "rad", Now: 0.157, Limit: n, Gives: -1, Down: true, End: 0, Rests: n},
			{Quantity: "speed", Unit: "m/s", Now: 0.9, Limit: 0.81, Gives: int(sizing.CheckFuse), Down: true, End: 0.009, Rests: n},
			{Quantity: "acceleration", Unit: "m/s^2", Now: 0.35, Limit: 0.2, Gives: int(sizing.CheckFuse), Down: true, End: 0.0035, Rests: n},
			{Quantity: "air", Unit: "degC", Now: 34, Limit: 12.5, Gives: int(sizing.CheckFuse), Down: true, End: -20, Rests: n},
			{Quantity: "duty_share", Unit: "1", Now: 0.47, Limit: 0.3, Gives: int(sizing.CheckFuse), Down: true, End: 0.01, Rests: 2.1},
		}}
	}
	return &explore.Headroom{Candidate: c, Items: []explore.Room{
		{Quantity: "payload", Unit: "kg", Now: 0, Limit: 4.25, Gives: int(sizing.CheckControllerCurrent), End: 1560, Rests: n, Why: "the worst 10 s carry 21 A rms; the controller stands 20 A for that long"},
		{Quantity: "incline", Unit: "rad", Now: n, Limit: n, Gives: -1, End: n, Rests: n, Reason: "a hoist knows no incline"},
		{Quantity: "speed", Unit: "rad/s", Now: 1.2, Limit: 1.5, Gives: int(sizing.CheckSpeed), End: 12, Rests: n},
		{Quantity: "acceleration", Unit: "rad/s^2", Now: 2, Limit: 40, Gives: -1, End: 40, Rests: n},
		{Quantity: "air", Unit: "degC", Now: 34, Limit: 44.5, Gives: int(sizing.CheckWinding), End: 85, Rests: n},
		{Quantity: "duty_share", Unit: "1", Now: 0.47, Limit: 0.8, Gives: int(sizing.CheckRuntime), End: 1, Rests: 0.25},
	}}
}

func fixtureRatios(c *sizing.Candidate, window bool) *explore.Ratios {
	r := &explore.Ratios{Pick: c.Pick, ID: c.ID, Ratio: 27, StageRatio: 1, From: 0.1, To: 10000, Notes: []string{"the ratio of the gear train is varied"},
		OnOffer: []explore.Offer{{ID: "gm37-27", Candidate: c.ID, Ratio: 27, Inside: true, Verdict: sizing.Holds, Failure: -1},
			{ID: "gm37-71", Candidate: "gm37-71+b+c", Ratio: 71, Verdict: sizing.Fails, Failure: int(sizing.CheckSpeed), WhyNot: "speed: reaches 62 % of what is asked"}}}
	if window {
		r.Windows = []explore.Window{{From: explore.Edge{Ratio: 18.25, SetBy: int(sizing.CheckWinding), Why: "the winding peaks at 120 °C; its limit is 120 °C"}, To: explore.Edge{Ratio: 31.5, SetBy: int(sizing.CheckSpeed), Why: "leg \"aisle\" reaches 95 %"}},
			{From: explore.Edge{Ratio: 40, SetBy: int(sizing.CheckGrip)}, To: explore.Edge{Ratio: 10000, SetBy: -1}}}
		r.Best = []explore.Optimum{{Objective: "thermal_margin", Ratio: 22, Value: 0.41}, {Objective: "current", Ratio: 24, Value: 3.2}, {Objective: "runtime", Ratio: nan(), Value: nan()}}
		r.Teeth = []explore.TeethPair{{Driver: 14, Driven: 12, Ratio: 23.1, ThermalMargin: 0.4, Verdict: sizing.Tight}}
		return r
	}
	speed := []explore.Window{{From: explore.Edge{Ratio: 0.1, SetBy: -1}, To: explore.Edge{Ratio: 20, SetBy: int(sizing.CheckSpeed)}}}
	heat := []explore.Window{{From: explore.Edge{Ratio: 33, SetBy: int(sizing.CheckWinding)}, To: explore.Edge{Ratio: 10000, SetBy: -1}}}
	r.Conflict = &explore.Conflict{Always: []sizing.CheckName{sizing.CheckRuntime}, Speed: speed, Torque: heat,
		Each:  []explore.CheckWindows{{Name: sizing.CheckSpeed, Windows: speed}, {Name: sizing.CheckWinding, Windows: heat}, {Name: sizing.CheckGrip}},
		Least: heat[0].From, Most: speed[0].To}
	return r
}

// aroundTexts renders headroom and ratios of a passing and a failing pick.
func aroundTexts(t *testing.T, s Style) (texts []string) {
	t.Helper()
	f := fixtureField()
	for _, i := range []int{0, 3} {
		c := &f.Candidates[i]
		texts = append(texts, rendered(t, func(b *bytes.Buffer) error { return Headroom(b, f, fixtureHeadroom(c), s) }),
			rendered(t, func(b *bytes.Buffer) error { return Ratios(b, f, fixtureRatios(c, i == 0), s) }))
	}
	return texts
}

func TestHeadroomAndRatiosStandAsApproved(t *testing.T) {
	for _, s := range []struct {
		name string
		Style
	}{{"around_80.txt", Style{Width: 80}}, {"around_us.md", Style{Format: MD, Display: quantity.US}}, {"around.json", Style{Format: JSON}}, {"around.csv", Style{Format: CSV}}} {
		golden(t, s.name, strings.Join(aroundTexts(t, s.Style), "\n"))
	}
}

func TestHeadroomAndRatiosKeepToThePage(t *testing.T) {
	for width := leastWidth; width <= 160; width += 11 {
		for _, display := range []quantity.Display{quantity.SI, quantity.Metric, quantity.US} {
			for _, text := range aroundTexts(t, Style{Width: width, Display: display}) {
				for _, line := range strings.Split(text, "\n") {
					if n := utf8.RuneCountInString(line); n > width {
						t.Errorf("width %d: %d characters in %q", width, n, line)
					}
				}
			}
		}
	}
}

// The JSON of ratios and headroom has the names, and the nulls, that outside
// readers rely on.
func TestHeadroomAndRatiosKeepTheirJSONNames(t *testing.T) {
	texts := aroundTexts(t, Style{Format: JSON})
	var room struct {
		Items []map[string]any `json:"items"`
	}
	if err := json.Unmarshal([]byte(texts[0]), &room); err != nil {
		t.Fatal(err)
	}
	for i, quantity := range []string{"payload", "incline", "speed", "acceleration", "air", "duty_share"} {
		for _, key := range []string{"quantity", "now", "limit", "unit", "gives"} {
			if _, ok := room.Items[i][key]; !ok {
				t.Errorf("%s has no %s", quantity, key)
			}
		}
		if room.Items[i]["quantity"] != quantity {
			t.Errorf("item %d is %v", i, room.Items[i]["quantity"])
		}
	}
	if room.Items[3]["gives"] != nil || room.Items[3]["limit"] != 40.0 || room.Items[1]["limit"] != nil || room.Items[0]["gives"] != "controller current" {
		t.Errorf("%v", room.Items)
	}
	var ratios struct {
		Windows []map[string]any `json:"windows"`
		Best    []map[string]any `json:"best"`
		OnOffer []map[string]any `json:"on_offer"`
	}
	if err := json.Unmarshal([]byte(texts[1]), &ratios); err != nil {
		t.Fatal(err)
	}
	w := ratios.Windows[1]
	if w["from"] != 40.0 || w["from_set_by"] != "grip" || w["to_set_by"] != nil || ratios.Best[0]["objective"] != "thermal_margin" || ratios.Best[2]["ratio"] != nil || ratios.OnOffer[1]["inside"] != false || ratios.OnOffer[0]["id"] != "gm37-27" {
		t.Errorf("%v", ratios)
	}
	if !strings.Contains(texts[3], `"windows": []`) || !strings.Contains(texts[2], `"cannot pass by this alone"`) {
		t.Error("no window, or no way out, is not said")
	}
	for _, text := range aroundTexts(t, Style{Format: CSV}) {
		if _, err := csv.NewReader(strings.NewReader(text)).ReadAll(); err != nil {
			t.Error(err)
		}
	}
	f := fixtureField()
	if Ratios(&bytes.Buffer{}, f, fixtureRatios(&f.Candidates[0], true), Style{Format: "xml"}) == nil || Headroom(&bytes.Buffer{}, f, fixtureHeadroom(&f.Candidates[0]), Style{Format: "xml"}) == nil {
		t.Error("an unknown format is no error")
	}
}

// A further stage shows torque and speed on both sides, and a reversed one is
// asked about.
func TestAFurtherStageShowsBothSides(t *testing.T) {
	f := fixtureField()
	c := &f.Candidates[0]
	for _, g := range []loadcases.Stage{{ID: "8x20", Ratio: 2.5, Efficiency: 0.95, DriverTeeth: 8, DrivenTeeth: 20}, {ID: "x0.4", Ratio: 0.4, Efficiency: 0.95}} {
		c.Stage = &g
		c.TotalRatio = 27 * g.Ratio
		text := rendered(t, func(b *bytes.Buffer) error { return Check(b, f, c, Style{Width: 120}) })
		speed, torque := c.LoadSide(c.Legs[0].Steady)
		if math.Abs(speed*g.Ratio/7-1) > 1e-12 || math.Abs(torque/(1.62*g.Ratio*0.95)-1) > 1e-12 {
			t.Errorf("load side is %g rad/s and %g N·m", speed, torque)
		}
		for _, want := range []string{figure(speed * 30 / math.Pi), figure(torque), fmt.Sprintf("in all %s motor turns", figure(27*g.Ratio))} {
			if !strings.Contains(strings.ReplaceAll(text, "\n", " "), want) {
				t.Errorf("stage %s: %q is not shown", g.ID, want)
			}
		}
		if strings.Contains(text, "the wrong way") != (g.Ratio < 1) {
			t.Errorf("stage %s: asked about its direction: %v", g.ID, g.Ratio > 1)
		}
	}
	driven := sizing.State{OutputSpeed: -7, OutputTorque: 2}
	if _, torque := c.LoadSide(driven); math.Abs(torque-2*0.4/(2-1/0.95)) > 1e-12 {
		t.Errorf("a load that drives stands behind ηb: %g", torque)
	}
}

// A failing candidate's reasons are in the table and in the JSON, in words.
func TestReasonsAreShownWithWhatWouldSave(t *testing.T) {
	f := fixtureField()
	c := &f.Candidates[3]
	c.Detail = fixtureDetail()
	c.Detail.Reasons = &sizing.Reasons{
		Fails: []sizing.Reason{{Name: sizing.CheckFuse, Margin: -0.23, Why: "the worst 10 s"}},
		Changes: []sizing.Change{
			{Kind: "fuse", From: 15, To: 20, Unit: "A", Rests: nan()},
			{Kind: "supply lead", From: nan(), To: nan(), Rests: nan(), Words: "14 AWG to 12 AWG"},
			{Kind: "speed", From: 0.9, To: 0.81, Unit: "m/s", Rests: nan(), Size: 0.1},
			{Kind: "ratio", From: nan(), To: nan(), Rests: nan(), Words: "a-27 to a-50 (in all 27:1 to 50:1)", ID: "a-50+b+c"},
			{Kind: "duty_share", From: 0.5, To: 0.25, Unit: "1", Rests: 3}},
	}
	text := rendered(t, func(b *bytes.Buffer) error { return Check(b, f, c, Style{}) })
	for _, want := range []string{"fuse opening by 23 %", "a fuse of 20 A instead of 15 A", "14 AWG to 12 AWG", "slower: 0.81 m/s", "a-50+b+c", "3 times as long"} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
			t.Errorf("%q is not said in\n%s", want, text)
		}
	}
	var out struct {
		WhyNot struct {
			Fails    []map[string]any `json:"fails"`
			Changes  []map[string]any `json:"changes"`
			Smallest string           `json:"smallest"`
		} `json:"why_not"`
		Stages []any `json:"stages"`
	}
	if err := json.Unmarshal([]byte(rendered(t, func(b *bytes.Buffer) error { return Check(b, f, c, Style{Format: JSON}) })), &out); err != nil {
		t.Fatal(err)
	}
	if out.WhyNot.Smallest != "a fuse of 20 A instead of 15 A" || len(out.WhyNot.Changes) != 5 || out.WhyNot.Fails[0]["name"] != "fuse opening" || len(out.Stages) != 2 {
		t.Errorf("%+v", out)
	}
	c.Detail.Reasons.Changes = nil
	if text := rendered(t, func(b *bytes.Buffer) error { return Check(b, f, c, Style{}) }); !strings.Contains(text, "no single change saves it") {
		t.Error("no way out is not said")
	}
}
