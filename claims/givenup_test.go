package claims_test

import (
	"testing"

	"solander/book"
	"solander/calendar"
	"solander/claim"
	"solander/claims"
	"solander/dispatch"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/order"
	"solander/register"
	"solander/studio"
)

// givenUp is a claim of which both prints were given up and 20.00 USD were paid back.
func givenUp(t *testing.T) (*bed.Bed, studio.OrderView, claim.Claim) {
	t.Helper()
	b, v, parcel := sent(t)
	c := open(b, parcel, claim.Damaged)
	c, err := claims.Refund(b.Ctx, b.Studio, claims.RefundIn{Claim: c.ID, Amount: bed.USD(20_00), Reason: "crushed"})
	b.Must(err)
	return b, b.Order(v.ID), c
}

// The prints are with their buyer again, by entries of the register that stay, and may be given up once more.
func TestPrintsThatWereGivenUpAreTakenBack(t *testing.T) {
	b, v, c := givenUp(t)
	back, err := claims.TakeBack(b.Ctx, b.Studio, c.ID)
	b.Must(err)
	o := b.Order(v.ID)
	if back.Made != "" || len(back.Losses) != 0 || o.State != order.Closed || !o.Owed.IsZero() || len(o.Live()) != 2 || b.State(b.Heron.ID, 1).State != edition.Sent {
		t.Errorf("%+v\n%s, owes %s, %d prints, the number is %+v", back, o.State, o.Owed, len(o.Live()), b.State(b.Heron.ID, 1))
	}
	n, err := register.Number(b.Ctx, b.Studio, b.Heron.ID, bed.Num(1))
	b.Must(err)
	var steps []edition.Step
	for _, e := range n.History {
		steps = append(steps, e.Step)
	}
	if k := len(steps); k < 4 || steps[k-4] != edition.Return || steps[k-3] != edition.Spoil || steps[k-2] != edition.Correct || steps[k-1] != edition.Correct {
		t.Errorf("the register says %v", steps)
	}
	b.Sound()
	_, err = claims.Refund(b.Ctx, b.Studio, claims.RefundIn{Claim: c.ID, Amount: o.Paid, Reason: "crushed"})
	b.Must(err)
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkClaim).ID)) // from the list of marks
	if o := b.Order(v.ID); !o.Owed.IsZero() || b.State(b.Heron.ID, 1).State != edition.Sent {
		t.Errorf("owes %s, the number is %+v", o.Owed, b.State(b.Heron.ID, 1))
	}
	b.Sound()
}

// What happened since stands in the way, is named, and nothing is kept of the try; taken back itself, it does so no more.
func TestGivenUpAndSomethingSince(t *testing.T) {
	refund := func(b *bed.Bed, v studio.OrderView) {
		b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Kind: order.Refund, Amount: bed.USD(5_00)}))
	}
	undoPaid := func(b *bed.Bed, _ studio.OrderView) {
		b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkPaid).ID))
	}
	for name, c := range map[string]struct {
		since func(*bed.Bed, studio.OrderView)
		says  string // "" = it may be taken back
		clear func(*bed.Bed, studio.OrderView)
	}{
		"struck again": {since: func(b *bed.Bed, _ studio.OrderView) {
			b.Must(register.Restrike(b.Ctx, b.Studio, b.Heron.ID, bed.Num(1), "another sheet"))
		}, says: "something happened to this number since"},
		"more paid back":                  {since: refund, says: "82.00 USD are paid of the order since, and not 87.00 USD", clear: undoPaid},
		"the refund taken back":           {since: undoPaid},
		"the refund taken back, and anew": {since: func(b *bed.Bed, v studio.OrderView) { undoPaid(b, v); refund(b, v) }, says: "are paid of the order since", clear: undoPaid},
		"filed":                           {since: func(b *bed.Bed, _ studio.OrderView) { file(b) }},
		"a day later, in another month":   {since: func(b *bed.Bed, _ studio.OrderView) { b.Clock.Set(2026, 4, 2) }},
	} {
		t.Run(name, func(t *testing.T) {
			b, v, made := givenUp(t)
			c.since(b, v)
			before, was := sums(b), b.Order(v.ID)
			_, err := claims.TakeBack(b.Ctx, b.Studio, made.ID)
			if name == "filed" { // what was noted last is the filing
				b.Must(err)
				_, err = claims.TakeBack(b.Ctx, b.Studio, made.ID)
			}
			if c.says != "" {
				b.Refused(err, fault.Refused, "", c.says)
				if after, is := sums(b), b.Order(v.ID); len(after) != len(before) || is.Paid != was.Paid || len(is.Live()) != len(was.Live()) {
					t.Errorf("%v paid %s; it was %v paid %s", after, is.Paid, before, was.Paid)
				}
				b.Sound()
				if c.clear == nil {
					return
				}
				c.clear(b, v)
				_, err = claims.TakeBack(b.Ctx, b.Studio, made.ID)
			}
			b.Must(err)
			if o := b.Order(v.ID); len(o.Live()) != 2 || o.State != order.Closed || b.State(b.Heron.ID, 1).State != edition.Sent || o.Paid.Minor != v.Paid.Minor+20_00 {
				t.Errorf("%s, %d prints, paid %s, the number is %+v", o.State, len(o.Live()), o.Paid, b.State(b.Heron.ID, 1))
			}
			b.Sound()
		})
	}
}

