// Package ahead plans the parcels of the next days together: which orders go on which day, what it saves that one waits, and which scarce
// packaging is kept for a later day. What a set of one buyer's orders costs on a day is what the plan of that day says, by the same function
// (dayplan); which sets and days are best together is decided by dayplan/horizon. It knows no store, and of days only their order.
//
// Rules: an order goes on one of the days from its first to its last. Fewest orders are left out; then all together cost least; with money
// equal, orders wait fewest days, so that today is better than later.
package ahead

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"strings"

	"solander/calendar"
	"solander/dayplan"
	"solander/packing"
	"solander/packing/front"
)

// Day is a day of hand-over: an ask without orders, whose shelf holds what is there by then.
type Day struct {
	Day   calendar.Day
	Ask   dayplan.Ask
	Cards string // equal for days on which the same price cards hold
}

// Order is an order that goes on one of the days, by their places.
type Order struct {
	packing.Order
	Key    int64
	Demand front.Demand
	With   string // equal for orders that may share parcels; "" = with none
	From   int    // the first day on which it may go
	To     int    // the last; From when its promise is nearer
	Until  int    // the artist said that it waits until this day; From or less when she did not
}

// Kept is that the artist keeps pieces for an order: on the days before one, by its place, no other takes them.
type Kept struct {
	Order  int64          // its key; it need not be among those that are planned
	Pieces map[string]int // by item
	To     int
}

// Question is what is to be planned.
type Question struct {
	Days   []Day
	Orders []Order
	Kept   []Kept
}

// Sent is what goes together on a day: some orders of one buyer, in one parcel or several.
type Sent struct {
	Day   int
	Marks []string
	Cost  int64
	Uses  map[string]int // pieces of the scarce items
}

// Going is what becomes of an order.
type Going struct {
	Order
	Day    int            // on which it goes; -1: on none of them
	Beside []string       // marks of the orders that go with it
	Saves  int64          // what it saves that it waits; less than nothing when it would cost less to send it at once
	Must   bool           // it cannot go sooner: without it more orders would be left out
	Comes  []string       // items that it takes and of which pieces come only after its first day
	Keeps  map[string]int // pieces that are there today and are kept for it and those beside it; with the first of them by mark
}

// Waits reports whether it goes later than it could.
func (g Going) Waits() bool { return g.Day > g.From }

// Plan is the plan of the days.
type Plan struct {
	Orders []Going
	Sent   []Sent // by day, then by mark
	Scarce []string
	Held   int   // orders that go on none of the days
	Total  int64 // what all that go cost
	Bound  int64 // they cost no less, whichever days they go on; with another number held it says nothing
	Proven bool

	AtOnce     int64 // the same if nothing waited
	AtOnceHeld int
}

// Of plans the days. ok is false when the search was stopped before every way was looked at. Faults: when ctx ends.
func Of(ctx context.Context, plans *dayplan.Plans, q Question) (p Plan, ok bool, err error) {
	plans.Hold(4 * len(q.Orders))
	b := newBuilder(plans, q)
	if err := b.columns(dayplan.Quietly(ctx)); err != nil {
		return p, false, err
	}
	p.Orders = make([]Going, len(q.Orders))
	best, err := b.solve(ctx, choice{may: b.asSaid})
	if err != nil || dayplan.Stopped(ctx) {
		return p, false, err
	}
	p.Held, p.Total, p.Bound, p.Proven = best.Held, best.Money, best.Bound.Money, best.Proven
	if best.Bound.Held < best.Held {
		p.Bound = 0
	}
	b.write(&p, best)
	once, err := b.solve(ctx, choice{
		may:   func(o *Order, _, day int) bool { return day == o.From },
		free:  func(int64) bool { return true },
		money: true,
	})
	if err != nil {
		return p, false, err
	}
	p.AtOnce, p.AtOnceHeld = once.Money, once.Held
	for i := range p.Orders {
		if err := b.saving(ctx, &p, i); err != nil {
			return p, false, err
		}
	}
	return p, !dayplan.Stopped(ctx), nil
}

