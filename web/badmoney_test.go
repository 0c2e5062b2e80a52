package web

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"solander/bankfile"
	"solander/billing"
	"solander/fair"
	"solander/fairs"
	"solander/invoice"
	"solander/journal"
	"solander/money"
)

// What is wrong about money is said on the page that asked for it, with how to mend it, and nothing of it is written.
func TestWhatIsWrongAboutMoneyOnPages(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	s := newSite(t)
	paid, other := s.sale(1, 9000), s.sale(1, 9000)
	_, err := billing.Write(s.ctx(), s.studio, billing.WriteIn{Kind: invoice.Invoice, Order: paid.ID, Number: 57})
	s.must(err)
	s.banked()
	ofx := func(account string) []byte {
		return []byte("OFXHEADER:100\nDATA:OFXSGML\nVERSION:160\n\n<OFX><BANKMSGSRSV1><STMTTRNRS><STMTRS><CURDEF>USD<BANKACCTFROM><ACCTID>" + account +
			"</BANKACCTFROM><BANKTRANLIST><STMTTRN><TRNTYPE>OTHER<DTPOSTED>20260403<TRNAMT>5.00<FITID>1<NAME>X</STMTTRN></BANKTRANLIST></STMTRS></STMTTRNRS></BANKMSGSRSV1></OFX>")
	}
	s.leads(s.sendFile("/earnings/bank/1/files", "file", "a.ofx", ofx("12345678")), "/earnings/bank/1")
	d, err := fairs.Begin(s.ctx(), s.studio, fair.Day{Outlet: 1, Name: "Quay fair", Float: money.Of(50_00, "USD")})
	s.must(err)
	until := d.Day.Add(-40)
	_, err = journal.Close(s.ctx(), s.studio, until)
	s.must(err)
	year, _, _ := d.Day.Civil()
	million := append([]byte("Date,Amount,Name\n"), bytes.Repeat([]byte("2026-04-03,1.00,a\n"), 1_000_000)...)
	before := s.sum()
	for what, tt := range map[string]struct {
		got  answer
		says string
	}{
		"more back than was paid":       {s.post(fmt.Sprintf("/orders/%d/pay", paid.ID), "kind", "refund", "amount", "90.01"), "90.00"},
		"a payment in another currency": {s.post(fmt.Sprintf("/orders/%d/pay", other.ID), "kind", "refund", "amount", "5 EUR"), "EUR"},
		"a balance in another currency": {s.post("/earnings/opening", "account", "bank", "amount", "5 EUR", "day", "2026-01-31"), "EUR"},
		"a payout in another currency":  {s.post("/earnings/payouts", "outlet", "1", "net", "5 EUR", "order", "1"), "EUR"},
		"cash in another currency":      {s.post("/earnings/fairs/1/carry", "amount", "5 EUR"), "EUR"},
		"more cash than there is":       {s.post("/earnings/fairs/1/carry", "amount", "5"), "of its takings"},
		"a period that is closed":       {s.post(fmt.Sprintf("/earnings/year/%d/close", year), "until", until.Add(-10).String(), "sure", "1"), "closed already"},
		"a number that was given":       {s.post("/orders/"+other.Mark+"/papers", "kind", "invoice", "number", "57"), "I-57 was given already"},
		"a file with a million lines":   {s.sendFile("/earnings/bank/1/files", "file", "m.csv", million), fmt.Sprint(bankfile.MostLines)},
		"a file of another account":     {s.sendFile("/earnings/bank/1/files", "file", "b.ofx", ofx("87654321")), "another account"},
		"hours less than nothing":       {s.post("/earnings/fairs/1/count", "counted", "50", "hours", "-1"), "hours"},
	} {
		if tt.got.status < 400 || tt.got.status > 499 {
			t.Errorf("%s: status %d", what, tt.got.status)
			continue
		}
		if text := textOf(tt.got.root); !strings.Contains(text, tt.says) {
			t.Errorf("%s: the page does not say %q: %.300s", what, tt.says, textOf(tt.got.one("#faults")))
		}
	}
	if s.sum() != before {
		t.Error("something of what was refused is kept")
	}
}
