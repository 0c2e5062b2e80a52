package xlsx

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"solander/fault"
	"solander/intake"
)

// area is a range of cells; columns count from 0, rows from 1, both ends belong to it.
type area struct{ left, top, right, bottom int }

func (a area) holds(column, row int) bool {
	return column >= a.left && column <= a.right && row >= a.top && row <= a.bottom
}

func (a area) String() string {
	return fmt.Sprintf("%s%d:%s%d", intake.Letters(a.left), a.top, intake.Letters(a.right), a.bottom)
}

// parseRef reads a reference in the A1 style (18.3.1.4), with or without dollar signs.
func parseRef(s string) (column, row int, ok bool) {
	s = strings.ReplaceAll(s, "$", "")
	i := 0
	for i < len(s) && i < 4 && s[i]|0x20 >= 'a' && s[i]|0x20 <= 'z' {
		column = column*26 + int(s[i]|0x20-'a') + 1
		i++
	}
	if i == 0 || i == len(s) || len(s)-i > 7 || strings.Trim(s[i:], "0123456789") != "" {
		return 0, 0, false
	}
	row, err := strconv.Atoi(s[i:])
	return column - 1, row, err == nil && row >= 1
}

// parseArea reads "A1", "A1:H90".
func parseArea(s string) (area, bool) {
	from, to, two := strings.Cut(s, ":")
	if !two {
		to = from
	}
	c1, r1, ok1 := parseRef(from)
	c2, r2, ok2 := parseRef(to)
	a := area{min(c1, c2), min(r1, r2), max(c1, c2), max(r1, r2)}
	return a, ok1 && ok2 && a.right < lastColumn && a.bottom <= lastRow
}

const mostMerges = 100_000

func (s *sheet) addMerge(ref string) error {
	a, ok := parseArea(ref)
	if !ok {
		return fmt.Errorf("merged range %.40q", ref)
	}
	if s.merges = append(s.merges, a); len(s.merges) > mostMerges {
		return fault.New(fault.TooLarge, "the sheet %s has more than %d merged ranges", fault.Clip(s.out.Name), mostMerges).ToMend("copy the sales into a new sheet, as values")
	}
	return nil
}

// merge carries the value of each merged range into the cells of rows that it covers, and marks them. The first cell keeps
// its value unmarked; rows without any value of their own stay out.
func (s *sheet) merge() {
	covered := 0
	for _, a := range s.merges {
		rows := s.between(a.top, a.bottom)
		if len(rows) == 0 || rows[0].N != a.top {
			continue
		}
		first := rows[0].At(a.left)
		if first.Kind == intake.Blank {
			continue
		}
		right := min(a.right, MostColumns-1)
		if covered += len(rows) * (right + 1); covered > 2*MostCells {
			return
		}
		first.Merged = true
		for i := range rows {
			for column := a.left; column <= right; column++ {
				if i > 0 || column > a.left {
					carry(&rows[i], column, first)
				}
			}
		}
	}
}

func carry(r *intake.Row, column int, c intake.Cell) {
	for len(r.Cells) <= column {
		r.Cells = append(r.Cells, intake.Cell{})
	}
	r.Cells[column] = c
}

// between returns the kept rows from top to bottom.
func (s *sheet) between(top, bottom int) []intake.Row {
	rows := s.out.Rows
	from := sort.Search(len(rows), func(i int) bool { return rows[i].N >= top })
	to := sort.Search(len(rows), func(i int) bool { return rows[i].N > bottom })
	if from >= to {
		return nil
	}
	return rows[from:to]
}
