// Package heat is the two-node thermal room: winding and housing of one motor,
// and the periodic state of a repeated duty, found without marching hours.
//
//	Cw·dTw/dt = I_rms²·R(Tw) − (Tw − Th)/Rwh
//	Ch·dTh/dt = Tf·|ω| + (Tw − Th)/Rwh − (Th − Ta)/Rha
//
// Cw = τ_winding/Rwh and Ch = τ_housing/Rha as listed; they are not the
// eigenvalues of the network.
package heat

import "math"

// CopperZero is the magnitude of the temperature where copper's line meets zero.
const CopperZero = 234.5

// Runaway is the temperature, °C, above which no state is looked for.
const Runaway = 400

// Body is the network of one motor.
type Body struct {
	WindingToHousing float64 // Rwh, K/W, > 0
	HousingToAir     float64 // Rha, K/W, > 0
	WindingCapacity  float64 // Cw, J/K, > 0
	HousingCapacity  float64 // Ch, J/K, > 0
	Air              float64 // Ta, °C
	Resistance       float64 // Ω at RefTemp
	RefTemp          float64 // °C
	Flux             float64 // β, 1/K: how the current of a given torque answers the housing
}

// State is the two temperatures in °C.
type State struct{ Winding, Housing float64 }

// Matrix is a 2×2 tangent, winding first.
type Matrix struct{ WW, WH, HW, HH float64 }

// Identity is the unit tangent.
func Identity() Matrix { return Matrix{WW: 1, HH: 1} }

// Times returns a·b.
func (a Matrix) Times(b Matrix) Matrix {
	return Matrix{
		WW: a.WW*b.WW + a.WH*b.HW, WH: a.WW*b.WH + a.WH*b.HH,
		HW: a.HW*b.WW + a.HH*b.HW, HH: a.HW*b.WH + a.HH*b.HH,
	}
}

// Apply returns a·(w, h).
func (a Matrix) Apply(w, h float64) (float64, float64) {
	return a.WW*w + a.WH*h, a.HW*w + a.HH*h
}

// Answer is how a mean-square current changes with the temperatures while a
// step lasts: d ln I²/dTw and d ln I²/dTh, 1/K. Zero for a fixed current.
type Answer struct{ Winding, Housing float64 }

// OfTorque is the answer of a current that makes a given torque: I ∝ 1/k(Th).
func (b *Body) OfTorque(housing float64) Answer {
	return Answer{Housing: -2 * b.Flux / (1 + b.Flux*(housing-b.RefTemp))}
}

// Step advances the network by dt seconds under a mean-square current (A², its
// value at the start) and a constant friction heat (W), exactly in the
// winding's own R(T) and to first order in the current's answer. The tangent
// of the step is returned beside the new state.
//
// The network is linear, dx/dt = A·x + c, so the step is
// x + (e^{A·dt} − 1)/A · (A·x + c), with both functions of A taken over its two
// real eigenvalues.
func (b *Body) Step(x State, square, friction, dt float64, answer Answer) (State, Matrix) {
	gw, ga := 1/b.WindingToHousing, 1/b.HousingToAir
	slope := square * b.Resistance / (CopperZero + b.RefTemp)
	power := slope * (CopperZero + x.Winding)
	fw := (power - gw*(x.Winding-x.Housing)) / b.WindingCapacity
	fh := (friction + gw*(x.Winding-x.Housing) - ga*(x.Housing-b.Air)) / b.HousingCapacity
	a := Matrix{
		WW: (slope + power*answer.Winding - gw) / b.WindingCapacity,
		WH: (gw + power*answer.Housing) / b.WindingCapacity,
		HW: gw / b.HousingCapacity, HH: -(gw + ga) / b.HousingCapacity,
	}
	if a.WH <= 0 { // a cooling answer stronger than the path itself; keeps the eigenvalues real
		a.WH = gw / b.WindingCapacity
	}
	m := (a.WW + a.HH) / 2
	half := (a.WW - a.HH) / 2
	q := math.Sqrt(half*half + a.WH*a.HW) // > 0: the network is a chain
	l1, l2 := m+q, m-q
	e1, e2 := math.Exp(l1*dt), math.Exp(l2*dt)
	p1, p2 := phi(l1, e1, dt), phi(l2, e2, dt)
	ec, es := (e1+e2)/2, (e1-e2)/(2*q)
	pc, ps := (p1+p2)/2, (p1-p2)/(2*q)
	dw, dh := half*fw+a.WH*fh, a.HW*fw-half*fh // (A − m)·f
	next := State{x.Winding + pc*fw + ps*dw, x.Housing + pc*fh + ps*dh}
	tangent := Matrix{WW: ec + es*half, WH: es * a.WH, HW: es * a.HW, HH: ec - es*half}
	return next, tangent
}

// phi is (e^{λt} − 1)/λ, given e = e^{λt}; it is t for λ → 0.
func phi(lambda, e, t float64) float64 {
	x := lambda * t
	if math.Abs(x) < 1e-3 {
		return t * (1 + x/2*(1+x/3*(1+x/4)))
	}
	return (e - 1) / lambda
}

// Mean is the time average of both temperatures over a step from x to y, from
// the two heat balances integrated over it, which are linear in the averages:
//
//	s·(234.5+T̄w) − gw·(T̄w−T̄h) = Cw·ΔTw/dt
//	Q + gw·(T̄w−T̄h) − ga·(T̄h−Ta) = Ch·ΔTh/dt
func (b *Body) Mean(x, y State, square, friction, dt float64) State {
	gw, ga := 1/b.WindingToHousing, 1/b.HousingToAir
	s := square * b.Resistance / (CopperZero + b.RefTemp)
	rw := b.WindingCapacity*(y.Winding-x.Winding)/dt - s*CopperZero
	rh := b.HousingCapacity*(y.Housing-x.Housing)/dt - friction - ga*b.Air
	det := -(s-gw)*(gw+ga) - gw*gw
	if math.Abs(det) < 1e-12*gw*(gw+ga) {
		return State{(x.Winding + y.Winding) / 2, (x.Housing + y.Housing) / 2}
	}
	return State{
		Winding: (-rw*(gw+ga) - gw*rh) / det,
		Housing: ((s-gw)*rh - gw*rw) / det,
	}
}

// Rate is dTw/dt and dTh/dt at a state.
func (b *Body) Rate(x State, square, friction float64) (winding, housing float64) {
	gw, ga := 1/b.WindingToHousing, 1/b.HousingToAir
	power := square * b.Resistance * (CopperZero + x.Winding) / (CopperZero + b.RefTemp)
	winding = (power - gw*(x.Winding-x.Housing)) / b.WindingCapacity
	housing = (friction + gw*(x.Winding-x.Housing) - ga*(x.Housing-b.Air)) / b.HousingCapacity
	return winding, housing
}
