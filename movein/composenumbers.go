package movein

import (
	"solander/edition"
	"solander/fault"
	"solander/order"
)

// numbers gives each print its number and walks it along the register's rules: promised, and of what left also signed and sent.
func (x *composing) numbers() {
	o := &x.out.order
	x.after = map[placeNumber]edition.Standing{}
	for i := range o.Lines {
		line, place, row := &o.Lines[i], x.out.editions[i], x.out.rows[i]
		e := x.ed[place]
		gone := o.State == order.Closed || o.State == order.Returned
		var steps []edition.Step
		switch {
		case e.Open():
			line.Number = edition.Number{}
			if line.Signed, line.Sent = gone, gone; gone {
				line.SignedDay = x.out.left
			}
		case !line.Number.IsZero():
			if x.refuse("number.limit", row, fault.Placed(line.Number.In(e), e.Title)) {
				continue
			}
		case gone:
			x.refuse("number.unsaid", row, fault.New(fault.Refused, "a print of %s left the house, and the row does not say which number", e.Title).
				ToMend("write its number, or say that the row is still to be sent"))
			continue
		case o.State == order.Open && x.ready:
			if x.refuse("number.none", row, x.nextFree(line, place)) {
				continue
			}
		}
		if x.ready && !line.Number.IsZero() && o.State != order.Cancelled {
			var err error
			if steps, err = x.walk(place, *line, gone); x.refuse("number.held", row, err) {
				continue
			}
		}
		x.out.steps = append(x.out.steps, steps)
	}
}

// nextFree gives a line the lowest number that it may have and that no row of the file claims.
func (x *composing) nextFree(line *order.Line, place int) error {
	first := x.key(place, edition.Number{}).place
	list, ok := x.free[first]
	if !ok {
		list = x.available(first)
	}
	for len(list) > 0 && x.taken(placeNumber{first, list[0]}) {
		list = list[1:]
	}
	x.free[first] = list
	if len(list) == 0 {
		e := x.ed[place]
		return fault.New(fault.Refused, "none of the %d is left for it", e.Limit).At("%s", e.Name(x.Set.Units)).ToMend("look at the numbers that the file names, or at its limit")
	}
	line.Number = list[0]
	return nil
}

// taken reports whether this order, or one before it, took a number.
func (x *composing) taken(k placeNumber) bool {
	if _, ours := x.after[k]; ours {
		return true
	}
	_, held := x.holders[k]
	return held
}

// available lists the numbers of an edition that a line may have and that no row claims, lowest first.
func (c *composer) available(place int) []edition.Number {
	var out []edition.Number
	e := c.ed[place]
	for n := 1; n <= e.Limit; n++ {
		k := placeNumber{place, edition.Number{Kind: edition.Numbered, N: n}}
		st := c.standing(k)
		if !c.claimed[k] && st.Line == 0 && (st.State == edition.Free || st.State == edition.Signed) {
			out = append(out, k.number)
		}
	}
	return out
}

// standing is how a number stands in the register, with what the orders before took.
func (c *composer) standing(k placeNumber) edition.Standing {
	if st, ok := c.stands[k]; ok {
		return st
	}
	if id := c.ed[k.place].ID; id != 0 {
		if row, ok := c.book.row(id, k.number); ok {
			return row.Standing
		}
	}
	return edition.FreshStanding()
}

// walk follows the rules of the register for a number that a line takes. Faults: the rules' own, with who holds it.
func (x *composing) walk(place int, l order.Line, gone bool) ([]edition.Step, error) {
	k := x.key(place, l.Number)
	st, ours := x.after[k]
	if !ours {
		st = x.standing(k)
	}
	steps := []edition.Step{edition.Promise}
	if gone {
		if !st.Signed {
			steps = append(steps, edition.Sign)
		}
		if steps = append(steps, edition.Send); x.out.order.State == order.Returned {
			steps = append(steps, edition.Return)
		}
	}
	x.lines++
	for _, step := range steps {
		after, err := st.After(step, x.lines, "")
		if err != nil {
			return nil, x.heldBy(err, k, ours)
		}
		st = after
	}
	x.after[k] = st
	return steps, nil
}

// heldBy adds who has a number to a fault about it: a row of this file, or an order of the book with its row.
func (x *composing) heldBy(err error, k placeNumber, ours bool) error {
	e := x.ed[k.place]
	what, held := k.number.Of(e)+" of "+e.Title, x.holders[k]
	_, byRow := x.holders[k]
	switch {
	case ours:
		return fault.New(fault.Taken, "%s stands twice in the order", what).ToMend("correct one of the rows").Because(err)
	case byRow:
		who := x.trial.Proposals[held.proposal].Rows[held.row]
		return fault.New(fault.Taken, "%s is claimed by %s, too", what, rowWords(who)).ToMend("correct one of the rows").Because(err)
	}
	row, ok := x.book.row(e.ID, k.number)
	if !ok || row.OrderMark == "" {
		return fault.Placed(err, what)
	}
	who := row.OrderMark
	if rows, e := x.Origins(row.Order); e == nil && len(rows) > 0 {
		who += ", made of " + rowWords(rows[0].Origin) + " of " + rows[0].File
	}
	return fault.New(fault.Taken, "%s is held by %s", what, who).ToMend("correct the row, or give that order another number").Because(err)
}

// hold takes the numbers of an order for those after it.
func (x *composing) hold() {
	for i, l := range x.out.order.Lines {
		k := x.key(x.out.editions[i], l.Number)
		if st, ok := x.after[k]; ok && !l.Number.IsZero() {
			x.stands[k] = st
			if st.Line != 0 {
				x.holders[k] = claim{x.out.place, x.out.rows[i]}
			} else {
				delete(x.holders, k)
			}
		}
	}
}
