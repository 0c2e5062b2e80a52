package paperwork

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/daybench"
	"solander/dayplan"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/packing"
	"solander/papers"
	"solander/papers/wrap"
	"solander/picture"
	"solander/planning"
	"solander/record"
	"solander/studio"
)

// PapersOfDay are the papers of a day's bench by their names; the zero day is today.
var PapersOfDay = map[string]func(context.Context, *studio.Studio, calendar.Day) (papers.Paper, error){
	"bench": paperBy(BenchPaper), "sign": paperBy(SignPaper),
}

// PaperOf is a paper of one order, parcel or hand-over, which What names.
type PaperOf struct {
	What string
	Made func(context.Context, *studio.Studio, int64) (papers.Paper, error)
}

// PapersOf are such papers by their names. Of an order's wrap sheets there is one a parcel: WrapPapers.
var PapersOf = map[string]PaperOf{
	"slip": {"order", paperBy(SlipPaper)}, "label": {"parcel", paperBy(LabelPaper)}, "hand-over": {"hand-over", paperBy(HandOverPaper)},
}

func paperBy[K any, P papers.Paper](made func(context.Context, *studio.Studio, K) (P, error)) func(context.Context, *studio.Studio, K) (papers.Paper, error) {
	return func(ctx context.Context, s *studio.Studio, of K) (papers.Paper, error) { return made(ctx, s, of) }
}

// BenchPaper is the bench sheet of a day; the zero day is today.
func BenchPaper(ctx context.Context, s *studio.Studio, day calendar.Day) (papers.BenchSheet, error) {
	h, l, err := benchWithHead(ctx, s, day)
	return papers.Bench(h, l), err
}

// SignPaper is the list of what to sign on a day; the zero day is today.
func SignPaper(ctx context.Context, s *studio.Studio, day calendar.Day) (papers.SignList, error) {
	h, l, err := benchWithHead(ctx, s, day)
	if err != nil {
		return papers.SignList{}, err
	}
	pictures := map[int64][]byte{}
	var short, signed string
	err = read(ctx, s, func(t *Paperwork) error {
		if short, signed, err = record.In(t.Turn).Short(); err != nil {
			return err
		}
		for _, task := range l.Groups[bench.SignPrints] {
			e, err := t.EditionOf(task.Edition)
			if err != nil {
				return err
			}
			if _, known := pictures[task.Edition]; !known {
				if pictures[task.Edition], err = t.pictureOf(e.Work); err != nil {
					return err
				}
			}
		}
		return nil
	})
	list := papers.Sign(h, l, pictures)
	list.Register, list.Checkpoint = short, signed
	return list, err
}

// benchWithHead is the bench of a day and what its papers begin with.
func benchWithHead(ctx context.Context, s *studio.Studio, day calendar.Day) (h papers.Head, l bench.List, err error) {
	var plan studio.Later[bench.List]
	err = s.Look(ctx, func(s *studio.Studio) error {
		if h, err = planning.HeadOf(ctx, s, day); err != nil {
			return err
		}
		plan, _, err = daybench.Later(ctx, s, day)
		return err
	})
	l, err = studio.Now(ctx, plan, err)
	return h, l, err
}

// pictureOf is the picture of a work as papers show it; nil when it has none.
func (t *Paperwork) pictureOf(work int64) ([]byte, error) {
	body, err := t.PictureBody(work, picture.Middle)
	if fault.Is(err, fault.Missing) {
		return nil, nil
	}
	return body, err
}

// SlipPaper is the packing slip of an order. A gift carries no price. Faults: Missing.
func SlipPaper(ctx context.Context, s *studio.Studio, orderID int64) (papers.PackingSlip, error) {
	var slip papers.PackingSlip
	err := read(ctx, s, func(t *Paperwork) error {
		o, err := t.Order(orderID)
		if err != nil {
			return err
		}
		slip, err = t.slip(o, nil)
		return err
	})
	return slip, err
}

