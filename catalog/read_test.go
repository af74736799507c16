package catalog

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.org/dray/quantity"
)

// readMotors reads one file of motors that must have no faults.
func readMotors(t *testing.T, text string) *Catalog {
	t.Helper()
	c, err := Read(Files{Motors: []CSV{{Name: "motors.csv", Data: []byte(text)}}})
	if err != nil {
		t.Fatalf("unexpected faults:\n%v", err)
	}
	return c
}

// oneMotor reads a file that holds one motor.
func oneMotor(t *testing.T, text string) Motor {
	t.Helper()
	c := readMotors(t, text)
	if len(c.Motors) != 1 {
		t.Fatalf("want one motor, got %d; findings: %v", len(c.Motors), c.Findings)
	}
	return c.Motors[0]
}

// within fails unless got is within a relative tolerance of want.
func within[Q ~float64](t *testing.T, what string, got Q, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(float64(got)-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s: got %.8g, want %.8g", what, float64(got), want)
	}
}

// finding returns the first finding whose text holds a phrase.
func finding(c *Catalog, phrase string) (Finding, bool) {
	for _, f := range c.Findings {
		if strings.Contains(f.Text, phrase) {
			return f, true
		}
	}
	return Finding{}, false
}

func wantFinding(t *testing.T, c *Catalog, level Level, phrase string) {
	t.Helper()
	f, ok := finding(c, phrase)
	if !ok || f.Severity != level {
		t.Errorf("want a %v with %q, got findings %v", level, phrase, c.Findings)
	}
}

// The same motor in every dress a spreadsheet gives it.
func TestOneListingReadsTheSameInEveryDress(t *testing.T) {
	dresses := map[string]string{
		"plain":               "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio\nm,12,300,0.25,1.355,5.5,19.5\n",
		"units in cells":      "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio\nm,12 V,300 RPM,250mA,135.5 N·cm,5500 mA,19.5:1\n",
		"units in header":     "ID,Nominal Voltage (V),No-Load Speed [rpm],no load current [mA],stall_torque [mN·m],stall_current (A),Ratio\nm,12,300,250,1355,5.5,39/2\n",
		"cell beats header":   "id,nominal_voltage,no_load_speed,no_load_current [mA],stall_torque,stall_current,ratio\nm,12,300,0.25 A,1.355,5.5,19.5\n",
		"semicolons, commas":  "id;nominal_voltage;no_load_speed;no_load_current;stall_torque;stall_current;ratio\nm;12;300;0,25;1,355;5,5;19,5\n",
		"semicolons, points":  "id;nominal_voltage;no_load_speed;no_load_current;stall_torque;stall_current;ratio\nm;12;300;0.25;1.355;5.5;19.5\n",
		"thousands, comma":    "id;nominal_voltage;no_load_speed;no_load_current [mA];stall_torque [mN·m];stall_current;ratio\nm;12;300;250;1.355;5,5;19,5\n",
		"thousands, point":    "id,nominal_voltage,no_load_speed,no_load_current [mA],stall_torque [mN·m],stall_current,ratio\nm,12,300,250,\"1,355.0\",5.5,19.5\n",
		"tabs":                "id\tnominal_voltage\tno_load_speed\tno_load_current\tstall_torque\tstall_current\tratio\nm\t12\t300\t0,25\t1,355\t5,5\t19,5\n",
		"byte order mark":     "\xef\xbb\xbfid,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio\r\nm,12,300,0.25,1.355,5.5,19.5\r\n",
		"sep line":            "\xef\xbb\xbfsep=;\r\nid;nominal_voltage;no_load_speed;no_load_current;stall_torque;stall_current;ratio\r\nm;12;300;0,25;1,355;5,5;19,5\r\n",
		"lone carriage":       "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio\rm,12,300,0.25,1.355,5.5,19.5\r",
		"quotes":              "\"id\",\"nominal_voltage\",no_load_speed,no_load_current,stall_torque,stall_current,ratio\n\"m\",\"12\",\" 300 \",0.25,1.355,5.5,19.5",
		"no-break spaces":     "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio\nm,\u00a012\u00a0V\u00a0,300\u2009rpm,0.25,1.355,5.5,19.5\n",
		"comments and blanks": "# from a shelf\n\nid,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio,,\n# ----\nm,12,300,0.25,1.355,5.5,19.5,,\n,,,,,,,,\n\n",
		"repeated header":     "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio\nm,12,300,0.25,1.355,5.5,19.5\nid,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio\n",
		"motor side":          "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio,measured_at,gear_efficiency\nm,12,5850,0.25,0.0982,5.5,19.5,motor,0.7078\n",
	}
	for name, text := range dresses {
		t.Run(name, func(t *testing.T) {
			m := oneMotor(t, text)
			within(t, "resistance", m.Resistance.Value, 12/5.5, 1e-9)
			within(t, "constant", m.Constant.Value, (12-0.25*12/5.5)/(300*math.Pi/30*19.5), 1e-9)
			within(t, "no-load speed", m.NoLoadSpeed.Value, 300*math.Pi/30, 1e-9)
			within(t, "stall torque", m.StallTorque.Value, 1.355, 0.01)
		})
	}
}

