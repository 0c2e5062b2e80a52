package sale

import (
	"strings"

	"solander/intake"
	"solander/intake/cell"
	"solander/money"
)

// readMoney reads the columns of money. An amount in a merged cell belongs to its first row alone.
func (r *Rows) readMoney(s *Sale) {
	for _, f := range []struct {
		field intake.Field
		to    **money.Amount
	}{{intake.Price, &s.Price}, {intake.Total, &s.Total}, {intake.Postage, &s.Postage}, {intake.Tax, &s.Tax}, {intake.Fee, &s.Fee}, {intake.Owed, &s.Owed}} {
		c, column := s.Grid.Cell(s.Row, f.field)
		if c.Merged && f.field != intake.Price {
			continue
		}
		if f.field == intake.Owed && (cell.YesWords[intake.Fold(c.Text)] || cell.NoWords[intake.Fold(c.Text)]) {
			continue
		}
		if f.field == intake.Fee {
			c = positive(c)
		}
		if f.field == intake.Price && c.Kind == intake.Words && r.severalAmounts(c.Text) {
			continue // one for each print: see priceEach
		}
		*f.to = r.amount(s, c, column)
	}
	r.readPaid(s)
}

// positive drops the minus of a fee: outlets write what they keep either way.
func positive(c intake.Cell) intake.Cell {
	c.Number = strings.TrimPrefix(c.Number, "-")
	c.Text = strings.Replace(c.Text, "-", "", intake.One(strings.HasPrefix(strings.Trim(c.Text, "$€£ "), "-")))
	return c
}

// amount reads one amount that must not be negative; nil when the cell holds none.
func (r *Rows) amount(s *Sale, c intake.Cell, column int) *money.Amount {
	a, ok, t := cell.AmountOf(c, r.Figures.Currency, r.Figures.Decimal)
	switch {
	case !t.None():
		r.Problem(s, column, t)
	case ok && a.Sign() < 0:
		r.Problem(s, column, cell.Trouble{Rule: "amount.negative", What: "the amount is below nothing", Mend: "write what was sold as an amount above nothing; enter refunds in the order", Bars: true})
	case ok:
		return &a
	}
	return nil
}

// readPaid reads what was paid: an amount, a day, or a word.
func (r *Rows) readPaid(s *Sale) {
	c, column := s.Grid.Cell(s.Row, intake.Paid)
	w := intake.WordKey(c.Text)
	switch {
	case c.Blank() || c.Merged || cell.NoWords[w]:
		if c.Kind != intake.Blank && !c.Merged {
			none := money.Of(0, r.Figures.Currency)
			s.Paid = &none
		}
	case c.Kind == intake.Date:
		s.PaidWhole, s.PaidOn = true, c.Day
	case cell.YesWords[w]:
		s.PaidWhole = true
	default:
		if d, ok, _ := cell.DayText(c.Text, r.Figures.Days); c.Kind == intake.Words && ok && d.Year != 0 {
			s.PaidWhole, s.PaidOn = true, d.In(0)
			return
		}
		s.Paid = r.amount(s, c, column)
	}
}
