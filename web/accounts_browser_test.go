package web

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"solander/internal/browsertest"
	"solander/people/totp"
	"solander/studio"
)

// inPicture keeps a picture of the page as it stands, when SOLANDER_SHOTS names a folder for it.
func inPicture(p *browsertest.Page, name string) {
	if shots := os.Getenv("SOLANDER_SHOTS"); shots != "" {
		p.Shot(filepath.Join(shots, name+".png"))
	}
}

// shot keeps a picture of the page on a desk and on a phone, and looks whether the page is for everybody.
func shot(p *browsertest.Page, t *testing.T, name string) {
	t.Helper()
	for _, wide := range []int64{320, 390, 1280} {
		if wide == 320 && name == "bench-helper" {
			continue // how the bench fits there is looked at elsewhere
		}
		p.Wide(wide)
		if p.WiderThanItsWindow() {
			t.Errorf("%s is wider than a window of %d: %s", name, wide, browsertest.Eval[string](p, `[...document.querySelectorAll("body *")]
				.filter(e => e.getBoundingClientRect().right > document.documentElement.clientWidth).map(e => e.outerHTML.slice(0, 90)).join(" | ")`))
		}
		if wide > 320 {
			inPicture(p, fmt.Sprint(name, "-", wide))
		}
	}
	p.MustBeAccessible()
}

