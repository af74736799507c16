package drive

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func drawSupply(t *rapid.T) Supply {
	return Supply{
		EMF: rapid.Float64Range(6, 30).Draw(t, "emf"), PackR: rapid.Float64Range(0, 0.3).Draw(t, "pack"),
		LeadR: rapid.Float64Range(0, 0.1).Draw(t, "lead"), MotorLeadR: rapid.Float64Range(0, 0.1).Draw(t, "motor lead"),
		SwitchR: rapid.Float64Range(0, 0.05).Draw(t, "switch"), Drop: rapid.SampledFrom([]float64{0, 0, 1.5}).Draw(t, "drop"),
		Aux: rapid.Float64Range(0, 1).Draw(t, "aux"), Motors: float64(rapid.IntRange(1, 6).Draw(t, "motors")),
		PerChannel: float64(rapid.IntRange(1, 2).Draw(t, "per channel")), DutyMax: rapid.SampledFrom([]float64{1, 0.9}).Draw(t, "duty"),
		Limit: math.Inf(1), Holds: math.Inf(1), Regenerate: rapid.Bool().Draw(t, "regenerates"), Absorbs: true,
	}
}

func TestAPointSatisfiesTheSupplyEquations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSupply(t)
		r := rapid.Float64Range(0.1, 5).Draw(t, "winding")
		emf := rapid.Float64Range(-12, 12).Draw(t, "back-emf")
		rng := s.Range(emf, r)
		i := rng.Low + (rng.High-rng.Low)*rapid.Float64Range(0, 1).Draw(t, "where")
		p := s.At(i, emf, r)
		req := emf + i*r + i*s.MotorLeadR + s.PerChannel*i*s.SwitchR + s.Drop*sign(i)
		ib := s.Motors*p.Duty*i + s.Aux
		if req*i < 0 && !s.Regenerate {
			ib = s.Aux
		}
		near(t, "d·Vbus", p.Duty*p.Bus, req, 1e-6*(1+math.Abs(req)))
		near(t, "ib", p.Battery, ib, 1e-6*(1+math.Abs(ib)))
		near(t, "Vbus", p.Bus, s.EMF-p.Battery*(s.PackR+s.LeadR), 1e-9*s.EMF)
		if !p.Possible && s.Drop == 0 {
			t.Fatalf("a current within the range is not possible: %v in %+v", i, rng)
		}
	})
}

func TestTheRangeEndsAtTheBestDuty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSupply(t)
		s.Drop = 0
		r, emf := rapid.Float64Range(0.1, 5).Draw(t, "winding"), rapid.Float64Range(-8, 8).Draw(t, "back-emf")
		rsum, rt := r+s.MotorLeadR+s.PerChannel*s.SwitchR, s.Rt()
		b := s.EMF - s.Aux*rt
		best := math.Inf(-1)
		for n := range 4001 {
			d := (float64(n)/2000 - 1) * s.DutyMax
			i := (d*b - emf) / (rsum + d*d*s.Motors*rt)
			if d*i < 0 && !s.Regenerate {
				i = (d*b - emf) / rsum
			}
			best = math.Max(best, i)
		}
		high := s.Range(emf, r).High
		if high < best-1e-9*math.Abs(best) || high > best+1e-5*(1+math.Abs(best)) {
			t.Fatalf("range ends at %v, the best of all duties is %v", high, best)
		}
	})
}

func TestTheSlopeOfTheRangeIsItsDerivative(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSupply(t)
		r, emf := rapid.Float64Range(0.1, 5).Draw(t, "winding"), rapid.Float64Range(0.5, 5).Draw(t, "back-emf")
		a, b, c := s.Range(emf-1e-5, r), s.Range(emf, r), s.Range(emf+1e-5, r)
		if a.HighBound != c.HighBound || a.High*c.High <= 0 {
			t.Skip("a kink lies here")
		}
		near(t, "dI/d(emf)", b.HighSlope, (c.High-a.High)/2e-5, 1e-4*(1+math.Abs(b.HighSlope)))
	})
}

