// Package page is what every page of the studio shares: the frame around it, its templates, a form that failed shown again,
// what was just done, and computations that take longer than a page should. It knows no page of its own but the plain ones (an error, one form, help) and holds no rules.
//
// Quantities are read and shown in the studio's units and currency. It never writes but by a use case of studio.
package page

import (
	"cmp"
	"context"
	"log/slog"
	"net/http"
	"time"

	"solander/internal/turned"
	"solander/live"
	"solander/people"
	"solander/studio"
)

// Options are what New needs beside the studio and the templates. Log defaults to slog.Default.
type Options struct {
	Log     *slog.Logger
	Version string
	Demo    bool            // this is the invented studio: every page says so
	Until   context.Context // then nobody waits for changes any more; nil = never
	Patience
}

// Patience is how long pages wait. What is zero has its usual value.
type Patience struct {
	Moment time.Duration // for a computation, before a page of its own tells how far it is; 900 ms
	Glance time.Duration // for what is shown beside something else, if it is known by then; 300 ms
	Search time.Duration // for the planner: then the best plans found so far are shown, told as not proven; 20 s
}

func (p Patience) usual() Patience {
	return Patience{cmp.Or(p.Moment, 900*time.Millisecond), cmp.Or(p.Glance, 300*time.Millisecond), cmp.Or(p.Search, 20*time.Second)}
}

// Kit is what the handlers of every room use. It is safe for concurrent use.
type Kit struct {
	Studio *studio.Studio
	Log    *slog.Logger
	Away   *turned.Away // who came with a secret address that is none

	// The pages that a form may be sent from; the one that it came from is shown again when it fails. The door sets
	// them, so that no room has to know another.
	AtBench func(http.ResponseWriter, *http.Request, *Failure) error
	AtOrder func(http.ResponseWriter, *http.Request, int64, *Failure) error

	// Ask tells who asks when no page did: before anything is known of a request, and where it leads nowhere. Trim takes out of a page
	// what who asks may not do.
	Ask  func(*http.Request) (who people.Who, told bool)
	Trim func(*http.Request, []byte) ([]byte, error)

	// Notices are what the bench says on top beside its own work; nil = nothing.
	Notices func(*http.Request) ([]Notice, error)

	Patience Patience

	demo       bool
	version    string
	pages      Pages
	reckonings reckonings
	bell       *live.Bell
}

// Notice is a line on top of the bench that is no work.
type Notice struct {
	Text, To, Link string // To is the page where more is said, under the words of Link; "" = nowhere
	Grave          bool
}

type settingsKey struct{}

// WithSettings gives a request the settings as they stand at its beginning: all of its page goes by them.
func WithSettings(r *http.Request, set studio.Settings) *http.Request {
	return r.WithContext(context.WithValue(r.Context(), settingsKey{}, set))
}

// Settings returns the settings that a request goes by; zero before set-up.
func Settings(r *http.Request) studio.Settings {
	set, _ := r.Context().Value(settingsKey{}).(studio.Settings)
	return set
}

// New returns the kit over a studio, with its pages.
func New(st *studio.Studio, pages Pages, opt Options) *Kit {
	if opt.Log == nil {
		opt.Log = slog.Default()
	}
	if opt.Until == nil {
		opt.Until = context.Background()
	}
	return &Kit{Studio: st, bell: live.New(opt.Until, st), Log: opt.Log, Away: turned.New(opt.Log, st.Clock), Patience: opt.Patience.usual(), demo: opt.Demo, version: opt.Version, pages: pages}
}
