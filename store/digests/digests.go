// Package digests keeps a digest of every row on which money or ownership rests, so that a row that was changed, added or taken out by other
// means than this program is found and named. Triggers note which rows a transaction touched; at its end their digests are made anew of what
// stands in them then, cell by cell as it is kept: what is in cipher is digested in cipher. Of what is only ever added, and much at a time, the program tells
// what it writes: that need not be noted, nor read again. Once a day the root of all digests becomes a leaf of the
// register's log, and is signed with it.
//
// Anybody can make a digest. Where this program has the key of the rows (see vouch), each digest has a mark beside it that nobody else can make, and all
// of them together a sum for each table, which is carried on in the transaction that makes the digests.
//
// It knows the tables from migrations.GuardedTables alone.
package digests

import (
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"solander/sealog"
	"solander/store/engine"
	"solander/store/migrations"
	"solander/store/table"
)

// key tells a row apart: its table, and the values of its key as texts.
type key struct {
	part string
	k    [3]string
}

func (k key) String() string {
	var parts []string
	for _, x := range k.k {
		if x != "" {
			parts = append(parts, x)
		}
	}
	return k.part + ", row " + strings.Join(parts, " ")
}

// row is a row of the table of digests.
type row struct {
	key
	digest, sealed, mark string

	was, wasMark string // as it stood before this transaction touched it; no column
	columns      string // by which the digests of its table are made; "" = by none yet; no column
}

// form is by which columns the digests of a table are made, and by which those were that the latest seal knows; "" = it knows none.
type form struct{ part, columns, sealed string }

// Rows and Forms are the tables.
var (
	Rows = table.Make("row_digests", "digest", func(r *row) table.Columns {
		return table.Columns{"part", &r.part, "k1", &r.k[0], "k2", &r.k[1], "k3", &r.k[2], "digest", &r.digest, "sealed", &r.sealed, "mark", &r.mark}
	})
	Forms = table.Make("row_forms", "form", func(f *form) table.Columns {
		return table.Columns{"part", &f.part, "columns", &f.columns, "sealed", &f.sealed}
	})
)

// DigestRows are the digests within one transaction.
type DigestRows struct {
	conn   *table.Conn
	forms  map[string]string // the columns of now, by table; nil = not read
	sealed map[string]string // those of the latest seal

	by   By
	head Head
	summing
}

// Head is the log of now, and whether this transaction added to it; asked, it is read when this transaction had nothing to do with it.
type Head func(asked bool) (log sealog.Log, grown bool, err error)

// New are the digests of a transaction. What others left noted before it is no deed of this program: it is let go, and what they changed
// stays without its digest. hasty leaves all that is noted to the end.
func New(c *table.Conn, hasty bool, by By, head Head) *DigestRows {
	if !hasty {
		c.Before(`DELETE FROM touched`)
	}
	return &DigestRows{conn: c, by: by, head: head}
}

// Discard lets go what was noted so far: what was just put in brings its digests along, but for those that no copy holds.
func (t *DigestRows) Discard() error {
	_, err := t.conn.Exec(`DELETE FROM touched WHERE part NOT IN (` + migrations.HereTables() + `)`)
	return err
}

// KeepLeft takes what was noted before this transaction as this program's own: it brought the tables to another form.
func (t *DigestRows) KeepLeft() { t.conn.Before("") }

// Pending reports whether digests were left for later.
func (t *DigestRows) Pending() (bool, error) {
	var one int64
	return t.conn.One(`SELECT 1 FROM touched LIMIT 1`, nil, &one)
}

// withForms asks besides by which columns the digests of rows are made that the program tells; such a row of an answer has no key.
const withForms = ` UNION ALL SELECT part, '', '', '', '', columns FROM row_forms WHERE part IN (`

// asTouched asks for the rows that were touched, with digest and mark of each as they stand until then, parted by a space, and by which columns those of its
// table are made. Each is looked up by its key: joined, PostgreSQL reads all digests there are, for how many rows are touched it cannot know.
const asTouched = `SELECT t.part, t.k1, t.k2, t.k3,
	coalesce((SELECT d.digest || ' ' || d.mark FROM row_digests d WHERE d.part = t.part AND d.k1 = t.k1 AND d.k2 = t.k2 AND d.k3 = t.k3), ''),
	coalesce((SELECT f.columns FROM row_forms f WHERE f.part = t.part), '') FROM touched t`

