package book

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"solander/buyers"
	"solander/dispatch"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// tablesOf are the rows of a copy by table, without the journal and the counters, which only grow.
func tablesOf(t *testing.T, s studio.Store) map[string][]string {
	t.Helper()
	all := bed.Lines(t, bed.Dumped(t, s))
	out, name := map[string][]string{}, ""
	for _, line := range all[1 : len(all)-1] {
		if strings.HasPrefix(line, `{"table":`) {
			name = strings.Split(line, `"`)[3]
			continue
		}
		if name != "marks" && name != "counters" && name != "row_digests" {
			out[name] = append(out[name], line)
		}
	}
	return out
}

// crowd is six buyers with three orders each, of which every one holds a number and was paid.
func crowd(t *testing.T, s studio.Store) (ed int64) {
	t.Helper()
	h := bed.Furnished(t, s)
	ed = h.Declare(t, s, 40)
	for i := range 6 {
		b := order.Buyer{Name: fmt.Sprintf("Buyer %c", 'A'+i), Email: fmt.Sprintf("%d@post.example", i), Note: fmt.Sprint("note ", i)}
		if i%2 == 1 {
			b.Email, b.Phone, b.Note = "", fmt.Sprintf("555 010%d", i), ""
		}
		b.ID = bed.Person(t, s, b)
		for range 3 {
			sale := h.Sale(ed)
			sale.Buyer, sale.Said = b.ID, b.Said()
			o := bed.Add(t, s, sale)
			bed.Promise(t, s, ed, o)
			bed.Write(t, s, func(tx studio.Tx) error {
				_, err := tx.AddPayment(order.Payment{Order: o.ID, Kind: order.Deposit, Amount: bed.USD(100), Day: bed.Today})
				return err
			})
		}
	}
	return ed
}

