package api

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
	"time"

	"solander/book"
	"solander/buyers"
	"solander/feed"
	"solander/feeds"
	"solander/house"
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
	m, err := feeds.ChangeHookMapping(d.ctx(), d.studio, 0, studio.Whole(feed.Mapping{Name: "till", Body: json.RawMessage(tillMapping)}))
	d.must(err)
	d.must(feeds.SetFeedMapping(d.ctx(), d.studio, d.feed.ID, m.ID))
	secret, err := feeds.AddFeedSecret(d.ctx(), d.studio, d.feed.ID, "")
	d.must(err)
	return &till{d, "/hooks/" + strconv.FormatInt(d.feed.ID, 10), secret}
}

// send signs a message at an instant and sends it.
func (k *till) send(body string, at time.Time) answered {
	k.Helper()
	return k.signed(body, strconv.FormatInt(at.Unix(), 10), signed(k.secret, k.feed.ID, at, []byte(body)))
}

func (k *till) signed(body, stamp, signature string) answered {
	k.Helper()
	return k.call(sent{method: "POST", path: k.path, body: body, token: "-", key: "-", header: http.Header{"Solander-Time": {stamp}, "Solander-Signature": {signature}}})
}

func (k *till) orders() int {
	k.Helper()
	page, err := book.Orders(k.ctx(), k.studio, studio.OrderQuery{}, "")
	k.must(err)
	return len(page.Rows)
}

func TestASignedMessageBecomesAnOrder(t *testing.T) {
	k := newTill(t)
	k.send(tillMessage, noon).is(201).has("/result", "taken").has("/ref", "T-7").has("/mark", "S-1001")
	v, err := book.OrderByMark(k.ctx(), k.studio, "S-1001")
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
	second, err := feeds.AddFeedSecret(k.ctx(), k.studio, k.feed.ID, "dictated by the sender")
	k.must(err)
	k.send(tillMessage, noon).is(201)
	k.secret = second
	k.send(tillMessage, noon).problem(409, "taken")
	secrets, err := feeds.FeedSecrets(k.ctx(), k.studio, k.feed.ID)
	k.must(err)
	k.must(feeds.DropFeedSecret(k.ctx(), k.studio, k.feed.ID, secrets[0].ID))
	k.send(strings.Replace(tillMessage, `"no": 7`, `"no": 8`, 1), noon).is(201)
	k.secret = old
	k.send(strings.Replace(tillMessage, `"no": 7`, `"no": 9`, 1), noon).problem(401, "unknown")
}

func TestMessagesThatAreNotTaken(t *testing.T) {
	k := newTill(t)
	for name, a := range map[string]answered{
		"no signature":   k.signed(tillMessage, "", ""),
		"wrong":          k.signed(tillMessage, strconv.FormatInt(noon.Unix(), 10), "v2="+strings.Repeat("0", 64)),
		"another body":   k.signed(tillMessage+" ", strconv.FormatInt(noon.Unix(), 10), signed(k.secret, k.feed.ID, noon, []byte(tillMessage))),
		"too early":      k.send(tillMessage, noon.Add(-6*time.Minute)),
		"too late":       k.send(tillMessage, noon.Add(6*time.Minute)),
		"by the token":   k.call(sent{method: "POST", path: k.path, body: tillMessage}),
		"of no feed":     k.call(sent{method: "POST", path: "/hooks/99", body: tillMessage}),
		"without a hook": k.call(sent{method: "POST", path: "/hooks/" + strconv.FormatInt(k.newFeed("calls alone", feed.OrdersWrite).ID, 10), body: tillMessage}),
	} {
		if a.code != 401 || a.header.Get("WWW-Authenticate") != `Solander-Signature realm="solander"` {
			t.Errorf("%s: %d %q %s", name, a.code, a.header.Get("WWW-Authenticate"), a.text)
		}
	}
	k.call(sent{method: "POST", path: "/hooks/x", body: "{}"}).problem(404, "missing")
	k.call(sent{method: "GET", path: k.path}).problem(405, "")
	k.send(strings.Repeat(" ", MaxBody)+tillMessage, noon).problem(413, "toolarge")
	k.must(feeds.RevokeFeed(k.ctx(), k.studio, k.feed.ID))
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
	k.must(feeds.SetFeedMapping(k.ctx(), k.studio, k.feed.ID, 0))
	k.send(tillMessage, noon).problem(409, "refused")
	all, err := feeds.HookMappings(k.ctx(), k.studio)
	k.must(err)
	k.must(feeds.SetFeedMapping(k.ctx(), k.studio, k.feed.ID, all[0].ID))
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
	k.rate(60)
	for n := range 10 {
		k.send(fmt.Sprintf(`{"event": "refunded", "no": %d}`, n), noon).is(200)
	}
	a := k.send(tillMessage, noon).problem(429, "toomany")
	if a.header.Get("Retry-After") != "1" {
		t.Errorf("it may come again after %q", a.header.Get("Retry-After"))
	}
	k.call(sent{method: "GET", path: "/api/v1/editions"}).is(200) // the feed's calls go on
	k.clock.add(time.Second)
	k.send(tillMessage, noon.Add(time.Second)).is(201)
}

