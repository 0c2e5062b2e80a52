// Package migrations holds the forms that the tables of a studio went through, one file a step and engine, runs
// those that a database has not seen, and compares what stands in it with what they make. It knows no row.
package migrations

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"io/fs"
	"time"

	"github.com/pressly/goose/v3"

	"solander/fault"
	"solander/store/engine"
)

// Files are the migrations of both engines, a folder each.
//
//go:embed sqlite postgres
var Files embed.FS

// Versions is the table in which the migrations are noted.
const Versions = "schema_versions"

// Set are an engine's own.
type Set struct {
	dialect goose.Dialect
	folder  string
}

var (
	SQLite   = Set{goose.DialectSQLite3, "sqlite"}
	Postgres = Set{goose.DialectPostgres, "postgres"}
)

func (m Set) Provider(db *sql.DB) (*goose.Provider, error) {
	files, err := fs.Sub(Files, m.folder)
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(m.dialect, db, files, goose.WithTableName(Versions), goose.WithDisableGlobalRegistry(true))
}

// Migrate brings the tables to the form that this program knows. When two programs open a new store at
// once, the one that comes second tries again and finds the work done.
// Faults: Refused when a newer program made the store.
func Migrate(ctx context.Context, db *sql.DB, m Set) error {
	var err error
	for attempt := range 5 {
		if attempt > 0 {
			if err := engine.Pause(ctx, attempt+4); err != nil {
				return err
			}
		}
		if err = m.up(ctx, db); err == nil || fault.CodeOf(err) != fault.Internal || ctx.Err() != nil {
			return err
		}
	}
	return err
}

func (m Set) up(ctx context.Context, db *sql.DB) error {
	p, err := m.Provider(db)
	if err != nil {
		return err
	}
	if done, err := UpToDate(ctx, p); done || err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, 5*time.Minute)
	defer cancel()
	_, err = p.Up(ctx)
	var partial *goose.PartialError
	if errors.As(err, &partial) {
		return partial.Err
	}
	return err
}

// UpToDate reports whether nothing is left to migrate. Faults: Refused when a newer program made the store.
func UpToDate(ctx context.Context, p *goose.Provider) (bool, error) {
	have, want, err := p.GetVersions(ctx)
	if err == nil && have > want {
		err = fault.New(fault.Refused, "a newer version of this program made the store (form %d, this one knows %d)", have, want).
			ToMend("use the newer version")
	}
	return err == nil && have == want, err
}

// Schema is the form of the tables that this program knows.
func Schema() (int64, error) {
	entries, err := Files.ReadDir(SQLite.folder)
	return int64(len(entries)), err
}
