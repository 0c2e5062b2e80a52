package web

import (
	"context"
	"net/http"
	"time"

	"solander/people"
)

// askTime is how long it may take to tell who asks where it matters for the frame of a page alone.
const askTime = time.Second

// ask tells who asks of a request that no page looked at; told is false while the store is away.
func (f *face) ask(r *http.Request) (who people.Who, told bool) {
	ctx, stop := context.WithTimeout(context.WithoutCancel(r.Context()), askTime)
	defer stop()
	who, err := f.gate.Who(ctx, f.Studio, r)
	return who, err == nil
}

// trim takes out of a page what who asks may not do.
func (f *face) trim(r *http.Request, body []byte) ([]byte, error) {
	return f.rights.Trim(f.mux, people.Asking(r.Context()), body)
}

// seenTime is how long it may take to note that somebody was seen.
const seenTime = 2 * time.Second

func (f *face) seen(ctx context.Context, who people.Who) {
	ctx, stop := context.WithTimeout(context.WithoutCancel(ctx), seenTime)
	defer stop()
	if err := people.Seen(ctx, f.Studio, who); err != nil {
		f.Log.Debug("nobody could note who was seen", "err", err)
	}
}
