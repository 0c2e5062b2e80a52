package feeds

import (
	"context"
	"fmt"
	"time"

	"solander/book"
	"solander/buyers"
	"solander/fault"
	"solander/feed"
	"solander/order"
	"solander/studio"
)

// FeedCall is one write of a feed. The same Key with the same Print gets the first answer again, without
// anything being done; with another Print it is Taken. Answer and write are one transaction, so that a
// failure between them can neither double an order nor lose one.
type FeedCall struct {
	Feed  int64
	Key   string // the caller's own name of this request
	Print string // SHA-256 of what is asked, in hex
	// Match looks at the order before it is changed; nil = whatever it is. It may be run again, as Say.
	Match func(FeedOrder) error
	// Say makes the answer from the order as it then is.
	Say func(FeedOrder) (string, error)
}

// Validate looks at a call alone. Faults: Invalid.
func (c FeedCall) Validate() error {
	var l fault.List
	l.Add(order.Text("idempotency_key", c.Key, 200, true))
	return l.Err()
}

// feedWrite does a write of a feed once. do returns the order that the answer is about.
func feedWrite(ctx context.Context, s *studio.Studio, c FeedCall, scope feed.Scope, do func(*Gate, feed.Feed) (int64, error)) (answer string, err error) {
	if err := c.Validate(); err != nil {
		return "", err
	}
	err = write(ctx, s, func(t *Gate) error {
		answer, err = t.feedOnce(c, scope, do)
		return err
	})
	return answer, err
}

// feedOnce does a write about an order once.
func (t *Gate) feedOnce(c FeedCall, scope feed.Scope, do func(*Gate, feed.Feed) (int64, error)) (string, error) {
	return t.answerOnce(c, scope, func(t *Gate, f feed.Feed) (string, error) {
		id, err := do(t, f)
		if err != nil {
			return "", err
		}
		return t.feedAnswer(c, id)
	})
}

// answerOnce does a write once; do returns the answer that is kept with it.
func (t *Gate) answerOnce(c FeedCall, scope feed.Scope, do func(*Gate, feed.Feed) (string, error)) (string, error) {
	f, err := t.Feed(c.Feed)
	if err != nil {
		return "", err
	}
	if err := f.May(scope); err != nil {
		return "", err
	}
	t.Who = "feed " + f.Name
	known, err := t.FeedAnswer(f.ID, c.Key)
	switch {
	case err == nil && known.Print == c.Print:
		return known.Answer, nil
	case err == nil:
		return "", fault.New(fault.Taken, "this key was used for another request").In("idempotency_key").ToMend("use a fresh key for another request")
	case !fault.Is(err, fault.Missing):
		return "", err
	}
	answer, err := do(t, f)
	if err != nil {
		return "", err
	}
	at, err := t.feedTime()
	if err != nil {
		return "", err
	}
	if err := t.AddFeedAnswer(feed.Answer{Feed: f.ID, Key: c.Key, Print: c.Print, Answer: answer, At: at}); err != nil {
		return "", err
	}
	return answer, t.FeedUsed(f.ID, t.Now)
}

// feedAnswer makes the answer about an order; of none there is nothing to say.
func (t *Gate) feedAnswer(c FeedCall, id int64) (string, error) {
	if id == 0 {
		return "", nil
	}
	v, err := t.feedOrder(id)
	if err != nil {
		return "", err
	}
	return c.Say(v)
}

// feedChange changes an order of the feed's outlet once. A feed that may not read orders learns nothing by it: it is answered "",
// and whatever is in the way is told in the same words, be it that there is no such order, that it is not what was seen, or a rule.
func feedChange(ctx context.Context, s *studio.Studio, c FeedCall, scope feed.Scope, ref string, do func(*Gate, order.Order) error) (string, error) {
	return feedWrite(ctx, s, c, scope, func(t *Gate, f feed.Feed) (int64, error) {
		o, err := t.feedsOrder(f, ref, c.Match)
		if err == nil {
			err = do(t, o)
		}
		if f.May(feed.OrdersRead) != nil {
			return 0, unseen(err, "order", feed.OrdersRead)
		}
		return o.ID, err
	})
}

