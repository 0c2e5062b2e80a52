package waiting

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"solander/calendar"
	"solander/dayplan/ahead"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// View is the days ahead.
type View struct {
	Days    []Day        `json:"days"`
	Orders  []Order      `json:"orders"`           // by the day on which they go, then by mark
	Cost    money.Amount `json:"cost"`             // of all that go
	Saves   money.Amount `json:"saves"`            // what they cost less than if each went on its first day; 0 when fewer would go then
	Proven  bool         `json:"proven"`           // no other days for them cost less
	AtMost  money.Amount `json:"at_most"`          // by how much others might, when that is not proven
	Reserve int          `json:"reserve"`          // working days before its promise by which an order that waits goes
	Scarce  []Scarce     `json:"scarce,omitempty"` // packaging that does not go round as all would like it
}

// Day is a working day ahead.
type Day struct {
	Day   calendar.Day `json:"day"`
	Sent  []Sent       `json:"sent"` // what goes
	Cost  money.Amount `json:"cost"`
	Saves money.Amount `json:"saves"` // what is saved by those that wait for this day
}

// Sent is what goes together.
type Sent struct {
	Orders []string     `json:"orders"` // marks
	Cost   money.Amount `json:"cost"`
	Takes  []string     `json:"takes,omitempty"` // of what is scarce: "1 × tube 20 in"
}

// Order is what is planned for an order.
type Order struct {
	ID     int64          `json:"id"`
	Mark   string         `json:"mark"`
	Buyer  string         `json:"buyer"`
	Day    calendar.Day   `json:"day,omitzero"` // on which it goes; no day = it cannot go on any of them
	First  calendar.Day   `json:"first"`        // on which it could
	Last   calendar.Day   `json:"last,omitzero"`
	Why    string         `json:"why,omitempty"` // why it cannot go today
	Waits  bool           `json:"waits"`         // it goes later than it could
	With   []string       `json:"with,omitempty"`
	Comes  []string       `json:"comes,omitempty"` // packaging that it waits for
	Keeps  map[string]int `json:"keeps,omitempty"` // pieces by key that are there today and are kept for it
	Saves  money.Amount   `json:"saves"`           // what its waiting saves
	Must   bool           `json:"must,omitempty"`  // sooner it could not go
	Said   bool           `json:"said,omitempty"`  // its artist said that it waits, or that the pieces are kept for it
	Broken string         `json:"broken,omitempty"`
	Text   string         `json:"text,omitempty"` // "may wait until Tue 3 Mar: saves 6.40 USD, with S-12"
}

// Scarce is an item that is planned over the days.
type Scarce struct {
	Item  string `json:"item"`
	Name  string `json:"name"`
	There int    `json:"there"`
	Text  string `json:"text"`
}

// Ahead plans the next working days, Days of them when days is 0. Faults: Invalid for a number of days that cannot be planned.
func Ahead(ctx context.Context, s *studio.Studio, days int) (View, error) {
	later, err := AheadLater(ctx, s, days)
	return studio.Now(ctx, later, err)
}

// AheadLater reads what the days ahead follow from.
func AheadLater(ctx context.Context, s *studio.Studio, days int) (studio.Later[View], error) {
	if days == 0 {
		days = Days
	}
	if days < 1 || days > MostDays {
		return nil, fault.Invalidf("days", "%d days cannot be planned", days).ToMend("use 1 to %d", MostDays)
	}
	var a asked
	reserve := 0
	err := read(ctx, s, func(t *Waiting) error {
		d, err := t.Drawer()
		if err != nil {
			return err
		}
		reserve = t.Set.ReserveDays()
		a, err = t.Ask(s, d, days)
		return err
	})
	return func(ctx context.Context) (View, error) {
		p, ok, err := ahead.Of(ctx, s.Plans, a.Question)
		if err == nil && !ok {
			err = fault.New(fault.Refused, "planning ended before every way was looked at").ToMend("ask again, or for fewer days")
		}
		if err != nil {
			return View{}, err
		}
		v := a.view(p)
		v.Reserve = reserve
		return v, nil
	}, err
}

func (a *asked) amount(minor int64) money.Amount { return money.Of(minor, a.cur) }

