package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"solander/access"
	"solander/people"
	"solander/studio"
	"solander/upkeep"
	"solander/web/gate"
)

const goodWord = "kelp bicycle tuesday oven"

// browser is one that keeps cookies.
type browser struct {
	*site
	cookies map[string]*http.Cookie
}

func (b *browser) do(r *http.Request) answer {
	b.t.Helper()
	for _, c := range b.cookies {
		r.AddCookie(c)
	}
	a := b.send(r)
	for _, c := range (&http.Response{Header: a.header}).Cookies() {
		if c.MaxAge < 0 {
			delete(b.cookies, c.Name)
		} else {
			b.cookies[c.Name] = c
		}
	}
	return a
}

func (b *browser) look(path string) answer {
	b.t.Helper()
	return b.do(httptest.NewRequest("GET", "http://localhost"+path, nil))
}

func (b *browser) sends(path string, fields ...string) answer {
	b.t.Helper()
	return b.do(formRequest(path, values(fields...)))
}

func (s *site) browser() *browser { return &browser{s, map[string]*http.Cookie{}} }

// owned is a studio whose owner has an account, and the browser in which she made it.
func (s *site) owned() *browser {
	s.t.Helper()
	b := s.browser()
	b.sends("/studio/people/first", "name", "Ines Corrow", "password", goodWord, "again", goodWord).is(303)
	return b
}

// Source: OWASP ASVS 5.0: 3.3.1, 3.3.2, 3.3.4 (cookies), 7.2.4 (another token at every sign-in), 7.4.1 (ended at the server), 6.3.8.
func TestSigningInAndOut(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.owned()
	first := *b.cookies["solander-session"]
	if !first.HttpOnly || first.SameSite != http.SameSiteLaxMode || first.Path != "/" || len(first.Value) != 43 {
		t.Errorf("the cookie is %+v", first)
	}
	other := s.browser()
	other.look("/orders").is(303)
	in := func(name, word string) answer {
		return other.sends("/sign-in", "name", name, "password", word, "to", "/orders")
	}
	unknown, wrong := in("Nobody", "kelp bicycle tuesday over").is(401), in("Ines Corrow", "kelp bicycle tuesday over").is(401)
	if a, b := textOf(unknown.one("#faults")), textOf(wrong.one("#faults")); a != b || !strings.Contains(a, "is not right") {
		t.Errorf("of nobody it says %q, of a wrong password %q", a, b)
	}
	if strings.Contains(string(wrong.body), "tuesday") {
		t.Error("the page holds the password that was typed")
	}
	if log := s.log.String(); strings.Contains(log, "kelp") || !strings.Contains(log, "account 1: the password is wrong") || !strings.Contains(log, "account 0: the password is wrong") {
		t.Errorf("the log: %s", log)
	}
	if a := in("Ines Corrow", goodWord).is(303); a.location != "/account?said=failedbefore" {
		t.Errorf("she is led to %s", a.location)
	}
	if second := other.cookies["solander-session"]; second.Value == first.Value {
		t.Error("two browsers hold one token")
	}
	before := other.cookies["solander-session"].Value
	if a := in("Ines Corrow", goodWord).is(303); a.location != "/orders" || other.cookies["solander-session"].Value == before {
		t.Errorf("signed in again she is at %s, with the token of before: %t", a.location, other.cookies["solander-session"].Value == before)
	}
	old := s.browser()
	old.cookies["solander-session"] = &http.Cookie{Name: "solander-session", Value: before}
	old.look("/orders").is(303)
	for _, to := range []string{"//studio.example/", "https://studio.example/", `/\studio.example`, "studio", "/a\r\nSet-Cookie: x=y"} {
		if a := other.sends("/sign-in", "name", "Ines Corrow", "password", goodWord, "to", to).is(303); a.location != "/" {
			t.Errorf("to %q she is led to %q", to, a.location)
		}
	}
	token := other.cookies["solander-session"].Value
	if a := other.sends("/sign-out").is(303); a.header.Get("Clear-Site-Data") != `"cache", "cookies", "storage"` {
		t.Error("a browser keeps what it has of the pages after signing out (ASVS 5.0, 14.3.1)")
	}
	old.cookies["solander-session"] = &http.Cookie{Name: "solander-session", Value: token}
	old.look("/orders").is(303)
	b.look("/orders").is(200)
}

