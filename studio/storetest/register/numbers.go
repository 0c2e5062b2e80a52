package register

import (
	"context"
	"sync"
	"testing"

	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

func lifeOfNumber(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	o := bed.Add(t, s, h.Sale(ed))
	line := o.Lines[0].ID
	ap := edition.Number{Kind: edition.AP, N: 2}
	steps := []edition.Step{
		edition.Promise, edition.Sign, edition.Send, edition.Return, edition.Keep, edition.Spoil, edition.Restrike, edition.Withdraw,
	}
	for i, st := range steps {
		for j, n := range []edition.Number{bed.Num(3), ap} {
			of := line
			if j == 1 { // a line of its own: a line holds one number
				if of = 0; st == edition.Promise {
					of = bed.Add(t, s, h.Sale(ed)).Lines[0].ID
				}
			}
			e := bed.Stepped(t, s, ed, n, st, of, o.Mark)
			bed.Same(t, "seq", int64(2*i+j+1), e.Seq)
			bed.Same(t, "turn", i+1, e.Turn)
		}
	}
	bed.Read(t, s, func(tx studio.Tx) error {
		history, err := tx.History(ed, bed.Num(3))
		if err != nil {
			return err
		}
		bed.Same(t, "length", len(steps), len(history))
		for i, e := range history {
			bed.Same(t, "step", steps[i], e.Step)
			bed.Same(t, "who, note, order, day", []any{"Ines", "a reason", o.Mark, bed.Today}, []any{e.Who, e.Note, e.Order, e.Day})
		}
		if err := edition.Verify(history); err != nil {
			t.Errorf("the history does not verify: %v", err)
		}
		standing, err := tx.Standing(ed, bed.Num(3))
		bed.Same(t, "standing", history[len(history)-1].After, standing)
		bed.Same(t, "state", edition.Withdrawn, standing.State)
		return err
	})
}

func promisedOnce(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	o := bed.Add(t, s, h.Sale(ed, ed))
	bed.Stepped(t, s, ed, bed.Num(4), edition.Promise, o.Lines[0].ID, o.Mark)
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := bed.Step(tx, ed, bed.Num(4), edition.Promise, o.Lines[1].ID, o.Mark)
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		history, err := tx.History(ed, bed.Num(4))
		bed.Same(t, "entries", 1, len(history))
		return err
	})
}

// An entry that was made from what somebody saw earlier is refused when the number has moved on.
func oldStanding(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	o := bed.Add(t, s, h.Sale(ed, ed))
	after, err := edition.FreshStanding().After(edition.Promise, o.Lines[1].ID, "")
	if err != nil {
		t.Fatal(err)
	}
	bed.Stepped(t, s, ed, bed.Num(1), edition.Promise, o.Lines[0].ID, o.Mark)
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := tx.Append(edition.Entry{Edition: ed, Number: bed.Num(1), Turn: after.Turn, Step: edition.Promise, After: after, Day: bed.Today})
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		standing, err := tx.Standing(ed, bed.Num(1))
		bed.Same(t, "holder", o.Lines[0].ID, standing.Line)
		return err
	})
}

func madeUpStanding(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	for _, e := range []edition.Entry{
		{Step: edition.Send, After: edition.Standing{State: edition.Sent, Signed: true, Turn: 1}},
		{Step: edition.Sign, After: edition.Standing{State: edition.Sent, Signed: true, Turn: 1}},
		{Step: edition.Correct, After: edition.Standing{State: edition.Signed, Turn: 1}},
	} {
		e.Edition, e.Number, e.Turn, e.Day = ed, bed.Num(2), 1, bed.Today
		bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error { _, err := tx.Append(e); return err })
	}
	bed.Read(t, s, func(tx studio.Tx) error {
		entries, err := tx.Entries(0, 10)
		bed.Same(t, "entries", 0, len(entries))
		return err
	})
}

func lineHoldsOne(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	o := bed.Add(t, s, h.Sale(ed))
	bed.Stepped(t, s, ed, bed.Num(1), edition.Promise, o.Lines[0].ID, o.Mark)
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := bed.Step(tx, ed, bed.Num(2), edition.Promise, o.Lines[0].ID, o.Mark)
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := bed.Step(tx, ed, bed.Num(2), edition.Promise, 999, o.Mark)
		return err
	})
}

