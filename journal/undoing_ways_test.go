package journal_test

import (
	"fmt"
	"slices"

	"solander/bankfile"
	"solander/banking"
	"solander/book"
	"solander/calendar"
	"solander/claims"
	"solander/consign"
	"solander/consigning"
	"solander/currencies"
	"solander/dispatch"
	"solander/internal/bed"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/years"
)

// latest is the last payment of an order; 0 when there is none.
func (u *undoing) latest(id int64) int64 {
	all := u.Order(id).Order.Payments
	if len(all) == 0 {
		return 0
	}
	return all[len(all)-1].ID
}

func (u *undoing) inEuros(kind order.PaymentKind) (func() error, error) {
	id := u.one(u.abroad)
	st, err := currencies.Of(u.Ctx, u.Studio, id)
	if err != nil {
		return nil, err
	}
	most := st.Owed.Minor
	if kind == order.Refund {
		most = st.Agreed.Total.Minor - st.Owed.Minor
	}
	in := book.PaymentIn{Order: id, Kind: kind, Amount: money.Of(1+u.chance.Int64N(max(1, most)), "EUR")}
	if u.n(2) == 0 {
		in.Worth = bed.Ptr(u.cents(150_00))
	}
	k, err := book.TakeAbroad(u.Ctx, u.Studio, in)
	if err != nil {
		return nil, err
	}
	back, err := u.marked(studio.MarkPaid, nil)
	worth := k.Worth
	if kind == order.Refund {
		worth = worth.Neg()
	}
	return u.may(banked{in: banking.MatchIn{Payment: u.latest(id)}, amount: worth, abroad: true}, back, err)
}

func (u *undoing) ended(state consign.State) (func() error, error) {
	if len(u.there) == 0 {
		return nil, nil
	}
	p := u.one(u.there)
	_, err := consigning.End(u.Ctx, u.Studio, consigning.EndIn{Print: p, State: state, Why: "lost"})
	return func() error { _, err := consigning.TakeBack(u.Ctx, u.Studio, p); return err }, err
}

func (u *undoing) ofGallery(kind consign.Kind) (func() error, error) {
	m, err := consigning.NoteMoney(u.Ctx, u.Studio, consigning.MoneyIn{Gallery: u.gallery, Kind: kind, Amount: u.cents(9_00)})
	back := func() error { _, err := consigning.ReverseMoney(u.Ctx, u.Studio, m.ID); return err }
	if a, ok := m.AtBank(); ok {
		return u.may(banked{in: banking.MatchIn{Money: m.ID}, amount: a}, back, err)
	}
	return back, err
}

// givenUp takes the money back that a claim paid back for prints that it gave up.
func (u *undoing) givenUp() (func() error, error) {
	v := u.Order(u.one(u.given))
	st, err := currencies.Of(u.Ctx, u.Studio, v.ID)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(v.Order.Payments, func(p order.Payment) bool { return p.Kind == order.Refund && !p.Reversed })
	if i < 0 { // it is taken back already
		return nil, nil
	}
	in := book.PaymentIn{Order: v.ID, Kind: order.Refund, Amount: v.Order.Payments[i].Amount}
	for _, f := range st.Payments {
		if f.Refund {
			in.Amount, in.Worth = f.Amount, &f.Worth
		}
	}
	var mark int64
	for _, m := range v.Marks {
		if m.Kind == studio.MarkPaid && !m.Undone {
			mark = max(mark, m.ID)
		}
	}
	err = dispatch.Undo(u.Ctx, u.Studio, mark)
	return func() error { return book.Pay(u.Ctx, u.Studio, in) }, err
}

func (u *undoing) onClaim(of []int64, do func(id int64) error) (func() error, error) {
	var err error
	for _, i := range u.chance.Perm(len(of)) {
		id := of[i]
		if err = do(id); err == nil {
			return func() error { _, err := claims.TakeBack(u.Ctx, u.Studio, id); return err }, nil
		}
	}
	return nil, err
}

// matched brings a line of the bank in, and says that it is something that was done; of money in another currency the bank made a little more or less.
func (u *undoing) matched(abroad bool) (func() error, error) {
	may := slices.DeleteFunc(slices.Clone(u.atBank), func(b banked) bool { return b.abroad != abroad || b.amount.IsZero() })
	if len(may) == 0 {
		return nil, nil
	}
	b := may[u.n(len(may))]
	if abroad {
		b.amount.Minor += b.amount.Minor * int64(u.n(50)-25) / 1000
	}
	u.lines++
	text := fmt.Sprintf("Date,Amount,Name\n2026-03-04,%s,line %d\n", b.amount.Plain(), u.lines)
	if _, err := banking.Bring(u.Ctx, u.Studio, banking.BringIn{Account: u.account, Name: "a.csv", Body: []byte(text)}); err != nil {
		return nil, err
	}
	open, err := banking.Lines(u.Ctx, u.Studio, bankfile.Query{Account: u.account, State: bankfile.Open, Limit: 100})
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(open, func(l bankfile.Kept) bool { return l.Name == fmt.Sprintf("line %d", u.lines) })
	in := b.in
	in.Line = open[i].ID
	err = banking.Match(u.Ctx, u.Studio, []banking.MatchIn{in})
	return func() error { return banking.Reopen(u.Ctx, u.Studio, in.Line) }, err
}

// opened enters an opening balance; it is taken back by the same with the other sign.
func (u *undoing) opened(account string) (func() error, error) {
	in := years.OpeningIn{Account: account, Amount: u.cents(900_00), Day: calendar.Date(2026, 3, 1).Add(u.n(4))}
	err := years.Open(u.Ctx, u.Studio, in)
	return func() error {
		in.Amount = in.Amount.Neg()
		return years.Open(u.Ctx, u.Studio, in)
	}, err
}
