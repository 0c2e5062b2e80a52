package earned

import (
	"maps"
	"slices"

	"solander/earnings"
)

// mostBuyers puts the buyers of whom most is left into figures, without gathering all of them; false when the store does not keep that of these days.
// Those who are taken as one person, and those of whom something waits in the house, are looked at all: who the others are follows from what is kept. The
// total is that of the states, to which orders belong as they belong to buyers. Of equal buyers at the end of the rows the earlier ones stand.
func (t *Earned) mostBuyers(a Ask, waiting []waits, out *Figures) (bool, error) {
	q := earnings.Query{By: earnings.LotBuyer, From: a.From, To: a.To, Currency: out.Currency}
	all, ok, err := t.CountLots(q)
	if err != nil || !ok {
		return ok, err
	}
	apart, err := t.apart(waiting)
	if err != nil {
		return true, err
	}
	q.Most = a.Most + len(apart)
	most, err := t.SumsOfLots(q)
	if err != nil {
		return true, err
	}
	most = slices.DeleteFunc(most, func(s earnings.LotSum) bool { return apart[s.ID] || s.Amount.Currency != out.Currency })
	rest := all
	if len(apart) > 0 {
		q.Most, q.Buyers = 0, slices.Sorted(maps.Keys(apart))
		theirs, err := t.SumsOfLots(q)
		if err != nil {
			return true, err
		}
		theirs = slices.DeleteFunc(theirs, func(s earnings.LotSum) bool { return s.Amount.Currency != out.Currency })
		rest -= lotsIn(theirs)
		most = append(most, theirs...)
	}
	shown := lotsIn(most) - (all - rest)
	if err := t.gather(Ask{By: ByBuyer}, most, waiting, out); err != nil {
		return true, err
	}
	rows := len(out.Rows) + rest - shown
	if len(out.Rows) > a.Most {
		out.Rows = out.Rows[:a.Most]
	}
	out.More = rows - len(out.Rows)
	sums, err := t.SumsOfLots(earnings.Query{By: earnings.LotState, From: a.From, To: a.To})
	if err != nil {
		return true, err
	}
	states := Figures{Currency: out.Currency}
	err = t.gather(Ask{By: ByState}, sums, waiting, &states)
	out.Total, out.Others = states.Total, states.Others
	return true, err
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
