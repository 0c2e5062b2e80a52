package dispatch

import (
	"context"
	"slices"

	"solander/bench"
	"solander/calendar"
	"solander/dayplan"
	"solander/fault"
	"solander/order"
	"solander/papers"
	"solander/planning"
	"solander/studio"
)

// Kind is which papers of a day are wanted.
type Kind string

// The kinds. Everything is in packing order: of each parcel its wrap sheet, the slips that go into it, its label.
const (
	WrapSheets Kind = "wraps"
	Slips      Kind = "slips"
	Labels     Kind = "labels"
	Everything Kind = "everything"
)

var kindNames = map[Kind]string{WrapSheets: "Wrap sheets", Slips: "Packing slips", Labels: "Address labels", Everything: "Papers in packing order"}

// DayPapers are the papers of a day's parcels, as one: of those to pack, as they are planned, then of those that are packed
// and have no label yet. The zero day is today. A parcel of several orders has one wrap sheet and one label, and a slip of
// each.
// Faults: Invalid for a kind that is none; Refused when nothing is to be packed or labelled.
func DayPapers(ctx context.Context, s *studio.Studio, day calendar.Day, kind Kind) (papers.Bundle, error) {
	name, known := kindNames[kind]
	if !known {
		return papers.Bundle{}, fault.Invalidf("kind", "there are no papers %.20q", kind).ToMend("ask for wraps, slips, labels or everything")
	}
	later, _, err := plannedLater(ctx, s, day)
	d, err := studio.Now(ctx, later, err)
	if err != nil {
		return papers.Bundle{}, err
	}
	out := papers.Bundle{Name: name}
	err = read(ctx, s, func(t *Dispatch) error {
		out.Head = planning.In(t.Turn).Head(d.Day)
		w, err := t.words(s)
		if err != nil {
			return err
		}
		day := dayPapers{Dispatch: t, planned: d, words: w, kind: kind}
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
	*Dispatch
	planned
	words planning.Wording
	kind  Kind
	out   []papers.Paper
}

// wants reports whether papers of a kind are among those asked for.
func (d *dayPapers) wants(k Kind) bool { return d.kind == k || d.kind == Everything }

func (d *dayPapers) gather() error {
	list := bench.Make(d.State)
	for _, task := range list.Groups[bench.PackOrders] {
		plan, ok := d.plans[task.Order]
		if !ok || task.Blocked != "" || plan.Err != nil || plan.Held() != "" || len(plan.With) > 0 && plan.With[0] != task.Order {
			continue // it cannot be packed, or its papers are with those of another order
		}
		if err := d.toPack(task.Order, plan); err != nil {
			return err
		}
	}
	for _, task := range list.Groups[bench.LabelParcel] {
		if err := d.toLabel(task.Parcel); err != nil {
			return err
		}
	}
	return nil
}

// toPack adds the papers of the parcels of a plan. The slip of an order lies in the first of its parcels.
func (d *dayPapers) toPack(id int64, plan dayplan.Plan) error {
	o, err := d.Order(id)
	if err != nil {
		return err
	}
	all, err := d.marked(o, plan.Plan)
	if err != nil {
		return err
	}
	slipped := map[int64]bool{}
	for i, p := range plan.Plan.Parcels {
		if d.wants(WrapSheets) {
			sheet, err := d.plannedWrap(d.words, all, plan.Plan, i)
			if err != nil {
				return err
			}
			d.out = append(d.out, sheet)
		}
		of := sharers(all, p)
		for _, o := range of {
			if !d.wants(Slips) || slipped[o.ID] {
				continue
			}
			slipped[o.ID] = true
			if err := d.plannedSlip(o, all, plan); err != nil {
				return err
			}
		}
		if d.wants(Labels) {
			d.out = append(d.out, d.addressLabel(of, d.words.Service(p.Card, p.Service), i+1, len(plan.Plan.Parcels)))
		}
	}
	return nil
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
