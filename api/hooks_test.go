package api

import (
	"encoding/json"
	"net/http"
	"strconv"
	"strings"
	"testing"
	"time"

	"solander/intake/hook"
	"solander/studio"
)

const tillMapping = `{"format": "solander-hook/1", "only": {"/event": ["sold"]},
	"order": {"ref": "T-{/no}", "buyer.name": "/who/name", "buyer.email": "/who/mail", "ship_to.line1": "/who/street", "ship_to.city": "/who/town",
		"ship_to.region": "/who/state", "ship_to.postcode": "/who/zip", "ship_to.country": "US", "paid": "/total"},
	"lines": "/items", "line": {"edition": "/code", "price": "/each", "quantity": "/n", "number": "/number"}, "editions": {"HD": 1, "LT": 2}}`

const tillMessage = `{"event": "sold", "no": 7, "total": "180.00", "items": [{"code": "HD", "each": "90.00", "n": 2}],
	"who": {"name": "Ada Quill", "mail": "ada@example.org", "street": "12 Oak Street", "town": "Denver", "state": "CO", "zip": "80202"}}`

// till is a feed whose web-hook reads the till's messages.
type till struct {
	*desk
	path, secret string
}

func newTill(t *testing.T) *till {
	t.Helper()
	d := newDesk(t)
	m, err := d.studio.SaveHookMapping(d.ctx(), studio.HookMapping{Name: "till", Body: json.RawMessage(tillMapping)})
	d.must(err)
	d.must(d.studio.SetFeedMapping(d.ctx(), d.feed.ID, m.ID))
	secret, err := d.studio.AddFeedSecret(d.ctx(), d.feed.ID, "")
	d.must(err)
	return &till{d, "/hooks/" + strconv.FormatInt(d.feed.ID, 10), secret}
}

// send signs a message at an instant and sends it.
func (k *till) send(body string, at time.Time) answered {
	k.Helper()
	return k.signed(body, strconv.FormatInt(at.Unix(), 10), hook.Sign(k.secret, at, []byte(body)))
}

func (k *till) signed(body, stamp, signature string) answered {
	k.Helper()
	return k.call(sent{method: "POST", path: k.path, body: body, token: "-", key: "-", header: http.Header{"Solander-Time": {stamp}, "Solander-Signature": {signature}}})
}

func (k *till) orders() int {
	k.Helper()
	page, err := k.studio.Orders(k.ctx(), studio.OrderQuery{}, "")
	k.must(err)
	return len(page.Rows)
}

func TestASignedMessageBecomesAnOrder(t *testing.T) {
	k := newTill(t)
	k.send(tillMessage, noon).is(201).has("/result", "taken").has("/ref", "T-7").has("/mark", "S-1001")
	v, err := k.studio.OrderByMark(k.ctx(), "S-1001")
	k.must(err)
	if len(v.Lines) != 2 || v.Views[1].Label != "2/250" || !v.Owed.IsZero() || v.BuyerData.Name != "Ada Quill" {
		t.Errorf("the order is %+v", v)
	}
	if who := v.Marks[0].Who; who != "feed everything" {
		t.Errorf("the journal says that %q did it", who)
	}
	k.send(tillMessage, noon).problem(409, "taken")                             // the very same message: a replay
	k.send(tillMessage, noon.Add(time.Minute)).is(201).has("/mark", "S-1001")   // signed anew: the same answer
	k.send(strings.Replace(tillMessage, "Ada", "Bo", 1), noon).problem(409, "") // another order of that name
	k.send(`{"event": "refunded"}`, noon).is(200).has("/result", "passed").has("/why", `at /event stands "refunded"`)
	if n := k.orders(); n != 1 {
		t.Errorf("%d orders stand in the book", n)
	}
}

// Two secrets at once let the sender change; a replay stays one, whatever it is signed with.
func TestSecretsAreChanged(t *testing.T) {
	k := newTill(t)
	old := k.secret
	second, err := k.studio.AddFeedSecret(k.ctx(), k.feed.ID, "dictated by the sender")
	k.must(err)
	k.send(tillMessage, noon).is(201)
	k.secret = second
	k.send(tillMessage, noon).problem(409, "taken")
	secrets, err := k.studio.FeedSecrets(k.ctx(), k.feed.ID)
	k.must(err)
	k.must(k.studio.DropFeedSecret(k.ctx(), k.feed.ID, secrets[0].ID))
	k.send(strings.Replace(tillMessage, `"no": 7`, `"no": 8`, 1), noon).is(201)
	k.secret = old
	k.send(strings.Replace(tillMessage, `"no": 7`, `"no": 9`, 1), noon).problem(401, "unknown")
}

