package proposal

import (
	"fmt"

	"solander/intake"
	"solander/intake/cell"
	"solander/intake/sale"
	"solander/money"
)

// pieces are the kinds of prints of an order.
func (d *draft) pieces() []*sale.Sale {
	var all []*sale.Sale
	for _, s := range d.sales {
		all = append(append(all, s), s.Also...)
	}
	return all
}

// addLines adds the prints of a row, each with its price.
func (r *assembly) addLines(d *draft, s *sale.Sale, row int) {
	n := s.Prints()
	price := r.priceOfEach(s, n)
	if s.Price == nil && s.Each == nil && s.Total != nil {
		price = r.priceOfTotal(s, n)
	}
	if len(s.Grid.Fields[intake.Price])+len(s.Grid.Fields[intake.Total]) == 0 {
		r.Once(s, cell.Trouble{Rule: "price.missing", What: "no column of the sheet says the price", Mend: "say which column it is, or take the editions' own prices"})
	} else if s.Price == nil && s.Total == nil && s.Each == nil {
		_, column := s.Grid.Cell(s.Row, intake.Price)
		r.Problem(s, column, cell.Trouble{Rule: "price.missing", What: "the price is missing", Mend: "write it, or take the edition's own price"})
	}
	r.checkTotal(s)
	for _, p := range s.Pieces() {
		for i := range p.Copies() {
			l := intake.Line{Edition: p.Edition, Price: price, Row: row}
			if p.Each != nil {
				l.Price = p.Each
			}
			if i < len(p.Numbers.Numbers) {
				l.Number = p.Numbers.Numbers[i]
			}
			d.p.Lines = append(d.p.Lines, l)
		}
	}
}

// saidEach is the price of one print where the row says it of this kind of print alone; nil where it has to be worked out.
func (r *assembly) saidEach(s *sale.Sale) *money.Amount {
	switch head := s.First(); {
	case s.Each != nil:
		return s.Each
	case head.Price != nil && (head.Prints() == 1 || r.Mapping.Several == intake.OfEach):
		return head.Price
	}
	return nil
}

// priceOfEach is the price of one print of a row; of a row with several prints only when it is said what its price is of.
func (r *assembly) priceOfEach(s *sale.Sale, n int) *money.Amount {
	if s.Price == nil || n == 1 || r.Mapping.Several == intake.OfEach {
		return s.Price
	}
	_, column := s.Grid.Cell(s.Row, intake.Price)
	several := r.Mapping.Several
	if several == "" {
		several = s.ProvenBy(r.Figures.Currency)
	}
	switch {
	case several == intake.OfEach:
		return s.Price
	case several == "":
		r.Problem(s, column, cell.Trouble{Rule: "price.several", What: "the row has several prints and one price", Mend: "say what the price is of", Bars: true, Ask: intake.AskSeveral})
	case s.Price.Minor%int64(n) != 0:
		r.Problem(s, column, cell.Trouble{Rule: "total.share", What: fmt.Sprintf("the price does not part evenly among %d prints", n), Mend: "write the price of each print", Bars: true})
	default:
		each := money.Of(s.Price.Minor/int64(n), s.Price.Currency)
		r.sharedAlike(s, column)
		return &each
	}
	return nil
}

// sharedAlike tells that prints of different kinds were given the same part of one amount.
func (r *assembly) sharedAlike(s *sale.Sale, column int) {
	for _, p := range s.Also {
		if p.Edition != s.Edition {
			r.Problem(s, column, cell.Trouble{Rule: "price.alike", What: "different prints share one amount: each was given the same part of it", Mend: "write the prices like 120 + 80 if they differ"})
			return
		}
	}
}