// From no account to a helper who packs: in a browser, by hand, with passkeys by its virtual authenticator (W3C, Web Authentication, and
// its section on automation).
func TestAccountsInABrowser(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	p, base := s.open()
	base = strings.Replace(base, "127.0.0.1", "localhost", 1)
	p.Desk()
	p.Go(base + "/")
	if n := p.Count("form[action='/sign-out'], a[href='/account']"); n != 0 {
		t.Errorf("alone the bench shows %d signs of accounts", n)
	}
	p.Go(base + "/studio/people")
	shot(p, t, "people-none")
	p.Fill("#owner-password", "password1234")
	p.Fill("#owner-again", "password1234")
	if code := p.ClickTo("form[action='/studio/people/first'] button"); code != 422 {
		t.Errorf("a common password: status %d", code)
	}
	if got := p.Text("#owner-password-wrong"); !strings.Contains(got, "soon guessed") {
		t.Errorf("it says %q", got)
	}
	p.Fill("#owner-password", "kelp bicycle tuesday oven")
	p.Fill("#owner-again", "kelp bicycle tuesday oven")
	if code := p.ClickTo("form[action='/studio/people/first'] button"); code != 200 {
		t.Fatalf("her account: status %d: %s", code, p.Text("main"))
	}
	p.Fill("#person-name", "Nell Orme")
	p.ClickTo("form[action='/studio/people'] button")
	first := p.Text("#first code")
	shot(p, t, "people")

	// A passkey.
	p.Authenticator()
	p.Go(base + "/account")
	p.Fill("#passkey-name", "this computer")
	p.Click("form[data-make] button")
	p.Wait("#h-keys")
	p.Wait("form[action^='/account/passkeys/'][action$='/drop']")
	shot(p, t, "account")

	// A second factor, and its recovery codes.
	p.ClickTo("form[action='/account/second'] button")
	shot(p, t, "second")
	key, err := totp.Key(strings.ReplaceAll(p.Text("code.secret"), " ", ""))
	s.must(err)
	code := totp.Code(key, totp.StepAt(noon))
	p.Fill("#second-code", "000000")
	if status := p.ClickTo("form[action='/account/second/take'] button"); status != 422 {
		t.Errorf("a wrong first code: status %d", status)
	}
	p.Fill("#second-code", code)
	p.ClickTo("form[action='/account/second/take'] button")
	if n := p.Count("[aria-labelledby=h-codes] li"); n != 10 {
		t.Errorf("%d recovery codes: %s", n, p.Text("main"))
	}
	shot(p, t, "codes")

	// Out, and in again by the passkey.
	p.Go(base + "/")
	p.ClickTo("form[action='/sign-out'] button")
	shot(p, t, "sign-in")
	p.Go(base + "/orders/1")
	if got := p.URL(); !strings.HasSuffix(got, "/sign-in?to=%2Forders%2F1") {
		t.Errorf("signed out she is at %s", got)
	}
	p.Click("form[data-passkey] button")
	p.Wait("form[action='/sign-out'], #faults, form[data-passkey] [role=alert]:not([hidden])")
	if p.Count("form[action='/sign-out']") == 0 {
		t.Fatalf("the passkey does not let in: %s\n%s", p.Text("main"), s.log)
	}
	if got := p.URL(); got != base+"/orders/1" {
		t.Errorf("by her passkey she comes to %s", got)
	}

	// What could do harm asks again who it is; the passkey proves it, and the form goes on as it was sent.
	stale := func(person int64) {
		t.Helper()
		s.must(s.studio.Store.Write(s.ctx(), func(tx studio.Tx) error {
			all, err := tx.Sessions(person)
			if err != nil {
				return err
			}
			for _, x := range all {
				x.Proved = noon.Add(-time.Hour)
				if _, err := tx.SaveSession(x); err != nil {
					return err
				}
			}
			return nil
		}))
	}
	stale(1)
	p.Go(base + "/account")
	if status := p.ClickTo("form[action='/account/codes'] button"); status != 403 {
		t.Errorf("new recovery codes without a proof: status %d", status)
	}
	p.Wait("form[data-passkey]:not([hidden])")
	p.Click("form[data-passkey] button")
	p.Wait("[aria-labelledby=h-codes], #faults, form[data-passkey] [role=alert]:not([hidden])")
	if n := p.Count("[aria-labelledby=h-codes] li"); n != 10 {
		t.Errorf("proved by the passkey: %d recovery codes: %s", n, p.Text("main"))
	}

	// A passkey that was copied: the other one counted on. Source: Web Authentication, 6.1.1 (signature counter).
	s.must(s.studio.Store.Write(s.ctx(), func(tx studio.Tx) error {
		all, err := tx.Passkeys(1)
		if err != nil {
			return err
		}
		var body map[string]any
		if err := json.Unmarshal(all[0].Body, &body); err != nil {
			return err
		}
		body["authenticator"].(map[string]any)["signCount"] = 1000
		if all[0].Body, err = json.Marshal(body); err != nil {
			return err
		}
		_, err = tx.SavePasskey(all[0])
		return err
	}))
	p.Go(base + "/")
	p.ClickTo("form[action='/sign-out'] button")
	p.Click("form[data-passkey] button")
	p.Wait("#faults")
	if got := p.Text("#faults"); !strings.Contains(got, "does not let in") {
		t.Errorf("a copied passkey: %s", got)
	}

	// The helper: her own password first, then the bench without what is not hers.
	p.Go(base + "/sign-in")
	p.Fill("#sign-in-name", "Nell Orme")
	p.Fill("#sign-in-password", first)
	p.ClickTo("form[action='/sign-in'] button")
	shot(p, t, "first-password")
	p.Fill("#password-password", "reed lamp orchard nine")
	p.Fill("#password-again", "reed lamp orchard nine")
	p.ClickTo("form[action='/account/password'] button")
	p.Go(base + "/")
	shot(p, t, "bench-helper")
	if p.Count("nav a[href='/studio']") != 0 || p.Count("#sign form button.main") == 0 || p.Count("#label form") == 0 {
		t.Error("a helper sees the studio's settings, or cannot sign and label")
	}
	p.ClickTo("#sign form button.main")
	p.Go(base + "/orders/1")
	if p.Count("form[action$='/cancel'], form[action$='/override']") != 0 {
		t.Error("a helper is offered to cancel")
	}

	// Undoing asks who it is: the proof goes with the form.
	p.Go(base + "/")
	stale(2)
	p.Click(".marks details summary, details:has(.marks) summary")
	if status := p.ClickTo("form[action^='/marks/'] button"); status != 403 {
		t.Errorf("undone without a proof: status %d", status)
	}
	shot(p, t, "prove")
	p.Fill("#prove-proof", "not her password")
	if status := p.ClickTo("main form.form button.main"); status != 401 {
		t.Errorf("undone by a wrong proof: status %d", status)
	}
	p.Fill("#prove-proof", "reed lamp orchard nine")
	if status := p.ClickTo("main form.form button.main"); status != 200 {
		t.Errorf("undone by her proof: status %d: %s", status, p.Text("main"))
	}
	if got := p.Text(".said"); !strings.Contains(got, "taken back") {
		t.Errorf("it says %q", got)
	}
}
