package earned

import (
	"context"
	"slices"
	"strconv"

	"solander/earnings"
	"solander/fault"
	"solander/studio"
)

// Inside is one row of the figures, opened: its parts, and the orders that they are of.
type Inside struct {
	Row
	Orders []Below `json:"orders"` // by what is left, the most first
	More   int     `json:"more,omitempty"`
	Rest   Sums    `json:"of_no_order"`                // what belongs to no order, such as sheets spoilt
	Others []Piece `json:"of_no_order_from,omitempty"` // its latest entries
}

// Sums are those of a group.
type Sums []earnings.Sum

// mostInside is how many orders of a row are named.
const mostInside = 200

// Open opens a row of the figures by its key. Faults: Invalid; Missing when there is none.
func Open(ctx context.Context, s *studio.Studio, a Ask, key string) (Inside, error) {
	if err := a.Validate(); err != nil {
		return Inside{}, err
	}
	return studio.Got(ctx, s, read, func(t *Earned) (Inside, error) { return t.open(a, key) })
}

func (t *Earned) open(a Ask, key string) (Inside, error) {
	q, err := t.queryOf(a, key)
	if err != nil {
		return Inside{}, err
	}
	f, err := t.rowsOf(a, q)
	if err != nil {
		return Inside{}, err
	}
	i := slices.IndexFunc(f.Rows, func(r Row) bool { return r.Key == key })
	if i < 0 {
		return Inside{}, fault.New(fault.Missing, "nothing was earned there in these days").ToMend("choose a row of the figures")
	}
	out := Inside{Row: f.Rows[i], Orders: []Below{}}
	q.Currency, q.Most = t.Set.Currency, mostInside
	ids, all, err := t.MostOfLot(q)
	if err != nil {
		return out, err
	}
	out.More = all - len(ids)
	at := map[int64]int{}
	for i, id := range ids {
		at[id], out.Orders = i, append(out.Orders, Below{Order: id})
	}
	q.Orders = append(slices.Clone(ids), 0)
	sums, err := t.SumsOfLots(q)
	if err != nil {
		return out, err
	}
	rest := earnings.Group{}
	for _, s := range sums {
		switch fact := s.Fact(); {
		case fact.Amount.Currency != t.Set.Currency:
		case s.ID == 0:
			rest.Add(fact)
		default:
			out.Orders[at[s.ID]].Add(fact)
		}
	}
	rest.Sorted()
	if out.Rest = rest.Sums; len(out.Rest) > 0 {
		if out.Others, err = t.ofNoOrder(q); err != nil {
			return out, err
		}
	}
	return out, t.mark(out.Orders)
}

// rowsOf are the figures that hold a row which is opened by a query.
func (t *Earned) rowsOf(a Ask, opened earnings.Query) (Figures, error) {
	if a.By != ByBuyer {
		return t.grouped(a)
	}
	out := Figures{Currency: t.Set.Currency}
	sums, err := t.lots(earnings.Query{By: earnings.LotBuyer, From: a.From, To: a.To, Buyers: opened.Buyers})
	if err != nil {
		return out, err
	}
	waiting, err := t.waiting(a)
	if err != nil {
		return out, err
	}
	hers := slices.DeleteFunc(waiting, func(w waits) bool { return !slices.Contains(opened.Buyers, w.order.Buyer) })
	return out, t.gather(Ask{By: ByBuyer}, sums, hers, &out)
}

// mark names orders and their prints.
func (t *Earned) mark(orders []Below) error {
	ids, at := make([]int64, len(orders)), map[int64]int{}
	for i, b := range orders {
		ids[i], at[b.Order] = b.Order, i
	}
	read, err := t.OrdersByID(ids)
	if err != nil {
		return err
	}
	for _, o := range read {
		b := &orders[at[o.ID]]
		b.Mark, b.Key, b.Name = o.Mark, o.Mark, o.Mark
		b.Sorted()
		for _, l := range o.Live() {
			e, err := t.EditionOf(l.Edition)
			if err != nil {
				return err
			}
			b.Prints = append(b.Prints, studio.Named(l.Number.Of(e), e.Title))
		}
	}
	return nil
}

// queryOf asks for the orders of a row.
func (t *Earned) queryOf(a Ask, key string) (earnings.Query, error) {
	q := earnings.Query{By: earnings.LotOrder, From: a.From, To: a.To}
	id, _ := strconv.ParseInt(key, 10, 64)
	switch a.By {
	case ByOutlet:
		q.Outlets = []int64{id}
		return q, nil
	case ByBuyer:
		q.Buyers = []int64{id}
		same, err := t.Writings(id)
		if err != nil {
			return q, err
		}
		for _, b := range same {
			q.Buyers = append(q.Buyers, b.ID)
		}
		return q, nil
	case ByState:
		if key == "-" {
			key = ""
		}
		q.State = &key
		return q, nil
	}
	if err := t.readEditions(); err != nil {
		return q, err
	}
	for ed := range t.editions {
		if t.editionRow(a.By, ed).Key == key {
			q.Editions = append(q.Editions, ed)
		}
	}
	slices.Sort(q.Editions)
	if len(q.Editions) == 0 {
		q.Editions = []int64{0}
	}
	return q, nil
}
