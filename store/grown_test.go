package store

import (
	"database/sql"
	"testing"

	"solander/internal/pgtest"
	"solander/store/migrations"
)

// grown are the tables of a database that goes from form to form, for others to be copied from: to make the tables of each form from nothing
// took a quarter of the time of the tests that look at all forms.
type grown struct {
	t     *testing.T // which the database ends with
	place string
	form  int64
}

// to brings the tables to a form and returns where they are. Nobody has them open then, and no rows are in them.
func (g *grown) to(t *testing.T, form int64) string {
	t.Helper()
	if g.place == "" || form < g.form {
		g.place, g.form = pgtest.New(g.t), 0
	}
	db, err := sql.Open("pgx", g.place)
	if err != nil {
		t.Fatal(err)
	}
	inTx(t, db, func(tx *sql.Tx) error { return migrations.Postgres.Run(t.Context(), tx, g.form, form) })
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	g.form = form
	return g.place
}
