package hook

import (
	"slices"
	"strings"

	"solander/fault"
	"solander/internal/pointer"
)

// Needed reports whether a mapping must name a field of an order, or of a print: "ref", "edition".
func Needed(field string) bool { return field == "edition" || slices.Contains(orderNeeds, field) }

// Parts is a source as it is put together from choices: a text, then what stands at one place, then, behind a space, what stands at
// another one. A text alone is the same in every message.
type Parts struct {
	Before        string
	First, Second string // JSON Pointers; "" = nothing
}

// PartsOf takes a source apart; ok is false for one that is put together otherwise.
func PartsOf(text string) (p Parts, ok bool) {
	s, err := parseSource(text)
	if err != nil {
		return p, false
	}
	var at []string
	for i, piece := range s {
		switch {
		case piece.at != nil:
			at = append(at, piece.at.String())
		case i == 0:
			p.Before = piece.text
		case piece.text != "" && (piece.text != " " || len(at) != 1 || i == len(s)-1):
			return Parts{}, false
		case piece.text == "" && len(at) == 1 && i < len(s)-1:
			return Parts{}, false // no space between the two
		}
	}
	if len(at) > 2 || slices.Contains(at, "") {
		return Parts{}, false
	}
	if len(at) > 0 {
		p.First = at[0]
	}
	if len(at) > 1 {
		p.Second = at[1]
	}
	return p, true
}

// Source puts the parts together. Faults: Invalid for a text that would be read as a place.
func (p Parts) Source() (string, error) {
	if p.First == "" {
		p.First, p.Second = p.Second, ""
	}
	for _, at := range []string{p.First, p.Second} {
		if _, ok := pointer.Parse(at); !ok {
			return "", badPointer(at)
		}
	}
	if p.Before == "" && p.Second == "" {
		return p.First, nil
	}
	if strings.HasPrefix(p.Before, "/") {
		return "", fault.New(fault.Invalid, "a text that is put before cannot begin with /").ToMend("begin it with another sign")
	}
	text := strings.NewReplacer("{", "{{", "}", "}}").Replace(p.Before)
	if p.First != "" {
		text += "{" + p.First + "}"
	}
	if p.Second != "" {
		text += " {" + p.Second + "}"
	}
	if back, ok := PartsOf(text); !ok || back != p {
		return "", fault.New(fault.Invalid, "a } in the name of a place cannot be put together with another text").ToMend("choose the place alone")
	}
	return text, nil
}

// Names are what a message calls the prints in it, each once: the texts to give the numbers of editions for. None for a message in
// which the mapping finds no prints.
func (m Mapping) Names(message []byte) []string {
	doc, err := pointer.Document(message)
	at, ok := pointer.Parse(m.Lines)
	src, bad := parseSource(m.Line["edition"])
	if err != nil || !ok || bad != nil {
		return nil
	}
	found, _ := at.In(doc)
	items, _ := found.([]any)
	var out []string
	for _, item := range items[:min(len(items), mostLines)] {
		if text, _, bad := src.in(item); bad == nil && text != "" && !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}
