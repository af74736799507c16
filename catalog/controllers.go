package catalog

import "example.org/dray/quantity"

// controllers reads one file of motor controllers.
func controllers(r *reader, ids *ledger) (list []Controller) {
	for _, line := range r.rows {
		rec := r.record(line)
		if c, ok := rec.controller(ids); ok && !rec.bad {
			list = append(list, c)
		}
	}
	return list
}

func (r *record) controller(ids *ledger) (c Controller, ok bool) {
	id, ok := r.identify()
	if !ok || !ids.enter(r) {
		return c, false
	}
	c = Controller{ID: id, File: r.name, Line: r.row.line, Channels: 1}
	if n, known := r.number("channels"); known {
		c.Channels = n
	}
	c.CurrentContinuous = get[quantity.Current](r, "current_continuous")
	c.CurrentPeak = get[quantity.Current](r, "current_peak")
	c.CurrentLimit = get[quantity.Current](r, "current_limit")
	c.PeakTime = assumedIf(get[quantity.Time](r, "peak_time"), 1, "peak_time not listed")
	c.PWMFrequency = get[quantity.Frequency](r, "pwm_frequency")
	c.OnResistance = assumedIf(get[quantity.Resistance](r, "on_resistance"), 0, "on_resistance not listed: none")
	c.VoltageDrop = assumedIf(get[quantity.Voltage](r, "voltage_drop"), 0, "voltage_drop not listed: none")
	c.IdleCurrent = assumedIf(get[quantity.Current](r, "idle_current"), 0, "idle_current not listed: none")
	c.DutyMax = assumedIf(get[quantity.Fraction](r, "duty_max"), 1, "duty_max not listed: full duty")
	c.PulseMin = assumedIf(get[quantity.Time](r, "pulse_min"), 1000e-6, "pulse_min not listed")
	c.PulseMax = assumedIf(get[quantity.Time](r, "pulse_max"), 2000e-6, "pulse_max not listed")
	c.Price = get[quantity.Money](r, "price")
	c.Regeneration, c.RegenerationBasis = r.regeneration()
	r.voltages(&c)
	r.judgeController(&c)
	return c, true
}

// voltages reads both ends; a range such as 6-30 V in one of the cells gives
// whichever end has no cell of its own.
func (r *record) voltages(c *Controller) {
	c.VoltageMin = get[quantity.Voltage](r, "voltage_min")
	c.VoltageMax = get[quantity.Voltage](r, "voltage_max")
	low, high := r.entry("voltage_min"), r.entry("voltage_max")
	end := func(v float64) quantity.Figure[quantity.Voltage] {
		return quantity.Figure[quantity.Voltage]{Value: quantity.Voltage(v), Basis: quantity.Listed, Note: "an end of the listed range"}
	}
	if high.ranged {
		c.VoltageMax = end(high.high)
		if !low.known {
			c.VoltageMin = end(high.low)
		}
	}
	if low.ranged {
		c.VoltageMin = end(low.low)
		if !high.known {
			c.VoltageMax = end(low.high)
		}
	}
}

func (r *record) regeneration() (allowed bool, basis quantity.Basis) {
	switch r.text("regeneration") {
	case "":
		return true, quantity.Assumed
	case "yes", "y", "true", "1":
		return true, quantity.Listed
	case "no", "n", "false", "0":
		return false, quantity.Listed
	}
	r.fault("regeneration", 0, "regeneration is a question of yes or no", "yes or no")
	return false, quantity.Unknown
}

func (r *record) judgeController(c *Controller) {
	if c.CurrentPeak.Known() && c.CurrentContinuous.Known() && c.CurrentPeak.Value < c.CurrentContinuous.Value {
		r.say(Warning, "current_peak", "current_peak is below current_continuous: swapped?")
	}
	if c.VoltageMin.Known() && c.VoltageMax.Known() && c.VoltageMin.Value >= c.VoltageMax.Value {
		r.fault("voltage_min", 0, "voltage_min is not below voltage_max", "the lower end of the range")
	}
	if c.PulseMin.Value >= c.PulseMax.Value {
		r.fault("pulse_min", 0, "pulse_min is not below pulse_max", "a pulse such as 1000 µs")
	}
	if c.PulseMax.Value > 0.02 {
		r.say(Warning, "pulse_max", "a pulse longer than 20 ms: are the units right?")
	}
	if c.CurrentContinuous.Basis == quantity.Unknown && !r.bad {
		r.say(Warning, "current_continuous", "current_continuous is not known: what the controller stands cannot be judged")
	}
}

// assumedIf fills a figure that is not listed with a convention.
func assumedIf[Q ~float64](f quantity.Figure[Q], value Q, note string) quantity.Figure[Q] {
	if f.Known() {
		return f
	}
	return quantity.Figure[Q]{Value: value, Basis: quantity.Assumed, Note: note}
}
