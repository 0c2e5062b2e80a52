package store

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"solander/charging"
	"solander/house"
	"solander/internal/pgtest"
	"solander/store/copies"
	"solander/store/migrations"
	"solander/studio"
	"solander/tariff/cards"
)

// older is the studio of a form, as a file of SQLite. testdata/older/README.md says how each was made.
func older(t *testing.T, form int64) []byte {
	t.Helper()
	return olderCalled(t, form, "")
}

// olderCalled is another studio of a form: what stands behind its number tells it from the one that every form has.
func olderCalled(t *testing.T, form int64, called string) []byte {
	t.Helper()
	name := filepath.Join("testdata", "older", fmt.Sprintf("%05d%s.db.gz", form, called))
	f, err := os.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		t.Fatalf("no studio of form %d is kept: every migration needs one, so that it is known that studios of that form can be brought up to date. "+
			"testdata/older/README.md says how to make %s", form, name)
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	zip, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	whole, err := io.ReadAll(zip)
	if err != nil {
		t.Fatal(err)
	}
	return whole
}

// olderFile puts a studio of a form into a folder of its own.
func olderFile(t *testing.T, form int64) string {
	t.Helper()
	return asFile(t, older(t, form))
}

func asFile(t *testing.T, whole []byte) string {
	t.Helper()
	place := filepath.Join(t.TempDir(), "studio.db")
	if err := os.WriteFile(place, whole, 0o600); err != nil {
		t.Fatal(err)
	}
	return place
}

// olderOnServer makes a database of a form, and puts into it the rows of the studio that is kept of that form.
func olderOnServer(t *testing.T, form int64) string {
	t.Helper()
	return asDatabase(t, form, olderFile(t, form))
}

// asDatabase makes a database of a form, with the rows of a file.
func asDatabase(t *testing.T, form int64, file string) string {
	t.Helper()
	return planted(t, form, file, (&grown{t: t}).to(t, form))
}

// planted puts the rows of a file of a form into the tables at a place.
func planted(t *testing.T, form int64, file, place string) string {
	t.Helper()
	from := rowsOf(t, raw(t, file))
	inTx(t, raw(t, place), func(tx *sql.Tx) error {
		if err := plant(t.Context(), tx, from); err != nil || form < 7 {
			return err
		}
		// The words of search are none of the rows. The program of that form kept some; which, is looked at by no check.
		_, err := tx.Exec(`INSERT INTO order_words (id, words) SELECT id, array_to_tsvector(ARRAY['planted']) FROM orders`)
		return err
	})
	return place
}

func inTx(t *testing.T, db *sql.DB, f func(*sql.Tx) error) {
	t.Helper()
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	if err := f(tx); err != nil {
		t.Fatal(err)
	}
	if err := tx.Commit(); err != nil {
		t.Fatal(err)
	}
}

// held are the rows of one table: the columns that it has, in the order of a copy, and what stands in them.
type held struct {
	columns []string
	rows    [][]any
}

// rowsOf reads all rows of a studio of any form on either engine, by table; what is made of rows is left out.
func rowsOf(t *testing.T, db *sql.DB) map[string]held {
	t.Helper()
	out := map[string]held{}
	for _, table := range copies.Tables {
		there := columnsOf(t, db, table.Name)
		columns := slices.DeleteFunc(table.Split(), func(c string) bool { return !slices.Contains(there, c) })
		if len(columns) < len(there) { // some were taken out since
			columns = there
		}
		if len(columns) == 0 {
			continue
		}
		key := table.Key
		if slices.ContainsFunc(strings.Split(key, ", "), func(c string) bool { return !slices.Contains(there, c) }) { // its rows are told apart by another now
			key = strings.Join(columns, ", ")
		}
		out[table.Name] = held{columns, queried(t, db, fmt.Sprintf("SELECT %s FROM %s ORDER BY %s", strings.Join(columns, ", "), table.Name, key), len(columns))}
	}
	return out
}

