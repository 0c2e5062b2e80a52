package web

import (
	"fmt"
	"strings"
	"testing"

	"solander/banking"
	"solander/book"
	"solander/money"
	"solander/payouts"
)

// A payout that came to the bank is proposed on the account's page, is in the bank by her yes, and leads back to its sales; a line that is none yet
// leads to where one is taken apart, with sum and day.
func TestAPayoutComesToTheBank(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	account := s.banked()
	o, err := book.OrderByMark(s.ctx(), s.studio, "S-1004")
	s.must(err)
	v, err := payouts.Take(s.ctx(), s.studio, payouts.Payout{Outlet: o.Outlet, Net: money.Of(84_00, "USD"), Orders: []int64{o.ID}})
	s.must(err)
	day := strings.ReplaceAll(v.Day.String(), "-", "")
	line := func(n int, amount string) string {
		return fmt.Sprintf("<STMTTRN><TRNTYPE>DEP<DTPOSTED>%s<TRNAMT>%s<FITID>%d<NAME>PAYOUT</STMTTRN>", day, amount, n)
	}
	_, err = banking.Bring(s.ctx(), s.studio, banking.BringIn{Account: 1, Name: "a.ofx", Body: []byte("OFXHEADER:100\n\n<OFX><BANKMSGSRSV1><STMTTRNRS><STMTRS><CURDEF>USD<BANKACCTFROM><ACCTID>1</BANKACCTFROM><BANKTRANLIST>" +
		line(1, "84.00") + line(2, "17.35") + "</BANKTRANLIST></STMTRS></STMTTRNRS></BANKMSGSRSV1></OFX>")})
	s.must(err)

	p := s.get(account).is(200)
	p.has("#open", "payout 1")
	p.one(`#open a[href="/earnings/payouts/1"]`)
	p.one(fmt.Sprintf(`#open a[href="/earnings/payouts/new?day=%s&net=17.35"]`, v.Day))
	tick := attr(p.one("#open input[checked]"), "value")
	s.post(account+"/yes", "pair", "1.2.3").is(422)
	s.leads(s.post(account+"/yes", "pair", tick), account+"?said=bank-yes")
	said := s.get(account).is(200)
	said.one(`#said a[href="/earnings/payouts/1"]`)
	s.leads(s.sendForm(said, "#said form"), account+"?said=bank-open")
	if left := s.get(account).find("#said a"); len(left) != 0 {
		t.Error("a line that is open again is said to be something")
	}
}
