package sizing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/dray/internal/edits"
	"example.org/dray/quantity"
)

// nearest returns up to n of the ids most like a word, by edit distance.
func nearest(word string, ids []string, n int) []string {
	type scored struct {
		id string
		d  int
	}
	all := make([]scored, 0, len(ids))
	for _, id := range ids {
		all = append(all, scored{id, edits.Distance(word, id)})
	}
	slices.SortStableFunc(all, func(a, b scored) int { return cmp.Or(cmp.Compare(a.d, b.d), cmp.Compare(a.id, b.id)) })
	out := make([]string, 0, n)
	for i := 0; i < len(all) && i < n; i++ {
		out = append(out, all[i].id)
	}
	return out
}

func joined(words []string) string {
	if len(words) == 0 {
		return "none"
	}
	return strings.Join(words, ", ")
}

// sig writes three significant digits.
func sig(x float64) string { return quantity.Significant(x, 3) }

// percent writes a share of one.
func percent(x float64) string { return sig(100*x) + " %" }

// span writes a time in the unit a person would use.
func span(s float64) string {
	switch {
	case math.IsInf(s, 1):
		return "ever"
	case s < 1:
		return sig(1000*s) + " ms"
	case s < 120:
		return sig(s) + " s"
	case s < 7200:
		return sig(s/60) + " min"
	}
	return sig(s/3600) + " h"
}

// WhyNot says for a candidate that does not pass what it fails first and by how
// much; empty for one that passes.
func (c *Candidate) WhyNot() string {
	if c.Verdict == Uncertain {
		return "winding temperature unknown: no thermal data"
	}
	if c.FirstFailure < 0 {
		return ""
	}
	for i := range c.Checks {
		if k := &c.Checks[i]; int(k.Name) == c.FirstFailure {
			return k.failing()
		}
	}
	return ""
}

func (k *Check) failing() string {
	switch {
	case k.Name == CheckWinding && k.Which == "runaway":
		return "winding temperature: thermal runaway"
	case k.Name == CheckSpeed:
		return fmt.Sprintf("speed: reaches %s of what is asked", percent(math.Max(0, k.Value)))
	case math.IsNaN(k.Value) || math.IsNaN(k.Limit):
		return k.Name.String()
	}
	return fmt.Sprintf("%s by %s", k.Name, percent(-k.Margin))
}

// unit is a check's unit as people write it.
func (k *Check) unit() string {
	switch k.Unit {
	case "degC":
		return "°C"
	case "1":
		return ""
	}
	return k.Unit
}

func (k *Check) amount(x float64) string {
	if k.Unit == "1" {
		return percent(x)
	}
	if kind, ok := shownKinds(k.Unit); ok && k.show != quantity.SI {
		return k.show.Format(kind, x)
	}
	return sig(x) + " " + k.unit()
}

// shownKinds are the units of checks that other displays write differently.
func shownKinds(unit string) (quantity.Kind, bool) {
	switch unit {
	case "N·m":
		return quantity.KindTorque, true
	case "N":
		return quantity.KindForce, true
	case "degC":
		return quantity.KindTemperature, true
	}
	return 0, false
}

// SentenceIn is the check in plain words with the units of a display.
func (k *Check) SentenceIn(c *Candidate, d quantity.Display) string {
	shown := *k
	shown.show = d
	return shown.Sentence(c)
}

// when names the leg of a check's moment.
func (k *Check) when(c *Candidate) string {
	if k.Leg < 0 || k.Leg >= len(c.Legs) {
		return ""
	}
	return fmt.Sprintf(" in leg %q", c.Legs[k.Leg].Name)
}

// Sentence is the check in plain words with its numbers.
func (k *Check) Sentence(c *Candidate) string {
	switch k.Name {
	case CheckSpeed:
		return k.speedSentence(c)
	case CheckWinding, CheckHousing:
		return k.heatSentence(c)
	case CheckControllerCurrent, CheckFuse, CheckConnector, CheckLead:
		return k.envelopeSentence()
	case CheckBatteryCurrent:
		return k.batterySentence(c)
	case CheckJam:
		return k.jamSentence()
	case CheckStaysPut:
		return k.putSentence()
	case CheckRegeneration:
		return k.regenerationSentence(c)
	case CheckControllerVoltage:
		if k.Which == "below" {
			return fmt.Sprintf("the bus falls to %s at reserve charge%s; the controller needs %s", k.amount(k.Value), k.when(c), k.amount(k.Limit))
		}
		return fmt.Sprintf("a full pack stands at %s; the controller takes %s", k.amount(k.Value), k.amount(k.Limit))
	}
	return k.plainSentence(c)
}

