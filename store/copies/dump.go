package copies

import (
	"bufio"
	"compress/gzip"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"hash"
	"io"
	"time"

	"solander/store/migrations"
	"solander/store/table"
)

// level is the quickest: most of a large copy are pictures in base64, which the best makes no smaller and takes five times as long for.
const level = gzip.BestSpeed

// Dump writes a copy of the state that a transaction sees.
func Dump(c *table.Conn, w io.Writer) error {
	form, err := migrations.Schema()
	if err != nil {
		return err
	}
	_, err = write(c, w, form, Tables)
	return err
}

// write writes a copy of tables in a form, and reports how many rows there are of each.
func write(c *table.Conn, w io.Writer, form int64, tables []Table) (map[string]int64, error) {
	zip, err := gzip.NewWriterLevel(w, level)
	if err != nil {
		return nil, err
	}
	out := bufio.NewWriterSize(zip, 1<<16)
	d := dump{out: out, sum: sha256.New(), rows: make(map[string]int64)}
	if err := d.all(c, form, tables); err != nil {
		return nil, err
	}
	if err := out.Flush(); err != nil {
		return nil, err
	}
	return d.rows, zip.Close()
}

type dump struct {
	out  io.Writer
	sum  hash.Hash
	rows map[string]int64
	line []byte
}

func (d *dump) all(c *table.Conn, form int64, tables []Table) error {
	if err := d.object(copyHead{Format, Version, form, c.Now().Format(time.RFC3339)}); err != nil {
		return err
	}
	for _, t := range tables {
		if err := d.table(c, t); err != nil {
			return err
		}
	}
	return d.object(copyEnd{d.rows, hex.EncodeToString(d.sum.Sum(nil))})
}

func (d *dump) table(c *table.Conn, t Table) error {
	cols := t.Split()
	if err := d.object(copyTable{t.Name, cols}); err != nil {
		return err
	}
	values, dest := make([]any, len(cols)), make([]any, len(cols))
	for i := range values {
		dest[i] = &values[i]
	}
	d.rows[t.Name] = 0
	return c.Each(t.Select(), nil, func(rows *sql.Rows) error {
		if err := rows.Scan(dest...); err != nil {
			return err
		}
		d.rows[t.Name]++
		return d.row(values)
	})
}

func (d *dump) row(values []any) error {
	var err error
	if d.line, err = table.AppendRow(d.line[:0], values); err != nil {
		return err
	}
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
