package figures

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"example.org/dray/internal/demo"
	"example.org/dray/quantity"
	"example.org/dray/sizing"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

var look = flag.String("look", "", "write every figure of the tests as PNG into this folder, to be looked at")

// demoSource examines a demo's best candidate; a short field takes only some
// of the catalog's motors.
func demoSource(t *testing.T, name string, short bool) *Source {
	t.Helper()
	c, cat := demo.Load(t, name)
	if short {
		cat.Motors = cat.Motors[:min(len(cat.Motors), 16)]
	}
	field, pick, err := sizing.Examine(t.Context(), c, cat, "1")
	if err != nil {
		t.Fatal(err)
	}
	s, err := Gather(field, pick, quantity.SI)
	if err != nil {
		t.Fatal(err)
	}
	s.Window = someWindow()
	return s
}

// someWindow is an invented ratio window.
func someWindow() *Window {
	return &Window{Motor: "invented-24", Pick: 33.4, From: 0.1, To: 1e4,
		Passing: []Passage{{21, 58, "winding temperature", "speed"}},
		Best:    []Best{{"heat", 41}, {"current", 40}, {"runtime", 40.5}},
		Offers:  []Offer{{"a", 13, false, "winding temperature by 12 %"}, {"b", 21.8, true, ""}, {"c", 33.4, true, ""}, {"d", 79, false, "speed"}}}
}

// harsh bends a source to awkward numbers: overloads, runaways of scale, many
// legs, nothing known.
func harsh(s *Source) *Source {
	h := *s
	pick := *s.Pick
	d := *pick.Detail
	pick.Detail = &d
	pick.ThermalBasis = quantity.Estimated
	env := d.Envelope
	env.Elements = append([]sizing.Element(nil), env.Elements...)
	for i := range env.Elements {
		env.Elements[i].Utilisation *= 9
	}
	env.Elements[1].Stands, env.Elements[1].Utilisation = nil, math.NaN()
	d.Envelope = env
	for i := range 14 {
		l := pick.Legs[i%2]
		l.Name = "a leg with a rather long name"
		l.Steady.OutputTorque *= 1 + float64(i)*0.01
		pick.Legs = append(pick.Legs, l)
	}
	h.Pick = &pick
	return &h
}

func sources(t *testing.T) map[string]*Source {
	cart := demoSource(t, "cart", false)
	return map[string]*Source{"cart": cart, "harsh": harsh(cart), "arm": demoSource(t, "arm", true), "hoist": demoSource(t, "hoist", true)}
}

// No text of a figure touches another or leaves the page; every figure says
// its finding; the SVG is well formed, carries no style attribute, no script
// and no reference to anything outside itself; and it comes out the same twice.
func TestEveryFigureIsFitToBeRead(t *testing.T) {
	remote := regexp.MustCompile(`(?i)href|url\(|<script|<image|style=|@import`)
	for name, s := range sources(t) {
		figs := s.All()
		if len(figs) < len(Names())-1 {
			t.Errorf("%s: only %d figures", name, len(figs))
		}
		for _, f := range figs {
			t.Run(name+"/"+f.Name, func(t *testing.T) {
				texts(t, f)
				svg := f.Inline("a")
				if m := remote.FindString(svg); m != "" {
					t.Errorf("the svg holds %q", m)
				}
				wellFormed(t, svg)
				if again := f.Inline("a"); again != svg {
					t.Error("drawn twice, two results")
				}
				if f.Finding == "" || f.Title == "" || len(f.Tables) == 0 {
					t.Error("title, finding or table is missing")
				}
				if *look != "" {
					show(t, f, filepath.Join(*look, name+"-"+f.Name+".png"))
				}
			})
		}
	}
}

// texts draws the figure and looks at the rooms its texts take.
func texts(t *testing.T, f *Figure) {
	t.Helper()
	w, h := f.Size()
	boxes := f.draw(draw.New(vgsvg.New(vg.Length(w), vg.Length(h))))
	for i, a := range boxes {
		if a.x0 < -0.5 || a.x1 > w+0.5 || a.y0 < -1 || a.y1 > h+1 {
			t.Errorf("%q leaves the page: %.1f…%.1f of %.0f, %.1f…%.1f of %.0f", a.text, a.x0, a.x1, w, a.y0, a.y1, h)
		}
		for _, b := range boxes[:i] {
			if a.hits(b) {
				t.Errorf("%q touches %q", a.text, b.text)
			}
		}
	}
}

func wellFormed(t *testing.T, svg string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			t.Fatal(err)
		}
	}
}

func show(t *testing.T, f *Figure, path string) {
	t.Helper()
	var b bytes.Buffer
	if err := f.PNG(&b); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// A label pushed away by others keeps their order and a line's gap, and the
// whole stack stays inside the panel.
func TestSpreadLabelsKeepOrderAndDistance(t *testing.T) {
	list := []edgeLabel{{y: 100}, {y: 99}, {y: 98.5}, {y: 40}, {y: 2}, {y: 1}}
	ys := spread(list, 0, 105)
	for i, y := range ys {
		if y < -1e-9 || y > 105 {
			t.Errorf("label %d at %.2f is outside 0…105", i, y)
		}
		if i > 0 && ys[i-1]-y < lineGap-1e-9 {
			t.Errorf("labels %d and %d are %.2f apart", i-1, i, ys[i-1]-y)
		}
	}
	if math.Abs(ys[3]-40) > 1e-9 {
		t.Errorf("a label with room about it moved to %.2f", ys[3])
	}
}

// Ticks stand at 1, 2 or 5 times a power of ten.
func TestTicksAreRound(t *testing.T) {
	for _, span := range []float64{0.013, 0.7, 3, 9.9, 41, 260, 12345} {
		s := scale{min: -span / 3, max: span, a: 0, b: 100}
		ticks := s.ticks(6)
		if len(ticks) < 2 || len(ticks) > 14 {
			t.Errorf("span %g: %d ticks", span, len(ticks))
		}
		step := ticks[1].at - ticks[0].at
		m := step / math.Pow(10, math.Floor(math.Log10(step)+1e-9))
		if r := math.Round(m); math.Abs(m-r) > 1e-6 || r != 1 && r != 2 && r != 5 {
			t.Errorf("span %g: step %g", span, step)
		}
	}
}
