package store

import (
	"path/filepath"
	"strings"
	"testing"

	"solander/store/migrations"
	"solander/store/table"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// Of each row that the program tells as it adds it the digest is that of what stands in the row then, as docs/formats/register.md says: made anew of the rows, all
// digests stay what they were. So it is in a studio that is filled in haste, whose digests are made at its end.
func TestToldRowsHaveTheirDigests(t *testing.T) {
	t.Parallel()
	for engine, place := range places {
		for name, hasty := range map[string]bool{"": false, ", in haste": true} {
			t.Run(engine+name, func(t *testing.T) {
				t.Parallel()
				at, opt := place(t)
				opt.Hasty = hasty
				s := lived(t, at, opt)
				if err := s.digestAll(t.Context()); err != nil {
					t.Fatal(err)
				}
				told := 0
				for _, g := range migrations.GuardedTables {
					if !g.Told {
						continue
					}
					told++
					before, after := digestsKept(t, s, g.Table), []string{}
					err := s.write(t.Context(), func(x *tx) error {
						if _, err := x.conn.Exec(`DELETE FROM row_digests WHERE part = $1`, g.Table); err != nil {
							return err
						}
						if err := redigested(x.conn, g); err != nil {
							return err
						}
						var err error
						after, err = table.Values[string](x.conn, digestsIn, g.Table)
						if err == nil {
							err = errBack
						}
						return err
					})
					if err != errBack || len(before) == 0 {
						t.Fatal(g.Table, len(before), err)
					}
					bed.Same(t, "the digests of "+g.Table, after, before)
				}
				if told != 3 {
					t.Errorf("%d tables are told", told)
				}
				if found := lookedAt(t, s); len(found) > 0 {
					t.Errorf("found %q", found)
				}
			})
		}
	}
}

const digestsIn = `SELECT k1 || ' ' || k2 || ' ' || digest FROM row_digests WHERE part = $1 AND digest <> '' ORDER BY k1, k2`

func digestsKept(t *testing.T, s *store, part string) (out []string) {
	t.Helper()
	if err := s.read(t.Context(), func(x *tx) (err error) { out, err = table.Values[string](x.conn, digestsIn, part); return err }); err != nil {
		t.Fatal(err)
	}
	return out
}

// A row that another program adds to a table of which no trigger notes what is added has no digest, also after this program wrote: the check names it.
func TestARowThatNobodyToldIsFound(t *testing.T) {
	t.Parallel()
	s := lived(t, filepath.Join(t.TempDir(), "studio.db"), Options{})
	forged(t, s, "sqlite", `INSERT INTO entry_lines SELECT entry, place + 40, account, amount, currency, order_id, line, edition, outlet, run FROM entry_lines WHERE entry = 1`)
	bed.Write(t, s, func(tx studio.Tx) error {
		_, err := tx.AddMark(studio.Mark{Kind: studio.MarkOther, Day: bed.Today, Text: "swept"})
		return err
	})
	found := lookedAt(t, s)
	for _, row := range []string{"entry_lines, row 1 40 was added", "entry_lines, row 1 41 was added"} {
		if !strings.Contains(strings.Join(found, "\n"), row) {
			t.Errorf("found %q, want %q", found, row)
		}
	}
}
