package verify

import "math"

// duty is one verification duty: the machine in SI, written out again beside
// the case file of the same name in testdata, and the pick that is meant.
type duty struct {
	name    string // testdata/name.yaml
	pick    string // id of the candidate
	machine *machine
	runs    int     // cycles the simulator marches to its own periodic state
	runaway bool    // no periodic state exists
	charge  float64 // state of charge kept (reserve)
	cutOff  float64 // V at the pack's terminals: 1.75, 3.0, 2.5 and 1.0 V a cell, as the model states
}

const deg = math.Pi / 180

// gauge figures and other shorthand of the case files.
func ash24() motor {
	return motor{R: 0.30, K: 0.060, I0: 0.8, J: 1.2e-4, L: 0.40e-3, Tref: 25, Beta: -0.0020, Rwh: 0.90, Rha: 1.80, Cw: 12 / 0.90, Ch: 90 / 1.80}
}
func elm12() motor {
	return motor{R: 0.40, K: 0.030, I0: 0.5, J: 3e-5, L: 0.30e-3, Tref: 25, Beta: -0.0011, Rwh: 2.5, Rha: 4.0, Cw: 8 / 2.5, Ch: 60 / 4.0}
}
func fir24() motor {
	return motor{R: 0.55, K: 0.075, I0: 0.4, J: 2e-4, L: 0.60e-3, Tref: 25, Beta: -0.0004, Rwh: 1.2, Rha: 2.4, Cw: 45 / 1.2, Ch: 1200 / 2.4}
}

// yew12 derives the constants of a gear-motor row: 12 V, 150 rpm, 0.5 A,
// 6.0 N·m, 12 A at the output of 19.5:1.
func yew12() (motor, gear) {
	const v, speed, i0, ts, is, n = 12.0, 150 * 2 * math.Pi / 60, 0.5, 6.0, 12.0, 19.5
	r := v / is
	k := (v - i0*r) / (speed * n)
	eta := math.Min(1, ts/(n*k*(is-i0)))
	return motor{R: r, K: k, I0: i0, J: 1.5e-5, L: 0.25e-3, Tref: 25, Beta: -0.0020, Rwh: 3, Rha: 5, Cw: 10 / 3., Ch: 80 / 5.},
		gear{n, eta, 2 - 1/math.Max(eta, 0.6)}
}

func gearing(n, eta float64) gear { return gear{n, eta, 2 - 1/eta} }

// on is a supply on a controller of the catalog: on-resistance, idle current,
// number of controllers, electronics.
func on(p pack, motors, perChannel int, ron, iaux float64) supply {
	return supply{Pack: p, Motors: motors, PerChannel: perChannel, Ron: ron, Iaux: iaux, DutyMax: 1}
}

// duties is the list of the issue, and a few more.
func duties() []duty {
	return []duty{
		steadyClimb(), regeneratingDescent(), overhaulingArm(), stall(), voltageLimited(), currentLimited(),
		nearRunaway("near-runaway", 0.163), nearRunaway("runaway", 0.19), shortTime(),
		intermittent("intermittent-15", 12, 90, 510), intermittent("intermittent-40", 8, 240, 360),
		saggingPack(), furtherStage(), burningDescent(), rippleAndListing(),
	}
}

func steadyClimb() duty {
	m := &machine{Motor: ash24(), Train: train{gearing(20, 0.80)}, Air: 34, Charge: 0.5,
		Load:   &cart{n: 2, mass: 24, r: 0.1, crr: 0.025, jrot: 0.02},
		Supply: on(cells("lead_acid", 12, 12, 20, 0.8, 0.060), 2, 1, 0.010, 0.35+0.05),
		Legs: []leg{
			{name: "aisle", speed: 1, distance: 8, payload: 18},
			{name: "climb", speed: 0.7, distance: 20, incline: 9 * deg, payload: 18},
			{name: "unload", kind: rest, time: 15, payload: 18},
			{name: "back", speed: -1, distance: 10},
			{name: "load", kind: rest, time: 20, payload: 18},
		}}
	m.Motor.J += 2e-6
	m.Supply.Rs, m.Supply.Rl = wire(14, 0.6, 34), wire(16, 0.8, 34)
	return duty{name: "steady-climb", pick: "ash-24+g20+lead-24+plain", machine: m.accelerating(0.5), runs: 8, charge: 0.15, cutOff: 21}
}

func regeneratingDescent() duty {
	m := &machine{Motor: ash24(), Train: train{gearing(20, 0.80)}, Air: 20, Charge: 0.5,
		Load:   &cart{n: 2, mass: 30, r: 0.1, crr: 0.012, cda: 0.5},
		Supply: on(cells("li_ion", 7, 8, 5, 0.8, 0.070), 2, 1, 0.010, 0.2+0.05),
		Legs: []leg{
			{name: "down", speed: 1.2, distance: 40, incline: -10 * deg, payload: 40},
			{name: "unload", kind: rest, time: 10, payload: 40},
			{name: "up", speed: -0.9, distance: 40, incline: 10 * deg},
			{name: "load", kind: rest, time: 12, payload: 40},
		}}
	m.Motor.J += 2e-6
	m.Supply.Rs = wire(12, 1, 20)
	return duty{name: "regenerating-descent", pick: "ash-24+g20+ion-25+plain", machine: m.accelerating(0.4), runs: 6, charge: 0.10, cutOff: 21}
}

