package explore

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/sizing"
)

// bruteForce holds the windows of a pick against a scan that knows nothing of
// searching: apart from 0.2 % around an edge a ratio passes exactly inside.
func bruteForce(t *testing.T, c *loadcases.Case, p sizing.Pick, r *Ratios, count int, from, to float64) {
	t.Helper()
	j, err := sizing.NewJudge(c)
	if err != nil {
		t.Fatal(err)
	}
	var out sizing.Candidate
	for i := range count {
		ratio := from * math.Pow(to/from, float64(i)/float64(count-1))
		near := false
		for _, w := range r.Windows {
			near = near || math.Abs(ratio/w.From.Ratio-1) < 0.002 || math.Abs(ratio/w.To.Ratio-1) < 0.002
		}
		if near {
			continue
		}
		j.Evaluate(withRatio(p, ratio), &out)
		if passes := out.Verdict != sizing.Fails; passes != inside(ratio, r.Windows) {
			t.Errorf("%s at %.6g: passes %v, first failure %d; the windows are %v", r.ID, ratio, passes, out.FirstFailure, r.Windows)
		}
	}
	for _, w := range r.Windows {
		for _, e := range []struct {
			Edge
			out float64
		}{{w.From, 0.998}, {w.To, 1.002}} {
			if e.SetBy < 0 {
				continue
			}
			j.Evaluate(withRatio(p, e.Ratio), &out)
			if out.Verdict == sizing.Fails {
				t.Errorf("%s fails at its edge %g", r.ID, e.Ratio)
			}
			j.Evaluate(withRatio(p, e.Ratio*e.out), &out)
			if l := lookAt(0, &out); !l.failing().has(sizing.CheckName(e.SetBy)) {
				t.Errorf("%s: %v does not fail 0.2 %% outside %g, failing are %b", r.ID, sizing.CheckName(e.SetBy), e.Ratio, l.failing())
			}
		}
	}
}

func TestAWindowIsWhatAScanSees(t *testing.T) {
	for _, d := range []struct {
		demo, id string
		count    int
		windows  int
	}{
		{"cart", "poplar-24-l+ring-33+iris-fe-24+midge-1x6", 300, 1},
		{"cart", "maple-24-52p6+sedge-li-24+heron-2x24", 300, -1},
		{"cart", "larch-24-f+ring-79+reed-pb-12+heron-2x24", 100, 0},
		{"hoist", "poplar-24-l+spiral-36+iris-fe-24+robin-2x12-n", 300, 1},
		{"hoist", "rowan-12-72p8+iris-fe-24+midge-1x6", 300, -1},
		{"arm", "maple-24-161+x2.6+iris-fe-24+midge-1x6", 60, 1},
	} {
		t.Run(d.demo+" "+d.id, func(t *testing.T) {
			c, cat, p := demoPick(t, d.demo, d.id)
			r, err := FindRatios(context.Background(), c, cat, p)
			if err != nil {
				t.Fatal(err)
			}
			if d.windows >= 0 && len(r.Windows) != d.windows || (len(r.Windows) == 0) != (r.Conflict != nil) {
				t.Errorf("%d windows and conflict %v, want %d windows", len(r.Windows), r.Conflict != nil, d.windows)
			}
			from, to := r.Ratio/4, r.Ratio*4
			if len(r.Windows) > 0 {
				from, to = r.Windows[0].From.Ratio/1.5, r.Windows[len(r.Windows)-1].To.Ratio*1.5
			}
			bruteForce(t, c, p, r, d.count, from, to)
		})
	}
}

