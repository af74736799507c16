package duty

import (
	"example.org/dray/sizing/heat"
)

// watch follows the temperatures of a cycle for their peaks and means.
type watch struct {
	body                 *heat.Body
	time                 float64
	winding, housing     float64
	windingAt, housingAt float64
	meanWinding          float64 // K·s
	begun, deaf          bool
}

// see takes in one step from x to y. The square is the one at its start; its
// answer to the temperatures is followed to the step's end.
func (w *watch) see(x, y heat.State, square, friction, dt float64, answer heat.Answer) {
	if !w.begun {
		w.begun, w.winding, w.housing = true, x.Winding, x.Housing
		w.windingAt, w.housingAt = w.time, w.time
	}
	end := square * (1 + answer.Winding*(y.Winding-x.Winding) + answer.Housing*(y.Housing-x.Housing))
	w.meanWinding += w.body.Mean(x, y, (square+end)/2, friction, dt).Winding * dt
	if w.deaf {
		w.time += dt
		return
	}
	rw0, rh0 := w.body.Rate(x, square, friction)
	rw1, rh1 := w.body.Rate(y, end, friction)
	if rw0 > 0 && rw1 < 0 {
		w.crest(x, square, friction, dt, answer, true)
	}
	if rh0 > 0 && rh1 < 0 {
		w.crest(x, square, friction, dt, answer, false)
	}
	w.time += dt
	w.note(y, w.time)
}

func (w *watch) note(y heat.State, at float64) {
	if y.Winding > w.winding {
		w.winding, w.windingAt = y.Winding, at
	}
	if y.Housing > w.housing {
		w.housing, w.housingAt = y.Housing, at
	}
}

// crest finds a maximum inside a step by halving on the sign of its rate.
func (w *watch) crest(x heat.State, square, friction, dt float64, answer heat.Answer, winding bool) {
	low, high := 0.0, dt
	var y heat.State
	for range 20 {
		mid := (low + high) / 2
		y, _ = w.body.Step(x, square, friction, mid, answer)
		now := square * (1 + answer.Winding*(y.Winding-x.Winding) + answer.Housing*(y.Housing-x.Housing))
		rw, rh := w.body.Rate(y, now, friction)
		if (winding && rw > 0) || (!winding && rh > 0) {
			low = mid
		} else {
			high = mid
		}
	}
	w.note(y, w.time+low)
}

// take keeps the hotter of two peaks.
func (res *Result) take(w *watch) {
	if !(w.winding <= res.WindingPeak) {
		res.WindingPeak, res.PeakAt = w.winding, w.windingAt
	}
	if !(w.housing <= res.HousingPeak) {
		res.HousingPeak, res.HousingAt = w.housing, w.housingAt
	}
}
