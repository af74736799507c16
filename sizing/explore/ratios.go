package explore

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
)

// The total ratios that are scanned, motor turns per turn of the load shaft.
const (
	ratioFrom = 0.1
	ratioMost = 10000 // no scan goes further
	perDecade = 12    // points of the scan before it is refined
	beyond    = 4     // times the ratio at which the motor would need its no-load speed
)

// Edge is one end of a window of ratios.
type Edge struct {
	Ratio float64
	SetBy int    // the sizing.CheckName that fails just outside; −1 where the scanned range ends
	Why   string // that check's sentence just outside; empty at the range's end
}

// Window is a range of total ratios in which none of the checks asked for fails.
type Window struct{ From, To Edge }

// Optimum is where a window serves one objective best.
type Optimum struct {
	Objective string  // thermal_margin, current, runtime
	Ratio     float64 // NaN where the objective is unknown or the same everywhere
	Value     float64 // share, A, h
}

// Offer is a total ratio that can be had with the same motor.
type Offer struct {
	ID        string // motor[+train][+stage]
	Candidate string // with battery and controller
	Ratio     float64
	Inside    bool // of a window, which has the efficiency and limits of the pick's own train
	Verdict   sizing.Verdict
	Failure   int    // first check it fails with its own efficiency and limits; −1 none
	WhyNot    string // in words
}

// TeethPair is a further stage by tooth counts that lands in a window.
type TeethPair struct {
	Driver, Driven int
	Ratio          float64 // total
	ThermalMargin  float64 // NaN unknown
	Verdict        sizing.Verdict
}

// Conflict says why there is no window: two groups of checks want different ratios.
type Conflict struct {
	Always []sizing.CheckName // fail at every ratio scanned; left out of the windows below
	Speed  []Window           // in which no speed-type check fails
	Torque []Window           // in which no torque- or heat-type check fails
	Each   []CheckWindows     // of every check that fails somewhere and not everywhere
	Least  Edge               // the largest ratio that a check asks for at least; SetBy −1 none
	Most   Edge               // the smallest ratio that a check allows at most; SetBy −1 none
}

// CheckWindows are the ratios in which one check does not fail.
type CheckWindows struct {
	Name    sizing.CheckName
	Windows []Window
}

// Ratios is what the total ratio may be for one motor, pack and controller.
type Ratios struct {
	Pick       sizing.Pick
	ID         string
	Ratio      float64 // total, as picked
	StageRatio float64 // of the further stage, kept; 1 without
	From, To   float64 // range scanned
	Windows    []Window
	Best       []Optimum
	OnOffer    []Offer
	Teeth      []TeethPair
	Conflict   *Conflict // nil where there is a window
	Notes      []string
}

// speedType are the checks that want a smaller ratio: they are about how fast
// the motor must turn and what its voltage comes to.
var speedType = setOf(sizing.CheckSpeed, sizing.CheckGearInputSpeed, sizing.CheckControllerVoltage, sizing.CheckRegeneration)

// ratioSearch searches the total ratio of a pick, everything else kept.
type ratioSearch struct {
	c      *loadcases.Case
	pick   sizing.Pick
	judges []*sizing.Judge
	to     float64 // the end of the scan
	scanned
	strict bool // where the winding runs away no speed is believed
}

// FindRatios finds the windows of the total ratio for a pick's motor, pack and
// controller: the ratio of its gear train is varied and its efficiency, inertia
// and limits are kept, as is the further stage. A bare motor without a train
// gets its further stage varied, or a lossless train. The error is the
// context's, or what keeps the duty from being laid out.
func FindRatios(ctx context.Context, c *loadcases.Case, cat *catalog.Catalog, p sizing.Pick) (*Ratios, error) {
	s := &ratioSearch{c: c, pick: p}
	var err error
	if s.to, err = farthest(c, p); err != nil {
		return nil, err
	}
	for range max(2, min(4, runtime.GOMAXPROCS(0))) {
		j, err := sizing.NewJudge(c)
		if err != nil {
			return nil, err
		}
		s.judges = append(s.judges, j)
	}
	s.f, s.g, s.why = s.with(s.judges[0]), s.with(s.judges[len(s.judges)-1]), s.sentence
	r := &Ratios{Pick: p, From: ratioFrom, To: s.to, Notes: ratioNotes(p)}
	var own sizing.Candidate
	s.judges[0].Evaluate(p, &own)
	if own.Verdict == sizing.Uncertain {
		r.Notes = append(r.Notes, "the winding temperature is unknown, sets no edge and is not a pass")
	}
	r.ID, r.Ratio, r.StageRatio = own.ID, own.TotalRatio, own.StageRatio
	if err := s.scan(ctx); err != nil {
		return nil, err
	}
	r.Windows = s.windows(allChecks)
	if len(r.Windows) == 0 {
		r.Conflict = s.conflict()
	} else {
		r.Best = s.optima(r.Windows)
	}
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	r.OnOffer = s.offers(cat, r.Windows)
	r.Teeth = s.teeth(r)
	return r, nil
}

