package explain

import (
	"math"

	"example.org/dray/loadcases"
	"example.org/dray/quantity"
)

func (w *work) arm(m *loadcases.Arm, leg *loadcases.Leg, in *instant) float64 {
	n := float64(m.Motors)
	mass := w.mass(m.Mass, leg.Payload)
	moment := num(mass, "kg") + " · " + num(m.Radius, "m")
	formula := "m·r"
	if m.ArmMass != 0 {
		moment += " + " + num(m.ArmMass, "kg") + " · " + num(m.ArmRadius, "m")
		formula += " + m_arm·r_arm"
	}
	if m.CounterMass != 0 {
		moment += " − " + num(m.CounterMass, "kg") + " · " + num(m.CounterRadius, "m")
		formula += " − m_cw·r_cw"
	}
	s := w.line("first moment of the masses about the pivot", "S", formula, moment, "kg·m")
	terms := []term{{"Tg", w.line("gravity", "Tg", "S·g·cos φ", num(s, "kg·m")+" · "+gravity+" · cos("+num(in.motion.Position*degree, "°")+")", "N·m")}}
	if m.BalanceTorque != 0 {
		terms = append(terms, term{"(−Tb)", -w.given("constant balance torque", "Tb", m.BalanceTorque, "N·m", quantity.Stated, "")})
	}
	if m.SpringRate != 0 || m.SpringTorque != 0 {
		spring := w.line("balance spring", "Tk", "T0 − c·(φ − φ0)", num(m.SpringTorque, "N·m")+" − "+num(m.SpringRate, "N·m/rad")+" · ("+
			num(in.motion.Position, "rad")+" − "+num(m.SpringAngle, "rad")+")", "N·m")
		terms = append(terms, term{"(−Tk)", -spring})
	}
	if in.kind == loadcases.Moving && in.motion.Acceleration != 0 {
		j := num(mass, "kg") + " · (" + num(m.Radius, "m") + ")²"
		formula := "m·r²"
		if m.ArmMass != 0 {
			j += " + " + num(m.ArmMass, "kg") + " · ((" + num(m.ArmRadius, "m") + ")² + (" + num(m.ArmLength, "m") + ")² / 12)"
			formula += " + m_arm·(r_arm² + L²/12)"
		}
		if m.CounterMass != 0 {
			j += " + " + num(m.CounterMass, "kg") + " · (" + num(m.CounterRadius, "m") + ")²"
			formula += " + m_cw·r_cw²"
		}
		if m.Inertia != 0 {
			j += " + " + num(m.Inertia, "kg·m²")
			formula += " + J0"
		}
		inertia := w.line("moment of inertia about the pivot", "J", formula, j, "kg·m²")
		terms = append(terms, term{"Ta", w.line("its acceleration", "Ta", "J·φ̈", num(inertia, "kg·m²")+" · "+num(in.motion.Acceleration, "rad/s²"), "N·m")})
	}
	t := w.total("torque at the pivot", "Tp", "N·m", terms)
	return w.line("torque at the pivot, per motor", "T", "Tp/n", num(t, "N·m")+" / "+num(n, ""), "N·m")
}

func (w *work) hoist(m *loadcases.Hoist, leg *loadcases.Leg, in *instant) float64 {
	n, parts := num(float64(m.Motors), ""), num(math.Max(1, m.Parts), "")
	mass := w.mass(m.Mass, leg.Payload)
	acceleration := in.motion.Acceleration
	if in.kind != loadcases.Moving {
		acceleration = 0
	}
	formula, expression := "m·g", num(mass, "kg")+" · "+gravity
	if m.Counterweight != 0 {
		formula, expression = "(m − m_cw)·g", "("+num(mass, "kg")+" − "+num(m.Counterweight, "kg")+") · "+gravity
	}
	if acceleration != 0 {
		formula, expression = formula+" + (m + m_cw)·a", expression+" + ("+num(mass, "kg")+" + "+num(m.Counterweight, "kg")+") · "+num(acceleration, "m/s²")
	}
	f := w.line("pull of the load", "F", formula, expression, "N")
	r, eta := num(m.Radius, "m"), m.RopeEfficiency
	if eta == 0 {
		eta = 1
	}
	if in.kind != loadcases.Moving {
		return w.line("torque that keeps it still at the drum, per motor; rope friction does not help", "T", "r·F/(parts·n)", r+" · "+num(f, "N")+" / "+parts+" / "+n, "N·m")
	}
	torque, symbols := r+" · "+num(f, "N")+" / ("+parts+" · "+num(eta, "")+")", "r·F/(parts·η_rope)"
	if f*in.sense() < 0 {
		torque, symbols = r+" · "+num(f, "N")+" · (2 − 1 / "+num(eta, "")+") / "+parts, "r·F·(2 − 1/η_rope)/parts"
	}
	return w.shared("torque at the drum, per motor", torque, symbols, m.DrumInertia, acceleration, " · "+parts+" / "+r, "Jd·a·parts/r", "m/s²", float64(m.Motors))
}

