package api

import (
	"context"
	"strconv"

	"solander/api/problem"
	"solander/buyers"
	"solander/fault"
	"solander/feeds"
	"solander/internal/strict"
	"solander/order"
	"solander/studio"
)

// OfBuyer is a call about one buyer.
type OfBuyer struct {
	Buyer string `path:"buyer" doc:"The number of the buyer."`
}

type ofBuyerKeyed struct {
	Keyed
	OfBuyer
}

// undoing is a call that takes a deed back.
type undoing struct {
	Keyed
	Deed string `path:"deed" doc:"The number that the deed was answered with."`
}

// buyersAsked is which buyers are wanted.
type buyersAsked struct {
	Text  string `query:"q" maxLength:"200" doc:"Words of a name, an e-mail address or a telephone number; all buyers when it is left out."`
	After string `query:"after" doc:"The next of the page before."`
}

// Known is how a buyer is written in the book.
type Known struct {
	ID    int64  `json:"id"`
	Name  string `json:"name"`
	Email string `json:"email,omitempty"`
	Phone string `json:"phone,omitempty"`
}

// Person is a buyer of the studio, whatever the outlet.
type Person struct {
	Known
	Orders int  `json:"orders" doc:"How many orders are hers."`
	Last   *Day `json:"last,omitempty" doc:"When the latest was placed."`
}

// People is a page of buyers, by name.
type People struct {
	Buyers []Person `json:"buyers" nullable:"false"`
	Next   int64    `json:"next,omitempty" doc:"Send it as after for the next page; left out on the last."`
}

// Print is a print that a buyer has or is to get.
type Print struct {
	Edition int64  `json:"edition"`
	Title   string `json:"title"`
	Number  string `json:"number,omitempty"`
	Order   string `json:"order" doc:"The studio's mark of the order."`
	Sent    bool   `json:"sent"`
}

// PersonWhole is a buyer with all that is known of her.
type PersonWhole struct {
	Person
	Due      Money     `json:"due" doc:"Of all her orders, as are the next two."`
	Paid     Money     `json:"paid"`
	Owed     Money     `json:"owed"`
	Marks    []string  `json:"marks" nullable:"false" doc:"Of her latest 500 orders, the latest first."`
	Prints   []Print   `json:"prints" nullable:"false"`
	Places   []Address `json:"addresses" nullable:"false" doc:"To which her orders went, the latest first."`
	Writings []Known   `json:"also" nullable:"false" doc:"Others who were taken as her."`
	Likely   []Person  `json:"perhaps" nullable:"false" doc:"Others who may be the same person."`
}

// Merge takes others as the same person as the buyer of the address.
type Merge struct {
	Others []int64 `json:"others" nullable:"false" minItems:"1" maxItems:"100"`
}

// Part makes a buyer of her own of some orders.
type Part struct {
	Orders []string `json:"orders" nullable:"false" minItems:"1" maxItems:"500" doc:"The studio's marks of the orders."`
	Buyer  *Buyer   `json:"buyer,omitempty" doc:"Who that is; as the first of the orders says when it is left out."`
}

// Apart says that buyers are not the same person, each of any other.
type Apart struct {
	Buyers []int64 `json:"buyers" nullable:"false" minItems:"2" maxItems:"100"`
}

// Empty is an empty object.
type Empty struct{}

// Deed is what was done to buyers.
type Deed struct {
	Deed  int64 `json:"deed" doc:"By it the deed is undone."`
	Buyer Known `json:"buyer" doc:"The buyer who stays, the new one, or the first."`
}

type (
	peopleTold struct{ Body People }
	personTold struct{ Body PersonWhole }
	deedTold   struct{ Body Deed }
)

func personOf(b order.Buyer, d studio.Dealing) Person {
	return Person{Known: knownOf(b), Orders: d.Orders, Last: dayOf(d.Last)}
}

func knownOf(b order.Buyer) Known { return Known{b.ID, b.Name, b.Email, b.Phone} }

func (f *face) people(ctx context.Context, in *buyersAsked) (*peopleTold, error) {
	q := studio.BuyerQuery{Text: in.Text}
	var err error
	if in.After != "" {
		q.After, err = numbered("after", in.After)
	}
	if err != nil {
		return nil, f.told(ctx, err)
	}
	page, err := feeds.FeedBuyers(ctx, f.studio, callOf(ctx).ID, q)
	if err != nil {
		return nil, f.told(ctx, err)
	}
	out := &peopleTold{People{Buyers: []Person{}, Next: page.Next}}
	for _, r := range page.Rows {
		out.Body.Buyers = append(out.Body.Buyers, personOf(r.Buyer, r.Dealing))
	}
	return out, nil
}

