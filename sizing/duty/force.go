package duty

import (
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/sizing/drive"
)

// accelerate returns the acceleration nearest to the wanted one that the drive
// and the ground allow at a speed and position, and what bounds it. Under a
// bound of the drive it also leaves the slope of that acceleration over speed.
func (m *mover) accelerate(v, pos, want float64) (float64, drive.Bound) {
	dir := m.sense(v)
	k, w := m.d.Machine.K(m.heat.Housing), m.d.Machine.R(m.heat.Winding)
	rng := m.d.Supply.Range(k*v*m.kappa, w)
	a, bound := want, drive.NoBound
	m.steep = 0
	asked := m.demand(v, pos, want, dir)
	if i := asked / k; i > rng.High*(1+slack)+slack {
		a, bound = m.solve(v, pos, want, asked, dir, k*rng.High), rng.HighBound
		m.steep = m.fall(k, rng.HighSlope)
	} else if i < rng.Low*(1+slack)-slack {
		a, bound = m.solve(v, pos, want, asked, dir, k*rng.Low), rng.LowBound
		m.steep = m.fall(k, rng.LowSlope)
	}
	return m.grip(v, pos, a, dir, bound)
}

// fall is da/dv for a current that changes with the back-EMF by slope.
func (m *mover) fall(k, slope float64) float64 {
	if m.inertia <= 0 {
		return 0
	}
	return k * k * m.kappa * slope / m.inertia
}

func (m *mover) sense(v float64) float64 {
	if v > 0 {
		return 1
	}
	if v < 0 {
		return -1
	}
	return m.dir
}

// demand is k·I for an acceleration.
func (m *mover) demand(v, pos, a, dir float64) float64 {
	motor, _ := m.d.Train.Inward(m.load(v, pos, a, dir), dir)
	return motor + m.d.Machine.Inertia*a*m.kappa + m.d.Machine.Friction*dir
}

// load is the torque at the load shaft.
func (m *mover) load(v, pos, a, dir float64) float64 {
	if l := m.lines.of(dir); l.straight {
		return l.torque + l.slope*a
	}
	return m.r.script.Case.Mechanism.Torque(m.leg, loadcases.Motion{Position: pos, Speed: v, Acceleration: a, Direction: dir, Time: m.tl})
}

// solve finds the acceleration that asks for a given k·I, from one that asks
// for another. The demand is piecewise straight and rising in the
// acceleration, so a secant lands after a step or two. The slope at the end,
// d(k·I)/da, is left in m.inertia. Where it is negative the train locks: an
// overhauled train whose motor gives too little asks for the more the harder it
// is slowed, so it stops at once at the speed the motor can drive it down with.
func (m *mover) solve(v, pos, guess, asked, dir, want float64) float64 {
	a0, f0 := guess, asked-want
	if m.locks = false; !(m.inertia > 0) {
		m.inertia = m.slopeAt(v, pos, guess, asked, dir)
		// Neither load nor rotor has inertia: no acceleration changes the demand,
		// and the speed is at once the one the motor can hold.
		if scale := math.Max(math.Abs(guess), m.rate()); math.Abs(m.inertia)*scale <= 1e-9*math.Abs(f0) {
			m.locks, m.inertia = true, 0
			return 0
		}
	}
	a1 := a0 - f0/m.inertia
	f1 := m.demand(v, pos, a1, dir) - want
	close := 1e-9*(math.Abs(want)+m.d.Machine.Friction) + 1e-18
	for range 60 {
		if math.Abs(f1) <= close || a1 == a0 || f1 == f0 {
			break
		}
		m.inertia = (f1 - f0) / (a1 - a0)
		a2 := a1 - f1/m.inertia
		a0, f0, a1 = a1, f1, a2
		f1 = m.demand(v, pos, a1, dir) - want
	}
	if !(m.inertia > 0) {
		m.locks, m.inertia = true, 0
	}
	return a1
}

// slopeAt is d(k·I)/da by a small difference.
func (m *mover) slopeAt(v, pos, a, asked, dir float64) float64 {
	d := math.Copysign(math.Max(math.Abs(a), math.Max(m.leg.Acceleration, 1e-3))*1e-3, dir) // a reversed duty meets the mirrored point
	return (m.demand(v, pos, a+d, dir) - asked) / d
}

// grip cuts an acceleration to what the ground allows.
func (m *mover) grip(v, pos, a, dir float64, bound drive.Bound) (float64, drive.Bound) {
	g, ok := m.r.script.Case.Mechanism.(loadcases.Gripping)
	if l := m.lines.of(dir); !ok || math.Abs(a) <= l.gripsTo {
		return a, bound
	}
	over := func(a float64) float64 {
		need, hold, known := g.Grip(m.leg, loadcases.Motion{Position: pos, Speed: v, Acceleration: a, Direction: dir})
		if !known {
			return -1
		}
		return math.Abs(need) - hold*(1+slack)
	}
	f := over(a)
	if f <= 0 {
		return a, bound
	}
	// The force in excess changes sign with the acceleration towards coasting:
	// less thrust when driving, less braking when braking.
	step := math.Max(math.Abs(a), math.Max(m.leg.Acceleration, 0.1))
	away := -step
	if over(a-1e-6*step) > f {
		away = step
	}
	low, high := a, a+away
	for range 40 {
		if over(high) <= 0 {
			break
		}
		high += away
	}
	// Need and hold are piecewise straight in the acceleration, so false position
	// lands at once where no kink lies between; halving guards it.
	fl, fh := over(low), over(high)
	for n := 0; n < 60 && math.Abs(high-low) > 1e-12*step && fh < -1e-12*math.Abs(fl); n++ {
		mid := high - fh*(high-low)/(fh-fl)
		if n%3 == 2 || !((mid-low)*(mid-high) < 0) {
			mid = (low + high) / 2
		}
		if f := over(mid); f > 0 {
			low, fl = mid, f
		} else {
			high, fh = mid, f
		}
	}
	return high, drive.TractionEnd
}