// KeepDigests makes the digests of all rows that this transaction touched or told, and carries the sums on.
func (t *DigestRows) KeepDigests() error {
	told, query := t.conn.TakeTold(), asTouched
	if len(told) > 0 {
		query += withForms + migrations.ToldTables() + `)`
	}
	forms := map[string]string{}
	var touched []row
	err := t.conn.Each(query, nil, func(rows *sql.Rows) error {
		var r row
		var was string
		err := rows.Scan(&r.part, &r.k[0], &r.k[1], &r.k[2], &was, &r.columns)
		r.was, r.wasMark, _ = strings.Cut(was, " ")
		if r.k[0] == "" {
			forms[r.part] = r.columns
		} else {
			touched = append(touched, r)
		}
		return err
	})
	if err != nil {
		return err
	}
	rows, err := added(told, forms)
	if err != nil {
		return err
	}
	slices.SortFunc(touched, func(a, b row) int { return strings.Compare(a.part, b.part) })
	for some := range slices.Chunk(touched, renewedAtOnce) {
		renewed, err := t.renew(some)
		if err == nil {
			err = t.put(append(renewed, rows...))
		}
		if err != nil {
			return err
		}
		rows = nil
	}
	if err := t.put(rows); err != nil {
		return err
	}
	if len(touched) > 0 {
		if err := t.conn.Soon(`DELETE FROM touched`); err != nil {
			return err
		}
	}
	return t.keepSums()
}

// added are rows that were told, with their digests. One of a table whose digests are made by no columns yet, or by others than it has, gets none: they are
// made when all of its rows are looked at, or the check names it.
func added(rows []table.Told, forms map[string]string) (out []row, err error) {
	var text []byte
	var cells []any
	var of teller
	for _, one := range rows {
		if of.table != one.Table {
			of = tellerOf(one, forms[one.Table])
		}
		if !of.digests {
			continue
		}
		cells = cells[:0]
		for _, i := range of.at {
			cells = append(cells, one.Cells[i])
		}
		if text, err = table.AppendRow(append(text[:0], one.Table+"\n"...), cells); err != nil {
			return nil, err
		}
		out = append(out, row{key: of.key(one), digest: digestOf(text)})
	}
	return out, nil
}

// teller knows where in told rows of a table the columns stand of which their digests are made, and their keys.
type teller struct {
	table   string
	at      []int
	keyAt   []int
	digests bool
}

func tellerOf(one table.Told, columns string) teller {
	t := teller{table: one.Table}
	g, _ := guardedTable(one.Table)
	t.keyAt, _ = one.At(g.Key)
	t.at, t.digests = one.At(strings.Split(columns, ", "))
	return t
}

func (t teller) key(one table.Told) key {
	k := key{part: one.Table}
	for i, at := range t.keyAt {
		k.k[i] = fmt.Sprint(one.Cells[at])
	}
	return k
}

