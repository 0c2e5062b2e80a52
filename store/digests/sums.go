package digests

import (
	"encoding/hex"
	"slices"

	"solander/sealog"
	"solander/store/engine"
	"solander/store/migrations"
	"solander/store/table"
	"solander/store/vouch"
)

// By is by what rows are vouched for.
type By struct {
	Key   *vouch.Key // nil = this program has none
	There bool       // its file lies where it belongs, whether it can be read or not
	Place bool       // it has a place
}

// summing are the sums within one transaction.
type summing struct {
	sums    *vouch.Sums // nil = not read, or they cannot be
	asked   bool
	changed bool
	key     string // of the key that the sums are said to be of; "" = there are none
	broken  bool   // they are said to be of the key that is here, and it does not open them
	marks   *vouch.Marks
	take    bool // at the end all rows are taken on as they stand
}

const sumsQuery = `SELECT of_key, body FROM row_sums WHERE id = 1`

// askSums is what readSums asks, for Conn.Ahead; nothing, when it was asked or nobody could read it.
func (t *DigestRows) askSums() []engine.Ask {
	if t.asked || t.by.Key == nil {
		return nil
	}
	return []engine.Ask{{Query: sumsQuery}}
}

// readSums reads the sums once.
func (t *DigestRows) readSums() error {
	if t.asked {
		return nil
	}
	t.asked = true
	var body string
	if _, err := t.conn.One(sumsQuery, nil, &t.key, &body); err != nil || t.by.Key == nil || t.key != t.by.Key.ID {
		return err
	}
	t.marks = t.by.Key.Marks()
	var err error
	t.sums, err = t.by.Key.Open(body)
	t.broken = err != nil
	return nil
}

// of is the mark of a row with a digest, and what it comes to.
func (t *DigestRows) of(k key, digest string) (string, vouch.Weight) {
	return t.marks.Of(k.part, k.k[0], k.k[1], k.k[2], digest)
}

// vouchFor gives rows with their new digests their marks, and carries the sums on from their digests as they were. A row whose digest somebody else made
// gets no mark: it stays named.
func (t *DigestRows) vouchFor(rows []row) error {
	if t.by.Key != nil {
		if err := t.readSums(); err != nil {
			return err
		}
	}
	for i := range rows {
		r := &rows[i]
		if r.mark = ""; t.sums == nil || t.take {
			if r.digest == r.was {
				r.mark = r.wasMark
			}
			continue
		}
		good := true
		if r.was != "" {
			mark, w := t.of(r.key, r.was)
			t.sums.Change(r.part, -1, vouch.Weight{}.Minus(w))
			good, t.changed = mark == r.wasMark, true
		}
		if r.digest != "" {
			mark, w := t.of(r.key, r.digest)
			t.sums.Change(r.part, 1, w)
			if t.changed = true; good {
				r.mark = mark
			}
		}
	}
	return nil
}

// TakeOn takes all rows on by a key as they stand at the end of this transaction; why "" says that there are none.
func (t *DigestRows) TakeOn(by *vouch.Key, why vouch.Why) {
	t.by.Key, t.asked, t.take, t.changed = by, true, true, true
	if t.sums = (&vouch.Sums{Tables: map[string]vouch.Sum{}, Why: why}); why != "" {
		t.sums.Since = t.conn.Now()
	}
}

// Taking reports whether all rows are taken on in this transaction.
func (t *DigestRows) Taking() bool { return t.take }

// keepSums writes the sums, when something was changed of which they are.
func (t *DigestRows) keepSums() error {
	if t.by.Key == nil {
		return nil
	}
	log, grown, err := t.head(t.take)
	if err != nil || !t.changed && !grown {
		return err
	}
	if err := t.readSums(); err != nil || t.sums == nil {
		return err
	}
	if t.take {
		if err := t.markAll(); err != nil {
			return err
		}
	}
	if grown || t.take {
		t.sums.Log, t.sums.Leaves, t.sums.Root = log.ID, log.Size, hex.EncodeToString(log.Root[:])
	}
	t.take, t.changed = false, false
	return t.conn.Soon(`INSERT INTO row_sums (id, of_key, body) VALUES (1, $1, $2) ON CONFLICT (id) DO UPDATE SET of_key = excluded.of_key, body = excluded.body`,
		t.by.Key.ID, t.by.Key.Seal(t.sums))
}

// markAll makes the mark of every row that has a digest, and the sums of all.
func (t *DigestRows) markAll() error {
	t.marks = t.by.Key.Marks()
	last := row{}
	for {
		some, err := Rows.List(t.conn, "WHERE (part, k1, k2, k3) > ($1, $2, $3, $4) ORDER BY part, k1, k2, k3 LIMIT 4096", last.part, last.k[0], last.k[1], last.k[2])
		if err != nil || len(some) == 0 {
			return err
		}
		last = some[len(some)-1]
		for i := range some {
			r := &some[i]
			r.wasMark, r.mark = r.mark, ""
			if r.digest != "" {
				var w vouch.Weight
				r.mark, w = t.of(r.key, r.digest)
				t.sums.Change(r.part, 1, w)
			}
		}
		some = slices.DeleteFunc(some, func(r row) bool { return r.mark == r.wasMark })
		if err := Rows.InsertSoon(t.conn, some, " ON CONFLICT (part, k1, k2, k3) DO UPDATE SET mark = excluded.mark"); err != nil {
			return err
		}
	}
}

