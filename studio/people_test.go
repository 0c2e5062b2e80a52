package studio_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/fault"
	"solander/intake"
	"solander/order"
	"solander/studio"
)

// returning is the n-th order of one customer, as people write: another spelling, another place, the same person.
func (b *bed) returning(n int) studio.Sale {
	in := studio.Sale{
		Outlet: b.own.ID, Ref: fmt.Sprintf("R-%d", n), Buyer: order.Buyer{Name: "Zoë Ødegård", Email: "zoe@post.example"}, ShipTo: home(),
		Lines: []studio.SaleLine{{Edition: b.card.ID}},
	}
	switch n % 4 {
	case 1:
		in.Buyer.Name, in.Buyer.Email = "ZOË  ØDEGÅRD", "Zoe@POST.example"
	case 2:
		in.Buyer.Email = "" // known by name and address
		in.ShipTo.Postcode, in.ShipTo.Line1 = "24011-0003", "12, reed lane"
	case 3:
		in.Buyer.Name, in.ShipTo.Line1 = "Zoe Odegard", "3 Mill Road"
	}
	return in
}

// oneBuyer fails unless the book has one buyer, with so many orders.
func (b *bed) oneBuyer(orders int) {
	b.Helper()
	page, err := b.Buyers(b.ctx, studio.BuyerQuery{})
	if err != nil || len(page.Rows) != 1 || page.Rows[0].Orders != orders {
		b.Fatalf("%d buyers, the first with %+v (%v)", len(page.Rows), page.Rows, err)
	}
	b.sound()
}

const many = 52

// One returning customer is one buyer, through each door.
func TestFiftyTwoOrdersOfOnePerson(t *testing.T) {
	t.Run("the desk", func(t *testing.T) {
		b := newBed(t)
		for n := range many {
			b.take(b.returning(n))
		}
		b.oneBuyer(many)
	})
	t.Run("a feed", func(t *testing.T) {
		b := newBed(t)
		f := b.feed("Web", studio.ScopeOrdersWrite)
		for n := range many {
			if _, err := b.FeedTake(b.ctx, studio.FeedCall{Feed: f.ID, Key: fmt.Sprint(n), Print: fmt.Sprint(n), Say: markOf}, b.returning(n)); err != nil {
				t.Fatal(err)
			}
		}
		b.oneBuyer(many)
	})
	t.Run("a file", func(t *testing.T) {
		b := movingIn(t)
		var rows strings.Builder
		rows.WriteString("Date,Who,Address,Print,Size,No,Price,Paid,State,Sent,Order,Note,Mail\n")
		for n := range many {
			in := b.returning(n)
			fmt.Fprintf(&rows, "1/2/2026,%s,\"%s, Roanoke, VA %s\",%s,,,,,waits,,%s,,%s\n", in.Buyer.Name, strings.ReplaceAll(in.ShipTo.Line1, ",", ""), in.ShipTo.Postcode, b.card.Title, in.Ref, in.Buyer.Email)
		}
		m := herMapping()
		m.Sheets[0].Columns = append(m.Sheets[0].Columns, intake.Column{Column: 12, Heading: "Mail", Field: intake.Email})
		for round := range 2 { // the second half comes later, to a book that knows her
			lines := strings.SplitAfter(strings.TrimSuffix(rows.String(), "\n"), "\n")
			part := append([]string{lines[0]}, lines[1+round*many/2:1+(round+1)*many/2]...)
			table, err := b.ReadFile(b.ctx, fmt.Sprintf("sales %d.csv", round), []byte(strings.Join(part, "")), nil)
			if err != nil {
				t.Fatal(err)
			}
			in := studio.TakeInIn{FileTrialIn: studio.FileTrialIn{Table: table, Mapping: m}}
			out, err := b.TakeIn(b.ctx, in, nil)
			if err != nil || out.Intake == nil || out.Intake.Made.Orders != many/2 {
				t.Fatalf("%+v, %v", out, err)
			}
		}
		b.oneBuyer(many)
	})
	t.Run("several doors", func(t *testing.T) {
		b := newBed(t)
		f := b.feed("Web", studio.ScopeOrdersWrite)
		for n := range many {
			if n%2 == 0 {
				b.take(b.returning(n))
			} else if _, err := b.FeedTake(b.ctx, studio.FeedCall{Feed: f.ID, Key: fmt.Sprint(n), Print: fmt.Sprint(n), Say: markOf}, b.returning(n)); err != nil {
				t.Fatal(err)
			}
		}
		b.oneBuyer(many)
	})
}

