package main

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"solander/book"
	"solander/edition"
	"solander/house"
	"solander/internal/pgtest"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/register"
	"solander/store"
	"solander/studio"
	"solander/tariff/cards"
)

// machines are two servers, programs of their own, on one database.
type machines struct {
	t      *testing.T
	at     [2]string
	studio *studio.Studio // a third program that looks
	client *http.Client
}

func (m *machines) ctx() context.Context {
	return studio.WithWho(m.t.Context(), "Ines Corrow")
}

func (m *machines) must(err error) {
	m.t.Helper()
	if err != nil {
		m.t.Fatal(err)
	}
}

// twoMachines has sheets enough, one tube, and nothing else that a print could travel in.
func twoMachines(t *testing.T, first, second string) *machines {
	t.Helper()
	st, err := store.Open(t.Context(), first, store.Options{Patience: time.Minute})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = st.Close() })
	m := &machines{t: t, studio: studio.New(st, studio.Options{Cards: cards.All, Zones: cards.Estimated}), client: &http.Client{
		Timeout: 2 * time.Minute, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }, Transport: &http.Transport{MaxIdleConnsPerHost: takers},
	}}
	t.Cleanup(m.client.CloseIdleConnections)
	d := house.Defaults(measure.Imperial)
	d.Settings.Studio, d.Settings.Artist = "Marsh Lane Press", "Ines Corrow"
	d.Settings.Address = order.Address{Name: "Marsh Lane Press", Line1: "4 Marsh Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"}
	d.Settings.Rules = nil // small prints may be rolled
	tubes := 0
	for i := range d.Shelf {
		switch d.Shelf[i].Spec.Kind {
		case packing.Envelope, packing.Carton:
			d.Shelf[i].Stock = 0
		case packing.Tube:
			d.Shelf[i].Stock = 0
			if l := d.Shelf[i].Spec.Length; tubes == 0 && l >= 18*measure.Inch {
				d.Shelf[i].Stock, tubes = 1, 1
			}
		default:
			d.Shelf[i].Stock = 500
		}
	}
	d.Work = edition.Work{Title: "Heron at dusk", Year: 2024}
	d.Edition = edition.Edition{
		Width: 12 * measure.Inch, Height: 16 * measure.Inch, Paper: "cotton rag", Grammage: 310 * measure.GSM, Caliper: measure.Millimetre / 2, Grade: "standard",
		Limit: 250, TightestRoll: 2 * measure.Inch, Price: money.Of(9000, "USD"), PrintCost: money.Of(1100, "USD"),
	}
	d.Sheets = 100
	m.must(house.SetUp(m.ctx(), m.studio, d))
	one, at := started(t, "serve", "--store", first)
	two, beside := started(t, "serve", "--store", second)
	m.at = [2]string{at, beside}
	t.Cleanup(func() {
		ends(t, one, syscall.SIGTERM)
		ends(t, two, syscall.SIGTERM)
	})
	return m
}

func (m *machines) sale(i int) book.Sale {
	return book.Sale{
		Outlet: 1, Buyer: order.Buyer{Name: fmt.Sprint("Ada Quill ", i)},
		ShipTo: order.Address{Name: "Ada Quill", Line1: fmt.Sprint(i, " Oak Street"), City: "Denver", Region: "CO", Postcode: "80202", Country: "US"},
		Lines:  []book.SaleLine{{Edition: 1}}, Paid: money.Of(9000, "USD"),
	}
}

// send sends a form to one of the servers.
func (m *machines) send(server int, path string, fields ...string) (status int, to, page string) {
	v := url.Values{}
	for i := 0; i+1 < len(fields); i += 2 {
		v.Set(fields[i], fields[i+1])
	}
	r, err := http.NewRequest(http.MethodPost, strings.TrimSuffix(m.at[server], "/")+path, strings.NewReader(v.Encode()))
	if err != nil {
		return 0, "", err.Error()
	}
	r.Header = http.Header{"Content-Type": {"application/x-www-form-urlencoded"}, "Sec-Fetch-Site": {"same-origin"}}
	res, err := m.client.Do(r)
	if err != nil {
		return 0, "", err.Error()
	}
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil {
		return 0, "", err.Error()
	}
	return res.StatusCode, res.Header.Get("Location"), string(b)
}

