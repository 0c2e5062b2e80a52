package studio

import (
	"context"
	"slices"
	"sync/atomic"

	"solander/fault"
	"solander/order"
)

// Look runs f with the studio as it stands: whatever use case f calls on it reads one consistent state, in one transaction,
// and what most of them begin with (settings, open orders, parcels in the house, the shelf) once. It is not for several goroutines, nothing is written on it, and it is of no use after f.
// Faults: f's own; Busy as Store.Read.
func (s *Studio) Look(ctx context.Context, f func(*Studio) error) error {
	return s.Store.Read(ctx, func(tx Tx) error {
		state := &state{Store: s.Store, tx: &settledTx{Tx: tx}}
		defer state.over.Store(true)
		look := *s
		look.Store = state
		return f(&look)
	})
}

// state is a store in one of its states: all that reads it reads in the same transaction.
type state struct {
	Store
	tx   Tx
	over atomic.Bool
}

func (s *state) Read(_ context.Context, f func(Tx) error) error {
	if s.over.Load() {
		return fault.New(fault.Internal, "a state of the studio was read after its end")
	}
	return f(s.tx)
}

func (s *state) Write(context.Context, func(Tx) error) error {
	return fault.New(fault.Internal, "nothing is written to a studio that is only looked at")
}

// settledTx is a transaction that reads once what every use case begins with: the use cases of a page ask for the same. Nobody
// changes what its answers point at.
type settledTx struct {
	Tx
	settings known[Settings]
	orders   known[[]order.Order]
	parcels  known[[]Parcel]
	shelf    known[[]ShelfItem]
}

func (t *settledTx) Settings() (Settings, error)        { return t.settings.or(t.Tx.Settings) }
func (t *settledTx) OpenOrders() ([]order.Order, error) { return clone(t.orders.or(t.Tx.OpenOrders)) }

func (t *settledTx) OpenParcels() ([]Parcel, error) { return clone(t.parcels.or(t.Tx.OpenParcels)) }
func (t *settledTx) Shelf() ([]ShelfItem, error)    { return clone(t.shelf.or(t.Tx.Shelf)) }

// known is what was read of a state.
type known[T any] struct {
	value T
	read  bool
}

func (k *known[T]) or(read func() (T, error)) (T, error) {
	if k.read {
		return k.value, nil
	}
	v, err := read()
	k.value, k.read = v, err == nil
	return v, err
}

func clone[T any](all []T, err error) ([]T, error) { return slices.Clone(all), err }

// Later is an answer that asks no store any more: what it follows from was read.
type Later[T any] func(context.Context) (T, error)

// Now answers at once, when what it follows from could be read.
func Now[T any](ctx context.Context, l Later[T], err error) (T, error) {
	if err != nil {
		var none T
		return none, err
	}
	return l(ctx)
}
