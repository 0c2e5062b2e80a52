package intake

import (
	"solander/fault"
)

// unusedAnswer says that a new column is not read.
const unusedAnswer = "unused"

// askFresh finds the new columns of a sheet, and takes what she said of them.
func (r *Rows) askFresh(p *plan) {
	if p.header == 0 {
		return
	}
	known := map[int]bool{}
	for _, c := range p.own.Columns {
		if at, ok := p.find(c); ok {
			known[at] = true
		}
	}
	for _, at := range freshOf(p.sheet, p.header, p.headings, func(i int) bool { return known[i] }) {
		id := "column:" + p.sheet.Name + ":" + p.headings[at]
		if len(id) > 280 {
			id = id[:cutAt(id, 260)] + shortSum(id)
		}
		f := Field(r.answer(id))
		switch {
		case string(f) == unusedAnswer:
		case f != Unused && f.Long() != "" && (f.many() || len(p.fields[f]) == 0):
			p.use(at, f)
		default:
			p.fresh = append(p.fresh, freshColumn{at, id})
		}
	}
}

// tellFresh bars a row that has a value in a new column: it is asked what the column is, not left out.
func (r *Rows) tellFresh(s *sale) {
	for _, c := range s.plan.fresh {
		if s.row.At(c.at).blank() {
			continue
		}
		name := s.plan.name(c.at)
		if _, asked := r.asked[c.id]; !asked {
			q := Question{ID: c.id, What: "The reading does not know the column " + name + ". What is it?", Where: s.place(c.at), Offer: r.offerFor(s.plan, c.at)}
			for _, f := range Fields() {
				if f != Unused {
					q.Choices = append(q.Choices, Choice{string(f), f.Long()})
				}
			}
			q.Choices = append(q.Choices, Choice{unusedAnswer, "not used; kept with the row"})
			if q.Offer != "" {
				q.Why = "its heading and values speak for it"
			}
			r.ask(q)
		} else {
			r.ask(Question{ID: c.id})
		}
		r.problem(s, c.at, trouble{"column.new", "the reading does not know this column: " + fault.Clip(name), "say what it is, or that it is not used", true, c.id})
	}
}

// offerFor is what a guess takes a new column for, unless another column is it.
func (r *Rows) offerFor(p *plan, at int) string {
	for _, row := range p.sheet.Rows {
		if row.N != p.header {
			continue
		}
		columns, _ := guessColumns(p.sheet, row, row.N)
		for _, c := range columns {
			if c.Column == at && c.Field != Unused && (c.Field.many() || len(p.fields[c.Field]) == 0) {
				return string(c.Field)
			}
		}
	}
	return ""
}
