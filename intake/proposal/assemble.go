package proposal

import (
	"fmt"

	"solander/calendar"
	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/sale"
	"solander/money"
	"solander/order"
)

// draft is a proposal while it is put together of its rows.
type draft struct {
	p      *intake.Proposal // in the report
	outlet int
	sales  []*sale.Sale
}

// assemble puts rows together to orders: those with one reference of an outlet, and those that a merged cell of the buyer
// joins. Any other row is an order of its own.
func (r *assembly) assemble() {
	outlets, byRef := map[string]int{}, map[string]*draft{}
	var last *draft
	for _, s := range r.Sales {
		at := r.outletOf(s, outlets)
		key := fmt.Sprintf("%d\x00%s", at, intake.Fold(s.Ref))
		d := byRef[key]
		if s.Ref == "" {
			d = nil
			if last != nil && joined(last.sales[len(last.sales)-1], s) {
				d = last
			}
		}
		if d == nil {
			d = &draft{outlet: at}
			r.orders = append(r.orders, d)
			if s.Ref != "" {
				byRef[key] = d
			}
		}
		d.sales = append(d.sales, s)
		last = d
	}
	r.Report.Proposals = make([]intake.Proposal, len(r.orders))
	for i, d := range r.orders {
		d.p = &r.Report.Proposals[i]
		r.fill(d)
		for _, s := range d.pieces() {
			s.Wording = nil
		}
	}
}

// joined reports that a merged cell of the buyer covers both rows.
func joined(above, s *sale.Sale) bool {
	c, column := s.Grid.Cell(s.Row, intake.Buyer)
	if column < 0 || !c.Merged || above.Grid != s.Grid || above.Row.N != s.Row.N-1 || above.Ref != "" {
		return false
	}
	return above.Row.At(column).Text == c.Text
}

func (r *assembly) outletOf(s *sale.Sale, outlets map[string]int) int {
	name := intake.Fold(s.Outlet)
	if name == "" {
		_, column := s.Grid.Cell(s.Row, intake.Outlet)
		r.Problem(s, column, cell.Trouble{Rule: "outlet.missing", What: "the row does not say where it was sold", Mend: "say where such rows were sold", Bars: true, Ask: r.OutletAsk(s)})
		return -1
	}
	if at, ok := outlets[name]; ok {
		return at
	}
	o := intake.NewOutlet{Name: s.Outlet}
	if k, ok := r.In.Book.Outlet(s.Outlet); ok {
		o.ID, o.Name = k.ID, k.Name
	}
	r.Report.Outlets = append(r.Report.Outlets, o)
	outlets[name] = len(r.Report.Outlets) - 1
	return outlets[name]
}

// fill makes the proposal of a draft.
func (r *assembly) fill(d *draft) {
	first, p := d.sales[0], d.p
	p.Outlet = d.outlet
	p.ID, p.Ref, p.Buyer, p.State, p.StateFrom = first.Origin.Hash, first.Ref, first.Person, first.State, first.StateFrom
	p.ShipTo, p.Tracking = first.Address, first.Tracking
	p.Placed, p.Promised, p.ArriveBy, p.SentOn = first.Days[sale.Placed].Day, first.Days[sale.Promised].Day, first.Days[sale.ArriveBy].Day, first.Days[sale.SentOn].Day
	cur := r.Figures.Currency
	p.Postage, p.Tax = money.Of(0, cur), money.Of(0, cur)
	p.Lines, p.Payments, p.Facts, p.Problems = []intake.Line{}, []intake.Payment{}, []intake.Fact{}, []int{}
	for i, s := range d.sales {
		p.Rows = append(p.Rows, s.Origin)
		if i > 0 {
			r.merge(d, s)
		}
		for _, f := range s.Facts {
			f.Row = i
			p.Facts = append(p.Facts, f)
		}
		p.Note, p.Gift = both(p.Note, s.Note), both(p.Gift, s.Gift)
		r.addMoney(d, s)
		r.addLines(d, s, i)
	}
	if p.Placed.IsZero() && !first.Days[sale.Placed].Open {
		if _, column := first.Grid.Cell(first.Row, intake.SoldOn); column < 0 {
			r.Once(first, cell.Trouble{Rule: "day.missing", What: "no column of the sheet says the day of the sale", Mend: "say which column it is", Bars: true})
		} else if first.Row.At(column).Blank() {
			r.Problem(first, column, cell.Trouble{Rule: "day.missing", What: "the day of the sale is missing", Mend: "write it", Bars: true})
		}
	}
	if p.ShipTo != (order.Address{}) && p.ShipTo.Name == "" && p.Buyer >= 0 {
		p.ShipTo.Name = r.Report.Buyers[p.Buyer].Buyer.Name
	}
	if !p.SentOn.IsZero() && p.State == intake.Nothing {
		p.State, p.StateFrom = intake.Sent, "the day sent"
	}
	r.checkDays(d)
	r.pay(d)
}

