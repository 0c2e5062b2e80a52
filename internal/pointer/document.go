package pointer

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"unicode/utf8"

	"solander/fault"
)

// maxDepth bounds nesting, so that hostile input cannot exhaust the stack.
const maxDepth = 64

// Document reads one JSON document. Faults: Invalid for broken UTF-8, broken JSON, a name that an object has
// twice, nesting beyond 64, and text behind the document.
func Document(data []byte) (any, error) {
	if !utf8.Valid(data) {
		return nil, fault.New(fault.Invalid, "the text is not valid UTF-8").ToMend("send it as UTF-8")
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	doc, err := value(dec, 0)
	if err != nil {
		return nil, broken(dec, err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return nil, fault.New(fault.Invalid, "something follows the JSON value").At("near byte %d", dec.InputOffset()).ToMend("send one value")
	}
	return doc, nil
}

func broken(dec *json.Decoder, err error) error {
	var f *fault.Error
	if errors.As(err, &f) {
		return f.At("near byte %d", dec.InputOffset())
	}
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		err = errors.New("it ends too early")
	}
	return fault.New(fault.Invalid, "this is not JSON: %v", err).At("near byte %d", dec.InputOffset()).ToMend("check brackets, commas and quotes").Because(err)
}

func value(dec *json.Decoder, depth int) (any, error) {
	if depth > maxDepth {
		return nil, fault.New(fault.Invalid, "it is nested too deeply").ToMend("send it flatter")
	}
	token, err := dec.Token()
	if err != nil {
		return nil, err
	}
	switch token {
	case json.Delim('{'):
		return object(dec, depth)
	case json.Delim('['):
		return array(dec, depth)
	}
	return token, nil
}

func object(dec *json.Decoder, depth int) (any, error) {
	out := map[string]any{}
	for dec.More() {
		token, err := dec.Token()
		if err != nil {
			return nil, err
		}
		name, ok := token.(string)
		if !ok {
			return nil, fault.New(fault.Invalid, "a name in an object is no text").ToMend("put names in quotes")
		}
		if _, twice := out[name]; twice {
			return nil, fault.Invalidf(name, "the name %q stands twice in one object", fault.Clip(name)).ToMend("keep one of them")
		}
		if out[name], err = value(dec, depth+1); err != nil {
			return nil, err
		}
	}
	_, err := dec.Token()
	return out, err
}

func array(dec *json.Decoder, depth int) (any, error) {
	out := []any{}
	for dec.More() {
		v, err := value(dec, depth+1)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	_, err := dec.Token()
	return out, err
}
