package web

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"solander/internal/browsertest"
)

// overlaps measures the boxes of all lines of text that can be seen and returns each pair of which one lies over
// the other, as "text / text". A box is clipped to whatever scrolls or hides it (CSSOM View, getClientRects; CSS
// Overflow 3). Lines of one text node may touch, and so may boxes by a quarter of their height: a line's box is
// higher than its letters.
const overlaps = `(() => {
	const clip = (q, e) => {
		let r = {left: q.left, right: q.right, top: q.top, bottom: q.bottom};
		for (let a = e; a && a !== document.documentElement; a = a.parentElement) {
			const s = getComputedStyle(a);
			if (s.overflowX === "visible" && s.overflowY === "visible") continue;
			const c = a.getBoundingClientRect();
			r = {left: Math.max(r.left, c.left), right: Math.min(r.right, c.right), top: Math.max(r.top, c.top), bottom: Math.min(r.bottom, c.bottom)};
		}
		return r;
	};
	const boxes = [];
	const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	let node, n = 0;
	while ((node = walk.nextNode())) {
		const e = node.parentElement;
		if (!node.textContent.trim() || e.closest("option,script,style,.aloud,.skip") || !e.checkVisibility({visibilityProperty: true})) continue;
		let hidden = false;
		for (let a = e; a; a = a.parentElement) if (getComputedStyle(a).clipPath !== "none") hidden = true;
		if (hidden) continue;
		const range = document.createRange();
		range.selectNodeContents(node);
		n++;
		for (const q of range.getClientRects()) {
			const r = clip(q, e);
			if (r.right - r.left > 2 && r.bottom - r.top > 2) boxes.push({...r, n, text: node.textContent.trim().slice(0, 40)});
		}
	}
	boxes.sort((a, b) => a.top - b.top);
	const found = [];
	for (let i = 0; i < boxes.length; i++) for (let j = i + 1; j < boxes.length && boxes[j].top < boxes[i].bottom; j++) {
		const a = boxes[i], b = boxes[j];
		if (a.n === b.n) continue;
		if (Math.min(a.right, b.right) - Math.max(a.left, b.left) > 2 && Math.min(a.bottom, b.bottom) - b.top > Math.max(5, Math.min(a.bottom - a.top, b.bottom - b.top) / 4)) found.push(a.text + " / " + b.text);
	}
	return {count: boxes.length, found: [...new Set(found)]};
})()`

// lapped is what overlaps tells.
type lapped struct {
	Count int      `json:"count"`
	Found []string `json:"found"`
}

// apart fails when two texts of a page lie over one another at any of the widths of a large and a small screen, a tablet and two
// phones, folds open.
func apart(t *testing.T, p *browsertest.Page, address, path string) {
	t.Helper()
	p.Desk()
	p.Go(address + path)
	overlapping(t, p, path)
}

// overlapping does so for the page that is open.
func overlapping(t *testing.T, p *browsertest.Page, path string) {
	t.Helper()
	for _, size := range []int64{1920, 1280, 768, 390, 320} {
		p.Wide(size)
		browsertest.Eval[bool](p, `(document.querySelectorAll("details").forEach(d => d.open = true), document.fonts.ready.then(() => true))`)
		m := browsertest.Eval[lapped](p, overlaps)
		if m.Count < 5 {
			t.Errorf("%s at a width of %d: %d lines of text were measured", path, size, m.Count)
		}
		for _, pair := range m.Found {
			t.Errorf("%s at a width of %d: texts overlap: %s", path, size, pair)
		}
	}
}

// readable reports whether a path leads to a page of HTML.
func readable(path string) bool {
	return !strings.HasPrefix(path, "/papers/") && !strings.Contains(path, "/picture/") && !strings.Contains(path, "/photos/") && path != "/studio/backup" && !strings.HasPrefix(path, "/orders/new/buyers") && path != "/studio/export" && !strings.Contains(path, ".css") && !strings.Contains(path, ".json") && !strings.Contains(path, ".ics") && !strings.Contains(path, ".csv") && !strings.Contains(path, ".vcf") && !strings.Contains(path, ".pdf") && !strings.HasSuffix(path, ".zip") && !strings.HasSuffix(path, ".txt") && !strings.HasSuffix(path, ".eml")
}

// shapes returns the pages that links lead to from the bench of a site, a few of each shape: numbers and marks in a
// path are left out of it.
func shapes(t *testing.T, s *site, few int) []string {
	t.Helper()
	var out []string
	seen, of := map[string]bool{}, map[string]int{}
	queue := []string{"/"}
	for len(queue) > 0 {
		path := queue[0]
		queue = queue[1:]
		shape := shapeOf.ReplaceAllString(path, "N")
		if seen[path] || of[shape] >= few || !readable(path) {
			continue
		}
		seen[path] = true
		a := s.get(path)
		if a.status != 200 || a.root == nil {
			continue
		}
		of[shape]++
		out = append(out, path)
		for _, link := range a.find("a[href]") {
			to, _, _ := strings.Cut(attr(link, "href"), "#")
			if strings.HasPrefix(to, "/") {
				queue = append(queue, to)
			}
		}
	}
	if len(out) < 25 {
		t.Fatalf("only %d pages were found: %v", len(out), out)
	}
	return out
}

var shapeOf = regexp.MustCompile(`[A-Z]+-\d+|\d+|=[^&]*`)

// No two texts lie over one another on any page of the invented studio. Of pages that it does not lead to (files brought in, feeds, set-up,
// what went wrong) TestEveryPageInTheBrowser sees it.
func TestTextsOfTheDemoAreApart(t *testing.T) {
	t.Parallel()
	st := pictured(t)
	s := &site{t: t, studio: st, handler: New(st, Options{Demo: true}), log: &bytes.Buffer{}}
	p, base := s.open()
	for _, path := range shapes(t, s, 2) {
		apart(t, p, base, path)
	}
}
