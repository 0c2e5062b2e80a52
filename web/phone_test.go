package web

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"image/color"
	"image/png"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"solander/access"
	"solander/edition"
	"solander/internal/authority"
	"solander/internal/browsertest"
	"solander/internal/nearby"
	"solander/internal/testpdf"
	"solander/people"
	"solander/phones"
	"solander/store"
	"solander/studio"
	"solander/supply"
	"solander/tariff/cards"
	"solander/web/phone"
)

// near is a site with a door to phones; its local network is this machine alone.
type near struct {
	*site
	door  *nearby.Door
	shift *atomic.Int64 // by which its clocks are put forward, in nanoseconds
	log   *lockedLog
	owner access.Person
}

// lockedLog is a log that servers write side by side.
type lockedLog struct{ lines chan string }

func (l *lockedLog) Write(b []byte) (int, error) {
	l.lines <- string(b)
	return len(b), nil
}

func (l *lockedLog) all() (out string) {
	for {
		select {
		case line := <-l.lines:
			out += line
		default:
			return out
		}
	}
}

func nearSite(t *testing.T) *near {
	t.Helper()
	first := newSite(t)
	first.sale(1, 9000)
	first.must(first.store.Close())
	n := &near{site: first, shift: &atomic.Int64{}, log: &lockedLog{make(chan string, 10000)}}
	clock := func() time.Time { return noon.Add(time.Duration(n.shift.Load())) }
	st, err := store.Open(context.Background(), placeOf(t, first), store.Options{Clock: clock, Hasty: true})
	n.must(err)
	t.Cleanup(func() { _ = st.Close() })
	n.store, n.studio = st, studio.New(st, studio.Options{Clock: clock, Cards: cards.All, Files: readAny, Zones: cards.Estimated})
	log := slog.New(slog.NewTextHandler(n.log, &slog.HandlerOptions{Level: slog.LevelDebug}))
	n.door = nearby.New(nearby.Options{
		Listen: "127.0.0.1:0", Keeper: authority.Own(filepath.Join(t.TempDir(), "trust")), Clock: func() time.Time { return time.Now().Add(time.Duration(n.shift.Load())) },
		Server: func(h http.Handler) *http.Server { return Server("", h) }, Log: log,
		Names: func() (authority.Names, error) {
			return authority.Names{Addresses: []netip.Addr{netip.MustParseAddr("127.0.0.1")}, Hosts: []string{"atelier.local"}}, nil
		}, Local: netip.Addr.IsLoopback,
	})
	n.door.Answer(New(n.studio, Options{Log: log, Version: "test", Patience: patient, Door: n.door, Near: true}))
	n.face = newFace(n.studio, Options{Log: log, Version: "test", Patience: patient, Door: n.door})
	n.handler = n.face.handler()
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan bool)
	go func() { n.door.Run(ctx, nil); close(ended) }()
	t.Cleanup(func() {
		stop()
		<-ended
	})
	return n
}

// placeOf is where the store of a site is kept.
func placeOf(t *testing.T, s *site) string {
	t.Helper()
	place, ok := s.store.(interface{ Place() string })
	if !ok {
		t.Fatal("the store does not say where it is")
	}
	return strings.TrimPrefix(place.Place(), "SQLite file ")
}

func (n *near) after(d time.Duration) { n.shift.Add(int64(d)) }

// opened opens the door for a studio with an owner.
func (n *near) opened() {
	n.t.Helper()
	e, err := people.FirstOwner(n.ctx(), n.studio, "Ines Corrow", "four plain words here", "a test")
	n.must(err)
	n.owner = e.Person
	n.must(n.door.Open(8 * time.Hour))
}

// handset is a phone: it trusts the authority alone, and keeps cookies.
type handset struct {
	n *near
	http.Client
	jar *cookiejar.Jar
}

func (n *near) handset() *handset {
	n.t.Helper()
	ca, err := x509.ParseCertificate(n.door.State().Authority)
	n.must(err)
	pool := x509.NewCertPool()
	pool.AddCert(ca)
	jar, err := cookiejar.New(nil)
	n.must(err)
	tr := &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool, Time: func() time.Time { return time.Now().Add(time.Duration(n.shift.Load())) }}, ForceAttemptHTTP2: true}
	n.t.Cleanup(tr.CloseIdleConnections)
	return &handset{n, http.Client{Transport: tr, Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}, jar}
}

