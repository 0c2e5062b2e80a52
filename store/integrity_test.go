package store

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestFindings holds that sums which do not hold are found and named.
func TestFindings(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	wrong := map[string]string{
		`UPDATE tallies SET free = free + 1 WHERE edition = 1`:                 "edition 1: the counts of its numbers are wrong",
		`UPDATE tallies SET held = held - 1 WHERE edition = 1`:                 "edition 1: the counts of its numbers are wrong",
		`DELETE FROM tallies WHERE edition = 2`:                                "edition 2: the counts of its numbers are wrong",
		`UPDATE stocks SET qty = 2`:                                            "sheets 1: the stock is not the sum of its moves",
		`DELETE FROM stocks`:                                                   "sheets 1: the stock is not the sum of its moves",
		`INSERT INTO stocks (kind, item, qty) VALUES ('sheets', 2, 4)`:         "sheets 2: the stock is not the sum of its moves",
		`UPDATE counters SET value = 0 WHERE name = 'orders'`:                  "orders: its counter is behind its rows, so that the next one would take an id that is taken",
		`DELETE FROM counters WHERE name = 'works'`:                            "works: its counter is behind its rows, so that the next one would take an id that is taken",
		`UPDATE entry_sums SET amount = amount + 1 WHERE account = 'deposits'`: "account deposits, 2031-03: the sum of the month is not that of its entries",
		`INSERT INTO earned_sums VALUES ('2031-03-04', 77, 0, 0, 0, 'USD', 0, 5, 5, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0)`: "order 77, 2031-03-04: what is kept as earned on the day is not what its entries say",
		`UPDATE order_sums SET remains = remains - 1`:                                       "order 1: what is kept of the order is not what its rows say",
		`UPDATE order_sums SET buyer = buyer + 1`:                                           "order 1: what is kept of the order is not what its rows say",
		`UPDATE order_sums SET again = 1`:                                                   "order 1: what is kept of the order is not what its rows say",
		`INSERT INTO order_sums VALUES (2, 1, '', 0, 0, 1)`:                                 "order 2: what is kept of the order is not what its rows say",
		`DELETE FROM order_sums`:                                                            "order 1: what is kept of the order is not what its rows say",
		`UPDATE lot_sums SET prints = prints + 1 WHERE lot = 'buyer'`:                       "buyer 1: what is kept of the lot is not what its entries say",
		`UPDATE lot_sums SET price = price + 1, remains = remains + 1 WHERE lot = 'outlet'`: "outlet 1, 2031-03: what is kept of the lot is not what its entries say",
		`DELETE FROM lot_sums WHERE lot = 'state'`:                                          "state US VA, 2031-03: what is kept of the lot is not what its entries say",
		`UPDATE lot_sums SET sheets = sheets - 1 WHERE lot = 'edition'`:                     "edition 1, 2031-03: what is kept of the lot is not what its entries say",
		`UPDATE layers SET remaining_cost = remaining_cost + 1`:                             "layer 1: what is left of the layer is not what its uses left",
		`INSERT INTO payments (id, order_id, kind, amount, currency, day, note, reversed) VALUES (90, 1, 'deposit', 7, 'USD', '2031-03-05', '', 0); UPDATE counters SET value = 90 WHERE name = 'payments'`: "order 1: the journal does not say of it what the book does (payment 90)",
		`DELETE FROM order_words`: "S-1001: an order has no words to be found by",
		`INSERT INTO register SELECT max(seq) + 1, 1, 'N', 3, 1, 'keep', 'kept', 0, 0, 0, '', '', 0, 'x', '', 0 FROM register`: "edition 1, number N 3: the number does not stand as its latest entry in the register says",
	}
	for engine, places := range engines {
		place := places(t)
		for query, want := range wrong {
			t.Run(engine+" "+query, func(t *testing.T) {
				at := place(t)
				s := opened(t, at)
				filled(t, s)
				if _, err := raw(t, at).Exec(query); err != nil {
					t.Fatal(err)
				}
				found, err := s.Integrity(t.Context())
				if err != nil {
					t.Fatal(err)
				}
				if !slices.Contains(found, want) {
					t.Errorf("found %q, want %q", found, want)
				}
			})
		}
	}
}

// Every counter that is of a table's ids is looked at.
func TestEveryCounterIsLookedAt(t *testing.T) {
	place := t.TempDir() + "/studio.db"
	stand(t, place)
	db := raw(t, place)
	defer db.Close()
	names := column(t, db, `SELECT c.name FROM counters c JOIN sqlite_schema s ON s.type = 'table' AND s.name = c.name`)
	for _, name := range names {
		if !slices.Contains(counted, name) && name != "sessions" && name != "phone_codes" { // rows that are in no copy, and pass
			t.Errorf("nobody looks at the counter of %s", name)
		}
	}
	if len(names) < len(counted) {
		t.Errorf("%d counters are there, %d are looked at", len(names), len(counted))
	}
}

// TestFindingsPostgres holds that guards which were switched off are found.
func TestFindingsPostgres(t *testing.T) {
	t.Parallel()
	place := engines["postgres"](t)(t)
	s := opened(t, place)
	filled(t, s)
	db := raw(t, place)
	for _, query := range []string{
		`ALTER TABLE register DISABLE TRIGGER register_no_update`,
		`DROP TRIGGER editions_no_truncate ON editions`,
		`ALTER TABLE works ADD CONSTRAINT late CHECK (year > 0) NOT VALID`,
	} {
		if _, err := db.Exec(query); err != nil {
			t.Fatal(err)
		}
	}
	found, err := s.Integrity(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(found, "\n")
	for _, want := range []string{"the trigger register_no_update is switched off", "the constraint late was never validated", "the trigger editions_no_truncate is gone"} {
		if !strings.Contains(all, want) {
			t.Errorf("found %q, want %q among it", all, want)
		}
	}
}

// TestFindingsSQLite holds that guards which are gone, references that point at nothing, and a file with
// broken pages are found.
func TestFindingsSQLite(t *testing.T) {
	place := filepath.Join(t.TempDir(), "studio.db")
	s := opened(t, place)
	filled(t, s)
	db := raw(t, place)
	for _, query := range []string{`DROP TRIGGER register_no_update`, `DELETE FROM lines WHERE id = 2`} { // foreign keys are off here
		if _, err := db.Exec(query); err != nil {
			t.Fatal(err)
		}
	}
	found, err := s.Integrity(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(found, "\n")
	for _, want := range []string{"the trigger register_no_update is gone", "points at a row of lines that is not there"} {
		if !strings.Contains(all, want) {
			t.Errorf("found %q, want %q among it", all, want)
		}
	}
	db.Close()
	s.Close()
	breakPages(t, place)
	broken, err := Open(t.Context(), place, Options{})
	if err != nil {
		return // it cannot even be opened: that says enough
	}
	defer broken.Close()
	if found, err := broken.Integrity(t.Context()); err == nil && len(found) == 0 {
		t.Error("a broken file is called sound")
	}
}

// breakPages writes over the second half of a file.
func breakPages(t *testing.T, path string) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for i := len(data) / 2; i < len(data); i++ {
		data[i] ^= 0x5a
	}
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
}