func queried(t *testing.T, db *sql.DB, query string, width int) [][]any {
	t.Helper()
	rows, err := db.Query(query)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var out [][]any
	for rows.Next() {
		values, dest := make([]any, width), make([]any, width)
		for i := range dest {
			dest[i] = &values[i]
		}
		if err := rows.Scan(dest...); err != nil {
			t.Fatal(err)
		}
		out = append(out, values)
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return out
}

func columnsOf(t *testing.T, db *sql.DB, table string) []string {
	t.Helper()
	query := columnsOfSQLite
	if strings.Contains(fmt.Sprintf("%T", db.Driver()), "stdlib") {
		query = `SELECT CAST(column_name AS TEXT) FROM information_schema.columns WHERE table_schema = current_schema() AND table_name = $1 ORDER BY ordinal_position`
	}
	return namesFound(t, db, query, table)
}

const columnsOfSQLite = `SELECT name FROM pragma_table_info($1)`

// namesFound are the names that a query finds, on a database or within a transaction.
func namesFound(t *testing.T, db interface {
	Query(query string, args ...any) (*sql.Rows, error)
}, query string, args ...any,
) []string {
	t.Helper()
	rows, err := db.Query(query, args...)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var out []string
	for rows.Next() {
		var name string
		if err := rows.Scan(&name); err != nil {
			t.Fatal(err)
		}
		out = append(out, name)
	}
	return out
}

// plant puts rows into a database whose tables are of the same form, or of an earlier one: then what has no place there is left out.
func plant(ctx context.Context, tx *sql.Tx, from map[string]held) error {
	for _, table := range copies.Tables {
		h := from[table.Name]
		if slices.Contains([]string{"counters", "row_forms", "row_digests"}, table.Name) && len(h.columns) > 0 { // the database itself put rows into them
			if _, err := tx.ExecContext(ctx, `DELETE FROM `+table.Name); err != nil {
				return err
			}
		}
		for _, row := range h.rows {
			one := copies.Table{Name: table.Name, Columns: strings.Join(h.columns, ", ")}
			if _, err := tx.ExecContext(ctx, one.Insert(1), row...); err != nil {
				return fmt.Errorf("%s: %w", table.Name, err)
			}
		}
	}
	return nil
}

// made are the tables that the first opening fills from the others, where they are empty.
var made = []string{"leaves", "logs", "entries", "entry_lines", "entry_sums", "earned_sums", "order_sums", "lot_sums", "layers", "layer_uses"}

// within cuts rows down to the tables and columns of others, so that both can be compared.
func within(have, of map[string]held) map[string]held {
	out := map[string]held{}
	more := widened(of["row_forms"], have["row_forms"])
	for name, want := range of {
		got, there := have[name]
		if !there {
			continue
		}
		var at []int
		var cut held
		for _, c := range want.columns {
			if i := slices.Index(got.columns, c); i >= 0 {
				at, cut.columns = append(at, i), append(cut.columns, c)
			}
		}
		if slices.Contains(made, name) && len(want.rows) == 0 || name == "earned_sums" && slices.Contains(got.columns, "day") != slices.Contains(want.columns, "day") { // by month, and by day now
			out[name] = cut
			continue
		}
		for _, row := range got.rows {
			if (name == "counters" || name == "row_forms") && !slices.ContainsFunc(want.rows, func(w []any) bool { return w[0] == row[0] }) {
				continue // of a table that came later
			}
			if name == "row_digests" && !slices.ContainsFunc(of["row_forms"].rows, func(w []any) bool { return w[0] == row[0] }) {
				continue // of a table that came to the digests later
			}
			if i := slices.IndexFunc(want.rows, func(w []any) bool { return w[0] == row[0] }); name == "counters" && (slices.Contains(made, fmt.Sprint(row[0])) || row[0] == "to_take_up") {
				row = want.rows[i]
			}
			if i := slices.IndexFunc(want.rows, func(w []any) bool { return sameDigest(name, w, row) }); i >= 0 && slices.Contains(more, fmt.Sprint(row[0])) {
				row = want.rows[i]
			}
			var values []any
			for _, i := range at {
				values = append(values, row[i])
			}
			cut.rows = append(cut.rows, values)
		}
		out[name] = cut
	}
	return out
}

// widened are the tables with columns that came later behind those of before: their digests are made anew, and the check looks at them.
func widened(before, after held) (out []string) {
	for _, w := range before.rows {
		for _, row := range after.rows {
			if w[0] == row[0] && strings.HasPrefix(fmt.Sprint(row[1]), fmt.Sprint(w[1])+", ") {
				out = append(out, fmt.Sprint(w[0]))
			}
		}
	}
	return out
}

// sameDigest reports that rows say by what the digests of one table are made, or hold the digest of one row.
func sameDigest(table string, a, b []any) bool {
	switch table {
	case "row_forms":
		return a[0] == b[0]
	case "row_digests":
		return slices.Equal(a[:4], b[:4]) // table and key
	}
	return false
}

// feesStand fails unless each outlet's fee table charges what its share and its fixed part did, which a migration took away.
func feesStand(t *testing.T, before, after held) {
	t.Helper()
	share, fixed, fees := slices.Index(before.columns, "fee_permille"), slices.Index(before.columns, "fee_fixed"), slices.Index(after.columns, "fees")
	if share < 0 {
		return
	}
	for i, row := range before.rows {
		var table []charging.Row
		if err := json.Unmarshal([]byte(fmt.Sprint(after.rows[i][fees])), &table); err != nil {
			t.Fatal(err)
		}
		if row[share] == int64(0) && row[fixed] == int64(0) {
			if len(table) != 0 {
				t.Errorf("outlet %v charged nothing, and has %v", row[0], table)
			}
			continue
		}
		if len(table) != 1 || table[0].Share != row[share].(int64)*10 || table[0].Fixed.Minor != row[fixed].(int64) {
			t.Errorf("outlet %v charged %v thousandths and %v, and has %v", row[0], row[share], row[fixed], table)
		}
	}
}

// digestsOf are the digests of tables.
func digestsOf(rows map[string]held) map[string]string {
	out := map[string]string{}
	for name, h := range rows {
		var text bytes.Buffer
		for _, row := range h.rows {
			for _, v := range row {
				fmt.Fprintf(&text, "%T %[1]q,", v)
			}
			text.WriteString("\n")
		}
		out[name] = fmt.Sprintf("%d rows, %x", len(h.rows), sha256.Sum256(text.Bytes()))
	}
	return out
}

// forms calls f for each form that the migrations know, on each engine.
func forms(t *testing.T, f func(t *testing.T, engine string, form, newest int64, place string)) {
	newest, err := migrations.Schema()
	if err != nil || newest == 0 {
		t.Fatalf("there are no migrations: nothing was tested (%v)", err)
	}
	tables := &grown{t: t}
	for form := int64(1); form <= newest; form++ {
		t.Run(fmt.Sprintf("sqlite/%d", form), func(t *testing.T) { f(t, "sqlite", form, newest, olderFile(t, form)) })
		t.Run(fmt.Sprintf("postgres/%d", form), func(t *testing.T) {
			f(t, "postgres", form, newest, planted(t, form, olderFile(t, form), pgtest.From(t, tables.to(t, form))))
		})
	}
}

// TestOlderStudios opens a studio of every form that there has been: what stood in it stands in it afterwards, the check finds nothing, and
// the copy that was made before holds the same rows in their older form.
func TestOlderStudios(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("it takes some seconds")
	}
	forms(t, func(t *testing.T, kind string, form, newest int64, place string) {
		before := rowsOf(t, raw(t, place))
		if form >= 4 && (len(before["register"].rows) == 0 || len(before["orders"].rows) == 0 || len(before["payments"].rows) == 0) {
			t.Fatal("the studio that is kept holds no entry, order or payment: nothing was compared")
		}
		folder := t.TempDir()
		s := openedWith(t, place, Options{Copies: folder, There: true})
		from, to, copied := s.(*store).Upgraded()
		now := rowsOf(t, raw(t, place))
		feesStand(t, before["outlets"], now["outlets"])
		after := within(now, before)
		if diff := cmp.Diff(digestsOf(within(before, after)), digestsOf(after)); diff != "" || len(after) != len(before) {
			t.Errorf("rows are not what they were (-before +after):\n%s", diff)
		}
		st := studio.New(s, studio.Options{Cards: cards.All})
		findings, err := house.Check(t.Context(), st)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range findings {
			if form >= 2 && form <= 4 && !strings.Contains(f.What, "this program makes") {
				continue // there were no numbers yet, or no stock, and the check rightly misses what editions, orders and parcels need of them
			}
			t.Errorf("%s: %s", f.Where, f.What)
		}
		if form == newest {
			if copied != "" {
				t.Errorf("a studio in its form was copied to %s", copied)
			}
			return
		}
		if from != form || to != newest {
			t.Errorf("brought from form %d to %d, want %d to %d", from, to, form, newest)
		}
		if kind == "sqlite" {
			folder = filepath.Dir(place)
		}
		if filepath.Dir(copied) != folder || !strings.Contains(filepath.Base(copied), "-before-upgrade-") {
			t.Fatalf("the copy is %q, want one in %s", copied, folder)
		}
		kept := rowsOfCopy(t, kind, copied, form)
		if diff := cmp.Diff(digestsOf(within(before, kept)), digestsOf(kept)); diff != "" || len(kept) != len(before) { // marks of digests are in no copy
			t.Errorf("the copy holds other rows (-before +copy):\n%s", diff)
		}
	})
}

