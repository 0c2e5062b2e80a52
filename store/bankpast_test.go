package store

import (
	"database/sql"
	"testing"

	"solander/ledger"
	"solander/studio"
)

// A line of the bank that was matched before the journal knew of banks is entered when the studio is brought up to date, once, on its own day.
func TestLinesMatchedBeforeTheJournalKnew(t *testing.T) {
	const form = 32 // it has lines of the bank and a journal
	for engine, place := range map[string]string{"SQLite": olderFile(t, form), "PostgreSQL": olderOnServer(t, form)} {
		t.Run(engine, func(t *testing.T) {
			inTx(t, raw(t, place), func(tx *sql.Tx) error {
				for _, q := range []string{
					`INSERT INTO bank_accounts (id, name, number, currency, mapping) VALUES (1, 'Current', '', 'USD', '{}')`,
					`INSERT INTO bank_files (id, account, name, hash, kind, lines, known, day, at, who) VALUES (1, 1, 'a', 'aa', 'ofx', 1, 0, '2020-01-02', 0, '')`,
					`INSERT INTO bank_lines (id, account, file, known_by, ref, day, amount, amount_currency, name, note, state, payment, why, said_at, who)
						SELECT 1, 1, 1, 'k', '', '2020-01-02', amount, currency, '', '', 'matched', id, '', 0, '' FROM payments WHERE reversed = 0 AND kind <> 'refund' ORDER BY id LIMIT 1`,
				} {
					if _, err := tx.Exec(q); err != nil {
						return err
					}
				}
				return nil
			})
			folder := t.TempDir()
			for range 2 { // brought up to date, and opened again
				s := openedWith(t, place, Options{Copies: folder, There: true})
				err := s.Read(t.Context(), func(tx studio.Tx) error {
					l, err := tx.BankLine(1)
					if err != nil {
						return err
					}
					got, err := tx.Entered(ledger.BankLine, []int64{1})
					if err != nil {
						return err
					}
					if n := len(got); n != 1 {
						t.Fatalf("%d entries of the line", n)
					}
					if e := got[0]; e.Day != l.Day || e.Lines[0].Account != ledger.Bank || e.Lines[0].Amount != l.Amount {
						t.Errorf("entered is %+v", e)
					}
					return nil
				})
				if err != nil {
					t.Fatal(err)
				}
				if err := s.Close(); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}
