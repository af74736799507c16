package review

import (
	"fmt"
	"math"
	"strings"

	"example.org/dray/report/figures"
	"example.org/dray/sizing"
)

// composer writes the sections of a review.
type composer struct {
	in       *Inputs
	f        *sizing.Field
	c        *sizing.Candidate
	d        *Document
	numbered int
	lettered int
}

// Compose arranges a review. The inputs' Field, Pick (with Detail) and Figures
// must be given; all else may be left out, and its section says so or is left
// out too.
func Compose(in *Inputs) *Document {
	w := &composer{in: in, f: in.Field, c: in.Pick, d: &Document{Title: in.Field.Title, Pick: in.Pick.ID, Verdict: in.Pick.Verdict.String()}}
	if w.d.Title == "" {
		w.d.Title = "Drive sizing"
	}
	w.front()
	w.job()
	w.understood()
	w.requirement()
	w.decision()
	w.pick()
	w.heat()
	w.path()
	w.firmware()
	w.jam()
	w.ratios()
	w.headroom()
	w.spread()
	w.commissioning()
	w.bill()
	w.cautions()
	w.sign()
	w.hand()
	w.inputs()
	return w.d
}

// section begins a numbered section.
func (w *composer) section(id, title string) *Section {
	w.numbered++
	w.d.Sections = append(w.d.Sections, Section{ID: id, Number: fmt.Sprint(w.numbered), Title: title})
	return &w.d.Sections[len(w.d.Sections)-1]
}

// appendix begins a lettered one, on a page of its own when printed.
func (w *composer) appendix(id, title string) *Section {
	s := w.section(id, title)
	w.numbered--
	s.Number, s.NewPage = string(rune('A'+w.lettered)), true
	w.lettered++
	return s
}

// front fills the title block and the verdict in one sentence.
func (w *composer) front() {
	c := w.c
	w.d.Lead = w.verdictSentence()
	plate := func(name string, cell figures.Cell) { w.d.Plate = append(w.d.Plate, Fact{name, cell}) }
	plate("pick", figures.Words(c.ID))
	plate("rank", figures.Shown(float64(c.Rank), fmt.Sprintf("%d of %d", c.Rank, len(w.f.Candidates)), "rank"))
	plate("verdict", figures.Words(c.Verdict.String()))
	thermal := figures.Shown(c.ThermalMargin, share(c.ThermalMargin), "thermal_margin")
	if c.ThermalRunaway {
		thermal = figures.Words("thermal runaway")
	}
	plate("thermal margin", thermal)
	plate("runtime", w.runtimeCell())
	plate("pack current, mean", amount(c.BatteryCurrentMean, with(c.BatteryCurrentMean, "A"), "battery_current_mean_A"))
	if !math.IsNaN(c.Price) {
		plate("price of the parts", amount(c.Price, fmt.Sprintf("%.2f", c.Price), "price"))
	}
	if w.in.Date != "" {
		plate("date", figures.Words(w.in.Date))
	}
	if w.in.Version != "" {
		plate("made by", figures.Words(w.in.Version))
	}
}

func (w *composer) runtimeCell() figures.Cell {
	if math.IsInf(w.c.Runtime, 1) {
		return figures.Words("never ends")
	}
	return amount(w.c.Runtime, with(w.c.Runtime, "h"), "runtime_h")
}

