package studio

import (
	"solander/fault"
	"solander/order"
)

// Line reads an order by one of its lines.
func (t *Turn) Line(id int64) (order.Order, order.Line, error) {
	o, err := t.Tx.OrderByLine(id)
	if err != nil {
		return o, order.Line{}, err
	}
	for _, l := range o.Lines {
		if l.ID == id {
			return o, l, nil
		}
	}
	return o, order.Line{}, fault.New(fault.Missing, "there is no line %d", id).At("%s", o.Mark)
}
