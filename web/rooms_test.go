package web

import (
	"fmt"
	"image/color"
	"net/http/httptest"
	"net/url"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"solander/billing"
	"solander/invoice"
	"solander/measure"

	"solander/book"
	"solander/dispatch"
	"solander/gallery"
	"solander/house"
	"solander/intake"
	"solander/internal/testpdf"
	"solander/movein"
	"solander/picture"
	"solander/record"
	"solander/register"
	"solander/stockroom"
	"solander/web/gate"
	"solander/web/page"

	"golang.org/x/net/html"

	"solander/edition"
	"solander/intake/guess"
	"solander/order"
	"solander/packing"
	"solander/studio"
)

// furnished is a site with an order at every stage, a run, parcels and a hand-over.
func furnished(t *testing.T) *site {
	t.Helper()
	return busyModel.copy(t)
}

var busyModel = &model{make: (*site).busy}

// busy is a furnished studio with orders in every state.
func (s *site) busy() {
	s.t.Helper()
	s.furnish()
	s.sale(1, 0)
	s.sale(1, 4000)
	s.run(1, 20)
	for range 4 { // signed; packed; labelled; handed over
		s.sale(1, 9000)
	}
	s.sale(3, 3500)
	s.must(register.Sign(s.ctx(), s.studio, []int64{4, 5, 6}))
	bench := s.get("/")
	for range 3 {
		bench = s.submit(bench, "#pack form")
	}
	s.submit(bench, "#label form", "paid", "6.25")
	bench = s.submit(s.get("/"), "#label form", "paid", "6.40")
	s.leads(s.post("/hand-over", "parcels", attr(bench.find("#hand-over input[type=checkbox]")[0], "value"), "back", "bench"), "/")
	_, err := record.Sign(s.ctx(), s.studio, "")
	s.must(err)
}

// paths is every GET route with real ids; one whose address says all is taken from the table.
func (s *site) paths() []string {
	all := []string{
		"/", "/orders/new/buyers?q=mara", "/orders/1", "/orders/1/why-not", "/quote?size=12+x+16&prints=2&postcode=97201", "/buyers/1", "/buyers/1/data.zip", "/buyers/1/erase", "/editions/1", "/editions/1/numbers/1", "/editions/1/facts", "/editions/1/certificates", "/certificates/check", "/editions/3/statement.pdf", "/certificates/letterhead", s.certified(), "/editions/1/certificates.pdf", s.ended(), s.banked(), s.consigned(), "/parcels/1/claim", s.claimed(), "/claims/1/photos/1", s.paidOut(), "/earnings/payouts/new?outlet=1&net=100", s.tabled(), "/earnings/fairs/1/day.pdf", "/earnings/fairs/1/day.csv", "/earnings/galleries/1/statement.pdf", "/earnings/galleries/1/statement.csv",
		"/works/1", s.hung(), s.reckoned(), "/papers/boards.pdf?kerf=0&sheet1.width=32&sheet1.height=40&board1.width=12&board1.height=16&board1.count=2", "/drawer/1", "/runs/1", "/shelf/1", "/hand-overs/1",
		"/studio/outlets/1", "/studio/outlets/1/fees?price=120", "/earnings.csv?table=months", "/earnings/tax.csv?from=2031-01-01&until=2031-03-31", "/earnings/parts?span=all&by=edition&key=1", "/earnings/prices/1", "/orders/1/earned", "/studio/cards/renew?id=us-usps-commercial-2025-10-05", "/studio/card.json?id=us-usps-commercial-2025-10-05", "/studio/cards/edit?id=us-usps-commercial-2025-10-05",
		"/studio/cards/diff?a=us-usps-retail-2025-07-13&b=us-usps-retail-2025-10-05", "/studio/wrap?id=carton", "/studio/weighed?wrap=tube", "/studio/rule?id=fine-better", s.fed(), "/studio/hook-mappings/1", "/studio/hook-mappings/1/mapping.json",
		"/papers/bench.pdf", "/papers/slip/1.pdf", "/papers/day/everything.pdf", "/papers/stickers?size=4x2in&first=2", "/papers/stickers.pdf?size=4x2in&first=2", "/papers/wrap/3.pdf",
		"/studio/layouts/plain", "/postage/plain.csv", s.promised(), "/cards/1.vcf",
		"/search?q=quill", "/earnings/owed/1", s.billed(), "/papers/bill/I-1.pdf", "/papers/statement/1.pdf", "/orders/1/papers", "/orders/1/reminder.eml", "/earnings/year/2031", "/earnings/year/2031/entries?of=sales",
		"/intake/colours.css?of=C6EFCE", s.waiting(), "/intake/1/trial", "/intakes/1", s.listed(),
	}
	for _, rt := range (&face{}).routes() {
		is := func(path string) bool { at, _, _ := strings.Cut(path, "?"); return at == rt.path }
		if rt.method == "GET" && !rt.waits && rt.path != "/set-up" && !ofAccounts(rt.path) && !strings.Contains(rt.path, "{") && !slices.ContainsFunc(all, is) {
			all = append(all, rt.path)
		}
	}
	return all
}

