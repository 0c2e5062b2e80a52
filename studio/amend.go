package studio

import (
	"solander/fault"
	"solander/order"
)

// StillOpen refuses what only an open order allows.
func StillOpen(o order.Order) error {
	if o.State == order.Open {
		return nil
	}
	return fault.New(fault.Refused, "the order is %s", o.State).At("%s", o.Mark).ToMend("see what was done with it in its journal")
}
