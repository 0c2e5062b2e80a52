package storetest

import (
	"context"
	"errors"
	"sync"
	"testing"

	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
	"solander/supply"
)

var errStop = errors.New("stop")

// nothingOf checks that nothing of everything is there.
func nothingOf(t *testing.T, s studio.Store, ed int64) {
	t.Helper()
	bed.Read(t, s, func(tx studio.Tx) error {
		eds, err1 := tx.Editions()
		orders, err2 := tx.Orders(studio.OrderQuery{})
		entries, err3 := tx.Entries(0, 10)
		onHand, err4 := tx.OnHand()
		marks, err5 := tx.RecentMarks(0)
		parcels, err6 := tx.OpenParcels()
		lowest, err7 := tx.Lowest(ed, edition.Numbered)
		fed, err8 := tx.Feeds()
		arrivals, err9 := tx.Arrivals()
		intakes, err10 := tx.Intakes(0)
		mappings, err11 := tx.Mappings()
		bed.Same(t, "what is there", []int{1, 0, 0, 0, 0, 0, 1, 0, 0}, []int{
			len(eds), len(orders), len(entries), len(onHand), len(marks), len(parcels), lowest.N, len(fed), len(arrivals) + len(intakes) + len(mappings),
		})
		return errors.Join(err1, err2, err3, err4, err5, err6, err7, err8, err9, err10, err11)
	})
	bed.Same(t, "found", []string{}, bed.Found(t, s, "heron"))
}

func failedLeavesNothing(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 3)
	err := s.Write(t.Context(), func(tx studio.Tx) error {
		if err := bed.Everything(tx, h, ed); err != nil {
			return err
		}
		return errStop
	})
	if !errors.Is(err, errStop) {
		t.Errorf("got %v, want the function's own error", err)
	}
	nothingOf(t, s, ed)
	bed.Write(t, s, func(tx studio.Tx) error { return bed.Everything(tx, h, ed) })
}

// A use case that goes on after the database refused a statement has its write refused whole.
func swallowedFailure(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 3)
	err := s.Write(t.Context(), func(tx studio.Tx) error {
		if err := bed.Everything(tx, h, ed); err != nil {
			return err
		}
		if _, err := tx.AddLine(order.Line{Order: 999, Edition: ed}); !fault.Is(err, fault.Missing) {
			t.Errorf("got %v", err)
		}
		return nil
	})
	if err == nil {
		t.Error("the write was kept")
	}
	nothingOf(t, s, ed)
}

func panicLeavesNothing(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 3)
	func() {
		defer func() {
			if recover() != errStop {
				t.Error("the panic did not come through")
			}
		}()
		_ = s.Write(t.Context(), func(tx studio.Tx) error {
			if err := bed.Everything(tx, h, ed); err != nil {
				t.Error(err)
			}
			panic(errStop)
		})
	}()
	nothingOf(t, s, ed)
	bed.Write(t, s, func(tx studio.Tx) error { return bed.Everything(tx, h, ed) })
}

func readOnly(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 3)
	for what, f := range map[string]func(studio.Tx) error{
		"SaveBuyer": func(tx studio.Tx) error { _, err := tx.SaveBuyer(order.Buyer{Name: "x"}); return err },
		"Take":      func(tx studio.Tx) error { _, err := h.Take(tx, ed); return err },
		"Append":    func(tx studio.Tx) error { _, err := bed.Step(tx, ed, bed.Num(1), edition.Keep, 0, ""); return err },
		"settings":  func(tx studio.Tx) error { return tx.SaveSettings(studio.Settings{}) },
		"works":     func(tx studio.Tx) error { _, err := tx.SaveWork(edition.Work{ID: h.Work, Title: "x"}); return err },
	} {
		if err := s.Read(t.Context(), f); err == nil {
			t.Errorf("%s wrote inside a read", what)
		}
	}
	nothingOf(t, s, ed)
}

func readSeesOneState(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 3)
	bed.Read(t, s, func(tx studio.Tx) error {
		before, err := tx.Lowest(ed, edition.Numbered)
		if err != nil {
			return err
		}
		bed.Write(t, s, func(tx studio.Tx) error { return bed.Everything(tx, h, ed) })
		after, err := tx.Lowest(ed, edition.Numbered)
		bed.Same(t, "lowest", before, after)
		orders, err2 := tx.Orders(studio.OrderQuery{})
		bed.Same(t, "orders", 0, len(orders))
		return errors.Join(err, err2)
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		n, err := tx.Lowest(ed, edition.Numbered)
		bed.Same(t, "a new read sees the write", bed.Num(2), n)
		return err
	})
}

func twoWriters(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 100)
	const each = 20
	var wg sync.WaitGroup
	for w := range 2 {
		wg.Go(func() {
			for range each {
				err := s.Write(t.Context(), func(tx studio.Tx) error {
					b, err := tx.Buyer(h.Buyer)
					if err != nil {
						return err
					}
					b.Note += "x" // lost when two writers read the same note
					if _, err := tx.SaveBuyer(b); err != nil {
						return err
					}
					return tx.AddMove(supply.Move{Kind: supply.Sheets, Of: ed, Delta: 1 + w, Day: bed.Today})
				})
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	bed.Read(t, s, func(tx studio.Tx) error {
		b, err := tx.Buyer(h.Buyer)
		if err != nil {
			return err
		}
		bed.Same(t, "notes", 2*each, len(b.Note))
		onHand, err := tx.OnHand()
		bed.Same(t, "sheets", each+2*each, onHand[ed])
		return err
	})
}

func contextEnds(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 3)
	ctx, cancel := context.WithCancel(t.Context())
	err := s.Write(ctx, func(tx studio.Tx) error {
		if err := bed.Everything(tx, h, ed); err != nil {
			return err
		}
		cancel()
		if _, err := tx.AddHandOver(studio.HandOver{Day: bed.Today}); err == nil {
			t.Error("it went on writing")
		}
		if _, err := tx.OpenOrders(); err == nil {
			t.Error("it went on reading")
		}
		return nil
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want that it was cancelled", err)
	}
	nothingOf(t, s, ed)
	if err := s.Read(ctx, func(studio.Tx) error { return nil }); !errors.Is(err, context.Canceled) {
		t.Errorf("a read with an ended context: %v", err)
	}
	bed.Write(t, s, func(tx studio.Tx) error { return bed.Everything(tx, h, ed) })
}

func closedSaysSo(t *testing.T, s studio.Store) {
	for range 2 {
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
	for _, err := range []error{
		s.Write(t.Context(), func(studio.Tx) error { return nil }),
		s.Read(t.Context(), func(studio.Tx) error { return nil }),
	} {
		if !fault.Is(err, fault.Refused) {
			t.Errorf("got %v", err)
		}
	}
}
