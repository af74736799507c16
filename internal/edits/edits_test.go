package edits

import "testing"

func TestDistanceCountsWhatTurnsOneWordIntoTheOther(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"torque", "torque", 0}, {"", "ratio", 5}, {"paylod", "payload", 1}, {"speed", "sped", 1}, {"mass", "mars", 1}, {"stall", "install", 2}, {"abc", "xyz", 3}} {
		if got := Distance(c.a, c.b); got != c.want {
			t.Errorf("%q to %q is %d, want %d", c.a, c.b, got, c.want)
		}
		if got := Distance(c.b, c.a); got != c.want {
			t.Errorf("%q to %q is %d, want %d", c.b, c.a, got, c.want)
		}
	}
}
