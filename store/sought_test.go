package store

import (
	"database/sql"
	"strings"
	"testing"
	"time"

	"solander/internal/pgtest"
)

// statements keeps the texts of all that a store runs.
type statements struct{ texts map[string]bool }

func (*statements) Transaction(bool, time.Duration, error)   {}
func (*statements) Again()                                   {}
func (w *statements) Statement(text string, _ time.Duration) { w.texts[text] = true }
func (*statements) Pool(string, *sql.DB)                     {}

// What a sale by post costs does not grow with all that was sold before: none of its statements means to read every digest, though the
// server has counted none of its rows yet. What PostgreSQL means to do is read from its EXPLAIN.
func TestASaleReadsNotEveryDigest(t *testing.T) {
	t.Parallel()
	w, place := &statements{map[string]bool{}}, pgtest.New(t)
	k := newPoster(t, place, Options{Watch: w}, false)
	db, err := sql.Open("pgx", place)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for n := range 2 {
		clear(w.texts)
		if err := k.sell(t.Context(), k.sale(n)); err != nil {
			t.Fatal(err)
		}
	}
	_, err = db.ExecContext(t.Context(), `INSERT INTO row_digests (part, k1, k2, k3, digest, sealed, mark)
		SELECT 'marks', CAST(n AS TEXT), '', '', repeat('0', 64), '', '' FROM generate_series(1000000, 1010000) n`) // as if there had been many
	if err != nil {
		t.Fatal(err)
	}
	sought := 0
	for text := range w.texts {
		if !strings.HasPrefix(text, "SELECT") || !strings.Contains(text, "row_digests") {
			continue
		}
		sought++
		if plan := planOf(t, db, text); strings.Contains(plan, "Seq Scan on row_digests") {
			t.Errorf("%s\nreads all of them:\n%s", text, plan)
		}
	}
	if sought < 2 {
		t.Errorf("%d statements were looked at", sought)
	}
}

// planOf is how the server means to answer a query.
func planOf(t *testing.T, db *sql.DB, query string) string {
	t.Helper()
	rows, err := db.QueryContext(t.Context(), "EXPLAIN "+query)
	if err != nil {
		t.Fatal(query, err)
	}
	defer rows.Close()
	var plan strings.Builder
	for rows.Next() {
		var line string
		if err := rows.Scan(&line); err != nil {
			t.Fatal(err)
		}
		plan.WriteString(line + "\n")
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return plan.String()
}
