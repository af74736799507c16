package report

import "example.org/dray/sizing"

// The JSON shapes only a candidate in full has.
type (
	jsonCheckAnswer struct {
		Title       string           `json:"title"`
		Warnings    []string         `json:"warnings"`
		Assumptions []jsonAssumption `json:"assumptions"`
		jsonCandidate
	}
	jsonAssumption struct {
		What  string `json:"what"`
		Value string `json:"value"`
		Basis string `json:"basis"`
		Why   string `json:"why"`
	}
	jsonDetail struct {
		Envelope jsonEnvelope `json:"envelope"`
		Start    jsonInrush   `json:"start"`
		Reversal jsonInrush   `json:"reversal"`
		Jam      jsonJam      `json:"jam"`
		Firmware jsonFirmware `json:"firmware"`
		HeldLoad number       `json:"held_load_Nm"`
	}
	jsonEnvelope struct {
		Windows  []number      `json:"window_s"`
		Elements []jsonElement `json:"elements"`
	}
	jsonElement struct {
		Name        string   `json:"name"`
		Duty        []number `json:"duty_A"`
		Stands      []number `json:"stands_A"`
		Utilisation number   `json:"utilisation"`
		WorstWindow number   `json:"worst_window_s"`
		ByMemory    bool     `json:"by_memory"`
		Why         string   `json:"why"`
	}
	jsonInrush struct {
		Current      number `json:"current_A"`
		BusVoltage   number `json:"bus_voltage_V"`
		TamedByRamp  number `json:"tamed_by_ramp_s"`
		TamedByLimit number `json:"tamed_by_limit_A"`
	}
	jsonJam struct {
		Current        number         `json:"current_A"`
		BatteryCurrent number         `json:"battery_current_A"`
		GearTorque     number         `json:"gear_torque_Nm"`
		Events         []jsonJamEvent `json:"events"`
		Protected      bool           `json:"protected"`
		Judged         bool           `json:"judged"`
		Why            string         `json:"why"`
		Single         *jsonJam       `json:"single"`
	}
	jsonJamEvent struct {
		After number `json:"after_s"`
		What  string `json:"what"`
	}
	jsonFirmware struct {
		CurrentLimit  number   `json:"current_limit_A"`
		TripTime      number   `json:"trip_time_s"`
		Ramp          number   `json:"ramp_s"`
		DeadTime      number   `json:"dead_time_s"`
		CutOffVoltage number   `json:"cut_off_voltage_V"`
		CommandCap    number   `json:"command_cap_percent"`
		Notes         []string `json:"notes"`
	}
)

func checkJSON(f *sizing.Field, c *sizing.Candidate) jsonCheckAnswer {
	out := jsonCheckAnswer{
		Title: f.Title, Warnings: listed(f.Warnings), Assumptions: []jsonAssumption{}, jsonCandidate: candidateJSON(c),
	}
	out.Footnotes = listed(distinct(c.Footnotes, f.Footnotes))
	if f.Case != nil {
		for _, a := range f.Case.Assumptions {
			out.Assumptions = append(out.Assumptions, jsonAssumption{a.What, a.Value, a.Basis.String(), a.Why})
		}
	}
	if c.Detail != nil {
		out.jsonDetail = detailJSON(c.Detail)
	}
	return out
}

func detailJSON(d *sizing.Detail) *jsonDetail {
	out := &jsonDetail{
		Envelope: jsonEnvelope{Windows: numbers(d.Envelope.Windows), Elements: []jsonElement{}},
		Start:    inrushJSON(d.Start), Reversal: inrushJSON(d.Reversal), Jam: jamJSON(&d.Jam),
		Firmware: jsonFirmware{
			CurrentLimit: number(d.Firmware.CurrentLimit), TripTime: number(d.Firmware.TripTime), Ramp: number(d.Firmware.Ramp),
			DeadTime: number(d.Firmware.DeadTime), CutOffVoltage: number(d.Firmware.CutOffVoltage),
			CommandCap: number(100 * d.Firmware.CommandCap), Notes: listed(d.Firmware.Notes),
		},
		HeldLoad: number(d.HeldLoad),
	}
	if out.Envelope.Windows == nil {
		out.Envelope.Windows = []number{}
	}
	for _, e := range d.Envelope.Elements {
		out.Envelope.Elements = append(out.Envelope.Elements, jsonElement{
			Name: e.Name, Duty: numbers(e.Duty), Stands: numbers(e.Stands), Utilisation: number(e.Utilisation),
			WorstWindow: number(e.WorstWindow), ByMemory: e.ByMemory, Why: e.Sentence,
		})
	}
	return out
}

func inrushJSON(i sizing.Inrush) jsonInrush {
	return jsonInrush{number(i.Current), number(i.BusVoltage), number(i.TamedByRamp), number(i.TamedByLimit)}
}

func jamJSON(j *sizing.Jam) jsonJam {
	out := jsonJam{
		Current: number(j.Current), BatteryCurrent: number(j.BatteryCurrent), GearTorque: number(j.GearTorque),
		Events: []jsonJamEvent{}, Protected: j.Protected, Judged: j.Judged, Why: j.Why,
	}
	for _, e := range j.Events {
		out.Events = append(out.Events, jsonJamEvent{number(e.After), e.What})
	}
	if j.Single != nil {
		single := jamJSON(j.Single)
		out.Single = &single
	}
	return out
}
