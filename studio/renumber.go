package studio

import (
	"solander/fault"
	"solander/order"
)

// Changeable reads a live line of an open order that is neither packed nor sent.
func (t *Turn) Changeable(line int64) (order.Order, order.Line, error) {
	o, l, err := t.Line(line)
	if err != nil {
		return o, l, err
	}
	if err := StillOpen(o); err != nil {
		return o, l, err
	}
	switch {
	case l.Dropped:
		err = fault.New(fault.Refused, "this print was taken out of the order").At("%s", o.Mark)
	case l.Sent:
		err = fault.New(fault.Refused, "this print was handed over").At("%s", o.Mark).ToMend("take it back first")
	case l.Parcel != 0:
		err = fault.New(fault.Refused, "this print is packed").At("%s", o.Mark).ToMend("undo the packing first")
	}
	return o, l, err
}
