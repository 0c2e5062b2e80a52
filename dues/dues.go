// Package dues is use cases: what is owed and for how long, the statement of a buyer, and her reminder.
package dues

import (
	"context"

	"solander/buyers"
	"solander/calendar"
	"solander/currencies"
	"solander/fault"
	"solander/invoice"
	"solander/money"
	"solander/order"
	"solander/owing"
	"solander/papers"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	owing.Store
	OpenOrders() ([]order.Order, error)
	OrdersByID(ids []int64) ([]order.Order, error)
	Orders(q studio.OrderQuery) ([]order.Order, error)
}

// Dues is one transaction as this room sees it.
type Dues struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Dues { return &Dues{t, t.Tx} }

var write, read = studio.Doors(In)

// Owed is what is owed today, by age.
func Owed(ctx context.Context, s *studio.Studio) (owing.Ageing, error) {
	return studio.Got(ctx, s, read, (*Dues).owed)
}

func (t *Dues) owed() (owing.Ageing, error) {
	orders, err := t.OpenOrders()
	if err != nil {
		return owing.Ageing{}, err
	}
	ids, err := t.Unsettled()
	if err != nil {
		return owing.Ageing{}, err
	}
	more, err := t.OrdersByID(ids)
	if err != nil {
		return owing.Ageing{}, err
	}
	orders = append(orders, more...)
	if err := t.KnowBuyers(orders); err != nil {
		return owing.Ageing{}, err
	}
	abroad, err := t.abroad(orders)
	if err != nil {
		return owing.Ageing{}, err
	}
	var items []owing.Item
	for _, o := range orders {
		of := owing.Of(o, abroad[o.ID], t.Today)
		if len(of) == 0 {
			continue
		}
		b, err := t.BuyerOf(o.Buyer)
		if err != nil {
			return owing.Ageing{}, err
		}
		for _, it := range of {
			it.Buyer, it.Name = b.Person(), b.Name
			items = append(items, it)
		}
	}
	return owing.Age(items, t.Today, t.Set.Currency)
}

// abroad are those of some orders that are owed in another currency.
func (t *Dues) abroad(orders []order.Order) (map[int64]owing.Abroad, error) {
	all, err := currencies.In(t.Turn).OfAll(orders)
	if err != nil {
		return nil, err
	}
	out := map[int64]owing.Abroad{}
	for id, w := range all {
		x := owing.Abroad{Came: map[int64]money.Amount{}}
		if !w.Changed {
			x.Total, x.Paid, x.Owed, x.Given, x.Credited = w.Agreed.Total, w.Paid, w.Owed, w.Given, w.Credited
		}
		for _, c := range w.Came {
			x.Came[c.Payment] = c.Amount
		}
		out[id] = x
	}
	return out, nil
}

// StatementIn asks for the statement of a buyer.
type StatementIn struct {
	Buyer       int64
	From, Until calendar.Day // no days: from the first sale on; until today
}

// Statement is the statement of a buyer, with who it is for.
type Statement struct {
	owing.Statement
	Buyer order.Buyer   `json:"buyer"`
	To    invoice.Party `json:"to"`

	studio invoice.Party
	head   papers.Head
}

// StatementOf makes the statement of a buyer. Faults: Invalid, Missing.
func StatementOf(ctx context.Context, s *studio.Studio, in StatementIn) (Statement, error) {
	var l fault.List
	l.Add(studio.Sane("from", in.From))
	l.Add(studio.Sane("until", in.Until))
	l.Check(in.Until.IsZero() || !in.Until.Before(in.From), "until", "it ends before it begins", "look at both days")
	if err := l.Err(); err != nil {
		return Statement{}, err
	}
	return studio.Got(ctx, s, read, func(t *Dues) (Statement, error) { return t.statement(in) })
}

func (t *Dues) statement(in StatementIn) (Statement, error) {
	v := Statement{studio: invoice.From(t.Set.Studio, t.Set.Address)}
	if in.Until.IsZero() {
		in.Until = t.Today
	}
	v.head = papers.Head{Studio: t.Set.Studio, Day: in.Until, Units: t.Set.Units}
	var err error
	if v.Buyer, err = buyers.In(t.Turn).Person(in.Buyer); err != nil {
		return v, err
	}
	orders, err := t.ordersOf(v.Buyer.ID)
	if err != nil {
		return v, err
	}
	v.To = invoice.Party{Name: v.Buyer.Name}
	if len(orders) > 0 && orders[0].ShipTo.Name == v.Buyer.Name && orders[0].ShipTo.Line1 != "" {
		v.To.Lines = orders[0].ShipTo.Block(t.Set.Address.Country)[1:]
	}
	abroad, err := t.abroad(orders)
	if err != nil {
		return v, err
	}
	v.Statement, err = owing.StatementOf(orders, abroad, in.From, in.Until, t.Set.Currency)
	return v, err
}

// ordersOf are all orders of a buyer, the latest first.
func (t *Dues) ordersOf(buyer int64) ([]order.Order, error) {
	var out []order.Order
	for q := (studio.OrderQuery{Buyer: buyer, Limit: studio.MostPage}); ; {
		all, err := t.Orders(q)
		if err != nil {
			return nil, err
		}
		if out = append(out, all...); len(all) < q.Limit {
			return out, nil
		}
		q.Before = all[len(all)-1].ID
	}
}

// Paper is the statement as it is printed.
func (v Statement) Paper() papers.Statement {
	return papers.StatementOf(v.head, v.studio, v.To, v.Statement)
}
