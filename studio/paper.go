package studio

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/packing"
	"solander/papers"
)

func (t *turn) head(day calendar.Day) papers.Head {
	if day.IsZero() {
		day = t.today
	}
	return papers.Head{Studio: t.set.Studio, Day: day, Units: t.set.Units}
}

// headOf reads what a paper begins with outside of a transaction of its own.
func (s *Studio) headOf(ctx context.Context, day calendar.Day) (papers.Head, error) {
	var h papers.Head
	err := s.read(ctx, func(t *turn) error {
		h = t.head(day)
		return nil
	})
	return h, err
}

// BenchPaper is the bench sheet of a day; the zero day is today.
func (s *Studio) BenchPaper(ctx context.Context, day calendar.Day) (papers.BenchSheet, error) {
	l, err := s.Bench(ctx, day)
	if err != nil {
		return papers.BenchSheet{}, err
	}
	h, err := s.headOf(ctx, day)
	return papers.Bench(h, l), err
}

// SignPaper is the list of what to sign on a day; the zero day is today.
func (s *Studio) SignPaper(ctx context.Context, day calendar.Day) (papers.SignList, error) {
	l, err := s.Bench(ctx, day)
	if err != nil {
		return papers.SignList{}, err
	}
	h, err := s.headOf(ctx, day)
	return papers.Sign(h, l), err
}

// SlipPaper is the packing slip of an order. Faults: Missing.
func (s *Studio) SlipPaper(ctx context.Context, orderID int64) (papers.PackingSlip, error) {
	var slip papers.PackingSlip
	err := s.read(ctx, func(t *turn) error {
		o, err := t.Order(orderID)
		if err != nil {
			return err
		}
		u, err := t.outlet(o.Outlet)
		if err != nil {
			return err
		}
		b, err := t.buyer(o.Buyer)
		if err != nil {
			return err
		}
		in := papers.SlipIn{Order: o, Outlet: u.Name, Buyer: cmp.Or(o.Said.Name, b.Name), From: t.set.Address, Editions: map[int64]edition.Edition{}}
		for _, l := range o.Lines {
			if in.Editions[l.Edition], err = t.edition(l.Edition); err != nil {
				return err
			}
		}
		parcels, err := t.Parcels(o.ID)
		if err != nil {
			return err
		}
		for _, p := range parcels {
			if err := t.slipWith(&in, p); err != nil {
				return err
			}
		}
		slip = papers.Slip(t.head(calendar.Day{}), in)
		return nil
	})
	return slip, err
}

// slipWith adds to a slip what lies in a parcel of other orders.
func (t *turn) slipWith(in *papers.SlipIn, p Parcel) error {
	all, err := t.sharing(p)
	if err != nil {
		return err
	}
	for _, o := range others(all, in.Order.ID) {
		var lines []order.Line
		for _, l := range o.Live() {
			if slices.Contains(p.Lines, l.ID) {
				lines = append(lines, l)
			}
			if in.Editions[l.Edition], err = t.edition(l.Edition); err != nil {
				return err
			}
		}
		in.With = append(in.With, papers.SlipWith{Order: o, Lines: lines})
	}
	return nil
}

// parcelPaper reads what papers of one packed parcel are made of. Part counts the order's parcels from 1.
func (s *Studio) parcelPaper(ctx context.Context, id int64, f func(*turn, wording, []order.Order, Parcel, int, int) error) error {
	return s.read(ctx, func(t *turn) error {
		p, err := t.Parcel(id)
		if err != nil {
			return err
		}
		orders, err := t.sharing(p)
		if err != nil {
			return err
		}
		all, err := t.Parcels(p.Order)
		if err != nil {
			return err
		}
		r, err := s.stockroom(t)
		if err != nil {
			return err
		}
		part := 1 + slices.IndexFunc(all, func(x Parcel) bool { return x.ID == id })
		return f(t, t.wording(r), orders, p, part, len(all))
	})
}

// LabelPaper is the address label of a parcel; it is never postage. Faults: Missing.
func (s *Studio) LabelPaper(ctx context.Context, parcel int64) (papers.AddressLabel, error) {
	var out papers.AddressLabel
	err := s.parcelPaper(ctx, parcel, func(t *turn, w wording, of []order.Order, p Parcel, part, parts int) error {
		out = papers.Label(t.head(calendar.Day{}), papers.LabelIn{
			From: t.set.Address, To: of[0].ShipTo, Mark: of[0].Mark, With: marksOf(of[1:]), Part: part, Parts: parts, Service: w.service(p.Plan.Card, p.Service),
		})
		return nil
	})
	return out, err
}

// WrapPaper tells how to build a packed parcel. Faults: Missing.
func (s *Studio) WrapPaper(ctx context.Context, parcel int64) (papers.WrapSheet, error) {
	var out papers.WrapSheet
	err := s.parcelPaper(ctx, parcel, func(t *turn, w wording, of []order.Order, p Parcel, part, parts int) (err error) {
		in := papers.WrapIn{Part: part, Parts: parts, Service: w.service(p.Plan.Card, p.Service), Warnings: p.Warnings}
		out, err = t.wrapSheet(w, of, p.Plan, in)
		return err
	})
	return out, err
}

