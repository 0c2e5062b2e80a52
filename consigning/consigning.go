// Package consigning is the use cases of galleries: kept, prints sent there, sold, come back or lost, their money, their statements. Each step of
// a print is an entry of the register in the same transaction; a number at a gallery is given to no order meanwhile.
package consigning

import (
	"context"
	"fmt"
	"slices"

	"solander/calendar"
	"solander/consign"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	consign.Store
	SaveOutlet(order.Outlet) (int64, error)
	Outlets() ([]order.Outlet, error)
	NumbersIn(q studio.NumberQuery) ([]studio.NumberRow, error)
	History(ed int64, n edition.Number) ([]edition.Entry, error)
}

// Consigning is one transaction as this room sees it.
type Consigning struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Consigning { return &Consigning{t, t.Tx} }

var write, read = studio.Doors(In)

// promiseDays are those of an outlet that is made with a gallery. Common practice, no source.
const promiseDays = 10

// Save adds a gallery (ID 0) or changes one. A new one gets an outlet of its name, unless there is one. Faults: Invalid; Missing; Taken.
func Save(ctx context.Context, s *studio.Studio, h consign.House) (consign.House, error) {
	if err := h.Validate(); err != nil {
		return h, err
	}
	return studio.Got(ctx, s, write, func(t *Consigning) (consign.House, error) {
		if h.ID != 0 {
			was, err := t.Gallery(h.ID)
			if err != nil {
				return h, err
			}
			h.Outlet = was.Outlet
		}
		if h.Outlet == 0 {
			all, err := t.Outlets()
			if err != nil {
				return h, err
			}
			if i := slices.IndexFunc(all, func(o order.Outlet) bool { return o.Name == h.Name }); i >= 0 {
				h.Outlet = all[i].ID
			} else if h.Outlet, err = t.SaveOutlet(order.Outlet{Name: h.Name, PromiseDays: promiseDays}); err != nil {
				return h, err
			}
		}
		var err error
		h.ID, err = t.SaveGallery(h)
		return h, err
	})
}

// PrintView is a print at a gallery with its name.
type PrintView struct {
	consign.Print
	Ed    edition.Edition `json:"edition_detail"`
	Label string          `json:"label"`
	Late  bool            `json:"late,omitempty"` // it should be back
}

// View is a gallery with what it has and owes.
type View struct {
	consign.House
	Prints  []PrintView      `json:"prints"` // the latest first
	Moneys  []consign.Money  `json:"moneys"`
	Owed    money.Amount     `json:"owed"`
	Debts   []consign.Unpaid `json:"debts"`
	Result  consign.Result   `json:"result"`
	There   int              `json:"there"`   // prints
	Worth   money.Amount     `json:"worth"`   // at their prices
	Overdue money.Amount     `json:"overdue"` // of what it owes
	Late    int              `json:"late"`    // prints that should be back
}

// Galleries returns all galleries, by name.
func Galleries(ctx context.Context, s *studio.Studio) ([]View, error) {
	return studio.Got(ctx, s, read, func(t *Consigning) ([]View, error) {
		all, err := t.Galleries()
		if err != nil {
			return nil, err
		}
		out := make([]View, len(all))
		for i, h := range all {
			if out[i], err = t.view(h); err != nil {
				return nil, err
			}
		}
		return out, nil
	})
}

// Gallery returns one. Faults: Missing.
func Gallery(ctx context.Context, s *studio.Studio, id int64) (View, error) {
	return studio.Got(ctx, s, read, func(t *Consigning) (View, error) {
		h, err := t.Gallery(id)
		if err != nil {
			return View{}, err
		}
		return t.view(h)
	})
}

func (t *Consigning) view(h consign.House) (View, error) {
	v := View{House: h, Worth: money.Of(0, t.Set.Currency), Overdue: money.Of(0, t.Set.Currency)}
	prints, err := t.Consignments(consign.Query{Gallery: h.ID})
	if err != nil {
		return v, err
	}
	if v.Moneys, err = t.GalleryMoneys(h.ID); err != nil {
		return v, err
	}
	cost := map[int64]money.Amount{}
	for _, p := range prints {
		if p.State == consign.Void {
			continue
		}
		e, err := t.EditionOf(p.Edition)
		if err != nil {
			return v, err
		}
		cost[p.Edition] = e.PrintCost
		x := PrintView{p, e, consign.Label(p.Number, e), p.Late(t.Today)}
		v.Prints = append(v.Prints, x)
		if p.State == consign.Out {
			v.There++
			if v.Worth, err = v.Worth.Add(p.Price); err != nil {
				return v, err
			}
		}
		if x.Late {
			v.Late++
		}
	}
	if v.Owed, err = consign.Owed(prints, v.Moneys, t.Set.Currency); err != nil {
		return v, err
	}
	v.Debts = consign.Debts(prints, v.Moneys, h.PayDays, t.Today)
	for _, d := range v.Debts {
		if d.Late > 0 {
			v.Overdue.Minor += d.Owed.Minor
		}
	}
	v.Result, err = consign.Batch{Prints: prints, Costs: v.Moneys, Cost: func(p consign.Print) money.Amount {
		return money.Of(cost[p.Edition].Minor, t.Set.Currency)
	}}.Result(t.Set.Currency)
	return v, err
}

// StatementView is a statement with the names on it.
type StatementView struct {
	consign.House
	consign.Statement
	Names    map[int64]string `json:"names"` // of prints, by their ids
	Cautions []string         `json:"cautions"`
	Made     calendar.Day     `json:"made"`
}

// Statement returns what went on with a gallery, from a day (none: from the beginning) to another (none: today), both in.
// Faults: Missing; Invalid when the days are the wrong way round.
func Statement(ctx context.Context, s *studio.Studio, id int64, from, to calendar.Day) (StatementView, error) {
	return studio.Got(ctx, s, read, func(t *Consigning) (StatementView, error) {
		v := StatementView{Names: map[int64]string{}, Cautions: consign.Cautions(), Made: t.Today}
		if to.IsZero() {
			to = t.Today
		}
		if !from.IsZero() && to.Before(from) {
			return v, fault.Invalidf("to", "%s is before %s", to, from).ToMend("give the earlier day first")
		}
		var err error
		if v.House, err = t.Gallery(id); err != nil {
			return v, err
		}
		prints, err := t.Consignments(consign.Query{Gallery: id})
		if err != nil {
			return v, err
		}
		moneys, err := t.GalleryMoneys(id)
		if err != nil {
			return v, err
		}
		for _, p := range prints {
			e, err := t.EditionOf(p.Edition)
			if err != nil {
				return v, err
			}
			v.Names[p.ID] = fmt.Sprintf("%s, %s", consign.Label(p.Number, e), t.sizeOf(e))
		}
		v.Statement, err = consign.StatementOf(prints, moneys, t.Set.Currency, from, to)
		return v, err
	})
}

func (t *Consigning) sizeOf(e edition.Edition) string { return e.Size(t.Set.Units) }
