// Package strict reads JSON into Go values and refuses what it does not know: an unknown or repeated
// field, a wrong type, broken UTF-8, text after the value. Every fault names its JSON path.
//
// It reads what the formats of this project need: structs with json tags, slices, pointers, texts,
// booleans, whole numbers, and any type with an UnmarshalJSON of its own, which also gets to see null.
// Elsewhere null counts as absent, and is refused within a list. There are no floats.
//
// Tags say what a field holds at least, and the schemas of docs/formats are drawn from them, too: least:"2" is the
// least number, or the least length of a list, so that 0 and an empty list are refused where a field may be absent
// (an empty text counts as absent); each:"1" is the least length of each text of a list; need:"yes" says that a
// number must be written which may be 0.
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
	"unicode/utf16"
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
	if at := loneSurrogate(data); at >= 0 {
		return fault.New(fault.Invalid, "the text holds half of a character, %s", data[at:at+6]).At("near byte %d", at).ToMend("write the character itself, or both halves")
	}
	if string(bytes.TrimSpace(data)) == "null" {
		return fault.New(fault.Invalid, "null stands alone, which says nothing").ToMend("write the value itself; a list of nothing is []")
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

// loneSurrogate returns where an escape stands for half of a character, as no text in UTF-8 can hold it, or -1.
// JSON's own reader would put another character in its place. The text is well-formed JSON.
func loneSurrogate(data []byte) int {
	half := func(at int) rune { // the surrogate escaped there, or 0
		if at+6 > len(data) || data[at] != '\\' || data[at+1] != 'u' {
			return 0
		}
		n, err := strconv.ParseUint(string(data[at+2:at+6]), 16, 32)
		if err != nil || !utf16.IsSurrogate(rune(n)) {
			return 0
		}
		return rune(n)
	}
	for at := 0; at < len(data); at++ {
		if data[at] != '\\' {
			continue
		}
		if first := half(at); first != 0 {
			if utf16.DecodeRune(first, half(at+6)) == utf8.RuneError {
				return at
			}
			at += 6
		}
		at++ // whatever is escaped, a backslash too
	}
	return -1
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
		at := path + "[" + strconv.Itoa(i) + "]"
		if _, own := out.Index(i).Addr().Interface().(interface{ ReadsNull() }); !own && string(item) == "null" {
			r.bad(at, "leave it out", "null stands in a list")
			continue
		}
		r.value(at, item, out.Index(i), depth+1)
	}
	v.Set(out)
}

func (r *reader) object(path string, raw []byte, v reflect.Value, depth int) {
	if len(raw) == 0 || raw[0] != '{' {
		r.bad(path, "write it in { }", "%s is not an object", clip(raw))
		return
	}
	names := fields(v.Type())
	seen, absent := map[string]bool{}, map[string]bool{}
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
			was := len(r.faults)
			r.value(at, item, v.Field(i), depth+1)
			if string(bytes.TrimSpace(item)) == "null" {
				absent[name] = true
			} else if len(r.faults) == was {
				r.least(at, v.Field(i), v.Type().Field(i).Tag)
			}
		}
	}
	for _, name := range sorted(names) {
		if (!seen[name] || absent[name]) && v.Type().Field(names[name]).Tag.Get("need") != "" {
			r.bad(join(path, name), "write a number, which may be 0", "%s is missing", name)
		}
	}
}

// least looks whether a field that is written holds what its absence would mean something else for: 0, or an empty list.
// Other numbers below the least, and 0 in a field that must be given, whoever knows the field tells better.
func (r *reader) least(path string, v reflect.Value, tag reflect.StructTag) {
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	least, err := strconv.ParseInt(tag.Get("least"), 10, 64)
	switch {
	case v.Kind() == reflect.Slice:
		if err == nil && int64(v.Len()) < least {
			r.bad(path, "leave it out, or write what belongs in it", "the list is empty")
		}
		for i := range v.Len() {
			if tag.Get("each") != "" && v.Index(i).String() == "" {
				r.bad(path+"["+strconv.Itoa(i)+"]", "write a text, or leave it out", "the text is empty")
			}
		}
	case err == nil && v.CanInt() && v.Int() == 0 && strings.Contains(tag.Get("json"), ",omit"):
		r.bad(path, fmt.Sprintf("leave it out, or write a number from %d on", least), "0 is not a number for it")
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
