// Package verify holds no program code. Its tests solve the whole coupled
// problem again (winding current with inductance, motion, two-node heat,
// battery) by two routes that share no code with the engine: an adaptive
// Runge–Kutta march at tight tolerance and a netlist for the circuit
// simulator ngspice. The engine's answers are held against both.
//
// Tests that need ngspice skip, with the reason, where it is not installed;
// DRAY_REQUIRE_NGSPICE=1 turns the skip into a failure.
package verify
