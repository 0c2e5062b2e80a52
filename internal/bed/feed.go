package bed

import (
	"solander/book"
	"solander/feed"
	"solander/feeds"
	"solander/order"
)

func (b *Bed) Feed(name string, scopes ...feed.Scope) feeds.NewFeed {
	b.Helper()
	f, err := feeds.AddFeed(b.Ctx, b.Studio, feed.Feed{Name: name, Outlet: b.Own.ID, Scopes: scopes})
	if err != nil {
		b.Fatal(err)
	}
	return f
}

// FedSale is a sale as a feed sends it.
func (b *Bed) FedSale(ref string) book.Sale {
	return book.Sale{Ref: ref, Buyer: order.Buyer{Name: "Ada Quill"}, ShipTo: Home(), Lines: []book.SaleLine{{Edition: b.Heron.ID}}}
}

func MarkOf(v feeds.FeedOrder) (string, error) { return v.Mark, nil }
