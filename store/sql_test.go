package store

import (
	"database/sql"
	"fmt"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/certificate"
	"solander/disclosure"
	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/intake/kept"
	"solander/invoice"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/store/copies"
	"solander/store/engine"
	"solander/store/migrations"
	"solander/studio"
	"solander/studio/storetest/bed"
	"solander/supply"
)

// raw opens the database beside the store, as another program might.
func raw(t *testing.T, place string) *sql.DB {
	t.Helper()
	driver := "sqlite"
	if isPostgres(place) {
		driver = "pgx"
	}
	db, err := sql.Open(driver, place)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db
}

// onEach runs a test on every engine, with a store and a connection beside it.
func onEach(t *testing.T, f func(t *testing.T, engine string, s studio.Store, db *sql.DB)) {
	t.Helper()
	for engine, places := range engines {
		t.Run(engine, func(t *testing.T) {
			place := places(t)(t)
			s := opened(t, place)
			f(t, engine, s, raw(t, place))
		})
	}
}

// filled fills a store with two numbers taken, a payment, a stock and a second edition.
func filled(t *testing.T, s studio.Store) {
	t.Helper()
	err := s.Write(t.Context(), func(tx studio.Tx) error {
		h, err := bed.Furnish(tx)
		if err != nil {
			return err
		}
		ed, err := tx.Declare(h.Print(5))
		if err != nil {
			return err
		}
		if err := tx.CloseEdition(ed); err != nil {
			return err
		}
		if _, err := bed.Ending(tx, edition.Closing{Edition: ed, Fact: edition.Closed, Files: "deleted"}); err != nil {
			return err
		}
		paper, err := bed.Certified(tx, ed, 0)
		if err != nil {
			return err
		}
		if _, err := bed.Ended(tx, certificate.End{Certificate: paper.ID, Reason: "torn"}); err != nil {
			return err
		}
		if _, err := bed.Told(tx, certificate.Transfer{Edition: ed, Number: paper.Number, Certificate: paper.ID, Told: certificate.Lost}, certificate.Owner{Salt: "salt"}); err != nil {
			return err
		}
		if _, err := tx.AddSaying(disclosure.Saying{Edition: ed, Fact: disclosure.Year, Said: disclosure.Stated, Words: "2031"}); err != nil {
			return err
		}
		for range 2 {
			if _, err := h.Take(tx, ed); err != nil {
				return err
			}
		}
		if _, err := tx.AddPayment(order.Payment{Order: 1, Kind: order.Deposit, Amount: h.Print(1).Price}); err != nil {
			return err
		}
		if err := bed.Galleries(tx, h, ed); err != nil {
			return err
		}
		if err := bed.Table(tx, h); err != nil {
			return err
		}
		if err := bed.Banked(tx, 1); err != nil {
			return err
		}
		sold, err := tx.Order(1)
		if err != nil {
			return err
		}
		parcel, err := tx.AddParcel(studio.Parcel{Order: 1, State: studio.HandedOver})
		if err != nil {
			return err
		}
		if err := bed.Claimed(tx, parcel, sold); err != nil {
			return err
		}
		if _, err := bed.PaidOut(tx, h, 1); err != nil {
			return err
		}
		if err := tx.ReversePayment(1); err != nil {
			return err
		}
		price := h.Print(1).Price
		for _, b := range []invoice.Bill{{Kind: invoice.Invoice, Number: 7}, {Kind: invoice.Invoice, Number: 8}, {Kind: invoice.Credit, Number: 1, Corrects: 1}} {
			b.Order, b.Net, b.Total, b.Tax, b.Body.Reason = 1, price, price, money.Of(0, price.Currency), "x"
			if _, err := tx.AddBill(b); err != nil {
				return err
			}
		}
		_, err = tx.Declare(edition.Edition{Work: h.Work, Limit: 2})
		if err != nil {
			return err
		}
		in, err := tx.AddIntake(kept.Intake{Name: "sales.csv", Hash: "ff"})
		if err != nil {
			return err
		}
		if err := bed.Abroad(tx, 1, 1); err != nil {
			return err
		}
		if err := tx.AddOrigins(in, []kept.MadeOf{{Order: 1, Origin: intake.Origin{Row: 2, Hash: "aa", Cells: []string{"x"}}}}); err != nil {
			return err
		}
		if _, err := tx.AddPayment(order.Payment{Order: 2, Kind: order.Deposit, Amount: h.Print(1).Price, Day: bed.Today}); err != nil {
			return err
		}
		if err := tx.ClosePeriod(ledger.Closing{Until: bed.Today.Add(-1000)}); err != nil {
			return err
		}
		if err := tx.AddMove(supply.Move{Kind: supply.Sheets, Of: ed, Delta: 4}); err != nil {
			return err
		}
		return tx.AddMove(supply.Move{Kind: supply.Sheets, Of: ed, Delta: -1})
	})
	if err != nil {
		t.Fatal(err)
	}
}

