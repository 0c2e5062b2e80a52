package engine

import (
	"context"
	"database/sql"
	"errors"

	"solander/fault"
)

// Look is one part of what an engine is asked about itself. An answer is a sentence.
type Look struct {
	What string
	Ask  func(ctx context.Context) ([]string, error)
}

// All asks one part after the other. What cannot be read is a finding, too, and the next part is asked all the same.
// Faults: Busy when the engine went away, and the end of ctx.
func All(ctx context.Context, looks []Look) ([]string, error) {
	var found []string
	for _, l := range looks {
		part, err := l.Ask(ctx)
		found = append(found, part...)
		switch {
		case err == nil:
		case ctx.Err() != nil:
			return found, ctx.Err()
		case fault.Is(err, fault.Busy):
			return found, err
		case CauseOf(err) == Connection:
			return found, Away(err)
		default:
			found = append(found, l.What+" cannot be read: "+WithCause(err))
		}
	}
	return found, nil
}

// WithCause is an error for the one who looks for the damage: with its cause.
func WithCause(err error) string {
	var f *fault.Error
	if errors.As(err, &f) && f.Err != nil {
		return f.What + ": " + f.Err.Error()
	}
	return err.Error()
}

func EachRow(ctx context.Context, q Asker, query string, f func(*sql.Rows) error) error {
	rows, err := q.QueryContext(ctx, query)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := f(rows); err != nil {
			return err
		}
	}
	return rows.Err()
}
