package book

import (
	"context"

	"solander/calendar"
	"solander/currencies"
	"solander/exchange"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// Taken is a payment or a refund as it was noted. Settled is what it is to the order, in the book's currency; Came is nil of money of that currency.
type Taken struct {
	*exchange.Came
	ID      int64        `json:"-"` // of the payment; 0 = nothing was to be noted
	Settled money.Amount `json:"settled"`
	Gain    money.Amount `json:"gain"`           // realised by the rate; negative for a loss
	Owed    money.Amount `json:"owed"`           // before it
	Left    money.Amount `json:"left"`           // still owed after it
	Still   money.Amount `json:"still,omitzero"` // the same in the currency agreed, if one is
}

// noted is the note of a payment: of one in another currency what it was, and by which rate.
func (k Taken) noted(note string) string {
	if k.Came == nil {
		return note
	}
	was := k.Amount.String() + ", " + k.Rate
	if k.Rate == "" {
		was = k.Amount.String() + ", worth " + k.Worth.String()
	}
	if note == "" {
		return was
	}
	return note + "; " + was
}

// TakeAbroad notes money of an order in whatever currency, and says what it settled and gained. Of an order that was agreed in that currency it
// settles its share of what is owed, and what it is worth more or less than that is a gain or a loss; of any other order it settles what it is
// worth. What is above what is owed cannot be noted. Faults: as Pay; Missing when no rate is kept of the day.
func TakeAbroad(ctx context.Context, s *studio.Studio, in PaymentIn) (Taken, error) {
	if err := in.Validate(); err != nil {
		return Taken{}, err
	}
	in.Any = true
	return studio.Got(ctx, s, write, func(t *Book) (Taken, error) {
		o, err := t.Order(in.Order)
		if err != nil {
			return Taken{}, err
		}
		out, err := t.take(o, in)
		if err != nil {
			return out, err
		}
		if o, err = t.Order(o.ID); err != nil {
			return out, err
		}
		w, _, err := currencies.In(t.Turn).Owing(o)
		out.Left, out.Still = o.Owed(), w.Owed
		return out, err
	})
}

// settles is what money is to an order.
func (t *Book) settles(o order.Order, day calendar.Day, in PaymentIn) (Taken, error) {
	out := Taken{Owed: o.Owed()}
	if cur := in.Amount.Currency; cur != "" && cur != t.Set.Currency {
		came, settled, err := currencies.In(t.Turn).Settle(o, currencies.CameIn{Amount: in.Amount, Worth: in.Worth, Refund: in.Kind == order.Refund, Day: day, Any: in.Any})
		out.Came, out.Settled, out.Gain = &came, settled, came.Gain(settled, in.Kind == order.Refund)
		return out, err
	}
	if in.Worth != nil {
		return out, fault.Invalidf("worth", "%s is the currency of the book: it is worth what it is", t.Set.Currency).ToMend("leave out what it was worth")
	}
	a, err := t.AgreedOf(o.ID)
	if err != nil {
		return out, err
	}
	if a.Stands() {
		return out, currencies.NotAs(o, a)
	}
	out.Settled, err = t.Cash("amount", in.Amount)
	return out, err
}

// PayRest notes that all that an order owes was paid, in the currency in which it is owed.
func (t *Book) PayRest(o order.Order, in PaymentIn) error {
	in.Amount = o.Owed()
	w, agreed, err := currencies.In(t.Turn).Owing(o)
	if agreed {
		in.Amount = w.Owed
	}
	if err != nil || in.Amount.Sign() <= 0 {
		return err
	}
	return t.Pay(o, in)
}

// agree keeps that a sale was agreed in another currency, when it was.
func (t *Book) agree(o order.Order, in Sale) error {
	if in.Agreed == nil || in.Agreed.Currency == t.Set.Currency && in.Agreed.Total == nil {
		return nil
	}
	a := *in.Agreed
	a.Day = o.Placed
	_, err := currencies.In(t.Turn).Agree(o, a)
	return agreedAt(err)
}

// agreedAt names the fields of a sale for what is wrong with what was agreed.
func agreedAt(err error) error {
	if err == nil {
		return nil
	}
	f := fault.All(err)[0]
	if f.Field == "total" {
		return fault.InField(err, "agreed")
	}
	return fault.InField(err, "currency")
}

// goesUp refuses to leave an order of which something is owed in the one currency and nothing in the other.
func (t *Book) goesUp(o order.Order) error {
	w, agreed, err := currencies.In(t.Turn).Owing(o)
	if err != nil || !agreed || o.Due() != w.Agreed.Book {
		return err
	}
	if w.Owed.Sign() < 0 || w.Owed.IsZero() != o.Owed().IsZero() {
		return fault.New(fault.Refused, "the payments after it follow from it").At("%s", o.Mark).ToMend("take the later payments back first")
	}
	return nil
}
