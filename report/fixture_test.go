package report

import (
	"math"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// The fixture is invented: no number in it comes from a real product.

func nan() float64 { return math.NaN() }

func known[Q ~float64](v Q, b quantity.Basis, note string) quantity.Figure[Q] {
	return quantity.Figure[Q]{Value: v, Basis: b, Note: note}
}

func fixtureMotor(id string) *catalog.Motor {
	return &catalog.Motor{
		ID: id, Row: id, NominalVoltage: known[quantity.Voltage](12, quantity.Listed, ""),
		Resistance:    known[quantity.Resistance](0.8, quantity.Derived, "nominal voltage over stall current"),
		Constant:      known[quantity.MotorConstant](0.0231, quantity.Derived, "from the no-load point at the output shaft"),
		NoLoadCurrent: known[quantity.Current](0.35, quantity.Listed, ""),
		RotorInertia:  known[quantity.Inertia](4.7e-6, quantity.Listed, ""),
		ReferenceTemp: 25, Ratio: known[quantity.Ratio](27, quantity.Listed, ""),
		GearEfficiency: known[quantity.Fraction](0.731, quantity.Derived, "inferred from the stall torque, so it also holds brush and convention errors"),
		BackEfficiency: known[quantity.Fraction](0.632, quantity.Assumed, ""),
		WindingLimit:   known[quantity.Temperature](120, quantity.Assumed, "class B, mean winding"),
	}
}

func fixtureChecks(fuse float64, v sizing.Verdict) []sizing.Check {
	plain := func(n sizing.CheckName, value, limit float64, unit string, margin float64, verdict sizing.Verdict) sizing.Check {
		return sizing.Check{Name: n, Value: value, Limit: limit, Unit: unit, Margin: margin, Verdict: verdict, At: 18.25, Basis: quantity.Listed, Leg: 1, Window: nan(), Extra: nan()}
	}
	window := plain(sizing.CheckFuse, 21.3, 21.3/(1-fuse), "A", fuse, v)
	window.Window = 10
	lone := plain(sizing.CheckRuntime, 2.41, 2, "h", 0.205, sizing.Holds)
	lone.At, lone.Leg = nan(), -1
	return []sizing.Check{
		plain(sizing.CheckSpeed, 0.012, 0.05, "1", 0.76, sizing.Holds),
		plain(sizing.CheckGearContinuous, 3.05, 4.1, "N·m", 0.256, sizing.Holds),
		plain(sizing.CheckGearInputSpeed, 271, 838, "rad/s", 0.677, sizing.Holds),
		plain(sizing.CheckHousing, 58.9, 60, "degC", 0.042, sizing.Tight),
		window, lone,
	}
}

func fixtureCandidate(rank int, id string, v sizing.Verdict) sizing.Candidate {
	steady := sizing.State{At: 12, OutputSpeed: 7, OutputTorque: 1.62, MotorSpeed: 189, MotorTorque: 0.0821, MotorCurrent: 3.42, MotorVoltage: 7.11, Command: 0.612, PulseSeconds: 1806e-6, BusVoltage: 11.9, BatteryCurrent: 4.53}
	peak := steady
	peak.At, peak.MotorCurrent, peak.OutputTorque, peak.Command, peak.PulseSeconds = 18.25, 11.8, 5.21, 0.931, 1965e-6
	c := sizing.Candidate{
		Pick: sizing.Pick{Motor: fixtureMotor(id), Battery: &catalog.Battery{ID: "hob-12-7"}, Controller: &catalog.Controller{ID: "duo-15"}},
		ID:   id + "+hob-12-7+duo-15", Rank: rank, Ratio: 27, StageRatio: 1, TotalRatio: 27,
		Verdict: v, FirstFailure: -1, Score: 0.8123456789012, Price: 61.5, Mass: 3.1,
		Parts:         []sizing.Part{{Role: "motor", ID: id, Count: 2, Price: 18, Mass: 0.35}, {Role: "battery", ID: "hob-12-7", Count: 1, Price: 25.5, Mass: nan()}},
		ThermalMargin: 0.34123, WindingPeak: 90.6, WindingMean: 84.1, HousingPeak: 58.9, ThermalBasis: quantity.Listed,
		MotorCurrentRMS: 4.02, MotorCurrentPeak: 11.8, BatteryCurrentMean: 3.4149, BatteryCurrentRMS: 5.5, BatteryCurrentPeak: 24.1, BusVoltageMin: 10.9,
		Runtime: 1.8321, RuntimeEndsBy: "reserve", CycleTime: 152,
		Legs: []sizing.LegResult{
			{Name: "aisle", Start: 0, Duration: 19.3, Commanded: 19.3, Steady: steady, Peak: peak, Reached: 1, Wanted: 1},
			{Name: "ramp", Start: 19.3, Duration: 8.9, Commanded: 7.9, Steady: steady, Peak: peak, Reached: 0.62, Wanted: 0.7, Shortfall: 0.114, LimitedBy: "voltage"},
		},
		Checks:    fixtureChecks(0.31, sizing.Holds),
		Footnotes: []string{"ripple heat is left out: no inductance"},
	}
	return c
}

func fixtureDetail() *sizing.Detail {
	return &sizing.Detail{
		Envelope: sizing.Envelope{Windows: []float64{0.1, 1, 10}, Elements: []sizing.Element{
			{Name: "fuse", Duty: []float64{24, 20, 14}, Stands: []float64{90, 60, 30}, Utilisation: 0.69, WorstWindow: 10, ByMemory: true, Sentence: "the worst 10 s carry 14 A rms; the fuse stands 30 A for 10 s, and its memory of earlier load counts"},
			{Name: "controller", Duty: []float64{11.8, 9, 6}, Stands: []float64{30, 30, 15}, Utilisation: 0.4, WorstWindow: 10, Sentence: "the worst 10 s carry 6 A rms; the controller stands 15 A for 10 s"},
			{Name: "motor", Duty: []float64{11.8, 9, 6}, Utilisation: nan(), WorstWindow: nan(), Sentence: "shown only; judged by winding temperature"},
		}},
		Start:    sizing.Inrush{Current: 14.2, BusVoltage: 10.1, TamedByRamp: 0.35, TamedByLimit: 12, Takes: 0.84, Leg: "ramp", TorqueLeft: 0.85, SlipsAt: 13, Sentence: "full command thrown on at rest draws 14.2 A per motor; held to 12 A it starts in 840 ms"},
		Reversal: sizing.Inrush{Current: 27.5, BusVoltage: 8.9, TamedByRamp: nan(), TamedByLimit: 12, Takes: math.Inf(1), SlipsAt: nan(), Sentence: "held to 12 A it never reverses in leg ramp"},
		Pivot:    &sizing.Pivot{InDuty: true, Leg: "turn", Current: 9.3, ChannelCurrent: 9.3, BatteryCurrent: 12.1, BusVoltage: 11.6, Possible: true, Sentence: "turning on the spot takes 9.3 A per motor"},
		Source: sizing.Source{Label: 61200, Here: 20196, ChargeMax: nan(), Sags: []sizing.Sag{{Charge: 1, EMF: 12.6, Terminals: 11.7, Bus: 11.6, Current: 24.1, At: 18.25}},
			Sentences: []string{"label 17 Ah → 5.61 Ah here: health 80 %"}},
		Losses:   []sizing.Loss{{Where: "winding", Watts: 12.5, Share: 0.3, Volts: 9.1}, {Where: "gear train", Watts: 6.2, Share: 0.15, Volts: nan()}},
		LossNote: "of 12.6 V a stepped start leaves 9.1 V across the winding",
		Leads:    &sizing.LeadEffect{Drop: 0.2, SpeedLost: 0.016, StallLost: 0.02, Sentence: "the leads drop 0.2 V over the round trip"},
		Ripple:   sizing.RippleBand{Frequency: 16000, Extra: [2]float64{0.1, 1}, Factor: [2]float64{1.01, 1.1}, Swing: [2]float64{0.2, 2}, Locked: [2]float64{1.1, 1.5}, Quiet: 30000, Sentence: "at 16 kHz ripple would multiply copper heat by 1.02 to 1.21"},
		Choice:   fixtureChoice(),
		Jam: sizing.Jam{Current: 14.2, BatteryCurrent: 28.4, GearTorque: 6.6, Judged: true, Protected: true,
			Why:    "the fuse opens at the latest before the winding reaches its limit",
			Events: []sizing.JamEvent{{After: 41, What: "winding at its limit of 120 °C"}, {After: 2.2, What: "fuse opens at the earliest"}, {After: 0, What: "gear held at 6.6 N·m of its momentary 9 N·m"}},
			Single: &sizing.Jam{Current: 15.1, BatteryCurrent: 15.1, GearTorque: nan(), Judged: false}},
		Firmware: sizing.Firmware{CurrentLimit: 12, TripTime: 1.5, Ramp: 0.35, DeadTime: 0.05, CutOffVoltage: 10.5, CommandCap: 0.87, Notes: []string{"the full pack gives 13.8 V to a 12 V motor"}},
		HeldLoad: 0.4,
	}
}

func fixtureChoice() *sizing.ControllerChoice {
	ch := &sizing.ControllerChoice{Sentence: "duo-15 is the smallest controller that stands the duty; uno-9 is the largest that does not", Ranked: []sizing.ControllerVerdict{
		{ID: "uno-9", Amps: 9, Price: 20, Used: 1.31, Reason: "the worst 10 s carry 11.8 A rms; the controller channel stands 9 A for that long"},
		{ID: "duo-15", Amps: 15, Price: nan(), Stands: true, Used: 0.4, Reason: "the worst 10 s carry 6 A rms; the controller channel stands 15 A for that long"}}}
	ch.Smallest, ch.Largest = &ch.Ranked[1], &ch.Ranked[0]
	return ch
}

// fixtureField has one candidate of every verdict and of every oddity.
func fixtureField() *sizing.Field {
	best := fixtureCandidate(1, "gm37-27", sizing.Holds)
	best.Detail = fixtureDetail()
	tight := fixtureCandidate(2, "gm42-19@19", sizing.Tight)
	tight.ThermalBasis, tight.Runtime, tight.RuntimeEndsBy, tight.Dominated = quantity.Estimated, math.Inf(1), "never", true
	tight.Footnotes = append(tight.Footnotes, "rotor inertia blank, counted as 0")
	dark := fixtureCandidate(3, "gm25-46", sizing.Uncertain)
	dark.ThermalMargin, dark.WindingPeak, dark.WindingMean, dark.HousingPeak, dark.ThermalBasis, dark.Price = nan(), nan(), nan(), nan(), quantity.Unknown, nan()
	dark.Checks = append([]sizing.Check{{Name: sizing.CheckWinding, Value: nan(), Limit: 120, Unit: "degC", Margin: nan(), Verdict: sizing.Uncertain, At: nan(), Leg: -1, Window: nan(), Extra: nan()}}, dark.Checks...)
	dark.Score = nan()
	weak := fixtureCandidate(4, "a-very-long-motor-name-that-nobody-would-type-37-131@131", sizing.Fails)
	weak.Checks, weak.FirstFailure, weak.Score = fixtureChecks(-0.23, sizing.Fails), int(sizing.CheckFuse), nan()
	hot := fixtureCandidate(5, "gm20-100", sizing.Fails)
	hot.ThermalRunaway, hot.ThermalMargin, hot.WindingPeak, hot.WindingMean, hot.HousingPeak = true, nan(), nan(), nan(), nan()
	hot.Checks = append([]sizing.Check{{Name: sizing.CheckWinding, Value: nan(), Limit: 120, Unit: "degC", Margin: math.Inf(-1), Verdict: sizing.Fails, At: nan(), Leg: -1, Window: nan(), Extra: nan(), Which: "runaway"}}, hot.Checks...)
	hot.FirstFailure, hot.Score = int(sizing.CheckWinding), nan()
	return &sizing.Field{
		Title: "Tray cart, east glasshouse",
		Case: &loadcases.Case{Title: "Tray cart, east glasshouse", Kind: "wheels", Motors: 2, Assumptions: []loadcases.Assumption{
			{What: "battery health", Value: "80 %", Basis: quantity.Assumed, Why: "a pack is sized for its old age"}}},
		Warnings:   []string{"the ramp asks for 92 W, the supply could give 118 W: little is left for acceleration"},
		Footnotes:  []string{"motors.csv:14: row gm99 makes no candidate: its gross stall quotient of 1.31 is impossible"},
		Weights:    loadcases.Prefer{ThermalMargin: 2, Current: 1, Runtime: 1},
		Candidates: []sizing.Candidate{best, tight, dark, weak, hot},
	}
}
