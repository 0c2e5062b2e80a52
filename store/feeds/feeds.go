// Package feeds keeps the ways in of other programs: feeds, their keys, what they were answered, which messages were
// taken, and where the fields of an order stand in them.
package feeds

import (
	"cmp"
	"time"

	"solander/fault"
	"solander/feed"
	"solander/order"
	"solander/store/engine"
	"solander/store/table"
	"solander/store/words"
)

// Feeds are other programs' ways in.
var Feeds = table.Make("feeds", "feed", func(f *feed.Feed) table.Columns {
	return table.Columns{
		"id", &f.ID, "name", &f.Name, "outlet", &f.Outlet, "scopes", table.JSON(&f.Scopes),
		"token_hash", &f.TokenHash, "mapping", table.Ref(&f.Mapping), "made_at", &f.Made,
		"used_at", &f.Used, "revoked_at", &f.Revoked, "buyers", &f.Buyers,
	}
})

// Secrets are the keys that feeds sign with.
var Secrets = table.Make("feed_secrets", "secret", func(s *feed.Secret) table.Columns {
	return table.Columns{"id", &s.ID, "feed", &s.Feed, "secret", &s.Secret, "made_at", &s.Made}
})

// Answers are what feeds were answered, by their keys.
var Answers = table.Make("feed_answers", "answer", func(a *feed.Answer) table.Columns {
	return table.Columns{
		"feed", &a.Feed, "key", &a.Key, "print", &a.Print, "answer", &a.Answer, "at", &a.At.Clock, "seq", &a.At.Seq, "age", &a.At.Age,
	}
})

// Messages are the signed messages that were taken.
var Messages = table.Make("feed_messages", "message", func(m *feed.Message) table.Columns {
	return table.Columns{"feed", &m.Feed, "print", &m.Print, "at", &m.At.Clock, "seq", &m.At.Seq, "age", &m.At.Age}
})

// Time is the time of the feeds: one row, made by the first to write.
var Time = table.Make("feed_time", "time", func(f *feed.Time) table.Columns {
	one := int64(1)
	return table.Columns{"id", &one, "seq", &f.Seq, "age", &f.Age, "last_at", &f.Clock}
})

// FeedRows are feeds with all that is theirs within one transaction.
type FeedRows struct{ conn *table.Conn }

// New are the feeds of a transaction.
func New(c *table.Conn) *FeedRows { return &FeedRows{c} }

func (t *FeedRows) Feeds() ([]feed.Feed, error) {
	out, err := Feeds.List(t.conn, "")
	words.ByName(out, func(x feed.Feed) (string, int64) { return x.Name, x.ID })
	return out, err
}

// Feed reads a feed.
func (t *FeedRows) Feed(id int64) (feed.Feed, error) { return Feeds.Get(t.conn, id) }

// SaveFeed adds a feed, or changes one. Faults: Taken when its name is in use; Missing.
func (t *FeedRows) SaveFeed(f feed.Feed) (int64, error) {
	taken := fault.New(fault.Taken, "there is a feed %q already", f.Name).ToMend("choose another name").In("name")
	f.Buyers = cmp.Or(f.Buyers, order.TakeSame)
	id, err := Feeds.SaveNamed(t.conn, f, "name", f.Name, taken)
	return id, engine.When(err, engine.Foreign, engine.Missing("outlet %d or mapping %d", f.Outlet, f.Mapping))
}

func (t *FeedRows) FeedUsed(id int64, at time.Time) error {
	return t.conn.Change("feed", id, `UPDATE feeds SET used_at = $2 WHERE id = $1`, id, at)
}

func (t *FeedRows) FeedSecrets(feedID int64) ([]feed.Secret, error) {
	return Secrets.List(t.conn, "WHERE feed = $1 ORDER BY id", feedID)
}

// AddFeedSecret adds a key. Faults: Missing.
func (t *FeedRows) AddFeedSecret(s feed.Secret) (int64, error) {
	id, err := Secrets.Add(t.conn, s)
	return id, engine.When(err, engine.Foreign, engine.Missing("feed %d", s.Feed))
}

// DropFeedSecret forgets a key. Faults: Missing.
func (t *FeedRows) DropFeedSecret(id int64) error { return Secrets.Drop(t.conn, id) }

// FeedAnswer returns what a feed was answered under a key. Faults: Missing.
func (t *FeedRows) FeedAnswer(feedID int64, key string) (feed.Answer, error) {
	out, err := Answers.List(t.conn, "WHERE feed = $1 AND key = $2", feedID, key)
	return table.Only(out, err, "an answer under this key")
}

// AddFeedAnswer keeps an answer. Faults: Taken when its key is kept already; Missing.
func (t *FeedRows) AddFeedAnswer(a feed.Answer) error {
	_, err := Answers.Insert(t.conn, a, "")
	return engine.When(engine.When(err, engine.Unique, fault.New(fault.Taken, "this key was used already").ToMend("use a fresh key for another request")),
		engine.Foreign, engine.Missing("feed %d", a.Feed))
}

func (t *FeedRows) AddFeedMessage(m feed.Message) error {
	taken := fault.New(fault.Taken, "this message was taken before").ToMend("sign it anew, with the time of now, if it is to be sent again")
	var one int64
	found, err := t.conn.One(`SELECT 1 FROM feed_messages WHERE feed = $1 AND print = $2`, []any{m.Feed, m.Print}, &one)
	switch {
	case err != nil:
		return err
	case found:
		return taken
	}
	_, err = Messages.Insert(t.conn, m, "")
	return engine.When(engine.When(err, engine.Unique, taken), engine.Foreign, engine.Missing("feed %d", m.Feed))
}

// FeedTime returns the time of the feeds; before anything was written, none.
func (t *FeedRows) FeedTime() (feed.Time, error) {
	out, err := Time.List(t.conn, "")
	if err != nil || len(out) == 0 {
		return feed.Time{}, err
	}
	return out[0], nil
}

// SaveFeedTime keeps the time of the feeds.
func (t *FeedRows) SaveFeedTime(f feed.Time) error {
	_, err := Time.Insert(t.conn, f, ` ON CONFLICT (id) DO UPDATE SET seq = excluded.seq, age = excluded.age, last_at = excluded.last_at`)
	return err
}

func (t *FeedRows) ForgetFeeds(before feed.Time) error {
	for _, table := range []string{"feed_answers", "feed_messages"} {
		if _, err := t.conn.Exec(`DELETE FROM `+table+` WHERE seq <= $1 AND age < $2`, before.Seq, int64(before.Age)); err != nil {
			return err
		}
	}
	return nil
}
