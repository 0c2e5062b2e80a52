package browsertest

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// Go opens an address and waits until the page has loaded.
func (p *Page) Go(url string) {
	p.t.Helper()
	p.do("opening "+url, chromedp.Navigate(url))
}

// Desk makes the page 1280 × 900 pixels.
func (p *Page) Desk() {
	p.t.Helper()
	p.Wide(1280)
}

// Phone makes the page 390 × 844 pixels, touched and held upright.
func (p *Page) Phone() {
	p.t.Helper()
	p.Wide(390)
}

// Wide makes the page so many pixels wide: below 600 as a phone's, touched and held upright, else as a desk's.
func (p *Page) Wide(pixels int64) {
	p.t.Helper()
	if pixels < 600 {
		p.do("size of a phone", chromedp.EmulateViewport(pixels, 844, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulatePortrait))
		return
	}
	p.do("size of a desk", chromedp.EmulateViewport(pixels, 900))
}

// Script switches the JavaScript of pages on or off; it holds for pages opened from now on.
func (p *Page) Script(on bool) {
	p.t.Helper()
	run(p, "switching JavaScript", func(ctx context.Context, t *chromedp.Target) (cdp.Empty, error) {
		return cdp.Call(ctx, t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !on})
	})
}

// Before runs a script in every page from now on, before its own.
func (p *Page) Before(script string) {
	p.t.Helper()
	run(p, "a script before those of the page", func(ctx context.Context, t *chromedp.Target) (page.AddScriptToEvaluateOnNewDocumentResult, error) {
		return cdp.Call(ctx, t, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
	})
}

// Media shows the page as on "screen" or as in "print".
func (p *Page) Media(kind string) {
	p.t.Helper()
	run(p, "medium "+kind, func(ctx context.Context, t *chromedp.Target) (cdp.Empty, error) {
		return cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: kind})
	})
}

// Dark tells pages that the person prefers dark colours, or no longer does.
func (p *Page) Dark(on bool) {
	p.t.Helper()
	scheme := "light"
	if on {
		scheme = "dark"
	}
	run(p, "colours of a "+scheme+" page", func(ctx context.Context, t *chromedp.Target) (cdp.Empty, error) {
		return cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		})
	})
}

// Click clicks the first element that the CSS selector finds, once it is visible.
func (p *Page) Click(selector string) {
	p.t.Helper()
	p.do("clicking "+selector, chromedp.Click(chromedp.CSS(selector), chromedp.NodeVisible))
}

// ClickTo clicks and waits until the page that it leads to has loaded; it returns the HTTP status.
func (p *Page) ClickTo(selector string) int {
	p.t.Helper()
	return p.leads("clicking "+selector, chromedp.Click(chromedp.CSS(selector), chromedp.NodeVisible))
}

// Press presses keys one after the other: "Tab", "Shift+Tab", "Enter", "Escape", "Space", "ArrowDown",
// "Ctrl+a", or a single character.
func (p *Page) Press(keys ...string) {
	p.t.Helper()
	for _, key := range keys {
		p.do("pressing "+key, p.key(key))
	}
}

// PressTo presses a key and waits until the page that it leads to has loaded; it returns the HTTP status.
func (p *Page) PressTo(key string) int {
	p.t.Helper()
	return p.leads("pressing "+key, p.key(key))
}

// Type types text into whatever has the focus.
func (p *Page) Type(text string) {
	p.t.Helper()
	p.do("typing "+text, chromedp.KeyEvent(text))
}

// Fill gives a field its value as if typed; what it held is replaced.
func (p *Page) Fill(selector, text string) {
	p.t.Helper()
	field := chromedp.CSS(selector)
	p.do("filling "+selector, chromedp.Clear(field), chromedp.SendKeys(field, text))
}

// Upload gives a field of files the files at these paths, as if chosen by hand.
func (p *Page) Upload(selector string, files ...string) {
	p.t.Helper()
	p.do("choosing files in "+selector, chromedp.SetUploadFiles(chromedp.CSS(selector), files))
}

// Offline cuts the page off from every network, from now on.
func (p *Page) Offline() {
	p.t.Helper()
	run(p, "cutting it off", func(ctx context.Context, t *chromedp.Target) (network.EmulateNetworkConditionsByRuleResult, error) {
		if _, err := cdp.Call(ctx, t, network.Enable, network.EnableParams{}); err != nil {
			return network.EmulateNetworkConditionsByRuleResult{}, err
		}
		return cdp.Call(ctx, t, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
			MatchedNetworkConditions: []*network.Conditions{{Offline: true, DownloadThroughput: -1, UploadThroughput: -1}},
		})
	})
}

// Wait waits until the CSS selector finds a visible element.
func (p *Page) Wait(selector string) {
	p.t.Helper()
	p.do("waiting for "+selector, chromedp.WaitVisible(chromedp.CSS(selector)))
}

// Text returns the visible text of the first element that the selector finds.
func (p *Page) Text(selector string) string {
	p.t.Helper()
	return run(p, "reading "+selector, chromedp.Text(chromedp.CSS(selector)))
}

