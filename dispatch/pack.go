package dispatch

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"solander/dayplan"
	"solander/dayplan/setups"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/planning"
	"solander/studio"
)

// PackIn packs an order as planned now.
type PackIn struct {
	Order int64
	Total *int64 // the plan's total she saw, in minor units; Refused when it is another one now
}

// undoPacked is what unpacking needs.
type undoPacked struct {
	Parcels []int64 `json:"parcels"`
	Told    []int64 `json:"told,omitempty"` // marks in the journals of orders packed with it
}

// Pack packs the prints of an order as the planner says now: cards of the next hand-over day, packaging
// that no packed parcel holds. Orders that share its parcels are packed with it. Packaging leaves the shelf's count at hand-over. Only an order that may
// leave is packed. Faults: Missing; Refused with everything that it lacks (see order.Lack), or when the plan is not the
// one she saw.
func Pack(ctx context.Context, s *studio.Studio, in PackIn) ([]studio.Parcel, error) {
	for range mostPlanned {
		r, err := planReady(ctx, s, in)
		if err != nil {
			return nil, err
		}
		out, err := packReady(ctx, s, in.Order, r)
		if !errors.Is(err, errMoved) {
			return out, err
		}
	}
	return nil, fault.New(fault.Refused, "others wrote whenever it was planned").ToMend("wait a moment and pack it again")
}

// mostPlanned is how often an order is planned anew because its day changed meanwhile.
const mostPlanned = 8

// errMoved is that the day is no longer the one that was planned.
var errMoved = errors.New("the day changed after it was planned")

// ready is the plan of an order that lacks nothing, and the digest of all that the plan follows from.
type ready struct {
	plan   packing.Plan
	unkept string // why the choice of another way is not kept
	on     dayplan.Digest
}

// planReady plans an order, outside of any transaction, which would hold up others. Faults: Refused, one for each thing
// that the order lacks, the way to send it among them.
func planReady(ctx context.Context, s *studio.Studio, in PackIn) (ready, error) {
	var r ready
	var o order.Order
	var one, all dayplan.Ask
	var lacks []order.Lack
	err := read(ctx, s, func(t *Dispatch) error {
		var err error
		if o, err = t.Order(in.Order); err != nil {
			return err
		}
		lines, err := planning.ToPack(o)
		if err != nil {
			return err
		}
		d, err := t.Drawer()
		if err != nil {
			return err
		}
		if lacks, err = t.Lacks(o, d); err != nil {
			return err
		}
		if o.NoAddress() != "" {
			return o.Refuse(lacks)
		}
		if one, all, err = planning.Asked(s, planning.In(t.Turn), d, o, lines, t.Today); err != nil {
			return err
		}
		r.on, err = dayplan.On(o.ID, one, all)
		return err
	})
	if err != nil {
		return r, err
	}
	p, err := setups.Together(ctx, s.Plans, o.ID, one, all)
	if err == nil {
		r.plan, err = goes(o, p)
		r.unkept = p.Unkept
	}
	switch {
	case len(lacks) > 0 && (err == nil || fault.Is(err, fault.Refused)):
		return r, errors.Join(o.Refuse(lacks), err)
	case err != nil:
		return r, err
	case in.Total != nil && *in.Total != r.plan.Total:
		return r, changedPlan(o, money.Of(*in.Total, r.plan.Currency), money.Of(r.plan.Total, r.plan.Currency))
	}
	return r, nil
}

// packReady packs by a plan while everything is as it was planned on. Faults: errMoved when it is not, and nothing is written.
func packReady(ctx context.Context, s *studio.Studio, id int64, r ready) ([]studio.Parcel, error) {
	var out []studio.Parcel
	err := write(ctx, s, func(t *Dispatch) error {
		o, err := t.Order(id)
		if err != nil {
			return err
		}
		lines, err := planning.ToPack(o)
		if err != nil {
			return err
		}
		d, err := t.Drawer()
		if err != nil {
			return err
		}
		one, all, err := planning.Asked(s, planning.In(t.Turn), d, o, lines, t.Today)
		if err != nil {
			return err
		}
		if on, err := dayplan.On(id, one, all); err != nil || on != r.on {
			return errors.Join(errMoved, err)
		}
		out, err = t.pack(o, r.plan, r.unkept)
		return err
	})
	return out, err
}

