package report

import (
	"math"

	"example.org/dray/sizing"
)

// The JSON shapes only a candidate in full has.
type (
	jsonCheckAnswer struct {
		Title       string           `json:"title"`
		Warnings    []string         `json:"warnings"`
		Assumptions []jsonAssumption `json:"assumptions"`
		jsonCandidate
		Stages []jsonStageLeg `json:"stages"`
		WhyNot *jsonReasons   `json:"why_not"`
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

		WeakestLink *string        `json:"weakest_link"`
		Pivot       *jsonPivot     `json:"pivot"`
		Source      jsonSource     `json:"source"`
		Losses      []jsonLoss     `json:"losses"`
		LossNote    string         `json:"loss_note"`
		Leads       *jsonLeads     `json:"leads"`
		Fuse        []jsonFuseBand `json:"fuse"`
		Ripple      jsonRipple     `json:"ripple"`
		Choice      *jsonChoice    `json:"controller_choice"`
	}
	jsonPivot struct {
		InDuty         bool   `json:"in_duty"`
		Leg            string `json:"leg"`
		Current        number `json:"current_A"`
		ChannelCurrent number `json:"channel_current_A"`
		BatteryCurrent number `json:"battery_current_A"`
		BusVoltage     number `json:"bus_voltage_V"`
		Possible       bool   `json:"possible"`
		Why            string `json:"why"`
	}
	jsonSource struct {
		Adapter   bool      `json:"adapter"`
		Sags      []jsonSag `json:"sags"`
		Label     number    `json:"label_capacity_Ah"`
		Here      number    `json:"effective_capacity_Ah"`
		Charging  number    `json:"charging_A"`
		ChargeMax number    `json:"charge_max_A"`
		BusMax    number    `json:"bus_voltage_max_V"`
		Returned  number    `json:"returned_J"`
		Notes     []string  `json:"notes"`
	}
	jsonSag struct {
		Charge    number `json:"charge"`
		EMF       number `json:"open_circuit_V"`
		Terminals number `json:"terminals_V"`
		Bus       number `json:"bus_voltage_V"`
		Current   number `json:"battery_current_A"`
		At        number `json:"at_s"`
	}
	jsonLoss struct {
		Where  string `json:"where"`
		Watts  number `json:"mean_W"`
		Share  number `json:"share"`
		Volts  number `json:"start_V"`
		Useful bool   `json:"useful"`
	}
	jsonLeads struct {
		Drop      number `json:"drop_V"`
		SpeedLost number `json:"speed_lost"`
		StallLost number `json:"stall_torque_lost"`
		Why       string `json:"why"`

		Wires []jsonWire `json:"wires"`
	}
	jsonWire struct {
		Name    string `json:"name"`
		Gauge   string `json:"gauge"`
		Length  number `json:"length_m"`
		Ohm     number `json:"resistance_ohm"`
		Carries number `json:"carries_A"`
		Tau     number `json:"time_constant_s"`
		Drop    number `json:"drop_V"`
		Heat    number `json:"heat_W_per_m"`
	}
	jsonFuseBand struct {
		Current  number `json:"current_A"`
		Earliest number `json:"earliest_s"`
		Latest   number `json:"latest_s"`
	}
	jsonRipple struct {
		Known     bool      `json:"known"`
		Frequency number    `json:"frequency_Hz"`
		Extra     [2]number `json:"extra_A2"`
		Factor    [2]number `json:"form_factor"`
		Swing     [2]number `json:"swing_A"`
		Locked    [2]number `json:"form_factor_locked_antiphase"`
		Peak      [2]number `json:"winding_peak_with_ripple_degC"`
		Quiet     number    `json:"quiet_above_Hz"`
		Why       string    `json:"why"`
	}
	jsonChoice struct {
		Smallest *string        `json:"smallest_that_stands"`
		Largest  *string        `json:"largest_that_does_not"`
		Ranked   []jsonStanding `json:"ranked"`
		Why      string         `json:"why"`
	}
	jsonStanding struct {
		ID     string `json:"controller"`
		Amps   number `json:"current_continuous_A"`
		Price  number `json:"price"`
		Stands bool   `json:"stands"`
		Used   number `json:"utilisation"`
		Why    string `json:"why"`
	}
	jsonLegCommand struct {
		Name    string `json:"name"`
		Command number `json:"command_percent"`
		Pulse   number `json:"pulse_us"`
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

		BatteryCurrent number `json:"battery_current_A"`
		BusAtReserve   number `json:"bus_voltage_at_reserve_V"`
		Free           number `json:"free_current_A"`
		TorqueLeft     number `json:"torque_left"`
		Never          bool   `json:"never"`
		Takes          number `json:"takes_s"`
		Leg            string `json:"leg"`
		SlipsAt        number `json:"slips_at_A"`
		Shorted        number `json:"shorted_A"`
		AfterDeadTime  number `json:"after_dead_time_A"`
		BusAfterDead   number `json:"bus_voltage_after_dead_time_V"`
		FuseUsed       number `json:"fuse_used"`
		BrownOut       bool   `json:"brown_out"`
		Why            string `json:"why"`
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
		BusVoltage     number         `json:"bus_voltage_V"`
		OpenLoop       number         `json:"open_loop_current_A"`
		Adiabatic      number         `json:"adiabatic_s"`
		Protects       []string       `json:"protects"`
		Notes          []string       `json:"notes"`
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

		Legs []jsonLegCommand `json:"legs"`
	}
)

