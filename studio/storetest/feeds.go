package storetest

import (
	"encoding/json"
	"testing"
	"time"

	"solander/fault"
	"solander/order"
	"solander/studio"
)

var at = time.Date(2031, 3, 4, 10, 11, 12, 345678000, time.UTC)

// fedAt is the feeds' time of what feeds adds.
var fedAt = studio.FeedTime{Seq: 7, Age: 90 * time.Second, Clock: at}

// feeds adds a mapping, a feed that uses it, a secret, an answer and a message.
func feeds(tx studio.Tx, h House) (feed int64, err error) {
	m, err := tx.SaveHookMapping(studio.HookMapping{Name: "till", Body: json.RawMessage(`{"b": 1,  "a": 2}`)})
	if err != nil {
		return 0, err
	}
	feed, err = tx.SaveFeed(studio.Feed{
		Name: "till", Outlet: h.Outlet, Scopes: []studio.Scope{studio.ScopeHooksWrite, studio.ScopeOrdersRead}, TokenHash: "00ff", Mapping: m, Made: at, Used: at.Add(time.Second),
	})
	if err != nil {
		return 0, err
	}
	if _, err := tx.AddFeedSecret(studio.FeedSecret{Feed: feed, Secret: "a secret of ours", Made: at}); err != nil {
		return 0, err
	}
	if err := tx.AddFeedAnswer(studio.FeedAnswer{Feed: feed, Key: "k", Print: "p", Answer: `{"ref": "A"}`, At: fedAt}); err != nil {
		return 0, err
	}
	return feed, tx.AddFeedMessage(studio.FeedMessage{Feed: feed, Print: "m", At: fedAt})
}

func feedsKept(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	var id int64
	write(t, s, func(tx studio.Tx) (err error) { id, err = feeds(tx, h); return err })
	want := studio.Feed{
		ID: id, Name: "till", Outlet: h.Outlet, Scopes: []studio.Scope{studio.ScopeHooksWrite, studio.ScopeOrdersRead}, TokenHash: "00ff", Mapping: 1, Made: at, Used: at.Add(time.Second),
		Buyers: order.TakeSame, // when nothing else was said
	}
	read(t, s, func(tx studio.Tx) error {
		got, err := tx.Feed(id)
		same(t, "a feed", want, got)
		return err
	})
	want.Name, want.Scopes, want.Mapping, want.Revoked, want.Buyers = "Étal", []studio.Scope{studio.ScopeOrdersRead}, 0, at.Add(time.Hour), order.ProposeSame
	write(t, s, func(tx studio.Tx) error { _, err := tx.SaveFeed(want); return err })
	write(t, s, func(tx studio.Tx) error {
		_, err := tx.SaveFeed(studio.Feed{Name: "zoo", Outlet: h.Outlet, Scopes: []studio.Scope{}})
		return err
	})
	write(t, s, func(tx studio.Tx) error { return tx.FeedUsed(id, at.Add(time.Minute)) })
	want.Used = at.Add(time.Minute)
	read(t, s, func(tx studio.Tx) error {
		all, err := tx.Feeds()
		same(t, "feeds by name", []studio.Feed{want, {ID: 2, Name: "zoo", Outlet: h.Outlet, Scopes: []studio.Scope{}, Buyers: order.TakeSame}}, all)
		return err
	})
	refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := tx.SaveFeed(studio.Feed{Name: "zoo", Outlet: h.Outlet})
		return err
	})
	refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := tx.SaveFeed(studio.Feed{ID: id, Name: "zoo", Outlet: h.Outlet})
		return err
	})
	refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.SaveFeed(studio.Feed{Name: "x", Outlet: 99}); return err })
	refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.SaveFeed(studio.Feed{ID: 99, Name: "x", Outlet: h.Outlet})
		return err
	})
	refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.FeedUsed(99, at) })
	refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Feed(99); return err })
}

func secretsKept(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	var feed, second int64
	write(t, s, func(tx studio.Tx) (err error) {
		if feed, err = feeds(tx, h); err != nil {
			return err
		}
		second, err = tx.AddFeedSecret(studio.FeedSecret{Feed: feed, Secret: "another secret", Made: at.Add(time.Hour)})
		return err
	})
	secrets := func() (got []studio.FeedSecret) {
		read(t, s, func(tx studio.Tx) (err error) { got, err = tx.FeedSecrets(feed); return err })
		return got
	}
	same(t, "secrets, oldest first", []studio.FeedSecret{{ID: 1, Feed: feed, Secret: "a secret of ours", Made: at}, {ID: second, Feed: feed, Secret: "another secret", Made: at.Add(time.Hour)}}, secrets())
	write(t, s, func(tx studio.Tx) error { return tx.DropFeedSecret(1) })
	same(t, "one is left", second, secrets()[0].ID)
	refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.DropFeedSecret(1) })
	refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.AddFeedSecret(studio.FeedSecret{Feed: 99, Secret: "x", Made: at})
		return err
	})
}

