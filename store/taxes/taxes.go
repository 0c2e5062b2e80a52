// Package taxes keeps the rows of rates of tax and of resale certificates.
package taxes

import (
	"solander/calendar"
	"solander/store/engine"
	"solander/store/table"
	"solander/tax"
)

// Rates are the rates of tax.
var Rates = table.Make("tax_rates", "rate of tax", func(r *tax.Rate) table.Columns {
	return table.Columns{
		"id", &r.ID, "country", &r.Country, "region", &r.Region, "from_day", &r.From, "rate", &r.Rate, "postage", &r.Postage, "inside", &r.Inside,
		"name", &r.Name, "source", &r.Source,
	}
})

// Resales are the resale certificates.
var Resales = table.Make("resales", "resale certificate", func(c *tax.Certificate) table.Columns {
	return table.Columns{
		"id", &c.ID, "buyer", &c.Buyer, "country", &c.Country, "region", &c.Region, "number", &c.Number, "from_day", &c.From, "until_day", &c.Until,
	}
})

// TaxRows are rates and certificates within one transaction.
type TaxRows struct{ conn *table.Conn }

// New are the rates and certificates of a transaction.
func New(c *table.Conn) *TaxRows { return &TaxRows{c} }

// TaxRates returns the rates, by country, state and day.
func (t *TaxRows) TaxRates() ([]tax.Rate, error) {
	return Rates.List(t.conn, "ORDER BY country, region, from_day")
}

// SaveTaxRate keeps a rate in the place of one of the same country, state and day.
func (t *TaxRows) SaveTaxRate(r tax.Rate) (int64, error) {
	same, err := table.Values[int64](t.conn, `SELECT id FROM tax_rates WHERE country = $1 AND region = $2 AND from_day = $3`, r.Country, r.Region, r.From.String())
	if err != nil {
		return 0, err
	}
	if r.ID = 0; len(same) > 0 {
		r.ID = same[0]
	}
	return Rates.Save(t.conn, r)
}

// DropTaxRate takes a rate out. Faults: Missing.
func (t *TaxRows) DropTaxRate(id int64) error { return Rates.Drop(t.conn, id) }

// Resales returns the certificates of a buyer and of those who were taken as her, or of all (0), by day.
func (t *TaxRows) Resales(buyer int64) ([]tax.Certificate, error) {
	if buyer == 0 {
		return Resales.List(t.conn, "ORDER BY from_day, id")
	}
	return Resales.List(t.conn, "WHERE buyer IN (SELECT id FROM buyers WHERE id = $1 OR same_as = $1) ORDER BY from_day, id", buyer)
}

// AddResale adds a certificate. Faults: Missing when there is no such buyer.
func (t *TaxRows) AddResale(c tax.Certificate) (int64, error) {
	id, err := Resales.Add(t.conn, c)
	return id, engine.When(err, engine.Foreign, engine.Missing("buyer %d", c.Buyer))
}

// EndResale ends a certificate with a day. Faults: Missing.
func (t *TaxRows) EndResale(id int64, until calendar.Day) error {
	return Resales.ChangeOnly(t.conn, tax.Certificate{ID: id, Until: until}, "until_day")
}
