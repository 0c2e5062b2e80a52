package paperwork

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"solander/bench"
	"solander/calendar"
	"solander/daybench"
	"solander/dayplan"
	"solander/fault"
	"solander/order"
	"solander/packing"
	"solander/papers"
	"solander/papers/wrap"
	"solander/planning"
	"solander/studio"
)

// Kind is which papers of a day are wanted.
type Kind string

// The kinds. Everything is in packing order: of each parcel its wrap sheet, the slips that go into it, its label. Parcels that leave by one trip
// stand together, that of the first trip in front.
const (
	WrapSheets Kind = "wraps"
	Slips      Kind = "slips"
	Labels     Kind = "labels"
	Everything Kind = "everything"
)

var kindNames = map[Kind]string{WrapSheets: "Wrap sheets", Slips: "Packing slips", Labels: "Address labels", Everything: "Papers in packing order"}

// DayPapers are the papers of a day's parcels, as one: of those to pack, as they are planned, then of those that are packed
// and have no label yet. The zero day is today. A parcel of several orders has one wrap sheet and one label, and a slip of
// each; parcels to pack that are built alike have one wrap sheet together.
// Faults: Invalid for a kind that is none; Refused when nothing is to be packed or labelled.
func DayPapers(ctx context.Context, s *studio.Studio, day calendar.Day, kind Kind) (papers.Bundle, error) {
	name, known := kindNames[kind]
	if !known {
		return papers.Bundle{}, fault.Invalidf("kind", "there are no papers %.20q", kind).ToMend("ask for wraps, slips, labels or everything")
	}
	later, _, err := daybench.PlannedLater(ctx, s, day)
	d, err := studio.Now(ctx, later, err)
	if err != nil {
		return papers.Bundle{}, err
	}
	out := papers.Bundle{Name: name}
	err = read(ctx, s, func(t *Paperwork) error {
		out.Head = planning.In(t.Turn).Head(d.Day)
		w, err := t.words(s)
		if err != nil {
			return err
		}
		day := dayPapers{Paperwork: t, Planned: d, words: w, kind: kind}
		if err := day.gather(); err != nil {
			return err
		}
		out.Of = day.out
		return nil
	})
	if err == nil && len(out.Of) == 0 {
		err = fault.New(fault.Refused, "nothing is to be packed or labelled").At("%s", d.Day.Long()).ToMend("look at the bench: what is not paid, signed and addressed has no papers yet")
	}
	return out, err
}

// DayStickers are the labels of DayPapers on sheets of stickers, from the first free place of a sheet on, from 1.
// Faults: those of Stickers.Validate and of DayPapers.
func DayStickers(ctx context.Context, s *studio.Studio, day calendar.Day, on papers.Stickers, first int) (papers.StickerSheet, error) {
	if err := on.Validate(first); err != nil {
		return papers.StickerSheet{}, err
	}
	all, err := DayPapers(ctx, s, day, Labels)
	if err != nil {
		return papers.StickerSheet{}, err
	}
	out := papers.StickerSheet{Head: all.Head, Stickers: on, First: first}
	for _, p := range all.Of {
		if l, ok := p.(papers.AddressLabel); ok {
			out.Labels = append(out.Labels, l)
		}
	}
	return out, nil
}

// dayPapers gathers the papers of a kind.
type dayPapers struct {
	*Paperwork
	daybench.Planned
	words planning.Wording
	kind  Kind
	out   []papers.Paper
}

// wants reports whether papers of a kind are among those asked for.
func (d *dayPapers) wants(k Kind) bool { return d.kind == k || d.kind == Everything }

func (d *dayPapers) gather() error {
	list := bench.Make(d.State)
	all, err := d.ordered(list)
	if err != nil {
		return err
	}
	for i, p := range all {
		if err := d.toPack(p, all[:i], all[i:]); err != nil {
			return err
		}
	}
	label := slices.Clone(list.Groups[bench.LabelParcel])
	slices.SortStableFunc(label, func(a, b bench.Task) int { return cmp.Compare(tripOf(a, 0), tripOf(b, 0)) })
	for _, task := range label {
		if err := d.toLabel(task.Parcel); err != nil {
			return err
		}
	}
	return nil
}

// toPack is a parcel to pack: by its place in the plan of an order.
type toPack struct {
	order int64
	plan  dayplan.Plan
	at    int
	trip  int
	build string
}

// tripOf is the trip by which a parcel of a task leaves; one for all while there is no trip.
func tripOf(t bench.Task, parcel int) int {
	if parcel < len(t.Leaves) {
		return t.Leaves[parcel].Trip
	}
	return 0
}

// ordered are the parcels to pack of a list, those of one trip together, and of a trip those that are built alike.
func (d *dayPapers) ordered(list bench.List) ([]toPack, error) {
	builds := map[int64][]bench.PlannedParcel{}
	for _, o := range d.Orders {
		if o.Plan != nil {
			builds[o.ID] = o.Plan.Parcels
		}
	}
	var out []toPack
	first := map[string]int{}
	for _, task := range list.Groups[bench.PackOrders] {
		plan, ok := d.Plans[task.Order]
		if !ok || task.Blocked != "" || plan.Err != nil || plan.Held() != "" || len(plan.With) > 0 && plan.With[0] != task.Order {
			continue // it cannot be packed, or its papers are with those of another order
		}
		if len(builds[task.Order]) != len(plan.Plan.Parcels) {
			return nil, fault.New(fault.Internal, "the bench tells %d parcels of %s, planned are %d", len(builds[task.Order]), task.Mark, len(plan.Plan.Parcels))
		}
		for i, p := range builds[task.Order] {
			at := toPack{task.Order, plan, i, tripOf(task, i), p.Build}
			if at.build == "" {
				at.build = fmt.Sprint(task.Order, " ", i) // like no other
			}
			if _, known := first[at.build]; !known {
				first[at.build] = len(out)
			}
			out = append(out, at)
		}
	}
	slices.SortStableFunc(out, func(a, b toPack) int {
		return cmp.Or(cmp.Compare(a.trip, b.trip), cmp.Compare(first[a.build], first[b.build]))
	})
	return out, nil
}

