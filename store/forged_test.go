package store

import (
	"slices"
	"strings"
	"testing"
)

// Whoever makes the digest of a row anew as well, as this program would, is found by the log: its leaves say what the rows said, and rows that
// follow from the register are made again.
func TestForgedWithItsDigestIsFound(t *testing.T) {
	t.Parallel()
	place := bentStudio(t)
	at := t.TempDir() + "/bent"
	for query, want := range map[string]string{
		`UPDATE certificates SET facts = facts || 'x' WHERE id = 1`:                                                                       "certificate, row 1: it is not what leaf",
		`UPDATE certificates SET number = number + 1 WHERE id = 1`:                                                                        "certificate, row 1: it is not what leaf",
		`UPDATE certificates SET key = replace(key, 'A', 'B') WHERE id = 1`:                                                               "certificate, row 1: it is not what leaf",
		`DELETE FROM closings WHERE id = 1`:                                                                                               "tells of the end of an edition of",
		`UPDATE certificate_ends SET day = '2031-12-31' WHERE id = 1`:                                                                     "end of a certificate, row 1: it is not what leaf",
		`INSERT INTO certificate_ends SELECT id + 1, 1, 0, reason, day, at, who FROM certificate_ends WHERE id = 1`:                       "end of a certificate, row 2: no leaf tells of it",
		`UPDATE transfers SET told = 'theft' WHERE id = 1`:                                                                                "telling of an owner, row 1: it is not what leaf",
		`UPDATE transfer_names SET words = words || 'x' WHERE transfer = 1`:                                                               "telling of an owner, row 1: it is not what leaf",
		`UPDATE closings SET withdrawn = withdrawn + 1 WHERE id = 1`:                                                                      "end of an edition, row 1: it is not what leaf",
		`UPDATE leaves SET salts = '00' WHERE kind = 'certificate'`:                                                                       "are others",
		`UPDATE leaves SET salts = substr(salts, 1, 31) || CASE substr(salts, 32) WHEN 'a' THEN 'b' ELSE 'a' END WHERE kind = 'restored'`: "are others, or why",
		`UPDATE marks SET text = text || 'x' WHERE text LIKE 'an older copy%'`:                                                            "are others, or why",
		`UPDATE impressions SET day = '2031-12-31' WHERE state = 'sent'`:                                                                  "does not stand as its latest entry",
		`UPDATE impressions SET day = '2031-12-31' WHERE turn = 0 AND kind = 'N' AND number = 19`:                                         "does not stand as its latest entry",
		`UPDATE impressions SET signed_on = '2031-12-31' WHERE state = 'sent'`:                                                            "does not stand as its latest entry",
		`UPDATE impressions SET sent_mark = 'S-9' WHERE state = 'sent'`:                                                                   "does not stand as its latest entry",
	} {
		bent := copied(t, place, at)
		db := raw(t, bent)
		for _, name := range column(t, db, `SELECT name FROM sqlite_schema WHERE type = 'trigger' AND name NOT LIKE '%touched%'`) {
			if _, err := db.Exec(`DROP TRIGGER ` + name); err != nil {
				t.Fatal(err)
			}
		}
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
		s := opened(t, bent)
		err := s.(*store).write(t.Context(), func(x *tx) error {
			n, err := x.conn.Exec(query)
			if err == nil && n == 0 {
				t.Errorf("%s: nothing to forge", query)
			}
			return err
		})
		if err != nil {
			t.Errorf("%s: %v", query, err)
			continue
		}
		found, err := s.Integrity(t.Context())
		if err != nil || !slices.ContainsFunc(found, func(f string) bool { return strings.Contains(f, want) }) {
			t.Errorf("%s: found %q (%v), want %q", query, found, err, want)
		}
	}
}
