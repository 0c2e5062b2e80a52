package sqlite

import (
	"context"
	"database/sql"
	"net/url"
	"time"

	"solander/fault"
	"solander/store/engine"
)

// Wipe writes the file anew, page by page, with the indexes of words, and empties its log: what was deleted or overwritten is in
// neither any more. The copy that the engine makes meanwhile holds only what stands now. Faults: Busy while others read or write.
// Sources: sqlite.org/lang_vacuum.html; sqlite.org/fts5.html, 6.8 "The optimize Command"; sqlite.org/pragma.html#pragma_wal_checkpoint.
func (l *lite) Wipe(ctx context.Context) error {
	if l.main.only != nil {
		return l.main.only
	}
	select {
	case s := <-l.writes:
		defer func() { l.writes <- s }()
	case <-ctx.Done():
		return engine.Late(ctx.Err())
	}
	if l.closed.Load() {
		return engine.Closed
	}
	if err := l.main.same(); err != nil {
		return err
	}
	db, err := sql.Open("sqlite", dsn(l.main.path, url.Values{"_pragma": l.pragmas()}))
	if err != nil {
		return err
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	for _, do := range []string{
		`INSERT INTO order_words (order_words) VALUES ('optimize')`,
		`INSERT INTO buyer_words (buyer_words) VALUES ('optimize')`,
		`VACUUM`,
	} {
		if _, err := db.ExecContext(ctx, do); err != nil {
			return engine.When(engine.When(err, engine.Busy, notWiped), engine.Full, engine.NoRoom)
		}
	}
	return l.emptyLog(ctx, db)
}

var notWiped = fault.New(fault.Busy, "somebody reads or writes the studio, so that its file could not be written anew").ToMend("try again in a moment")

// emptyLog brings the log into the file, once nobody reads it any more.
func (l *lite) emptyLog(ctx context.Context, db *sql.DB) error {
	deadline := time.Now().Add(l.opt.Patience)
	for attempt := 0; ; attempt++ {
		var held, pages, moved int64
		err := db.QueryRowContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&held, &pages, &moved)
		switch {
		case err == nil && held == 0:
			return nil
		case err != nil && engine.CauseOf(err) != engine.Busy:
			return err
		case time.Now().After(deadline):
			return notWiped
		}
		if err := engine.Pause(ctx, attempt); err != nil {
			return engine.Late(err)
		}
	}
}