// ofAccounts reports whether a page leads on while there is no account; it is looked at in rights_test.go and accounts_test.go.
// What vouches for the computer is there only while the door to phones is open: phone_test.go.
func ofAccounts(path string) bool {
	return path == "/sign-in" || path == "/phone/authority.crt" || strings.HasPrefix(path, "/account")
}

// hung puts a picture to the first work and returns its address.
func (s *site) hung() string {
	s.t.Helper()
	p, err := gallery.Put(s.ctx(), s.studio, 1, aPicture(s.t, 300, 400, color.Gray{120}), "A heron")
	s.must(err)
	return page.PictureAt(p, picture.Small)
}

// billed writes the invoice of the first order and returns its address.
func (s *site) billed() string {
	s.t.Helper()
	list, err := billing.List(s.ctx(), s.studio, invoice.Query{Kind: invoice.Invoice})
	s.must(err)
	if len(list.Bills) == 0 {
		_, err := billing.Write(s.ctx(), s.studio, billing.WriteIn{Kind: invoice.Invoice, Order: 1})
		s.must(err)
	}
	return "/earnings/papers/" + invoice.Invoice.Label(1)
}

// promised makes an address of the calendar and returns it.
func (s *site) promised() string {
	s.t.Helper()
	return attr(s.post("/promises").is(200).one(".caution a.wrapped"), "href")
}

// reckoned asks a question and returns the address of its answer.
func (s *site) reckoned() string {
	s.t.Helper()
	a := s.post("/studio/what-if", "past", "1", "open", "1", "drop", "fine-better").is(303)
	return a.location
}

// waiting keeps a file, says how it is read, and brings another one in; it returns the address of the first. Both once.
func (s *site) waiting() string {
	s.t.Helper()
	a, err := movein.Arrive(s.ctx(), s.studio, movein.ArriveIn{Name: "sales.csv", Body: []byte(herBook)})
	s.must(err)
	other := "Date,Who,Address,Picture,Size,No.,State\n2026-04-02,Odo Marsh,\"9 Elm Street, Denver, CO 80202\",Heron at dusk,12 x 16 in,200/250,waits\n"
	for i, text := range []string{herBook, other} {
		table, err := movein.ReadFile(s.ctx(), s.studio, "sales.csv", []byte(text), nil)
		s.must(err)
		m := guess.New(table).Mapping
		m.Name, m.Currency, m.Outlet, m.Country, m.Days, m.Unit = "her sales", "USD", "In person", "US", intake.MonthDay, "in"
		m.Words = []intake.WordMap{{Text: "posted", Means: intake.Sent}, {Text: "waits", Means: intake.Waiting}}
		if i == 0 {
			s.must(movein.Decide(s.ctx(), s.studio, a.ID, m))
			s.must(movein.SaveMapping(s.ctx(), s.studio, m))
			continue
		}
		_, err = movein.TakeIn(s.ctx(), s.studio, movein.TakeInIn{FileTrialIn: movein.FileTrialIn{Table: table, Mapping: m}}, nil)
		s.must(err)
	}
	return "/intake/1"
}

