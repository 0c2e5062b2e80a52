package orders

import (
	"maps"
	"slices"

	"solander/order"
	"solander/store/table"
)

// Kept are the open orders between transactions: every page begins with them.
type Kept = table.Kept[struct{}, order.Order]

// KeptBuyers are buyers who were asked for together, by their ids: the same page asks for the same ones.
type KeptBuyers = table.Kept[string, order.Buyer]

// OpenOrders returns all open orders whole, the earliest promise first; those without one last. A transaction that reads takes them
// as they were read last while nothing was written since.
func (t *OrderRows) OpenOrders() ([]order.Order, error) {
	return t.kept.Or(t.conn, struct{}{}, apart, t.openOrders)
}

// apart copies orders, so that what is done to the ones changes nothing of the others.
func apart(orders []order.Order) []order.Order {
	out := slices.Clone(orders)
	for i := range out {
		o := &out[i]
		o.Lines, o.Payments, o.Override, o.Choice = slices.Clone(o.Lines), slices.Clone(o.Payments), copied(o.Override), copied(o.Choice)
		if o.Wait = copied(o.Wait); o.Wait != nil {
			o.Wait.With, o.Wait.For, o.Wait.Keeps = slices.Clone(o.Wait.With), maps.Clone(o.Wait.For), maps.Clone(o.Wait.Keeps)
		}
	}
	return out
}