func (h *handset) send(method, path string, fields ...string) answer {
	h.n.t.Helper()
	req, err := http.NewRequest(method, h.n.door.State().Bases[0]+path, strings.NewReader(values(fields...).Encode()))
	h.n.must(err)
	if method == http.MethodPost {
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		req.Header.Set("Sec-Fetch-Site", "same-origin")
	}
	res, err := h.Do(req)
	h.n.must(err)
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	h.n.must(err)
	a := answer{htmlPage: htmlPage{t: h.n.t}, status: res.StatusCode, header: res.Header, location: res.Header.Get("Location"), body: body}
	if strings.HasPrefix(res.Header.Get("Content-Type"), "text/html") && len(body) > 0 {
		a.htmlPage = parse(h.n.t, body)
	}
	return a
}

// key is the cookie that the phone holds.
func (h *handset) key() string {
	h.n.t.Helper()
	u, err := url.Parse(h.n.door.State().Bases[0])
	h.n.must(err)
	for _, c := range h.jar.Cookies(u) {
		if c.Name == "__Host-solander-device" {
			return c.Value
		}
	}
	return ""
}

// take makes the handset hold a key, as a thief's.
func (h *handset) take(key string) {
	u, err := url.Parse(h.n.door.State().Bases[0])
	h.n.must(err)
	h.jar.SetCookies(u, []*http.Cookie{{Name: "__Host-solander-device", Value: key, Path: "/", Secure: true}})
}

// letIn lets a handset in, and returns the code that did.
func (n *near) letIn(h *handset, name string, most access.Role) (code string) {
	n.t.Helper()
	o, err := phones.Invite(n.ctx(), n.studio, n.owner.ID, most)
	n.must(err)
	if a := h.send("POST", "/phone", "code", o.Code, "name", name); a.status != 303 || a.location != "/" {
		n.t.Fatalf("%s is not let in: %d %s", name, a.status, textOf(a.root))
	}
	return o.Code
}

// Nobody is answered by the door without an account; strangers see the page for a code, and nothing of the studio.
func TestStrangersAtTheDoor(t *testing.T) {
	t.Parallel()
	n := nearSite(t)
	n.must(n.door.Open(time.Hour))
	h := n.handset()
	h.send("GET", "/orders").is(303) // though there is no account: only who sits at the computer needs none
	n.opened()
	if a := h.send("GET", "/").is(303); a.location != "/phone" {
		t.Errorf("the bench leads to %s", a.location)
	}
	if a := h.send("GET", "/orders").is(303); !strings.HasPrefix(a.location, "/sign-in?") {
		t.Errorf("the orders lead to %s", a.location)
	}
	in := h.send("GET", "/phone").is(200)
	in.one("#phone-code")
	in.has("#trust", n.door.State().Print[:23])
	in.hasNot("nav[aria-label=Rooms]")
	if strings.Contains(string(in.body), "Marsh Lane") {
		t.Error("a stranger is told whose studio it is")
	}
	if a := h.send("GET", "/phone/authority.crt").is(200); !bytes.Equal(a.body, n.door.State().Authority) || a.header.Get("Content-Type") != "application/x-x509-ca-cert" {
		t.Errorf("the certificate: %s", a.header)
	}
	if in.header.Get("Strict-Transport-Security") != "" {
		t.Error("the phone is told never to go on past a warning (RFC 6797, 8.4), by a computer whose authority may change")
	}
	h.send("GET", "/static/solander.css").is(200)
	for _, path := range []string{"/v1/orders", "/hooks/1", "/opened"} {
		h.send("GET", path).is(404)
	}
	h.send("POST", "/sign", "lines", "1").is(401)
	h.send("POST", "/studio/phones/let-in").is(401)
	h.take("1.x.y")
	h.send("GET", "/").is(401).has("#matter", "This phone is not known here")
	h.send("GET", "/phone").is(200)
	n.must(n.door.Shut())
	n.get("/phone/authority.crt").is(404)
}

