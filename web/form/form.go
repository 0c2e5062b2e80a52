// Package form is one form of a page: what is asked, what was typed, and what is wrong with it. A field is said once: the
// function that lays a form out binds each field to the value that it shows, and that takes what was typed. Faults stand
// beside their fields, and a form knows when another window changed what it is about.
//
// Quantities are read in the units and the currency that the function names. It knows no page, and no use case.
package form

import (
	"encoding/json"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"solander/fault"
	"solander/measure"
)

// Back adds where to return to.
func (fm *Form) Back(to string) *Form {
	fm.Ask("back", "").As("hidden").Is(to)
	return fm
}

// UnitWord names the unit that a length typed without one has.
func UnitWord(u measure.System) string {
	if u == measure.Metric {
		return "millimetres"
	}
	return "inches"
}

// Text64 is a number as a choice has it.
func Text64(n int64) string { return strconv.FormatInt(n, 10) }

// Form is one form of a page: what is asked, what was typed, and what is wrong with it. Field names are
// those that faults name, so that each fault stands beside its field.
type Form struct {
	Name   string // unique on its page; the start of every field's id
	Action string
	Blamed bool // something is wrong with it
	fields []*Field
	takes  []take
	when   func() bool // the fields asked now are taken; nil = always
}

// Field is one thing asked for.
type Field struct {
	Name     string
	ID       string
	Label    string
	Kind     string // "text", "area", "code", "lines" (code of a few lines), "select", "check", "date", "email", "file", "hidden"
	Value    string // as typed
	Hint     string
	Class    string // "wide", "half", "small" or ""
	Required bool
	Auto     string // autocomplete
	Mode     string // inputmode
	Accept   string // of a file: which kinds are offered
	Capture  string // of a file: which camera of a phone takes it ("environment"); "" = it is chosen
	Most     int    // maxlength; 0 = none
	Options  []Choice
	Step     int      // of a form in several steps
	Wrong    []string // what is wrong with it
	Focused  bool     // it is under her hands when the page is shown
	Apart    bool     // it stands apart, folded: few ever change it
	Scanned  bool     // a scanner types into it: it has the focus
	zero     bool     // its value is none
	upper    bool     // it is taken in capitals
	verbatim bool     // it is taken with the spaces round it
}

// Choice is one option of a select.
type Choice struct {
	Value, Text string
}

// Pick is one option of a select.
func Pick(value, text string) Choice { return Choice{value, text} }

// PickID is one option of a select, by its number.
func PickID(id int64, text string) Choice { return Choice{Text64(id), text} }

func New(name, action string) *Form { return &Form{Name: name, Action: action} }

// Ask adds a text field.
func (f *Form) Ask(name, label string) *Field {
	fd := &Field{Name: name, ID: f.Name + "-" + idSafe(name), Label: label, Kind: "text"}
	f.Add(fd)
	return fd
}

func (f *Form) Add(fd *Field) { f.fields = append(f.fields, fd) }

func idSafe(name string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			return r
		}
		return '-'
	}, name)
}

func (fd *Field) As(kind string) *Field { fd.Kind = kind; return fd }

func (fd *Field) WithHint(h string) *Field { fd.Hint = h; return fd }

func (fd *Field) Wide() *Field { fd.Class = "wide"; return fd }

func (fd *Field) Half() *Field { fd.Class = "half"; return fd }

func (fd *Field) Small() *Field { fd.Class = "small"; return fd }

func (fd *Field) Must() *Field { fd.Required = true; return fd }

// Upper takes what is typed in capitals.
func (fd *Field) Upper() *Field { fd.upper = true; return fd }

// Verbatim takes what is typed with the spaces round it.
func (fd *Field) Verbatim() *Field { fd.verbatim = true; return fd }

func (fd *Field) Is(v string) *Field { fd.Value = v; return fd }

func (fd *Field) WithAuto(a string) *Field { fd.Auto = a; return fd }

func (fd *Field) WithMode(m string) *Field { fd.Mode = m; return fd }

// Scan lets a scanner type into the field, as soon as the page is there.
func (fd *Field) Scan() *Field { fd.Scanned, fd.Auto = true, "off"; return fd }

func (fd *Field) Of(o ...Choice) *Field { fd.Kind, fd.Options = "select", o; return fd }

