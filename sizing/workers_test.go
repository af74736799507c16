package sizing_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"example.org/dray/internal/demo"
	"example.org/dray/sizing"
)

func TestAFieldIsTheSameToTheBitForAnyNumberOfWorkers(t *testing.T) {
	c, cat := demo.Load(t, "cart")
	few := *cat
	few.Motors = nil
	for _, m := range cat.Motors {
		if strings.HasPrefix(m.ID, "maple") || strings.HasPrefix(m.ID, "cedar") || strings.HasPrefix(m.ID, "rowan") {
			few.Motors = append(few.Motors, m)
		}
	}
	rank := func(workers int) *sizing.Field {
		f, err := sizing.Rank(context.Background(), c, &few, sizing.Options{Workers: workers})
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	one := rank(1)
	for _, workers := range []int{2, 5, 16} {
		many := rank(workers)
		for i := range one.Candidates {
			if a, b := bits(&one.Candidates[i]), bits(&many.Candidates[i]); a != b {
				t.Fatalf("%d workers, place %d: %s and %s differ, or their numbers do", workers, i+1, one.Candidates[i].ID, many.Candidates[i].ID)
			}
		}
	}
}

// bits writes a candidate's numbers to the last bit.
func bits(c *sizing.Candidate) string {
	var b strings.Builder
	b.WriteString(c.ID)
	add := func(xs ...float64) {
		for _, x := range xs {
			v := math.Float64bits(x)
			for range 8 {
				b.WriteByte(byte(v))
				v >>= 8
			}
		}
	}
	add(c.Score, c.WindingPeak, c.WindingMean, c.HousingPeak, c.MotorCurrentRMS, c.MotorCurrentPeak, c.BatteryCurrentMean, c.BatteryCurrentRMS,
		c.BatteryCurrentPeak, c.BusVoltageMin, c.Runtime, c.CycleTime, float64(c.Verdict), float64(c.Rank))
	for i := range c.Checks {
		k := &c.Checks[i]
		add(float64(k.Name), k.Value, k.Limit, k.Margin, k.At, k.Window)
	}
	for i := range c.Legs {
		l := &c.Legs[i]
		add(l.Start, l.Duration, l.Reached, l.Shortfall, l.Steady.MotorCurrent, l.Steady.Command, l.Peak.MotorCurrent)
	}
	return b.String()
}
