package studio

import (
	"context"
	"sync/atomic"

	"solander/fault"
)

// Look runs f with the studio as it stands: whatever use case f calls on it reads one consistent state, in one transaction,
// and its settings once. It is not for several goroutines, nothing is written on it, and it is of no use after f.
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

// settledTx is a transaction that reads the settings once.
type settledTx struct {
	Tx
	set  Settings
	read bool
}

func (t *settledTx) Settings() (Settings, error) {
	if t.read {
		return t.set, nil
	}
	set, err := t.Tx.Settings()
	t.set, t.read = set, err == nil
	return set, err
}

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
