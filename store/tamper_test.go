package store

import (
	"context"
	"database/sql"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/certificate"
	"solander/certify"
	"solander/edition"
	"solander/house"
	"solander/order"
	"solander/record"
	"solander/register"
	"solander/store/copies"
	"solander/store/migrations"
	"solander/studio"
	"solander/studio/storetest/bed"
	"solander/supply"
)

var (
	tamperings = flag.Int("tamperings", 30, "random changes of rows by plain SQL")
	bitflips   = flag.Int("bitflips", 25, "random bits of the studio's file that are turned")
	tamperSeed = flag.Uint64("tamperseed", 7, "what the chance of both begins with")
)

// bentStudio is a studio in which every guarded table that the bed knows holds something, signed once; it is closed.
func bentStudio(t *testing.T) string {
	t.Helper()
	place := filepath.Join(t.TempDir(), "studio.db")
	s, err := Open(t.Context(), place, Options{})
	if err != nil {
		t.Fatal(err)
	}
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 20)
	bed.Write(t, s, func(tx studio.Tx) error { return bed.Everything(tx, h, ed) })
	for range 5 {
		bed.Write(t, s, func(tx studio.Tx) error { _, err := h.Take(tx, ed); return err })
	}
	attested(t, s, h)
	bed.Sound(t, s)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return place
}

// ofTheBed is what a check says of the studio of the bed before anything was bent: its parcel was never planned, and its picture is none.
var ofTheBed = []string{
	"parcel 1: its wrap and what it was to weigh without the margin are not those of its plan",
	"picture of work 1: its size small is not the JPEG of 120 × 160 pixels that it is said to be",
	"picture of work 1: its size middle is not the JPEG of 480 × 640 pixels that it is said to be",
	"picture of work 1: its size large is not the JPEG of 900 × 1200 pixels that it is said to be",
}

// attested puts leaves of every kind into the log that stand beside its entries: certificates, an end of one, what an owner told, the end of an edition,
// an older copy that was put in place; and signs it.
func attested(t *testing.T, s studio.Store, h bed.House) {
	t.Helper()
	st := studio.New(s, studio.Options{})
	ed := h.Declare(t, s, 5)
	var sold edition.Entry
	var o order.Order
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		if sold, err = h.Take(tx, ed); err == nil {
			o, err = tx.OrderByLine(sold.After.Line)
		}
		if err == nil {
			err = tx.AddMove(supply.Move{Kind: supply.Sheets, Of: ed, Delta: 5, Day: bed.Today})
		}
		return err
	})
	bed.Stepped(t, s, ed, sold.Number, edition.Sign, sold.After.Line, o.Mark)
	bed.Write(t, s, func(tx studio.Tx) error {
		if _, err := tx.AddPayment(order.Payment{Order: o.ID, Kind: order.Deposit, Amount: bed.USD(1), Day: bed.Today}); err != nil {
			return err
		}
		_, err := bed.Step(tx, ed, sold.Number, edition.Send, sold.After.Line, o.Mark)
		return err
	})
	bed.Stepped(t, s, ed, bed.Num(2), edition.Sign, 0, "")
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	_, err := certify.Make(t.Context(), st, certify.MakeIn{Edition: ed, Numbers: []edition.Number{sold.Number, bed.Num(2)}})
	must(err)
	must(certify.Revoke(t.Context(), st, 2, "a slip"))
	p, err := certify.Read(t.Context(), st, 1)
	must(err)
	_, err = certify.Tell(t.Context(), st, certify.TellIn{Code: p.File(), Told: certificate.Resold, Name: "Oren Kessler"})
	must(err)
	_, err = register.Close(t.Context(), st, edition.Closing{Edition: ed, Fact: edition.Closed, Files: "deleted"})
	must(err)
	_, err = record.Restored(t.Context(), st, "the disk failed", "")
	must(err)
}

// seen reports whether a studio is refused or something is found in it.
func seen(ctx context.Context, place string) (string, bool) {
	s, err := Open(ctx, place, Options{There: true})
	if err != nil {
		return err.Error(), true
	}
	defer s.Close()
	found, err := house.Check(ctx, studio.New(s, studio.Options{}))
	if err != nil {
		return err.Error(), true
	}
	for _, f := range found {
		if what := f.Where + ": " + f.What; !slices.Contains(ofTheBed, what) {
			return what, true
		}
	}
	return "", false
}

