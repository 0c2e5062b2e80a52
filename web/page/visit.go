package page

import (
	"bytes"
	"context"
	"net/http"

	"solander/studio"
)

// visit is what a request sees while its page is read: the studio in one state. Its page is written when that state is
// let go, so that neither a slow browser nor the planner holds it.
type visit struct {
	studio *studio.Studio                  // nil: it was let go
	after  func(http.ResponseWriter) error // answers when it was
}

type visitKey struct{}

func visitOf(r *http.Request) *visit {
	v, _ := r.Context().Value(visitKey{}).(*visit)
	return v
}

// Seen is the studio as a request sees it: in one state for a page, as it stands for a form that was sent.
func (f *Kit) Seen(r *http.Request) *studio.Studio {
	if v := visitOf(r); v != nil && v.studio != nil {
		return v.studio
	}
	return f.Studio
}

// Visit lets do read the studio in one state and answer; what it answers is sent when the state is let go. Within a
// visit it is the same visit.
func (f *Kit) Visit(w http.ResponseWriter, r *http.Request, do func(http.ResponseWriter, *http.Request) error) error {
	if v := visitOf(r); v != nil && v.studio != nil {
		return do(w, r)
	}
	answer := &answer{ResponseWriter: w}
	v := &visit{after: answer.send}
	if err := f.look(r, v, func(r *http.Request) error { return do(answer, r) }); err != nil {
		return err
	}
	return v.after(w)
}

// Stream is Visit for an answer that is too long to be held: the state is, until all is sent.
func (f *Kit) Stream(w http.ResponseWriter, r *http.Request, do func(http.ResponseWriter, *http.Request) error) error {
	v := &visit{after: func(http.ResponseWriter) error { return nil }}
	if err := f.look(r, v, func(r *http.Request) error { return do(w, r) }); err != nil {
		return err
	}
	return v.after(w)
}

func (f *Kit) look(r *http.Request, v *visit, do func(*http.Request) error) error {
	return f.Studio.Look(r.Context(), func(s *studio.Studio) error {
		v.studio = s
		defer func() { v.studio = nil }()
		return do(r.WithContext(context.WithValue(r.Context(), visitKey{}, v)))
	})
}

// After does what needs no more than was read (planning, most of all), and answers, when the state of a visit is let go.
func After(w http.ResponseWriter, r *http.Request, do func(http.ResponseWriter) error) error {
	v := visitOf(r)
	if v == nil || v.studio == nil {
		return do(w)
	}
	v.after = do
	return nil
}

// answer is held until it is sent.
type answer struct {
	http.ResponseWriter
	status int
	body   bytes.Buffer
}

func (a *answer) WriteHeader(status int) { a.status = status }

func (a *answer) Write(b []byte) (int, error) { return a.body.Write(b) }

func (a *answer) send(w http.ResponseWriter) error {
	if a.status != 0 {
		w.WriteHeader(a.status)
	}
	_, err := a.body.WriteTo(w)
	return err
}