func checkJSON(f *sizing.Field, c *sizing.Candidate) jsonCheckAnswer {
	out := jsonCheckAnswer{
		Title: f.Title, Warnings: listed(f.Warnings), Assumptions: []jsonAssumption{}, jsonCandidate: candidateJSON(c),
		Stages: stagesJSON(f, c), WhyNot: whyNotJSON(c),
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
	out.chainJSON(d)
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
	return jsonInrush{number(i.Current), number(i.BusVoltage), number(i.TamedByRamp), number(i.TamedByLimit),
		number(i.BatteryCurrent), number(i.BusAtReserve), number(i.Free), number(i.TorqueLeft), math.IsInf(i.Takes, 1), number(i.Takes), i.Leg, number(i.SlipsAt),
		number(i.Shorted), number(i.AfterDeadTime), number(i.BusAfterDead), number(i.FuseUsed), i.BrownOut, i.Sentence}
}

// chainJSON fills what a check tells of the chain beyond its envelope.
func (out *jsonDetail) chainJSON(d *sizing.Detail) {
	if w := weakest(d.Envelope.Elements); w != nil {
		out.WeakestLink = &w.Name
	}
	if p := d.Pivot; p != nil {
		out.Pivot = &jsonPivot{p.InDuty, p.Leg, number(p.Current), number(p.ChannelCurrent), number(p.BatteryCurrent), number(p.BusVoltage), p.Possible, p.Sentence}
	}
	s := &d.Source
	out.Source = jsonSource{s.Adapter, []jsonSag{}, number(s.Label / 3600), number(s.Here / 3600), number(s.Charging), number(s.ChargeMax), number(s.BusMax), number(s.Returned), listed(s.Sentences)}
	for _, g := range s.Sags {
		out.Source.Sags = append(out.Source.Sags, jsonSag{number(g.Charge), number(g.EMF), number(g.Terminals), number(g.Bus), number(g.Current), number(g.At)})
	}
	out.Losses, out.LossNote = []jsonLoss{}, d.LossNote
	for _, l := range d.Losses {
		out.Losses = append(out.Losses, jsonLoss{l.Where, number(l.Watts), number(l.Share), number(l.Volts), l.Useful})
	}
	if l := d.Leads; l != nil {
		out.Leads = &jsonLeads{number(l.Drop), number(l.SpeedLost), number(l.StallLost), l.Sentence, []jsonWire{}}
		for _, w := range l.Wires {
			out.Leads.Wires = append(out.Leads.Wires, jsonWire{w.Name, w.Gauge, number(w.Length), number(w.Ohm), number(w.Carries), number(w.Tau), number(w.Drop), number(w.Heat)})
		}
	}
	out.Fuse = []jsonFuseBand{}
	for _, b := range d.Fuse {
		out.Fuse = append(out.Fuse, jsonFuseBand{number(b.Current), number(b.Earliest), number(b.Latest)})
	}
	r := &d.Ripple
	two := func(x [2]float64) [2]number { return [2]number{number(x[0]), number(x[1])} }
	out.Ripple = jsonRipple{r.Known, number(r.Frequency), two(r.Extra), two(r.Factor), two(r.Swing), two(r.Locked), two(r.Peak), number(r.Quiet), r.Sentence}
	if ch := d.Choice; ch != nil {
		out.Choice = choiceJSON(ch)
	}
	out.Firmware.Legs = []jsonLegCommand{}
	for _, l := range d.Firmware.Legs {
		out.Firmware.Legs = append(out.Firmware.Legs, jsonLegCommand{l.Name, number(100 * l.Command), number(1e6 * l.Pulse)})
	}
}

func choiceJSON(ch *sizing.ControllerChoice) *jsonChoice {
	out := &jsonChoice{Ranked: []jsonStanding{}, Why: ch.Sentence}
	if ch.Smallest != nil {
		out.Smallest = &ch.Smallest.ID
	}
	if ch.Largest != nil {
		out.Largest = &ch.Largest.ID
	}
	for _, v := range ch.Ranked {
		out.Ranked = append(out.Ranked, jsonStanding{v.ID, number(v.Amps), number(v.Price), v.Stands, number(v.Used), v.Reason})
	}
	return out
}

func jamJSON(j *sizing.Jam) jsonJam {
	out := jsonJam{
		Current: number(j.Current), BatteryCurrent: number(j.BatteryCurrent), GearTorque: number(j.GearTorque),
		Events: []jsonJamEvent{}, Protected: j.Protected, Judged: j.Judged, Why: j.Why,
		BusVoltage: number(j.BusVoltage), OpenLoop: number(j.OpenLoop), Adiabatic: number(j.Adiabatic),
		Protects: listed(j.Protects), Notes: listed(j.Notes),
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