func numbered(field, text string) (int64, error) {
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n <= 0 {
		return 0, fault.Invalidf(field, "%.20q is no number of a buyer or a deed", text).ToMend("send the number as it was answered")
	}
	return n, nil
}

func (f *face) person(ctx context.Context, in *OfBuyer) (*personTold, error) {
	id, err := numbered("buyer", in.Buyer)
	if err != nil {
		return nil, f.told(ctx, err)
	}
	v, err := feeds.FeedPerson(ctx, f.studio, callOf(ctx).ID, id)
	if err != nil {
		return nil, f.told(ctx, err)
	}
	return &personTold{wholeOf(v)}, nil
}

func wholeOf(v buyers.BuyerView) PersonWhole {
	out := PersonWhole{
		Person: personOf(v.Buyer, studio.Dealing{Orders: v.Count}), Due: moneyOf(v.Due), Paid: moneyOf(v.Paid), Owed: moneyOf(v.Owed),
		Marks: []string{}, Prints: []Print{}, Places: []Address{}, Writings: []Known{}, Likely: []Person{},
	}
	for i, o := range v.Orders {
		if i == 0 || out.Last.Before(o.Placed) {
			out.Last = dayOf(o.Placed)
		}
		out.Marks = append(out.Marks, o.Mark)
	}
	for _, n := range v.Numbers {
		out.Prints = append(out.Prints, Print{n.Edition, n.Title, n.Label, n.Order, n.Sent})
	}
	for _, a := range v.Places {
		out.Places = append(out.Places, Address(a))
	}
	for _, w := range v.Writings {
		out.Writings = append(out.Writings, knownOf(w))
	}
	for _, l := range v.Likely {
		out.Likely = append(out.Likely, personOf(l.Buyer, l.Dealing))
	}
	return out
}

func (f *face) merge(ctx context.Context, in *ofBuyerKeyed) (*deedTold, error) {
	return didTo(ctx, f, in.Key, in.Buyer, func(ctx context.Context, c feeds.FeedCall, id int64, body Merge) (buyers.BuyerDeed, error) {
		return feeds.FeedMerge(ctx, f.studio, c, buyers.MergeIn{Into: id, Others: body.Others})
	})
}

func (f *face) part(ctx context.Context, in *ofBuyerKeyed) (*deedTold, error) {
	return didTo(ctx, f, in.Key, in.Buyer, func(ctx context.Context, c feeds.FeedCall, id int64, body Part) (buyers.BuyerDeed, error) {
		p := buyers.PartIn{Buyer: id, Orders: body.Orders}
		if body.Buyer != nil {
			p.As = body.Buyer.buyer()
		}
		return feeds.FeedPart(ctx, f.studio, c, p)
	})
}

func (f *face) apart(ctx context.Context, in *Keyed) (*deedTold, error) {
	return didTo(ctx, f, in.Key, "1", func(ctx context.Context, c feeds.FeedCall, _ int64, body Apart) (buyers.BuyerDeed, error) {
		return feeds.FeedApart(ctx, f.studio, c, body.Buyers)
	})
}

func (f *face) undo(ctx context.Context, in *undoing) (*deedTold, error) {
	return didTo(ctx, f, in.Key, in.Deed, func(ctx context.Context, c feeds.FeedCall, mark int64, _ Empty) (buyers.BuyerDeed, error) {
		return feeds.FeedUndo(ctx, f.studio, c, mark)
	})
}

// inPart are the fields whose names in faults are others than in the body.
var inPart = map[string]string{"buyer": "buyer.name", "email": "buyer.email", "phone": "buyer.phone", "into": ""}

// didTo reads a body, does something to a buyer and answers.
func didTo[B any](ctx context.Context, f *face, key, of string, do func(ctx context.Context, c feeds.FeedCall, id int64, in B) (buyers.BuyerDeed, error)) (*deedTold, error) {
	c := callOf(ctx)
	id, err := numbered("", of)
	if err != nil {
		return nil, f.told(ctx, err)
	}
	var in B
	if err := strict.Decode(c.body, &in); err != nil {
		return nil, f.told(ctx, problem.InBody(err, c.body, nil))
	}
	d, err := do(ctx, feeds.FeedCall{Feed: c.ID, Key: key, Print: c.print()}, id, in)
	if err != nil {
		return nil, f.told(ctx, problem.InBody(err, c.body, inPart))
	}
	return &deedTold{Deed{d.Mark, knownOf(d.Buyer)}}, nil
}
