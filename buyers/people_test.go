package buyers_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"solander/buyers"
	"solander/dispatch"
	"solander/fault"
	"solander/feed"
	"solander/feeds"
	"solander/intake"
	"solander/internal/bed"
	"solander/movein"
	"solander/order"
	"solander/studio"
)

const many = 52

// One returning customer is one buyer, through each door.
func TestFiftyTwoOrdersOfOnePerson(t *testing.T) {
	t.Run("the desk", func(t *testing.T) {
		b := bed.New(t)
		for n := range many {
			b.Take(b.Returning(n))
		}
		b.OneBuyer(many)
	})
	t.Run("a feed", func(t *testing.T) {
		b := bed.New(t)
		f := b.Feed("Web", feed.OrdersWrite)
		for n := range many {
			if _, err := feeds.FeedTake(b.Ctx, b.Studio, feeds.FeedCall{Feed: f.ID, Key: fmt.Sprint(n), Print: fmt.Sprint(n), Say: bed.MarkOf}, b.Returning(n)); err != nil {
				t.Fatal(err)
			}
		}
		b.OneBuyer(many)
	})
	t.Run("a file", func(t *testing.T) {
		b := bed.MovingIn(t)
		var rows strings.Builder
		rows.WriteString("Date,Who,Address,Print,Size,No,Price,Paid,State,Sent,Order,Note,Mail\n")
		for n := range many {
			in := b.Returning(n)
			fmt.Fprintf(&rows, "1/2/2026,%s,\"%s, Roanoke, VA %s\",%s,,,,,waits,,%s,,%s\n", in.Buyer.Name, strings.ReplaceAll(in.ShipTo.Line1, ",", ""), in.ShipTo.Postcode, b.Card.Title, in.Ref, in.Buyer.Email)
		}
		m := bed.HerMapping()
		m.Sheets[0].Columns = append(m.Sheets[0].Columns, intake.Column{Column: 12, Heading: "Mail", Field: intake.Email})
		for round := range 2 { // the second half comes later, to a book that knows her
			lines := strings.SplitAfter(strings.TrimSuffix(rows.String(), "\n"), "\n")
			part := append([]string{lines[0]}, lines[1+round*many/2:1+(round+1)*many/2]...)
			table, err := movein.ReadFile(b.Ctx, b.Studio, fmt.Sprintf("sales %d.csv", round), []byte(strings.Join(part, "")), nil)
			if err != nil {
				t.Fatal(err)
			}
			in := movein.TakeInIn{FileTrialIn: movein.FileTrialIn{Table: table, Mapping: m}}
			out, err := movein.TakeIn(b.Ctx, b.Studio, in, nil)
			if err != nil || out.Intake == nil || out.Intake.Made.Orders != many/2 {
				t.Fatalf("%+v, %v", out, err)
			}
		}
		b.OneBuyer(many)
	})
	t.Run("several doors", func(t *testing.T) {
		b := bed.New(t)
		f := b.Feed("Web", feed.OrdersWrite)
		for n := range many {
			if n%2 == 0 {
				b.Take(b.Returning(n))
			} else if _, err := feeds.FeedTake(b.Ctx, b.Studio, feeds.FeedCall{Feed: f.ID, Key: fmt.Sprint(n), Print: fmt.Sprint(n), Say: bed.MarkOf}, b.Returning(n)); err != nil {
				t.Fatal(err)
			}
		}
		b.OneBuyer(many)
	})
}

// What a feed may choose, and what it is told: nothing, whatever the book knows.
func TestFeedsRuleForBuyers(t *testing.T) {
	for rule, want := range map[order.BuyerRule]struct{ buyers, groups int }{order.TakeSame: {1, 0}, order.ProposeSame: {3, 1}, order.AlwaysNew: {3, 0}} {
		t.Run(string(rule), func(t *testing.T) {
			b := bed.New(t)
			known := b.Returning(0)
			known.Ref, known.Buyer.Phone, known.Buyer.Note = "desk", "555 0100", "collects herons"
			b.Take(known)
			f := b.Feed("Web", feed.OrdersWrite, feed.OrdersRead)
			if err := feeds.SetFeedBuyers(b.Ctx, b.Studio, f.ID, rule); err != nil {
				t.Fatal(err)
			}
			whole := func(v feeds.FeedOrder) (string, error) {
				v.ID, v.Mark, v.Buyer = 0, "", 0
				v.Lines, v.Labels = nil, nil
				raw, err := json.Marshal(v)
				return string(raw), err
			}
			var answers []string
			for n := range 2 {
				in := b.Returning(1)
				in.Ref = fmt.Sprint("W-", n)
				a, err := feeds.FeedTake(b.Ctx, b.Studio, feeds.FeedCall{Feed: f.ID, Key: in.Ref, Print: in.Ref, Say: whole}, in)
				if err != nil {
					t.Fatal(err)
				}
				answers = append(answers, strings.ReplaceAll(a, in.Ref, "W"))
			}
			stranger := b.Feed("Elsewhere", feed.OrdersWrite)
			other := bed.New(t) // a studio that knows nobody
			blank := other.Feed("Web", feed.OrdersWrite, feed.OrdersRead)
			in := other.Returning(1)
			in.Ref = "W-9"
			a, err := feeds.FeedTake(other.Ctx, other.Studio, feeds.FeedCall{Feed: blank.ID, Key: "9", Print: "9", Say: whole}, in)
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
			page, err := buyers.Buyers(b.Ctx, b.Studio, studio.BuyerQuery{})
			groups, err2 := buyers.LikelyBuyers(b.Ctx, b.Studio)
			if err != nil || err2 != nil || len(page.Rows) != want.buyers || len(groups) != want.groups {
				t.Errorf("%d buyers and %d groups, want %+v (%v, %v)", len(page.Rows), len(groups), want, err, err2)
			}
			_, err = feeds.FeedBuyers(b.Ctx, b.Studio, stranger.ID, studio.BuyerQuery{})
			b.Refused(err, fault.Denied, "", "")
			_, err = feeds.FeedMerge(b.Ctx, b.Studio, feeds.FeedCall{Feed: stranger.ID, Key: "k", Print: "p"}, buyers.MergeIn{Into: 1, Others: []int64{999}})
			b.Refused(err, fault.Denied, "", "") // before it is looked whether they are there
		})
	}
}

