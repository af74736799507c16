package verify

import (
	"context"
	"testing"

	"example.org/dray/loadcases"
	"example.org/dray/sizing"
)

// Tightening the march's tolerance by a hundred and halving its loops' time
// constants changes nothing beyond a tenth of what is asked of the engine.
func TestTheMarchHasConverged(t *testing.T) {
	for _, d := range duties() {
		if d.runaway {
			continue
		}
		t.Run(d.name, func(t *testing.T) {
			want := solve(t, d)
			d.machine.Rel, d.machine.Follow = 1e-10, 0.5e-3
			d.machine.Legs = append([]leg(nil), d.machine.Legs...)
			got := solve(t, d)
			near(t, "winding peak", got.peakW, want.peakW, 0.03)
			near(t, "winding mean", got.meanW, want.meanW, 0.03)
			near(t, "housing peak", got.peakH, want.peakH, 0.03)
			share(t, "rms", got.rms, want.rms, 0.0004, 0)
			share(t, "peak", got.peakI, want.peakI, 0.001, 0)
			share(t, "charge", got.charge, want.charge, 0.0006, want.rmsBus*want.time/3)
			share(t, "time", got.time, want.time, 0.0005, 0)
		})
	}
}

// Cutting every leg in two makes the engine take at least twice the nodes
// over the same motion; what it answers stays within the model's tolerances.
func TestTwiceTheNodesChangeNothing(t *testing.T) {
	for _, d := range duties() {
		if d.runaway || d.machine.Legs[0].kind == move || d.name == "stall" { // moves cannot be cut; a stalled leg gives up by its own length
			continue
		}
		t.Run(d.name, func(t *testing.T) {
			want := asRun(examine(t, d.name, d.pick))
			c, cat := readCase(t, d.name, nil)
			only(cat, d.pick)
			c.Legs = halved(c.Legs)
			_, k, err := sizing.Examine(context.Background(), c, cat, d.pick)
			if err != nil {
				t.Fatal(err)
			}
			got := asRun(k)
			share(t, "cycle time", got.time, want.time, 0.001, 0)
			near(t, "winding peak", got.peakW, want.peakW, 0.1)
			near(t, "winding mean", got.meanW, want.meanW, 0.1)
			near(t, "housing peak", got.peakH, want.peakH, 0.1)
			share(t, "rms", got.rms, want.rms, 0.0007, 0)
			share(t, "peak", got.peakI, want.peakI, 0.0007, 0)
			share(t, "charge", got.charge, want.charge, 0.001, want.rmsBus*want.time/3)
		})
	}
}

// halved cuts legs in two: the second half carries on at the same command.
func halved(legs []loadcases.Leg) []loadcases.Leg {
	var out []loadcases.Leg
	for _, l := range legs {
		l.Distance, l.For = l.Distance/2, l.For/2
		out = append(out, l, l)
	}
	return out
}