// Source: ASVS 5.0, 7.3.1 and 7.3.2: a session ends after a time without use, and after a time whatever its use.
func TestSessionsRunOut(t *testing.T) {
	t.Parallel()
	for what, x := range map[string]struct {
		made, seen time.Duration
		in         bool
	}{
		"just now":              {0, 0, true},
		"seen eleven hours ago": {20 * time.Hour, 11 * time.Hour, true},
		"not seen for a day":    {24 * time.Hour, 24 * time.Hour, false},
		"seen now, a week old":  {people.SessionOf, 0, false},
		"seen now, six days":    {6 * 24 * time.Hour, 0, true},
	} {
		s := newSite(t)
		b := s.owned()
		s.must(s.studio.Store.Write(s.ctx(), func(tx studio.Tx) error {
			all, err := tx.Sessions(1)
			if err != nil {
				return err
			}
			all[0].Made, all[0].Seen = noon.Add(-x.made), noon.Add(-x.seen)
			_, err = tx.SaveSession(all[0])
			return err
		}))
		if a := b.look("/orders"); (a.status == 200) != x.in {
			t.Errorf("%s: status %d", what, a.status)
		}
	}
}

// Whoever came by a first password chooses her own before anything else; signing out everywhere ends all, devices too.
func TestFirstPasswordAndEverywhere(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	owner := s.owned()
	word := textOf(owner.sends("/studio/people", "name", "Nell Orme", "role", "helper").is(200).one("#first code"))
	nell := s.browser()
	nell.sends("/sign-in", "name", "Nell Orme", "password", word).is(303)
	if a := nell.look("/orders"); a.location != "/account/password" {
		t.Errorf("by her first password she comes to %d %s", a.status, a.location)
	}
	nell.sends("/account/password", "password", word, "again", word).is(422)
	nell.sends("/account/password", "password", "reed lamp orchard nine", "again", "reed lamp orchard ten").is(422)
	nell.sends("/account/password", "password", "reed lamp orchard nine", "again", "reed lamp orchard nine").is(303)
	nell.look("/orders").is(200)
	nell.look("/studio").is(403)
	phone, err := people.GrantKey(s.ctx(), s.studio, people.Grant{Person: 2, Name: "kitchen phone"})
	s.must(err)
	device := s.browser()
	device.cookies["solander-device"] = &http.Cookie{Name: "solander-device", Value: phone.Secret}
	device.look("/orders").is(200)
	owner.sends("/studio/people/2/everywhere").is(303)
	device.look("/orders").is(303)
	nell.look("/orders").is(303)
	owner.sends("/studio/people/1/end").is(409).has("#faults", "No owner would be left")
	owner.sends("/studio/people/1/role", "role", "reader").is(409).has("#faults", "No owner would be left")
}

// A trusted computer is asked no more, until she signs out there.
func TestTrustedComputer(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.owned()
	b.sends("/account/trust").is(303)
	delete(b.cookies, "solander-session")
	b.look("/orders").is(200)
	if a := b.look("/studio/backup"); a.status != 303 || !strings.HasPrefix(a.location, "/account/prove?to=") {
		t.Errorf("a backup by the key alone: %d %s", a.status, a.location)
	}
	b.sends("/account/prove", "proof", goodWord, "to", "/studio/backup").is(303)
	b.look("/studio/backup").is(200)
	key := *b.cookies["solander-device"]
	b.sends("/sign-out").is(303)
	b.cookies["solander-device"] = &key
	b.look("/orders").is(303)
}