func overhaulingArm() duty {
	m := &machine{Motor: ash24(), Train: train{gearing(100, 0.70)}, Air: 25, Charge: 0.5,
		Load:   &lever{n: 1, mass: 3, radius: 0.6, armMass: 2, armRadius: 0.3, added: 0.05, help: 4, rate: 1.5, torqueAt: 2},
		Supply: on(cells("lifepo4", 8, 10, 5, 1, 0.040), 1, 1, 0.010, 0.05),
		Legs: []leg{
			{name: "raise", kind: move, from: -30 * deg, to: 60 * deg, time: 4},
			{name: "show", kind: hold, time: 3},
			{name: "lower", kind: move, from: 60 * deg, to: -30 * deg, time: 3},
			{name: "wait", kind: hold, time: 4},
		}}
	m.Motor.J += 1e-6
	return duty{name: "overhauling-arm", pick: "ash-24+g100+fer-25+plain", machine: m.accelerating(1), runs: 30}
}

func stall() duty {
	m := &machine{Motor: ash24(), Train: train{gearing(20, 0.80)}, Air: 25, Charge: 0.5,
		Load:   &cart{n: 2, mass: 60, r: 0.1, crr: 0.08},
		Supply: on(cells("lead_acid", 12, 12, 20, 0.8, 0.060), 2, 1, 0.012, 0.05),
		Legs: []leg{
			{name: "push", speed: 0.5, time: 20},
			{name: "give up", kind: rest, time: 30},
			{name: "again", speed: 0.5, distance: 1},
			{name: "cool", kind: rest, time: 40},
		}}
	m.Motor.J += 2e-6
	m.Supply.ChannelLimit = 2.4
	return duty{name: "stall", pick: "ash-24+g20+lead-24+limit-2.4", machine: m.accelerating(0.5), runs: 5}
}

func voltageLimited() duty {
	m := &machine{Motor: ash24(), Train: train{gearing(14, 0.81)}, Air: 25, Charge: 0.5,
		Load:   &cart{n: 2, mass: 42, r: 0.1, crr: 0.02, cda: 0.8},
		Supply: on(cells("lead_acid", 12, 12, 20, 0.8, 0.060), 2, 1, 0.010, 0.3+0.05),
		Legs: []leg{
			{name: "dash", speed: 2.6, distance: 15},
			{name: "stop", kind: rest, time: 8},
			{name: "too fast", speed: 3.2, distance: 20},
			{name: "halt", kind: rest, time: 12},
		}}
	return duty{name: "voltage-limited", pick: "ash-24+g14+lead-24+plain", machine: m.accelerating(4), runs: 12}
}

func currentLimited() duty {
	m := &machine{Motor: ash24(), Train: train{gearing(20, 0.80)}, Air: 25, Charge: 0.5,
		Load:   &cart{n: 2, mass: 60, r: 0.1, crr: 0.02},
		Supply: on(cells("lifepo4", 8, 10, 5, 0.8, 0.040), 2, 1, 0.012, 0.05),
		Legs: []leg{
			{name: "out", speed: 1.5, time: 12},
			{name: "wait", kind: rest, time: 10},
			{name: "home", speed: -1.5, distance: 15},
			{name: "rest", kind: rest, time: 15},
		}}
	m.Motor.J += 2e-6
	m.Supply.ChannelLimit = 6
	return duty{name: "current-limited", pick: "ash-24+g20+fer-25+limit-6", machine: m.accelerating(2.5), runs: 10}
}

func nearRunaway(name string, torque float64) duty {
	m := &machine{Motor: elm12(), Train: train{{1, 1, 1}}, Air: 40, Charge: 0.5,
		Load:   &shaft{n: 1, inertia: 1e-4},
		Supply: on(cells("li_ion", 4, 5, 5, 0.8, 0.050), 1, 1, 0.010, 0.05),
		Legs: []leg{
			{name: "turn", torque: torque, speed: 120, time: 60},
			{name: "breathe", kind: rest, time: 20},
		}}
	return duty{name: name, pick: "elm-12+ion-14+plain", machine: m.accelerating(500), runs: 14, runaway: name == "runaway"}
}

func shortTime() duty {
	m := &machine{Motor: fir24(), Train: train{gearing(20, 0.80)}, Air: 25, Charge: 0.5, Total: 600,
		Load:   &shaft{n: 1, inertia: 0.02},
		Supply: on(cells("lead_acid", 12, 12, 20, 0.8, 0.060), 1, 1, 0.010, 0.05),
		Legs: []leg{
			{name: "work", torque: 9, speed: 8, time: 45},
			{name: "pause", kind: rest, time: 5},
		}}
	m.Motor.J += 2e-6
	return duty{name: "short-time", pick: "fir-24+g20+lead-24+plain", machine: m.accelerating(20), runs: 12}
}

