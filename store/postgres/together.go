package postgres

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"

	"solander/store/engine"
)

// mostSoon and mostSoonArgs bound what is put off, in statements and in their arguments: more is sent at once. A way less is of no use beside so much
// work, and whoever makes the arguments makes the next ones while the server has these.
const mostSoon, mostSoonArgs = 32, 1000

// Soon puts a statement off: it is sent with the one that comes next.
func (s *pgSession) Soon(ctx context.Context, query string, args ...any) error {
	s.wrote, s.ahead = true, nil
	s.soon, s.soonArgs = append(s.soon, engine.Ask{Query: query, Args: args}), s.soonArgs+len(args)
	if len(s.soon) < mostSoon && s.soonArgs < mostSoonArgs {
		return nil
	}
	_, err := s.together(ctx)
	return err
}

// Ahead sends questions together, with what was put off before them, and keeps the answers.
func (s *pgSession) Ahead(ctx context.Context, asks []engine.Ask) error {
	asks = slices.DeleteFunc(slices.Clone(asks), func(a engine.Ask) bool { return s.at(a) >= 0 })
	if len(asks) == 0 {
		return nil
	}
	answers, err := s.together(ctx, asks...)
	if err != nil {
		return err
	}
	for i, a := range asks {
		s.ahead = append(s.ahead, asked{a, answers[i]})
	}
	return nil
}

// asked is a question that was answered ahead.
type asked struct {
	engine.Ask
	answer *answer
}

// known takes the answer to a question that was asked ahead; nil = it was not.
func (s *pgSession) known(a engine.Ask) *answer {
	i := s.at(a)
	if i < 0 {
		return nil
	}
	found := s.ahead[i].answer
	s.ahead = slices.Delete(s.ahead, i, i+1)
	return found
}

// at is where a question stands among those that were asked ahead; -1 = nowhere.
func (s *pgSession) at(a engine.Ask) int {
	return slices.IndexFunc(s.ahead, func(x asked) bool { return x.Query == a.Query && slices.Equal(x.Args, a.Args) })
}

// together sends what was put off, and more, on one way, and returns the answers to the latter. The first statement that is refused decides: those
// behind it are not run.
func (s *pgSession) together(ctx context.Context, more ...engine.Ask) ([]*answer, error) {
	all := slices.Concat(s.soon, more)
	before := len(s.soon)
	s.soon, s.soonArgs = nil, 0
	if len(all) == 0 {
		return nil, nil
	}
	var answers []*answer
	var failed error
	err := s.conn.Raw(func(driverConn any) error {
		conn := driverConn.(*stdlib.Conn).Conn()
		if conn.PgConn().TxStatus() == idle { // what is sent now would be kept at once
			failed = sql.ErrTxDone
			return nil
		}
		batch := &pgx.Batch{}
		for _, a := range all {
			batch.Queue(a.Query, a.Args...)
		}
		results := conn.SendBatch(ctx, batch)
		for range all {
			a, err := read(results.Query())
			if err != nil {
				failed = err
				break
			}
			answers = append(answers, a)
		}
		failed = errors.Join(failed, closed(results, failed))
		return nil
	})
	if err = errors.Join(err, failed); err != nil {
		return nil, err
	}
	return answers[before:], nil
}

// idle is what a connection says of itself that is in no transaction. Source: PostgreSQL manual, message formats, ReadyForQuery.
const idle = 'I'

// closed ends a batch; what was refused before is not said twice.
func closed(results pgx.BatchResults, failed error) error {
	if err := results.Close(); failed == nil {
		return err
	}
	return nil
}

// answer is what a statement answered, in memory. It implements driver.Rows and driver.Result.
type answer struct {
	columns []string
	rows    [][]any
	changed int64
}

func read(rows pgx.Rows, err error) (*answer, error) {
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	a := &answer{}
	for _, f := range rows.FieldDescriptions() {
		a.columns = append(a.columns, f.Name)
	}
	for rows.Next() {
		values, err := rows.Values()
		if err == nil {
			err = plainly(values)
		}
		if err != nil {
			return nil, err
		}
		a.rows = append(a.rows, values)
	}
	rows.Close()
	a.changed = rows.CommandTag().RowsAffected()
	return a, rows.Err()
}

// plainly makes of values what database/sql takes of a driver.
func plainly(values []any) error {
	for i, v := range values {
		switch v := v.(type) {
		case nil, int64, string, bool:
		case int32:
			values[i] = int64(v)
		case int16:
			values[i] = int64(v)
		default:
			return fmt.Errorf("a %T cannot be asked for together", v)
		}
	}
	return nil
}

func (a *answer) Columns() []string { return a.columns }

func (a *answer) Close() error { return nil }

func (a *answer) Next(dest []driver.Value) error {
	if len(a.rows) == 0 {
		return io.EOF
	}
	for i, v := range a.rows[0] {
		dest[i] = v
	}
	a.rows = a.rows[1:]
	return nil
}

func (a *answer) RowsAffected() (int64, error) { return a.changed, nil }

func (a *answer) LastInsertId() (int64, error) { return 0, errors.ErrUnsupported }

// memory reads answers as database/sql reads those of a driver, so that nobody sees which way they came.
type memory struct{}

func (memory) Connect(context.Context) (driver.Conn, error) { return memory{}, nil }

func (memory) Driver() driver.Driver { return nil }

func (memory) Prepare(string) (driver.Stmt, error) { return nil, errors.ErrUnsupported }

func (memory) Begin() (driver.Tx, error) { return nil, errors.ErrUnsupported }

func (memory) Close() error { return nil }

// CheckNamedValue lets the answer through.
func (memory) CheckNamedValue(*driver.NamedValue) error { return nil }

func (memory) QueryContext(_ context.Context, _ string, args []driver.NamedValue) (driver.Rows, error) {
	return args[0].Value.(*answer), nil
}
