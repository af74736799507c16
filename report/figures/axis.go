package figures

import (
	"math"

	"example.org/dray/quantity"
)

// scale carries values of one axis to the page.
type scale struct {
	min, max float64 // of the axis
	a, b     float64 // on the page, points
	log      bool
	bare     bool
}

// at is where a value stands on the page.
func (s scale) at(x float64) float64 { return s.a + (s.b-s.a)*s.share(x) }

func (s scale) share(x float64) float64 {
	if s.log {
		return (math.Log(x) - math.Log(s.min)) / (math.Log(s.max) - math.Log(s.min))
	}
	return (x - s.min) / (s.max - s.min)
}

// holds reports whether a value lies on the axis.
func (s scale) holds(x float64) bool {
	u := s.share(x)
	return u >= -1e-9 && u <= 1+1e-9
}

// tick is a labelled value; a plain grid line has no label.
type tick struct {
	at    float64
	label string
}

// ticks are at steps of 1, 2 or 5 of a power of ten, about want of them; on a
// logarithmic axis at the powers of ten, or 1-2-5 where few of those fit.
func (s scale) ticks(want int) []tick {
	if s.bare {
		return nil
	}
	if s.log {
		return s.decades()
	}
	step := niceStep((s.max - s.min) / float64(want))
	var out []tick
	for i := math.Ceil(s.min/step - 1e-9); i*step <= s.max+1e-9*step; i++ {
		v := i*step + 0
		out = append(out, tick{v, quantity.Significant(v, 4)})
	}
	return out
}

func (s scale) decades() []tick {
	few := math.Log10(s.max/s.min) < 2.5
	var out []tick
	for e := math.Floor(math.Log10(s.min)); e <= math.Ceil(math.Log10(s.max)); e++ {
		for _, m := range []float64{1, 2, 5} {
			v := m * math.Pow(10, e)
			if !s.holds(v) {
				continue
			}
			t := tick{at: v}
			if m == 1 || few {
				t.label = quantity.Significant(v, 3)
				if v >= 1e4 {
					t.label = quantity.Significant(v/1000, 3) + " k"
				}
			}
			out = append(out, t)
		}
	}
	return out
}

// niceStep is the least 1, 2 or 5 times a power of ten that is not below x.
func niceStep(x float64) float64 {
	if !(x > 0) || math.IsInf(x, 0) {
		return 1
	}
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{1, 2, 5} {
		if m*p >= x*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// reach is the range of finite values seen.
type reach struct{ min, max float64 }

func (r *reach) see(xs ...float64) {
	for _, x := range xs {
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			r.min, r.max = math.Min(r.min, x), math.Max(r.max, x)
		}
	}
}

// ranged makes the scale of an axis: its own range, or that of the data let
// out to whole ticks.
func (a Axis) ranged(r reach, from, to float64, want int) scale {
	s := scale{min: a.Min, max: a.Max, a: from, b: to, log: a.Log, bare: a.Bare}
	if a.Min != a.Max {
		return s
	}
	if r.min > r.max {
		r.min, r.max = 0, 1
	}
	if a.Log {
		s.min, s.max = r.min/1.15, r.max*1.15
		return s
	}
	if r.max-r.min < 1e-9*math.Max(1, math.Abs(r.max)) {
		r.min, r.max = r.min-0.5, r.max+0.5
	}
	step := niceStep((r.max - r.min) / float64(want))
	s.min, s.max = math.Floor(r.min/step+1e-9)*step, math.Ceil(r.max/step-1e-9)*step
	return s
}

// reaches collects the ranges of a panel's data.
func (p *Panel) reaches() (x, y reach) {
	x, y = reach{math.Inf(1), math.Inf(-1)}, reach{math.Inf(1), math.Inf(-1)}
	for _, l := range p.Lines {
		x.see(l.X...)
		y.see(l.Y...)
	}
	for _, b := range p.Bands {
		x.see(b.X...)
		y.see(b.Low...)
		y.see(b.High...)
	}
	for _, q := range p.Points {
		x.see(q.X)
		y.see(q.Y)
	}
	for _, s := range p.Spans {
		x.see(s.From, s.To)
	}
	for _, r := range p.Rules {
		if r.Vertical {
			x.see(r.At)
		} else {
			y.see(r.At)
		}
	}
	return x, y
}