// slip is the packing slip of an order; with is what of other orders is planned into its parcels, beside what is packed
// there.
func (t *Paperwork) slip(o order.Order, with []papers.SlipWith) (papers.PackingSlip, error) {
	var none papers.PackingSlip
	u, err := t.OutletOf(o.Outlet)
	if err != nil {
		return none, err
	}
	b, err := t.BuyerOf(o.Buyer)
	if err != nil {
		return none, err
	}
	in := papers.SlipIn{
		Order: o, Outlet: u.Name, Buyer: cmp.Or(o.Said.Name, b.Name), From: t.Set.Address,
		Editions: map[int64]edition.Edition{}, Pictures: map[int64][]byte{}, With: with,
	}
	parcels, err := t.Parcels(o.ID)
	if err != nil {
		return none, err
	}
	for _, p := range parcels {
		all, err := planning.In(t.Turn).Sharing(p)
		if err != nil {
			return none, err
		}
		in.With = append(in.With, slipWith(planning.Others(all, o.ID), p.Lines)...)
	}
	lines := slices.Clone(o.Lines)
	for _, w := range in.With {
		lines = append(lines, w.Lines...)
	}
	for _, l := range lines {
		if _, known := in.Editions[l.Edition]; known {
			continue
		}
		e, err := t.EditionOf(l.Edition)
		if err != nil {
			return none, err
		}
		in.Editions[l.Edition] = e
		if in.Pictures[e.Work], err = t.pictureOf(e.Work); err != nil {
			return none, err
		}
	}
	return papers.Slip(planning.In(t.Turn).Head(calendar.Day{}), in), nil
}

// slipWith is what of other orders is among the lines of a parcel.
func slipWith(others []order.Order, in []int64) []papers.SlipWith {
	var out []papers.SlipWith
	for _, o := range others {
		var lines []order.Line
		for _, l := range o.Live() {
			if slices.Contains(in, l.ID) {
				lines = append(lines, l)
			}
		}
		if len(lines) > 0 {
			out = append(out, papers.SlipWith{Order: o, Lines: lines})
		}
	}
	return out
}

// packed is a packed parcel as its papers see it. Part counts the order's parcels from 1.
type packed struct {
	studio.Parcel
	orders      []order.Order
	part, parts int
}

func (t *Paperwork) packed(p studio.Parcel) (packed, error) {
	orders, err := planning.In(t.Turn).Sharing(p)
	if err != nil {
		return packed{}, err
	}
	all, err := t.Parcels(p.Order)
	if err != nil {
		return packed{}, err
	}
	return packed{p, orders, planning.PartIn(all, p.ID), len(all)}, nil
}

// words is how the room's things are called now.
func (t *Paperwork) words(s *studio.Studio) (planning.Wording, error) {
	r, err := planning.MeansOf(s, planning.In(t.Turn))
	if err != nil {
		return planning.Wording{}, err
	}
	return planning.In(t.Turn).Wording(r), nil
}

// parcelPaper reads what papers of one packed parcel are made of.
func parcelPaper(ctx context.Context, s *studio.Studio, id int64, f func(*Paperwork, planning.Wording, packed) error) error {
	return read(ctx, s, func(t *Paperwork) error {
		p, err := t.Parcel(id)
		if err != nil {
			return err
		}
		w, err := t.words(s)
		if err != nil {
			return err
		}
		of, err := t.packed(p)
		if err != nil {
			return err
		}
		return f(t, w, of)
	})
}

// LabelPaper is the address label of a parcel; it is never postage. Faults: Missing.
func LabelPaper(ctx context.Context, s *studio.Studio, parcel int64) (papers.AddressLabel, error) {
	var out papers.AddressLabel
	err := parcelPaper(ctx, s, parcel, func(t *Paperwork, w planning.Wording, p packed) error {
		out = t.addressLabel(p.orders, w.Service(p.Plan.Card, p.Service), p.part, p.parts)
		return nil
	})
	return out, err
}

// addressLabel is that of a parcel of orders, the first of which says where it goes.
func (t *Paperwork) addressLabel(of []order.Order, service string, part, parts int) papers.AddressLabel {
	return papers.Label(planning.In(t.Turn).Head(calendar.Day{}), papers.LabelIn{
		From: t.Set.Address, To: of[0].ShipTo, Mark: of[0].Mark, With: planning.MarksOf(of[1:]), Part: part, Parts: parts, Service: service,
	})
}