// One code, one phone; what is wrong with a code is said in words. The key is a cookie that no script reads and no other address gets,
// and neither code nor key comes into a log.
func TestACodeAtTheDoor(t *testing.T) {
	t.Parallel()
	n := nearSite(t)
	n.opened()
	h := n.handset()
	h.send("POST", "/phone", "code", "0000-0000-0000", "name", "x").is(401).has("#phone-code-wrong", "No phone is let in by this code")
	h.send("POST", "/phone", "code", "short", "name", "x").is(422).has("#phone-code-wrong", "twelve letters and digits")
	code := n.letIn(h, "kitchen phone", access.Helper)
	key := h.key()
	other := n.handset()
	other.send("POST", "/phone", "code", code, "name", "thief").is(409).has("#phone-code-wrong", "has let a phone in already")
	if other.key() != "" {
		t.Error("it was given a key")
	}
	late, err := phones.Invite(n.ctx(), n.studio, n.owner.ID, "")
	n.must(err)
	n.after(11 * time.Minute)
	a := other.send("POST", "/phone", "code", late.Code, "name", "late").is(409)
	a.has("#phone-code-wrong", "This code ended at")
	h.send("GET", "/").is(200).hasNot(".notice a")
	cookie := ""
	n.after(10 * time.Minute)
	for _, c := range h.send("GET", "/orders").is(200).header.Values("Set-Cookie") {
		cookie += c
	}
	for _, want := range []string{"__Host-solander-device=", "; HttpOnly", "; Secure", "; SameSite=", "; Path=/"} {
		if !strings.Contains(cookie, want) {
			t.Errorf("the cookie %q has no %s", strings.ReplaceAll(cookie, h.key(), "…"), want)
		}
	}
	if h.key() == key || strings.Contains(cookie, "Domain") {
		t.Error("the key did not turn, or is for other hosts too")
	}
	_, secret, _ := strings.Cut(key, ".")
	log := n.log.all()
	for _, s := range []string{code, strings.ReplaceAll(code, "-", ""), key, h.key(), secret} {
		if strings.Contains(log, s) {
			t.Errorf("the log holds a code or a key: %s", log)
		}
	}
	if !strings.Contains(log, "a phone was let in") || !strings.Contains(log, "a code lets no phone in") {
		t.Errorf("the log says nothing of it: %s", log)
	}
	// By the computer's own address it is no key, and no code is taken.
	r := httptest.NewRequest("GET", "http://localhost/", nil)
	r.AddCookie(&http.Cookie{Name: "solander-device", Value: h.key()})
	if a := n.send(r); a.status != 303 {
		t.Errorf("by another door the key of a phone lets in: %d", a.status)
	}
	n.post("/phone", "code", code, "name", "x").is(409).has("#faults", "This is the computer itself")
}

// A phone may do what its key says; the door itself is opened on the computer alone.
func TestWhatAPhoneMayDo(t *testing.T) {
	t.Parallel()
	n := nearSite(t)
	n.opened()
	helper, owner, reader := n.handset(), n.handset(), n.handset()
	n.letIn(helper, "helper", access.Helper)
	n.letIn(owner, "owner", access.Owner)
	n.letIn(reader, "reader", access.Reader)
	for path, want := range map[string][3]int{
		"/": {200, 200, 200}, "/scan": {200, 200, 403}, "/till": {200, 200, 403}, "/drawer/1": {200, 200, 200}, "/works/1": {200, 200, 200}, "/studio": {403, 200, 403},
		"/studio/phones": {403, 200, 403}, "/orders/new": {403, 200, 403},
	} {
		for i, h := range []*handset{helper, owner, reader} {
			if a := h.send("GET", path); a.status != want[i] {
				t.Errorf("%s as %d: %d, want %d", path, i, a.status, want[i])
			}
		}
	}
	helper.send("POST", "/drawer/1/count", "counted", "7", "reason", "counted by phone").is(303)
	reader.send("POST", "/drawer/1/count", "counted", "6", "reason", "x").is(403)
	n.must(n.studio.Store.Read(n.ctx(), func(tx studio.Tx) error {
		moves, err := tx.Moves(supply.Sheets, 1, 1)
		if err != nil || len(moves) != 1 || moves[0].Who != "Ines Corrow" {
			t.Errorf("the count was made by %+v, %v", moves, err)
		}
		return err
	}))
	page := owner.send("GET", "/studio/phones").is(200)
	page.has("#door", "Open until")
	page.one("form[action='/studio/phones/shut']")
	page.hasNot("form[action='/studio/phones/let-in']")
	for _, path := range []string{"/studio/phones/let-in", "/studio/phones/open"} { // it proved lately who it is no more than any phone: asked before
		if a := owner.send("POST", path, "hours", "8", "person", "1", "most", "owner"); a.status != 403 {
			t.Errorf("%s from a phone: %d", path, a.status)
		}
	}
	owner.send("POST", "/studio/phones/1/end").is(303)
	helper.send("GET", "/").is(401).has("#matter", "Helper is let in no more")
	helper.send("POST", "/sign", "lines", "1").is(401)
}

