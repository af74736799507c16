package sizing_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/dray/sizing"
)

// randomRig draws a duty with steps, ramps, rests and holds of very different
// lengths; all numbers are invented.
func randomRig(rng *rand.Rand) rig {
	var legs strings.Builder
	for i := range 2 + rng.IntN(6) {
		long := math.Pow(10, rng.Float64()*2.5-1)
		switch torque, speed := 0.4*rng.Float64(), 40+60*rng.Float64(); rng.IntN(4) {
		case 0:
			fmt.Fprintf(&legs, "    - { name: r%d, rest: %.3f s, acceleration: 300 rad/s^2 }\n", i, 0.4+long)
		case 1:
			fmt.Fprintf(&legs, "    - { name: a%d, torque: %.4f N·m, speed: %.2f rad/s, for: %.3f s }\n", i, torque, speed, long)
		default:
			fmt.Fprintf(&legs, "    - { name: g%d, torque: %.4f N·m, speed: %.2f rad/s, acceleration: %.1f rad/s^2, for: %.3f s }\n", i, torque, speed, 40+200*rng.Float64(), 2+long)
		}
	}
	legs.WriteString("    - { name: end, rest: 2 s, acceleration: 300 rad/s^2 }\n")
	return rig{
		yaml:        shaft(2, "0.002 kg·m^2", legs.String(), "  electronics: { current: 0.3 A, min_voltage: 5 V }\n  motors_per_controller: 2\n"),
		motors:      bareMotor("sway", 24, 0.5, 0.1, 0.3),
		batteries:   "id,chemistry,cells,nominal_voltage [V],capacity [Ah],resistance [mohm]\npack,li_ion,7,25,20,40\n",
		controllers: "id,channels,current_continuous [A],current_peak [A],peak_time [s],voltage_min [V],voltage_max [V]\nduo,1,10,25,5,6,40\n"}
}

// bruteForce is the envelope by sliding windows over a dense grid of the trace
// itself, by ∫I² between straight pieces of current: nothing of the engine's
// search is in it.
func bruteForce(trace []sizing.State, of func(*sizing.State) float64, w float64) float64 {
	var at, area []float64
	sum, last := 0.0, 0.0
	for i := 1; i < len(trace); i++ {
		a, b := &trace[i-1], &trace[i]
		dt := b.At - a.At
		if dt <= 0 {
			continue
		}
		const cut = 16
		for k := range cut {
			u, v := float64(k)/cut, float64(k+1)/cut
			p, q := of(a)+u*(of(b)-of(a)), of(a)+v*(of(b)-of(a))
			sum += dt / cut * (p*p + p*q + q*q) / 3
			last = a.At + v*dt
			at, area = append(at, last), append(area, sum)
		}
	}
	period := last
	until := func(t float64) float64 { // ∫I² from 0 to t, the cycle repeated
		n := math.Floor(t / period)
		t -= n * period
		lo, hi := 0, len(at)-1
		for lo < hi {
			if mid := (lo + hi) / 2; at[mid] < t {
				lo = mid + 1
			} else {
				hi = mid
			}
		}
		from, base := 0.0, 0.0
		if lo > 0 {
			from, base = at[lo-1], area[lo-1]
		}
		return n*sum + base + (area[lo]-base)*(t-from)/(at[lo]-from)
	}
	most := 0.0
	try := func(start float64) {
		if start < 0 {
			start += period * math.Ceil(-start/period)
		}
		most = math.Max(most, until(start+w)-until(start))
	}
	for _, t := range at { // windows that start or end at an edge, and a plain grid
		try(t)
		try(t - w)
	}
	for k := range 2000 {
		try(period * float64(k) / 2000)
	}
	return math.Sqrt(most / w)
}

// The envelope of any duty agrees with brute force over its own trace within
// half a percent, at every window from 10 ms to the whole operating time.
func TestEnvelopeAgreesWithBruteForceOnRandomDuties(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 15))
	for n := range 12 {
		r := randomRig(rng)
		k := r.only(t)
		d := k.Detail
		if w := d.Envelope.Windows; w[0] != 0.01 || w[len(w)-1] < 3600 {
			t.Fatalf("windows run from 10 ms to the whole: %g … %g", w[0], w[len(w)-1])
		}
		for _, e := range d.Envelope.Elements {
			scale := 1.0
			of := func(s *sizing.State) float64 { return s.MotorCurrent }
			switch e.Name {
			case "controller":
				scale = 2
			case "battery":
				of = func(s *sizing.State) float64 { return s.BatteryCurrent }
			}
			for i, w := range d.Envelope.Windows {
				if i%3 != 0 {
					continue
				}
				if got, want := e.Duty[i], scale*bruteForce(d.Trace, of, w); math.Abs(got-want) > 5e-3*want {
					t.Fatalf("duty %d, %s: the worst %g s carry %g A, brute force %g A\n%s", n, e.Name, w, got, want, r.yaml)
				}
			}
		}
	}
}

// Every element's utilisation is the worst of its own curves, within the grid.
func TestUtilisationCoversItsOwnCurves(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	for range 6 {
		for _, e := range randomRig(rng).only(t).Detail.Envelope.Elements {
			for i := range e.Stands {
				if u := e.Duty[i] / e.Stands[i]; u > e.Utilisation*(1+2e-3) {
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
		k := randomRig(rng).only(t)
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
