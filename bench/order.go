package bench

import (
	"fmt"
	"slices"
	"strings"

	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/order"
)

// print returns what a line is called; a line whose names were not read is named by its number.
func (o *Order) print(l order.Line) Print {
	for _, p := range o.Prints {
		if p.Line.ID == l.ID {
			return p
		}
	}
	p := Print{Line: l, Label: l.Number.String(), Edition: fmt.Sprintf("edition %d", l.Edition)}
	if p.Label == "" {
		p.Label = "open edition"
	}
	return p
}

func (p Print) piece() Piece { return Piece{Work: p.Work, Label: p.Label, Title: p.Title} }

// money lists what is owed either way.
func (b *maker) money(o *Order) {
	owed := o.Owed()
	t := b.task(ChaseMoney, o)
	switch {
	case owed.Sign() > 0 && o.Override == nil:
		t.What = "collect " + owed.String()
		t.Why = fmt.Sprintf("owes %s of %s", owed, o.Due())
		if o.Paid().Sign() <= 0 {
			t.Detail = append(t.Detail, "nothing paid yet: no sheet is ordered or given")
		} else if b.allSigned(o) {
			t.Detail = append(t.Detail, "every print is signed: it can leave once it is paid")
		}
	case owed.Sign() < 0:
		t.What = "refund " + owed.Neg().String()
		t.Why = fmt.Sprintf("paid %s of %s", o.Paid(), o.Due())
	default:
		return
	}
	b.add(t)
}

func (b *maker) allSigned(o *Order) bool {
	return !slices.ContainsFunc(Pending(o.Order), func(l order.Line) bool { return !l.Signed })
}

// sign lists each print whose sheet is there, unsigned.
func (b *maker) sign(o *Order) {
	kept := o.kept() // said once
	for _, l := range unpacked(o.Order) {
		if l.Signed || !b.sheets.Has[l.ID] {
			continue
		}
		p := o.print(l)
		t := b.task(SignPrints, o)
		t.Edition, t.Lines = l.Edition, []int64{l.ID}
		t.Label, t.Title, t.Size, t.Pieces = p.Label, p.Title, p.Size, []Piece{p.piece()}
		t.What = p.Label + " " + p.Edition
		t.Why = "the sheet is in the drawer"
		t.Detail, kept = append(t.Detail, kept...), nil
		b.add(t)
	}
}

// address lists an order whose label cannot be written.
func (b *maker) address(o *Order) {
	what := o.NoAddress()
	if what == "" {
		return
	}
	t := b.task(AskAddress, o)
	t.What, t.Why = what, "no parcel of it is planned or labelled before it is there"
	if o.Contact != "" {
		t.Detail = append(t.Detail, "ask "+o.Contact)
	}
	b.add(t)
}

// pack lists an order once it may be packed, or handed over in person: its money is settled and every print that is in
// no parcel is signed, or has its sheet and an override.
func (b *maker) pack(o *Order) {
	lines := unpacked(o.Order)
	if len(lines) == 0 || !Settled(o.Order) || o.NoAddress() != "" {
		return
	}
	t := b.task(PackOrders, o)
	waits := o.Wait != nil && o.Wait.Said
	switch {
	case o.InPerson:
		t = b.task(HandOver, o)
	case waits:
		t = b.task(Waits, o)
	}
	t.Pieces = nil
	var prints, unsigned []string
	for _, l := range lines {
		if !b.sheets.Has[l.ID] || !l.Signed && o.Override == nil {
			return
		}
		p := o.print(l)
		t.Lines, t.Pieces = append(t.Lines, l.ID), append(t.Pieces, p.piece())
		prints = append(prints, p.Label+" "+p.Edition)
		if !l.Signed {
			unsigned = append(unsigned, p.Label)
		}
	}
	t.What = strings.Join(prints, "; ")
	t.Why = fault.Count(len(lines), "print") + " ready"
	if o.Override != nil {
		t.Detail = append(t.Detail, "overridden: "+o.Override.Reason)
	}
	if len(unsigned) > 0 {
		t.Detail = append(t.Detail, "not signed: "+names(unsigned)+"; only the override lets it leave so")
	}
	switch {
	case o.InPerson:
		t.Why += ", to hand over in person"
		t.Blocked = b.stays(o, nil)
	case waits:
		t.Until, t.Why = o.Wait.Until, o.Wait.Text
	default:
		b.planned(&t, o)
		b.mayWait(&t, o)
	}
	b.add(t)
}

// kept is what is kept for an order until the day on which it goes, or why it is not any more.
func (o *Order) kept() []string {
	switch {
	case o.Wait == nil || o.Wait.Kept == "":
		return nil
	case o.Wait.Broken != "":
		return []string{"it does not hold that " + o.Wait.Kept + ": " + o.Wait.Broken}
	}
	return []string{o.Wait.Kept}
}

