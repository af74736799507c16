package rating

import (
	"fmt"
	"math"
	"strings"
)

// FuseType is the letter of a blade fuse's time–current gates, after ISO 8820-3.
type FuseType byte

// The types: F miniature, C standard, E high current.
const (
	TypeF FuseType = 'F'
	TypeC FuseType = 'C'
	TypeE FuseType = 'E'
)

// FuseShare is the part of the shortest-opening current a duty may use, so
// that a fuse does not open in service: a convention of the model.
const FuseShare = 0.75

// FuseProtects is the multiple of the rating below which no opening is
// promised at all.
const FuseProtects = 1.35

// Fuse is one blade fuse in air of a given temperature. Its shortest opening
// times rest on the rating derated by the air, its longest on the full rating
// (cold), so that either error is on the safe side.
type Fuse struct {
	Rating   float64 // A, as printed
	Type     FuseType
	Air      float64 // °C
	Derating float64 // share of the rating left at that air
	Notes    []string

	shortest *FuseCurve
	longest  *FuseCurve
}

// gates are the opening-time gates in multiples of the rating. A row of the
// published table without a shortest time has none here.
type gates struct {
	low, high       float64 // A, ratings the table is printed for
	shortAt, short  []float64
	longAt, longest []float64
}

// gatesOf returns the time–current gates of ISO 8820-3 types as printed in
// data sheets that name the standard (published checks F; the standard's own
// text was not seen). Type C to 30 A: the rows 110, 135, 350 and 600 % are
// from memory. Type C gives no shortest time at 600 %: constant I²t from 350 %.
func gatesOf(t FuseType, rating float64) gates {
	switch {
	case t == TypeF:
		return gates{2, 30,
			[]float64{6, 3.5, 2, 1.35, 1.1}, []float64{0.03, 0.08, 0.15, 0.75, 360000},
			[]float64{6, 3.5, 2, 1.35}, []float64{0.1, 0.5, 5, 600}}
	case t == TypeC && rating <= 30:
		return gates{1, 30,
			[]float64{3.5, 2, 1.6, 1.35, 1.1}, []float64{0.04, 0.15, 0.25, 0.75, 360000},
			[]float64{6, 3.5, 2, 1.6, 1.35}, []float64{0.1, 0.5, 5, 50, 600}}
	case t == TypeC:
		return gates{30, 40,
			[]float64{3.5, 2, 1.35, 1}, []float64{0.08, 0.15, 0.75, 360000},
			[]float64{6, 3.5, 2, 1.35}, []float64{0.15, 0.5, 5, 600}}
	default:
		return gates{20, 80,
			[]float64{6, 3.5, 2, 1.35, 1}, []float64{0.04, 0.2, 2, 60, 360000},
			[]float64{6, 3.5, 2, 1.35}, []float64{1, 7, 50, 1800}}
	}
}

// NewFuse returns the fuse of a rating (A) and type (F, C or E, either case)
// in air of a temperature (°C). It fails when the rating is not a positive
// number or the type is none of these. A rating outside the printed table is
// taken by its percentages and noted.
func NewFuse(rating float64, typ string, air float64) (Fuse, error) {
	if !(rating > 0) || math.IsInf(rating, 1) {
		return Fuse{}, fmt.Errorf("fuse rating %g A: want a current above zero", rating)
	}
	var t FuseType
	switch strings.ToUpper(strings.TrimSpace(typ)) {
	case "F":
		t = TypeF
	case "C":
		t = TypeC
	case "E":
		t = TypeE
	default:
		return Fuse{}, fmt.Errorf("fuse type %q: want F (miniature), C (standard) or E (high current)", typ)
	}
	f := Fuse{Rating: rating, Type: t, Air: air}
	f.Derating = derating(air)
	g := gatesOf(t, rating)
	f.shortest = curve(g.short, g.shortAt, rating*f.Derating)
	f.longest = curve(g.longest, g.longAt, rating)
	f.note(g)
	return f, nil
}

