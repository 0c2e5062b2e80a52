package journal

import (
	"database/sql"

	"solander/calendar"
	"solander/earnings"
	"solander/ledger"
)

// SoldThere counts the prints that galleries sold, or paid for when they were lost; see earnings.Store.
func (t *JournalRows) SoldThere(from, to calendar.Day) (out []earnings.SoldThere, err error) {
	a := asking{args: []any{ledger.Consignment, ledger.GallerySales}}
	days := ``
	if !from.IsZero() {
		days += ` AND e.day >= ` + a.arg(from.String())
	}
	if !to.IsZero() {
		days += ` AND e.day <= ` + a.arg(to.String())
	}
	query := `SELECT edition, outlet, currency, CAST(sum(CASE WHEN minor < 0 THEN 1 ELSE -1 END) AS BIGINT) FROM (SELECT l.edition, l.outlet, l.currency, sum(l.amount) AS minor
		FROM entries e JOIN entry_lines l ON l.entry = e.id WHERE e.subject = $1 AND l.account = $2` + days + ` GROUP BY e.subject_id, l.edition, l.outlet, l.currency HAVING sum(l.amount) <> 0) x
		GROUP BY edition, outlet, currency ORDER BY edition, outlet, currency`
	err = t.conn.Each(query, a.args, func(rows *sql.Rows) error {
		var x earnings.SoldThere
		if err := rows.Scan(&x.Edition, &x.Outlet, &x.Currency, &x.Prints); err != nil {
			return err
		}
		out = append(out, x)
		return nil
	})
	return out, err
}
