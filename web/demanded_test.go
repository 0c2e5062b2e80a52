package web

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"solander/access"
	"solander/people"
	"solander/people/totp"
	"solander/studio"
	"solander/web/gate"
)

// caller asks by the studio's name, from an address, and keeps cookies.
type caller struct {
	*site
	from    string
	cookies map[string]*http.Cookie
}

func (c *caller) do(r *http.Request) *httptest.ResponseRecorder {
	r.Host = "studio.example"
	if c.from != "" {
		r.Header.Set("X-Forwarded-For", c.from)
	}
	for _, k := range c.cookies {
		r.AddCookie(k)
	}
	w := httptest.NewRecorder()
	c.handler.ServeHTTP(w, r)
	for _, k := range w.Result().Cookies() {
		c.cookies[k.Name] = k
	}
	return w
}

func (c *caller) look(path string) *httptest.ResponseRecorder {
	return c.do(httptest.NewRequest("GET", "http://studio.example"+path, nil))
}

func (c *caller) sends(path string, fields ...string) *httptest.ResponseRecorder {
	return c.do(formRequest(path, values(fields...)))
}

// opened is a studio that is answered beyond this machine, with an owner.
func opened(t *testing.T) (*site, func(from string) *caller) {
	t.Helper()
	s := newSite(t)
	s.face = newFace(s.studio, Options{Hosts: []string{"studio.example"}, Gate: gate.Options{Shut: true, Secure: true, Proxied: true}, Patience: patient})
	s.handler = s.face.handler()
	_, err := people.FirstOwner(s.ctx(), s.studio, "Ines Corrow", goodWord, "")
	s.must(err)
	return s, func(from string) *caller { return &caller{s, from, map[string]*http.Cookie{}} }
}

const led = "is led to a second factor"

func demanded(w *httptest.ResponseRecorder) string {
	if w.Code == http.StatusSeeOther && w.Header().Get("Location") == "/account/second" || w.Code == http.StatusForbidden && strings.Contains(w.Body.String(), "second factor is demanded of you here") {
		return led
	}
	return passes
}

// Whoever signs in from another machine by a password alone reaches nothing but what sets up a second factor; on the machine itself the
// password is enough. Source: OWASP ASVS 5.0, 6.3.3.
func TestAPasswordAloneReachesNothingFromAfar(t *testing.T) {
	t.Parallel()
	_, from := opened(t)
	afar, here, untold := from("203.0.113.9"), from("127.0.0.1"), from("")
	for _, c := range []*caller{afar, here, untold} {
		if w := c.sends("/sign-in", "name", "Ines Corrow", "password", goodWord); w.Code != http.StatusSeeOther {
			t.Fatalf("from %q she does not come in: %d", c.from, w.Code)
		}
	}
	if got := demanded(here.look("/orders")); got != passes {
		t.Errorf("on the machine itself she %s", got)
	}
	if got := demanded(untold.look("/orders")); got != led {
		t.Errorf("from nobody knows where she %s", got)
	}
	count := map[string]int{}
	for _, row := range driven(t) {
		method, pattern := split(row.Route)
		if row.Open() || pattern == "/sign-out" {
			continue
		}
		want := led
		if row.Bare {
			want = passes
		}
		var r *http.Request
		if method == http.MethodPost {
			r = formRequest(example(pattern), nil)
		} else {
			r = httptest.NewRequest(method, "http://studio.example"+example(pattern), nil)
		}
		count[want]++
		if got := demanded(afar.do(r)); got != want {
			t.Errorf("%s: by a password alone she %s, want: %s", row.Route, got, want)
		}
	}
	if count[led] < 200 || count[passes] < 6 {
		t.Errorf("looked at: %v", count)
	}
	if w := afar.sends("/sign-out"); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/sign-in" {
		t.Errorf("she cannot sign out: %d", w.Code)
	}
}

