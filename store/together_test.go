package store

import (
	"errors"
	"path/filepath"
	"testing"

	"solander/internal/pgtest"
	"solander/store/engine"
	"solander/studio/storetest/bed"
)

// statement puts a name of an account into the store, or another in its place.
const statement = `INSERT INTO account_names (account, name) VALUES ($1, $2) ON CONFLICT (account) DO UPDATE SET name = excluded.name`

// What nobody waits for is kept with the rest, and nothing is kept when it is refused, whenever that is said; what was asked ahead is answered as it
// stands when it is asked.
func TestTogether(t *testing.T) {
	for name, place := range map[string]func(testing.TB) string{
		"sqlite":   func(t testing.TB) string { return filepath.Join(t.TempDir(), "studio.db") },
		"postgres": pgtest.New,
	} {
		t.Run(name, func(t *testing.T) {
			opened, err := Open(t.Context(), place(t), Options{})
			if err != nil {
				t.Fatal(err)
			}
			t.Cleanup(func() { _ = opened.Close() })
			s := opened.(*store)
			names := func() (all map[string]string) {
				err := s.read(t.Context(), func(x *tx) (err error) { all, err = x.AccountNames(); return err })
				if err != nil {
					t.Fatal(err)
				}
				return all
			}
			ask := engine.Ask{Query: `SELECT account FROM account_names WHERE name = $1`, Args: []any{"wall"}}
			found := func(x *tx) (account string) {
				if _, err := x.conn.One(ask.Query, ask.Args, &account); err != nil {
					t.Fatal(err)
				}
				return account
			}
			err = s.write(t.Context(), func(x *tx) error {
				for range 100 { // more than wait
					if err := x.conn.Soon(statement, "sales", "wall"); err != nil {
						return err
					}
				}
				if err := x.conn.Ahead(func() []engine.Ask { return []engine.Ask{ask, ask} }); err != nil {
					return err
				}
				bed.Same(t, "what was put off before it was asked ahead", "sales", found(x))
				if err := x.conn.Ahead(func() []engine.Ask { return []engine.Ask{ask} }); err != nil {
					return err
				}
				if err := x.conn.Soon(statement, "sales", "prints"); err != nil {
					return err
				}
				bed.Same(t, "what was changed after it was asked ahead", "", found(x))
				n, err := x.conn.Exec(`UPDATE account_names SET name = $1 WHERE name = $2`, "sold", "prints")
				bed.Same(t, "rows changed behind what was put off", int64(1), n)
				return errors.Join(err, x.conn.Soon(statement, "postage", "stamps"))
			})
			bed.Same(t, "what was kept, and the error", []any{map[string]string{"sales": "sold", "postage": "stamps"}, nil}, []any{names(), err})

			const alone = `INSERT INTO entries (id, day, true_day, subject, subject_id, part, text, at, who) VALUES (1, '2031-03-04', '', 'order', 1, '', '', 1, '')`
			for when, after := range map[string]func(x *tx) error{
				"at the end":    func(*tx) error { return nil },
				"by a question": func(x *tx) error { _, err := x.AccountNames(); return err },
				"by a change":   func(x *tx) error { return x.NameAccount("postage", "") },
			} {
				err := s.write(t.Context(), func(x *tx) error {
					if err := x.conn.Soon(statement, "sales", "never"); err != nil {
						return err
					}
					if err := x.conn.Soon(alone); err != nil {
						return err
					}
					return after(x)
				})
				bed.Same(t, "what a lonely entry was refused for "+when, engine.Trigger, engine.CauseOf(err))
			}
			err = s.write(t.Context(), func(x *tx) error {
				_ = x.conn.Soon(alone)
				_, _ = x.AccountNames()
				return nil
			})
			if err == nil {
				t.Error("what was refused and not heeded was kept")
			}
			if name == "postgres" {
				err := s.write(t.Context(), func(x *tx) error {
					if _, err := x.conn.Exec(`ROLLBACK`); err != nil {
						return err
					}
					return x.conn.Soon(statement, "sales", "never")
				})
				if err == nil {
					t.Error("a statement behind the end of its transaction was taken")
				}
			}
			bed.Same(t, "what is kept at last", map[string]string{"sales": "sold", "postage": "stamps"}, names())
		})
	}
}
