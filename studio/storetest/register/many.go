package register

import (
	"math/rand/v2"
	"testing"

	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// deed is a step that is tried: of a number, for the line at a place.
type deed struct {
	n    edition.Number
	step edition.Step
	line int // -1: none
}

// told is what the register says of a number, with lines by their place.
type told struct {
	Steps  []edition.Step
	States []edition.State
	Turns  []int
	Lines  []int
	Now    edition.State
	Holder int
}

// Steps of many numbers in one transaction, most of them foreseen, leave what the same steps leave one by one: also where a
// line goes from one number to another, and where the rules refuse one.
func stepsInSets(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	const numbers = 20
	kinds := []edition.Step{edition.Promise, edition.Promise, edition.Release, edition.Release, edition.Sign, edition.Send, edition.Return, edition.Spoil}
	chance := rand.New(rand.NewPCG(2031, 7)) // the same at each run
	for round := range 3 {
		var deeds []deed
		for range 400 {
			d := deed{bed.Num(1 + chance.IntN(numbers)), kinds[chance.IntN(len(kinds))], -1}
			if d.step == edition.Promise {
				d.line = chance.IntN(12)
			}
			deeds = append(deeds, d)
		}
		single, set := newSteps(t, s, h, numbers), newSteps(t, s, h, numbers)
		for i, d := range deeds {
			bed.Write(t, s, func(tx studio.Tx) error { single.try(t, tx, i, d); return nil })
		}
		bed.Write(t, s, func(tx studio.Tx) error {
			for i, d := range deeds {
				if i%100 == 0 {
					if err := set.foresee(tx, numbers); err != nil {
						return err
					}
				}
				set.try(t, tx, i, d)
			}
			return nil
		})
		bed.Same(t, "refused in the same places", single.refused, set.refused)
		if len(single.refused) == 0 || len(single.refused) == len(deeds) {
			t.Errorf("round %d: %d of %d were refused", round, len(single.refused), len(deeds))
		}
		bed.Read(t, s, func(tx studio.Tx) error {
			bed.Same(t, "the register", single.told(t, tx, numbers), set.told(t, tx, numbers))
			counts, err := tx.Counts()
			bed.Same(t, "the counts", counts[single.edition], counts[set.edition])
			return err
		})
	}
}

// steps are an edition with an order whose lines take its numbers.
type steps struct {
	edition int64
	order   order.Order
	refused map[int]fault.Code
}

func newSteps(t *testing.T, s studio.Store, h bed.House, numbers int) *steps {
	t.Helper()
	ed := h.Declare(t, s, numbers)
	lines := make([]int64, 12)
	for i := range lines {
		lines[i] = ed
	}
	return &steps{edition: ed, order: bed.Add(t, s, h.Sale(lines...)), refused: map[int]fault.Code{}}
}

// foresee reads the numbers, and most of the lines, ahead.
func (x *steps) foresee(tx studio.Tx, numbers int) error {
	var keys []studio.NumberKey
	for n := range numbers {
		keys = append(keys, studio.NumberKey{Edition: x.edition, Number: bed.Num(n + 1)})
	}
	var lines []int64
	for _, l := range x.order.Lines[:11] {
		lines = append(lines, l.ID)
	}
	return tx.Foresee(keys, lines)
}

func (x *steps) try(t *testing.T, tx studio.Tx, i int, d deed) {
	t.Helper()
	line := int64(0)
	if d.line >= 0 {
		line = x.order.Lines[d.line].ID
	}
	_, err := bed.Step(tx, x.edition, d.n, d.step, line, x.order.Mark)
	switch {
	case err == nil:
	case fault.CodeOf(err) == fault.Internal:
		t.Fatal(err)
	default:
		x.refused[i] = fault.CodeOf(err)
	}
}

func (x *steps) told(t *testing.T, tx studio.Tx, numbers int) []told {
	t.Helper()
	place := map[int64]int{0: -1}
	for i, l := range x.order.Lines {
		place[l.ID] = i
	}
	out := make([]told, numbers)
	for i := range out {
		history, err := tx.History(x.edition, bed.Num(i+1))
		if err != nil {
			t.Fatal(err)
		}
		if err := edition.Verify(history); err != nil {
			t.Errorf("number %d: %v", i+1, err)
		}
		for _, e := range history {
			out[i].Steps, out[i].States = append(out[i].Steps, e.Step), append(out[i].States, e.After.State)
			out[i].Turns, out[i].Lines = append(out[i].Turns, e.Turn), append(out[i].Lines, place[e.After.Line])
		}
		now, err := tx.Standing(x.edition, bed.Num(i+1))
		if err != nil {
			t.Fatal(err)
		}
		out[i].Now, out[i].Holder = now.State, place[now.Line]
	}
	return out
}

// What was foreseen of a line is not believed once something else was written.
func lineForeseen(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed, other := h.Declare(t, s, 5), h.Declare(t, s, 5)
	o := bed.Add(t, s, h.Sale(ed, ed))
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error {
		if err := tx.Foresee([]studio.NumberKey{{Edition: ed, Number: bed.Num(1)}, {Edition: ed, Number: bed.Num(9)}}, []int64{o.Lines[0].ID, 99}); err != nil {
			t.Errorf("what is not there is told by whoever asks: %v", err)
		}
		l := o.Lines[0]
		l.Edition = other
		if err := tx.SaveLine(l); err != nil {
			return err
		}
		_, err := bed.Step(tx, ed, bed.Num(1), edition.Promise, l.ID, o.Mark)
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		if err := tx.Foresee(nil, []int64{99}); err != nil {
			return nil
		}
		_, err := bed.Step(tx, ed, bed.Num(1), edition.Promise, 99, o.Mark)
		return err
	})
}