// What a feed may choose, and what it is told: nothing, whatever the book knows.
func TestFeedsRuleForBuyers(t *testing.T) {
	for rule, want := range map[order.BuyerRule]struct{ buyers, groups int }{order.TakeSame: {1, 0}, order.ProposeSame: {3, 1}, order.AlwaysNew: {3, 0}} {
		t.Run(string(rule), func(t *testing.T) {
			b := newBed(t)
			known := b.returning(0)
			known.Ref, known.Buyer.Phone, known.Buyer.Note = "desk", "555 0100", "collects herons"
			b.take(known)
			f := b.feed("Web", studio.ScopeOrdersWrite, studio.ScopeOrdersRead)
			if err := b.SetFeedBuyers(b.ctx, f.ID, rule); err != nil {
				t.Fatal(err)
			}
			whole := func(v studio.FeedOrder) (string, error) {
				v.ID, v.Mark, v.Buyer = 0, "", 0
				v.Lines, v.Labels = nil, nil
				raw, err := json.Marshal(v)
				return string(raw), err
			}
			var answers []string
			for n := range 2 {
				in := b.returning(1)
				in.Ref = fmt.Sprint("W-", n)
				a, err := b.FeedTake(b.ctx, studio.FeedCall{Feed: f.ID, Key: in.Ref, Print: in.Ref, Say: whole}, in)
				if err != nil {
					t.Fatal(err)
				}
				answers = append(answers, strings.ReplaceAll(a, in.Ref, "W"))
			}
			stranger := b.feed("Elsewhere", studio.ScopeOrdersWrite)
			other := newBed(t) // a studio that knows nobody
			blank := other.feed("Web", studio.ScopeOrdersWrite, studio.ScopeOrdersRead)
			in := other.returning(1)
			in.Ref = "W-9"
			a, err := other.FeedTake(other.ctx, studio.FeedCall{Feed: blank.ID, Key: "9", Print: "9", Say: whole}, in)
			if err != nil {
				t.Fatal(err)
			}
			for _, got := range answers {
				if diff := cmp.Diff(strings.ReplaceAll(a, "W-9", "W"), got); diff != "" {
					t.Errorf("a feed is answered otherwise when the buyer is known:\n%s", diff)
				}
			}
			if strings.Contains(answers[0], "555 0100") || strings.Contains(answers[0], "herons") {
				t.Errorf("the answer tells what the book knows: %s", answers[0])
			}
			page, err := b.Buyers(b.ctx, studio.BuyerQuery{})
			groups, err2 := b.LikelyBuyers(b.ctx)
			if err != nil || err2 != nil || len(page.Rows) != want.buyers || len(groups) != want.groups {
				t.Errorf("%d buyers and %d groups, want %+v (%v, %v)", len(page.Rows), len(groups), want, err, err2)
			}
			_, err = b.FeedBuyers(b.ctx, stranger.ID, studio.BuyerQuery{})
			b.refused(err, fault.Denied, "", "")
			_, err = b.FeedMerge(b.ctx, studio.FeedCall{Feed: stranger.ID, Key: "k", Print: "p"}, studio.MergeIn{Into: 1, Others: []int64{999}})
			b.refused(err, fault.Denied, "", "") // before it is looked whether they are there
		})
	}
}

