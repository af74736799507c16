package catalog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/dray/quantity"
	"pgregory.net/rapid"
)

const rpm = math.Pi / 30 // rad/s

// truth is a motor as it truly is; its listing follows from the model.
type truth struct {
	v, r, k, i0, n, eta float64
}

func drawTruth(t *rapid.T) truth {
	v := rapid.Float64Range(3, 48).Draw(t, "V")
	is := rapid.Float64Range(0.5, 80).Draw(t, "Is")
	return truth{v: v, r: v / is, i0: is * rapid.Float64Range(0.01, 0.07).Draw(t, "I0/Is"),
		k:   rapid.Float64Range(0.002, 0.2).Draw(t, "k"),
		n:   rapid.Float64Range(3, 300).Draw(t, "N"),
		eta: rapid.Float64Range(0.4, 0.95).Draw(t, "eta")}
}

func (m truth) noLoad() float64 { return (m.v - m.i0*m.r) / m.k / m.n }
func (m truth) stall() float64  { return m.n * m.eta * m.k * (m.v/m.r - m.i0) }

// rated is a point of the line at a fifth of the stall current.
func (m truth) rated() (torque, speed, current float64) {
	current = m.i0 + 0.2*(m.v/m.r-m.i0)
	return m.n * m.eta * m.k * (current - m.i0), (m.v - current*m.r) / m.k / m.n, current
}

const fullHeader = "id,nominal_voltage,no_load_speed [rad/s],no_load_current,stall_torque,stall_current,ratio,rated_torque,rated_speed [rad/s],rated_current\n"

func (m truth) listing(without string) string {
	torque, speed, current := m.rated()
	cells := map[string]float64{"w0": m.noLoad(), "i0": m.i0, "ts": m.stall(), "is": m.v / m.r, "tr": torque, "wr": speed, "ir": current}
	text := func(name string) string {
		if strings.Contains(without, name) {
			return ""
		}
		return fmt.Sprintf("%.12g", cells[name])
	}
	return fullHeader + fmt.Sprintf("m,%.12g,%s,%s,%s,%s,%.12g,%s,%s,%s\n", m.v, text("w0"), text("i0"), text("ts"), text("is"), m.n, text("tr"), text("wr"), text("ir"))
}

// Whatever the motor, its line passes through both points of the catalogue.
func TestTheLinePassesThroughBothCataloguePoints(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := drawTruth(rt)
		c, err := Read(Files{Motors: []CSV{{"m.csv", []byte(m.listing(""))}}})
		if err != nil || len(c.Motors) != 1 {
			rt.Fatal(err, c)
		}
		got := c.Motors[0]
		r, k, i0 := float64(got.Resistance.Value), float64(got.Constant.Value), float64(got.NoLoadCurrent.Value)
		n, eta := float64(got.Ratio.Value), float64(got.GearEfficiency.Value)
		if w := (m.v - i0*r) / k / n; math.Abs(w/m.noLoad()-1) > 1e-9 {
			rt.Errorf("no-load speed %g, want %g", w, m.noLoad())
		}
		if ts := n * eta * k * (m.v/r - i0); math.Abs(ts/m.stall()-1) > 1e-9 {
			rt.Errorf("stall torque %g, want %g", ts, m.stall())
		}
		for _, f := range c.Findings {
			if f.Severity > Note {
				rt.Errorf("a consistent row is doubted: %v", f)
			}
		}
	})
}

// With one basic figure missing, the rated point makes up for it.
func TestAFitFindsWhatOneMissingFigureLeavesOpen(t *testing.T) {
	for _, without := range []string{"is", "i0", "w0", "is ts", "i0 ts", "ts w0"} {
		t.Run("without "+without, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				m := drawTruth(rt)
				c, err := Read(Files{Motors: []CSV{{"m.csv", []byte(m.listing(without))}}})
				if err != nil || len(c.Motors) != 1 {
					rt.Fatal(err, c.Findings)
				}
				got := c.Motors[0]
				for _, x := range []struct {
					name      string
					got, want float64
				}{{"R", float64(got.Resistance.Value), m.r}, {"k", float64(got.Constant.Value), m.k},
					{"I0", float64(got.NoLoadCurrent.Value), m.i0}, {"η", float64(got.GearEfficiency.Value), m.eta}} {
					if math.Abs(x.got/x.want-1) > 1e-4 {
						rt.Errorf("%s: got %g, want %g", x.name, x.got, x.want)
					}
				}
				if got.Constant.Basis != quantity.Derived || !strings.Contains(got.Constant.Note, "fitted") {
					rt.Errorf("a fitted constant does not say so: %+v", got.Constant)
				}
			})
		})
	}
}

