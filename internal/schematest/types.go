package schematest

import (
	"reflect"

	"solander/calendar"
	"solander/intake"
	"solander/measure"
	"solander/money"
	"solander/packing"
	"solander/tariff"
)

func quantity[T ~int64](description, pattern string, most T) object {
	return object{"description": description, "oneOf": []any{
		object{"type": "integer", "minimum": 0, "maximum": most}, object{"type": "string", "pattern": pattern},
	}}
}

// leaves are the types that are written in a way of their own.
var leaves = map[reflect.Type]object{
	reflect.TypeFor[measure.Length]():   quantity("nanometres, or a text with a unit: 8 1/2 in, 216 mm, 12 pt", `[0-9½¼¾⅛⅜⅝⅞].*[a-zA-Zµμ"″”'′’]\s*$`, measure.MaxLength),
	reflect.TypeFor[measure.Mass]():     quantity("nanograms, or a text with a unit: 12 oz, 340 g", `[0-9½¼¾⅛⅜⅝⅞].*[a-zA-Z]\s*$`, measure.MaxMass),
	reflect.TypeFor[measure.Grammage](): quantity("milligrams per square metre, or a text: 310 gsm, 80 lb cover", `[0-9]`, measure.MaxGrammage),
	reflect.TypeFor[tariff.Volume]():    quantity("cubic micrometres, or a text: 1728 in3, 0.1 ft3, 30 dm3", `[0-9].*\s[a-zA-Z]+[3³]?\s*$`, tariff.MaxVolume),
	reflect.TypeFor[calendar.Day]():     {"description": "a civil day", "type": []any{"string", "null"}, "pattern": `^([0-9]{4}-[0-9]{2}-[0-9]{2})?$`},
	reflect.TypeFor[tariff.Cell]():      {"description": "minor units; null = not carried", "type": []any{"integer", "null"}, "minimum": 0, "maximum": money.MaxMinor},
	reflect.TypeFor[tariff.Bound]():     bound(),
	reflect.TypeFor[money.Amount]():     amount(),
	reflect.TypeFor[intake.Fill]():      {"description": "an sRGB colour", "type": "string", "pattern": `^#[0-9A-Fa-f]{6}$`},
}

// amount is money as package money writes it.
func amount() object {
	return object{
		"type": "object", "additionalProperties": false, "required": []any{"minor", "currency"},
		"properties": object{"minor": object{"type": "integer"}, "currency": object{"type": "string"}},
	}
}

func bound() object {
	number := object{"description": "in the unit of the measure, or a text with a unit", "oneOf": []any{object{"type": "integer", "minimum": 0}, object{"type": "string"}, object{"type": "null"}}}
	var measures []any
	for _, m := range tariff.Measures() {
		measures = append(measures, m)
	}
	return object{
		"type": "object", "additionalProperties": false, "required": []any{"measure"}, "minProperties": 2,
		"properties": object{"form": object{"enum": []any{tariff.Box, tariff.Cylinder, "", nil}}, "measure": object{"enum": measures}, "min": number, "over": number, "max": number, "under": number},
	}
}

// words are the types that hold one of a few words.
var words = map[reflect.Type][]any{
	reflect.TypeFor[packing.Kind]():    {packing.Sleeve, packing.Tissue, packing.Board, packing.Envelope, packing.Tube, packing.Carton},
	reflect.TypeFor[packing.Shape]():   {packing.Flat, packing.Rolled, packing.Both},
	reflect.TypeFor[packing.Lies]():    {packing.OnPack, packing.BesideLong, packing.BesideShort},
	reflect.TypeFor[packing.Per]():     {packing.PerStack, packing.PerSheet, packing.PerGap},
	reflect.TypeFor[packing.Status]():  {packing.Optimal, packing.NotProven, packing.Infeasible},
	reflect.TypeFor[tariff.Form]():     {tariff.Box, tariff.Cylinder},
	reflect.TypeFor[tariff.By]():       {tariff.ByMass, tariff.ByVolume, tariff.ByPiece},
	reflect.TypeFor[tariff.Mode]():     {tariff.Nearest, tariff.Up, tariff.Down},
	reflect.TypeFor[tariff.Counting](): {tariff.CalendarDays, tariff.DeliveryDays, tariff.WeekDays},
	reflect.TypeFor[intake.Field]():    list(intake.Fields()),
	reflect.TypeFor[intake.Meaning]():  list(intake.Meanings()),
	reflect.TypeFor[intake.DayOrder](): {intake.DayMonth, intake.MonthDay, intake.DayOrder("")},
}

func list[T any](values []T) []any {
	var all []any
	for _, v := range values {
		all = append(all, v)
	}
	return all
}

// required lists the fields that an object which is read cannot do without; the pages of docs/formats say which.
var required = map[reflect.Type][]string{
	reflect.TypeFor[packing.Problem]():    {"format", "currency", "day", "origin", "orders"},
	reflect.TypeFor[packing.Order]():      {"id", "destination", "sheets"},
	reflect.TypeFor[packing.Sheet]():      {"id", "width", "height", "caliper"},
	reflect.TypeFor[packing.Roll]():       {"tightest"},
	reflect.TypeFor[packing.Item]():       {"id", "kind"},
	reflect.TypeFor[packing.Cut]():        {"shortest", "step"},
	reflect.TypeFor[packing.Wrap]():       {"id", "shape", "layers"},
	reflect.TypeFor[packing.Layer]():      {"kind"},
	reflect.TypeFor[packing.Rule]():       {"id", "then"},
	reflect.TypeFor[tariff.Place]():       {"country"},
	reflect.TypeFor[tariff.Replaced]():    {"series", "class"},
	reflect.TypeFor[tariff.Card]():        {"id", "series", "operator", "currency", "from", "price_class", "source", "status", "services"},
	reflect.TypeFor[tariff.ZoneTable]():   {"name", "source", "status", "rows"},
	reflect.TypeFor[tariff.ZoneRow]():     {"zone"},
	reflect.TypeFor[tariff.Service]():     {"id", "class", "name", "prices"},
	reflect.TypeFor[tariff.Prices]():      {"by", "rows"},
	reflect.TypeFor[tariff.Row]():         {"prices"},
	reflect.TypeFor[tariff.Days]():        {"min", "max", "counted"},
	reflect.TypeFor[tariff.Window]():      {"from", "until"},
	reflect.TypeFor[tariff.Surcharge]():   {"id", "name", "amount"},
	reflect.TypeFor[tariff.CoverStep]():   {"up_to", "price"},
	reflect.TypeFor[tariff.Dimensional](): {"divisor"},
	reflect.TypeFor[tariff.Ratio]():       {"volume", "mass"},
	reflect.TypeFor[intake.Mapping]():     {"format", "name", "currency", "sheets"},
	reflect.TypeFor[intake.SheetMap]():    {"sheet"},
	reflect.TypeFor[intake.Column]():      {"column", "field"},
	reflect.TypeFor[intake.FillMap]():     {"fill", "means"},
	reflect.TypeFor[intake.WordMap]():     {"text", "means"},
}