func (w *work) turntable(m *loadcases.Turntable, leg *loadcases.Leg, in *instant) float64 {
	var terms []term
	if m.ImbalanceMass*m.ImbalanceOffset != 0 {
		terms = append(terms, term{"Te", w.line("imbalance", "Te", "m_e·g·e·sin(tilt)·cos φ", num(m.ImbalanceMass, "kg")+" · "+gravity+" · "+num(m.ImbalanceOffset, "m")+
			" · sin("+num(m.Tilt*degree, "°")+") · cos("+num(in.motion.Position*degree, "°")+")", "N·m")})
	}
	if in.kind == loadcases.Moving {
		terms = append(terms, term{"Tf", w.line("friction of the table", "Tf", "friction·sign ω", num(m.FrictionTorque, "N·m")+" · "+num(in.sense(), ""), "N·m")})
		if in.motion.Acceleration != 0 {
			j := w.line("moment of inertia", "J", "J0 + m_e·e²", num(m.Inertia, "kg·m²")+" + "+num(m.ImbalanceMass, "kg")+" · ("+num(m.ImbalanceOffset, "m")+")²", "kg·m²")
			terms = append(terms, term{"Ta", w.line("its acceleration", "Ta", "J·α", num(j, "kg·m²")+" · "+num(in.motion.Acceleration, "rad/s²"), "N·m")})
		}
	}
	t := w.total("torque at the axis", "Tx", "N·m", terms)
	return w.line("torque at the axis, per motor", "T", "Tx/n", num(t, "N·m")+" / "+num(float64(m.Motors), ""), "N·m")
}

func (w *work) belt(m *loadcases.Belt, leg *loadcases.Leg, in *instant, factor float64) float64 {
	mass := w.mass(m.Mass, leg.Payload)
	slope := num(leg.Incline*degree, "°")
	var terms []term
	if leg.Incline != 0 {
		terms = append(terms, term{"Fs", w.line("slope", "Fs", "m·g·sin θ", num(mass, "kg")+" · "+gravity+" · sin("+slope+")", "N")})
	}
	if in.kind != loadcases.Holding && m.Friction != 0 {
		title, symbols, by := "friction of the bed", "µ·m·g·cos θ·sign v", ""
		if factor != 1 {
			title, symbols, by = "friction of the bed at the first instant", "µ·kb·m·g·cos θ·sign v", num(factor, "")+" · "
		}
		terms = append(terms, term{"Fr", w.line(title, "Fr", symbols, num(m.Friction, "")+" · "+by+num(mass, "kg")+" · "+gravity+" · cos("+slope+") · "+num(in.sense(), ""), "N")})
	}
	if in.kind == loadcases.Moving && in.motion.Acceleration != 0 {
		terms = append(terms, term{"Fa", w.line("acceleration of load and belt", "Fa", "(m + m_belt)·a", "("+num(mass, "kg")+" + "+num(m.BeltMass, "kg")+") · "+num(in.motion.Acceleration, "m/s²"), "N")})
	}
	f := w.total("pull of the belt", "F", "N", terms)
	r := num(m.Radius, "m")
	acceleration := in.motion.Acceleration
	if in.kind != loadcases.Moving {
		acceleration = 0
	}
	return w.shared("torque at the drive pulley, per motor", r+" · "+num(f, "N"), "r·F", m.PulleyInertia, acceleration, " / "+r, "Jp·a/r", "m/s²", float64(m.Motors))
}