// Random carts with random motors: whatever windows there are, a scan sees the
// same ones. The generator's seed is fixed.
func TestWindowsOfRandomCartsAreWhatAScanSees(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 41))
	u := func(a, b float64) float64 { return a * math.Pow(b/a, rng.Float64()) }
	found := 0
	for range 10 {
		text := fmt.Sprintf(`title: random
mechanism: { wheels: { mass: %.3g kg, payload: %.3g kg, wheel_diameter: %.3g mm, motors: 2, rolling_resistance: %.3g } }
duty: { acceleration: %.3g m/s^2, legs: [ { speed: %.3g m/s, distance: %.3g m }, { speed: %.3g m/s, distance: %.3g m, incline: %.3g deg }, { rest: %.3g s } ] }
supply: { batteries: any, controllers: any, fuse: { rating: 20 A, type: C } }
catalogs: { motors: m.csv, batteries: b.csv, controllers: k.csv }
`, u(10, 60), u(2, 30), u(120, 400), u(0.01, 0.06), u(0.2, 1), u(0.4, 1.5), u(5, 40), u(0.3, 1), u(2, 15), u(2, 14), u(5, 90))
		k, r := u(0.01, 0.05), u(0.08, 0.8)
		motors := fmt.Sprintf("id,nominal_voltage [V],ratio,measured_at,gear_efficiency,no_load_speed [rpm],no_load_current [A],stall_torque [N·m],stall_current [A],gear_torque_continuous [N·m],gear_input_speed_max [rpm],mass [g]\nm,24,30,motor,%.3g,%.6g,%.3g,%.6g,%.6g,%.3g,%.4g,%.3g\n",
			u(0.5, 0.9), (24-0.3*r)/k*30/math.Pi, 0.3, k*(24/r-0.3), 24/r, u(5, 30), u(4000, 12000), u(250, 900))
		c, cat := made(t, text, motors, "")
		picks, err := sizing.Picks(c, cat)
		if err != nil {
			t.Fatal(err)
		}
		answer, err := FindRatios(context.Background(), c, cat, picks[0])
		if err != nil {
			t.Fatal(err)
		}
		found += len(answer.Windows)
		bruteForce(t, c, picks[0], answer, 80, 2, 400)
	}
	if found < 3 {
		t.Errorf("only %d windows among ten carts: the test sees too little", found)
	}
}

// made reads a case and catalogs written in the test; one stiff pack and one
// strong controller stand beside the motors.
func made(t testing.TB, text, motors, trains string) (*loadcases.Case, *catalog.Catalog) {
	t.Helper()
	c, err := loadcases.Read("case.yaml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	files := catalog.Files{
		Motors:      []catalog.CSV{{Name: "m.csv", Data: []byte(motors)}},
		Batteries:   []catalog.CSV{{Name: "b.csv", Data: []byte("id,chemistry,cells,nominal_voltage [V],capacity [Ah],resistance [mohm],discharge_continuous [A]\npack,lifepo4,8,25.6,40,20,80\n")}},
		Controllers: []catalog.CSV{{Name: "k.csv", Data: []byte("id,channels,current_continuous [A],current_peak [A],voltage_min [V],voltage_max [V]\nstrong,2,40,80,6,60\n")}},
	}
	if trains != "" {
		files.GearTrains = []catalog.CSV{{Name: "g.csv", Data: []byte(trains)}}
	}
	cat, err := catalog.Read(files)
	if err != nil {
		t.Fatal(err)
	}
	return c, cat
}

// A ratio list in the catalog is the same as the ratio searched: rows just
// inside the edges of the window pass, rows just outside fail by the check named.
func TestRowsAtTheEdgesOfAWindowPassAndFailAsNamed(t *testing.T) {
	text := `title: rows
mechanism: { wheels: { mass: 30 kg, payload: 20 kg, wheel_diameter: 200 mm, motors: 2, rolling_resistance: 0.03 } }
duty: { acceleration: 0.5 m/s^2, legs: [ { speed: 1 m/s, distance: 20 m }, { speed: 0.6 m/s, distance: 8 m, incline: 10 deg }, { rest: 30 s } ] }
supply: { batteries: any, controllers: any }
catalogs: { motors: m.csv, batteries: b.csv, controllers: k.csv }
`
	row := func(ratios string) string {
		return "id,nominal_voltage [V],ratio,measured_at,gear_efficiency,no_load_speed [rpm],no_load_current [A],stall_torque [N·m],stall_current [A],gear_input_speed_max [rpm],mass [g]\n" +
			"m,24," + ratios + ",motor,0.75,6000,0.3,0.9,24,5200,500\n"
	}
	c, cat := made(t, text, row("20"), "")
	picks, err := sizing.Picks(c, cat)
	if err != nil {
		t.Fatal(err)
	}
	r, err := FindRatios(context.Background(), c, cat, picks[0])
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Windows) != 1 || r.Windows[0].From.SetBy < 0 || r.Windows[0].To.SetBy < 0 {
		t.Fatalf("want one window with two edges: %v", r.Windows)
	}
	w := r.Windows[0]
	var list []string
	for _, x := range []float64{w.From.Ratio * 0.998, w.From.Ratio * 1.002, w.To.Ratio * 0.998, w.To.Ratio * 1.002} {
		list = append(list, fmt.Sprintf("%.9f", x))
	}
	c, cat = made(t, text, row(strings.Join(list, ";")), "")
	f, err := sizing.Rank(context.Background(), c, cat, sizing.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for i := range f.Candidates {
		k := &f.Candidates[i]
		in := inside(k.TotalRatio, r.Windows)
		if (k.Verdict != sizing.Fails) != in {
			t.Errorf("row at %g: %v, inside %v of %v", k.TotalRatio, k.Verdict, in, r.Windows)
		}
		if l := lookAt(0, k); !in && !l.failing().has(sizing.CheckName(w.From.SetBy)) && !l.failing().has(sizing.CheckName(w.To.SetBy)) {
			t.Errorf("row at %g fails otherwise than named: %b", k.TotalRatio, l.failing())
		}
	}
}

