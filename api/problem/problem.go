// Package problem says what went wrong to a caller of another program: the members, the place of each fault in what
// was sent, the headers that a status asks for, and what a type of problem means. Source: RFC 9457. It decides nothing:
// the status of a fault is that of internal/status.
package problem

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"solander/fault"
	"solander/internal/pointer"
	"solander/internal/status"
)

// Problem is what went wrong, as a caller sees it. Source: RFC 9457; code and errors are members of our own.
type Problem struct {
	Type   string   `json:"type" format:"uri-reference" doc:"A reference to what the problem means; about:blank when the status says it all."`
	Title  string   `json:"title" doc:"The problem in few words, the same for every problem of the type."`
	Status int      `json:"status" doc:"The HTTP status."`
	Detail string   `json:"detail,omitempty" doc:"What is wrong this time."`
	Code   string   `json:"code,omitempty" doc:"The problem in one word, for a program."`
	Errors []Detail `json:"errors,omitempty" doc:"Everything that is wrong, each with its place."`

	header http.Header
}

// Detail is one thing that is wrong.
type Detail struct {
	Detail  string `json:"detail" doc:"What is wrong."`
	Pointer string `json:"pointer,omitempty" doc:"Where in the body, as a JSON Pointer in the form of a URI fragment."`
	Header  string `json:"header,omitempty" doc:"In which header."`
	Code    string `json:"code,omitempty" doc:"The kind of fault, in one word."`
	Where   string `json:"where,omitempty" doc:"Which thing it is about."`
	Mend    string `json:"mend,omitempty" doc:"How to mend it."`
}

// Error returns the detail.
func (p *Problem) Error() string { return p.Detail }

// GetStatus returns the HTTP status.
func (p *Problem) GetStatus() int { return p.Status }

// GetHeaders returns the headers that belong to the problem.
func (p *Problem) GetHeaders() http.Header { return p.header }

// ContentType is the media type of problem details in JSON. Source: RFC 9457, 6.1.
func (p *Problem) ContentType(string) string { return "application/problem+json" }

// Write answers with the problem.
func (p *Problem) Write(w http.ResponseWriter) error {
	body, err := json.Marshal(p)
	if err != nil {
		return err
	}
	for name, values := range p.header {
		w.Header()[name] = values
	}
	w.Header().Set("Content-Type", p.ContentType(""))
	w.WriteHeader(p.Status)
	_, err = w.Write(append(body, '\n'))
	return err
}

// Plain is a problem of which the status says it all.
func Plain(status int, detail string) *Problem {
	return &Problem{Type: "about:blank", Title: http.StatusText(status), Status: status, Detail: detail}
}

// titles are the problems in few words, one for every code of a fault.
var titles = map[fault.Code]string{
	fault.Invalid:  "The request is not valid",
	fault.Missing:  "There is no such thing",
	fault.Taken:    "It exists already, or somebody else holds it",
	fault.Refused:  "A rule forbids it as things stand",
	fault.TooLarge: "The request is too large",
	fault.Unknown:  "Who calls cannot be told",
	fault.Denied:   "This feed may not do that",
	fault.Changed:  "It was changed meanwhile",
	fault.TooMany:  "Too many requests",
	fault.Busy:     "The studio is busy",
	fault.Unsure:   "Whether it was written is not known",
	fault.Internal: "A failure of the program",
}

// At says by place where the fields of an error stand in what was sent: a pointer, a header, or nothing.
func At(err error, place func(field string) Detail) error { return misfiled{err, place} }

// misfiled is an error with what tells where its fields stand in what was sent.
type misfiled struct {
	error
	place func(field string) Detail
}

func (m misfiled) Unwrap() error { return m.error }

// InBody places faults of a body. names are the fields whose names in faults are others than in the body; a field
// whose name here is "" stands nowhere in it.
func InBody(err error, body []byte, names map[string]string) error {
	if err == nil {
		return nil
	}
	doc, _ := pointer.Document(body) // what is no document has no places
	return misfiled{err, func(field string) Detail {
		if field == "idempotency_key" {
			return Detail{Header: "Idempotency-Key"}
		}
		if name, ok := names[field]; ok {
			field = name
		}
		if field == "" {
			return Detail{}
		}
		return Detail{Pointer: pointer.Of(field, doc).Fragment()}
	}}
}

// Of makes the problem of any error. types is the address below which each type is explained.
func Of(err error, types string) *Problem {
	var p *Problem
	if errors.As(err, &p) {
		return p
	}
	place := func(string) Detail { return Detail{} }
	var m misfiled
	if errors.As(err, &m) {
		place = m.place
	}
	code := fault.CodeOf(err)
	p = &Problem{Type: types + string(code), Title: titles[code], Status: status.Of(err), Code: string(code), header: http.Header{}}
	all := fault.All(err)
	for _, f := range all {
		d := place(f.Field)
		d.Detail, d.Code, d.Mend = f.What, string(f.Code), f.Mend
		if f.Where != f.Field && f.Where != d.Pointer {
			d.Where = f.Where
		}
		p.Errors = append(p.Errors, d)
	}
	p.Detail = fmt.Sprintf("%d things are wrong", len(all))
	if len(all) == 1 {
		p.Detail = all[0].Error()
	}
	p.challenge(code, err)
	return p
}

// delayed is an error with how long to wait.
type delayed struct {
	error
	wait time.Duration
}

func (d delayed) Unwrap() error { return d.error }

// Later is an error after which a caller should wait.
func Later(err error, wait time.Duration) error { return delayed{err, wait} }

// retryAfter is a wait in whole seconds, rounded up. Source: RFC 9110, 10.2.3.
func retryAfter(wait time.Duration) string {
	return fmt.Sprint(int64((wait + time.Second - 1) / time.Second))
}

// challenge adds the headers that a status asks for. Sources: RFC 9110, 11.6.1 and 10.2.3; RFC 6750, 3.
func (p *Problem) challenge(code fault.Code, err error) {
	switch code {
	case fault.Unknown:
		p.header.Set("WWW-Authenticate", `Bearer realm="solander"`)
	case fault.Denied:
		p.header.Set("WWW-Authenticate", `Bearer realm="solander", error="insufficient_scope"`)
	case fault.Busy:
		p.header.Set("Retry-After", status.RetryAfter)
	}
	var t delayed
	if errors.As(err, &t) {
		p.header.Set("Retry-After", retryAfter(t.wait))
	}
}

// Whatever huma itself finds wrong is told as a Problem, too. The library knows one such function for all.
func init() {
	huma.NewError = func(status int, msg string, errs ...error) huma.StatusError {
		p := Plain(status, msg)
		for _, err := range errs {
			d := Detail{Detail: fmt.Sprint(err)}
			p.Errors = append(p.Errors, d)
		}
		return p
	}
}
