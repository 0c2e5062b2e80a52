package storetest

import (
	"context"
	"sync"
	"testing"

	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/studio"
)

// step makes a number take a step in a write of its own.
func step(t *testing.T, s studio.Store, ed int64, n edition.Number, st edition.Step, line int64, mark string) edition.Entry {
	t.Helper()
	var e edition.Entry
	write(t, s, func(tx studio.Tx) (err error) { e, err = Step(tx, ed, n, st, line, mark); return err })
	return e
}

func lifeOfNumber(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed := h.declare(t, s, 5)
	o := add(t, s, h.Sale(ed))
	line := o.Lines[0].ID
	ap := edition.Number{Kind: edition.AP, N: 2}
	steps := []edition.Step{
		edition.Promise, edition.Sign, edition.Send, edition.Return, edition.Keep, edition.Spoil, edition.Restrike, edition.Withdraw,
	}
	for i, st := range steps {
		for j, n := range []edition.Number{num(3), ap} {
			of := line
			if j == 1 { // a line of its own: a line holds one number
				if of = 0; st == edition.Promise {
					of = add(t, s, h.Sale(ed)).Lines[0].ID
				}
			}
			e := step(t, s, ed, n, st, of, o.Mark)
			same(t, "seq", int64(2*i+j+1), e.Seq)
			same(t, "turn", i+1, e.Turn)
		}
	}
	read(t, s, func(tx studio.Tx) error {
		history, err := tx.History(ed, num(3))
		if err != nil {
			return err
		}
		same(t, "length", len(steps), len(history))
		for i, e := range history {
			same(t, "step", steps[i], e.Step)
			same(t, "who, note, order, day", []any{"Ines", "a reason", o.Mark, today}, []any{e.Who, e.Note, e.Order, e.Day})
		}
		if err := edition.Verify(history); err != nil {
			t.Errorf("the history does not verify: %v", err)
		}
		standing, err := tx.Standing(ed, num(3))
		same(t, "standing", history[len(history)-1].After, standing)
		same(t, "state", edition.Withdrawn, standing.State)
		return err
	})
}

func promisedOnce(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed := h.declare(t, s, 5)
	o := add(t, s, h.Sale(ed, ed))
	step(t, s, ed, num(4), edition.Promise, o.Lines[0].ID, o.Mark)
	refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := Step(tx, ed, num(4), edition.Promise, o.Lines[1].ID, o.Mark)
		return err
	})
	read(t, s, func(tx studio.Tx) error {
		history, err := tx.History(ed, num(4))
		same(t, "entries", 1, len(history))
		return err
	})
}

// An entry that was made from what somebody saw earlier is refused when the number has moved on.
func oldStanding(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed := h.declare(t, s, 5)
	o := add(t, s, h.Sale(ed, ed))
	after, err := edition.FreshStanding().After(edition.Promise, o.Lines[1].ID, "")
	if err != nil {
		t.Fatal(err)
	}
	step(t, s, ed, num(1), edition.Promise, o.Lines[0].ID, o.Mark)
	refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := tx.Append(edition.Entry{Edition: ed, Number: num(1), Turn: after.Turn, Step: edition.Promise, After: after, Day: today})
		return err
	})
	read(t, s, func(tx studio.Tx) error {
		standing, err := tx.Standing(ed, num(1))
		same(t, "holder", o.Lines[0].ID, standing.Line)
		return err
	})
}

func madeUpStanding(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed := h.declare(t, s, 5)
	for _, e := range []edition.Entry{
		{Step: edition.Send, After: edition.Standing{State: edition.Sent, Signed: true, Turn: 1}},
		{Step: edition.Sign, After: edition.Standing{State: edition.Sent, Signed: true, Turn: 1}},
		{Step: edition.Correct, After: edition.Standing{State: edition.Signed, Turn: 1}},
	} {
		e.Edition, e.Number, e.Turn, e.Day = ed, num(2), 1, today
		refused(t, s, fault.Refused, func(tx studio.Tx) error { _, err := tx.Append(e); return err })
	}
	read(t, s, func(tx studio.Tx) error {
		entries, err := tx.Entries(0, 10)
		same(t, "entries", 0, len(entries))
		return err
	})
}

func lineHoldsOne(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed := h.declare(t, s, 5)
	o := add(t, s, h.Sale(ed))
	step(t, s, ed, num(1), edition.Promise, o.Lines[0].ID, o.Mark)
	refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := Step(tx, ed, num(2), edition.Promise, o.Lines[0].ID, o.Mark)
		return err
	})
	refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := Step(tx, ed, num(2), edition.Promise, 999, o.Mark)
		return err
	})
}

func lineOfOtherEdition(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed, other := h.declare(t, s, 5), h.declare(t, s, 5)
	o := add(t, s, h.Sale(ed))
	refused(t, s, fault.Refused, func(tx studio.Tx) error {
		_, err := Step(tx, other, num(1), edition.Promise, o.Lines[0].ID, o.Mark)
		return err
	})
}

