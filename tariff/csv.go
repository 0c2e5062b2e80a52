package tariff

import (
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"

	"solander/fault"
)

// csvTable is the rows of a CSV file by the names of its columns.
type csvTable struct {
	file   string
	header []string
	at     map[string]int // column of each name
	rows   [][]string
	lines  []int // where each row stands
}

func (l *loader) readTable(file string, headers ...[]string) (*csvTable, error) {
	text, err := readFile(l.folder, file)
	if err != nil {
		return nil, err
	}
	r := csv.NewReader(strings.NewReader(string(text)))
	t := &csvTable{file: file}
	t.header, err = r.Read()
	if err != nil || !slices.ContainsFunc(headers, func(h []string) bool { return slices.Equal(h, t.header) }) {
		return nil, fault.New(fault.Invalid, "the header is not as it must be").At("%s, row 1", file).
			ToMend("the first row reads %s", strings.Join(headers[0], ","))
	}
	t.at = make(map[string]int, len(t.header))
	for i, name := range t.header {
		t.at[name] = i
	}
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, notCSV(file, err)
		}
		line, _ := r.FieldPos(0)
		t.rows, t.lines = append(t.rows, row), append(t.lines, line)
	}
	if len(t.rows) == 0 {
		return nil, fault.New(fault.Invalid, "the table has no rows").At("%s", file).ToMend("fill the table or leave it out")
	}
	return t, nil
}

// notCSV says in which row a file cannot be read.
func notCSV(file string, err error) error {
	var at *csv.ParseError
	if errors.As(err, &at) && errors.Is(at.Err, csv.ErrFieldCount) {
		return fault.New(fault.Invalid, "the row has another number of cells than the header").At("%s, row %d", file, at.StartLine).
			ToMend("a price is written with a point, 4.50: a comma begins the next cell, unless the cell stands in quotes").Because(err)
	}
	return fault.New(fault.Invalid, "not CSV: %v", err).At("%s", file).ToMend("check commas and quotes").Because(err)
}

// number returns a cell that holds a number, with or without a unit. Faults: Invalid for a comma in it. In one country
// it parts the decimals and in another the thousands; a card is read alike everywhere.
func (t *csvTable) number(i int, column string) (string, error) {
	text := t.get(i, column)
	if strings.Contains(text, ",") {
		return text, t.bad(i, column, "write a point before the decimals, and nothing between thousands: 1234.50", "%.40q has a comma", text)
	}
	return text, nil
}

// get returns a cell of row i by the column's name; "" when the file has no such column.
func (t *csvTable) get(i int, column string) string {
	at, ok := t.at[column]
	if !ok {
		return ""
	}
	return strings.TrimSpace(t.rows[i][at])
}

// bad is a fault in a cell.
func (t *csvTable) bad(i int, column, mend, what string, args ...any) error {
	return fault.New(fault.Invalid, what, args...).At("%s, row %d, column %s", t.file, t.lines[i], column).ToMend("%s", mend)
}

// in says in which cell a fault of parsing lies.
func (t *csvTable) in(i int, column string, err error) error {
	for _, f := range fault.All(err) {
		return f.At("%s, row %d, column %s", t.file, t.lines[i], column)
	}
	return nil
}
