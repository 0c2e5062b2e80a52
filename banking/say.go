package banking

import (
	"context"
	"slices"

	"solander/bankfile"
	"solander/book"
	"solander/charging"
	"solander/currencies"
	"solander/exchange"
	"solander/fault"
	"solander/matching"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// mostOpen is how many open lines are looked at at once, the newest.
const mostOpen = 500

// OpenLine is a line of which nothing was said yet, with what it may be.
type OpenLine struct {
	bankfile.Kept
	matching.Found
}

// Open returns the latest lines of an account of which nothing was said yet, each with what it may be. Faults: Missing.
func Open(ctx context.Context, s *studio.Studio, account int64) ([]OpenLine, error) {
	return studio.Got(ctx, s, read, func(t *Banking) ([]OpenLine, error) {
		if _, err := t.BankAccount(account); err != nil {
			return nil, err
		}
		lines, err := t.BankLines(bankfile.Query{Account: account, State: bankfile.Open, Limit: mostOpen})
		if err != nil || len(lines) == 0 {
			return nil, err
		}
		in := make([]matching.Line, len(lines))
		for i, l := range lines {
			in[i] = matching.Line{ID: l.ID, Day: l.Day, Amount: l.Amount, Text: l.Name + " " + l.Note}
		}
		all, err := t.candidates(lines)
		if err != nil {
			return nil, err
		}
		out := make([]OpenLine, len(lines))
		for i, f := range matching.Of(in, all) {
			out[i] = OpenLine{lines[i], f}
		}
		return out, nil
	})
}

// candidates are payments of about those days without a line, and what open orders owe.
func (t *Banking) candidates(lines []bankfile.Kept) ([]matching.Candidate, error) {
	wanted := map[money.Amount]bool{}
	for _, l := range lines {
		wanted[l.Amount] = true
	}
	newest, oldest := lines[0].Day, lines[len(lines)-1].Day
	out, err := t.others(oldest, newest, wanted)
	if err != nil {
		return nil, err
	}
	paid, err := t.paid(lines, wanted)
	if err != nil {
		return nil, err
	}
	owed, err := t.owed(lines, wanted)
	return slices.Concat(out, paid, owed), err
}

// paid are payments and refunds of about the days of lines, without a line. Of one that came in another currency it is what that was worth, or on an
// account in that currency what came. A refund of an order that was paid out is one when it went after the payout.
func (t *Banking) paid(lines []bankfile.Kept, wanted map[money.Amount]bool) ([]matching.Candidate, error) {
	newest, oldest := lines[0].Day, lines[len(lines)-1].Day
	all, err := t.Unbanked(oldest.Add(-matching.Reach), newest.Add(matching.Reach))
	if err != nil || len(all) == 0 {
		return nil, err
	}
	ids := make([]int64, len(all))
	for i, p := range all {
		ids[i] = p.Order
	}
	slices.Sort(ids)
	came, err := t.CameOf(slices.Compact(ids)...)
	if err != nil {
		return nil, err
	}
	var may []matching.Candidate
	var back []int64
	kept := map[int64]bool{}
	for _, p := range all {
		c := atBank(p, came, lines[0].Amount.Currency)
		if kept[p.Order] = kept[p.Order] || wanted[c.Amount] || c.Abroad.Currency != ""; !wanted[c.Amount] && c.Abroad.Currency == "" {
			continue
		}
		if may = append(may, c); p.Kind == order.Refund {
			back = append(back, p.Order)
		}
	}
	ids = slices.DeleteFunc(ids, func(id int64) bool { return !kept[id] })
	orders, err := t.OrdersByID(slices.Compact(ids))
	if err != nil {
		return nil, err
	}
	if err := t.KnowBuyers(orders); err != nil {
		return nil, err
	}
	by := map[int64]order.Order{}
	for _, o := range orders {
		by[o.ID] = o
	}
	in, err := t.PayoutOf(back)
	if err != nil {
		return nil, err
	}
	out := may[:0]
	for _, c := range may {
		o := by[c.Order]
		if c.Amount.Sign() < 0 && in[o.ID] != 0 {
			after, err := t.afterPayout(o, c.Payment, in[o.ID])
			if err != nil {
				return nil, err
			}
			if !after {
				continue
			}
		}
		c.Mark, c.Ref, c.Buyer = o.Mark, o.Ref, t.BuyersRead[o.Buyer].Name
		out = append(out, c)
	}
	return out, nil
}

// atBank is what a payment is at an account of a currency: a refund goes out.
func atBank(p order.Payment, came []exchange.Came, currency string) matching.Candidate {
	out := matching.Candidate{Payment: p.ID, Order: p.Order, Amount: p.Amount, Day: p.Day}
	if i := slices.IndexFunc(came, func(c exchange.Came) bool { return c.Payment == p.ID }); i >= 0 {
		out.Amount, out.Abroad = came[i].Worth, came[i].Amount
		if currency == out.Abroad.Currency {
			out.Amount = out.Abroad
		}
	}
	if p.Kind == order.Refund {
		out.Amount, out.Abroad = out.Amount.Neg(), out.Abroad.Neg()
	}
	return out
}

// owed are what orders owe, or what is to be paid back of them. Of one that is owed in another currency it is that on an account in it, and on another
// what it is worth by the rate of the day of each line.
func (t *Banking) owed(lines []bankfile.Kept, wanted map[money.Amount]bool) ([]matching.Candidate, error) {
	open, err := t.OpenOrders()
	if err != nil {
		return nil, err
	}
	ids, err := t.Unsettled()
	if err != nil {
		return nil, err
	}
	ended, err := t.OrdersByID(ids)
	if err != nil {
		return nil, err
	}
	open = slices.Concat(open, ended)
	abroad, err := currencies.In(t.Turn).OfAll(open)
	if err != nil {
		return nil, err
	}
	open = slices.DeleteFunc(open, func(o order.Order) bool {
		w, agreed := abroad[o.ID]
		return o.Owed().IsZero() || agreed && dueAbroad(w).IsZero() || !agreed && !wanted[o.Owed()]
	})
	if err := t.KnowBuyers(open); err != nil {
		return nil, err
	}
	worth := currencies.In(t.Turn).Converter(lines[len(lines)-1].Day, lines[0].Day)
	var out []matching.Candidate
	for _, o := range open {
		c := matching.Candidate{Order: o.ID, Mark: o.Mark, Ref: o.Ref, Buyer: t.BuyersRead[o.Buyer].Name, Amount: o.Owed(), Day: o.Placed}
		w, agreed := abroad[o.ID]
		if !agreed {
			out = append(out, c)
			continue
		}
		c.Abroad = dueAbroad(w)
		for _, l := range lines {
			if c.Amount = c.Abroad; l.Amount.Currency != c.Abroad.Currency {
				var ok bool
				if c.Amount, ok, err = worth(c.Abroad, l.Amount.Currency, l.Day); err != nil {
					return nil, err
				}
				if !ok {
					continue
				}
			}
			if c.Only = l.ID; l.Amount == c.Amount || matching.Near(l.Amount, c.Amount) {
				out = append(out, c)
			}
		}
	}
	return out, nil
}

// dueAbroad is what an order owes in another currency, below nothing what is to be paid back of it; nothing when it was changed since it was agreed, so
// that nobody knows.
func dueAbroad(w exchange.Owing) money.Amount {
	if w.Changed && w.Owed.Sign() > 0 {
		return money.Of(0, w.Owed.Currency)
	}
	return w.Owed
}

// MatchIn is her word that a line is a payment of the book, or of an order one that is noted by that; a payout of an outlet; money of a gallery; an
// operator's payment of a claim; or cash of a day at a table.
// One of them is named.
type MatchIn struct {
	Line    int64
	Payment int64 // 0: it is noted now
	Order   int64 // of which it is noted; 0 with a payment
	Payout  int64
	Money   int64
	Gallery int64 // that paid what it owes: it is noted now
	Claim   int64 // that its operator paid; it is noted now, unless it was
	Carry   int64 // cash of a day at a table
	Fair    int64 // a day at a table, whose cash it is: it is noted now
}

// Yes is her word that a line is what it may be.
func Yes(line int64, c matching.Candidate) MatchIn {
	in := MatchIn{Line: line, Payment: c.Payment, Payout: c.Payout, Money: c.Money, Gallery: c.Gallery, Claim: c.Claim, Carry: c.Carry, Fair: c.Fair}
	if c.Claim == 0 {
		in.Order = c.Order
	}
	return in
}

// Match says of lines what they are, all or none.
// Faults: Missing; Taken when it has another line; Refused when a line is no longer open, or the amounts differ, or what it is was taken back, or
// came with a payout; as book.Pay says when a payment is noted.
func Match(ctx context.Context, s *studio.Studio, all []MatchIn) error {
	if len(all) == 0 {
		return fault.Invalidf("line", "no line is chosen").ToMend("tick those that are right")
	}
	return write(ctx, s, func(t *Banking) error {
		for _, in := range all {
			if err := t.match(in); err != nil {
				return err
			}
		}
		return nil
	})
}

func (t *Banking) match(in MatchIn) error {
	l, err := t.BankLine(in.Line)
	if err != nil {
		return err
	}
	where := l.Day.Long() + ", " + l.Amount.String()
	if l.State != bankfile.Open {
		return fault.New(fault.Refused, "it was said of the line already what it is").At("%s", where).In("line").ToMend("take that back first")
	}
	l.State, l.Payout, l.Money, l.Claim, l.Carry, l.Why, l.At, l.Who = bankfile.Matched, in.Payout, in.Money, in.Claim, in.Carry, "", t.Now, t.Who
	is := counterpart{}
	switch {
	case in.Payout != 0:
		is, err = t.payout(in.Payout)
	case in.Gallery != 0:
		if l.Money, err = t.paidBy(in.Gallery, l); err == nil {
			is, err = t.gallery(l.Money)
		}
	case in.Money != 0:
		is, err = t.gallery(in.Money)
	case in.Claim != 0:
		is, err = t.claim(in.Claim, l)
	case in.Fair != 0:
		if l.Carry, err = t.carried(in.Fair, l); err == nil {
			is, err = t.carry(l.Carry)
		}
	case in.Carry != 0:
		is, err = t.carry(in.Carry)
	default:
		l.Payment = in.Payment
		if l.Payment == 0 {
			l.Payment, err = t.noted(in.Order, l)
		}
		if err == nil {
			is, err = t.payment(l.Payment, l.Amount.Currency)
		}
	}
	switch {
	case err != nil:
		return fault.Placed(err, where)
	case is.back:
		return fault.New(fault.Refused, "the %s was taken back", is.what).At("%s", where).In("payment").ToMend("choose another one")
	case is.abroad.Currency != "" && matching.Near(l.Amount, is.amount):
	case is.abroad.Currency != "" && is.amount != l.Amount:
		return fault.New(fault.Refused, "the payment of %s is worth %s, and the line is more than %d thousandths off it", is.abroad, is.amount, matching.Within).At("%s", where).
			In("payment").ToMend("choose another one; or undo that payment and note it with what the bank made of it")
	case is.amount != l.Amount:
		return fault.New(fault.Refused, "the %s is of %s", is.what, is.amount).At("%s", where).In("payment").ToMend("choose one of %s", l.Amount)
	}
	return fault.Placed(t.SayBankLine(l), where)
}

// counterpart is what a line is matched to.
type counterpart struct {
	what   string
	amount money.Amount // at the bank
	back   bool         // it was taken back
	abroad money.Amount // as it came, in another currency than the account's
}

func (t *Banking) payment(id int64, currency string) (c counterpart, err error) {
	p, err := t.Payment(id)
	if err != nil {
		return c, err
	}
	came, err := t.CameOf(p.Order)
	if err != nil {
		return c, err
	}
	is := atBank(p, came, currency)
	c = counterpart{what: "payment", amount: is.Amount, back: p.Reversed}
	if is.Abroad.Currency != currency {
		c.abroad = is.Abroad
	}
	in, err := t.PayoutOf([]int64{p.Order})
	if err != nil || in[p.Order] == 0 {
		return c, err
	}
	if p.Kind == order.Refund {
		o, err := t.Order(p.Order)
		if err != nil {
			return c, err
		}
		if after, err := t.afterPayout(o, id, in[p.Order]); err != nil || after {
			return c, err
		}
	}
	return c, fault.New(fault.Refused, "its order came to the bank with payout %d", in[p.Order]).In("payment").ToMend("match the line of that payout")
}

// afterPayout reports whether a refund went after the payout that its order came with. The payout says what of the order it is of: those payments, up to
// the one that it noted itself or else those of its day and before, that come to it; a refund after these is of its own.
func (t *Banking) afterPayout(o order.Order, refund, payout int64) (bool, error) {
	p, err := t.Payout(payout)
	if err != nil {
		return false, err
	}
	parts, err := t.PayoutParts(payout)
	if err != nil {
		return false, err
	}
	i := slices.IndexFunc(parts, func(x charging.PaidOut) bool { return x.Order == o.ID })
	if i < 0 {
		return false, nil
	}
	if noted := parts[i].Noted; noted != 0 {
		return refund > noted, nil
	}
	last, sum := int64(0), int64(0)
	for _, x := range o.Payments {
		if x.Reversed || x.Day.After(p.Day) {
			continue
		}
		if sum += x.Amount.Minor; x.Kind == order.Refund {
			sum -= 2 * x.Amount.Minor
		}
		if sum == parts[i].Gross.Minor {
			last = x.ID
		}
	}
	return last != 0 && refund > last, nil
}

func (t *Banking) payout(id int64) (counterpart, error) {
	p, err := t.Payout(id)
	return counterpart{what: "payout", amount: p.Net, back: p.Back}, err
}

func (t *Banking) gallery(id int64) (counterpart, error) {
	m, err := t.GalleryMoney(id)
	a, ok := m.AtBank()
	if err == nil && !ok {
		err = fault.New(fault.Refused, "what a gallery took off for its costs comes to no bank").In("money").ToMend("choose what it paid")
	}
	return counterpart{what: "money of the gallery", amount: a, back: m.Reversed}, err
}

// noted notes what a line says as a payment of an order, and returns it.
func (t *Banking) noted(id int64, l bankfile.Kept) (int64, error) {
	o, err := t.Order(id)
	if err != nil {
		return 0, err
	}
	in := book.PaymentIn{Order: o.ID, Amount: l.Amount, Day: l.Day}
	if l.Amount.Sign() < 0 {
		in.Kind, in.Amount = order.Refund, l.Amount.Neg()
	}
	if err := t.owedAbroad(o, l, &in); err != nil {
		return 0, err
	}
	if err := book.In(t.Turn).Pay(o, in); err != nil {
		return 0, err
	}
	if o, err = t.Order(id); err != nil {
		return 0, err
	}
	latest := int64(0)
	for _, p := range o.Payments {
		latest = max(latest, p.ID)
	}
	return latest, nil
}

// owedAbroad makes a line the payment of all that an order owes in another currency than the account's, or what is to be paid back of it, worth what the
// bank made of it.
func (t *Banking) owedAbroad(o order.Order, l bankfile.Kept, in *book.PaymentIn) error {
	w, agreed, err := currencies.In(t.Turn).Owing(o)
	if err != nil || !agreed || w.Owed.Currency == l.Amount.Currency {
		return err
	}
	due := dueAbroad(w)
	owes, came, plain := "it owes", "came", func(a money.Amount) money.Amount { return a }
	if in.Kind == order.Refund {
		owes, came, plain = "of it is to be paid back", "was paid back", money.Amount.Neg
	}
	if due.Sign() != l.Amount.Sign() {
		return fault.New(fault.Refused, "this order was agreed as %s, and nothing %s", w.Agreed.Total, owes).At("%s", o.Mark).In("order").
			ToMend("note on its page how much %s, in %s; then it can be matched", came, due.Currency)
	}
	u, err := currencies.In(t.Turn).Convert(due, l.Amount.Currency, l.Day)
	switch {
	case err != nil:
		return fault.InField(err, "order")
	case !matching.Near(l.Amount, u.To):
		return fault.New(fault.Refused, "%s %s, which are %s by the rate of that day: the line is more than %d thousandths off it", owes, plain(due), plain(u.To), matching.Within).
			At("%s", o.Mark).In("order").ToMend("note on its page how much %s, in %s, and what the bank made of it; then it can be matched", came, due.Currency)
	}
	worth := plain(l.Amount)
	in.Amount, in.Worth = plain(due), &worth
	return nil
}

// SetAside says of a line that it has nothing to do with a payment. Faults: Invalid without a reason; Missing; Refused when it is matched.
func SetAside(ctx context.Context, s *studio.Studio, line int64, why string) error {
	if err := order.Text("why", why, 200, true); err != nil {
		return err
	}
	return write(ctx, s, func(t *Banking) error {
		l, err := t.BankLine(line)
		if err != nil {
			return err
		}
		if l.State == bankfile.Matched {
			return fault.New(fault.Refused, "it is %s", l.Is()).In("line").ToMend("part it from that first")
		}
		l.State, l.Why, l.At, l.Who = bankfile.Aside, why, t.Now, t.Who
		return t.SayBankLine(l)
	})
}

// Reopen takes back what was said of a line: it is open again. What it was stays in the book. Faults: Missing; Refused when nothing was said.
func Reopen(ctx context.Context, s *studio.Studio, line int64) error {
	return write(ctx, s, func(t *Banking) error {
		l, err := t.BankLine(line)
		if err != nil {
			return err
		}
		if l.State == bankfile.Open {
			return fault.New(fault.Refused, "nothing was said of it").In("line").ToMend("look at the list again")
		}
		l.State, l.Payment, l.Payout, l.Money, l.Claim, l.Carry, l.Why, l.At, l.Who = bankfile.Open, 0, 0, 0, 0, 0, "", t.Now, t.Who
		return t.SayBankLine(l)
	})
}

// Lines returns lines of an account in a state, newest first. Faults: Missing.
func Lines(ctx context.Context, s *studio.Studio, q bankfile.Query) ([]bankfile.Kept, error) {
	return studio.Got(ctx, s, read, func(t *Banking) ([]bankfile.Kept, error) {
		if _, err := t.BankAccount(q.Account); err != nil {
			return nil, err
		}
		lines, err := t.BankLines(q)
		return append([]bankfile.Kept{}, lines...), err
	})
}

// Line returns one. Faults: Missing.
func Line(ctx context.Context, s *studio.Studio, id int64) (bankfile.Kept, error) {
	return studio.Got(ctx, s, read, func(t *Banking) (bankfile.Kept, error) { return t.BankLine(id) })
}