func correction(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed := h.declare(t, s, 5)
	o := add(t, s, h.Sale(ed))
	step(t, s, ed, num(1), edition.Promise, o.Lines[0].ID, o.Mark)
	step(t, s, ed, num(1), edition.Sign, o.Lines[0].ID, o.Mark)
	write(t, s, func(tx studio.Tx) error {
		history, err := tx.History(ed, num(1))
		if err != nil {
			return err
		}
		after, err := edition.Corrected(history)
		if err != nil {
			return err
		}
		_, err = tx.Append(edition.Entry{Edition: ed, Number: num(1), Turn: after.Turn, Step: edition.Correct, After: after, Day: today.Add(1), Undoes: 2})
		return err
	})
	read(t, s, func(tx studio.Tx) error {
		history, err := tx.History(ed, num(1))
		if err != nil {
			return err
		}
		same(t, "undoes", 2, history[2].Undoes)
		same(t, "after", edition.Standing{State: edition.Promised, Line: o.Lines[0].ID, Turn: 3}, history[2].After)
		if err := edition.Verify(history); err != nil {
			t.Error(err)
		}
		counts, err := tx.Counts()
		same(t, "counts", map[edition.State]int{edition.Free: 6, edition.Promised: 1}, counts[ed])
		return err
	})
}

func lowestPasses(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed := h.declare(t, s, 6)
	o := add(t, s, h.Sale(ed, ed))
	lowest := func() (n edition.Number) {
		t.Helper()
		read(t, s, func(tx studio.Tx) (err error) { n, err = tx.Lowest(ed, edition.Numbered); return err })
		return n
	}
	step(t, s, ed, num(1), edition.Promise, o.Lines[0].ID, o.Mark)
	step(t, s, ed, num(2), edition.Spoil, 0, "")
	step(t, s, ed, num(3), edition.Keep, 0, "")
	same(t, "held, spoilt and kept are passed over", num(4), lowest())
	step(t, s, ed, num(4), edition.Sign, 0, "")
	same(t, "a signed one in the drawer may be had", num(4), lowest())
	step(t, s, ed, num(4), edition.Promise, o.Lines[1].ID, o.Mark)
	same(t, "now it is held", num(5), lowest())
	step(t, s, ed, num(4), edition.Send, 0, o.Mark)
	step(t, s, ed, num(4), edition.Return, 0, o.Mark)
	same(t, "a returned one is looked at first", num(5), lowest())
	step(t, s, ed, num(1), edition.Release, 0, o.Mark)
	same(t, "a released one may be had", num(1), lowest())
	step(t, s, ed, num(2), edition.Restrike, 0, "")
	step(t, s, ed, num(1), edition.Withdraw, 0, "")
	same(t, "a struck one may be had", num(2), lowest())
	for _, n := range []int{2, 5, 6} {
		step(t, s, ed, num(n), edition.Keep, 0, "")
	}
	refused(t, s, fault.Refused, func(tx studio.Tx) error { _, err := tx.Lowest(ed, edition.Numbered); return err })
	refused(t, s, fault.Refused, func(tx studio.Tx) error { _, err := tx.Lowest(ed, edition.HC); return err })
	refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Lowest(999, edition.Numbered); return err })
	read(t, s, func(tx studio.Tx) error {
		n, err := tx.Lowest(ed, edition.AP)
		same(t, "proof", edition.Number{Kind: edition.AP, N: 1}, n)
		return err
	})
}

func lowestCommon(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	a, b, c := h.declare(t, s, 5), h.declare(t, s, 4), h.declare(t, s, 3)
	step(t, s, a, num(1), edition.Keep, 0, "")
	step(t, s, b, num(2), edition.Keep, 0, "")
	common := func(eds ...int64) (n edition.Number) {
		t.Helper()
		read(t, s, func(tx studio.Tx) (err error) { n, err = tx.LowestCommon(eds); return err })
		return n
	}
	same(t, "of all three", num(3), common(a, b, c))
	same(t, "of two", num(2), common(a, c))
	same(t, "of one", num(1), common(c))
	same(t, "named twice", num(2), common(a, a))
	step(t, s, c, num(3), edition.Keep, 0, "")
	refused(t, s, fault.Refused, func(tx studio.Tx) error { _, err := tx.LowestCommon([]int64{a, b, c}); return err })
	refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.LowestCommon([]int64{a, 999}); return err })
	refused(t, s, fault.Invalid, func(tx studio.Tx) error { _, err := tx.LowestCommon(nil); return err })
}

