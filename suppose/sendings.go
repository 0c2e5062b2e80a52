package suppose

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"solander/calendar"
	"solander/dayplan"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/planning"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	Editions() ([]edition.Edition, error)
	HandOver(id int64) (studio.HandOver, []studio.Parcel, error)
	HandOvers(limit int) ([]studio.HandOver, error)
	OpenOrders() ([]order.Order, error)
	Order(id int64) (order.Order, error)
}

// asking is one transaction as this room sees it.
type asking struct {
	*planning.Planning
	Store
}

func asked(t *studio.Turn) *asking { return &asking{planning.In(t), t.Tx} }

// sending is prints of one order that leave together, with the question as the studio is and as it would
// be.
type sending struct {
	mark          string
	day           calendar.Day
	prints        int
	without, with dayplan.Question
}

// sent is lines of an order and the day of their hand-over.
type sent struct {
	order order.Order
	lines []order.Line
	day   calendar.Day
}

// sendings asks for every sending of a question, both ways. Faults: Refused when there is none, or too many.
func sendings(s *studio.Studio, t *asking, in WhatIfIn) ([]sending, planning.Wording, error) {
	r, err := planning.MeansOf(s, t.Planning)
	if err != nil {
		return nil, planning.Wording{}, err
	}
	for i, it := range r.Shelf {
		if !r.Retired[it.ID] {
			r.Shelf[i].Stock = nil
		}
	}
	set, then, err := changed(s, t, in, r)
	if err != nil {
		return nil, planning.Wording{}, err
	}
	changed := asked(t.With(set))
	all, err := t.allSent(in)
	if err != nil {
		return nil, planning.Wording{}, err
	}
	var out []sending
	for _, x := range all {
		one := sending{mark: x.order.Mark, day: x.day, prints: len(x.lines)}
		if one.without, err = t.Question(r, x.order, x.lines, x.day); err != nil {
			return nil, planning.Wording{}, err
		}
		if one.with, err = changed.Question(then, x.order, x.lines, x.day); err != nil {
			return nil, planning.Wording{}, err
		}
		out = append(out, one)
	}
	return out, changed.Wording(dayplan.Means{Shelf: then.Shelf, Cards: slices.Concat(r.Cards, then.Cards)}), nil
}

// allSent gathers what a question asks for, by day and mark.
func (t *asking) allSent(in WhatIfIn) ([]sent, error) {
	var out []sent
	if in.Past {
		past, err := t.pastSent(in.From, in.To)
		if err != nil {
			return nil, err
		}
		out = past
	}
	if in.Open {
		open, err := t.openSent()
		if err != nil {
			return nil, err
		}
		out = append(out, open...)
	}
	switch {
	case len(out) == 0:
		return nil, fault.New(fault.Refused, "no parcel was handed over in this time and no order is asked about").In("from").ToMend("ask for a longer time, or for the open orders too")
	case len(out) > mostSendings:
		return nil, fault.New(fault.Refused, "%d sendings are more than %d", len(out), mostSendings).In("from").ToMend("ask for a shorter time")
	}
	slices.SortStableFunc(out, func(a, b sent) int {
		return cmp.Or(a.day.Sub(b.day), strings.Compare(a.order.Mark, b.order.Mark))
	})
	return out, nil
}

// pastSent gathers what was handed over from one day to another: the lines of an order on one day go
// together.
func (t *asking) pastSent(from, to calendar.Day) ([]sent, error) {
	batches, err := t.HandOvers(math.MaxInt32)
	if err != nil {
		return nil, err
	}
	type key struct {
		order int64
		day   calendar.Day
	}
	var keys []key
	lines := map[key][]int64{}
	for _, h := range batches {
		if !from.IsZero() && h.Day.Before(from) || !to.IsZero() && h.Day.After(to) {
			continue
		}
		_, parcels, err := t.HandOver(h.ID)
		if err != nil {
			return nil, err
		}
		for _, p := range parcels {
			for _, id := range p.OrderIDs() { // of a shared parcel each order is asked about by itself
				k := key{id, h.Day}
				if lines[k] == nil {
					keys = append(keys, k)
				}
				lines[k] = append(lines[k], p.Lines...)
			}
		}
	}
	var out []sent
	for _, k := range keys {
		o, err := t.Order(k.order)
		if err != nil {
			return nil, err
		}
		x := sent{order: o, day: k.day}
		for _, id := range lines[k] {
			if l, ok := studio.LineOf(o, id); ok {
				x.lines = append(x.lines, l)
			}
		}
		if len(x.lines) > 0 {
			out = append(out, x)
		}
	}
	return out, nil
}

// openSent gathers the lines of open orders that are not handed over.
func (t *asking) openSent() ([]sent, error) {
	orders, err := t.OpenOrders()
	if err != nil {
		return nil, err
	}
	var out []sent
	for _, o := range orders {
		if o.InPerson || o.NoAddress() != "" {
			continue // nothing of it can be planned
		}
		x := sent{order: o, day: t.HandOverDay(t.Today)}
		for _, l := range o.Lines {
			if !l.Dropped && !l.Sent {
				x.lines = append(x.lines, l)
			}
		}
		if len(x.lines) > 0 {
			out = append(out, x)
		}
	}
	return out, nil
}