func (f *Fuse) note(g gates) {
	if f.Rating < g.low || f.Rating > g.high {
		f.Notes = append(f.Notes, fmt.Sprintf("type %c gates are printed for %g to %g A; used for %g A by percentage", f.Type, g.low, g.high, f.Rating))
	}
	if f.Derating < 1 && f.Type != TypeE {
		f.Notes = append(f.Notes, fmt.Sprintf("type %c derated to %.0f %% at %g °C by the type E curve, assumed", f.Type, 100*f.Derating, f.Air))
	}
	if f.Air > 125 {
		f.Notes = append(f.Notes, "derating beyond 125 °C is extrapolated")
	}
}

func curve(time, multiple []float64, rating float64) *FuseCurve {
	c := &FuseCurve{Time: time}
	for _, m := range multiple {
		c.Current = append(c.Current, m*rating)
	}
	return c
}

// derating returns the share of its rating a fuse keeps in air of a
// temperature in °C: linear between the points printed for a high-current
// type E fuse of 40 A (40 A to 20 °C, 34 at 65, 30 at 85, 25 at 110, 22 at
// 125; published checks F), the last slope beyond, never below a tenth. For
// types F and C the same relative curve is assumed.
func derating(air float64) float64 {
	at := [...]float64{20, 65, 85, 110, 125}
	share := [...]float64{1, 34. / 40, 30. / 40, 25. / 40, 22. / 40}
	if !(air > at[0]) {
		return 1
	}
	i := 1
	for i < len(at)-1 && air > at[i] {
		i++
	}
	slope := (share[i] - share[i-1]) / (at[i] - at[i-1])
	return math.Max(0.1, share[i]+slope*(air-at[i]))
}

// time returns the inverse of At: the time in s at which the curve stands at
// the current; +Inf below the last point.
func (c *FuseCurve) time(current float64) float64 {
	n := len(c.Time)
	if n == 0 || !(current >= c.Current[n-1]) {
		return math.Inf(1)
	}
	if current >= c.Current[0] {
		r := c.Current[0] / current
		return c.Time[0] * r * r
	}
	i := 1
	for current < c.Current[i] {
		i++
	}
	return c.Time[i-1] * math.Pow(c.Current[i-1]/current, 1/c.steepness(i))
}

// Shortest returns the shortest time in s in which the fuse may open at a
// steady current in A: log-log between the gates, constant I²t beyond them.
// +Inf below the lowest gate of the derated rating: it does not open.
func (f Fuse) Shortest(current float64) float64 { return f.shortest.time(math.Abs(current)) }

// Longest returns the longest time in s that the fuse, cold, may take to open
// at a steady current in A, and whether there is one: below 135 % of the
// rating no opening is promised and finite is false.
func (f Fuse) Longest(current float64) (s float64, finite bool) {
	s = f.longest.time(math.Abs(current))
	return s, !math.IsInf(s, 1)
}

// Current returns I_s(w): the current in A whose shortest opening time is w
// seconds, the inverse of Shortest; for w beyond the table its lowest row.
func (f Fuse) Current(w float64) float64 { return f.shortest.At(w) }

// Withstand returns what a duty may put through the fuse without opening it:
// FuseShare·I_s(w).
func (f Fuse) Withstand() Withstand {
	return Withstand{Continuous: f.shortest.At(math.Inf(1)), Fuse: f.shortest, Scale: FuseShare}
}

// Band says in words when the fuse opens at a steady current in A.
func (f Fuse) Band(current float64) string {
	percent := 100 * math.Abs(current) / f.Rating
	early := f.Shortest(current)
	late, sure := f.Longest(current)
	switch {
	case sure:
		return fmt.Sprintf("opens between %s and %s at %.3g A (%.0f %%)", seconds(early), seconds(late), math.Abs(current), percent)
	case math.IsInf(early, 1):
		return fmt.Sprintf("does not open at %.3g A (%.0f %%)", math.Abs(current), percent)
	}
	return fmt.Sprintf("may open after %s at %.3g A (%.0f %%), or never", seconds(early), math.Abs(current), percent)
}

// seconds writes a time for a sentence.
func seconds(s float64) string {
	switch {
	case math.IsInf(s, 1):
		return "never"
	case s < 1:
		return fmt.Sprintf("%.3g ms", 1000*s)
	case s < 120:
		return fmt.Sprintf("%.3g s", s)
	case s < 7200:
		return fmt.Sprintf("%.3g min", s/60)
	}
	return fmt.Sprintf("%.3g h", s/3600)
}
