// Package browsertest opens pages in a real browser for a test: headless Chromium, with a folder of its
// own that is gone when the test ends, and nothing sent to the network.
//
// A Page is driven the way a person would: by address, mouse and keyboard, at the size of a desk or a
// phone, with JavaScript on or off. Any failure ends the test with what was tried. Without a browser a
// test fails, unless SOLANDER_NO_BROWSER=1 says that it may be skipped.
package browsertest

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// patience is how long one action may take, also on a machine that is busy otherwise.
const patience = 3 * time.Minute

// Page is one tab. Its methods end the test when they fail.
type Page struct {
	t        testing.TB
	ctx      context.Context // of chromedp: the browser and this tab
	mu       sync.Mutex
	messages []string
}

// needed is the browser's program. A short test is left out, and every one where it was asked for.
func needed(t testing.TB) string {
	t.Helper()
	if testing.Short() {
		t.Skip("-short: make test has a browser")
	}
	program, err := Program()
	if err != nil {
		if os.Getenv("SOLANDER_NO_BROWSER") == "1" {
			t.Skip("SOLANDER_NO_BROWSER=1: tests in a browser are left out")
		}
		t.Fatalf("browsertest: %v\ninstall Chromium (Debian: chromium), or set SOLANDER_NO_BROWSER=1 to leave these tests out", err)
	}
	return program
}

// Open starts a browser, unless Share started it, with one empty page of the size of a desk. Both end with the test.
func Open(t testing.TB) *Page {
	t.Helper()
	program := needed(t)
	if one.ctx == nil {
		allocator, stop := start(program, t.TempDir())
		t.Cleanup(stop)
		return tab(t, allocator)
	}
	one.once.Do(func() {
		allocator, stop := start(program, one.dir)
		one.stop = stop
		*one.ctx, _ = chromedp.NewContext(allocator)
		one.err = chromedp.Do(*one.ctx)
	})
	if one.err != nil {
		t.Fatalf("browsertest: the browser does not start: %v", one.err)
	}
	return tab(t, *one.ctx, chromedp.WithNewBrowserContext())
}

// one is the browser that the tests of a package share.
var one struct {
	once sync.Once
	ctx  *context.Context // nil = each test has its own
	dir  string
	stop func()
	err  error
}

// Share runs the tests of a package with one browser for all of them, and returns their exit code: for TestMain. Each
// Open is then a window of its own, with cookies and storage of its own.
func Share(m *testing.M) int {
	dir, err := os.MkdirTemp("", "browsertest")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	one.dir, one.ctx = dir, new(context.Context)
	code := m.Run()
	if one.stop != nil {
		one.stop()
	}
	return code
}

func start(program, dir string, more ...chromedp.ExecAllocatorOption) (context.Context, func()) {
	return chromedp.NewExecAllocator(context.Background(), append(more,
		chromedp.ExecPath(program),
		chromedp.UserDataDir(dir),
		chromedp.WSURLReadTimeout(patience),
		chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck,
		chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-background-timer-throttling", true), // several windows are looked at side by side
		chromedp.Flag("disable-backgrounding-occluded-windows", true),
		chromedp.Flag("disable-renderer-backgrounding", true),
		chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-extensions", true),
		chromedp.Flag("disable-dev-shm-usage", true),
		chromedp.Flag("disable-features", "Translate,OptimizationHints,MediaRouter"),
		chromedp.Flag("force-color-profile", "srgb"),
		chromedp.Flag("password-store", "basic"),
		chromedp.Flag("use-fake-device-for-media-stream", true), // a camera that shows a moving picture
		chromedp.Flag("use-fake-ui-for-media-stream", true),     // and somebody who says that a page may see through it
	)...)
}

// Another opens a further page in the same browser, with the same cookies.
func (p *Page) Another() *Page {
	p.t.Helper()
	return tab(p.t, p.ctx)
}

func tab(t testing.TB, parent context.Context, options ...chromedp.ContextOption) *Page {
	t.Helper()
	ctx, _ := chromedp.NewContext(parent, options...)
	t.Cleanup(func() {
		limited, cancel := context.WithTimeout(ctx, 10*time.Second)
		defer cancel()
		_ = chromedp.Cancel(limited) // the allocator's stop ends what this could not
	})
	p := &Page{t: t, ctx: ctx}
	if err := chromedp.Do(ctx); err != nil { // no time limit here: it would hold for the whole browser
		t.Fatalf("browsertest: the browser does not start: %v", err)
	}
	if err := chromedp.Listen(ctx, p.note); err != nil {
		t.Fatalf("browsertest: %v", err)
	}
	run(p, "keeping the focus", func(ctx context.Context, t *chromedp.Target) (cdp.Empty, error) { // beside other windows
		return cdp.Call(ctx, t, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
	})
	p.Desk()
	return p
}

// Program returns the path of a Chromium.
func Program() (string, error) {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome-stable", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", errors.New("no Chromium in PATH")
}

// Root returns the folder of the module, so that a test finds tools/ wherever it runs.
func Root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		up := filepath.Dir(dir)
		if up == dir {
			t.Fatal("browsertest: no go.mod above the test's folder")
		}
		dir = up
	}
}

// do runs steps within patience.
func (p *Page) do(what string, steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.t.Fatalf("browsertest: %s: %v", what, err)
	}
}

func run[T any](p *Page, what string, action chromedp.Action[T]) T {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	v, err := chromedp.Run(ctx, action)
	if err != nil {
		p.t.Fatalf("browsertest: %s: %v", what, err)
	}
	return v
}

// Eval evaluates a JavaScript expression in the page, waiting for a promise, and returns its value.
func Eval[T any](p *Page, expression string) T {
	p.t.Helper()
	return run(p, "evaluating "+clip(expression), chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}

func clip(s string) string {
	if len(s) > 80 {
		return s[:80] + "…"
	}
	return s
}

// Trusting starts a browser of its own, as of a phone whose system was told to trust the certificate authority ca (DER): its home has
// a list of such, as certutil of Mozilla's NSS writes it. It and its page end with the test.
func Trusting(t testing.TB, ca []byte) *Page {
	t.Helper()
	program := needed(t)
	home := t.TempDir()
	list := filepath.Join(home, ".pki", "nssdb")
	file := filepath.Join(home, "ca.crt")
	if err := errors.Join(os.MkdirAll(list, 0o700), os.WriteFile(file, ca, 0o600)); err != nil {
		t.Fatalf("browsertest: %v", err)
	}
	for _, args := range [][]string{{"-N", "--empty-password"}, {"-A", "-t", "C,,", "-n", "trusted", "-i", file}} {
		if out, err := exec.Command("certutil", append([]string{"-d", "sql:" + list}, args...)...).CombinedOutput(); err != nil {
			t.Fatalf("browsertest: certutil: %v: %s\ninstall it (Debian: libnss3-tools)", err, out)
		}
	}
	allocator, stop := start(program, t.TempDir(), chromedp.Env("HOME="+home))
	t.Cleanup(stop)
	return tab(t, allocator)
}
