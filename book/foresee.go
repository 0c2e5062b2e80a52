package book

import (
	"context"
	"errors"

	"solander/dayplan"
	"solander/exchange"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/planning"
	"solander/studio"
)

// Foreseen is what a sale would be if it were taken now, and what it would cost to send.
type Foreseen struct {
	Order   studio.OrderView // its mark, numbers and prices are those that it would get at this moment; nothing of it is kept
	Agreed  exchange.Agreed  // as what it would be owed in another currency; none when it is owed in the book's
	Sending money.Amount     // packaging, work and postage of its parcels, by the plan of it alone; zero: not known
	Parcels int
	By      []string // the service of each parcel
	Held    string   // why no plan sends it; "" when one does, or when it was not asked
	Proven  bool     // no cheaper plan exists; else it is the best that was found in the time there was
}

// errForeseen ends the transaction of Foresee, so that nothing of it is kept.
var errForeseen = errors.New("book: nothing is to be kept")

// Foresee takes a sale as TakeOrder does, in a transaction that is then taken back, so that both give the same numbers and prices by the same
// rule; what it costs to send is asked of the planner when that is let go. A sale that has no buyer, outlet or address yet is foreseen
// without them. Faults: as TakeOrder, of what is there.
func Foresee(ctx context.Context, s *studio.Studio, in Sale) (Foreseen, error) {
	in = in.Tidy()
	if err := in.validateLines(); err != nil {
		return Foreseen{}, err
	}
	if in.Buyer.ID == 0 && in.Buyer.Name == "" {
		in.Buyer, in.Rule = order.Buyer{Name: "nobody yet"}, order.AlwaysNew
	}
	var v Foreseen
	var ask *asked
	err := write(studio.Part(ctx), s, func(t *Book) error {
		id, err := t.foretaken(in)
		if err != nil {
			return err
		}
		if v.Order, err = t.Taken(id); err != nil {
			return err
		}
		if v.Agreed, err = t.AgreedOf(id); err != nil {
			return err
		}
		if ask, err = t.quote(s, v.Order.Order); err != nil {
			return err
		}
		return errForeseen
	})
	if !errors.Is(err, errForeseen) {
		return Foreseen{}, err
	}
	if ask == nil {
		return v, nil
	}
	plan, err := s.Plans.Answer(ctx, ask.Question)
	if err != nil {
		return v, err
	}
	v.quoted(*ask, plan)
	return v, nil
}

// foretaken takes a sale that need not be whole: any outlet stands for one that is not chosen.
func (t *Book) foretaken(in Sale) (int64, error) {
	if in.Outlet == 0 {
		all, err := t.Outlets()
		if err != nil {
			return 0, err
		}
		for _, u := range all {
			if !u.Closed {
				in.Outlet = u.ID
			}
		}
	}
	in.Paid = money.Of(0, t.Set.Currency) // what was paid is judged when it is taken
	return t.TakeOrder(in)
}

// asked is a question with the names of what its answer speaks of.
type asked struct {
	dayplan.Question
	names planning.Wording
}

// quote is the question what it costs to send an order; nil when it has no address that a parcel could go to.
func (t *Book) quote(s *studio.Studio, o order.Order) (*asked, error) {
	if o.InPerson || o.NoAddress() != "" || o.ShipTo.Validate() != nil {
		return nil, nil
	}
	p := planning.In(t.Turn)
	means, err := planning.MeansOf(s, p)
	if err != nil {
		return nil, err
	}
	q, err := p.Question(means, o, o.Live(), p.HandOverDay(o.Placed))
	return &asked{q, planning.Wording{Cards: means.Cards}}, err
}

func (v *Foreseen) quoted(q asked, plan packing.Plan) {
	if v.Held = dayplan.HeldIn(q.Problem, plan); v.Held != "" {
		return
	}
	v.Sending, v.Parcels, v.Proven = money.Of(plan.Total, q.Problem.Currency), len(plan.Parcels), plan.Status == packing.Optimal
	for _, p := range plan.Parcels {
		v.By = append(v.By, q.names.Service(p.Card, p.Service))
	}
}

// Unproven reports whether the plan ended before it was proven.
func (v Foreseen) Unproven() bool { return v.Parcels > 0 && !v.Proven }

// NextNumber is the number that the next sale of an edition gets when none is asked for: "17/250"; "" of an open edition.
// Faults: Missing; Refused when it is sold out.
func NextNumber(ctx context.Context, s *studio.Studio, ed int64) (string, error) {
	return studio.Got(ctx, s, read, func(t *Book) (string, error) {
		e, err := t.EditionOf(ed)
		if err != nil || e.Open() {
			return "", err
		}
		n, err := t.choose(e, "")
		return n.Of(e), err
	})
}
