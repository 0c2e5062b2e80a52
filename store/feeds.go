package store

import (
	"cmp"
	"database/sql"
	"slices"
	"time"

	"solander/fault"
	"solander/order"
	"solander/studio"
)

const (
	feedColumns    = "id, name, outlet, scopes, token_hash, mapping, made_at, used_at, revoked_at, buyers"
	secretColumns  = "id, feed, secret, made_at"
	answerColumns  = "feed, key, print, answer, at, seq, age"
	messageColumns = "feed, print, at, seq, age"
	timeColumns    = "id, seq, age, last_at"
)

func feedValues(f studio.Feed) ([]any, error) {
	scopes, err := asJSON(f.Scopes)
	return []any{f.ID, f.Name, f.Outlet, scopes, f.TokenHash, optional(f.Mapping), f.Made, f.Used, f.Revoked, cmp.Or(f.Buyers, order.TakeSame)}, err
}

func scanFeed(rows *sql.Rows) (f studio.Feed, err error) {
	err = rows.Scan(&f.ID, &f.Name, &f.Outlet, inJSON{&f.Scopes}, &f.TokenHash, reference{&f.Mapping}, instant{&f.Made}, instant{&f.Used}, instant{&f.Revoked}, &f.Buyers)
	return f, err
}

func (t *tx) Feeds() ([]studio.Feed, error) {
	out, err := list(t, scanFeed, selectFrom("feeds", feedColumns, ""))
	slices.SortFunc(out, func(a, b studio.Feed) int { return cmp.Or(byText(a.Name, b.Name), cmp.Compare(a.ID, b.ID)) })
	return out, err
}

func (t *tx) Feed(id int64) (studio.Feed, error) {
	out, err := list(t, scanFeed, selectFrom("feeds", feedColumns, "WHERE id = $1"), id)
	return only(out, err, "feed %d", id)
}

func (t *tx) SaveFeed(f studio.Feed) (int64, error) {
	taken := fault.New(fault.Taken, "there is a feed %q already", f.Name).ToMend("choose another name").In("name")
	if err := t.nameFree("feeds", f.Name, f.ID, taken); err != nil {
		return 0, err
	}
	home := missing("outlet %d or mapping %d", f.Outlet, f.Mapping)
	add := f.ID == 0
	if add {
		id, err := t.next("feeds")
		if err != nil {
			return 0, err
		}
		f.ID = id
	}
	values, err := feedValues(f)
	switch {
	case err != nil:
	case add:
		_, err = t.exec(insertInto("feeds", feedColumns), values...)
	default:
		err = t.change("feed", f.ID, updateOf("feeds", feedColumns), values...)
	}
	return f.ID, when(when(err, unique, taken), foreign, home)
}

// nameFree asks first, for a good message; the unique index has the last word.
func (t *tx) nameFree(table, name string, id int64, taken *fault.Error) error {
	var holder int64
	found, err := t.one("SELECT id FROM "+table+" WHERE name = $1", []any{name}, &holder)
	if err == nil && found && holder != id {
		return taken
	}
	return err
}

func (t *tx) FeedUsed(id int64, at time.Time) error {
	return t.change("feed", id, `UPDATE feeds SET used_at = $2 WHERE id = $1`, id, at)
}

func (t *tx) FeedSecrets(feed int64) ([]studio.FeedSecret, error) {
	return list(t, func(rows *sql.Rows) (s studio.FeedSecret, err error) {
		err = rows.Scan(&s.ID, &s.Feed, &s.Secret, instant{&s.Made})
		return s, err
	}, selectFrom("feed_secrets", secretColumns, "WHERE feed = $1 ORDER BY id"), feed)
}

func (t *tx) AddFeedSecret(s studio.FeedSecret) (int64, error) {
	var err error
	if s.ID, err = t.next("feed_secrets"); err != nil {
		return 0, err
	}
	_, err = t.exec(insertInto("feed_secrets", secretColumns), s.ID, s.Feed, s.Secret, s.Made)
	return s.ID, when(err, foreign, missing("feed %d", s.Feed))
}

func (t *tx) DropFeedSecret(id int64) error {
	return t.change("secret", id, `DELETE FROM feed_secrets WHERE id = $1`, id)
}

func (t *tx) FeedAnswer(feed int64, key string) (studio.FeedAnswer, error) {
	out, err := list(t, func(rows *sql.Rows) (a studio.FeedAnswer, err error) {
		err = rows.Scan(&a.Feed, &a.Key, &a.Print, &a.Answer, instant{&a.At.Clock}, &a.At.Seq, &a.At.Age)
		return a, err
	}, selectFrom("feed_answers", answerColumns, "WHERE feed = $1 AND key = $2"), feed, key)
	return only(out, err, "an answer under this key")
}

func (t *tx) AddFeedAnswer(a studio.FeedAnswer) error {
	_, err := t.exec(insertInto("feed_answers", answerColumns), a.Feed, a.Key, a.Print, a.Answer, a.At.Clock, a.At.Seq, int64(a.At.Age))
	return when(when(err, unique, fault.New(fault.Taken, "this key was used already").ToMend("use a fresh key for another request")),
		foreign, missing("feed %d", a.Feed))
}

func (t *tx) AddFeedMessage(m studio.FeedMessage) error {
	taken := fault.New(fault.Taken, "this message was taken before").ToMend("sign it anew, with the time of now, if it is to be sent again")
	var one int64
	found, err := t.one(`SELECT 1 FROM feed_messages WHERE feed = $1 AND print = $2`, []any{m.Feed, m.Print}, &one)
	switch {
	case err != nil:
		return err
	case found:
		return taken
	}
	_, err = t.exec(insertInto("feed_messages", messageColumns), m.Feed, m.Print, m.At.Clock, m.At.Seq, int64(m.At.Age))
	return when(when(err, unique, taken), foreign, missing("feed %d", m.Feed))
}

// The time of the feeds is one row, made by the first to write.
func (t *tx) FeedTime() (studio.FeedTime, error) {
	out, err := list(t, func(rows *sql.Rows) (f studio.FeedTime, err error) {
		err = rows.Scan(&f.Seq, &f.Age, instant{&f.Clock})
		return f, err
	}, selectFrom("feed_time", "seq, age, last_at", ""))
	if err != nil || len(out) == 0 {
		return studio.FeedTime{}, err
	}
	return out[0], nil
}

func (t *tx) SaveFeedTime(f studio.FeedTime) error {
	_, err := t.exec(insertInto("feed_time", timeColumns)+` ON CONFLICT (id) DO UPDATE SET seq = excluded.seq, age = excluded.age, last_at = excluded.last_at`,
		1, f.Seq, int64(f.Age), f.Clock)
	return err
}

func (t *tx) ForgetFeeds(before studio.FeedTime) error {
	for _, table := range []string{"feed_answers", "feed_messages"} {
		if _, err := t.exec(`DELETE FROM `+table+` WHERE seq <= $1 AND age < $2`, before.Seq, int64(before.Age)); err != nil {
			return err
		}
	}
	return nil
}