// TestEveryPageAnswers asks every GET route of the table, and follows every link of its page once: none
// leads nowhere.
func TestEveryPageAnswers(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	s := furnished(t)
	routed := 0
	for _, rt := range (&face{}).routes() {
		if rt.method == "GET" && !rt.waits && rt.path != "/set-up" && !ofAccounts(rt.path) {
			routed++
		}
	}
	if n := len(s.paths()); n != routed {
		t.Fatalf("%d paths for %d routes", n, routed)
	}
	followed, table := map[string]bool{}, gate.NewTable(gate.Rights())
	for _, path := range s.paths() {
		a := s.get(path).is(200)
		if a.root == nil {
			continue
		}
		if len(a.find("h1")) != 1 || len(a.find("title")) != 1 {
			t.Errorf("%s: %d h1", path, len(a.find("h1")))
		}
		headingsDescend(t, path, a)
		for _, n := range a.find("a[href]") {
			to := attr(n, "href")
			if followed[to] || !strings.HasPrefix(to, "/") {
				continue
			}
			followed[to] = true
			if row, ok := table.Match(s.face.mux, httptest.NewRequest("GET", to, nil)); ok && row.Fresh && slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == "download" }) {
				t.Errorf("%s: a browser would keep the question who it is, as the file of %s", path, to)
			}
			address, part, _ := strings.Cut(to, "#")
			if b := s.get(address); b.status != 200 {
				t.Errorf("%s links to %s: status %d", path, to, b.status)
			} else if part != "" && len(b.find("#"+part)) != 1 {
				t.Errorf("%s links to %s: there is no such part", path, to)
			}
		}
	}
	if len(followed) < 60 {
		t.Errorf("only %d links were followed", len(followed))
	}
}

// headingsDescend holds that no level of heading is skipped on the way down.
func headingsDescend(t *testing.T, path string, a answer) {
	t.Helper()
	last := 0
	for _, n := range a.find("[id=matter]") {
		for d := range n.Descendants() {
			if len(d.Data) == 2 && d.Data[0] == 'h' && d.Data[1] >= '1' && d.Data[1] <= '6' {
				level := int(d.Data[1] - '0')
				if level > last+1 {
					t.Errorf("%s: h%d after h%d (%s)", path, level, last, textOf(d))
				}
				last = level
			}
		}
	}
}

func TestBackupIsADownload(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	a := s.get("/studio/backup").is(200)
	if d := a.header.Get("Content-Disposition"); d != `attachment; filename="studio-2026-04-14.solander"` {
		t.Errorf("Content-Disposition %q", d)
	}
	into := emptySite(t)
	into.must(house.Restore(into.ctx(), into.studio, strings.NewReader(string(a.body))))
	into.get("/editions").has("h2", "Heron at dusk")
}