func TestLeastIsWhereADemandBecomesPossible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSupply(t)
		s.Drop = 0
		r := rapid.Float64Range(0.1, 3).Draw(t, "winding")
		i, emf := rapid.Float64Range(-8, 8).Draw(t, "current"), rapid.Float64Range(-8, 8).Draw(t, "back-emf")
		least := s.Least(i, emf, r)
		if least < 2 {
			t.Skip("no pack stands that low, and the standing load may exceed it")
		}
		within := func(e float64) bool {
			s := s
			s.EMF = e
			p := s.At(i, emf, r)
			return p.Possible && math.Abs(p.Duty) <= s.DutyMax && s.EMF > s.Aux*s.Rt()
		}
		if !within(least*(1+1e-6) + 1e-9) {
			t.Fatalf("not possible just above %v", least)
		}
		if within(least * (1 - 1e-4)) {
			t.Fatalf("still possible well below %v", least)
		}
	})
}

func TestALimitAndAnAdapterCutTheRange(t *testing.T) {
	s := Supply{EMF: 12, Aux: 0.2, Motors: 2, PerChannel: 2, DutyMax: 1, Limit: 6, Holds: math.Inf(1), Regenerate: true, Absorbs: true}
	if r := s.Range(2, 0.5); r.High != 3 || r.HighBound != CurrentEnd || r.Low != -3 {
		t.Errorf("two motors on a channel limited to 6 A have 3 A each: %+v", r)
	}
	s.Limit, s.Holds, s.Absorbs = math.Inf(1), 4, false
	r := s.Range(2, 0.5)
	p := s.At(r.High, 2, 0.5)
	if r.HighBound != SupplyEnd || math.Abs(p.Battery-4) > 1e-9 {
		t.Errorf("an adapter that holds 4 A is asked for %v A at the range's end (%v)", p.Battery, r.HighBound)
	}
}

func TestAnAdapterAbsorbsNothing(t *testing.T) {
	s := Supply{EMF: 12, Aux: 0.1, Motors: 1, PerChannel: 1, DutyMax: 1, Limit: math.Inf(1), Holds: math.Inf(1), Regenerate: true}
	if p := s.At(-3, 6, 0.5); p.Battery != 0 || p.Bus != 12 {
		t.Errorf("braking into an adapter: %+v", p)
	}
}

func TestResistanceAndConstantFollowTheirTemperatures(t *testing.T) {
	m := Machine{Resistance: 504, Constant: 0.05, Flux: -0.002, RefTemp: 20}
	// Langsdorf, Theory of AC Machinery, Ex 1.15 p.33 via Python Textbook
	// Companions: 504 W at 20 °C become 612.92 W at 75 °C by the 234.5 rule.
	near(t, "R(75)", m.R(75), 612.92, 0.005)
	near(t, "k(70)", m.K(70), 0.045, 1e-12)
}

func TestATrainLosesBothWays(t *testing.T) {
	// η = 0.8: 10 N·m resisting cost 10/(20·0.8) at the motor; 10 N·m driving
	// give back 10·(2 − 1/0.8)/20.
	g := NewTrain(Stage{Ratio: 20, Forward: 0.8, Back: 2 - 1/0.8})
	up, out := g.Inward(10, 1)
	near(t, "resisting", up, 0.625, 1e-12)
	near(t, "output", out, 10, 0)
	down, _ := g.Inward(10, -1)
	near(t, "driving", down, 0.375, 1e-12)
	held, _ := g.Held(10)
	near(t, "held", held, 0.5, 1e-12)
}

func TestStagesAreWorkedFromTheLoadInwards(t *testing.T) {
	// 8:20 teeth (2.5) at 95 %, then 16:1 at 70 %: common practice, no source.
	chain := Stage{Ratio: 2.5, Forward: 0.95, Back: 2 - 1/0.95}
	gear := Stage{Ratio: 16, Forward: 0.7, Back: 2 - 1/0.7}
	g := NewTrain(chain, gear)
	motor, output := g.Inward(2.81, 1)
	near(t, "gear output", output, 2.81/(2.5*0.95), 1e-12)
	near(t, "motor", motor, 2.81/(2.5*0.95)/(16*0.7), 1e-12)
	near(t, "total", g.Total, 40, 1e-12)
}

func TestALockingStageMustBeDrivenDownAndHoldsByItself(t *testing.T) {
	// η = 0.4 gives ηb = −0.5: the motor must drive the load down.
	g := NewTrain(Stage{Ratio: 30, Forward: 0.4, Back: 2 - 1/0.4, Locks: true})
	down, _ := g.Inward(6, -1)
	near(t, "driving down", down, -0.1, 1e-12)
	if held, _ := g.Held(6); held != 0 || g.Unpowered(6) > 0 {
		t.Errorf("held by the motor with %v, turned back with %v", held, g.Unpowered(6))
	}
}

func near(t rapid.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Fatalf("%s = %v, want %v", what, got, want)
	}
}