// What a form held is sent on with the proof; a wrong proof does nothing.
func TestProofGoesWithTheForm(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.owned()
	s.must(s.studio.Store.Write(s.ctx(), func(tx studio.Tx) error {
		all, err := tx.Sessions(1)
		if err != nil {
			return err
		}
		all[0].Proved = noon.Add(-people.FreshFor)
		_, err = tx.SaveSession(all[0])
		return err
	}))
	asked := b.sends("/studio/people", "name", "Nell <Orme>", "role", "reader", "once", "k").is(403)
	sent := url.Values{}
	for _, n := range asked.find("main form input[type=hidden]") {
		sent.Set(attr(n, "name"), attr(n, "value"))
	}
	if sent.Get("name") != "Nell <Orme>" || sent.Get("role") != "reader" || sent.Get("once") != "k" {
		t.Errorf("sent on is %v", sent)
	}
	b.sends("/studio/people", "name", "Nell <Orme>", "role", "reader", "once", "k", "proof", "no").is(401)
	if all, err := people.All(s.ctx(), s.studio); err != nil || len(all) != 1 {
		t.Errorf("there are %d people, %v", len(all), err)
	}
	token := b.cookies["solander-session"].Value
	b.sends("/studio/people", "name", "Nell <Orme>", "role", "reader", "once", "k", "proof", goodWord).is(200)
	if b.cookies["solander-session"].Value == token {
		t.Error("proved, her token is that of before")
	}
	b.sends("/studio/people", "name", "Odo", "role", "reader").is(200) // it suffices for a while
}

// What gives a key or a buyer's data away, or destroys, is done by who proved lately who she is alone; her form is sent on whole, and done
// with the proof in it. A file is led to by the proof.
func TestProofBeforeKeysAndBuyers(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	s.keeping()
	b := s.owned()
	stale := func() {
		t.Helper()
		s.must(s.studio.Store.Write(upkeep.WhileLeaving(s.ctx()), func(tx studio.Tx) error {
			all, err := tx.Sessions(1)
			if err != nil {
				return err
			}
			all[0].Proved = noon.Add(-people.FreshFor)
			_, err = tx.SaveSession(all[0])
			return err
		}))
	}
	folder := t.TempDir()
	for _, row := range []struct {
		path   string
		status int
		fields []string
	}{
		{"/studio/copies", 303, []string{"to", "folder", "folder", folder, "time", "02:30", "keep.days", "7", "keep.weeks", "4", "keep.months", "12"}},
		{"/studio/copies/key", 200, nil},
		{"/studio/copies/leave", 200, []string{"into", folder, "sure", "1"}},
		{"/studio/copies/back", 303, nil},
		{"/studio/privacy", 303, []string{"retention.years", "11", "retention.unpaid_years", "0", "retention.tax_years", "10"}},
		{"/studio/privacy/wipe", 303, nil},
		{"/buyers/1/erase", 422, nil}, // she has not said that she is sure
		{"/studio/copies/stop", 303, nil},
	} {
		stale()
		before := s.sum()
		asked := b.sends(row.path, row.fields...).is(403)
		if s.sum() != before {
			t.Errorf("%s wrote without a proof", row.path)
		}
		sent := []string{"proof", goodWord}
		for _, n := range asked.find("main form input[type=hidden]") {
			sent = append(sent, attr(n, "name"), attr(n, "value"))
		}
		for _, name := range row.fields {
			if !slices.Contains(sent, name) {
				t.Errorf("%s: %q is not sent on", row.path, name)
			}
		}
		if a := b.sends(row.path, sent...); a.status != row.status {
			t.Errorf("%s with the proof: %d, want %d: %.300s", row.path, a.status, row.status, textOf(a.root))
		}
	}
	for _, path := range []string{"/buyers/1/data.zip", "/studio/privacy/erasures.json", "/studio/backup", "/studio/export"} {
		stale()
		if a := b.look(path).is(303); !strings.HasPrefix(a.location, "/account/prove?to=") {
			t.Errorf("%s leads to %s", path, a.location)
		}
		if a := b.sends("/account/prove", "to", path, "proof", goodWord).is(303); a.location != path {
			t.Errorf("the proof leads to %s", a.location)
		}
		if a := b.look(path).is(200); !strings.HasPrefix(a.header.Get("Content-Disposition"), "attachment") {
			t.Errorf("%s is no download", path)
		}
	}
}

