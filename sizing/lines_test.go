package sizing_test

import (
	"math"
	"testing"

	"example.org/dray/internal/demo"
	"example.org/dray/sizing"
)

// A line passes through the listed no-load and stall points at its ends, and
// every operating point of a followed duty lies on or below the hot line.
func TestLinesAgreeWithTheListingAndTheDuty(t *testing.T) {
	c, cat := demo.Load(t, "cart")
	f, k, err := sizing.Examine(t.Context(), c, cat, "1")
	if err != nil {
		t.Fatal(err)
	}
	j, err := sizing.NewJudge(f.Case)
	if err != nil {
		t.Fatal(err)
	}
	lines := j.Lines(k.Pick)
	if len(lines) != 4 || lines[0].Name != "listed" {
		t.Fatalf("%d lines, want listed, cold, hot, spent", len(lines))
	}
	m := k.Motor
	rest, free := lines[0].Points[0], lines[0].Points[len(lines[0].Points)-1]
	if want := float64(m.StallCurrent.Value); math.Abs(rest.Current/want-1) > 0.002 {
		t.Errorf("at rest %.3f A, the row says %.3f A", rest.Current, want)
	}
	if want := float64(m.NoLoadSpeed.Value) / k.Ratio; math.Abs(free.Speed/want-1) > 0.002 {
		t.Errorf("free at %.3f rad/s, the row says %.3f", free.Speed, want)
	}
	if free.Torque > 1e-6*rest.Torque {
		t.Errorf("%.3g N·m left at the free speed", free.Torque)
	}
	for _, l := range k.Legs {
		s := l.Steady
		if drives := s.OutputTorque * s.OutputSpeed; drives > 0 {
			if most := lineAt(lines[2], math.Abs(s.OutputSpeed)); math.Abs(s.OutputTorque) > most {
				t.Errorf("leg %s asks for %.3f N·m where the hot line ends at %.3f", l.Name, s.OutputTorque, most)
			}
		}
	}
}

// lineAt reads a line's torque at a speed.
func lineAt(l sizing.Line, speed float64) float64 {
	for i := 1; i < len(l.Points); i++ {
		if a, b := l.Points[i-1], l.Points[i]; speed <= b.Speed {
			return a.Torque + (b.Torque-a.Torque)*(speed-a.Speed)/(b.Speed-a.Speed)
		}
	}
	return 0
}

// Warmed up without end, the means of the warm-up are the means of the
// periodic state that the engine found without marching.
func TestWarmUpEndsInThePeriodicState(t *testing.T) {
	c, cat := demo.Load(t, "cart")
	c.OperatingTime, c.Pause = 0, 0
	f, k, err := sizing.Examine(t.Context(), c, cat, "1")
	if err != nil {
		t.Fatal(err)
	}
	j, err := sizing.NewJudge(f.Case)
	if err != nil {
		t.Fatal(err)
	}
	warm := j.WarmUp(k.Pick)
	end := warm[len(warm)-1]
	if warm[0].Winding != float64(c.Air.Value) {
		t.Errorf("starts at %.2f °C, the air is at %.2f", warm[0].Winding, float64(c.Air.Value))
	}
	// The means of R(T)·I² and of R(mean T)·mean I² differ by the swing within
	// a cycle; a kelvin covers the demo's.
	if math.Abs(end.Winding-k.WindingMean) > 1 {
		t.Errorf("ends at %.2f °C, the periodic mean is %.2f", end.Winding, k.WindingMean)
	}
}
