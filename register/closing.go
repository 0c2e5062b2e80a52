package register

import (
	"context"
	"fmt"

	"solander/edition"
	"solander/fault"
	"solander/sealog"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

// Ends are how an edition ended: three facts, none of which follows from another.
type Ends struct {
	SoldOut   bool             `json:"sold_out"`            // every number that was for sale has its buyer
	Closed    *edition.Closing `json:"closed,omitempty"`    // nothing more of it is made or sold
	Cancelled *edition.Closing `json:"cancelled,omitempty"` // its plate or its files can print no more
}

// Words are the ends in one line; "" = it goes on.
func (e Ends) Words() string {
	words := ""
	for _, x := range []struct {
		is   bool
		word string
	}{{e.SoldOut, "sold out"}, {e.Closed != nil, "closed"}, {e.Cancelled != nil, "cancelled"}} {
		if x.is && words != "" {
			words += ", "
		}
		if x.is {
			words += x.word
		}
	}
	return words
}

// EndsOf reads how an edition ended. Faults: Missing.
func EndsOf(ctx context.Context, s *studio.Studio, ed int64) (Ends, error) {
	return studio.Got(ctx, s, read, func(t *Register) (Ends, error) {
		e, err := t.EditionOf(ed)
		if err != nil {
			return Ends{}, err
		}
		return t.ends(e)
	})
}

// ends reads how an edition ended. One that was closed before closings were kept has its bare mark alone.
func (t *Register) ends(e edition.Edition) (Ends, error) {
	var out Ends
	all, err := t.Closings(e.ID)
	if err != nil {
		return out, err
	}
	for i := range all {
		if all[i].Fact == edition.Closed {
			out.Closed = &all[i]
		} else {
			out.Cancelled = &all[i]
		}
	}
	if out.Closed == nil && e.Closed {
		out.Closed = &edition.Closing{Edition: e.ID, Fact: edition.Closed}
	}
	if e.Open() {
		return out, nil
	}
	lots, err := t.NumberLots(e.ID)
	if err != nil {
		return out, err
	}
	withdrawn := out.Closed != nil && out.Closed.Withdrawn > 0
	out.SoldOut = !withdrawn && lots[edition.Numbered][edition.Unsold] == 0 && lots[edition.Numbered][edition.Sold] > 0
	return out, nil
}

// Close declares that an edition is closed, or cancelled, for good. One that is closed is not sold any more, and its remaining numbers are
// withdrawn with it: those that no order holds and that are not in the archive. Open orders of it go on; proofs stay as they are.
// Faults: Invalid, Missing; Refused when it is so already.
func Close(ctx context.Context, s *studio.Studio, c edition.Closing) (edition.Closing, error) {
	if err := c.Validate(); err != nil {
		return c, err
	}
	err := write(ctx, s, func(t *Register) (err error) {
		c, err = t.close(c)
		return err
	})
	return c, err
}

func (t *Register) close(c edition.Closing) (edition.Closing, error) {
	e, err := t.EditionOf(c.Edition)
	if err != nil {
		return c, err
	}
	before, err := t.ends(e)
	if err != nil {
		return c, err
	}
	told := before.Closed
	if c.Fact == edition.Cancelled {
		told = before.Cancelled
	}
	if told != nil && !told.Day.IsZero() {
		return c, fault.New(fault.Refused, "it is %s already, since %s", c.Fact, told.Day).At("%s", e.Name(t.Set.Units))
	}
	c.Day, c.At, c.Who, c.Withdrawn = t.Today, t.Now, t.Who, 0
	if c.Fact == edition.Closed {
		if c.Withdrawn, err = t.withdrawRest(e); err != nil {
			return c, err
		}
		if !e.Closed {
			err = t.CloseEdition(e.ID)
		}
		if err != nil {
			return c, err
		}
	}
	if c.ID, err = t.AddClosing(c); err != nil {
		return c, err
	}
	if _, err = t.AppendLeaf(sealog.OfClosing(c)); err != nil {
		return c, err
	}
	_, err = t.Journal(studio.MarkOther, 0, c, "%s %s%s", e.Name(t.Set.Units), c.Fact, withdrawnWords(c.Withdrawn))
	return c, err
}

func withdrawnWords(n int) string {
	switch n {
	case 0:
		return ""
	case 1:
		return ", one number withdrawn"
	}
	return fmt.Sprintf(", %d numbers withdrawn", n)
}

// withdrawRest withdraws the numbers of a closed edition that nobody has; signed sheets leave the drawer's count.
func (t *Register) withdrawRest(e edition.Edition) (int, error) {
	if e.Open() {
		return 0, nil
	}
	rest, sheets, err := t.rest(e)
	if err != nil {
		return 0, err
	}
	keys := make([]studio.NumberKey, len(rest))
	for i, n := range rest {
		keys[i] = studio.NumberKey{Edition: e.ID, Number: n}
	}
	if err := t.Foresee(keys, nil); err != nil {
		return 0, err
	}
	for _, n := range rest {
		if _, err := t.Take(StepOf{Ed: e, Number: n, Step: edition.Withdraw, Note: "the edition is closed"}); err != nil {
			return 0, err
		}
	}
	return len(rest), stockroom.In(t.Turn).Sheets(e, -sheets, supply.Why{Cause: supply.Withdrawn}, "withdrawn: the edition is closed")
}

// rest are the numbered impressions that nobody has, and how many of them lie signed in the drawer.
func (t *Register) rest(e edition.Edition) (rest []edition.Number, sheets int, err error) {
	taken := map[int]bool{}
	rows, err := t.NumbersIn(studio.NumberQuery{Edition: e.ID, Kind: edition.Numbered}) // those that are not free
	if err != nil {
		return nil, 0, err
	}
	loose := map[int]bool{}
	for _, r := range rows {
		taken[r.Number.N], loose[r.Number.N] = true, r.Standing.Loose()
	}
	for n := 1; n <= e.Limit; n++ {
		if taken[n] && !loose[n] {
			continue
		}
		rest = append(rest, edition.Number{Kind: edition.Numbered, N: n})
		if loose[n] {
			sheets++
		}
	}
	return rest, sheets, nil
}

// remaining is how many numbers would be withdrawn: those that are unsold, and those that came back.
func (t *Register) remaining(e edition.Edition, unsold int) (int, error) {
	back, err := t.NumbersIn(studio.NumberQuery{Edition: e.ID, Kind: edition.Numbered, State: edition.Returned})
	return unsold + len(back), err
}
