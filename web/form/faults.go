package form

import (
	"cmp"
	"errors"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"solander/fault"
)

// Line is a line of the summary of faults.
type Line struct {
	Text string
	To   string // id of the field; "" = none
}

// FieldOf finds the field that a fault names: itself, what it is a part of ("closed_days[2]" stands in
// closed_days), or the first of its parts ("ship_to"). Hidden fields are not blamed.
func (f *Form) FieldOf(name string) *Field {
	for whole := name; whole != ""; {
		if fd := f.Find(whole); fd != nil && fd.Kind != "hidden" {
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

// Blame puts every fault beside its field and returns the lines of the summary.
func (f *Form) Blame(err error) []Line {
	all := fault.All(err)
	f.Blamed = len(all) > 0
	for _, e := range all {
		if fd := f.FieldOf(e.Field); fd != nil {
			fd.Wrong = append(fd.Wrong, Sentence(e))
		}
	}
	links := LinksOf(all, f)
	slices.SortStableFunc(links, func(a, b Line) int { return cmp.Compare(f.place(a.To), f.place(b.To)) })
	return links
}

// place is where a field stands in the form, by its id; -1 for none: what belongs to no field comes first.
func (f *Form) place(id string) int {
	return slices.IndexFunc(f.fields, func(fd *Field) bool { return id != "" && fd.ID == id })
}

func LinksOf(all []*fault.Error, f *Form) []Line {
	var out []Line
	for _, e := range all {
		l := Line{Text: Sentence(e)}
		if f != nil {
			if fd := f.FieldOf(e.Field); fd != nil {
				l.To = fd.ID
				l.Text = fd.Label + ": " + l.Text
			}
		}
		out = append(out, l)
	}
	return out
}

// Sentence prints a fault as a person reads it: a whole one, also of a fault that goes on from the name of its field ("is no fee").
func Sentence(e *fault.Error) string {
	s := e.What
	if strings.HasPrefix(s, "is ") {
		s = "it " + s
	}
	if e.Where != "" {
		s = e.Where + ": " + s
	}
	if e.Mend != "" {
		s += "; " + e.Mend
	}
	if s == "" {
		return s
	}
	return Upper(s) + "."
}

// Upper begins a sentence with a capital.
func Upper(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + s[size:]
}

// Once drops a fault that says the same of the same field twice.
func Once(err error) error {
	var out []error
	seen := map[string]bool{}
	for _, e := range fault.All(err) {
		if !seen[e.Field] || e.Field == "" {
			out = append(out, e)
		}
		seen[e.Field] = true
	}
	return errors.Join(out...)
}
