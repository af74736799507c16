package sizing_test

import (
	"context"
	"math"
	"testing"

	"example.org/dray/internal/demo"
	"example.org/dray/sizing"
)

// rankDemo ranks a demo's whole field.
func rankDemo(t *testing.T, name string) *sizing.Field {
	t.Helper()
	c, cat := demo.Load(t, name)
	f, err := sizing.Rank(context.Background(), c, cat, sizing.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// group is the candidate's group by the model: fails nothing, unknown, fails.
func group(k *sizing.Candidate) int {
	switch k.Verdict {
	case sizing.Fails:
		return 2
	case sizing.Uncertain:
		return 1
	}
	return 0
}

// The field is ordered by group, then by a score that can be worked out again
// from the three figures and the weights.
func TestTheFieldIsOrderedByGroupAndScore(t *testing.T) {
	for _, name := range []string{"hoist", "cart"} {
		f := rankDemo(t, name)
		low, high := [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}, [3]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
		figures := func(k *sizing.Candidate) [3]float64 {
			return [3]float64{k.ThermalMargin, -k.BatteryCurrentMean, k.Runtime}
		}
		for i := range f.Candidates {
			if k := &f.Candidates[i]; group(k) == 0 {
				for j, x := range figures(k) {
					if !math.IsInf(x, 0) && !math.IsNaN(x) {
						low[j], high[j] = math.Min(low[j], x), math.Max(high[j], x)
					}
				}
			}
		}
		weights := [3]float64{f.Weights.ThermalMargin, f.Weights.Current, f.Weights.Runtime}
		passing := 0
		for i := range f.Candidates {
			k := &f.Candidates[i]
			if k.Rank != i+1 {
				t.Fatalf("%s: rank %d at place %d", name, k.Rank, i+1)
			}
			if i > 0 {
				before := &f.Candidates[i-1]
				if group(before) > group(k) || group(k) == 0 && group(before) == 0 && before.Score < k.Score {
					t.Errorf("%s: %s (group %d, score %g) stands before %s (group %d, score %g)", name, before.ID, group(before), before.Score, k.ID, group(k), k.Score)
				}
			}
			if group(k) != 0 {
				continue
			}
			passing++
			sum, total := 0.0, 0.0
			for j, x := range figures(k) {
				s := 1.0
				if high[j] > low[j] && !math.IsInf(x, 1) {
					s = (x - low[j]) / (high[j] - low[j])
				}
				sum, total = sum+weights[j]*s, total+weights[j]
			}
			if math.Abs(k.Score-sum/total) > 1e-9 {
				t.Errorf("%s: %s scores %g, by hand %g", name, k.ID, k.Score, sum/total)
			}
		}
		if passing < 2 {
			t.Errorf("%s: only %d pass, too few to be ordered", name, passing)
		}
	}
}

// Every margin is the share of its limit that is left: over air for
// temperatures, over the limit for the other ratings.
func TestMarginsAreSharesOfTheirLimits(t *testing.T) {
	seen := map[sizing.CheckName]int{}
	for _, name := range []string{"hoist", "cart"} {
		f := rankDemo(t, name)
		air := float64(f.Case.Air.Value)
		for i := range f.Candidates {
			k := &f.Candidates[i]
			if k.ThermalRunaway {
				continue
			}
			for j := range k.Checks {
				c := &k.Checks[j]
				var want float64
				switch c.Name {
				case sizing.CheckWinding, sizing.CheckHousing:
					want = (c.Limit - c.Value) / (c.Limit - air)
				case sizing.CheckMotorVoltage, sizing.CheckGearContinuous, sizing.CheckGearPeak, sizing.CheckGearInputSpeed, sizing.CheckVoltageDrop:
					want = (c.Limit - c.Value) / c.Limit
				case sizing.CheckBrownOut:
					want = (c.Value - c.Limit) / c.Limit
				default:
					continue
				}
				seen[c.Name]++
				if math.Abs(c.Margin-want) > 1e-9*math.Max(1, math.Abs(want)) {
					t.Fatalf("%s, %s: %v of %g against %g leaves %g, by hand %g", name, k.ID, c.Name, c.Value, c.Limit, c.Margin, want)
				}
			}
		}
	}
	for _, name := range []sizing.CheckName{sizing.CheckWinding, sizing.CheckHousing, sizing.CheckMotorVoltage, sizing.CheckGearContinuous, sizing.CheckGearPeak, sizing.CheckGearInputSpeed} {
		if seen[name] == 0 {
			t.Errorf("no candidate was checked for %v", name)
		}
	}
}