func (d *desk) rate(aMinute int) {
	d.Helper()
	d.must(house.ChangeSettings(d.ctx(), d.studio, func(set *studio.Settings) error {
		set.FeedsAMinute = aMinute
		return nil
	}))
}

// A stranger who sends as fast as the machine takes it, unsigned, wrongly signed and to every feed, is told to wait, and
// silences nobody who can sign.
func TestAFloodSilencesNobody(t *testing.T) {
	k := newTill(t)
	k.rate(60)
	site := httptest.NewServer(k.handler)
	t.Cleanup(site.Close)
	send := func(body, stamp, signature string) *http.Response {
		r, err := http.NewRequest("POST", site.URL+k.path, strings.NewReader(body))
		k.must(err)
		r.Header = http.Header{"Content-Type": {"application/json"}, "Solander-Time": {stamp}, "Solander-Signature": {signature}}
		got, err := site.Client().Do(r)
		if err != nil {
			t.Error(err)
			return &http.Response{}
		}
		_, _ = io.Copy(io.Discard, got.Body)
		got.Body.Close()
		return got
	}
	stamp := strconv.FormatInt(noon.Unix(), 10)
	codes := map[int]int{}
	for _, got := range racing(300, func(i int) *http.Response {
		switch i % 3 {
		case 0:
			return send("{}", "", "")
		case 1:
			return send(strings.Repeat(" ", 200<<10), stamp, "v2="+strings.Repeat("0", 64))
		}
		return send(tillMessage, stamp, signed("some other secret", k.feed.ID, noon, []byte(tillMessage)))
	}) {
		codes[got.StatusCode]++
	}
	if codes[401] != 10 || codes[429] != 290 {
		t.Errorf("strangers are answered %v", codes)
	}
	if got := send(tillMessage, stamp, signed(k.secret, k.feed.ID, noon, []byte(tillMessage))); got.StatusCode != 201 {
		t.Errorf("the one that is signed is answered %d", got.StatusCode)
	}
	k.call(sent{method: "GET", path: "/api/v1/editions"}).is(200)
}

// What is too large, or cannot be right by its headers alone, is refused without its body being read.
func TestWhatCannotBeRightIsNotRead(t *testing.T) {
	k := newTill(t)
	for name, h := range map[string]http.Header{
		"no signature":      {"Solander-Time": {strconv.FormatInt(noon.Unix(), 10)}},
		"an old time":       {"Solander-Time": {"1776000000"}, "Solander-Signature": {"v2=" + strings.Repeat("0", 64)}},
		"the scheme before": {"Solander-Time": {strconv.FormatInt(noon.Unix(), 10)}, "Solander-Signature": {"v1=" + strings.Repeat("0", 64)}},
	} {
		body := &counting{Reader: strings.NewReader(tillMessage)}
		r := httptest.NewRequest("POST", k.path, body)
		h.Set("Content-Type", "application/json")
		r.Header = h
		w := httptest.NewRecorder()
		k.handler.ServeHTTP(w, r)
		if w.Code != 401 || body.n != 0 {
			t.Errorf("%s: %d, %d bytes read", name, w.Code, body.n)
		}
	}
}

