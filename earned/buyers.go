package earned

import (
	"maps"
	"slices"

	"solander/earnings"
)

// mostBuyers puts the buyers of whom most is left into figures, without gathering all of them. Those who are taken as one person, and those of whom
// something waits in the house, are looked at all: who the others are follows from what is left of each. The total is that of the states, to which orders
// belong as they belong to buyers. Of equal buyers at the end of the rows the earlier ones stand.
func (t *Earned) mostBuyers(a Ask, waiting []waits, out *Figures) error {
	apart, err := t.apart(waiting)
	if err != nil {
		return err
	}
	q := earnings.Query{By: earnings.LotBuyer, From: a.From, To: a.To, Currency: out.Currency, Most: a.Most + len(apart)}
	most, all, err := t.MostOfLot(q)
	if err != nil {
		return err
	}
	most = slices.DeleteFunc(most, func(id int64) bool { return apart[id] })
	q.Buyers = append(slices.Sorted(maps.Keys(apart)), most...)
	var sums []earnings.LotSum
	if len(q.Buyers) > 0 { // else all would be meant
		if sums, err = t.lots(q); err != nil {
			return err
		}
	}
	sums = slices.DeleteFunc(sums, func(s earnings.LotSum) bool { return s.Amount.Currency != out.Currency })
	if err := t.gather(Ask{By: ByBuyer}, sums, waiting, out); err != nil {
		return err
	}
	rows := len(out.Rows) + all - lotsIn(sums)
	if len(out.Rows) > a.Most {
		out.Rows = out.Rows[:a.Most]
	}
	out.More = rows - len(out.Rows)
	if sums, err = t.lots(earnings.Query{By: earnings.LotState, From: a.From, To: a.To}); err != nil {
		return err
	}
	states := Figures{Currency: out.Currency}
	err = t.gather(Ask{By: ByState}, sums, waiting, &states)
	out.Total, out.Others = states.Total, states.Others
	return err
}

// apart are the buyers of whom something waits, and all who are taken as one person with another.
func (t *Earned) apart(waiting []waits) (map[int64]bool, error) {
	same, err := t.SamePeople()
	if err != nil {
		return nil, err
	}
	out := map[int64]bool{}
	for writing, person := range same {
		out[writing], out[person] = true, true
	}
	for _, w := range waiting {
		out[w.order.Buyer] = true
	}
	return out, nil
}

// lotsIn is of how many there are sums.
func lotsIn(sums []earnings.LotSum) int {
	ids := map[int64]bool{}
	for _, s := range sums {
		ids[s.ID] = true
	}
	return len(ids)
}