func TestOrderDeeds(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.sale(1, 4000)
	s.leads(s.post("/orders/1/amend", "promised", "2026-04-22", "arrive_by", "2026-04-30", "postage", "5.50", "tax", "0", "fee", "0", "note", "a gift", "gift_message", "For you"), "/orders/S-1001").
		has("dd", "a gift")
	s.leads(s.post("/orders/1/address", "ship_to.name", "Ada Quill", "ship_to.line1", "1 New Street", "ship_to.line2", "", "ship_to.city", "Boston", "ship_to.region", "MA", "ship_to.postcode", "02108", "ship_to.country", "US"), "/orders/S-1001").
		has("address", "1 New Street")
	s.leads(s.post("/lines/1/number", "number", "40", "order", "1"), "/orders/1").has(".no", "40/250")
	p := s.leads(s.post("/orders/1/override", "reason", "an old friend"), "/orders/S-1001")
	p.has(".caution", "an old friend")
	s.leads(s.post("/orders/1/lift"), "/orders/S-1001").hasNot("form[action=/orders/1/lift]")
	p = s.leads(s.post("/orders/1/cancel", "reason", "changed her mind", "refund", "40"), "/orders/S-1001")
	p.has(".way [aria-current]", "cancelled")
	v, err := book.Order(s.ctx(), s.studio, 1)
	s.must(err)
	if v.State != order.Cancelled || v.Promised.String() != "2026-04-22" || v.Postage.Minor != 550 || !v.Paid.IsZero() {
		t.Errorf("%s, promised %s, postage %s, paid %s", v.State, v.Promised, v.Postage, v.Paid)
	}
	n, err := register.Number(s.ctx(), s.studio, 1, edition.Number{Kind: edition.Numbered, N: 40})
	s.must(err)
	if n.Row.Standing.State != edition.Free {
		t.Errorf("40 is %s", n.Row.Standing.State)
	}
}

func TestPrintsThatCameBack(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	list, err := dispatch.HandOvers(s.ctx(), s.studio)
	s.must(err)
	_, _, orders, err := dispatch.HandOverDetail(s.ctx(), s.studio, list[0].ID)
	s.must(err)
	v := orders[0]
	p := s.get("/orders/" + v.Mark)
	fields := fieldsOf(p.one("form[action=" + s.orderPath(v) + "/take-back]"))
	fields = merged(fields, fmt.Sprintf("line-%d", v.Lines[0].ID), "1", "reason", "wrong picture", "refund", "90")
	s.leads(s.post(s.orderPath(v)+"/take-back", fields...), "/orders/"+v.Mark).has(".said", "return")
	after, err := book.Order(s.ctx(), s.studio, v.ID)
	s.must(err)
	if after.State != order.Returned || after.Views[0].Standing.State != edition.Returned {
		t.Errorf("%s, number %s", after.State, after.Views[0].Standing.State)
	}
	d, err := stockroom.Drawer(s.ctx(), s.studio)
	s.must(err)
	i := slices.IndexFunc(d, func(r studio.DrawerRow) bool { return r.ID == after.Lines[0].Edition })
	if d[i].Loose != 1 {
		t.Errorf("%d signed sheets of numbers nobody has, want the one that came back", d[i].Loose)
	}
	free := strconv.Itoa(d[i].OnHand - d[i].Claimed - 1)
	s.get("/drawer").has("td[data-head='Free']", free)
}

func TestNumbersTakeTheirSteps(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	at := func(n, step string, fields ...string) answer {
		t.Helper()
		return s.leads(s.post("/editions/1/numbers/"+n+"/"+step, fields...), "/editions/1/numbers/"+n)
	}
	at("5", "keep", "reason", "for the archive").has("strong", "kept")
	at("5", "release", "reason", "").has("strong", "free")
	at("6", "withdraw", "reason", "smudged plate").has("strong", "withdrawn")
	at("AP-1", "spoil", "reason", "torn", "sheet_lost", "1").has("strong", "spoilt")
	at("AP-1", "restrike", "reason", "printed anew").has("td", "printed anew")
	p := s.leads(s.post("/editions/1/sign", "numbers", "10, 12-14; AP 2"), "/editions/1")
	p.has(".said", "signed")
	for _, n := range []string{"10", "12", "13", "14", "AP-2"} {
		s.get("/editions/1/numbers/"+n).has("strong", "signed")
	}
	s.get("/editions/1/numbers/11").has("strong", "free")
	p = s.get("/editions/1")
	if got, want := drawn(p.htmlPage), "1-5 6 7 8 9 10 11 12 13 14 15-250 AP 1 AP 2 AP 3 AP 4 AP 5"; got != want {
		t.Errorf("drawn are %s, want %s", got, want)
	}
	p.hasNot(".spots .kept") // 5 was given back
	p.has(".spots .withdrawn", "6")
	s.get("/editions").has("td[data-head='Unsold']", "249") // 6 is not for sale
}

