package register

import (
	"testing"

	"solander/calendar"
	"solander/edition"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// mixed is an edition of twelve of which a number stands in every state there is; 7 to 9 and 12 are free.
func mixed(t *testing.T, s studio.Store) (ed int64, o order.Order) {
	t.Helper()
	h := bed.Furnished(t, s)
	ed = h.Declare(t, s, 12)
	o = bed.Add(t, s, h.Sale(ed, ed, ed, ed))
	held := func(line, n int) { bed.Stepped(t, s, ed, bed.Num(n), edition.Promise, o.Lines[line].ID, o.Mark) }
	held(0, 1) // promised
	held(1, 2)
	bed.Stepped(t, s, ed, bed.Num(2), edition.Sign, 0, o.Mark) // signed, and sold
	held(2, 3)
	bed.Stepped(t, s, ed, bed.Num(3), edition.Send, 0, o.Mark)
	held(3, 4)
	bed.Stepped(t, s, ed, bed.Num(4), edition.Send, 0, o.Mark)
	bed.Stepped(t, s, ed, bed.Num(4), edition.Return, 0, o.Mark)
	bed.Stepped(t, s, ed, bed.Num(5), edition.Sign, 0, "") // signed ahead
	bed.Stepped(t, s, ed, bed.Num(6), edition.Spoil, 0, "")
	bed.Stepped(t, s, ed, bed.Num(10), edition.Keep, 0, "")
	bed.Stepped(t, s, ed, bed.Num(11), edition.Withdraw, 0, "")
	bed.Stepped(t, s, ed, edition.Number{Kind: edition.AP, N: 2}, edition.Keep, 0, "")
	return ed, o
}

func lotsAddUp(t *testing.T, s studio.Store) {
	ed, _ := mixed(t, s)
	bed.Read(t, s, func(tx studio.Tx) error {
		lots, err := tx.NumberLots(ed)
		if err != nil {
			return err
		}
		bed.Same(t, "lots", map[edition.Kind]map[edition.Lot]int{
			edition.Numbered: {edition.Sold: 3, edition.Unsold: 5, edition.OutOfSale: 4},
			edition.AP:       {edition.Sold: 0, edition.Unsold: 1, edition.OutOfSale: 1},
		}, lots)
		// The lot that the store tells of each number is the one of the rule.
		rows, err := tx.Numbers(ed)
		if err != nil {
			return err
		}
		by := map[edition.Kind]map[edition.Lot]int{edition.Numbered: {}, edition.AP: {edition.Sold: 0}}
		for _, r := range rows {
			by[r.Number.Kind][r.Standing.Lot()]++
		}
		bed.Same(t, "by the rule", by, lots)
		sold, err := tx.Sold(ed)
		bed.Same(t, "sold", 3, sold)
		return err
	})
}

func numbersAsked(t *testing.T, s studio.Store) {
	ed, o := mixed(t, s)
	bed.Read(t, s, func(tx studio.Tx) error {
		asked := func(q studio.NumberQuery, want ...int) {
			t.Helper()
			q.Edition = ed
			if q.Kind == "" {
				q.Kind = edition.Numbered
			}
			rows, err := tx.NumbersIn(q)
			if err != nil {
				t.Fatal(err)
			}
			var got []int
			for _, r := range rows {
				bed.Same(t, "kind", q.Kind, r.Number.Kind)
				got = append(got, r.Number.N)
			}
			bed.Same(t, "numbers", want, got)
			var starts []int
			for i := 0; i < len(want); i += 2 {
				starts = append(starts, want[i])
			}
			parts, err := tx.NumberStarts(q, 2)
			if err != nil {
				t.Fatal(err)
			}
			bed.Same(t, "starts", starts, parts)
		}
		asked(studio.NumberQuery{}, 1, 2, 3, 4, 5, 6, 10, 11)
		asked(studio.NumberQuery{From: 3, To: 10}, 3, 4, 5, 6, 10)
		asked(studio.NumberQuery{From: 12})
		asked(studio.NumberQuery{State: edition.Signed}, 2, 5)
		asked(studio.NumberQuery{State: edition.Free}, 7, 8, 9, 12)
		asked(studio.NumberQuery{Lot: edition.Sold}, 1, 2, 3)
		asked(studio.NumberQuery{Lot: edition.Sold, From: 2, To: 2}, 2)
		asked(studio.NumberQuery{Lot: edition.Unsold}, 5, 7, 8, 9, 12)
		asked(studio.NumberQuery{Lot: edition.OutOfSale}, 4, 6, 10, 11)
		asked(studio.NumberQuery{Lot: edition.OutOfSale, State: edition.Kept}, 10)
		asked(studio.NumberQuery{Loose: true}, 4, 5) // come back, and signed ahead
		asked(studio.NumberQuery{Loose: true, From: 5}, 5)
		all, err := tx.Numbers(ed)
		if err != nil {
			return err
		}
		var loose []int
		for _, r := range all {
			if r.Standing.Loose() {
				loose = append(loose, r.Number.N)
			}
		}
		bed.Same(t, "loose by the rule", []int{4, 5}, loose)
		asked(studio.NumberQuery{Kind: edition.AP}, 2)
		asked(studio.NumberQuery{Kind: edition.PP})
		rows, err := tx.NumbersIn(studio.NumberQuery{Edition: ed, Kind: edition.Numbered, State: edition.Promised})
		if err != nil {
			return err
		}
		bed.Same(t, "with who has it", []studio.NumberRow{{
			Number: bed.Num(1), Standing: edition.Standing{State: edition.Promised, Line: o.Lines[0].ID, Turn: 1},
			Order: o.ID, OrderMark: o.Mark, Buyer: "Mara Lindqvist", Day: bed.Today,
		}}, rows)
		return nil
	})
}

func soldDays(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed, other := h.Declare(t, s, 12), h.Declare(t, s, 0)
	sale := func(ago int, minor int64, eds ...int64) order.Order {
		o := h.Sale(eds...)
		o.Placed = bed.Today.Add(-ago)
		for i := range o.Lines {
			o.Lines[i].Price = bed.USD(minor)
		}
		return bed.Add(t, s, o)
	}
	numbered := func(o order.Order, line int, n edition.Number) {
		t.Helper()
		o.Lines[line].Number = n
		bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveLine(o.Lines[line]) })
		bed.Stepped(t, s, ed, n, edition.Promise, o.Lines[line].ID, o.Mark)
	}
	same := func(what string, of int64, want ...studio.SoldDay) {
		t.Helper()
		bed.Read(t, s, func(tx studio.Tx) error {
			got, err := tx.SoldDays(of)
			bed.Same(t, what, want, got)
			if err == nil {
				byDay := map[calendar.Day]int{}
				for _, d := range want {
					byDay[d.Day] += d.Count
				}
				var all map[int64]map[calendar.Day]int
				all, err = tx.SoldByDay()
				if len(byDay) > 0 || all[of] != nil {
					bed.Same(t, what+", asked with all", byDay, all[of])
				}
			}
			return err
		})
	}
	day := func(ago int, minor int64, n int) studio.SoldDay {
		return studio.SoldDay{Day: bed.Today.Add(-ago), Price: bed.USD(minor), Count: n}
	}
	same("before the first", ed)
	dear, cheap := sale(3, 14_000, ed, ed, other), sale(3, 12_000, ed)
	old, proof := sale(400, 9_000, ed, ed), sale(1, 30_000, ed)
	numbered(dear, 0, bed.Num(4))
	numbered(proof, 0, edition.Number{Kind: edition.AP, N: 1})
	same("two prices on a day, the proof left out", ed, day(400, 9_000, 2), day(3, 12_000, 1), day(3, 14_000, 2))
	same("of an open edition", other, day(3, 14_000, 1))
	old.Lines[1].Dropped = true
	cheap.State = order.Cancelled
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveLine(old.Lines[1]) })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveOrder(cheap) })
	same("dropped and cancelled", ed, day(400, 9_000, 1), day(3, 14_000, 2))
	bed.Write(t, s, func(tx studio.Tx) error { return tx.CallOff([]int64{old.ID}, bed.Today) })
	same("called off", ed, day(3, 14_000, 2))
}
