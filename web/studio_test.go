package web

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"solander/book"
	"solander/edition"
	"solander/house"
	"solander/intake"
	"solander/intake/csvfile"
	"solander/intake/xlsx"
	"solander/internal/browsertest"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/store"
	"solander/studio"
	"solander/supply"
	"solander/tariff/cards"
	"solander/web/page"
)

// noon is the instant of every test: Tuesday 14 April 2026, within the bundled price cards.
var noon = time.Date(2026, 4, 14, 16, 0, 0, 0, time.UTC)

// site is a studio with its pages, on a database of its own.
type site struct {
	t       testing.TB
	store   interface{ Close() error }
	studio  *studio.Studio
	face    *face
	handler http.Handler
	log     *bytes.Buffer
}

// readAny reads workbooks and text files.
func readAny(name string, data []byte, progress func(done, total int)) (intake.Table, error) {
	if strings.HasSuffix(name, ".xlsx") {
		return xlsx.Read(name, data, progress)
	}
	return csvfile.Read(name, data, progress)
}

// emptySite is a studio before set-up.
func emptySite(t *testing.T) *site {
	t.Helper()
	return siteAt(t, filepath.Join(t.TempDir(), "studio.db"))
}

func TestMain(m *testing.M) { os.Exit(browsertest.Share(m)) }

// patient pages wait for what they show, however busy the machine is.
var patient = page.Patience{Moment: 50 * time.Second}

// A model is a studio that is made once, and copied for each test.
type model struct {
	make func(*site)
	once sync.Once
	file []byte
	key  []byte // of the register; nil = there is none
}

