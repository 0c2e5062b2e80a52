package web

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"solander/calendar"
	"solander/fault"
	"solander/letters"
	"solander/measure"
	"solander/money"
)

// form is one form of a page: what is asked, what was typed, and what is wrong with it. Field names are
// those that faults name, so that each fault stands beside its field.
type form struct {
	Name   string // unique on its page; the start of every field's id
	Action string
	Blamed bool // something is wrong with it
	fields []*field
}

// field is one thing asked for.
type field struct {
	Name     string
	ID       string
	Label    string
	Kind     string // "text", "area", "code", "lines" (code of a few lines), "select", "check", "date", "email", "hidden"
	Value    string // as typed
	Hint     string
	Class    string // "wide", "half", "small" or ""
	Required bool
	Auto     string // autocomplete
	Mode     string // inputmode
	Most     int    // maxlength; 0 = none
	Options  []choice
	Step     int      // of a form in several steps
	Wrong    []string // what is wrong with it
}

// choice is one option of a select.
type choice struct {
	Value, Text string
}

func newForm(name, action string) *form { return &form{Name: name, Action: action} }

// ask adds a text field.
func (f *form) ask(name, label string) *field {
	fd := &field{Name: name, ID: f.Name + "-" + idSafe(name), Label: label, Kind: "text"}
	f.add(fd)
	return fd
}

func (f *form) add(fd *field) { f.fields = append(f.fields, fd) }

func idSafe(name string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			return r
		}
		return '-'
	}, name)
}

func (fd *field) as(kind string) *field     { fd.Kind = kind; return fd }
func (fd *field) hint(h string) *field      { fd.Hint = h; return fd }
func (fd *field) wide() *field              { fd.Class = "wide"; return fd }
func (fd *field) half() *field              { fd.Class = "half"; return fd }
func (fd *field) small() *field             { fd.Class = "small"; return fd }
func (fd *field) must() *field              { fd.Required = true; return fd }
func (fd *field) is(v string) *field        { fd.Value = v; return fd }
func (fd *field) auto(a string) *field      { fd.Auto = a; return fd }
func (fd *field) mode(m string) *field      { fd.Mode = m; return fd }
func (fd *field) of(o ...choice) *field     { fd.Kind, fd.Options = "select", o; return fd }
func (fd *field) day(d calendar.Day) *field { fd.Kind, fd.Value = "date", d.String(); return fd }
func (fd *field) whole(n int) *field        { fd.Mode, fd.Value = "numeric", strconv.Itoa(n); return fd }

func (fd *field) money(a money.Amount) *field {
	fd.Mode, fd.Value = "decimal", a.Plain()
	return fd
}