// copied copies a studio's file with all beside it, into a folder that is emptied first.
func copied(t *testing.T, place, to string) string {
	t.Helper()
	if err := os.RemoveAll(to); err != nil {
		t.Fatal(err)
	}
	if err := os.CopyFS(to, os.DirFS(filepath.Dir(place))); err != nil {
		t.Fatal(err)
	}
	return filepath.Join(to, filepath.Base(place))
}

// bendable are the tables with rows of which a change must be found: all but those whose change harms nobody.
func bendable(t *testing.T, db *sql.DB) (out []string) {
	t.Helper()
	for _, c := range append(slices.Clone(copies.Tables), besides...) {
		if why, not := unguarded[c.Name]; not && why != again && !slices.Contains(otherwise, c.Name) {
			continue
		}
		var n int
		if err := db.QueryRow(`SELECT count(*) FROM ` + c.Name).Scan(&n); err != nil {
			t.Fatal(err)
		}
		if n > 0 {
			out = append(out, c.Name)
		}
	}
	return out
}

// besides is a table that is in no copy, for it is made of others again, and of which a change is found all the same.
var besides = []copies.Table{{Name: "person_words", Columns: "id, name, email", Key: "id"}}

// otherwise are tables without digests of which a change is found by other means.
var otherwise = []string{"register", "leaves", "row_digests", "row_forms", "picture_bodies", "claim_photo_bodies"}

// laidBy are the triggers of a studio's file, which were taken out of it once: to drop and to make each of them in each copy takes longer than the check.
type laidBy [][3]string

