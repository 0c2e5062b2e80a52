// Package digests keeps a digest of every row on which money or ownership rests, so that a row that was changed, added or taken out by other
// means than this program is found and named. Triggers note which rows a transaction touched; at its end their digests are made anew of what
// stands in them then, cell by cell as it is kept: what is in cipher is digested in cipher. Once a day the root of all digests becomes a leaf of the
// register's log, and is signed with it.
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
	digest, sealed string
}

// form is by which columns the digests of a table are made, and by which those were that the latest seal knows; "" = it knows none.
type form struct{ part, columns, sealed string }

// Rows and Forms are the tables.
var (
	Rows = table.Make("row_digests", "digest", func(r *row) table.Columns {
		return table.Columns{"part", &r.part, "k1", &r.k[0], "k2", &r.k[1], "k3", &r.k[2], "digest", &r.digest, "sealed", &r.sealed}
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
}

// New are the digests of a transaction. What others left noted before it is no deed of this program: it is let go, and what they changed
// stays without its digest. hasty leaves all that is noted to the end.
func New(c *table.Conn, hasty bool) *DigestRows {
	if !hasty {
		c.Before(`DELETE FROM touched`)
	}
	return &DigestRows{conn: c}
}

// Discard lets go what was noted so far: what was just put in brings its digests along.
func (t *DigestRows) Discard() error {
	_, err := t.conn.Exec(`DELETE FROM touched`)
	return err
}

// KeepLeft takes what was noted before this transaction as this program's own: it brought the tables to another form.
func (t *DigestRows) KeepLeft() { t.conn.Before("") }

// Pending reports whether digests were left for later.
func (t *DigestRows) Pending() (bool, error) {
	var one int64
	return t.conn.One(`SELECT 1 FROM touched LIMIT 1`, nil, &one)
}

// KeepDigests makes the digests of all rows that this transaction touched.
func (t *DigestRows) KeepDigests() error {
	var touched []key
	err := t.conn.Each(`DELETE FROM touched RETURNING part, k1, k2, k3`, nil, func(rows *sql.Rows) error {
		var k key
		err := rows.Scan(&k.part, &k.k[0], &k.k[1], &k.k[2])
		touched = append(touched, k)
		return err
	})
	if err != nil || len(touched) == 0 {
		return err
	}
	if err := t.readForms(); err != nil {
		return err
	}
	slices.SortFunc(touched, func(a, b key) int { return strings.Compare(a.part, b.part) })
	for len(touched) > 0 {
		n := 1
		for n < len(touched) && touched[n].part == touched[0].part {
			n++
		}
		if err := t.renew(touched[:n]); err != nil {
			return err
		}
		touched = touched[n:]
	}
	return nil
}

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

// renew makes the digests of rows of one table anew.
func (t *DigestRows) renew(touched []key) error {
	g, ok := guardedTable(touched[0].part)
	columns := t.forms[g.Table]
	if !ok || columns == "" {
		return nil // its digests are made when all of its rows are looked at
	}
	now := map[key]string{}
	for part := range slices.Chunk(touched, table.Batch) {
		where, args, err := chosen(g, part)
		if err != nil {
			return err
		}
		if err := t.each(g, columns, where, args, func(k key, digest string) error { now[k] = digest; return nil }); err != nil {
			return err
		}
	}
	rows := make([]row, len(touched))
	for i, k := range touched {
		rows[i] = row{key: k, digest: now[k]}
	}
	return t.put(rows)
}

// put keeps digests; "" is of a row that is gone. What the latest seal knew of a row stays until the next one.
func (t *DigestRows) put(rows []row) error {
	_, err := Rows.InsertAll(t.conn, rows, " ON CONFLICT (part, k1, k2, k3) DO UPDATE SET digest = excluded.digest")
	return err
}

// chosen is a condition that chooses rows by their keys.
func chosen(g migrations.Guarded, keys []key) (string, []any, error) {
	if len(g.Key) == 1 {
		values := make([]any, len(keys))
		for i, k := range keys {
			v, err := valueOf(g, 0, k)
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
			v, err := valueOf(g, i, k)
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
func (t *DigestRows) each(g migrations.Guarded, columns, rest string, args []any, f func(k key, digest string) error) error {
	n := strings.Count(columns, ",") + 1
	values, dest := make([]any, n+len(g.Key)), make([]any, n+len(g.Key))
	for i := range values {
		dest[i] = &values[i]
	}
	var text []byte
	return t.conn.Each("SELECT "+columns+", "+strings.Join(g.Key, ", ")+" FROM "+g.Table+rest, args, func(rows *sql.Rows) error {
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
		sum := sha256.Sum256(text)
		return f(k, hex.EncodeToString(sum[:]))
	})
}