// Count returns how many elements the selector finds now.
func (p *Page) Count(selector string) int {
	p.t.Helper()
	return Eval[int](p, fmt.Sprintf("document.querySelectorAll(%q).length", selector))
}

// URL returns the address of the page.
func (p *Page) URL() string {
	p.t.Helper()
	return run(p, "reading the address", chromedp.Location())
}

// Title returns the title of the page.
func (p *Page) Title() string {
	p.t.Helper()
	return run(p, "reading the title", chromedp.Title())
}

// Focused describes the element that has the focus: "button#save.main Save", or "body" for none.
func (p *Page) Focused() string {
	p.t.Helper()
	return Eval[string](p, `(async () => {
		const first = document.querySelector("[autofocus]")
		for (let left = 500; first && document.activeElement === document.body && left > 0; left--)
			await new Promise(done => setTimeout(done, 10)) // it gets the focus when the page is first drawn
		const e = document.activeElement || document.body
		return [e.localName + (e.id && "#" + e.id) + (e.name ? "[name=" + e.name + "]" : "") +
			[...e.classList].map(c => "." + c).join(""), e === document.body ? "" : (e.innerText || e.value || "").trim().slice(0, 60)]
			.filter(Boolean).join(" ")
	})()`)
}

// WiderThanItsWindow reports whether the page must be scrolled sideways to be read.
func (p *Page) WiderThanItsWindow() bool {
	p.t.Helper()
	return Eval[bool](p, "document.documentElement.scrollWidth > document.documentElement.clientWidth")
}

// Shot writes a picture of the whole page to a PNG file, whose folder it makes.
func (p *Page) Shot(file string) {
	p.t.Helper()
	png := run(p, "taking a picture", chromedp.FullScreenshot(100))
	if !bytes.HasPrefix(png, []byte("\x89PNG")) {
		p.t.Fatalf("browsertest: the picture for %s is no PNG", file)
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		p.t.Fatal(err)
	}
	if err := os.WriteFile(file, png, 0o644); err != nil {
		p.t.Fatal(err)
	}
}

// PDF returns the page as it would be printed on Letter paper.
func (p *Page) PDF() []byte {
	p.t.Helper()
	return run(p, "printing", chromedp.PrintToPDF(chromedp.PDFPrintBackground()))
}

// Messages returns the exceptions, and the warnings and errors of the console, since the page was opened.
func (p *Page) Messages() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]string(nil), p.messages...)
}

func (p *Page) note(event any) {
	text := ""
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		text = e.ExceptionDetails.Text
		if e.ExceptionDetails.Exception != nil {
			text += " " + e.ExceptionDetails.Exception.Description
		}
	case *runtime.EventConsoleAPICalled:
		if e.Type != runtime.ConsoleAPICalledTypeError && e.Type != runtime.ConsoleAPICalledTypeWarning && e.Type != runtime.ConsoleAPICalledTypeAssert {
			return
		}
		for _, arg := range e.Args {
			text += strings.Trim(string(arg.Value), `"`) + " "
		}
	case *log.EventEntryAdded:
		if e.Entry.Level != log.EntryLevelError && e.Entry.Level != log.EntryLevelWarning {
			return
		}
		text = e.Entry.Text + " " + e.Entry.URL
	default:
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.messages = append(p.messages, strings.TrimSpace(text))
}

func (p *Page) leads(what string, step chromedp.Action[chromedp.Void]) int {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	response, err := chromedp.RunResponse(ctx, step)
	if err != nil {
		p.t.Fatalf("browsertest: %s and waiting for the page it leads to: %v", what, err)
	}
	if response == nil {
		p.t.Fatalf("browsertest: %s led to no page", what)
	}
	return int(response.Status)
}

var keyNames = map[string]string{
	"Tab": kb.Tab, "Enter": kb.Enter, "Escape": kb.Escape, "Space": " ", "Backspace": kb.Backspace, "Delete": kb.Delete,
	"ArrowDown": kb.ArrowDown, "ArrowUp": kb.ArrowUp, "ArrowLeft": kb.ArrowLeft, "ArrowRight": kb.ArrowRight,
	"Home": kb.Home, "End": kb.End, "PageDown": kb.PageDown, "PageUp": kb.PageUp,
}

var modifiers = map[string]kb.Modifier{"Shift": kb.ModifierShift, "Ctrl": kb.ModifierCtrl, "Alt": kb.ModifierAlt}

func (p *Page) key(name string) chromedp.Action[chromedp.Void] {
	p.t.Helper()
	held := kb.ModifierNone
	for {
		before, after, ok := strings.Cut(name, "+")
		m, known := modifiers[before]
		if !ok || !known {
			break
		}
		held, name = held|m, after
	}
	key := name
	if len([]rune(name)) != 1 {
		var known bool
		if key, known = keyNames[name]; !known {
			p.t.Fatalf("browsertest: no key is called %q", name)
		}
	}
	return chromedp.KeyEvent(key, chromedp.KeyModifiers(held))
}
