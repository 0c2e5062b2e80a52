// Package taxing is use cases: the rates of tax that were entered, resale certificates, and what they say of a sale.
package taxing

import (
	"context"

	"solander/book"
	"solander/buyers"
	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/tax"
)

// Store is what this room asks of the store.
type Store interface {
	tax.Store
	Order(id int64) (order.Order, error)
}

// Desk is one transaction as this room sees it.
type Desk struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Desk { return &Desk{t, t.Tx} }

var write, read = studio.Doors(In)

// Rates returns the rates that were entered, by place and day.
func Rates(ctx context.Context, s *studio.Studio) ([]tax.Rate, error) {
	return studio.Got(ctx, s, read, func(t *Desk) ([]tax.Rate, error) {
		all, err := t.TaxRates()
		return append([]tax.Rate{}, all...), err
	})
}

// Enter keeps rates, each in the place of one of the same country, state and day. All are kept or none. Faults: Invalid.
func Enter(ctx context.Context, s *studio.Studio, rates ...tax.Rate) error {
	for i := range rates {
		rates[i] = rates[i].Tidy()
		if err := rates[i].Validate(); err != nil {
			return err
		}
	}
	return write(ctx, s, func(t *Desk) error {
		for _, r := range rates {
			if _, err := t.SaveTaxRate(r); err != nil {
				return err
			}
		}
		if len(rates) == 1 {
			r := rates[0]
			return t.Note(0, "rate of tax in %s from %s: %s", tax.PlaceName(r.Country, r.Region), r.From, r.PerCent())
		}
		return t.Note(0, "%d rates of tax entered", len(rates))
	})
}

// Drop takes a rate out. Faults: Missing.
func Drop(ctx context.Context, s *studio.Studio, id int64) error {
	return write(ctx, s, func(t *Desk) error {
		if err := t.DropTaxRate(id); err != nil {
			return err
		}
		return t.Note(0, "rate of tax %d taken out", id)
	})
}

// Resale is a certificate with whose it is.
type Resale struct {
	tax.Certificate
	Name string `json:"name"`
}

// Resales returns the resale certificates, of one buyer or of all (0).
func Resales(ctx context.Context, s *studio.Studio, buyer int64) ([]Resale, error) {
	return studio.Got(ctx, s, read, func(t *Desk) ([]Resale, error) {
		out := []Resale{}
		all, err := t.Resales(buyer)
		if err != nil {
			return nil, err
		}
		for _, c := range all {
			b, err := t.BuyerOf(c.Buyer)
			if err != nil {
				return nil, err
			}
			out = append(out, Resale{c, b.Name})
		}
		return out, nil
	})
}

// AddResale keeps a resale certificate of a buyer. Faults: Invalid, Missing.
func AddResale(ctx context.Context, s *studio.Studio, c tax.Certificate) (tax.Certificate, error) {
	c = c.Tidy()
	if err := c.Validate(); err != nil {
		return c, err
	}
	err := write(ctx, s, func(t *Desk) error {
		b, err := buyers.In(t.Turn).Person(c.Buyer)
		if err != nil {
			return err
		}
		c.Buyer = b.ID
		c.ID, err = t.AddResale(c)
		return err
	})
	return c, err
}

// EndResale ends a certificate with a day; no day: with today. Faults: Invalid, Missing.
func EndResale(ctx context.Context, s *studio.Studio, id int64, until calendar.Day) error {
	if err := studio.Sane("until", until); err != nil {
		return err
	}
	return write(ctx, s, func(t *Desk) error {
		if until.IsZero() {
			until = t.Today
		}
		return t.EndResale(id, until)
	})
}

// OfOrder says what the rates take of an order. Faults: Missing.
func OfOrder(ctx context.Context, s *studio.Studio, id int64) (tax.Answer, error) {
	return studio.Got(ctx, s, read, func(t *Desk) (tax.Answer, error) {
		o, err := t.Order(id)
		if err != nil {
			return tax.Answer{}, err
		}
		return t.Of(o)
	})
}

// Of says what the rates take of an order: where it goes to, or handed over in person, where the studio is, on the day of the sale.
func (t *Desk) Of(o order.Order) (tax.Answer, error) {
	rates, err := t.TaxRates()
	if err != nil {
		return tax.Answer{}, err
	}
	resales, err := t.Resales(o.Buyer)
	if err != nil {
		return tax.Answer{}, err
	}
	at := o.ShipTo
	if o.InPerson {
		at = t.Set.Address
	}
	return tax.Of(tax.Sale{
		Country: at.Country, Region: at.Region, Day: o.Placed, Goods: o.Goods(), Postage: o.Postage, Charged: o.Tax, ByOutlet: o.TaxByOutlet, Resales: resales,
	}, rates)
}

// Charge sets the tax of an order to what the rates say. Faults: Missing; Refused when no rate says anything, or the order is not open.
func Charge(ctx context.Context, s *studio.Studio, id int64) (charged money.Amount, err error) {
	err = write(ctx, s, func(t *Desk) error {
		o, err := t.Order(id)
		if err != nil {
			return err
		}
		a, err := t.Of(o)
		if err != nil {
			return err
		}
		added, known := a.Added()
		if !known {
			return fault.New(fault.Refused, "%s", a.Words()).At("%s", o.Mark).ToMend("enter the rate first, or give the tax of the order by hand; ask your adviser which applies")
		}
		charged = added
		return book.In(t.Turn).Amend(o, book.AmendIn{Order: o.ID, Tax: &added})
	})
	return charged, err
}
