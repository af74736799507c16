package main

// fault is one change that makes the program wrong and leaves it building.
type fault struct {
	what  string
	file  string
	was   string // stands once in the file
	now   string
	rooms []string // whose tests could notice, nearest first
}

// faults are those tried, along the way of a number through the rooms.
func faults() []fault {
	units := []string{"quantity", "verify/published"}
	shelves := []string{"catalog", "verify/published"}
	loads := []string{"loadcases", "verify/published"}
	drives := []string{"sizing/drive", "verify/published", "verify"}
	heats := []string{"sizing/heat", "verify/published", "verify"}
	ratings := []string{"sizing/rating", "verify/published"}
	marches := []string{"sizing/duty", "verify/published", "verify"}
	tops := []string{"verify/published", "verify", "sizing"}
	return []fault{
		{"an inch of 2.45 cm", "quantity/factors.go", "inchMetres    = 0.0254 ", "inchMetres    = 0.0245 ", units},
		{"g 2 % short", "quantity/kinds.go", "StandardGravity = 9.80665", "StandardGravity = 9.60665", append(units, "loadcases")},
		{"k from V + I0·R", "catalog/constants.go", "k := (float64(l.voltage.Value) - float64(l.current.Value)*float64(r.Value))", "k := (float64(l.voltage.Value) + float64(l.current.Value)*float64(r.Value))", shelves},
		{"η from the gross stall torque", "catalog/constants.go", "float64(c.k.Value) * float64(c.stall.Value-c.current.Value))\n\t\tc.efficiency", "float64(c.k.Value) * float64(c.stall.Value))\n\t\tc.efficiency", shelves},
		{"ηb = η", "catalog/constants.go", "Value: quantity.Fraction(2 - 1/v), Basis: quantity.Derived", "Value: quantity.Fraction(v), Basis: quantity.Derived", shelves},
		{"spur stages of 0.95", "catalog/constants.go", "perStage, widest, word := 0.90, 4.0", "perStage, widest, word := 0.95, 4.0", shelves},
		{"neodymium loses like ferrite", "catalog/motors.go", "by(-0.0011, quantity.Derived", "by(-0.0020, quantity.Derived", shelves},
		{"film coefficient for moving air", "catalog/thermal.go", "filmCoefficient = 12.0", "filmCoefficient = 21.0", shelves},
		{"lead-acid rated at 5 h", "catalog/chemistry.go", "resistance: 0.030, hours: 20", "resistance: 0.030, hours: 5", shelves},
		{"half-charged li-ion 0.1 V high", "catalog/chemistry.go", "{0.50, 3.708}", "{0.50, 3.808}", shelves},
		{"tangent for sine of the slope", "loadcases/wheels.go", "return sense(leg)*w.weight(leg)*math.Sin(leg.Incline) + rolling", "return sense(leg)*w.weight(leg)*math.Tan(leg.Incline) + rolling", append(loads, "verify")},
		{"diameter for radius", "loadcases/build_mechanism.go", "return m.num(wide) / 2", "return m.num(wide)", append(loads, "verify")},
		{"weight transfer the wrong way", "loadcases/wheels.go", "if w.Driven == DrivenFront {", "if w.Driven == DrivenRear {", loads},
		{"rotating inertia twice", "loadcases/wheels.go", "rotating := w.RotatingInertia * m.Acceleration", "rotating := 2 * w.RotatingInertia * m.Acceleration", loads},
		{"counterweight without inertia", "loadcases/hoist.go", "(load+h.Counterweight)*acceleration", "(load-h.Counterweight)*acceleration", loads},
		{"rope loss helps the wrong way", "loadcases/hoist.go", "return torque * (2 - 1/h.efficiency())", "return torque / h.efficiency()", loads},
		{"rod about its end", "loadcases/arm.go", "a.ArmLength*a.ArmLength/12", "a.ArmLength*a.ArmLength/3", loads},
		{"arm's angle from the vertical", "loadcases/arm.go", "(moment*gravity*math.Cos(angle)", "(moment*gravity*math.Sin(angle)", loads},
		{"thread loss forward when lowering", "loadcases/screw.go", "math.Tan(lead-friction) / math.Tan(lead)", "math.Tan(lead) / math.Tan(lead+friction)", loads},
		{"top speed of a move", "loadcases/planner.go", "top := way / (leg.In * (1 - share))", "top := way / (leg.In * (1 + share))", loads},
		{"copper's zero at 243.5", "sizing/drive/machine.go", "const CopperZero = 234.5", "const CopperZero = 243.5", drives},
		{"magnets strengthen with heat", "sizing/drive/machine.go", "1+m.Flux*(housing-m.RefTemp)", "1-m.Flux*(housing-m.RefTemp)", drives},
		{"multiplied by η", "sizing/drive/machine.go", "torque /= s.Ratio * s.Forward", "torque *= s.Forward / s.Ratio", drives},
		{"driven back with η", "sizing/drive/machine.go", "torque *= s.Back / s.Ratio\n\t\t}", "torque *= s.Forward / s.Ratio\n\t\t}", drives},
		{"pack sees one motor", "sizing/drive/supply.go", "disc := b*b - 4*s.Motors*current*rt*req", "disc := b*b - 4*current*rt*req", drives},
		{"electronics feed the pack", "sizing/drive/supply.go", "p.Battery = s.Motors*p.Duty*current + s.Aux", "p.Battery = s.Motors*p.Duty*current - s.Aux", drives},
		{"channel carries one motor", "sizing/drive/supply.go", "return s.MotorLeadR + s.PerChannel*s.SwitchR", "return s.MotorLeadR + s.SwitchR", drives},
		{"bridge drop pushes", "sizing/drive/supply.go", "req := v + current*s.series() + s.Drop*sign(current)", "req := v + current*s.series() - s.Drop*sign(current)", drives},
		{"ripple half as strong", "sizing/rating/ripple.go", "return i * i * (1 - v) * sum / (8 * sinhc)", "return i * i * (1 - v) * sum / (16 * sinhc)", append(ratings, "verify")},
		{"friction leaves no heat", "sizing/heat/node.go", "fh := (friction + gw*(x.Winding-x.Housing)", "fh := (0*friction + gw*(x.Winding-x.Housing)", heats},
		{"warm magnets need less current", "sizing/heat/node.go", "return Answer{Housing: -2 * b.Flux", "return Answer{Housing: 2 * b.Flux", heats},
		{"housing insulated", "sizing/heat/node.go", "HW: gw / b.HousingCapacity, HH: -(gw + ga) / b.HousingCapacity,", "HW: gw / b.HousingCapacity, HH: -gw / b.HousingCapacity,", heats},
		{"short-time factor without the constant loss", "sizing/heat/onenode.go", "return math.Sqrt((1+a)/-math.Expm1(-on/n.Heating) - a)", "return math.Sqrt((1 + a) / -math.Expm1(-on/n.Heating))", heats},
		{"rotor inertia by the ratio squared", "sizing/duty/drive.go", "motor += d.Machine.Inertia * l.alpha * d.Train.Total", "motor += d.Machine.Inertia * l.alpha * d.Train.Total * d.Train.Total", marches},
		{"trapezoid for Simpson", "sizing/duty/drive.go", "return (a + 4*b + c) / 6", "return (a + c) / 2", marches},
		{"health forgotten", "sizing/setup.go", "* s.parallel * c.Health", "* s.parallel", tops},
		{"packs in series halve the resistance", "sizing/setup.go", "sup.PackR = resistance * s.series / s.parallel", "sup.PackR = resistance * s.parallel / s.series", tops},
		{"leads one way only", "sizing/setup.go", "*l.r = 2 * float64(l.lead.Length) * perMetre", "*l.r = float64(l.lead.Length) * perMetre", tops},
		{"controllers rounded down", "sizing/setup.go", "s.controllers = int(math.Ceil(", "s.controllers = int(math.Floor(", tops},
		{"Peukert's n for n − 1", "sizing/pack.go", "s.peukert-1)", "s.peukert)", tops},
		{"pulse runs twice as far", "sizing/evaluate.go", "(low+high)/2 + s.Duty*(high-low)/2", "(low+high)/2 + s.Duty*(high-low)", tops},
		{"margins over the value", "sizing/checks.go", "k.Margin = (k.Limit - k.Value) / k.Limit; return k }", "k.Margin = (k.Limit - k.Value) / k.Value; return k }", []string{"sizing", "verify"}},
		{"margin of a temperature from 0 °C", "sizing/checks.go", "k.Margin = (k.Limit - k.Value) / (k.Limit - air)\n\treturn k", "k.Margin = (k.Limit - k.Value) / k.Limit\n\treturn k", []string{"sizing", "verify"}},
		{"gear torque by its square", "sizing/checks.go", "return x * x * x }", "return x * x }", []string{"verify/published", "sizing"}},
		{"worst score first", "sizing/rank.go", "return cmp.Compare(b.Score, a.Score)", "return cmp.Compare(a.Score, b.Score)", []string{"sizing", "report"}},
		{"fuse used to its shortest time", "sizing/rating/fuse.go", "const FuseShare = 0.75", "const FuseShare = 1.0", ratings},
		{"fuse early as type C at 200 %", "sizing/rating/fuse.go", "[]float64{6, 3.5, 2, 1.35, 1.1}, []float64{0.03, 0.08, 0.15, 0.75, 360000},", "[]float64{6, 3.5, 2, 1.35, 1.1}, []float64{0.03, 0.08, 0.05, 0.75, 360000},", ratings},
		{"three wires bundled for free", "sizing/rating/wire.go", "return 0.7\n", "return 1\n", ratings},
		{"copper of 56 MS/m", "sizing/rating/wire.go", "copperResistivity = 1e-6 / 58", "copperResistivity = 1e-6 / 56", ratings},
		{"memory twice as long", "sizing/rating/withstand.go", "Tau: -tp / math.Log1p(-q*q)", "Tau: -2 * tp / math.Log1p(-q*q)", ratings},
		{"windows within one cycle only", "sizing/rating/profile.go", "return whole*p.total + best, start", "return best, start", ratings},
		{"jammed motors do not share the pack", "sizing/rating/jam.go", "i = math.Max(0, (d*b-j.Drop)/(sum+d*d*n*j.Supply))", "i = math.Max(0, (d*b-j.Drop)/(sum+d*d*j.Supply))", ratings},
	}
}
