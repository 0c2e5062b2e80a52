package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"solander/internal/browsertest"
	"solander/internal/hledger"
	"solander/journal"
	"solander/money"
	"solander/years"
)

// From a sale to the page of its year by the forms of the pages, as a browser sends them: an edition and a run, a sale with tax, paid by a payout of its
// outlet with fees, packed, postage paid, a part paid back; another whose parcel came damaged, claimed and paid back; a print sold by a gallery; the
// bank's lines, and the month closed. The page of the year, as a browser shows it, says what another program makes of the journal, account by account.
func TestFromASaleToThePageOfItsYear(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	s := newSite(t)
	place := placeOf(t, s)
	deed := func(page, action string, fields ...string) {
		t.Helper()
		if a := s.sendForm(s.get(page).is(200), "form[action='"+action+"']", fields...); a.status != 303 {
			t.Fatalf("%s: %d %s", action, a.status, textOf(a.one("#faults")))
		}
	}
	deed("/studio/outlets/1/fees", "/studio/outlets/1/fees", "fees[0].name", "commission", "fees[0].share", "10", "fees[0].of", "postage")
	deed("/earnings/tax-rates", "/earnings/tax-rates", "country", "US", "region", "CO", "rate", "2.9", "from", "2026-01-01")
	deed("/runs/new?edition=1", "/runs", "edition", "1", "lab", "Cold Press Lab", "quantity", "6", "unit_cost", "14")
	deed("/runs/1", "/runs/1/receive", "good", "5", "rejected", "1")

	s.leads(s.post("/orders", replaced(replaced(saleFields(), "postage", "10.00"), "tax", "2.90")...), "/orders/S-1001")
	s.leads(s.post("/orders", replaced(replaced(replaced(saleFields(), "buyer", "Odo Marsh"), "lines[0].number", "18"), "paid", "90.00")...), "/orders/S-1002")
	s.leads(s.post("/earnings/payouts", "outlet", "1", "net", "90.00", "day", "", "order", "1"), "/earnings/payouts/1")
	for range 2 {
		s.submit(s.get("/"), "#sign form", "lines", attr(s.get("/").find("#sign input[type=checkbox]")[0], "value"))
		s.submit(s.get("/"), "#pack form")
		s.submit(s.get("/"), "#label form", "paid", "6.25", "tracking", "")
	}
	s.submit(s.get("/"), "#hand-over form")
	deed("/orders/S-1001", "/orders/1/pay", "kind", "refund", "amount", "10.00")

	deed("/parcels/2/claim", "/parcels/2/claim", "kind", "damaged")
	deed("/claims/1", "/claims/1/file", "amount", "60.00")
	deed("/claims/1", "/claims/1/answer", "granted", "60.00")
	deed("/claims/1", "/claims/1/refund", "amount", "90.00", "reason", "crushed on the way")
	deed("/claims/1", "/claims/1/paid", "amount", "60.00")
	deed("/claims/1", "/claims/1/close")

	deed("/editions/1", "/editions/1/sign", "numbers", "30")
	deed("/earnings/galleries", "/earnings/galleries", "name", "Harbour Room", "share", "40", "bears", "gallery")
	deed("/earnings/galleries/1", "/earnings/galleries/1/send", "edition", "1", "number", "30")
	deed("/earnings/galleries/1", "/earnings/galleries/prints/1/sold", "price", "100.00")
	deed("/earnings/galleries/1", "/earnings/galleries/1/money", "kind", "paid", "amount", "60.00")

	deed("/earnings/bank", "/earnings/bank", "name", "Current")
	s.leads(s.sendFile("/earnings/bank/1/files", "file", "april.csv", []byte("Date,Amount,Name\n2026-04-14,90.00,Own shop payout\n2026-04-14,60.00,Harbour Room\n2026-04-14,-90.00,Odo Marsh S-1002\n")), "/earnings/bank/1")
	lines := s.get("/earnings/bank/1").is(200)
	var pairs []string
	for _, n := range lines.find("#open input[checked]") {
		pairs = append(pairs, "pair", attr(n, "value"))
	}
	if len(pairs) != 6 {
		t.Fatalf("of three lines these are proposed: %q", pairs)
	}
	s.leads(s.post("/earnings/bank/1/yes", pairs...), "/earnings/bank/1")

	s.must(s.store.Close())
	s = openOn(t, place, true, noon.AddDate(0, 1, 0))
	deed("/earnings/year/2026", "/earnings/year/2026/close", "until", "2026-04-30", "sure", "1")
	v, err := years.Year(s.ctx(), s.studio, 2026)
	s.must(err)
	var text bytes.Buffer
	s.must(journal.Write(s.ctx(), s.studio, journal.Span{}, false, &text))
	balances := hledger.Balances(t, text.Bytes())
	hledger.SameYear(t, v.Years[0], balances)

	p, base := s.open()
	p.Go(base + "/earnings/year/2026")
	p.MustBeAccessible()
	shown := map[string]string{}
	s.must(json.Unmarshal([]byte(browsertest.Eval[string](p, `JSON.stringify(Object.fromEntries([...document.querySelectorAll("table.sums tbody tr")].map(r => [r.cells[0].innerText.trim(), r.cells[1].innerText.trim()])))`)), &shown)) // as it stands on the screen
	for _, r := range v.Years[0].Rows {
		if got := shown[r.Name]; got != r.Amount.String() && !(got == "" && r.Amount.IsZero()) {
			t.Errorf("%s: the page says %q, the journal %s", r.Name, got, r.Amount)
		}
	}
	if text := p.Text("#closing"); !strings.Contains(text, "Closed up to Thu 30 Apr 2026") {
		t.Errorf("of what is closed it says %q", text)
	}

	// By hand: two sales of 90 and one of 100 by a gallery, which keeps 40; the outlet takes a tenth of 100 and of 90, and kept 2.90 more in its payout; 10
	// and 90 went back; the bank has 90 + 60 − 90.
	for account, want := range map[string]int64{
		"Sales of prints": -180_00, "Sales through galleries": -100_00, "Shares of galleries": 40_00, "Sales tax to pay on": -2_90, "Bank": 60_00, "Postage to pay": -12_50,
	} {
		got, err := money.Parse(balances[account+" USD"], "USD")
		if err != nil || got.Minor != want {
			t.Errorf("%s: hledger says %s, want %s (%v)", account, balances[account+" USD"], fmt.Sprint(want), err)
		}
	}
}
