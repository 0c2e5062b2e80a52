package store

import (
	"bytes"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"solander/internal/pgtest"
	"solander/store/digests"
	"solander/store/migrations"
	"solander/store/table"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// places are new studios of each engine, with a place for the key of their rows.
var places = map[string]func(testing.TB) (string, Options){
	"sqlite": func(t testing.TB) (string, Options) { return filepath.Join(t.TempDir(), "studio.db"), Options{} },
	"postgres": func(t testing.TB) (string, Options) {
		folder := t.TempDir()
		return pgtest.New(t), Options{RowKey: filepath.Join(folder, "row-key"), RegisterKey: filepath.Join(folder, "register-key")}
	},
}

// lived is a studio in which every guarded table that the bed knows holds something.
func lived(t *testing.T, place string, opt Options) *store {
	t.Helper()
	s, err := Open(t.Context(), place, opt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 20)
	bed.Write(t, s, func(tx studio.Tx) error { return bed.Everything(tx, h, ed) })
	for range 3 {
		bed.Write(t, s, func(tx studio.Tx) error { _, err := h.Take(tx, ed); return err })
	}
	attested(t, s, h)
	return s.(*store)
}

// steading is where a studio of a test lives.
type steading struct {
	engine, at string
	opt        Options
}

// eachLived runs a test on a studio of each engine in which much was done, side by side.
func eachLived(t *testing.T, test func(*testing.T, *store, steading)) {
	t.Parallel()
	for engine, place := range places {
		t.Run(engine, func(t *testing.T) {
			t.Parallel()
			at, opt := place(t)
			test(t, lived(t, at, opt), steading{engine, at, opt})
		})
	}
}

// lookedAt are the findings of a look at the rows.
func lookedAt(t *testing.T, s *store) (found []string) {
	t.Helper()
	if err := s.read(t.Context(), func(x *tx) (err error) { found, err = x.VerifyRows(); return err }); err != nil {
		t.Fatal(err)
	}
	return found
}

// freed switches the triggers off within a transaction, as somebody does who may do all with the database.
func freed(x *tx, engine string) error {
	if engine == "postgres" {
		_, err := x.conn.Exec(`SET LOCAL session_replication_role = replica`)
		return err
	}
	names, err := table.Values[string](x.conn, `SELECT name FROM sqlite_schema WHERE type = 'trigger'`)
	for _, name := range names {
		if err == nil {
			_, err = x.conn.Exec(`DROP TRIGGER ` + name)
		}
	}
	if err == nil {
		_, err = x.conn.Exec(`PRAGMA defer_foreign_keys = ON`)
	}
	return err
}

// bending is what redigested works on.
type bending interface {
	Exec(query string, args ...any) (int64, error)
	Each(query string, args []any, f func(*sql.Rows) error) error
}

// redigested makes the digests of a table anew of what stands in it, as docs/formats/register.md says and anybody can: marks stay what they were.
func redigested(db bending, g migrations.Guarded) error {
	var columns string
	err := db.Each(`SELECT columns FROM row_forms WHERE part = $1`, []any{g.Table}, func(rows *sql.Rows) error { return rows.Scan(&columns) })
	if err != nil {
		return err
	}
	n := strings.Count(columns, ",") + 1
	type digest struct {
		key [3]string
		sum string
	}
	var all []digest
	err = db.Each(`SELECT `+columns+`, `+strings.Join(g.Key, ", ")+` FROM `+g.Table, nil, func(rows *sql.Rows) error {
		values := make([]any, n+len(g.Key))
		dest := make([]any, len(values))
		for i := range values {
			dest[i] = &values[i]
		}
		if err := rows.Scan(dest...); err != nil {
			return err
		}
		text, err := table.AppendRow([]byte(g.Table+"\n"), values[:n])
		if err != nil {
			return err
		}
		d := digest{}
		for i, v := range values[n:] {
			d.key[i] = fmt.Sprint(v)
		}
		sum := sha256.Sum256(text)
		d.sum = hex.EncodeToString(sum[:])
		all = append(all, d)
		return nil
	})
	if err != nil {
		return err
	}
	keep := map[[3]string]bool{}
	for _, d := range all {
		keep[d.key] = true
		if _, err := db.Exec(`INSERT INTO row_digests (part, k1, k2, k3, digest, sealed) VALUES ($1, $2, $3, $4, $5, '')
			ON CONFLICT (part, k1, k2, k3) DO UPDATE SET digest = excluded.digest`, g.Table, d.key[0], d.key[1], d.key[2], d.sum); err != nil {
			return err
		}
	}
	var gone [][3]string
	err = db.Each(`SELECT k1, k2, k3 FROM row_digests WHERE part = $1`, []any{g.Table}, func(rows *sql.Rows) error {
		var k [3]string
		err := rows.Scan(&k[0], &k[1], &k[2])
		if !keep[k] {
			gone = append(gone, k)
		}
		return err
	})
	for _, k := range gone {
		if err == nil {
			_, err = db.Exec(`DELETE FROM row_digests WHERE part = $1 AND k1 = $2 AND k2 = $3 AND k3 = $4`, g.Table, k[0], k[1], k[2])
		}
	}
	return err
}

// named is what is found of a change that was made and taken back within one transaction; none, when the database refused it.
func named(t *testing.T, s *store, engine string, g migrations.Guarded, change func(x *tx) (int64, error)) (found []string, made bool) {
	t.Helper()
	err := s.write(t.Context(), func(x *tx) error {
		if err := freed(x, engine); err != nil {
			t.Fatal(err)
		}
		n, err := change(x)
		if err != nil || n == 0 {
			return errBack
		}
		if err := redigested(x.conn, g); err != nil {
			t.Fatal(err)
		}
		made = true
		if found, err = x.VerifyRows(); err != nil {
			t.Fatal(err)
		}
		return errBack
	})
	if !errors.Is(err, errBack) {
		t.Fatal(err)
	}
	return found, made
}

// cellsOf are the columns of a table that are in its digests and in no key, the last first, with what stands there in its first row.
func cellsOf(t *testing.T, s *store, g migrations.Guarded) (names []string, first []any) {
	t.Helper()
	err := s.read(t.Context(), func(x *tx) error {
		all, err := table.Values[string](x.conn, `SELECT columns FROM row_forms WHERE part = $1`, g.Table)
		if err != nil || len(all) == 0 {
			return err
		}
		names = slices.DeleteFunc(strings.Split(all[0], ", "), func(c string) bool { return slices.Contains(g.Key, c) })
		slices.Reverse(names)
		if len(names) == 0 {
			return nil
		}
		first = make([]any, len(names))
		dest := make([]any, len(names))
		for i := range first {
			dest[i] = &first[i]
		}
		_, err = x.conn.One(`SELECT `+strings.Join(names, ", ")+` FROM `+g.Table+` ORDER BY `+strings.Join(g.Key, ", ")+` LIMIT 1`, nil, dest...)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names, first
}

// Whoever drops the triggers, changes, adds, takes out or exchanges rows and makes their digests anew is found, in every guarded table: the table is
// named always, the row where one stands that this program did not leave so.
func TestDigestsMadeAnewAreFound(t *testing.T) {
	eachLived(t, func(t *testing.T, s *store, on steading) {
		if found := lookedAt(t, s); len(found) > 0 {
			t.Fatalf("found before anything was forged: %q", found)
		}
		tried := map[string]int{}
		for _, g := range migrations.GuardedTables {
			columns, first := cellsOf(t, s, g)
			key := "CAST(" + strings.Join(g.Key, " AS TEXT) || ' ' || CAST(") + " AS TEXT)"
			var keys []string
			if err := s.read(t.Context(), func(x *tx) (err error) {
				keys, err = table.Values[string](x.conn, `SELECT `+key+` FROM `+g.Table+` ORDER BY `+strings.Join(g.Key, ", "))
				return err
			}); err != nil {
				t.Fatal(err)
			}
			if len(keys) == 0 {
				continue
			}
			expect := func(way string, found []string, want string) {
				t.Helper()
				if tried[way]++; !slices.ContainsFunc(found, func(f string) bool { return strings.HasPrefix(f, want) }) {
					t.Errorf("%s, a row %s: %q, want %q", g.Table, way, found, want)
				}
			}
			for i, c := range columns { // the first change that the database takes
				set := c + ` || 'x'`
				switch first[i].(type) {
				case nil:
					continue
				case int64:
					set = c + ` + 1`
				}
				found, made := named(t, s, on.engine, g, func(x *tx) (int64, error) {
					return x.conn.Exec(`UPDATE `+g.Table+` SET `+c+` = `+set+` WHERE `+key+` = $1`, keys[0])
				})
				if made {
					expect("changed", found, g.Table+", row "+keys[0]+" was added or changed")
					expect("changed, its table", found, g.Table+": its ")
					break
				}
			}
			if found, made := named(t, s, on.engine, g, func(x *tx) (int64, error) {
				return x.conn.Exec(`DELETE FROM `+g.Table+` WHERE `+key+` = $1`, keys[0])
			}); made {
				expect("taken out", found, fmt.Sprintf("%s: %d rows have digests, and this program left %d", g.Table, len(keys)-1, len(keys)))
			}
			for i, c := range columns {
				if len(keys) < 2 || first[i] == nil {
					break
				}
				found, made := named(t, s, on.engine, g, func(x *tx) (int64, error) { // two rows exchange a cell
					var cells [2]any
					for j := range cells {
						if _, err := x.conn.One(`SELECT `+c+` FROM `+g.Table+` WHERE `+key+` = $1`, []any{keys[j]}, &cells[j]); err != nil || cells[j] == nil {
							return 0, err
						}
					}
					if cells[0] == cells[1] {
						return 0, nil
					}
					for j := range cells {
						if n, err := x.conn.Exec(`UPDATE `+g.Table+` SET `+c+` = $1 WHERE `+key+` = $2`, cells[1-j], keys[j]); err != nil || n == 0 {
							return n, err
						}
					}
					return 1, nil
				})
				if made {
					expect("exchanged", found, g.Table+", row "+keys[0]+" was added or changed")
					break
				}
			}
			others := strings.Join(columns, ", ")
			if len(g.Key) == 1 && !g.Text[0] {
				if others != "" {
					others = ", " + others
				}
				more := ""
				for _, apart := range g.Apart {
					more += ", " + apart
				}
				found, made := named(t, s, on.engine, g, func(x *tx) (int64, error) {
					return x.conn.Exec(`INSERT INTO ` + g.Table + ` (` + g.Key[0] + others + more + `) SELECT ` + g.Key[0] + ` + 7000` + others + more + ` FROM ` + g.Table + ` ORDER BY ` + g.Key[0] + ` LIMIT 1`)
				})
				if made {
					expect("added", found, fmt.Sprintf("%s: %d rows have digests, and this program left %d", g.Table, len(keys)+1, len(keys)))
					if !slices.ContainsFunc(found, func(f string) bool { return strings.HasPrefix(f, g.Table+", row 70") }) {
						t.Errorf("%s, a row added: it is not named: %q", g.Table, found)
					}
				}
			}
		}
		t.Logf("%v", tried)
		for way, least := range map[string]int{"changed": 46, "taken out": 46, "exchanged": 6, "added": 17} {
			if tried[way] < least {
				t.Errorf("only %d rows were %s", tried[way], way)
			}
		}
		if found := lookedAt(t, s); len(found) > 0 {
			t.Errorf("found after all was taken back: %q", found)
		}
	})
}

// changed changes the note of the first order, as the program does.
func changed(t *testing.T, s *store, to string) (order string) {
	t.Helper()
	err := s.write(t.Context(), func(x *tx) error {
		var id int64
		_, err := x.conn.One(`SELECT min(id) FROM orders`, nil, &id)
		if err == nil {
			_, err = x.conn.Exec(`UPDATE orders SET note = $1 WHERE id = $2`, to, id)
		}
		order = fmt.Sprint(id)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return order
}

// forged does a change with the triggers switched off, for good.
func forged(t *testing.T, s *store, engine string, statements ...string) {
	t.Helper()
	err := s.write(t.Context(), func(x *tx) error {
		laid := []string{}
		var err error
		if engine == "sqlite" {
			laid, err = table.Values[string](x.conn, `SELECT sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY rowid`)
		}
		if err == nil {
			err = freed(x, engine)
		}
		for _, one := range slices.Concat(statements, laid) {
			if err == nil {
				_, err = x.conn.Exec(one)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// What stood there once, with its digest and its mark, is put back: nothing can be said of the row, and its table is named. The sums of before, which would
// fit it, are those of all tables and of the log, so that they do not fit the others.
func TestRowsOfBeforeAreFound(t *testing.T) {
	eachLived(t, func(t *testing.T, s *store, on steading) {
		order := changed(t, s, "wrap it twice")
		var before [3]string
		err := s.read(t.Context(), func(x *tx) error {
			_, err := x.conn.One(`SELECT digest, mark, (SELECT body FROM row_sums) FROM row_digests WHERE part = 'orders' AND k1 = $1`, []any{order}, &before[0], &before[1], &before[2])
			return err
		})
		if err != nil || before[1] == "" {
			t.Fatal(before, err)
		}
		changed(t, s, "wrap it once")
		bed.Write(t, s, func(tx studio.Tx) error {
			_, err := tx.AddMark(studio.Mark{Kind: studio.MarkOther, Day: bed.Today, Text: "swept"})
			return err
		})
		if found := lookedAt(t, s); len(found) > 0 {
			t.Fatalf("found before anything was put back: %q", found)
		}
		forged(t, s, on.engine, `UPDATE orders SET note = 'wrap it twice' WHERE id = `+order,
			`UPDATE row_digests SET digest = '`+before[0]+`', mark = '`+before[1]+`' WHERE part = 'orders' AND k1 = '`+order+`'`)
		if found := lookedAt(t, s); len(found) != 1 || !strings.HasPrefix(found[0], "orders: its ") {
			t.Errorf("a row of before: %q", found)
		}
		forged(t, s, on.engine, `UPDATE row_sums SET body = '`+before[2]+`'`)
		if found := lookedAt(t, s); len(found) != 1 || !strings.HasPrefix(found[0], "marks: ") {
			t.Errorf("a row of before, and the sums of then: %q", found)
		}
		forged(t, s, on.engine, `UPDATE row_sums SET body = replace(body, 'A', 'B')`)
		if found := lookedAt(t, s); len(found) != 1 || !strings.Contains(found[0], "sums by which rows are vouched for were changed") {
			t.Errorf("sums that were bent: %q", found)
		}
		forged(t, s, on.engine, `DELETE FROM row_sums`)
		if found := lookedAt(t, s); len(found) != 1 || !strings.Contains(found[0], "are gone") {
			t.Errorf("no sums any more: %q", found)
		}
	})
}

// A row whose digest somebody made anew stays named when this program writes it again, and its table does.
func TestAForgedRowIsNotTakenOn(t *testing.T) {
	eachLived(t, func(t *testing.T, s *store, on steading) {
		order := changed(t, s, "wrap it twice")
		forged(t, s, on.engine, `UPDATE orders SET postage = postage + 100 WHERE id = `+order)
		g := migrations.GuardedTables[slices.IndexFunc(migrations.GuardedTables, func(g migrations.Guarded) bool { return g.Table == "orders" })]
		if err := s.write(t.Context(), func(x *tx) error { return redigested(x.conn, g) }); err != nil {
			t.Fatal(err)
		}
		changed(t, s, "wrap it once")
		found := lookedAt(t, s)
		for _, want := range []string{"orders, row " + order + " was written without the key", "orders: its "} {
			if !slices.ContainsFunc(found, func(f string) bool { return strings.HasPrefix(f, want) }) {
				t.Errorf("found %q, want %q", found, want)
			}
		}
	})
}

// An entry of the register with its leaf, made by somebody who knows how, is found at once, and not from the next signature on alone.
func TestLeavesOfOthersAreFoundAtOnce(t *testing.T) {
	eachLived(t, func(t *testing.T, s *store, _ steading) {
		err := s.write(t.Context(), func(x *tx) error { // as this program appends, but for the sums
			x.digestRows = digests.New(x.conn, false, digests.By{}, x.Head)
			return x.AppendEntries(entriesFrom(40, 1))
		})
		if err != nil {
			t.Fatal(err)
		}
		if found := lookedAt(t, s); len(found) != 1 || !strings.Contains(found[0], "does not end where this program left it") {
			t.Errorf("found %q", found)
		}
	})
}

// Without its key a studio says that it cannot show what needs it; what was written meanwhile is named once the key is back.
func TestWithoutTheKeyOfRows(t *testing.T) {
	eachLived(t, func(t *testing.T, s *store, on steading) {
		file := s.opt.RowKey
		vouched := func(want string) {
			t.Helper()
			v, err := s.Vouched(t.Context())
			if says := v.Says(); err != nil || (want == "") != (says == "") || !strings.Contains(says, want) {
				t.Errorf("it says %q (%v), want %q", says, err, want)
			}
		}
		again := func() {
			t.Helper()
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			more := on.opt
			more.There = true
			next, err := Open(t.Context(), on.at, more)
			if err != nil {
				t.Fatal(err)
			}
			t.Cleanup(func() { _ = next.Close() })
			s = next.(*store)
		}
		vouched("")
		if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o600 {
			t.Fatal(info, err)
		}
		key, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.Remove(file); err != nil {
			t.Fatal(err)
		}
		again()
		vouched("is not here or cannot be read")
		if found := lookedAt(t, s); len(found) > 0 {
			t.Errorf("found without the key: %q", found)
		}
		order := changed(t, s, "by a program without the key")
		if err := os.WriteFile(file, key, 0o600); err != nil {
			t.Fatal(err)
		}
		again()
		vouched("")
		found := lookedAt(t, s)
		if len(found) != 2 || !strings.HasPrefix(found[0], "orders, row "+order+" was written without the key") || !strings.HasPrefix(found[1], "orders: its ") {
			t.Errorf("found %q", found)
		}
		if err := s.VouchRows(t.Context(), func(studio.Tx) error { return nil }); err != nil {
			t.Fatal(err)
		}
		if found := lookedAt(t, s); len(found) > 0 {
			t.Errorf("found after the rows were taken on: %q", found)
		}
		vouched("taken on as they stood")
		if err := os.WriteFile(file, []byte("solander-row-key/1 "+strings.Repeat("A", 43)+"=\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		again()
		if found := lookedAt(t, s); len(found) != 1 || !strings.Contains(found[0], "by another key") {
			t.Errorf("with another key: %q", found)
		}
		if err := s.VouchRows(t.Context(), func(studio.Tx) error { return nil }); err != nil {
			t.Fatal(err)
		}
		changed(t, s, "by the other key")
		if found := lookedAt(t, s); len(found) > 0 {
			t.Errorf("found after another key took the rows on: %q", found)
		}
		// Another program takes them on by a new key, while this one runs.
		if err := os.Remove(file); err != nil {
			t.Fatal(err)
		}
		beside, err := Open(t.Context(), on.at, on.opt)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = beside.Close() })
		if err := beside.VouchRows(t.Context(), func(studio.Tx) error { return nil }); err != nil {
			t.Fatal(err)
		}
		changed(t, s, "after another program took a new key")
		if found := lookedAt(t, s); len(found) > 0 {
			t.Errorf("found after another key took the rows on: %q", found)
		}
	})
}

// A copy holds neither marks nor sums: where it is put in place its rows are taken on as they stand, and that is said.
func TestACopyIsTakenOn(t *testing.T) {
	eachLived(t, func(t *testing.T, s *store, on steading) {
		copy := bed.Dumped(t, s)
		if strings.Contains(strings.Join(bed.Lines(t, copy), "\n"), "row_sums") {
			t.Error("the sums are in a copy")
		}
		at, opt := places[on.engine](t)
		next, err := Open(t.Context(), at, opt)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = next.Close() })
		if err := next.Load(t.Context(), bytes.NewReader(copy)); err != nil {
			t.Fatal(err)
		}
		v, err := next.Vouched(t.Context())
		if err != nil || !v.Held || !strings.Contains(v.Says(), "came in a copy") {
			t.Errorf("%+v %v: %s", v, err, v.Says())
		}
		changed(t, next.(*store), "after it was put in place")
		if found := lookedAt(t, next.(*store)); len(found) > 0 {
			t.Errorf("found %q", found)
		}
	})
}
