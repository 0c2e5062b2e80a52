package store

import (
	"fmt"
	"io/fs"
	"net/url"
	"path/filepath"
	"sync/atomic"
	"testing"

	"github.com/jackc/pgx/v5"
	"go.uber.org/goleak"

	"solander/internal/pgtest"
	"solander/store/migrations"
	"solander/studio"
	"solander/studio/storetest"
)

// errands are what a test binary started anew may be told to do instead of testing; each reports whether it was.
var errands = []func() bool{helper, mover}

func TestMain(m *testing.M) {
	for _, errand := range errands {
		if errand() {
			return
		}
	}
	goleak.VerifyTestMain(m)
}

// engines says how each engine gives a new place for every store of a test. Every engine that has
// migrations must stand here.
var engines = map[string]func(*testing.T) func(*testing.T) string{
	"sqlite": func(*testing.T) func(*testing.T) string {
		return func(t *testing.T) string { return filepath.Join(t.TempDir(), "studio.db") }
	},
	"postgres": func(t *testing.T) func(*testing.T) string {
		dsn := pgtest.New(t)
		var n atomic.Int64
		return func(t *testing.T) string { return newSchema(t, dsn, fmt.Sprintf("s%d", n.Add(1))) }
	},
}

// newSchema makes a schema and returns the place of the store that lives in it: many stores may share a
// database, and a database is slow to make.
func newSchema(t *testing.T, dsn, name string) string {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(t.Context())
	if _, err := conn.Exec(t.Context(), "CREATE SCHEMA "+name); err != nil {
		t.Fatal(err)
	}
	u, err := url.Parse(dsn)
	if err != nil {
		t.Fatal(err)
	}
	q := u.Query()
	q.Set("search_path", name)
	u.RawQuery = q.Encode()
	return u.String()
}

func opened(t *testing.T, place string) studio.Store {
	t.Helper()
	s, err := Open(t.Context(), place, Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// stores returns what opens new empty stores of an engine.
func stores(t *testing.T, engine string) func(*testing.T) studio.Store {
	t.Helper()
	place := engines[engine](t)
	return func(t *testing.T) studio.Store { t.Helper(); return opened(t, place(t)) }
}

// TestContract runs the whole contract on every engine.
func TestContract(t *testing.T) {
	folders, err := fs.ReadDir(migrations.Files, ".")
	if err != nil || len(folders) == 0 {
		t.Fatalf("no engine has migrations: nothing was tested (%v)", err)
	}
	for _, folder := range folders {
		if engines[folder.Name()] == nil {
			t.Errorf("engine %s has migrations and is not tested", folder.Name())
			continue
		}
		t.Run(folder.Name(), func(t *testing.T) { storetest.Run(t, stores(t, folder.Name())) })
	}
}

// TestAcross carries copies from each engine to the other.
func TestAcross(t *testing.T) {
	for from := range engines {
		for to := range engines {
			if from != to {
				t.Run(from+" to "+to, func(t *testing.T) { storetest.Carries(t, stores(t, from)(t), stores(t, to)(t)) })
			}
		}
	}
}
