package proposal

import (
	"fmt"

	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/sale"
)

// compare finds orders that are in the book already, and numbers that two orders claim.
func (r *assembly) compare() {
	for _, d := range r.orders {
		d.p.Status = intake.Ready
		if mark, why := r.inTheBook(d); mark != "" {
			d.p.Status, d.p.Mark, d.p.Why = intake.Known, mark, why
		}
	}
	r.claims()
	for _, d := range r.orders {
		if d.p.Status != intake.Known {
			r.held(d)
		}
	}
}

// inTheBook recognises an order: by its rows, by the outlet's reference, or by buyer, edition, number and day.
func (r *assembly) inTheBook(d *draft) (mark, why string) {
	found := 0
	for _, s := range d.sales {
		if m, ok := r.In.Book.ByRow(s.Origin.Hash); ok {
			mark, found = m, found+1
		}
	}
	if found > 0 {
		if found < len(d.sales) {
			r.Problem(d.sales[len(d.sales)-1], -1, cell.Trouble{Rule: "known.more", What: "order " + mark + " was made of other rows of this file; this one is new", Mend: "add what is new to the order yourself"})
		}
		return mark, "the same row was taken in before"
	}
	if o := d.p.Outlet; o >= 0 && d.p.Ref != "" && r.Report.Outlets[o].ID != 0 {
		if m, ok := r.In.Book.ByRef(r.Report.Outlets[o].ID, d.p.Ref); ok {
			return m, "the outlet's order number is in the book"
		}
	}
	return r.sameSale(d)
}

func (r *assembly) sameSale(d *draft) (mark, why string) {
	p := *d.p
	if p.Buyer < 0 || r.Report.Buyers[p.Buyer].ID == 0 || p.Placed.IsZero() {
		return "", ""
	}
	for _, l := range p.Lines {
		if l.Edition < 0 || r.Report.Editions[l.Edition].ID == 0 {
			return "", ""
		}
		m, ok := r.In.Book.Sale(r.Report.Buyers[p.Buyer].ID, r.Report.Editions[l.Edition].ID, l.Number, p.Placed)
		if !ok || mark != "" && m != mark {
			return "", ""
		}
		mark = m
	}
	return mark, "the same buyer has the same print of the same day"
}

// claim is a number of an edition that a row wants.
type claim struct {
	edition int
	number  edition.Number
}

// claims tells every row whose number another row of the file claims, too, with the places of all of them.
func (r *assembly) claims() {
	who := map[claim][]*sale.Sale{}
	for _, d := range r.orders {
		if d.p.State == intake.Cancelled || d.p.State == intake.Returned {
			continue
		}
		for _, s := range d.pieces() {
			for _, n := range s.Numbers.Numbers {
				if s.Edition >= 0 {
					c := claim{s.Edition, n}
					who[c] = append(who[c], s)
				}
			}
		}
	}
	for _, d := range r.orders {
		for _, s := range d.pieces() {
			for _, n := range s.Numbers.Numbers {
				c := claim{s.Edition, n}
				if rows := who[c]; len(rows) > 1 && s.Edition >= 0 && d.p.State != intake.Cancelled && d.p.State != intake.Returned {
					r.tellTwice(s, n, rows)
				}
			}
		}
	}
}

// mostOthers bounds the rows that a problem names.
const mostOthers = 20

func (r *assembly) tellTwice(s *sale.Sale, n edition.Number, rows []*sale.Sale) {
	_, column := s.Grid.Cell(s.Row, intake.Numbers)
	var others []intake.Place
	for _, o := range rows {
		if len(others) == mostOthers {
			break
		}
		if o != s {
			_, at := o.Grid.Cell(o.Row, intake.Numbers)
			others = append(others, o.Place(at))
		}
	}
	what := fmt.Sprintf("number %s of %s stands in %d rows", n, fault.Clip(r.Report.Editions[s.Edition].Title), len(rows))
	if len(others) == 0 {
		what = fmt.Sprintf("number %s stands twice in the row", n)
	}
	r.Problem(s, column, cell.Trouble{Rule: "number.twice", What: what, Mend: "find out who has it, and correct the other rows", Bars: true}, others...)
}

// held tells numbers that the book gave to somebody else.
func (r *assembly) held(d *draft) {
	if d.p.State == intake.Cancelled || d.p.State == intake.Returned {
		return
	}
	for _, s := range d.pieces() {
		if s.Edition < 0 || r.Report.Editions[s.Edition].ID == 0 {
			continue
		}
		for _, n := range s.Numbers.Numbers {
			if who, ok := r.In.Book.Holder(r.Report.Editions[s.Edition].ID, n); ok {
				_, column := s.Grid.Cell(s.Row, intake.Numbers)
				r.Problem(s, column, cell.Trouble{Rule: "number.held", What: fmt.Sprintf("number %s is not free: %s", n, who), Mend: "find out who has it, and correct the row or the book", Bars: true})
			}
		}
	}
}