func countsFollow(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed, other := h.declare(t, s, 6), h.declare(t, s, 2)
	o := add(t, s, h.Sale(ed, ed, ed))
	check := func(sold, unsold int, want map[edition.State]int) {
		t.Helper()
		read(t, s, func(tx studio.Tx) error {
			counts, err := tx.Counts()
			if err != nil {
				return err
			}
			same(t, "counts", want, counts[ed])
			same(t, "the other edition's", map[edition.State]int{edition.Free: 4}, counts[other])
			n, err := tx.Sold(ed)
			same(t, "sold", sold, n)
			if err != nil {
				return err
			}
			n, err = tx.Unsold(ed)
			same(t, "unsold", unsold, n)
			return err
		})
	}
	check(0, 6, map[edition.State]int{edition.Free: 8})
	step(t, s, ed, num(1), edition.Promise, o.Lines[0].ID, o.Mark)
	step(t, s, ed, num(2), edition.Promise, o.Lines[1].ID, o.Mark)
	step(t, s, ed, edition.Number{Kind: edition.AP, N: 1}, edition.Promise, o.Lines[2].ID, o.Mark)
	check(2, 4, map[edition.State]int{edition.Free: 5, edition.Promised: 3})
	step(t, s, ed, num(1), edition.Sign, 0, "")
	step(t, s, ed, num(3), edition.Sign, 0, "")
	check(2, 4, map[edition.State]int{edition.Free: 4, edition.Promised: 2, edition.Signed: 2})
	step(t, s, ed, num(1), edition.Send, 0, o.Mark)
	step(t, s, ed, num(2), edition.Release, 0, o.Mark)
	check(1, 5, map[edition.State]int{edition.Free: 5, edition.Promised: 1, edition.Signed: 1, edition.Sent: 1})
	step(t, s, ed, num(1), edition.Return, 0, o.Mark)
	check(0, 5, map[edition.State]int{edition.Free: 5, edition.Promised: 1, edition.Signed: 1, edition.Returned: 1})
	step(t, s, ed, num(4), edition.Keep, 0, "")
	step(t, s, ed, num(5), edition.Withdraw, 0, "")
	step(t, s, ed, edition.Number{Kind: edition.AP, N: 2}, edition.Keep, 0, "") // a proof is no number to sell
	check(0, 3, map[edition.State]int{edition.Free: 2, edition.Promised: 1, edition.Signed: 1, edition.Returned: 1, edition.Kept: 2, edition.Withdrawn: 1})
	refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Sold(999); return err })
	refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Unsold(999); return err })
}

func openSold(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed := h.declare(t, s, 0)
	sold := func(want int) {
		t.Helper()
		read(t, s, func(tx studio.Tx) error {
			n, err := tx.Sold(ed)
			same(t, "sold", want, n)
			return err
		})
	}
	sold(0)
	o := add(t, s, h.Sale(ed, ed, ed))
	p := add(t, s, h.Sale(ed))
	sold(4)
	o.Lines[1].Dropped = true
	write(t, s, func(tx studio.Tx) error { return tx.SaveLine(o.Lines[1]) })
	sold(3)
	p.State = order.Cancelled
	write(t, s, func(tx studio.Tx) error { return tx.SaveOrder(p) })
	sold(2)
}

func numbersShow(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed := h.declare(t, s, 3)
	o := add(t, s, h.Sale(ed, ed))
	step(t, s, ed, num(2), edition.Promise, o.Lines[0].ID, o.Mark)
	step(t, s, ed, num(3), edition.Promise, o.Lines[1].ID, o.Mark)
	step(t, s, ed, num(3), edition.Send, 0, o.Mark)
	step(t, s, ed, num(3), edition.Return, 0, o.Mark)
	read(t, s, func(tx studio.Tx) error {
		rows, err := tx.Numbers(ed)
		if err != nil {
			return err
		}
		same(t, "free", studio.NumberRow{Number: num(1), Standing: edition.FreshStanding()}, rows[0])
		same(t, "held", studio.NumberRow{
			Number: num(2), Standing: edition.Standing{State: edition.Promised, Line: o.Lines[0].ID, Turn: 1},
			Order: o.ID, OrderMark: o.Mark, Buyer: "Mara Lindqvist", Day: today,
		}, rows[1])
		same(t, "returned", studio.NumberRow{
			Number: num(3), Standing: edition.Standing{State: edition.Returned, Turn: 3},
			Order: o.ID, OrderMark: o.Mark, Buyer: "Mara Lindqvist", Day: today,
		}, rows[2])
		return nil
	})
	refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Numbers(999); return err })
}

func entriesInOrder(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed := h.declare(t, s, 9)
	for n := 9; n >= 1; n-- {
		step(t, s, ed, num(n), edition.Keep, 0, "")
	}
	read(t, s, func(tx studio.Tx) error {
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
				same(t, "seq has no gap", after+1, e.Seq)
				after = e.Seq
				got = append(got, e.Number.N)
			}
		}
		same(t, "numbers", []int{9, 8, 7, 6, 5, 4, 3, 2, 1}, got)
		return nil
	})
}

// Sixty-four takers want one of fifty numbers at once: each is taken once, fourteen are refused.
func takers(t *testing.T, s studio.Store) {
	const many, limit = 64, 50
	h := furnish(t, s)
	ed := h.declare(t, s, limit)
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
	same(t, "taken and refused", []int{limit, many - limit}, []int{len(holders), none})
	read(t, s, func(tx studio.Tx) error {
		entries, err := tx.Entries(0, 1000)
		same(t, "entries", limit, len(entries))
		open, err2 := tx.OpenOrders()
		same(t, "orders", limit, len(open))
		for _, o := range open {
			same(t, "the line's number", o.Lines[0].ID, holders[o.Lines[0].Number])
		}
		if err == nil {
			err = err2
		}
		return err
	})
}