// unseen is a fault about an order or a claim as a feed is told it that may not read such; our own failures stay as they are.
func unseen(err error, what string, reads feed.Scope) error {
	switch fault.CodeOf(err) {
	case "", fault.Busy, fault.Internal:
		return err
	}
	return fault.New(fault.Refused, "there is no such %s, it is not what was seen, or a rule forbids the change", what).
		ToMend("ask the studio; a feed with the scope %s is told which", reads).Because(err)
}

// FeedTake takes an order of the feed's outlet, exactly as TakeOrder does; it must have a reference.
// Faults: those of TakeOrder; Unknown, Denied; Taken when the key was used for something else.
func FeedTake(ctx context.Context, s *studio.Studio, c FeedCall, in book.Sale) (string, error) {
	in = in.Tidy()
	if in.Outlet == 0 {
		in.Outlet = 1 // given by the feed
	}
	if err := in.ValidateFed(); err != nil {
		return "", err
	}
	return feedWrite(ctx, s, c, feed.OrdersWrite, func(t *Gate, f feed.Feed) (int64, error) {
		in.Outlet, in.Rule = f.Outlet, f.Buyers
		id, err := book.In(t.Turn).TakeOrder(in)
		if fault.Is(err, fault.Taken) && t.refKnown(f, in.Ref) {
			err = refTaken(in.Ref)
		}
		return id, err
	})
}

// refTaken says no more of an order than the name that whoever asks knows.
func refTaken(ref string) error {
	return fault.New(fault.Taken, "order %.80s is in the book already", ref).In("ref").ToMend("a changed order is changed by hand, or by a call of its own")
}

// FeedAmend changes an order of the feed's outlet, as Amend does. An address needs a scope of its own; who
// changes nothing else needs no other. Faults: those of Amend; Invalid when nothing is to be changed; Unknown, Denied, Changed, Taken.
func FeedAmend(ctx context.Context, s *studio.Studio, c FeedCall, ref string, in book.AmendIn) (string, error) {
	scope := feed.OrdersWrite
	if in.ShipTo != nil {
		scope = feed.AddressesWrite
		tidy := in.ShipTo.Tidy()
		in.ShipTo = &tidy
	}
	if in == (book.AmendIn{}) {
		return "", fault.New(fault.Invalid, "nothing is to be changed").ToMend("say what is to be other than it is")
	}
	if err := in.Validate(); err != nil {
		return "", err
	}
	return feedChange(ctx, s, c, scope, ref, func(t *Gate, o order.Order) error { return book.In(t.Turn).Amend(o, in) })
}

// FeedPay records a payment or refund of an order of the feed's outlet, as Pay does. Faults: those of Pay;
// Unknown, Denied, Changed, Taken.
func FeedPay(ctx context.Context, s *studio.Studio, c FeedCall, ref string, in book.PaymentIn) (string, error) {
	if err := in.Validate(); err != nil {
		return "", err
	}
	return feedChange(ctx, s, c, feed.PaymentsWrite, ref, func(t *Gate, o order.Order) error { return book.In(t.Turn).Pay(o, in) })
}

// FeedBuyer corrects who the buyer of an order is: what the order says, and what the book says while she is known by orders of
// the feed's outlet alone. The studio's own note stays.
// Faults: those of ChangeBuyer; Unknown, Denied, Changed, Taken.
func FeedBuyer(ctx context.Context, s *studio.Studio, c FeedCall, ref string, b order.Buyer) (string, error) {
	b = buyers.TidyBuyer(b)
	if err := b.Validate(); err != nil {
		return "", err
	}
	return feedChange(ctx, s, c, feed.BuyersWrite, ref, func(t *Gate, o order.Order) error {
		was, err := t.Buyer(o.Buyer)
		if err != nil {
			return err
		}
		o.Said = b.Said()
		if err := t.SaveOrder(o); err != nil {
			return err
		}
		alone, err := t.onlyOf(o.Outlet, was)
		if err != nil || !alone {
			return err
		}
		b.ID, b.Note, b.SameAs, b.Apart = was.ID, was.Note, was.SameAs, was.Apart
		if err := buyers.In(t.Turn).ChangeBuyer(was, b); err != nil {
			return err
		}
		delete(t.BuyersRead, b.ID)
		return nil
	})
}

