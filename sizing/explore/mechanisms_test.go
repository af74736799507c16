package explore

import (
	"context"
	"math"
	"testing"

	"example.org/dray/sizing"
)

// every mechanism, and what is odd about a duty: a log, a pivot turn, a step, no
// rest, a level and a steep way, an adapter.
var everyMechanism = map[string]string{
	"wheels, pivot and step": `mechanism: { wheels: { mass: 20 kg, payload: 5 kg, wheel_diameter: 200 mm, motors: 2, rolling_resistance: 0.03, wheelbase: 400 mm, track: 400 mm, scrub: { friction: 0.6, contact: wheels } } }
duty: { acceleration: 0.5 m/s^2, legs: [ { speed: 0.5 m/s, distance: 5 m }, { rest: 3 s }, { turn: pivot, speed: 60 deg/s, for: 2 s }, { rest: 10 s }, { step: 10 mm }, { speed: 0.4 m/s, for: 5 s }, { rest: 9 s } ] }`,
	"wheels without a rest": `mechanism: { wheels: { mass: 20 kg, wheel_diameter: 200 mm, rolling_resistance: 0.03 } }
duty: { acceleration: 0.5 m/s^2, legs: [ { speed: 0.5 m/s, distance: 5 m }, { speed: 0.7 m/s, for: 8 s } ] }`,
	"wheels up a wall": `mechanism: { wheels: { mass: 2 kg, wheel_diameter: 100 mm, rolling_resistance: 0.03 } }
duty: { acceleration: 0.5 m/s^2, legs: [ { speed: 0.2 m/s, distance: 5 m, incline: 70 deg }, { rest: 20 s } ] }`,
	"arm": `mechanism: { arm: { mass: 1 kg, radius: 0.4 m, payload: 0.5 kg } }
duty: { legs: [ { from: 0 deg, to: 60 deg, in: 3 s }, { hold: 5 s }, { to: 0 deg, in: 3 s }, { rest: 10 s } ] }`,
	"hoist": `mechanism: { hoist: { mass: 8 kg, drum_diameter: 60 mm } }
duty: { acceleration: 0.2 m/s^2, legs: [ { speed: 0.1 m/s, distance: 1 m }, { hold: 3 s }, { speed: -0.1 m/s, distance: 1 m }, { rest: 20 s } ] }`,
	"turntable": `mechanism: { turntable: { inertia: 0.5 kg·m^2, friction_torque: 0.4 N·m } }
duty: { acceleration: 2 rad/s^2, legs: [ { speed: 10 rpm, for: 12 s }, { rest: 20 s } ] }`,
	"belt": `mechanism: { belt: { mass: 10 kg, pulley_diameter: 60 mm, friction: 0.3, breakaway: 1.4 } }
duty: { acceleration: 0.4 m/s^2, legs: [ { speed: 0.3 m/s, for: 20 s }, { rest: 20 s } ] }`,
	"screw, a jack": `mechanism: { screw: { mass: 40 kg, lead: 5 mm, screw_diameter: 16 mm, friction: 0.12, incline: 90 deg } }
duty: { acceleration: 0.05 m/s^2, legs: [ { speed: 10 mm/s, distance: 200 mm }, { rest: 10 s }, { speed: -10 mm/s, distance: 200 mm }, { rest: 20 s } ] }`,
	"shaft": `mechanism: { shaft: { inertia: 0.01 kg·m^2 } }
duty: { legs: [ { torque: 3 N·m, speed: 60 rpm, for: 10 s }, { torque: 0 N·m, rest: 20 s } ] }`,
}

func TestEveryMechanismHasHeadroomAndRatios(t *testing.T) {
	motors := motorHead + "geared,24,40:1,output,0.75,140,0.4,14,12,700\nbare,24,,motor,,5600,0.3,0.6,15,\n"
	trains := "id,ratio,efficiency\nring-30,30,80 %\n"
	supplies := []string{"supply: { batteries: any, controllers: any }\n", "supply: { adapter: { voltage: 24 V, current: 8 A, beyond: trips }, controllers: any }\n"}
	for name, text := range everyMechanism {
		for i, supply := range supplies {
			if i > 0 && name != "hoist" && name != "wheels without a rest" {
				continue
			}
			c, cat := made(t, "title: "+name+"\n"+text+"\n"+supply+"catalogs: { motors: m.csv, gear_trains: g.csv, batteries: b.csv, controllers: k.csv }\n", motors, trains)
			picks, err := sizing.Picks(c, cat)
			if err != nil {
				t.Fatal(err)
			}
			f, err := sizing.Rank(context.Background(), c, cat, sizing.Options{})
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range picks {
				h, err := FindHeadroom(context.Background(), c, p)
				if err != nil {
					t.Fatalf("%s: %v", name, err)
				}
				for _, r := range h.Items {
					switch {
					case math.IsNaN(r.Now):
						if r.Reason == "" {
							t.Errorf("%s: %s does not apply and does not say why", name, r.Quantity)
						}
					case math.IsNaN(r.Limit) && !r.Down, r.Down && r.Limit > r.Now, !r.Down && r.Limit < r.Now*(1-1e-12), math.IsInf(r.Limit, 0), math.IsNaN(r.End):
						t.Errorf("%s %s: %+v", name, h.Candidate.ID, r)
					}
				}
				r, err := FindRatios(context.Background(), c, cat, p)
				if err != nil {
					t.Fatalf("%s: %v", name, err)
				}
				if len(r.Windows) == 0 && r.Conflict == nil || len(r.OnOffer) == 0 {
					t.Errorf("%s %s: neither windows nor a conflict, or no offer: %+v", name, r.ID, r)
				}
				if own := inside(r.Ratio, r.Windows); own != (h.Candidate.Verdict != sizing.Fails) && !(p.Motor.Bare && p.Train == nil) {
					t.Errorf("%s %d %s at %g is %v, windows %v", name, i, r.ID, r.Ratio, h.Candidate.Verdict, r.Windows)
				}
			}
			for k := range f.Candidates {
				if _, err := WhyNot(context.Background(), f, &f.Candidates[k]); err != nil {
					t.Errorf("%s: %v", name, err)
				}
			}
		}
	}
}
