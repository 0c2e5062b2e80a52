package hook

import (
	"encoding/json"
	"strings"

	"solander/fault"
	"solander/internal/pointer"
)

// source is a parsed source: pieces of text and pointers in turn.
type source []piece

type piece struct {
	text string
	at   pointer.Pointer // nil = text
}

// parseSource reads a pointer or a template. In a template "{{" and "}}" stand for the signs themselves.
// Faults: Invalid.
func parseSource(text string) (source, *fault.Error) {
	if len(text) > mostSources {
		return nil, fault.New(fault.Invalid, "it is longer than %d characters", mostSources).ToMend("shorten it")
	}
	if strings.HasPrefix(text, "/") {
		p, ok := pointer.Parse(text)
		if !ok {
			return nil, badPointer(text)
		}
		return source{{at: p}}, nil
	}
	return parseTemplate(text)
}

func parseTemplate(text string) (source, *fault.Error) {
	var out source
	var plain strings.Builder
	for i := 0; i < len(text); i++ {
		c := text[i]
		switch {
		case (c == '{' || c == '}') && i+1 < len(text) && text[i+1] == c:
			plain.WriteByte(c)
			i++
		case c == '}':
			return nil, fault.New(fault.Invalid, "a } closes nothing").ToMend("write }} for the sign itself")
		case c == '{':
			inner, _, closed := strings.Cut(text[i+1:], "}")
			if !closed {
				return nil, fault.New(fault.Invalid, "a { is not closed").ToMend("write {/name}, or {{ for the sign itself")
			}
			p, ok := pointer.Parse(inner)
			if !ok {
				return nil, badPointer(inner)
			}
			out = append(out, piece{text: plain.String()}, piece{at: p})
			plain.Reset()
			i += len(inner) + 1
		default:
			plain.WriteByte(c)
		}
	}
	return append(out, piece{text: plain.String()}), nil
}

func badPointer(text string) *fault.Error {
	return fault.New(fault.Invalid, "%q is no JSON Pointer", fault.Clip(text)).ToMend("write it like /customer/name; ~ is written ~0 and / within a name ~1")
}

// in returns the text that a source gives in a document and the first place that it looks at, nil for none.
// What does not stand there gives no text. Faults: Invalid when an object or a list stands there.
func (s source) in(doc any) (text string, at pointer.Pointer, f *fault.Error) {
	var b strings.Builder
	for _, p := range s {
		if p.at == nil {
			b.WriteString(p.text)
			continue
		}
		if at == nil {
			at = p.at
		}
		v, _ := p.at.In(doc)
		switch v := v.(type) {
		case nil:
		case string:
			b.WriteString(v)
		case json.Number:
			b.WriteString(v.String())
		case bool:
			if v {
				b.WriteString("true")
			} else {
				b.WriteString("false")
			}
		default:
			return "", at, fault.New(fault.Invalid, "an object or a list stands there, not a text").ToMend("point at a text or a number within it")
		}
	}
	return strings.TrimSpace(b.String()), at, nil
}
