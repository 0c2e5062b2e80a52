package dispatch

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/dayplan"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/packing"
	"solander/papers"
	"solander/papers/wrap"
	"solander/planning"
	"solander/studio"
)

// BenchPaper is the bench sheet of a day; the zero day is today.
func BenchPaper(ctx context.Context, s *studio.Studio, day calendar.Day) (papers.BenchSheet, error) {
	h, l, err := benchWithHead(ctx, s, day)
	return papers.Bench(h, l), err
}

// SignPaper is the list of what to sign on a day; the zero day is today.
func SignPaper(ctx context.Context, s *studio.Studio, day calendar.Day) (papers.SignList, error) {
	h, l, err := benchWithHead(ctx, s, day)
	return papers.Sign(h, l), err
}

// benchWithHead is the bench of a day and what its papers begin with.
func benchWithHead(ctx context.Context, s *studio.Studio, day calendar.Day) (h papers.Head, l bench.List, err error) {
	var plan studio.Later[bench.List]
	err = s.Look(ctx, func(s *studio.Studio) error {
		if h, err = planning.HeadOf(ctx, s, day); err != nil {
			return err
		}
		plan, err = BenchLater(ctx, s, day)
		return err
	})
	l, err = studio.Now(ctx, plan, err)
	return h, l, err
}