// onTwo runs a test of two machines on a server, and with one of them behind a pooler.
func onTwo(t *testing.T, test func(*machines)) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Run("straight", func(t *testing.T) {
		place := pgtest.New(t)
		test(twoMachines(t, place, place))
	})
	t.Run("one behind a pooler", func(t *testing.T) {
		place := pgtest.New(t)
		test(twoMachines(t, place, pgtest.Pooled(t, place)))
	})
}

// TestTheLastTube lets sixty-four hands pack sixteen orders at two servers while one tube is left: one order is packed, and all others are
// refused by a rule. What is packed leaves the shelf with its parcel.
func TestTheLastTube(t *testing.T) { onTwo(t, lastTube) }

func lastTube(m *machines) {
	const orders = 16
	for i := range orders {
		v, err := book.TakeOrder(m.ctx(), m.studio, m.sale(i))
		m.must(err)
		m.must(register.Sign(m.ctx(), m.studio, []int64{v.Lines[0].ID}))
	}
	var mu sync.Mutex
	codes := map[int]int{}
	var all sync.WaitGroup
	for hand := range takers {
		all.Go(func() {
			code, _, page := m.send(hand%2, fmt.Sprintf("/orders/%d/pack", hand/4+1), "once", fmt.Sprint("hand ", hand))
			mu.Lock()
			defer mu.Unlock()
			if codes[code]++; code != http.StatusSeeOther && (code < 400 || code >= 500) && code != http.StatusServiceUnavailable {
				m.t.Errorf("hand %d is answered %d %.300s", hand, code, page)
			}
		})
	}
	all.Wait()
	packed := 0
	m.must(m.studio.Store.Read(m.ctx(), func(tx studio.Tx) error {
		parcels, err := tx.OpenParcels()
		if err != nil {
			return err
		}
		packed = len(parcels)
		tubes := 0
		for _, p := range parcels {
			for _, l := range p.Plan.Layers {
				if strings.HasPrefix(l.Item, "tube-") {
					tubes += l.Count
				}
			}
		}
		if tubes != 1 {
			m.t.Errorf("%d tubes are in the parcels, and there is one", tubes)
		}
		return err
	}))
	if packed != 1 || codes[http.StatusSeeOther] != 1 {
		_, _, page := m.send(0, "/orders/1/pack", "once", "why")
		_, why, _ := strings.Cut(page, `id="faults"`)
		m.t.Logf("%.900s", why)
		m.t.Errorf("with one tube %d orders are packed, by the answers %v", packed, codes)
	}
	m.sound()
}

// TestOneFormAtTwoServers sends one form thirty-two times to two servers at once: one sale stands, and every sender is led to it.
func TestOneFormAtTwoServers(t *testing.T) { onTwo(t, oneForm) }

func oneForm(m *machines) {
	fields := []string{
		"once", "a key drawn by chance", "outlet", "1", "buyer", "Mara Vell", "ship_to.line1", "7 Mill Road", "ship_to.city", "Denver", "ship_to.region", "CO",
		"ship_to.postcode", "80202", "ship_to.country", "US", "lines[0].edition", "1",
	}
	var all sync.WaitGroup
	for sender := range 32 {
		all.Go(func() {
			code, to, page := m.send(sender%2, "/orders", fields...)
			for tries := 0; code == http.StatusServiceUnavailable && tries < 20; tries++ {
				code, to, page = m.send(sender%2, "/orders", fields...)
			}
			if code != http.StatusSeeOther || !strings.HasPrefix(to, "/orders/") {
				m.t.Errorf("sender %d is answered %d to %q %.300s", sender, code, to, page)
			}
		})
	}
	all.Wait()
	found, err := book.Orders(m.ctx(), m.studio, studio.OrderQuery{}, "")
	m.must(err)
	if len(found.Rows) != 1 {
		m.t.Errorf("%d orders stand in the book", len(found.Rows))
	}
	m.sound()
}

func (m *machines) sound() {
	m.t.Helper()
	found, err := house.Check(m.ctx(), m.studio)
	m.must(err)
	if len(found) != 0 {
		m.t.Errorf("%+v", found)
	}
}
