package xlsx

import (
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/intake"
)

// sheet is one sheet while it is read.
type sheet struct {
	*book
	out      intake.Sheet
	columns  [MostColumns]int // style of each column
	merges   []area
	rules    []rule
	row      intake.Row
	rowStyle int // of cells that the row does not have; -1 = none
	at       int // column of the last cell, counted from 0
	value    bool
	last     int // row before
	unsaved  tally
	odd      tally
}

// tally counts cells with something to tell and remembers the first.
type tally struct {
	cell  string
	row   int
	count int
}

func (t *tally) add(row, column int) {
	if t.count++; t.count == 1 {
		t.cell, t.row = intake.Letters(column)+strconv.Itoa(row), row
	}
}

// readSheet reads a sheet as a stream: columns, rows, and behind them merged ranges and conditional formats.
func (b *book) readSheet(p sheetPart) (intake.Sheet, error) {
	s := &sheet{book: b, out: intake.Sheet{Name: p.name, Hidden: p.hidden}}
	r, found, err := b.parts.open(p.part)
	if err != nil || !found {
		return s.out, b.broken(p.part, fmt.Errorf("missing: %w", err))
	}
	defer r.Close()
	r.read = &b.done
	if err := s.read(newStream(r)); err != nil {
		return s.out, b.broken(p.part, err)
	}
	s.merge()
	s.paint()
	s.tellCells()
	return s.out, nil
}

func (s *sheet) read(x *stream) error {
	for {
		t, err := x.next()
		if err != nil || t == nil {
			return err
		}
		e, ok := t.(xml.StartElement)
		if !ok {
			if t.(xml.EndElement).Name.Local == "row" {
				s.endRow()
			}
			continue
		}
		if err := s.element(x, e); err != nil {
			return err
		}
	}
}

func (s *sheet) element(x *stream, e xml.StartElement) error {
	switch e.Name.Local {
	case "col":
		s.column(e)
	case "row":
		return s.startRow(e)
	case "c":
		return s.cell(x, e)
	case "mergeCell":
		return s.addMerge(attr(e, "ref"))
	case "conditionalFormatting":
		return s.readRules(x, e)
	case "extLst":
		return s.readLater(x)
	}
	return nil
}

func (s *sheet) column(e xml.StartElement) {
	first, err1 := strconv.Atoi(attr(e, "min"))
	last, err2 := strconv.Atoi(attr(e, "max"))
	style, err3 := strconv.Atoi(attr(e, "style"))
	if err1 != nil || err2 != nil || err3 != nil || first < 1 {
		return
	}
	for c := first; c <= min(last, MostColumns); c++ {
		s.columns[c-1] = style
	}
}

func (s *sheet) startRow(e xml.StartElement) error {
	s.row, s.rowStyle, s.at, s.value = intake.Row{N: s.last + 1, Hidden: isTrue(attr(e, "hidden"))}, -1, -1, false
	if r := attr(e, "r"); r != "" {
		n, err := strconv.Atoi(r)
		if err != nil || n <= s.last {
			return fmt.Errorf("row %.20q after row %d", r, s.last)
		}
		s.row.N = n
	}
	if s.last = s.row.N; s.last > lastRow {
		return fault.New(fault.TooLarge, "row %d is beyond the last row of a sheet", s.last).ToMend("a sheet has at most %d rows", lastRow)
	}
	if style, err := strconv.Atoi(attr(e, "s")); err == nil && isTrue(attr(e, "customFormat")) {
		s.rowStyle = style
	}
	return nil
}

// endRow keeps the row when it has a value, without the blank cells at its end.
func (s *sheet) endRow() {
	if !s.value {
		return
	}
	s.rows++
	cells := s.row.Cells
	for len(cells) > 0 && cells[len(cells)-1].Kind == intake.Blank {
		cells = cells[:len(cells)-1]
	}
	s.row.Cells = append([]intake.Cell(nil), cells...)
	s.out.Rows = append(s.out.Rows, s.row)
	if s.rows%1024 == 0 {
		s.tell()
	}
}

// cell reads a CT_Cell (18.3.1.4) to its end.
func (s *sheet) cell(x *stream, e xml.StartElement) error {
	column := s.at + 1
	if ref := attr(e, "r"); ref != "" {
		c, r, ok := parseRef(ref)
		if !ok || r != s.row.N || c <= s.at {
			return fmt.Errorf("cell %.20q in row %d", ref, s.row.N)
		}
		column = c
	}
	s.at = column
	raw, err := readCell(x, e)
	if err != nil {
		return err
	}
	if raw.value == "" && !raw.formula && column >= MostColumns {
		return nil // only painted
	}
	if column >= MostColumns || column >= lastColumn {
		return fault.New(fault.TooLarge, "the sheet %s has a value in column %s", fault.Clip(s.out.Name), intake.Letters(column)).ToMend("at most %d columns are read: copy those with the sales into a new workbook", MostColumns)
	}
	if s.cells += column + 1 - len(s.row.Cells); s.cells > MostCells || s.rows > MostRows {
		return fault.New(fault.TooLarge, "the workbook has more than %d rows or %d cells", MostRows, MostCells).ToMend("split the workbook")
	}
	if s.row.Cells == nil {
		s.row.Cells = make([]intake.Cell, 0, 16)
	}
	for len(s.row.Cells) < column {
		s.row.Cells = append(s.row.Cells, intake.Cell{Fill: s.fill(s.styleOf(len(s.row.Cells)), len(s.row.Cells))})
	}
	c, err := s.finish(raw, column)
	s.row.Cells = append(s.row.Cells, c)
	return err
}