func (w *work) screw(m *loadcases.Screw, leg *loadcases.Leg, in *instant) float64 {
	n := num(float64(m.Motors), "")
	mass := w.mass(m.Mass, leg.Payload)
	lead := num(m.Lead, "m")
	slope := " · sin(" + num(leg.Incline*degree, "°") + ")"
	if in.kind == loadcases.Holding {
		if m.SelfLocking() {
			w.note("the thread locks itself, so nothing is asked of the motor while it stands")
			return w.given("torque at the screw, per motor", "T", 0, "N·m", quantity.Derived, "self-locking thread")
		}
		return w.line("torque that keeps it still, per motor; friction does not help", "T", "m·g·sin θ·lead/(2π·n)",
			num(mass, "kg")+" · "+gravity+slope+" · "+lead+" / (2 · π · "+n+")", "N·m")
	}
	way := in.sense()
	f := w.line("force along the screw", "F", "m·(g·sin θ + a) + force·sign v", num(mass, "kg")+" · ("+gravity+slope+" + "+num(in.motion.Acceleration, "m/s²")+") + "+
		num(m.Force, "N")+" · "+num(way, ""), "N")
	driven := f*way < 0
	eta := m.Efficiency
	switch {
	case eta > 0 && driven:
		eta = w.line("back-driven efficiency of the thread", "ηb", "2 − 1/η", "2 − 1 / "+num(eta, ""), "")
	case eta > 0:
	default:
		l := w.line("lead angle, in radians", "λ", "atan(lead/(π·d_mean))", "atan("+lead+" / (π · "+num(m.Diameter, "m")+"))", "")
		phi := w.line("friction angle, in radians", "φ", "atan(µ/cos β)", "atan("+num(m.Friction, "")+" / cos("+num(m.FlankAngle*degree, "°")+"))", "")
		if driven {
			eta = w.line("back-driven efficiency of the thread", "ηb", "tan(λ − φ)/tan λ", "tan("+num(l, "")+" − "+num(phi, "")+") / tan("+num(l, "")+")", "")
		} else {
			eta = w.line("efficiency of the thread", "η", "tan λ/tan(λ + φ)", "tan("+num(l, "")+") / tan("+num(l, "")+" + "+num(phi, "")+")", "")
		}
	}
	torque, symbols := num(f, "N")+" · "+lead+" / (2 · π · "+num(eta, "")+")", "F·lead/(2π·η)"
	if driven {
		torque, symbols = num(f, "N")+" · "+lead+" · "+num(eta, "")+" / (2 · π)", "F·lead·ηb/(2π)"
	}
	if m.CollarFriction != 0 {
		torque += " + " + num(m.CollarFriction, "") + " · " + num(math.Abs(f), "N") + " · " + num(m.CollarRadius, "m") + " · " + num(way, "")
		symbols += " + µc·|F|·rc·sign v"
	}
	if m.Inertia == 0 || in.motion.Acceleration == 0 {
		return w.line("torque at the screw, per motor", "T", "("+symbols+")/n", "("+torque+") / "+n, "N·m")
	}
	return w.line("torque at the screw, per motor", "T", "("+symbols+" + Js·a·2π/lead)/n", "("+torque+" + "+num(m.Inertia, "kg·m²")+" · "+
		num(in.motion.Acceleration, "m/s²")+" · 2 · π / "+lead+") / "+n, "N·m")
}

func (w *work) shaft(m *loadcases.Shaft, leg *loadcases.Leg, in *instant) float64 {
	torque := leg.Torque
	note := "of the leg"
	if leg.Log {
		torque, note = m.At(in.motion.Time), "of the recorded log"
	}
	t := w.given("torque at the load shaft, all motors together", "Ts", torque, "N·m", quantity.Stated, note)
	if in.kind != loadcases.Moving {
		return w.line("torque at the load shaft, per motor", "T", "Ts/n", num(t, "N·m")+" / "+num(float64(m.Motors), ""), "N·m")
	}
	return w.shared("torque at the load shaft, per motor", num(t, "N·m"), "Ts", m.Inertia, in.motion.Acceleration, "", "J·α", "rad/s²", float64(m.Motors))
}
