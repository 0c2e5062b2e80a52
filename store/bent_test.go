package store

import (
	"path/filepath"
	"strings"
	"testing"
)

// What once ended the program when it was met is refused or told of, and nothing else comes of it.
func TestWhatOnceEndedTheProgram(t *testing.T) {
	t.Parallel()
	place := bentStudio(t)
	triggers := bared(t, place)
	for what, query := range map[string]string{
		"a log begins behind its end": `UPDATE logs SET first = first + 32768`,
		"a claim is about no print":   `UPDATE claims SET lines = '[]'`,
		"a photo of a claim is empty": `UPDATE claim_photo_bodies SET body = ''`,
	} {
		bent := bentBy(t, place, triggers, query)
		if _, found := seen(t.Context(), bent); !found {
			t.Errorf("%s, and it is called sound", what)
		}
	}
}

// Of a secret there is no digest; that it was taken out, or laid bare, is found all the same.
func TestASecretThatWasBentIsFound(t *testing.T) {
	t.Parallel()
	place := bentStudio(t)
	triggers := bared(t, place)
	for query, want := range map[string]string{
		`UPDATE feed_secrets SET secret = ''`:                         "the secret of its web-hook is gone",
		`UPDATE feed_secrets SET secret = substr(secret, 2)`:          "a secret stands in clear",
		`UPDATE persons SET totp = ''`:                                "a second factor was taken out",
		`UPDATE persons SET totp = 'GEZDGNBVGY3TQOJQ'`:                "a secret stands in clear",
		`UPDATE persons SET totp = totp || 'x'`:                       "persons.totp of row 1",
		`UPDATE persons SET totp = (SELECT secret FROM feed_secrets)`: "persons.totp of row 1",
		`UPDATE persons SET totp = '', totp_step = 0`:                 "persons, row 1 was changed",
		`DELETE FROM feed_secrets`:                                    "feed_secrets, row 1 was taken out",
	} {
		bent := bentBy(t, place, triggers, query)
		if what, _ := seen(t.Context(), bent); !strings.Contains(what, want) {
			t.Errorf("%s: %q is found, not %q", query, what, want)
		}
	}
}

// bentBy is a copy of a studio without triggers that a statement changed, with its triggers put back.
func bentBy(t *testing.T, place string, triggers laidBy, query string) string {
	t.Helper()
	bent := copied(t, place, filepath.Join(t.TempDir(), "bent"))
	db := raw(t, bent)
	db.SetMaxOpenConns(1)
	if _, err := db.Exec(query); err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	triggers.putBack(t, db)
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	return bent
}