func TestEditionPictureTellsStateInThreeWays(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.sale(1, 9000)
	p := s.get("/editions/1")
	cell := p.one("a[href=/editions/1/numbers/1]")
	if !strings.Contains(attr(cell, "class"), "promised") {
		t.Errorf("no shade: %s", attr(cell, "class"))
	}
	if got := textOf(cell); got != "1" {
		t.Errorf("it says %q", got)
	}
	if got := attr(cell, "aria-label"); got != "1/250, promised, Ada Quill" {
		t.Errorf("in full it says %q", got)
	}
	if use := p.find("a[href=/editions/1/numbers/1] use"); len(use) != 1 || attr(use[0], "href") != "#g-promised" {
		t.Error("it has no glyph")
	}
	for _, st := range edition.States() {
		if len(p.find("symbol[id=g-"+string(st)+"]")) != 1 {
			t.Errorf("there is no glyph for %s", st)
		}
	}
}

func TestDrawerRunsAndShelf(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.leads(s.post("/runs", "edition", "1", "lab", "Cold Press Lab", "quantity", "20", "unit_cost", "11", "ordered", "2026-04-14", "expected", "2026-04-28", "note", ""), "/runs/1")
	p.has("dd", "20 outstanding")
	p = s.leads(s.post("/runs/1/receive", "good", "12", "rejected", "3", "day", "2026-04-14", "note", "a scratch"), "/runs/1")
	p.has("dd", "5 outstanding")
	p.has(".said", "12")
	s.leads(s.post("/runs/1/close"), "/runs/1").hasNot("form[action=/runs/1/receive]")
	s.get("/drawer/1").has("dd", "22 sheets")
	s.leads(s.post("/drawer/1/count", "counted", "21", "reason", "one under the press"), "/drawer/1").has("tr", "-1 counted: one under the press Ines Corrow")

	p = s.leads(s.post("/shelf", itemFields()...), "/shelf/")
	p.has("h1", "stiff envelope")
	items, err := stockroom.Shelf(s.ctx(), s.studio)
	s.must(err)
	for _, it := range items {
		if it.Spec.Width == 11*in && it.Spec.Height == 14*in {
			path := fmt.Sprintf("/shelf/%d", it.ID)
			s.leads(s.post(path+"/restock", "pieces", "25", "unit_cost", "0.75"), path).has("dd", "35 pieces")
			s.leads(s.post(path+"/count", "counted", "34", "reason", "recounted"), path).has("dd", "34 pieces")
			s.leads(s.post(path, merged(itemFields(), "spec.id", it.Spec.ID, "spec.name", "mailer of board", "retired", "1")...), path).has("h1", "mailer of board")
			s.get("/drawer").has("#shelf th", "no longer used")
			return
		}
	}
	t.Fatal("the new item is not on the shelf")
}

