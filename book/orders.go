package book

import (
	"context"

	"solander/order"
	"solander/studio"
)

// Order reads an order with all that a face shows of it. Faults: Missing.
func Order(ctx context.Context, s *studio.Studio, id int64) (studio.OrderView, error) {
	return studio.Got(ctx, s, read, func(t *Book) (studio.OrderView, error) { return t.Whole(id) })
}

// OrderByMark reads an order by the studio's own name for it. Faults: Missing.
func OrderByMark(ctx context.Context, s *studio.Studio, mark string) (studio.OrderView, error) {
	var v studio.OrderView
	err := read(ctx, s, func(t *Book) error {
		o, err := t.OrderByMark(mark)
		if err != nil {
			return err
		}
		v, err = t.ViewOf(o)
		return err
	})
	return v, err
}

// OrderPage is one page of a list of orders.
type OrderPage struct {
	Rows []studio.OrderRow   `json:"rows"`
	Next int64               `json:"next"` // OrderQuery.Before of the next page; 0 = no more
	Open map[order.Stage]int `json:"open"` // all open orders by stage, whatever was asked for

	Sheets []int `json:"-"` // of each row, those that were asked for by Wants; nil when none were
}

// Wants asks for the open orders that have sheets of an edition from the drawer, or wait for some; the zero one does not restrict.
type Wants struct {
	Edition int64
	Waiting bool
}

// of counts the sheets of an order that are meant.
func (w Wants) of(o order.Order, d *studio.Drawer) int {
	claimed, waiting := d.Spoken(o, w.Edition)
	if w.Waiting {
		return waiting
	}
	return claimed
}

// Orders lists orders, newest first. A stage other than "" restricts the list to it; "done" is every
// order that is not open.
func Orders(ctx context.Context, s *studio.Studio, q studio.OrderQuery, stage order.Stage) (OrderPage, error) {
	return OrdersWanting(ctx, s, q, stage, Wants{})
}

// OrdersWanting lists orders as Orders does, of them those that want sheets of an edition.
func OrdersWanting(ctx context.Context, s *studio.Studio, q studio.OrderQuery, stage order.Stage, w Wants) (OrderPage, error) {
	if q.Limit <= 0 {
		q.Limit = studio.PageLimit
	}
	q.Limit = min(q.Limit, studio.MostPage)
	var page OrderPage
	err := read(ctx, s, func(t *Book) error {
		d, err := t.Drawer()
		if err != nil {
			return err
		}
		page, err = t.orderPage(q, stage, w, d)
		return err
	})
	return page, err
}

func (t *Book) orderPage(q studio.OrderQuery, stage order.Stage, w Wants, d *studio.Drawer) (OrderPage, error) {
	page := OrderPage{Open: map[order.Stage]int{}}
	for _, o := range d.Orders {
		page.Open[d.Stage(o)]++
	}
	if stage != "" && stage != order.Done || w.Edition != 0 {
		q.State = order.Open
	}
	for limit := q.Limit; ; {
		orders, err := t.Orders(q)
		if err != nil {
			return page, err
		}
		for i, o := range orders {
			q.Before = o.ID
			if stage != "" && d.Stage(o) != stage {
				continue
			}
			if w.Edition != 0 {
				n := w.of(o, d)
				if n == 0 {
					continue
				}
				page.Sheets = append(page.Sheets, n)
			}
			row, err := t.OrderRow(o, d)
			if err != nil {
				return page, err
			}
			if page.Rows = append(page.Rows, row); len(page.Rows) < limit {
				continue
			}
			if i < len(orders)-1 || len(orders) == q.Limit {
				page.Next = o.ID
			}
			return page, nil
		}
		if len(orders) < q.Limit {
			return page, nil
		}
	}
}
