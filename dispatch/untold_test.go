package dispatch_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/certify"
	"solander/daybench"
	"solander/disclosure"
	"solander/dispatch"
	"solander/fault"
	"solander/internal/bed"
	"solander/labelling"
	"solander/order"
	"solander/register"
	"solander/studio"
)

// sayAll says something of every fact of an edition.
func sayAll(b *bed.Bed, ed int64) {
	b.Helper()
	_, err := certify.Say(b.Ctx, b.Studio, ed, func(w *certify.Words) error {
		for _, a := range disclosure.Asked() {
			(*w)[a.Fact] = disclosure.UnknownWords
		}
		return nil
	})
	b.Must(err)
}

// soldTo takes one print at a price to a buyer in a state, pays it and signs it; what is not for the counter is packed and labelled, too.
func soldTo(b *bed.Bed, region string, cents, ed int64, inPerson bool) studio.OrderView {
	b.Helper()
	in := b.Sale()
	in.ShipTo.Region, in.InPerson = region, inPerson
	in.Lines = []book.SaleLine{{Edition: ed, Price: bed.Ptr(bed.USD(cents))}}
	v := b.Take(in)
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
	if !inPerson {
		packLabel(b, v.ID)
	}
	return b.Order(v.ID)
}

// packLabel packs an order, and those that share its parcel, and labels it.
func packLabel(b *bed.Bed, id int64) {
	b.Helper()
	parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: id})
	b.Must(err)
	for _, p := range parcels {
		b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(5_35)}))
	}
}

// handOver hands an order over in its own way.
func handOver(b *bed.Bed, v studio.OrderView) error {
	if v.InPerson {
		return dispatch.HandIn(b.Ctx, b.Studio, dispatch.HandInIn{Order: v.ID})
	}
	_, err := dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{Parcels: []int64{v.Parcels[0].ID}})
	return err
}

// What goes before its buyer was told what the rules of a state ask for is refused, in a parcel and in person, until it is overridden with a reason, which is
// kept; then it goes, the journal of the order says so, and the order goes on saying what is left to tell until that is said.
func TestNothingIsHandedOverUntold(t *testing.T) {
	for _, inPerson := range []bool{false, true} {
		b := bed.New(t)
		v := soldTo(b, "CA", 100_00, b.Heron.ID, inPerson)
		if len(v.Lacks) != 1 || v.Lacks[0].Rule != order.LackFacts || len(v.HeldBack) != 1 || v.LeftToTell() != nil {
			t.Fatalf("in person %v: before it goes it lacks %+v, and is held back by %q", inPerson, v.Lacks, v.HeldBack)
		}
		b.Refused(handOver(b, v), fault.Refused, "", "facts to tell: ")
		if v = b.Order(v.ID); v.State != order.Open || v.Lines[0].Sent {
			t.Fatalf("in person %v: it was refused, and is %s", inPerson, v.State)
		}
		b.Must(book.Override(b.Ctx, b.Studio, v.ID, "her facts are posted after it"))
		b.Must(handOver(b, v))
		v = b.Order(v.ID)
		says := func(m studio.Mark) bool {
			return strings.HasPrefix(m.Text, "handed over with facts to tell: ") && strings.HasSuffix(m.Text, "(California)")
		}
		if v.State != order.Closed || v.Override.Reason != "her facts are posted after it" || !slices.ContainsFunc(v.Marks, says) {
			t.Errorf("in person %v: it is %s, overridden %+v, and told %+v", inPerson, v.State, v.Override, v.Marks)
		}
		if left := v.LeftToTell(); len(left) != 1 || left[0].Edition != b.Heron.ID || left[0].State != "California" {
			t.Errorf("in person %v: of what is left to tell it says %+v", inPerson, left)
		}
		sayAll(b, b.Heron.ID)
		if left := b.Order(v.ID).LeftToTell(); left != nil {
			t.Errorf("in person %v: it was told, and still %+v", inPerson, left)
		}
		b.Must(handOver(b, soldTo(b, "CA", 100_00, b.Heron.ID, inPerson)))
		b.Sound()
	}
}

// An override for facts alone may be taken back from what is packed, and holds it again; where nothing holds an order back there is none.
func TestOverrideOfFactsIsLifted(t *testing.T) {
	b := bed.New(t)
	v := soldTo(b, "NY", 100_01, b.Heron.ID, false)
	b.Must(book.Override(b.Ctx, b.Studio, v.ID, "so"))
	b.Must(book.LiftOverride(b.Ctx, b.Studio, v.ID))
	b.Refused(handOver(b, v), fault.Refused, "", "(New York)")
	exact := soldTo(b, "NY", 100_00, b.Card.ID, false)
	b.Refused(book.Override(b.Ctx, b.Studio, exact.ID, "so"), fault.Refused, "", "nothing holds it back")
}

