package intake

import (
	"fmt"

	"solander/money"
)

// pieces are the kinds of prints of an order.
func (d *draft) pieces() []*sale {
	var all []*sale
	for _, s := range d.sales {
		all = append(append(all, s), s.also...)
	}
	return all
}

// addLines adds the prints of a row, each with its price.
func (r *assembly) addLines(d *draft, s *sale, row int) {
	n := s.prints()
	price := r.priceOfEach(s, n)
	if s.price == nil && s.each == nil && s.total != nil {
		price = r.priceOfTotal(s, n)
	}
	if len(s.plan.fields[Price])+len(s.plan.fields[Total]) == 0 {
		r.once(s, trouble{"price.missing", "no column of the sheet says the price", "say which column it is, or take the editions' own prices", false, ""})
	} else if s.price == nil && s.total == nil && s.each == nil {
		_, column := s.plan.cell(s.row, Price)
		r.problem(s, column, trouble{"price.missing", "the price is missing", "write it, or take the edition's own price", false, ""})
	}
	r.checkTotal(s)
	for _, p := range s.pieces() {
		for i := range p.copies() {
			l := Line{Edition: p.edition, Price: price, Row: row}
			if p.each != nil {
				l.Price = p.each
			}
			if i < len(p.numbers.numbers) {
				l.Number = p.numbers.numbers[i]
			}
			d.p.Lines = append(d.p.Lines, l)
		}
	}
}

// saidEach is the price of one print where the row says it of this kind of print alone; nil where it has to be worked out.
func (r *assembly) saidEach(s *sale) *money.Amount {
	switch head := s.first(); {
	case s.each != nil:
		return s.each
	case head.price != nil && (head.prints() == 1 || r.mapping.Several == ofEach):
		return head.price
	}
	return nil
}

// priceOfEach is the price of one print of a row; of a row with several prints only when it is said what its price is of.
func (r *assembly) priceOfEach(s *sale, n int) *money.Amount {
	if s.price == nil || n == 1 || r.mapping.Several == ofEach {
		return s.price
	}
	_, column := s.plan.cell(s.row, Price)
	several := r.mapping.Several
	if several == "" {
		several = s.provenBy(r.figures.currency)
	}
	switch {
	case several == ofEach:
		return s.price
	case several == "":
		r.problem(s, column, trouble{"price.several", "the row has several prints and one price", "say what the price is of", true, askSeveral})
	case s.price.Minor%int64(n) != 0:
		r.problem(s, column, trouble{"total.share", fmt.Sprintf("the price does not part evenly among %d prints", n), "write the price of each print", true, ""})
	default:
		each := money.Of(s.price.Minor/int64(n), s.price.Currency)
		r.sharedAlike(s, column)
		return &each
	}
	return nil
}

// sharedAlike tells that prints of different kinds were given the same part of one amount.
func (r *assembly) sharedAlike(s *sale, column int) {
	for _, p := range s.also {
		if p.edition != s.edition {
			r.problem(s, column, trouble{"price.alike", "different prints share one amount: each was given the same part of it", "write the prices like 120 + 80 if they differ", false, ""})
			return
		}
	}
}
