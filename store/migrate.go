package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"io/fs"
	"time"

	"github.com/pressly/goose/v3"

	"solander/fault"
)

//go:embed migrations
var migrationFiles embed.FS

// versions is the table in which the migrations are noted.
const versions = "schema_versions"

// migrations are an engine's own.
type migrations struct {
	dialect goose.Dialect
	folder  string
}

var (
	liteMigrations     = migrations{goose.DialectSQLite3, "migrations/sqlite"}
	postgresMigrations = migrations{goose.DialectPostgres, "migrations/postgres"}
)

func (m migrations) provider(db *sql.DB) (*goose.Provider, error) {
	files, err := fs.Sub(migrationFiles, m.folder)
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(m.dialect, db, files, goose.WithTableName(versions), goose.WithDisableGlobalRegistry(true))
}

// migrate brings the tables to the form that this program knows. When two programs open a new store at
// once, the one that comes second tries again and finds the work done.
// Faults: Refused when a newer program made the store.
func migrate(ctx context.Context, db *sql.DB, m migrations) error {
	var err error
	for attempt := range 5 {
		if attempt > 0 {
			if err := pause(ctx, attempt+4); err != nil {
				return err
			}
		}
		if err = m.up(ctx, db); err == nil || fault.CodeOf(err) != fault.Internal || ctx.Err() != nil {
			return err
		}
	}
	return err
}

func (m migrations) up(ctx context.Context, db *sql.DB) error {
	p, err := m.provider(db)
	if err != nil {
		return err
	}
	if done, err := upToDate(ctx, p); done || err != nil {
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

// upToDate reports whether nothing is left to migrate. Faults: Refused when a newer program made the store.
func upToDate(ctx context.Context, p *goose.Provider) (bool, error) {
	have, want, err := p.GetVersions(ctx)
	if err == nil && have > want {
		err = fault.New(fault.Refused, "a newer version of this program made the store (form %d, this one knows %d)", have, want).
			ToMend("use the newer version")
	}
	return err == nil && have == want, err
}

// schema is the form of the tables that this program knows.
func schema() (int64, error) {
	entries, err := migrationFiles.ReadDir(liteMigrations.folder)
	return int64(len(entries)), err
}
