package schematest

import (
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/money"
	"solander/tariff"
)

// forms are the texts that a tag form:"..." asks for.
var forms = map[string]object{
	"id":       {"type": "string", "maxLength": 80, "pattern": `^[^\s\x00-\x1f\x7f-\x9f]([^\x00-\x1f\x7f-\x9f]*[^\s\x00-\x1f\x7f-\x9f])?$`},
	"country":  {"type": "string", "pattern": `^[A-Z]{2}$`},
	"currency": {"type": "string", "pattern": `^[A-Z]{3}$`},
	"status":   {"enum": list(tariff.Statuses())},
}

// civil is a day that must be given.
var civil = object{"description": "a civil day", "type": "string", "pattern": `^[0-9]{4}-[0-9]{2}-[0-9]{2}$`}

// read is the schema of a field that is read: what its tags say (see internal/strict), and, where it need not be
// given, null and an empty text, which count as absent.
func read(s object, f reflect.StructField, asked bool) object {
	s = maps.Clone(s)
	least, most := f.Tag.Get("least"), f.Tag.Get("most")
	form := forms[f.Tag.Get("form")]
	text := f.Type.Kind() == reflect.String
	switch {
	case asked && f.Type == reflect.TypeFor[calendar.Day]():
		s = civil
	case form != nil && text:
		s = maps.Clone(form)
	case s["type"] == "array":
		limit(s, "minItems", least)
		limit(s, "maxItems", most)
		if form != nil {
			s["items"] = form
		} else if each := f.Tag.Get("each"); each != "" {
			s["items"] = maps.Clone(s["items"].(object))
			limit(s["items"].(object), "minLength", each)
		}
	case s["oneOf"] != nil:
		s["oneOf"] = above(s["oneOf"].([]any), least)
	case s["type"] == "integer":
		if f.Type == reflect.TypeFor[int64]() || f.Type == reflect.TypeFor[*int64]() {
			s["maximum"] = money.MaxMinor
		}
		limit(s, "minimum", least)
		limit(s, "maximum", most)
	case s["type"] == "string":
		limit(s, "minLength", least)
		limit(s, "maxLength", most)
	}
	if asked {
		return s
	}
	return absent(s, text)
}

func limit(s object, name, number string) {
	if n, err := strconv.Atoi(number); err == nil {
		s[name] = n
	}
}

// above is the two ways to write a quantity, from a least number of base units on; as text then with some digit
// that is not 0.
func above(ways []any, least string) []any {
	whole, text := maps.Clone(ways[0].(object)), maps.Clone(ways[1].(object))
	limit(whole, "minimum", least)
	if least == "1" {
		text["pattern"] = strings.Replace(text["pattern"].(string), "[0-9", "[1-9", 1)
	}
	return []any{whole, text}
}

// absent adds what counts as absent.
func absent(s object, text bool) object {
	switch kind := s["type"].(type) {
	case nil:
	case string:
		s["type"] = []any{kind, "null"}
		if pattern, ok := s["pattern"].(string); ok && text {
			s["pattern"] = "^$|" + pattern
		}
		if text {
			delete(s, "minLength")
		}
		return s
	default:
		return s // null has a meaning there
	}
	if words, ok := s["enum"].([]any); ok {
		s["enum"] = append(slices.Clone(words), "", nil)
		return s
	}
	if ways, ok := s["oneOf"].([]any); ok {
		s["oneOf"] = append(slices.Clone(ways), object{"type": "null"})
		return s
	}
	return object{"anyOf": []any{s, object{"type": "null"}}}
}