// onPurpose is what is said of what she may have done herself.
const onPurpose = ". If it is as it should be, take the rows on as they stand: solander register vouch"

// verifySums compares the marks of all digests, and the sums of each table, with what the key makes of them.
func (t *DigestRows) verifySums(all []row, tell func(string, ...any)) error {
	if err := t.readSums(); err != nil {
		return err
	}
	switch {
	case t.key == "":
		sealed, err := t.sealedBy()
		if err != nil {
			return err
		}
		if t.by.There || sealed != "" && t.by.Place {
			tell("the sums by which rows are vouched for are gone: nothing can be said of rows that were changed together with their digests" + onPurpose)
		}
		return nil
	case t.by.Key == nil:
		return nil // see Vouched
	case t.sums == nil && t.broken:
		tell("the sums by which rows are vouched for were changed by other means than this program")
		return nil
	case t.sums == nil:
		tell("rows are vouched for by another key than the one that lies here: this is the database of another studio or place, or somebody put sums of their own there" + onPurpose)
		return nil
	}
	now := map[string]vouch.Sum{}
	for _, r := range all {
		if r.digest == "" {
			continue
		}
		mark, w := t.of(r.key, r.digest)
		sum := now[r.part]
		now[r.part] = vouch.Sum{Rows: sum.Rows + 1, Weight: sum.Weight.Plus(w)}
		switch {
		case r.mark == "":
			tell("%s was written without the key that vouches for rows: by a program that had it not, or by other means"+onPurpose, r.key)
		case r.mark != mark:
			tell("%s was added or changed by other means than this program, and its digest made anew", r.key)
		}
	}
	for _, g := range migrations.GuardedTables {
		switch was, is := t.sums.Tables[g.Table], now[g.Table]; {
		case was.Rows != is.Rows:
			tell("%s: %d rows have digests, and this program left %d: some were added or taken out by other means, together with their digests", g.Table, is.Rows, was.Rows)
		case was != is:
			tell("%s: its %d rows are not all as this program left them: one was changed, or put back as it once was, together with its digest", g.Table, is.Rows)
		}
	}
	return t.verifyHead(tell)
}

// verifyHead compares the end of the log with the one that this program left.
func (t *DigestRows) verifyHead(tell func(string, ...any)) error {
	if t.sums.Leaves == 0 {
		return nil
	}
	var root string
	var last, first, more int64
	_, err := t.conn.One(`SELECT coalesce((SELECT first FROM logs WHERE id = $1), 0), coalesce((SELECT max(id) FROM leaves), 0), (SELECT count(*) FROM logs WHERE id > $1)`,
		[]any{t.sums.Log}, &first, &last, &more)
	if err == nil {
		_, err = t.conn.One(`SELECT root FROM leaves WHERE id = $1`, []any{first + t.sums.Leaves - 1}, &root)
	}
	if err == nil && (more > 0 || last != first+t.sums.Leaves-1 || root != t.sums.Root) {
		tell("the log of the register does not end where this program left it: leaves were added, changed or taken out by other means since it was signed last")
	}
	return err
}

// sealedBy is the key that the latest seal of a day names; "" = none.
func (t *DigestRows) sealedBy() (string, error) {
	body, there, err := t.latestSeal()
	if err != nil || !there {
		return "", err
	}
	l, _ := sealog.Parse(body) // one that was bent names none, and is told elsewhere
	return l.Get("key"), nil
}

// latestSeal is the leaf of the latest seal of the rows.
func (t *DigestRows) latestSeal() (body string, there bool, err error) {
	there, err = t.conn.One(`SELECT body FROM leaves WHERE kind = 'rows' ORDER BY id DESC LIMIT 1`, nil, &body)
	return body, there, err
}

// ByWhom says by which key rows are said to be vouched for, "" = by none; whether the latest seal names one; and whether there is no digest yet.
func (t *DigestRows) ByWhom() (key string, sealed, none bool, err error) {
	if err = t.readSums(); err != nil {
		return "", false, false, err
	}
	some, err := t.conn.One(`SELECT 1 FROM row_digests LIMIT 1`, nil, new(int64))
	if err != nil {
		return "", false, false, err
	}
	of, err := t.sealedBy()
	return t.key, of != "", !some, err
}

// Vouched says how rows are vouched for, but for where the key lies; see studio.Store.
func (t *DigestRows) Vouched() (sealog.Vouched, error) {
	err := t.readSums()
	out := sealog.Vouched{Key: t.key, Held: t.sums != nil}
	if t.sums != nil {
		out.Since, out.Why = t.sums.Since, string(t.sums.Why)
	}
	return out, err
}

// misformed tells of tables of which the digests are said to be made by other columns than they have.
func (t *DigestRows) misformed(tell func(string, ...any)) error {
	for _, g := range migrations.GuardedTables {
		now, err := table.Values[string](t.conn, t.conn.Dialect.Columns, g.Table)
		if err != nil {
			return err
		}
		if was := t.forms[g.Table]; was != "" && was != g.Digested(now) {
			tell("%s: its digests are said to be made by other columns than it has", g.Table)
		}
	}
	return nil
}
