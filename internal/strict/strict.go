// Package strict reads JSON into Go values and refuses what it does not know: an unknown or repeated
// field, a wrong type, broken UTF-8, text after the value. Every fault names its JSON path.
//
// It reads what the formats of this project need: structs with json tags, slices, pointers, texts,
// booleans, whole numbers, and any type with an UnmarshalJSON of its own, which also gets to see null.
// Elsewhere null counts as absent. There are no floats.
package strict

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"solander/fault"
)

// most is how many faults are gathered before reading stops.
const most = 50

// maxDepth bounds nesting, so that hostile input cannot exhaust the stack.
const maxDepth = 32

// Decode reads one JSON value from data into the value that to points at. Faults: Invalid, joined, each
// with its JSON path in Field.
func Decode(data []byte, to any) error {
	if !utf8.Valid(data) {
		return fault.New(fault.Invalid, "the text is not valid UTF-8").ToMend("save the file as UTF-8")
	}
	if err := wellFormed(data); err != nil {
		return err
	}
	r := reader{}
	r.value("", data, reflect.ValueOf(to).Elem(), 0)
	return errors.Join(r.faults...)
}

// wellFormed looks at the whole text once, so that later steps may rely on its grammar.
func wellFormed(data []byte) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	var raw json.RawMessage
	if err := dec.Decode(&raw); err != nil {
		return fault.New(fault.Invalid, "this is not JSON: %v", err).At("near byte %d", dec.InputOffset()).ToMend("check brackets, commas and quotes").Because(err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return fault.New(fault.Invalid, "something follows the JSON value").At("near byte %d", dec.InputOffset()).ToMend("write one value to a file")
	}
	return nil
}

type reader struct{ faults []error }

func (r *reader) bad(path, mend, what string, args ...any) {
	if len(r.faults) < most {
		r.faults = append(r.faults, fault.Invalidf(path, what, args...).At("%s", path).ToMend("%s", mend))
	}
}

func (r *reader) value(path string, raw []byte, v reflect.Value, depth int) {
	raw = bytes.TrimSpace(raw)
	if depth > maxDepth {
		r.bad(path, "write it flatter", "it is nested too deeply")
		return
	}
	if u, ok := v.Addr().Interface().(json.Unmarshaler); ok {
		r.own(path, raw, u)
		return
	}
	if string(raw) == "null" {
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		fresh := reflect.New(v.Type().Elem())
		r.value(path, raw, fresh.Elem(), depth)
		v.Set(fresh)
	case reflect.Struct:
		r.object(path, raw, v, depth)
	case reflect.Slice:
		r.list(path, raw, v, depth)
	default:
		r.plain(path, raw, v)
	}
}

// own lets a type read itself; faults within keep their words and gain the path.
func (r *reader) own(path string, raw []byte, u json.Unmarshaler) {
	if string(raw) == "null" {
		if _, always := u.(interface{ ReadsNull() }); !always {
			return
		}
	}
	err := u.UnmarshalJSON(raw)
	if err == nil {
		return
	}
	for _, f := range fault.All(err) {
		if f.Code == fault.Internal {
			f = fault.New(fault.Invalid, "%v", err)
		}
		if len(r.faults) < most {
			at := join(path, f.Field)
			r.faults = append(r.faults, f.In(at).At("%s", at))
		}
	}
}

func (r *reader) plain(path string, raw []byte, v reflect.Value) {
	want := map[reflect.Kind]string{reflect.String: "a text", reflect.Bool: "true or false"}[v.Kind()]
	if want == "" {
		want = "a whole number"
	}
	if err := json.Unmarshal(raw, v.Addr().Interface()); err != nil {
		r.bad(path, "write "+want, "%s is not %s", clip(raw), want)
	}
}

func (r *reader) list(path string, raw []byte, v reflect.Value, depth int) {
	var items []json.RawMessage
	if err := json.Unmarshal(raw, &items); err != nil {
		r.bad(path, "write it in [ ]", "%s is not a list", clip(raw))
		return
	}
	out := reflect.MakeSlice(v.Type(), len(items), len(items))
	for i, item := range items {
		r.value(path+"["+strconv.Itoa(i)+"]", item, out.Index(i), depth+1)
	}
	v.Set(out)
}

func (r *reader) object(path string, raw []byte, v reflect.Value, depth int) {
	if len(raw) == 0 || raw[0] != '{' {
		r.bad(path, "write it in { }", "%s is not an object", clip(raw))
		return
	}
	names := fields(v.Type())
	seen := map[string]bool{}
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.Token() // the opening brace; the grammar has been checked
	for dec.More() {
		key, err := dec.Token()
		var item json.RawMessage
		if err == nil {
			err = dec.Decode(&item)
		}
		if err != nil {
			r.bad(path, "check brackets, commas and quotes", "this is not JSON")
			return
		}
		name, _ := key.(string)
		at := join(path, name)
		i, known := names[name]
		switch {
		case !known:
			r.bad(at, "known here: "+strings.Join(sorted(names), ", "), "there is no field %q", clip([]byte(name)))
		case seen[name]:
			r.bad(at, "keep one of them", "the field is given twice")
		default:
			seen[name] = true
			r.value(at, item, v.Field(i), depth+1)
		}
	}
}

func fields(t reflect.Type) map[string]int {
	out := map[string]int{}
	for i := range t.NumField() {
		name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		if name != "" && name != "-" {
			out[name] = i
		}
	}
	return out
}

func sorted(names map[string]int) []string {
	var out []string
	for n := range names {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
}

func join(path, name string) string {
	if path == "" || name == "" {
		return path + name
	}
	return path + "." + name
}

func clip(b []byte) string {
	s := []rune(string(b))
	if len(s) > 40 {
		return fmt.Sprintf("%s…", string(s[:40]))
	}
	return string(s)
}