func file(b *bed.Bed) {
	b.Helper()
	_, err := claims.File(b.Ctx, b.Studio, claims.FileIn{Claim: 1, Day: calendar.Day{}})
	b.Must(err)
}

// A replacement is taken back as one deed, with the same number or another one: the order, its day, the register and the money are as before. What
// happened to the new print since stands in the way, is named with what to undo first, and nothing is kept of the try.
func TestAReplacementIsTakenBack(t *testing.T) {
	for name, other := range map[string]bool{"struck again": false, "another number": true} {
		t.Run(name, func(t *testing.T) {
			b, v, parcel := sent(t)
			was, before := b.Order(v.ID), sums(b)
			c := open(b, parcel, claim.Damaged, v.Lines[0].ID)
			replace := func() int64 {
				done, err := claims.Replace(b.Ctx, b.Studio, claims.ReplaceIn{Claim: c.ID, NewNumber: other, Promised: calendar.Date(2026, 3, 20), Reason: "crushed"})
				b.Must(err)
				return done.Instead[0]
			}
			takeBack := func() error {
				_, err := claims.TakeBack(b.Ctx, b.Studio, c.ID)
				return err
			}
			asBefore := func() {
				t.Helper()
				o := b.Order(v.ID)
				if o.State != order.Closed || o.Closed != was.Closed || o.Promised != was.Promised || o.Owed != was.Owed || o.Paid != was.Paid || len(o.Live()) != len(was.Live()) || o.Live()[0].ID != v.Lines[0].ID {
					t.Errorf("%s on %s, promised %s, owes %s, paid %s, %d prints", o.State, o.Closed, o.Promised, o.Owed, o.Paid, len(o.Live()))
				}
				if st := b.State(b.Heron.ID, 1); st.State != edition.Sent || st.Struck != 0 || st.Line != v.Lines[0].ID {
					t.Errorf("the number is %+v", st)
				}
				for account, n := range sums(b) {
					if n != before[account] {
						t.Errorf("%s is %d, and was %d", account, n, before[account])
					}
				}
				b.Sound()
			}
			replace()
			if o := b.Order(v.ID); o.State != order.Open || o.Promised != calendar.Date(2026, 3, 20) {
				t.Fatalf("%s, promised %s", o.State, o.Promised)
			}
			b.Must(takeBack())
			asBefore()
			if other && b.State(b.Heron.ID, 2).State != edition.Free {
				t.Errorf("the other number is %+v", b.State(b.Heron.ID, 2))
			}
			line := replace() // and once more
			b.Must(register.Sign(b.Ctx, b.Studio, []int64{line}))
			b.Refused(takeBack(), fault.Refused, "", "the replacement is signed")
			_, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
			b.Must(err)
			b.Refused(takeBack(), fault.Refused, "", "the replacement is packed")
			b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkPacked).ID))
			b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkSigned).ID))
			b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkClaim).ID)) // from the list of marks
			asBefore()
		})
	}
}