// goes is the plan of an order that can go. Faults: Refused with the reason when it cannot.
func goes(o order.Order, p dayplan.Plan) (packing.Plan, error) {
	if p.Err != nil {
		return p.Plan, p.Err
	}
	if why := p.Held(); why != "" {
		return p.Plan, fault.New(fault.Refused, "it cannot be packed: %s", why).At("%s", o.Mark).ToMend("look at the plan; add packaging, a wrap or a price card")
	}
	return p.Plan, nil
}

// PackAs is the use case Pack within a transaction that planned the orders of a day once for all. Faults: those of Pack.
func (t *Dispatch) PackAs(o order.Order, d *studio.Drawer, p dayplan.Plan) ([]studio.Parcel, error) {
	lacks, err := t.Lacks(o, d)
	if err != nil {
		return nil, err
	}
	plan, err := goes(o, p)
	if err := errors.Join(o.Refuse(lacks), err); err != nil {
		return nil, err
	}
	return t.pack(o, plan, p.Unkept)
}

func changedPlan(o order.Order, saw, is money.Amount) error {
	return fault.New(fault.Refused, "the plan changed: it costs %s now, not %s", is, saw).At("%s", o.Mark).In("total").ToMend("look at the plan again")
}

func (t *Dispatch) pack(o order.Order, plan packing.Plan, unkept string) ([]studio.Parcel, error) {
	var out []studio.Parcel
	var undo undoPacked
	all, err := planning.In(t.Turn).OrdersOf(o, plan)
	if err != nil {
		return nil, err
	}
	for _, planned := range plan.Parcels {
		p, err := t.packOne(all, plan, planned)
		if err != nil {
			return nil, err
		}
		out, undo.Parcels = append(out, p), append(undo.Parcels, p.ID)
	}
	text := "packed in 1 parcel"
	if n := len(out); n > 1 {
		text = fmt.Sprintf("packed in %d parcels", n)
	}
	if len(all) > 1 {
		if undo.Told, err = planning.In(t.Turn).Tell(all, o.ID, "%s together with %s", text, o.Mark); err != nil {
			return nil, err
		}
		text += " together with " + planning.MarksOf(planning.Others(all, o.ID))
	}
	if unkept != "" {
		text += "; the way that was chosen for it could not be kept: " + unkept
	}
	_, err = t.Journal(studio.MarkPacked, o.ID, undo, "%s %s", o.Mark, text)
	return out, err
}

// packOne packs one parcel of a plan of orders.
func (t *Dispatch) packOne(all []order.Order, plan packing.Plan, planned packing.Parcel) (studio.Parcel, error) {
	o := all[slices.IndexFunc(all, func(of order.Order) bool { return of.Mark == planned.Order })]
	lines, err := planning.LinesIn(planned)
	if err != nil {
		return studio.Parcel{}, err
	}
	p := studio.Parcel{
		Order: o.ID, Lines: lines, State: studio.Packed, Plan: planned, Service: planned.Service, Packed: t.Today,
		Estimated: money.Of(planning.PostageOf(planned), plan.Currency), Paid: money.Of(0, plan.Currency), Wrap: planned.Wrap,
	}
	if p.Bare, p.WrapMass, err = planning.In(t.Turn).Bare(planned, all); err != nil {
		return p, err
	}
	for _, w := range plan.Warnings {
		if w.Card == "" || w.Card == planned.Card {
			p.Warnings = append(p.Warnings, w.Text)
		}
	}
	if p.ID, err = t.AddParcel(p); err != nil || len(plan.Orders) == 1 {
		return p, err
	}
	return t.Parcel(p.ID) // with the orders that share it
}

// undoPack unpacks parcels while none of them is labelled.
func (t *Dispatch) undoPack(u undoPacked) error {
	for _, id := range u.Parcels {
		p, err := t.Parcel(id)
		if fault.Is(err, fault.Missing) {
			return fault.New(fault.Refused, "a parcel of it is unpacked already")
		}
		if err != nil {
			return err
		}
		if p.State != studio.Packed {
			return fault.New(fault.Refused, "parcel %d is %s", id, p.State).ToMend("undo that first")
		}
		if err := t.DropParcel(id); err != nil {
			return err
		}
	}
	return planning.In(t.Turn).Untell(u.Told)
}
