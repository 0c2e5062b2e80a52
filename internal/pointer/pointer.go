// Package pointer reads JSON documents and points into them by RFC 6901 (JSON Pointer). A document is a tree
// of map[string]any, []any, string, json.Number, bool and nil; numbers keep the digits they were written with.
package pointer

import (
	"strconv"
	"strings"
)

// Pointer is a parsed pointer: its reference tokens, unescaped. No tokens point at the whole document.
type Pointer []string

// Parse reads the text form, "" or "/a/0/b~1c". ok is false for anything else.
// Source: RFC 6901, 3 and 4.
func Parse(text string) (p Pointer, ok bool) {
	if text == "" {
		return Pointer{}, true
	}
	if text[0] != '/' {
		return nil, false
	}
	for _, token := range strings.Split(text[1:], "/") {
		plain, ok := unescape(token)
		if !ok {
			return nil, false
		}
		p = append(p, plain)
	}
	return p, true
}

// unescape turns ~1 into / and ~0 into ~; any other use of ~ is wrong.
func unescape(token string) (string, bool) {
	var b strings.Builder
	for i := 0; i < len(token); i++ {
		if token[i] != '~' {
			b.WriteByte(token[i])
			continue
		}
		i++
		switch {
		case i < len(token) && token[i] == '0':
			b.WriteByte('~')
		case i < len(token) && token[i] == '1':
			b.WriteByte('/')
		default:
			return "", false
		}
	}
	return b.String(), true
}

var escapes = strings.NewReplacer("~", "~0", "/", "~1")

// String returns the text form.
func (p Pointer) String() string {
	var b strings.Builder
	for _, token := range p {
		b.WriteString("/" + escapes.Replace(token))
	}
	return b.String()
}

// fragmentKeeps are the signs that a URI fragment holds as they are, beside letters and digits.
// Source: RFC 3986, 3.5: pchar, "/" and "?".
const fragmentKeeps = "-._~!$&'()*+,;=:@/?"

// Fragment returns the form that a URI's fragment has, with its #: "#/a%20b".
// Source: RFC 6901, 6.
func (p Pointer) Fragment() string {
	var b strings.Builder
	b.WriteByte('#')
	for _, c := range []byte(p.String()) {
		if c < 0x80 && (c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || strings.IndexByte(fragmentKeeps, c) >= 0) {
			b.WriteByte(c)
			continue
		}
		const hex = "0123456789ABCDEF"
		b.Write([]byte{'%', hex[c>>4], hex[c&15]})
	}
	return b.String()
}

// In returns what the pointer points at in a document; ok is false when there is nothing.
func (p Pointer) In(doc any) (value any, ok bool) {
	for _, token := range p {
		switch node := doc.(type) {
		case map[string]any:
			if doc, ok = node[token]; !ok {
				return nil, false
			}
		case []any:
			i, ok := index(token)
			if !ok || i >= len(node) {
				return nil, false
			}
			doc = node[i]
		default:
			return nil, false
		}
	}
	return doc, true
}

// index reads a place in an array: digits without a leading zero. "-", behind the end, points at nothing.
func index(token string) (int, bool) {
	if token == "" || len(token) > 9 || token[0] == '0' && token != "0" || strings.Trim(token, "0123456789") != "" {
		return 0, false
	}
	i, err := strconv.Atoi(token)
	return i, err == nil
}

// Below returns a pointer of p's tokens and more.
func (p Pointer) Below(tokens ...string) Pointer {
	return append(append(Pointer{}, p...), tokens...)
}

// Of turns a path of field names as faults write it ("lines[0].price") into a pointer. A name that holds a
// point or bracket itself is told by the document; what is not there is taken as it stands.
func Of(path string, doc any) Pointer {
	p := Pointer{}
	for path != "" {
		token, rest := next(path, doc)
		p, path = append(p, token), rest
		doc, _ = Pointer{token}.In(doc)
	}
	return p
}

func next(path string, doc any) (token, rest string) {
	if inner, ok := strings.CutPrefix(path, "["); ok {
		if i, after, ok := strings.Cut(inner, "]"); ok {
			return i, strings.TrimPrefix(after, ".")
		}
	}
	if members, ok := doc.(map[string]any); ok {
		longest := ""
		for name := range members {
			if after, ok := strings.CutPrefix(path, name); ok && len(name) > len(longest) && (after == "" || after[0] == '.' || after[0] == '[') {
				longest = name
			}
		}
		if longest != "" {
			return longest, strings.TrimPrefix(path[len(longest):], ".")
		}
	}
	end := strings.IndexAny(path[1:], ".[")
	if end < 0 {
		return path, ""
	}
	return path[:end+1], strings.TrimPrefix(path[end+1:], ".")
}
