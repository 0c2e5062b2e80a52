package sale

import (
	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/grid"
	"solander/intake/guess"
)

// unusedAnswer says that a new column is not read.
const unusedAnswer = "unused"

// askFresh finds the new columns of a sheet, and takes what she said of them.
func (r *Rows) askFresh(p *grid.Grid) {
	if p.Header == 0 {
		return
	}
	known := map[int]bool{}
	for _, c := range p.Own.Columns {
		if at, ok := p.Find(c); ok {
			known[at] = true
		}
	}
	for _, at := range grid.FreshOf(p.Sheet, p.Header, p.Headings, func(i int) bool { return known[i] }) {
		id := "column:" + p.Sheet.Name + ":" + p.Headings[at]
		if len(id) > 280 {
			id = id[:intake.CutAt(id, 260)] + intake.ShortSum(id)
		}
		f := intake.Field(r.Answer(id))
		switch {
		case string(f) == unusedAnswer:
		case f != intake.Unused && f.Long() != "" && (f.Many() || len(p.Fields[f]) == 0):
			p.Use(at, f)
		default:
			p.Fresh = append(p.Fresh, grid.FreshColumn{At: at, Id: id})
		}
	}
}

// tellFresh bars a row that has a value in a new column: it is asked what the column is, not left out.
func (r *Rows) tellFresh(s *Sale) {
	for _, c := range s.Grid.Fresh {
		if s.Row.At(c.At).Blank() {
			continue
		}
		name := s.Grid.Name(c.At)
		if _, asked := r.asked[c.Id]; !asked {
			q := intake.Question{ID: c.Id, What: "The reading does not know the column " + name + ". What is it?", Where: s.Place(c.At), Offer: r.offerFor(s.Grid, c.At)}
			for _, f := range intake.Fields() {
				if f != intake.Unused {
					q.Choices = append(q.Choices, intake.Choice{Value: string(f), Words: f.Long()})
				}
			}
			q.Choices = append(q.Choices, intake.Choice{Value: unusedAnswer, Words: "not used; kept with the row"})
			if q.Offer != "" {
				q.Why = "its heading and values speak for it"
			}
			r.Ask(q)
		} else {
			r.Ask(intake.Question{ID: c.Id})
		}
		r.Problem(s, c.At, cell.Trouble{Rule: "column.new", What: "the reading does not know this column: " + fault.Clip(name), Mend: "say what it is, or that it is not used", Bars: true, Ask: c.Id})
	}
}

// offerFor is what a guess takes a new column for, unless another column is it.
func (r *Rows) offerFor(p *grid.Grid, at int) string {
	for _, row := range p.Sheet.Rows {
		if row.N != p.Header {
			continue
		}
		columns, _ := guess.GuessColumns(p.Sheet, row, row.N)
		for _, c := range columns {
			if c.Column == at && c.Field != intake.Unused && (c.Field.Many() || len(p.Fields[c.Field]) == 0) {
				return string(c.Field)
			}
		}
	}
	return ""
}
