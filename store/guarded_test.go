package store

import (
	"slices"
	"strings"
	"testing"

	"solander/store/copies"
	"solander/store/migrations"
)

// again is why a table needs no digests: the check makes all of it of other rows again.
const again = "the check makes it again"

// unguarded are the tables that have no digests of their rows, and why.
var unguarded = map[string]string{
	"counters": "one that is behind is found; one that is ahead harms nothing", "picture_bodies": "a picture's row holds its digest",
	"claim_photo_bodies": "its digest stands with the photo",
	"impressions":        again, "register": "it has its log", "leaves": "they are the log", "tallies": again, "entry_sums": again, "earned_sums": again, "order_sums": again, "lot_sums": again,
	"sent_forms":   "forms that were done",
	"feed_answers": "kept for two days", "feed_messages": "kept for two days", "feed_time": "it changes with every call", "arrivals": "files that wait", "arrival_parts": "files that wait",
	"row_forms": "they are of the digests", "row_digests": "they are the digests",
}

// Every table is guarded by its key, or stands among those that are not, with a reason; what is said of keys that are text is so.
func TestEveryTableIsGuarded(t *testing.T) {
	place := t.TempDir() + "/studio.db"
	stand(t, place)
	db := raw(t, place)
	defer db.Close()
	guarded := map[string]bool{}
	for _, g := range migrations.GuardedTables {
		guarded[g.Table] = true
		i := slices.IndexFunc(copies.Tables, func(c copies.Table) bool { return c.Name == g.Table })
		if len(g.Key) > 3 || i < 0 && !g.Here || i >= 0 && copies.Tables[i].Key != strings.Join(g.Key, ", ") {
			t.Errorf("%s is guarded by %v", g.Table, g.Key)
		}
		for j, k := range g.Key {
			var kind string
			if err := db.QueryRow(`SELECT type FROM pragma_table_info($1) WHERE name = $2`, g.Table, k).Scan(&kind); err != nil || (kind == "TEXT") != g.Text[j] {
				t.Errorf("%s.%s is %s (%v)", g.Table, k, kind, err)
			}
		}
	}
	for _, c := range copies.Tables {
		if why, is := unguarded[c.Name]; is == guarded[c.Name] {
			t.Errorf("%s: guarded %v, or not (%q)", c.Name, guarded[c.Name], why)
		}
	}
}
