package browsertest_test

import (
	"bytes"
	"fmt"
	"image/png"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/internal/browsertest"
)

// The pages served: a sound one, one with known faults of accessibility, and what the form leads to.
const (
	sound = `<!doctype html><html lang="en"><head><title>Drawer</title><meta name="viewport" content="width=device-width">
<style>body{font:16px serif} @media print{nav{display:none}}</style></head><body>
<header><nav aria-label="rooms"><a id="bench" href="/answer">Bench</a></nav></header>
<main><h1>Drawer</h1><p id="by">plain</p><p id="width"></p>
<form action="/answer"><label>Number <input name="number" id="number" value="3"></label><button id="save">Save</button></form></main>
<script>document.getElementById("by").textContent = "script"; document.getElementById("width").textContent = innerWidth;
console.error("the drawer sticks")</script></body></html>`
	faulty = `<!doctype html><html><head><title>Faulty</title></head><body><main><h1>Faulty</h1>
<img src="data:image/gif;base64,R0lGODlhAQABAAAAACH5BAEKAAEALAAAAAABAAEAAAICTAEAOw=="><input name="number">
<p style="color:#bbb;background:#fff">faint words</p></main></body></html>`
)

func serve(t *testing.T) string {
	t.Helper()
	mux := http.NewServeMux()
	page := func(path, html string) {
		mux.HandleFunc(path, func(w http.ResponseWriter, r *http.Request) {
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			fmt.Fprint(w, html)
		})
	}
	page("/sound", sound)
	page("/faulty", faulty)
	mux.HandleFunc("/answer", func(w http.ResponseWriter, r *http.Request) {
		if r.FormValue("number") == "" {
			w.WriteHeader(http.StatusUnprocessableEntity)
		}
		fmt.Fprintf(w, "<!doctype html><title>Answer</title><p id=got>number %s</p>", r.FormValue("number"))
	})
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	return server.URL
}

func TestPageIsDrivenByHand(t *testing.T) {
	base := serve(t)
	p := browsertest.Open(t)
	p.Go(base + "/sound")
	if p.Title() != "Drawer" || p.Text("#by") != "script" || p.Text("#width") != "1280" || p.Count("button") != 1 {
		t.Errorf("title %q, written by %q, width %q, %d buttons", p.Title(), p.Text("#by"), p.Text("#width"), p.Count("button"))
	}
	if m := strings.Join(p.Messages(), "; "); !strings.Contains(m, "the drawer sticks") {
		t.Errorf("the console says %q", m)
	}

	p.Fill("#number", "17")
	if status := p.ClickTo("#save"); status != http.StatusOK || p.Text("#got") != "number 17" {
		t.Errorf("by mouse: %d, %q at %s", status, p.Text("#got"), p.URL())
	}

	p.Go(base + "/sound")
	p.Press("Tab")
	if f := p.Focused(); f != "a#bench Bench" {
		t.Errorf("the first Tab leads to %q", f)
	}
	p.Press("Tab", "Ctrl+a", "Backspace")
	p.Type("23")
	p.Press("Tab")
	if f := p.Focused(); f != "button#save Save" {
		t.Errorf("the third Tab leads to %q", f)
	}
	p.Press("Shift+Tab")
	if status := p.PressTo("Enter"); status != http.StatusOK || p.Text("#got") != "number 23" {
		t.Errorf("by keyboard: %d, %q at %s", status, p.Text("#got"), p.URL())
	}

	p.Go(base + "/sound")
	if status := p.ClickTo("#bench"); status != http.StatusUnprocessableEntity {
		t.Errorf("a refusal shows as %d", status)
	}
}

func TestScriptOffAndPhone(t *testing.T) {
	base := serve(t)
	p := browsertest.Open(t)
	p.Script(false)
	p.Phone()
	p.Go(base + "/sound")
	if by := p.Text("#by"); by != "plain" {
		t.Errorf("with JavaScript off the page was written by %q", by)
	}
	if f := p.Count("form"); f != 1 {
		t.Errorf("%d forms", f)
	}
	p.Fill("#number", "5")
	if status := p.ClickTo("#save"); status != http.StatusOK || p.Text("#got") != "number 5" {
		t.Errorf("with JavaScript off: %d, %q", status, p.Text("#got"))
	}
	p.Script(true)
	p.Go(base + "/sound")
	if by, width := p.Text("#by"), p.Text("#width"); by != "script" || width != "390" {
		t.Errorf("with JavaScript on again: by %q, width %q", by, width)
	}
	if p.WiderThanItsWindow() {
		t.Error("the page is wider than the phone")
	}
	browsertest.Eval[any](p, `document.body.style.width = "2000px"`)
	if !p.WiderThanItsWindow() {
		t.Error("a page of 2000 pixels fits the phone")
	}
}

func TestAxeFindsKnownFaults(t *testing.T) {
	base := serve(t)
	p := browsertest.Open(t)
	p.Go(base + "/sound")
	p.MustBeAccessible()
	p.Go(base + "/faulty")
	found := map[string]bool{}
	for _, v := range p.Axe() {
		found[v.ID] = true
		if v.Help == "" || len(v.Nodes) == 0 || !strings.Contains(v.String(), v.ID) {
			t.Errorf("a violation that tells nothing: %+v", v)
		}
	}
	for _, id := range []string{"html-has-lang", "image-alt", "label", "color-contrast"} {
		if !found[id] {
			t.Errorf("axe does not find %s; it finds %v", id, found)
		}
	}
}

func TestPictureAndPrint(t *testing.T) {
	base := serve(t)
	p := browsertest.Open(t)
	p.Go(base + "/sound")
	file := filepath.Join(t.TempDir(), "deep", "drawer.png")
	p.Shot(file)
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.DecodeConfig(bytes.NewReader(b))
	if err != nil || img.Width != 1280 || img.Height < 900 {
		t.Errorf("the picture is %d × %d, %v", img.Width, img.Height, err)
	}
	if pdf := p.PDF(); !bytes.HasPrefix(pdf, []byte("%PDF-")) || len(pdf) < 1000 {
		t.Errorf("printed %d bytes: %.20q", len(pdf), pdf)
	}
	p.Media("print")
	if shown := browsertest.Eval[string](p, "getComputedStyle(document.querySelector('nav')).display"); shown != "none" {
		t.Errorf("in print the rooms are shown as %q", shown)
	}
	other := p.Another()
	other.Go(base + "/faulty")
	if p.Title() != "Drawer" || other.Title() != "Faulty" {
		t.Errorf("two pages: %q and %q", p.Title(), other.Title())
	}
}
