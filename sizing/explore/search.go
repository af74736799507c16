package explore

import (
	"math"
	"sync"
)

// probe evaluates a candidate at one value of the quantity searched.
type probe func(at float64) look

// both evaluates at two values at once, each with a probe of its own. The
// results do not depend on whether they really run at once.
func both(f, g probe, a, b float64) (x, y look) {
	var wg sync.WaitGroup
	wg.Go(func() { y = g(b) })
	x = f(a)
	wg.Wait()
	return x, y
}

// edge narrows a bracket between a look that passes and one that fails until
// its ends differ by no more than 1e-6 of their size (or of least, if larger),
// and returns both ends. The least margin of the checks is the function whose
// sign change is sought: Chandrupatla's method, which interpolates where the
// margin is smooth (T. R. Chandrupatla, Advances in Engineering Software 28
// (1997) 145–149; the formula from memory); where the margin jumps the bracket
// is cut in three, at two points at once, which is why it takes two probes.
func edge(f, g probe, pass, fail look, of checkSet, least float64) (passing, failing look) {
	b, a := pass, fail // a is the newest guess, b the end of the other sign
	fa := finite(a.least(of))
	var fb float64
	t := math.NaN()
	for range 100 {
		var c look
		if math.IsNaN(t) {
			a, b, c = thirds(f, g, a, b, of)
		} else {
			c = a
			if x := f(a.at + t*(b.at-a.at)); (x.least(of) < 0) == (fa < 0) {
				a = x
			} else {
				a, b, c = x, a, b
			}
		}
		fa, fb = finite(a.least(of)), finite(b.least(of))
		width := math.Abs(b.at - a.at)
		tolerance := math.Max(edgeTolerance*math.Max(math.Abs(a.at), math.Abs(b.at)), least)
		if width <= tolerance {
			break
		}
		t = between(a.at, b.at, c.at, fa, fb, finite(c.least(of)))
		// Keep clear of the ends, so that the bracket closes from both sides.
		clear := 0.4 * tolerance / width
		t = math.Max(clear, math.Min(1-clear, t))
	}
	if fa < 0 {
		return b, a
	}
	return a, b
}

// thirds cuts a bracket in three and returns the third with the first change of
// sign from a, and a look beside it.
func thirds(f, g probe, a, b look, of checkSet) (newA, newB, beside look) {
	x, y := both(f, g, a.at+(b.at-a.at)/3, a.at+2*(b.at-a.at)/3)
	sign := a.least(of) < 0
	switch {
	case (x.least(of) < 0) != sign:
		return x, a, y
	case (y.least(of) < 0) != sign:
		return y, x, b
	}
	return y, b, x
}

// edgeTolerance is the relative width of the bracket an edge is returned from.
const edgeTolerance = 1e-6

// between is where to look next between a (0) and b (1): inverse quadratic
// interpolation where it is safe, else NaN.
func between(a, b, c, fa, fb, fc float64) float64 {
	if fb == fa || fc == fb || fc == fa || c == b {
		return math.NaN()
	}
	xi, phi := (a-b)/(c-b), (fa-fb)/(fc-fb)
	if !(phi*phi < xi && (1-phi)*(1-phi) < 1-xi) {
		return math.NaN()
	}
	al := (c - a) / (b - a)
	return fa/(fb-fa)*fc/(fb-fc) + al*fa/(fc-fa)*fb/(fc-fb)
}

// finite keeps an interpolation from meeting infinities.
func finite(x float64) float64 { return math.Max(-1e6, math.Min(1e6, x)) }

// golden is the golden section's smaller share.
const golden = 0.3819660112501051 // (3 − √5)/2

// climb seeks the largest value between two ends around a middle that is no
// lower than either, to a relative width, and stops as soon as the value
// reaches enough. Where several are equal it keeps the first found.
func climb(f probe, low, mid, high look, value func(*look) float64, width, enough float64) look {
	best, fbest := mid, value(&mid)
	for range 60 {
		if fbest >= enough || high.at-low.at <= width*math.Abs(best.at) {
			break
		}
		// Look into the wider side.
		var x look
		if right := high.at - best.at; right > best.at-low.at {
			x = f(best.at + golden*right)
		} else {
			x = f(best.at - golden*(best.at-low.at))
		}
		fx := value(&x)
		switch {
		case fx > fbest && x.at > best.at:
			low, best, fbest = best, x, fx
		case fx > fbest:
			high, best, fbest = best, x, fx
		case x.at > best.at:
			high = x
		default:
			low = x
		}
	}
	return best
}