// saving says what it saves that an order waits: what all would cost more if it went on its first day and no other went later than planned.
func (b *builder) saving(ctx context.Context, p *Plan, i int) error {
	g := &p.Orders[i]
	if !g.Waits() {
		return nil
	}
	may := func(o *Order, at, day int) bool {
		switch planned := p.Orders[at].Day; {
		case at == i:
			return day == o.From
		case planned >= 0 && day > planned:
			return false
		}
		return b.asSaid(o, at, day)
	}
	then, err := b.solve(ctx, choice{may, func(key int64) bool { return key == g.Key }, true})
	if err != nil {
		return err
	}
	g.Must, g.Saves = then.Held > p.Held, then.Money-p.Total
	return nil
}

// asSaid is the days of an order with what the artist said of it.
func (b *builder) asSaid(o *Order, _, day int) bool { return day >= min(o.Until, o.To) }

// write says of each order when it goes, with whom, and what is kept for it.
func (b *builder) write(p *Plan, a answer) {
	for i, o := range b.q.Orders {
		p.Orders[i] = Going{Order: o, Day: -1}
	}
	for u, unit := range b.units {
		for _, at := range a.Columns[u] {
			c := a.columns[u][at]
			s := Sent{Day: c.Day, Cost: c.Cost, Uses: map[string]int{}}
			members := unit.members(c.Orders)
			for _, i := range members {
				s.Marks = append(s.Marks, b.q.Orders[i].ID)
			}
			for j, item := range b.scarce {
				if n := c.Use[j]; n > 0 {
					s.Uses[b.shelf(0)[item].ID] = n
				}
			}
			for _, i := range members {
				g := &p.Orders[i]
				g.Day = c.Day
				g.Beside = slices.DeleteFunc(slices.Clone(s.Marks), func(m string) bool { return m == g.ID })
				for item, n := range a.uses[u][at] {
					few := n > b.stock(item, g.From) || slices.Contains(b.scarce, item)
					if n > 0 && few && b.stock(item, c.Day) > b.stock(item, g.From) {
						g.Comes = append(g.Comes, b.shelf(0)[item].ID)
					}
				}
			}
			p.Sent = append(p.Sent, s)
		}
	}
	slices.SortFunc(p.Sent, func(x, y Sent) int {
		if x.Day != y.Day {
			return x.Day - y.Day
		}
		return strings.Compare(x.Marks[0], y.Marks[0])
	})
	for _, item := range b.scarce {
		p.Scarce = append(p.Scarce, b.shelf(0)[item].ID)
	}
	b.keep(p)
}

// keep says which pieces of today are kept for a later day: as many as what goes up to some day takes beyond what comes until then.
func (b *builder) keep(p *Plan) {
	for _, item := range b.scarce {
		id, later, kept := b.shelf(0)[item].ID, 0, 0
		for _, s := range p.Sent {
			n := s.Uses[id]
			if s.Day == 0 || n == 0 {
				continue
			}
			later += n
			// What comes on the days up to this one may serve it.
			if more := later - (b.stock(item, s.Day) - b.stock(item, 0)) - kept; more > 0 {
				kept += more
				p.keepFor(s, id, more)
			}
		}
	}
}

// keepFor says that pieces are kept for what goes together: with the first by mark that waits, else with the first, so that what the artist
// says of a waiting order is all that she need say.
func (p *Plan) keepFor(s Sent, id string, n int) {
	var of *Going
	for _, mark := range s.Marks {
		for i := range p.Orders {
			if g := &p.Orders[i]; g.ID == mark && (of == nil || g.Waits() && !of.Waits()) {
				of = g
			}
		}
	}
	if of.Keeps == nil {
		of.Keeps = map[string]int{}
	}
	of.Keeps[id] += n
}

// ask is a day with some orders and at most so many pieces of some items, by their places.
func ask(day dayplan.Ask, orders []*Order, caps map[int]int) dayplan.Ask {
	a := dayplan.Ask{Room: day.Room, Base: day.Base}
	a.Base.Shelf = slices.Clone(a.Base.Shelf)
	for i, n := range maps.All(caps) {
		a.Base.Shelf[i].Stock = &n
	}
	var with []string
	for _, o := range orders {
		a.Add(o.Key, o.Order, o.Demand)
		with = append(with, cmp.Or(o.With, o.ID))
	}
	a.Join(with)
	return a
}
