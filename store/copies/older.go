package copies

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"io"
	"slices"
	"strings"

	"solander/store/engine"
	"solander/store/table"
)

// Older makes copies of a studio whose tables are still in an earlier form, as the program of that form makes and reads them.
var Older = engine.CopyOut{Write: writeOlder, Read: readThrough}

func writeOlder(ctx context.Context, q engine.Session, opt engine.Options, form int64, w io.Writer) (map[string]int64, error) {
	c := table.Begun(ctx, q, engine.Dialect{}, opt, true)
	tables, err := tablesOf(c)
	if err != nil {
		return nil, err
	}
	return write(c, w, form, tables, false)
}

// tablesOf are the tables that stand in a schema of PostgreSQL, with the columns that they have. A table with columns that today's has not
// any more has them all, in the order in which they were made: that was the order of its copies then.
func tablesOf(c *table.Conn) ([]Table, error) {
	columns := map[string][]string{}
	err := c.Each(`SELECT CAST(table_name AS TEXT), CAST(column_name AS TEXT) FROM information_schema.columns WHERE table_schema = current_schema() ORDER BY table_name, ordinal_position`, nil, func(rows *sql.Rows) error {
		var name, column string
		err := rows.Scan(&name, &column)
		columns[name] = append(columns[name], column)
		return err
	})
	var out []Table
	for _, t := range Tables {
		names := slices.DeleteFunc(t.Split(), func(column string) bool { return !slices.Contains(columns[t.Name], column) })
		all := slices.DeleteFunc(columns[t.Name], func(column string) bool { return slices.Contains(ApartColumns[t.Name], column) })
		key := t.Key
		if len(names) < len(all) {
			if names = all; slices.ContainsFunc(strings.Split(key, ", "), func(column string) bool { return !slices.Contains(all, column) }) {
				key = strings.Join(all, ", ") // its rows were told apart by another
			}
		}
		if len(names) > 0 {
			out = append(out, Table{t.Name, strings.Join(names, ", "), key})
		}
	}
	return out, err
}

// readThrough reads a copy to its end, of whatever form its tables are: its sum must be right, and its rows as many as it says.
// Faults: Invalid when it is damaged.
func readThrough(r io.Reader) (form int64, rows map[string]int64, err error) {
	zip, err := gzip.NewReader(r)
	if err != nil {
		return 0, nil, unreadable(err)
	}
	defer zip.Close()
	l := load{in: bufio.NewReaderSize(zip, 1<<16), sum: sha256.New(), rows: map[string]int64{}}
	line, err := l.next()
	if err != nil {
		return 0, nil, err
	}
	var head copyHead
	if json.Unmarshal(line, &head) != nil || head.Format != Format {
		return 0, nil, damaged("it has no head")
	}
	name := ""
	for {
		l.sum.Write(line)
		if line, err = l.next(); err != nil {
			return 0, nil, err
		}
		switch {
		case line[0] == '[' && name != "" && json.Valid(line):
			l.rows[name]++
		case bytes.HasPrefix(line, []byte(`{"table":`)):
			var t copyTable
			if json.Unmarshal(line, &t) != nil || t.Table == "" {
				return 0, nil, damaged("a table has no name")
			}
			name, l.rows[t.Table] = t.Table, 0
		default:
			return head.Schema, l.rows, l.ends(line)
		}
	}
}

// ends looks at the line that ends a copy.
func (l *load) ends(line []byte) error {
	var e copyEnd
	if err := json.Unmarshal(line, &e); err != nil || e.SHA256 != hex.EncodeToString(l.sum.Sum(nil)) {
		return damaged("its check sum is wrong")
	}
	for name, n := range e.Rows {
		if l.rows[name] != n {
			return damaged("%s has %d rows, %d are expected", name, l.rows[name], n)
		}
	}
	if _, err := l.in.ReadByte(); err != io.EOF {
		return damaged("something follows its end")
	}
	return nil
}
