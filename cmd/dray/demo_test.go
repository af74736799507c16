package main

import (
	"bytes"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"example.org/dray/catalog"
	"example.org/dray/sizing"
)

// demoDir holds the demonstration cases and their shared catalog.
var demoDir = filepath.Join("..", "..", "testdata")

// demoCatalog reads the catalog the demos share, through the cart's case.
func demoCatalog(t *testing.T) *catalog.Catalog {
	t.Helper()
	s := &session{stderr: &bytes.Buffer{}}
	_, cat, err := s.load(filepath.Join(demoDir, "cart", "case.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

// demoField ranks one demo.
func demoField(t *testing.T, name string) *sizing.Field {
	t.Helper()
	s := &session{stderr: &bytes.Buffer{}}
	c, cat, err := s.load(filepath.Join(demoDir, name, "case.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	field, err := sizing.Rank(t.Context(), c, cat, sizing.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return field
}

// A demo is worth looking at when the answer is not plain beforehand: some
// pass, most fail, for many different reasons, and the picks a person would
// make without the sum are not among the good ones.
func TestADemoHasAnInterestingField(t *testing.T) {
	demos := []struct {
		name        string
		field       int      // candidates at least
		least, most float64  // share that passes
		reasons     []string // some of the first failures that must occur
	}{
		{"cart", 2000, 0.02, 0.08, []string{"speed", "winding temperature", "gear torque continuous", "gear input speed", "radial load",
			"controller current", "controller voltage", "battery current", "fuse opening", "runtime"}},
		{"arm", 1500, 0.02, 0.10, []string{"speed", "winding temperature", "gear torque continuous", "controller current", "controller voltage", "runtime"}},
		{"hoist", 700, 0.02, 0.10, []string{"speed", "winding temperature", "gear torque continuous", "controller current", "controller voltage", "stays put"}},
	}
	for _, d := range demos {
		t.Run(d.name, func(t *testing.T) {
			f := demoField(t, d.name)
			if len(f.Candidates) < d.field {
				t.Errorf("the field has %d candidates, want %d at least", len(f.Candidates), d.field)
			}
			passing, first := 0, map[string]int{}
			for i := range f.Candidates {
				c := &f.Candidates[i]
				if c.Verdict <= sizing.Tight {
					passing++
				}
				if c.FirstFailure >= 0 {
					first[sizing.CheckName(c.FirstFailure).String()]++
				}
			}
			share := float64(passing) / float64(len(f.Candidates))
			if share < d.least || share > d.most {
				t.Errorf("%d of %d pass, want a share of %g to %g", passing, len(f.Candidates), d.least, d.most)
			}
			for _, want := range d.reasons {
				if first[want] == 0 {
					t.Errorf("no candidate fails first by %s; first failures: %v", want, first)
				}
			}
			if f.Candidates[0].Verdict > sizing.Tight {
				t.Error("the first in order does not pass")
			}
			strongest, cheapest := naivePicks(f)
			for what, c := range map[string]*sizing.Candidate{"largest stall torque": strongest, "cheapest that moves": cheapest} {
				if c.Verdict != sizing.Fails {
					t.Errorf("the naive pick by the %s, %s, is rank %d and %v: it should fail", what, c.ID, c.Rank, c.Verdict)
				}
			}
		})
	}
}

// naivePicks returns the best ranked of the candidates with the largest stall
// torque at the load shaft, and the cheapest whose speed and grip hold.
func naivePicks(f *sizing.Field) (strongest, cheapest *sizing.Candidate) {
	most, least := 0.0, math.Inf(1)
	for i := range f.Candidates {
		c := &f.Candidates[i]
		if torque := stallAtLoad(c); torque > most*(1+1e-9) {
			most, strongest = torque, c
		}
		if moves(c) && c.Price < least {
			least, cheapest = c.Price, c
		}
	}
	return strongest, cheapest
}

// stallAtLoad is the listed stall torque behind every stage, N·m.
func stallAtLoad(c *sizing.Candidate) float64 {
	torque := float64(c.Motor.StallTorque.Value)
	if c.Train != nil {
		torque *= float64(c.Train.Ratio.Value) * float64(c.Train.Efficiency.Value)
	}
	if c.Stage != nil {
		torque *= c.Stage.Ratio * c.Stage.Efficiency
	}
	return torque
}

// moves reports whether the candidate keeps the wanted motion, heat and
// ratings apart.
func moves(c *sizing.Candidate) bool {
	speed := false
	for _, k := range c.Checks {
		switch k.Name {
		case sizing.CheckSpeed:
			speed = k.Verdict < sizing.Fails
		case sizing.CheckGrip:
			if k.Verdict == sizing.Fails {
				return false
			}
		}
	}
	return speed
}

// The catalog holds every kind of row a reader meets: each basis of thermal
// data, bare motors beside geared ones, self-locking trains, one impossible row.
func TestTheDemoCatalogHasEveryKindOfRow(t *testing.T) {
	cat := demoCatalog(t)
	rows, families, perBasis := map[string]bool{}, map[string]int{}, map[string]int{}
	bare, locking := 0, 0
	for i := range cat.Motors {
		m := &cat.Motors[i]
		rows[m.Row] = true
		families[strings.SplitN(m.ID, "-", 2)[0]]++
		perBasis[m.WindingToHousing.Basis.String()]++
		if m.Bare {
			bare++
		}
		if m.SelfLocking {
			locking++
		}
	}
	severalRatios := 0
	for _, n := range families {
		if n >= 3 {
			severalRatios++
		}
	}
	impossible := 0
	for _, found := range cat.Findings {
		if found.Severity == catalog.Impossible {
			impossible++
		}
	}
	for _, want := range []struct {
		what         string
		least, count int
	}{
		{"motor rows", 60, len(rows)}, {"families in several ratios", 8, severalRatios}, {"bare motors", 5, bare},
		{"self-locking motors", 3, locking}, {"gear trains", 5, len(cat.GearTrains)}, {"impossible rows", 1, impossible},
		{"motors with listed heat", 3, perBasis["listed"]}, {"motors with derived heat", 5, perBasis["derived"]},
		{"motors with estimated heat", 5, perBasis["estimated"]}, {"motors with unknown heat", 3, perBasis["unknown"]},
	} {
		if want.count < want.least {
			t.Errorf("%d %s, want %d at least", want.count, want.what, want.least)
		}
	}
	if impossible != 1 || len(cat.Batteries) != 4 || len(cat.Controllers) != 6 {
		t.Errorf("%d impossible rows, %d packs, %d controllers; want 1, 4, 6", impossible, len(cat.Batteries), len(cat.Controllers))
	}
	chemistries := map[string]bool{}
	for _, b := range cat.Batteries {
		chemistries[b.Chemistry] = true
	}
	if len(chemistries) != 4 {
		t.Errorf("the packs have %d chemistries, want 4", len(chemistries))
	}
}

// Every demo file says in its first line that it is invented, and no id needs
// quoting in a shell or looks like a rank.
func TestDemoFilesSayTheyAreInventedAndIdsAreShellSafe(t *testing.T) {
	for _, dir := range []string{"shared", "cart", "arm", "hoist"} {
		err := filepath.WalkDir(filepath.Join(demoDir, dir), func(path string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() || (filepath.Ext(path) != ".csv" && filepath.Ext(path) != ".yaml") {
				return err
			}
			data, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			if !bytes.HasPrefix(data, []byte("# invented data for demonstration: no real product\n")) {
				t.Errorf("%s does not say in its first line that it is invented", path)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	safe := regexp.MustCompile(`^[A-Za-z0-9._-]*[A-Za-z._-][A-Za-z0-9._-]*$`)
	cat := demoCatalog(t)
	var ids []string
	for i := range cat.Motors {
		ids = append(ids, cat.Motors[i].Row)
	}
	for i := range cat.GearTrains {
		ids = append(ids, cat.GearTrains[i].ID)
	}
	for i := range cat.Batteries {
		ids = append(ids, cat.Batteries[i].ID)
	}
	for i := range cat.Controllers {
		ids = append(ids, cat.Controllers[i].ID)
	}
	for _, id := range ids {
		if !safe.MatchString(id) {
			t.Errorf("id %q is not shell-safe, or reads as a rank", id)
		}
	}
}
