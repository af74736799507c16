package rating

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestNoWindowOfACellIsAboveItsBound(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawProfile(rt)
		p.Prepare()
		s := stretch{from: 1e-3, c: 10}
		switch rapid.IntRange(0, 2).Draw(rt, "form") {
		case 1:
			s.tau = p.Period() * math.Pow(10, rapid.Float64Range(-2, 1).Draw(rt, "tau"))
		case 2:
			s.twoQ = rapid.Float64Range(0.01, 0.99).Draw(rt, "2q")
		}
		x := search{p: p, gain: 1}
		w1 := p.Period() * math.Pow(10, rapid.Float64Range(-2, 1).Draw(rt, "w1"))
		c := cell{w1: w1, w2: w1 * rapid.Float64Range(1.001, narrow).Draw(rt, "wide")}
		c.c1, _ = p.worst(c.w1)
		c.c2, _ = p.worst(c.w2)
		c.bound = math.Inf(1)
		x.closer(&s, &c)
		close := c.bound
		c.bound, x.floor = math.Inf(1), math.Inf(1) // as bound alone, without the closer look
		x.bound(&s, &c)
		for k := range 200 {
			w := c.w1 + (c.w2-c.w1)*float64(k)/199
			content, _ := p.worst(w)
			u := content * s.g(w) / w
			if u > close*(1+1e-9) || u > c.bound*(1+1e-9) {
				rt.Fatalf("%g s: %.9g above the bounds %.9g and %.9g of %+v", w, u, close, c.bound, c)
			}
		}
	})
}

// A long even stretch with a rare short spike is what a cheap bound alone
// takes a thousand looks for.
func BenchmarkUsePlateau(b *testing.B) {
	p := &Profile{Duration: []float64{40, 0.05, 20, 0.05, 60}, Square: []float64{900, 3600, 100, 3600, 0}}
	s := ContinuousPeak(20, 70, 0.1)
	p.Prepare()
	b.ReportAllocs()
	for b.Loop() {
		p.Use(s, 1, 3600)
	}
}
