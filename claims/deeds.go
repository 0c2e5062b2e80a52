package claims

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"solander/calendar"
	"solander/claim"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// OpenIn is what is told when something went wrong with a parcel.
type OpenIn struct {
	Parcel int64
	Kind   claim.Kind
	Lines  []int64      // the prints that it is about; none: all of the parcel
	Told   calendar.Day // zero: today
	Note   string
}

// Open notes that something went wrong with a parcel. Faults: Invalid; Missing; Refused before it was handed over; Taken when it has a claim.
func Open(ctx context.Context, s *studio.Studio, in OpenIn) (claim.Claim, error) {
	tidy(&in.Note)
	c := claim.Claim{Parcel: in.Parcel, Kind: in.Kind, Lines: slices.Clone(in.Lines), Told: in.Told, State: claim.Told, Note: in.Note}
	var l fault.List
	l.Add(c.Validate())
	sane(&l, in.Told, "", money.Amount{})
	if err := l.Err(); err != nil {
		return c, err
	}
	return studio.Got(ctx, s, write, func(t *Claims) (claim.Claim, error) { return t.open(c) })
}

func (t *Claims) open(c claim.Claim) (claim.Claim, error) {
	p, err := t.Parcel(c.Parcel)
	if err != nil {
		return c, err
	}
	where := fmt.Sprintf("parcel %d", p.ID)
	if p.State != studio.HandedOver {
		return c, fault.New(fault.Refused, "it was not handed over yet").At("%s", where).In("parcel").ToMend("hand it over first, or undo its packing")
	}
	if c.Told, err = t.NotFuture("told", c.Told); err != nil {
		return c, err
	}
	if c.Told.Before(p.HandedOver) {
		return c, fault.Invalidf("told", "%s is before it was handed over, %s", c.Told, p.HandedOver).At("%s", where).ToMend("look at the day")
	}
	there, err := t.Claims(claim.Query{Parcel: p.ID})
	if err != nil {
		return c, err
	}
	for _, x := range there {
		if x.State != claim.Void {
			return c, fault.New(fault.Taken, "there is a claim for it already: claim %d", x.ID).At("%s", where).In("parcel").ToMend("go on with that one")
		}
	}
	if len(c.Lines) == 0 {
		c.Lines = slices.Clone(p.Lines)
	}
	slices.Sort(c.Lines)
	for i, id := range c.Lines {
		if !slices.Contains(p.Lines, id) || i > 0 && c.Lines[i-1] == id {
			return c, fault.Invalidf("lines", "line %d is not in this parcel, or named twice", id).At("%s", where).ToMend("name prints of the parcel, each once")
		}
	}
	none := money.Of(0, t.Set.Currency)
	c.Order, c.Claimed, c.Granted, c.Paid, c.Losses, c.Instead = p.Order, none, none, none, []claim.Loss{}, []int64{}
	c.Turn, c.At, c.Who = 1, t.Now, t.Who
	if c.ID, err = t.AddClaim(c); err != nil {
		return c, err
	}
	_, err = t.Journal(studio.MarkClaim, c.Order, UndoClaim{Claim: c.ID, Turn: c.Turn}, "claim %d: parcel %d %s", c.ID, p.ID, c.Kind.Words())
	return c, err
}

func undoOf(m studio.Mark) (u UndoClaim, err error) {
	if err = json.Unmarshal(m.Detail, &u); err != nil {
		err = fmt.Errorf("journal entry %d: %w", m.ID, err)
	}
	return u, err
}

// Deed is what is noted of a claim: FileIn, AnswerIn, PaidIn.
type Deed interface {
	Validate() error // looks at it alone
	of() int64       // the claim
	do(*studio.Studio, *Claims, claim.Claim) (claim.Claim, error)
}

// Do notes it in a transaction. Faults: Missing; those of the deed.
func (t *Claims) Do(s *studio.Studio, in Deed) (claim.Claim, error) {
	return t.change(in.of(), func(was claim.Claim) (claim.Claim, error) { return in.do(s, t, was) })
}

func (t *Claims) change(id int64, f func(was claim.Claim) (claim.Claim, error)) (claim.Claim, error) {
	c, err := t.Claim(id)
	if err != nil {
		return c, err
	}
	out, err := f(c)
	return out, fault.Placed(err, fmt.Sprintf("claim %d", id))
}

// deed changes one claim in a transaction of its own.
func deed(ctx context.Context, s *studio.Studio, id int64, f func(t *Claims, was claim.Claim) (claim.Claim, error)) (claim.Claim, error) {
	return studio.Got(ctx, s, write, func(t *Claims) (claim.Claim, error) {
		return t.change(id, func(was claim.Claim) (claim.Claim, error) { return f(t, was) })
	})
}

// done notes a deed in a transaction of its own.
func done(ctx context.Context, s *studio.Studio, in Deed) (claim.Claim, error) {
	if err := in.Validate(); err != nil {
		return claim.Claim{}, err
	}
	return studio.Got(ctx, s, write, func(t *Claims) (claim.Claim, error) { return t.Do(s, in) })
}

// FileIn says that a claim was filed.
type FileIn struct {
	Claim     int64
	Day       calendar.Day // zero: today
	Reference string
	Amount    money.Amount // nothing: the worth of the prints, up to the cover
	Above     string
}

// File notes that the operator has the claim. Faults: Invalid; Missing; those of claim.File.
func File(ctx context.Context, s *studio.Studio, in FileIn) (claim.Claim, error) {
	tidy(&in.Reference, &in.Above)
	return done(ctx, s, in)
}

