package browser

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// demos are the cases whose reviews are opened.
func demos() []string { return []string{"cart", "hoist"} }

// seen is what a script finds out about the page.
type seen struct {
	Overflow int      `json:"overflow"` // px by which the page is wider than the window
	Figures  int      `json:"figures"`
	Wrong    []string `json:"wrong"`
	Texts    int      `json:"texts"`
}

// look measures every figure: that it is shown, inside the window, that each of
// its texts lies inside it, and that no two touch.
const look = `(() => {
  const wrong = [], figs = [...document.querySelectorAll('figure')];
  let texts = 0;
  for (const f of figs) {
    const svg = f.querySelector('svg'), b = svg.getBoundingClientRect();
    if (!svg.checkVisibility() || b.width < 200 || b.height < 60) wrong.push(f.id + ' is not visible: ' + b.width + ' × ' + b.height);
    if (b.left < -0.5 || b.right > document.documentElement.clientWidth + 0.5) wrong.push(f.id + ' is cut off at the side');
    const boxes = [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBoundingClientRect()]);
    texts += boxes.length;
    boxes.forEach(([s, r], i) => {
      if (r.left < b.left - 1 || r.right > b.right + 1 || r.top < b.top - 1 || r.bottom > b.bottom + 1) wrong.push(f.id + ': "' + s + '" leaves the figure');
      for (let j = 0; j < i; j++) {
        const [o, q] = boxes[j];
        const w = Math.min(r.right, q.right) - Math.max(r.left, q.left), h = Math.min(r.bottom, q.bottom) - Math.max(r.top, q.top);
        if (w > 0.5 && h > 0.25 * Math.min(r.height, q.height)) wrong.push(f.id + ': "' + s + '" and "' + o + '" touch');
      }
    });
  }
  return {overflow: document.documentElement.scrollWidth - document.documentElement.clientWidth, figures: figs.length, wrong, texts};
})()`

// At every width, on light and dark screens and as printed, each figure is
// shown whole, its texts do not touch, the page is no wider than the window,
// asks for nothing but itself, and the browser has nothing to say.
func TestEveryFigureIsSeenWholeEverywhere(t *testing.T) {
	for _, demo := range demos() {
		file := write(t, demo, demo+".html")
		for _, c := range []struct {
			name  string
			width int64
			media string
			dark  bool
		}{{"360", 360, "screen", false}, {"800", 800, "screen", false}, {"1600", 1600, "screen", false},
			{"360-dark", 360, "screen", true}, {"1600-dark", 1600, "screen", true}, {"print", 680, "print", false}} {
			t.Run(demo+"/"+c.name, func(t *testing.T) {
				p := open(t, file, c.width, c.media, c.dark)
				var s seen
				p.ask(t, look, &s)
				for _, w := range s.Wrong {
					t.Error(w)
				}
				if s.Overflow > 0 {
					t.Errorf("the page is %d px wider than the window", s.Overflow)
				}
				if s.Figures < 6 || s.Texts < 60 {
					t.Errorf("only %d figures with %d texts", s.Figures, s.Texts)
				}
				p.keep(t, demo+"-"+c.name)
				p.quiet(t, file)
			})
		}
	}
}

// Where none of our faces is installed and a wider one stands in their place,
// texts still fit.
func TestAnotherFaceDoesNotBreakFigures(t *testing.T) {
	data, err := os.ReadFile(write(t, "cart", "cart.html"))
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "wide.html")
	save(t, file, regexp.MustCompile(`font-family="[^"]*"`).ReplaceAll(data, []byte(`font-family="DejaVu Sans, Verdana, monospace"`)))
	var s seen
	open(t, file, 360, "screen", false).ask(t, look, &s)
	for _, w := range s.Wrong {
		t.Error(w)
	}
}

// quiet fails when the page asked for anything but itself or the browser
// complained, as it does when the page breaks its own policy.
func (p *tab) quiet(t *testing.T, file string) {
	t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, a := range p.asks {
		if a != "file://"+file {
			t.Errorf("asks for %s", a)
		}
	}
	for _, s := range p.says {
		t.Errorf("the browser says %q", s)
	}
}

// On a dark screen paper is dark and the ink of figures is light; in print it
// is the other way whatever the screen.
func TestDarkScreensDarkenTheFiguresToo(t *testing.T) {
	file := write(t, "cart", "cart.html")
	const ask = `(() => { const l = c => { const m = c.match(/\d+(\.\d+)?/g).map(Number); return (m[0] + m[1] + m[2]) / 765; };
	  const text = document.querySelector('figure svg text.f-ink');
	  return {paper: l(getComputedStyle(document.body).backgroundColor), ink: l(getComputedStyle(text).fill)}; })()`
	for _, c := range []struct {
		media string
		dark  bool
	}{{"screen", false}, {"screen", true}, {"print", true}} {
		p := open(t, file, 800, c.media, c.dark)
		var got struct{ Paper, Ink float64 }
		p.ask(t, ask, &got)
		wantDark := c.dark && c.media == "screen"
		if (got.Paper < 0.3) != wantDark || (got.Ink > 0.7) != wantDark {
			t.Errorf("%s, dark %v: paper %.2f, ink %.2f", c.media, c.dark, got.Paper, got.Ink)
		}
	}
}

