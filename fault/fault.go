// Package fault knows how something that went wrong is told: a code, what, where and how to mend it.
//
// A room returns a *Error when the person at the bench can do something about it. Any other error is
// Internal: it is logged by its kind and shown as one plain sentence. Only a face turns a code into an HTTP
// status or an exit code; Codes lists every code so that a test can hold each table complete.
package fault

import (
	"errors"
	"fmt"
	"strings"
)

// Code says what kind of thing went wrong.
type Code string

// The codes. A face maps each to one status and one exit code.
const (
	Invalid  Code = "invalid"  // the input alone is wrong: malformed, out of range, contradictory
	Missing  Code = "missing"  // what was asked for does not exist
	Taken    Code = "taken"    // it exists already, or somebody else holds it
	Refused  Code = "refused"  // a rule of the studio, the trade or an operator forbids it as things stand
	TooLarge Code = "toolarge" // the input is bigger than is read
	Unknown  Code = "unknown"  // who calls cannot be told: no token or signature, a wrong or a revoked one
	Denied   Code = "denied"   // who calls is known and may not do this
	Changed  Code = "changed"  // what is to be changed is not any more what the caller saw
	TooMany  Code = "toomany"  // the caller asks more often than is allowed; the same call may succeed later
	Busy     Code = "busy"     // the store could not answer or take the write now; the same call may succeed later
	Unsure   Code = "unsure"   // the store went away while it took the write: whether it stands is not known
	Internal Code = "internal" // our own failure
)

// Codes returns every code, in a fixed order.
func Codes() []Code {
	return []Code{Invalid, Missing, Taken, Refused, TooLarge, Unknown, Denied, Changed, TooMany, Busy, Unsure, Internal}
}

// Error is one fault as the person sees it. What is a plain sentence part without full stop
// ("number 17 is promised"), Where names the thing or place ("heron, 12 × 16 in"), Mend says what to
// do ("choose a free number"). Field names the form field, flag or JSON path it came from, if any
// ("lines[0].number"). Err is the cause, for the log; it is never shown.
type Error struct {
	Code  Code
	What  string
	Where string
	Mend  string
	Field string
	Err   error

	form string // what What was made of
}

// Form is the sentence of a fault as it stands in the program, with the places of what was put into it: it names nobody, and may stand in a
// log. "" of a fault that was not made by New or Invalidf.
func (e *Error) Form() string { return e.form }

// Error returns "where: what (mend)", leaving out what is empty.
func (e *Error) Error() string {
	var b strings.Builder
	if e.Where != "" {
		b.WriteString(e.Where + ": ")
	}
	b.WriteString(e.What)
	if e.Mend != "" {
		b.WriteString(" (" + e.Mend + ")")
	}
	return b.String()
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// New makes a fault of a code; what is formatted with args.
func New(code Code, what string, args ...any) *Error {
	return &Error{Code: code, What: fmt.Sprintf(what, args...), form: what}
}

// NotKnown is the fault of a write of which nobody can say whether it stands.
func NotKnown() *Error {
	return New(Unsure, "the store went away while it took the write: it is not known whether it stands").
		ToMend("look whether it is there before you do it again")
}

// Invalidf is a fault in the input field named.
func Invalidf(field, what string, args ...any) *Error {
	return &Error{Code: Invalid, Field: field, What: fmt.Sprintf(what, args...), form: what}
}

// At returns a copy that says where it happened.
func (e *Error) At(where string, args ...any) *Error {
	c := *e
	c.Where = fmt.Sprintf(where, args...)
	return &c
}

// ToMend returns a copy that says how to mend it.
func (e *Error) ToMend(mend string, args ...any) *Error {
	c := *e
	c.Mend = fmt.Sprintf(mend, args...)
	return &c
}

// In returns a copy that names the input field.
func (e *Error) In(field string) *Error {
	c := *e
	c.Field = field
	return &c
}

// Because returns a copy with the cause attached, for the log.
func (e *Error) Because(err error) *Error {
	c := *e
	c.Err = err
	return &c
}

// CodeOf returns the code of the first fault in err's tree; Internal for any other error, "" for nil.
func CodeOf(err error) Code {
	if err == nil {
		return ""
	}
	var e *Error
	if errors.As(err, &e) {
		return e.Code
	}
	return Internal
}

// Is reports whether err is, or holds, a fault of that code.
func Is(err error, code Code) bool { return err != nil && CodeOf(err) == code }

// All returns every fault in err's tree in order, so that a form can show each beside its field.
// An error without any fault gives one Internal fault whose cause is err.
func All(err error) []*Error {
	if err == nil {
		return nil
	}
	var out []*Error
	collect(err, &out)
	if len(out) == 0 {
		out = append(out, &Error{Code: Internal, What: "something went wrong inside the program", Err: err})
	}
	return out
}

func collect(err error, out *[]*Error) {
	if e, ok := err.(*Error); ok {
		*out = append(*out, e)
		return
	}
	switch u := err.(type) {
	case interface{ Unwrap() []error }:
		for _, e := range u.Unwrap() {
			collect(e, out)
		}
	case interface{ Unwrap() error }:
		if inner := u.Unwrap(); inner != nil {
			collect(inner, out)
		}
	}
}

// List gathers the faults of one form; its Err is nil while none was added.
type List struct{ faults []error }

// Add keeps err unless it is nil.
func (l *List) Add(err error) {
	if err != nil {
		l.faults = append(l.faults, err)
	}
}

// Check adds an Invalid fault on field unless ok.
func (l *List) Check(ok bool, field, what, mend string) {
	if !ok {
		l.Add(Invalidf(field, "%s", what).ToMend("%s", mend))
	}
}

// Err returns all that was added, joined, or nil.
func (l *List) Err() error { return errors.Join(l.faults...) }
