// Package gate stands before all pages: it tells who asks, by the session or the device's key that the browser holds, and whether they may,
// by one table of rights (rights.go). While there is no account, who sits at the machine is the artist, and nothing is asked.
package gate

import (
	"context"
	"net"
	"net/http"
	"net/url"
	"strings"
	"time"

	"solander/access"
	"solander/fault"
	"solander/people"
	"solander/studio"
)

// Options say where the pages are answered.
type Options struct {
	Shut   bool // they are answered beyond this machine: without an account nobody comes in
	Secure bool // browsers reach them by TLS alone: cookies are marked so
	// Proxied: a proxy stands before them, which takes TLS off and adds to X-Forwarded-For from where a request came to it.
	Proxied bool
	// Phones: they are answered to phones. Who holds a phone's key is looked at before (see WithPhone), since the key turns as it is used.
	Phones bool
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
	c := &http.Cookie{Name: g.named(name), Value: value, Path: "/", HttpOnly: true, Secure: g.opt.Secure, SameSite: http.SameSiteLaxMode, MaxAge: int(lasts.Seconds())}
	if value == "" {
		c.MaxAge = -1
	}
	http.SetCookie(w, c)
}

// Enter lets the browser hold a session that was begun.
func (g *Gate) Enter(w http.ResponseWriter, e people.Entered) {
	g.give(w, sessionCookie, e.Token, people.SessionOf)
}

// Leave lets the browser forget what lets it in.
func (g *Gate) Leave(w http.ResponseWriter) {
	g.give(w, sessionCookie, "", 0)
	g.give(w, keyCookie, "", 0)
}

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
	}{{sessionCookie, people.BySession}, {keyCookie, g.byKey}} {
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

// phone is who holds a phone's key; why says why it lets nobody in.
type phone struct {
	who people.Who
	why error
}

type phoneKey struct{}

// WithPhone returns the context of a request that came with a phone's key: who holds it, or why it lets nobody in.
func WithPhone(ctx context.Context, who people.Who, why error) context.Context {
	return context.WithValue(ctx, phoneKey{}, phone{who, why})
}

// byKey tells who asks by the key of a device.
func (g *Gate) byKey(ctx context.Context, s *studio.Studio, secret string) (people.Who, error) {
	if !g.opt.Phones {
		return people.ByKey(ctx, s, secret)
	}
	p, ok := ctx.Value(phoneKey{}).(phone)
	if !ok {
		return people.Who{}, fault.New(fault.Unknown, "nobody looked at the key of this phone")
	}
	return p.who, p.why
}

// stranger turns away who is not known: a phone whose key is good no more is told why, one without a key may come in by a code.
func (g *Gate) stranger(r *http.Request, here string) *Turned {
	out := &Turned{"/sign-in?" + here, fault.New(fault.Unknown, "you are not signed in here").ToMend("sign in, then send it again")}
	if p, ok := r.Context().Value(phoneKey{}).(phone); ok {
		out.To, out.fault = "", fault.All(p.why)[0]
	} else if g.opt.Phones && r.URL.Path == "/" {
		out.To = "/phone"
	}
	return out
}

// Turned is a request that is turned away; Unwrap says why.
type Turned struct {
	To    string // where a page is led instead: to sign in, to choose a password, to prove who it is
	fault *fault.Error
}

func (t *Turned) Error() string { return t.fault.Error() }

// Unwrap returns the fault.
func (t *Turned) Unwrap() error { return t.fault }

// Refused reports whether somebody is known who may not.
func (t *Turned) Refused() bool { return t.To == "" && t.fault.Code == fault.Denied }

// Admit returns the request with who asks in its context. Faults: a Turned that is Unknown for nobody, where somebody must be known, and
// Denied for who may not, or did not prove lately who she is; of a form the latter is looked at once it is read (see Stale).
func (g *Gate) Admit(s *studio.Studio, r *http.Request, row Row) (*http.Request, error) {
	who, err := g.Who(r.Context(), s, r)
	if err != nil {
		return r, err
	}
	r = r.WithContext(people.WithWho(r.Context(), who))
	here := url.Values{"to": {r.URL.RequestURI()}}.Encode()
	switch {
	case row.Open():
		return r, nil
	case !who.Known():
		return r, g.stranger(r, here)
	case !row.May(who.Role):
		return r, &Turned{"", fault.New(fault.Denied, "%s may not do this", article(who.Role)).ToMend("ask an owner")}
	case !who.Person.Until.IsZero() && !row.First:
		return r, &Turned{"/account/password", fault.New(fault.Denied, "you came in by a first password").ToMend("choose one of your own first")}
	case who.Person.Until.IsZero() && who.Lacks && !row.Bare && g.Away(r):
		return r, &Turned{"/account/second", fault.New(fault.Denied, "a second factor is demanded of you here").ToMend("set one up first")}
	case r.Method != http.MethodPost && g.Stale(s, row, who):
		return r, &Turned{"/account/prove?" + here, fault.New(fault.Denied, "you did not show lately who you are").ToMend("show it once more")}
	}
	return r, nil
}

// Stale reports whether who asks must prove first who she is.
func (g *Gate) Stale(s *studio.Studio, row Row, who people.Who) bool {
	return row.Fresh && !who.Fresh(s.Clock())
}

func article(r access.Role) string {
	if r == access.Owner {
		return "an " + r.Word()
	}
	return "a " + r.Word()
}

// Site is where passkeys are used that a request is for; none where they do not work.
func (g *Gate) Site(r *http.Request) people.Site {
	scheme := "http"
	if g.opt.Secure {
		scheme = "https"
	}
	return people.SiteOf(scheme, r.Host)
}

// Address is from where a request comes. Behind a proxy it is what the proxy noted last; what came before that anybody may have written.
func (g *Gate) Address(r *http.Request) string {
	if g.opt.Proxied {
		all := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
		if last := strings.TrimSpace(all[len(all)-1]); last != "" {
			return last
		}
	}
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}

// Away reports whether a request comes from another machine than the studio's own; what cannot be told comes from another.
func (g *Gate) Away(r *http.Request) bool {
	if !g.opt.Shut {
		return false
	}
	if g.opt.Proxied && r.Header.Get("X-Forwarded-For") == "" {
		return true
	}
	ip := net.ParseIP(g.Address(r))
	return ip == nil || !ip.IsLoopback()
}

// Here reports whether the pages are answered on this machine alone.
func (g *Gate) Here() bool { return !g.opt.Shut }

// Secure reports whether browsers reach the pages by TLS alone.
func (g *Gate) Secure() bool { return g.opt.Secure }

// Held is the token of the session that a browser holds, whether or not it is good; "" = none.
func (g *Gate) Held(r *http.Request) string { return g.held(r, sessionCookie) }

// HeldKey is the device's key that a browser holds; "" = none.
func (g *Gate) HeldKey(r *http.Request) string { return g.held(r, keyCookie) }
