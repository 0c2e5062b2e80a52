package web

import (
	"cmp"
	"context"
	"errors"
	"maps"
	"net/http"

	"solander/fault"
	"solander/internal/status"
	"solander/people"
	"solander/studio"
	"solander/web/gate"
	"solander/web/page"
)

// route is one row of the table in routes.go.
type route struct {
	method, path string
	do           func(http.ResponseWriter, *http.Request) error
	streams      bool  // takes as long as it takes
	early        bool  // works before the studio is set up
	camera       bool  // its page may look through the camera
	waits        bool  // waits for something, and reads no page
	live         bool  // its page says when what it shows has changed
	files        files // which it takes
}

// first shows a page whose form was not sent yet.
func first(show func(http.ResponseWriter, *http.Request, *page.Failure) error) func(http.ResponseWriter, *http.Request) error {
	return func(w http.ResponseWriter, r *http.Request) error { return show(w, r, nil) }
}

// byID does what is about a thing that the address names by its number.
func byID(name string, do func(http.ResponseWriter, *http.Request, int64) error) func(http.ResponseWriter, *http.Request) error {
	return func(w http.ResponseWriter, r *http.Request) error {
		id, err := page.PathID(r, name)
		if err != nil {
			return err
		}
		return do(w, r, id)
	}
}

// serve is the one wrapper of all handlers: it reads the form, minds double sending, and shows and logs
// what went wrong.
func (f *face) serve(rt route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !rt.streams {
			var stop context.CancelFunc
			r, stop = f.inTime(r)
			defer stop()
		}
		if r.Method == http.MethodPost {
			r = r.WithContext(studio.WithForm(r.Context(), &studio.Form{}))
		}
		if rt.camera {
			w.Header().Set("Permissions-Policy", asksToSee)
		}
		defer f.caught(w, r)
		ctx, caller := people.WithCaller(r.Context())
		r = r.WithContext(ctx)
		defer func() { f.seen(ctx, caller.Who) }()
		row := f.rights.Of(rt.method, rt.path)
		r, err := f.admitted(rt, r)
		if err == nil || !isTurned(err) { // where the store could not tell who asks, the page that says so offers to send it again
			read := readForm(w, r, rt.files)
			if read == nil && r.Method == http.MethodPost {
				r = r.WithContext(context.WithValue(r.Context(), page.TypedKey{}, maps.Clone(r.PostForm)))
			}
			err = cmp.Or(err, read)
		}
		if err == nil && r.Method == http.MethodPost && f.gate.Stale(f.Studio, row, caller.Who) {
			var done bool
			if done, err = f.accounts.Again(w, r); done && err == nil {
				return
			}
		}
		defer forget(r)
		switch {
		case err != nil:
			drain(r)
		case r.Method == http.MethodPost:
			err = f.doOnce(w, r, func(w http.ResponseWriter) error { return f.begun(rt, w, r) })
		default:
			err = f.begun(rt, w, r)
		}
		if err != nil {
			f.turnAway(w, r, err)
		}
	})
}

func isTurned(err error) bool {
	var t *gate.Turned
	return errors.As(err, &t)
}

// turnAway answers who may not, or what went wrong: a page may be led to where it can be mended.
func (f *face) turnAway(w http.ResponseWriter, r *http.Request, err error) {
	var t *gate.Turned
	if errors.As(err, &t) && t.To != "" && r.Method != http.MethodPost {
		http.Redirect(w, r, t.To, http.StatusSeeOther)
		return
	}
	if t != nil && t.Refused() {
		f.Away.Note("who is signed in may not do what was asked", r.Pattern, r)
	}
	f.Fail(w, r, status.Of(err), err)
}

// admitted lets the sender of a form in before anything of it is read, and who waits for something. A page tells who asks from the state
// that it shows.
func (f *face) admitted(rt route, r *http.Request) (*http.Request, error) {
	if r.Method != http.MethodPost && !rt.waits {
		return r, nil
	}
	return f.gate.Admit(f.Studio, r, f.rights.Of(rt.method, rt.path))
}

// begun does what the route says; a page reads the studio in one state.
func (f *face) begun(rt route, w http.ResponseWriter, r *http.Request) error {
	do := func(w http.ResponseWriter, r *http.Request) error { return f.withSettings(rt, w, r) }
	if rt.live {
		r = page.WithLive(r)
	}
	switch {
	case rt.waits:
		return rt.do(w, r)
	case r.Method == http.MethodPost:
		return do(w, r)
	case rt.streams:
		return f.Stream(w, r, do)
	}
	return f.Visit(w, r, do)
}

// withSettings does what the route says by the settings as they stand; before set-up it leads there.
func (f *face) withSettings(rt route, w http.ResponseWriter, r *http.Request) error {
	set, err := f.Seen(r).Settings(r.Context())
	if err != nil {
		return err
	}
	r = page.WithSettings(r, set)
	if r.Method != http.MethodPost {
		if r, err = f.gate.Admit(f.Seen(r), r, f.rights.Of(rt.method, rt.path)); err != nil {
			return err
		}
	}
	if !rt.early {
		if !set.Ready() {
			if r.Method == http.MethodPost {
				return fault.New(fault.Refused, "the studio is not set up yet").ToMend("set it up first")
			}
			http.Redirect(w, r, "/set-up", http.StatusSeeOther)
			return nil
		}
		if people.Asking(r.Context()).Alone {
			r = r.WithContext(studio.WithWho(r.Context(), set.Artist)) // there are no accounts: who sits here is the artist
		}
	}
	return rt.do(w, r)
}

// caught answers for a handler that panicked.
func (f *face) caught(w http.ResponseWriter, r *http.Request) {
	if status.Broken(f.Log, r, recover(), "a page broke") {
		f.Fail(w, r, http.StatusInternalServerError, fault.New(fault.Internal, "this page broke"))
	}
}

// dispatch finds the route; for what has none it shows a page of ours, with the status the router chose
// (404, or 405 and which methods are allowed).
func (f *face) dispatch(w http.ResponseWriter, r *http.Request) {
	if !status.Plain(r.URL.Path) {
		f.noPage(w, r)
		return
	}
	if _, pattern := f.mux.Handler(r); pattern != "" {
		f.mux.ServeHTTP(w, r)
		return
	}
	if allow := status.Allowed(f.mux, r); allow != "" {
		w.Header().Set("Allow", allow)
		f.Fail(w, r, http.StatusMethodNotAllowed, fault.New(fault.Invalid, "this address does not take %.20q", r.Method).
			ToMend("go back and use the form or link of the page"))
		return
	}
	f.noPage(w, r)
}

func (f *face) noPage(w http.ResponseWriter, r *http.Request) {
	f.Fail(w, r, http.StatusNotFound, fault.New(fault.Missing, "there is no such page").ToMend("start from the bench, or search"))
}
