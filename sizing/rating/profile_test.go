package rating

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func drawProfile(t *rapid.T) *Profile {
	n := rapid.IntRange(1, 12).Draw(t, "n")
	p := &Profile{}
	for range n {
		d := math.Pow(10, rapid.Float64Range(-3, 2).Draw(t, "logd"))
		a := rapid.SampledFrom([]float64{0, 0, 1, 2, 5, 5, 9, 20, 60}).Draw(t, "a")
		if rapid.Bool().Draw(t, "odd") {
			a = rapid.Float64Range(1e-6, 100).Draw(t, "amp") // a square of less is lost among the smallest floats
		}
		p.Duration = append(p.Duration, d)
		p.Square = append(p.Square, a*a)
	}
	return p
}

// squareUpTo integrates I² from 0 to t interval by interval, cycle by cycle:
// the plain way, to judge the clever one.
func squareUpTo(p *Profile, t float64) float64 {
	period, total := 0.0, 0.0
	for i, d := range p.Duration {
		period += d
		total += d * p.Square[i]
	}
	whole := math.Floor(t / period)
	sum := whole * total
	t -= whole * period
	for i, d := range p.Duration {
		step := math.Min(d, t)
		if step <= 0 {
			break
		}
		sum += step * p.Square[i]
		t -= step
	}
	return sum
}

// bruteEnvelope tries every window that starts or ends at an edge.
func bruteEnvelope(p *Profile, w float64) float64 {
	best, edge := 0.0, 0.0
	for _, d := range p.Duration {
		period := p.Period()
		end := edge + period*math.Ceil(w/period)
		best = math.Max(best, squareUpTo(p, edge+w)-squareUpTo(p, edge))
		best = math.Max(best, squareUpTo(p, end)-squareUpTo(p, end-w))
		edge += d
	}
	return math.Sqrt(math.Max(0, best) / w)
}

func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, want %.9g ± %.2g", what, got, want, tolerance)
	}
}

func TestEnvelopeIsTheWorstOfAllWindows(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawProfile(rt)
		w := p.Period() * math.Pow(10, rapid.Float64Range(-3, 2).Draw(rt, "logw"))
		amp, start := p.Envelope(w)
		want := bruteEnvelope(p, w)
		if math.Abs(amp-want) > 1e-9*math.Max(want, 1e-3*p.Peak()) {
			rt.Fatalf("w %g of %v %v: got %.12g want %.12g", w, p.Duration, p.Square, amp, want)
		}
		if start < 0 || start >= p.Period() {
			rt.Fatalf("start %g outside the period %g", start, p.Period())
		}
		there := math.Sqrt(math.Max(0, squareUpTo(p, start+w)-squareUpTo(p, start)) / w)
		if math.Abs(there-amp) > 1e-6*p.Peak() {
			rt.Fatalf("the window said to be worst carries %.9g, not %.9g", there, amp)
		}
	})
}

func TestNoSlidWindowCarriesMoreThanTheEnvelope(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawProfile(rt)
		w := p.Period() * math.Pow(10, rapid.Float64Range(-3, 1).Draw(rt, "logw"))
		amp, _ := p.Envelope(w)
		for k := range 200 {
			s := p.Period() * float64(k) / 200
			if c := squareUpTo(p, s+w) - squareUpTo(p, s); c > amp*amp*w*(1+1e-9)+1e-9 {
				rt.Fatalf("window %g from %g carries %g, envelope says %g", w, s, math.Sqrt(c/w), amp)
			}
		}
	})
}

func TestEnvelopeRunsFromPeakToRMS(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawProfile(rt)
		short, _ := p.Envelope(1e-4)
		whole, _ := p.Envelope(p.Period())
		long, _ := p.Envelope(p.Period() * 1e7)
		near(t, "instant", short, p.Peak(), 1e-9*p.Peak())
		near(t, "one cycle", whole, p.RMS(), 1e-6*p.Peak())
		near(t, "for ever", long, p.RMS(), 1e-5*p.Peak())
	})
}

func TestEmptyAndFaultyProfilesCarryNothing(t *testing.T) {
	for _, p := range []*Profile{{}, {Duration: []float64{0, -1}, Square: []float64{4, 9}}} {
		if amp, start := p.Envelope(1); amp != 0 || start != 0 || p.RMS() != 0 || p.Peak() != 0 {
			t.Errorf("empty profile: %g from %g", amp, start)
		}
		if u := p.Use(ContinuousPeak(10, 20, 1), 1, 100); u.Utilisation != 0 || u.Limit != 20 {
			t.Errorf("empty profile uses %+v", u)
		}
	}
}

func TestWindowsIncludeBothEnds(t *testing.T) {
	for _, longest := range []float64{0.0101, 1, 37.2, 3600, 1e6} {
		w := Windows(longest, 12)
		if w[0] != ShortestWindow || w[len(w)-1] != longest {
			t.Errorf("windows to %g run from %g to %g", longest, w[0], w[len(w)-1])
		}
		for i := 1; i < len(w); i++ {
			if !(w[i] > w[i-1]) || w[i]/w[i-1] > math.Pow(10, 1.0/12)*(1+1e-9) {
				t.Errorf("step %d: %g to %g", i, w[i-1], w[i])
			}
		}
	}
	if w := Windows(0, 0); len(w) != 1 || w[0] != ShortestWindow {
		t.Errorf("no range: %v", w)
	}
}

func forty() *Profile {
	p := &Profile{}
	for i := range 40 {
		p.Duration = append(p.Duration, 0.1+0.37*float64(i*i%11))
		a := 2 + 30*math.Abs(math.Sin(float64(i)*1.7))
		p.Square = append(p.Square, a*a)
	}
	p.Prepare()
	return p
}

func BenchmarkPrepare(b *testing.B) {
	p := forty()
	b.ReportAllocs()
	for b.Loop() {
		p.Prepare()
	}
}

func BenchmarkEnvelopeAll(b *testing.B) {
	p, w := forty(), Windows(3600, 24)
	out := make([]float64, len(w))
	b.ReportAllocs()
	for b.Loop() {
		out = p.EnvelopeAll(w, out)
	}
}

func TestQuestionsDoNotAllocate(t *testing.T) {
	p, w := forty(), Windows(3600, 24)
	out := make([]float64, len(w))
	s := ContinuousPeak(15, 30, 1)
	if n := testing.AllocsPerRun(20, func() { p.Prepare(); out = p.EnvelopeAll(w, out); p.Use(s, 1, 3600) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}
