package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"
)

// channel is the name under which writes of a studio are told, in SQL: one database may hold several studios, a schema each.
const channel = `'solander_' || md5(current_schema())`

// Heed listens on a connection of its own. Behind a pooler nothing is heard: what a session listens for goes to whoever has it by then.
func (p *postgres) Heed(ctx context.Context, heard func()) (tells bool, err error) {
	if p.pooled || p.closed.Load() {
		return false, nil
	}
	config := p.config.Copy()
	config.DefaultQueryExecMode = pgx.QueryExecModeExec
	conn, err := pgx.ConnectConfig(ctx, config)
	if err != nil {
		return true, err
	}
	defer func() {
		soon, stop := context.WithTimeout(context.WithoutCancel(ctx), time.Second)
		defer stop()
		_ = conn.Close(soon) // nothing was written on it
	}()
	var name string
	if err := conn.QueryRow(ctx, `SELECT `+channel).Scan(&name); err != nil {
		return true, err
	}
	if _, err := conn.Exec(ctx, `LISTEN `+pgx.Identifier{name}.Sanitize()); err != nil {
		return true, err
	}
	heard() // what was written before it listened
	for {
		if _, err := conn.WaitForNotification(ctx); err != nil {
			return true, err
		}
		heard()
	}
}
