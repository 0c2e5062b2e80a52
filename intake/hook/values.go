package hook

import (
	"encoding/json"
	"maps"
	"slices"
	"strconv"

	"solander/internal/pointer"
)

// Kinds of what stands in a message.
const (
	KindText   = "text"   // a text, a number, true or false: what a field can be read from
	KindNone   = "none"   // null
	KindObject = "object" //
	KindList   = "list"   //
)

// Value is one place of a message, with what stands there.
type Value struct {
	At    string // as a JSON Pointer
	Name  string // its name in the object, or its place in the list, from 0
	Depth int    // 0 = right in the message
	Kind  string
	Text  string // of a text, as the mapping reads it
	Count int    // members of an object, elements of a list
}

// mostValues bounds what is told of a message: she is to choose from it.
const mostValues = 600

// Values tells what stands in a message, each object and list before what it holds: names in order, elements by their place. At most
// 600 are told. Faults: Invalid for what is no message.
func Values(message []byte) ([]Value, error) {
	doc, err := pointer.Document(message)
	if err != nil {
		return nil, err
	}
	var out []Value
	tellBelow(&out, doc, pointer.Pointer{})
	return out, nil
}

func tellBelow(out *[]Value, doc any, at pointer.Pointer) {
	switch x := doc.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(x)) {
			tell(out, x[name], at.Below(name), name)
		}
	case []any:
		for i, e := range x {
			tell(out, e, at.Below(strconv.Itoa(i)), strconv.Itoa(i))
		}
	}
}

func tell(out *[]Value, doc any, at pointer.Pointer, name string) {
	if len(*out) >= mostValues {
		return
	}
	v := Value{At: at.String(), Name: name, Depth: len(at) - 1, Kind: KindText}
	switch x := doc.(type) {
	case nil:
		v.Kind = KindNone
	case map[string]any:
		v.Kind, v.Count = KindObject, len(x)
	case []any:
		v.Kind, v.Count = KindList, len(x)
	case string, bool, json.Number:
		v.Text, _, _ = source{{at: pointer.Pointer{}}}.in(x)
	}
	*out = append(*out, v)
	tellBelow(out, doc, at)
}
