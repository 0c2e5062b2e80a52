package tax

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/fault"
)

// Columns are the columns of a file of rates; all but the first four may be left out of its head.
var Columns = []string{"country", "region", "from", "rate", "postage", "inside", "name", "source"}

// MostRows bounds a file of rates.
const MostRows = 20_000

// Read reads a file of rates: comma-separated text (RFC 4180) with a head, a rate a row. All its faults are told at once, each with its row.
// Faults: Invalid, TooLarge.
func Read(data []byte) ([]Rate, error) {
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff"))))
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	var at *csv.ParseError
	switch {
	case errors.As(err, &at):
		return nil, fault.New(fault.Invalid, "a quote is not closed, or stands where none may").At("row %d", at.Line).In("file").ToMend("write it as comma-separated text (RFC 4180)")
	case err != nil || len(rows) < 2:
		return nil, fault.New(fault.Invalid, "the file holds no rate").In("file").ToMend("write a head like %s, and a rate a row", strings.Join(Columns, ","))
	case len(rows) > MostRows:
		return nil, fault.New(fault.TooLarge, "the file has %d rows", len(rows)).In("file").ToMend("load at most %d rates at once", MostRows)
	}
	head := rows[0]
	for i, h := range head {
		head[i] = strings.ToLower(strings.TrimSpace(h))
		if !slices.Contains(Columns, head[i]) || slices.Contains(head[:i], head[i]) {
			return nil, fault.New(fault.Invalid, "%.40q is no column of a file of rates, or stands there twice", h).At("row 1").In("file").ToMend("use %s", strings.Join(Columns, ", "))
		}
	}
	for _, must := range Columns[:4] {
		if !slices.Contains(head, must) {
			return nil, fault.New(fault.Invalid, "the column %q is missing", must).At("row 1").In("file").ToMend("write a head like %s", strings.Join(Columns, ","))
		}
	}
	var out []Rate
	var l fault.List
	seen := map[string]int{}
	for i, row := range rows[1:] {
		x, err := rateOf(head, row)
		for _, f := range fault.All(err) {
			l.Add(f.At("row %d", i+2))
		}
		key := fmt.Sprint(x.Country, "|", x.Region, "|", x.From)
		if before, twice := seen[key]; twice && err == nil {
			l.Add(fault.New(fault.Invalid, "row %d has a rate of the same place and day", before).At("row %d", i+2).In("file").ToMend("leave one of them out"))
		}
		seen[key] = i + 2
		out = append(out, x)
	}
	return out, l.Err()
}

func rateOf(head, row []string) (Rate, error) {
	var r Rate
	var l fault.List
	if len(row) != len(head) {
		return r, fault.Invalidf("file", "it has %d cells, the head has %d", len(row), len(head)).ToMend("look for a comma that is missing or too many")
	}
	for i, h := range head {
		var err error
		cell := strings.TrimSpace(row[i])
		switch h {
		case "country":
			r.Country = cell
		case "region":
			r.Region = cell
		case "from":
			if r.From, err = calendar.ParseDay(cell); err != nil {
				err = fault.Invalidf("from", "%.20q is not a day", cell).ToMend("write it like 2031-01-31")
			}
		case "rate":
			r.Rate, err = ParsePerCent(cell)
		case "postage":
			r.Postage, err = yes(h, cell)
		case "inside":
			r.Inside, err = yes(h, cell)
		case "name":
			r.Name = cell
		case "source":
			r.Source = cell
		}
		l.Add(err)
	}
	if l.Err() == nil {
		r = r.Tidy()
		l.Add(r.Validate())
	}
	return r, l.Err()
}

func yes(field, cell string) (bool, error) {
	switch strings.ToLower(cell) {
	case "yes", "true", "1":
		return true, nil
	case "no", "false", "0", "":
		return false, nil
	}
	return false, fault.Invalidf(field, "%.20q is neither yes nor no", cell).ToMend("write yes or no")
}
