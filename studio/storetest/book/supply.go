package book

import (
	"testing"
	"time"

	"solander/fault"
	"solander/packing"
	"solander/studio"
	"solander/studio/storetest/bed"
	"solander/supply"
)

func runsKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 50)
	var want []supply.Run
	for i := range 3 {
		r := supply.Run{Edition: ed, Lab: "Quay lab", Ordered: bed.Today.Add(i), Expected: bed.Today.Add(9), Quantity: 10, UnitCost: bed.USD(1_450), Note: "matt"}
		bed.Write(t, s, func(tx studio.Tx) (err error) { r.ID, err = tx.AddRun(r); return err })
		want = append([]supply.Run{r}, want...)
	}
	receive := func(run *supply.Run, x supply.Receipt) {
		t.Helper()
		x.Run, x.Day = run.ID, bed.Today.Add(8)
		bed.Write(t, s, func(tx studio.Tx) (err error) { x.ID, err = tx.AddReceipt(x); return err })
		run.Receipts = append(run.Receipts, x)
	}
	receive(&want[1], supply.Receipt{Good: 4, Rejected: 1, Note: "a dent"})
	receive(&want[0], supply.Receipt{Good: 9})
	receive(&want[1], supply.Receipt{Good: 5})
	receive(&want[1], supply.Receipt{Good: -4, Rejected: -1})
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error {
		_, err := tx.AddReceipt(supply.Receipt{Run: want[1].ID, Good: -6})
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.CloseRun(want[0].ID) })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.CloseRun(want[2].ID) })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.ReopenRun(want[2].ID) })
	want[0].Closed = true
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Runs(false)
		if err != nil {
			return err
		}
		bed.Same(t, "all, newest first", want, all)
		open, err := tx.Runs(true)
		if err != nil {
			return err
		}
		bed.Same(t, "open", want[1:], open)
		one, err := tx.Run(want[1].ID)
		bed.Same(t, "one", want[1], one)
		return err
	})
}

func stockSums(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	a, b := h.Declare(t, s, 50), h.Declare(t, s, 50)
	at := time.Date(2031, 3, 1, 9, 0, 0, 0, time.UTC)
	move := func(of int64, delta int) func(studio.Tx) error {
		return func(tx studio.Tx) error {
			return tx.AddMove(supply.Move{Kind: supply.Sheets, Of: of, Delta: delta, Reason: "counted", Day: bed.Today, At: at, Who: "Ines"})
		}
	}
	bed.Write(t, s, move(a, 5))
	bed.Write(t, s, move(b, 2))
	bed.Write(t, s, move(a, -3))
	bed.Refused(t, s, fault.Refused, move(a, -3))
	bed.Write(t, s, move(a, -2))
	bed.Refused(t, s, fault.Refused, move(a, -1))
	bed.Refused(t, s, fault.Missing, move(999, 1))
	bed.Refused(t, s, fault.Invalid, func(tx studio.Tx) error { return tx.AddMove(supply.Move{Kind: "ink", Of: a, Delta: 1}) })
	// A move that is refused leaves the sum alone even when the use case goes on.
	bed.Write(t, s, func(tx studio.Tx) error {
		if err := tx.AddMove(supply.Move{Kind: supply.Sheets, Of: b, Delta: -3}); !fault.Is(err, fault.Refused) {
			t.Errorf("got %v", err)
		}
		return nil
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		have, err := tx.OnHand()
		if err != nil {
			return err
		}
		bed.Same(t, "on hand", map[int64]int{a: 0, b: 2}, have)
		moves, err := tx.Moves(supply.Sheets, a, 2)
		if err != nil {
			return err
		}
		bed.Same(t, "moves, newest first", []int{-2, -3}, []int{moves[0].Delta, moves[1].Delta})
		want := supply.Move{ID: moves[0].ID, Kind: supply.Sheets, Of: a, Delta: -2, Reason: "counted", Day: bed.Today, At: at, Who: "Ines"}
		bed.Same(t, "move", want, moves[0])
		return nil
	})
}

func shelfKept(t *testing.T, s studio.Store) {
	item := func(key, name string, kind packing.Kind) studio.ShelfItem {
		return studio.ShelfItem{Spec: packing.Item{ID: key, Name: name, Kind: kind, Cost: 85, Mass: 3_000}, ReorderAt: 5, Pack: 25}
	}
	carton, tube, board, small := item("c1", "Carton", packing.Carton), item("t1", "tube 18 in", packing.Tube), item("b2", "Board", packing.Board), item("b1", "board, small", packing.Board)
	for _, i := range []*studio.ShelfItem{&carton, &small, &tube, &board} {
		bed.Write(t, s, func(tx studio.Tx) (err error) { i.ID, err = tx.SaveShelfItem(*i); return err })
	}
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { _, err := tx.SaveShelfItem(item("t1", "other", packing.Tube)); return err })
	bed.Write(t, s, func(tx studio.Tx) error {
		return tx.AddMove(supply.Move{Kind: supply.Packaging, Of: tube.ID, Delta: 30, Day: bed.Today})
	})
	tube.Coming, tube.Expected = 25, bed.Today.Add(4)
	tube.Retired, tube.Stock = true, 7_000 // the stock is told by its moves
	bed.Write(t, s, func(tx studio.Tx) error { _, err := tx.SaveShelfItem(tube); return err })
	tube.Stock = 30
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Shelf()
		if err != nil {
			return err
		}
		bed.Same(t, "by kind and name", []studio.ShelfItem{board, small, tube, carton}, all)
		one, err := tx.ShelfItem(tube.ID)
		bed.Same(t, "one", tube, one)
		return err
	})
}
