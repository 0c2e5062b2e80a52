package book

import (
	"context"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// AmendIn changes an order; nil fields stay.
type AmendIn struct {
	Order       int64
	Promised    *calendar.Day
	ArriveBy    *calendar.Day // no day: any
	ShipTo      *order.Address
	InPerson    *bool // handed over in person, or sent after all
	Note        *string
	GiftMessage *string
	Postage     *money.Amount
	Tax         *money.Amount
	Fee         *money.Amount
}

// Validate looks at the change alone. Faults: Invalid.
func (in AmendIn) Validate() error {
	var l fault.List
	if in.Promised != nil {
		l.Check(!in.Promised.IsZero(), "promised", "the promise is missing", "write it like 2026-04-14")
		l.Add(studio.Sane("promised", *in.Promised))
	}
	if in.ArriveBy != nil {
		l.Add(studio.Sane("arrive_by", *in.ArriveBy))
	}
	if in.ShipTo != nil {
		l.Add(in.ShipTo.Validate())
	}
	l.Add(given(in.Note, func(text string) error { return order.Note("note", text) }))
	l.Add(given(in.GiftMessage, func(text string) error { return order.Note("gift_message", text) }))
	l.Add(given(in.Postage, func(a money.Amount) error { return studio.Amount("postage", a) }))
	l.Add(given(in.Tax, func(a money.Amount) error { return studio.Amount("tax", a) }))
	l.Add(given(in.Fee, func(a money.Amount) error { return studio.Amount("fee", a) }))
	return l.Err()
}

// given looks at a value that may be left out.
func given[T any](v *T, look func(T) error) error {
	if v == nil {
		return nil
	}
	return look(*v)
}

// Amend changes an order. The address is frozen once a parcel of it is labelled, its place once one is
// packed. A changed postage changes the fee with it, unless the fee was corrected before.
// Faults: Invalid, Missing, Refused.
func Amend(ctx context.Context, s *studio.Studio, in AmendIn) (studio.OrderView, error) {
	return AmendSeen(ctx, s, in, func(order.Order) error { return nil })
}

// AmendSeen is Amend for whoever saw the order: seen refuses when it is no longer as it was then. It is asked in the
// transaction that writes, perhaps more than once, and calls no use case.
func AmendSeen(ctx context.Context, s *studio.Studio, in AmendIn, seen func(order.Order) error) (studio.OrderView, error) {
	if in.ShipTo != nil {
		tidy := in.ShipTo.Tidy()
		in.ShipTo = &tidy
	}
	if err := in.Validate(); err != nil {
		return studio.OrderView{}, err
	}
	var v studio.OrderView
	err := write(ctx, s, func(t *Book) error {
		o, err := t.Order(in.Order)
		if err != nil {
			return err
		}
		if err := seen(o); err != nil {
			return err
		}
		if err := t.Amend(o, in); err != nil {
			return err
		}
		v, err = t.Whole(in.Order)
		return err
	})
	return v, err
}

// Amend is the use case Amend within a transaction.
func (t *Book) Amend(o order.Order, in AmendIn) error {
	var told []string
	for _, change := range []func(*order.Order, AmendIn) (string, error){t.amendDays, t.amendInPerson, t.amendAddress, t.amendTexts, t.amendMoney} {
		what, err := change(&o, in)
		if err != nil {
			return fault.Placed(err, o.Mark)
		}
		if what != "" {
			told = append(told, what)
		}
	}
	if len(told) == 0 {
		return nil
	}
	if err := t.SaveOrder(o); err != nil {
		return err
	}
	return t.Note(o.ID, "%s changed: %s", o.Mark, strings.Join(told, ", "))
}

func (t *Book) amendDays(o *order.Order, in AmendIn) (string, error) {
	if in.Promised == nil && in.ArriveBy == nil {
		return "", nil
	}
	if err := studio.StillOpen(*o); err != nil {
		return "", err
	}
	if in.Promised != nil {
		o.Promised = *in.Promised
	}
	if in.ArriveBy != nil {
		o.ArriveBy = *in.ArriveBy
	}
	if err := promiseIn(o.Placed, o.Promised); err != nil {
		return "", err
	}
	if !o.ArriveBy.IsZero() && (o.ArriveBy.Before(o.Promised) || o.ArriveBy.Sub(o.Placed) > longestPromise) {
		return "", fault.Invalidf("arrive_by", "%s is before the promise of %s, or years off", o.ArriveBy, o.Promised).ToMend("look at both days")
	}
	return "promised by " + o.Promised.String(), nil
}

func (t *Book) amendAddress(o *order.Order, in AmendIn) (string, error) {
	if in.ShipTo == nil || *in.ShipTo == o.ShipTo {
		return "", nil
	}
	if err := studio.StillOpen(*o); err != nil {
		return "", err
	}
	parcels, err := t.Parcels(o.ID)
	if err != nil {
		return "", err
	}
	moved := in.ShipTo.Country != o.ShipTo.Country || in.ShipTo.Postcode != o.ShipTo.Postcode
	for _, p := range parcels {
		switch {
		case p.State == studio.HandedOver:
			return "", fault.New(fault.Refused, "a parcel of it was handed over to the old address").In("ship_to").ToMend("ask the operator to redirect it")
		case p.State == studio.Labelled:
			return "", fault.New(fault.Refused, "a parcel of it is labelled with the old address").In("ship_to").ToMend("undo the label first")
		case len(p.Orders) > 1:
			return "", fault.New(fault.Refused, "a parcel of it is packed together with other orders to this address").In("ship_to").ToMend("undo the packing first")
		case moved:
			return "", fault.New(fault.Refused, "a parcel of it is packed for the old place").In("ship_to").ToMend("undo the packing first")
		}
	}
	o.ShipTo = *in.ShipTo
	return "address", nil
}

func (t *Book) amendTexts(o *order.Order, in AmendIn) (string, error) {
	var told []string
	if in.Note != nil && *in.Note != o.Note {
		o.Note, told = *in.Note, append(told, "note")
	}
	if in.GiftMessage != nil && *in.GiftMessage != o.GiftMessage {
		o.GiftMessage, told = *in.GiftMessage, append(told, "gift message")
	}
	return strings.Join(told, ", "), nil
}

func (t *Book) amendMoney(o *order.Order, in AmendIn) (string, error) {
	var told []string
	if in.Postage != nil || in.Tax != nil {
		if err := studio.StillOpen(*o); err != nil {
			return "", err
		}
	}
	before, err := t.feeOf(*o)
	if err != nil {
		return "", err
	}
	for _, x := range []struct {
		field string
		in    *money.Amount
		to    *money.Amount
	}{{"postage", in.Postage, &o.Postage}, {"tax", in.Tax, &o.Tax}} {
		if x.in == nil {
			continue
		}
		if *x.to, err = t.Cash(x.field, *x.in); err != nil {
			return "", err
		}
		told = append(told, x.field+" "+x.to.String())
	}
	if o.Fee == before {
		if o.Fee, err = t.feeOf(*o); err != nil {
			return "", err
		}
	}
	if in.Fee != nil {
		if o.Fee, err = t.Cash("fee", *in.Fee); err != nil {
			return "", err
		}
		told = append(told, "fee "+o.Fee.String())
	}
	return strings.Join(told, ", "), nil
}

// amendInPerson says that an order is handed over in person, or sent after all. Faults: Refused while a parcel of it is packed.
func (t *Book) amendInPerson(o *order.Order, in AmendIn) (string, error) {
	if in.InPerson == nil || *in.InPerson == o.InPerson {
		return "", nil
	}
	if err := studio.StillOpen(*o); err != nil {
		return "", err
	}
	parcels, err := t.Parcels(o.ID)
	if err != nil {
		return "", err
	}
	for _, p := range parcels {
		if p.State != studio.HandedOver {
			return "", fault.New(fault.Refused, "a parcel of it is %s", p.State).In("in_person").ToMend("undo the packing first")
		}
	}
	o.InPerson = *in.InPerson
	if o.InPerson {
		return "handed over in person", nil
	}
	return "sent in a parcel", nil
}
