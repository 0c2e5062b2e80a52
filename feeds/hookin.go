package feeds

import (
	"cmp"
	"context"
	"errors"

	"solander/book"
	"solander/fault"
	"solander/feed"
	"solander/intake/hook"
	"solander/studio"
)

// Message is what came to a feed's web-hook.
type Message struct {
	Feed       int64
	Stamp      string // the time as the sender wrote it
	Signatures string
	Body       []byte
}

// MessageTaken is what became of a message.
type MessageTaken struct {
	Passed string // why it is none of an order, by the mapping; "" = it is one
	Answer string // as FeedCall.Say made it
}

// Unread is an error in a message, with the faults' fields as they stand in the message itself.
type Unread struct {
	err     error
	reading hook.Reading
}

// Error says what is wrong.
func (u *Unread) Error() string { return u.err.Error() }

// Unwrap returns the faults.
func (u *Unread) Unwrap() error { return u.err }

// Source returns where in the message the field of a fault was read, as a JSON Pointer in the form of a URI's
// fragment; "" for nowhere.
func (u *Unread) Source(field string) string { return u.reading.Source(field) }

// Signed is a message of which Verified has seen that its feed's sender wrote it.
type Signed struct {
	Message
	AMinute int // how many of them the feed may send
	print   string
}

// LooksSigned checks the headers of a message alone; what it refuses, Verified refuses. Faults: Unknown.
func LooksSigned(s *studio.Studio, in Message) error {
	return hook.Look(in.Stamp, in.Signatures, s.Clock())
}

// Verified checks feed and signature. It writes nothing and counts nothing, so that whoever cannot sign costs one look into
// the store and one reckoning for each secret. Faults: Unknown for what is not signed, too old, or of no feed; Denied.
func Verified(ctx context.Context, s *studio.Studio, in Message) (Signed, error) {
	out := Signed{Message: in}
	unknown := fault.New(fault.Unknown, "there is no such web-hook, or the message is not signed for it").ToMend("look at the address and the secret")
	err := read(ctx, s, func(t *Gate) error {
		out.AMinute = cmp.Or(t.Set.FeedsAMinute, studio.DefaultFeedsAMinute)
		f, err := t.Feed(in.Feed)
		if fault.Is(err, fault.Missing) {
			return unknown
		}
		if err != nil {
			return err
		}
		kept, err := t.Store.FeedSecrets(f.ID)
		if err != nil {
			return err
		}
		var secrets []string
		for _, k := range kept {
			secrets = append(secrets, k.Secret)
		}
		if out.print, err = hook.Verify(secrets, f.ID, in.Stamp, in.Signatures, in.Body, s.Clock()); err != nil {
			return err
		}
		return f.May(feed.HooksWrite)
	})
	return out, err
}

// TakeMessage takes the order that a signed message holds, exactly as TakeOrder does. The same order sent again,
// newly signed, gets the first answer again; the same message itself is refused. All of it is one
// transaction. Faults: Unknown, Denied; Taken for a replay, a
// reference that is in the book, or a number that is held; those of TakeOrder, in an Unread.
func TakeMessage(ctx context.Context, s *studio.Studio, in Signed, say func(FeedOrder) (string, error)) (MessageTaken, error) {
	var out MessageTaken
	err := write(ctx, s, func(t *Gate) error {
		f, err := t.Feed(in.Feed)
		if err != nil {
			return err
		}
		at, err := t.feedTime()
		if err != nil {
			return err
		}
		if err := t.AddFeedMessage(feed.Message{Feed: f.ID, Print: in.print, At: at}); err != nil {
			return err
		}
		out, err = t.takeMessage(f, in.Body, say)
		return err
	})
	return out, err
}