// Codes set up once let her in, and are asked for from then on; a recovery code takes their place.
func TestLedToCodes(t *testing.T) {
	t.Parallel()
	s, from := opened(t)
	afar := from("203.0.113.9")
	afar.sends("/sign-in", "name", "Ines Corrow", "password", goodWord)
	if w := afar.look("/account/second"); w.Code != 200 || !strings.Contains(w.Body.String(), "A second factor first") {
		t.Fatalf("she is shown: %d", w.Code)
	}
	offered := afar.sends("/account/second").Body.String()
	secret := regexp.MustCompile(`class="secret">([A-Z2-7 ]+)<`).FindStringSubmatch(offered)
	key := regexp.MustCompile(`name="key"[^>]*value="([^"]+)"`).FindStringSubmatch(offered)
	if secret == nil || key == nil {
		t.Fatalf("no secret is offered: %.400s", offered)
	}
	seed, err := totp.Key(strings.ReplaceAll(secret[1], " ", ""))
	s.must(err)
	if w := afar.sends("/account/second/take", "key", key[1], "code", "000000"); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a wrong first code: %d", w.Code)
	}
	taken := afar.sends("/account/second/take", "key", key[1], "code", totp.Code(seed, totp.StepAt(noon)))
	codes := regexp.MustCompile(`[A-Z2-7]{4}(-[A-Z2-7]{4}){3}`).FindAllString(taken.Body.String(), -1)
	if taken.Code != 200 || len(codes) != 10 {
		t.Fatalf("the first code: %d, %d recovery codes", taken.Code, len(codes))
	}
	if w := afar.look("/orders"); w.Code != 200 {
		t.Errorf("with a second factor she comes to %d %s", w.Code, w.Header().Get("Location"))
	}
	if w := afar.look("/account/second"); w.Header().Get("Location") != "/account" {
		t.Errorf("who lacks nothing is shown: %d %s", w.Code, w.Header().Get("Location"))
	}
	again := from("203.0.113.9")
	if w := again.sends("/sign-in", "name", "Ines Corrow", "password", goodWord); w.Code != http.StatusUnauthorized {
		t.Errorf("without a code: %d", w.Code)
	}
	again.sends("/sign-in", "name", "Ines Corrow", "password", goodWord, "code", codes[3])
	if w := again.look("/orders"); w.Code != 200 {
		t.Errorf("by a recovery code: %d", w.Code)
	}
}

// The owner says of whom it is demanded; who has a passkey comes by it, not by the password beside it.
func TestWhomASecondFactorIsDemandedOf(t *testing.T) {
	t.Parallel()
	s, from := opened(t)
	here := from("127.0.0.1")
	here.sends("/sign-in", "name", "Ines Corrow", "password", goodWord)
	page := here.sends("/studio/people", "name", "Nell Orme", "role", "helper").Body.String()
	first := regexp.MustCompile(`[A-Z2-7]{4}(-[A-Z2-7]{4}){3}`).FindString(page)
	nell := from("198.51.100.4")
	nell.sends("/sign-in", "name", "Nell Orme", "password", first)
	if w := nell.look("/orders"); w.Header().Get("Location") != "/account/password" {
		t.Errorf("by a first password she chooses her own before anything else, not %s", w.Header().Get("Location"))
	}
	const hers = "reed lamp orchard nine"
	nell.sends("/account/password", "password", hers, "again", hers)
	for _, row := range []struct {
		of   access.Demand
		want string
	}{{access.OfEverybody, led}, {access.OfOwners, passes}, {access.OfNobody, passes}, {access.OfEverybody, led}} {
		if w := here.sends("/studio/people/second-factor", "of", string(row.of)); w.Code != http.StatusSeeOther {
			t.Errorf("%s: %d", row.of, w.Code)
		}
		if got := demanded(nell.look("/orders")); got != row.want {
			t.Errorf("demanded of %s, a helper %s", row.of, got)
		}
	}
	if w := here.sends("/studio/people/second-factor", "of", "cats"); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("demanded of cats: %d", w.Code)
	}
	s.must(s.studio.Store.Write(s.ctx(), func(tx studio.Tx) error {
		_, err := tx.SavePasskey(access.Passkey{Person: 2, Name: "stick", Site: "studio.example", Credential: "c", Body: []byte("{}"), Made: noon})
		return err
	}))
	if w := nell.sends("/sign-in", "name", "Nell Orme", "password", hers); w.Code != http.StatusUnauthorized || !strings.Contains(w.Body.String(), "you have a passkey") {
		t.Errorf("who has a passkey comes in by the password alone: %d", w.Code)
	}
	if w := nell.sends("/sign-in", "name", "Nell Orme", "password", hers+"?"); strings.Contains(w.Body.String(), "you have a passkey") {
		t.Error("whoever guesses is told that there is a passkey")
	}
	there := from("127.0.0.1")
	there.sends("/sign-in", "name", "Nell Orme", "password", hers)
	if w := there.look("/orders"); w.Code != 200 {
		t.Errorf("on the machine itself: %d", w.Code)
	}
}