// mayWait adds to a task what waiting would save, or why the order does not wait any more.
func (b *maker) mayWait(t *Task, o *Order) {
	if o.Wait == nil {
		return
	}
	t.Until, t.May = o.Wait.Until, o.Wait.Text
	if t.Detail = append(t.Detail, o.kept()...); o.Wait.Broken != "" && o.Wait.Kept == "" {
		t.Detail = append(t.Detail, "it was to wait, and does not: "+o.Wait.Broken)
	}
}

// planned adds the planner's answer to a task, or why there is none.
func (b *maker) planned(t *Task, o *Order) {
	if o.Held != "" {
		t.Blocked = o.Held
		return
	}
	if o.Plan == nil {
		t.Detail = append(t.Detail, "not planned yet")
		return
	}
	if t.With = o.Plan.With; len(t.With) > 0 {
		t.Detail = append(t.Detail, "goes together with "+names(t.With))
	}
	if o.Plan.Under != "" {
		t.Detail = append(t.Detail, "how it is packed is told under "+o.Plan.Under)
		return
	}
	var services []string
	for i, p := range o.Plan.Parcels {
		t.Mass += p.Mass
		t.Outlines = append(t.Outlines, p.Outline)
		if !slices.Contains(services, p.Service) {
			services = append(services, p.Service)
		}
		head := fmt.Sprintf("%s, %s, %s", p.Wrap, p.Mass.About(b.units()), p.Service)
		if len(t.With) > 0 && len(o.Plan.Parcels) == 1 {
			head += ", with " + names(p.Prints)
		}
		if len(o.Plan.Parcels) > 1 {
			head = fmt.Sprintf("parcel %d of %d: %s, with %s", i+1, len(o.Plan.Parcels), head, names(p.Prints))
		}
		t.Detail = append(append(t.Detail, head), p.Layers...)
	}
	t.Service, t.Total, t.Postage = strings.Join(services, " and "), o.Plan.Total, o.Plan.Postage
	t.Detail = append(t.Detail, o.Plan.Shared...)
	t.Warnings = o.Plan.Warnings
	if !o.Plan.Proven {
		text := "not proven to be the cheapest"
		if o.Plan.AtMost.Sign() > 0 {
			text += ": at most " + o.Plan.AtMost.String() + " could be saved"
		}
		t.Detail = append(t.Detail, text)
	}
}

func (b *maker) units() measure.System {
	if b.Units == "" {
		return measure.Imperial
	}
	return b.Units
}

// parcels lists what is packed: to label, then to hand over. An order whose money is no longer settled
// is held. One with nothing left to do in any group is told under hand over, so that it is not lost.
func (b *maker) parcels(o *Order) {
	for _, p := range o.Parcels {
		if p.Under != "" {
			continue
		}
		g := LabelParcel
		if p.Labelled {
			g = HandOver
		}
		t := b.task(g, o)
		t.Parcel, t.Service, t.What, t.Warnings = p.ID, p.Service, p.Text, p.Warnings
		t.Postage, t.Services, t.Pieces = p.Postage, p.Services, nil
		for _, l := range o.Live() {
			if l.Parcel == p.ID {
				t.Pieces = append(t.Pieces, o.print(l).piece())
			}
		}
		if !p.Labelled {
			t.Why = "packed, without a label"
		} else if t.Why = "labelled"; p.Tracking != "" {
			t.Why += ", " + p.Tracking
		}
		if t.With = p.With; len(t.With) > 0 {
			t.Detail = append(t.Detail, "together with "+names(t.With))
		}
		switch {
		case p.Labelled:
			t.Blocked = b.stays(o, p.With)
		case !Settled(o.Order):
			t.Blocked = owedStill(o.Owed())
		}
		b.add(t)
	}
	if len(o.Parcels) == 0 && len(unpacked(o.Order)) == 0 {
		b.add(b.stray(o))
	}
}

// stays says why a parcel of an order, and of others, is not handed over; "" = it may be.
func (b *maker) stays(o *Order, with []string) string {
	var why []string
	for _, l := range LacksToGo(o.Order, o.Tell) {
		why = append(why, l.What)
	}
	for _, other := range b.open {
		if !slices.Contains(with, other.Mark) {
			continue
		}
		for _, l := range LacksToGo(other.Order, other.Tell) {
			why = append(why, other.Mark+": "+l.What)
		}
	}
	return strings.Join(why, "; ")
}

func owedStill(a money.Amount) string { return a.String() + " is still owed" }

// stray explains an open order that has neither a print to pack nor a parcel in the house.
func (b *maker) stray(o *Order) Task {
	t := b.task(HandOver, o)
	t.What, t.Why = "nothing left to send", "every print is sent or was taken out"
	t.Blocked = "close or cancel the order"
	if len(Pending(o.Order)) > 0 {
		t.What, t.Why = "its parcel is missing", "its prints are marked packed, but no parcel of it is in the house"
		t.Blocked = "undo the packing of the order"
	}
	return t
}
