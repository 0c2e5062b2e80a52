package api

import (
	"log/slog"
	"net"
	"net/http"
	"sync"
	"time"
)

// refusals counts who is turned away because nobody knows the token or the signature, and logs it: the first at once, then no
// more than one line a minute with how many there were. What was sent as token or signature is never logged.
type refusals struct {
	log   *slog.Logger
	clock func() time.Time
	mu    sync.Mutex
	kinds map[string]*refusal
}

type refusal struct {
	all, since int       // since: not logged yet
	logged     time.Time // the last line
}

// toldEvery is how often one kind of refusal is logged at most.
const toldEvery = time.Minute

func (c *refusals) note(what string, r *http.Request) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.kinds == nil {
		c.kinds = map[string]*refusal{}
	}
	k := c.kinds[what]
	if k == nil {
		k = &refusal{}
		c.kinds[what] = k
	}
	k.all++
	k.since++
	now := c.clock()
	if since := now.Sub(k.logged); !k.logged.IsZero() && since >= 0 && since < toldEvery {
		return
	}
	from, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		from = r.RemoteAddr
	}
	c.log.Warn(what, "from", from, "method", r.Method, "path", r.URL.Path, "count", k.since, "in all", k.all)
	k.since, k.logged = 0, now
}
