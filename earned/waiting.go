package earned

import (
	"maps"
	"slices"

	"solander/calendar"
	"solander/earnings"
	"solander/layers"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/tariff"
)

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// waits is a sold print that is still in the house, with what it is likely to earn.
type waits struct {
	order order.Order
	facts []earnings.Fact
}

// waiting are the prints of sales placed in some days that are still in the house, in the studio's currency; none when the days end before today.
func (t *Earned) waiting(a Ask) ([]waits, error) {
	if !a.To.IsZero() && a.To.Before(t.Today) {
		return nil, nil
	}
	open, err := t.OpenOrders()
	if err != nil || len(open) == 0 {
		return nil, err
	}
	if err := t.readEditions(); err != nil {
		return nil, err
	}
	h, err := t.house(t.Today)
	if err != nil {
		return nil, err
	}
	var out []waits
	for _, o := range open {
		if o.Placed.Before(a.From) || !a.To.IsZero() && o.Placed.After(a.To) {
			continue
		}
		for _, x := range h.prints(t, o) {
			facts := slices.DeleteFunc(x.Estimate(), func(f earnings.Fact) bool { return f.Amount.Currency != t.Set.Currency })
			out = append(out, waits{o, facts})
		}
	}
	return out, nil
}

// lotOf is to what of a lot a print of an order belongs, as the store says it of the journal.
func lotOf(by earnings.Lot, o order.Order, ed int64) (int64, string) {
	switch by {
	case earnings.LotOutlet:
		return o.Outlet, ""
	case earnings.LotBuyer:
		return o.Buyer, ""
	case earnings.LotState:
		return 0, earnings.State(o.ShipTo.Country, o.ShipTo.Region)
	}
	return ed, ""
}

// house is what is known of prints in the house.
type house struct {
	parcels   map[int64]studio.Parcel // by line
	sheets    map[int64]layers.Use    // what the sheet of a line costs, when its orders leave one after the other; absent: none is there yet
	packaging earnings.Usual
	postage   earnings.Usual
}

// usualDays is over how long usual costs are looked at.
const usualDays = 365

func (t *Earned) house(today calendar.Day) (house, error) {
	h := house{parcels: map[int64]studio.Parcel{}}
	parcels, err := t.OpenParcels()
	if err != nil {
		return h, err
	}
	for _, p := range parcels {
		for _, l := range p.Lines {
			h.parcels[l] = p
		}
	}
	if h.sheets, err = t.sheets(); err != nil {
		return h, err
	}
	sums, err := t.SumsByOutlet(ledger.Month(today.Add(-usualDays)), "")
	if err != nil {
		return h, err
	}
	for _, s := range sums {
		if s.Amount.Currency != t.Set.Currency {
			continue
		}
		switch s.Account {
		case ledger.Sales:
			h.packaging.Prices -= s.Amount.Minor
			h.postage.Prices -= s.Amount.Minor
		case ledger.PackagingUsed:
			h.packaging.Cost += s.Amount.Minor
		case ledger.PostagePaid:
			h.postage.Cost += s.Amount.Minor
		}
	}
	return h, nil
}

// sheets takes for each print in the house a sheet of the layers, as the journal does when it leaves: the first in is the first out.
func (t *Earned) sheets() (map[int64]layers.Use, error) {
	stocks, err := t.SheetLayers()
	if err != nil {
		return nil, err
	}
	open, err := t.OpenOrders()
	out := map[int64]layers.Use{}
	for _, o := range open {
		for _, l := range o.Live() {
			if l.Sent {
				continue
			}
			if uses := stocks[l.Edition].Take(1); len(uses) > 0 {
				out[l.ID] = uses[0]
			}
		}
	}
	return out, err
}

// sheet is what the sheet of a line costs, and the run that it came with: by its layer, or else what the lab asks for one of its edition.
func (h house) sheet(t *Earned, l order.Line) (cost money.Amount, run int64) {
	if u, ok := h.sheets[l.ID]; ok {
		return u.Cost, u.Run
	}
	return t.editions[l.Edition].PrintCost, 0
}

// prints are the prints of an order that have not left the house.
func (h house) prints(t *Earned, o order.Order) []earnings.Waiting {
	live := o.Live()
	ones, prices := make([]int64, len(live)), make([]int64, len(live))
	for i, l := range live {
		ones[i], prices[i] = 1, l.Price.Minor
	}
	charged, fee := money.Shares(o.Postage.Minor, ones), money.Shares(o.Fee.Minor, prices)
	var out []earnings.Waiting
	for i, l := range live {
		if l.Sent {
			continue
		}
		w := earnings.Waiting{
			Fact: earnings.Fact{Edition: l.Edition, Outlet: o.Outlet, Order: o.ID, Line: l.ID}, Price: l.Price,
			Charged: money.Of(charged[i], o.Postage.Currency), Fee: money.Of(fee[i], o.Fee.Currency),
			UsualPackaging: h.packaging, UsualPostage: h.postage,
		}
		w.Sheet, w.Run = h.sheet(t, l)
		if p, packed := h.parcels[l.ID]; packed {
			w.Packed, w.Labelled = true, p.HasLabel()
			w.Packaging, w.Postage = shareOfLine(p, o, l.ID)
		}
		if o.InPerson {
			w.Packed, w.Labelled = true, true // neither packaging nor postage
		}
		out = append(out, w)
	}
	return out
}

// shareOfLine is what a print bears of the packaging and of the postage of its parcel.
func shareOfLine(p studio.Parcel, o order.Order, line int64) (packaging, postage money.Amount) {
	cur := p.Estimated.Currency
	whole := money.Of(0, cur)
	for _, l := range p.Plan.Lines {
		if l.Rule == tariff.Packaging {
			whole.Minor += l.Amount
		}
	}
	var own []int64
	for _, l := range o.Lines {
		if slices.Contains(p.Lines, l.ID) {
			own = append(own, l.ID)
		}
	}
	at := slices.Index(own, line)
	ones := make([]int64, len(own))
	for i := range ones {
		ones[i] = 1
	}
	of := func(a money.Amount) money.Amount {
		return money.Of(money.Shares(p.ShareOf(o.Mark, a).Minor, ones)[at], cur)
	}
	return of(whole), of(p.Estimated)
}

// below are the orders that brought less than they cost, of those of which something was sold in the days.
func (t *Earned) below(a Ask) ([]Below, error) {
	sums, err := t.SumsOfOrdersSold(a.From, a.To, mostBelow)
	if err != nil {
		return nil, err
	}
	out, at := []Below{}, map[int64]int{}
	for _, s := range sums {
		if s.Amount.Currency != t.Set.Currency {
			continue
		}
		i, known := at[s.ID]
		if !known {
			i = len(out)
			at[s.ID] = i
			out = append(out, Below{Order: s.ID})
		}
		out[i].Add(s.Fact())
	}
	if err := t.mark(out); err != nil {
		return nil, err
	}
	out = slices.DeleteFunc(out, func(b Below) bool { return !b.BelowCost() })
	slices.SortFunc(out, func(a, b Below) int { return -earnings.Compare(a.Group, b.Group) })
	return out, nil
}