// styleOf is the style of a cell that the row does not have: the row's, else the column's.
func (s *sheet) styleOf(column int) int {
	if s.rowStyle >= 0 {
		return s.rowStyle
	}
	return s.columns[column]
}

func (s *sheet) format(style int) format {
	if style < 0 || style >= len(s.look.formats) {
		return format{}
	}
	return s.look.formats[style]
}

func (s *sheet) fill(style, column int) intake.Fill {
	g := s.format(style).ground
	if g.odd {
		s.odd.add(s.row.N, column)
	}
	return g.fill
}

// rawCell is a cell as it stands in the file.
type rawCell struct {
	kind, value, style string
	formula            bool
}

func readCell(x *stream, e xml.StartElement) (rawCell, error) {
	c := rawCell{kind: attr(e, "t"), style: attr(e, "s")}
	for {
		t, err := x.next()
		if err != nil {
			return c, err
		}
		switch t := t.(type) {
		case nil:
			return c, nil
		case xml.EndElement:
			return c, nil
		case xml.StartElement:
			switch t.Name.Local {
			case "v":
				c.value, err = x.text()
			case "is":
				c.value, err = richText(x)
			case "f":
				c.formula = true
				_, err = x.text()
			default:
				_, err = x.text()
			}
			if err != nil {
				return c, err
			}
		}
	}
}

// finish gives the cell its type (18.18.11, ST_CellType), value and fill.
func (s *sheet) finish(raw rawCell, column int) (intake.Cell, error) {
	style, _ := strconv.Atoi(raw.style)
	c := intake.Cell{Fill: s.fill(style, column), Formula: raw.formula}
	if raw.value == "" {
		if raw.formula && raw.kind != "str" {
			c.Kind, c.Text, s.value = intake.Broken, "", true
			s.unsaved.add(s.row.N, column)
		}
		return c, nil
	}
	switch raw.kind {
	case "s":
		i, err := strconv.Atoi(strings.TrimSpace(raw.value))
		if err != nil || i < 0 || i >= len(s.strings) {
			return c, fmt.Errorf("shared string %.20q of %d", raw.value, len(s.strings))
		}
		c.Text = s.strings[i]
	case "inlineStr":
		c.Text = raw.value
	case "str":
		c.Text = unescape(raw.value)
	case "b":
		c.Kind, c.Text = intake.Bool, map[bool]string{true: "TRUE", false: "FALSE"}[isTrue(raw.value)]
	case "e":
		c.Kind, c.Text = intake.Broken, raw.value
	case "d":
		s.isoDay(&c, raw.value)
	default:
		s.number(&c, raw.value, s.format(style))
	}
	if c.Kind == intake.Blank && strings.TrimSpace(c.Text) != "" {
		c.Kind = intake.Words
	}
	if c.Kind == intake.Blank {
		c.Text = ""
	}
	s.value = s.value || c.Kind != intake.Blank
	return c, nil
}

// isoDay takes the day of an ISO 8601 instant.
func (s *sheet) isoDay(c *intake.Cell, value string) {
	c.Text = value
	day, _, _ := strings.Cut(value, "T")
	if d, err := calendar.ParseDay(day); err == nil {
		c.Kind, c.Day = intake.Date, d
	}
}

func (s *sheet) number(c *intake.Cell, value string, f format) {
	number, ok := exact(value)
	if !ok {
		c.Text = value
		return
	}
	c.Kind, c.Number = intake.Number, number
	c.Text = s.look.shown.show(f.numFmt, s.look.custom[f.numFmt], number)
	if f.day {
		if d, ok := dayOf(number, s.date1904); ok {
			c.Kind, c.Day = intake.Date, d
		}
	}
}

// tellCells tells what was met cell by cell.
func (s *sheet) tellCells() {
	if s.unsaved.count > 0 {
		s.findings = append(s.findings, intake.Finding{
			Rule: "xlsx.formula", Sheet: s.out.Name, Row: s.unsaved.row, Cell: s.unsaved.cell, Count: s.unsaved.count, Doubt: true,
			What: "formulas were saved without their values", Mend: "open the workbook in a spreadsheet program, let it compute, and save it again",
		})
	}
	if s.odd.count > 0 {
		s.findings = append(s.findings, intake.Finding{
			Rule: "xlsx.pattern", Sheet: s.out.Name, Row: s.odd.row, Cell: s.odd.cell, Count: s.odd.count,
			What: "cells with a pattern or a gradient: its ground, or its first colour, was taken",
		})
	}
}