func (m *model) copy(t testing.TB) *site {
	t.Helper()
	m.once.Do(func() {
		place := filepath.Join(t.TempDir(), "model.db")
		s := siteAt(t, place)
		m.make(s)
		s.must(s.store.Close()) // it is whole in its one file then
		var err error
		m.file, err = os.ReadFile(place)
		s.must(err)
		if key, err := os.ReadFile(place + "-register-key"); err == nil { // it signed something
			m.key = key
		}
	})
	if len(m.file) == 0 {
		t.Fatal("the studio could not be made: see the test that came first")
	}
	place := filepath.Join(t.TempDir(), "studio.db")
	if err := os.WriteFile(place, m.file, 0o600); err != nil {
		t.Fatal(err)
	}
	if m.key != nil {
		if err := os.WriteFile(place+"-register-key", m.key, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return siteAt(t, place)
}

func siteAt(t testing.TB, place string) *site { return openAt(t, place, true) }

// served is the site opened anew as the program opens it, which keeps a row's digest in the transaction that writes the row.
func (s *site) served(t *testing.T) *site {
	t.Helper()
	place := placeOf(t, s)
	s.must(s.store.Close())
	return openAt(t, place, false)
}

func openAt(t testing.TB, place string, hasty bool) *site {
	t.Helper()
	return openOn(t, place, hasty, noon)
}

// openOn is openAt on another day.
func openOn(t testing.TB, place string, hasty bool, at time.Time) *site {
	t.Helper()
	return openWith(t, place, store.Options{Clock: func() time.Time { return at }, Away: 2 * time.Second, Hasty: hasty, RegisterKey: keyFor(t, place)})
}

// openWith is a site on a store that is opened in a way of its own.
func openWith(t testing.TB, place string, opt store.Options) *site {
	t.Helper()
	clock := opt.Clock
	st, err := store.Open(context.Background(), place, opt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = st.Close() })
	s := &site{t: t, store: st, studio: studio.New(st, studio.Options{Clock: clock, Cards: cards.All, Files: readAny, Zones: cards.Estimated}), log: &bytes.Buffer{}}
	s.start()
	return s
}

// keyFor is where the register's key lies of a studio on a server; beside a file it lies by itself.
func keyFor(t testing.TB, place string) string {
	if strings.HasPrefix(place, "postgres") {
		return filepath.Join(t.TempDir(), "register-key")
	}
	return ""
}

// start begins the program anew: it remembers no form that was sent.
func (s *site) start() {
	s.face = newFace(s.studio, Options{Log: slog.New(slog.NewTextHandler(s.log, nil)), Version: "test", Until: s.t.Context(), Patience: patient})
	s.handler = s.face.handler()
}

const in = measure.Inch

// newSite is a studio with two works, three editions (of 250, of 3 in fine, an open one), a stocked shelf
// and ten sheets of each.
func newSite(t *testing.T) *site {
	t.Helper()
	return furnishedModel.copy(t)
}

var furnishedModel = &model{make: (*site).furnish}

// furnish sets the studio up and declares its editions.
func (s *site) furnish() {
	s.t.Helper()
	d := house.Defaults(measure.Imperial)
	d.Settings.Studio, d.Settings.Artist = "Marsh Lane Press", "Ines Corrow"
	d.Settings.Address = order.Address{Name: "Marsh Lane Press", Line1: "4 Marsh Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"}
	d.Settings.Labs = []string{"Cold Press Lab"}
	for i := range d.Shelf {
		d.Shelf[i].Stock = 40
	}
	d.Work = edition.Work{Title: "Heron at dusk", Year: 2024}
	d.Edition = edition.Edition{
		Width: 12 * in, Height: 16 * in, Paper: "cotton rag", Grammage: 310 * measure.GSM, Caliper: measure.Millimetre / 2, Grade: "standard",
		Limit: 250, Proofs: edition.Proofs{AP: 5}, TightestRoll: 3 * in, Price: money.Of(9000, "USD"), PrintCost: money.Of(1100, "USD"),
		Steps: []edition.PriceStep{{FromSold: 50, Price: money.Of(11000, "USD")}},
	}
	d.Sheets = 10
	s.must(house.SetUp(s.ctx(), s.studio, d))
	wk, err := register.SaveWork(s.ctx(), s.studio, edition.Work{Title: "Low tide", Year: 2025})
	s.must(err)
	for _, e := range []edition.Edition{
		{Limit: 3, Grade: "fine", Price: money.Of(24000, "USD")},
		{Grade: "standard", Price: money.Of(3500, "USD")},
	} {
		e.Work, e.Width, e.Height, e.Paper, e.Grammage, e.Caliper, e.TightestRoll = wk.ID, 8*in, 10*in, "matt paper", 230*measure.GSM, measure.Millimetre*3/10, 2*in
		e.PrintCost = money.Of(400, "USD")
		saved, err := register.Declare(s.ctx(), s.studio, e)
		s.must(err)
		s.must(stockroom.CountSheets(s.ctx(), s.studio, saved.ID, 10, "first count"))
	}
}

func (s *site) ctx() context.Context { return studio.WithWho(context.Background(), "Ines Corrow") }

func (s *site) must(err error) {
	s.t.Helper()
	if err != nil {
		s.t.Fatal(err)
	}
}

// sale takes one print of an edition into the book, paid or not.
func (s *site) sale(ed int64, paid int64) studio.OrderView {
	s.t.Helper()
	v, err := s.mayBuy(ed, paid)
	s.must(err)
	return v
}

// mayBuy is a sale that may be refused.
func (s *site) mayBuy(ed int64, paid int64) (studio.OrderView, error) {
	s.t.Helper()
	outlets, err := house.Outlets(s.ctx(), s.studio)
	s.must(err)
	return book.TakeOrder(s.ctx(), s.studio, book.Sale{
		Outlet: outlets[0].ID, Buyer: order.Buyer{Name: "Ada Quill", Email: "ada@example.org"},
		ShipTo: order.Address{Name: "Ada Quill", Line1: "12 Oak Street", City: "Denver", Region: "CO", Postcode: "80202", Country: "US"},
		Lines:  []book.SaleLine{{Edition: ed}}, Paid: money.Of(paid, "USD"),
	})
}

// answer is what came back.
type answer struct {
	htmlPage
	status   int
	header   http.Header
	location string
	body     []byte
}

func (s *site) send(r *http.Request) answer {
	s.t.Helper()
	w := httptest.NewRecorder()
	s.handler.ServeHTTP(w, r)
	res := w.Result()
	body, err := io.ReadAll(res.Body)
	s.must(err)
	a := answer{htmlPage: htmlPage{t: s.t}, status: res.StatusCode, header: res.Header, location: res.Header.Get("Location"), body: body}
	if strings.HasPrefix(res.Header.Get("Content-Type"), "text/html") && len(body) > 0 {
		wellFormed(s.t, body)
		a.htmlPage = parse(s.t, body)
	}
	return a
}

func (s *site) get(path string) answer {
	s.t.Helper()
	path, _, _ = strings.Cut(path, "#") // which a browser keeps to itself
	return s.send(httptest.NewRequest("GET", "http://localhost"+path, nil))
}

func (s *site) post(path string, fields ...string) answer {
	s.t.Helper()
	return s.send(formRequest(path, values(fields...)))
}

func formRequest(path string, v url.Values) *http.Request {
	r := httptest.NewRequest("POST", "http://localhost"+path, strings.NewReader(v.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return r
}

func values(fields ...string) url.Values {
	v := url.Values{}
	for i := 0; i+1 < len(fields); i += 2 {
		v.Add(fields[i], fields[i+1])
	}
	return v
}

// is fails unless the status is the one wanted.
func (a answer) is(status int) answer {
	a.t.Helper()
	if a.status != status {
		text := string(a.body)
		if a.root != nil {
			text = textOf(a.root)
		}
		a.t.Fatalf("status %d, want %d: %.1500s", a.status, status, text)
	}
	return a
}

// leads fails unless the answer leads to a path that starts so; it returns the page there.
func (s *site) leads(a answer, path string) answer {
	s.t.Helper()
	if a.status != http.StatusSeeOther || !strings.HasPrefix(a.location, path) {
		text := string(a.body)
		if a.root != nil {
			text = textOf(a.root)
		}
		s.t.Fatalf("status %d to %q, want 303 to %q: %.1500s", a.status, a.location, path, text)
	}
	return s.get(a.location).is(http.StatusOK)
}

// run orders sheets of an edition from the lab.
func (s *site) run(ed int64, quantity int) supply.Run {
	s.t.Helper()
	today, err := house.Today(s.ctx(), s.studio)
	s.must(err)
	r, err := stockroom.OrderRun(s.ctx(), s.studio, supply.Run{Edition: ed, Lab: "Cold Press Lab", Ordered: today, Expected: today.Add(10), Quantity: quantity, UnitCost: money.Of(1100, "USD")})
	s.must(err)
	return r
}

func (s *site) orderPath(v studio.OrderView) string { return fmt.Sprintf("/orders/%d", v.ID) }