// verdictSentence says what the verdict rests on.
func (w *composer) verdictSentence() string {
	c := w.c
	worst := deciding(c)
	switch {
	case worst == nil:
		return "Nothing could be checked."
	case c.Verdict == sizing.Fails:
		return "The pick fails: " + worst.Sentence(c) + "."
	case c.Verdict == sizing.Uncertain:
		return "The pick cannot be passed: " + worst.Sentence(c) + "."
	case c.Verdict == sizing.Tight:
		return tightSentence(c, worst)
	}
	return fmt.Sprintf("The pick passes all %d checks; the least margin is %s, by %s.", len(c.Checks), share(worst.Margin), worst.Name)
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// deciding is the check that sets the verdict: the first failure, else the
// least margin among those of the worst verdict; a check that is tight at
// worst decides only when nothing else is tight.
func deciding(c *sizing.Candidate) *sizing.Check {
	var worst *sizing.Check
	for i := range c.Checks {
		k := &c.Checks[i]
		if k.Verdict == sizing.Fails && int(k.Name) == c.FirstFailure {
			return k
		}
		switch {
		case worst == nil || k.Verdict > worst.Verdict:
			worst = k
		case k.Verdict == worst.Verdict && soft(worst) && !soft(k):
			worst = k
		case k.Verdict == worst.Verdict && soft(worst) == soft(k) && k.Margin < worst.Margin:
			worst = k
		}
	}
	return worst
}

// soft reports a check whose failing was only called tight.
func soft(k *sizing.Check) bool { return k.Verdict == sizing.Tight && k.Margin < 0 }

// job is the one paragraph that a stranger needs.
func (w *composer) job() {
	s := w.section("job", "The job")
	c, cs := w.c, w.f.Case
	var b strings.Builder
	fmt.Fprintf(&b, "%s. %s ", strings.TrimSuffix(w.d.Title, "."), machineSentence(cs))
	var legs []string
	for _, l := range cs.Legs {
		legs = append(legs, l.Name)
	}
	fmt.Fprintf(&b, "One cycle takes %s as driven and has %s: %s. ", figures.Duration(c.CycleTime), count(len(legs), "leg", "legs"), joined(legs))
	switch {
	case cs.OperatingTime > 0 && cs.Pause > 0:
		fmt.Fprintf(&b, "It repeats for %s, then everything is off for %s, day after day. ", figures.Duration(float64(cs.OperatingTime)), figures.Duration(float64(cs.Pause)))
	case cs.OperatingTime > 0:
		fmt.Fprintf(&b, "It repeats for %s, once, from air temperature. ", figures.Duration(float64(cs.OperatingTime)))
	default:
		b.WriteString("It repeats without end. ")
	}
	fmt.Fprintf(&b, "The air is at %s. ", both(airKind, float64(cs.Air.Value)))
	fmt.Fprintf(&b, "This review defends %s, %s of %s that were examined.", c.ID, ordinal(c.Rank), count(len(w.f.Candidates), "candidate", "candidates"))
	s.say(b.String())
	s.warnings(w.f.Warnings)
}

func (s *Section) warnings(texts []string) {
	for _, t := range texts {
		s.warn(sentence(t))
	}
}

func ordinal(n int) string {
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			return fmt.Sprintf("%dst", n)
		case 2:
			return fmt.Sprintf("%dnd", n)
		case 3:
			return fmt.Sprintf("%drd", n)
		}
	}
	return fmt.Sprintf("%dth", n)
}

// tightSentence tells what is tight, and apart from it what is past its limit
// and yet rejects nothing: what the firmware must keep within it, and the rest.
func tightSentence(c *sizing.Candidate, worst *sizing.Check) string {
	tight := 0
	var firmware, others []string
	for i := range c.Checks {
		switch k := &c.Checks[i]; {
		case soft(k) && keptByFirmware(k.Name):
			firmware = append(firmware, k.Name.String())
		case soft(k):
			others = append(others, k.Name.String())
		case k.Verdict == sizing.Tight:
			tight++
		}
	}
	text := fmt.Sprintf("The pick fails none of its %d checks. ", len(c.Checks))
	if tight > 0 {
		text += fmt.Sprintf("%d %s little, first of all this: %s. ", tight, plural(tight, "leaves", "leave"), worst.Sentence(c))
	}
	if len(firmware) > 0 {
		text += fmt.Sprintf("%s %s past the limit unless the limits of the firmware section are set. ", sentenceStart(joined(firmware)), plural(len(firmware), "goes", "go"))
	}
	if len(others) > 0 {
		text += fmt.Sprintf("%s %s past the limit, which rejects nothing by convention. ", sentenceStart(joined(others)), plural(len(others), "is", "are"))
	}
	return strings.TrimSpace(text)
}

// keptByFirmware are the checks that a current limit, a ramp or a cap of the
// command turns.
func keptByFirmware(n sizing.CheckName) bool {
	switch n {
	case sizing.CheckStart, sizing.CheckReversal, sizing.CheckJam, sizing.CheckMotorVoltage:
		return true
	}
	return false
}