func digestOf(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

// touches are the notes of rows whose digests are to be made.
var touches = table.Make("touched", "note", func(k *key) table.Columns {
	return table.Columns{"part", &k.part, "k1", &k.k[0], "k2", &k.k[1], "k3", &k.k[2]}
})

// Leave notes the rows that this transaction told like those that it touched: their digests are made later, of what stands in them then.
func (t *DigestRows) Leave() error {
	var keys []key
	for _, one := range t.conn.TakeTold() {
		keys = append(keys, tellerOf(one, "").key(one))
	}
	return touches.InsertSoon(t.conn, keys, " ON CONFLICT DO NOTHING")
}

// renewedAtOnce are rows whose digests are made together.
const renewedAtOnce = 1024

func (t *DigestRows) readForms() error {
	if t.forms != nil {
		return nil
	}
	all, err := Forms.List(t.conn, "")
	t.forms, t.sealed = map[string]string{}, map[string]string{}
	for _, f := range all {
		t.forms[f.part] = f.columns
		if f.sealed != "" {
			t.sealed[f.part] = f.sealed
		}
	}
	return err
}

func guardedTable(name string) (migrations.Guarded, bool) {
	i := slices.IndexFunc(migrations.GuardedTables, func(g migrations.Guarded) bool { return g.Table == name })
	if i < 0 {
		return migrations.Guarded{}, false
	}
	return migrations.GuardedTables[i], true
}

// part are rows of one table, and what is asked for them.
type part struct {
	guarded migrations.Guarded
	columns string
	ask     engine.Ask
}

// renew makes the digests of rows anew, which stand table by table.
func (t *DigestRows) renew(touched []row) ([]row, error) {
	var parts []part
	asks := t.askSums()
	var rows []row
	for len(touched) > 0 {
		n := 1
		for n < len(touched) && n < table.Batch && touched[n].part == touched[0].part {
			n++
		}
		g, ok := guardedTable(touched[0].part)
		columns := touched[0].columns
		if ok && columns != "" { // else they are made when all of its rows are looked at
			where, args, err := chosen(g, touched[:n])
			if err != nil {
				return nil, err
			}
			p := part{g, columns, ask(g, columns, where, args)}
			parts, asks = append(parts, p), append(asks, p.ask)
			rows = append(rows, touched[:n]...)
		}
		touched = touched[n:]
	}
	if err := t.conn.Ahead(func() []engine.Ask { return asks }); err != nil {
		return nil, err
	}
	now := make(map[key]string, len(rows))
	for _, p := range parts {
		if err := t.each(p.guarded, p.columns, p.ask, func(k key, digest string) error { now[k] = digest; return nil }); err != nil {
			return nil, err
		}
	}
	for i := range rows {
		rows[i].digest = now[rows[i].key]
	}
	return rows, nil
}

// put keeps digests; "" is of a row that is gone. What the latest seal knew of a row stays until the next one.
func (t *DigestRows) put(rows []row) error {
	if len(rows) == 0 {
		return nil
	}
	if err := t.vouchFor(rows); err != nil {
		return err
	}
	rows = slices.DeleteFunc(rows, func(r row) bool { return r.digest == r.was && r.mark == r.wasMark })
	return Rows.InsertSoon(t.conn, rows, " ON CONFLICT (part, k1, k2, k3) DO UPDATE SET digest = excluded.digest, mark = excluded.mark")
}

// ask asks for rows of a table, and what tells them apart.
func ask(g migrations.Guarded, columns, rest string, args []any) engine.Ask {
	return engine.Ask{Query: "SELECT " + columns + ", " + strings.Join(g.Key, ", ") + " FROM " + g.Table + rest, Args: args}
}

// chosen is a condition that chooses rows by their keys.
func chosen(g migrations.Guarded, keys []row) (string, []any, error) {
	if len(g.Key) == 1 {
		values := make([]any, len(keys))
		for i, k := range keys {
			v, err := valueOf(g, 0, k.key)
			if err != nil {
				return "", nil, err
			}
			values[i] = v
		}
		in, args := table.InList(values)
		return " WHERE " + g.Key[0] + " IN " + in, args, nil
	}
	var any1 []string
	var args []any
	for _, k := range keys {
		var all []string
		for i, name := range g.Key {
			v, err := valueOf(g, i, k.key)
			if err != nil {
				return "", nil, err
			}
			args = append(args, v)
			all = append(all, name+" = $"+strconv.Itoa(len(args)))
		}
		any1 = append(any1, "("+strings.Join(all, " AND ")+")")
	}
	return " WHERE " + strings.Join(any1, " OR "), args, nil
}

func valueOf(g migrations.Guarded, i int, k key) (any, error) {
	if g.Text[i] {
		return k.k[i], nil
	}
	return strconv.ParseInt(k.k[i], 10, 64)
}

// each reads rows of a table with the digest of each.
func (t *DigestRows) each(g migrations.Guarded, columns string, a engine.Ask, f func(k key, digest string) error) error {
	n := strings.Count(columns, ",") + 1
	values, dest := make([]any, n+len(g.Key)), make([]any, n+len(g.Key))
	for i := range values {
		dest[i] = &values[i]
	}
	var text []byte
	return t.conn.Each(a.Query, a.Args, func(rows *sql.Rows) error {
		if err := rows.Scan(dest...); err != nil {
			return err
		}
		var err error
		if text, err = table.AppendRow(append(text[:0], g.Table+"\n"...), values[:n]); err != nil {
			return err
		}
		k := key{part: g.Table}
		for i, v := range values[n:] {
			k.k[i] = fmt.Sprint(v)
		}
		return f(k, digestOf(text))
	})
}
