package report

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"

	"example.org/dray/sizing"
)

// rankCSV writes one row per candidate, full precision, SI, unknown empty.
func rankCSV(w io.Writer, f *sizing.Field) error {
	out := csv.NewWriter(w)
	head := []string{"rank", "id", "motor", "gear_train", "ratio", "stage_ratio", "battery", "controller", "verdict", "first_failure",
		"failure_margin", "dominated", "score", "price", "mass_kg", "thermal_margin", "winding_peak_degC", "winding_mean_degC",
		"housing_peak_degC", "thermal_runaway", "motor_current_rms_A", "motor_current_peak_A", "battery_current_mean_A",
		"battery_current_rms_A", "battery_current_peak_A", "bus_voltage_min_V", "runtime_h", "runtime_ends_by"}
	if err := out.Write(head); err != nil {
		return err
	}
	for i := range f.Candidates {
		if err := out.Write(csvRow(&f.Candidates[i])); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func csvRow(c *sizing.Candidate) []string {
	j := candidateJSON(c)
	margin := math.NaN()
	if ch := firstFailure(c); ch != nil {
		margin = ch.Margin
	}
	n := func(x number) string { return full(float64(x)) }
	return []string{strconv.Itoa(j.Rank), j.ID, j.Motor, word(j.GearTrain), n(j.Ratio), n(j.StageRatio), word(j.Battery), word(j.Controller),
		j.Verdict, word(j.FirstFailure), full(margin), strconv.FormatBool(j.Dominated), n(j.Score), n(j.Price), n(j.Mass),
		n(j.ThermalMargin), n(j.WindingPeak), n(j.WindingMean), n(j.HousingPeak), strconv.FormatBool(j.ThermalRunaway),
		n(j.MotorRMS), n(j.MotorPeak), n(j.BatteryMean), n(j.BatteryRMS), n(j.BatteryPeak), n(j.BusMin), n(j.Runtime), word(j.RuntimeEndsBy)}
}

// checkCSV writes one row per check of a candidate.
func checkCSV(w io.Writer, c *sizing.Candidate) error {
	out := csv.NewWriter(w)
	if err := out.Write([]string{"candidate", "check", "value", "limit", "unit", "margin", "verdict", "at_s", "leg", "window_s", "basis", "why"}); err != nil {
		return err
	}
	for _, ch := range checksJSON(c) {
		n := func(x number) string { return full(float64(x)) }
		row := []string{c.ID, ch.Name, n(ch.Value), n(ch.Limit), ch.Unit, n(ch.Margin), ch.Verdict, n(ch.At), word(ch.Leg), n(ch.Window), ch.Basis, ch.Why}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func word(w *string) string {
	if w == nil {
		return ""
	}
	return *w
}