func TestHeadingsAreRenamedByTheCase(t *testing.T) {
	text := "Part;Volt;RPM free;A free;Torque kg·cm;A stall;Shop\nm;12;300;0,25;13,8;5,5;harbour\n"
	c, err := Read(Files{Motors: []CSV{{Name: "m.csv", Data: []byte(text)}}, Columns: map[string]string{
		"part": "id", "Volt": "nominal_voltage [V]", "RPM free": "no_load_speed", "A free": "no_load_current",
		"Torque kg·cm": "stall_torque [kg·cm]", "A stall": "stall_current", "Shop": "-"}})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "stall torque", c.Motors[0].StallTorque.Value, 0.138*9.80665, 1e-9)
	if _, err := Read(Files{Columns: map[string]string{"x": "stal_torque"}}); err == nil || !strings.Contains(err.Error(), "want stall_torque") {
		t.Errorf("renaming to no column: got %v", err)
	}
}

func TestTheDefaultUnitIsReportedOncePerColumn(t *testing.T) {
	c := readMotors(t, "id,nominal_voltage,no_load_speed,no_load_current,stall_current\na,12,5000,0.2,5\nb,12,6000,0.2,5\n")
	for _, column := range []string{"nominal_voltage", "no_load_speed", "no_load_current", "stall_current"} {
		n := 0
		for _, f := range c.Findings {
			if f.Field == column && f.Severity == Note && strings.Contains(f.Text, "taken as") {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%s: %d notes of its default unit, want 1", column, n)
		}
	}
}

func TestAnIdRepeatedInAnotherFileNamesBothPlaces(t *testing.T) {
	text := []byte("id,nominal_voltage,no_load_speed,no_load_current,stall_current\na,12,5000,0.2,5\n")
	_, err := Read(Files{Motors: []CSV{{"one.csv", text}, {"two.csv", text}}})
	if err == nil || !strings.Contains(err.Error(), "two.csv:2:1") || !strings.Contains(err.Error(), "one.csv:2") {
		t.Errorf("got %v", err)
	}
}

func TestAllFaultsOfAllFilesComeInOneRunAndAreCapped(t *testing.T) {
	var b strings.Builder
	b.WriteString("id,nominal_voltage,no_load_speed,no_load_current,stall_current\n")
	for range 80 {
		b.WriteString("a b,12,5000,0.2,5\n")
	}
	_, err := Read(Files{Motors: []CSV{{"one.csv", []byte(b.String())}},
		Controllers: []CSV{{"two.csv", []byte("id,current_continuous\nc,x\n")}}})
	var faults *Faults
	if !errors.As(err, &faults) || len(faults.List) != 81 {
		t.Fatalf("want 81 faults, got %v", err)
	}
	text := err.Error()
	if !strings.HasSuffix(text, "and 31 more") || strings.Count(text, "one.csv:") != 50 {
		t.Errorf("the faults are not capped at 50: %s", text[len(text)-200:])
	}
}

func TestZeroForUnknownIsNotedAndStaysUnknown(t *testing.T) {
	c := readMotors(t, "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,resistance\na,12,5000,0.2,0,0,2.4\n")
	wantFinding(t, c, Note, "stall_current of 0 is taken as not known")
	if m := c.Motors[0]; m.Resistance.Basis != quantity.Listed || m.StallTorque.Basis != quantity.Derived {
		t.Errorf("got %v and %v", m.Resistance, m.StallTorque)
	}
}

func TestMergedCellsAreNoted(t *testing.T) {
	c := readMotors(t, "id,nominal_voltage,no_load_speed,no_load_current,stall_current\na,12,5000,0.2,5\nb,12,6000,,\nc,12,7000,,\n")
	wantFinding(t, c, Note, "stall_current blank below a filled cell: merged cells?")
	if len(c.Motors) != 1 {
		t.Errorf("blanks were filled in: %d motors", len(c.Motors))
	}
	wantFinding(t, c, Warning, "not enough to derive")
}

func TestTheSortOfAFileIsToldFromItsHeader(t *testing.T) {
	for want, text := range map[string]string{
		"motors":      "id;nominal_voltage;stall_torque\n",
		"gear trains": "id,kind,ratio,efficiency\n",
		"batteries":   "id,chemistry,capacity\n",
		"controllers": "id,current_continuous,channels\n",
		"":            "name,colour\n",
	} {
		if got := TableOf([]byte(text), nil); got != want {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
	}
}

func TestHostileFilesGiveBoundedFaults(t *testing.T) {
	header := "id,nominal_voltage,no_load_speed,no_load_current,stall_current\n"
	for name, text := range map[string]string{
		"a million columns": header + strings.Repeat("1,", 1_000_000) + "\n",
		"a wide header":     strings.Repeat("id,", 1_000_000) + "\n1\n",
		"a huge cell":       header + "a," + strings.Repeat("9", 1_000_000) + ",1,1,1\n",
		"open quotes":       header + strings.Repeat("\"a,1,2\n", 50_000),
		"only quotes":       strings.Repeat("\"", 100_001),
		"only separators":   strings.Repeat(";", 100_000),
		"too large":         strings.Repeat("x", maxFileBytes+1),
		"many bad rows":     header + strings.Repeat("?,x,y,z,w\n", 20_000),
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Read(Files{Motors: []CSV{{"hostile.csv", []byte(text)}}})
			if err == nil {
				t.Fatal("no fault")
			}
			if n := len(err.Error()); n > 40_000 {
				t.Errorf("the message is %d bytes", n)
			}
		})
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio\nm,12,300,0.25,1.355,5.5,19;27\n"))
	f.Add([]byte("sep=;\nid;chemistry;capacity;cells\nb;li-ion;2,2 Ah 25C;3S\n"))
	f.Add([]byte("id,kind,ratio,fits\ng,worm,1:40,\"a b\"\n"))
	f.Add([]byte("charge,voltage\n0 %,9\n100 %,12.6\n"))
	f.Add([]byte("id\tcurrent_continuous\nc\t12 A\n"))
	// Cells as listings have them: ranges, two units, footnotes, bounds, gaps.
	f.Add([]byte("id;nominal_voltage;no_load_speed;no_load_current;stall_torque;stall_current;ratio\nm;3V~12VDC;90±10rpm;190mA (250mA MAX);106,93 oz-in (7,7 kg-cm);≤3A stall;(25/12)×(34/9)\n"))
	f.Add([]byte("\ufeffid,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio\r\nm,12V,\"10,000\",0.2A,4Kg/cm,maximum 5.5A,1:48\r\nn,-,–,n/a,?,0,*\r\n"))
	f.Add([]byte("id,chemistry,capacity,cells\np,lipo,3S 2200mAh 25C,3S\nq,sla,12V 7.2Ah @20h,6\n"))
	f.Add([]byte("id,current_continuous,channels,voltage_max\nc,2x32A/6-30V,2,30\nd,10A max 5A cont.,1,6-16 V\n"))
	for _, row := range hostileRows() {
		f.Add([]byte(hostileHeader + row[:min(len(row), 4096)]))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		csv := []CSV{{"f.csv", data}}
		_, err := Read(Files{Motors: csv, GearTrains: csv, Batteries: csv, Controllers: csv,
			Open: func(string) ([]byte, error) { return data, nil }})
		if err != nil && len(err.Error()) > 60_000 {
			t.Errorf("message of %d bytes", len(err.Error()))
		}
		TableOf(data, nil)
	})
}

func BenchmarkRead10000Rows(b *testing.B) {
	var text strings.Builder
	text.WriteString("id,nominal_voltage [V],no_load_speed [rpm],no_load_current [A],stall_torque [kg·cm],stall_current [A],ratio,mass,price\n")
	for i := range 10_000 {
		text.WriteString("m-" + trimFloat(float64(i)) + ",12,300,200 mA,12.5,5.5,30:1,210 g,24.90\n")
	}
	csv := []CSV{{"motors.csv", []byte(text.String())}}
	b.SetBytes(int64(text.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if c, err := Read(Files{Motors: csv}); err != nil || len(c.Motors) != 10_000 {
			b.Fatal(err)
		}
	}
}