// never is what the database refuses to anybody.
var never = []string{
	`UPDATE register SET who = 'x' WHERE seq = 1`,
	`UPDATE register SET line = 2`,
	`UPDATE register SET seq = seq + 10`,
	`DELETE FROM register WHERE seq = 2`,
	`DELETE FROM register`,
	`UPDATE agreements SET total = total + 1`,
	`DELETE FROM agreements`,
	`UPDATE foreign_payments SET worth = worth + 1`,
	`DELETE FROM foreign_payments`,
	`INSERT INTO register SELECT seq + 1, edition, kind, number, turn, step, state, line, signed, struck, order_mark, day, at, who, note, undoes
		FROM register WHERE seq = 2`, // a turn twice
	`INSERT INTO register SELECT seq + 1, edition, kind, number, turn + 2, step, state, line, signed, struck, order_mark, day, at, who, note, undoes
		FROM register WHERE seq = 2`, // a turn left out
	`INSERT INTO register SELECT seq + 2, edition, kind, number, turn + 1, step, state, line, signed, struck, order_mark, day, at, who, note, undoes
		FROM register WHERE seq = 2`, // a position left out
	`INSERT INTO register SELECT seq + 1, edition, kind, 99, 1, step, state, line, signed, struck, order_mark, day, at, who, note, undoes
		FROM register WHERE seq = 2`, // a number that the edition has not
	`UPDATE editions SET declared_limit = 6 WHERE id = 1`,
	`UPDATE editions SET declared_limit = 4 WHERE id = 1`,
	`UPDATE editions SET declared_limit = 0 WHERE id = 1`,
	`UPDATE editions SET ap = 3 WHERE id = 1`,
	`UPDATE editions SET pp = 1 WHERE id = 1`,
	`UPDATE editions SET hc = 1 WHERE id = 1`,
	`UPDATE editions SET bat = 1 WHERE id = 1`,
	`UPDATE editions SET closed = 0 WHERE id = 1`,
	`UPDATE editions SET id = 9 WHERE id = 2`,
	`DELETE FROM editions WHERE id = 2`,
	`DELETE FROM editions`,
	`INSERT INTO impressions (edition, kind, number) VALUES (1, 'N', 6)`,
	`INSERT INTO impressions (edition, kind, number) VALUES (1, 'HC', 1)`,
	`INSERT INTO impressions (edition, kind, number) VALUES (1, 'N', 3)`,
	`INSERT INTO impressions (edition, kind, number) VALUES (9, 'N', 1)`,
	`UPDATE impressions SET number = 6 WHERE edition = 1 AND kind = 'N' AND number = 5`,
	`UPDATE impressions SET state = 'free', line = NULL, available = 1 WHERE edition = 1 AND number = 1 AND kind = 'N'`,
	`UPDATE impressions SET state = 'free', line = NULL, available = 1, turn = turn + 1 WHERE edition = 1 AND number = 1 AND kind = 'N'`,
	`UPDATE impressions SET line = 1, available = 0 WHERE edition = 1 AND number = 3 AND kind = 'N'`,
	`UPDATE impressions SET available = 1 WHERE edition = 1 AND number = 1 AND kind = 'N'`,
	`DELETE FROM impressions WHERE edition = 2`,
	`UPDATE moves SET delta = 4`,
	`DELETE FROM moves`,
	`UPDATE stocks SET qty = -1`,
	`UPDATE payments SET amount = amount + 1`,
	`UPDATE payments SET day = '2031-01-01'`,
	`UPDATE payments SET kind = 'refund'`,
	`UPDATE payments SET order_id = 2`,
	`UPDATE payments SET note = 'x'`,
	`UPDATE payments SET currency = 'EUR'`,
	`UPDATE payments SET reversed = 0`,
	`DELETE FROM payments`,
	`UPDATE bills SET total = total + 1, net = net + 1`,
	`UPDATE bills SET number = 9 WHERE number = 8`,
	`UPDATE bills SET day = '2031-01-01'`,
	`UPDATE bills SET body = '{}'`,
	`UPDATE bills SET to_name = 'x'`,
	`UPDATE bills SET to_lines = 'x'`,
	`UPDATE bills SET reason = 'y'`,
	`UPDATE bills SET corrects = NULL WHERE corrects IS NOT NULL`,
	`DELETE FROM bills WHERE id = 2`,
	`DELETE FROM bills`,
	billAs(`id + 10, kind, number`), // a number twice
	billAs(`id + 10, kind, number + 2`),
	billAs(`id + 10, kind, number - 1`),
	`UPDATE intakes SET name = 'x'`,
	`DELETE FROM intakes`,
	`UPDATE origins SET cells = '[]'`,
	`UPDATE origins SET hash = 'bb'`,
	`DELETE FROM origins`,
	`UPDATE entries SET day = '2031-01-01'`,
	`UPDATE entries SET text = 'x'`,
	`DELETE FROM entries`,
	`INSERT INTO entries SELECT id + 100, day, true_day, subject, subject_id, part, text, at, who FROM entries`, // without lines
	`UPDATE entry_lines SET amount = -amount`,
	`UPDATE entry_lines SET account = 'cash'`,
	`DELETE FROM entry_lines`,
	`INSERT INTO entry_lines SELECT entry, place + 100, account, amount, currency, order_id, line, edition, outlet, run FROM entry_lines`,
	`UPDATE closed_periods SET until = '2020-01-01'`,
	`DELETE FROM closed_periods`,
	`INSERT INTO closed_periods (id, until, at, who) VALUES (9, '1900-01-01', 0, '')`, // up to a day that is closed
	`DELETE FROM layers`,
	`UPDATE layers SET cost = cost + 1`,
	`UPDATE layers SET remaining = pieces + 1`,
	`UPDATE layer_uses SET cost = cost + 1`,
	`DELETE FROM layer_uses`,
	`UPDATE moves SET cost = cost + 1`,
	`UPDATE tallies SET free = -1 WHERE edition = 1`,
	`UPDATE consignments SET price = price + 1`,
	`UPDATE consignments SET share = 0`,
	`UPDATE consignments SET bears = 'artist'`,
	`DELETE FROM consignments`,
	`UPDATE gallery_moneys SET amount = amount + 1`,
	`DELETE FROM gallery_moneys`,
	`UPDATE claims SET parcel = parcel + 1`,
	`UPDATE claims SET told = '2031-01-01'`,
	`UPDATE claims SET paid = granted + 1`,
	`DELETE FROM claims`,
	`UPDATE payments SET how = 'card'`,
	`UPDATE fair_days SET outlet = outlet + 1`,
	`UPDATE fair_days SET day = '2031-01-01'`,
	`DELETE FROM fair_days`,
	`UPDATE fair_costs SET amount = amount + 1`,
	`UPDATE fair_costs SET kind = 'other'`,
	`UPDATE fair_costs SET from_box = 0`,
	`DELETE FROM fair_costs`,
	`UPDATE fair_carries SET amount = amount + 1`,
	`UPDATE fair_carries SET day = '2031-01-01'`,
	`DELETE FROM fair_carries`,
	`UPDATE payouts SET net = net + 1`,
	`UPDATE payouts SET day = '2031-01-01'`,
	`DELETE FROM payouts`,
	`UPDATE payout_parts SET fee = fee + 1`,
	`UPDATE payout_parts SET noted = 1`,
	`DELETE FROM payout_parts`,
	`INSERT INTO payout_parts SELECT payout + 1, order_id, gross, gross_currency, was, was_currency, fee, fee_currency, payment_fees, payment_fees_currency, NULL, 0 FROM payout_parts`, // paid out twice
	`UPDATE bank_lines SET amount = amount + 1`,
	`UPDATE bank_lines SET day = '2031-01-01'`,
	`UPDATE bank_lines SET ref = 'x'`,
	`UPDATE bank_lines SET payout = 1 WHERE id = 1`, // two things at once
	`UPDATE bank_lines SET state = 'matched' WHERE id = 2`,
	`DELETE FROM orders WHERE id = 1`,
	`DELETE FROM lines WHERE id = 1`,
	`UPDATE certificates SET code = 'SOL1:1'`,
	`DELETE FROM certificates`,
	`UPDATE certificate_ends SET reason = 'none'`,
	`DELETE FROM certificate_ends`,
	`UPDATE transfers SET told = 'found'`,
	`DELETE FROM transfers`,
	`UPDATE sayings SET words = '1831'`,
	`DELETE FROM sayings`,
	`UPDATE closings SET files = 'kept'`,
	`DELETE FROM closings`,
}

