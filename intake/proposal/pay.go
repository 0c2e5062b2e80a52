package proposal

import (
	"solander/calendar"
	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/notes"
	"solander/intake/sale"
	"solander/money"
)

// addMoney sums what the rows of an order say about it as a whole.
func (r *assembly) addMoney(d *draft, s *sale.Sale) {
	p := d.p
	add := func(to *money.Amount, a *money.Amount) {
		if a == nil {
			return
		}
		if sum, err := to.Add(*a); err == nil {
			*to = sum
		} else {
			r.Problem(s, -1, cell.Trouble{Rule: "amount", What: fault.All(err)[0].What, Mend: "look at the amounts", Bars: true})
		}
	}
	add(&p.Postage, s.Postage)
	add(&p.Tax, s.Tax)
	if s.Fee != nil {
		if p.Fee == nil {
			none := money.Of(0, r.Figures.Currency)
			p.Fee = &none
		}
		add(p.Fee, s.Fee)
	}
	if s.Owed != nil {
		if p.Owed == nil {
			none := money.Of(0, r.Figures.Currency)
			p.Owed = &none
		}
		add(p.Owed, s.Owed)
	}
}

// due is what the order costs, as far as its prices are known.
func (r *assembly) due(p intake.Proposal) (sum money.Amount, known bool) {
	sum, known = p.Postage, len(p.Lines) > 0
	collects := false
	if p.Outlet >= 0 {
		o, ok := r.In.Book.Outlet(r.Report.Outlets[p.Outlet].Name)
		collects = ok && o.CollectsTax
	}
	parts := []money.Amount{}
	if !collects {
		parts = append(parts, p.Tax)
	}
	for _, l := range p.Lines {
		if l.Price == nil {
			return sum, false
		}
		parts = append(parts, *l.Price)
	}
	for _, a := range parts {
		next, err := sum.Add(a)
		if err != nil {
			return sum, false
		}
		sum = next
	}
	return sum, known
}

// pay works out what came in: by the columns, else by the facts that she took, else by what is owed, else by the state.
func (r *assembly) pay(d *draft) {
	p, s := d.p, d.sales[0]
	due, known := r.due(*p)
	switch {
	case r.payColumn(d, due, known):
	case r.payFacts(d, due, known):
	case p.Owed != nil && known && p.Owed.Minor <= due.Minor:
		payment(p, money.Of(due.Minor-p.Owed.Minor, due.Currency), calendar.Day{}, "column "+s.ColumnName(intake.Owed), "")
	case (p.State == intake.PaidFull || p.State == intake.Sent) && known && p.Owed == nil:
		payment(p, due, calendar.Day{}, p.StateFrom, "")
	}
	if known {
		r.checkPaid(d, due)
	}
}

// payment adds money that came in; nothing adds none.
func payment(p *intake.Proposal, a money.Amount, day calendar.Day, from, fact string) {
	if a.Sign() > 0 {
		p.Payments = append(p.Payments, intake.Payment{Amount: a, Day: day, From: from, Fact: fact})
	}
}

// payColumn takes what the column of payments says, if it says anything in any row.
func (r *assembly) payColumn(d *draft, due money.Amount, known bool) bool {
	said, whole := false, false
	var on calendar.Day
	for _, s := range d.sales {
		if s.Paid != nil {
			payment(d.p, *s.Paid, calendar.Day{}, "column "+s.ColumnName(intake.Paid), "")
		}
		whole = whole || s.PaidWhole
		said = said || s.Paid != nil || s.PaidWhole
		if !s.PaidOn.IsZero() {
			on = s.PaidOn
		}
	}
	if whole && known {
		left := due.Minor
		for _, m := range d.p.Payments {
			left -= m.Amount.Minor
		}
		payment(d.p, money.Of(left, due.Currency), on, "column "+d.sales[0].ColumnName(intake.Paid), "")
	}
	return said
}

// payFacts takes the facts about money that she said yes to.
func (r *assembly) payFacts(d *draft, due money.Amount, known bool) bool {
	said := false
	var owed *intake.Fact
	for i := range d.p.Facts {
		f := &d.p.Facts[i]
		if !f.Taken {
			continue
		}
		switch f.Kind {
		case intake.PaidPart:
			a, ok := f.Amount, !f.Amount.IsZero()
			if f.Percent > 0 {
				a, ok = notes.Share(*f, due)
				ok = ok && known
			}
			if ok {
				payment(d.p, a, calendar.Day{}, "note", f.ID)
				said = true
			}
		case intake.PaidAll:
			if known {
				payment(d.p, due, calendar.Day{}, "note", f.ID)
				said = true
			}
		case intake.NotPaid:
			said = true
		case intake.StillOwed:
			owed = f
		}
	}
	if owed == nil {
		return said
	}
	a, ok := notes.Share(*owed, due)
	if !known || !ok {
		return said
	}
	d.p.Owed = &a
	if !said {
		payment(d.p, money.Of(due.Minor-a.Minor, due.Currency), calendar.Day{}, "note", owed.ID)
	}
	return true
}

// checkPaid holds payments and what is owed to what is due.
func (r *assembly) checkPaid(d *draft, due money.Amount) {
	paid := int64(0)
	for _, m := range d.p.Payments {
		paid += m.Amount.Minor
	}
	s := d.sales[0]
	_, column := s.Grid.Cell(s.Row, intake.Paid)
	if paid > due.Minor {
		r.Problem(s, column, cell.Trouble{Rule: "paid.more", What: "more was paid than the order costs: " + money.Of(paid, due.Currency).String() + " of " + due.String(), Mend: "look at price, postage and payment", Bars: true})
		return
	}
	if o := d.p.Owed; o != nil && o.Minor != due.Minor-paid {
		_, column = s.Grid.Cell(s.Row, intake.Owed)
		r.Problem(s, column, cell.Trouble{Rule: "owed.sum", What: "the row says that " + o.String() + " is owed, by price and payments it is " + money.Of(due.Minor-paid, due.Currency).String(), Mend: "look at them; price and payments were taken"})
	}
}