// The accessibility gate finds nothing serious, light or dark, wide or narrow.
func TestThePageIsAccessible(t *testing.T) {
	axe, err := os.ReadFile(filepath.Join("node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("npm ci was not run in this folder")
		}
		t.Skip("npm ci was not run in this folder")
	}
	for _, demo := range demos() {
		file := write(t, demo, demo+".html")
		for _, dark := range []bool{false, true} {
			for _, width := range []int64{360, 1600} {
				p := open(t, file, width, "screen", dark)
				p.do(t, chromedp.Evaluate[chromedp.Void](string(axe)), chromedp.Evaluate[chromedp.Void](`document.querySelectorAll('details').forEach(d => d.open = true)`))
				var found []struct {
					ID, Impact, Help string
					Where            []string
				}
				p.ask(t, `axe.run().then(r => r.violations.map(v => ({id: v.id, impact: v.impact, help: v.help, where: v.nodes.slice(0, 3).map(n => n.target.join(' ') + ': ' + (n.failureSummary || ''))})))`, &found)
				for _, v := range found {
					message := fmt.Sprintf("%s at %d px, dark %v: %s (%s): %s\n  %s", demo, width, dark, v.ID, v.Impact, v.Help, strings.Join(v.Where, "\n  "))
					if v.Impact == "serious" || v.Impact == "critical" {
						t.Error(message)
					} else {
						t.Log(message)
					}
				}
			}
		}
	}
}

// The file is valid HTML by a validator that knows the standard.
func TestThePageIsValid(t *testing.T) {
	for _, demo := range demos() {
		if said, err := tool(t, "html-validate", "--config", ".htmlvalidate.json", write(t, demo, demo+".html")); err != nil {
			t.Errorf("%s: %v\n%s", demo, err, said)
		}
	}
}

// One file, under a megabyte and a half, that names no other.
func TestThePageIsOneFile(t *testing.T) {
	for _, demo := range demos() {
		data, err := os.ReadFile(write(t, demo, demo+".html"))
		if err != nil {
			t.Fatal(err)
		}
		if len(data) > 1_500_000 {
			t.Errorf("%s: %d bytes", demo, len(data))
		}
		if m := regexp.MustCompile(`(?i)(src|href)="[^#"][^"]*"|url\(|@import|<script|<link`).Find(data); m != nil {
			t.Errorf("%s refers to another file: %s", demo, m)
		}
	}
}

// Printed on A4 and on Letter every page carries its number, long tables repeat
// their heads, and no figure is split.
func TestPrintedPagesAreNumberedAndWhole(t *testing.T) {
	for _, demo := range demos() {
		file := write(t, demo, demo+".html")
		for _, paper := range []struct {
			name          string
			width, height float64
		}{{"a4", 8.27, 11.69}, {"letter", 8.5, 11}} {
			p := open(t, file, 800, "print", false)
			data := p.pdf(t, paper.width, paper.height)
			if dir := os.Getenv("SCREENSHOTS"); dir != "" {
				save(t, filepath.Join(dir, demo+"-"+paper.name+".pdf"), data)
			}
			pages := len(regexp.MustCompile(`/Type\s*/Page\b[^s]`).FindAll(data, -1))
			if pages < 6 || pages > 40 {
				t.Errorf("%s on %s: %d pages", demo, paper.name, pages)
			}
			if text := pdfText(t, data); text != "" {
				if want := fmt.Sprintf("page %d of %d", pages, pages); !strings.Contains(text, want) {
					t.Errorf("%s on %s: the last page does not say %q", demo, paper.name, want)
				}
				if n := strings.Count(text, "\f"); n != pages {
					t.Errorf("%s on %s: %d pages of text, %d pages", demo, paper.name, n, pages)
				}
			}
		}
	}
}

// dray prints the same PDF twice.
func TestAPrintedReviewComesOutTheSameTwice(t *testing.T) {
	chromium(t)
	first, err := os.ReadFile(write(t, "cart", "one/review.pdf", "1"))
	if err != nil {
		t.Fatal(err)
	}
	second, err := os.ReadFile(write(t, "cart", "two/review.pdf", "1"))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first, second) {
		t.Errorf("%d and %d bytes, not the same", len(first), len(second))
	}
}