// billAs adds the last invoice once more, with another id, kind and number.
func billAs(which string) string {
	return `INSERT INTO bills SELECT ` + which + `, day, order_id, corrects, net, net_currency, tax, tax_currency, total, total_currency,
		to_name, to_lines, reason, body, at, who FROM bills WHERE id = 2`
}

// neverOn is what only one engine could be asked for.
var neverOn = map[string][]string{
	"sqlite": {
		`REPLACE INTO register SELECT seq, edition, kind, number, turn, step, state, 2, signed, struck, order_mark, day, at, who, note, undoes FROM register WHERE seq = 1`,
		`INSERT OR REPLACE INTO register SELECT seq + 1, edition, kind, number, turn, step, state, 2, signed, struck, order_mark, day, at, who, note, undoes FROM register WHERE seq = 2`,
		`INSERT OR IGNORE INTO register SELECT seq + 1, edition, kind, number, turn, step, state, 2, signed, struck, order_mark, day, at, who, note, undoes FROM register WHERE seq = 2`,
		`UPDATE OR REPLACE register SET seq = 2 WHERE seq = 1`,
		`REPLACE INTO editions SELECT id, work, width, height, paper, grammage, caliper, grade, technique, 500, ap, pp, hc, bat, tightest_roll, price,
			price_currency, price_steps, print_cost, print_cost_currency, declared, closed FROM editions WHERE id = 1`,
		`UPDATE OR REPLACE editions SET declared_limit = 7`,
		`REPLACE INTO moves SELECT id, kind, item, delta + 1, reason, day, at, who FROM moves`,
		`REPLACE INTO entries SELECT id, '2031-01-01', true_day, subject, subject_id, part, text, at, who FROM entries`,
		`REPLACE INTO entry_lines SELECT entry, place, account, amount * 2, currency, order_id, line, edition, outlet, run FROM entry_lines`,
		`REPLACE INTO closed_periods SELECT id, '2031-01-01', at, who FROM closed_periods`,
		`REPLACE INTO agreements SELECT id, order_id, total + 1, total_currency, book, book_currency, rate, day, at, who FROM agreements`,
		`REPLACE INTO foreign_payments SELECT id, payment, order_id, came, came_currency, worth + 1, worth_currency, rate, at, who FROM foreign_payments`,
		`REPLACE INTO layers SELECT id, kind, item, run, move, pieces, cost + 1, cost_currency, remaining, remaining_cost FROM layers`,
		`REPLACE INTO layer_uses SELECT move, place, layer, pieces, cost + 1, currency, cause, line, parcel, consignment FROM layer_uses`,
		`REPLACE INTO payments SELECT id, order_id, kind, amount + 1, currency, day, note, reversed FROM payments`,
		strings.Replace(billAs(`id, kind, number + 1`), "INSERT", "REPLACE", 1),
		strings.Replace(billAs(`id + 10, kind, number`), "INSERT", "REPLACE", 1),
		`REPLACE INTO intakes SELECT id, 'x', hash, mapping, made, day, at, who, back_day, back_at, back_who, back_why FROM intakes`,
		`REPLACE INTO origins SELECT order_id, place, intake, sheet, sheet_row, fill, '[]', hash, gone FROM origins`,
		`REPLACE INTO origins SELECT order_id, place + 1, intake, sheet, sheet_row, fill, '[]', hash, gone FROM origins`,
		`REPLACE INTO impressions (edition, kind, number) VALUES (1, 'N', 1)`,
		`REPLACE INTO certificates SELECT id, edition, kind, number, 'SOL1:1', facts, key, place, before, day, at, who FROM certificates`,
		`REPLACE INTO certificate_ends SELECT id + 1, certificate, followed_by, 'none', day, at, who FROM certificate_ends`,
		`REPLACE INTO transfers SELECT id, edition, kind, number, certificate, 'found', kept, day, at, who FROM transfers`,
		`REPLACE INTO sayings SELECT id, edition, fact, said, '1831', day, at, who FROM sayings`,
		`REPLACE INTO closings SELECT id + 1, edition, fact, 'kept', note, withdrawn, day, at, who FROM closings`,
	},
	"postgres": {
		`TRUNCATE register`, `TRUNCATE register CASCADE`, `TRUNCATE editions CASCADE`, `TRUNCATE impressions CASCADE`, `TRUNCATE moves`, `TRUNCATE origins`, `TRUNCATE intakes CASCADE`, `TRUNCATE payments CASCADE`, `TRUNCATE agreements`, `TRUNCATE foreign_payments`, `TRUNCATE bills`,
		`TRUNCATE certificates CASCADE`, `TRUNCATE certificate_ends`, `TRUNCATE transfers CASCADE`,
		`TRUNCATE sayings`, `TRUNCATE closings`, `TRUNCATE entries CASCADE`, `TRUNCATE entry_lines`, `TRUNCATE closed_periods`, `TRUNCATE layers CASCADE`, `TRUNCATE layer_uses`,
		`TRUNCATE works CASCADE`, `TRUNCATE orders CASCADE`,
		`INSERT INTO register SELECT * FROM register WHERE seq = 1 ON CONFLICT (seq) DO UPDATE SET line = 2`,
		`MERGE INTO register r USING (SELECT 1) ON r.seq = 1 WHEN MATCHED THEN UPDATE SET line = 2`,
	},
}

