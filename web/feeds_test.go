package web

import (
	"encoding/json"
	"strings"
	"testing"

	"solander/book"
	"solander/feeds"
	"solander/studio"
	"solander/web/form"
	"solander/web/programs"
)

// fed makes a feed with a web-hook, a secret and a mapping, and returns the address of its page.
func (s *site) fed() string {
	s.t.Helper()
	if all, err := feeds.Feeds(s.ctx(), s.studio); err == nil && len(all) > 0 {
		return "/studio/feeds/" + form.Text64(all[0].ID)
	}
	m, err := feeds.ChangeHookMapping(s.ctx(), s.studio, 0, studio.Whole(studio.HookMapping{Name: "Till", Body: json.RawMessage(programs.FirstMapping)}))
	s.must(err)
	f, err := feeds.AddFeed(s.ctx(), s.studio, studio.Feed{Name: "Till of the fair", Outlet: 1, Scopes: studio.Scopes(), Mapping: m.ID})
	s.must(err)
	_, err = feeds.AddFeedSecret(s.ctx(), s.studio, f.ID, "")
	s.must(err)
	return "/studio/feeds/" + form.Text64(f.ID)
}

func TestAFeedIsMadeAndRevoked(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	a := s.post("/studio/feeds", "name", "Fair till", "outlet", "1", "scopes.orders:write", "1", "scopes.hooks:write", "1").is(200)
	token := textOf(a.find("#token code")[0])
	c, err := feeds.CallerOf(s.ctx(), s.studio, token)
	s.must(err)
	if c.Name != "Fair till" || len(c.Scopes) != 2 || c.May(studio.ScopeHooksWrite) != nil {
		t.Errorf("the feed is %+v", c)
	}
	if a.header.Get("Cache-Control") != "no-store" || strings.Contains(s.get("/studio/feeds").is(200).text, token) || strings.Contains(s.get("/studio/feeds/1").is(200).text, token) {
		t.Error("the token is shown again, or kept")
	}
	s.post("/studio/feeds", "name", "Fair till", "outlet", "1", "scopes.orders:write", "1").is(409).has("#feed-name-wrong", "already")
	s.post("/studio/feeds", "name", "", "outlet", "1").is(422).has("#feed-name-wrong", "missing")
	s.post("/studio/feeds", "name", "None", "outlet", "1").is(422).has("#feed-scopes-orders-read-wrong", "may do nothing")

	b := s.post("/studio/feeds/1/secrets", "secret", "").is(200)
	if secret := textOf(b.find("#secret code")[0]); len(secret) != 43 || strings.Contains(s.get("/studio/feeds/1").text, secret) {
		t.Errorf("the secret is %q", secret)
	}
	s.post("/studio/feeds/1/secrets", "secret", "short").is(422).has("#secret-secret-wrong", "can be guessed")
	s.leads(s.post("/studio/feeds/1/secrets/1/drop"), "/studio/feeds/1?said=secret-gone")
	s.post("/studio/feeds/1/secrets/1/drop").is(404)
	s.post("/studio/feeds/1/mapping", "mapping", "9").is(404)
	s.leads(s.post("/studio/feeds/1/revoke"), "/studio/feeds?said=feed-gone")
	if _, err := feeds.CallerOf(s.ctx(), s.studio, token); err == nil {
		t.Error("the token works on")
	}
	s.get("/studio/feeds/1").is(200).has(".under", "revoked Tue 14 Apr 2026")
	s.post("/studio/feeds/1/revoke").is(409)
}

const sample = `{"id": "W-7", "customer": {"first": "Ada", "last": "Quill", "email": "ada@example.org"}, "total": "95.00", "shipping": "5.00",
	"address": {"street": "12 Oak Street", "city": "Denver", "state": "CO", "zip": "80202", "country": "US"}, "items": [{"sku": "HERON-12x16", "price": "90.00", "quantity": 1}]}`

func TestAMappingIsTriedOutAndSaved(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	try := func(mapping, sample string) answer {
		return s.post("/studio/hook-mappings", "do", "try", "name", "Web", "outlet", "1", "mapping", mapping, "sample", sample)
	}
	a := try(programs.FirstMapping, sample).is(200)
	for _, want := range []string{"S-1001, at the outlet W-7", "Ada Quill, ada@example.org", "1/250 Heron at dusk, 90.00 USD", "95.00 USD, of it 5.00 USD postage; paid 95.00 USD, owed 0.00 USD"} {
		a.has("#trial", want)
	}
	a.has("#map-sample", `"W-7"`) // what was typed stands there still
	page, err := book.Orders(s.ctx(), s.studio, studio.OrderQuery{}, "")
	s.must(err)
	if all, err := feeds.HookMappings(s.ctx(), s.studio); err != nil || len(page.Rows)+len(all) != 0 {
		t.Errorf("it was only to be tried out: %d orders, %d mappings, %v", len(page.Rows), len(all), err)
	}
	try(programs.FirstMapping, strings.Replace(sample, "HERON", "EGRET", 1)).is(422).has("#map-sample-wrong", `#/items/0/sku: the mapping knows no edition`)
	try(programs.FirstMapping, strings.Replace(sample, "80202", "80202 or thereabouts", 1)).is(422).has("#map-sample-wrong", "#/address/zip")
	try(programs.FirstMapping, "{").is(422).has("#map-sample-wrong", "not JSON")
	try(programs.FirstMapping, "").is(422).has("#map-sample-wrong", "missing")
	try(strings.Replace(programs.FirstMapping, `"/id"`, `"{/id"`, 1), sample).is(422).has("#map-mapping-wrong", "At order.ref")
	only := strings.Replace(programs.FirstMapping, `"lines"`, `"only": {"/kind": ["sale"]}, "lines"`, 1)
	try(only, sample).is(200).has("#trial", "passed over, because at /kind stands")

	s.leads(s.post("/studio/hook-mappings", "do", "save", "name", "Web", "mapping", programs.FirstMapping), "/studio/feeds?said=mapping#mappings")
	s.post("/studio/hook-mappings", "do", "save", "name", "Web", "mapping", programs.FirstMapping).is(409).has("#map-name-wrong", "already")
	s.post("/studio/hook-mappings", "do", "save", "name", "Second", "mapping", `{"format": "x"}`).is(422).has("#map-mapping-wrong", "not the form")
	s.leads(s.post("/studio/hook-mappings/1", "do", "save", "name", "Web two", "mapping", programs.FirstMapping), "/studio/feeds?said=mapping#mappings")
	s.get("/studio/hook-mappings/1").is(200).has("h1", "Web two")
	s.leads(s.post("/studio/hook-mappings/1/drop"), "/studio/feeds?said=mapping-gone#mappings")
	s.get("/studio/hook-mappings/1").is(404)
	s.fed()
	s.post("/studio/hook-mappings/2/drop").is(409)
}

// How often a feed may call is a setting of the studio.
func TestRateOfFeedsIsASetting(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	if got := attr(s.get("/studio").is(200).one("#settings-feeds_a_minute"), "value"); got != "600" {
		t.Errorf("the page says %s", got)
	}
	s.submit(s.get("/studio"), `form[action="/studio"]`, "feeds_a_minute", "45")
	set, err := s.studio.Settings(s.ctx())
	s.must(err)
	if set.FeedsAMinute != 45 {
		t.Errorf("the setting is %d", set.FeedsAMinute)
	}
	if got := attr(s.get("/studio").is(200).one("#settings-feeds_a_minute"), "value"); got != "45" {
		t.Errorf("the page says %s", got)
	}
}
