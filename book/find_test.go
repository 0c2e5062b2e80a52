package book_test

import (
	"testing"

	"solander/book"
	"solander/fault"
	"solander/internal/bed"
	"solander/labelling"
	"solander/order"
	"solander/register"
	"solander/studio"
)

func TestFind(t *testing.T) {
	b := bed.New(t)
	v, parcels := b.Packed(b.Heron.ID)
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: parcels[0].ID, Paid: bed.USD(5_00), Tracking: bed.S10}))
	in := b.Sale()
	in.Buyer = order.Buyer{Name: "Zoë Brontë", Email: "zoe@example.org"}
	in.ShipTo.Name, in.ShipTo.City, in.Ref = "Zoë Brontë", "Salem", "Q-55/7"
	in.Lines = []book.SaleLine{{Edition: b.Reeds.ID, Number: "2"}}
	zoe := b.Take(in)

	for _, c := range []struct {
		text           string
		number, holder string // of the first number found
		numbers        int
		order          string // mark of the first order found; "" = none
		buyers, works  int
	}{
		{text: "who has 1/5 of heron?", number: "1/5", holder: v.Mark, numbers: 1},
		{text: "1/5 HERON", number: "1/5", holder: v.Mark, numbers: 1},
		{text: "heron 1", number: "1/5", holder: v.Mark, numbers: 1},
		{text: "Heron no. 1/5", number: "1/5", holder: v.Mark, numbers: 1},
		{text: "heron at dusk #3", number: "3/5", holder: "", numbers: 1},
		{text: "AP 2 of heron", number: "AP 2/2", numbers: 1},
		{text: "2/3", number: "2/3", holder: zoe.Mark, numbers: 1},
		{text: "1/250 of heron"},
		{text: "number 1", number: "1/5", holder: v.Mark, numbers: 2}, // of every numbered edition
		{text: "Nr. 1", number: "1/5", holder: v.Mark, numbers: 2},
		{text: "no 1", number: "1/5", holder: v.Mark, numbers: 2},
		{text: "№ 1", number: "1/5", holder: v.Mark, numbers: 2},
		{text: "nº 1", number: "1/5", holder: v.Mark, numbers: 2},
		{text: "#1", number: "1/5", holder: v.Mark, numbers: 2},
		{text: "1", number: "1/5", holder: v.Mark, numbers: 2},
		{text: "who has number 2 of reeds?", number: "2/3", holder: zoe.Mark, numbers: 1},
		{text: "number 4", number: "4/5", numbers: 1},
		{text: "number 6"},
		{text: "AP 2", number: "AP 2/2", numbers: 1},
		{text: "“heron,” 1", number: "1/5", holder: v.Mark, numbers: 1},
		{text: "reeds 4"},
		{text: "the heron number 3", number: "3/5", numbers: 1},
		{text: "who has number 2 of 3 of the reeds, please?", number: "2/3", holder: zoe.Mark, numbers: 1},
		{text: "number 1 of heron", number: "1/5", holder: v.Mark, numbers: 1},
		{text: "order S-1002", order: zoe.Mark},
		{text: "Orders of Zoë Brontë", order: zoe.Mark, buyers: 1},
		{text: "who bought éclat?", works: 1},
		{text: "who has the"},
		{text: v.Mark, order: v.Mark},
		{text: "s-1002", order: zoe.Mark},
		{text: "Q-55/7", order: zoe.Mark},
		{text: "RB 473 124 829 US", order: v.Mark},
		{text: "zoe bronte", order: zoe.Mark, buyers: 1},
		{text: "ZOË", order: zoe.Mark, buyers: 1},
		{text: "eclat", works: 1},
		{text: "ÉTÉ éclat", works: 1},
		{text: "   "},
		{text: "nobody knows"},
	} {
		t.Run(c.text, func(t *testing.T) {
			b := *b
			b.TB = t
			got, err := book.Find(b.Ctx, b.Studio, c.text)
			b.Must(err)
			if len(got.Numbers) != c.numbers || c.numbers > 0 && (got.Numbers[0].Label != c.number || got.Numbers[0].Row.OrderMark != c.holder) {
				t.Errorf("numbers %+v, want %s held by %q", got.Numbers, c.number, c.holder)
			}
			if c.order != "" && (len(got.Orders) == 0 || got.Orders[0].Mark != c.order) || c.order == "" && c.numbers == 0 && len(got.Orders) > 0 {
				t.Errorf("orders %+v, want %q", got.Orders, c.order)
			}
			if len(got.Buyers) != c.buyers || len(got.Works) != c.works {
				t.Errorf("%d buyers and %d works, want %d and %d", len(got.Buyers), len(got.Works), c.buyers, c.works)
			}
		})
	}
	for _, bad := range []string{"\xff\xfe", string(make([]byte, 1000))} {
		_, err := book.Find(b.Ctx, b.Studio, bad)
		b.Refused(err, fault.Invalid, "q", "")
	}
}

