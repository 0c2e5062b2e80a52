// Package fairs is the use cases of days at a table: begun with a float, counted at the end, with what they cost, took by each way of paying,
// sold and earned. What was taken is what the till sold: it is summed, never entered.
package fairs

import (
	"context"

	"solander/calendar"
	"solander/earnings"
	"solander/edition"
	"solander/fair"
	"solander/fault"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	fair.Store
	OrderEntries(orders []int64) ([]ledger.Entry, error)
	Entered(kind string, ids []int64) ([]ledger.Entry, error)
}

// Fairs is one transaction as this room sees it.
type Fairs struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Fairs { return &Fairs{t, t.Tx} }

var write, read = studio.Doors(In)

// Begin begins a day at a table (no day: today). Faults: Invalid; Missing; Taken when its outlet has one of that day.
func Begin(ctx context.Context, s *studio.Studio, d fair.Day) (fair.Day, error) {
	d = fair.Day{Outlet: d.Outlet, Day: d.Day, Name: d.Name, Float: d.Float}
	if err := d.Validate(); err != nil {
		return d, err
	}
	return studio.Got(ctx, s, write, func(t *Fairs) (fair.Day, error) {
		var err error
		if d.Day, err = t.NotFuture("day", d.Day); err != nil {
			return d, err
		}
		if d.Float, err = t.Cash("float", d.Float); err != nil {
			return d, err
		}
		if _, err = t.OutletOf(d.Outlet); err != nil {
			return d, fault.InField(err, "outlet")
		}
		d.Counted, d.At, d.Who = money.Of(0, t.Set.Currency), t.Now, t.Who
		if d.ID, err = t.SaveFairDay(d); err != nil {
			return d, err
		}
		return d, t.Note(0, "%s, %s: begun with %s in the cash box", d.Name, d.Day, d.Float)
	})
}

// CountIn is what was found at the end of a day.
type CountIn struct {
	Day     int64
	Counted money.Amount // what lies in the box, float and all; what was carried to the bank before is added to it
	Why     string       // that it is off
	Minutes int64        // at the table; 0 = not told
}

// Count ends a day by what lies in the cash box, float and all; counted again, the later count stands.
// Faults: Invalid when it is off and nobody says why; Missing; Refused when the day was taken back.
func Count(ctx context.Context, s *studio.Studio, in CountIn) (View, error) {
	err := write(ctx, s, func(t *Fairs) error {
		d, err := t.standing(in.Day)
		if err != nil {
			return err
		}
		if d.Counted, err = t.Cash("counted", in.Counted); err != nil {
			return err
		}
		counted := d.Counted
		d.Ended, d.Why, d.Minutes = true, in.Why, in.Minutes
		if err := d.Validate(); err != nil {
			return err
		}
		taken, costs, _, err := t.sums(d)
		if err != nil {
			return err
		}
		carried, err := t.FairCarries(d.ID)
		if err != nil {
			return err
		}
		gone := fair.Gone(carried)
		d.Counted.Minor += gone
		if off := d.Off(taken, costs); !off.IsZero() && d.Why == "" {
			ought := d.Box(taken, costs)
			ought.Minor -= gone
			return fault.Invalidf("why", "%s were counted, and %s ought to be there", counted, ought).
				ToMend("count again, or say in a word why, such as change")
		}
		if _, err := t.SaveFairDay(d); err != nil {
			return err
		}
		return t.Note(0, "%s, %s: %s counted in the cash box", d.Name, d.Day, counted)
	})
	if err != nil {
		return View{}, err
	}
	return Day(ctx, s, in.Day) // with what the journal has of it now
}

// Reopen takes a count back. Faults: Missing; Refused when there is none.
func Reopen(ctx context.Context, s *studio.Studio, id int64) (fair.Day, error) {
	return studio.Got(ctx, s, write, func(t *Fairs) (fair.Day, error) {
		d, err := t.standing(id)
		if err != nil {
			return d, err
		}
		if !d.Ended {
			return d, fault.New(fault.Refused, "it was not counted yet").At("%s", d.Name).ToMend("look at the day again")
		}
		d.Ended, d.Counted, d.Why = false, money.Of(0, t.Set.Currency), ""
		if _, err := t.SaveFairDay(d); err != nil {
			return d, err
		}
		return d, t.Note(0, "%s, %s: the count was taken back", d.Name, d.Day)
	})
}

