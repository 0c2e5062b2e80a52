package gate

import (
	"bytes"
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"solander/people"
)

// Trim takes out of a page what who asks may not do: forms that would be refused, and links that would lead to a refusal. It goes by the
// same table as the refusal itself, so that no template need know a role. Of a page for an owner nothing is taken.
func (t Table) Trim(mux *http.ServeMux, who people.Who, page []byte) ([]byte, error) {
	if !who.Known() || who.Role == "owner" {
		return page, nil
	}
	doc, err := html.Parse(bytes.NewReader(page))
	if err != nil {
		return nil, err
	}
	may := func(method, address string) bool { return t.reaches(mux, who, method, address) }
	for _, n := range found(doc) {
		trim(n, may)
	}
	var out bytes.Buffer
	err = html.Render(&out, doc)
	return out.Bytes(), err
}

// reaches reports whether an address of these pages may be asked for so; others are no matter of the gate.
func (t Table) reaches(mux *http.ServeMux, who people.Who, method, address string) bool {
	u, err := url.Parse(address)
	if err != nil || u.IsAbs() || u.Host != "" || !strings.HasPrefix(u.Path, "/") {
		return true
	}
	row, ok := t.Match(mux, &http.Request{Method: method, URL: &url.URL{Path: u.Path}, Host: "localhost"})
	return !ok || row.May(who.Role)
}

// found are the elements that ask for something, in the order of the page.
func found(doc *html.Node) (out []*html.Node) {
	for n := range doc.Descendants() {
		if n.Type == html.ElementNode && slices.Contains([]atom.Atom{atom.A, atom.Form, atom.Button, atom.Input}, n.DataAtom) {
			out = append(out, n)
		}
	}
	return out
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func trim(n *html.Node, may func(method, address string) bool) {
	if n.Parent == nil {
		return // it went with what it stood in
	}
	switch n.DataAtom {
	case atom.A:
		if to := attribute(n, "href"); to != "" && !may(http.MethodGet, to) {
			unlink(n)
		}
	case atom.Form:
		method := strings.ToUpper(attribute(n, "method"))
		if to := attribute(n, "action"); to != "" && !may(cmp.Or(method, http.MethodGet), to) {
			remove(n)
		}
	default:
		if to := attribute(n, "formaction"); to != "" && !may(http.MethodPost, to) {
			remove(n)
		}
	}
}

// unlink leaves the words of a link; one that was alone in an item of a list goes with it, and so does one that looks like a button.
func unlink(a *html.Node) {
	li := a.Parent
	alone := li.DataAtom == atom.Li && strings.TrimSpace(text(li)) == strings.TrimSpace(text(a))
	switch {
	case alone:
		remove(li)
	case strings.Contains(attribute(a, "class"), "button"):
		remove(a)
	default:
		span := &html.Node{Type: html.ElementNode, DataAtom: atom.Span, Data: "span"}
		for c := a.FirstChild; c != nil; c = a.FirstChild {
			a.RemoveChild(c)
			span.AppendChild(c)
		}
		a.Parent.InsertBefore(span, a)
		remove(a)
	}
}

func text(n *html.Node) string {
	var b strings.Builder
	for c := range n.Descendants() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
		}
	}
	return b.String()
}

// remove takes an element out, and a fold that it leaves with its summary alone.
func remove(n *html.Node) {
	up := n.Parent
	up.RemoveChild(n)
	if up.DataAtom != atom.Details {
		return
	}
	for c := up.FirstChild; c != nil; c = c.NextSibling {
		if c.Type == html.ElementNode && c.DataAtom != atom.Summary || c.Type == html.TextNode && strings.TrimSpace(c.Data) != "" {
			return
		}
	}
	if up.Parent != nil {
		up.Parent.RemoveChild(up)
	}
}