func (k *Check) plainSentence(c *Candidate) string {
	v, l, when := k.amount(k.Value), k.amount(k.Limit), k.when(c)
	switch k.Name {
	case CheckGrip:
		return fmt.Sprintf("the ground must give %s%s and can give %s before the driven wheels slip", v, when, l)
	case CheckMotorVoltage:
		return fmt.Sprintf("the motor sees %s at most%s; it is a %s motor", v, when, l)
	case CheckGearContinuous:
		s := fmt.Sprintf("the speed-weighted mean gear torque is %s against %s continuous", v, l)
		if k.Extra != 1 && !math.IsNaN(k.Extra) {
			s += fmt.Sprintf(" (service factor %s in; holds not in it)", sig(k.Extra))
		} else {
			s += " (holds not in it)"
		}
		return s
	case CheckGearPeak:
		return fmt.Sprintf("the largest gear torque is %s%s; the gears stand %s for a moment", v, when, l)
	case CheckGearInputSpeed:
		return fmt.Sprintf("the motor turns the gears at %s%s; they stand %s", rpm(k.Value), when, rpm(k.Limit))
	case CheckRadial:
		return fmt.Sprintf("the output shaft carries %s sideways%s; it stands %s", v, when, l)
	case CheckStart:
		return fmt.Sprintf("full command thrown on at rest draws %s per channel, the bus at %s V then; the controller's peak is %s", v, sig(k.Extra), l)
	case CheckReversal:
		return fmt.Sprintf("full reverse thrown on at the duty's top speed draws %s per channel, the bus at %s V then; the controller's peak is %s", v, sig(k.Extra), l)
	case CheckVoltageDrop:
		s := fmt.Sprintf("the %s drops %s at the largest current; %s is wanted at most", k.Which, v, l)
		if k.Which == "supply lead" && k.Extra > 0 {
			s += fmt.Sprintf(" (the motor lead drops up to %s V more)", sig(k.Extra))
		}
		return s
	case CheckBrownOut:
		return fmt.Sprintf("the bus falls to %s at reserve charge%s; the electronics need %s", v, when, l)
	case CheckRuntime:
		if math.IsInf(k.Value, 1) {
			return fmt.Sprintf("the duty costs the pack nothing: it never ends; %s wanted", l)
		}
		return fmt.Sprintf("the pack lasts %s, ended by %s; %s wanted", v, strings.ReplaceAll(k.Which, "_", "-"), l)
	case CheckRuleOfThumb:
		return fmt.Sprintf("the rms motor torque is %s; the trade's rule allows %s, 30 %% of stall", v, l)
	}
	return fmt.Sprintf("%s against %s", v, l)
}

func rpm(w float64) string { return sig(w*30/math.Pi) + " rpm" }

func (k *Check) speedSentence(c *Candidate) string {
	if k.Which == "adapter" {
		return "will not start: the adapter is asked for more than its current and does not hold it"
	}
	if k.Leg < 0 {
		return "every leg is followed as commanded"
	}
	l := &c.Legs[k.Leg]
	s := fmt.Sprintf("leg %q reaches %s of what is asked", l.Name, percent(1-l.Shortfall))
	if l.LimitedBy != "" {
		s += ", limited by " + l.LimitedBy
	}
	if !math.IsNaN(l.Asked) && math.Abs(l.Asked) > 1.02*math.Abs(l.Steady.OutputTorque) && l.Reached == 0 {
		s += fmt.Sprintf(": it asks for %s N·m at the gear output, and the motor gives %s N·m there at standstill", sig(math.Abs(l.Asked)), sig(math.Abs(l.Steady.OutputTorque)))
	}
	if late := l.Duration - l.Commanded; late > 0.005*l.Commanded {
		s += fmt.Sprintf(", and takes %s longer", span(late))
	}
	if l.Abandoned {
		s += "; given up after ten times its commanded time"
	}
	return s
}

