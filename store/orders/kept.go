package orders

import (
	"slices"
	"sync"

	"solander/order"
	"solander/store/table"
)

// Kept are the open orders as they stood at a version of the store. Every page begins with them, and most pages find them as the one
// before did. It is safe for concurrent use.
type Kept struct {
	mu      sync.Mutex
	version string // "" = nothing is kept
	orders  []order.Order
}

// mostKept bounds the orders that are kept.
const mostKept = 5000

// at returns the orders that were kept at a version.
func (k *Kept) at(version string) ([]order.Order, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if version == "" || k.version != version {
		return nil, false
	}
	return k.orders, true
}

// keep keeps orders, which nobody changes from now on.
func (k *Kept) keep(version string, orders []order.Order) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.version, k.orders = version, orders
}

// OpenOrders returns all open orders whole, the earliest promise first; those without one last. A transaction that reads takes them
// as they were read last while nothing was written since.
func (t *OrderRows) OpenOrders() ([]order.Order, error) {
	if t.kept == nil || t.conn.MayWrite() == nil || t.conn.Dialect.Version == "" {
		return t.openOrders()
	}
	version, err := table.Values[string](t.conn, t.conn.Dialect.Version)
	if err != nil {
		return nil, err
	}
	if len(version) != 1 {
		return t.openOrders()
	}
	if kept, ok := t.kept.at(version[0]); ok {
		return apart(kept), nil
	}
	out, err := t.openOrders()
	if err == nil && len(out) <= mostKept {
		t.kept.keep(version[0], apart(out))
	}
	return out, err
}

// apart copies orders, so that what is done to the ones changes nothing of the others.
func apart(orders []order.Order) []order.Order {
	out := slices.Clone(orders)
	for i := range out {
		o := &out[i]
		o.Lines, o.Payments, o.Override, o.Choice = slices.Clone(o.Lines), slices.Clone(o.Payments), copied(o.Override), copied(o.Choice)
	}
	return out
}
