package grid

import (
	"solander/intake"
)

// FreshColumn is a column with values that the mapping of its sheet does not know.
type FreshColumn struct {
	At int
	Id string // of the question what it is; "" once it is answered
}

// FreshOf returns the columns of a sheet that have a heading and values, and that a mapping does not know.
func FreshOf(s *intake.Sheet, header int, headings []string, known func(column int) bool) []int {
	var all []int
	for i, h := range headings {
		if h == "" || known(i) {
			continue
		}
		for j := range s.Rows {
			if c := s.Rows[j].At(i); s.Rows[j].N > header && !c.Blank() && !c.Merged {
				all = append(all, i)
				break
			}
		}
	}
	return all
}