func (k *Check) heatSentence(c *Candidate) string {
	part := "winding"
	if k.Name == CheckHousing {
		part = "housing"
	}
	switch {
	case k.Which == "runaway":
		return fmt.Sprintf("no periodic state below 400 °C: the %s runs away against a limit of %s", part, k.amount(k.Limit))
	case math.IsNaN(k.Value):
		return "no thermal data: the winding temperature is unknown, which is not a pass"
	case k.Name == CheckHousing:
		return fmt.Sprintf("the housing reaches %s%s; %s is the limit for touch", k.amount(k.Value), k.when(c), k.amount(k.Limit))
	}
	return fmt.Sprintf("the winding peaks at %s%s; its limit is %s", k.amount(k.Value), k.when(c), k.amount(k.Limit))
}

func (k *Check) envelopeSentence() string {
	stands := map[CheckName]string{CheckControllerCurrent: "the controller channel", CheckFuse: "the fuse", CheckConnector: "the connector", CheckBatteryCurrent: "the battery"}[k.Name]
	if k.Name == CheckLead {
		stands = "the " + strings.TrimSuffix(k.Which, " memory")
	}
	if strings.HasSuffix(k.Which, "memory") {
		return fmt.Sprintf("what came before counted in, the duty warms %s at worst as a steady %s would; it stands %s steadily (its warmth follows in %s)", stands, k.amount(k.Value), k.amount(k.Limit), span(k.Window))
	}
	verb := "stands"
	if k.Name == CheckFuse {
		verb = "lets through, unopened,"
	}
	return fmt.Sprintf("the worst %s carry %s rms; %s %s %s for %s", span(k.Window), k.amount(k.Value), stands, verb, k.amount(k.Limit), span(k.Window))
}

func (k *Check) batterySentence(c *Candidate) string {
	switch k.Which {
	case "charging":
		return fmt.Sprintf("braking charges the pack with %s%s; it takes %s", k.amount(k.Value), k.when(c), k.amount(k.Limit))
	case "holds":
		return fmt.Sprintf("the adapter gives %s of the %s it holds", k.amount(k.Value), k.amount(k.Limit))
	case "hiccups", "trips":
		return fmt.Sprintf("the adapter is asked for %s%s; it %s beyond %s", k.amount(k.Value), k.when(c), k.Which, k.amount(k.Limit))
	}
	return k.envelopeSentence()
}

func (k *Check) jamSentence() string {
	switch k.Which {
	case "gear":
		return fmt.Sprintf("held fast, the motor puts %s on the gears at once; they stand %s for a moment", k.amount(k.Value), k.amount(k.Limit))
	case "stays below":
		return fmt.Sprintf("held fast for two hours the winding stays at %s, below its %s", k.amount(k.Value), k.amount(k.Limit))
	case "source":
		return fmt.Sprintf("held fast, the adapter cuts off at once; the winding would be at its limit after %s", span(k.Limit))
	case "nothing":
		return fmt.Sprintf("held fast, the winding is at its limit after %s and nothing interrupts", span(k.Limit))
	}
	return fmt.Sprintf("held fast, the fuse opens after %s at the latest; the winding is at its limit after %s", span(k.Value), span(k.Limit))
}

func (k *Check) putSentence() string {
	switch k.Which {
	case "no load":
		return "nothing pulls at the machine at rest"
	case "self-locking":
		return "by its efficiency the gearing is self-locking: the load does not drive it back; wear, grease and vibration can free it, so above people a brake or latch must hold as well"
	case "friction":
		return fmt.Sprintf("the load turns the motor with %s; its friction of %s holds, and friction alone is not a brake", k.amount(k.Value), k.amount(k.Limit))
	}
	return fmt.Sprintf("the load turns the motor with %s against %s of friction: it creeps at %s rpm of the load shaft with the motor shorted, and falls with it open; a brake or latch must hold it",
		k.amount(k.Value), k.amount(k.Limit), sig(k.Extra*30/math.Pi))
}

func (k *Check) regenerationSentence(c *Candidate) string {
	switch k.Which {
	case "no capacitance":
		return fmt.Sprintf("braking returns %s J to an adapter that cannot absorb it, and no capacitance is known", sig(k.Extra))
	case "nothing returned":
		return fmt.Sprintf("nothing is returned to the pack; full, its bus stands at %s, and the controller takes %s", k.amount(k.Value), k.amount(k.Limit))
	case "adapter":
		return fmt.Sprintf("braking returns %s J and raises the bus to %s; the controller takes %s", sig(k.Extra), k.amount(k.Value), k.amount(k.Limit))
	}
	return fmt.Sprintf("braking raises a full pack's bus to %s%s; the controller takes %s", k.amount(k.Value), k.when(c), k.amount(k.Limit))
}
