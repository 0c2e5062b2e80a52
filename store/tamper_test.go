package store

import (
	"context"
	"database/sql"
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
	"solander/studio"
	"solander/studio/storetest/bed"
	"solander/supply"
)

var (
	tamperings = flag.Int("tamperings", 30, "random changes of rows by plain SQL")
	bitflips   = flag.Int("bitflips", 25, "random bits of the studio's file that are turned")
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
	for _, c := range copies.Tables {
		if why, not := unguarded[c.Name]; not && why != again && c.Name != "register" && c.Name != "leaves" && c.Name != "row_digests" {
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

// Triggers are dropped, one row is changed, taken out, doubled or exchanged with another, and the triggers are put back: the check finds it, whatever it was.
func TestRandomTamperingsAreFound(t *testing.T) {
	t.Parallel()
	place := bentStudio(t)
	chance := rand.New(rand.NewPCG(7, 15))
	made, at := 0, filepath.Join(t.TempDir(), "bent")
	if what, found := seen(t.Context(), copied(t, place, at)); found {
		t.Fatalf("found before anything was bent: %s", what)
	}
	for tries := 0; made < *tamperings && tries < 20**tamperings; tries++ {
		bent := copied(t, place, at)
		db := raw(t, bent)
		db.SetMaxOpenConns(1)
		what, ok := tamper(t, db, chance)
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
		if !ok {
			continue
		}
		made++
		if _, found := seen(t.Context(), bent); !found {
			t.Errorf("not seen: %s", what)
		}
	}
	if made < *tamperings {
		t.Errorf("only %d changes could be made", made)
	}
}

// tamper makes one change; ok is false when the database refused it, or nothing changed.
func tamper(t *testing.T, db *sql.DB, chance *rand.Rand) (what string, ok bool) {
	t.Helper()
	tables := bendable(t, db)
	table := tables[chance.IntN(len(tables))]
	must := func(query string, args ...any) {
		t.Helper()
		if _, err := db.Exec(query, args...); err != nil {
			t.Fatalf("%s: %v", query, err)
		}
	}
	must(`PRAGMA foreign_keys = OFF`)
	triggers := column(t, db, `SELECT name FROM sqlite_schema WHERE type = 'trigger'`)
	texts := column(t, db, `SELECT sql FROM sqlite_schema WHERE type = 'trigger'`)
	for _, name := range triggers {
		must(`DROP TRIGGER ` + name)
	}
	defer func() {
		for _, text := range texts {
			must(text)
		}
	}()
	i := 0
	for j, c := range copies.Tables {
		if c.Name == table {
			i = j
		}
	}
	c := copies.Tables[i]
	key := strings.Split(c.Key, ", ")[0]
	keys := column(t, db, `SELECT CAST(`+key+` AS TEXT) FROM `+table)
	row := keys[chance.IntN(len(keys))]
	cols := c.Split()
	col := cols[chance.IntN(len(cols))]
	var query string
	switch chance.IntN(10) {
	case 0:
		query = `DELETE FROM ` + table + ` WHERE CAST(` + key + ` AS TEXT) = $1`
	case 1: // a cell gets that of another row
		other := keys[chance.IntN(len(keys))]
		query = `UPDATE ` + table + ` SET ` + col + ` = (SELECT ` + col + ` FROM ` + table + ` WHERE CAST(` + key + ` AS TEXT) = '` + other + `' LIMIT 1) WHERE CAST(` + key + ` AS TEXT) = $1 AND ` +
			col + ` IS NOT (SELECT ` + col + ` FROM ` + table + ` WHERE CAST(` + key + ` AS TEXT) = '` + other + `' LIMIT 1)`
	default:
		query = `UPDATE ` + table + ` SET ` + col + ` = CASE typeof(` + col + `) WHEN 'integer' THEN ` + col + ` + 1 WHEN 'text' THEN ` + col + ` || 'x' ELSE 1 END WHERE CAST(` + key + ` AS TEXT) = $1`
	}
	res, err := db.Exec(query, row)
	if err != nil {
		return "", false
	}
	n, err := res.RowsAffected()
	return fmt.Sprintf("%s, row %s (%s)", query, row, table), err == nil && n > 0
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
	chance := rand.New(rand.NewPCG(8, 15))
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
	for _, name := range bendable(t, db) {
		i := slices.IndexFunc(copies.Tables, func(c copies.Table) bool { return c.Name == name })
		rows, err := db.Query(copies.Tables[i].Select())
		if err != nil {
			t.Fatal(err)
		}
		values := make([]any, len(copies.Tables[i].Split()))
		dest := make([]any, len(values))
		for j := range values {
			dest[j] = &values[j]
		}
		for rows.Next() {
			if err := rows.Scan(dest...); err != nil {
				t.Fatal(err)
			}
			out = append(out, fmt.Sprintf("%s: %v", name, values))
		}
		if err := rows.Err(); err != nil {
			t.Fatal(err)
		}
		rows.Close()
	}
	return out
}
