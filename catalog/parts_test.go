package catalog

import (
	"errors"
	"math"
	"testing"

	"example.org/dray/quantity"
)

func readBatteries(t *testing.T, text string, open func(string) ([]byte, error)) *Catalog {
	t.Helper()
	c, err := Read(Files{Batteries: []CSV{{"b.csv", []byte(text)}}, Open: open})
	if err != nil {
		t.Fatalf("unexpected faults:\n%v", err)
	}
	return c
}

func TestPacksAreUnderstoodAsSellersWriteThem(t *testing.T) {
	for _, test := range []struct {
		name, row                                  string
		cells                                      int
		volts, ampHours, hours, ohms, cutOff, amps float64
	}{
		{"3S 25C", "p,li-ion,3S,2200mAh 25C,,,", 3, 11.1, 2.2, 5, 3 * 0.080 / 2.2, 9, 55},
		{"rate of its own", "p,li_ion,2,2200 mAh,,10C,", 2, 7.4, 2.2, 5, 2 * 0.080 / 2.2, 6, 22},
		{"twenty hours", "p,SLA,,7.2Ah @20h,12 V,,", 6, 12, 7.2, 20, 6 * 0.030 / 7.2, 10.5, 0},
		{"ten hours", "p,lead_acid,,12 Ah @10h,12 V,,", 6, 12, 12, 10, 6 * 0.030 / 12, 10.5, 0},
		{"six of size AA", "p,NiMH,6*AA,2500 mAh,,,", 6, 7.2, 2.5, 5, 6 * 0.040 / 2.5, 6, 0},
		{"cells from volts", "p,lifepo4,,20 Ah,12.8,,0.03", 4, 12.8, 20, 5, 0.03, 10, 0},
		{"36 V", "p,li_ion,,8 Ah,36,,", 10, 36, 8, 5, 10 * 0.080 / 8, 30, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			c := readBatteries(t, "id,chemistry,cells,capacity,nominal_voltage,discharge_continuous,resistance\n"+test.row+"\n", nil)
			b := c.Batteries[0]
			if b.Cells != test.cells {
				t.Errorf("cells: %d, want %d", b.Cells, test.cells)
			}
			within(t, "voltage", b.NominalVoltage.Value, test.volts, 1e-9)
			within(t, "capacity", b.Capacity.Value, test.ampHours*3600, 1e-9)
			within(t, "rated hours", b.RatedHours.Value, test.hours*3600, 1e-9)
			within(t, "resistance", b.Resistance.Value, test.ohms, 1e-9)
			within(t, "cut-off", b.CutOff.Value, test.cutOff, 1e-9)
			within(t, "discharge", b.DischargeMax.Value, test.amps, 1e-9)
			for _, f := range c.Findings {
				if f.Severity > Note {
					t.Errorf("doubted: %v", f)
				}
			}
		})
	}
}

// Trade-association table for a 12 V lead-acid battery at rest, 27 °C, as
// widely reprinted; the rounded block voltages.
func TestLeadAcidAtRest(t *testing.T) {
	b := readBatteries(t, "id,chemistry,cells,capacity\np,lead_acid,6,7 Ah\n", nil).Batteries[0]
	want := map[float64]float64{1: 12.65, 0.75: 12.45, 0.5: 12.24, 0.25: 12.06, 0: 11.89}
	for _, p := range b.OCV {
		if v, ok := want[p.Charge]; ok && math.Abs(float64(p.Voltage)-v) > 0.005 {
			t.Errorf("at %g: %g V, want %g V", p.Charge, p.Voltage, v)
		}
	}
}

func TestEveryChemistryRisesFromEmptyToFull(t *testing.T) {
	for _, c := range []chemistry{nimh(), leadAcid(), liIon(), lifepo4()} {
		points := c.pack(1)
		if points[0].Charge != 0 || points[len(points)-1].Charge != 1 {
			t.Errorf("%s does not reach from 0 to 1", c.name)
		}
		for i := 1; i < len(points); i++ {
			if points[i].Charge <= points[i-1].Charge || points[i].Voltage <= points[i-1].Voltage {
				t.Errorf("%s does not rise at %g", c.name, points[i].Charge)
			}
		}
		if top := float64(points[len(points)-1].Voltage); top > c.full || c.cutOff >= c.nominal {
			t.Errorf("%s: top %g above full %g, or cut-off above nominal", c.name, top, c.full)
		}
	}
}