// A feed corrects what its orders say, and the book only while the buyer is known to its outlet alone.
func TestAFeedCorrectsNobodyElsesBuyer(t *testing.T) {
	b := newBed(t)
	f := b.feed("Web", studio.ScopeOrdersWrite, studio.ScopeBuyersWrite)
	call := func(key string) studio.FeedCall {
		return studio.FeedCall{Feed: f.ID, Key: key, Print: key, Say: markOf}
	}
	if _, err := b.FeedTake(b.ctx, call("1"), b.returning(0)); err != nil {
		t.Fatal(err)
	}
	name := func() string {
		page, err := b.Buyers(b.ctx, studio.BuyerQuery{})
		if err != nil || len(page.Rows) != 1 {
			t.Fatalf("%+v %v", page, err)
		}
		return page.Rows[0].Name
	}
	if _, err := b.FeedBuyer(b.ctx, call("2"), "R-0", order.Buyer{Name: "Zoë Ødegård-Lund", Email: "zoe@post.example"}); err != nil || name() != "Zoë Ødegård-Lund" {
		t.Errorf("%s, %v", name(), err)
	}
	elsewhere := b.returning(0)
	elsewhere.Outlet, elsewhere.Buyer.Name = b.market.ID, "Zoë Ødegård-Lund"
	b.take(elsewhere)
	if _, err := b.FeedBuyer(b.ctx, call("3"), "R-0", order.Buyer{Name: "Somebody else", Email: "else@post.example"}); err != nil || name() != "Zoë Ødegård-Lund" {
		t.Errorf("%s, %v", name(), err)
	}
	if v := b.mark("S-1001"); v.Said.Name != "Somebody else" {
		t.Errorf("the order says %+v", v.Said)
	}
}

func (b *bed) mark(mark string) studio.OrderView {
	b.Helper()
	v, err := b.OrderByMark(b.ctx, mark)
	if err != nil {
		b.Fatal(err)
	}
	return v
}

// Two windows take the same buyers as one, while a feed writes orders: one of the windows wins, no order is lost, and undoing it
// leaves every order with whom its words name.
func TestMergesAtOnceWhileAFeedWrites(t *testing.T) {
	b := newBed(t)
	f := b.feed("Web", studio.ScopeOrdersWrite)
	one, two := b.returning(0), b.returning(0)
	two.Ref, two.Buyer = "two", order.Buyer{Name: "Odo Lund", Email: "odo@post.example"}
	b.take(one)
	b.take(two)
	const orders = 20
	var wg sync.WaitGroup
	wins := make(chan studio.BuyerDeed, 2)
	for _, in := range []studio.MergeIn{{Into: 1, Others: []int64{2}}, {Into: 2, Others: []int64{1}}} {
		wg.Go(func() {
			d, err := b.MergeBuyers(b.ctx, in)
			if err == nil {
				wins <- d
			} else if !fault.Is(err, fault.Refused) {
				t.Error(err)
			}
		})
	}
	for n := range orders {
		wg.Go(func() {
			in := two
			in.Ref = fmt.Sprintf("W-%d", n)
			if _, err := b.FeedTake(b.ctx, studio.FeedCall{Feed: f.ID, Key: in.Ref, Print: in.Ref, Say: markOf}, in); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	close(wins)
	var won []studio.BuyerDeed
	for d := range wins {
		won = append(won, d)
	}
	if len(won) != 1 {
		t.Fatalf("%d windows won", len(won))
	}
	b.oneBuyer(orders + 2)
	if err := b.Undo(b.ctx, won[0].Mark); err != nil {
		t.Fatal(err)
	}
	for id, want := range map[int64]int{1: 1, 2: orders + 1} {
		v, err := b.Buyer(b.ctx, id)
		if err != nil || v.ID != id || v.Count != want {
			t.Errorf("buyer %d has %d orders, want %d (%v)", v.ID, v.Count, want, err)
		}
	}
	b.sound()
}