// view puts a plan into words.
func (a *asked) view(p ahead.Plan) View {
	v := View{Cost: a.amount(p.Total), Saves: a.amount(0), Proven: p.Proven, AtMost: a.amount(0)}
	if p.AtOnceHeld == p.Held {
		v.Saves = a.amount(p.AtOnce - p.Total)
	}
	if !p.Proven {
		v.AtMost = a.amount(p.Total - p.Bound)
	}
	for _, d := range a.Question.Days {
		v.Days = append(v.Days, Day{Day: d.Day, Cost: a.amount(0), Saves: a.amount(0)})
	}
	for _, s := range p.Sent {
		d := &v.Days[s.Day]
		x := Sent{Orders: s.Marks, Cost: a.amount(s.Cost)}
		for _, id := range p.Scarce {
			if n := s.Uses[id]; n > 0 {
				x.Takes = append(x.Takes, fmt.Sprintf("%d × %s", n, a.names[id]))
			}
		}
		d.Sent, d.Cost.Minor = append(d.Sent, x), d.Cost.Minor+s.Cost
	}
	for i, g := range p.Orders {
		v.Orders = append(v.Orders, a.order(g, a.of[i]))
		if g.Waits() && !g.Must && g.Day >= 0 {
			v.Days[g.Day].Saves.Minor += g.Saves
		}
	}
	slices.SortStableFunc(v.Orders, func(x, y Order) int {
		switch {
		case x.Day == y.Day:
			return strings.Compare(x.Mark, y.Mark)
		case x.Day.IsZero() || !y.Day.IsZero() && y.Day.Before(x.Day):
			return 1
		}
		return -1
	})
	for _, id := range p.Scarce {
		v.Scarce = append(v.Scarce, a.scarce(id))
	}
	return v
}

// order says what is planned for an order.
func (a *asked) order(g ahead.Going, x about) Order {
	o := Order{
		ID: g.Key, Mark: g.ID, Buyer: x.buyer, First: x.ready.Day, Last: x.last, Why: x.ready.Why, Saves: a.amount(0), Said: x.said, Broken: x.broken,
		With: g.Beside, Keeps: g.Keeps,
	}
	if g.Day < 0 {
		o.Text = "cannot go on any of these days: no parcel of it can be made"
		return o
	}
	o.Day, o.Waits, o.Must = a.Question.Days[g.Day].Day, g.Waits(), g.Must
	for _, id := range g.Comes {
		o.Comes = append(o.Comes, a.names[id])
	}
	if len(x.keeps) > 0 {
		o.Keeps = x.keeps
	}
	if !o.Waits {
		o.Text = a.keeps(o)
		return o
	}
	if !g.Must {
		o.Saves = a.amount(g.Saves)
	}
	o.Text = o.says()
	return o
}

// says is the quiet line of an order that may wait, or does.
func (o Order) says() string {
	var why []string
	switch {
	case o.Must:
		why = append(why, "it cannot go sooner")
	case o.Saves.Sign() < 0:
		why = append(why, "sent at once it would cost "+o.Saves.Neg().String()+" less")
	case o.Saves.Sign() > 0:
		why = append(why, "saves "+o.Saves.String())
	default:
		why = append(why, "saves nothing any more")
	}
	if len(o.With) > 0 {
		why = append(why, "with "+strings.Join(o.With, " and "))
	}
	if len(o.Comes) > 0 {
		why = append(why, strings.Join(o.Comes, " and ")+" to come")
	}
	word := "may wait until "
	if o.Said {
		word = "waits until "
	}
	return word + o.Day.Short() + ": " + strings.Join(why, ", ")
}

// MayKeep reports that packaging of today is kept for an order that does not wait, or may be.
func (o Order) MayKeep() bool { return !o.Waits && len(o.Keeps) > 0 }

// keeps is the quiet line of an order for which something is kept, or may be; "" when nothing is.
func (a *asked) keeps(o Order) string {
	if !o.MayKeep() {
		return ""
	}
	if o.Said {
		return keeping(order.Wait{Until: o.Day, Keeps: o.Keeps}, a.names)
	}
	return "goes " + o.Day.Short() + ": keep " + pieces(o.Keeps, a.names) + " for it"
}

// keeping is what is said of an order for which packaging is kept: "1 × Tube 20 in is kept for it until Thu 5 Mar". names are those of items.
func keeping(w order.Wait, names map[string]string) string {
	are, all := "is", 0
	for _, n := range w.Keeps {
		all += n
	}
	if all > 1 {
		are = "are"
	}
	return pieces(w.Keeps, names) + " " + are + " kept for it until " + w.Until.Short()
}

// pieces names pieces of items.
func pieces(of map[string]int, names map[string]string) string {
	var out []string
	for _, id := range slices.Sorted(maps.Keys(of)) {
		out = append(out, fmt.Sprintf("%d × %s", of[id], cmp.Or(names[id], id)))
	}
	return strings.Join(out, " and ")
}

// scarce says what there is of an item and what comes.
func (a *asked) scarce(id string) Scarce {
	s := Scarce{Item: id, Name: a.names[id]}
	for _, it := range a.Question.Days[0].Ask.Base.Shelf {
		if it.ID == id && it.Stock != nil {
			s.There = *it.Stock
		}
	}
	s.Text = fmt.Sprintf("%s: %d there", s.Name, s.There)
	for _, c := range a.stocks {
		if c.item.Spec.ID == id {
			s.Text += fmt.Sprintf(", %d expected %s", c.item.Coming, c.expected.Short())
		}
	}
	return s
}
