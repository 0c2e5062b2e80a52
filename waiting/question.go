package waiting

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"slices"

	"solander/calendar"
	"solander/dayplan"
	"solander/dayplan/ahead"
	"solander/order"
	"solander/packing"
	"solander/planning"
	"solander/studio"
)

// asked is what the days ahead follow from, and the names for it.
type asked struct {
	ahead.Question
	of     []about // beside each order of the question
	names  map[string]string
	stocks []stock
	on     dayplan.Digest // of all of it
	today  calendar.Day
	cur    string
	days   int
	worth  bool // whether it may save anything that an order waits
}

// about is what is told of an order.
type about struct {
	buyer    string
	ready    planning.Ready
	promised calendar.Day
	last     calendar.Day   // on which it may go; no day = nothing was promised
	said     bool           // its artist said that it waits, or that something is kept for it, and that holds
	keeps    map[string]int // what is kept for it although it does not wait
	broken   string
}

// stock is an item of which pieces are to come.
type stock struct {
	item     studio.ShelfItem
	expected calendar.Day
}

// Ask reads what the days ahead follow from: every open order of which it is known when it may go, and what is on the shelf by then.
// Faults: Invalid for a number of days that cannot be planned.
func (t *Waiting) Ask(s *studio.Studio, d *studio.Drawer, days int) (asked, error) {
	p := planning.In(t.Turn)
	a := asked{names: map[string]string{}, today: t.Today, cur: t.Set.Currency, days: days}
	first := p.HandOverDay(calendar.Day{})
	r, err := planning.MeansOf(s, p)
	if err != nil {
		return a, err
	}
	if a.stocks, err = t.coming(); err != nil {
		return a, err
	}
	for _, it := range r.Shelf {
		a.names[it.ID] = it.Name
	}
	for i := range days {
		if err := a.addDay(p, r, t.Working.Add(first, i), i); err != nil {
			return a, err
		}
	}
	for _, o := range d.Orders {
		if err := t.addOrder(&a, p, d, o.ID); err != nil {
			return a, err
		}
	}
	a.worth = a.mayPay()
	a.on, err = a.digest(r.Cards)
	return a, err
}

// digest tells one question from another. Of the price cards it takes their own digests: they are most of a question, and written out
// they were most of what a bench costs.
func (a *asked) digest(cards []dayplan.Card) (out dayplan.Digest, err error) {
	bare := a.Question
	bare.Days = slices.Clone(bare.Days)
	for i := range bare.Days {
		bare.Days[i].Ask.Room.Cards = nil
	}
	raw, err := json.Marshal(struct {
		Question ahead.Question
		Today    calendar.Day
	}{bare, a.today})
	if err != nil {
		return out, fmt.Errorf("the days ahead: %w", err)
	}
	h := sha256.New()
	h.Write(raw)
	for _, c := range cards {
		h.Write(c.Digest[:])
	}
	h.Sum(out[:0])
	return out, nil
}

// coming are the items of which pieces are ordered, with a day that is not past.
func (t *Waiting) coming() ([]stock, error) {
	shelf, err := t.Shelf()
	var out []stock
	for _, it := range shelf {
		if it.Coming > 0 && !it.Retired && !it.Expected.IsZero() && !it.Expected.Before(t.Today) {
			out = append(out, stock{it, it.Expected})
		}
	}
	return out, err
}

// addDay adds a day with what is there by then: what comes today counts from the next day on.
func (a *asked) addDay(p *planning.Planning, r dayplan.Means, day calendar.Day, at int) error {
	r.Shelf = slices.Clone(r.Shelf)
	for i := range r.Shelf {
		for _, c := range a.stocks {
			if c.item.Spec.ID == r.Shelf[i].ID && at > 0 && !c.expected.After(day) {
				n := *r.Shelf[i].Stock + c.item.Coming
				r.Shelf[i].Stock = &n
			}
		}
	}
	cards := studio.CardsFor(r.Cards, p.Set, day)
	base, err := dayplan.NewBasis(p.Base(r, day), cards)
	if err != nil {
		return err
	}
	alike := ""
	for _, c := range cards {
		alike += string(c.Digest[:])
	}
	a.Question.Days = append(a.Question.Days, ahead.Day{Day: day, Ask: dayplan.Ask{Room: r, Base: base}, Cards: fmt.Sprintf("%x", alike)})
	return nil
}

