package ahead

import "solander/dayplan"

// Kept is how many pieces of today's are kept for later days, by item.
func (p Plan) Kept() map[string]int {
	out := map[string]int{}
	for _, g := range p.Orders {
		for id, n := range g.Keeps {
			out[id] += n
		}
	}
	return out
}

// Today is the ask of the first day for the orders that go on it, with what is left when the pieces of later days are kept: the plan of that
// day costs what the plan of the days says of it.
func (p Plan) Today(q Question) dayplan.Ask {
	var goes []*Order
	for i := range p.Orders {
		if p.Orders[i].Day == 0 {
			goes = append(goes, &q.Orders[i])
		}
	}
	caps, kept := map[int]int{}, p.Kept()
	for i, it := range q.Days[0].Ask.Base.Shelf {
		if n := max(kept[it.ID], q.withheld(it.ID, 0, nil)); n > 0 && it.Stock != nil {
			caps[i] = max(0, *it.Stock-n)
		}
	}
	return ask(q.Days[0].Ask, goes, caps)
}
