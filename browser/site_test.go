package browser

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// built is the program and the folder its reports are written to.
var built = sync.OnceValues(func() (dir string, err error) {
	if dir, err = os.MkdirTemp("", "dray-browser-"); err != nil {
		return "", err
	}
	cmd := exec.Command("go", "build", "-o", filepath.Join(dir, "dray"), "./cmd/dray")
	cmd.Dir = ".."
	if said, err := cmd.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w\n%s", err, said)
	}
	return dir, nil
})

func TestMain(m *testing.M) {
	code := m.Run()
	if dir, err := built(); err == nil {
		os.RemoveAll(dir)
	}
	if found() != "" {
		if ctx, err := chrome(); err == nil {
			chromedp.Cancel(ctx)
		}
	}
	os.Exit(code)
}

// write has dray write a file about a demo and returns its path.
func write(t *testing.T, demo, name string, args ...string) string {
	t.Helper()
	dir, err := built()
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, name)
	if _, err := os.Stat(path); err == nil {
		return path
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(filepath.Join(dir, "dray"), append([]string{"report", filepath.Join("testdata", demo, "case.yaml"), "-o", path, "--quiet"}, args...)...)
	cmd.Dir = ".."
	if said, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	return path
}

// found is the browser's program; empty without one.
func found() string {
	for _, name := range []string{os.Getenv("CHROMIUM"), "chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); name != "" && err == nil {
			return path
		}
	}
	return ""
}

// chromium skips the test on a machine without a browser, but not where CI is
// set.
func chromium(t *testing.T) {
	t.Helper()
	if found() != "" {
		return
	}
	if os.Getenv("CI") != "" {
		t.Fatal("no Chromium")
	}
	t.Skip("no Chromium")
}

// chrome is one Chromium for all tests; every page is a tab of its own.
var chrome = sync.OnceValues(func() (context.Context, error) {
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(found()), chromedp.Flag("hide-scrollbars", true))
	if os.Geteuid() == 0 {
		opts = append(opts, chromedp.NoSandbox)
	}
	ctx, _ := chromedp.NewExecAllocator(context.Background(), opts...)
	ctx, _ = chromedp.NewContext(ctx)
	return ctx, chromedp.Do(ctx)
})

// tab is one open page and what it said.
type tab struct {
	ctx  context.Context
	mu   sync.Mutex
	asks []string // addresses asked for
	says []string // messages of the browser about the page
}

// open opens a file in a tab of a width, on a light or dark screen, or as for
// print.
func open(t *testing.T, file string, width int64, media string, dark bool) *tab {
	t.Helper()
	chromium(t)
	parent, err := chrome()
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := chromedp.NewContext(parent)
	t.Cleanup(stop)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatal(err)
	}
	ctx, stop = context.WithTimeout(ctx, 90*time.Second)
	t.Cleanup(stop)
	p := &tab{ctx: ctx}
	p.listen()
	scheme := "light"
	if dark {
		scheme = "dark"
	}
	p.do(t, call(network.Enable, network.EnableParams{}), call(log.Enable, cdp.Empty{}),
		call(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: media, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}),
		chromedp.EmulateViewport(width, 900), chromedp.Navigate("file://"+file), chromedp.WaitReady(chromedp.CSS("body")))
	return p
}

// call makes an action of a protocol command.
func call[P, R any](c cdp.Command[P, R], params P) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, c, params)
		return err
	})
}

// listen writes down what the page asks for and what the browser says of it.
func (p *tab) listen() {
	asked, said := chromedp.Events(p.ctx, network.RequestWillBeSent), chromedp.Events(p.ctx, log.EntryAdded)
	go func() {
		for e, err := range asked {
			if err != nil {
				return
			}
			p.mu.Lock()
			p.asks = append(p.asks, e.Request.URL)
			p.mu.Unlock()
		}
	}()
	go func() {
		for e, err := range said {
			if err != nil {
				return
			}
			p.mu.Lock()
			p.says = append(p.says, e.Entry.Text)
			p.mu.Unlock()
		}
	}()
}

func (p *tab) do(t *testing.T, actions ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	if err := chromedp.Do(p.ctx, actions...); err != nil {
		t.Fatal(err)
	}
}

// ask evaluates a script that returns JSON text, or promises it, and reads it into v.
func (p *tab) ask(t *testing.T, script string, v any) {
	t.Helper()
	text, err := chromedp.Run(p.ctx, chromedp.Evaluate[string]("Promise.resolve("+script+").then(JSON.stringify)", chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(text), v); err != nil {
		t.Fatalf("%v: %.200s", err, text)
	}
}

// keep saves a picture of the whole page when SCREENSHOTS is set.
func (p *tab) keep(t *testing.T, name string) {
	t.Helper()
	dir := os.Getenv("SCREENSHOTS")
	if dir == "" {
		return
	}
	picture, err := chromedp.Run(p.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		t.Fatal(err)
	}
	save(t, filepath.Join(dir, name+".png"), picture)
}

func save(t *testing.T, path string, data []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// tool runs one of the npm tools of this folder; skipped where they are not
// installed, but not where CI is set.
func tool(t *testing.T, name string, args ...string) ([]byte, error) {
	t.Helper()
	path := filepath.Join("node_modules", ".bin", name)
	if _, err := os.Stat(path); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("npm ci was not run in this folder")
		}
		t.Skip("npm ci was not run in this folder")
	}
	return exec.Command(path, args...).CombinedOutput()
}

// pdf prints the page on a paper, sizes in inches.
func (p *tab) pdf(t *testing.T, width, height float64) []byte {
	t.Helper()
	data, err := chromedp.Run(p.ctx, chromedp.PrintToPDF(func(q *page.PrintToPDFParams) {
		q.PaperWidth, q.PaperHeight = width, height
	}))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// pdfText reads a PDF with pdftotext; empty where that is not installed.
func pdfText(t *testing.T, data []byte) string {
	t.Helper()
	program, err := exec.LookPath("pdftotext")
	if err != nil {
		return ""
	}
	cmd := exec.Command(program, "-layout", "-", "-")
	cmd.Stdin = bytes.NewReader(data)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.ReplaceAll(string(out), "\u00a0", " ")
}
