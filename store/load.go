package store

import (
	"bufio"
	"bytes"
	"compress/flate"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"hash"
	"io"
	"slices"
	"strconv"

	"solander/fault"
)

// Load fills an empty store from a copy; see studio.Store. The copy is read once, so a busy store is
// not tried again.
func (s *store) Load(ctx context.Context, r io.Reader) error {
	release, err := s.takePlace(ctx)
	if err != nil {
		return err
	}
	defer release()
	again, err := s.attempt(ctx, func(t *tx) error {
		if err := t.empty(); err != nil {
			return err
		}
		return t.load(r)
	})
	switch {
	case err == nil:
		s.engine.settled(ctx)
	case again:
		return busyAfter(err)
	}
	return err
}

// empty refuses a store in which anything was written.
func (t *tx) empty() error {
	for _, table := range tables {
		if table.name == "counters" {
			continue
		}
		var one int64
		found, err := t.one("SELECT 1 FROM "+table.name+" LIMIT 1", nil, &one)
		if err != nil {
			return err
		}
		if found {
			return fault.New(fault.Refused, "this store is not empty").ToMend("restore to a new place; nothing was changed")
		}
	}
	return nil
}

func (t *tx) load(r io.Reader) error {
	zip, err := gzip.NewReader(r)
	if err != nil {
		return unreadable(err)
	}
	defer zip.Close()
	l := load{tx: t, in: bufio.NewReaderSize(zip, 1<<16), sum: sha256.New(), rows: make(map[string]int64)}
	if err := l.head(); err != nil {
		return err
	}
	if _, err := t.exec(`DELETE FROM counters`); err != nil {
		return err
	}
	if err := l.body(); err != nil {
		return err
	}
	if err := t.putPeople(); err != nil {
		return err
	}
	return t.allWords()
}

// load reads a copy line by line.
type load struct {
	tx    *tx
	in    *bufio.Reader
	sum   hash.Hash
	rows  map[string]int64
	table table
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
	if json.Unmarshal(line, &h) != nil || h.Format != copyFormat {
		return fault.New(fault.Invalid, "this is no copy of a studio").ToMend("choose a file that backup wrote")
	}
	known, err := schema()
	if err != nil {
		return err
	}
	if h.Version != copyVersion || h.Schema != known {
		return fault.New(fault.Invalid, "the copy is of another version (form %d, tables %d; this program reads form %d, tables %d)",
			h.Version, h.Schema, copyVersion, known).ToMend("restore it with the version of the program that made it; this one then brings that store up to date")
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
	t, ok := tableNamed(c.Table)
	if !ok || slices.Contains(l.done, c.Table) || !slices.Equal(t.cols(), c.Columns) {
		return damaged("%.40q is not a table that is expected here", c.Table)
	}
	l.table, l.done = t, append(l.done, c.Table)
	l.rows[t.name] = 0
	return nil
}

// together is how many rows are inserted by one statement.
const together = 50

func (l *load) row(line []byte) error {
	if l.table.name == "" {
		return damaged("a row stands before its table")
	}
	dec := json.NewDecoder(bytes.NewReader(line))
	dec.UseNumber()
	var values []any
	if err := dec.Decode(&values); err != nil || len(values) != len(l.table.cols()) {
		return damaged("a row of %s cannot be read", l.table.name)
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
			return damaged("a row of %s holds what no column holds", l.table.name)
		}
	}
	l.wait = append(l.wait, values...)
	l.rows[l.table.name]++
	if len(l.wait) == together*len(values) {
		return l.flush()
	}
	return nil
}

// flush inserts the rows that wait.
func (l *load) flush() error {
	if len(l.wait) == 0 {
		return nil
	}
	n := len(l.wait) / len(l.table.cols())
	_, err := l.tx.exec(l.table.insert(n), l.wait...)
	l.wait = l.wait[:0]
	if err == nil || retriable(err) || causeOf(err) == full || l.tx.ctx.Err() != nil {
		return err
	}
	return damaged("the rows of %s contradict each other", l.table.name).Because(err)
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
	for _, t := range tables {
		if n, ok := e.Rows[t.name]; !ok || n != l.rows[t.name] || !slices.Contains(l.done, t.name) {
			return damaged("%s has %d rows, %d are expected", t.name, l.rows[t.name], n)
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

// allWords makes the words of search anew for every order and buyer.
func (t *tx) allWords() error {
	for _, kind := range []struct {
		table string
		index func([]int64) error
	}{{"buyers", t.indexBuyers}, {"orders", t.indexOrders}} {
		ids, err := list(t, func(rows *sql.Rows) (id int64, err error) {
			err = rows.Scan(&id)
			return id, err
		}, `SELECT id FROM `+kind.table+` ORDER BY id`)
		if err != nil {
			return err
		}
		if err := kind.index(ids); err != nil {
			return err
		}
	}
	return nil
}
