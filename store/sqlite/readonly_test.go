package sqlite

import (
	"errors"
	"path/filepath"
	"testing"

	"solander/fault"
	"solander/store/engine"
)

// TestReadOnlyAndWritten holds that a studio opened for reading alone says so when somebody writes it.
func TestReadOnlyAndWritten(t *testing.T) {
	place := filepath.Join(t.TempDir(), "studio.db")
	opened := func() engine.Engine {
		e, err := Open(t.Context(), place, engine.Options{}.Filled(), false)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	if err := opened().Close(); err != nil {
		t.Fatal(err)
	}
	main, err := openMain(place)
	if err != nil {
		t.Fatal(err)
	}
	main.only = readOnly(place, "for a test", nil)
	l := &lite{main: main, opt: engine.Options{}.Filled()}
	if err := l.open(t.Context(), false); err != nil {
		t.Fatal(err)
	}
	if err := main.same(); err != nil || !main.still {
		t.Errorf("still %v, %v", main.still, err)
	}
	e := opened()
	defer e.Close()
	s, err := e.Begin(t.Context(), true)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.ExecContext(t.Context(), `INSERT INTO works (id, title, year, note) VALUES (1, 'Heron', 2031, '')`); err != nil {
		t.Fatal(err)
	}
	if err := s.Commit(t.Context()); err != nil {
		t.Fatal(err)
	}
	if err := main.same(); !fault.Is(err, fault.Busy) {
		t.Errorf("got %v", err)
	}
	if err := errors.Join(l.disconnect(), main.close()); err != nil {
		t.Error(err)
	}
}
