package storetest

import (
	"encoding/json"
	"testing"
	"time"

	"solander/fault"
	"solander/feed"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

func feedsKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	var id int64
	bed.Write(t, s, func(tx studio.Tx) (err error) { id, err = bed.Feeds(tx, h); return err })
	want := feed.Feed{
		ID: id, Name: "till", Outlet: h.Outlet, Scopes: []feed.Scope{feed.HooksWrite, feed.OrdersRead}, TokenHash: "00ff", Mapping: 1, Made: bed.At, Used: bed.At.Add(time.Second),
		Buyers: order.TakeSame, // when nothing else was said
	}
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Feed(id)
		bed.Same(t, "a feed", want, got)
		return err
	})
	want.Name, want.Scopes, want.Mapping, want.Revoked, want.Buyers = "Étal", []feed.Scope{feed.OrdersRead}, 0, bed.At.Add(time.Hour), order.ProposeSame
	bed.Write(t, s, func(tx studio.Tx) error { _, err := tx.SaveFeed(want); return err })
	bed.Write(t, s, func(tx studio.Tx) error {
		_, err := tx.SaveFeed(feed.Feed{Name: "zoo", Outlet: h.Outlet, Scopes: []feed.Scope{}})
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.FeedUsed(id, bed.At.Add(time.Minute)) })
	want.Used = bed.At.Add(time.Minute)
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Feeds()
		bed.Same(t, "feeds by name", []feed.Feed{want, {ID: 2, Name: "zoo", Outlet: h.Outlet, Scopes: []feed.Scope{}, Buyers: order.TakeSame}}, all)
		return err
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := tx.SaveFeed(feed.Feed{Name: "zoo", Outlet: h.Outlet})
		return err
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := tx.SaveFeed(feed.Feed{ID: id, Name: "zoo", Outlet: h.Outlet})
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.SaveFeed(feed.Feed{Name: "x", Outlet: 99}); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.SaveFeed(feed.Feed{ID: 99, Name: "x", Outlet: h.Outlet})
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.FeedUsed(99, bed.At) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Feed(99); return err })
}

func secretsKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	var feedID, second int64
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		if feedID, err = bed.Feeds(tx, h); err != nil {
			return err
		}
		second, err = tx.AddFeedSecret(feed.Secret{Feed: feedID, Secret: "another secret", Made: bed.At.Add(time.Hour)})
		return err
	})
	secrets := func() (got []feed.Secret) {
		bed.Read(t, s, func(tx studio.Tx) (err error) { got, err = tx.FeedSecrets(feedID); return err })
		return got
	}
	bed.Same(t, "secrets, oldest first", []feed.Secret{{ID: 1, Feed: feedID, Secret: "a secret of ours", Made: bed.At}, {ID: second, Feed: feedID, Secret: "another secret", Made: bed.At.Add(time.Hour)}}, secrets())
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropFeedSecret(1) })
	bed.Same(t, "one is left", second, secrets()[0].ID)
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.DropFeedSecret(1) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.AddFeedSecret(feed.Secret{Feed: 99, Secret: "x", Made: bed.At})
		return err
	})
}