func TestBestRatiosAreBestInTheirWindows(t *testing.T) {
	c, cat, p := demoPick(t, "cart", "poplar-24-l+ring-33+iris-fe-24+midge-1x6")
	r, err := FindRatios(context.Background(), c, cat, p)
	if err != nil {
		t.Fatal(err)
	}
	j, err := sizing.NewJudge(c)
	if err != nil {
		t.Fatal(err)
	}
	var out sizing.Candidate
	for i := range 80 {
		w := r.Windows[0]
		j.Evaluate(withRatio(p, w.From.Ratio*math.Pow(w.To.Ratio/w.From.Ratio, float64(i)/79)), &out)
		for _, o := range r.Best {
			better := map[string]bool{"thermal_margin": out.ThermalMargin > o.Value+1e-5, "current": out.BatteryCurrentMean < o.Value*(1-1e-5), "runtime": out.Runtime > o.Value*(1+1e-5)}
			if better[o.Objective] {
				t.Errorf("%s is better at %g than at %g", o.Objective, out.TotalRatio, o.Ratio)
			}
		}
	}
}

func TestOffersAreTheFamilyAndToothPairsPass(t *testing.T) {
	c, cat, p := demoPick(t, "cart", "maple-24-52p6+iris-fe-24+heron-2x24")
	r, err := FindRatios(context.Background(), c, cat, p)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.OnOffer) != 6 {
		t.Errorf("maple-24 comes in six ratios: %v", r.OnOffer)
	}
	for _, o := range r.OnOffer {
		if !strings.HasPrefix(o.ID, "maple-24-") || o.Inside != inside(o.Ratio, r.Windows) {
			t.Errorf("%+v", o)
		}
	}
	if len(r.Teeth) == 0 {
		t.Fatal("no tooth pair")
	}
	j, err := sizing.NewJudge(c)
	if err != nil {
		t.Fatal(err)
	}
	for _, pair := range r.Teeth {
		q := p
		q.Stage = &loadcases.Stage{ID: "x", Ratio: float64(pair.Driven) / float64(pair.Driver), Efficiency: 0.95}
		var out sizing.Candidate
		j.Evaluate(q, &out)
		if out.Verdict == sizing.Fails || !inside(out.TotalRatio, r.Windows) || pair.Driver == pair.Driven {
			t.Errorf("%+v: %v at %g", pair, out.Verdict, out.TotalRatio)
		}
	}
}

func TestAPickByMotorIsTheBestRankedWithIt(t *testing.T) {
	c, cat, _ := demoPick(t, "cart", "maple-24-52p6+iris-fe-24+heron-2x24")
	f, err := sizing.Rank(context.Background(), c, cat, sizing.Options{})
	if err != nil {
		t.Fatal(err)
	}
	k, err := BestWith(f, "fern-24", "", "")
	if err != nil {
		t.Fatal(err)
	}
	for i := range f.Candidates[:k.Rank-1] {
		if f.Candidates[i].Motor.Row == "fern-24" {
			t.Errorf("rank %d has the motor too", i+1)
		}
	}
	if k, err = BestWith(f, "fern-24@18.2", "reed-pb-12", "crane-1x48"); err != nil || k.Motor.ID != "fern-24@18.2" || k.Battery.ID != "reed-pb-12" || k.Controller.ID != "crane-1x48" {
		t.Errorf("%v %v", k, err)
	}
	for _, wrong := range [][3]string{{"none", "", ""}, {"fern-24", "none", ""}, {"fern-24", "", "none"}} {
		if _, err := BestWith(f, wrong[0], wrong[1], wrong[2]); err == nil || !strings.Contains(err.Error(), "none") {
			t.Errorf("%v: %v", wrong, err)
		}
	}
}

func BenchmarkRatiosCart(b *testing.B) {
	c, cat, p := demoPick(b, "cart", "poplar-24-l+ring-33+iris-fe-24+midge-1x6")
	for b.Loop() {
		if _, err := FindRatios(context.Background(), c, cat, p); err != nil {
			b.Fatal(err)
		}
	}
}
