package api

import (
	"context"
	"net/http"
	"strings"

	"solander/api/problem"
	"solander/book"
	"solander/fault"
	"solander/feed"
	"solander/feeds"
	"solander/internal/strict"
)

// Keyed is what every write is called with beside its body.
type Keyed struct {
	Key string `header:"Idempotency-Key" required:"true" minLength:"1" maxLength:"200" doc:"The caller's own name of this request. The same request under the same key is done once and answered the same for at least a day; another request under it is refused."`
}

// OfOrder is a call about one order.
type OfOrder struct {
	Ref string `path:"ref" maxLength:"80" doc:"The order's name at the outlet, percent-encoded."`
}

// matched is what a change is called with: it must name the state that it changes.
type matched struct {
	Keyed
	OfOrder
	Seen string `header:"If-Match" required:"true" doc:"The ETag of the order as the caller saw it."`
}

type paying struct {
	Keyed
	OfOrder
	Seen string `header:"If-Match" doc:"The ETag of the order as the caller saw it; whatever it is, when it is left out."`
}

// The fields whose names in faults are others than in the body.
var (
	inOrder   = map[string]string{"buyer": "buyer.name", "email": "buyer.email", "phone": "buyer.phone", "outlet": "", "how": "paid_how", "currency": "agreed.currency"}
	inBuyer   = map[string]string{"buyer": "name"}
	inAddress = map[string]string{
		"ship_to": "", "ship_to.name": "name", "ship_to.line1": "line1", "ship_to.line2": "line2", "ship_to.city": "city",
		"ship_to.region": "region", "ship_to.postcode": "postcode", "ship_to.country": "country",
	}
	inPayment = map[string]string{"refund": "amount"}
)

// done reads a body, does a write and answers.
func done[B any](ctx context.Context, f *face, key string, names map[string]string, do func(ctx context.Context, c feeds.FeedCall, in B) (string, error)) (*told, error) {
	c := callOf(ctx)
	var in B
	err := strict.Decode(c.body, &in)
	if err != nil {
		return nil, f.told(ctx, problem.InBody(err, c.body, nil))
	}
	answer, err := do(ctx, feeds.FeedCall{Feed: c.ID, Key: key, Print: c.print(), Say: say}, in)
	if err != nil {
		return nil, f.told(ctx, problem.InBody(err, c.body, names))
	}
	if answer == "" { // to a feed that may not read it
		return &told{Status: http.StatusNoContent}, nil
	}
	t, err := again(answer)
	if err != nil {
		return nil, f.told(ctx, err)
	}
	if c.May(feed.OrdersRead) != nil {
		t.ETag = "" // it would tell when the order was changed
	}
	if strings.HasPrefix(c.what, http.MethodPost) { // the only calls that make something
		t.Status = http.StatusCreated
	}
	return t, nil
}

func (f *face) takeOrder(ctx context.Context, in *Keyed) (*told, error) {
	return done(ctx, f, in.Key, inOrder, func(ctx context.Context, c feeds.FeedCall, body NewOrder) (string, error) {
		in := body.sale(callOf(ctx).Outlet)
		if callOf(ctx).May(feed.OrdersRead) != nil {
			c.Say = func(v feeds.FeedOrder) (string, error) { // as it was sent, not as the book knows the buyer
				v.Who = in.Buyer
				return say(v)
			}
		}
		return feeds.FeedTake(ctx, f.studio, c, in)
	})
}

func (f *face) order(ctx context.Context, in *OfOrder) (*told, error) {
	v, err := feeds.OrderOf(ctx, f.studio, callOf(ctx).ID, in.Ref)
	if err != nil {
		return nil, f.told(ctx, err)
	}
	t, err := tell(orderOf(v))
	if err != nil {
		return nil, f.told(ctx, err)
	}
	return t, nil
}

func (f *face) changeOrder(ctx context.Context, in *matched) (*told, error) {
	return done(ctx, f, in.Key, nil, func(ctx context.Context, c feeds.FeedCall, body Change) (string, error) {
		var err error
		if c.Match, err = matches(ctx); err != nil {
			return "", err
		}
		return feeds.FeedAmend(ctx, f.studio, c, in.Ref, body.amend())
	})
}

func (f *face) changeAddress(ctx context.Context, in *matched) (*told, error) {
	return done(ctx, f, in.Key, inAddress, func(ctx context.Context, c feeds.FeedCall, body Address) (string, error) {
		var err error
		if c.Match, err = matches(ctx); err != nil {
			return "", err
		}
		to := body.address()
		return feeds.FeedAmend(ctx, f.studio, c, in.Ref, book.AmendIn{ShipTo: &to})
	})
}

func (f *face) changeBuyer(ctx context.Context, in *matched) (*told, error) {
	return done(ctx, f, in.Key, inBuyer, func(ctx context.Context, c feeds.FeedCall, body Buyer) (string, error) {
		var err error
		if c.Match, err = matches(ctx); err != nil {
			return "", err
		}
		return feeds.FeedBuyer(ctx, f.studio, c, in.Ref, body.buyer())
	})
}

func (f *face) pay(ctx context.Context, in *paying) (*told, error) {
	return done(ctx, f, in.Key, inPayment, func(ctx context.Context, c feeds.FeedCall, body NewPayment) (string, error) {
		if callOf(ctx).seen != "" { // a payment need not name a state, as a change does; where it does, that counts
			var err error
			if c.Match, err = matches(ctx); err != nil {
				return "", err
			}
		}
		return feeds.FeedPay(ctx, f.studio, c, in.Ref, body.payment())
	})
}

// matches makes the look at an order that If-Match asks for. Tags are compared strongly, so that a weak one matches
// nothing. Sources: RFC 9110, 13.1.1 and 8.8.3.2; RFC 6585, 3.
func matches(ctx context.Context) (func(feeds.FeedOrder) error, error) {
	seen := callOf(ctx).seen
	if seen == "" {
		p := problem.Plain(http.StatusPreconditionRequired, "the change does not say which state of the order it changes")
		p.Errors = []problem.Detail{{Detail: "it is missing", Header: "If-Match", Mend: "send the ETag of the order as it was read"}}
		return nil, p
	}
	return func(v feeds.FeedOrder) error {
		if strings.TrimSpace(seen) == "*" {
			return nil
		}
		now, err := tag(orderOf(v))
		if err != nil {
			return err
		}
		for _, t := range strings.Split(seen, ",") {
			if strings.TrimSpace(t) == now {
				return nil
			}
		}
		return fault.New(fault.Changed, "the order is not any more what was seen").At("%s", v.Mark).ToMend("read it again, then change it")
	}, nil
}

// listed is the answer that is a list of editions.
type listed struct{ Body Editions }

func (f *face) editions(ctx context.Context, _ *struct{}) (*listed, error) {
	rows, err := feeds.FeedEditions(ctx, f.studio, callOf(ctx).ID)
	if err != nil {
		return nil, f.told(ctx, err)
	}
	set, err := f.studio.Settings(ctx)
	if err != nil {
		return nil, f.told(ctx, err)
	}
	out := &listed{Editions{[]Edition{}}}
	for _, r := range rows {
		out.Body.Editions = append(out.Body.Editions, Edition{
			ID: r.ID, Title: r.Title, Size: r.Size(set.Units), Paper: r.Paper, Grade: r.Grade, Limit: r.Limit, Unsold: r.Unsold, Price: moneyOf(r.PriceNow),
		})
	}
	return out, nil
}
