package sizing_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"strings"
	"testing"
)

// sway is a random duty of two motors on one shaft with all that is known of it.
// All numbers are invented.
type sway struct {
	legs  []swayLeg
	limit float64 // A of the channel both motors share
}

// swayLeg runs at a speed, reached by an acceleration (0: at once), or rests.
type swayLeg struct {
	torque, speed, rate, time float64
	rest                      bool
}

// The motors, the shaft and the supply of every sway.
const (
	swayK, swayOhm, swayNoLoad = 0.1, 0.5, 0.3
	swayInertia                = 0.002
	swayPack, swayAux          = 0.04, 0.3
	swayEMF                    = 7 * 3.708 // V, seven cells at half charge (published checks G4)
)

// random draws steps, ramps and rests of very different lengths; some duties
// ask for more than the channel's limit on their ramps and fall behind.
func random(rng *rand.Rand) sway {
	s := sway{limit: 100}
	if rng.IntN(3) == 0 {
		s.limit = 5.5 + 2*rng.Float64()
	}
	for range 2 + rng.IntN(6) {
		long := math.Pow(10, rng.Float64()*2.5-1)
		l := swayLeg{torque: 0.4 * rng.Float64(), speed: 40 + 60*rng.Float64(), time: long}
		switch rng.IntN(4) {
		case 0:
			l.rest, l.rate, l.time = true, 300, 0.4+long
		case 1:
		default:
			l.rate, l.time = 40+200*rng.Float64(), 2+long
		}
		s.legs = append(s.legs, l)
	}
	s.legs = append(s.legs, swayLeg{rest: true, rate: 300, time: 2})
	return s
}

func (s sway) rig() rig {
	var legs strings.Builder
	for i, l := range s.legs {
		switch {
		case l.rest:
			fmt.Fprintf(&legs, "    - { name: r%d, rest: %.12g s, acceleration: %g rad/s^2 }\n", i, l.time, l.rate)
		case l.rate == 0:
			fmt.Fprintf(&legs, "    - { name: a%d, torque: %.12g N·m, speed: %.12g rad/s, for: %.12g s }\n", i, l.torque, l.speed, l.time)
		default:
			fmt.Fprintf(&legs, "    - { name: g%d, torque: %.12g N·m, speed: %.12g rad/s, acceleration: %.12g rad/s^2, for: %.12g s }\n", i, l.torque, l.speed, l.rate, l.time)
		}
	}
	return rig{
		yaml:        shaft(2, fmt.Sprintf("%g kg·m^2", swayInertia), legs.String(), fmt.Sprintf("  electronics: { current: %g A, min_voltage: 5 V }\n  motors_per_controller: 2\n", swayAux)),
		motors:      bareMotor("sway", 24, swayOhm, swayK, swayNoLoad),
		batteries:   fmt.Sprintf("id,chemistry,cells,nominal_voltage [V],capacity [Ah],resistance [ohm]\npack,li_ion,7,25,20,%g\n", swayPack),
		controllers: fmt.Sprintf("id,channels,current_continuous [A],current_peak [A],peak_time [s],voltage_min [V],voltage_max [V],current_limit [A]\nduo,1,10,25,5,6,40,%.12g\n", s.limit)}
}

// curve is ∫I² dt up to moments of the cycle.
type curve struct{ at, area []float64 }

func (c *curve) add(dt, first, middle, last float64) { // of I
	n := len(c.at) - 1
	c.at = append(c.at, c.at[n]+dt)
	c.area = append(c.area, c.area[n]+dt*(first*first+4*middle*middle+last*last)/6)
}

// until is ∫I² from 0 to t of the cycle repeated.
func (c *curve) until(t float64) float64 {
	last := len(c.at) - 1
	n := math.Floor(t / c.at[last])
	t -= n * c.at[last]
	i := min(sort.SearchFloat64s(c.at, t), last)
	whole := n * c.area[last]
	if i == 0 {
		return whole
	}
	return whole + c.area[i-1] + (c.area[i]-c.area[i-1])*(t-c.at[i-1])/(c.at[i]-c.at[i-1])
}

// worst is the largest rms of any window, by trying a great many.
func (c *curve) worst(w float64) float64 {
	period, most := c.at[len(c.at)-1], 0.0
	try := func(start float64) {
		if start < 0 {
			start += period * math.Ceil(-start/period)
		}
		most = math.Max(most, c.until(start+w)-c.until(start))
	}
	for _, t := range c.at {
		try(t)
		try(t - w)
	}
	for k := range 1000 {
		try(period * float64(k) / 1000)
	}
	return math.Sqrt(most / w)
}

