// Package gate stands before all pages: it tells who asks, by the session or the device's key that the browser holds, and whether they may,
// by one table of rights (rights.go). While there is no account, who sits at the machine is the artist, and nothing is asked.
package gate

import (
	"context"
	"net/http"
	"time"

	"solander/fault"
	"solander/people"
	"solander/studio"
)

// Options say where the pages are answered.
type Options struct {
	Shut   bool // they are answered beyond this machine: without an account nobody comes in
	Secure bool // browsers reach them by TLS alone: cookies are marked so
}

// Gate is safe for concurrent use.
type Gate struct {
	opt Options
}

// New returns a gate.
func New(opt Options) *Gate { return &Gate{opt: opt} }

// Cookies. Under TLS their names begin with __Host-, so that only this very host can have set them (RFC 6265bis, 4.1.3.2).
const (
	sessionCookie = "solander-session"
	keyCookie     = "solander-device"
)

func (g *Gate) named(cookie string) string {
	if g.opt.Secure {
		return "__Host-" + cookie
	}
	return cookie
}

func (g *Gate) give(w http.ResponseWriter, name, value string, lasts time.Duration) {
	c := &http.Cookie{Name: g.named(name), Value: value, Path: "/", HttpOnly: true, Secure: g.opt.Secure, SameSite: http.SameSiteStrictMode, MaxAge: int(lasts.Seconds())}
	if value == "" {
		c.MaxAge = -1
	}
	http.SetCookie(w, c)
}

// Enter lets the browser hold a session that was begun.
func (g *Gate) Enter(w http.ResponseWriter, e people.Entered) {
	g.give(w, sessionCookie, e.Token, people.SessionOf)
}

// Leave lets the browser forget its session.
func (g *Gate) Leave(w http.ResponseWriter) { g.give(w, sessionCookie, "", 0) }

// keyLasts is how long a browser holds a device's key: as long as browsers hold anything (RFC 6265bis, 5.5: 400 days), from when it is
// given. It is revoked in the studio.
const keyLasts = 400 * 24 * time.Hour

// GiveKey lets the browser hold a device's key.
func (g *Gate) GiveKey(w http.ResponseWriter, secret string) { g.give(w, keyCookie, secret, keyLasts) }

// held is what a browser holds under a name; "" = nothing.
func (g *Gate) held(r *http.Request, name string) string {
	if c, err := r.Cookie(g.named(name)); err == nil {
		return c.Value
	}
	return ""
}

// Who tells who asks: nobody is no fault.
func (g *Gate) Who(ctx context.Context, s *studio.Studio, r *http.Request) (people.Who, error) {
	for _, by := range []struct {
		cookie string
		tell   func(context.Context, *studio.Studio, string) (people.Who, error)
	}{{sessionCookie, people.BySession}, {keyCookie, people.ByKey}} {
		token := g.held(r, by.cookie)
		if token == "" {
			continue
		}
		if w, err := by.tell(ctx, s, token); !fault.Is(err, fault.Unknown) {
			return w, err
		}
	}
	any, err := people.Any(ctx, s)
	if err != nil || any || g.opt.Shut {
		return people.Who{}, err
	}
	return people.Alone(), nil
}

// Caller is who asks in one request, once that is known.
type Caller struct{ Who people.Who }

type callerKey struct{}

// Begin returns a request that tells the caller when it is admitted.
func Begin(r *http.Request) (*http.Request, *Caller) {
	c := &Caller{}
	return r.WithContext(context.WithValue(r.Context(), callerKey{}, c)), c
}

// Admit returns the request with who asks in its context. Faults: Unknown for nobody, where somebody must be known; Denied.
func (g *Gate) Admit(s *studio.Studio, r *http.Request, row Row) (*http.Request, error) {
	who, err := g.Who(r.Context(), s, r)
	if err != nil {
		return r, err
	}
	if c, ok := r.Context().Value(callerKey{}).(*Caller); ok {
		c.Who = who
	}
	r = r.WithContext(people.WithWho(r.Context(), who))
	switch {
	case row.Open():
		return r, nil
	case !who.Known():
		return r, fault.New(fault.Unknown, "you are not signed in here").ToMend("sign in")
	case !row.May(who.Role):
		return r, fault.New(fault.Denied, "%s may not do this", article(who.Role)).ToMend("ask an owner")
	}
	return r, nil
}

func article(r studio.Role) string {
	if r == studio.RoleOwner {
		return "an " + r.Word()
	}
	return "a " + r.Word()
}
