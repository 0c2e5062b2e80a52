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
	"slices"
	"strings"
	"time"

	"solander/store/migrations"
	"solander/store/table"
)

// level is the quickest: most of a large copy are pictures in base64, which the best makes no smaller and takes five times as long for.
const level = gzip.BestSpeed

// Dump writes a copy of the state that a transaction sees.
// Secrets that the studio keeps in cipher of its own accord stand in it as they are: without its key it could not be restored elsewhere.
func Dump(c *table.Conn, w io.Writer) error {
	form, err := migrations.Schema()
	if err != nil {
		return err
	}
	open, _, err := c.Itself()
	if err != nil {
		return err
	}
	_, err = write(c, w, form, Tables, open)
	return err
}

// write writes a copy of tables in a form, with what is in cipher as it is when it is to be opened, and reports how many rows there are of each.
func write(c *table.Conn, w io.Writer, form int64, tables []Table, open bool) (map[string]int64, error) {
	zip, err := gzip.NewWriterLevel(w, level)
	if err != nil {
		return nil, err
	}
	out := bufio.NewWriterSize(zip, 1<<16)
	d := dump{out: out, sum: sha256.New(), rows: make(map[string]int64), open: open}
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
	open bool // what is in cipher is written as it is
}

// vaultTable says what is in cipher.
const vaultTable = "vault"

// bare opens the cells of a row that are in cipher.
func (d *dump) bare(c *table.Conn, t Table, cols []string, values []any) error {
	if !d.open {
		return nil
	}
	for i, v := range values {
		cell, ok := v.(string)
		if !ok || !table.InCipher(cell) {
			continue
		}
		var key []any
		for _, k := range strings.Split(t.Key, ", ") {
			key = append(key, values[slices.Index(cols, k)])
		}
		text, err := c.OpenCell(t.Name, cols[i], table.KeyText(key...), cell)
		if err != nil {
			return err
		}
		values[i] = text
	}
	return nil
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
	if d.open && t.Name == vaultTable {
		return nil
	}
	return c.Each(t.Select(), nil, func(rows *sql.Rows) error {
		if err := rows.Scan(dest...); err != nil {
			return err
		}
		d.rows[t.Name]++
		if err := d.bare(c, t, cols, values); err != nil {
			return err
		}
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
