package labelling

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/dayplan"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/planning"
	"solander/studio"
	"solander/tariff"
	"solander/weighing"
)

// mostPostage is the most that may be noted for one parcel, in minor units: more is a slip of the decimal
// point. Rule of thumb.
const mostPostage = 100_000_00

// LabelIn notes the service used and the postage paid.
type LabelIn struct {
	Parcel   int64
	Service  string // key or name of a service, or any other in her words; "" = as planned
	Paid     money.Amount
	Tracking string        // "" = none
	Day      calendar.Day  // zero: today
	Weighed  *measure.Mass // what her scale says; nil = not weighed now, what was noted stays
	// AsRead says that a machine read the tracking number, from a label or a file: a wrong check digit is then
	// no fault, for the label is what it is. See order.ReadTracking, which tells it.
	AsRead bool
}

// Validate looks at the label alone; a tracking number that has the form of a published standard must
// hold its check digit. Faults: Invalid.
func (in LabelIn) Validate() error {
	var l fault.List
	l.Add(order.Text("service", in.Service, 80, false))
	l.Add(studio.Amount("paid", in.Paid))
	l.Check(in.Paid.Minor <= mostPostage, "paid", fmt.Sprintf("%s is no postage of one parcel", in.Paid), "look at the decimal point")
	l.Add(studio.Sane("day", in.Day))
	if in.Weighed != nil {
		l.Add(weighing.Sane("weighed", *in.Weighed))
	}
	if in.Tracking != "" {
		_, err := in.tracking()
		l.Add(err)
	}
	return l.Err()
}

func (in LabelIn) tracking() (order.Tracking, error) {
	if in.AsRead {
		number, _, err := order.ReadTracking(in.Tracking)
		return number, err
	}
	return order.ParseTracking(in.Tracking)
}

// labelled is the part of a parcel that labelling sets.
type labelled struct {
	State    studio.ParcelState `json:"state"`
	Service  string             `json:"service"`
	Paid     money.Amount       `json:"paid"`
	Tracking string             `json:"tracking"`
	Day      calendar.Day       `json:"day"`
	Weighed  measure.Mass       `json:"weighed,omitempty"`
}

func labelOf(p studio.Parcel) labelled {
	return labelled{p.State, p.Service, p.Paid, p.Tracking, p.Labelled, p.Weighed}
}

func (l labelled) on(p studio.Parcel) studio.Parcel {
	p.State, p.Service, p.Paid, p.Tracking, p.Labelled, p.Weighed = l.State, l.Service, l.Paid, l.Tracking, l.Day, l.Weighed
	return p
}

// Undo is what taking a label off needs, as its mark keeps it.
type Undo struct {
	Parcel int64    `json:"parcel"`
	Before labelled `json:"before"`
	After  labelled `json:"after"`
	Told   []int64  `json:"told,omitempty"` // marks in the journals of the other orders in it
}

// Label notes on a packed parcel the service used, which may be another than planned, the postage
// actually paid, the tracking number, and what it weighs. A parcel may be labelled again until it is handed over.
// Faults: Invalid, Missing, Taken when another parcel has that tracking number, Refused when it was
// handed over or its packaging was issued for another class of service.
func Label(ctx context.Context, s *studio.Studio, in LabelIn) error {
	in.Service, in.Tracking = strings.TrimSpace(in.Service), strings.TrimSpace(in.Tracking)
	if err := in.Validate(); err != nil {
		return err
	}
	return write(ctx, s, func(t *Labelling) error {
		p, err := t.Parcel(in.Parcel)
		if err != nil {
			return err
		}
		if p.State == studio.HandedOver {
			return fault.New(fault.Refused, "parcel %d was handed over", p.ID).ToMend("undo the hand-over first")
		}
		if in.Service, err = serviceFor(s, t, p, in.Service); err != nil {
			return err
		}
		cards, err := s.AllCards(t.Turn)
		if err != nil {
			return err
		}
		return t.label(s, p, in, planning.Wording{Cards: cards})
	})
}

// serviceFor returns the key of the service that is meant, looked for in the planned card first; what no
// card knows stays as it was typed. Faults: Refused when a piece of the parcel was issued by an operator
// for another class of service: such packaging goes by its class alone, however it is cut.
func serviceFor(s *studio.Studio, t *Labelling, p studio.Parcel, text string) (string, error) {
	if text == "" {
		return p.Plan.Service, nil
	}
	cards, err := s.AllCards(t.Turn)
	if err != nil {
		return text, err
	}
	slices.SortStableFunc(cards, func(a, b dayplan.Card) int { return cmp.Compare(away(a, p), away(b, p)) })
	for _, c := range cards {
		for _, service := range c.Services {
			if service.ID == text || strings.EqualFold(service.Name, text) {
				return service.ID, t.issuedFor(p, service)
			}
		}
	}
	return text, nil
}