func TestOrdersByStageInPages(t *testing.T) {
	b := bed.New(t)
	for range 7 {
		b.Paid(b.Card.ID)
	}
	unpaid := b.Take(b.Sale())
	seen := map[int64]bool{}
	q := studio.OrderQuery{Limit: 3}
	for pages := 1; ; pages++ {
		page, err := book.Orders(b.Ctx, b.Studio, q, order.AwaitsSigning)
		b.Must(err)
		if page.Open[order.AwaitsSigning] != 7 || page.Open[order.AwaitsMoney] != 1 {
			t.Fatalf("open by stage: %v", page.Open)
		}
		for _, r := range page.Rows {
			if seen[r.ID] || r.ID == unpaid.ID || r.Stage != order.AwaitsSigning || r.Prints[0] != "Éclat d'été" {
				t.Errorf("row %+v", r)
			}
			seen[r.ID] = true
		}
		if page.Next == 0 || pages > 5 {
			break
		}
		q.Before = page.Next
	}
	if len(seen) != 7 {
		t.Errorf("%d orders in all pages, want 7", len(seen))
	}
	page, err := book.Orders(b.Ctx, b.Studio, studio.OrderQuery{}, order.Done)
	b.Must(err)
	if len(page.Rows) != 0 {
		t.Errorf("%d orders are done, want none", len(page.Rows))
	}
	got, err := book.OrderByMark(b.Ctx, b.Studio, unpaid.Mark)
	b.Must(err)
	if got.ID != unpaid.ID {
		t.Errorf("%s is order %d", unpaid.Mark, got.ID)
	}
	_, err = book.OrderByMark(b.Ctx, b.Studio, "S-9")
	b.Refused(err, fault.Missing, "", "")
}

// A number is found in whatever state it is, and by a state that is rare; numbers come before what else is found.
func TestFindWhatCameBack(t *testing.T) {
	b := bed.New(t)
	v := b.SentOff(b.Heron.ID)
	b.Must(book.TakeBack(b.Ctx, b.Studio, book.TakeBackIn{Order: v.ID, Spoilt: true, Reason: "crushed in the post"}))
	b.Must(register.Withdraw(b.Ctx, b.Studio, b.Reeds.ID, bed.Num(3), "faded"))
	back := b.SentOff(b.Heron.ID)
	b.Must(book.TakeBack(b.Ctx, b.Studio, book.TakeBackIn{Order: back.ID, Reason: "sent twice"}))
	for text, want := range map[string]string{
		"1/5 heron": "1/5 spoilt", "heron 1": "1/5 spoilt", "2/5 heron": "2/5 returned", "reeds 3": "3/3 withdrawn",
		"spoilt": "1/5 spoilt", "spoilt heron": "1/5 spoilt", "which heron was spoiled?": "1/5 spoilt", "returned heron": "2/5 returned",
		"withdrawn": "3/3 withdrawn", "spoilt reeds": "", "kept": "",
	} {
		got, err := book.Find(b.Ctx, b.Studio, text)
		b.Must(err)
		found := ""
		for _, n := range got.Numbers {
			found += n.Label + " " + string(n.Row.Standing.State)
		}
		if found != want {
			t.Errorf("%q finds %q, want %q", text, found, want)
		}
	}
}
