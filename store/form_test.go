package store

import (
	"net/url"
	"slices"
	"strings"
	"testing"
)

// TestAnotherForm holds that tables, indexes, triggers and functions which are not as the migrations make them are
// found, also when they have the same names.
func TestAnotherForm(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	wrong := map[string][]struct {
		do   []string
		want string
	}{
		"sqlite": {
			{[]string{`DROP TRIGGER register_no_update`, `CREATE TRIGGER register_no_update BEFORE UPDATE ON register BEGIN SELECT 1; END`}, "the trigger register_no_update is not as this program makes it"},
			{[]string{`DROP TRIGGER payments_keep`}, "the trigger payments_keep is gone"},
			{[]string{`DROP INDEX orders_ref`, `CREATE INDEX orders_ref ON orders (outlet, ref)`}, "the index orders_ref is not as this program makes it"},
			{[]string{`CREATE TRIGGER quietly AFTER INSERT ON payments BEGIN UPDATE buyers SET note = 'x'; END`}, "the trigger quietly is none of this program"},
			{[]string{`PRAGMA writable_schema = 1`, `UPDATE sqlite_schema SET sql = replace(sql, 'CHECK (qty >= 0)', '') WHERE name = 'stocks'`}, "the table stocks is not as this program makes it"},
		},
		"postgres": {
			{[]string{`DROP TRIGGER register_no_update ON register`, `CREATE TRIGGER register_no_update BEFORE DELETE ON register FOR EACH ROW EXECUTE FUNCTION refuse('x')`}, "the trigger register_no_update is not as this program makes it"},
			{[]string{`DROP INDEX orders_ref`, `CREATE INDEX orders_ref ON orders (outlet, ref)`}, "the index orders_ref is not as this program makes it"},
			{[]string{`DROP INDEX marks_order`}, "the index marks_order is gone"},
			{[]string{`CREATE OR REPLACE FUNCTION refuse() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NEW; END'`}, "the function refuse is not as this program makes it"},
			{[]string{`CREATE FUNCTION nothing() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NULL; END'`, `CREATE TRIGGER quietly BEFORE INSERT ON payments FOR EACH ROW EXECUTE FUNCTION nothing()`}, "the trigger quietly is none of this program"},
			{[]string{`ALTER TABLE stocks ALTER COLUMN qty DROP NOT NULL`}, "the column qty of stocks is not as this program makes it"},
			{[]string{`CREATE RULE quietly AS ON INSERT TO payments DO INSTEAD NOTHING`}, "the rule quietly of payments is none of this program"},
			{[]string{`CREATE INDEX own ON orders (note)`}, ""}, // an index of hers does no harm
		},
	}
	for engine, cases := range wrong {
		place := engines[engine](t)
		for _, c := range cases {
			t.Run(engine+" "+c.do[len(c.do)-1], func(t *testing.T) {
				at := place(t)
				s := opened(t, at)
				filled(t, s)
				if found, err := s.Integrity(t.Context()); err != nil || len(found) > 0 {
					t.Fatalf("before: %q %v", found, err)
				}
				db := raw(t, at)
				db.SetMaxOpenConns(1)
				for _, query := range c.do {
					if _, err := db.Exec(query); err != nil {
						t.Fatal(err)
					}
				}
				found, err := s.Integrity(t.Context())
				if err != nil {
					t.Fatal(err)
				}
				if c.want == "" && len(found) > 0 || c.want != "" && !slices.ContainsFunc(found, func(f string) bool { return strings.HasPrefix(f, c.want) }) {
					t.Errorf("found %q, want %q", found, c.want)
				}
			})
		}
	}
}

// TestFormThatMayNotBeCompared holds that a user who may not make a schema is told that the guards were not looked at.
func TestFormThatMayNotBeCompared(t *testing.T) {
	t.Parallel()
	at := onServer(t)
	opened(t, at)
	db := raw(t, at)
	for _, query := range []string{
		`DROP ROLE IF EXISTS plain_user`, `CREATE ROLE plain_user LOGIN`, `GRANT USAGE ON SCHEMA public TO plain_user`,
		`GRANT SELECT, INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA public TO plain_user`, `GRANT USAGE ON ALL SEQUENCES IN SCHEMA public TO plain_user`,
	} {
		if _, err := db.Exec(query); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() {
		for _, query := range []string{`DROP OWNED BY plain_user`, `DROP ROLE plain_user`} {
			if _, err := db.Exec(query); err != nil {
				t.Error(err)
			}
		}
	})
	u, err := url.Parse(at)
	if err != nil {
		t.Fatal(err)
	}
	u.User = url.User("plain_user")
	q := u.Query()
	q.Del("user")
	u.RawQuery = q.Encode()
	found, err := opened(t, u.String()).Integrity(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(found) != 1 || !strings.Contains(found[0], "were not compared") {
		t.Errorf("found %q", found)
	}
}