// Describes returns the ids of what describes the field, for aria-describedby.
func (fd *field) Describes() string {
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

// unprinted are the last words of fields that stand on no paper that others read.
var unprinted = []string{"note", "paid_note", "reason", "email", "phone", "wraps", "rules", "mapping", "q", "once", "back"}

// printed reports whether what is typed into a field may come to stand on a label or a slip.
func printed(name string) bool {
	return !slices.Contains(unprinted, name[strings.LastIndexByte(name, '.')+1:])
}

// Lacks names the letters of the field that the papers' type lacks; "" when it can be printed.
func (fd *field) Lacks() string {
	if !printed(fd.Name) || fd.Kind == "hidden" || fd.Kind == "code" || fd.Kind == "select" || fd.Kind == "check" {
		return ""
	}
	return letters.Named(fd.Value)
}

// Checked reports whether a check box is ticked.
func (fd *field) Checked() bool { return fd.Value != "" && fd.Value != "0" }

// Has reports whether the form asks for anything; a page without data has empty forms.
func (f *form) Has() bool { return f != nil && len(f.fields) > 0 }

// Field returns a field by name. A name that the form does not ask for is a mistake of the template.
func (f *form) Field(name string) (*field, error) {
	if !f.Has() {
		return &field{Name: name, ID: idSafe(name), Kind: "text"}, nil
	}
	if fd := f.find(name); fd != nil {
		return fd, nil
	}
	return nil, fmt.Errorf("web: form %s has no field %q", f.Name, name)
}

// Fields returns all fields, or those whose name starts with a prefix.
func (f *form) Fields(prefix ...string) []*field {
	if f == nil {
		return nil
	}
	if len(prefix) == 0 {
		return f.fields
	}
	var out []*field
	for _, fd := range f.fields {
		if strings.HasPrefix(fd.Name, prefix[0]) {
			out = append(out, fd)
		}
	}
	return out
}

func (f *form) find(name string) *field {
	for _, fd := range f.fields {
		if fd.Name == name {
			return fd
		}
	}
	return nil
}

// blamed finds the field that a fault names: itself, what it is a part of ("closed_days[2]" stands in
// closed_days), or the first of its parts ("ship_to"). Hidden fields are not blamed.
func (f *form) blamed(name string) *field {
	for whole := name; whole != ""; {
		if fd := f.find(whole); fd != nil && fd.Kind != "hidden" {
			return fd
		}
		whole = whole[:max(0, strings.LastIndexAny(whole, ".["))]
	}
	for _, fd := range f.fields {
		if name != "" && fd.Kind != "hidden" && (strings.HasPrefix(fd.Name, name+".") || strings.HasPrefix(fd.Name, name+"[")) {
			return fd
		}
	}
	return nil
}

// read takes over what was typed.
func (f *form) read(typed url.Values) {
	for _, fd := range f.fields {
		fd.Value = strings.TrimSpace(typed.Get(fd.Name))
	}
}

// blame puts every fault beside its field and returns the lines of the summary.
func (f *form) blame(err error) []faultLink {
	all := fault.All(err)
	f.Blamed = len(all) > 0
	for _, e := range all {
		if fd := f.blamed(e.Field); fd != nil {
			fd.Wrong = append(fd.Wrong, sentence(e))
		}
	}
	links := linksOf(all, f)
	slices.SortStableFunc(links, func(a, b faultLink) int { return cmp.Compare(f.place(a.To), f.place(b.To)) })
	return links
}

// place is where a field stands in the form, by its id; -1 for none: what belongs to no field comes first.
func (f *form) place(id string) int {
	return slices.IndexFunc(f.fields, func(fd *field) bool { return id != "" && fd.ID == id })
}

func linksOf(all []*fault.Error, f *form) []faultLink {
	var out []faultLink
	for _, e := range all {
		l := faultLink{Text: sentence(e)}
		if f != nil {
			if fd := f.blamed(e.Field); fd != nil {
				l.To = fd.ID
				l.Text = fd.Label + ": " + l.Text
			}
		}
		out = append(out, l)
	}
	return out
}

// sentence prints a fault as a person reads it.
func sentence(e *fault.Error) string {
	s := e.What
	if e.Where != "" {
		s = e.Where + ": " + s
	}
	if e.Mend != "" {
		s += "; " + e.Mend
	}
	if s == "" {
		return s
	}
	return upper(s) + "."
}

// upper begins a sentence with a capital.
func upper(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + s[size:]
}

// reader turns what was typed into values and gathers what is wrong. An empty field that is not required
// gives the zero value.
type reader struct {
	form *form
	fault.List
}

func (f *form) reader() *reader { return &reader{form: f} }

func (r *reader) typed(name string) string {
	fd := r.form.find(name)
	if fd == nil {
		r.Add(fmt.Errorf("web: form %s has no field %q", r.form.Name, name))
		return ""
	}
	if fd.Required && fd.Value == "" {
		r.Add(fault.Invalidf(name, "it is missing").ToMend("fill it in"))
	}
	return fd.Value
}

// in names the field of every fault of err.
func (r *reader) in(name string, err error) {
	for _, e := range fault.All(err) {
		r.Add(e.In(name))
	}
}

func (r *reader) text(name string) string { return r.typed(name) }

func (r *reader) amount(name, currency string) money.Amount {
	s := r.typed(name)
	if s == "" {
		return money.Of(0, currency)
	}
	a, err := money.Parse(s, currency)
	r.in(name, err)
	return a
}

func (r *reader) day(name string) calendar.Day {
	s := r.typed(name)
	if s == "" {
		return calendar.Day{}
	}
	d, err := calendar.ParseDay(s)
	r.in(name, err)
	return d
}

func (r *reader) length(name string, u measure.System) measure.Length {
	s := r.typed(name)
	if s == "" {
		return 0
	}
	l, err := measure.ParseLength(s, u)
	r.in(name, err)
	return l
}

func (r *reader) mass(name string, u measure.System) measure.Mass {
	s := r.typed(name)
	if s == "" {
		return 0
	}
	m, err := measure.ParseMass(s, u)
	r.in(name, err)
	return m
}

func (r *reader) grammage(name string) measure.Grammage {
	s := r.typed(name)
	if s == "" {
		return 0
	}
	g, err := measure.ParseGrammage(s)
	r.in(name, err)
	return g
}

func (r *reader) whole(name string) int {
	s := r.typed(name)
	if s == "" {
		return 0
	}
	n, err := strconv.ParseInt(s, 10, 32)
	if err != nil {
		r.Add(fault.Invalidf(name, "%.20q is not a whole number", s).ToMend("write it in digits, like 12"))
	}
	return int(n)
}

func (r *reader) id(name string) int64 {
	s := r.typed(name)
	if s == "" {
		return 0
	}
	n, err := strconv.ParseInt(s, 10, 64)
	if err != nil || n < 0 {
		r.Add(fault.Invalidf(name, "%.20q is not in the list", s).ToMend("choose one of the list"))
		return 0
	}
	return n
}

func (r *reader) ticked(name string) bool {
	fd := r.form.find(name)
	return fd != nil && fd.Checked()
}