func answersOnce(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	var feed int64
	write(t, s, func(tx studio.Tx) (err error) { feed, err = feeds(tx, h); return err })
	read(t, s, func(tx studio.Tx) error {
		got, err := tx.FeedAnswer(feed, "k")
		same(t, "an answer, byte for byte", studio.FeedAnswer{Feed: feed, Key: "k", Print: "p", Answer: `{"ref": "A"}`, At: fedAt}, got)
		return err
	})
	later := studio.FeedTime{Seq: 8, Age: time.Hour, Clock: at.Add(-time.Hour)} // the clock says what it likes
	refused(t, s, fault.Taken, func(tx studio.Tx) error { return tx.AddFeedAnswer(studio.FeedAnswer{Feed: feed, Key: "k", At: later}) })
	refused(t, s, fault.Taken, func(tx studio.Tx) error {
		return tx.AddFeedMessage(studio.FeedMessage{Feed: feed, Print: "m", At: later})
	})
	refused(t, s, fault.Missing, func(tx studio.Tx) error {
		return tx.AddFeedMessage(studio.FeedMessage{Feed: 99, Print: "m", At: later})
	})
	refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.AddFeedAnswer(studio.FeedAnswer{Feed: 99, Key: "k", At: later}) })
	write(t, s, func(tx studio.Tx) error { // keys differ by capitals, and by feed
		two, err := tx.SaveFeed(studio.Feed{Name: "two", Outlet: h.Outlet, Scopes: []studio.Scope{}})
		if err != nil {
			return err
		}
		if err := tx.AddFeedMessage(studio.FeedMessage{Feed: two, Print: "m", At: later}); err != nil {
			return err
		}
		if err := tx.AddFeedAnswer(studio.FeedAnswer{Feed: two, Key: "k", At: later}); err != nil {
			return err
		}
		return tx.AddFeedAnswer(studio.FeedAnswer{Feed: feed, Key: "K", At: later})
	})
	for name, before := range map[string]studio.FeedTime{
		"not old": {Seq: 8, Age: fedAt.Age}, "not many since": {Seq: fedAt.Seq - 1, Age: 1000 * time.Hour}, "none yet": {Seq: -993, Age: -47 * time.Hour},
	} {
		write(t, s, func(tx studio.Tx) error { return tx.ForgetFeeds(before) })
		read(t, s, func(tx studio.Tx) error {
			if _, err := tx.FeedAnswer(feed, "k"); err != nil {
				t.Errorf("%s: %v", name, err)
			}
			return nil
		})
	}
	refused(t, s, fault.Taken, func(tx studio.Tx) error {
		return tx.AddFeedMessage(studio.FeedMessage{Feed: feed, Print: "m", At: later})
	})
	write(t, s, func(tx studio.Tx) error {
		return tx.ForgetFeeds(studio.FeedTime{Seq: fedAt.Seq, Age: fedAt.Age + 1, Clock: at.Add(-time.Hour)})
	})
	refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.FeedAnswer(feed, "k"); return err })
	write(t, s, func(tx studio.Tx) error {
		return tx.AddFeedMessage(studio.FeedMessage{Feed: feed, Print: "m", At: later})
	})
	read(t, s, func(tx studio.Tx) error { _, err := tx.FeedAnswer(feed, "K"); return err })
}

func feedTimeKept(t *testing.T, s studio.Store) {
	for _, want := range []studio.FeedTime{{}, fedAt, {Seq: 8, Age: 100 * 365 * 24 * time.Hour, Clock: at.Add(-time.Hour)}} {
		if want.Seq > 0 {
			write(t, s, func(tx studio.Tx) error { return tx.SaveFeedTime(want) })
		}
		read(t, s, func(tx studio.Tx) error {
			got, err := tx.FeedTime()
			same(t, "the feeds' time", want, got)
			return err
		})
	}
}

// An answer and what it is about are kept together or not at all.
func answerWithItsWrite(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	var feed int64
	write(t, s, func(tx studio.Tx) (err error) { feed, err = feeds(tx, h); return err })
	refused(t, s, fault.Refused, func(tx studio.Tx) error {
		if _, err := tx.AddOrder(order.Order{Outlet: h.Outlet, Ref: "A-9", Buyer: h.Buyer, State: order.Open}); err != nil {
			return err
		}
		if err := tx.AddFeedAnswer(studio.FeedAnswer{Feed: feed, Key: "late", At: fedAt}); err != nil {
			return err
		}
		return fault.New(fault.Refused, "the machine fails here")
	})
	refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.FeedAnswer(feed, "late"); return err })
	refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.OrderByRef(h.Outlet, "A-9"); return err })
}

func hookMappingsKept(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	write(t, s, func(tx studio.Tx) error { _, err := feeds(tx, h); return err })
	write(t, s, func(tx studio.Tx) error {
		_, err := tx.SaveHookMapping(studio.HookMapping{Name: "Éclair", Body: json.RawMessage(`{}`)})
		return err
	})
	write(t, s, func(tx studio.Tx) error {
		_, err := tx.SaveHookMapping(studio.HookMapping{ID: 1, Name: "fair", Body: json.RawMessage(`[ ]`)})
		return err
	})
	read(t, s, func(tx studio.Tx) error {
		all, err := tx.HookMappings()
		same(t, "mappings by name", []studio.HookMapping{{ID: 2, Name: "Éclair", Body: json.RawMessage(`{}`)}, {ID: 1, Name: "fair", Body: json.RawMessage(`[ ]`)}}, all)
		return err
	})
	refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := tx.SaveHookMapping(studio.HookMapping{Name: "fair", Body: json.RawMessage(`{}`)})
		return err
	})
	refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.SaveHookMapping(studio.HookMapping{ID: 99, Name: "x", Body: json.RawMessage(`{}`)})
		return err
	})
	refused(t, s, fault.Refused, func(tx studio.Tx) error { return tx.DropHookMapping(1) }) // a feed reads by it
	write(t, s, func(tx studio.Tx) error { return tx.DropHookMapping(2) })
	refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.DropHookMapping(2) })
	refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.HookMapping(2); return err })
}