func intermittent(name string, torque, work, idle float64) duty {
	m := &machine{Motor: fir24(), Train: train{gearing(20, 0.80)}, Air: 25, Charge: 0.5,
		Load:   &shaft{n: 1, inertia: 0.02},
		Supply: on(cells("lifepo4", 8, 10, 5, 0.8, 0.040), 1, 1, 0.010, 0.05),
		Legs: []leg{
			{name: "work", torque: torque, speed: 8, time: work},
			{name: "rest", kind: rest, time: idle},
		}}
	m.Motor.J += 2e-6
	return duty{name: name, pick: "fir-24+g20+fer-25+plain", machine: m.accelerating(20), runs: 10}
}

func saggingPack() duty {
	m := &machine{Motor: ash24(), Train: train{gearing(20, 0.80)}, Air: 5, Charge: 0.5,
		Load:   &cart{n: 4, mass: 70, r: 0.1, crr: 0.03},
		Supply: on(cells("lead_acid", 12, 10, 20, 0.5, 0.42), 4, 1, 0.010, 0.5+2*0.05),
		Legs: []leg{
			{name: "out", speed: 1.3, distance: 14, incline: 4 * deg, payload: 50},
			{name: "turn", kind: rest, time: 10, payload: 50},
			{name: "home", speed: -1.3, distance: 14, incline: -4 * deg, payload: 50},
			{name: "wait", kind: rest, time: 15, payload: 50},
		}}
	m.Motor.J += 2e-6
	m.Supply.Pack.Peukert = 1.25
	return duty{name: "sagging-pack", pick: "ash-24+g20+lead-24-old+plain", machine: m.accelerating(1.2), runs: 8, charge: 0.20, cutOff: 21}
}

func furtherStage() duty {
	m := &machine{Motor: ash24(), Train: train{gearing(14, 0.81), gearing(1.5, 0.95)}, Air: 30, Charge: 0.5,
		Load:   &cart{n: 4, mass: 60, r: 0.125, crr: 0.03},
		Supply: on(cells("li_ion", 7, 8, 5, 0.9, 0.070), 4, 2, 0.010, 0.05),
		Legs: []leg{
			{name: "out", speed: 1.1, distance: 12, incline: 5 * deg, payload: 20},
			{name: "down", speed: 0.8, distance: 10, incline: -8 * deg, payload: 20},
			{name: "rest", kind: rest, time: 12, payload: 20},
			{name: "home", speed: -1.1, time: 12},
			{name: "load", kind: rest, time: 9, payload: 20},
		}}
	m.Supply.Rs, m.Supply.Rl = wire(12, 0.5, 30), wire(18, 1.2, 30)
	return duty{name: "further-stage", pick: "ash-24+g14+x1.5+ion-25+plain", machine: m.accelerating(0.6), runs: 10, cutOff: 21}
}

func burningDescent() duty {
	m := &machine{Motor: ash24(), Train: train{gearing(20, 0.80)}, Air: 20, Charge: 0.5,
		Load:   &cart{n: 2, mass: 45, r: 0.1, crr: 0.012},
		Supply: on(cells("li_ion", 7, 8, 5, 0.8, 0.070), 2, 1, 0.015, 0.03),
		Legs: []leg{
			{name: "down", speed: 1, distance: 20, incline: -10 * deg},
			{name: "rest", kind: rest, time: 10},
			{name: "up", speed: -0.8, distance: 20, incline: 10 * deg},
			{name: "wait", kind: rest, time: 12},
		}}
	m.Motor.J += 2e-6
	m.Supply.NoRecovery, m.Supply.Vd, m.Supply.DutyMax = true, 0.7, 0.95
	return duty{name: "burning-descent", pick: "ash-24+g20+ion-25+burning", machine: m.accelerating(0.4), runs: 8}
}

func rippleAndListing() duty {
	q, g := yew12()
	m := &machine{Motor: q, Train: train{g}, Air: 25, Charge: 0.5,
		Load:   &shaft{n: 1, inertia: 0.01},
		Supply: on(cells("nimh", 10, 4, 5, 0.8, 0.080), 1, 1, 0.010, 0.02),
		Legs: []leg{
			{name: "work", torque: 1.2, speed: 8, time: 25},
			{name: "crawl", torque: 0.8, speed: 3, time: 15},
			{name: "rest", kind: rest, time: 15},
		}}
	m.Supply.PWM = 4000
	return duty{name: "ripple-and-listing", pick: "yew-12+hyd-12+humming", machine: m.accelerating(20), runs: 10, cutOff: 10}
}

// accelerating gives every leg the duty's acceleration.
func (m *machine) accelerating(a float64) *machine {
	for i := range m.Legs {
		m.Legs[i].acceleration = a
	}
	return m
}