// farthest is the largest ratio worth a look: far beyond the one at which the
// motor would have to turn as fast as it does without load at full charge, and
// beyond the pick's own.
func farthest(c *loadcases.Case, p sizing.Pick) (float64, error) {
	plan, err := c.Plan()
	if err != nil {
		return 0, err
	}
	fastest := 0.0 // rad/s of the load shaft
	for _, ph := range plan.Phases {
		v := math.Max(math.Abs(ph.Speed), math.Abs(ph.Speed+ph.Acceleration*ph.Duration))
		fastest = math.Max(fastest, v*c.Mechanism.ShaftSpeed(&c.Legs[ph.Leg]))
	}
	volts := 0.0
	switch {
	case c.Supply.Adapter != nil:
		volts = float64(c.Supply.Adapter.Voltage)
	case p.Battery != nil:
		volts = float64(p.Battery.FullVoltage.Value) * float64(max(1, c.Supply.PacksSeries))
	}
	own := float64(p.Motor.Ratio.Or(1))
	if p.Train != nil {
		own = float64(p.Train.Ratio.Value)
	}
	if p.Stage != nil {
		own *= p.Stage.Ratio
	}
	far := beyond * volts / float64(p.Motor.Constant.Value) / fastest
	if !(far > 0) || far > ratioMost {
		return ratioMost, nil
	}
	return math.Min(ratioMost, math.Max(far, 2*own)), nil
}

// ratioNotes says what was kept and what was assumed.
func ratioNotes(p sizing.Pick) []string {
	notes := []string{"the ratio of the gear train is varied; its efficiency, inertia and limits, and the further stage, are kept as they are"}
	if p.Motor.Bare && p.Train == nil {
		if p.Stage != nil {
			return []string{"the motor has no gear train: the ratio of the further stage is varied, its efficiency kept"}
		}
		return []string{"the motor has no gear train: a lossless one without inertia or limits is assumed"}
	}
	return notes
}

// withRatio returns the pick with another total ratio.
func withRatio(p sizing.Pick, total float64) sizing.Pick {
	gear := total
	if p.Stage != nil {
		gear /= p.Stage.Ratio
	}
	switch {
	case p.Train != nil:
		t := *p.Train
		t.Ratio.Value = quantity.Ratio(gear)
		p.Train = &t
	case !p.Motor.Bare:
		m := *p.Motor
		m.Ratio.Value = quantity.Ratio(gear)
		p.Motor = &m
	case p.Stage != nil:
		s := *p.Stage
		s.Ratio = total
		p.Stage = &s
	default:
		p.Train = &catalog.GearTrain{ID: "lossless", Ratio: quantity.Figure[quantity.Ratio]{Value: quantity.Ratio(gear), Basis: quantity.Assumed},
			Efficiency:     quantity.Figure[quantity.Fraction]{Value: 1, Basis: quantity.Assumed},
			BackEfficiency: quantity.Figure[quantity.Fraction]{Value: 1, Basis: quantity.Assumed}}
	}
	return p
}

// with evaluates the pick at a ratio with one of the judges.
func (s *ratioSearch) with(j *sizing.Judge) probe {
	return func(ratio float64) look {
		var out sizing.Candidate
		j.Evaluate(withRatio(s.pick, ratio), &out)
		l := lookAt(ratio, &out)
		if s.strict {
			l.disbelieve()
		}
		return l
	}
}

// at evaluates with the first judge.
func (s *ratioSearch) at(ratio float64) look { return s.f(ratio) }

// sentence is what the check that fails at a ratio says there.
func (s *ratioSearch) sentence(ratio float64, check int) string {
	var c sizing.Candidate
	s.judges[0].Evaluate(withRatio(s.pick, ratio), &c)
	return sentenceOf(&c, check)
}