// TestNever shows that what is kept for good cannot be changed past the program, with raw SQL.
func TestNever(t *testing.T) {
	t.Parallel()
	onEach(t, func(t *testing.T, engine string, s studio.Store, db *sql.DB) {
		filled(t, s)
		if engine == "sqlite" { // foreign keys are off unless a connection asks for them
			db.SetMaxOpenConns(1)
			if _, err := db.Exec(`PRAGMA foreign_keys = 1`); err != nil {
				t.Fatal(err)
			}
		}
		before := contents(t, db)
		for _, query := range append(never, neverOn[engine]...) {
			if _, err := db.Exec(query); err == nil {
				t.Errorf("went through: %s", query)
			}
			if diff := cmp.Diff(before, contents(t, db)); diff != "" {
				t.Fatalf("%s changed (-before +after):\n%s", query, diff)
			}
		}
		if found, err := s.Integrity(t.Context()); err != nil || len(found) > 0 {
			t.Errorf("integrity: %v %v", found, err)
		}
	})
}

// TestNeverWithoutForeignKeys shows the same of the register and the limits on a SQLite connection that
// does not look at foreign keys.
func TestNeverWithoutForeignKeys(t *testing.T) {
	t.Parallel()
	place := engines["sqlite"](t)(t)
	s := opened(t, place)
	filled(t, s)
	db := raw(t, place)
	before := contents(t, db)
	n := 0
	for _, query := range append(never, neverOn["sqlite"]...) {
		if strings.Contains(query, "99, 1, step") || strings.HasPrefix(query, "DELETE FROM orders") || strings.HasPrefix(query, "DELETE FROM lines") {
			continue // a foreign key alone stands before these
		}
		n++
		if _, err := db.Exec(query); err == nil {
			t.Errorf("went through: %s", query)
		}
	}
	if n < 40 {
		t.Fatalf("only %d statements were tried", n)
	}
	if diff := cmp.Diff(before, contents(t, db)); diff != "" {
		t.Errorf("changed (-before +after):\n%s", diff)
	}
}

