package damage

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"solander/book"
	"solander/edition"
	"solander/house"
	"solander/internal/pgtest"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/store"
	"solander/studio"
)

// trading makes a studio with an edition and sales of it, paid and signed.
func trading(ctx context.Context, place string, sales int) error {
	s, err := store.Open(ctx, place, store.Options{})
	if err != nil {
		return err
	}
	st := studio.New(s, studio.Options{})
	return errors.Join(trade(studio.WithWho(ctx, "Ines Corrow"), st, sales), s.Close())
}

func trade(ctx context.Context, st *studio.Studio, sales int) error {
	in := house.Defaults(measure.Imperial)
	in.Settings.Studio, in.Settings.Artist = "Marsh Lane Press", "Ines Corrow"
	in.Settings.Address = order.Address{Name: "Marsh Lane Press", Line1: "4 Marsh Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"}
	in.Work = edition.Work{Title: "Heron at dusk", Year: 2024}
	in.Edition = edition.Edition{
		Width: 12 * measure.Inch, Height: 16 * measure.Inch, Paper: "cotton rag", Grammage: 310 * measure.GSM, Caliper: measure.Millimetre / 2, Grade: "standard",
		Limit: 250, Proofs: edition.Proofs{AP: 5}, TightestRoll: 3 * measure.Inch, Price: money.Of(9000, "USD"), PrintCost: money.Of(1100, "USD"),
	}
	in.Sheets = sales + 1
	if err := house.SetUp(ctx, st, in); err != nil {
		return err
	}
	for i := range sales {
		to := order.Address{Name: fmt.Sprintf("Ada Quill %d", i), Line1: "12 Oak Street", City: "Denver", Region: "CO", Postcode: "80202", Country: "US"}
		v, err := book.TakeOrder(ctx, st, book.Sale{
			Outlet: 1, Ref: fmt.Sprintf("W-%d", i), Buyer: order.Buyer{Name: to.Name, Email: "ada@example.org"}, ShipTo: to,
			Lines: []book.SaleLine{{Edition: 1}}, Paid: money.Of(9000, "USD"), Note: "wants a loose corner",
		})
		if err != nil {
			return err
		}
		if err := register.Sign(ctx, st, []int64{v.Lines[0].ID}); err != nil {
			return err
		}
	}
	return nil
}

func sound(t *testing.T, st *studio.Studio) {
	t.Helper()
	if found, err := house.Check(t.Context(), st); err != nil || len(found) > 0 {
		t.Fatalf("before anything is done to it: %v %v", found, err)
	}
}

// TestFlippedBits flips bits of a studio's file: none breaks the program, and what cannot be read any more is told.
// How many changed bits are seen is told, too: what no index, sum, reference or journal knows of is not.
func TestFlippedBits(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	place := filepath.Join(t.TempDir(), "studio.db")
	if err := trading(t.Context(), place, 60); err != nil {
		t.Fatal(err)
	}
	const flips = 300
	told, err := Bits(t.Context(), place, t.TempDir(), 9, flips)
	if err != nil {
		t.Fatal(err)
	}
	t.Log(told)
	for _, b := range told.Broken {
		t.Error(b)
	}
	if told.Changed < flips/20 || told.Seen < told.Changed/3 {
		t.Errorf("%v: too few change anything, or are seen", told)
	}
}

// TestTampering changes what stands behind the triggers by SQL, puts every trigger back, and expects check to find it.
func TestTampering(t *testing.T) {
	wrong := map[string]string{
		`UPDATE payments SET amount = amount - 100 WHERE id = 1`: "the journal says otherwise: 90.00 USD paid",
		`UPDATE payments SET day = '2020-01-01' WHERE id = 1`:    "the journal says otherwise",
		`UPDATE payments SET note = 'x' WHERE id = 1`:            "the journal says otherwise",
		`UPDATE payments SET order_id = 2 WHERE id = 1`:          "the journal says otherwise",
		`UPDATE payments SET reversed = 1 WHERE id = 1`:          "contradict each other on whether it was taken back",
		`DELETE FROM payments WHERE id = 2`:                      "the payment 2 of order 2 is not there",
		`INSERT INTO payments (id, order_id, kind, amount, currency, day, note, reversed) SELECT 4, order_id, 'refund', 1, currency, day, note, 0 FROM payments WHERE id = 1`: "the journal tells of no refund of 0.01 USD",
		`UPDATE editions SET declared_limit = declared_limit + 1, ap = ap - 1`:                                                                                                "it was declared with limit 250",
		`UPDATE register SET order_mark = 'S-1002' WHERE seq = 1`:                                                                                                             "entry 1 of the register: it names another order than its line is of",
		`UPDATE register SET at = at - 60000000 WHERE seq = 3`:                                                                                                                "entry 3 of the register: it is from an earlier instant than the one before it",
	}
	places := map[string]func(*testing.T) string{
		"sqlite": func(t *testing.T) string {
			place := filepath.Join(t.TempDir(), "studio.db")
			if err := trading(t.Context(), place, 3); err != nil {
				t.Fatal(err)
			}
			return place
		},
		"postgres": func(t *testing.T) string {
			return pgtest.Copy(t, "trading", func(dsn string) error { return trading(context.Background(), dsn, 3) })
		},
	}
	for engine, place := range places {
		for query, want := range wrong {
			t.Run(engine+" "+query, func(t *testing.T) {
				at := place(t)
				s, err := store.Open(t.Context(), at, store.Options{})
				if err != nil {
					t.Fatal(err)
				}
				defer s.Close()
				st := studio.New(s, studio.Options{})
				sound(t, st)
				pastGuards(t, engine, at, query)
				found, err := house.Check(t.Context(), st)
				if err != nil {
					t.Fatal(err)
				}
				if !slices.ContainsFunc(found, func(f studio.Finding) bool { return strings.Contains(f.What, want) }) {
					t.Errorf("found %q, want %q", found, want)
				}
				if slices.ContainsFunc(found, func(f studio.Finding) bool { return strings.Contains(f.What, "trigger") }) {
					t.Errorf("the triggers were put back, and check says %q", found)
				}
			})
		}
	}
}

// pastGuards runs a statement with the triggers off, and puts them back as they were.
func pastGuards(t *testing.T, engine, place, query string) {
	t.Helper()
	db, err := sql.Open(map[string]string{"sqlite": "sqlite", "postgres": "pgx"}[engine], place)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	run := func(queries ...string) {
		t.Helper()
		for _, q := range queries {
			if _, err := db.Exec(q); err != nil {
				t.Fatalf("%s: %v", q, err)
			}
		}
	}
	if engine == "postgres" {
		run(`SET session_replication_role = replica`, query)
		return
	}
	rows, err := db.Query(`SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'`)
	if err != nil {
		t.Fatal(err)
	}
	var drop, create []string
	for rows.Next() {
		var name, text string
		if err := rows.Scan(&name, &text); err != nil {
			t.Fatal(err)
		}
		drop, create = append(drop, "DROP TRIGGER "+name), append(create, text)
	}
	if err := rows.Err(); err != nil || len(drop) == 0 {
		t.Fatalf("%d triggers, %v", len(drop), err)
	}
	rows.Close()
	run(drop...)
	run(query)
	run(create...)
}
