package sale

import (
	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/grid"
	"solander/intake/naming"
)

// ownOf settles what holds for all rows of a sheet: what the mapping says, then what she answered, then what its name says.
func (r *Rows) ownOf(p *grid.Grid) {
	m := p.Own
	name := p.Sheet.Name
	p.Outlet, p.Grade, p.Paper = m.Outlet, m.Grade, m.Paper
	month := naming.FirstOf(m.Month, r.In.Answers["month:"+name])
	switch m.Named {
	case intake.NamedOutlet:
		p.Outlet = naming.FirstOf(p.Outlet, name)
	case intake.NamedGrade:
		p.Grade = naming.FirstOf(p.Grade, name)
	case intake.NamedPaper:
		p.Paper = naming.FirstOf(p.Paper, name)
	case intake.NamedMonth:
		month = naming.FirstOf(month, name)
	}
	p.Outlet = naming.FirstOf(p.Outlet, r.Answer("outlet:"+name))
	p.Month, _ = intake.MonthIn(month)
	r.askFresh(p)
}

// OutletAsk is the question where rows without an outlet were sold: of each sheet, when several are read.
func (r *Rows) OutletAsk(s *Sale) string {
	if r.sheets < 2 {
		return intake.AskOutlet
	}
	return r.Ask(intake.Question{ID: "outlet:" + s.Origin.Sheet, What: "Where were the sales of " + grid.SheetWords(s.Grid.Sheet) + " made that name no outlet?", Where: s.Place(-1)})
}

// dayIn reads a day of a row; one that stands alone is of the month of its sheet.
func (r *Rows) dayIn(p *grid.Grid, c intake.Cell) (d cell.DayRead, ok bool, t cell.Trouble) {
	n := cell.AloneDay(c)
	switch {
	case n == 0:
		d, ok, t = cell.DayOf(c, r.Figures.Days)
		if ok && d.Year == 0 && p.Month.Year != 0 && (p.Month.Month == 0 || p.Month.Month == d.Month) {
			d.Year = p.Month.Year
			return d.Checked(c.Text)
		}
		return d, ok, t
	case p.Month.Month != 0:
		return cell.DayRead{Year: p.Month.Year, Month: p.Month.Month, Day: n}.Checked(c.Text)
	}
	id := r.Ask(intake.Question{
		ID: "month:" + p.Sheet.Name, What: "Which month are the days of " + grid.SheetWords(p.Sheet) + "? Write it like 2025-05", Where: intake.Place{Sheet: p.Sheet.Name, Row: 0},
	})
	return d, false, cell.Trouble{Rule: "day.month", What: "the month of the day is missing: " + fault.Clip(c.Text), Mend: "say which month it is, or write the whole day", Bars: true, Ask: id}
}
