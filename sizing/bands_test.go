package sizing_test

import (
	"testing"

	"example.org/dray/internal/demo"
	"example.org/dray/sizing"
)

// TestFallingBehindGrowsWithTheSpeedAsked scales the arm's speed through the
// point where its voltage no longer suffices: the worst leg's missing share must
// grow smoothly, with no thin band in which the march loses its way.
func TestFallingBehindGrowsWithTheSpeedAsked(t *testing.T) {
	c, cat := demo.Load(t, "arm")
	picks, err := sizing.Picks(c, cat)
	if err != nil {
		t.Fatal(err)
	}
	at := func(f float64) *sizing.Judge {
		scaled := c.Clone()
		scaled.ScaleSpeed(f)
		j, err := sizing.NewJudge(scaled)
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
	slow, tried := at(0.6), map[string]bool{}
	var out sizing.Candidate
	for i := range picks {
		if tried[picks[i].Motor.ID] || len(tried) == 3 {
			continue
		}
		if slow.Evaluate(picks[i], &out); out.Checks[0].Margin == 1 && !out.ThermalRunaway {
			tried[picks[i].Motor.ID] = true
			sweep(t, picks[i], at)
		}
	}
}

func sweep(t *testing.T, p sizing.Pick, at func(float64) *sizing.Judge) {
	var out sizing.Candidate
	last, began := 0.0, 0.0
	for f := 0.6; f < 4; f *= 1.006 {
		at(f).Evaluate(p, &out)
		worst := 0.0
		for _, l := range out.Legs {
			worst = max(worst, l.Shortfall)
			if l.Abandoned && worst < 0.5 && f < 1.2*began {
				t.Fatalf("%s: at %.4f times the speed leg %q is given up", p.Motor.ID, f, l.Name)
			}
		}
		if worst > last+0.03 || worst < last-0.01 {
			t.Fatalf("%s: at %.4f times the speed %.4f is missing, just below %.4f", p.Motor.ID, f, worst, last)
		}
		if worst > 0 && began == 0 {
			began = f
		}
		last = worst
		if worst > 0.3 {
			break
		}
	}
	if began == 0 {
		t.Errorf("%s never fell behind: the sweep tests nothing", p.Motor.ID)
	}
}
