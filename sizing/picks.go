package sizing

import (
	"fmt"
	"slices"
	"strings"

	"example.org/dray/catalog"
	"example.org/dray/loadcases"
)

// NoCandidate is the error of a case and a catalog that make no pick at all.
type NoCandidate struct{ Why string }

func (e *NoCandidate) Error() string { return e.Why }

// NoSuchPick is the error of a pick that is neither an id nor a rank.
type NoSuchPick struct {
	Pick    string
	Nearest []string // the most similar ids, at most three; none for a rank
	Ranks   int      // how many candidates there are
}

func (e *NoSuchPick) Error() string {
	if _, ok := digits(e.Pick); ok || e.Pick == "0" {
		return fmt.Sprintf("no candidate has rank %s: ranks run from 1 to %d", e.Pick, e.Ranks)
	}
	return fmt.Sprintf("no candidate %q", e.Pick)
}

// Picks lists every motor × gear train × further stage × battery × controller
// that the case allows, in catalog order. A bare motor goes with every gear
// train that fits it, and alone where none does or a further stage reduces.
func Picks(c *loadcases.Case, cat *catalog.Catalog) ([]Pick, error) {
	batteries, err := batteriesOf(c, cat)
	if err != nil {
		return nil, err
	}
	controllers, err := controllersOf(c, cat)
	if err != nil {
		return nil, err
	}
	stages := []*loadcases.Stage{nil}
	if len(c.Stages) > 0 {
		stages = stages[:0]
		for i := range c.Stages {
			stages = append(stages, &c.Stages[i])
		}
	}
	var picks []Pick
	for i := range cat.Motors {
		m := &cat.Motors[i]
		for _, t := range trainsOf(m, cat, len(c.Stages) > 0) {
			for _, s := range stages {
				for _, b := range batteries {
					for _, k := range controllers {
						picks = append(picks, Pick{m, t, s, b, k})
					}
				}
			}
		}
	}
	if len(picks) == 0 {
		return nil, &NoCandidate{"the catalogs make no candidate: no motor is usable" + reasons(cat)}
	}
	return picks, nil
}

// reasons gives the first rows left out and why.
func reasons(cat *catalog.Catalog) string {
	var out strings.Builder
	told := 0
	for _, f := range cat.Findings {
		if f.ID == "" || f.Severity < catalog.Warning || told == 3 {
			continue
		}
		fmt.Fprintf(&out, "; %s:%d: %s: %s", f.File, f.Line, f.ID, f.Text)
		told++
	}
	return out.String()
}

func trainsOf(m *catalog.Motor, cat *catalog.Catalog, stage bool) []*catalog.GearTrain {
	if !m.Bare {
		return []*catalog.GearTrain{nil}
	}
	var trains []*catalog.GearTrain
	for i := range cat.GearTrains {
		if t := &cat.GearTrains[i]; len(t.Fits) == 0 || slices.Contains(t.Fits, m.Row) || slices.Contains(t.Fits, m.ID) {
			trains = append(trains, t)
		}
	}
	if len(trains) == 0 || stage {
		trains = append(trains, nil)
	}
	return trains
}

func batteriesOf(c *loadcases.Case, cat *catalog.Catalog) ([]*catalog.Battery, error) {
	if c.Supply.Adapter != nil {
		return []*catalog.Battery{nil}, nil
	}
	var out []*catalog.Battery
	for i := range cat.Batteries {
		if b := &cat.Batteries[i]; len(c.Supply.Batteries) == 0 || slices.Contains(c.Supply.Batteries, b.ID) {
			out = append(out, b)
		}
	}
	for _, id := range c.Supply.Batteries {
		if !slices.ContainsFunc(out, func(b *catalog.Battery) bool { return b.ID == id }) {
			return nil, missing("battery", id, cat.Batteries, func(b *catalog.Battery) string { return b.ID })
		}
	}
	if len(out) == 0 {
		return nil, &NoCandidate{"the catalogs hold no battery, and the case names no adapter"}
	}
	return out, nil
}

func controllersOf(c *loadcases.Case, cat *catalog.Catalog) ([]*catalog.Controller, error) {
	var out []*catalog.Controller
	for i := range cat.Controllers {
		if k := &cat.Controllers[i]; len(c.Supply.Controllers) == 0 || slices.Contains(c.Supply.Controllers, k.ID) {
			out = append(out, k)
		}
	}
	for _, id := range c.Supply.Controllers {
		if !slices.ContainsFunc(out, func(k *catalog.Controller) bool { return k.ID == id }) {
			return nil, missing("controller", id, cat.Controllers, func(k *catalog.Controller) string { return k.ID })
		}
	}
	if len(out) == 0 {
		return nil, &NoCandidate{"the catalogs hold no controller"}
	}
	return out, nil
}

func missing[T any](kind, id string, rows []T, name func(*T) string) error {
	ids := make([]string, len(rows))
	for i := range rows {
		ids[i] = name(&rows[i])
	}
	return &NoCandidate{fmt.Sprintf("the case names the %s %q, and no catalog holds it; nearest: %s", kind, id, joined(nearest(id, ids, 3)))}
}

// Find returns the candidate by id, by rank if the pick is all digits, or the
// best-ranked one of a motor whose id alone is given.
func (f *Field) Find(pick string) (*Candidate, error) {
	if n, ok := digits(pick); ok || pick == "0" {
		if ok && n <= len(f.Candidates) {
			return &f.Candidates[n-1], nil
		}
		return nil, &NoSuchPick{Pick: pick, Ranks: len(f.Candidates)}
	}
	ids := make([]string, len(f.Candidates))
	for i := range f.Candidates {
		if f.Candidates[i].ID == pick {
			return &f.Candidates[i], nil
		}
		ids[i] = f.Candidates[i].ID
	}
	for i := range f.Candidates {
		if f.Candidates[i].Motor.ID == pick {
			return &f.Candidates[i], nil
		}
	}
	return nil, &NoSuchPick{Pick: pick, Nearest: nearest(pick, ids, 3), Ranks: len(ids)}
}