// deed does something at random to buyers and returns its mark; 0 when there was nothing to do.
func deed(t *testing.T, st *studio.Studio, r *rand.Rand) int64 {
	t.Helper()
	page, err := buyers.Buyers(t.Context(), st, studio.BuyerQuery{})
	if err != nil {
		t.Fatal(err)
	}
	var who []int64
	for _, i := range r.Perm(len(page.Rows)) {
		who = append(who, page.Rows[i].ID)
	}
	who = who[:min(len(who), 2+r.IntN(3))]
	var d buyers.BuyerDeed
	switch r.IntN(4) {
	case 0, 1:
		if len(who) < 2 {
			return 0
		}
		d, err = buyers.MergeBuyers(t.Context(), st, buyers.MergeIn{Into: who[0], Others: who[1:]})
	case 2:
		v, err2 := buyers.Buyer(t.Context(), st, who[0])
		if err2 != nil {
			t.Fatal(err2)
		}
		in := buyers.PartIn{Buyer: v.ID}
		for _, o := range v.Orders {
			if r.IntN(2) == 0 {
				in.Orders = append(in.Orders, o.Mark)
			}
		}
		if len(in.Orders) == 0 || len(in.Orders) == v.Count {
			return 0
		}
		d, err = buyers.PartBuyer(t.Context(), st, in)
	default:
		d, err = buyers.TellApart(t.Context(), st, who)
		if fault.Is(err, fault.Refused) || len(who) < 2 {
			return 0
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	return d.Mark
}

// deedsUndone: whatever is done to buyers, register, payments, lines and notes stay, every number is held by somebody, and undone from
// the last to the first every row is as it was.
func deedsUndone(t *testing.T, s studio.Store) {
	ed := crowd(t, s)
	st := studio.New(s, studio.Options{})
	r := rand.New(rand.NewPCG(17, 250))
	did := 0
	for round := range 12 {
		states := []map[string][]string{tablesOf(t, s)}
		var marks []int64
		for range 1 + r.IntN(6) {
			m := deed(t, st, r)
			if m == 0 {
				continue
			}
			did++
			now := tablesOf(t, s)
			for _, table := range []string{"register", "payments", "lines", "impressions", "parcels", "stocks"} {
				bed.Same(t, table, states[0][table], now[table])
			}
			bed.Same(t, "as many orders", len(states[0]["orders"]), len(now["orders"]))
			allHeld(t, s, ed)
			marks, states = append(marks, m), append(states, now)
		}
		bed.Sound(t, s)
		for i, m := range slices.Backward(marks) {
			if err := dispatch.Undo(t.Context(), st, m); err != nil {
				t.Fatalf("round %d, deed %d: %v", round, i, err)
			}
			bed.Same(t, fmt.Sprintf("round %d after undoing deed %d", round, i), states[i], tablesOf(t, s))
		}
		bed.Sound(t, s)
		if t.Failed() {
			return
		}
	}
	if did < 24 {
		t.Errorf("only %d deeds were done", did)
	}
}

// allHeld fails unless each of the eighteen numbers is held by a buyer who is there, whose page names it.
func allHeld(t *testing.T, s studio.Store, ed int64) {
	t.Helper()
	bed.Read(t, s, func(tx studio.Tx) error {
		rows, err := tx.Numbers(ed)
		held := 0
		for _, row := range rows {
			if row.Standing.State != edition.Promised {
				continue
			}
			held++
			o, err := tx.Order(row.Order)
			if err != nil {
				return err
			}
			b, err := tx.Buyer(o.Buyer)
			if err != nil {
				return err
			}
			if row.Buyer == "" || row.Buyer != b.Name || b.SameAs != 0 {
				t.Errorf("number %s is held by %q, its order is of %+v", row.Number, row.Buyer, b)
			}
		}
		bed.Same(t, "numbers held", 18, held)
		return err
	})
}

// deedsOutOfTurn: a deed on which another stands is not undone before that one, and says so; nothing is changed by asking.
func deedsOutOfTurn(t *testing.T, s studio.Store) {
	crowd(t, s)
	st := studio.New(s, studio.Options{})
	ctx := t.Context()
	must := func(d buyers.BuyerDeed, err error) buyers.BuyerDeed {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	first := must(buyers.MergeBuyers(ctx, st, buyers.MergeIn{Into: 2, Others: []int64{3}}))
	second := must(buyers.MergeBuyers(ctx, st, buyers.MergeIn{Into: 4, Others: []int64{2}}))
	part := must(buyers.PartBuyer(ctx, st, buyers.PartIn{Buyer: 4, Orders: []string{"S-1004", "S-1007"}, As: order.Buyer{Name: "Someone"}}))
	before := tablesOf(t, s)
	for _, m := range []int64{first.Mark, second.Mark} {
		if err := dispatch.Undo(ctx, st, m); !fault.Is(err, fault.Refused) {
			t.Errorf("undone out of turn: %v", err)
		}
	}
	for _, in := range []buyers.MergeIn{{Into: 2, Others: []int64{5}}, {Into: 5, Others: []int64{3}}, {Into: 5, Others: []int64{6, 2}}} {
		if _, err := buyers.MergeBuyers(ctx, st, in); !fault.Is(err, fault.Refused) {
			t.Errorf("%+v: %v", in, err)
		}
	}
	if _, err := buyers.PartBuyer(ctx, st, buyers.PartIn{Buyer: 5, Orders: []string{"S-1004"}}); !fault.Is(err, fault.Refused) {
		t.Errorf("another's order is parted: %v", err)
	}
	bed.Same(t, "nothing was changed", before, tablesOf(t, s))
	// corrected since: what was corrected stays, what was filled in goes
	b, err := buyers.Buyer(ctx, st, 4)
	if err != nil {
		t.Fatal(err)
	}
	phone := func(b *order.Buyer) error {
		b.Phone = "555 9999"
		return nil
	}
	if _, err := buyers.ChangeBuyer(ctx, st, b.ID, phone); err != nil {
		t.Fatal(err)
	}
	for _, m := range []int64{part.Mark, second.Mark, first.Mark} {
		if err := dispatch.Undo(ctx, st, m); err != nil {
			t.Fatal(err)
		}
	}
	if b, err = buyers.Buyer(ctx, st, 4); err != nil || b.Phone != "555 9999" || b.Count != 3 {
		t.Errorf("%+v with %d orders (%v)", b.Buyer, b.Count, err)
	}
	bed.Sound(t, s)
}
