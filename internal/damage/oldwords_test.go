package damage

import (
	"context"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"solander/book"
	"solander/dispatch"
	"solander/house"
	"solander/internal/pgtest"
	"solander/money"
	"solander/order"
	"solander/store"
	"solander/studio"
)

// asOnce puts the journal back into the words in which earlier editions told payments, some without the payment as it was recorded.
var asOnce = []string{
	`UPDATE marks SET text = replace(text, ' paid, a deposit', ' paid (deposit)') WHERE kind = 'paid'`,
	`UPDATE marks SET text = text || ' (balance)' WHERE kind = 'paid' AND text LIKE '% paid'`,
}

// digested makes the digests of a table's rows anew, as if this program had written them so.
func digested(t *testing.T, engine, place, table string) {
	t.Helper()
	pastGuards(t, engine, place, `INSERT INTO touched (part, k1, k2, k3) SELECT '`+table+`', CAST(id AS TEXT), '', '' FROM `+table)
	s, err := store.Open(t.Context(), place, store.Options{Hasty: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
}

// A studio whose journal tells of payments in older words beside newer ones is sound, reads in today's words, keeps what was written, and
// a payment that was changed behind the journal is found under either.
func TestOlderWordsOfPayments(t *testing.T) {
	for engine, place := range map[string]func(*testing.T) string{
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
	} {
		t.Run(engine, func(t *testing.T) {
			at := place(t)
			s, err := store.Open(t.Context(), at, store.Options{})
			if err != nil {
				t.Fatal(err)
			}
			defer s.Close()
			st := studio.New(s, studio.Options{})
			sale := func(paid int64) studio.OrderView {
				t.Helper()
				to := order.Address{Name: "Odo Marsh", Line1: "9 Elm Street", City: "Denver", Region: "CO", Postcode: "80202", Country: "US"}
				v, err := book.TakeOrder(t.Context(), st, book.Sale{Outlet: 1, Buyer: order.Buyer{Name: to.Name}, ShipTo: to, Lines: []book.SaleLine{{Edition: 1}}, Paid: money.Of(paid, "USD")})
				if err != nil {
					t.Fatal(err)
				}
				return v
			}
			old := sale(4000)
			for _, query := range asOnce {
				pastGuards(t, engine, at, query)
			}
			pastGuards(t, engine, at, `UPDATE marks SET detail = '{"payment":2}' WHERE kind = 'paid' AND order_id = 2`)
			digested(t, engine, at, "marks")
			if v, err := s.Vouched(t.Context()); err != nil || v.Place && s.VouchRows(t.Context(), func(studio.Tx) error { return nil }) != nil {
				t.Fatal("the older words are not taken on", err)
			}
			written := texts(t, s)
			if !slices.Contains(written, "40.00 USD paid (deposit)") || !slices.Contains(written, "90.00 USD paid (balance)") {
				t.Fatalf("the journal is not as once: %q", written)
			}
			sale(9000)
			sound(t, st)

			marks, err := dispatch.RecentMarks(t.Context(), st)
			if err != nil {
				t.Fatal(err)
			}
			var told []string
			for _, m := range marks {
				told = append(told, m.Text)
			}
			for _, want := range []string{"40.00 USD paid, a deposit", "90.00 USD paid"} {
				if !slices.Contains(told, want) {
					t.Errorf("shown are %q, none is %q", told, want)
				}
			}
			if i := slices.IndexFunc(told, func(s string) bool { return strings.Contains(s, "(") && strings.Contains(s, " paid ") }); i >= 0 {
				t.Errorf("%q is shown", told[i])
			}
			v, err := book.Order(t.Context(), st, old.ID)
			if err != nil {
				t.Fatal(err)
			}
			i := slices.IndexFunc(v.Marks, func(m studio.Mark) bool { return m.Kind == studio.MarkPaid })
			if i < 0 || v.Marks[i].Text != "40.00 USD paid, a deposit" {
				t.Fatalf("the order shows %+v", v.Marks)
			}
			if err := dispatch.Undo(t.Context(), st, v.Marks[i].ID); err != nil {
				t.Fatal(err)
			}
			sound(t, st)
			if now := texts(t, s); !slices.Equal(now[:len(written)], written) {
				t.Errorf("what was written became %q, was %q", now, written)
			}

			pastGuards(t, engine, at, `UPDATE payments SET amount = amount - 100 WHERE id = 2`) // told in older words alone
			pastGuards(t, engine, at, `UPDATE payments SET kind = 'deposit' WHERE id = 5`)      // told in newer ones
			found, err := house.Check(t.Context(), st)
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range []string{"the payment 2 is a balance of 89.00 USD", "the payment 5 is a deposit of 90.00 USD"} {
				if !slices.ContainsFunc(found, func(f studio.Finding) bool { return strings.Contains(f.What, want) }) {
					t.Errorf("found %q, want %q", found, want)
				}
			}
		})
	}
}

// texts are the marks of payments as they are written, oldest first.
func texts(t *testing.T, s studio.Store) []string {
	t.Helper()
	var out []string
	err := s.Read(t.Context(), func(tx studio.Tx) error {
		marks, err := tx.MarksAfter(0, 1000)
		for _, m := range marks {
			if m.Kind == studio.MarkPaid {
				out = append(out, m.Text)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