// WrapPaper tells how to build a packed parcel. Faults: Missing.
func WrapPaper(ctx context.Context, s *studio.Studio, parcel int64) (wrap.Sheet, error) {
	var out wrap.Sheet
	err := parcelPaper(ctx, s, parcel, func(t *Paperwork, w planning.Wording, p packed) (err error) {
		out, err = t.packedWrap(w, p)
		return err
	})
	return out, err
}

func (t *Paperwork) packedWrap(w planning.Wording, p packed) (wrap.Sheet, error) {
	return t.wrapSheet(w, p.orders, p.Plan, wrap.In{Part: p.part, Parts: p.parts, Service: w.Service(p.Plan.Card, p.Service), Warnings: p.Warnings})
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
	view, err := planning.Plan(ctx, s, orderID, calendar.Day{})
	if err != nil {
		return nil, err
	}
	if why := dayplan.HeldIn(view.Problem, view.Plan); why != "" {
		return nil, fault.New(fault.Refused, "it cannot be packed: %s", why).At("%s", view.Order.Mark).ToMend("look at the plan")
	}
	var out []wrap.Sheet
	err = read(ctx, s, func(t *Paperwork) error {
		w, err := t.words(s)
		if err != nil {
			return err
		}
		of, err := planning.In(t.Turn).OrdersOf(view.Order.Order, view.Plan)
		if err != nil {
			return err
		}
		for i := range view.Plan.Parcels {
			sheet, err := t.plannedWrap(w, of, view.Plan, i)
			if err != nil {
				return err
			}
			out = append(out, sheet)
		}
		return nil
	})
	return out, err
}

// plannedWrap tells how to build one parcel of a plan of orders, and all twins that are built so.
func (t *Paperwork) plannedWrap(w planning.Wording, of []order.Order, plan packing.Plan, i int, twins ...wrap.Twin) (wrap.Sheet, error) {
	p := plan.Parcels[i]
	in := wrap.In{Twins: twins, Part: i + 1, Parts: len(plan.Parcels), Service: w.Service(p.Card, p.Service)}
	for _, warning := range plan.Warnings {
		in.Warnings = append(in.Warnings, warning.Text)
	}
	return t.wrapSheet(w, of, p, in)
}

// sharers is those of the orders that are in a parcel; the first when none says so.
func sharers(all []order.Order, p packing.Parcel) []order.Order {
	of := slices.DeleteFunc(slices.Clone(all), func(o order.Order) bool { return !slices.Contains(dayplan.Sharers(p), o.Mark) })
	if len(of) == 0 {
		of = all[:1]
	}
	return of
}

// wrapSheet lays out a parcel of orders, of which only those in it count.
func (t *Paperwork) wrapSheet(w planning.Wording, all []order.Order, p packing.Parcel, in wrap.In) (wrap.Sheet, error) {
	of := sharers(all, p)
	b, err := t.BuyerOf(of[0].Buyer)
	if err != nil {
		return wrap.Sheet{}, err
	}
	in.Mark, in.Buyer, in.Wrap, in.Prints = planning.MarksOf(of), b.Name, w.Wrap(p.Wrap), map[string]string{}
	in.Pictures = map[string][]byte{}
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
			e, err := t.EditionOf(l.Edition)
			if err != nil {
				return wrap.Sheet{}, err
			}
			if in.Pictures[sheet.ID], err = t.pictureOf(e.Work); err != nil {
				return wrap.Sheet{}, err
			}
		}
	}
	return wrap.Of(planning.In(t.Turn).Head(calendar.Day{}), p, in), nil
}

// HandOverPaper is the list that goes with a batch to the operator. Faults: Missing.
func HandOverPaper(ctx context.Context, s *studio.Studio, id int64) (papers.HandOverList, error) {
	var out papers.HandOverList
	err := read(ctx, s, func(t *Paperwork) error {
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
