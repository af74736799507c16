package verify

import (
	"context"
	"math"
	"strings"
	"testing"

	"example.org/dray/sizing"
)

// runtime marches cycle after cycle from a full pack, the charge drained moving
// the open-circuit voltage within every cycle, until the reserve is reached or
// the terminals fall to the cut-off under the cycle's worst load. The
// temperatures start at the periodic state. Hours.
func (m *machine) runtime(reserve, cutOff float64, hot *run) (hours float64, by string) {
	full := *m
	full.Drift, full.Charge = true, 1
	full.Follow = 4e-3 // slow loops: hundreds of cycles of which only charge is read
	full.Legs = append([]leg(nil), m.Legs...)
	s := newSim(&full)
	y := make([]float64, yDim)
	y[yW], y[yH] = hot.startW, hot.startH
	t, above := 0.0, 0.0
	keep := (1 - reserve) * full.Supply.Pack.Capacity
	for {
		before := s.base
		r := s.cycle(y, 0)
		s.base += r.drain
		over := r.terminals - cutOff
		if over < 0 {
			return (t - r.time + r.worstAt + r.time*above/(above-over)) / 3600, "cut_off" // between the worst moments of two cycles
		}
		above = over
		if s.base >= keep {
			return (t + r.time*(keep-before)/(s.base-before)) / 3600, "reserve"
		}
		if r.drain <= 0 {
			return math.Inf(1), "never"
		}
		t += r.time
	}
}

// The runtime of the engine, an integral over charge of one cycle's drain,
// against hundreds of cycles marched with a falling pack. Times 0.5 %.
func TestRuntimeIsTheMarchFromAFullPack(t *testing.T) {
	for _, d := range []duty{steadyClimb(), regeneratingDescent(), furtherStage(), rippleAndListing()} {
		t.Run(d.name, func(t *testing.T) {
			k := examine(t, d.name, d.pick)
			want, by := d.machine.runtime(d.charge, d.cutOff, solve(t, d))
			share(t, "runtime", k.Runtime, want, 0.005, 0)
			if k.RuntimeEndsBy != by {
				t.Errorf("ends by %s, want %s", k.RuntimeEndsBy, by)
			}
		})
	}
}

// The old pack with a Peukert exponent of 1.25, driven gently enough that it
// can follow down to its reserve.
func TestRuntimeOfAnOldPackFollowsPeukert(t *testing.T) {
	d := gently(saggingPack())
	c, cat := readCase(t, d.name, func(s string) string {
		s = strings.ReplaceAll(s, "1.2 m/s^2", "0.3 m/s^2")
		return strings.ReplaceAll(s, "1.3 m/s", "0.5 m/s")
	})
	only(cat, d.pick)
	_, k, err := sizing.Examine(context.Background(), c, cat, d.pick)
	if err != nil {
		t.Fatal(err)
	}
	want, by := d.machine.runtime(0.2, 21, solve(t, d))
	share(t, "runtime", k.Runtime, want, 0.005, 0)
	if k.RuntimeEndsBy != by {
		t.Errorf("ends by %s, want %s", k.RuntimeEndsBy, by)
	}
}

// gently slows the duty's legs to half a metre a second.
func gently(d duty) duty {
	for i := range d.machine.Legs {
		l := &d.machine.Legs[i]
		l.acceleration = 0.3
		if l.kind == drive {
			l.speed = math.Copysign(0.5, l.speed)
		}
	}
	return d
}

// The lowest bus voltage is that of the hottest cycle at reserve charge.
func TestLowestBusIsThatOfTheMarchAtReserve(t *testing.T) {
	for _, d := range []duty{steadyClimb(), regeneratingDescent(), furtherStage(), gently(saggingPack())} {
		t.Run(d.name, func(t *testing.T) {
			hot := solve(t, d)
			d.machine.Charge = d.charge
			y := make([]float64, yDim)
			y[yW], y[yH] = hot.startW, hot.startH
			want := newSim(d.machine).cycle(y, 0).lowest
			c, cat := readCase(t, d.name, func(s string) string {
				if d.name == "sagging-pack" {
					s = strings.ReplaceAll(s, "1.2 m/s^2", "0.3 m/s^2")
					s = strings.ReplaceAll(s, "1.3 m/s", "0.5 m/s")
				}
				return s
			})
			only(cat, d.pick)
			_, k, err := sizing.Examine(context.Background(), c, cat, d.pick)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "lowest bus", k.BusVoltageMin, want, 0.02)
		})
	}
}