// WrapPapers tells how to build every parcel of an order: those that are packed, or else as planned now.
// Faults: Missing; Refused when nothing is packed and no plan sends it.
func (s *Studio) WrapPapers(ctx context.Context, orderID int64) ([]papers.WrapSheet, error) {
	v, err := s.Order(ctx, orderID)
	if err != nil {
		return nil, err
	}
	var out []papers.WrapSheet
	for _, p := range v.Parcels {
		sheet, err := s.WrapPaper(ctx, p.ID)
		if err != nil {
			return nil, err
		}
		out = append(out, sheet)
	}
	if len(out) > 0 {
		return out, nil
	}
	return s.plannedWraps(ctx, orderID)
}

func (s *Studio) plannedWraps(ctx context.Context, orderID int64) ([]papers.WrapSheet, error) {
	planned, err := s.Plan(ctx, orderID, calendar.Day{})
	if err != nil {
		return nil, err
	}
	if why := heldIn(planned.Problem, planned.Plan); why != "" {
		return nil, fault.New(fault.Refused, "it cannot be packed: %s", why).At("%s", planned.Order.Mark).ToMend("look at the plan")
	}
	var warnings []string
	for _, w := range planned.Plan.Warnings {
		warnings = append(warnings, w.Text)
	}
	var out []papers.WrapSheet
	err = s.read(ctx, func(t *turn) error {
		r, err := s.stockroom(t)
		if err != nil {
			return err
		}
		w := t.wording(r)
		of, err := t.marked(planned.Plan)
		if err != nil {
			return err
		}
		for i, p := range planned.Plan.Parcels {
			in := papers.WrapIn{Part: i + 1, Parts: len(planned.Plan.Parcels), Service: w.service(p.Card, p.Service), Warnings: warnings}
			sheet, err := t.wrapSheet(w, of, p, in)
			if err != nil {
				return err
			}
			out = append(out, sheet)
		}
		return nil
	})
	return out, err
}

// wrapSheet lays out a parcel of orders, of which only those in it count.
func (t *turn) wrapSheet(w wording, all []order.Order, p packing.Parcel, in papers.WrapIn) (papers.WrapSheet, error) {
	of := slices.DeleteFunc(slices.Clone(all), func(o order.Order) bool { return !slices.Contains(sharers(p), o.Mark) })
	if len(of) == 0 {
		of = all[:1]
	}
	b, err := t.buyer(of[0].Buyer)
	if err != nil {
		return papers.WrapSheet{}, err
	}
	in.Mark, in.Buyer, in.Wrap, in.Prints = marksOf(of), b.Name, w.wrap(p.Wrap), map[string]string{}
	for _, it := range w.items {
		in.Items = append(in.Items, it)
	}
	slices.SortFunc(in.Items, func(a, b packing.Item) int { return strings.Compare(a.ID, b.ID) })
	for _, o := range of {
		for _, l := range o.Lines {
			sheet, err := t.sheet(l)
			if err != nil {
				return papers.WrapSheet{}, err
			}
			in.Sheets = append(in.Sheets, sheet)
			in.Prints[sheet.ID] = sheet.Note
		}
	}
	return papers.Wrap(t.head(calendar.Day{}), p, in), nil
}

// HandOverPaper is the list that goes with a batch to the carrier. Faults: Missing.
func (s *Studio) HandOverPaper(ctx context.Context, id int64) (papers.HandOverList, error) {
	var out papers.HandOverList
	err := s.read(ctx, func(t *turn) error {
		h, parcels, err := t.HandOver(id)
		if err != nil {
			return err
		}
		r, err := s.stockroom(t)
		if err != nil {
			return err
		}
		w := t.wording(r)
		in := papers.HandOverIn{Note: h.Note}
		for _, p := range parcels {
			of, err := t.sharing(p)
			if err != nil {
				return err
			}
			in.Parcels = append(in.Parcels, handedParcel(of, p, w))
		}
		out = papers.HandOver(t.head(h.Day), in)
		return nil
	})
	return out, err
}

func handedParcel(of []order.Order, p Parcel, w wording) papers.HandedParcel {
	o := of[0]
	to := o.ShipTo.Name + ", " + strings.TrimSpace(o.ShipTo.City+" "+o.ShipTo.Region)
	if o.ShipTo.Country != "" {
		to += ", " + o.ShipTo.Country
	}
	out := papers.HandedParcel{Mark: marksOf(of), To: to, Service: w.service(p.Plan.Card, p.Service), Tracking: p.Tracking, Postage: p.Paid}
	if n, err := order.ParseTracking(p.Tracking); err == nil {
		out.Verified = string(n.Standard)
	}
	return out
}
