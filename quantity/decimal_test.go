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

func TestTheSameQuantityIsTheSameNumberInEveryUnit(t *testing.T) {
	for _, pair := range []struct {
		kind Kind
		a, b string
	}{{KindTorque, "72.0077887375 kg·cm", "1000 oz-in"}, {KindAngularSpeed, "60 rpm", "360 deg/s"},
		{KindMass, "453.59237 g", "1 lb"}, {KindSpeed, "3.6 km/h", "1 m/s"}, {KindLength, "8 in", "203.2 mm"}} {
		a, errA := Parse(pair.kind, pair.a)
		b, errB := Parse(pair.kind, pair.b)
		if errA != nil || errB != nil || a.Value != b.Value {
			t.Errorf("%s is %v and %s is %v", pair.a, a.Value, pair.b, b.Value)
		}
	}
}