// contents returns all that the guarded tables hold.
func contents(t *testing.T, db *sql.DB) map[string][][]any {
	t.Helper()
	out := make(map[string][][]any)
	for _, table := range copies.Tables {
		switch table.Name {
		case "register", "editions", "impressions", "moves", "payments", "bills", "stocks", "tallies", "intakes", "origins", "entries", "entry_lines", "closed_periods", "layers", "layer_uses":
		default:
			continue
		}
		rows, err := db.Query(table.Select())
		if err != nil {
			t.Fatal(err)
		}
		for rows.Next() {
			values, dest := make([]any, len(table.Split())), make([]any, len(table.Split()))
			for i := range values {
				dest[i] = &values[i]
			}
			if err := rows.Scan(dest...); err != nil {
				t.Fatal(err)
			}
			out[table.Name] = append(out[table.Name], values)
		}
		if err := rows.Err(); err != nil {
			t.Fatal(err)
		}
		rows.Close()
	}
	for _, name := range []string{"register", "editions", "impressions", "moves", "payments", "bills", "intakes", "origins", "entries", "entry_lines", "closed_periods", "layers", "layer_uses"} {
		if len(out[name]) == 0 {
			t.Fatalf("table %s is empty: nothing was tested", name)
		}
	}
	return out
}

