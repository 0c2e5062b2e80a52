// Package export turns a copy of a studio (docs/formats/backup.md) into plain files that any program reads, one
// CSV and one JSON file a table, and back again, so that what is taken in is what was given out
// (docs/formats/export.md). It writes and reads comma-separated text exactly, by RFC 4180, with the cells
// that a spreadsheet would run as formulas neutralised.
package export

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"strconv"

	"solander/fault"
)

// Format is the value of a manifest's "format" field.
const Format = "solander-export/1"

// ManifestName is the file that says what the others are.
const ManifestName = "manifest.json"

// Manifest tells what an export holds.
type Manifest struct {
	Format string          `json:"format"`
	Copy   json.RawMessage `json:"copy"` // the first line of the copy: form, form of the tables, instant
	Tables []Table         `json:"tables"`
}

// Table is one file of an export.
type Table struct {
	Name    string   `json:"name"`
	Columns []Column `json:"columns"`
	Rows    int64    `json:"rows"`
	SHA256  string   `json:"sha256"` // of csv/NAME.csv
}

// Column is a column with what its cells hold.
type Column struct {
	Name string `json:"name"`
	Kind Kind   `json:"kind"`
}

// Kind is what the cells of a column hold.
type Kind string

// The kinds. An empty cell of whole numbers is "nothing"; an empty cell of text is an empty text.
const (
	Number Kind = "number"
	Text   Kind = "text"
)

// Maker makes the next file of an export; the one before it is whole then. archive/zip's Create is one.
type Maker func(name string) (io.Writer, error)

// CSVName and JSONName return where a table's files are.
func CSVName(table string) string { return "csv/" + table + ".csv" }

// JSONName returns where a table's rows are as JSON, an array of objects by column.
func JSONName(table string) string { return "json/" + table + ".json" }

// longestLine bounds a line of a copy, as the store does.
const longestLine = 32 << 20

// Split writes a copy out as files, the manifest last. Faults: Invalid when it is no copy.
func Split(r io.Reader, mk Maker) error {
	zip, err := gzip.NewReader(r)
	if err != nil {
		return err
	}
	lines := bufio.NewScanner(zip)
	lines.Buffer(make([]byte, 1<<16), longestLine)
	s := splitter{mk: mk, m: Manifest{Format: Format}}
	for lines.Scan() {
		if err := s.line(lines.Bytes()); err != nil {
			return err
		}
	}
	if err := errors.Join(lines.Err(), zip.Close()); err != nil {
		return err
	}
	if !s.ended {
		return fault.New(fault.Invalid, "the copy ends too early")
	}
	return nil
}

type splitter struct {
	mk    Maker
	m     Manifest
	csv   *Writer
	sum   hash.Hash
	json  bytes.Buffer
	also  []plain // written behind the table
	ended bool
}

// plain is a file beside those of the tables, for other programs alone: it is not read back.
type plain struct {
	name string
	body []byte
}

// pictureBodies is the table whose rows are pictures: work, size, a JPEG in base64.
const pictureBodies = "picture_bodies"

// PictureName returns where the picture of a work is at a size.
func PictureName(work int64, size string) string {
	return fmt.Sprintf("pictures/%d-%s.jpg", work, size)
}

// picture puts the picture of a row beside the tables. A row that holds none is left: the tables are what is read back.
func (s *splitter) picture(values []any) {
	if s.table().Name != pictureBodies || len(values) != 3 {
		return
	}
	work, _ := values[0].(int64)
	size, _ := values[1].(string)
	text, _ := values[2].(string)
	body, err := base64.StdEncoding.DecodeString(text)
	if name := PictureName(work, size); err == nil && fs.ValidPath(name) {
		s.also = append(s.also, plain{name, body})
	}
}

func (s *splitter) line(line []byte) error {
	if line[0] == '[' {
		return s.row(line)
	}
	var head struct {
		Format  string           `json:"format"`
		Table   string           `json:"table"`
		Columns []string         `json:"columns"`
		Rows    map[string]int64 `json:"rows"`
	}
	if err := json.Unmarshal(line, &head); err != nil {
		return fault.New(fault.Invalid, "a line of the copy cannot be read").Because(err)
	}
	switch {
	case head.Format != "":
		s.m.Copy = bytes.Clone(line)
		return nil
	case head.Table != "":
		return s.begin(head.Table, head.Columns)
	}
	return s.end()
}