// owedByLaw says from the words of the statutes whether a buyer is to be told: New York, more than 100 dollars; California, from 100 dollars.
// Source: New York ACAL 15.01 (read), California Civil Code s. 1741 (memory).
func owedByLaw(region string, cents int64) bool {
	return region == "NY" && cents > 100_00 || region == "CA" && cents >= 100_00
}

// Whatever the states, prices, facts, overrides and money owed of a few orders, and however they are handed over (a parcel alone, several at once, a parcel of
// several orders, over the counter): the bench and the pages of the orders say before what the deed then does, and both do by the law's words.
func TestWhatIsShownBeforeAHandOverIsWhatItDoes(t *testing.T) {
	went, stayed, shared := 0, 0, 0
	for seed := range uint64(24) {
		r := rand.New(rand.NewPCG(seed, 7))
		b := bed.New(t)
		b.Combine(r.IntN(2) == 0)
		sayAll(b, b.Heron.ID)
		hold := map[int64]bool{}
		var ids []int64
		states := []string{"CA", "NY", "VA"}
		most := states[r.IntN(3)] // those of one address may share a parcel
		for range 1 + r.IntN(3) {
			region := []string{most, most, states[r.IntN(3)]}[r.IntN(3)]
			cents, ed := 99_99+r.Int64N(3), []int64{b.Heron.ID, b.Card.ID, b.Card.ID}[r.IntN(3)]
			in := b.Sale()
			in.ShipTo.Region, in.InPerson = region, r.IntN(4) == 0
			in.Lines = []book.SaleLine{{Edition: ed, Price: bed.Ptr(bed.USD(cents))}}
			v := b.Take(in)
			b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
			b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
			ids, hold[v.ID] = append(ids, v.ID), ed == b.Card.ID && owedByLaw(region, cents)
		}
		for _, id := range ids {
			if v := b.Order(id); !v.InPerson && len(v.Parcels) == 0 {
				packLabel(b, id)
			}
		}
		for _, id := range ids {
			switch v := b.Order(id); {
			case hold[id] && r.IntN(3) == 0:
				b.Must(book.Override(b.Ctx, b.Studio, id, "so"))
				hold[id] = false
			case r.IntN(4) == 0:
				b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: id, Kind: order.Refund, Amount: v.Paid}))
				hold[id] = true
			}
		}
		var all []int64
		held := map[int64]bool{} // by parcel
		for _, id := range ids {
			v := b.Order(id)
			if (len(v.Lacks) > 0) != hold[id] {
				t.Fatalf("seed %d: %s to %s lacks %+v, held by the law or for money: %v", seed, v.Mark, v.ShipTo.Region, v.Lacks, hold[id])
			}
			if v.InPerson {
				sayDo(b, fmt.Sprintf("seed %d, in person", seed), offered(b, id, 0), hold[id], handOver(b, v))
				continue
			}
			p := v.Parcels[0]
			if held[p.ID] = held[p.ID] || hold[id]; slices.Contains(all, p.ID) {
				shared++
			} else {
				all = append(all, p.ID)
			}
		}
		if len(all) > 1 && r.IntN(2) == 0 {
			may, any := true, false
			for _, p := range all {
				may, any = may && offered(b, 0, p), any || held[p]
			}
			_, err := dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{Parcels: all})
			sayDo(b, fmt.Sprintf("seed %d, %d parcels at once", seed, len(all)), may, any, err)
			all = nil
		}
		for _, p := range all {
			may := offered(b, 0, p)
			_, err := dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{Parcels: []int64{p}})
			sayDo(b, fmt.Sprintf("seed %d, parcel %d", seed, p), may, held[p], err)
		}
		for _, id := range ids {
			if b.Order(id).State == order.Closed {
				went++
			} else {
				stayed++
			}
		}
		b.Sound()
	}
	if went < 5 || stayed < 5 || shared < 3 {
		t.Errorf("%d orders went, %d stayed, %d shared a parcel: too few of one to show anything", went, stayed, shared)
	}
}

// sayDo holds what was offered, what the law holds, and what was done against each other.
func sayDo(b *bed.Bed, what string, may, held bool, err error) {
	b.Helper()
	if err != nil && !fault.Is(err, fault.Refused) {
		b.Fatalf("%s: %v", what, err)
	}
	if may == held || may != (err == nil) {
		b.Fatalf("%s: offered %v, to be held %v, done: %v", what, may, held, err)
	}
}

// offered reports whether the bench offers to hand over a parcel, or an order in person.
func offered(b *bed.Bed, id, parcel int64) bool {
	b.Helper()
	list, err := daybench.List(b.Ctx, b.Studio, calendar.Day{})
	b.Must(err)
	return slices.ContainsFunc(list.Groups[bench.HandOver], func(t bench.Task) bool {
		return t.Parcel == parcel && (parcel != 0 || t.Order == id) && t.Blocked == ""
	})
}
