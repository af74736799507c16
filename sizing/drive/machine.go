// Package drive solves one brushed gear motor, its gear train and its shared
// supply at an instant: which current, voltage and command a torque and speed
// ask for, and what the motor could get at most.
//
// Everything is per motor, plain float64 in SI, temperatures in °C. The
// equations are those of a permanent-magnet machine behind an averaged
// four-quadrant chopper; see Machine and Supply.
package drive

import "math"

// CopperZero is the magnitude of the temperature at which the straight line of
// copper's resistance meets zero: R(T) = R_ref·(234.5+T)/(234.5+T_ref). It is
// the inferred-zero constant of IEC 60034-1.
const CopperZero = 234.5

// Machine is one motor at its shaft.
//
//	V = I·R(Tw) + k(Th)·ω
//	I = (Tm + Tf·sign ω)/k(Th),  Tf = k_ref·I0
//	k(Th) = k_ref·(1 + β·(Th − T_ref))
type Machine struct {
	Resistance float64 // Ω at RefTemp
	Constant   float64 // V·s/rad = N·m/A at RefTemp
	Friction   float64 // N·m, constant
	Inertia    float64 // kg·m², rotor and gear train at the motor shaft
	Inductance float64 // H; 0 = unknown
	Flux       float64 // β, 1/K, negative
	RefTemp    float64 // °C
}

// R is the winding resistance at a winding temperature.
func (m *Machine) R(winding float64) float64 {
	return m.Resistance * (CopperZero + winding) / (CopperZero + m.RefTemp)
}

// K is the motor constant at a housing temperature. It is kept above a tenth
// of its reference value: a magnet that hot is far outside the model.
func (m *Machine) K(housing float64) float64 {
	return m.Constant * math.Max(0.1, 1+m.Flux*(housing-m.RefTemp))
}

// Stage is one reduction: the gear train, or a belt, chain or open gear
// between it and the load.
type Stage struct {
	Ratio   float64 // input turns per output turn
	Forward float64 // efficiency when the motor drives the load
	Back    float64 // signed efficiency when the load drives, 2 − 1/η; ≤ 0 locks
	Locks   bool    // self-locking, and the data allow saying so
}

// Train is the chain of stages from the load inwards to the motor; the last
// one is the gear train at the motor.
type Train struct {
	Stages []Stage
	Total  float64 // product of the ratios
}

// NewTrain multiplies the ratios. Stages run from the load inwards.
func NewTrain(stages ...Stage) Train {
	t := Train{Stages: stages, Total: 1}
	for _, s := range stages {
		t.Total *= s.Ratio
	}
	return t
}

// Locks reports whether any stage is self-locking.
func (t *Train) Locks() bool {
	for _, s := range t.Stages {
		if s.Locks {
			return true
		}
	}
	return false
}

// Inward carries a load torque to the motor shaft, stage by stage. sign is the
// sense of the motion (+1 or −1): torque·sign ≥ 0 resists. It returns the
// torque at the motor shaft without the rotor's inertia, and the torque at the
// output shaft of the gear train (the last stage).
func (t *Train) Inward(load, sign float64) (motor, output float64) {
	torque := load
	output = load
	for _, s := range t.Stages {
		output = torque
		if torque*sign >= 0 {
			torque /= s.Ratio * s.Forward
		} else {
			torque *= s.Back / s.Ratio
		}
	}
	return torque, output
}

// Held carries a load torque inwards at standstill under power: no stage's
// friction is counted; a self-locking stage carries it all, so the motor
// torque is 0. The second result is the torque at the gear train's output.
func (t *Train) Held(load float64) (motor, output float64) {
	torque := load
	output = load
	for _, s := range t.Stages {
		output = torque
		torque /= s.Ratio
		if s.Locks {
			torque = 0
		}
	}
	return torque, output
}

// Unpowered carries a static load torque inwards as it would drive the motor:
// |T|·ηb/N through all stages. A result ≤ 0 means the train holds by itself.
func (t *Train) Unpowered(load float64) float64 {
	torque := math.Abs(load)
	for _, s := range t.Stages {
		torque *= s.Back / s.Ratio
		if s.Back <= 0 {
			return torque
		}
	}
	return torque
}