func (t *Gate) takeMessage(f feed.Feed, body []byte, say func(FeedOrder) (string, error)) (MessageTaken, error) {
	if err := f.May(feed.HooksWrite); err != nil {
		return MessageTaken{}, err
	}
	if f.Mapping == 0 {
		return MessageTaken{}, fault.New(fault.Refused, "this feed has no mapping yet").At("%s", f.Name).ToMend("choose one on the page of the feed")
	}
	kept, err := t.Store.HookMapping(f.Mapping)
	if err != nil {
		return MessageTaken{}, err
	}
	m, err := hook.ReadMapping(kept.Body)
	if err != nil {
		return MessageTaken{}, err
	}
	r, err := m.Read(body, hook.Studio{Currency: t.Set.Currency, Place: t.Set.Place()})
	if err != nil {
		return MessageTaken{}, &Unread{err, r}
	}
	if r.Passed != "" {
		return MessageTaken{Passed: r.Passed}, t.FeedUsed(f.ID, t.Now)
	}
	in := saleOf(r, f.Outlet).Tidy()
	if err := in.ValidateFed(); err != nil {
		return MessageTaken{}, &Unread{err, r}
	}
	c := FeedCall{Feed: f.ID, Key: "message " + studio.HashOf(in.Ref), Print: studio.HashOf(string(body)), Say: say}
	in.Rule = f.Buyers
	answer, err := t.feedOnce(c, feed.HooksWrite, func(t *Gate, _ feed.Feed) (int64, error) { return book.In(t.Turn).TakeOrder(in) })
	if err != nil && fault.Is(err, fault.Taken) && t.refKnown(f, in.Ref) {
		err = refTaken(in.Ref)
	}
	if err != nil {
		return MessageTaken{}, &Unread{err, r}
	}
	return MessageTaken{Answer: answer}, nil
}

func (t *Gate) refKnown(f feed.Feed, ref string) bool {
	_, err := t.OrderByRef(f.Outlet, ref)
	return err == nil
}

// saleOf is the sale that a message tells of.
func saleOf(r hook.Reading, outlet int64) book.Sale {
	in := book.Sale{
		Outlet: outlet, Ref: r.Ref, Buyer: r.Buyer, ShipTo: r.ShipTo, Placed: r.Placed, Promised: r.Promised, ArriveBy: r.ArriveBy,
		Postage: r.Postage, Tax: r.Tax, Paid: r.Paid, Note: r.Note, GiftMessage: r.GiftMessage, PaidNote: r.PaidNote,
	}
	for _, l := range r.Lines {
		in.Lines = append(in.Lines, book.SaleLine{Edition: l.Edition, Number: l.Number, Price: l.Price})
	}
	return in
}

// Trial is what a mapping makes of a sample.
type Trial struct {
	Passed string // why it is none of an order
	Order  FeedOrder
}

// errTrial ends the transaction of a trial, so that nothing of it is kept.
var errTrial = errors.New("only tried out")

// TryHookMapping reads a sample by a mapping and takes the order, up to its number and mark, without keeping anything.
// Faults: those of the mapping, in fields "mapping.…"; those of the sample, in an Unread.
func TryHookMapping(ctx context.Context, s *studio.Studio, outlet int64, mapping, sample []byte) (Trial, error) {
	m, err := hook.ReadMapping(mapping)
	if err != nil {
		return Trial{}, fault.Below(err, "mapping.")
	}
	var out Trial
	err = write(ctx, s, func(t *Gate) error {
		r, err := m.Read(sample, hook.Studio{Currency: t.Set.Currency, Place: t.Set.Place()})
		if err != nil {
			return &Unread{err, r}
		}
		if out.Passed = r.Passed; out.Passed != "" {
			return errTrial
		}
		in := saleOf(r, outlet).Tidy()
		if err := in.ValidateFed(); err != nil {
			return &Unread{err, r}
		}
		id, err := book.In(t.Turn).TakeOrder(in)
		if err != nil {
			return &Unread{err, r}
		}
		if out.Order, err = t.feedOrder(id); err != nil {
			return err
		}
		return errTrial
	})
	if errors.Is(err, errTrial) {
		err = nil
	}
	return out, err
}