// A feed corrects what its orders say, and the book only while the buyer is known to its outlet alone.
func TestAFeedCorrectsNobodyElsesBuyer(t *testing.T) {
	b := bed.New(t)
	f := b.Feed("Web", feed.OrdersWrite, feed.BuyersWrite)
	call := func(key string) feeds.FeedCall {
		return feeds.FeedCall{Feed: f.ID, Key: key, Print: key, Say: bed.MarkOf}
	}
	if _, err := feeds.FeedTake(b.Ctx, b.Studio, call("1"), b.Returning(0)); err != nil {
		t.Fatal(err)
	}
	name := func() string {
		page, err := buyers.Buyers(b.Ctx, b.Studio, studio.BuyerQuery{})
		if err != nil || len(page.Rows) != 1 {
			t.Fatalf("%+v %v", page, err)
		}
		return page.Rows[0].Name
	}
	if _, err := feeds.FeedBuyer(b.Ctx, b.Studio, call("2"), "R-0", order.Buyer{Name: "Zoë Ødegård-Lund", Email: "zoe@post.example"}); err != nil || name() != "Zoë Ødegård-Lund" {
		t.Errorf("%s, %v", name(), err)
	}
	elsewhere := b.Returning(0)
	elsewhere.Outlet, elsewhere.Buyer.Name = b.Market.ID, "Zoë Ødegård-Lund"
	b.Take(elsewhere)
	if _, err := feeds.FeedBuyer(b.Ctx, b.Studio, call("3"), "R-0", order.Buyer{Name: "Somebody else", Email: "else@post.example"}); err != nil || name() != "Zoë Ødegård-Lund" {
		t.Errorf("%s, %v", name(), err)
	}
	if v := b.Mark("S-1001"); v.Said.Name != "Somebody else" {
		t.Errorf("the order says %+v", v.Said)
	}
}

// Two windows take the same buyers as one, while a feed writes orders: one of the windows wins, no order is lost, and undoing it
// leaves every order with whom its words name.
func TestMergesAtOnceWhileAFeedWrites(t *testing.T) {
	b := bed.New(t)
	f := b.Feed("Web", feed.OrdersWrite)
	one, two := b.Returning(0), b.Returning(0)
	two.Ref, two.Buyer = "two", order.Buyer{Name: "Odo Lund", Email: "odo@post.example"}
	b.Take(one)
	b.Take(two)
	const orders = 20
	var wg sync.WaitGroup
	wins := make(chan buyers.BuyerDeed, 2)
	for _, in := range []buyers.MergeIn{{Into: 1, Others: []int64{2}}, {Into: 2, Others: []int64{1}}} {
		wg.Go(func() {
			d, err := buyers.MergeBuyers(b.Ctx, b.Studio, in)
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
			if _, err := feeds.FeedTake(b.Ctx, b.Studio, feeds.FeedCall{Feed: f.ID, Key: in.Ref, Print: in.Ref, Say: bed.MarkOf}, in); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	close(wins)
	var won []buyers.BuyerDeed
	for d := range wins {
		won = append(won, d)
	}
	if len(won) != 1 {
		t.Fatalf("%d windows won", len(won))
	}
	b.OneBuyer(orders + 2)
	if err := dispatch.Undo(b.Ctx, b.Studio, won[0].Mark); err != nil {
		t.Fatal(err)
	}
	for id, want := range map[int64]int{1: 1, 2: orders + 1} {
		v, err := buyers.Buyer(b.Ctx, b.Studio, id)
		if err != nil || v.ID != id || v.Count != want {
			t.Errorf("buyer %d has %d orders, want %d (%v)", v.ID, v.Count, want, err)
		}
	}
	b.Sound()
}