func answersOnce(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	var feedID int64
	bed.Write(t, s, func(tx studio.Tx) (err error) { feedID, err = bed.Feeds(tx, h); return err })
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.FeedAnswer(feedID, "k")
		bed.Same(t, "an answer, byte for byte", feed.Answer{Feed: feedID, Key: "k", Print: "p", Answer: `{"ref": "A"}`, At: bed.FedAt}, got)
		return err
	})
	later := feed.Time{Seq: 8, Age: time.Hour, Clock: bed.At.Add(-time.Hour)} // the clock says what it likes
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { return tx.AddFeedAnswer(feed.Answer{Feed: feedID, Key: "k", At: later}) })
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		return tx.AddFeedMessage(feed.Message{Feed: feedID, Print: "m", At: later})
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		return tx.AddFeedMessage(feed.Message{Feed: 99, Print: "m", At: later})
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.AddFeedAnswer(feed.Answer{Feed: 99, Key: "k", At: later}) })
	bed.Write(t, s, func(tx studio.Tx) error { // keys differ by capitals, and by feed
		two, err := tx.SaveFeed(feed.Feed{Name: "two", Outlet: h.Outlet, Scopes: []feed.Scope{}})
		if err != nil {
			return err
		}
		if err := tx.AddFeedMessage(feed.Message{Feed: two, Print: "m", At: later}); err != nil {
			return err
		}
		if err := tx.AddFeedAnswer(feed.Answer{Feed: two, Key: "k", At: later}); err != nil {
			return err
		}
		return tx.AddFeedAnswer(feed.Answer{Feed: feedID, Key: "K", At: later})
	})
	for name, before := range map[string]feed.Time{
		"not old": {Seq: 8, Age: bed.FedAt.Age}, "not many since": {Seq: bed.FedAt.Seq - 1, Age: 1000 * time.Hour}, "none yet": {Seq: -993, Age: -47 * time.Hour},
	} {
		bed.Write(t, s, func(tx studio.Tx) error { return tx.ForgetFeeds(before) })
		bed.Read(t, s, func(tx studio.Tx) error {
			if _, err := tx.FeedAnswer(feedID, "k"); err != nil {
				t.Errorf("%s: %v", name, err)
			}
			return nil
		})
	}
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		return tx.AddFeedMessage(feed.Message{Feed: feedID, Print: "m", At: later})
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		return tx.ForgetFeeds(feed.Time{Seq: bed.FedAt.Seq, Age: bed.FedAt.Age + 1, Clock: bed.At.Add(-time.Hour)})
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.FeedAnswer(feedID, "k"); return err })
	bed.Write(t, s, func(tx studio.Tx) error {
		return tx.AddFeedMessage(feed.Message{Feed: feedID, Print: "m", At: later})
	})
	bed.Read(t, s, func(tx studio.Tx) error { _, err := tx.FeedAnswer(feedID, "K"); return err })
}

func feedTimeKept(t *testing.T, s studio.Store) {
	for _, want := range []feed.Time{{}, bed.FedAt, {Seq: 8, Age: 100 * 365 * 24 * time.Hour, Clock: bed.At.Add(-time.Hour)}} {
		if want.Seq > 0 {
			bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveFeedTime(want) })
		}
		bed.Read(t, s, func(tx studio.Tx) error {
			got, err := tx.FeedTime()
			bed.Same(t, "the feeds' time", want, got)
			return err
		})
	}
}

// An answer and what it is about are kept together or not at all.
func answerWithItsWrite(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	var feedID int64
	bed.Write(t, s, func(tx studio.Tx) (err error) { feedID, err = bed.Feeds(tx, h); return err })
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error {
		if _, err := tx.AddOrder(order.Order{Outlet: h.Outlet, Ref: "A-9", Buyer: h.Buyer, State: order.Open}); err != nil {
			return err
		}
		if err := tx.AddFeedAnswer(feed.Answer{Feed: feedID, Key: "late", At: bed.FedAt}); err != nil {
			return err
		}
		return fault.New(fault.Refused, "the machine fails here")
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.FeedAnswer(feedID, "late"); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.OrderByRef(h.Outlet, "A-9"); return err })
}

func hookMappingsKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	bed.Write(t, s, func(tx studio.Tx) error { _, err := bed.Feeds(tx, h); return err })
	bed.Write(t, s, func(tx studio.Tx) error {
		_, err := tx.SaveHookMapping(feed.Mapping{Name: "Éclair", Body: json.RawMessage(`{}`)})
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		_, err := tx.SaveHookMapping(feed.Mapping{ID: 1, Name: "fair", Body: json.RawMessage(`[ ]`)})
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.HookMappings()
		bed.Same(t, "mappings by name", []feed.Mapping{{ID: 2, Name: "Éclair", Body: json.RawMessage(`{}`)}, {ID: 1, Name: "fair", Body: json.RawMessage(`[ ]`)}}, all)
		return err
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := tx.SaveHookMapping(feed.Mapping{Name: "fair", Body: json.RawMessage(`{}`)})
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.SaveHookMapping(feed.Mapping{ID: 99, Name: "x", Body: json.RawMessage(`{}`)})
		return err
	})
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error { return tx.DropHookMapping(1) }) // a feed reads by it
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropHookMapping(2) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.DropHookMapping(2) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.HookMapping(2); return err })
}
