package studio

import (
	"context"

	"solander/order"
)

// Order reads an order with all that a face shows of it. Faults: Missing.
func (s *Studio) Order(ctx context.Context, id int64) (OrderView, error) {
	var v OrderView
	err := s.read(ctx, func(t *turn) (err error) {
		v, err = t.whole(id)
		return err
	})
	return v, err
}

// OrderByMark reads an order by the studio's own name for it. Faults: Missing.
func (s *Studio) OrderByMark(ctx context.Context, mark string) (OrderView, error) {
	var v OrderView
	err := s.read(ctx, func(t *turn) error {
		o, err := t.OrderByMark(mark)
		if err != nil {
			return err
		}
		v, err = t.viewOf(o)
		return err
	})
	return v, err
}

// OrderPage is one page of a list of orders.
type OrderPage struct {
	Rows []OrderRow          `json:"rows"`
	Next int64               `json:"next"` // OrderQuery.Before of the next page; 0 = no more
	Open map[order.Stage]int `json:"open"` // all open orders by stage, whatever was asked for
}

const (
	pageLimit = 50
	mostPage  = 500
)

// Orders lists orders, newest first. A stage other than "" restricts the list to it; "done" is every
// order that is not open.
func (s *Studio) Orders(ctx context.Context, q OrderQuery, stage order.Stage) (OrderPage, error) {
	if q.Limit <= 0 {
		q.Limit = pageLimit
	}
	q.Limit = min(q.Limit, mostPage)
	var page OrderPage
	err := s.read(ctx, func(t *turn) error {
		d, err := t.drawer()
		if err != nil {
			return err
		}
		page, err = t.orderPage(q, stage, d)
		return err
	})
	return page, err
}

func (t *turn) orderPage(q OrderQuery, stage order.Stage, d *drawer) (OrderPage, error) {
	page := OrderPage{Open: map[order.Stage]int{}}
	for _, o := range d.orders {
		page.Open[d.stage(o)]++
	}
	if stage != "" && stage != order.Done {
		q.State = order.Open
	}
	for limit := q.Limit; ; {
		orders, err := t.Orders(q)
		if err != nil {
			return page, err
		}
		for i, o := range orders {
			q.Before = o.ID
			if stage != "" && d.stage(o) != stage {
				continue
			}
			row, err := t.orderRow(o, d)
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
