package web

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/feed"
	"solander/feeds"
	"solander/intake/hook"
	"solander/studio"
	"solander/web/form"
)

// fed makes a feed with a web-hook, a secret and a mapping, and returns the address of its page.
func (s *site) fed() string {
	s.t.Helper()
	if all, err := feeds.Feeds(s.ctx(), s.studio); err == nil && len(all) > 0 {
		return "/studio/feeds/" + form.Text64(all[0].ID)
	}
	m, err := feeds.ChangeHookMapping(s.ctx(), s.studio, 0, studio.Whole(feed.Mapping{Name: "Till", Body: json.RawMessage(firstMapping)}))
	s.must(err)
	f, err := feeds.AddFeed(s.ctx(), s.studio, feed.Feed{Name: "Till of the fair", Outlet: 1, Scopes: feed.Scopes(), Mapping: m.ID})
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
	if c.Name != "Fair till" || len(c.Scopes) != 2 || c.May(feed.HooksWrite) != nil {
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

// firstMapping reads the sample.
const firstMapping = `{"format": "solander-hook/1",
	"order": {"ref": "/id", "buyer.name": "{/customer/first} {/customer/last}", "buyer.email": "/customer/email", "ship_to.line1": "/address/street", "ship_to.city": "/address/city",
		"ship_to.region": "/address/state", "ship_to.postcode": "/address/zip", "ship_to.country": "/address/country", "postage": "/shipping", "paid": "/total"},
	"lines": "/items", "line": {"edition": "/sku", "price": "/price", "quantity": "/quantity"}, "editions": {"HERON-12x16": 1}}`

// bodyOf is a mapping as it is kept, for comparing what it says.
func (s *site) bodyOf(id int64) (out hook.Mapping) {
	s.t.Helper()
	m, err := feeds.HookMapping(s.ctx(), s.studio, id)
	s.must(err)
	out, err = hook.ReadMapping(m.Body)
	s.must(err)
	return out
}

// A mapping is made by choosing each field in a message that was pasted, as a browser without JavaScript sends it; the order that it
// would make stands beside, and nothing is kept before it is saved.
func TestAMappingIsChosenInAMessage(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	press := func(p answer, do string, fields ...string) answer {
		t.Helper()
		return s.sendForm(p, "#editor", append([]string{"do", do}, fields...)...)
	}
	before := s.sum()
	p := s.get("/studio/hook-mappings/new").is(200)
	p.hasNot("#h-map")
	press(p, "read").is(422).has("#message-paste-wrong", "missing")
	press(p, "read", "paste", "{").is(422).has("#message-paste-wrong", "not JSON")
	press(p, "read", "paste", "[]").is(422).has("#message-paste-wrong", "Nothing stands in it")
	p = press(p, "read", "paste", sample).is(200)
	p.has(".tree li", "a list of 1")
	p.has(".tree .deep-1 code", "/customer/first")
	p.has("#map-order-ref-at option", "/id: “W-7”")
	p.has("#map-lines option", "/items: 1 element")
	p.hasNot("#map-line-edition-at option[value='/sku']")
	p.has("#trial li", "choose the list of them")
	fields := []string{
		"order.ref.at", "/id", "order.buyer.name.at", "/customer/first", "order.buyer.name.also", "/customer/last", "order.buyer.email.at", "/customer/email", "order.ship_to.line1.at", "/address/street",
		"order.ship_to.city.at", "/address/city", "order.ship_to.region.at", "/address/state", "order.ship_to.postcode.at", "/address/zip", "order.ship_to.country.at", "/address/country", "order.postage.at", "/shipping",
		"order.paid.at", "/total", "lines", "/items",
	}
	p = press(p, "show", fields...).is(200)
	p.has("#map-line-edition-at option", "/sku: “HERON-12x16”")
	p = press(p, "show", "line.edition.at", "/sku", "line.price.at", "/price", "line.quantity.at", "/quantity").is(200)
	p.has("#trial a[href='#map-line-edition-at']", "#/items/0/sku")
	p.has("#editions-new option", "HERON-12x16")
	p = press(p, "editions.add", "editions.new", "HERON-12x16").is(200)
	p.one("#map-editions-0--name[autofocus]")
	p.has("#trial li", "No edition is chosen")
	p = press(p, "show", "editions[0].id", "1").is(200)
	for _, want := range []string{"S-1001, at the outlet W-7", "Ada Quill, ada@example.org", "1/250 Heron at dusk, 90.00 USD", "95.00 USD, of it 5.00 USD postage; paid 95.00 USD, settled"} {
		p.has("#trial dd", want)
	}
	wrong := press(p, "show", "order.postage.at", "/id").is(200)
	wrong.has("#trial li a[href='#map-order-postage-at']", "#/id")
	only := press(p, "only.add", "only.new", "/id").is(200)
	only = press(only, "show", "only[0].is", "another").is(200)
	only.has("#trial", "passed over, because at /id stands")
	if s.sum() != before {
		t.Error("something was kept before it was saved")
	}
	press(p, "save").is(422).has("#map-name-wrong", "missing")
	s.leads(press(p, "save", "name", "Web"), "/studio/feeds?said=mapping")
	press(p, "save", "name", "Web", "once", "another").is(409).has("#map-name-wrong", "already")
	want, err := hook.ReadMapping([]byte(firstMapping))
	s.must(err)
	if diff := cmp.Diff(want, s.bodyOf(1)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	p = s.get("/studio/hook-mappings/1").is(200)
	p.has("#map-order-ref-at option[selected]", "/id (not in the sample)")
	s.leads(press(p, "save", "name", "Web two"), "/studio/feeds?said=mapping")
	if diff := cmp.Diff(want, s.bodyOf(1)); diff != "" {
		t.Errorf("saved as it stands (-want +got):\n%s", diff)
	}
	s.leads(s.post("/studio/hook-mappings/1/drop"), "/studio/feeds?said=mapping-gone")
	s.get("/studio/hook-mappings/1").is(404)
	s.fed()
	s.post("/studio/hook-mappings/2/drop").is(409)
}

// A mapping goes out as a file and comes back as a draft, also what no choice can say.
func TestAMappingAsAFile(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	const odd = `{"format": "solander-hook/1", "only": {"/kind": ["sale", "order"], "/test": [""]}, "order": {"ref": "T-{/no}", "buyer.name": "{/last}, {/first}", "ship_to.line1": "/a~1b", "ship_to.city": "{{x}}",
		"ship_to.country": "US"}, "lines": "", "line": {"edition": "/0"}, "money": "minor", "days": "unix"}`
	path := "/studio/hook-mappings"
	p := s.sendFile(path, "file", "mapping.json", []byte(odd), "do", "upload", "name", "Odd").is(200)
	p.has("#map-order-buyer-name-at option[selected]", "as it was written: {/last}, {/first}")
	p.has("#map-lines option[selected]", "the message itself")
	s.leads(s.sendForm(p, "#editor", "do", "save"), "/studio/feeds")
	want, err := hook.ReadMapping([]byte(odd))
	s.must(err)
	if diff := cmp.Diff(want, s.bodyOf(1)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	file := s.get(path + "/1/mapping.json").is(200).body
	if back, err := hook.ReadMapping(file); err != nil || !cmp.Equal(want, back) {
		t.Errorf("the file says %s: %v", file, err)
	}
	before := s.sum()
	for text, told := range map[string]string{`{"format": "x"}`: "not the form", "{": "not JSON", "": "empty", `{"colour": 1}`: "colour"} {
		s.sendFile(path, "file", "x.json", []byte(text), "do", "upload", "name", "x").is(422).has("#message-file-wrong", told)
	}
	if s.sum() != before {
		t.Error("something was written")
	}
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