func TestPublishedMotorConstants(t *testing.T) {
	tests := []struct {
		source, header, row     string
		k, noLoadRPM, tolerance float64
	}{
		// Fitzgerald, Kingsley, Umans, Electric Machinery 6e, Ex 7.9 p.389, via Python Textbook Companions.
		{"no-load test", "id,nominal_voltage,no_load_speed,no_load_current,resistance", "m,50,2100,1.25,1.03", 0.22151, 2100, 2e-5},
		// Special Electrical Machines (Burman), Ex 4.1 p.216, via Python Textbook Companions; a resistance of our own.
		{"speed from Ke", "id,nominal_voltage,torque_constant,no_load_current,resistance", "m,48,0.12 V·s/rad,0,1.5", 0.12, 3819.7, 2e-5},
		// The same, Ex 4.2 p.216.
		{"constant from stall", "id,nominal_voltage,stall_torque,no_load_current,stall_current", "m,28,1,0,5", 0.200, 1336.9, 2e-5},
		// The same, Ex 4.5 p.218.
		{"constant from speed", "id,nominal_voltage,no_load_speed,no_load_current,resistance", "m,120,6000,0,2.5", 0.19099, 6000, 3e-5},
	}
	for _, test := range tests {
		t.Run(test.source, func(t *testing.T) {
			m := oneMotor(t, test.header+"\n"+test.row+"\n")
			within(t, "k", m.Constant.Value, test.k, test.tolerance)
			within(t, "no-load speed", m.NoLoadSpeed.Value, test.noLoadRPM*rpm, test.tolerance)
		})
	}
}

// The gross figure of rows as they are sold (common practice, no source).
func TestGrossStallFigureOfListings(t *testing.T) {
	for _, test := range []struct {
		name, row string
		want      float64
	}{
		{"50 to 1 at 630 rpm", "m,6 V,630 rpm,0.10 A,15 oz·in,1.6 A,50:1", 0.776},
		{"295 rpm, 4Kg/cm", "m,6 V,295 rpm,0.35 A,4Kg/cm,5.5 A,33.9", 0.39},
	} {
		t.Run(test.name, func(t *testing.T) {
			m := oneMotor(t, "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio\n"+test.row+"\n")
			if math.Abs(m.GrossStallQuotient-test.want) > 0.006 {
				t.Errorf("got %.3f, want %.3f", m.GrossStallQuotient, test.want)
			}
		})
	}
}

// A gear train of efficiency one and no friction gives a gross figure of one;
// the row is then scaled to stand either side of each threshold.
func TestGrossThresholdsDecideWhetherARowIsBelieved(t *testing.T) {
	row := func(gross float64) string {
		m := truth{v: 12, r: 2, k: 0.02, i0: 0, n: 30, eta: gross}
		return "id,nominal_voltage,no_load_speed [rad/s],no_load_current,stall_torque,stall_current,ratio\n" +
			fmt.Sprintf("m,12,%.9g,0,%.9g,6,30\n", m.noLoad(), m.stall())
	}
	for _, test := range []struct {
		gross  float64
		level  Level
		phrase string
		motors int
	}{
		{0.03, Warning, "near the ratio 30: a value on the wrong shaft side", 1},
		{0.29, Warning, "only 0.29", 1},
		{1.02, Warning, "2.0 % above", 1},
		{1.06, Impossible, "1.06 times", 0},
		{18, Impossible, "perhaps a value on the wrong shaft side", 0},
		{29, Impossible, "near the ratio 30: a value on the wrong shaft side", 0},
	} {
		c := readMotors(t, row(test.gross))
		wantFinding(t, c, test.level, test.phrase)
		if len(c.Motors) != test.motors {
			t.Errorf("gross %g: %d motors, want %d", test.gross, len(c.Motors), test.motors)
		}
	}
	for _, gross := range []float64{0.31, 0.7, 1} {
		if f, doubted := finding(readMotors(t, row(gross)), "stall torque"); doubted {
			t.Errorf("gross %g is doubted: %v", gross, f)
		}
	}
	if m := oneMotor(t, row(1.04)); m.GearEfficiency.Value != 1 {
		t.Errorf("an efficiency of %v is used, want at most 1", m.GearEfficiency)
	}
}

