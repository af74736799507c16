package heat

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The published rows stand in testdata/published/C.yaml; here are the laws.

func drawNode(t *rapid.T) OneNode {
	return OneNode{rapid.Float64Range(10, 5000).Draw(t, "heating"), rapid.Float64Range(10, 9000).Draw(t, "cooling")}
}

func TestTheIntermittentFactorLiesBetweenS1AndS2(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := drawNode(rt)
		on, off, a := rapid.Float64Range(1, 2000).Draw(rt, "on"), rapid.Float64Range(0, 5000).Draw(rt, "off"), rapid.Float64Range(0, 1).Draw(rt, "a")
		k := n.Intermittent(on, off, a)
		if k < n.S1()-1e-9 || k > n.S2(on, a)+1e-9 {
			rt.Fatalf("%g not between 1 and %g", k, n.S2(on, a))
		}
		if far := n.Intermittent(on, 1e7, a); math.Abs(far/n.S2(on, a)-1) > 1e-9 {
			rt.Fatalf("endless rest gives %g, S2 %g", far, n.S2(on, a))
		}
		if none := n.Intermittent(on, 0, a); math.Abs(none-1) > 1e-9 {
			rt.Fatalf("no rest gives %g", none)
		}
		if off > 0 {
			if s3 := n.S3(on/(on+off), on+off, a); math.Abs(s3/k-1) > 1e-9 {
				rt.Fatalf("S3 %g, intermittent %g", s3, k)
			}
		}
	})
}

// A machine loaded with its intermittent rating reaches just the temperature
// that its continuous rating gives.
func TestTheIntermittentRatingReachesTheContinuousTemperature(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := drawNode(rt)
		on, off, a := rapid.Float64Range(1, 2000).Draw(rt, "on"), rapid.Float64Range(0, 5000).Draw(rt, "off"), rapid.Float64Range(0, 1).Draw(rt, "a")
		k := n.Intermittent(on, off, a)
		peak, valley := n.Periodic(100*(a+k*k)/(a+1), 0, on, off)
		if math.Abs(peak-100) > 1e-6 || valley > peak+1e-9 {
			rt.Fatalf("peak %g, valley %g", peak, valley)
		}
		if again := n.Heat(n.Cool(peak, 0, off), 100*(a+k*k)/(a+1), on); math.Abs(again-peak) > 1e-6 {
			rt.Fatalf("not periodic: %g, then %g", peak, again)
		}
	})
}

func TestReadingsAndSlopesFindTheirCurve(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := OneNode{Heating: rapid.Float64Range(10, 5000).Draw(rt, "tau")}
		start, final := rapid.Float64Range(0, 40).Draw(rt, "start"), rapid.Float64Range(60, 150).Draw(rt, "final")
		dt := n.Heating * rapid.Float64Range(0.05, 2).Draw(rt, "dt")
		middle, end := n.Heat(start, final, dt), n.Heat(start, final, 2*dt)
		f, tau := FromReadings(start, middle, end, dt)
		if math.Abs(f-final) > 1e-6 || math.Abs(tau/n.Heating-1) > 1e-6 {
			rt.Fatalf("readings give %g and %g", f, tau)
		}
		f, tau = FromSlopes(start, (final-start)/n.Heating, middle, (final-middle)/n.Heating)
		if math.Abs(f-final) > 1e-6 || math.Abs(tau/n.Heating-1) > 1e-6 {
			rt.Fatalf("slopes give %g and %g", f, tau)
		}
		if tau := TimeConstant(start, middle, final, dt); math.Abs(tau/n.Heating-1) > 1e-9 {
			rt.Fatalf("time constant %g", tau)
		}
		if got := n.Final(start, middle, dt); math.Abs(got-final) > 1e-6 {
			rt.Fatalf("final %g", got)
		}
		if back := n.Heat(middle, final, -dt); math.Abs(back-start) > 1e-6 {
			rt.Fatalf("back in time %g", back)
		}
	})
	if f, tau := FromReadings(0, 10, 25, 1); !math.IsInf(f, 1) || !math.IsInf(tau, 1) {
		t.Errorf("a curve that bends upward gives %g and %g", f, tau)
	}
}

func TestTheRMSOfARampIsThatOfItsSlices(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := Piece{rapid.Float64Range(-50, 50).Draw(rt, "from"), rapid.Float64Range(-50, 50).Draw(rt, "to"), rapid.Float64Range(0.1, 90).Draw(rt, "time")}
		const n = 2000
		sum := 0.0
		for i := range n {
			v := p.From + (p.To-p.From)*(float64(i)+0.5)/n
			sum += v * v / n
		}
		if got := RMS(p); math.Abs(got-math.Sqrt(sum)) > 1e-4 {
			rt.Fatalf("%g, slices %g", got, math.Sqrt(sum))
		}
		half := Piece{p.From, (p.From + p.To) / 2, p.Time / 2}
		rest := Piece{half.To, p.To, p.Time / 2}
		if got := RMS(half, rest); math.Abs(got-RMS(p)) > 1e-9 {
			rt.Fatalf("cut in two %g, whole %g", got, RMS(p))
		}
	})
	if RMS() != 0 {
		t.Error("no pieces have an rms")
	}
}
