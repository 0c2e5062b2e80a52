package banking_test

import (
	"fmt"
	"strings"
	"testing"

	"solander/bankfile"
	"solander/banking"
	"solander/book"
	"solander/consign"
	"solander/consigning"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/journal"
	"solander/ledger"
	"solander/payouts"
	"solander/register"
)

// stands is what stands on accounts, in cents; a debit is more than nothing.
func stands(b *bed.Bed, accounts ...string) []int64 {
	b.Helper()
	all, err := journal.Balance(b.Ctx, b.Studio, journal.Span{})
	b.Must(err)
	out := make([]int64, len(accounts))
	for _, row := range all.Rows {
		for i, key := range accounts {
			if row.Key == key {
				out[i] += row.Debit - row.Credit
			}
		}
	}
	return out
}

func same(b *bed.Bed, what string, got []int64, want ...int64) {
	b.Helper()
	for i := range want {
		if got[i] != want[i] {
			b.Errorf("%s: %v stand on the accounts, want %v", what, got, want)
			return
		}
	}
}

// statement is an OFX file (Open Financial Exchange 1.6, as room bankfile reads it) of lines of amount and name, all of the day of the bed.
func statement(lines ...[2]string) string {
	out := "OFXHEADER:100\nDATA:OFXSGML\nVERSION:160\n\n<OFX><BANKMSGSRSV1><STMTTRNRS><STMTRS><CURDEF>USD<BANKACCTFROM><ACCTID>12</BANKACCTFROM><BANKTRANLIST>"
	for i, l := range lines {
		out += fmt.Sprintf("<STMTTRN><TRNTYPE>OTHER<DTPOSTED>20260304<TRNAMT>%s<FITID>%d<NAME>%s</STMTTRN>", l[0], i, l[1])
	}
	return out + "</BANKTRANLIST></STMTRS></STMTTRNRS></BANKMSGSRSV1></OFX>"
}