// TestArgumentsByNumber shows that both drivers bind $2 to the second argument even where it stands first.
func TestArgumentsByNumber(t *testing.T) {
	t.Parallel()
	onEach(t, func(t *testing.T, _ string, _ studio.Store, db *sql.DB) {
		var got [4]string
		err := db.QueryRow(`SELECT CAST($2 AS TEXT), CAST($1 AS TEXT), CAST($2 AS TEXT), CAST($3 AS TEXT)`, "one", "two", "three").
			Scan(&got[0], &got[1], &got[2], &got[3])
		if err != nil {
			t.Fatal(err)
		}
		if want := [4]string{"two", "one", "two", "three"}; got != want {
			t.Errorf("got %v, want %v", got, want)
		}
	})
}

// TestMigrations holds that both engines have the same migrations, numbered from 1 without a gap.
func TestMigrations(t *testing.T) {
	form := regexp.MustCompile(`^(\d{5})_[a-z_]+\.sql$`)
	var names [][]string
	for engine := range engines {
		files, err := fs.ReadDir(migrations.Files, engine)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s has no migration: nothing was tested (%v)", engine, err)
		}
		var own []string
		for i, f := range files {
			m := form.FindStringSubmatch(f.Name())
			if m == nil || m[1] != fmt.Sprintf("%05d", i+1) {
				t.Errorf("%s: migration %d is called %s", engine, i+1, f.Name())
			}
			own = append(own, f.Name())
		}
		names = append(names, own)
	}
	for _, other := range names[1:] {
		if diff := cmp.Diff(names[0], other); diff != "" {
			t.Errorf("the engines have different migrations (-one +other):\n%s", diff)
		}
	}
}

