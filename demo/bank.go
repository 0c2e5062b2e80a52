package demo

import (
	"fmt"
	"slices"
	"strings"

	"solander/bankfile"
	"solander/banking"
	"solander/calendar"
	"solander/consign"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// bankLine is a line of the invented bank.
type bankLine struct {
	day    calendar.Day
	amount int64 // minor units; money out is negative
	name   string
	note   string
}

// bills are what she pays each month by the bank, with the day of the month.
var bills = []struct {
	day    int
	amount int64
	name   string
	note   string
}{
	{2, -38500, "Tollhouse Lane studio", "rent"},
	{9, -21840, labs[0], "prints, month before"},
	{15, -7420, "Bellfounder Board & Tube", "packaging"},
	{21, -9650, labs[1], "prints, month before"},
	{26, -1200, "Mossbank Savings", "keeping the account"},
}

// spanOfFile is how many days a file of the bank holds: it begins before the last one ended.
const spanOfFile = 40

// addAccount opens the account of the studio in the book.
func (p *past) addAccount(st *studio.Studio) (err error) {
	p.account, err = banking.SaveAccount(p.ctx, st, bankfile.Account{Name: "Mossbank Savings", Number: "00417722"})
	return err
}

// bringBankFile brings in the bank's file of the last weeks, says yes to what is proposed of it, and sets its bills aside.
func (p *past) bringBankFile(st *studio.Studio) error {
	if err := p.addAccount(st); err != nil {
		return err
	}
	if err := p.bringIn(st, p.day); err != nil {
		return err
	}
	return p.sayOfLines(st, p.day)
}

// bankOfLately brings in the bank's file of the last weeks, and looks through the older half of it.
func (l *lately) bankOfLately() error {
	next, err := l.nextPayout(l.today.Add(-6))
	if err != nil {
		return err
	}
	l.paidOut = append(l.paidOut, paidOut{l.today.Add(-4), next.Net, l.outlets[market].Name, "payout"}) // she did not take it apart yet
	if err := l.bringIn(l.studio, l.today); err != nil {
		return err
	}
	return l.sayOfLines(l.studio, l.today.Add(-17))
}

// bringIn brings in the file of the days before a day.
func (p *past) bringIn(st *studio.Studio, until calendar.Day) error {
	lines, err := p.bankLines(until.Add(-spanOfFile), until.Add(-1))
	if err != nil {
		return err
	}
	_, err = banking.Bring(p.ctx, st, banking.BringIn{Account: p.account, Name: "account-" + until.String() + ".ofx", Body: ofx(lines)})
	return err
}

// bankLines invents what the bank booked between two days: transfers of buyers a day after she noted them, what an outlet paid out, and bills.
func (p *past) bankLines(from, to calendar.Day) ([]bankLine, error) {
	paid, err := p.days.tx.Unbanked(from.Add(-1), to.Add(-1))
	if err != nil {
		return nil, err
	}
	var out []bankLine
	for _, x := range paid {
		o, err := p.days.tx.Order(x.Order)
		if err != nil {
			return nil, err
		}
		if !p.byTransfer(o, x) {
			continue
		}
		b, err := p.days.tx.Buyer(o.Buyer)
		if err != nil {
			return nil, err
		}
		l := bankLine{day: x.Day.Add(1), amount: x.Amount.Minor, name: b.Name}
		if o.ID%3 > 0 {
			l.note = o.Mark
		}
		out = append(out, l)
	}
	moneys, err := p.days.tx.GalleryMoneys(p.galleries[0].ID)
	if err != nil {
		return nil, err
	}
	others := slices.Clone(p.paidOut)
	for _, m := range moneys {
		if m.Kind == consign.Paid {
			others = append(others, paidOut{m.Day, m.Amount, p.galleries[0].Name, "statement"})
		}
	}
	for _, x := range others {
		if d := x.day.Add(1); !d.Before(from) && !d.After(to) {
			out = append(out, bankLine{d, x.net.Minor, x.by, x.note})
		}
	}
	for d := from; !d.After(to); d = d.Add(1) {
		_, _, n := d.Civil()
		for _, b := range bills {
			if b.day == n {
				out = append(out, bankLine{d, b.amount, b.name, b.note})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b bankLine) int { return a.day.Sub(b.day) })
	return out, nil
}

// byTransfer reports the payments that came to the bank: of galleries, what was left to pay of a sale, and a part of her own site's.
func (p *past) byTransfer(o order.Order, x order.Payment) bool {
	switch {
	case x.Kind == order.Refund || o.Outlet == p.outlets[market].ID:
		return false
	case o.Outlet == p.outlets[ownSite].ID:
		return o.ID%4 == 0
	case o.Outlet == p.outlets[fairs].ID:
		return x.Day != o.Placed
	}
	return true
}

// ofx writes lines as the older form of OFX does. Each has the mark by which the bank tells it.
func ofx(lines []bankLine) []byte {
	var b strings.Builder
	b.WriteString("OFXHEADER:100\nDATA:OFXSGML\n\n<OFX><BANKMSGSRSV1><STMTTRNRS><STMTRS><CURDEF>" + currency + "<BANKACCTFROM><ACCTID>00417722</BANKACCTFROM><BANKTRANLIST>\n")
	sum := map[calendar.Day]int{}
	for _, l := range lines {
		sum[l.day]++
		y, m, d := l.day.Civil()
		a := money.Of(l.amount, currency)
		fmt.Fprintf(&b, "<STMTTRN><TRNTYPE>OTHER<DTPOSTED>%04d%02d%02d<TRNAMT>%s<FITID>%04d%02d%02d-%d<NAME>%s", y, m, d, a.Plain(), y, m, d, sum[l.day], escaped.Replace(l.name))
		if l.note != "" {
			b.WriteString("<MEMO>" + escaped.Replace(l.note))
		}
		b.WriteString("</STMTTRN>\n")
	}
	b.WriteString("</BANKTRANLIST></STMTRS></STMTTRNRS></BANKMSGSRSV1></OFX>\n")
	return []byte(b.String())
}

var escaped = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")

// sayOfLines says yes to what is proposed of the lines before a day, and sets bills aside.
func (p *past) sayOfLines(st *studio.Studio, before calendar.Day) error {
	open, err := banking.Open(p.ctx, st, p.account)
	if err != nil {
		return err
	}
	var yes []banking.MatchIn
	for _, l := range open {
		switch {
		case !l.Day.Before(before):
		case l.Proposal != nil:
			yes = append(yes, banking.Yes(l.ID, l.Proposal.Candidate))
		case l.Amount.Sign() < 0:
			if err := banking.SetAside(p.ctx, st, l.ID, "a bill: "+l.Note); err != nil {
				return err
			}
		}
	}
	if len(yes) == 0 {
		return nil
	}
	return banking.Match(p.ctx, st, yes)
}