func TestStudioRoom(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.leads(s.post("/studio", replaced(settingsFields("closed[0].from", "2026-12-24"), "closed[0].to", "2026-12-28")...), "/studio").has(".said", "saved")
	s.leads(s.post("/studio/outlets", "name", "Spring fair", "fee", "2,5", "fee_fixed", "0.30", "promise_days", "2", "collects_tax", "1"), "/studio").has("td", "fee: 2.5 % of prints and postage + 0.30 USD")
	fees := s.get("/studio/outlets/3/fees?price=100&postage=20")
	fees.has("#try td", "2.5 % of prints and postage + 0.30 USD: of 120.00 USD")
	fees.has("#try td", "3.30 USD") // 3.00 + 0.30
	fees.has("#try td", "116.70 USD")
	gap := s.sendForm(fees, "main form[method=post]", "fees[1].name", "fee", "fees[1].over", "60", "fees[0].up_to", "50").is(422)
	gap.has("#fees-fees-1--over-wrong", "nothing is said of amounts over 50.00 USD up to 60.00 USD")
	fees = s.leads(s.sendForm(fees, "main form[method=post]", "fees[1].name", "fee", "fees[1].over", "50", "fees[1].share", "1,25", "fees[0].up_to", "50"), "/studio/outlets/3/fees")
	fees.has(".said", "The fee table was saved")
	fees.has("main p", "up to 50.00 USD; fee: 1.25 % of prints and postage, over 50.00 USD")
	for _, x := range s.settings().Wraps { // as they stand
		s.leads(s.sendForm(s.get("/studio/wrap?id="+x.ID), "#editor", "do", "save"), "/studio/wraps").has(".said", "The wrap was saved")
	}
	for _, x := range s.settings().Rules {
		s.leads(s.sendForm(s.get("/studio/rule?id="+x.ID), "#editor", "do", "save"), "/studio/wraps").has(".said", "The house rule was saved")
	}
	if d := house.Defaults(measure.Imperial).Settings; !reflect.DeepEqual(d.Wraps, s.settings().Wraps) || !reflect.DeepEqual(d.Rules, s.settings().Rules) {
		t.Errorf("saved as they stood, they are others: %+v, %+v", s.settings().Wraps, s.settings().Rules)
	}
	s.leads(s.post("/studio/lists", "papers[0].name", "rag", "papers[0].grammage", "80 lb cover", "papers[0].caliper", "12 pt", "papers[0].tightest_roll", "3 in", "labs", "One Lab\nTwo Lab", "grades", "fine\nplain"), "/studio/lists")
	set, err := s.studio.Settings(s.ctx())
	s.must(err)
	if len(set.ClosedDays) != 5 || len(set.Wraps) == 0 || len(set.Papers) != 1 || len(set.Labs) != 2 || set.Grades[1] != "plain" {
		t.Errorf("%d days closed, %d wraps, %d papers, labs %v, grades %v", len(set.ClosedDays), len(set.Wraps), len(set.Papers), set.Labs, set.Grades)
	}
	s.get("/studio/check").has("strong", "All is well")
}

// That a price card has ended stands wherever its prices do, plan, parcel, bench and hand-over, as one line that unfolds,
// and on the papers of the bench; on nothing that a buyer or the operator sees.
func TestAnEndedCardIsToldEverywhere(t *testing.T) {
	t.Parallel()
	s := newSite(t) // 14 April 2026: after the last day of the bundled temporary cards
	v := s.sale(1, 9000)
	oneLine := func(p answer, where string) {
		t.Helper()
		lines := p.find(where + " details.caution summary")
		if len(lines) != 1 || !strings.Contains(textOf(lines[0]), "estimates may be off") || strings.Contains(textOf(lines[0]), "ended") || len(p.find(where+" details.caution[open]")) > 0 {
			t.Errorf("%d lines of caution in %s: %s", len(lines), where, textOf(p.one("main")))
		}
		p.has(where+" .caution li", "ended")
	}
	oneLine(s.get("/orders/"+v.Mark), "#plan")
	bench := s.submit(s.get("/"), "#sign form", "lines", "1")
	oneLine(bench, "main")
	bench.has("#pack .task", "see the caution above")
	said := func(path string) string { return testpdf.Text(t, s.get(path).is(200).body) }
	bare := func(path string) {
		t.Helper()
		for _, word := range []string{"ended", "aution", "arning", "us-usps", "estimate"} {
			if text := said(path); strings.TrimSpace(text) == "" || strings.Contains(text, word) {
				t.Errorf("%s holds %q: %s", path, word, text)
			}
		}
	}
	for _, path := range []string{"/papers/day/slips.pdf", "/papers/day/labels.pdf"} {
		bare(path)
	}
	s.submit(bench, "#pack form")
	oneLine(s.get("/orders/"+v.Mark), "main")
	if text := said("/papers/bench.pdf"); !strings.Contains(text, "ended") {
		t.Errorf("the bench sheet does not say it: %s", text)
	}
	for _, path := range []string{fmt.Sprintf("/papers/slip/%d.pdf", v.ID), "/papers/label/1.pdf", "/papers/day/slips.pdf", "/papers/day/labels.pdf", "/papers/stickers.pdf?size=4x2in&first=1"} {
		bare(path)
	}
}