// Beyond this machine nobody comes in without an account, not even while there is none; under TLS cookies are the host's own.
func TestBeyondThisMachine(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.face = newFace(s.studio, Options{Hosts: []string{"studio.example"}, Gate: gate.Options{Shut: true, Secure: true, Proxied: true}, Patience: patient})
	s.handler = s.face.handler()
	ask := func(r *http.Request) *httptest.ResponseRecorder {
		r.Host = "studio.example"
		w := httptest.NewRecorder()
		s.handler.ServeHTTP(w, r)
		return w
	}
	if w := ask(httptest.NewRequest("GET", "http://studio.example/orders", nil)); w.Code != 303 || w.Header().Get("Strict-Transport-Security") == "" {
		t.Errorf("without any account: %d, %v", w.Code, w.Header())
	}
	if w := ask(formRequest("/studio/people/first", values("name", "Mallory", "password", goodWord, "again", goodWord))); w.Code != 401 {
		t.Errorf("the first account is made from beyond: %d", w.Code)
	}
	_, err := people.FirstOwner(s.ctx(), s.studio, "Ines Corrow", goodWord, "")
	s.must(err)
	r := formRequest("/sign-in", values("name", "Ines Corrow", "password", goodWord))
	r.Header.Set("X-Forwarded-For", "203.0.113.9, 198.51.100.4")
	w := ask(r)
	cookies := w.Result().Cookies()
	if i := slices.IndexFunc(cookies, func(c *http.Cookie) bool { return c.Name == "__Host-solander-session" && c.Secure }); w.Code != 303 || i < 0 {
		t.Errorf("signed in: %d, %v", w.Code, cookies)
	}
	if got := s.face.gate.Address(r); got != "198.51.100.4" {
		t.Errorf("it comes from %s", got)
	}
	if w := ask(formRequest("/account/trust", nil)); w.Code != 401 {
		t.Errorf("trust without a session: %d", w.Code)
	}
}

// What a role may not do is not on its pages: whatever a page offers it, the gate lets pass.
func TestPagesOfferWhatMayBeDone(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	paths := s.paths()
	actors := s.staffed()
	offered := 0
	for _, a := range actors {
		if a.token == "" || a.first || a.role == access.Owner || !a.fresh {
			continue
		}
		for _, path := range paths {
			w := httptest.NewRecorder()
			r := as(a, "GET", path)
			s.handler.ServeHTTP(w, r)
			if w.Code != 200 || !strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
				continue
			}
			p := parse(t, w.Body.Bytes())
			for _, n := range p.find("form") {
				method := "GET"
				if attr(n, "method") == "post" {
					method = "POST"
				}
				offered++
				if row, ok := s.face.rights.Match(s.face.mux, httptest.NewRequest(method, "http://localhost"+attr(n, "action"), nil)); ok && !row.May(a.role) {
					t.Errorf("%s offers a %s the form %s", path, a.role, attr(n, "action"))
				}
			}
			for _, n := range p.find("a") {
				if !strings.HasPrefix(attr(n, "href"), "/") {
					continue
				}
				offered++
				if row, ok := s.face.rights.Match(s.face.mux, httptest.NewRequest("GET", "http://localhost"+attr(n, "href"), nil)); ok && !row.May(a.role) {
					t.Errorf("%s offers a %s the page %s", path, a.role, attr(n, "href"))
				}
			}
		}
	}
	if offered < 500 {
		t.Errorf("only %d things were offered", offered)
	}
}
