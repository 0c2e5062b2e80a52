package dues

import (
	"context"
	"strings"

	"solander/buyers"
	"solander/currencies"
	"solander/fault"
	"solander/mailing"
	"solander/order"
	"solander/owing"
	"solander/studio"
)

// usual are the words of a reminder, unless she has her own.
const usual = `Dear {name},

of your order {order} of {day}, {owed} is still open of {due}. May I ask you to look at it?

With kind regards
{artist}, {studio}`

// Places are what may stand in her own words of a reminder, to be replaced.
var Places = []string{"{name}", "{order}", "{day}", "{owed}", "{due}", "{paid}", "{artist}", "{studio}"}

// Remind writes the draft of a reminder for an order of which something is owed, in her words. It is not sent.
// Faults: Missing; Refused when nothing is owed; Invalid when the buyer has no e-mail address.
func Remind(ctx context.Context, s *studio.Studio, id int64) (mailing.Draft, error) {
	return studio.Got(ctx, s, read, func(t *Dues) (mailing.Draft, error) {
		all, err := t.OrdersByID([]int64{id})
		if err != nil {
			return mailing.Draft{}, err
		}
		o := all[0]
		if o.Owed().Sign() <= 0 {
			return mailing.Draft{}, fault.New(fault.Refused, "nothing is owed of it").At("%s", o.Mark).ToMend("a reminder is for a balance that is open")
		}
		sums := owing.Abroad{Total: o.Due(), Paid: o.Paid(), Owed: o.Owed()}
		w, agreed, err := currencies.In(t.Turn).Owing(o)
		if err == nil && agreed {
			sums, err = owing.Abroad{Total: w.Agreed.Total, Paid: w.Paid, Owed: w.Owed}, w.Whole(o)
		}
		if err != nil {
			return mailing.Draft{}, err
		}
		b, err := t.BuyerOf(o.Buyer)
		if err != nil {
			return mailing.Draft{}, err
		}
		if b, err = buyers.In(t.Turn).Person(b.ID); err != nil {
			return mailing.Draft{}, err
		}
		if b.Email == "" {
			return mailing.Draft{}, fault.Invalidf("email", "%s has no e-mail address", b.Name).At("%s", o.Mark).ToMend("write it under the buyer first")
		}
		return mailing.Draft{ToName: b.Name, To: b.Email, Subject: t.Set.Studio + ", order " + o.Mark, Text: t.words(o, sums, b.Name), At: t.Now}, nil
	})
}

// words are hers, or the usual ones; the sums are those of the currency in which the order is owed.
func (t *Dues) words(o order.Order, sums owing.Abroad, name string) string {
	text := t.Set.Bills.Reminder
	if strings.TrimSpace(text) == "" {
		text = usual
	}
	return strings.NewReplacer("{name}", name, "{order}", o.Mark, "{day}", o.Placed.Long(), "{owed}", sums.Owed.String(), "{due}", sums.Total.String(),
		"{paid}", sums.Paid.String(), "{artist}", t.Set.Artist, "{studio}", t.Set.Studio).Replace(text)
}

// Carrier brings a letter to whom it is for, from a name.
type Carrier interface {
	Send(ctx context.Context, name string, d mailing.Draft) error
}

// Send sends the reminder of an order now, and notes it in the order, with the day and who did. Nothing of the store is held while the carrier is at it.
// Faults: as Remind, and those of the carrier; nothing is noted then.
func Send(ctx context.Context, s *studio.Studio, by Carrier, id int64) (mailing.Draft, error) {
	d, err := Remind(ctx, s, id)
	if err != nil {
		return d, err
	}
	set, err := s.Settings(ctx)
	if err != nil {
		return d, err
	}
	if err := by.Send(ctx, set.Studio, d); err != nil {
		return d, err
	}
	// It is out: that is noted even if who asked is gone.
	if err := write(context.WithoutCancel(ctx), s, func(t *Dues) error { return t.Note(id, "a reminder was sent by e-mail") }); err != nil {
		return d, fault.New(fault.Refused, "the reminder was sent, and that could not be noted").ToMend("do not send it again; write it in the order's note").Because(err)
	}
	return d, nil
}