func lineOfOtherEdition(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed, other := h.Declare(t, s, 5), h.Declare(t, s, 5)
	o := bed.Add(t, s, h.Sale(ed))
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error {
		_, err := bed.Step(tx, other, bed.Num(1), edition.Promise, o.Lines[0].ID, o.Mark)
		return err
	})
}

func correction(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	o := bed.Add(t, s, h.Sale(ed))
	bed.Stepped(t, s, ed, bed.Num(1), edition.Promise, o.Lines[0].ID, o.Mark)
	bed.Stepped(t, s, ed, bed.Num(1), edition.Sign, o.Lines[0].ID, o.Mark)
	bed.Write(t, s, func(tx studio.Tx) error {
		history, err := tx.History(ed, bed.Num(1))
		if err != nil {
			return err
		}
		after, err := edition.Corrected(history)
		if err != nil {
			return err
		}
		_, err = tx.Append(edition.Entry{Edition: ed, Number: bed.Num(1), Turn: after.Turn, Step: edition.Correct, After: after, Day: bed.Today.Add(1), Undoes: 2})
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		history, err := tx.History(ed, bed.Num(1))
		if err != nil {
			return err
		}
		bed.Same(t, "undoes", 2, history[2].Undoes)
		bed.Same(t, "after", edition.Standing{State: edition.Promised, Line: o.Lines[0].ID, Turn: 3}, history[2].After)
		if err := edition.Verify(history); err != nil {
			t.Error(err)
		}
		counts, err := tx.Counts()
		bed.Same(t, "counts", map[edition.State]int{edition.Free: 6, edition.Promised: 1}, counts[ed])
		return err
	})
}

func lowestPasses(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 6)
	o := bed.Add(t, s, h.Sale(ed, ed))
	lowest := func() (n edition.Number) {
		t.Helper()
		bed.Read(t, s, func(tx studio.Tx) (err error) { n, err = tx.Lowest(ed, edition.Numbered); return err })
		return n
	}
	bed.Stepped(t, s, ed, bed.Num(1), edition.Promise, o.Lines[0].ID, o.Mark)
	bed.Stepped(t, s, ed, bed.Num(2), edition.Spoil, 0, "")
	bed.Stepped(t, s, ed, bed.Num(3), edition.Keep, 0, "")
	bed.Same(t, "held, spoilt and kept are passed over", bed.Num(4), lowest())
	bed.Stepped(t, s, ed, bed.Num(4), edition.Sign, 0, "")
	bed.Same(t, "a signed one in the drawer may be had", bed.Num(4), lowest())
	bed.Stepped(t, s, ed, bed.Num(4), edition.Promise, o.Lines[1].ID, o.Mark)
	bed.Same(t, "now it is held", bed.Num(5), lowest())
	bed.Stepped(t, s, ed, bed.Num(4), edition.Send, 0, o.Mark)
	bed.Stepped(t, s, ed, bed.Num(4), edition.Return, 0, o.Mark)
	bed.Same(t, "a returned one is looked at first", bed.Num(5), lowest())
	bed.Stepped(t, s, ed, bed.Num(1), edition.Release, 0, o.Mark)
	bed.Same(t, "a released one may be had", bed.Num(1), lowest())
	bed.Stepped(t, s, ed, bed.Num(2), edition.Restrike, 0, "")
	bed.Stepped(t, s, ed, bed.Num(1), edition.Withdraw, 0, "")
	bed.Same(t, "a struck one may be had", bed.Num(2), lowest())
	for _, n := range []int{2, 5, 6} {
		bed.Stepped(t, s, ed, bed.Num(n), edition.Keep, 0, "")
	}
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error { _, err := tx.Lowest(ed, edition.Numbered); return err })
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error { _, err := tx.Lowest(ed, edition.HC); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Lowest(999, edition.Numbered); return err })
	bed.Read(t, s, func(tx studio.Tx) error {
		n, err := tx.Lowest(ed, edition.AP)
		bed.Same(t, "proof", edition.Number{Kind: edition.AP, N: 1}, n)
		return err
	})
}

