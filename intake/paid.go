package intake

import (
	"strings"

	"solander/money"
)

// readMoney reads the columns of money. An amount in a merged cell belongs to its first row alone.
func (r *Rows) readMoney(s *sale) {
	for _, f := range []struct {
		field Field
		to    **money.Amount
	}{{Price, &s.price}, {Total, &s.total}, {Postage, &s.postage}, {Tax, &s.tax}, {Fee, &s.fee}, {Owed, &s.owed}} {
		c, column := s.plan.cell(s.row, f.field)
		if c.Merged && f.field != Price {
			continue
		}
		if f.field == Owed && (yesWords[Fold(c.Text)] || noWords[Fold(c.Text)]) {
			continue
		}
		if f.field == Fee {
			c = positive(c)
		}
		if f.field == Price && c.Kind == Words && r.severalAmounts(c.Text) {
			continue // one for each print: see priceEach
		}
		*f.to = r.amount(s, c, column)
	}
	r.readPaid(s)
}

// positive drops the minus of a fee: outlets write what they keep either way.
func positive(c Cell) Cell {
	c.Number = strings.TrimPrefix(c.Number, "-")
	c.Text = strings.Replace(c.Text, "-", "", One(strings.HasPrefix(strings.Trim(c.Text, "$€£ "), "-")))
	return c
}

// amount reads one amount that must not be negative; nil when the cell holds none.
func (r *Rows) amount(s *sale, c Cell, column int) *money.Amount {
	a, ok, t := amountOf(c, r.figures.currency, r.figures.decimal)
	switch {
	case !t.none():
		r.problem(s, column, t)
	case ok && a.Sign() < 0:
		r.problem(s, column, trouble{"amount.negative", "the amount is below nothing", "write what was sold as an amount above nothing; enter refunds in the order", true, ""})
	case ok:
		return &a
	}
	return nil
}

// readPaid reads what was paid: an amount, a day, or a word.
func (r *Rows) readPaid(s *sale) {
	c, column := s.plan.cell(s.row, Paid)
	w := wordKey(c.Text)
	switch {
	case c.blank() || c.Merged || noWords[w]:
		if c.Kind != Blank && !c.Merged {
			none := money.Of(0, r.figures.currency)
			s.paid = &none
		}
	case c.Kind == Date:
		s.paidWhole, s.paidOn = true, c.Day
	case yesWords[w]:
		s.paidWhole = true
	default:
		if d, ok, _ := dayText(c.Text, r.figures.days); c.Kind == Words && ok && d.year != 0 {
			s.paidWhole, s.paidOn = true, d.in(0)
			return
		}
		s.paid = r.amount(s, c, column)
	}
}
