package people

import (
	"context"
	"time"
	"unicode/utf8"

	"solander/access"
	"solander/fault"
	"solander/studio"
)

// How long a browser stays signed in: a working day without being seen, and a week at most. She works alone or with one helper, at home;
// what could do harm asks again after FreshFor.
const (
	IdleFor   = 12 * time.Hour
	SessionOf = 7 * 24 * time.Hour
)

// Entered is a session just begun, with its token, which stands in the browser alone.
type Entered struct {
	Who
	Token string
	// Failed is how many attempts under this account failed since the one before.
	Failed int
}

// BySession tells who asks by a session's token. Faults: Unknown when it lets nobody in.
func BySession(ctx context.Context, s *studio.Studio, token string) (Who, error) {
	return studio.Got(ctx, s, read, func(t *Door) (Who, error) {
		x, err := t.Session(studio.HashOf(token))
		if fault.Is(err, fault.Missing) || err == nil && over(x, t.Now) {
			return Who{}, unknown()
		}
		if err != nil {
			return Who{}, err
		}
		p, err := t.active(x.Person)
		if err != nil {
			return Who{}, err
		}
		lacks, err := t.lacks(p)
		return Who{Person: p, Role: p.Role, Session: x.ID, Seen: x.Seen, Proved: x.Proved, Lacks: lacks}, err
	})
}

func over(x access.Session, now time.Time) bool {
	return now.Sub(x.Seen) >= IdleFor || now.Sub(x.Made) >= SessionOf
}

// enter begins a session of a person who proved who she is.
func (t *Door) enter(s *studio.Studio, p access.Person, browser string) (Entered, error) {
	token, err := s.Secret()
	if err != nil {
		return Entered{}, err
	}
	if err := t.ForgetSessions(t.Now.Add(-IdleFor)); err != nil {
		return Entered{}, err
	}
	x := access.Session{Person: p.ID, Hash: studio.HashOf(token), Browser: shortened(browser), Made: t.Now, Seen: t.Now, Proved: t.Now}
	if x.ID, err = t.SaveSession(x); err != nil {
		return Entered{}, err
	}
	return Entered{Who: Who{Person: p, Role: p.Role, Session: x.ID, Seen: t.Now, Proved: t.Now}, Token: token}, nil
}

// mostBrowser is how much of what a browser says of itself is kept, in bytes.
const mostBrowser = 200

func shortened(browser string) string {
	if len(browser) > mostBrowser {
		browser = browser[:mostBrowser]
	}
	if !utf8.ValidString(browser) {
		return ""
	}
	return browser
}

// sessionOf reads the session that asks. Faults: Unknown when it ended meanwhile.
func (t *Door) sessionOf(w Who) (access.Session, error) {
	all, err := t.Sessions(w.Person.ID)
	if err != nil {
		return access.Session{}, err
	}
	for _, x := range all {
		if x.ID == w.Session {
			return x, nil
		}
	}
	return access.Session{}, unknown()
}

func (t *Door) seenSession(w Who) error {
	x, err := t.sessionOf(w)
	if err != nil {
		return err
	}
	x.Seen = t.Now
	_, err = t.SaveSession(x)
	return err
}