// SlipPaper is the packing slip of an order. Faults: Missing.
func SlipPaper(ctx context.Context, s *studio.Studio, orderID int64) (papers.PackingSlip, error) {
	var slip papers.PackingSlip
	err := read(ctx, s, func(t *Dispatch) error {
		o, err := t.Order(orderID)
		if err != nil {
			return err
		}
		u, err := t.OutletOf(o.Outlet)
		if err != nil {
			return err
		}
		b, err := t.BuyerOf(o.Buyer)
		if err != nil {
			return err
		}
		in := papers.SlipIn{Order: o, Outlet: u.Name, Buyer: cmp.Or(o.Said.Name, b.Name), From: t.Set.Address, Editions: map[int64]edition.Edition{}}
		for _, l := range o.Lines {
			if in.Editions[l.Edition], err = t.EditionOf(l.Edition); err != nil {
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
		slip = papers.Slip(planning.In(t.Turn).Head(calendar.Day{}), in)
		return nil
	})
	return slip, err
}

// slipWith adds to a slip what lies in a parcel of other orders.
func (t *Dispatch) slipWith(in *papers.SlipIn, p studio.Parcel) error {
	all, err := planning.In(t.Turn).Sharing(p)
	if err != nil {
		return err
	}
	for _, o := range planning.Others(all, in.Order.ID) {
		var lines []order.Line
		for _, l := range o.Live() {
			if slices.Contains(p.Lines, l.ID) {
				lines = append(lines, l)
			}
			if in.Editions[l.Edition], err = t.EditionOf(l.Edition); err != nil {
				return err
			}
		}
		in.With = append(in.With, papers.SlipWith{Order: o, Lines: lines})
	}
	return nil
}

// parcelPaper reads what papers of one packed parcel are made of. Part counts the order's parcels from 1.
func parcelPaper(ctx context.Context, s *studio.Studio, id int64, f func(*Dispatch, planning.Wording, []order.Order, studio.Parcel, int, int) error) error {
	return read(ctx, s, func(t *Dispatch) error {
		p, err := t.Parcel(id)
		if err != nil {
			return err
		}
		orders, err := planning.In(t.Turn).Sharing(p)
		if err != nil {
			return err
		}
		all, err := t.Parcels(p.Order)
		if err != nil {
			return err
		}
		r, err := planning.MeansOf(s, planning.In(t.Turn))
		if err != nil {
			return err
		}
		part := 1 + slices.IndexFunc(all, func(x studio.Parcel) bool { return x.ID == id })
		return f(t, planning.In(t.Turn).Wording(r), orders, p, part, len(all))
	})
}

// LabelPaper is the address label of a parcel; it is never postage. Faults: Missing.
func LabelPaper(ctx context.Context, s *studio.Studio, parcel int64) (papers.AddressLabel, error) {
	var out papers.AddressLabel
	err := parcelPaper(ctx, s, parcel, func(t *Dispatch, w planning.Wording, of []order.Order, p studio.Parcel, part, parts int) error {
		out = papers.Label(planning.In(t.Turn).Head(calendar.Day{}), papers.LabelIn{
			From: t.Set.Address, To: of[0].ShipTo, Mark: of[0].Mark, With: planning.MarksOf(of[1:]), Part: part, Parts: parts, Service: w.Service(p.Plan.Card, p.Service),
		})
		return nil
	})
	return out, err
}

// WrapPaper tells how to build a packed parcel. Faults: Missing.
func WrapPaper(ctx context.Context, s *studio.Studio, parcel int64) (wrap.Sheet, error) {
	var out wrap.Sheet
	err := parcelPaper(ctx, s, parcel, func(t *Dispatch, w planning.Wording, of []order.Order, p studio.Parcel, part, parts int) (err error) {
		in := wrap.In{Part: part, Parts: parts, Service: w.Service(p.Plan.Card, p.Service), Warnings: p.Warnings}
		out, err = t.wrapSheet(w, of, p.Plan, in)
		return err
	})
	return out, err
}

// WrapPapers tells how to build every parcel of an order: those that are packed, or else as planned now.
// Faults: Missing; Refused when nothing is packed and no plan sends it.
func WrapPapers(ctx context.Context, s *studio.Studio, orderID int64) ([]wrap.Sheet, error) {
	v, err := book.Order(ctx, s, orderID)
	if err != nil {
		return nil, err
	}
	var out []wrap.Sheet
	for _, p := range v.Parcels {
		sheet, err := WrapPaper(ctx, s, p.ID)
		if err != nil {
			return nil, err
		}
		out = append(out, sheet)
	}
	if len(out) > 0 {
		return out, nil
	}
	return plannedWraps(ctx, s, orderID)
}

func plannedWraps(ctx context.Context, s *studio.Studio, orderID int64) ([]wrap.Sheet, error) {
	planned, err := planning.Plan(ctx, s, orderID, calendar.Day{})
	if err != nil {
		return nil, err
	}
	if why := dayplan.HeldIn(planned.Problem, planned.Plan); why != "" {
		return nil, fault.New(fault.Refused, "it cannot be packed: %s", why).At("%s", planned.Order.Mark).ToMend("look at the plan")
	}
	var warnings []string
	for _, w := range planned.Plan.Warnings {
		warnings = append(warnings, w.Text)
	}
	var out []wrap.Sheet
	err = read(ctx, s, func(t *Dispatch) error {
		r, err := planning.MeansOf(s, planning.In(t.Turn))
		if err != nil {
			return err
		}
		w := planning.In(t.Turn).Wording(r)
		of, err := t.marked(planned.Order.Order, planned.Plan)
		if err != nil {
			return err
		}
		for i, p := range planned.Plan.Parcels {
			in := wrap.In{Part: i + 1, Parts: len(planned.Plan.Parcels), Service: w.Service(p.Card, p.Service), Warnings: warnings}
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
func (t *Dispatch) wrapSheet(w planning.Wording, all []order.Order, p packing.Parcel, in wrap.In) (wrap.Sheet, error) {
	of := slices.DeleteFunc(slices.Clone(all), func(o order.Order) bool { return !slices.Contains(dayplan.Sharers(p), o.Mark) })
	if len(of) == 0 {
		of = all[:1]
	}
	b, err := t.BuyerOf(of[0].Buyer)
	if err != nil {
		return wrap.Sheet{}, err
	}
	in.Mark, in.Buyer, in.Wrap, in.Prints = planning.MarksOf(of), b.Name, w.Wrap(p.Wrap), map[string]string{}
	for _, it := range w.Items {
		in.Items = append(in.Items, it)
	}
	slices.SortFunc(in.Items, func(a, b packing.Item) int { return strings.Compare(a.ID, b.ID) })
	for _, o := range of {
		for _, l := range o.Lines {
			sheet, err := planning.In(t.Turn).Sheet(l)
			if err != nil {
				return wrap.Sheet{}, err
			}
			in.Sheets = append(in.Sheets, sheet)
			in.Prints[sheet.ID] = sheet.Note
		}
	}
	return wrap.Of(planning.In(t.Turn).Head(calendar.Day{}), p, in), nil
}

// HandOverPaper is the list that goes with a batch to the carrier. Faults: Missing.
func HandOverPaper(ctx context.Context, s *studio.Studio, id int64) (papers.HandOverList, error) {
	var out papers.HandOverList
	err := read(ctx, s, func(t *Dispatch) error {
		h, parcels, err := t.HandOver(id)
		if err != nil {
			return err
		}
		r, err := planning.MeansOf(s, planning.In(t.Turn))
		if err != nil {
			return err
		}
		w := planning.In(t.Turn).Wording(r)
		in := papers.HandOverIn{Note: h.Note}
		for _, p := range parcels {
			of, err := planning.In(t.Turn).Sharing(p)
			if err != nil {
				return err
			}
			in.Parcels = append(in.Parcels, handedParcel(of, p, w))
		}
		out = papers.HandOver(planning.In(t.Turn).Head(h.Day), in)
		return nil
	})
	return out, err
}

func handedParcel(of []order.Order, p studio.Parcel, w planning.Wording) papers.HandedParcel {
	o := of[0]
	to := o.ShipTo.Name + ", " + strings.TrimSpace(o.ShipTo.City+" "+o.ShipTo.Region)
	if o.ShipTo.Country != "" {
		to += ", " + o.ShipTo.Country
	}
	out := papers.HandedParcel{Mark: planning.MarksOf(of), To: to, Service: w.Service(p.Plan.Card, p.Service), Tracking: p.Tracking, Postage: p.Paid}
	if n, err := order.ParseTracking(p.Tracking); err == nil {
		out.Verified = string(n.Standard)
	}
	return out
}
