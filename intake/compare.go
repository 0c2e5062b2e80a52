package intake

import (
	"fmt"

	"solander/edition"
	"solander/fault"
)

// compare finds orders that are in the book already, and numbers that two orders claim.
func (r *assembly) compare() {
	for _, d := range r.orders {
		d.p.Status = Ready
		if mark, why := r.inTheBook(d); mark != "" {
			d.p.Status, d.p.Mark, d.p.Why = Known, mark, why
		}
	}
	r.claims()
	for _, d := range r.orders {
		if d.p.Status != Known {
			r.held(d)
		}
	}
}

// inTheBook recognises an order: by its rows, by the outlet's reference, or by buyer, edition, number and day.
func (r *assembly) inTheBook(d *draft) (mark, why string) {
	found := 0
	for _, s := range d.sales {
		if m, ok := r.in.Book.ByRow(s.origin.Hash); ok {
			mark, found = m, found+1
		}
	}
	if found > 0 {
		if found < len(d.sales) {
			r.problem(d.sales[len(d.sales)-1], -1, trouble{"known.more", "order " + mark + " was made of other rows of this file; this one is new", "add what is new to the order yourself", false, ""})
		}
		return mark, "the same row was taken in before"
	}
	if o := d.p.Outlet; o >= 0 && d.p.Ref != "" && r.report.Outlets[o].ID != 0 {
		if m, ok := r.in.Book.ByRef(r.report.Outlets[o].ID, d.p.Ref); ok {
			return m, "the outlet's order number is in the book"
		}
	}
	return r.sameSale(d)
}

func (r *assembly) sameSale(d *draft) (mark, why string) {
	p := *d.p
	if p.Buyer < 0 || r.report.Buyers[p.Buyer].ID == 0 || p.Placed.IsZero() {
		return "", ""
	}
	for _, l := range p.Lines {
		if l.Edition < 0 || r.report.Editions[l.Edition].ID == 0 {
			return "", ""
		}
		m, ok := r.in.Book.Sale(r.report.Buyers[p.Buyer].ID, r.report.Editions[l.Edition].ID, l.Number, p.Placed)
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
	who := map[claim][]*sale{}
	for _, d := range r.orders {
		if d.p.State == Cancelled || d.p.State == Returned {
			continue
		}
		for _, s := range d.pieces() {
			for _, n := range s.numbers.numbers {
				if s.edition >= 0 {
					c := claim{s.edition, n}
					who[c] = append(who[c], s)
				}
			}
		}
	}
	for _, d := range r.orders {
		for _, s := range d.pieces() {
			for _, n := range s.numbers.numbers {
				c := claim{s.edition, n}
				if rows := who[c]; len(rows) > 1 && s.edition >= 0 && d.p.State != Cancelled && d.p.State != Returned {
					r.tellTwice(s, n, rows)
				}
			}
		}
	}
}

// mostOthers bounds the rows that a problem names.
const mostOthers = 20

func (r *assembly) tellTwice(s *sale, n edition.Number, rows []*sale) {
	_, column := s.plan.cell(s.row, Numbers)
	var others []Place
	for _, o := range rows {
		if len(others) == mostOthers {
			break
		}
		if o != s {
			_, at := o.plan.cell(o.row, Numbers)
			others = append(others, o.place(at))
		}
	}
	what := fmt.Sprintf("number %s of %s stands in %d rows", n, fault.Clip(r.report.Editions[s.edition].Title), len(rows))
	if len(others) == 0 {
		what = fmt.Sprintf("number %s stands twice in the row", n)
	}
	r.problem(s, column, trouble{"number.twice", what, "find out who has it, and correct the other rows", true, ""}, others...)
}

// held tells numbers that the book gave to somebody else.
func (r *assembly) held(d *draft) {
	if d.p.State == Cancelled || d.p.State == Returned {
		return
	}
	for _, s := range d.pieces() {
		if s.edition < 0 || r.report.Editions[s.edition].ID == 0 {
			continue
		}
		for _, n := range s.numbers.numbers {
			if who, ok := r.in.Book.Holder(r.report.Editions[s.edition].ID, n); ok {
				_, column := s.plan.cell(s.row, Numbers)
				r.problem(s, column, trouble{"number.held", fmt.Sprintf("number %s is not free: %s", n, who), "find out who has it, and correct the row or the book", true, ""})
			}
		}
	}
}
