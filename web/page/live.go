package page

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"time"
)

// longestWait is how long a page waits for a change before it asks again: less than anything between it and the program would wait.
const longestWait = 25 * time.Second

type liveKey struct{}

// WithLive gives a request the word that its page says when what it shows has changed.
func WithLive(r *http.Request) *http.Request {
	return r.WithContext(context.WithValue(r.Context(), liveKey{}, true))
}

func isLive(r *http.Request) bool { return r.Context().Value(liveKey{}) != nil }

// Changes answers as soon as something was written since a page was read, with how many writes there were; with nothing when nothing was for
// a while. Nothing of the studio is held meanwhile.
func (f *Kit) Changes(w http.ResponseWriter, r *http.Request) error {
	since, err := strconv.ParseInt(r.URL.Query().Get("since"), 10, 64)
	if err != nil || since < 0 {
		return Missing("count of changes", 0)
	}
	ctx, stop := context.WithTimeout(r.Context(), longestWait)
	defer stop()
	writes, err := f.bell.Await(ctx, since)
	if err != nil {
		return err
	}
	if writes == since {
		w.WriteHeader(http.StatusNoContent)
		return nil
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, err = fmt.Fprint(w, writes)
	return err
}
