package dayplan

import (
	"fmt"
	"slices"

	"solander/fault"
	"solander/money"
)

// Tell is told how far a long computation has come: done of all.
type Tell func(done, all int)

// Say tells how far it has come; nobody may be listening.
func (f Tell) Say(done, all int) {
	if f != nil {
		f(done, all)
	}
}

// Saving is what one more piece of an item would do.
type Saving struct {
	ID    int64        `json:"id"` // of the shelf item
	Item  string       `json:"item"`
	Name  string       `json:"name"`
	Left  int          `json:"left"`  // pieces that no packed parcel holds
	Saves money.Amount `json:"saves"` // negative when more orders go and that costs more in all
	Sends int          `json:"sends"` // orders that are held now and could go
	Text  string       `json:"text"`
}

// SumOf is what the plans of a day cost together, and how many orders they hold.
func SumOf(plans map[int64]Plan) (total int64, held int) {
	for id, p := range plans {
		if p.Err != nil || p.Held() != "" {
			held++
			continue
		}
		if p.Leads(id) {
			total += p.Plan.Total
		}
	}
	return total, held
}

// Tight returns the places on the shelf of items in use of which plans leave fewer pieces than a wrap
// takes: only of those can one more matter.
func (a Ask) Tight(plans map[int64]Plan) []int {
	used := map[string]int{}
	for id, p := range plans {
		if !p.Leads(id) {
			continue
		}
		for _, u := range p.Plan.StockUsed {
			used[u.Item] += u.Count
		}
	}
	sheets := 1
	for _, unit := range a.units {
		n := 0
		for _, o := range a.ordersOf(unit) {
			for _, s := range o.Sheets {
				n += s.Number()
			}
		}
		sheets = max(sheets, n)
	}
	var out []int
	for i, it := range a.Base.Shelf {
		most := sheets * mostTaken(a.Base.Wraps, it.Kind)
		if it.Stock != nil && !a.Room.Retired[it.ID] && most > 0 && *it.Stock-used[it.ID] < most {
			out = append(out, i)
		}
	}
	return out
}

// WithOneMore is the day with one more piece of the item at a place on the shelf.
func (a Ask) WithOneMore(at int) Ask {
	a.Base.Shelf = slices.Clone(a.Base.Shelf)
	more := *a.Base.Shelf[at].Stock + 1
	a.Base.Shelf[at].Stock = &more
	return a
}

// Saving compares the plans with one more piece to the total and the held orders without it.
func (a Ask) Saving(at int, then map[int64]Plan, total int64, held int) (Saving, bool) {
	it := a.Base.Shelf[at]
	with, still := SumOf(then)
	m := Saving{ID: a.Room.Ids[it.ID], Item: it.ID, Name: it.Name, Left: *it.Stock, Saves: money.Of(total-with, a.Base.Currency), Sends: held - still}
	switch {
	case m.Sends > 0:
		m.Text = fmt.Sprintf("one more would let %s go that cannot go now", fault.Count(m.Sends, "order"))
	case m.Sends == 0 && m.Saves.Sign() > 0:
		m.Text = fmt.Sprintf("one more would save %s today", m.Saves)
	default:
		return m, false
	}
	return m, true
}
