package intake

import (
	"fmt"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// draft is a proposal while it is put together of its rows.
type draft struct {
	p      *Proposal // in the report
	outlet int
	sales  []*sale
}

// assemble puts rows together to orders: those with one reference of an outlet, and those that a merged cell of the buyer
// joins. Any other row is an order of its own.
func (r *assembly) assemble() {
	outlets, byRef := map[string]int{}, map[string]*draft{}
	var last *draft
	for _, s := range r.sales {
		at := r.outletOf(s, outlets)
		key := fmt.Sprintf("%d\x00%s", at, Fold(s.ref))
		d := byRef[key]
		if s.ref == "" {
			d = nil
			if last != nil && joined(last.sales[len(last.sales)-1], s) {
				d = last
			}
		}
		if d == nil {
			d = &draft{outlet: at}
			r.orders = append(r.orders, d)
			if s.ref != "" {
				byRef[key] = d
			}
		}
		d.sales = append(d.sales, s)
		last = d
	}
	r.report.Proposals = make([]Proposal, len(r.orders))
	for i, d := range r.orders {
		d.p = &r.report.Proposals[i]
		r.fill(d)
		for _, s := range d.pieces() {
			s.wording = nil
		}
	}
}

// joined reports that a merged cell of the buyer covers both rows.
func joined(above, s *sale) bool {
	c, column := s.plan.cell(s.row, Buyer)
	if column < 0 || !c.Merged || above.plan != s.plan || above.row.N != s.row.N-1 || above.ref != "" {
		return false
	}
	return above.row.At(column).Text == c.Text
}

func (r *assembly) outletOf(s *sale, outlets map[string]int) int {
	name := Fold(s.outlet)
	if name == "" {
		_, column := s.plan.cell(s.row, Outlet)
		r.problem(s, column, trouble{"outlet.missing", "the row does not say where it was sold", "say where such rows were sold", true, r.outletAsk(s)})
		return -1
	}
	if at, ok := outlets[name]; ok {
		return at
	}
	o := NewOutlet{Name: s.outlet}
	if k, ok := r.in.Book.Outlet(s.outlet); ok {
		o.ID, o.Name = k.ID, k.Name
	}
	r.report.Outlets = append(r.report.Outlets, o)
	outlets[name] = len(r.report.Outlets) - 1
	return outlets[name]
}

// fill makes the proposal of a draft.
func (r *assembly) fill(d *draft) {
	first, p := d.sales[0], d.p
	p.Outlet = d.outlet
	p.ID, p.Ref, p.Buyer, p.State, p.StateFrom = first.origin.Hash, first.ref, first.person, first.state, first.stateFrom
	p.ShipTo, p.Tracking = first.address, first.tracking
	p.Placed, p.Promised, p.ArriveBy, p.SentOn = first.days[placed].day, first.days[promised].day, first.days[arriveBy].day, first.days[sentOn].day
	cur := r.figures.currency
	p.Postage, p.Tax = money.Of(0, cur), money.Of(0, cur)
	p.Lines, p.Payments, p.Facts, p.Problems = []Line{}, []Payment{}, []Fact{}, []int{}
	for i, s := range d.sales {
		p.Rows = append(p.Rows, s.origin)
		if i > 0 {
			r.merge(d, s)
		}
		for _, f := range s.facts {
			f.Row = i
			p.Facts = append(p.Facts, f)
		}
		p.Note, p.Gift = both(p.Note, s.note), both(p.Gift, s.gift)
		r.addMoney(d, s)
		r.addLines(d, s, i)
	}
	if p.Placed.IsZero() && !first.days[placed].open {
		if _, column := first.plan.cell(first.row, SoldOn); column < 0 {
			r.once(first, trouble{"day.missing", "no column of the sheet says the day of the sale", "say which column it is", true, ""})
		} else if first.row.At(column).blank() {
			r.problem(first, column, trouble{"day.missing", "the day of the sale is missing", "write it", true, ""})
		}
	}
	if p.ShipTo != (order.Address{}) && p.ShipTo.Name == "" && p.Buyer >= 0 {
		p.ShipTo.Name = r.report.Buyers[p.Buyer].Buyer.Name
	}
	if !p.SentOn.IsZero() && p.State == Nothing {
		p.State, p.StateFrom = Sent, "the day sent"
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
func (r *assembly) merge(d *draft, s *sale) {
	first, p := d.sales[0], d.p
	if s.person != p.Buyer && s.person >= 0 && p.Buyer >= 0 {
		_, column := s.plan.cell(s.row, Ref)
		r.problem(s, column, trouble{"ref.buyers", "order " + fault.Clip(s.ref) + " has two buyers", "correct the reference or the buyer", true, ""}, first.place(column))
	}
	if p.Buyer < 0 {
		p.Buyer = s.person
	}
	if s.state != p.State {
		r.problem(s, -1, trouble{"state.rows", "rows of one order stand differently", "let all rows of the order say the same, or give them references of their own", true, ""}, first.place(-1))
	}
	for i, to := range []*calendar.Day{&p.Placed, &p.Promised, &p.ArriveBy, &p.SentOn} {
		day := s.days[i].day
		if to.IsZero() {
			*to = day
		} else if i == placed && !day.IsZero() && day != *to {
			r.problem(s, s.days[i].column, trouble{"ref.days", "the rows of one order have different days: the first was taken", "let all rows of the order say the same", false, ""}, first.place(-1))
		}
	}
	if p.ShipTo == (order.Address{}) {
		p.ShipTo = s.address
	}
	if p.Tracking == "" {
		p.Tracking = s.tracking
	}
}

// priceOfTotal is the total without postage and tax, when it parts evenly.
func (r *assembly) priceOfTotal(s *sale, n int) *money.Amount {
	left := *s.total
	for _, less := range []*money.Amount{s.postage, s.tax} {
		if less != nil {
			left, _ = left.Sub(*less) // one currency, and bounded
		}
	}
	if left.Sign() < 0 || left.Minor%int64(n) != 0 {
		_, column := s.plan.cell(s.row, Total)
		r.problem(s, column, trouble{"total.share", fmt.Sprintf("the total does not part evenly among %d prints", n), "write the price of each print", true, ""})
		return nil
	}
	left.Minor /= int64(n)
	if n > 1 {
		_, column := s.plan.cell(s.row, Total)
		r.sharedAlike(s, column)
	}
	return &left
}

func (r *assembly) checkTotal(s *sale) {
	if s.total == nil || s.price == nil && s.each == nil || s.each == nil && s.prints() > 1 && r.mapping.Several == "" {
		return
	}
	total := s.total
	s.total = nil
	sum := s.due(r.figures.currency, r.mapping.Several)
	s.total = total
	if sum != *total {
		_, column := s.plan.cell(s.row, Total)
		r.problem(s, column, trouble{"total.sum", "price, postage and tax come to " + sum.String() + ", the total is " + total.String(), "look at them; the price was taken", false, ""})
	}
}

func (r *assembly) checkDays(d *draft) {
	p, s := d.p, d.sales[0]
	for _, t := range []struct {
		i    int
		what string
	}{{promised, "it is promised for a day before the sale"}, {arriveBy, "it is to arrive before the sale"}, {sentOn, "it was sent before it was sold"}} {
		day := s.days[t.i].day
		if !day.IsZero() && !p.Placed.IsZero() && day.Before(p.Placed) {
			r.problem(s, s.days[t.i].column, trouble{"day.before", t.what, "look at both days", true, ""})
		}
	}
}
