package page

import (
	"context"
	"fmt"
	"net/http"

	"solander/dayplan"
)

// Planned runs what plans, when all that it follows from was read, and shows what comes out: at once when it is quick; else
// on a page of its own, that tells how far it is and can stop it. A form that failed is shown again at once, whatever that takes.
func Planned[T any](f *Kit, w http.ResponseWriter, r *http.Request, title, room string, run func(context.Context) (T, error), show func(http.ResponseWriter, *http.Request, T) error) error {
	return After(w, r, func(w http.ResponseWriter) error {
		return planned(f, w, r, &Reckoning{Title: title, Room: room}, run, show)
	})
}

func planned[T any](f *Kit, w http.ResponseWriter, r *http.Request, x *Reckoning, run func(context.Context) (T, error), show func(http.ResponseWriter, *http.Request, T) error) error {
	if r.Method == http.MethodPost {
		found, err := run(r.Context())
		if err != nil {
			return err
		}
		return show(w, r, found)
	}
	x.Show = func(w http.ResponseWriter, r *http.Request, result any) error {
		found, ok := result.(T)
		if !ok {
			return fmt.Errorf("web: %T is no answer to %s", result, x.Title)
		}
		return show(w, r, found)
	}
	x.begin(r, f.Patience.Search, func(until context.Context, tell dayplan.Tell) (any, error) {
		return run(dayplan.WithSearch(context.WithoutCancel(until), until, tell))
	})
	if x.wait(r.Context(), f.Patience.Moment) {
		return x.Answer(w, r)
	}
	if err := r.Context().Err(); err != nil {
		x.stop() // nobody waits for it
		return err
	}
	f.reckonings.add(x)
	to := x.Path()
	if r.URL.RawQuery != "" {
		to += "?" + r.URL.RawQuery // what was just done is told there, too
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// Searching is the context of a request whose planning ends in time for its page.
func (f *Kit) Searching(ctx context.Context) (context.Context, context.CancelFunc) {
	until, stop := context.WithTimeout(ctx, f.Patience.Search)
	return dayplan.WithSearch(ctx, until, nil), stop
}
