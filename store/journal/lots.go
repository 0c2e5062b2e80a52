package journal

import (
	"cmp"
	"database/sql"
	"slices"
	"time"

	"solander/calendar"
	"solander/earnings"
	"solander/money"
)

// lotOf is one of a lot in one currency.
type lotOf struct {
	id       int64
	text     string // the state
	currency string
}

// span is some days as pieces of which sums of a lot are kept, and the days beside them.
type span struct {
	first, last string // the periods, both too; none when the first is after the last
	edges       [][2]calendar.Day
}

// spanOf cuts days into what is kept of a lot; false when that does not make them up.
func spanOf(by earnings.Lot, from, to calendar.Day) (span, bool) {
	switch by {
	case earnings.LotEdition, earnings.LotOutlet, earnings.LotState:
		months, edges := wholeMonths(from, to)
		return span{months[0], cmp.Or(months[1], beyond), edges}, true
	case earnings.LotBuyer:
		if from.IsZero() && to.IsZero() {
			return span{}, true
		}
		s := span{first: "0", last: beyond}
		if !from.IsZero() {
			y, m, d := from.Civil()
			if m != time.January || d != 1 {
				return s, false
			}
			s.first = calendar.Date(y, m, d).String()[:4]
		}
		if !to.IsZero() {
			y, m, d := to.Civil()
			if m != time.December || d != 31 {
				return s, false
			}
			s.last = calendar.Date(y, m, d).String()[:4]
		}
		return s, true
	}
	return span{}, false
}

// beyond is after all periods.
const beyond = "~"

// one reports whether the span is one period.
func (s span) one() bool { return s.first == s.last && len(s.edges) == 0 }

// lotsKept are sums by a lot from what is kept of it; false when it is not kept so.
func (t *JournalRows) lotsKept(q earnings.Query) ([]earnings.LotSum, bool, error) {
	s, ok := spanOf(q.By, q.From, q.To)
	if !ok || q.State != nil || len(q.Editions)+len(q.Outlets)+len(q.Orders) > 0 || len(q.Buyers) > 0 && q.By != earnings.LotBuyer {
		return nil, false, nil
	}
	sums := map[lotOf]*lotSum{}
	var a asking
	from := ` FROM lot_sums s WHERE s.lot = ` + a.arg(string(q.By)) + a.among(`s.id`, q.Buyers) + ` AND s.period `
	var query string
	if !s.one() {
		query = `SELECT s.id, s.text, s.currency, CAST(sum(s.prints) AS BIGINT), ` + sumOfParts + from + `>= ` + a.arg(s.first) + ` AND s.period <= ` + a.arg(s.last) + ` GROUP BY 1, 2, 3`
	} else {
		query = `SELECT s.id, s.text, s.currency, s.prints, ` + columnsOfParts + from + `= ` + a.arg(s.first)
		if q.Most > 0 {
			query += ` AND s.currency = ` + a.arg(q.Currency) + ` ORDER BY s.remains DESC, s.id LIMIT ` + a.arg(q.Most)
		}
	}
	if err := t.addLots(sums, query, a.args); err != nil {
		return nil, true, err
	}
	for _, e := range s.edges {
		a = asking{}
		query := `SELECT ` + lots[q.By] + `, s.currency, ` + soldLines + `, ` + sumOfParts + ` FROM (` + earnedLines + ` AND e.day >= ` + a.arg(e[0].String()) + ` AND e.day <= ` + a.arg(e[1].String()) + `) s` +
			joined[q.By] + ` GROUP BY 1, 2, 3`
		if err := t.addLots(sums, query, a.args); err != nil {
			return nil, true, err
		}
	}
	if !s.one() {
		if err := t.countOnce(sums, q.By, s); err != nil {
			return nil, true, err
		}
	}
	return listed(sums), true, nil
}