// TestTables holds that a copy knows every table and column that the migrations make, on both engines. The
// count of writes belongs to a file, and who is signed in to where the program runs: they are in no copy.
func TestTables(t *testing.T) {
	t.Parallel()
	list := map[string]string{
		"sqlite": `SELECT m.name, c.name FROM sqlite_schema m JOIN pragma_table_info(m.name) c WHERE m.type = 'table'
			AND m.name NOT LIKE 'sqlite_%' AND m.name NOT LIKE '%_words%' AND m.name NOT IN ('schema_versions', 'high_water', 'sessions', 'sign_in_failures', 'ceremonies', 'phone_codes', 'phone_keys') ORDER BY m.name, c.cid`,
		"postgres": `SELECT table_name, column_name FROM information_schema.columns WHERE table_schema = current_schema()
			AND table_name NOT LIKE '%_words' AND table_name NOT IN ('schema_versions', 'high_water', 'sessions', 'sign_in_failures', 'ceremonies', 'phone_codes', 'phone_keys') ORDER BY table_name, ordinal_position`,
	}
	want := make(map[string][]string)
	for _, table := range copies.Tables {
		want[table.Name] = table.Split()
	}
	onEach(t, func(t *testing.T, engine string, _ studio.Store, db *sql.DB) {
		rows, err := db.Query(list[engine])
		if err != nil {
			t.Fatal(err)
		}
		defer rows.Close()
		got := make(map[string][]string)
		for rows.Next() {
			var name, column string
			if err := rows.Scan(&name, &column); err != nil {
				t.Fatal(err)
			}
			if !slices.Contains(copies.Apart, name) && !slices.Contains(copies.ApartColumns[name], column) {
				got[name] = append(got[name], column)
			}
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("columns of a copy and of the tables (-copy +tables):\n%s", diff)
		}
	})
}

// TestCauses holds that what the engines refuse is told by their codes.
func TestCauses(t *testing.T) {
	t.Parallel()
	onEach(t, func(t *testing.T, name string, s studio.Store, db *sql.DB) {
		filled(t, s)
		if name == "sqlite" {
			db.SetMaxOpenConns(1)
			if _, err := db.Exec(`PRAGMA foreign_keys = 1`); err != nil {
				t.Fatal(err)
			}
		}
		for query, want := range map[string]engine.Cause{
			`INSERT INTO works (id, title, year, note) VALUES (1, '', 0, '')`:                       engine.Unique,
			`INSERT INTO stocks (kind, item, qty) VALUES ('sheets', 1, 1)`:                          engine.Unique,
			`INSERT INTO cards (id, card) VALUES ('a', ''), ('a', '')`:                              engine.Unique,
			`UPDATE counters SET name = 'works' WHERE name = 'orders'`:                              engine.Unique,
			`INSERT INTO receipts (id, run, day, good, rejected, note) VALUES (1, 9, '', 1, 0, '')`: engine.Foreign,
			`DELETE FROM works`:                                     engine.Foreign,
			`DELETE FROM register`:                                  engine.Trigger,
			`UPDATE stocks SET qty = -1`:                            engine.Check,
			`INSERT INTO works (id, title, year) VALUES (2, '', 0)`: engine.Check,
			`SELECT nothing FROM nowhere`:                           engine.Other,
		} {
			if _, err := db.Exec(query); err == nil || engine.CauseOf(err) != want {
				t.Errorf("%s: cause %d, want %d (%v)", query, engine.CauseOf(err), want, err)
			}
		}
		if c := engine.CauseOf(fault.New(fault.Taken, "x")); c != engine.Other {
			t.Errorf("a fault has cause %d", c)
		}
	})
}

// TestBackupPage holds that the page on copies names every table that a copy has, and its numbers.
func TestBackupPage(t *testing.T) {
	page, err := os.ReadFile("../docs/formats/backup.md")
	if err != nil {
		t.Fatal(err)
	}
	known, err := migrations.Schema()
	if err != nil {
		t.Fatal(err)
	}
	want := []string{fmt.Sprintf(`{"format":%q,"version":%d,"schema":%d,`, copies.Format, copies.Version, known)}
	for _, table := range copies.Tables {
		want = append(want, "`"+table.Name+"`")
	}
	for _, w := range want {
		if !strings.Contains(string(page), w) {
			t.Errorf("docs/formats/backup.md does not say %s", w)
		}
	}
}