// rowsOfCopy reads a copy that was made before an upgrade: a file of SQLite, or one in the studio's own form, which is read as
// docs/formats/backup.md describes it.
func rowsOfCopy(t *testing.T, kind, path string, form int64) map[string]held {
	t.Helper()
	if kind == "sqlite" {
		db := raw(t, path)
		if got, err := migrations.SQLite.Form(t.Context(), db); err != nil || got != form {
			t.Errorf("the copy is of form %d (%v), want %d", got, err, form)
		}
		return rowsOf(t, db)
	}
	return linesOfCopy(t, path, form)
}

// TestOlderFormsAsMigrationsMakeThem compares what stands in the studios that are kept with what the migrations make up to that form: a migration
// that studios have seen is not changed afterwards.
func TestOlderFormsAsMigrationsMakeThem(t *testing.T) {
	t.Parallel()
	newest, err := migrations.Schema()
	if err != nil {
		t.Fatal(err)
	}
	const form = `SELECT type || ' ' || name, coalesce(sql, '') FROM sqlite_schema WHERE name NOT LIKE 'sqlite!_%' ESCAPE '!' AND name <> 'schema_versions' AND name NOT LIKE '%!_touched%' ESCAPE '!'`
	made := raw(t, filepath.Join(t.TempDir(), "made.db"))
	for n := int64(1); n <= newest; n++ {
		inTx(t, made, func(tx *sql.Tx) error { return migrations.SQLite.Run(t.Context(), tx, n-1, n) })
		want, err := migrations.FormOf(t.Context(), made, form)
		if err != nil {
			t.Fatal(err)
		}
		got, err := migrations.FormOf(t.Context(), raw(t, olderFile(t, n)), form)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, got); diff != "" || len(want) == 0 {
			t.Errorf("form %d (-migrations +kept):\n%s", n, diff)
		}
	}
}

