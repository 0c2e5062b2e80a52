package weighing

import (
	"context"
	"fmt"
	"slices"

	"solander/dayplan"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/planning"
	"solander/studio"
	"solander/tariff"
)

// Over is a parcel that weighs more than its postage was found for.
type Over struct {
	Step measure.Mass // the last that costs what was planned; 0 when the price is not by mass
	By   measure.Mass // so much it is above that
	More money.Amount // what it costs more by the card
	Why  string       // why its service does not take it so heavy; "" = it does
}

// Text says it in a few words: "0.2 oz over the step of 1 lb: by the card it costs 1.05 USD more; the counter's scale decides".
func (o Over) Text(u measure.System) string {
	if o.Why != "" {
		return "too heavy for its service: " + o.Why + "; the counter’s scale decides"
	}
	text := "heavier than its postage was found for"
	if o.Step > 0 {
		text = fmt.Sprintf("%s over the step of %s", o.By.About(u), o.Step.In(u))
	}
	return fmt.Sprintf("%s: by the card it costs %s more; the counter’s scale decides", text, o.More)
}

// Over tells whether a weighed parcel is above the step that its postage was found for, as planned; ok is false when it is not, when the
// studio paid as much as that step costs already, and when no card knows its service. cards have the zones of the studio's origin.
func (t *Weighing) Over(p studio.Parcel, to order.Address, cards []dayplan.Card) (over Over, ok bool, err error) {
	if p.Weighed <= p.Plan.Mass {
		return over, false, nil
	}
	at := slices.IndexFunc(cards, func(c dayplan.Card) bool { return c.ID == p.Plan.Card && c.Service(p.Service) != nil })
	if at < 0 {
		at = slices.IndexFunc(cards, func(c dayplan.Card) bool { return c.Currency == t.Set.Currency && c.Service(p.Service) != nil })
	}
	if at < 0 {
		return over, false, nil
	}
	card := &cards[at].Card
	offer, why := tariff.NewOffer(card, card.Service(p.Service), studio.PlaceOf(t.Set.Address), studio.PlaceOf(to))
	if why != nil {
		return over, false, nil
	}
	parcel, err := t.carried(p)
	if err != nil {
		return over, false, err
	}
	extras := tariff.Extras{Cover: p.Plan.Cover, Signature: p.Plan.Signature}
	planned, why := offer.Price(&parcel, extras)
	if why != nil {
		return over, false, nil // it never went by this service as planned
	}
	parcel.Mass = p.Weighed
	now, why := offer.Price(&parcel, extras)
	if why != nil {
		return Over{Why: why.Text}, true, nil
	}
	over.More = money.Of(now.Total-planned.Total, card.Currency)
	if over.More.Sign() <= 0 || p.HasLabel() && p.Paid.Currency == card.Currency && p.Paid.Minor >= now.Total {
		return Over{}, false, nil
	}
	if row, found := offer.Service.Prices.Step(p.Plan.Size, planned.Billed); found && offer.Service.Prices.By == tariff.ByMass {
		over.Step = offer.Service.Prices.Rows[row].Mass
		over.By = p.Weighed - over.Step
	}
	return over, true, nil
}

// carried is a packed parcel as an operator sees it.
func (t *Weighing) carried(p studio.Parcel) (tariff.Parcel, error) {
	out := tariff.Parcel{Size: p.Plan.Size, Form: p.Plan.Form, Stiff: p.Plan.Stiff, Mass: p.Plan.Mass, Value: p.Plan.Value}
	items, err := t.Shelf()
	for i, l := range p.Plan.Layers {
		for _, it := range items {
			if it.Spec.ID != l.Item {
				continue
			}
			if i == len(p.Plan.Layers)-1 {
				out.Container = it.Spec.Container
			}
			if it.Spec.IssuedFor != "" {
				out.IssuedFor = append(out.IssuedFor, it.Spec.IssuedFor)
			}
		}
	}
	return out, err
}

// Says is what a parcel weighs and what that means for its postage: "weighed 14.2 oz, …".
func (t *Weighing) Says(s *studio.Studio, p studio.Parcel, to order.Address, cards []dayplan.Card) (string, error) {
	says := "weighed " + p.Weighed.In(t.Set.Units)
	over, ok, err := t.Over(p, to, s.WithZones(slices.Clone(cards), studio.PlaceOf(t.Set.Address), t.Set.Zones))
	if ok {
		says += ", " + over.Text(t.Set.Units)
	}
	return says, err
}

// OverOf says of a parcel in the house what is to know before the counter; "" = nothing.
func OverOf(ctx context.Context, s *studio.Studio, parcel int64) (string, error) {
	p, err := studio.Got(ctx, s, read, func(t *Weighing) (studio.Parcel, error) { return t.Parcel(parcel) })
	if err != nil {
		return "", err
	}
	says, err := Overs(ctx, s, []studio.Parcel{p})
	return says[parcel], err
}

// Overs says of parcels of one order that are in the house, by id, what is to know before the counter.
func Overs(ctx context.Context, s *studio.Studio, parcels []studio.Parcel) (map[int64]string, error) {
	says := map[int64]string{}
	err := read(ctx, s, func(t *Weighing) error {
		for _, p := range parcels {
			if p.Weighed <= p.Plan.Mass || p.State == studio.HandedOver {
				continue
			}
			cards, err := s.AllCards(t.Turn)
			if err != nil {
				return err
			}
			all, err := planning.In(t.Turn).Sharing(p)
			if err != nil {
				return err
			}
			over, ok, err := t.Over(p, all[0].ShipTo, s.WithZones(cards, studio.PlaceOf(t.Set.Address), t.Set.Zones))
			if err != nil {
				return err
			}
			if ok {
				says[p.ID] = over.Text(t.Set.Units)
			}
		}
		return nil
	})
	return says, err
}
