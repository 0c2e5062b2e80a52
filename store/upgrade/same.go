package upgrade

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"errors"
	"fmt"
	"maps"
	"strconv"
	"strings"

	"solander/store/engine"
)

// Same says whether the copy of a file of SQLite is sound, and holds what the file does: its marks, the form of its tables and all rows.
func Same(ctx context.Context, db, from *sql.DB) error {
	err := engine.EachRow(ctx, db, `PRAGMA integrity_check`, func(rows *sql.Rows) error {
		var text string
		if err := rows.Scan(&text); err != nil || text == "ok" {
			return err
		}
		return fmt.Errorf("the copy: %s", text)
	})
	if err != nil {
		return err
	}
	type half struct {
		of  map[string][sha256.Size]byte
		err error
	}
	asked := make(chan half, 1)
	go func() { // both at once, where there are two processors
		of, err := contents(ctx, from)
		asked <- half{of, err}
	}()
	have, err := contents(ctx, db)
	want := <-asked
	if err := errors.Join(want.err, err); err != nil {
		return err
	}
	if !maps.Equal(have, want.of) {
		return errors.New("the copy does not hold what the studio does")
	}
	return nil
}

// contents are the digests of all that a file holds, by table, and of the form of its tables.
func contents(ctx context.Context, db *sql.DB) (map[string][sha256.Size]byte, error) {
	const head = `SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY type, name`
	asks := map[string]string{
		"the form": head, "the mark": `SELECT application_id FROM pragma_application_id`, "the id": `SELECT user_version FROM pragma_user_version`,
	}
	err := engine.EachRow(ctx, db, `SELECT name FROM sqlite_schema WHERE type = 'table' AND sql NOT LIKE 'CREATE VIRTUAL%'`, func(rows *sql.Rows) error {
		var name string
		err := rows.Scan(&name)
		asks[name] = `SELECT * FROM "` + strings.ReplaceAll(name, `"`, `""`) + `"`
		return err
	})
	if err != nil {
		return nil, err
	}
	out := map[string][sha256.Size]byte{}
	for name, ask := range asks {
		if out[name], err = digest(ctx, db, ask); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// digest is that of the rows of an answer, in their order.
func digest(ctx context.Context, db *sql.DB, ask string) (sum [sha256.Size]byte, err error) {
	h := sha256.New()
	var values []any
	var text []byte
	err = engine.EachRow(ctx, db, ask, func(rows *sql.Rows) error {
		if values == nil {
			columns, err := rows.Columns()
			if err != nil {
				return err
			}
			values = make([]any, len(columns))
			for i := range values {
				values[i] = new(any)
			}
		}
		if err := rows.Scan(values...); err != nil {
			return err
		}
		text = text[:0]
		for _, v := range values {
			text = appended(text, *v.(*any))
		}
		_, err := h.Write(append(text, '\n'))
		return err
	})
	return [sha256.Size]byte(h.Sum(nil)), err
}

// appended writes a value behind others so that no two rows are written alike: its type, and how long it is where that follows from nothing else.
func appended(text []byte, value any) []byte {
	switch v := value.(type) {
	case nil:
		return append(text, 'n')
	case int64:
		return append(strconv.AppendInt(append(text, 'i'), v, 10), ',')
	case string:
		return append(append(strconv.AppendInt(append(text, 's'), int64(len(v)), 10), ':'), v...)
	case []byte:
		return append(append(strconv.AppendInt(append(text, 'b'), int64(len(v)), 10), ':'), v...)
	}
	return fmt.Appendf(text, "%T %[1]q,", value)
}