// Describes returns the ids of what describes the field, for aria-describedby.
func (fd *Field) Describes() string {
	var ids []string
	if len(fd.Wrong) > 0 {
		ids = append(ids, fd.ID+"-wrong")
	}
	if fd.Lacks() != "" {
		ids = append(ids, fd.ID+"-letters")
	}
	if fd.Hint != "" {
		ids = append(ids, fd.ID+"-hint")
	}
	return strings.Join(ids, " ")
}

// Checked reports whether a check box is ticked.
func (fd *Field) Checked() bool { return fd.Value != "" && fd.Value != "0" }

// Files reports whether the form asks for a file, and must be sent in parts.
func (f *Form) Files() bool {
	return slices.ContainsFunc(f.fields, func(fd *Field) bool { return fd.Kind == "file" })
}

// Has reports whether the form asks for anything; a page without data has empty forms.
func (f *Form) Has() bool { return f != nil && len(f.fields) > 0 }

// Field returns a field by name. A name that the form does not ask for is a mistake of the template.
func (f *Form) Field(name string) (*Field, error) {
	if !f.Has() {
		return &Field{Name: name, ID: idSafe(name), Kind: "text"}, nil
	}
	if fd := f.Find(name); fd != nil {
		return fd, nil
	}
	return nil, fmt.Errorf("web: form %s has no field %q", f.Name, name)
}

// Fields returns all fields, or those whose name starts with a prefix.
func (f *Form) Fields(prefix ...string) []*Field {
	if f == nil {
		return nil
	}
	if len(prefix) == 0 {
		return f.fields
	}
	var out []*Field
	for _, fd := range f.fields {
		if strings.HasPrefix(fd.Name, prefix[0]) {
			out = append(out, fd)
		}
	}
	return out
}

// Apart returns the fields that stand apart.
func (f *Form) Apart() []*Field {
	var out []*Field
	for _, fd := range f.Fields() {
		if fd.Apart && fd.Kind != "hidden" {
			out = append(out, fd)
		}
	}
	return out
}

// Focus puts the first field of a row under her hands: "layers[2]".
func (f *Form) Focus(row string) {
	for _, fd := range f.fields {
		if row != "" && strings.HasPrefix(fd.Name, row+".") && fd.Kind != "hidden" {
			fd.Focused = true
			return
		}
	}
}

// Own returns the fields that are shown and stand in no row of a list.
func (f *Form) Own() []*Field {
	var out []*Field
	for _, fd := range f.Fields() {
		if fd.Kind != "hidden" && !strings.Contains(fd.Name, "[") {
			out = append(out, fd)
		}
	}
	return out
}

// ApartBlamed reports whether something is wrong with one of them: then they are not folded.
func (f *Form) ApartBlamed() bool {
	return slices.ContainsFunc(f.Apart(), func(fd *Field) bool { return len(fd.Wrong) > 0 })
}

func (f *Form) Find(name string) *Field {
	for _, fd := range f.fields {
		if fd.Name == name {
			return fd
		}
	}
	return nil
}

// Read takes over what was typed.
func (f *Form) Read(typed url.Values) {
	for _, fd := range f.fields {
		if fd.Value = typed.Get(fd.Name); !fd.verbatim {
			fd.Value = strings.TrimSpace(fd.Value)
		}
	}
}

// Values is what stands in the fields, as if it had been typed.
func Values(f *Form) url.Values {
	out := url.Values{}
	for _, fd := range f.fields {
		out.Set(fd.Name, fd.Value)
	}
	return out
}

// Words splits a list typed with commas or on lines of its own.
func Words(text string) []string {
	var out []string
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == '\n' || r == ';' }) {
		if w = strings.TrimSpace(w); w != "" {
			out = append(out, w)
		}
	}
	return out
}

// FromJSON reads one JSON value strictly. Faults: Invalid in field, saying where.
func FromJSON(field, text string, to any) error {
	d := json.NewDecoder(strings.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(to); err != nil {
		if all := fault.All(err); all[0].Code != fault.Internal {
			return all[0].In(field)
		}
		what := strings.TrimPrefix(err.Error(), "json: ")
		line := 1 + strings.Count(text[:min(int(d.InputOffset()), len(text))], "\n")
		return fault.Invalidf(field, "it cannot be read near line %d: %.120s", line, what).ToMend("mend the JSON there").Because(err)
	}
	if d.More() {
		return fault.Invalidf(field, "something follows after its end").ToMend("give one value")
	}
	return nil
}