// The bank's file of four lines: a payout in one sum, what a gallery paid, a payment of one order, and a fee of the bank that is nothing of the
// book. The first three are proposed; by her yes they are in the bank, and no longer at the outlets; what is taken back is open again.
func TestMoneyThatCameToTheBank(t *testing.T) {
	b := bed.New(t)
	sold := func(paid int64) int64 {
		in := b.Sale()
		in.Outlet, in.Paid, in.Postage = b.Market.ID, bed.USD(paid), bed.USD(0)
		in.Lines = []book.SaleLine{{Edition: b.Card.ID, Price: bed.Ptr(bed.USD(50_00))}}
		return b.Take(in).ID
	}
	in := payouts.Payout{Outlet: b.Market.ID, Net: bed.USD(91_00), Orders: []int64{sold(50_00), sold(0)}}
	out, err := payouts.Take(b.Ctx, b.Studio, in)
	b.Must(err)

	house, err := consigning.Save(b.Ctx, b.Studio, consign.House{Name: "Harrow Lane Rooms", Share: 400, Wholesale: 500, Bears: consign.Gallery, PayDays: 30})
	b.Must(err)
	b.Must(register.SignAhead(b.Ctx, b.Studio, b.Heron.ID, []edition.Number{{Kind: edition.Numbered, N: 5}}))
	sent, err := consigning.Send(b.Ctx, b.Studio, consigning.SendIn{Gallery: house.ID, Prints: []consigning.SendPrint{{Edition: b.Heron.ID, Number: edition.Number{Kind: edition.Numbered, N: 5}}}})
	b.Must(err)
	_, err = consigning.End(b.Ctx, b.Studio, consigning.EndIn{Print: sent[0].ID, State: consign.Sold})
	b.Must(err)
	owed, err := consigning.Gallery(b.Ctx, b.Studio, house.ID)
	b.Must(err)
	gave, err := consigning.NoteMoney(b.Ctx, b.Studio, consigning.MoneyIn{Gallery: house.ID, Kind: consign.Paid, Amount: owed.Owed})
	b.Must(err)
	one := b.Paid(b.Card.ID)

	account, err := banking.SaveAccount(b.Ctx, b.Studio, bankfile.Account{Name: "Current", Currency: "USD"})
	b.Must(err)
	_, err = banking.Bring(b.Ctx, b.Studio, banking.BringIn{Account: account, Name: "march.ofx", Body: []byte(statement(
		[2]string{"91.00", "MARKET PAYOUT"}, [2]string{owed.Owed.Plain(), "HARROW LANE ROOMS"}, [2]string{one.Order.Paid().Plain(), one.BuyerData.Name},
		[2]string{"-3.50", "account fee"},
	))})
	b.Must(err)
	before := stands(b, ledger.Bank, ledger.AtOutlets)
	open, err := banking.Open(b.Ctx, b.Studio, account)
	b.Must(err)
	var yes []banking.MatchIn
	lines := map[string]int64{}
	for _, l := range open {
		if l.Proposal == nil {
			if l.Kept.Amount.Sign() > 0 {
				t.Errorf("nothing is proposed for %+v", l.Kept)
			}
			continue
		}
		yes = append(yes, banking.Yes(l.ID, l.Proposal.Candidate))
		switch p := l.Proposal; {
		case p.Payout == out.ID:
			lines["payout"] = l.ID
		case p.Money == gave.ID:
			lines["gallery"] = l.ID
		case p.Order == one.ID && p.Payment != 0:
			lines["payment"] = l.ID
		}
	}
	if len(yes) != 3 || len(lines) != 3 {
		t.Fatalf("proposed are %+v", yes)
	}
	same(b, "before her yes", before, 0)
	b.Must(banking.Match(b.Ctx, b.Studio, yes))
	all := 91_00 + owed.Owed.Minor + one.Order.Paid().Minor
	same(b, "after it", stands(b, ledger.Bank, ledger.AtOutlets), all, before[1]-all)
	b.Sound()

	// The payments of what was paid out are in the bank by the payout alone, and what is in the bank by itself is in no payout.
	paid := b.Order(in.Orders[0]).Payments[0]
	err = banking.Match(b.Ctx, b.Studio, []banking.MatchIn{{Line: open[0].ID + 100, Payment: paid.ID}})
	b.Refused(err, fault.Missing, "", "")
	_, err = payouts.Take(b.Ctx, b.Studio, payouts.Payout{Outlet: one.Outlet, Net: bed.USD(1), Orders: []int64{one.ID}})
	b.Refused(err, fault.Refused, "orders", "its payment already")

	_, err = payouts.TakeBack(b.Ctx, b.Studio, out.ID)
	b.Must(err)
	_, err = consigning.ReverseMoney(b.Ctx, b.Studio, gave.ID)
	b.Must(err)
	for what, id := range lines {
		l, err := banking.Line(b.Ctx, b.Studio, id)
		b.Must(err)
		if want := map[bool]bankfile.State{true: bankfile.Matched, false: bankfile.Open}[what == "payment"]; l.State != want {
			t.Errorf("the line of the %s is %s", what, l.State)
		}
	}
	same(b, "when two were taken back", stands(b, ledger.Bank), one.Order.Paid().Minor)
	b.Must(banking.Reopen(b.Ctx, b.Studio, lines["payment"]))
	same(b, "when the third is open again", stands(b, ledger.Bank), 0)
	b.Sound()

	again, err := payouts.Take(b.Ctx, b.Studio, in)
	b.Must(err)
	err = banking.Match(b.Ctx, b.Studio, []banking.MatchIn{{Line: lines["gallery"], Payout: again.ID}})
	if owed.Owed != bed.USD(91_00) {
		b.Refused(err, fault.Refused, "payment", "is of 91.00 USD")
	}
	err = banking.Match(b.Ctx, b.Studio, []banking.MatchIn{{Line: lines["payout"], Payout: out.ID}})
	b.Refused(err, fault.Refused, "payment", "taken back")
	err = banking.Match(b.Ctx, b.Studio, []banking.MatchIn{{Line: lines["payment"], Payment: paid.ID}})
	b.Refused(err, fault.Refused, "payment", "came to the bank with payout")
	b.Must(banking.Match(b.Ctx, b.Studio, []banking.MatchIn{{Line: lines["payout"], Payout: again.ID}}))
	same(b, "the same sum entered again", stands(b, ledger.Bank), 91_00)
	f, err := banking.Account(b.Ctx, b.Studio, account)
	b.Must(err)
	_, err = banking.TakeOut(b.Ctx, b.Studio, f.Files[0].ID)
	b.Refused(err, fault.Refused, "file", "is payout")
	var text strings.Builder
	b.Must(journal.Write(b.Ctx, b.Studio, journal.Span{}, false, &text))
	if !strings.Contains(text.String(), "assets:Bank  91.00 USD") || strings.Contains(text.String(), "Harrow") {
		t.Error("the journal does not say that the payout is at the bank, or names a house")
	}
	b.Sound()
}