// toPack adds the papers of a parcel to pack, given those before it and from it on. Parcels that are built alike have one wrap sheet, with the
// first of them. The slip of an order lies in the first of its parcels.
func (d *dayPapers) toPack(p toPack, before, from []toPack) error {
	o, err := d.Order(p.order)
	if err != nil {
		return err
	}
	all, err := planning.In(d.Turn).OrdersOf(o, p.plan.Plan)
	if err != nil {
		return err
	}
	alike := func(x toPack) bool { return x.build == p.build }
	if d.wants(WrapSheets) && !slices.ContainsFunc(before, alike) {
		sheet, err := d.wrapFor(slices.DeleteFunc(slices.Clone(from), func(x toPack) bool { return !alike(x) }), all)
		if err != nil {
			return err
		}
		d.out = append(d.out, sheet)
	}
	parcel := p.plan.Plan.Parcels[p.at]
	of := sharers(all, parcel)
	for _, o := range of {
		inFirst := slices.IndexFunc(p.plan.Plan.Parcels, func(x packing.Parcel) bool { return slices.Contains(dayplan.Sharers(x), o.Mark) })
		if !d.wants(Slips) || inFirst >= 0 && inFirst != p.at {
			continue
		}
		if err := d.plannedSlip(o, all, p.plan); err != nil {
			return err
		}
	}
	if d.wants(Labels) {
		d.out = append(d.out, d.addressLabel(of, d.words.Service(parcel.Card, parcel.Service), p.at+1, len(p.plan.Plan.Parcels)))
	}
	return nil
}

// wrapFor is the wrap sheet of parcels that are built alike, by the first of them, of which the orders are given.
func (d *dayPapers) wrapFor(batch []toPack, all []order.Order) (wrap.Sheet, error) {
	var twins []wrap.Twin
	for _, p := range batch {
		if len(batch) == 1 {
			break
		}
		twin, err := d.twin(p)
		if err != nil {
			return wrap.Sheet{}, err
		}
		twins = append(twins, twin)
	}
	return d.plannedWrap(d.words, all, batch[0].plan.Plan, batch[0].at, twins...)
}

// twin names a parcel among those that are built alike.
func (d *dayPapers) twin(p toPack) (wrap.Twin, error) {
	o, err := d.Order(p.order)
	if err != nil {
		return wrap.Twin{}, err
	}
	all, err := planning.In(d.Turn).OrdersOf(o, p.plan.Plan)
	if err != nil {
		return wrap.Twin{}, err
	}
	parcel := p.plan.Plan.Parcels[p.at]
	of := sharers(all, parcel)
	b, err := d.BuyerOf(of[0].Buyer)
	if err != nil {
		return wrap.Twin{}, err
	}
	out := wrap.Twin{Mark: planning.MarksOf(of), Buyer: b.Name, Part: papers.PartOf(p.at+1, len(p.plan.Plan.Parcels)), Service: d.words.Service(parcel.Card, parcel.Service)}
	lines, err := planning.LinesIn(parcel)
	if err != nil {
		return out, err
	}
	for _, o := range of {
		for _, l := range o.Lines {
			if slices.Contains(lines, l.ID) {
				e, err := d.EditionOf(l.Edition)
				if err != nil {
					return out, err
				}
				out.Prints = append(out.Prints, studio.Named(l.Number.Of(e), e.Title))
			}
		}
	}
	return out, nil
}

// plannedSlip adds the slip of an order with what the plan puts into its parcels of others.
func (d *dayPapers) plannedSlip(o order.Order, all []order.Order, plan dayplan.Plan) error {
	var with []papers.SlipWith
	for _, p := range plan.Plan.Parcels {
		if !slices.Contains(dayplan.Sharers(p), o.Mark) {
			continue
		}
		lines, err := planning.LinesIn(p)
		if err != nil {
			return err
		}
		with = append(with, slipWith(planning.Others(sharers(all, p), o.ID), lines)...)
	}
	slip, err := d.slip(o, with)
	d.out = append(d.out, slip)
	return err
}

// toLabel adds the papers of a packed parcel.
func (d *dayPapers) toLabel(id int64) error {
	parcel, err := d.Parcel(id)
	if err != nil {
		return err
	}
	p, err := d.packed(parcel)
	if err != nil {
		return err
	}
	if d.wants(WrapSheets) {
		sheet, err := d.packedWrap(d.words, p)
		if err != nil {
			return err
		}
		d.out = append(d.out, sheet)
	}
	for _, o := range p.orders {
		if !d.wants(Slips) || p.part > 1 {
			continue
		}
		slip, err := d.slip(o, nil)
		if err != nil {
			return err
		}
		d.out = append(d.out, slip)
	}
	if d.wants(Labels) {
		d.out = append(d.out, d.addressLabel(p.orders, d.words.Service(p.Plan.Card, p.Service), p.part, p.parts))
	}
	return nil
}
