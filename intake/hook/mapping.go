package hook

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"solander/fault"
	"solander/internal/pointer"
	"solander/internal/strict"
)

// Format names the form of a mapping.
const Format = "solander-hook/1"

// Mapping says where the fields of an order stand in a message. A source is a JSON Pointer ("/customer/name"),
// which gives what stands there, or a template ("{/first} {/last}"), which puts what stands there into a text.
// The sources of a line are looked up in each element of the array that Lines points at.
type Mapping struct {
	Format   string   `json:"format"`
	Only     Choices  `json:"only,omitempty"` // pointer → texts, one of which must stand there; else the message is passed over
	Order    Sources  `json:"order"`
	Lines    string   `json:"lines"`
	Line     Sources  `json:"line"`
	Editions Editions `json:"editions,omitempty"` // what the sender calls an edition → its id; none: the sender names ids
	Money    string   `json:"money,omitempty"`    // "decimal" (the default) or "minor"
	Days     string   `json:"days,omitempty"`     // see DayForms; "iso" is the default
}

// Sources are sources by field.
type Sources map[string]string

// Choices are the texts that may stand at a place.
type Choices map[string][]string

// Editions are ids by the sender's names.
type Editions map[string]int64

// UnmarshalJSON reads an object, strictly. Faults: Invalid.
func (s *Sources) UnmarshalJSON(b []byte) error { return object(b, (*map[string]string)(s), "a text") }

// UnmarshalJSON reads an object, strictly. Faults: Invalid.
func (c *Choices) UnmarshalJSON(b []byte) error {
	return object(b, (*map[string][]string)(c), "a list of texts")
}

// UnmarshalJSON reads an object, strictly. Faults: Invalid.
func (e *Editions) UnmarshalJSON(b []byte) error {
	return object(b, (*map[string]int64)(e), "the number of an edition")
}

func object[V any](b []byte, to *map[string]V, what string) error {
	if _, err := pointer.Document(b); err != nil {
		return err
	}
	var raw map[string]json.RawMessage
	if err := json.Unmarshal(b, &raw); err != nil {
		return fault.New(fault.Invalid, "this is no object").ToMend("write it in { }")
	}
	*to = map[string]V{}
	var l fault.List
	for _, name := range slices.Sorted(maps.Keys(raw)) {
		var v V
		if err := json.Unmarshal(raw[name], &v); err != nil || string(raw[name]) == "null" {
			l.Add(fault.Invalidf(name, "%s is not %s", fault.Clip(string(raw[name])), what).ToMend("write %s", what))
		}
		(*to)[name] = v
	}
	return l.Err()
}

// The fields that a mapping may name, and those that it must.
var (
	orderFields = []string{
		"ref", "buyer.name", "buyer.email", "buyer.phone", "placed", "promised", "arrive_by",
		"ship_to.name", "ship_to.line1", "ship_to.line2", "ship_to.city", "ship_to.region", "ship_to.postcode", "ship_to.country",
		"postage", "tax", "paid", "paid_note", "currency", "note", "gift_message",
	}
	lineFields  = []string{"edition", "number", "price", "quantity"}
	orderNeeds  = []string{"ref", "buyer.name", "ship_to.line1", "ship_to.city", "ship_to.country"}
	moneyForms  = []string{"decimal", "minor"}
	mostSources = 400 // characters of a source
	mostNames   = 2000
)

// ReadMapping reads a mapping from JSON, strictly, and validates it. Faults: Invalid, with the path in Field.
func ReadMapping(data []byte) (Mapping, error) {
	var m Mapping
	if err := strict.Decode(data, &m); err != nil {
		return m, err
	}
	return m, m.Validate()
}

// Validate looks at a mapping alone. Faults: Invalid, one a field.
func (m Mapping) Validate() error {
	var l fault.List
	l.Check(m.Format == Format, "format", fmt.Sprintf("%.40q is not the form of a mapping", m.Format), "write "+Format)
	l.Add(m.Order.validate("order.", orderFields, orderNeeds))
	l.Add(m.Line.validate("line.", lineFields, []string{"edition"}))
	_, ok := pointer.Parse(m.Lines)
	l.Check(ok && len(m.Lines) <= mostSources, "lines", "this is no JSON Pointer", "say where the list of prints stands, such as /items")
	for _, at := range slices.Sorted(maps.Keys(m.Only)) {
		_, ok := pointer.Parse(at)
		l.Check(ok, "only."+at, "this is no JSON Pointer", "write it like /type")
		l.Check(len(m.Only[at]) > 0, "only."+at, "no text may stand there", "name at least one")
	}
	l.Check(len(m.Editions) <= mostNames, "editions", "there are too many names", fmt.Sprintf("use up to %d", mostNames))
	for _, name := range slices.Sorted(maps.Keys(m.Editions)) {
		l.Check(m.Editions[name] > 0, "editions."+name, "there is no such edition", "use its number, such as 3")
	}
	l.Check(m.Money == "" || slices.Contains(moneyForms, m.Money), "money", fmt.Sprintf("%.40q is not a form of amounts", m.Money), "use "+strings.Join(moneyForms, " or "))
	l.Check(m.Days == "" || slices.Contains(DayForms(), m.Days), "days", fmt.Sprintf("%.40q is not a form of days", m.Days), "use "+strings.Join(DayForms(), ", "))
	return l.Err()
}

func (s Sources) validate(at string, known, needs []string) error {
	var l fault.List
	for _, name := range needs {
		l.Check(s[name] != "", at+name, "it is missing", "say where it stands in the message")
	}
	for _, name := range slices.Sorted(maps.Keys(s)) {
		if !slices.Contains(known, name) {
			l.Add(fault.Invalidf(at+name, "an order has no field %q", fault.Clip(name)).ToMend("known here: %s", strings.Join(known, ", ")))
			continue
		}
		if _, err := parseSource(s[name]); err != nil {
			l.Add(err.In(at + name))
		}
	}
	return l.Err()
}
