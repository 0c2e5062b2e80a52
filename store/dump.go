package store

import (
	"bufio"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"hash"
	"io"
	"strconv"
	"time"
)

// Dump writes a copy of one consistent state; see studio.Store. It holds up no writer.
func (s *store) Dump(ctx context.Context, w io.Writer) error {
	zip := gzip.NewWriter(w)
	out := bufio.NewWriterSize(zip, 1<<16)
	err := s.read(ctx, func(t *tx) error {
		d := dump{out: out, sum: sha256.New(), rows: make(map[string]int64)}
		return d.all(t)
	})
	if err != nil {
		return err
	}
	if err := out.Flush(); err != nil {
		return err
	}
	return zip.Close()
}

type dump struct {
	out  io.Writer
	sum  hash.Hash
	rows map[string]int64
	line []byte
}

func (d *dump) all(t *tx) error {
	version, err := schema()
	if err != nil {
		return err
	}
	if err := d.object(copyHead{copyFormat, copyVersion, version, t.now.Format(time.RFC3339)}); err != nil {
		return err
	}
	for _, table := range tables {
		if err := d.table(t, table); err != nil {
			return err
		}
	}
	return d.object(copyEnd{d.rows, hex.EncodeToString(d.sum.Sum(nil))})
}

func (d *dump) table(t *tx, table table) error {
	cols := table.cols()
	if err := d.object(copyTable{table.name, cols}); err != nil {
		return err
	}
	values, dest := make([]any, len(cols)), make([]any, len(cols))
	for i := range values {
		dest[i] = &values[i]
	}
	d.rows[table.name] = 0
	return t.each(selectFrom(table.name, table.columns, "ORDER BY "+table.key), nil, func(rows *sql.Rows) error {
		if err := rows.Scan(dest...); err != nil {
			return err
		}
		d.rows[table.name]++
		return d.row(values)
	})
}

func (d *dump) row(values []any) error {
	d.line = append(d.line[:0], '[')
	for i, v := range values {
		if i > 0 {
			d.line = append(d.line, ',')
		}
		switch v := v.(type) {
		case nil:
			d.line = append(d.line, "null"...)
		case int64:
			d.line = strconv.AppendInt(d.line, v, 10)
		case string:
			text, err := json.Marshal(v)
			if err != nil {
				return err
			}
			d.line = append(d.line, text...)
		default:
			return fmt.Errorf("a %T stands in a table", v)
		}
	}
	d.line = append(d.line, ']')
	return d.write()
}

func (d *dump) object(v any) (err error) {
	if d.line, err = json.Marshal(v); err != nil {
		return err
	}
	return d.write()
}

func (d *dump) write() error {
	d.line = append(d.line, '\n')
	d.sum.Write(d.line)
	_, err := d.out.Write(d.line)
	return err
}