// Drop takes back that there was a table on that day; the till's sales stay. Faults: Missing; Refused while it is counted, or has costs.
func Drop(ctx context.Context, s *studio.Studio, id int64) (fair.Day, error) {
	return studio.Got(ctx, s, write, func(t *Fairs) (fair.Day, error) {
		d, err := t.standing(id)
		if err != nil {
			return d, err
		}
		costs, err := t.FairCosts(id)
		if err != nil {
			return d, err
		}
		carried, err := t.FairCarries(id)
		if err != nil {
			return d, err
		}
		if d.Ended || len(standing(costs)) > 0 || len(stillCarried(carried)) > 0 {
			return d, fault.New(fault.Refused, "it was counted, has costs, or its cash was carried to the bank").At("%s", d.Name).ToMend("take these back first")
		}
		d.Dropped = true
		if _, err := t.SaveFairDay(d); err != nil {
			return d, err
		}
		return d, t.Note(0, "%s, %s: it was no day at a table", d.Name, d.Day)
	})
}

// AddCost notes a cost of a day. Faults: Invalid; Missing; Refused when the day was taken back.
func AddCost(ctx context.Context, s *studio.Studio, c fair.Cost) (fair.Cost, error) {
	if err := c.Validate(); err != nil {
		return c, err
	}
	return studio.Got(ctx, s, write, func(t *Fairs) (fair.Cost, error) {
		d, err := t.standing(c.FairDay)
		if err != nil {
			return c, err
		}
		if c.Amount, err = t.Cash("amount", c.Amount); err != nil {
			return c, err
		}
		c.Reversed, c.At, c.Who = false, t.Now, t.Who
		if c.ID, err = t.AddFairCost(c); err != nil {
			return c, err
		}
		return c, t.Note(0, "%s, %s: %s, %s", d.Name, d.Day, c.Amount, c.Kind.Words())
	})
}

// ReverseCost takes back a cost that was noted wrongly. Faults: Missing; Refused when it was taken back already.
func ReverseCost(ctx context.Context, s *studio.Studio, id int64) (fair.Cost, error) {
	return studio.Got(ctx, s, write, func(t *Fairs) (fair.Cost, error) {
		c, err := t.FairCost(id)
		if err != nil {
			return c, err
		}
		if c.Reversed {
			return c, fault.New(fault.Refused, "it was taken back already").In("cost").ToMend("look at the list again")
		}
		c.Reversed = true
		if err := t.ReverseFairCost(id); err != nil {
			return c, err
		}
		return c, t.Note(0, "%s, %s: taken back", c.Amount, c.Kind.Words())
	})
}

// standing is a day that was not taken back.
func (t *Fairs) standing(id int64) (fair.Day, error) {
	d, err := t.FairDay(id)
	if err == nil && d.Dropped {
		err = fault.New(fault.Refused, "that day was taken back").At("%s", d.Name).ToMend("begin one anew")
	}
	return d, err
}

func standing(costs []fair.Cost) []fair.Cost {
	out := []fair.Cost{}
	for _, c := range costs {
		if !c.Reversed {
			out = append(out, c)
		}
	}
	return out
}

// sums are what a day took, cost, and the orders of it.
func (t *Fairs) sums(d fair.Day) (fair.Takings, []fair.Cost, []order.Order, error) {
	orders, err := t.FairOrders(d)
	if err != nil {
		return fair.Takings{}, nil, nil, err
	}
	costs, err := t.FairCosts(d.ID)
	return d.Taken(orders, t.Set.Currency), standing(costs), orders, err
}

// Sold is a print that the till sold on a day.
type Sold struct {
	Mark    string       `json:"mark"`
	Edition int64        `json:"edition"`
	Work    int64        `json:"work"`
	Print   string       `json:"print"` // "17/250 Heron at dusk"
	Price   money.Amount `json:"price"`
	Back    bool         `json:"back,omitempty"` // it came back
}

// View is a day with what it took, cost and earned.
type View struct {
	fair.Day
	OutletName string       `json:"outlet_name"`
	Takings    fair.Takings `json:"takings"`
	Sum        money.Amount `json:"sum"`
	Costs      []fair.Cost  `json:"costs"`
	Box        money.Amount `json:"box"`         // what ought to be in the cash box, with what was carried to the bank
	Lies       money.Amount `json:"lies_in_box"` // what ought to lie there now, or what is left of the count, float and all
	Carried    []fair.Carry `json:"carried"`
	Cash       money.Amount `json:"cash"` // of its takings that are still in the cash box
	Off        money.Amount `json:"off"`  // the count, less that
	Sold       []Sold       `json:"sold"`
	Prints     int          `json:"prints"` // sold, and not back
	// Earned is what the journal says of the orders that the till sold on the day, and of the day itself.
	Earned earnings.Group `json:"earned"`
	Left   money.Amount   `json:"left"`    // of the income when all costs are off
	AnHour money.Amount   `json:"an_hour"` // of that, for each hour at the table; nothing when they are not told
}

