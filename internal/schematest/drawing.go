package schematest

import (
	"reflect"
	"slices"
	"strings"

	"solander/calendar"
)

// object is a JSON object whose keys are printed in ascending order.
type object = map[string]any

// drawing builds a schema from Go types, so that it cannot fall behind them.
type drawing struct {
	defs   object
	strict bool // every field without omitempty is required: for what the program writes

	required map[reflect.Type][]string
}

func (d *drawing) of(t reflect.Type) object {
	if leaf, ok := leaves[t]; ok {
		_, whole := leaf["oneOf"]
		if _, cell := leaf["minimum"]; d.strict && (whole || cell) {
			return object{"type": "integer"}
		}
		return leaf
	}
	if list, ok := words[t]; ok {
		return object{"enum": list}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return d.of(t.Elem())
	case reflect.Slice:
		items := d.of(t.Elem())
		if t.Elem() == reflect.TypeFor[calendar.Day]() {
			items = civil // a list holds no empty place
		}
		return object{"type": "array", "items": items}
	case reflect.String:
		return object{"type": "string"}
	case reflect.Bool:
		return object{"type": "boolean"}
	case reflect.Struct:
		name := t.Name()
		if _, ok := d.defs[name]; !ok {
			d.defs[name] = nil // so that a type within itself ends
			d.defs[name] = d.structOf(t)
		}
		return object{"$ref": "#/$defs/" + name}
	}
	if d.strict {
		return object{"type": "integer"}
	}
	return object{"type": "integer", "minimum": 0}
}

func (d *drawing) structOf(t reflect.Type) object {
	properties, need, asked := object{}, []any{}, append(slices.Clone(required[t]), d.required[t]...)
	for _, f := range reflect.VisibleFields(t) { // those of an embedded struct stand with its own
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if f.Anonymous && name == "" {
			continue
		}
		properties[name] = d.of(f.Type)
		if d.strict && options == "" {
			need = append(need, name)
		}
		if !d.strict {
			properties[name] = read(properties[name].(object), f, slices.Contains(asked, name))
		}
	}
	if !d.strict {
		for _, n := range asked {
			need = append(need, n)
		}
	}
	out := object{"type": "object", "additionalProperties": false, "properties": properties}
	if len(need) > 0 {
		out["required"] = need
	}
	return out
}