func (s *splitter) begin(name string, columns []string) error {
	if err := s.close(); err != nil {
		return err
	}
	w, err := s.mk(CSVName(name))
	if err != nil {
		return err
	}
	s.sum = sha256.New()
	s.csv = NewWriter(io.MultiWriter(w, s.sum), ',')
	t := Table{Name: name}
	for _, c := range columns {
		t.Columns = append(t.Columns, Column{Name: c})
	}
	s.m.Tables = append(s.m.Tables, t)
	return s.csv.Write(columns...)
}

func (s *splitter) table() *Table { return &s.m.Tables[len(s.m.Tables)-1] }

func (s *splitter) row(line []byte) error {
	values, err := cells(line)
	if err != nil {
		return err
	}
	t := s.table()
	out := make([]string, len(values))
	s.json.WriteString(map[bool]string{true: "[\n{", false: ",\n{"}[t.Rows == 0])
	for i, v := range values {
		if err := t.Columns[i].take(v); err != nil {
			return fmt.Errorf("%s.%w", t.Name, err)
		}
		name, _ := json.Marshal(t.Columns[i].Name) // a string marshals
		value, err := json.Marshal(v)
		if err != nil {
			return err
		}
		if i > 0 {
			s.json.WriteByte(',')
		}
		fmt.Fprintf(&s.json, "%s:%s", name, value)
		switch v := v.(type) {
		case int64:
			out[i] = strconv.FormatInt(v, 10)
		case string:
			out[i] = Guard(v)
		}
	}
	s.json.WriteByte('}')
	s.picture(values)
	t.Rows++
	return s.csv.Write(out...)
}

// take learns from a value what a column holds. A column holds one kind, and nothing only where it holds
// whole numbers: else an empty cell would have two meanings.
func (c *Column) take(v any) error {
	kind := Number
	if _, ok := v.(string); ok {
		kind = Text
	}
	if c.Kind == "" {
		c.Kind = kind
	}
	if c.Kind != kind {
		return fmt.Errorf("%s holds text, and numbers or nothing", c.Name)
	}
	return nil
}

// close ends the files of a table.
func (s *splitter) close() error {
	if s.csv == nil {
		return nil
	}
	if err := s.csv.Flush(); err != nil {
		return err
	}
	t := s.table()
	t.SHA256 = hex.EncodeToString(s.sum.Sum(nil))
	for i := range t.Columns {
		if t.Columns[i].Kind == "" {
			t.Columns[i].Kind = Text // no row says: it makes no difference
		}
	}
	w, err := s.mk(JSONName(t.Name))
	if err != nil {
		return err
	}
	if t.Rows == 0 {
		s.json.WriteString("[")
	}
	s.json.WriteString("\n]\n")
	_, err = w.Write(s.json.Bytes())
	s.json.Reset()
	s.csv = nil
	if err != nil {
		return err
	}
	return s.writeAlso()
}

func (s *splitter) writeAlso() error {
	for _, p := range s.also {
		w, err := s.mk(p.name)
		if err != nil {
			return err
		}
		if _, err := w.Write(p.body); err != nil {
			return err
		}
	}
	s.also = nil
	return nil
}

func (s *splitter) end() error {
	if err := s.close(); err != nil {
		return err
	}
	s.ended = true
	w, err := s.mk(ManifestName)
	if err != nil {
		return err
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(s.m)
}

// cells reads a row of a copy: whole numbers, texts and nothing.
func cells(line []byte) ([]any, error) {
	dec := json.NewDecoder(bytes.NewReader(line))
	dec.UseNumber()
	var values []any
	if err := dec.Decode(&values); err != nil {
		return nil, fault.New(fault.Invalid, "a row of the copy cannot be read").Because(err)
	}
	for i, v := range values {
		if n, ok := v.(json.Number); ok {
			whole, err := n.Int64()
			if err != nil {
				return nil, fault.New(fault.Invalid, "%.40q is no whole number", n.String())
			}
			values[i] = whole
		}
	}
	return values, nil
}
