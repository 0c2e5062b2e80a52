package weighing

import (
	"cmp"
	"context"

	"solander/dayplan"
	"solander/fault"
	"solander/measure"
	"solander/packing/scale"
	"solander/planning"
	"solander/studio"
	"solander/tariff"
)

// WeighIn notes what a parcel weighs, labelled or not.
type WeighIn struct {
	Parcel int64
	Mass   measure.Mass
}

// Validate looks at the mass alone. Faults: Invalid.
func (in WeighIn) Validate() error { return Sane("mass", in.Mass) }

// Sane looks at a mass that was weighed alone. Faults: Invalid.
func Sane(field string, m measure.Mass) error {
	if m <= 0 {
		return fault.Invalidf(field, "a parcel weighs more than nothing").ToMend("write what your scale says, with its unit; leave it empty when it was not weighed")
	}
	return nil
}

// undoWeighed is what forgetting a mass needs.
type undoWeighed struct {
	Parcel int64        `json:"parcel"`
	Before measure.Mass `json:"before"`
	After  measure.Mass `json:"after"`
	Told   []int64      `json:"told,omitempty"` // marks in the journals of the other orders in it
}

// Weigh notes what a parcel weighs, in whichever state it is, and returns what the journal says of it. A parcel may be weighed again.
// Faults: Invalid when the mass is none, more than any service takes, or too far from the plan to be of this parcel; Missing.
func Weigh(ctx context.Context, s *studio.Studio, in WeighIn) (string, error) {
	if err := in.Validate(); err != nil {
		return "", err
	}
	return studio.Got(ctx, s, write, func(t *Weighing) (string, error) { return t.weigh(s, in) })
}

func (t *Weighing) weigh(s *studio.Studio, in WeighIn) (string, error) {
	p, err := t.Parcel(in.Parcel)
	if err != nil {
		return "", err
	}
	cards, err := s.AllCards(t.Turn)
	if err != nil {
		return "", err
	}
	if err := t.May("mass", p, in.Mass, cards); err != nil {
		return "", err
	}
	u := undoWeighed{Parcel: p.ID, Before: p.Weighed, After: in.Mass}
	p.Weighed = in.Mass
	if err := t.SaveParcel(p); err != nil {
		return "", err
	}
	all, err := planning.In(t.Turn).Sharing(p)
	if err != nil {
		return "", err
	}
	says, err := t.Says(s, p, all[0].ShipTo, cards)
	if err != nil {
		return "", err
	}
	if u.Told, err = planning.In(t.Turn).Tell(all, p.Order, "weighed in the parcel of %s", all[0].Mark); err != nil {
		return "", err
	}
	text := "parcel of " + planning.MarksOf(all) + " " + says
	_, err = t.Journal(studio.MarkWeighed, p.Order, u, "%s", text)
	return text, err
}

// UndoWeigh forgets a mass that was noted apart from a label. Faults: Refused when the parcel was unpacked or weighed again since.
func (t *Weighing) UndoWeigh(u undoWeighed) error {
	p, err := t.Parcel(u.Parcel)
	if fault.Is(err, fault.Missing) {
		return fault.New(fault.Refused, "the parcel was unpacked since")
	}
	if err != nil {
		return err
	}
	if p.Weighed != u.After {
		return fault.New(fault.Refused, "parcel %d was weighed again since", p.ID).ToMend("undo that first")
	}
	p.Weighed = u.Before
	if err := t.SaveParcel(p); err != nil {
		return err
	}
	return planning.In(t.Turn).Untell(u.Told)
}

// May looks whether a mass can be that of a parcel. Faults: Invalid.
func (t *Weighing) May(field string, p studio.Parcel, m measure.Mass, cards []dayplan.Card) error {
	u := t.Set.Units
	if most := heaviest(studio.ListedFor(cards, t.Set, t.Today)); most > 0 && m > most {
		return fault.Invalidf(field, "%s is more than any service takes, which is %s", m.In(u), most.About(u)).ToMend("look at the unit and the decimal point")
	}
	if planned := cmp.Or(p.Bare, p.Plan.Mass); planned > 0 && !scale.Likely(planned, m) {
		return fault.Invalidf(field, "%s is more than %d times as %s as planned, which is %s", m.In(u), scale.Apart, farther(m > planned), planned.About(u)).
			ToMend("look at the unit, the decimal point, and whether it is this parcel; when it is so, correct what its packaging weighs on the shelf and pack it anew")
	}
	return nil
}

func farther(heavy bool) string {
	if heavy {
		return "heavy"
	}
	return "light"
}

// heaviest is the most that a service of the cards takes; 0 when one takes any mass, or there is none.
func heaviest(cards []dayplan.Card) (most measure.Mass) {
	for _, c := range cards {
		for _, s := range c.Services {
			var takes measure.Mass
			for _, b := range s.Limits {
				if b.Measure == tariff.MassOf && b.Max != nil && b.Form == "" {
					takes = measure.Mass(*b.Max)
				}
			}
			if n := len(s.Prices.Rows); s.Prices.By == tariff.ByMass && n > 0 && (takes == 0 || s.Prices.Rows[n-1].Mass < takes) {
				takes = s.Prices.Rows[n-1].Mass
			}
			if takes == 0 {
				return 0
			}
			most = max(most, takes)
		}
	}
	return most
}
