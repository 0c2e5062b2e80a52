package intake

import (
	"solander/fault"
)

// ownOf settles what holds for all rows of a sheet: what the mapping says, then what she answered, then what its name says.
func (r *Rows) ownOf(p *plan) {
	m := p.own
	name := p.sheet.Name
	p.outlet, p.grade, p.paper = m.Outlet, m.Grade, m.Paper
	month := firstOf(m.Month, r.in.Answers["month:"+name])
	switch m.Named {
	case NamedOutlet:
		p.outlet = firstOf(p.outlet, name)
	case NamedGrade:
		p.grade = firstOf(p.grade, name)
	case NamedPaper:
		p.paper = firstOf(p.paper, name)
	case NamedMonth:
		month = firstOf(month, name)
	}
	p.outlet = firstOf(p.outlet, r.answer("outlet:"+name))
	p.month, _ = monthIn(month)
	r.askFresh(p)
}

// outletAsk is the question where rows without an outlet were sold: of each sheet, when several are read.
func (r *Rows) outletAsk(s *sale) string {
	if r.sheets < 2 {
		return askOutlet
	}
	return r.ask(Question{ID: "outlet:" + s.origin.Sheet, What: "Where were the sales of " + sheetWords(s.plan.sheet) + " made that name no outlet?", Where: s.place(-1)})
}

// dayIn reads a day of a row; one that stands alone is of the month of its sheet.
func (r *Rows) dayIn(p *plan, c Cell) (d dayRead, ok bool, t trouble) {
	n := aloneDay(c)
	switch {
	case n == 0:
		d, ok, t = dayOf(c, r.figures.days)
		if ok && d.year == 0 && p.month.year != 0 && (p.month.month == 0 || p.month.month == d.month) {
			d.year = p.month.year
			return d.checked(c.Text)
		}
		return d, ok, t
	case p.month.month != 0:
		return dayRead{year: p.month.year, month: p.month.month, day: n}.checked(c.Text)
	}
	id := r.ask(Question{
		ID: "month:" + p.sheet.Name, What: "Which month are the days of " + sheetWords(p.sheet) + "? Write it like 2025-05", Where: Place{Sheet: p.sheet.Name, Row: 0},
	})
	return d, false, trouble{"day.month", "the month of the day is missing: " + fault.Clip(c.Text), "say which month it is, or write the whole day", true, id}
}