// The other two conventions of listings are told by their residuals.
func TestConventionsAreRecognisedByTheirResiduals(t *testing.T) {
	const v, r, k, i0 = 12.0, 2.4, 0.02, 0.35
	const header = "id,nominal_voltage,no_load_speed [rad/s],no_load_current,stall_torque,stall_current,torque_constant\n"
	row := func(w0, ts float64, kt string) string {
		return header + fmt.Sprintf("m,12,%.9g,0.35,%.9g,5,%s\n", w0, ts, kt)
	}
	ours, gross, net := (v-i0*r)/k, k*v/r, k*(v/r-i0)
	if _, named := finding(readMotors(t, row(ours, net, "")), "the row gives"); named {
		t.Error("a row of the model's own conventions is named as another's")
	}
	wantFinding(t, readMotors(t, row(ours, gross, "")), Note, "stall torque gross, k·Is, or the no-load speed as V/k")
	wantFinding(t, readMotors(t, row(v/k, net, "")), Note, "cannot be told apart")
	wantFinding(t, readMotors(t, row(v/k, net, "0.02")), Note, "no-load speed as V/k, the I0·R drop ignored")
	if m := oneMotor(t, row(ours, gross, "")); !strings.Contains(m.Constant.Note, "gross") {
		t.Errorf("the constant does not name the convention: %q", m.Constant.Note)
	}
	c := readMotors(t, row(v/k, gross, ""))
	wantFinding(t, c, Impossible, "the no-load speed as V/k and the stall torque gross")
}

func TestBareMotorsDoNotNeedTheirStallTorque(t *testing.T) {
	const header = "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current\n"
	m := oneMotor(t, header+"m,12,5000,0.2,,5\n")
	if !m.Bare || m.Ratio.Value != 1 || m.GearEfficiency.Value != 1 || m.BackEfficiency.Value != 1 || m.SelfLocking {
		t.Errorf("not a bare motor: %+v", m)
	}
	within(t, "stall torque", m.StallTorque.Value, (12-0.2*2.4)/(5000*rpm)*4.8, 1e-9)
	if !math.IsNaN(m.GrossStallQuotient) {
		t.Errorf("a gross figure without a stall torque: %g", m.GrossStallQuotient)
	}
	wantFinding(t, readMotors(t, header+"m,12,5000,0.2,0.09,5\n"), Warning, "from k·(Is − I0)")
}

func TestListedConstantsStandInOrAreCompared(t *testing.T) {
	m := oneMotor(t, "id,nominal_voltage,no_load_current,resistance,speed_constant\nm,12,0.2,0.9,500\n")
	within(t, "k from rpm/V", m.Constant.Value, 60/(2*math.Pi*500), 1e-9)
	// common practice, no source: 110 V over 0.9 Ω is 122 A at stall
	m = oneMotor(t, "id,nominal_voltage,no_load_speed,no_load_current,resistance\nm,110,4000,1.5,0.9\n")
	within(t, "stall current", m.StallCurrent.Value, 122, 0.003)
	const header = "id,nominal_voltage,no_load_speed,no_load_current,stall_current,resistance,torque_constant\n"
	c := readMotors(t, header+"m,12,5000,0.2,5,2.6,0.0225\n")
	wantFinding(t, c, Warning, "resistance of 2.6 Ω is +8.3 % from 2.4 Ω")
	if _, doubted := finding(c, "torque_constant"); doubted && c.Motors[0].Resistance.Basis != quantity.Derived {
		t.Error("2 % is doubted, or the listed resistance was used")
	}
}

func TestBackEfficiencyFollowsTheBasisOfTheForwardOne(t *testing.T) {
	const header = "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio,gear_kind,gear_efficiency\n"
	for _, test := range []struct {
		name, row string
		back      float64
		locking   bool
		basis     quantity.Basis
	}{
		{"listed", "m,12,100,0.2,,5,50,spur,0.45", 2 - 1/0.45, true, quantity.Derived},
		{"listed high", "m,12,100,0.2,,5,50,spur,0.8", 0.75, false, quantity.Derived},
		{"inferred, never below 0.6", "m,12,100,0.2,2.1,5,50,spur,", 2 - 1/0.6, false, quantity.Assumed},
		{"worm, inferred", "m,12,100,0.2,2.1,5,50,worm,", math.NaN(), true, quantity.Derived},
		{"worm, estimated", "m,12,100,0.2,,5,50,worm,", 0, false, quantity.Assumed},
		{"planetary, estimated", "m,12,100,0.2,,5,30,planetary,", 2 - 1/math.Pow(0.81, 2), false, quantity.Assumed},
	} {
		t.Run(test.name, func(t *testing.T) {
			m := oneMotor(t, header+test.row+"\n")
			want := test.back
			if math.IsNaN(want) {
				want = 2 - 1/float64(m.GearEfficiency.Value)
			}
			if math.Abs(float64(m.BackEfficiency.Value)-want) > 1e-9 || m.SelfLocking != test.locking || m.BackEfficiency.Basis != test.basis {
				t.Errorf("got %+v locking %v from %+v, want %g %v", m.BackEfficiency, m.SelfLocking, m.GearEfficiency, want, test.locking)
			}
		})
	}
}