func TestAnOwnVoltageTableWins(t *testing.T) {
	const row = "id,chemistry,cells,capacity,ocv\np,li_ion,3S,2200 mAh,curve.csv\n"
	for name, table := range map[string]string{
		"shares":          "charge,voltage\n0,9\n0.5,11.1\n1,12.6\n",
		"percent, falls":  "charge [%],voltage [V]\n100,12.6\n50,11.1\n0,9\n",
		"percent in cell": "charge;voltage\n0 %;9\n50 %;11,1\n100 %;12,6\n",
		"bare percent":    "charge,voltage\n0,9 V\n50,11100 mV\n100,12.6 V\n",
	} {
		t.Run(name, func(t *testing.T) {
			b := readBatteries(t, row, func(file string) ([]byte, error) {
				if file != "curve.csv" {
					return nil, errors.New("no such file")
				}
				return []byte(table), nil
			}).Batteries[0]
			if b.OCVBasis != quantity.Listed || len(b.OCV) != 3 {
				t.Fatalf("got %v %v", b.OCVBasis, b.OCV)
			}
			for i, want := range []OCVPoint{{0, 9}, {0.5, 11.1}, {1, 12.6}} {
				if math.Abs(b.OCV[i].Charge-want.Charge) > 1e-12 || math.Abs(float64(b.OCV[i].Voltage-want.Voltage)) > 1e-9 {
					t.Errorf("point %d: %v, want %v", i, b.OCV[i], want)
				}
			}
		})
	}
}

func TestVoltageAndCellsThatDisagreeAreDoubted(t *testing.T) {
	const header = "id,chemistry,cells,capacity,nominal_voltage,cutoff_voltage\n"
	wantFinding(t, readBatteries(t, header+"p,li_ion,3,2 Ah,14.8,\n", nil), Warning, "3 li_ion cells give 11.1 V, not 14.8 V")
	wantFinding(t, readBatteries(t, header+"p,lead_acid,,2 Ah,13,\n", nil), Warning, "no whole number of lead_acid cells")
	wantFinding(t, readBatteries(t, header+"p,li_ion,4,2 Ah,,3 V\n", nil), Warning, "is it written for one cell?")
}

func TestControllerBlanksAreAssumedAndSayIt(t *testing.T) {
	c, err := Read(Files{Controllers: []CSV{{"c.csv", []byte("id,channels,current_continuous,voltage_max,regeneration,current_limit\na,2,12 A,6-30V,,\nb,,20 A,24 V,no,0\n")}}})
	if err != nil {
		t.Fatal(err)
	}
	a, b := c.Controllers[0], c.Controllers[1]
	if a.VoltageMin.Value != 6 || a.VoltageMax.Value != 30 || a.Channels != 2 || b.Channels != 1 {
		t.Errorf("range or channels: %+v", a)
	}
	if !a.Regeneration || a.RegenerationBasis != quantity.Assumed || b.Regeneration || b.RegenerationBasis != quantity.Listed {
		t.Errorf("regeneration: %v %v, %v %v", a.Regeneration, a.RegenerationBasis, b.Regeneration, b.RegenerationBasis)
	}
	if a.PeakTime.Value != 1 || a.DutyMax.Value != 1 || a.PulseMin.Value != 0.001 || a.PulseMax.Value != 0.002 || a.OnResistance.Value != 0 {
		t.Errorf("defaults: %+v", a)
	}
	for _, basis := range []quantity.Basis{a.PeakTime.Basis, a.DutyMax.Basis, a.PulseMin.Basis, a.OnResistance.Basis, a.VoltageDrop.Basis, a.IdleCurrent.Basis} {
		if basis != quantity.Assumed {
			t.Errorf("a default has basis %v", basis)
		}
	}
	if b.CurrentLimit.Known() {
		t.Errorf("a limit of 0 is a limit: %+v", b.CurrentLimit)
	}
}

func TestGearTrainsListedBackEfficiencyWins(t *testing.T) {
	c, err := Read(Files{
		Motors: []CSV{{"m.csv", []byte("id,nominal_voltage,no_load_speed,no_load_current,stall_current\norrin,12,5000,0.2,5\n")}},
		GearTrains: []CSV{{"g.csv", []byte("id,kind,ratio,stages,efficiency,backdrive_efficiency,fits\n" +
			"a,worm,40:1,1,0.45,,any\nb,worm,40:1,1,0.45,0.2,orrin\nc,planetary,25:1,,,,orrin; orin\nd,spur,100:1,4,,,\ne,screw,10,,0.6,-10 %,\n")}}})
	if err != nil {
		t.Fatal(err)
	}
	want := []struct {
		forward, back float64
		locking       bool
		basis         quantity.Basis
	}{
		{0.45, 2 - 1/0.45, true, quantity.Derived},
		{0.45, 0.2, false, quantity.Listed},
		{0.81 * 0.81, 2 - 1/(0.81*0.81), false, quantity.Assumed},
		{math.Pow(0.9, 4), 2 - 1/math.Pow(0.9, 4), false, quantity.Assumed},
		{0.6, -0.1, true, quantity.Listed},
	}
	for i, g := range c.GearTrains {
		within(t, g.ID+" efficiency", g.Efficiency.Value, want[i].forward, 1e-9)
		within(t, g.ID+" back", g.BackEfficiency.Value, want[i].back, 1e-9)
		if g.SelfLocking != want[i].locking || g.BackEfficiency.Basis != want[i].basis {
			t.Errorf("%s: locking %v, %v", g.ID, g.SelfLocking, g.BackEfficiency)
		}
	}
	if c.GearTrains[0].Fits != nil || len(c.GearTrains[2].Fits) != 2 {
		t.Errorf("fits: %v %v", c.GearTrains[0].Fits, c.GearTrains[2].Fits)
	}
	wantFinding(t, c, Warning, "perhaps orrin")
}