// Two devices with one key: whichever comes late with an old one, both end, both are told, and so is she, on the bench.
func TestAClonedPhone(t *testing.T) {
	t.Parallel()
	n := nearSite(t)
	n.opened()
	h, thief := n.handset(), n.handset()
	n.letIn(h, "kitchen phone", access.Helper)
	thief.take(h.key())
	thief.send("GET", "/").is(200)
	n.after(phones.TurnEvery)
	h.send("GET", "/").is(200)
	h.send("GET", "/").is(200)
	n.after(2 * phones.Grace)
	for _, one := range []*handset{thief, h} {
		one.send("GET", "/").is(401).has("#matter", "used from two devices, so neither is let in any more")
	}
	owner := n.handset()
	n.letIn(owner, "another", access.Owner)
	bench := owner.send("GET", "/").is(200)
	bench.has(".notice.caution", "The key of kitchen phone was used from two devices")
	bench.has(".notice", "reach the studio until")
	list := owner.send("GET", "/studio/phones").is(200)
	list.has("#phones .caution", "kitchen phone")
	owner.send("POST", "/studio/phones/1/hide").is(303)
	owner.send("GET", "/").is(200).hasNot(".notice.caution")
}

// The door is shut at first, after its time, and after a start.
func TestTheDoorOfTheStudioShuts(t *testing.T) {
	t.Parallel()
	n := nearSite(t)
	n.opened()
	h := n.handset()
	n.letIn(h, "phone", access.Helper)
	at := n.door.State().Bases[0]
	n.after(7*time.Hour + 59*time.Minute)
	h.send("GET", "/").is(200)
	n.after(time.Minute)
	if res, err := h.Get(at + "/"); err == nil && res.StatusCode == 200 {
		t.Error("after eight hours it answers")
	}
	if c, err := net.Dial("tcp", strings.TrimPrefix(at, "https://")); err == nil {
		c.Close()
		t.Error("after eight hours the port is open")
	}
}

