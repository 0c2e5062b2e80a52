package postgres

import (
	"context"
	"database/sql"
	"strings"

	"solander/fault"
	"solander/store/engine"
)

// Wipe writes every table anew, with its indexes: what was deleted or overwritten is in none of their files any more. The server's own
// log keeps it until that is given up, and so does every copy of the server. Faults: Busy while others keep a table.
// Source: postgresql.org/docs/current/sql-vacuum.html, FULL.
func (p *postgres) Wipe(ctx context.Context) error {
	var tables []string
	err := p.within(ctx, reads, func(s engine.Session) error {
		return engine.EachRow(ctx, s, `SELECT quote_ident(tablename) FROM pg_tables WHERE schemaname = current_schema() ORDER BY tablename`, func(rows *sql.Rows) error {
			var name string
			err := rows.Scan(&name)
			tables = append(tables, name)
			return err
		})
	})
	if err != nil {
		return err
	}
	_, err = p.db.ExecContext(ctx, `VACUUM (FULL) `+strings.Join(tables, ", "))
	return engine.When(err, engine.Busy, fault.New(fault.Busy, "somebody uses the tables, so that they could not be written anew").ToMend("try again in a moment"))
}
