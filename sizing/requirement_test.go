package sizing_test

import (
	"math"
	"testing"

	"example.org/dray/internal/demo"
	"example.org/dray/sizing"
)

// What the ramp asks for is r/n·m·g·(sin θ + Crr·cos θ), worked by hand for the
// demo cart: 78 kg, 9°, Crr 0.022, r 0.110 m, two motors, 0.6 m/s.
func TestDemandsOfAClimbAreTheForceTimesTheRadius(t *testing.T) {
	c, _ := demo.Load(t, "cart")
	demands, err := sizing.Demands(c)
	if err != nil {
		t.Fatal(err)
	}
	force := 78 * 9.80665 * (math.Sin(9*math.Pi/180) + 0.022*math.Cos(9*math.Pi/180))
	ramp := demands[1]
	if want := force * 0.110 / 2; math.Abs(ramp.Steady/want-1) > 1e-9 {
		t.Errorf("the ramp asks for %.6f N·m, by hand %.6f", ramp.Steady, want)
	}
	if want := 0.6 / 0.110; math.Abs(ramp.Speed/want-1) > 1e-9 {
		t.Errorf("at %.6f rad/s, by hand %.6f", ramp.Speed, want)
	}
	// The worst power is at the ramp's foot, still at the aisle's 0.9 m/s while
	// braking to 0.6 m/s, so it is at least the steady one.
	if ramp.Power < ramp.Steady*ramp.Speed*(1-1e-9) {
		t.Errorf("power %.3f W is below the steady %.3f W", ramp.Power, ramp.Steady*ramp.Speed)
	}
	if rest := demands[2]; !math.IsNaN(rest.Steady) {
		t.Errorf("a rest asks for %.3f N·m", rest.Steady)
	}
}
