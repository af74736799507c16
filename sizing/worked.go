package sizing

import (
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/sizing/drive"
	"example.org/dray/sizing/duty"
	"example.org/dray/sizing/heat"
)

// Works is what a worked example needs of a candidate beyond its outcome: the
// figures the march ran on, and what each leg cost.
type Works struct {
	Machine  drive.Machine
	Train    drive.Train  // from the load inwards
	Supply   drive.Supply // at half charge
	Body     heat.Body
	Heated   bool // thermal data are known and a periodic state exists
	Followed bool // the duty is followed as commanded
	Limit    float64
	Air      float64

	Series, Parallel float64 // packs; 0 with an adapter
	Capacity         float64 // A·s of the whole pack, health counted; NaN unknown
	Controllers      int

	Plan  loadcases.Plan // as commanded
	Legs  []LegWork      // as driven, in the hottest cycle at half charge
	Drain float64        // A·s one cycle takes at half charge, Peukert counted; NaN with an adapter
}

// LegWork is what one leg costs, per motor where it is the motor's.
type LegWork struct {
	Time     float64 // s, as driven
	Square   float64 // A²·s, ∫ I² dt, ripple in
	Friction float64 // J, ∫ Tf·|ω| dt
	Charge   float64 // A·s, ∫ ib dt
}

// Works evaluates a pick again and returns its workings.
func (j *Judge) Works(p Pick) Works {
	e := j.e
	var c Candidate
	e.judge(p, &c)
	w := Works{Machine: e.s.drive.Machine, Train: e.s.drive.Train, Supply: e.s.drive.Supply, Body: e.s.drive.Body,
		Heated: e.res.Heated && !e.res.Runaway, Followed: e.res.Trace.Followed, Limit: e.s.drive.Limit, Air: e.b.air,
		Series: e.s.series, Parallel: e.s.parallel, Capacity: e.s.capacity, Controllers: e.s.controllers,
		Plan: e.b.script.Plan, Legs: make([]LegWork, len(e.b.c.Legs)), Drain: math.NaN()}
	t := e.res.Trace
	for i := range t.Intervals {
		iv := &t.Intervals[i]
		l := &w.Legs[iv.Leg]
		a, b, c := &t.Samples[iv.First], &t.Samples[iv.First+1], &t.Samples[iv.First+2]
		l.Time += iv.Time
		l.Square += iv.Time * t.MeanSquare(iv)
		l.Charge += iv.Time * (a.Battery + 4*b.Battery + c.Battery) / 6
		if iv.Kind == duty.Moving {
			l.Friction += iv.Time * w.Machine.Friction * (math.Abs(a.Omega) + 4*math.Abs(b.Omega) + math.Abs(c.Omega)) / 6
		}
	}
	if e.s.adapter == nil && !math.IsNaN(e.s.capacity) {
		d := drain{e: e, t: t, sup: e.s.drive.Supply}
		w.Drain = d.charge(e.s.emf(0.5))
	}
	return w
}
