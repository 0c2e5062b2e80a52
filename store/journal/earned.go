package journal

import (
	"database/sql"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/earnings"
	"solander/layers"
	"solander/ledger"
	"solander/store/table"
	"solander/supply"
)

// lots are how a lot is told from a line and its order.
var lots = map[earnings.Lot]string{
	earnings.LotEdition: `l.edition, ''`,
	earnings.LotOutlet:  `l.outlet, ''`,
	earnings.LotOrder:   `l.order_id, ''`,
	earnings.LotBuyer:   `coalesce(o.buyer, 0), ''`,
	earnings.LotState:   `0, coalesce(` + state + `, '')`,
}

// state is how an order's is told in SQL, as earnings.State tells it.
const state = `CASE WHEN o.ship_country = '' OR o.ship_region = '' THEN o.ship_country ELSE o.ship_country || ' ' || o.ship_region END`

// SumsOfLots returns what moved on the accounts, by the one or the other of a lot.
func (t *JournalRows) SumsOfLots(q earnings.Query) ([]earnings.LotSum, error) {
	if q.To.IsZero() {
		q.To = calendar.Latest
	}
	args := []any{q.From.String(), q.To.String()}
	where := ` WHERE e.day >= $1 AND e.day <= $2`
	among := func(column string, ids []int64) {
		places := make([]string, len(ids))
		for i, id := range ids {
			args = append(args, id)
			places[i] = "$" + strconv.Itoa(len(args))
		}
		where += ` AND ` + column + ` IN (` + strings.Join(places, ", ") + `)`
	}
	if len(q.Editions) > 0 {
		among(`l.edition`, q.Editions)
	}
	if len(q.Outlets) > 0 {
		among(`l.outlet`, q.Outlets)
	}
	if len(q.Buyers) > 0 {
		among(`coalesce(o.buyer, 0)`, q.Buyers)
	}
	if q.State != nil {
		args = append(args, *q.State)
		where += ` AND coalesce(` + state + `, '') = $` + strconv.Itoa(len(args))
	}
	if q.Sales {
		where += ` AND l.account IN ('` + ledger.Sales + `', '` + ledger.GallerySales + `')`
	}
	join := ""
	if q.By == earnings.LotBuyer || q.By == earnings.LotState || len(q.Buyers) > 0 || q.State != nil {
		join = ` LEFT JOIN orders o ON o.id = l.order_id`
	}
	return t.lots(`SELECT `+lots[q.By]+`, l.account, l.currency, sum(l.amount), count(DISTINCT l.line) FROM entries e JOIN entry_lines l ON l.entry = e.id`+join+where+
		` GROUP BY 1, 2, 3, 4 ORDER BY 1, 2, 3, 4`, args)
}

// lots reads sums by lots.
func (t *JournalRows) lots(query string, args []any) ([]earnings.LotSum, error) {
	var out []earnings.LotSum
	err := t.conn.Each(query, args, func(rows *sql.Rows) error {
		var s earnings.LotSum
		err := rows.Scan(&s.ID, &s.Text, &s.Account, &s.Amount.Currency, &s.Amount.Minor, &s.Prints)
		out = append(out, s)
		return err
	})
	return out, err
}

// SheetLayers returns by edition the layers of sheets that have some left, the earliest first.
func (t *JournalRows) SheetLayers() (map[int64]layers.Stock, error) {
	rows, err := Layers.List(t.conn, "WHERE kind = $1 AND remaining > 0 ORDER BY id", supply.Sheets)
	if err != nil {
		return nil, err
	}
	out := map[int64]layers.Stock{}
	for _, r := range rows {
		out[r.item] = append(out[r.item], &r.Layer)
	}
	return out, nil
}

// earning are the accounts of income and costs, as a list of SQL.
var earning = func() string {
	var keys []string
	for _, a := range ledger.Chart(nil) {
		if _, ok := earnings.PartOf(a.Key); ok {
			keys = append(keys, `'`+a.Key+`'`)
		}
	}
	return `(` + strings.Join(keys, ", ") + `)`
}()

// SumsOfOrdersSold returns what moved on the accounts for orders of which something was sold in some days, and which cost more than they
// brought in, the greatest loss first.
func (t *JournalRows) SumsOfOrdersSold(from, to calendar.Day, most int) ([]earnings.LotSum, error) {
	if to.IsZero() {
		to = calendar.Latest
	}
	ids, err := table.Values[int64](t.conn, `
		SELECT l.order_id FROM entry_lines l WHERE l.account IN `+earning+` AND l.order_id IN (
			SELECT s.order_id FROM entries e JOIN entry_lines s ON s.entry = e.id WHERE s.account = '`+ledger.Sales+`' AND s.order_id <> 0 AND e.day >= $1 AND e.day <= $2)
		GROUP BY l.order_id HAVING sum(l.amount) > 0 ORDER BY sum(l.amount) DESC, l.order_id LIMIT $3`, from.String(), to.String(), most)
	if err != nil || len(ids) == 0 {
		return nil, err
	}
	in, args := table.InList(ids)
	return t.lots(`SELECT l.order_id, '', l.account, l.currency, sum(l.amount), count(DISTINCT l.line) FROM entry_lines l WHERE l.order_id IN `+in+` GROUP BY 1, 2, 3, 4 ORDER BY 1, 2, 3, 4`, args)
}
