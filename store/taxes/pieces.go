package taxes

import (
	"database/sql"

	"solander/calendar"
	"solander/ledger"
	"solander/money"
	"solander/store/table"
	"solander/tax"
)

// TaxPieces returns what the journal has of each order between two days, of what a return asks for; see tax.Store.
func (t *TaxRows) TaxPieces(from, until calendar.Day) ([]tax.Piece, error) {
	type line struct {
		tax.Piece
		account string
		amount  money.Amount
	}
	lines, err := table.List(t.conn, func(rows *sql.Rows) (x line, err error) {
		err = rows.Scan(&x.Order, &x.InPerson, &x.Country, &x.Region, &x.Buyer, table.Day(&x.Placed), &x.ByOutlet, &x.account, &x.amount.Currency, &x.amount.Minor)
		return x, err
	}, `SELECT o.id, o.in_person, o.ship_country, o.ship_region, o.buyer, o.placed, o.tax_by_outlet, s.account, s.currency, s.amount
		FROM (SELECT l.order_id, l.account, l.currency, CAST(SUM(l.amount) AS BIGINT) AS amount FROM entries e JOIN entry_lines l ON l.entry = e.id
			WHERE e.day >= $1 AND e.day <= $2 AND l.order_id <> 0 AND l.account IN ($3, $4, $5, $6, $7)
			GROUP BY l.order_id, l.account, l.currency) s
		JOIN orders o ON o.id = s.order_id ORDER BY o.id, s.account, s.currency`,
		from.String(), until.String(), ledger.Sales, ledger.PostageCharged, ledger.Returns, ledger.Tax, ledger.OutletTax)
	if err != nil {
		return nil, err
	}
	var out []tax.Piece
	for _, x := range lines {
		if len(out) == 0 || out[len(out)-1].Order != x.Order || out[len(out)-1].Goods.Currency != x.amount.Currency {
			none := money.Of(0, x.amount.Currency)
			x.Goods, x.Postage, x.Tax, x.OutletTax = none, none, none, none
			out = append(out, x.Piece)
		}
		p := &out[len(out)-1]
		to := map[string]*money.Amount{ledger.Sales: &p.Goods, ledger.Returns: &p.Goods, ledger.PostageCharged: &p.Postage, ledger.Tax: &p.Tax, ledger.OutletTax: &p.OutletTax}[x.account]
		if *to, err = to.Sub(x.amount); err != nil { // what is sold, and what is owed of tax, stands on the other side
			return nil, err
		}
	}
	return out, nil
}