// bared takes the triggers out of a studio's file.
func bared(t *testing.T, place string) (out laidBy) {
	t.Helper()
	db := raw(t, place)
	db.SetMaxOpenConns(1)
	rows, err := db.Query(`SELECT name, tbl_name, sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY rowid`)
	if err != nil {
		t.Fatal(err)
	}
	for rows.Next() {
		var x [3]string
		if err := rows.Scan(&x[0], &x[1], &x[2]); err != nil {
			t.Fatal(err)
		}
		out = append(out, x)
	}
	if err := errors.Join(rows.Err(), rows.Close()); err != nil {
		t.Fatal(err)
	}
	for _, x := range out {
		if _, err := db.Exec(`DROP TRIGGER ` + x[0]); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := db.Exec(`PRAGMA journal_mode = DELETE`); err != nil { // all of it stands in one file
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	return out
}

// putBack puts the triggers into a copy, word for word.
func (l laidBy) putBack(t *testing.T, db *sql.DB) {
	t.Helper()
	query := `INSERT INTO sqlite_schema (type, name, tbl_name, rootpage, sql) VALUES `
	var args []any
	for i, x := range l {
		if i > 0 {
			query += ", "
		}
		query += `('trigger', ?, ?, 0, ?)`
		args = append(args, x[0], x[1], x[2])
	}
	for _, pragma := range []string{`PRAGMA writable_schema = ON`, query, `PRAGMA writable_schema = RESET`} {
		var of []any
		if pragma == query {
			of = args
		}
		if _, err := db.Exec(pragma, of...); err != nil {
			t.Fatal(err)
		}
	}
}

// Triggers are dropped, one row is changed, taken out, doubled or exchanged with another, of every second its digest is made anew, and the triggers are put
// back: the check finds it, whatever it was.
func TestRandomTamperingsAreFound(t *testing.T) {
	t.Parallel()
	place := bentStudio(t)
	made, healed, anew, at := 0, 0, 0, filepath.Join(t.TempDir(), "bent")
	if what, found := seen(t.Context(), copied(t, place, at)); found {
		t.Fatalf("found before anything was bent: %s", what)
	}
	triggers := bared(t, place)
	whole := copied(t, place, at)
	db := raw(t, whole)
	triggers.putBack(t, db)
	tables := bendable(t, db)
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	want := standing(t, whole)
	if what, found := seen(t.Context(), whole); found {
		t.Fatalf("found when the triggers alone were put back: %s", what)
	}
	chance := rand.New(rand.NewPCG(*tamperSeed, 15))
	for tries := 0; made < *tamperings && tries < 20**tamperings; tries++ {
		bent := copied(t, place, at)
		db := raw(t, bent)
		db.SetMaxOpenConns(1)
		what, table, ok := tamper(t, db, tables, chance)
		if ok && chance.IntN(2) == 0 {
			if i := slices.IndexFunc(migrations.GuardedTables, func(g migrations.Guarded) bool { return g.Table == table }); i >= 0 {
				if err := redigested(plainly{db}, migrations.GuardedTables[i]); err != nil {
					t.Fatalf("%s: %v", what, err)
				}
				what += ", its digest made anew"
				anew++
			}
		}
		if ok {
			triggers.putBack(t, db)
		}
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
		if !ok {
			continue
		}
		made++
		if _, found := seen(t.Context(), bent); found {
			continue
		}
		if slices.Equal(want, standing(t, bent)) { // what follows from other rows alone was made again at opening
			healed++
			continue
		}
		t.Errorf("not seen: %s", what)
	}
	if made < *tamperings {
		t.Errorf("only %d changes could be made", made)
	}
	if anew == 0 {
		t.Error("no digest was made anew")
	}
	t.Logf("%d changes in %d tables, %d with their digests made anew, of which %d were made good by opening the studio", made, len(tables), anew, healed)
}

// The choice of what is in cipher that was taken out is not made anew by who opens the studio: the check finds that it is gone.
func TestAChoiceThatIsGoneIsNotMadeAnew(t *testing.T) {
	t.Parallel()
	place := bentStudio(t)
	triggers := bared(t, place)
	db := raw(t, place)
	res, err := db.Exec(`DELETE FROM vault`)
	if err != nil {
		t.Fatal(err)
	}
	if n, err := res.RowsAffected(); err != nil || n != 1 {
		t.Fatalf("%d choices were there, %v", n, err)
	}
	triggers.putBack(t, db)
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	for range 2 { // whoever opened it first changed nothing
		if what, found := seen(t.Context(), place); !found || !strings.Contains(what, "vault") {
			t.Errorf("found %v: %s", found, what)
		}
	}
}

// plainly is a database that is asked and changed without the store.
type plainly struct{ db *sql.DB }

func (p plainly) Exec(query string, args ...any) (int64, error) {
	res, err := p.db.Exec(query, args...)
	if err != nil {
		return 0, err
	}
	return res.RowsAffected()
}

func (p plainly) Each(query string, args []any, f func(*sql.Rows) error) error {
	rows, err := p.db.Query(query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := f(rows); err != nil {
			return err
		}
	}
	return rows.Err()
}

// tamper makes one change; ok is false when the database refused it, or nothing changed.
func tamper(t *testing.T, db *sql.DB, tables []string, chance *rand.Rand) (what, table string, ok bool) {
	t.Helper()
	for _, pragma := range []string{`PRAGMA foreign_keys = OFF`, `PRAGMA synchronous = OFF`} {
		if _, err := db.Exec(pragma); err != nil {
			t.Fatal(err)
		}
	}
	table = tables[chance.IntN(len(tables))]
	all := append(slices.Clone(copies.Tables), besides...)
	c := all[slices.IndexFunc(all, func(c copies.Table) bool { return c.Name == table })]
	of := strings.Split(c.Key, ", ")
	for i, k := range of {
		of[i] = `CAST(` + k + ` AS TEXT)`
	}
	key := strings.Join(of, ` || '/' || `)
	keys := column(t, db, `SELECT `+key+` FROM `+table)
	row, other := keys[chance.IntN(len(keys))], keys[chance.IntN(len(keys))]
	cols := c.Split()
	col := cols[chance.IntN(len(cols))]
	where, theirs := ` WHERE `+key+` = $1`, `(SELECT `+col+` FROM `+table+` WHERE `+key+` = $2)`
	args := []any{row}
	var query string
	switch chance.IntN(12) {
	case 0:
		query = `DELETE FROM ` + table + where
	case 1: // a cell gets that of another row
		query, args = `UPDATE `+table+` SET `+col+` = `+theirs+where+` AND `+col+` IS NOT `+theirs, append(args, other)
	case 2: // two rows exchange a cell
		query, args = `UPDATE `+table+` SET `+col+` = CASE `+key+` WHEN $1 THEN `+theirs+` ELSE (SELECT `+col+` FROM `+table+` WHERE `+key+` = $1) END WHERE `+key+` IN ($1, $2) AND `+
			theirs+` IS NOT (SELECT `+col+` FROM `+table+` WHERE `+key+` = $1)`, append(args, other)
	case 3: // a row is doubled, under another key
		values := strings.Replace(", "+c.Columns+",", ", "+strings.Split(c.Key, ", ")[0]+",", ", CASE typeof("+strings.Split(c.Key, ", ")[0]+") WHEN 'integer' THEN "+
			strings.Split(c.Key, ", ")[0]+" + 1000 ELSE "+strings.Split(c.Key, ", ")[0]+" || 'x' END,", 1)
		query = `INSERT INTO ` + table + ` (` + c.Columns + `) SELECT ` + strings.Trim(values, ", ") + ` FROM ` + table + where
	case 4: // it is emptied
		query = `UPDATE ` + table + ` SET ` + col + ` = CASE typeof(` + col + `) WHEN 'integer' THEN 0 ELSE '' END` + where + ` AND ` + col + ` NOT IN (0, '')`
	case 5: // one bit of a number, one letter of a text
		query = `UPDATE ` + table + ` SET ` + col + ` = CASE typeof(` + col + `) WHEN 'integer' THEN (` + col + ` | (1 << ` + fmt.Sprint(chance.IntN(40)) + `)) - (` + col + ` & (1 << ` + fmt.Sprint(chance.IntN(40)) +
			`)) ELSE substr(` + col + `, 2) END` + where
	default:
		query = `UPDATE ` + table + ` SET ` + col + ` = CASE typeof(` + col + `) WHEN 'integer' THEN ` + col + ` + 1 WHEN 'text' THEN ` + col + ` || 'x' ELSE 1 END` + where
	}
	before := rowsIn(t, db, c)
	res, err := db.Exec(query, args...)
	if err != nil {
		return "", table, false
	}
	n, err := res.RowsAffected()
	return fmt.Sprintf("%s, rows %v (%s)", query, args, table), table, err == nil && n > 0 && !slices.Equal(before, rowsIn(t, db, c))
}

// rowsIn is what stands in a table, row by row.
func rowsIn(t *testing.T, db *sql.DB, c copies.Table) (out []string) {
	t.Helper()
	rows, err := db.Query(c.Select())
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	values := make([]any, len(c.Split()))
	dest := make([]any, len(values))
	for j := range values {
		dest[j] = &values[j]
	}
	for rows.Next() {
		if err := rows.Scan(dest...); err != nil {
			t.Fatal(err)
		}
		out = append(out, fmt.Sprintf("%s: %v", c.Name, values))
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return out
}

// Whoever knows how digests are made bends a row that never changes, and its digest with it: the seal tells, also after a later one, and so it does
// when the row is taken out with its digest. That is proven of these tables from the first seal on.
func TestARowThatNeverChangesIsHeldAgainstItsSeal(t *testing.T) {
	t.Parallel()
	place := bentStudio(t)
	at := filepath.Join(t.TempDir(), "bent")
	tried := 0
	for _, g := range migrations.GuardedTables {
		if !g.Forever {
			continue
		}
		c := copies.Tables[slices.IndexFunc(copies.Tables, func(c copies.Table) bool { return c.Name == g.Table })]
		key := strings.Join(g.Key, " || ',' || ")
		for _, way := range []string{"changed", "taken out"} {
			file := copied(t, place, at)
			triggers := bared(t, file)
			db := raw(t, file)
			db.SetMaxOpenConns(1)
			rows := column(t, db, `SELECT CAST(`+key+` AS TEXT) FROM `+g.Table+` ORDER BY `+c.Key)
			if len(rows) == 0 {
				db.Close()
				continue
			}
			tried++
			last := c.Split()[len(c.Split())-1]
			query := `UPDATE ` + g.Table + ` SET ` + last + ` = CASE typeof(` + last + `) WHEN 'integer' THEN ` + last + ` + 1 ELSE ` + last + ` || 'x' END WHERE CAST(` + key + ` AS TEXT) = $1`
			if way == "taken out" {
				query = `DELETE FROM ` + g.Table + ` WHERE CAST(` + key + ` AS TEXT) = $1`
			}
			must := func(query string, args ...any) {
				t.Helper()
				if _, err := db.Exec(query, args...); err != nil {
					t.Fatalf("%s: %v", query, err)
				}
			}
			must(`PRAGMA foreign_keys = OFF`)
			must(query, rows[0])
			triggers.putBack(t, db)
			for i, k := range strings.Split(rows[0], ",") { // as if this program had done it
				if i == 0 {
					must(`INSERT INTO touched (part, k1, k2, k3) VALUES ($1, $2, '', '')`, g.Table, k)
				} else {
					must(`UPDATE touched SET k2 = $1`, k)
				}
			}
			if err := db.Close(); err != nil {
				t.Fatal(err)
			}
			s, err := Open(t.Context(), file, Options{There: true})
			if err != nil {
				continue // it is refused: that is seen, too
			}
			err = s.(*store).write(t.Context(), func(x *tx) error { x.KeepLeft(); return x.KeepDigests() })
			if err != nil {
				t.Fatal(err)
			}
			for _, when := range []string{"at once", "after another seal"} {
				var found []string
				err := s.(*store).read(t.Context(), func(x *tx) (err error) { found, err = x.VerifyRows(); return err })
				if err != nil || !slices.ContainsFunc(found, func(f string) bool { return strings.Contains(f, "after it was sealed, together with its digest") }) {
					t.Errorf("%s, a row %s, %s: %v %v", g.Table, way, when, found, err)
				}
				err = s.(*store).write(t.Context(), func(x *tx) error {
					leaf, err := x.SealDay("2031-03-05")
					if err == nil {
						_, err = x.AppendLeaf(leaf)
					}
					return err
				})
				if err != nil {
					t.Fatal(err)
				}
			}
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
		}
	}
	if tried < 18 {
		t.Errorf("only %d were tried", tried)
	}
}

func column(t *testing.T, db *sql.DB, query string) (out []string) {
	t.Helper()
	rows, err := db.Query(query)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	for rows.Next() {
		var text string
		if err := rows.Scan(&text); err != nil {
			t.Fatal(err)
		}
		out = append(out, text)
	}
	return out
}

// A bit that is turned in the file is found, or what stands in the tables of which a change must be found is word for word what stood there: it was in a place
// that holds nothing, or something of which a change harms nobody's money and nobody's print.
func TestTurnedBitsAreFound(t *testing.T) {
	t.Parallel()
	place := bentStudio(t)
	whole, err := os.ReadFile(place)
	if err != nil {
		t.Fatal(err)
	}
	want := standing(t, copied(t, place, filepath.Join(t.TempDir(), "whole")))
	chance := rand.New(rand.NewPCG(*tamperSeed+1, 15))
	at, bent := filepath.Join(t.TempDir(), "bent"), 0
	for range *bitflips {
		file := copied(t, place, at)
		body := append([]byte(nil), whole...)
		byteAt, bit := chance.IntN(len(body)), chance.IntN(8)
		body[byteAt] ^= 1 << bit
		if err := os.WriteFile(file, body, 0o600); err != nil {
			t.Fatal(err)
		}
		if _, found := seen(t.Context(), file); found {
			bent++
			continue
		}
		if diff := cmp.Diff(want, standing(t, file)); diff != "" {
			t.Errorf("bit %d of byte %d was turned, another studio stands there, and it is called sound: %s", bit, byteAt, diff)
		}
	}
	if bent == 0 {
		t.Error("no bit was found: nothing was tested")
	}
}

// standing is all that stands in the tables of which a change must be found, row by row.
func standing(t *testing.T, place string) (out []string) {
	t.Helper()
	db := raw(t, place)
	defer db.Close()
	names := bendable(t, db)
	for _, c := range append(slices.Clone(copies.Tables), besides...) {
		if slices.Contains(names, c.Name) {
			out = append(out, rowsIn(t, db, c)...)
		}
	}
	return out
}