// march works the duty out by itself: constant torque and constant limit make
// every stretch one of constant acceleration, on which the current of a motor
// is constant and the pack's follows the speed.
func (s sway) march() (motor, pack curve) {
	motor, pack = curve{[]float64{0}, []float64{0}}, curve{[]float64{0}, []float64{0}}
	omega := 0.0
	stretch := func(l swayLeg, rate, time float64) {
		const parts = 100
		i := (l.torque/2+swayInertia/2*rate)/swayK + swayNoLoad
		at := func(u float64) float64 { return packCurrent(i, omega+rate*time*u) }
		for k := range parts {
			u, v := float64(k)/parts, float64(k+1)/parts
			motor.add(time/parts, i, i, i)
			pack.add(time/parts, at(u), at((u+v)/2), at(v))
		}
		omega += rate * time
	}
	for _, l := range s.legs {
		if l.rest {
			brake := omega / l.rate
			if brake > 0 {
				stretch(swayLeg{}, -l.rate, brake)
			}
			if omega = 0; l.time > brake {
				motor.add(l.time-brake, 0, 0, 0)
				pack.add(l.time-brake, swayAux, swayAux, swayAux)
			}
			continue
		}
		left := l.time
		if l.rate > 0 && l.speed != omega {
			rate := math.Copysign(l.rate, l.speed-omega)
			most := ((s.limit/2-swayNoLoad)*swayK - l.torque/2) / (swayInertia / 2)
			rate = math.Min(rate, most)
			ramp := math.Min(left, (l.speed-omega)/rate)
			stretch(l, rate, ramp)
			left -= ramp
		} else {
			omega = l.speed
		}
		if left > 0 {
			stretch(l, 0, left)
		}
	}
	return motor, pack
}

// packCurrent solves d·Vbus = k·ω + I·R, Vbus = E − ib·Rb, ib = 2·d·I + Iaux.
func packCurrent(i, omega float64) float64 {
	need, b := swayK*omega+i*swayOhm, swayEMF-swayAux*swayPack
	d := 2 * need / (b + math.Sqrt(b*b-8*i*swayPack*need))
	return 2*d*i + swayAux
}

// The envelope of any duty agrees with brute force over an independent march of
// it within half a percent, at every window from 10 ms to the whole operating
// time, whether the duty is followed or falls behind.
func TestEnvelopeAgreesWithBruteForceOnRandomDuties(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 15))
	behind := 0
	for n := range 24 {
		s := random(rng)
		k := s.rig().only(t)
		d := k.Detail
		for _, l := range k.Legs {
			if l.LimitedBy != "" {
				behind++
				break
			}
		}
		if w := d.Envelope.Windows; w[0] != 0.01 || w[len(w)-1] < 3600 {
			t.Fatalf("windows run from 10 ms to the whole: %g … %g", w[0], w[len(w)-1])
		}
		motor, pack := s.march()
		within(t, "cycle", k.CycleTime, motor.at[len(motor.at)-1], 1e-6)
		for _, e := range d.Envelope.Elements {
			of, scale := &motor, 1.0
			switch e.Name {
			case "controller":
				scale = 2
			case "battery":
				of = &pack
			}
			for i, w := range d.Envelope.Windows {
				if i%3 != 0 {
					continue
				}
				if got, want := e.Duty[i], scale*of.worst(w); math.Abs(got-want) > 5e-3*want {
					t.Fatalf("duty %d, %s: the worst %g s carry %g A, brute force %g A\n%s", n, e.Name, w, got, want, s.rig().yaml)
				}
			}
		}
	}
	if behind < 3 {
		t.Errorf("only %d duties fell behind", behind)
	}
}

// Every element's utilisation, told as its check tells it, is the worst of its
// own curves.
func TestUtilisationCoversItsOwnCurves(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	for range 6 {
		for _, e := range random(rng).rig().only(t).Detail.Envelope.Elements {
			for i := range e.Stands {
				if u := e.Duty[i] / e.Stands[i]; u > e.Utilisation*(1+7e-3) {
					t.Errorf("%s: %g at window %d, told %g", e.Name, u, i, e.Utilisation)
				}
			}
		}
	}
}

// What the source gives is what the parts take: losses, electronics and load.
func TestLossesSumToWhatTheSourceGives(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 3))
	for n := range 8 {
		k := random(rng).rig().only(t)
		total, shares := 0.0, 0.0
		for _, l := range k.Detail.Losses {
			total += l.Watts
			shares += l.Share
			if l.Watts < -1e-9 && !l.Useful {
				t.Errorf("duty %d: %s gives power: %g W", n, l.Where, l.Watts)
			}
		}
		emf := k.Detail.Trace[0].BusVoltage + k.Detail.Trace[0].BatteryCurrent*0.04
		within(t, "power of the source", total, emf*k.BatteryCurrentMean, 3e-3)
		within(t, "shares", shares, 1, 1e-9)
	}
}
