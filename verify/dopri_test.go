package verify

import "math"

// field is dy/dt at a time in s.
type field func(t float64, y, dy []float64)

// stepper is the Dormand–Prince 5(4) pair with local error control. It is
// used by the tests only. Tableau: J. R. Dormand and P. J. Prince, J. Comput.
// Appl. Math. 6 (1980) 19–26 (coefficients from memory, held to order 5 by
// TestDormandPrinceHasOrderFive).
type stepper struct {
	rel, abs float64 // tolerated local error, relative and absolute
	hmax     float64 // s, 0 none
	h        float64 // s, the next step to try
	k        [7][]float64
	tmp, out []float64
	steps    int
}

func newStepper(dim int, rel, abs float64) *stepper {
	s := &stepper{rel: rel, abs: abs, tmp: make([]float64, dim), out: make([]float64, dim)}
	for i := range s.k {
		s.k[i] = make([]float64, dim)
	}
	return s
}

var nodes = [7]float64{0, 1. / 5, 3. / 10, 4. / 5, 8. / 9, 1, 1}

var tableau = [7][6]float64{
	{},
	{1. / 5},
	{3. / 40, 9. / 40},
	{44. / 45, -56. / 15, 32. / 9},
	{19372. / 6561, -25360. / 2187, 64448. / 6561, -212. / 729},
	{9017. / 3168, -355. / 33, 46732. / 5247, 49. / 176, -5103. / 18656},
	{35. / 384, 0, 500. / 1113, 125. / 192, -2187. / 6784, 11. / 84},
}

var errorWeights = [7]float64{71. / 57600, 0, -71. / 16695, 71. / 1920, -17253. / 339200, 22. / 525, -1. / 40}

// try takes one step of h from y into s.out and returns the scaled error.
func (s *stepper) try(f field, t, h float64, y []float64) float64 {
	f(t, y, s.k[0])
	for i := 1; i < 7; i++ {
		for j := range y {
			sum := 0.0
			for l := range i {
				sum += tableau[i][l] * s.k[l][j]
			}
			s.tmp[j] = y[j] + h*sum
		}
		f(t+nodes[i]*h, s.tmp, s.k[i])
	}
	copy(s.out, s.tmp) // the seventh stage is the fifth-order result
	worst := 0.0
	for j := range y {
		e := 0.0
		for i := range errorWeights {
			e += errorWeights[i] * s.k[i][j]
		}
		scale := s.abs + s.rel*math.Max(math.Abs(y[j]), math.Abs(s.out[j]))
		worst = math.Max(worst, math.Abs(h*e)/scale)
	}
	return worst
}

// event is a function of the state whose rise through zero stops a march.
type event func(t float64, y []float64) float64

// march integrates from t to end, or to the first rise of one of the events
// through zero. It calls seen after every accepted step. It returns the time
// reached and the index of the event, −1 for the end.
func (s *stepper) march(f field, t, end float64, y []float64, events []event, seen func(t float64, y []float64)) (float64, int) {
	if s.h <= 0 {
		s.h = 1e-5
	}
	for i, g := range events {
		if g(t, y) >= 0 {
			return t, i
		}
	}
	for t < end {
		h := math.Min(s.h, end-t)
		if s.hmax > 0 {
			h = math.Min(h, s.hmax)
		}
		e := s.try(f, t, h, y)
		if e > 1 {
			s.h = h * math.Max(0.2, 0.9*math.Pow(e, -0.2))
			continue
		}
		s.steps++
		grow := math.Min(5, 0.9*math.Pow(math.Max(e, 1e-10), -0.2))
		if h >= s.h || grow < 1 {
			s.h = h * grow
		}
		hit := -1
		for i, g := range events {
			if g(t+h, s.out) >= 0 {
				hit = i
				if used := s.locate(f, t, h, y, g); used < h {
					h = used
				}
			}
		}
		if hit >= 0 && len(events) > 1 {
			hit = s.first(events, t+h)
		}
		copy(y, s.out)
		t += h
		if seen != nil {
			seen(t, y)
		}
		if hit >= 0 {
			return t, hit
		}
	}
	return end, -1
}

// locate shrinks the step until the event is met at its end (bisection on the
// step length, each trial a full step from the same start, so no interpolant
// is trusted). s.out is left at the located state.
func (s *stepper) locate(f field, t, h float64, y []float64, g event) float64 {
	low, high := 0.0, h
	for range 60 {
		if high-low < 1e-12*math.Max(1, t) {
			break
		}
		mid := (low + high) / 2
		s.try(f, t, mid, y)
		if g(t+mid, s.out) >= 0 {
			high = mid
		} else {
			low = mid
		}
	}
	s.try(f, t, high, y)
	return high
}

// first is the event that stands at or above zero at the located state.
func (s *stepper) first(events []event, t float64) int {
	best, at := math.Inf(-1), 0
	for i, g := range events {
		if v := g(t, s.out); v > best {
			best, at = v, i
		}
	}
	return at
}