// both joins two texts, each once.
func both(a, b string) string {
	switch {
	case b == "" || a == b:
		return a
	case a == "":
		return b
	}
	return a + "\n" + b
}

// merge holds a further row of an order to the first one.
func (r *assembly) merge(d *draft, s *sale.Sale) {
	first, p := d.sales[0], d.p
	if s.Person != p.Buyer && s.Person >= 0 && p.Buyer >= 0 {
		_, column := s.Grid.Cell(s.Row, intake.Ref)
		r.Problem(s, column, cell.Trouble{Rule: "ref.buyers", What: "order " + fault.Clip(s.Ref) + " has two buyers", Mend: "correct the reference or the buyer", Bars: true}, first.Place(column))
	}
	if p.Buyer < 0 {
		p.Buyer = s.Person
	}
	if s.State != p.State {
		r.Problem(s, -1, cell.Trouble{Rule: "state.rows", What: "rows of one order stand differently", Mend: "let all rows of the order say the same, or give them references of their own", Bars: true}, first.Place(-1))
	}
	for i, to := range []*calendar.Day{&p.Placed, &p.Promised, &p.ArriveBy, &p.SentOn} {
		day := s.Days[i].Day
		if to.IsZero() {
			*to = day
		} else if i == sale.Placed && !day.IsZero() && day != *to {
			r.Problem(s, s.Days[i].Column, cell.Trouble{Rule: "ref.days", What: "the rows of one order have different days: the first was taken", Mend: "let all rows of the order say the same"}, first.Place(-1))
		}
	}
	if p.ShipTo == (order.Address{}) {
		p.ShipTo = s.Address
	}
	if p.Tracking == "" {
		p.Tracking = s.Tracking
	}
}

// priceOfTotal is the total without postage and tax, when it parts evenly.
func (r *assembly) priceOfTotal(s *sale.Sale, n int) *money.Amount {
	left := *s.Total
	for _, less := range []*money.Amount{s.Postage, s.Tax} {
		if less != nil {
			left, _ = left.Sub(*less) // one currency, and bounded
		}
	}
	if left.Sign() < 0 || left.Minor%int64(n) != 0 {
		_, column := s.Grid.Cell(s.Row, intake.Total)
		r.Problem(s, column, cell.Trouble{Rule: "total.share", What: fmt.Sprintf("the total does not part evenly among %d prints", n), Mend: "write the price of each print", Bars: true})
		return nil
	}
	left.Minor /= int64(n)
	if n > 1 {
		_, column := s.Grid.Cell(s.Row, intake.Total)
		r.sharedAlike(s, column)
	}
	return &left
}

func (r *assembly) checkTotal(s *sale.Sale) {
	if s.Total == nil || s.Price == nil && s.Each == nil || s.Each == nil && s.Prints() > 1 && r.Mapping.Several == "" {
		return
	}
	total := s.Total
	s.Total = nil
	sum := s.Due(r.Figures.Currency, r.Mapping.Several)
	s.Total = total
	if sum != *total {
		_, column := s.Grid.Cell(s.Row, intake.Total)
		r.Problem(s, column, cell.Trouble{Rule: "total.sum", What: "price, postage and tax come to " + sum.String() + ", the total is " + total.String(), Mend: "look at them; the price was taken"})
	}
}

func (r *assembly) checkDays(d *draft) {
	p, s := d.p, d.sales[0]
	for _, t := range []struct {
		i    int
		what string
	}{{sale.Promised, "it is promised for a day before the sale"}, {sale.ArriveBy, "it is to arrive before the sale"}, {sale.SentOn, "it was sent before it was sold"}} {
		day := s.Days[t.i].Day
		if !day.IsZero() && !p.Placed.IsZero() && day.Before(p.Placed) {
			r.Problem(s, s.Days[t.i].Column, cell.Trouble{Rule: "day.before", What: t.what, Mend: "look at both days", Bars: true})
		}
	}
}