type counting struct {
	io.Reader
	n int
}

func (c *counting) Read(b []byte) (int, error) {
	n, err := c.Reader.Read(b)
	c.n += n
	return n, err
}

// A message to one feed, caught and sent to another one that has the same secret and mapping, is none.
func TestASignatureIsForItsFeed(t *testing.T) {
	k := newTill(t)
	other := k.newFeed("another till", feed.HooksWrite)
	_, err := feeds.AddFeedSecret(k.ctx(), k.studio, other.ID, k.secret)
	k.must(err)
	mappings, err := feeds.HookMappings(k.ctx(), k.studio)
	k.must(err)
	k.must(feeds.SetFeedMapping(k.ctx(), k.studio, other.ID, mappings[0].ID))
	k.send(tillMessage, noon).is(201)
	caught := signed(k.secret, k.feed.ID, noon, []byte(tillMessage))
	k.path = "/hooks/" + strconv.FormatInt(other.ID, 10)
	second := strings.Replace(tillMessage, `"no": 7`, `"no": 8`, 1)
	k.signed(tillMessage, strconv.FormatInt(noon.Unix(), 10), caught).problem(401, "unknown")
	k.signed(second, strconv.FormatInt(noon.Unix(), 10), signed(k.secret, k.feed.ID, noon, []byte(second))).problem(401, "unknown")
	k.signed(second, strconv.FormatInt(noon.Unix(), 10), signed(k.secret, other.ID, noon, []byte(second))).is(201)
}

// Who is turned away is counted and logged once a minute, never with what was sent as token or signature.
func TestRefusalsAreCounted(t *testing.T) {
	k := newTill(t)
	number, chance, _ := strings.Cut(k.feed.Token, ".")
	guess := number + "." + strings.Repeat("A", len(chance))
	for range 50 {
		k.call(sent{method: "GET", path: "/api/v1/editions", token: "Bearer " + guess}).is(401)
		k.signed(tillMessage, strconv.FormatInt(noon.Unix(), 10), "v2="+strings.Repeat("0", 64))
	}
	if n := strings.Count(k.log.String(), "\n"); n != 2 {
		t.Errorf("%d lines are logged: %s", n, k.log)
	}
	k.clock.add(time.Minute)
	k.call(sent{method: "GET", path: "/api/v1/editions", token: "Bearer " + guess}).is(401)
	got := k.log.String()
	if !strings.Contains(got, `msg="a token is not known" from=192.0.2.1 method=GET route="GET /api/v1/editions" count=50 "in all"=51`) || !strings.Contains(got, "a message is not signed") {
		t.Errorf("it logs %s", got)
	}
	if strings.Contains(got, "AAAA") || strings.Contains(got, "0000000000") {
		t.Errorf("it logs what was sent: %s", got)
	}
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
	page, err := buyers.Buyers(k.ctx(), k.studio, studio.BuyerQuery{})
	k.must(err)
	if len(page.Rows) != 1 || page.Rows[0].Orders != 52 {
		t.Errorf("the buyers are %+v", page.Rows)
	}
}

// signed is the signature of a message as another program makes it, by docs/formats/hook.md alone.
func signed(secret string, feedID int64, at time.Time, message []byte) string {
	h := hmac.New(sha256.New, []byte(secret))
	fmt.Fprintf(h, "%d.%d.%s", at.Unix(), feedID, message)
	return "v2=" + hex.EncodeToString(h.Sum(nil))
}
