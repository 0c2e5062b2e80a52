package payouts

import (
	"context"
	"slices"

	"solander/book"
	"solander/calendar"
	"solander/charging"
	"solander/fault"
	"solander/money"
	"solander/studio"
)

// Row is a payout in a list.
type Row struct {
	charging.Payout
	OutletName string `json:"outlet_name"`
}

// List returns payouts, the latest first. limit is at least 1.
func List(ctx context.Context, s *studio.Studio, skip, limit int) ([]Row, error) {
	return studio.Got(ctx, s, read, func(t *Payouts) ([]Row, error) {
		all, err := t.Store.Payouts(skip, limit)
		if err != nil {
			return nil, err
		}
		names, err := t.names()
		out := make([]Row, len(all))
		for i, p := range all {
			out[i] = Row{p, names[p.Outlet]}
		}
		return out, err
	})
}

func (t *Payouts) names() (map[int64]string, error) {
	all, err := t.Outlets()
	out := map[int64]string{}
	for _, u := range all {
		out[u.ID] = u.Name
	}
	return out, err
}

// One returns a payout with its parts. Faults: Missing.
func One(ctx context.Context, s *studio.Studio, id int64) (View, error) {
	return studio.Got(ctx, s, read, func(t *Payouts) (View, error) { return t.view(id) })
}

func (t *Payouts) view(id int64) (v View, err error) {
	if v.Payout, err = t.Payout(id); err != nil {
		return v, err
	}
	names, err := t.names()
	if err != nil {
		return v, err
	}
	parts, err := t.PayoutParts(id)
	if err != nil {
		return v, err
	}
	ids := make([]int64, len(parts))
	for i, p := range parts {
		ids[i] = p.Order
	}
	orders, err := t.OrdersByID(ids)
	if err != nil {
		return v, err
	}
	marks := map[int64]string{}
	for _, o := range orders {
		marks[o.ID] = o.Mark
	}
	v.OutletName, v.Reckoned = names[v.Outlet], money.Of(0, v.Net.Currency)
	for _, p := range parts {
		v.Parts = append(v.Parts, Part{p, marks[p.Order], p.Net()})
		v.Reckoned.Minor += p.Gross.Minor - p.Was.Minor - p.Payment.Minor
	}
	return v, nil
}

// Candidate is an order of which a payout may be.
type Candidate struct {
	Order    int64        `json:"order"`
	Mark     string       `json:"mark"`
	Day      calendar.Day `json:"day"` // of the sale
	Gross    money.Amount `json:"gross"`
	Left     money.Amount `json:"left"`     // after the fees as they are reckoned
	Proposed bool         `json:"proposed"` // the sum is likely of it
}

// mostCandidates is how many orders are looked at, the latest.
const mostCandidates = 400

// soon is within how many days an outlet pays out a sale: older ones are listed, but not proposed. Common practice, no source.
const soon = 92

// Propose returns the latest orders of an outlet up to a day that were not paid out yet, by day, and proposes those that come nearest to the
// sum. What is still owed is taken as paid. Faults: Invalid; Missing.
func Propose(ctx context.Context, s *studio.Studio, outlet int64, net money.Amount, until calendar.Day) ([]Candidate, error) {
	var l fault.List
	l.Check(net.Sign() >= 0 && net.Minor <= money.MaxMinor, "net", "the sum is negative or absurd", "give what came in")
	l.Add(studio.Sane("day", until))
	if err := l.Err(); err != nil {
		return nil, err
	}
	return studio.Got(ctx, s, read, func(t *Payouts) ([]Candidate, error) {
		u, err := t.OutletOf(outlet)
		if err != nil {
			return nil, fault.InField(err, "outlet")
		}
		if until.IsZero() {
			until = t.Today
		}
		ids, err := t.NotPaidOut(u.ID, until, mostCandidates)
		if err != nil {
			return nil, err
		}
		orders, err := t.OrdersByID(ids)
		if err != nil {
			return nil, err
		}
		at := make(map[int64]int, len(ids))
		for i, id := range ids {
			at[id] = i
		}
		out, lefts := make([]Candidate, len(ids)), make([]int64, len(ids))
		for _, o := range orders {
			sale := saleOf(o)
			if owed := o.Owed(); owed.Sign() > 0 {
				more, err := book.KeptBack(u, owed, until)
				if err != nil {
					return nil, err
				}
				sale.Gross.Minor, sale.Payment.Minor = sale.Gross.Minor+owed.Minor, sale.Payment.Minor+more.Minor
			}
			i := at[o.ID]
			out[i] = Candidate{Order: o.ID, Mark: o.Mark, Day: o.Placed, Gross: sale.Gross, Left: sale.Left()}
			lefts[i] = out[i].Left.Minor
		}
		late := slices.IndexFunc(out, func(c Candidate) bool { return until.Sub(c.Day) <= soon })
		if late < 0 {
			return out, nil
		}
		from, to := charging.Run(net.Minor, lefts[late:])
		for i := late + from; i < late+to; i++ {
			out[i].Proposed = true
		}
		return out, nil
	})
}