// Validate looks at it alone. Faults: Invalid.
func (in FileIn) Validate() error {
	var l fault.List
	sane(&l, in.Day, "amount", in.Amount)
	l.Add(order.Text("reference", in.Reference, 100, false))
	l.Add(order.Text("above", in.Above, 500, false))
	return l.Err()
}

func (in FileIn) of() int64 { return in.Claim }

func (in FileIn) do(s *studio.Studio, t *Claims, was claim.Claim) (claim.Claim, error) {
	cards, err := s.AllCards(t.Turn)
	if err != nil {
		return was, err
	}
	v, err := t.view(was, cards)
	if err != nil {
		return was, err
	}
	if in.Amount.IsZero() {
		in.Amount = v.Terms.Most()
	}
	if in.Amount, err = t.Cash("amount", in.Amount); err != nil {
		return was, err
	}
	if in.Day, err = t.NotFuture("day", in.Day); err != nil {
		return was, err
	}
	is, err := was.File(claim.Filing{Day: in.Day, Reference: in.Reference, Amount: in.Amount, Above: in.Above}, v.Terms)
	if err != nil {
		return was, err
	}
	late := ""
	if n := v.Terms.Late(in.Day); n > 0 {
		late = ", " + fault.Count(n, "day") + " after the last one"
	}
	return t.keep(was, is, "filed, %s claimed%s", is.Claimed, late)
}

// AnswerIn is what the operator answered.
type AnswerIn struct {
	Claim   int64
	Day     calendar.Day // zero: today
	Granted money.Amount // nothing: refused
	Words   string
}

// Answer notes the operator's answer. Faults: Invalid; Missing; those of claim.Hear.
func Answer(ctx context.Context, s *studio.Studio, in AnswerIn) (claim.Claim, error) {
	tidy(&in.Words)
	return done(ctx, s, in)
}

// Validate looks at it alone. Faults: Invalid.
func (in AnswerIn) Validate() error {
	var l fault.List
	sane(&l, in.Day, "granted", in.Granted)
	l.Add(order.Note("answer", in.Words))
	return l.Err()
}

func (in AnswerIn) of() int64 { return in.Claim }

func (in AnswerIn) do(_ *studio.Studio, t *Claims, was claim.Claim) (claim.Claim, error) {
	granted, err := t.Cash("granted", in.Granted)
	if err != nil {
		return was, err
	}
	day, err := t.NotFuture("day", in.Day)
	if err != nil {
		return was, err
	}
	is, err := was.Hear(day, granted, in.Words)
	if err != nil {
		return was, err
	}
	if is.State == claim.Refused {
		return t.keep(was, is, "refused by the operator")
	}
	return t.keep(was, is, "%s of %s granted", is.Granted, is.Claimed)
}

// PaidIn is what the operator paid.
type PaidIn struct {
	Claim  int64
	Day    calendar.Day // zero: today
	Amount money.Amount // nothing: what was granted
}

// Paid notes that the operator paid. Faults: Invalid; Missing; those of claim.Receive.
func Paid(ctx context.Context, s *studio.Studio, in PaidIn) (claim.Claim, error) {
	return done(ctx, s, in)
}

// Validate looks at it alone. Faults: Invalid.
func (in PaidIn) Validate() error {
	var l fault.List
	sane(&l, in.Day, "amount", in.Amount)
	return l.Err()
}

func (in PaidIn) of() int64 { return in.Claim }

func (in PaidIn) do(_ *studio.Studio, t *Claims, was claim.Claim) (claim.Claim, error) {
	return t.Receive(was, in)
}

// Receive is Paid within a transaction that does more.
func (t *Claims) Receive(was claim.Claim, in PaidIn) (claim.Claim, error) {
	if in.Amount.IsZero() {
		in.Amount = was.Granted
	}
	amount, err := t.Cash("amount", in.Amount)
	if err != nil {
		return was, err
	}
	day, err := t.NotFuture("day", in.Day)
	if err != nil {
		return was, err
	}
	is, err := was.Receive(day, amount)
	if err != nil {
		return was, err
	}
	return t.keep(was, is, "%s paid by the operator", is.Paid)
}

// CloseIn closes a claim.
type CloseIn struct {
	Claim   int64
	Day     calendar.Day // zero: today
	Arrived bool         // it came after all, or was whole: nothing is to be made good
}

// Close ends a claim. Faults: Invalid; Missing; those of claim.End.
func Close(ctx context.Context, s *studio.Studio, in CloseIn) (claim.Claim, error) {
	if err := studio.Sane("day", in.Day); err != nil {
		return claim.Claim{}, err
	}
	return deed(ctx, s, in.Claim, func(t *Claims, was claim.Claim) (claim.Claim, error) {
		day, err := t.NotFuture("day", in.Day)
		if err != nil {
			return was, err
		}
		is, err := was.End(day, in.Arrived)
		if err != nil {
			return was, err
		}
		return t.keep(was, is, "closed")
	})
}

// Note changes what is noted of a claim. Faults: Invalid; Missing; Refused when it is void.
func Note(ctx context.Context, s *studio.Studio, id int64, note string) (claim.Claim, error) {
	tidy(&note)
	if err := order.Note("note", note); err != nil {
		return claim.Claim{}, err
	}
	return deed(ctx, s, id, func(t *Claims, was claim.Claim) (claim.Claim, error) {
		if was.State == claim.Void {
			return was, fault.New(fault.Refused, "the claim is void: it was noted wrongly").In("claim").ToMend("tell it anew")
		}
		is := was
		is.Note = note
		return t.keep(was, is, "its note changed")
	})
}