// The whole way, in two browsers: on the computer an account and a code, on a phone that trusts the computer from the picture to the
// bench, at work there, and ended on the computer.
func TestLettingAPhoneIn(t *testing.T) {
	t.Parallel()
	n := nearSite(t)
	home := httptest.NewServer(n.handler)
	t.Cleanup(home.Close)
	computer := browsertest.Open(t)
	computer.Go(home.URL + "/studio")
	lead := func(p *browsertest.Page, selector, says string) {
		t.Helper()
		if status := p.ClickTo(selector); status != 200 || !strings.Contains(p.Text("#matter"), says) {
			t.Fatalf("%s: status %d: %s", selector, status, p.Text("#matter"))
		}
	}
	lead(computer, "a[href='/studio/phones']", "Your account first")
	computer.MustBeAccessible()
	computer.Fill("#owner-password", "heron tide carton lamp")
	computer.Fill("#owner-again", "heron tide carton lamp")
	lead(computer, "#matter button.main", "A phone more")
	computer.MustBeAccessible()
	inPicture(computer, "phones-desk")
	lead(computer, "#matter button.main", "A code for a phone")
	computer.MustBeAccessible()
	inPicture(computer, "phonecode-desk")
	code := computer.Text("#the-code")
	link := n.seen(computer)
	if link != phone.Link(n.door.State().Bases[0], code) {
		t.Fatalf("a reader of QR codes sees %s in the picture, the page says %s", link, code)
	}
	if got := strings.ReplaceAll(computer.Text("#trust .print"), " ", ":"); got != n.door.State().Print {
		t.Errorf("the fingerprint is shown as %s", got)
	}
	if strings.Contains(computer.URL(), code) {
		t.Error("the code stands in an address")
	}

	p := browsertest.Trusting(t, n.door.State().Authority)
	p.Phone()
	began := time.Now()
	p.Go(link)
	p.MustBeAccessible()
	inPicture(p, "phonein-phone")
	if got := browsertest.Eval[string](p, `location.href + " " + document.cookie`); strings.Contains(got, code) || strings.Contains(got, "#") {
		t.Errorf("the code stays in the address: %s", got)
	}
	p.Fill("#phone-name", "kitchen phone")
	lead(p, "#matter button.main", "open order")
	took := time.Since(began)
	t.Logf("from the picture to the bench, with its trust set: %.1f s", took.Seconds())
	if took > 30*time.Second {
		t.Errorf("it took %s, more than 30 s", took)
	}
	if got := browsertest.Eval[string](p, `[isSecureContext, document.cookie].join()`); got != "true," {
		t.Errorf("secure, cookies that scripts read: %s", got)
	}
	inPicture(p, "bench-phone")
	for _, path := range []string{"/", "/scan", "/till", "/drawer", "/drawer/1", "/works/1", "/orders", "/hand-over"} {
		p.Go(n.door.State().Bases[0] + path)
		if p.WiderThanItsWindow() {
			t.Errorf("%s is wider than the phone", path)
		}
		if path == "/works/1" && p.Count("#picture-taken[capture=environment]") != 1 || path == "/works/1" && !browsertest.Eval[bool](p, `document.getElementById("picture-taken").checkVisibility()`) {
			t.Error("a picture of a work cannot be taken with the camera")
		}
		inPicture(p, "near"+strings.ReplaceAll(path, "/", "-"))
	}
	p.Go(n.door.State().Bases[0] + "/")
	p.Click("#sign input[type=checkbox]")
	lead(p, "#sign button.main", "Pack")
	n.must(n.studio.Store.Read(n.ctx(), func(tx studio.Tx) error {
		all, err := tx.Entries(0, 100)
		if err != nil || len(all) == 0 || all[len(all)-1].Step != edition.Sign || all[len(all)-1].Who != "Ines Corrow" {
			t.Errorf("the register says of the signing: %+v, %v", all, err)
		}
		return nil
	}))
	p.Go(n.door.State().Bases[0] + "/scan")
	if got := browsertest.Eval[string](p, `navigator.mediaDevices.getUserMedia({video: true}).then(s => s.getVideoTracks().length + " camera", e => e.name)`); got != "1 camera" {
		t.Errorf("on the page of scanning: %s", got)
	}
	p.Go(n.door.State().Bases[0] + "/till")
	if got := browsertest.Eval[string](p, `navigator.mediaDevices.getUserMedia({video: true}).then(s => "a camera", e => e.name)`); got != "NotAllowedError" {
		t.Errorf("on another page: %s", got)
	}

	computer.Go(home.URL + "/works/1")
	if browsertest.Eval[bool](computer, `document.getElementById("picture-taken").checkVisibility()`) {
		t.Error("on the computer a camera is asked for")
	}
	computer.Go(home.URL + "/")
	if got := computer.Text(".notice"); !strings.Contains(got, "Phones on the local network reach the studio until") {
		t.Errorf("the bench says: %s", got)
	}
	inPicture(computer, "bench-notice-desk")
	computer.Go(home.URL + "/studio/phones")
	if got := computer.Text("#phones"); !strings.Contains(got, "kitchen phone") || !strings.Contains(got, noon.Format("2006")) {
		t.Errorf("the list says: %s", got)
	}
	inPicture(computer, "phones-open-desk")
	computer.Phone()
	inPicture(computer, "phones-open-phone")
	lead(computer, "#phones form[action$='/end'] button", "is let in no more")
	p.Go(n.door.State().Bases[0] + "/till")
	if got := p.Text("#matter"); !strings.Contains(got, "Kitchen phone is let in no more") {
		t.Errorf("the phone is told: %s", got)
	}
	lead(computer, "#door form[action$='/shut'] button", "It is shut")
	if n.door.State().On {
		t.Error("the door is open")
	}
}

// seen is what a reader of QR codes sees in the window of a page.
func (n *near) seen(p *browsertest.Page) string {
	n.t.Helper()
	file := filepath.Join(n.t.TempDir(), "seen.png")
	p.Shot(file)
	b, err := os.ReadFile(file)
	n.must(err)
	img, err := png.Decode(bytes.NewReader(b))
	n.must(err)
	return strings.Join(testpdf.ReadQR(n.t, img), " ")
}

// A picture that a phone took is hung as a chosen file is, with the one field or the other.
func TestAPictureIsTaken(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, field := range []string{"taken", "file"} {
		s.sendFile("/works/1/picture", field, "IMG.jpg", aPicture(t, 300, 400, color.Gray{120}), "alt", "by "+field).is(303)
		if got := s.get("/works/1").is(200); !strings.Contains(string(got.body), "by "+field) {
			t.Errorf("by the field %s no picture was hung", field)
		}
	}
	s.post("/works/1/picture", "alt", "x").is(422)
}