// TestCopiesBeforeUpgradesAreFew lets a studio be brought up to date again and again: the latest copies stay.
func TestCopiesBeforeUpgradesAreFew(t *testing.T) {
	t.Parallel()
	newest, err := migrations.Schema()
	if err != nil {
		t.Fatal(err)
	}
	place := olderFile(t, newest-1)
	whole := older(t, newest-1)
	beside := filepath.Join(filepath.Dir(place), "studio-2-before-upgrade-2026-01-01-000000-form-1.db") // another studio's
	if err := os.WriteFile(beside, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	all := map[string]bool{}
	at := time.Date(2026, 11, 29, 19, 45, 1, 0, time.UTC)
	clock := func() time.Time { return at }
	bring := func() string {
		t.Helper()
		if err := os.WriteFile(place, whole, 0o600); err != nil {
			t.Fatal(err)
		}
		os.Remove(place + "-seal") // of the one before, which was of another form
		s, err := Open(t.Context(), place, Options{Clock: clock})
		if err != nil {
			t.Fatal(err)
		}
		_, _, copied := s.(*store).Upgraded()
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		if _, err := os.Stat(copied); err != nil {
			t.Errorf("the copy that was just made is gone: %v", err)
		}
		return copied
	}
	for range upgrades {
		at = at.Add(time.Second)
		all[bring()] = true
	}
	if len(all) != upgrades {
		t.Fatalf("%d copies for %d upgrades: one took the place of another", len(all), upgrades)
	}
	found, err := filepath.Glob(filepath.Join(filepath.Dir(place), "studio-before-upgrade-*.db"))
	if err != nil {
		t.Fatal(err)
	}
	want := slices.Sorted(maps.Keys(all))[upgrades-3:]
	if diff := cmp.Diff(want, found); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if _, err := os.Stat(beside); err != nil {
		t.Errorf("the copy of another studio is gone: %v", err)
	}
	at = at.Add(-24 * time.Hour) // the clock was a day ahead before
	bring()
	at = at.Add(-time.Hour)
	bring()
	bring() // within the same second
}

const upgrades = 5 // upgrades
