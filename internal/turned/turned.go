// Package turned counts who is turned away because nobody knows the token, the signature or the secret address that came, and logs it.
package turned

import (
	"log/slog"
	"net"
	"net/http"
	"sync"
	"time"
)

// Away counts who is turned away, by what was wrong: the first is logged at once, then no more than one line a minute with how many
// there were. What was sent as token, signature or secret is never logged. It is safe for concurrent use.
type Away struct {
	log   *slog.Logger
	clock func() time.Time
	mu    sync.Mutex
	kinds map[string]*kind
}

type kind struct {
	all, since int       // since: not logged yet
	logged     time.Time // the last line
}

// every is how often one kind is logged at most.
const every = time.Minute

// New returns a count at nobody.
func New(log *slog.Logger, clock func() time.Time) *Away {
	return &Away{log: log, clock: clock, kinds: map[string]*kind{}}
}

// Note counts a request for what was wrong with it; path is the pattern of where it went, or what of it is not secret.
func (a *Away) Note(what, path string, r *http.Request) {
	a.mu.Lock()
	defer a.mu.Unlock()
	k := a.kinds[what]
	if k == nil {
		k = &kind{}
		a.kinds[what] = k
	}
	k.all++
	k.since++
	now := a.clock()
	if since := now.Sub(k.logged); !k.logged.IsZero() && since >= 0 && since < every {
		return
	}
	from, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		from = r.RemoteAddr
	}
	a.log.Warn(what, "from", from, "method", r.Method, "route", path, "count", k.since, "in all", k.all)
	k.since, k.logged = 0, now
}
