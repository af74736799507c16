package sizing_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The ramp that is told keeps a start at its limit and no slower ramp is asked
// for: the command raised over that time, marched, peaks just at the limit.
func TestTheRampToldKeepsAStartJustAtTheLimit(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		ohm := rapid.Float64Range(0.05, 0.4).Draw(rt, "ohm")
		k := rapid.Float64Range(0.03, 0.15).Draw(rt, "k")
		inertia := rapid.Float64Range(2e-3, 2e-2).Draw(rt, "inertia")
		limit := rapid.Float64Range(0.1, 0.4).Draw(rt, "limit") * 24 / ohm
		torque := rapid.Float64Range(0.05, 0.5).Draw(rt, "load") * limit * k
		r := rig{
			yaml:        shaft(1, fmt.Sprintf("%.12g kg·m^2", inertia), fmt.Sprintf("    - { name: go, torque: %.12g N·m, speed: 20 rad/s, acceleration: 20 rad/s^2, for: 20 s }\n    - { name: stop, rest: 20 s }\n", torque), "  adapter: { voltage: 24 V, current: 5000 A, beyond: holds }\n"),
			motors:      bareMotor("ramped", 24, ohm, k, 0),
			controllers: fmt.Sprintf("id,channels,current_continuous [A],voltage_max [V]\nonly,1,%.12g,40\n", limit)}
		s := r.only(t).Detail.Start
		if !(s.TamedByRamp > 0) || math.Abs(s.TamedByLimit-limit) > 1e-9*limit {
			rt.Fatalf("a start of %g A against %g A: %+v", s.Current, limit, s)
		}
		peak, omega := 0.0, 0.0
		const steps = 20000
		dt := s.TamedByRamp / steps
		for n := range steps {
			i := math.Max(0, (24*float64(n+1)/steps-k*omega)/ohm)
			omega = math.Max(0, omega+(k*i-torque)/inertia*dt)
			peak = math.Max(peak, i)
		}
		if peak > limit*(1+2e-3) {
			rt.Fatalf("ramped over %g s the start peaks at %g A, above %g A", s.TamedByRamp, peak, limit)
		}
		// Where the ramp is long beside the mechanical time constant it is not
		// longer than it needs to be.
		if tau := inertia * ohm / (k * k); s.TamedByRamp > 12*tau && peak < limit*0.99 {
			rt.Fatalf("ramped over %g s the start peaks at %g A only, of %g A", s.TamedByRamp, peak, limit)
		}
	})
}

// A machine held to a limit takes to its speed what an independent march in
// time says, whatever bounds it on the way.
func TestTheRunUpAgreesWithAMarchInTime(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		ohm := rapid.Float64Range(0.1, 0.5).Draw(rt, "ohm")
		k := rapid.Float64Range(0.05, 0.15).Draw(rt, "k")
		inertia := rapid.Float64Range(2e-3, 2e-2).Draw(rt, "inertia")
		limit := rapid.Float64Range(0.2, 0.9).Draw(rt, "limit") * 24 / ohm
		torque := 0.3 * limit * k
		speed := 0.6 * 24 / k
		r := rig{
			yaml:        shaft(1, fmt.Sprintf("%.12g kg·m^2", inertia), fmt.Sprintf("    - { name: go, torque: %.12g N·m, speed: %.12g rad/s, acceleration: 20 rad/s^2, for: 2 min }\n    - { name: stop, rest: 2 min }\n", torque, speed), "  adapter: { voltage: 24 V, current: 5000 A, beyond: holds }\n"),
			motors:      bareMotor("run", 24, ohm, k, 0),
			controllers: fmt.Sprintf("id,channels,current_continuous [A],voltage_max [V]\nonly,1,%.12g,40\n", limit)}
		s := r.only(t).Detail.Start
		const dt = 2e-5
		at, omega := 0.0, 0.0
		for omega < speed && at < 60 {
			i := math.Min(limit, (24-k*omega)/ohm)
			net := k*i - torque
			if net <= 0 {
				at = math.Inf(1)
				break
			}
			omega += net / inertia * dt
			at += dt
		}
		if math.IsInf(at, 1) != math.IsInf(s.Takes, 1) || !math.IsInf(at, 1) && math.Abs(s.Takes-at) > 5e-3*at+2*dt {
			rt.Fatalf("told %g s, marched %g s", s.Takes, at)
		}
	})
}

// Behind gears the load's inertia comes through their friction: at a constant
// current the run-up takes (J/(N²·η))·ω/(k·I − T/(N·η) − Tf).
func TestARunUpBehindGearsFeelsTheirFriction(t *testing.T) {
	const k, n, eta, inertia, torque, limit, speed = 0.05, 20.0, 0.7, 0.8, 4.0, 12.0, 8.0
	r := rig{
		yaml: shaft(1, fmt.Sprintf("%g kg·m^2", inertia), fmt.Sprintf("    - { name: go, torque: %g N·m, speed: %g rad/s, acceleration: 2 rad/s^2, for: 1 min }\n    - { name: stop, rest: 1 min }\n", torque, speed), "  adapter: { voltage: 24 V, current: 5000 A, beyond: holds }\n"),
		motors: "id,nominal_voltage [V],resistance [ohm],torque_constant [N·m/A],no_load_current [A],ratio,gear_efficiency\n" +
			fmt.Sprintf("geared,24,0.3,%g,0.5,%g,%g %%\n", k, n, 100*eta),
		controllers: fmt.Sprintf("id,channels,current_continuous [A],voltage_max [V]\nonly,1,%g,40\n", limit)}
	s := r.only(t).Detail.Start
	within(t, "run-up", s.Takes, inertia/(n*n*eta)*speed*n/(k*limit-torque/(n*eta)-k*0.5), 2e-3)
}