func TestAListOfRatiosMakesOneMotorEach(t *testing.T) {
	const header = "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio,measured_at\n"
	c := readMotors(t, header+"m,12,9000,0.2,0.05,5,19:1; 259/26;1:51.20,motor\n")
	ids := []string{}
	for _, m := range c.Motors {
		ids = append(ids, m.ID)
		within(t, "motor constant", m.Constant.Value, float64(c.Motors[0].Constant.Value), 1e-12)
		within(t, "output speed", m.NoLoadSpeed.Value, 9000*rpm/float64(m.Ratio.Value), 1e-12)
	}
	if got := strings.Join(ids, " "); got != "m@19 m@9.96154 m@51.2" {
		t.Errorf("ids %s", got)
	}
	c = readMotors(t, header+"m,12,400;300,0.2,0.9;1.1,5,19;27,output\n")
	within(t, "second speed", c.Motors[1].NoLoadSpeed.Value, 300*rpm, 1e-9)
	within(t, "second torque", c.Motors[1].StallTorque.Value, 1.1, 1e-9)
}

func TestRowsAreDoubtedForWhatTheirFiguresSay(t *testing.T) {
	const header = "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio,rated_torque,rated_speed,rated_current,gear_torque_peak\n"
	for name, test := range map[string]struct {
		row, phrase string
		level       Level
	}{
		"swapped currents":    {"m,12,300,2,0.5,5,20,,,,", "no-load current is 40 % of the stall current", Warning},
		"dragging brake":      {"m,24,120,9.5,,70,20,,,11.9,", "80 % of the rated current", Warning},
		"rated is stall":      {"m,12,300,0.2,1.2,5,20,0.9,,,", "rated torque is 75 % of the stall torque", Warning},
		"rated above maximum": {"m,12,300,0.2,1.2,5,20,0.5,250,,", "more than the 9.42 W", Warning},
		"jam breaks gears":    {"m,6,32,0.07,125 oz-in,1.6,250,,,,35 oz-in", "a jam breaks the gears", Warning},
		"figures that clash":  {"m,12,300,,1.2,5,20,0.4,290,4,", "the figures of the row", Impossible},
		"friction eats all":   {"m,12,300,6,1.2,5,20,,,,", "eats the whole voltage", Impossible},
	} {
		t.Run(name, func(t *testing.T) { wantFinding(t, readMotors(t, header+test.row+"\n"), test.level, test.phrase) })
	}
}

func TestAListedEfficiencyWinsAndIsCompared(t *testing.T) {
	const header = "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio,gear_efficiency\n"
	c := readMotors(t, header+"m,12,300,0.2,0.5,5.5,20,0.8\n")
	wantFinding(t, c, Warning, "shows a gear efficiency of 0.26, not the listed 0.8")
	if m := c.Motors[0]; m.GearEfficiency.Value != 0.8 || m.GearEfficiency.Basis != quantity.Listed {
		t.Errorf("got %+v", m.GearEfficiency)
	}
}

func TestTwoUnitsInOneCellMustAgree(t *testing.T) {
	const header = "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio\n"
	// common practice, no source: 106.93 oz·in are 7.7 kg·cm
	m := oneMotor(t, header+"m,6,60,0.2,106.93 oz-in (7.7 kg-cm),2,100\n")
	within(t, "stall torque", m.StallTorque.Value, 0.7551, 1e-3)
	// 9.14 lb·in are 10.53 kg·cm, not kg·m
	c, err := Read(Files{Motors: []CSV{{"m.csv", []byte(header + "m,6,60,0.2,9.14 lb·in (10.53 kg-m),4,100\n")}}})
	if err == nil {
		if _, told := finding(c, "10.53"); !told {
			t.Errorf("a slip of a hundred times goes unnoticed: %v", c.Findings)
		}
	}
}
