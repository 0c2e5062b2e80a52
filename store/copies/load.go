package copies

import (
	"bufio"
	"bytes"
	"compress/flate"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"hash"
	"io"
	"slices"
	"strconv"

	"solander/fault"
	"solander/store/engine"
	"solander/store/migrations"
	"solander/store/table"
)

// Load fills an empty store with the rows of a copy, within one transaction. What is made of rows, and is in no copy, is
// left to the caller. Faults: Refused when anything was written already; Invalid when the copy is damaged or of another version.
func Load(c *table.Conn, r io.Reader) error {
	if err := empty(c); err != nil {
		return err
	}
	zip, err := gzip.NewReader(r)
	if err != nil {
		return unreadable(err)
	}
	defer zip.Close()
	l := load{conn: c, in: bufio.NewReaderSize(zip, 1<<16), sum: sha256.New(), rows: make(map[string]int64)}
	if err := l.head(); err != nil {
		return err
	}
	for _, name := range made {
		if _, err := c.Exec(`DELETE FROM ` + name); err != nil {
			return err
		}
	}
	return l.body()
}

// made are the tables in which something stands when nothing was written yet.
var made = []string{"counters", "row_forms"}

// empty refuses a store in which anything was written.
func empty(c *table.Conn) error {
	for _, t := range Tables {
		if slices.Contains(made, t.Name) {
			continue
		}
		var one int64
		found, err := c.One("SELECT 1 FROM "+t.Name+" LIMIT 1", nil, &one)
		if err != nil {
			return err
		}
		if found {
			return fault.New(fault.Refused, "this store is not empty").ToMend("restore to a new place; nothing was changed")
		}
	}
	return nil
}

// load reads a copy line by line.
type load struct {
	conn  *table.Conn
	in    *bufio.Reader
	sum   hash.Hash
	rows  map[string]int64
	table Table
	wait  []any // values of rows that are not yet inserted
	done  []string
}

// longestLine bounds a line of a copy, so that a forged one cannot fill the memory.
const longestLine = 32 << 20

func damaged(what string, args ...any) *fault.Error {
	return fault.New(fault.Invalid, "the copy is damaged: "+what, args...).ToMend("use another copy; nothing was changed")
}

func unreadable(err error) error {
	var corrupt flate.CorruptInputError
	switch {
	case err == nil:
		return nil
	case errors.Is(err, gzip.ErrHeader):
		return fault.New(fault.Invalid, "this is no copy of a studio").ToMend("choose a file that backup wrote").Because(err)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return damaged("it ends too early").Because(err)
	case errors.Is(err, gzip.ErrChecksum), errors.As(err, &corrupt):
		return damaged("its check sum is wrong").Because(err)
	}
	return err
}

// next returns the next line without its end; io.EOF is an early end.
func (l *load) next() ([]byte, error) {
	var line []byte
	for {
		part, err := l.in.ReadSlice('\n')
		line = append(line, part...)
		switch {
		case err == nil:
			return line, nil
		case !errors.Is(err, bufio.ErrBufferFull):
			return nil, unreadable(err)
		case len(line) > longestLine:
			return nil, damaged("a line is longer than %d bytes", longestLine)
		}
	}
}

func (l *load) head() error {
	line, err := l.next()
	if err != nil {
		return err
	}
	var h copyHead
	if json.Unmarshal(line, &h) != nil || h.Format != Format {
		return fault.New(fault.Invalid, "this is no copy of a studio").ToMend("choose a file that backup wrote")
	}
	known, err := migrations.Schema()
	if err != nil {
		return err
	}
	if h.Version != Version || h.Schema != known {
		return fault.New(fault.Invalid, "the copy is of another version (form %d, tables %d; this program reads form %d, tables %d)",
			h.Version, h.Schema, Version, known).ToMend("restore it with the version of the program that made it; this one then brings that store up to date")
	}
	l.sum.Write(line)
	return nil
}

// body reads tables until the line that ends the copy.
func (l *load) body() error {
	for {
		line, err := l.next()
		if err != nil {
			return err
		}
		switch {
		case line[0] == '[':
			err = l.row(line)
		case bytes.HasPrefix(line, []byte(`{"table":`)):
			err = l.begin(line)
		default:
			return l.end(line)
		}
		if err != nil {
			return err
		}
		l.sum.Write(line)
	}
}

func (l *load) begin(line []byte) error {
	if err := l.flush(); err != nil {
		return err
	}
	var c copyTable
	if err := json.Unmarshal(line, &c); err != nil {
		return damaged("a table has no name").Because(err)
	}
	t, ok := named(c.Table)
	if !ok || slices.Contains(l.done, c.Table) || !slices.Equal(t.Split(), c.Columns) {
		return damaged("%.40q is not a table that is expected here", c.Table)
	}
	l.table, l.done = t, append(l.done, c.Table)
	l.rows[t.Name] = 0
	return nil
}

// Together is how many rows are inserted by one statement.
const Together = 50

func (l *load) row(line []byte) error {
	if l.table.Name == "" {
		return damaged("a row stands before its table")
	}
	dec := json.NewDecoder(bytes.NewReader(line))
	dec.UseNumber()
	var values []any
	if err := dec.Decode(&values); err != nil || len(values) != len(l.table.Split()) {
		return damaged("a row of %s cannot be read", l.table.Name)
	}
	for i, v := range values {
		switch v := v.(type) {
		case nil, string:
		case json.Number:
			n, err := strconv.ParseInt(string(v), 10, 64)
			if err != nil {
				return damaged("%.40q is no whole number", string(v))
			}
			values[i] = n
		default:
			return damaged("a row of %s holds what no column holds", l.table.Name)
		}
	}
	l.wait = append(l.wait, values...)
	l.rows[l.table.Name]++
	if len(l.wait) == Together*len(values) {
		return l.flush()
	}
	return nil
}

// flush inserts the rows that wait.
func (l *load) flush() error {
	if len(l.wait) == 0 {
		return nil
	}
	n := len(l.wait) / len(l.table.Split())
	_, err := l.conn.Exec(l.table.Insert(n), l.wait...)
	l.wait = l.wait[:0]
	if err == nil || engine.Retriable(err) || engine.CauseOf(err) == engine.Full || l.conn.Context().Err() != nil {
		return err
	}
	return damaged("the rows of %s contradict each other", l.table.Name).Because(err)
}

// end checks what the last line says of all before it, and that nothing follows.
func (l *load) end(line []byte) error {
	if err := l.flush(); err != nil {
		return err
	}
	var e copyEnd
	if err := json.Unmarshal(line, &e); err != nil || e.SHA256 == "" {
		return damaged("a line cannot be read").Because(err)
	}
	if e.SHA256 != hex.EncodeToString(l.sum.Sum(nil)) {
		return damaged("its check sum is wrong")
	}
	for _, t := range Tables {
		if n, ok := e.Rows[t.Name]; !ok || n != l.rows[t.Name] || !slices.Contains(l.done, t.Name) {
			return damaged("%s has %d rows, %d are expected", t.Name, l.rows[t.Name], n)
		}
	}
	if _, err := l.in.ReadByte(); !errors.Is(err, io.EOF) {
		if err == nil {
			return damaged("something follows its end")
		}
		return unreadable(err)
	}
	return nil
}
