package studio

import (
	"context"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// LabelIn notes the service used and the postage paid.
type LabelIn struct {
	Parcel   int64
	Service  string // "" = as planned
	Paid     money.Amount
	Tracking string       // "" = none
	Day      calendar.Day // zero: today
}

// Validate looks at the label alone; a tracking number that has the form of a published standard must
// hold its check digit. Faults: Invalid.
func (in LabelIn) Validate() error {
	var l fault.List
	l.Add(order.Text("service", in.Service, 80, false))
	l.Add(amount("paid", in.Paid))
	l.Add(sane("day", in.Day))
	if in.Tracking != "" {
		_, err := order.ParseTracking(in.Tracking)
		l.Add(err)
	}
	return l.Err()
}

// labelled is the part of a parcel that labelling sets.
type labelled struct {
	State    ParcelState  `json:"state"`
	Service  string       `json:"service"`
	Paid     money.Amount `json:"paid"`
	Tracking string       `json:"tracking"`
	Day      calendar.Day `json:"day"`
}

func labelOf(p Parcel) labelled {
	return labelled{p.State, p.Service, p.Paid, p.Tracking, p.Labelled}
}

func (l labelled) on(p Parcel) Parcel {
	p.State, p.Service, p.Paid, p.Tracking, p.Labelled = l.State, l.Service, l.Paid, l.Tracking, l.Day
	return p
}

// undoLabelled is what taking a label off needs.
type undoLabelled struct {
	Parcel int64    `json:"parcel"`
	Before labelled `json:"before"`
	After  labelled `json:"after"`
}

// Label notes on a packed parcel the service used, which may be another than planned, the postage
// actually paid and the tracking number. A parcel may be labelled again until it is handed over.
// Faults: Invalid, Missing, Taken when another parcel has that tracking number, Refused when it was
// handed over.
func (s *Studio) Label(ctx context.Context, in LabelIn) error {
	in.Service, in.Tracking = strings.TrimSpace(in.Service), strings.TrimSpace(in.Tracking)
	if err := in.Validate(); err != nil {
		return err
	}
	return s.write(ctx, func(t *turn) error {
		p, err := t.Parcel(in.Parcel)
		if err != nil {
			return err
		}
		if p.State == HandedOver {
			return fault.New(fault.Refused, "parcel %d was handed over", p.ID).ToMend("undo the hand-over first")
		}
		return t.label(p, in)
	})
}

func (t *turn) label(p Parcel, in LabelIn) error {
	day, err := t.notFuture("day", in.Day)
	if err != nil {
		return err
	}
	if day.Before(p.Packed) {
		return fault.Invalidf("day", "%s is before it was packed, %s", day, p.Packed).ToMend("look at the day")
	}
	after := labelled{State: Labelled, Service: p.Plan.Service, Day: day}
	if in.Service != "" {
		after.Service = in.Service
	}
	if after.Paid, err = t.cash("paid", in.Paid); err != nil {
		return err
	}
	if after.Tracking, err = t.unusedTracking(p.ID, in.Tracking); err != nil {
		return err
	}
	o, err := t.Order(p.Order)
	if err != nil {
		return err
	}
	u := undoLabelled{Parcel: p.ID, Before: labelOf(p), After: after}
	if err := t.SaveParcel(after.on(p)); err != nil {
		return err
	}
	_, err = t.mark(MarkLabelled, p.Order, u, "parcel of %s labelled, %s, %s", o.Mark, after.Service, after.Paid)
	return err
}

// unusedTracking reads a tracking number that no other parcel has.
func (t *turn) unusedTracking(parcel int64, text string) (string, error) {
	if text == "" {
		return "", nil
	}
	number, err := order.ParseTracking(text)
	if err != nil {
		return "", err
	}
	others, err := t.ParcelsTracked(number.Number)
	if err != nil {
		return "", err
	}
	for _, p := range others {
		if p.ID == parcel {
			continue
		}
		o, err := t.Order(p.Order)
		if err != nil {
			return "", err
		}
		return "", fault.New(fault.Taken, "a parcel of %s has this tracking number", o.Mark).In("tracking").ToMend("scan the label of this parcel")
	}
	return number.Number, nil
}

// undoLabel takes a label off while it is the latest one and the parcel is in the house.
func (t *turn) undoLabel(u undoLabelled) error {
	p, err := t.Parcel(u.Parcel)
	if fault.Is(err, fault.Missing) {
		return fault.New(fault.Refused, "the parcel was unpacked since")
	}
	if err != nil {
		return err
	}
	if p.State == HandedOver {
		return fault.New(fault.Refused, "parcel %d was handed over since", p.ID).ToMend("undo the hand-over first")
	}
	if labelOf(p) != u.After {
		return fault.New(fault.Refused, "parcel %d was labelled again since", p.ID).ToMend("undo the later label first")
	}
	return t.SaveParcel(u.Before.on(p))
}
