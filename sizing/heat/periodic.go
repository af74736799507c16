package heat

import "math"

// Cycle carries a state through one duty cycle and returns the tangent of that
// map. It is the march's business how; this room only looks for its fixed point.
type Cycle func(State) (State, Matrix)

// Found says how a search ended.
type Found struct {
	Start   State // at the start of the hottest cycle
	Passes  int   // marches of a cycle spent
	Runaway bool  // no state below Runaway
}

const (
	fine     = 2e-4 // K, agreement asked of a periodic state
	passes   = 60
	longStep = 5.0 // K, housing change that one leap over cycles may cover
)

// Endless finds the periodic state of a duty that repeats for ever: the fixed
// point of the cycle map, by Newton's method with the map's own tangent. No
// fixed point below 400 °C is thermal runaway. The stable fixed point is the
// one reached from below, so the search starts at air temperature and never
// passes it on the way up: while the state still heats, Newton steps are
// limited to it.
func Endless(c Cycle, air float64) Found {
	x := State{air, air}
	for n := 1; n <= passes; n++ {
		y, m := c(x)
		rw, rh := y.Winding-x.Winding, y.Housing-x.Housing
		if math.Abs(rw) < fine && math.Abs(rh) < fine {
			dw, dh, ok := solve(m, rw, rh)
			if ok && math.Abs(dw) < 0.02 && math.Abs(dh) < 0.02 {
				return Found{Start: State{x.Winding + dw, x.Housing + dh}, Passes: n}
			}
		}
		dw, dh, ok := solve(m, rw, rh)
		if !ok { // the tangent no longer contracts: past the fold, or above it
			if rw >= 0 && rh >= -fine {
				return Found{Start: x, Passes: n, Runaway: true}
			}
			dw, dh = rw, rh
		}
		x.Winding += dw
		x.Housing += dh
		if hot(x) || hot(y) {
			return Found{Start: x, Passes: n, Runaway: true}
		}
	}
	// Newton creeps only where the fixed point is a fold: nothing a designer
	// could stand on.
	return Found{Start: x, Passes: passes, Runaway: true}
}

func hot(x State) bool {
	return !(x.Winding < Runaway && x.Housing < Runaway) // NaN is hot too
}

// solve returns (1 − M)⁻¹·r, and false where 1 − M is no longer a contraction's
// complement (an eigenvalue of M at or above 1).
func solve(m Matrix, rw, rh float64) (w, h float64, ok bool) {
	a, b, c, d := 1-m.WW, -m.WH, -m.HW, 1-m.HH
	det := a*d - b*c
	if !(det > 1e-15) || a+d <= 0 {
		return 0, 0, false
	}
	return (d*rw - b*rh) / det, (a*rh - c*rw) / det, true
}

// Repeats is a limited operating time: whole cycles, then a rest of one, then
// with Pause > 0 a pause after which all of it repeats for ever.
type Repeats struct {
	Whole int                                  // complete cycles in the operating time
	Part  func(State) (State, Matrix)          // the cut-off cycle; nil none
	Cool  func(State, float64) (State, Matrix) // the pause, everything off
	Pause float64                              // s; 0: once, from air temperature
	Hasty bool                                 // three times longer leaps: within a kelvin instead of a tenth
}

// Limited finds the start of the hottest (the last whole) cycle of an
// operating time. Many cycles are leapt over with the tangent of one:
// x_{n+m} = x_n + (1 + M + … + M^{m−1})·(Φ(x_n) − x_n), m so large that the
// housing moves a few kelvin.
func Limited(c Cycle, air float64, r Repeats) Found {
	x := State{air, air}
	f := Found{}
	for range 40 {
		y, start, m, runaway := r.once(c, x, &f.Passes)
		if runaway {
			return Found{Start: start, Passes: f.Passes, Runaway: true}
		}
		f.Start = start
		if r.Pause <= 0 {
			return f
		}
		dw, dh, ok := solve(m, y.Winding-x.Winding, y.Housing-x.Housing)
		if !ok {
			dw, dh = y.Winding-x.Winding, y.Housing-x.Housing
		}
		x.Winding += dw
		x.Housing += dh
		if hot(x) {
			return Found{Start: x, Passes: f.Passes, Runaway: true}
		}
		if math.Abs(dw) < 1e-3 && math.Abs(dh) < 1e-3 {
			return f
		}
	}
	return f
}

// once runs the operating time and the pause from x. start is the state at the
// beginning of the last whole cycle (of the part, when there is no whole one).
func (r *Repeats) once(c Cycle, x State, spent *int) (end, start State, tangent Matrix, runaway bool) {
	tangent = Identity()
	left := r.Whole - 1 // cycles before the last whole one
	for left > 0 {
		y, m := c(x)
		*spent++
		step := longStep
		if r.Hasty {
			step *= 3
		}
		leap, sum, power := leaps(m, State{y.Winding - x.Winding, y.Housing - x.Housing}, left, step)
		dw, dh := sum.Apply(y.Winding-x.Winding, y.Housing-x.Housing)
		x.Winding += dw
		x.Housing += dh
		tangent = power.Times(tangent)
		left -= leap
		if hot(x) {
			return x, x, tangent, true
		}
	}
	start = x
	if r.Whole > 0 {
		y, m := c(x)
		*spent++
		x = y
		tangent = m.Times(tangent)
	}
	if r.Part != nil {
		y, m := r.Part(x)
		x = y
		tangent = m.Times(tangent)
	}
	if hot(x) {
		return x, start, tangent, true
	}
	if r.Pause > 0 {
		y, m := r.Cool(x, r.Pause)
		x = y
		tangent = m.Times(tangent)
	}
	return x, start, tangent, false
}

// leaps chooses how many cycles m ≤ left one tangent may cover and returns m,
// 1 + M + … + M^{m−1} and M^m. It doubles while the housing's way stays short
// (or the sum has settled), so the count is logarithmic.
func leaps(m Matrix, first State, left int, step float64) (int, Matrix, Matrix) {
	n, sum, power := 1, Identity(), m
	for n*2 <= left {
		// 1 + M + … + M^{2n−1} = (1 + M^n)·(1 + … + M^{n−1})
		doubled := add(sum, power.Times(sum))
		w, h := doubled.Apply(first.Winding, first.Housing)
		if math.Abs(h) > step || math.Abs(w) > 4*step {
			break
		}
		n, sum, power = n*2, doubled, power.Times(power)
	}
	return n, sum, power
}

func add(a, b Matrix) Matrix {
	return Matrix{a.WW + b.WW, a.WH + b.WH, a.HW + b.HW, a.HH + b.HH}
}

// Cool is a rest of any length: no current, no friction.
func (b *Body) Cool(x State, seconds float64) (State, Matrix) {
	return b.Step(x, 0, 0, seconds, Answer{})
}
