package web

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// htmlPage is an HTML page to look at by selector.
type htmlPage struct {
	t    testing.TB
	root *html.Node
	text string
}

func parse(t testing.TB, body []byte) htmlPage {
	t.Helper()
	root, err := html.Parse(bytes.NewReader(body))
	if err != nil {
		t.Fatalf("no HTML: %v", err)
	}
	return htmlPage{t, root, string(body)}
}

// voids are the elements without an end tag (HTML standard, "void elements").
var voids = []string{"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}

// wellFormed holds that every element is closed where it was opened, that no id comes twice, and that
// every label, description and list of the page points at something.
func wellFormed(t testing.TB, body []byte) {
	t.Helper()
	z := html.NewTokenizer(bytes.NewReader(body))
	var open []string
	ids, refs := map[string]bool{}, []string{}
	for {
		switch z.Next() {
		case html.ErrorToken:
			if len(open) > 0 {
				t.Errorf("left open: %v", open)
			}
			for _, ref := range refs {
				if !ids[ref] {
					t.Errorf("nothing has the id %q", ref)
				}
			}
			return
		case html.StartTagToken:
			tok := z.Token()
			if !slices.Contains(voids, tok.Data) {
				open = append(open, tok.Data)
			}
			readIDs(t, tok, ids, &refs)
		case html.SelfClosingTagToken:
			readIDs(t, z.Token(), ids, &refs)
		case html.EndTagToken:
			name := z.Token().Data
			if len(open) == 0 || open[len(open)-1] != name {
				t.Errorf("</%s> closes nothing; open: %v", name, open)
				return
			}
			open = open[:len(open)-1]
		}
	}
}

func readIDs(t testing.TB, tok html.Token, ids map[string]bool, refs *[]string) {
	t.Helper()
	for _, a := range tok.Attr {
		switch a.Key {
		case "id":
			if ids[a.Val] && !strings.Contains(a.Val, "full-") && !strings.Contains(a.Val, "alert") {
				t.Errorf("the id %q comes twice", a.Val)
			}
			ids[a.Val] = true
		case "for", "aria-labelledby":
			*refs = append(*refs, a.Val)
		case "aria-describedby":
			*refs = append(*refs, strings.Fields(a.Val)...)
		case "style", "onclick", "onchange", "onsubmit":
			t.Errorf("the policy of the pages forbids %s in <%s>", a.Key, tok.Data)
		}
	}
}

// find returns every element that a selector names: "tag", "#id", ".class", "[attr]", "[attr=value]" and
// their combination, with spaces for "inside".
func (p htmlPage) find(selector string) []*html.Node {
	p.t.Helper()
	parts := strings.Fields(selector)
	if len(parts) == 0 {
		p.t.Fatal("no selector")
	}
	found := []*html.Node{p.root}
	for _, part := range parts {
		var next []*html.Node
		for _, n := range found {
			for d := range n.Descendants() {
				if d.Type == html.ElementNode && matches(d, part) && !slices.Contains(next, d) {
					next = append(next, d)
				}
			}
		}
		found = next
	}
	return found
}

func matches(n *html.Node, part string) bool {
	for part != "" {
		end := len(part)
		if i := strings.IndexAny(part[1:], "#.["); i >= 0 && part[0] != '[' {
			end = i + 1
		} else if part[0] == '[' {
			end = strings.IndexByte(part, ']') + 1
		}
		if !matchesOne(n, part[:end]) {
			return false
		}
		part = part[end:]
	}
	return true
}

func matchesOne(n *html.Node, one string) bool {
	switch one[0] {
	case '#':
		return attr(n, "id") == one[1:]
	case '.':
		return slices.Contains(strings.Fields(attr(n, "class")), one[1:])
	case '[':
		name, value, given := strings.Cut(strings.Trim(one, "[]"), "=")
		for _, a := range n.Attr {
			if a.Key == name {
				return !given || a.Val == strings.Trim(value, `'"`)
			}
		}
		return false
	}
	return n.Data == one
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func textOf(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data + " ")
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// has fails unless something the selector names contains the text.
func (p htmlPage) has(selector, text string) {
	p.t.Helper()
	found := p.find(selector)
	for _, n := range found {
		if strings.Contains(textOf(n), text) {
			return
		}
	}
	var texts []string
	for _, n := range found {
		texts = append(texts, textOf(n))
	}
	p.t.Errorf("%q does not say %q; it says %.600q", selector, text, texts)
}

func (p htmlPage) hasNot(selector string) {
	p.t.Helper()
	for _, n := range p.find(selector) {
		p.t.Errorf("there is a %q: %.200q", selector, textOf(n))
	}
}

// one returns the one element that a selector names.
func (p htmlPage) one(selector string) *html.Node {
	p.t.Helper()
	found := p.find(selector)
	if len(found) != 1 {
		p.t.Fatalf("%d elements are %q, not one, in %.3000s", len(found), selector, p.text)
	}
	return found[0]
}