func TestWhyNot(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.sale(1, 9000)
	p := s.get("/orders/S-1001/why-not").is(200)
	items := p.find("#whynot-item option")
	if len(items) < 10 {
		t.Fatalf("%d items are offered", len(items))
	}
	a := s.get("/orders/S-1001/why-not?" + url.Values{"item": {attr(items[1], "value")}}.Encode())
	if a.status != 200 || len(a.find("#h-answer")) != 1 {
		t.Errorf("status %d: %.200s", a.status, textOf(a.root))
	}
	small := ""
	for _, o := range items {
		if strings.HasPrefix(textOf(o), "stiff envelope 6") {
			small = attr(o, "value")
		}
	}
	s.get("/orders/S-1001/why-not?item=nothing-such").has("#faults h2", "Not done")
	a = s.get("/orders/S-1001/why-not?" + url.Values{"item": {small}}.Encode()).is(200)
	if text := textOf(a.root); small == "" || !strings.Contains(text, "stiff envelope 6 in × 8 in: long side") || strings.Contains(text, small+":") {
		t.Errorf("the envelope %q is not told by its name: %.1500s", small, text)
	}
}

// The base of a carton may be cut, too: what is typed is kept, shown again, and can be emptied.
func TestACartonsBaseMayBeCut(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	items, err := stockroom.Shelf(s.ctx(), s.studio)
	s.must(err)
	at := slices.IndexFunc(items, func(it studio.ShelfItem) bool { return it.Spec.ID == "carton-18x14x4" })
	path := fmt.Sprintf("/shelf/%d", items[at].ID)
	s.submit(s.get(path), "form[action='"+path+"']", "spec.cut_base.shortest_length", "12 in", "spec.cut_base.step", "1/2 in")
	if got := attr(s.get(path).one("[name='spec.cut_base.shortest_length']"), "value"); got != "12 in" {
		t.Errorf("the least length is shown as %q", got)
	}
	items, err = stockroom.Shelf(s.ctx(), s.studio)
	s.must(err)
	if b := items[at].Spec.CutBase; b == nil || *b != (packing.CutBase{ShortestLength: 12 * in, Step: in / 2}) {
		t.Errorf("kept: %+v", b)
	}
	s.submit(s.get(path), "form[action='"+path+"']", "spec.cut_base.shortest_length", "", "spec.cut_base.step", "")
	items, err = stockroom.Shelf(s.ctx(), s.studio)
	s.must(err)
	if items[at].Spec.CutBase != nil {
		t.Errorf("emptied: %+v", items[at].Spec.CutBase)
	}
}

func TestOrdersAreFiltered(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	for query, want := range map[string]int{"": 7, "?state=open": 6, "?state=closed": 1, "?stage=money": 2, "?stage=label": 1, "?stage=hand-over": 1, "?stage=sheet": 0, "?text=quill": 7, "?text=nobody": 0, "?outlet=1": 0, "?outlet=2": 7} {
		p := s.get("/orders" + query).is(200)
		if n := len(p.find("tbody tr")); n != want {
			t.Errorf("%q: %d orders, want %d", query, n, want)
		}
	}
	s.get("/orders?stage=lost").is(422)
	s.get("/orders?claims=x").is(422)
	s.get("/orders?waits=9").is(404)
	s.get("/orders?before=x").is(422)
	s.get("/orders?outlet=x").is(422)
}
