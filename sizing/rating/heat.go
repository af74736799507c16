package rating

import "math"

// MotorHeat is a motor at standstill as two lumps of heat, winding and
// housing, whose copper loss I²·R(Tw) follows the winding temperature:
//
//	Cw·dTw/dt = I²·R(Tw) − (Tw − Th)/Rwh
//	Ch·dTh/dt = (Tw − Th)/Rwh − (Th − Ta)/Rha
//	R(Tw) = Resistance·(234.5 + Tw)/(234.5 + ReferenceTemp)
//
// A motor whose thermal data are not all known is the zero value.
type MotorHeat struct {
	Resistance    float64 // Ω at ReferenceTemp
	ReferenceTemp float64 // °C
	Rwh, Rha      float64 // K/W, winding to housing, housing to air
	Cw, Ch        float64 // J/K
	Air           float64 // °C
	Limit         float64 // °C, of the winding
}

// Known reports whether there is enough to say how warm the winding gets.
func (m MotorHeat) Known() bool {
	return m.Resistance > 0 && m.Rwh > 0 && m.Rha > 0 && m.Cw > 0 && m.Ch > 0
}

// At returns the winding resistance in Ω at a temperature in °C.
func (m MotorHeat) At(tw float64) float64 {
	return m.Resistance * (copperZero + tw) / (copperZero + m.ReferenceTemp)
}

// MotorStands returns the current in A that brings the winding from air
// temperature to its limit in w seconds at standstill, from the exact solution
// of the two-lump equations with R(T). w = +Inf gives the current it stands
// for ever. NaN when the thermal data are not known; 0 when the air is at the
// limit.
func MotorStands(w float64, m MotorHeat) float64 {
	if !m.Known() || math.IsNaN(w) {
		return math.NaN()
	}
	if m.Limit <= m.Air {
		return 0
	}
	reaches := func(i float64) bool {
		var l lumps
		l.set(m, i*i)
		tw, _ := l.after(m.Air, m.Air, m.Air, w)
		return !(tw < m.Limit)
	}
	// A first guess: the loss that heats the copper alone and feeds both flows.
	low := 0.0
	high := math.Sqrt((m.Limit-m.Air)*(1/m.Rha+1/m.Rwh)/m.At(m.Air)) + math.Sqrt(m.Cw*(m.Limit-m.Air)/(w*m.At(m.Air)))
	for !reaches(high) {
		low, high = high, 2*high
	}
	for range 60 {
		mid := (low + high) / 2
		if reaches(mid) {
			high = mid
		} else {
			low = mid
		}
		if high-low < 1e-12*high {
			break
		}
	}
	return (low + high) / 2
}

// lumps is the linear system of the two lumps at one I²: because R is linear
// in Tw the solution is exact for a step of any length.
type lumps struct {
	a11, a12, a21, a22 float64 // 1/s
	l1, l2             float64 // 1/s, its two eigenvalues, l1 > l2, both real
	heat               float64 // K/s, the winding's rise at air temperature
}

func (l *lumps) set(m MotorHeat, square float64) {
	slope := square * m.Resistance / (copperZero + m.ReferenceTemp) // W/K
	l.loss(m, square*m.At(m.Air), slope)
}

// loss sets the system for a loss of power + slope·(Tw − Air) in W.
func (l *lumps) loss(m MotorHeat, power, slope float64) {
	l.a11 = (slope - 1/m.Rwh) / m.Cw
	l.a12 = 1 / (m.Rwh * m.Cw)
	l.a21 = 1 / (m.Rwh * m.Ch)
	l.a22 = -(1/m.Rwh + 1/m.Rha) / m.Ch
	half, spread := (l.a11+l.a22)/2, math.Sqrt((l.a11-l.a22)*(l.a11-l.a22)/4+l.a12*l.a21)
	l.l1, l.l2 = half+spread, half-spread
	l.heat = power / m.Cw
}

// after returns the two temperatures in °C t seconds on, from tw and th.
func (l *lumps) after(tw, th, air, t float64) (float64, float64) {
	// exp(At) = e1·(A − l2)/(l1 − l2) − e2·(A − l1)/(l1 − l2), and its
	// integral the same with (e − 1)/l in place of e.
	gap := l.l1 - l.l2
	e1, e2 := math.Exp(l.l1*t), math.Exp(l.l2*t)
	f1, f2 := grown(l.l1, t), grown(l.l2, t)
	x, y := tw-air, th-air
	g11 := (e1*(l.a11-l.l2) - e2*(l.a11-l.l1)) / gap
	g22 := (e1*(l.a22-l.l2) - e2*(l.a22-l.l1)) / gap
	cross := (e1 - e2) / gap
	q11 := (f1*(l.a11-l.l2) - f2*(l.a11-l.l1)) / gap
	q21 := l.a21 * (f1 - f2) / gap
	if x == 0 && y == 0 { // spares Inf·0 when t is endless
		return air + q11*l.heat, air + q21*l.heat
	}
	return air + g11*x + l.a12*cross*y + q11*l.heat, air + l.a21*cross*x + g22*y + q21*l.heat
}

// grown returns ∫₀ᵗ exp(λs) ds.
func grown(lambda, t float64) float64 {
	if lambda == 0 {
		return t
	}
	return math.Expm1(lambda*t) / lambda
}
