package book

import (
	"fmt"
	"slices"
	"strings"

	"solander/edition"
	"solander/fault"
	"solander/register"
)

// choose picks the number of a line: none for an open edition, the one asked for, or the lowest. It
// takes the edition's lock either way, so that number and price are read at one moment.
// Faults: Invalid, Taken, Refused with the counts when none is left.
func (t *Book) choose(e edition.Edition, wanted string) (edition.Number, error) {
	kind := edition.Kind(strings.ToUpper(strings.TrimSpace(wanted)))
	if slices.Contains(edition.Kinds()[1:], kind) && e.Count(kind) != 1 {
		if err := (edition.Number{Kind: kind, N: 1}).In(e); err != nil {
			return edition.Number{}, err
		}
		return t.lowest(e, kind)
	}
	n, err := edition.ParseNumber(wanted, e)
	if err != nil || e.Open() {
		return n, err
	}
	if n.IsZero() {
		return t.lowest(e, edition.Numbered)
	}
	if _, err := t.Lowest(e.ID, n.Kind); err != nil && !fault.Is(err, fault.Refused) {
		return n, err
	}
	return n, t.available(e, n)
}

// available says whether a line may have the number now, with who has it otherwise.
func (t *Book) available(e edition.Edition, n edition.Number) error {
	st, err := t.Standing(e.ID, n)
	if err != nil {
		return err
	}
	if st.Line == 0 || st.State == edition.Spoilt {
		_, err = st.After(edition.Promise, 1, "")
		return fault.Placed(err, n.Of(e)+" of "+e.Title)
	}
	held, _, err := register.In(t.Turn).HeldBy(st)
	if err != nil {
		return err
	}
	return fault.New(fault.Taken, "%s has it", held.Mark).At("%s", n.Of(e)+" of "+e.Title).In("number").ToMend("choose a free number")
}

func (t *Book) lowest(e edition.Edition, kind edition.Kind) (edition.Number, error) {
	n, err := t.Lowest(e.ID, kind)
	if fault.Is(err, fault.Refused) {
		return n, t.soldOut(e, kind, err)
	}
	return n, err
}

// soldOut says that no number is left, with how many stand where.
func (t *Book) soldOut(e edition.Edition, kind edition.Kind, cause error) error {
	rows, err := t.Numbers(e.ID)
	if err != nil {
		return err
	}
	count := map[edition.State]int{}
	for _, r := range rows {
		if r.Number.Kind == kind {
			count[r.Standing.State]++
		}
	}
	var parts []string
	for _, st := range edition.States() {
		if count[st] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", count[st], st))
		}
	}
	return fault.New(fault.Refused, "none of the %d is left: %s", e.Count(kind), strings.Join(parts, ", ")).At("%s", e.Name(t.Set.Units)).
		In("number").ToMend("offer another print, or ask for a number that came back").Because(cause)
}

// common finds the one number for every line of a sale that asks for the same number: the one that a
// line names, or the lowest that is left in every edition. None when the sale does not ask.
// Faults: Invalid when lines name different numbers or an edition has none; Refused when no number is
// left in all of them.
func (t *Book) common(in Sale) (edition.Number, error) {
	var none edition.Number
	if !in.SameNumber {
		return none, nil
	}
	var wanted edition.Number
	var eds []int64
	for i, sl := range in.Lines {
		field := fmt.Sprintf("lines[%d].", i)
		e, err := t.EditionOf(sl.Edition)
		if err != nil {
			return none, fault.InField(err, field+"edition")
		}
		if e.Open() {
			return none, fault.Invalidf(field+"edition", "an open edition has no numbers").At("%s", e.Title).ToMend("do not ask for the same number")
		}
		n, err := edition.ParseNumber(sl.Number, e)
		if err != nil {
			return none, fault.InField(err, field+"number")
		}
		if !n.IsZero() && !wanted.IsZero() && n != wanted {
			return none, fault.Invalidf(field+"number", "the lines ask for %s and %s, and for the same number", wanted, n).ToMend("name one number")
		}
		if !n.IsZero() {
			wanted = n
		}
		eds = append(eds, e.ID)
	}
	if !wanted.IsZero() {
		return wanted, nil
	}
	n, err := t.LowestCommon(eds)
	if fault.Is(err, fault.Refused) {
		return none, fault.New(fault.Refused, "no number is left in all of these editions").In("lines[0].number").ToMend("take different numbers").Because(err)
	}
	return n, err
}