// scan evaluates the whole range at even steps of the logarithm, shared out
// among the judges; each look stands at its ratio whoever took it.
func (s *ratioSearch) scan(ctx context.Context) error {
	count := int(math.Ceil(perDecade*math.Log10(s.to/ratioFrom))) + 1
	s.looks = make([]look, count)
	var wg sync.WaitGroup
	for w, j := range s.judges {
		wg.Go(func() {
			at := s.with(j)
			for i := w; i < count && ctx.Err() == nil; i += len(s.judges) {
				s.looks[i] = at(ratioFrom * math.Pow(s.to/ratioFrom, float64(i)/float64(count-1)))
			}
		})
	}
	wg.Wait()
	return ctx.Err()
}

// sentenceOf is the sentence of a candidate's check by name.
func sentenceOf(c *sizing.Candidate, name int) string {
	for i := range c.Checks {
		if k := &c.Checks[i]; int(k.Name) == name && k.Verdict == sizing.Fails {
			return k.Sentence(c)
		}
	}
	return ""
}

// conflict shows which checks ask for what, where no ratio suits all.
func (s *ratioSearch) conflict() *Conflict {
	always, ever := allChecks, checkSet(0)
	for i := range s.looks {
		always &= s.looks[i].failing()
		ever |= s.looks[i].failing()
	}
	s.strict = true
	for i := range s.looks {
		s.looks[i].disbelieve()
	}
	k := &Conflict{}
	for n := range checkTotal {
		if always.has(sizing.CheckName(n)) {
			k.Always = append(k.Always, sizing.CheckName(n))
		}
	}
	k.Speed = s.windows(speedType &^ always)
	k.Torque = s.windows(allChecks &^ speedType &^ always)
	for n := range checkTotal {
		if name := sizing.CheckName(n); ever.has(name) && !always.has(name) {
			k.Each = append(k.Each, CheckWindows{name, s.windows(setOf(name))})
		}
	}
	k.Least, k.Most = Edge{SetBy: -1}, Edge{SetBy: -1}
	for _, c := range k.Each {
		if len(c.Windows) == 0 {
			continue
		}
		if e := c.Windows[0].From; e.SetBy >= 0 && (k.Least.SetBy < 0 || e.Ratio > k.Least.Ratio) {
			k.Least = e
		}
		if e := c.Windows[len(c.Windows)-1].To; e.SetBy >= 0 && (k.Most.SetBy < 0 || e.Ratio < k.Most.Ratio) {
			k.Most = e
		}
	}
	return k
}

// objectives are the three figures, larger is better.
var objectives = [...]struct {
	name  string
	value func(*look) float64
	shown func(*look) float64
}{
	{"thermal_margin", func(l *look) float64 { return l.thermal }, func(l *look) float64 { return l.thermal }},
	{"current", func(l *look) float64 { return -l.current }, func(l *look) float64 { return l.current }},
	{"runtime", func(l *look) float64 { return l.runtime }, func(l *look) float64 { return l.runtime }},
}

// optima finds the best ratio of the windows for each objective.
func (s *ratioSearch) optima(windows []Window) (out []Optimum) {
	for _, o := range objectives {
		best := Optimum{Objective: o.name, Ratio: math.NaN(), Value: math.NaN()}
		top := math.Inf(-1)
		for _, w := range windows {
			l := s.optimum(w, o.value)
			if v := o.value(&l); v > top && !math.IsInf(v, 0) {
				top = v
				best.Ratio, best.Value = l.at, o.shown(&l)
			}
		}
		out = append(out, best)
	}
	return out
}

// optimum climbs to the best point of a window from the best the scan saw.
func (s *ratioSearch) optimum(w Window, value func(*look) float64) look {
	inside := []look{s.at(w.From.Ratio)}
	for _, l := range s.looks {
		if l.at > w.From.Ratio && l.at < w.To.Ratio {
			inside = append(inside, l)
		}
	}
	inside = append(inside, s.at(w.To.Ratio))
	best := 0
	for i := range inside {
		if value(&inside[i]) > value(&inside[best]) {
			best = i
		}
	}
	if v := value(&inside[best]); math.IsNaN(v) || math.IsInf(v, 0) {
		return inside[best]
	}
	low, high := inside[max(0, best-1)], inside[min(len(inside)-1, best+1)]
	return climb(s.at, low, inside[best], high, value, 1e-4, math.Inf(1))
}

// String names the window for messages: "18.2 to 31.7".
func (w Window) String() string {
	return fmt.Sprintf("%s to %s", quantity.Significant(w.From.Ratio, 3), quantity.Significant(w.To.Ratio, 3))
}
