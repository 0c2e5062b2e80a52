package bed

import (
	"encoding/json"
	"time"

	"solander/feed"
	"solander/studio"
)

// At is an instant to the microsecond.
var At = time.Date(2031, 3, 4, 10, 11, 12, 345678000, time.UTC)

// FedAt is the feeds' time of what Feeds adds.
var FedAt = feed.Time{Seq: 7, Age: 90 * time.Second, Clock: At}

// Feeds adds a mapping, a feed that uses it, a secret, an answer and a message.
func Feeds(tx studio.Tx, h House) (feedID int64, err error) {
	m, err := tx.SaveHookMapping(feed.Mapping{Name: "till", Body: json.RawMessage(`{"b": 1,  "a": 2}`)})
	if err != nil {
		return 0, err
	}
	feedID, err = tx.SaveFeed(feed.Feed{
		Name: "till", Outlet: h.Outlet, Scopes: []feed.Scope{feed.HooksWrite, feed.OrdersRead}, TokenHash: "00ff", Mapping: m, Made: At, Used: At.Add(time.Second),
	})
	if err != nil {
		return 0, err
	}
	if _, err := tx.AddFeedSecret(feed.Secret{Feed: feedID, Secret: "a secret of ours", Made: At}); err != nil {
		return 0, err
	}
	if err := tx.AddFeedAnswer(feed.Answer{Feed: feedID, Key: "k", Print: "p", Answer: `{"ref": "A"}`, At: FedAt}); err != nil {
		return 0, err
	}
	return feedID, tx.AddFeedMessage(feed.Message{Feed: feedID, Print: "m", At: FedAt})
}