// OfCount says that the count holds what was carried to the bank before it.
func (v View) OfCount() string {
	if len(v.Carried) == 0 {
		return ""
	}
	return "with what was carried before"
}

func (t *Fairs) view(d fair.Day) (View, error) {
	v := View{Day: d, Sold: []Sold{}}
	u, err := t.OutletOf(d.Outlet)
	if err != nil {
		return v, err
	}
	v.OutletName = u.Name
	var orders []order.Order
	if v.Takings, v.Costs, orders, err = t.sums(d); err != nil {
		return v, err
	}
	carried, err := t.FairCarries(d.ID)
	if err != nil {
		return v, err
	}
	v.Sum, v.Box, v.Off = v.Takings.Sum(), d.Box(v.Takings, v.Costs), d.Off(v.Takings, v.Costs)
	v.Carried, v.Cash = stillCarried(carried), d.Cash(v.Takings, v.Costs, carried)
	v.Lies = money.Of(v.Cash.Minor+d.Float.Minor, v.Cash.Currency)
	var ids []int64
	for _, o := range orders {
		if !d.Sold(o) {
			continue
		}
		ids = append(ids, o.ID)
		for _, l := range o.Lines {
			e, err := t.EditionOf(l.Edition)
			if err != nil {
				return v, err
			}
			p := Sold{Mark: o.Mark, Edition: e.ID, Work: e.Work, Print: named(l, e), Price: l.Price, Back: l.Dropped || o.State == order.Returned}
			if !p.Back {
				v.Prints++
			}
			v.Sold = append(v.Sold, p)
		}
	}
	return v, t.earned(&v, ids)
}

func named(l order.Line, e edition.Edition) string { return studio.Named(l.Number.Of(e), e.Title) }

// earned sums what the journal says of orders and of the day.
func (t *Fairs) earned(v *View, orders []int64) error {
	v.Earned = earnings.Group{Key: v.Day.Day.String(), Name: v.Name, Currency: t.Set.Currency}
	entries, err := t.OrderEntries(orders)
	if err != nil {
		return err
	}
	own, err := t.Entered(ledger.FairDay, []int64{v.ID})
	if err != nil {
		return err
	}
	mine := map[int64]bool{}
	for _, id := range orders {
		mine[id] = true
	}
	for _, e := range append(entries, own...) {
		for _, l := range e.Lines {
			if f, ok := earnings.Of(l.Account, l.Amount); ok && (mine[l.Order] || e.Subject.Kind == ledger.FairDay) {
				v.Earned.Add(f)
			}
		}
	}
	v.Earned.Sorted()
	v.Left = money.Of(v.Earned.Left().Both(), t.Set.Currency)
	v.AnHour = money.Of(0, t.Set.Currency)
	if v.Minutes > 0 {
		v.AnHour.Minor = v.Left.Minor * 60 / v.Minutes
	}
	return nil
}

// Days returns the days at a table that stand, the latest first.
func Days(ctx context.Context, s *studio.Studio) ([]View, error) {
	return studio.Got(ctx, s, read, (*Fairs).Days)
}

// Days are the days at a table that stand, the latest first.
func (t *Fairs) Days() ([]View, error) {
	all, err := t.FairDays()
	out := []View{}
	for _, d := range all {
		if d.Dropped {
			continue
		}
		v, err := t.view(d)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, err
}

// Day returns one. Faults: Missing.
func Day(ctx context.Context, s *studio.Studio, id int64) (View, error) {
	return studio.Got(ctx, s, read, func(t *Fairs) (View, error) {
		d, err := t.FairDay(id)
		if err != nil {
			return View{}, err
		}
		return t.view(d)
	})
}

// On is the day at the table of an outlet on a day, as the till asks; nil when none was begun.
func On(ctx context.Context, s *studio.Studio, outlet int64, on calendar.Day) (*View, error) {
	return studio.Got(ctx, s, read, func(t *Fairs) (*View, error) {
		all, err := t.FairDays()
		if err != nil {
			return nil, err
		}
		for _, d := range all {
			if !d.Dropped && d.Outlet == outlet && d.Day == on {
				v, err := t.view(d)
				return &v, err
			}
		}
		return nil, nil
	})
}
