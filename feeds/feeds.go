// Package feeds lets other programs write for one outlet each.
package feeds

import (
	"solander/edition"
	"solander/exchange"
	"solander/feed"
	"solander/order"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	feed.Store
	Buyer(id int64) (order.Buyer, error)
	BuyerOrders(buyer int64) ([]int64, error)
	CameOf(orders ...int64) ([]exchange.Came, error)
	Editions() ([]edition.Edition, error)
	Mark(id int64) (studio.Mark, error)
	Order(id int64) (order.Order, error)
	Parcel(id int64) (studio.Parcel, error)
	OrderByRef(outlet int64, ref string) (order.Order, error)
	Parcels(orderID int64) ([]studio.Parcel, error)
	SaveOrder(order.Order) error
	Sold(ed int64) (int, error)
	Unsold(ed int64) (int, error)
	Writings(person int64) ([]order.Buyer, error)
}

// Gate is one transaction as this room sees it.
type Gate struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Gate { return &Gate{t, t.Tx} }

var write, read = studio.Doors(In)

// feedTime is the time of this write; the first to ask moves it on and forgets what is too old.
func (t *Gate) feedTime() (feed.Time, error) {
	if t.Fed.Seq > 0 {
		return t.Fed, nil
	}
	was, err := t.Store.FeedTime()
	if err != nil {
		return feed.Time{}, err
	}
	t.Fed = was.Next(t.Now)
	if err := t.SaveFeedTime(t.Fed); err != nil {
		return feed.Time{}, err
	}
	return t.Fed, t.ForgetFeeds(t.Fed.Forgotten())
}
