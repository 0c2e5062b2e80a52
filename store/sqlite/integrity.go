package sqlite

import (
	"context"
	"database/sql"
	"fmt"
	"maps"

	"solander/fault"
	"solander/store/engine"
	"solander/store/migrations"
)

// Integrity asks SQLite for the structure of the file, the foreign keys and the form of its tables. It does so on a
// connection of its own: one that has searched before keeps an old picture of the search index, and would call an
// index damaged that another connection has changed since.
func (l *lite) Integrity(ctx context.Context) ([]string, error) {
	if err := l.main.same(); err != nil {
		return nil, err
	}
	how := maps.Clone(l.how)
	how["_pragma"] = []string{"busy_timeout(5000)", "query_only(1)"}
	fresh, err := sql.Open("sqlite", dsn(l.main.path, how))
	if err != nil {
		return nil, err
	}
	defer fresh.Close()
	return engine.All(ctx, []engine.Look{
		{What: "what the seal beside the file knows", Ask: func(ctx context.Context) ([]string, error) { return l.lost(ctx, fresh) }},
		{What: "the structure of the file", Ask: func(ctx context.Context) (found []string, err error) {
			err = engine.EachRow(ctx, fresh, `PRAGMA integrity_check`, func(rows *sql.Rows) error {
				var text string
				err := rows.Scan(&text)
				if text != "ok" {
					found = append(found, text)
				}
				return err
			})
			return found, err
		}},
		{What: "what its rows point at", Ask: func(ctx context.Context) (found []string, err error) {
			err = engine.EachRow(ctx, fresh, `PRAGMA foreign_key_check`, func(rows *sql.Rows) error {
				var table, parent string
				var row, key sql.NullInt64
				err := rows.Scan(&table, &row, &parent, &key)
				found = append(found, fmt.Sprintf("row %d of %s points at a row of %s that is not there", row.Int64, table, parent))
				return err
			})
			return found, err
		}},
		{What: "the form of its tables", Ask: func(ctx context.Context) ([]string, error) { return migrations.SQLiteForm(ctx, fresh) }},
	})
}

// lost says what the seal knows and the file does not. The seal is read first: what others write meanwhile
// makes the file run ahead, never the seal.
func (l *lite) lost(ctx context.Context, q engine.Asker) ([]string, error) {
	high, ok := ReadSeal(l.main.path)
	if !ok {
		return nil, nil
	}
	have, err := l.main.highWater(ctx, q, high)
	if err != nil {
		return nil, err
	}
	if err := l.main.against(have, high); err != nil {
		return []string{fault.All(err)[0].What}, nil
	}
	return nil, nil
}
