// Package years reads what the journal keeps of a year: the sums of its months, and the lines by which they are traced.
package years

import (
	"database/sql"
	"fmt"

	"solander/store/table"
	"solander/store/words"
	"solander/yearly"
)

// YearRows are the years of the journal within one transaction.
type YearRows struct{ conn *table.Conn }

// New are the years as a transaction sees them.
func New(c *table.Conn) *YearRows { return &YearRows{c} }

// YearSums returns what moved on the accounts in each month of a year, and before it.
func (t *YearRows) YearSums(year int) ([]yearly.Month, error) {
	first, last := fmt.Sprintf("%04d-01", year), fmt.Sprintf("%04d-12", year)
	return table.List(t.conn, func(rows *sql.Rows) (m yearly.Month, err error) {
		err = rows.Scan(&m.Month, &m.Account, &m.Amount.Currency, &m.Amount.Minor)
		return m, err
	}, `SELECT of_year, account, currency, CAST(SUM(amount) AS BIGINT) FROM (SELECT CASE WHEN month >= $1 THEN month ELSE '' END AS of_year, account, currency, amount
		FROM entry_sums WHERE month <= $2) s GROUP BY of_year, account, currency ORDER BY of_year, account, currency`, first, last)
}

// Trace returns lines of the journal by day and entry.
func (t *YearRows) Trace(q yearly.Query) ([]yearly.Traced, error) {
	f := words.Found{Where: []string{"e.id > 0"}}
	if !q.From.IsZero() {
		f.And("e.day >=", q.From.String())
	}
	if !q.Until.IsZero() {
		f.And("e.day <=", q.Until.String())
	}
	if q.Late {
		f.Where = append(f.Where, "e.true_day <> ''")
	}
	if q.Entry != 0 {
		f.And("e.id =", q.Entry)
	}
	if len(q.Accounts) > 0 {
		in := ""
		for i, a := range q.Accounts {
			if i > 0 {
				in += ", "
			}
			in += f.Arg(a)
		}
		f.Where = append(f.Where, "l.account IN ("+in+")")
	}
	rest := f.Condition() + " ORDER BY e.day, e.id, l.place LIMIT " + f.Arg(q.Limit) + " OFFSET " + f.Arg(q.Skip)
	return table.List(t.conn, func(rows *sql.Rows) (x yearly.Traced, err error) {
		err = rows.Scan(&x.Entry, table.Day(&x.Day), table.Day(&x.True), &x.Text, &x.Account, &x.Mark, &x.Amount.Minor, &x.Amount.Currency)
		return x, err
	}, `SELECT e.id, e.day, e.true_day, e.text, l.account, COALESCE(o.mark, ''), l.amount, l.currency
		FROM entries e JOIN entry_lines l ON l.entry = e.id LEFT JOIN orders o ON o.id = l.order_id `+rest, f.Args...)
}