// addLots adds the rows of a query to sums.
func (t *JournalRows) addLots(sums map[lotOf]*lotSum, query string, args []any) error {
	var minor partSums
	var of lotOf
	var prints int64
	places := []any{&of.id, &of.text, &of.currency, &prints}
	for i := range minor {
		places = append(places, &minor[i])
	}
	return t.conn.Each(query, args, func(rows *sql.Rows) error {
		err := rows.Scan(places...)
		s := sums[of]
		if s == nil {
			s = &lotSum{}
			sums[of] = s
		}
		s.prints += prints
		for i, n := range minor {
			s.of[i] += n
		}
		return err
	})
}

// countOnce takes off prints that were counted in more than one piece of a span: lines of orders of which that is known.
func (t *JournalRows) countOnce(sums map[lotOf]*lotSum, by earnings.Lot, s span) error {
	var a asking
	period := `s.month`
	if by == earnings.LotBuyer {
		period = `substr(s.month, 1, 4)`
	}
	const again = ` JOIN order_sums k ON k.order_id = s.order_id WHERE k.again = 1 AND s.line <> 0`
	query := `SELECT ` + period + `, ` + lots[by] + `, s.currency, s.line FROM earned_sums s` + again + ` AND s.sold = 1 AND ` + period + ` >= ` + a.arg(s.first) + ` AND ` + period + ` <= ` + a.arg(s.last)
	for _, e := range s.edges {
		query += ` UNION ALL SELECT ` + a.arg(e[0].String()) + `, ` + lots[by] + `, s.currency, s.line FROM entries e JOIN entry_lines s ON s.entry = e.id` + again +
			` AND s.account IN ` + accountsOf(earnings.Price) + ` AND e.day >= ` + a.arg(e[0].String()) + ` AND e.day <= ` + a.arg(e[1].String())
	}
	type piece struct {
		period string
		of     lotOf
		line   int64
	}
	seen, counted := map[piece]bool{}, map[piece]bool{}
	return t.conn.Each(query, a.args, func(rows *sql.Rows) error {
		var p piece
		if err := rows.Scan(&p.period, &p.of.id, &p.of.text, &p.of.currency, &p.line); err != nil || seen[p] {
			return err
		}
		seen[p] = true
		if p.period = ""; counted[p] {
			sums[p.of].prints--
		}
		counted[p] = true
		return nil
	})
}

// listed lists sums by lot, currency and part, but for those of nothing.
func listed(sums map[lotOf]*lotSum) []earnings.LotSum {
	var out []earnings.LotSum
	all := make([]lotOf, 0, len(sums))
	for of := range sums {
		all = append(all, of)
	}
	slices.SortFunc(all, func(a, b lotOf) int {
		return cmp.Or(cmp.Compare(a.id, b.id), cmp.Compare(a.text, b.text), cmp.Compare(a.currency, b.currency))
	})
	parts := earnings.Parts()
	for _, of := range all {
		for i, p := range parts {
			s := earnings.LotSum{ID: of.id, Text: of.text, Part: p, Amount: money.Of(sums[of].of[i], of.currency)}
			if p == earnings.Price {
				s.Prints = int(sums[of].prints)
			}
			if s.Amount.Minor != 0 || s.Prints != 0 {
				out = append(out, s)
			}
		}
	}
	return out
}

// CountLots is of how many of a lot that is kept something was earned or cost, in a currency; false when that would have to be gathered.
func (t *JournalRows) CountLots(q earnings.Query) (n int, ok bool, err error) {
	s, ok := spanOf(q.By, q.From, q.To)
	if !ok || !s.one() {
		return 0, false, nil
	}
	any1 := partsAs(func(name string, _ earnings.Part) string { return name + ` <> 0` }, ` OR `)
	_, err = t.conn.One(`SELECT count(*) FROM lot_sums WHERE lot = $1 AND period = $2 AND currency = $3 AND (prints <> 0 OR `+any1+`)`, []any{string(q.By), s.first, q.Currency}, &n)
	return n, true, err
}
