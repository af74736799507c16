package report

import (
	"encoding/json"
	"io"
	"math"

	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// number is a float64 that JSON writes at full precision, and as null when it
// is NaN or infinite.
type number float64

// MarshalJSON implements json.Marshaler.
func (n number) MarshalJSON() ([]byte, error) {
	if f := float64(n); !math.IsNaN(f) && !math.IsInf(f, 0) {
		return json.Marshal(f)
	}
	return []byte("null"), nil
}

func numbers(xs []float64) []number {
	if xs == nil {
		return nil
	}
	out := make([]number, len(xs))
	for i, x := range xs {
		out[i] = number(x)
	}
	return out
}

// optional is null for an empty word.
func optional(word string) *string {
	if word == "" {
		return nil
	}
	return &word
}

func listed(texts []string) []string {
	if texts == nil {
		return []string{}
	}
	return texts
}

// The JSON shapes. Field order is the order written; names are those outside
// readers rely on.
type (
	jsonField struct {
		Title      string          `json:"title"`
		Warnings   []string        `json:"warnings"`
		Footnotes  []string        `json:"footnotes"`
		Weights    jsonWeights     `json:"weights"`
		Candidates []jsonCandidate `json:"candidates"`
	}
	jsonWeights struct {
		ThermalMargin number `json:"thermal_margin"`
		Current       number `json:"current"`
		Runtime       number `json:"runtime"`
	}
	jsonCandidate struct {
		Rank         int        `json:"rank"`
		ID           string     `json:"id"`
		Motor        string     `json:"motor"`
		GearTrain    *string    `json:"gear_train"`
		Ratio        number     `json:"ratio"`
		StageRatio   number     `json:"stage_ratio"`
		TotalRatio   number     `json:"total_ratio"`
		Battery      *string    `json:"battery"`
		Controller   *string    `json:"controller"`
		Verdict      string     `json:"verdict"`
		FirstFailure *string    `json:"first_failure"`
		Dominated    bool       `json:"dominated"`
		Score        number     `json:"score"`
		Price        number     `json:"price"`
		Mass         number     `json:"mass_kg"`
		Parts        []jsonPart `json:"parts"`

		ThermalMargin  number `json:"thermal_margin"`
		WindingPeak    number `json:"winding_peak_degC"`
		WindingMean    number `json:"winding_mean_degC"`
		HousingPeak    number `json:"housing_peak_degC"`
		ThermalRunaway bool   `json:"thermal_runaway"`
		ThermalBasis   string `json:"thermal_basis"`

		MotorRMS      number  `json:"motor_current_rms_A"`
		MotorPeak     number  `json:"motor_current_peak_A"`
		BatteryMean   number  `json:"battery_current_mean_A"`
		BatteryRMS    number  `json:"battery_current_rms_A"`
		BatteryPeak   number  `json:"battery_current_peak_A"`
		BusMin        number  `json:"bus_voltage_min_V"`
		Runtime       number  `json:"runtime_h"`
		RuntimeEndsBy *string `json:"runtime_ends_by"`
		CycleTime     number  `json:"cycle_s"`

		Constants jsonConstants `json:"constants"`
		Legs      []jsonLeg     `json:"legs"`
		Checks    []jsonCheck   `json:"checks"`
		Footnotes []string      `json:"footnotes"`

		*jsonDetail
	}
	jsonPart struct {
		Role  string `json:"role"`
		ID    string `json:"id"`
		Count int    `json:"count"`
		Price number `json:"price"`
		Mass  number `json:"mass_kg"`
	}
	jsonLeg struct {
		Name      string    `json:"name"`
		Start     number    `json:"start_s"`
		Duration  number    `json:"duration_s"`
		Commanded number    `json:"commanded_s"`
		Steady    jsonState `json:"steady"`
		Peak      jsonState `json:"peak"`
		Wanted    number    `json:"wanted"`
		Reached   number    `json:"reached"`
		Shortfall number    `json:"shortfall"`
		LimitedBy *string   `json:"limited_by"`
		Abandoned bool      `json:"abandoned"`
	}
	jsonState struct {
		At             number `json:"at_s"`
		OutputSpeed    number `json:"output_speed_rad_per_s"`
		OutputTorque   number `json:"output_torque_Nm"`
		MotorCurrent   number `json:"motor_current_A"`
		MotorVoltage   number `json:"motor_voltage_V"`
		Command        number `json:"command_percent"`
		Pulse          number `json:"pulse_us"`
		BusVoltage     number `json:"bus_voltage_V"`
		BatteryCurrent number `json:"battery_current_A"`
	}
	jsonCheck struct {
		Name    string  `json:"name"`
		Value   number  `json:"value"`
		Limit   number  `json:"limit"`
		Unit    string  `json:"unit"`
		Margin  number  `json:"margin"`
		Verdict string  `json:"verdict"`
		At      number  `json:"at_s"`
		Leg     *string `json:"leg"`
		Window  number  `json:"window_s"`
		Which   *string `json:"which"`
		Basis   string  `json:"basis"`
		Why     string  `json:"why"`
	}
)

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

func fieldJSON(f *sizing.Field) jsonField {
	out := jsonField{
		Title: f.Title, Warnings: listed(f.Warnings), Footnotes: listed(f.Footnotes),
		Weights:    jsonWeights{number(f.Weights.ThermalMargin), number(f.Weights.Current), number(f.Weights.Runtime)},
		Candidates: make([]jsonCandidate, len(f.Candidates)),
	}
	for i := range f.Candidates {
		out.Candidates[i] = candidateJSON(&f.Candidates[i])
		out.Candidates[i].jsonDetail = nil
	}
	return out
}

func candidateJSON(c *sizing.Candidate) jsonCandidate {
	out := jsonCandidate{
		Rank: c.Rank, ID: c.ID, Ratio: number(c.Ratio), StageRatio: number(c.StageRatio), TotalRatio: number(c.TotalRatio),
		Verdict: c.Verdict.String(), FirstFailure: optional(failureName(c)), Dominated: c.Dominated,
		Score: number(c.Score), Price: number(c.Price), Mass: number(c.Mass), Parts: []jsonPart{},
		ThermalMargin: number(c.ThermalMargin), WindingPeak: number(c.WindingPeak), WindingMean: number(c.WindingMean),
		HousingPeak: number(c.HousingPeak), ThermalRunaway: c.ThermalRunaway, ThermalBasis: c.ThermalBasis.String(),
		MotorRMS: number(c.MotorCurrentRMS), MotorPeak: number(c.MotorCurrentPeak),
		BatteryMean: number(c.BatteryCurrentMean), BatteryRMS: number(c.BatteryCurrentRMS), BatteryPeak: number(c.BatteryCurrentPeak),
		BusMin: number(c.BusVoltageMin), Runtime: number(c.Runtime), RuntimeEndsBy: optional(c.RuntimeEndsBy), CycleTime: number(c.CycleTime),
		Constants: constantsJSON(c), Legs: legsJSON(c), Checks: checksJSON(c), Footnotes: listed(c.Footnotes),
	}
	if c.Motor != nil {
		out.Motor = c.Motor.ID
	}
	if c.Train != nil {
		out.GearTrain = optional(c.Train.ID)
	}
	if c.Battery != nil {
		out.Battery = optional(c.Battery.ID)
	}
	if c.Controller != nil {
		out.Controller = optional(c.Controller.ID)
	}
	if c.ThermalRunaway {
		null := number(math.NaN())
		out.WindingPeak, out.WindingMean, out.HousingPeak = null, null, null
	}
	for _, p := range c.Parts {
		out.Parts = append(out.Parts, jsonPart{p.Role, p.ID, p.Count, number(p.Price), number(p.Mass)})
	}
	return out
}

func legsJSON(c *sizing.Candidate) []jsonLeg {
	out := make([]jsonLeg, len(c.Legs))
	for i, l := range c.Legs {
		out[i] = jsonLeg{
			Name: l.Name, Start: number(l.Start), Duration: number(l.Duration), Commanded: number(l.Commanded),
			Steady: stateJSON(l.Steady), Peak: stateJSON(l.Peak),
			Wanted: number(l.Wanted), Reached: number(l.Reached), Shortfall: number(l.Shortfall),
			LimitedBy: optional(l.LimitedBy), Abandoned: l.Abandoned,
		}
	}
	return out
}

func stateJSON(s sizing.State) jsonState {
	return jsonState{
		At: number(s.At), OutputSpeed: number(s.OutputSpeed), OutputTorque: number(s.OutputTorque),
		MotorCurrent: number(s.MotorCurrent), MotorVoltage: number(s.MotorVoltage),
		Command: number(100 * s.Command), Pulse: number(1e6 * s.PulseSeconds),
		BusVoltage: number(s.BusVoltage), BatteryCurrent: number(s.BatteryCurrent),
	}
}

func checksJSON(c *sizing.Candidate) []jsonCheck {
	out := make([]jsonCheck, len(c.Checks))
	for i, ch := range c.Checks {
		out[i] = jsonCheck{
			Name: ch.Name.String(), Value: number(ch.Value), Limit: number(ch.Limit), Unit: ch.Unit,
			Margin: number(ch.Margin), Verdict: ch.Verdict.String(), At: number(ch.At), Leg: optional(legName(c, ch.Leg)),
			Window: number(ch.Window), Which: optional(ch.Which), Basis: ch.Basis.String(), Why: ch.Sentence(c),
		}
	}
	return out
}

// jsonConstants keeps the constants in the order they are listed.
type jsonConstants []constant

// MarshalJSON writes an object with the constants' names as keys.
func (cs jsonConstants) MarshalJSON() ([]byte, error) {
	type entry struct {
		Value number `json:"value"`
		Basis string `json:"basis"`
		Note  string `json:"note"`
	}
	out := []byte{'{'}
	for i, c := range cs {
		if i > 0 {
			out = append(out, ',')
		}
		key, err := json.Marshal(c.key)
		if err != nil {
			return nil, err
		}
		e := entry{number(c.value), c.basis.String(), c.note}
		if c.basis == quantity.Unknown {
			e.Value = number(math.NaN())
		}
		value, err := json.Marshal(e)
		if err != nil {
			return nil, err
		}
		out = append(append(append(out, key...), ':'), value...)
	}
	return append(out, '}'), nil
}

func constantsJSON(c *sizing.Candidate) jsonConstants { return constants(c) }