func lowestCommon(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	a, b, c := h.Declare(t, s, 5), h.Declare(t, s, 4), h.Declare(t, s, 3)
	bed.Stepped(t, s, a, bed.Num(1), edition.Keep, 0, "")
	bed.Stepped(t, s, b, bed.Num(2), edition.Keep, 0, "")
	common := func(eds ...int64) (n edition.Number) {
		t.Helper()
		bed.Read(t, s, func(tx studio.Tx) (err error) { n, err = tx.LowestCommon(eds); return err })
		return n
	}
	bed.Same(t, "of all three", bed.Num(3), common(a, b, c))
	bed.Same(t, "of two", bed.Num(2), common(a, c))
	bed.Same(t, "of one", bed.Num(1), common(c))
	bed.Same(t, "named twice", bed.Num(2), common(a, a))
	bed.Stepped(t, s, c, bed.Num(3), edition.Keep, 0, "")
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error { _, err := tx.LowestCommon([]int64{a, b, c}); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.LowestCommon([]int64{a, 999}); return err })
	bed.Refused(t, s, fault.Invalid, func(tx studio.Tx) error { _, err := tx.LowestCommon(nil); return err })
}

func countsFollow(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed, other := h.Declare(t, s, 6), h.Declare(t, s, 2)
	o := bed.Add(t, s, h.Sale(ed, ed, ed))
	check := func(sold, unsold int, want map[edition.State]int) {
		t.Helper()
		bed.Read(t, s, func(tx studio.Tx) error {
			counts, err := tx.Counts()
			if err != nil {
				return err
			}
			bed.Same(t, "counts", want, counts[ed])
			bed.Same(t, "the other edition's", map[edition.State]int{edition.Free: 4}, counts[other])
			n, err := tx.Sold(ed)
			bed.Same(t, "sold", sold, n)
			if err != nil {
				return err
			}
			n, err = tx.Unsold(ed)
			bed.Same(t, "unsold", unsold, n)
			return err
		})
	}
	check(0, 6, map[edition.State]int{edition.Free: 8})
	bed.Stepped(t, s, ed, bed.Num(1), edition.Promise, o.Lines[0].ID, o.Mark)
	bed.Write(t, s, func(tx studio.Tx) error { // the transaction that moves a number counts it at once
		if _, err := bed.Step(tx, ed, bed.Num(2), edition.Promise, o.Lines[1].ID, o.Mark); err != nil {
			return err
		}
		n, err := tx.Sold(ed)
		bed.Same(t, "sold at once", 2, n)
		if err != nil {
			return err
		}
		counts, err := tx.Counts()
		bed.Same(t, "counts at once", map[edition.State]int{edition.Free: 6, edition.Promised: 2}, counts[ed])
		return err
	})
	bed.Stepped(t, s, ed, edition.Number{Kind: edition.AP, N: 1}, edition.Promise, o.Lines[2].ID, o.Mark)
	check(2, 4, map[edition.State]int{edition.Free: 5, edition.Promised: 3})
	bed.Stepped(t, s, ed, bed.Num(1), edition.Sign, 0, "")
	bed.Stepped(t, s, ed, bed.Num(3), edition.Sign, 0, "")
	check(2, 4, map[edition.State]int{edition.Free: 4, edition.Promised: 2, edition.Signed: 2})
	bed.Stepped(t, s, ed, bed.Num(1), edition.Send, 0, o.Mark)
	bed.Stepped(t, s, ed, bed.Num(2), edition.Release, 0, o.Mark)
	check(1, 5, map[edition.State]int{edition.Free: 5, edition.Promised: 1, edition.Signed: 1, edition.Sent: 1})
	bed.Stepped(t, s, ed, bed.Num(1), edition.Return, 0, o.Mark)
	check(0, 5, map[edition.State]int{edition.Free: 5, edition.Promised: 1, edition.Signed: 1, edition.Returned: 1})
	bed.Stepped(t, s, ed, bed.Num(4), edition.Keep, 0, "")
	bed.Stepped(t, s, ed, bed.Num(5), edition.Withdraw, 0, "")
	bed.Stepped(t, s, ed, edition.Number{Kind: edition.AP, N: 2}, edition.Keep, 0, "") // a proof is no number to sell
	check(0, 3, map[edition.State]int{edition.Free: 2, edition.Promised: 1, edition.Signed: 1, edition.Returned: 1, edition.Kept: 2, edition.Withdrawn: 1})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Sold(999); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Unsold(999); return err })
}

