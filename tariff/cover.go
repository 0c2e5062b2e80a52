package tariff

import "solander/money"

// Price returns the price of cover for a value, 0 when it is included; or the most that is sold, and
// false. The included part is never deducted from cover that is bought: the published text does not say
// that it is, and this is the safe side. A nil Cover covers nothing.
func (c *Cover) Price(value int64) (price, most int64, ok bool) {
	if value <= 0 {
		return 0, 0, true
	}
	if c == nil {
		return 0, 0, false
	}
	if value <= c.Included {
		return 0, 0, true
	}
	if most, limited := c.most(); limited && value > most {
		return 0, most, false
	}
	last := CoverStep{}
	for _, s := range c.Steps {
		if value <= s.UpTo {
			return s.Price, 0, true
		}
		last = s
	}
	if c.Per <= 0 {
		return 0, last.UpTo, false
	}
	return last.Price + (value-last.UpTo+c.Per-1)/c.Per*c.PerPrice, 0, true
}

// most returns the most cover that is sold or included, and whether there is such a limit.
func (c *Cover) most() (int64, bool) {
	switch {
	case c.Most != nil:
		return *c.Most, true
	case c.Per > 0:
		return 0, false
	case len(c.Steps) > 0:
		return max(c.Included, c.Steps[len(c.Steps)-1].UpTo), true
	}
	return c.Included, true
}

func (o *Offer) cover(value int64, lines *[]Line) (int64, broken) {
	price, most, ok := o.Service.Cover.Price(value)
	if !ok {
		return 0, broken{"cover.most", value, most, o.Card.Currency}
	}
	if price > 0 && lines != nil {
		c := o.Service.Cover
		*lines = append(*lines, o.line("cover", o.Service.ID, "cover for "+money.Of(value, o.Card.Currency).String(), price, c.Source, c.Status))
	}
	return price, broken{}
}
