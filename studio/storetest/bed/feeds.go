package bed

import (
	"encoding/json"
	"time"

	"solander/studio"
)

// At is an instant to the microsecond.
var At = time.Date(2031, 3, 4, 10, 11, 12, 345678000, time.UTC)

// FedAt is the feeds' time of what Feeds adds.
var FedAt = studio.FeedTime{Seq: 7, Age: 90 * time.Second, Clock: At}

// Feeds adds a mapping, a feed that uses it, a secret, an answer and a message.
func Feeds(tx studio.Tx, h House) (feed int64, err error) {
	m, err := tx.SaveHookMapping(studio.HookMapping{Name: "till", Body: json.RawMessage(`{"b": 1,  "a": 2}`)})
	if err != nil {
		return 0, err
	}
	feed, err = tx.SaveFeed(studio.Feed{
		Name: "till", Outlet: h.Outlet, Scopes: []studio.Scope{studio.ScopeHooksWrite, studio.ScopeOrdersRead}, TokenHash: "00ff", Mapping: m, Made: At, Used: At.Add(time.Second),
	})
	if err != nil {
		return 0, err
	}
	if _, err := tx.AddFeedSecret(studio.FeedSecret{Feed: feed, Secret: "a secret of ours", Made: At}); err != nil {
		return 0, err
	}
	if err := tx.AddFeedAnswer(studio.FeedAnswer{Feed: feed, Key: "k", Print: "p", Answer: `{"ref": "A"}`, At: FedAt}); err != nil {
		return 0, err
	}
	return feed, tx.AddFeedMessage(studio.FeedMessage{Feed: feed, Print: "m", At: FedAt})
}
