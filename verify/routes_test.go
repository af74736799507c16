package verify

import (
	"fmt"
	"math"
	"testing"
)

// solve marches a duty by the first route and returns the run in the hottest
// cycle, with the peaks of the whole operating time.
func solve(t *testing.T, d duty) *run {
	t.Helper()
	if d.machine.Total > 0 {
		r, peakW, peakH := d.machine.repeat()
		r.peakW, r.peakH = peakW, peakH
		return r
	}
	r, ok := d.machine.periodic()
	if !ok {
		t.Fatalf("%s: no periodic state by the march", d.name)
	}
	return r
}

// read takes from the simulator's samples of its last cycle what a run tells.
func read(list []sample, n *netlist) *run {
	like := n.run
	start := list[0].t
	end := list[len(list)-1].t
	span := end - start
	a, b := &list[0], &list[len(list)-1]
	r := &run{time: span, peakW: a.tw, peakH: a.th, lowest: math.Inf(1),
		rms: math.Sqrt((b.q2 - a.q2) / span), meanBus: (b.qb - a.qb) / span, rmsBus: math.Sqrt((b.qb2 - a.qb2) / span),
		meanW: (b.qw - a.qw) / span, charge: b.qb - a.qb, drain: b.qd - a.qd, endW: b.tw, endH: b.th}
	for i := range list {
		s := &list[i]
		if settling(s.t, n) {
			continue
		}
		r.peakW, r.peakH = math.Max(r.peakW, s.tw), math.Max(r.peakH, s.th)
		r.peakI, r.lowest = math.Max(r.peakI, math.Abs(s.i)), math.Min(r.lowest, s.bus)
		if math.Abs(s.ib) > math.Abs(r.peakBus) {
			r.peakBus = s.ib
		}
	}
	for i, l := range like.legs {
		t := start + l.start + l.time - 5*spiceEdge
		if n.m.Legs[i].kind == move { // the end of its constant-speed part
			t = start + l.start + l.time*2/3 - 5*spiceEdge
		}
		get := func(what func(*sample) float64) float64 { return at(list, t, what) }
		r.legs = append(r.legs, legRun{start: l.start, time: l.time, reached: at(list, start+l.start+l.time-5*spiceEdge, func(s *sample) float64 { return s.v }),
			end: instant{current: get(func(s *sample) float64 { return s.i }), bus: get(func(s *sample) float64 { return s.bus }),
				ib: get(func(s *sample) float64 { return s.ib }), duty: get(func(s *sample) float64 { return s.d }),
				torque: get(func(s *sample) float64 { return s.tout })}})
	}
	return r
}

// settling reports whether the control loops are still answering a step of the
// command: extremes within 30 ms of one belong to the loops, not to the duty.
func settling(t float64, n *netlist) bool {
	for i := range n.plan {
		if t > n.plan[i].start-1e-3 && t < n.plan[i].start+0.03 {
			return true
		}
	}
	return false
}

// share holds two figures within a share of their size, with a floor for
// figures that pass through zero.
func share(t *testing.T, what string, got, want, part, floor float64) {
	t.Helper()
	near(t, what, got, want, part*math.Max(math.Abs(want), floor))
}

// The simulator solves the same circuit by Gear's method on its own netlist; the
// engine is held against it as well.
func TestTheSimulatorAndTheMarchAgree(t *testing.T) {
	needSpice(t)
	for _, d := range duties() {
		if d.runaway {
			continue
		}
		t.Run(d.name, func(t *testing.T) {
			t.Parallel()
			want := solve(t, d)
			n := &netlist{m: d.machine, run: want, runs: d.runs, tw: want.startW + 4, th: want.startH + 4} // away from the answer it has to find
			if d.machine.Total > 0 {
				n.tw, n.th = d.machine.Air, d.machine.Air
			}
			since := float64(d.runs-1) * want.time
			if d.machine.Total > 0 {
				since = d.machine.Total - want.time
			}
			list := simulate(t, n, since)
			got := read(list, n)
			agree(t, got, want)
			t.Run("engine", func(t *testing.T) {
				engine := asRun(examine(t, d.name, d.pick))
				engine.lowest, engine.drain = got.lowest, got.drain
				if d.machine.Total > 0 { // the simulator's last cycle, the engine's own
					got.time = engine.time
					got.peakW, got.peakH = want.peakW, want.peakH
				}
				agree(t, engine, got)
			})
			for i, l := range want.legs {
				leg := &d.machine.Legs[i]
				if leg.kind == drive && leg.distance > 0 && l.reached != 0 {
					from, to := since+l.start, since+l.start+l.time
					x := func(s *sample) float64 { return s.x }
					share(t, fmt.Sprintf("leg %d distance", i), math.Abs(at(list, to, x)-at(list, from, x)), leg.distance, 0.005, 0)
				}
			}
		})
	}
}

// agree holds a run against another at the model's tolerances: currents and
// torques 0.2 %, temperatures 0.3 K, charge 0.3 %, times 0.5 %.
func agree(t *testing.T, got, want *run) {
	t.Helper()
	size := want.rms // A, below which a current's share means nothing
	share(t, "cycle time", got.time, want.time, 0.005, 0)
	near(t, "winding peak", got.peakW, want.peakW, 0.3)
	near(t, "winding mean", got.meanW, want.meanW, 0.3)
	near(t, "housing peak", got.peakH, want.peakH, 0.3)
	share(t, "motor current rms", got.rms, want.rms, 0.002, 0)
	share(t, "motor current peak", got.peakI, want.peakI, 0.005, 0) // a peak lasting ms
	share(t, "battery current mean", got.meanBus, want.meanBus, 0.002, want.rmsBus)
	share(t, "battery current rms", got.rmsBus, want.rmsBus, 0.002, 0)
	share(t, "battery current peak", got.peakBus, want.peakBus, 0.005, 0)
	share(t, "charge", got.charge, want.charge, 0.003, want.rmsBus*want.time/3)
	share(t, "drain", got.drain, want.drain, 0.003, want.rmsBus*want.time/3)
	near(t, "lowest bus voltage", got.lowest, want.lowest, 0.02)
	for i := range want.legs {
		w, g := &want.legs[i], &got.legs[i]
		name := fmt.Sprintf("leg %d ", i)
		share(t, name+"current", g.end.current, w.end.current, 0.002, size)
		share(t, name+"battery current", g.end.ib, w.end.ib, 0.002, want.rmsBus)
		near(t, name+"bus", g.end.bus, w.end.bus, 0.01)
		near(t, name+"duty", g.end.duty, w.end.duty, 0.002)
		share(t, name+"speed", g.reached, w.reached, 0.002, 0.5)
	}
}
