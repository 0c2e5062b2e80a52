package taxes

import (
	"cmp"
	"database/sql"
	"slices"

	"solander/calendar"
	"solander/money"
	"solander/store/table"
	"solander/tax"
)

// TaxPieces returns what the journal has of each order between two days, of what a return asks for, by the sums that are kept; see tax.Store. What galleries sold
// belongs to no order.
func (t *TaxRows) TaxPieces(from, until calendar.Day) ([]tax.Piece, error) {
	var out []tax.Piece
	type of struct {
		order    int64
		currency string
	}
	at := map[of]int{}
	err := t.conn.Each(`SELECT s.order_id, o.in_person, o.ship_country, o.ship_region, o.buyer, o.placed, o.tax_by_outlet, s.currency, s.price + s.came_back, s.postage_charged, s.tax, s.outlet_tax
		FROM earned_sums s CROSS JOIN orders o WHERE o.id = s.order_id AND s.day >= $1 AND s.day <= $2 AND s.order_id <> 0
		AND (s.sold = 1 OR s.came_back <> 0 OR s.postage_charged <> 0 OR s.tax <> 0 OR s.outlet_tax <> 0)`, []any{from.String(), until.String()}, func(rows *sql.Rows) error {
		var p tax.Piece
		err := rows.Scan(&p.Order, &p.InPerson, &p.Country, &p.Region, &p.Buyer, table.Day(&p.Placed), &p.ByOutlet, &p.Goods.Currency, &p.Goods.Minor, &p.Postage.Minor, &p.Tax.Minor, &p.OutletTax.Minor)
		if err != nil {
			return err
		}
		p.Postage.Currency, p.Tax.Currency, p.OutletTax.Currency = p.Goods.Currency, p.Goods.Currency, p.Goods.Currency
		i, known := at[of{p.Order, p.Goods.Currency}]
		if !known {
			at[of{p.Order, p.Goods.Currency}], out = len(out), append(out, p)
			return nil
		}
		for _, x := range []struct{ to, more *money.Amount }{{&out[i].Goods, &p.Goods}, {&out[i].Postage, &p.Postage}, {&out[i].Tax, &p.Tax}, {&out[i].OutletTax, &p.OutletTax}} {
			if *x.to, err = x.to.Add(*x.more); err != nil {
				return err
			}
		}
		return nil
	})
	slices.SortFunc(out, func(a, b tax.Piece) int {
		return cmp.Or(cmp.Compare(a.Order, b.Order), cmp.Compare(a.Goods.Currency, b.Goods.Currency))
	})
	return out, err
}
