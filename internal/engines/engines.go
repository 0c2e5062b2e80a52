// Package engines runs a test on both engines. It is for tests that stand outside of package store.
package engines

import (
	"path/filepath"
	"testing"

	"solander/internal/bed"
	"solander/internal/pgtest"
)

// Both runs a test in a small studio in a file of its own, and in one on a server of PostgreSQL.
func Both(t *testing.T, f func(t *testing.T, b *bed.Bed)) {
	t.Helper()
	for engine, place := range map[string]func(*testing.T) string{
		"SQLite":     func(t *testing.T) string { return filepath.Join(t.TempDir(), "studio.db") },
		"PostgreSQL": func(t *testing.T) string { return pgtest.New(t) },
	} {
		t.Run(engine, func(t *testing.T) { f(t, bed.On(t, place(t))) })
	}
}