// onlyOf reports whether a buyer is known by orders of one outlet alone, and nobody was taken as her.
func (t *Gate) onlyOf(outlet int64, b order.Buyer) (bool, error) {
	others, err := t.Writings(b.ID)
	if err != nil || len(others) > 0 {
		return false, err
	}
	ids, err := t.BuyerOrders(b.ID)
	if err != nil {
		return false, err
	}
	for _, id := range ids {
		o, err := t.Order(id)
		if err != nil || o.Outlet != outlet {
			return false, err
		}
	}
	return true, nil
}

// feedsOrder returns the order that the feed's outlet knows by a reference. Faults: Missing.
func (t *Gate) feedsOrder(f feed.Feed, ref string, match func(FeedOrder) error) (order.Order, error) {
	o, err := t.OrderByRef(f.Outlet, ref)
	if fault.Is(err, fault.Missing) {
		return o, fault.New(fault.Missing, "this outlet has no order %.80q", ref).ToMend("look at the reference")
	}
	if err != nil || match == nil {
		return o, err
	}
	v, err := t.feedOrderOf(o)
	if err != nil {
		return o, err
	}
	return o, match(v)
}

// OrderOf reads an order of the feed's outlet by its reference. Faults: Missing, Unknown, Denied.
func OrderOf(ctx context.Context, s *studio.Studio, feedID int64, ref string) (v FeedOrder, err error) {
	err = feedRead(ctx, s, feedID, feed.OrdersRead, func(t *Gate, f feed.Feed) error {
		o, err := t.feedsOrder(f, ref, nil)
		if err != nil {
			return err
		}
		v, err = t.feedOrderOf(o)
		return err
	})
	return v, err
}

// FeedEditions lists the editions that can be sold, with their price now. Faults: Unknown, Denied.
func FeedEditions(ctx context.Context, s *studio.Studio, feedID int64) (rows []studio.EditionRow, err error) {
	err = feedRead(ctx, s, feedID, feed.EditionsRead, func(t *Gate, _ feed.Feed) error {
		all, err := t.Editions()
		if err != nil {
			return err
		}
		for _, e := range all {
			if e.Closed {
				continue
			}
			r := studio.EditionRow{Edition: e}
			if r.Sold, err = t.Sold(e.ID); err != nil {
				return fmt.Errorf("edition %d: %w", e.ID, err)
			}
			r.PriceNow = e.PriceAt(r.Sold)
			if r.Unsold, err = t.Unsold(e.ID); err != nil {
				return err
			}
			rows = append(rows, r)
		}
		return nil
	})
	return rows, err
}

// MayPrint returns nil when a feed may print the papers of a day. Faults: Unknown, Denied.
func MayPrint(ctx context.Context, s *studio.Studio, feedID int64) error {
	return feedRead(ctx, s, feedID, feed.PapersRead, func(*Gate, feed.Feed) error { return nil })
}

// MayQuote returns nil when a feed may ask for quotes. Faults: Unknown, Denied.
func MayQuote(ctx context.Context, s *studio.Studio, feedID int64) error {
	return feedRead(ctx, s, feedID, feed.QuotesRead, func(*Gate, feed.Feed) error { return nil })
}

// usedOften is how often reading alone notes that a feed was used.
const usedOften = time.Minute

// feedRead reads for a feed that may, and notes now and then that it was used.
func feedRead(ctx context.Context, s *studio.Studio, feedID int64, scope feed.Scope, do func(*Gate, feed.Feed) error) error {
	var due time.Time
	err := read(ctx, s, func(t *Gate) error {
		f, err := t.Feed(feedID)
		if err != nil {
			return err
		}
		if err := f.May(scope); err != nil {
			return err
		}
		if now := t.Now; now.Sub(f.Used) >= usedOften {
			due = now
		}
		return do(t, f)
	})
	if err != nil || due.IsZero() {
		return err
	}
	return write(ctx, s, func(t *Gate) error { return t.FeedUsed(feedID, due) })
}