func openSold(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 0)
	sold := func(want int) {
		t.Helper()
		bed.Read(t, s, func(tx studio.Tx) error {
			n, err := tx.Sold(ed)
			bed.Same(t, "sold", want, n)
			return err
		})
	}
	sold(0)
	o := bed.Add(t, s, h.Sale(ed, ed, ed))
	p := bed.Add(t, s, h.Sale(ed))
	sold(4)
	o.Lines[1].Dropped = true
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveLine(o.Lines[1]) })
	sold(3)
	p.State = order.Cancelled
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveOrder(p) })
	sold(2)
}

func numbersShow(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 3)
	o := bed.Add(t, s, h.Sale(ed, ed))
	bed.Stepped(t, s, ed, bed.Num(2), edition.Promise, o.Lines[0].ID, o.Mark)
	bed.Stepped(t, s, ed, bed.Num(3), edition.Promise, o.Lines[1].ID, o.Mark)
	bed.Stepped(t, s, ed, bed.Num(3), edition.Send, 0, o.Mark)
	bed.Stepped(t, s, ed, bed.Num(3), edition.Return, 0, o.Mark)
	bed.Read(t, s, func(tx studio.Tx) error {
		rows, err := tx.Numbers(ed)
		if err != nil {
			return err
		}
		bed.Same(t, "free", studio.NumberRow{Number: bed.Num(1), Standing: edition.FreshStanding()}, rows[0])
		bed.Same(t, "held", studio.NumberRow{
			Number: bed.Num(2), Standing: edition.Standing{State: edition.Promised, Line: o.Lines[0].ID, Turn: 1},
			Order: o.ID, OrderMark: o.Mark, Buyer: "Mara Lindqvist", Day: bed.Today,
		}, rows[1])
		bed.Same(t, "returned", studio.NumberRow{
			Number: bed.Num(3), Standing: edition.Standing{State: edition.Returned, Turn: 3},
			Order: o.ID, OrderMark: o.Mark, Buyer: "Mara Lindqvist", Day: bed.Today,
		}, rows[2])
		return nil
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Numbers(999); return err })
}

func entriesInOrder(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 9)
	for n := 9; n >= 1; n-- {
		bed.Stepped(t, s, ed, bed.Num(n), edition.Keep, 0, "")
	}
	bed.Read(t, s, func(tx studio.Tx) error {
		var got []int
		after := int64(0)
		for {
			part, err := tx.Entries(after, 4)
			if err != nil {
				return err
			}
			if len(part) == 0 {
				break
			}
			for _, e := range part {
				bed.Same(t, "seq has no gap", after+1, e.Seq)
				after = e.Seq
				got = append(got, e.Number.N)
			}
		}
		bed.Same(t, "numbers", []int{9, 8, 7, 6, 5, 4, 3, 2, 1}, got)
		return nil
	})
}

// Sixty-four takers want one of fifty numbers at once: each is taken once, fourteen are refused.
func takers(t *testing.T, s studio.Store) {
	const many, limit = 64, 50
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, limit)
	got := make([]edition.Entry, many)
	errs := make([]error, many)
	var ready, all sync.WaitGroup
	ready.Add(many)
	for i := range many {
		all.Go(func() {
			ready.Done()
			ready.Wait()
			errs[i] = s.Write(context.Background(), func(tx studio.Tx) (err error) {
				got[i], err = h.Take(tx, ed)
				return err
			})
		})
	}
	all.Wait()
	holders := make(map[edition.Number]int64)
	none := 0
	for i := range many {
		switch {
		case errs[i] == nil:
			if other, taken := holders[got[i].Number]; taken {
				t.Errorf("number %s went to lines %d and %d", got[i].Number, other, got[i].After.Line)
			}
			holders[got[i].Number] = got[i].After.Line
		case fault.Is(errs[i], fault.Refused):
			none++
		default:
			t.Errorf("taker %d: %v", i, errs[i])
		}
	}
	bed.Same(t, "taken and refused", []int{limit, many - limit}, []int{len(holders), none})
	bed.Read(t, s, func(tx studio.Tx) error {
		entries, err := tx.Entries(0, 1000)
		bed.Same(t, "entries", limit, len(entries))
		open, err2 := tx.OpenOrders()
		bed.Same(t, "orders", limit, len(open))
		for _, o := range open {
			bed.Same(t, "the line's number", o.Lines[0].ID, holders[o.Lines[0].Number])
		}
		if err == nil {
			err = err2
		}
		return err
	})
}
