package web

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"

	"solander/internal/browsertest"
	"solander/studio"
)

// Every form that changes what stands, opened in two windows: the second is told what the first saved and writes
// nothing; sent once more, it stands.
func TestTwoWindows(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	s := furnished(t)
	s.fed()
	for name, c := range map[string]struct {
		page, form    string
		field         string // in which the windows differ
		first, second string
		also          []string // what the form needs beside
	}{
		"settings":     {"/studio", "form[action='/studio']", "artist", "Ines C.", "I. Corrow", nil},
		"wrap":         {"/studio/wrap?id=carton", "form[action='/studio/wrap']", "layers[2].clearance.sides", "3/8 in", "1/2 in", []string{"do", "save"}},
		"house rule":   {"/studio/rule?id=heavy-better", "form[action='/studio/rule']", "when[0].mass_over", "9 lb", "8 lb", []string{"do", "save"}},
		"lists":        {"/studio/lists", "form[action='/studio/lists']", "labs", "First Lab", "Second Lab", nil},
		"outlet":       {"/studio/outlets/1", "form[action='/studio/outlets/1']", "fee", "2.5", "3", nil},
		"shelf item":   {"/shelf/1", "form[action='/shelf/1']", "reorder_at", "3", "4", nil},
		"work":         {"/works/1", "form[action='/works/1']", "note", "first", "second", nil},
		"buyer":        {"/buyers/1", "form[action='/buyers/1']", "phone", "555 0101", "555 0102", nil},
		"hook mapping": {"/studio/hook-mappings/1", "form[action='/studio/hook-mappings/1']", "name", "First", "Second", []string{"do", "save"}},
		"layout":       {"/studio/layouts/plain", "form[action='/studio/layouts']", "back_price", "First", "Second", []string{"columns[0].field", "order", "do", "save"}},
		"prices":       {"/editions/1", "form[action='/editions/1/price']", "price", "91.00", "92.00", nil},
		"order":        {"/orders/1", "form[action='/orders/1/amend']", "note", "first", "second", nil},
		"address":      {"/orders/1", "form[action='/orders/1/address']", "ship_to.line2", "Flat 1", "Flat 2", nil},
	} {
		t.Run(name, func(t *testing.T) {
			s := *s
			s.t = t
			send := func(p answer, value string) answer {
				return s.sendForm(p, c.form, append([]string{c.field, value}, c.also...)...)
			}
			stands := func(value string) {
				t.Helper()
				form := s.get(c.page).is(200).one(c.form)
				sent := fieldsOf(form)
				for i := 0; i+1 < len(sent); i += 2 {
					if sent[i] == c.field && sent[i+1] == value {
						return
					}
				}
				t.Errorf("%q does not stand: %q", value, sent)
			}
			one, two := s.get(c.page).is(200), s.get(c.page).is(200)
			send(one, c.first).is(303)
			again := send(two, c.second).is(409)
			again.has("#faults", "changed in another window")
			if strings.Contains(c.field, "[") && name != "lists" {
				again.one(".stands") // rows may have moved: what stands is shown as a whole
			} else {
				again.has(c.form+" .wrong", " now")
			}
			stands(c.first)
			send(again, c.second).is(303)
			stands(c.second)
		})
	}
	// Two windows that say the same do not quarrel.
	one, two := s.get("/studio"), s.get("/studio")
	for _, p := range []answer{one, two} {
		s.sendForm(p, "form[action='/studio']", "artist", "Ines Corrow").is(303)
	}
}

// Sessions at the same time, each with its own part of the settings: none loses what it saved, and an address that was
// ended stays ended.
func TestSettingsFromSeveralWindows(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	s := newSite(t)
	send := func(path string, fields ...string) int {
		w := httptest.NewRecorder()
		s.handler.ServeHTTP(w, formRequest(path, values(fields...)))
		return w.Code
	}
	for round := range 25 {
		if code := send("/promises"); code != 200 {
			t.Fatalf("a new address: %d", code)
		}
		artist, lab, amount := fmt.Sprintf("Artist %d", round), fmt.Sprintf("Lab %d", round), fmt.Sprintf("%d.00", 500+round)
		var all sync.WaitGroup
		for _, x := range [][]string{
			append([]string{"/studio"}, settingsFields("artist", artist)...),
			{"/studio/lists", "labs", lab, "grades", "fine"},
			ruled(ruleFields("when[0].value_over", amount)),
			wrapped(wrapFields("name", fmt.Sprintf("mailer %d", round))),
			{"/promises/end"},
		} {
			all.Go(func() {
				if code := send(x[0], x[1:]...); code != 303 {
					t.Errorf("%s: %d", x[0], code)
				}
			})
		}
		all.Wait()
		set := s.settings()
		if set.PromiseHash != "" {
			t.Fatalf("round %d: the ended address is back", round)
		}
		if set.Artist != artist || len(set.Labs) != 1 || set.Labs[0] != lab || len(set.Rules) != 8+round || len(set.Wraps) != 4+round || *set.Rules[7+round].When.ValueOver != int64(500+round)*100 {
			t.Fatalf("round %d: it is lost what one of them saved: %s, %v, %d rules, %d wraps", round, set.Artist, set.Labs, len(set.Rules), len(set.Wraps))
		}
	}
}

func ruled(fields []string) []string { return append([]string{"/studio/rule"}, fields...) }

func wrapped(fields []string) []string { return append([]string{"/studio/wrap"}, fields...) }

func (s *site) settings() studio.Settings {
	s.t.Helper()
	set, err := s.studio.Settings(s.ctx())
	s.must(err)
	return set
}

// Two windows of a browser, by hand: the second is told beside the field, and may send it once more.
func TestTwoWindowsInTheBrowser(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	one, base := s.open()
	two := one.Another()
	for i, p := range []*browsertest.Page{one, two} {
		p.Go(base + "/studio")
		p.Fill("#settings-ship_to-line2", fmt.Sprintf("Door %d", 4+i))
	}
	if status := one.ClickTo("form[action='/studio'] button.main"); status != 200 {
		t.Errorf("the first window: %d", status)
	}
	if status := two.ClickTo("form[action='/studio'] button.main"); status != 409 {
		t.Errorf("the second window: %d", status)
	}
	if told := two.Text("#settings-ship_to-line2-wrong"); !strings.Contains(told, "Door 4") {
		t.Errorf("beside the field stands %q", told)
	}
	looked(t, two, "two-windows")
	if status := two.ClickTo("form[action='/studio'] button.main"); status != 200 {
		t.Errorf("sent again: %d", status)
	}
	if line := s.settings().Address.Line2; line != "Door 5" {
		t.Errorf("the second line is %q", line)
	}
}
