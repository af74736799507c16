package explore

import "math"

// probe evaluates a candidate at one value of the quantity searched.
type probe func(at float64) look

// edge narrows a bracket between a look that passes and one that fails until
// its ends differ by no more than 1e-6 of their size (or of least, if larger),
// and returns both ends. The least margin of the checks is the function whose
// sign change is sought: Chandrupatla's method, which interpolates where the
// margin is smooth and bisects where it jumps (T. R. Chandrupatla, Advances in
// Engineering Software 28 (1997) 145–149; the formula from memory).
func edge(f probe, pass, fail look, of checkSet, least float64) (passing, failing look) {
	b, a := pass, fail // a is the newest guess, b the end of the other sign
	fa, fb := finite(a.least(of)), finite(b.least(of))
	t := 0.5
	for range 100 {
		x := f(a.at + t*(b.at-a.at))
		fx := finite(x.least(of))
		c, fc := b, fb
		if (fx < 0) == (fa < 0) {
			c, fc = a, fa
		} else {
			b, fb = a, fa
		}
		a, fa = x, fx
		width := math.Abs(b.at - a.at)
		tolerance := math.Max(edgeTolerance*math.Max(math.Abs(a.at), math.Abs(b.at)), least)
		if width <= tolerance {
			break
		}
		t = between(a.at, b.at, c.at, fa, fb, fc)
		// Keep clear of the ends, so that the bracket closes from both sides.
		clear := 0.4 * tolerance / width
		t = math.Max(clear, math.Min(1-clear, t))
	}
	if fa < 0 {
		return b, a
	}
	return a, b
}

// edgeTolerance is the relative width of the bracket an edge is returned from.
const edgeTolerance = 1e-6

// between is where to look next between a (0) and b (1): inverse quadratic
// interpolation where it is safe, else the middle.
func between(a, b, c, fa, fb, fc float64) float64 {
	if fb == fa || fc == fb || fc == fa || c == b {
		return 0.5
	}
	xi, phi := (a-b)/(c-b), (fa-fb)/(fc-fb)
	if !(phi*phi < xi && (1-phi)*(1-phi) < 1-xi) {
		return 0.5
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