// addOrder adds an order when it is known on which of the days it may go.
func (t *Waiting) addOrder(a *asked, p *planning.Planning, d *studio.Drawer, id int64) error {
	at := slices.IndexFunc(d.Orders, func(o order.Order) bool { return o.ID == id })
	o := d.Orders[at]
	said, broken, err := p.Keeping(o, d, calendar.Day{})
	if err != nil {
		return err
	}
	if said && len(o.Wait.Keeps) > 0 {
		a.Kept = append(a.Kept, ahead.Kept{Order: o.ID, Pieces: o.Wait.Keeps, To: a.before(o.Wait.Until)})
	}
	ready := p.ReadyOn(o, d)
	if ready.Day.IsZero() {
		return nil
	}
	from := a.dayAt(ready.Day)
	if from < 0 {
		return nil // beyond the days that are planned
	}
	b, err := t.BuyerOf(o.Buyer)
	if err != nil {
		return err
	}
	x := about{buyer: b.Name, ready: ready, promised: o.Promised, last: p.LastDay(o), said: said, broken: broken}
	to := a.days - 1
	if !x.last.IsZero() {
		to = a.lastBy(x.last)
	}
	packed, demand, with, err := p.ForDay(o, ready.Lines, a.Question.Days[from].Day)
	if err != nil {
		return err
	}
	out := ahead.Order{Order: packed, Key: o.ID, Demand: demand, With: with, From: from, To: max(from, to)}
	if said && o.Wait.Kept {
		x.keeps = o.Wait.Keeps
	} else if said {
		out.Until = a.lastBy(o.Wait.Until)
	}
	a.Orders, a.of = append(a.Orders, out), append(a.of, x)
	return nil
}

// dayAt is the place of a day; −1 when it is none of those planned.
func (a *asked) dayAt(day calendar.Day) int {
	return slices.IndexFunc(a.Question.Days, func(d ahead.Day) bool { return d.Day == day })
}

// before is how many of the days are before a day.
func (a *asked) before(day calendar.Day) int {
	n := 0
	for _, d := range a.Question.Days {
		if d.Day.Before(day) {
			n++
		}
	}
	return n
}

// lastBy is the place of the last of the days that is not after a day; −1 when all are.
func (a *asked) lastBy(day calendar.Day) int {
	last := -1
	for i, d := range a.Question.Days {
		if !d.Day.After(day) {
			last = i
		}
	}
	return last
}

// mayPay reports whether it may pay that an order waits. When all could go today, no packaging comes and the prices stay, whatever the orders
// of several days cost, they cost no more together today.
func (a *asked) mayPay() bool {
	later := slices.ContainsFunc(a.Orders, func(o ahead.Order) bool { return o.From > 0 })
	early := slices.ContainsFunc(a.Orders, func(o ahead.Order) bool { return o.To > o.From })
	same := !slices.ContainsFunc(a.Question.Days, func(d ahead.Day) bool { return d.Cards != a.Question.Days[0].Cards })
	return early && (later || !same || len(a.stocks) > 0) || slices.ContainsFunc(a.Orders, func(o ahead.Order) bool { return o.Until > o.From }) || later && a.few()
}

// few reports whether there are fewer pieces of something than all orders might take.
func (a *asked) few() bool {
	sheets := 0
	for _, o := range a.Orders {
		for _, s := range o.Sheets {
			sheets += s.Number()
		}
	}
	return slices.ContainsFunc(a.Question.Days[0].Ask.Base.Shelf, func(it packing.Item) bool { return it.Stock != nil && *it.Stock < 3*sheets })
}
