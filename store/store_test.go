package store

import (
	"bytes"
	"context"
	"encoding/binary"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

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

// engines says how each engine gives a new place for every store of a test. A studio stands there already, made and empty: its
// tables are made once for all tests, and copied. Every engine that has migrations must stand here.
var engines = map[string]func(*testing.T) func(*testing.T) string{
	"sqlite":   func(*testing.T) func(*testing.T) string { return inFile },
	"postgres": func(*testing.T) func(*testing.T) string { return onServer },
}

// inFile returns the file of a studio that is made and empty.
func inFile(t *testing.T) string {
	t.Helper()
	whole, err := emptyFile()
	if err != nil {
		t.Fatal(err)
	}
	whole = bytes.Clone(whole)
	binary.BigEndian.PutUint32(whole[60:], fileIDs.Add(1)) // its own id, where SQLite's file format has the user version
	place := filepath.Join(t.TempDir(), "studio.db")
	if err := os.WriteFile(place, whole, 0o600); err != nil {
		t.Fatal(err)
	}
	return place
}

var fileIDs atomic.Uint32

// emptyFile is the file of an empty studio.
var emptyFile = sync.OnceValues(func() ([]byte, error) {
	folder, err := os.MkdirTemp("", "solander-empty-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	place := filepath.Join(folder, "studio.db")
	s, err := Open(context.Background(), place, Options{Hasty: true}) // whoever opens it next makes the key of its rows
	if err != nil {
		return nil, err
	}
	if err := s.Close(); err != nil {
		return nil, err
	}
	return os.ReadFile(place)
})

// onServer returns a database of a studio that is made and empty.
func onServer(t *testing.T) string {
	t.Helper()
	return pgtest.Copy(t, "an empty studio", func(dsn string) error {
		s, err := Open(context.Background(), dsn, Options{})
		if err != nil {
			return err
		}
		return s.Close()
	})
}

// untouched says how each engine gives a place where nothing stands yet.
var untouched = map[string]func(*testing.T) string{
	"sqlite":   func(t *testing.T) string { return filepath.Join(t.TempDir(), "studio.db") },
	"postgres": func(t *testing.T) string { return pgtest.New(t) },
}

// newSchema makes a schema and returns the place of a store that is to live in it.
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
	return openedWith(t, place, Options{})
}

func openedWith(t *testing.T, place string, opt Options) studio.Store {
	t.Helper()
	s, err := Open(t.Context(), place, opt)
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
	// On a machine that is busy otherwise sixty-four takers wait long for their turn.
	return func(t *testing.T) studio.Store {
		t.Helper()
		return openedWith(t, place(t), Options{Patience: 3 * time.Minute})
	}
}

// TestContract runs the whole contract on every engine.
func TestContract(t *testing.T) {
	t.Parallel()
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
	t.Parallel()
	for from := range engines {
		for to := range engines {
			if from != to {
				t.Run(from+" to "+to, func(t *testing.T) { storetest.Carries(t, stores(t, from)(t), stores(t, to)(t)) })
			}
		}
	}
}
