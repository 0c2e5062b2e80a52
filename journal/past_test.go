package journal_test

import (
	"database/sql"
	"maps"
	"strings"
	"testing"

	_ "modernc.org/sqlite" // to make a studio as an earlier edition of the program left it

	"solander/house"
	"solander/internal/bed"
	"solander/studio"
)

// forget makes of a studio one that has no journal yet, as before the step that brings it; with causes, moves do not say theirs but in words.
func forget(t *testing.T, path string, causes bool) {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	triggers, err := db.Query(`SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' AND tbl_name IN ('entries', 'entry_lines', 'layers', 'layer_uses', 'moves')`)
	if err != nil {
		t.Fatal(err)
	}
	var drop, anew []string
	for triggers.Next() {
		var name, text string
		if err := triggers.Scan(&name, &text); err != nil {
			t.Fatal(err)
		}
		drop, anew = append(drop, `DROP TRIGGER "`+name+`"`), append(anew, text)
	}
	if err := triggers.Err(); err != nil || len(drop) < 10 {
		t.Fatalf("%d triggers (%v)", len(drop), err)
	}
	drop = append(drop, `DELETE FROM layer_uses`, `DELETE FROM layers`, `DELETE FROM entry_lines`, `DELETE FROM entries`, `DELETE FROM entry_sums`, `DELETE FROM earned_sums`, `DELETE FROM order_sums`, `DELETE FROM lot_sums`)
	if causes {
		drop = append(drop, `UPDATE moves SET cause = '', line = 0, parcel = 0, run = 0, cost = 0, cost_currency = ''`)
	}
	for _, q := range append(drop, anew...) {
		if _, err := db.Exec(q); err != nil {
			t.Fatalf("%s: %v", q, err)
		}
	}
}

// again opens the studio anew, which enters what happened so far.
func again(t *testing.T, b *bed.Bed) *studio.Studio {
	t.Helper()
	return studio.New(b.Open(b.Path), studio.Options{Clock: b.Clock.Now})
}

// TestThePastIsEntered lets many histories be forgotten by the journal, and finds the same balances when all of them are entered at once.
func TestThePastIsEntered(t *testing.T) {
	h := newHistory(bed.New(t), 5, 5, map[string]int{})
	h.prepare()
	for range 30 {
		h.live()
	}
	before := ours(t, h.Studio)
	h.Must(h.Store.Close())
	forget(t, h.Path, false)
	st := again(t, h.Bed)
	if after := ours(t, st); !maps.Equal(before, after) || len(after) < 8 {
		t.Errorf("entered at once: %v\nas it happened: %v", after, before)
	}
	rebalanced(t, st, 8)
}

// TestThePastInWords does the same with moves that tell their causes in words alone: that is how studios stand that an earlier edition kept.
func TestThePastInWords(t *testing.T) {
	b := bed.New(t)
	v, _ := b.Packed(b.Heron.ID, b.Card.ID, b.Card.ID)
	h := newHistory(b, 1, 1, map[string]int{})
	for v.Stage != "done" {
		was := v.Stage
		h.forward(v)
		if v = b.Order(v.ID); v.Stage == was {
			t.Fatalf("it does not go on from %s", was)
		}
	}
	before := ours(t, b.Studio)
	b.Must(b.Store.Close())
	forget(t, b.Path, true)
	st := again(t, b)
	if after := ours(t, st); !maps.Equal(before, after) || before["Cost of prints sold USD"] == "" {
		t.Errorf("told in words: %v\nas it happened: %v", after, before)
	}
	found, err := house.Check(t.Context(), st)
	b.Must(err)
	for _, f := range found {
		if !strings.Contains(f.What, "by other means than this program") { // it was changed by the test
			t.Errorf("check: %s: %s", f.Where, f.What)
		}
	}
}
