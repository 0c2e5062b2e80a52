package owing

import (
	"cmp"
	"maps"
	"slices"

	"solander/calendar"
	"solander/money"
	"solander/order"
)

// Entry is one line of a statement: a sale, a credit note, or money in or back. Charge and Paid are what it adds to either side; a refund is a Paid below
// nothing, and as far as it was for good a Charge below nothing too, so that it is owed no more. Balance is what the buyer owes after it.
type Entry struct {
	Day     calendar.Day `json:"day"`
	Mark    string       `json:"mark"`
	Order   int64        `json:"order"`
	Payment int64        `json:"payment,omitempty"` // 0: a sale, or a credit note
	Text    string       `json:"text"`
	Charge  money.Amount `json:"charge"`
	Paid    money.Amount `json:"paid"`
	Balance money.Amount `json:"balance"`
	Abroad  money.Amount `json:"abroad,omitzero"` // the charge as it was agreed, or the payment as it came, in another currency

	given int64 // of a refund that was agreed in another currency, in minor units of that: what of it was for good
}

// Statement is what stood between the studio and one buyer in a span of days. A sale stands in it with what is due of it now: one that was
// cancelled or came back whole, with nothing.
type Statement struct {
	From    calendar.Day   `json:"from"` // no day: from the first sale on
	Until   calendar.Day   `json:"until"`
	Opening money.Amount   `json:"opening"` // owed before From
	Entries []Entry        `json:"entries"`
	Charged money.Amount   `json:"charged"`
	Paid    money.Amount   `json:"paid"`
	Closing money.Amount   `json:"closing"`
	Abroad  []money.Amount `json:"abroad,omitempty"` // what of the closing is owed in other currencies, in these, by code; below nothing is owed to the buyer
}

// StatementOf makes the statement of orders of one buyer. Faults: Invalid when they are in different currencies or do not fit together.
// abroad are those that are owed in another currency, by order.
func StatementOf(orders []order.Order, abroad map[int64]Abroad, from, until calendar.Day, currency string) (Statement, error) {
	none := money.Of(0, currency)
	s := Statement{From: from, Until: until, Opening: none, Entries: []Entry{}, Charged: none, Paid: none, Closing: none}
	open := map[string]int64{}
	for _, e := range entriesOf(orders, abroad, none) {
		if e.Day.After(until) {
			continue
		}
		if e.Payment != 0 {
			open[e.Abroad.Currency] -= e.Abroad.Minor + e.given
		} else {
			open[e.Abroad.Currency] += e.Abroad.Minor
		}
		if err := add(e.Charge, &s.Closing); err != nil {
			return s, err
		}
		if err := add(e.Paid.Neg(), &s.Closing); err != nil {
			return s, err
		}
		if e.Day.Before(from) {
			s.Opening = s.Closing
			continue
		}
		if err := add(e.Charge, &s.Charged); err != nil {
			return s, err
		}
		if err := add(e.Paid, &s.Paid); err != nil {
			return s, err
		}
		e.Balance = s.Closing
		s.Entries = append(s.Entries, e)
	}
	for _, cur := range slices.Sorted(maps.Keys(open)) {
		if open[cur] != 0 {
			s.Abroad = append(s.Abroad, money.Of(open[cur], cur))
		}
	}
	return s, nil
}

// entriesOf are the entries of orders, by day; of one day, sales come first.
func entriesOf(orders []order.Order, abroad map[int64]Abroad, none money.Amount) []Entry {
	var out []Entry
	for _, o := range orders {
		sale := Entry{Day: o.Placed, Mark: o.Mark, Order: o.ID, Text: "Sale", Charge: o.Due(), Paid: none}
		switch o.State {
		case order.Cancelled:
			sale.Text = "Sale, cancelled since"
		case order.Returned:
			sale.Text = "Sale, which came back"
		}
		if !sale.Charge.IsZero() {
			sale.Abroad = abroad[o.ID].Total
		}
		out = append(out, sale)
		in := abroad[o.ID]
		notes, off, offIn := creditNotes(o, in, none)
		out = append(out, notes...)
		given := order.GivenAmong(o.Given().Minor-off, o.Payments, order.Payment.InMinor)
		theirs := order.GivenAmong(in.Given.Minor-offIn, o.Payments, func(p order.Payment) int64 { return in.Came[p.ID].Minor })
		for i, p := range o.Payments {
			if p.Reversed {
				continue
			}
			e := Entry{Day: p.Day, Mark: o.Mark, Order: o.ID, Payment: p.ID, Text: "Paid", Charge: none, Paid: p.Amount, Abroad: in.Came[p.ID]}
			switch p.Kind {
			case order.Deposit:
				e.Text = "Paid, a deposit"
			case order.Refund:
				e.Text, e.Paid, e.Abroad = "Paid back", p.Amount.Neg(), e.Abroad.Neg()
				e.Charge.Minor, e.given = -given[i], theirs[i]
				switch {
				case given[i] == p.Amount.Minor:
					e.Text = "Paid back for good"
				case given[i] > 0:
					e.Text = "Paid back, " + e.Charge.Neg().String() + " of it for good"
				}
			}
			out = append(out, e)
		}
	}
	slices.SortStableFunc(out, func(a, b Entry) int {
		return cmp.Or(a.Day.Sub(b.Day), after(a)-after(b), cmp.Compare(a.Order, b.Order))
	})
	return out
}

// creditNotes are the entries of an order's credit notes, each as far as it takes off what is due and was not paid; and how much that is in all,
// in the book's currency and in the one agreed, in minor units.
func creditNotes(o order.Order, in Abroad, none money.Amount) (out []Entry, off, offIn int64) {
	off, offIn = min(o.Given().Minor, o.Credited().Minor), min(in.Given.Minor, in.Credited.Minor)
	left, weights := off, make([]int64, len(o.Credit.Notes))
	asSaid, ok := o.Credit.In(in.Given.Currency)
	for i, n := range o.Credit.Notes {
		e := Entry{Day: n.Day, Mark: o.Mark, Order: o.ID, Text: "Credit note " + n.Label, Charge: none, Paid: none}
		e.Charge.Minor = -min(left, n.Amount.Minor)
		left += e.Charge.Minor
		if weights[i] = -e.Charge.Minor; ok && weights[i] != 0 {
			weights[i] = asSaid.Notes[i].Amount.Minor
		}
		out = append(out, e)
	}
	if offIn > 0 {
		for i, n := range money.Shares(offIn, weights) {
			out[i].Abroad = money.Of(-n, in.Given.Currency)
		}
	}
	return out, off, offIn
}

func after(e Entry) int {
	if e.Payment != 0 || !e.Paid.IsZero() {
		return 1
	}
	return 0
}