// away is 0 for the card that a parcel was planned by, 1 for any other.
func away(c dayplan.Card, p studio.Parcel) int {
	if c.ID == p.Plan.Card {
		return 0
	}
	return 1
}

func (t *Labelling) issuedFor(p studio.Parcel, service tariff.Service) error {
	items, err := t.Shelf()
	if err != nil {
		return err
	}
	used := dayplan.Uses(p.Plan)
	for _, it := range items {
		if class := it.Spec.IssuedFor; used[it.Spec.ID] > 0 && class != "" && class != service.Class {
			return fault.New(fault.Refused, "the %s may only go by the class %q; %s is %q", it.Spec.Name, class, service.Name, service.Class).In("service").
				ToMend("send it by its class, or undo the packing and use other packaging")
		}
	}
	return nil
}

func (t *Labelling) label(s *studio.Studio, p studio.Parcel, in LabelIn, w planning.Wording) error {
	day, err := t.NotFuture("day", in.Day)
	if err != nil {
		return err
	}
	if day.Before(p.Packed) {
		return fault.Invalidf("day", "%s is before it was packed, %s", day, p.Packed).ToMend("look at the day")
	}
	if p.Plan.Card == dayplan.UnlistedCard && in.Service == p.Plan.Service && in.Paid.Sign() <= 0 {
		return fault.Invalidf("paid", "no price list says what it costs").ToMend("type what you paid; or name the service, where it cost nothing")
	}
	after := labelled{State: studio.Labelled, Service: in.Service, Day: day, Weighed: p.Weighed}
	if in.Weighed != nil {
		if err := weighing.In(t.Turn).May("weighed", p, *in.Weighed, w.Cards); err != nil {
			return err
		}
		after.Weighed = *in.Weighed
	}
	if after.Paid, err = t.Cash("paid", in.Paid); err != nil {
		return err
	}
	if after.Tracking, err = t.unusedTracking(p.ID, in); err != nil {
		return err
	}
	all, err := planning.In(t.Turn).Sharing(p)
	if err != nil {
		return err
	}
	for _, o := range all {
		if what := o.NoAddress(); what != "" {
			return studio.NoAddress(o, what)
		}
	}
	u := Undo{Parcel: p.ID, Before: labelOf(p), After: after}
	if err := t.SaveParcel(after.on(p)); err != nil {
		return err
	}
	if u.Told, err = planning.In(t.Turn).Tell(all, p.Order, "labelled in the parcel of %s", all[0].Mark); err != nil {
		return err
	}
	text := fmt.Sprintf("parcel of %s labelled, %s, %s", planning.MarksOf(all), w.Service(p.Plan.Card, after.Service), after.Paid)
	if in.Weighed != nil {
		says, err := weighing.In(t.Turn).Says(s, after.on(p), all[0].ShipTo, w.Cards)
		if err != nil {
			return err
		}
		text += "; " + says
	}
	_, err = t.Journal(studio.MarkLabelled, p.Order, u, "%s", text)
	return err
}

// unusedTracking reads a tracking number that no other parcel has.
func (t *Labelling) unusedTracking(parcel int64, in LabelIn) (string, error) {
	if in.Tracking == "" {
		return "", nil
	}
	number, err := in.tracking()
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

// TakeOff takes a label off while it is the latest one and the parcel is in the house.
func (t *Labelling) TakeOff(u Undo) error {
	p, err := t.Parcel(u.Parcel)
	if fault.Is(err, fault.Missing) {
		return fault.New(fault.Refused, "the parcel was unpacked since")
	}
	if err != nil {
		return err
	}
	if p.State == studio.HandedOver {
		return fault.New(fault.Refused, "parcel %d was handed over since", p.ID).ToMend("undo the hand-over first")
	}
	if now := labelOf(p); now != u.After {
		if now.Weighed = u.After.Weighed; now == u.After {
			return fault.New(fault.Refused, "parcel %d was weighed since", p.ID).ToMend("undo that first")
		}
		return fault.New(fault.Refused, "parcel %d was labelled again since", p.ID).ToMend("undo the later label first")
	}
	if err := t.SaveParcel(u.Before.on(p)); err != nil {
		return err
	}
	return planning.In(t.Turn).Untell(u.Told)
}
