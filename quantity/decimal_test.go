package quantity

import "testing"

func TestDecimalPrefixesKeepTheDecimals(t *testing.T) {
	for _, c := range []struct {
		kind Kind
		text string
		want float64
	}{{KindFraction, "95 %", 0.95}, {KindFraction, "94 %", 0.94}, {KindLength, "700 mm", 0.7},
		{KindCurrent, "350 mA", 0.35}, {KindTime, "1950 us", 0.00195}, {KindTorque, "35 N·cm", 0.35}} {
		r, err := Parse(c.kind, c.text)
		if err != nil || r.Value != c.want {
			t.Errorf("%s is %v (%v), want %v to the last bit", c.text, r.Value, err, c.want)
		}
	}
}