func TestMessagesThatAreNotTaken(t *testing.T) {
	k := newTill(t)
	for name, a := range map[string]answered{
		"no signature":   k.signed(tillMessage, "", ""),
		"wrong":          k.signed(tillMessage, strconv.FormatInt(noon.Unix(), 10), "v1="+strings.Repeat("0", 64)),
		"another body":   k.signed(tillMessage+" ", strconv.FormatInt(noon.Unix(), 10), hook.Sign(k.secret, noon, []byte(tillMessage))),
		"too early":      k.send(tillMessage, noon.Add(-6*time.Minute)),
		"too late":       k.send(tillMessage, noon.Add(6*time.Minute)),
		"by the token":   k.call(sent{method: "POST", path: k.path, body: tillMessage}),
		"of no feed":     k.call(sent{method: "POST", path: "/hooks/99", body: tillMessage}),
		"without a hook": k.call(sent{method: "POST", path: "/hooks/" + strconv.FormatInt(k.newFeed("calls alone", studio.ScopeOrdersWrite).ID, 10), body: tillMessage}),
	} {
		if a.code != 401 || a.header.Get("WWW-Authenticate") != `Solander-Signature realm="solander"` {
			t.Errorf("%s: %d %q %s", name, a.code, a.header.Get("WWW-Authenticate"), a.text)
		}
	}
	k.call(sent{method: "POST", path: "/hooks/x", body: "{}"}).problem(404, "missing")
	k.call(sent{method: "GET", path: k.path}).problem(405, "")
	k.send(strings.Repeat(" ", MaxBody)+tillMessage, noon).problem(413, "toolarge")
	k.must(k.studio.RevokeFeed(k.ctx(), k.feed.ID))
	k.send(tillMessage, noon).problem(401, "unknown")
	if n := k.orders(); n != 0 {
		t.Errorf("%d orders stand in the book", n)
	}
}

// What is wrong is told where it stands in the sender's own message, and the message may come again mended or as it is.
func TestFaultsInAMessage(t *testing.T) {
	k := newTill(t)
	for _, c := range []struct{ old, now, pointer, code string }{
		{`"HD"`, `"XX"`, "#/items/0/code", "invalid"},
		{`"90.00"`, `"9O.00"`, "#/items/0/each", "invalid"},
		{`"80202"`, `"80202 or thereabouts"`, "#/who/zip", "invalid"},
		{`"ada@example.org"`, `"nobody"`, "#/who/mail", "invalid"},
		{`"n": 2`, `"number": "999"`, "#/items/0/number", "invalid"},
		{`"180.00"`, `"180.01"`, "#/total", "refused"},
		{`"HD", "each": "90.00", "n": 2`, `"LT", "each": "90.00", "n": 4`, "#/items/0/number", "refused"},
	} {
		a := k.send(strings.Replace(tillMessage, c.old, c.now, 1), noon).has("/code", c.code).has("/errors/0/pointer", c.pointer)
		if a.code != 422 && a.code != 409 {
			t.Errorf("%s: %d", c.now, a.code)
		}
	}
	k.must(k.studio.SetFeedMapping(k.ctx(), k.feed.ID, 0))
	k.send(tillMessage, noon).problem(409, "refused")
	all, err := k.studio.HookMappings(k.ctx())
	k.must(err)
	k.must(k.studio.SetFeedMapping(k.ctx(), k.feed.ID, all[0].ID))
	k.send(tillMessage, noon).is(201) // nothing of it was kept before
}

func TestOneMessageSixteenTimesAtOnce(t *testing.T) {
	k := newTill(t)
	taken := 0
	for _, a := range racing(16, func(i int) answered { return k.send(tillMessage, noon) }) {
		switch a.code {
		case 201:
			taken++
		case 409:
		default:
			t.Errorf("it answers %d %s", a.code, a.text)
		}
	}
	if taken != 1 || k.orders() != 1 {
		t.Errorf("it was taken %d times, %d orders stand in the book", taken, k.orders())
	}
}

func TestRateOfAHook(t *testing.T) {
	k := newTill(t)
	set, err := k.studio.Settings(k.ctx())
	k.must(err)
	set.FeedsAMinute = 60
	k.must(k.studio.SaveSettings(k.ctx(), set))
	for range 10 {
		k.signed("{}", "", "").is(401)
	}
	k.signed("{}", "", "").problem(429, "toomany")
	k.call(sent{method: "GET", path: "/api/v1/editions"}).is(200) // the feed's calls go on
}

// The web-hook's door: fifty-two signed orders of one person make one buyer, and the answers do not tell.
func TestFiftyTwoMessagesOfOnePerson(t *testing.T) {
	k := newTill(t)
	first := ""
	for n := range 52 {
		no := strconv.Itoa(100 + n)
		body := strings.NewReplacer(`"no": 7`, `"no": `+no, "Ada Quill", []string{"Ada Quill", "ÁDA  quill"}[n%2], "ada@", []string{"ada@", "ADA@"}[n/2%2], "12 Oak", []string{"12 Oak", "4 Elm"}[n/4%2]).Replace(tillMessage)
		a := k.send(body, noon).is(201)
		told := strings.NewReplacer(no, "N", a.at("/mark"), "M").Replace(a.text)
		if first == "" {
			first = told
		}
		if told != first {
			t.Fatalf("the answer tells more than the first one:\n%s\n%s", first, told)
		}
	}
	page, err := k.studio.Buyers(k.ctx(), studio.BuyerQuery{})
	k.must(err)
	if len(page.Rows) != 1 || page.Rows[0].Orders != 52 {
		t.Errorf("the buyers are %+v", page.Rows)
	}
}
