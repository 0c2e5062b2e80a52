package journal

import (
	"cmp"
	"database/sql"
	"fmt"
	"slices"
	"strings"
	"time"

	"solander/calendar"
	"solander/earnings"
	"solander/money"
	"solander/store/table"
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
	}
	if err := t.addLots(sums, query, a.args); err != nil {
		return nil, true, err
	}
	for _, e := range s.edges {
		if err := t.addDays(sums, q.By, e); err != nil {
			return nil, true, err
		}
	}
	if !s.one() {
		if err := t.countOnce(sums, q, s); err != nil {
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

// addDays adds what was earned by a lot in some days.
func (t *JournalRows) addDays(sums map[lotOf]*lotSum, by earnings.Lot, days [2]calendar.Day) error {
	var a asking
	return t.addLots(sums, `SELECT `+lots[by]+`, s.currency, `+soldLines+`, `+sumOfParts+` FROM earned_sums s`+joined[by]+` WHERE 1 = 1`+a.during(days[0], days[1])+` GROUP BY 1, 2, 3`, a.args)
}

// countOnce takes off prints that were counted in more than one piece of a span: lines of orders of which that is known.
func (t *JournalRows) countOnce(sums map[lotOf]*lotSum, q earnings.Query, s span) error {
	var a asking
	query := `SELECT s.day, ` + lots[q.By] + `, s.currency, s.line FROM order_sums k CROSS JOIN earned_sums s
		WHERE k.again = 1 AND s.order_id = k.order_id AND s.order_id <> 0 AND s.line <> 0 AND s.sold = 1` + a.during(q.From, q.To) // those orders first: there are few
	type piece struct {
		period string
		of     lotOf
		line   int64
	}
	seen, counted := map[piece]bool{}, map[piece]bool{}
	return t.conn.Each(query, a.args, func(rows *sql.Rows) error {
		var p piece
		if err := rows.Scan(&p.period, &p.of.id, &p.of.text, &p.of.currency, &p.line); err != nil {
			return err
		}
		if p.period = s.piece(q.By, p.period); seen[p] {
			return nil
		}
		seen[p] = true
		if p.period = ""; counted[p] {
			sums[p.of].prints--
		}
		counted[p] = true
		return nil
	})
}

// piece is to which piece of the span a day belongs: a period of the lot, or the days beside them.
func (s span) piece(by earnings.Lot, day string) string {
	for _, e := range s.edges {
		if first := e[0].String(); first <= day && day <= e[1].String() {
			return first
		}
	}
	if by == earnings.LotBuyer {
		return yearOf(day)
	}
	return monthOf(day)
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

// MostOfLot returns of which orders or buyers most is left; see earnings.Store. What is left is gathered first and alone, and what its parts are is looked at
// where it comes to nothing: a part may be more than nothing all the same.
func (t *JournalRows) MostOfLot(q earnings.Query) (ids []int64, all int, err error) {
	var a asking
	const certain = ` FROM m WHERE remains <> 0 OR sold <> 0`
	query := `WITH m AS MATERIALIZED (` + a.leftOf(q) + `)
		SELECT 0, id, remains FROM (SELECT id, remains` + certain + ` ORDER BY remains DESC, id LIMIT ` + a.arg(q.Most) + `) t
		UNION ALL SELECT 1, count(*), 0` + certain + ` UNION ALL SELECT 2, id, 0 FROM m WHERE remains = 0 AND sold = 0`
	type left struct{ id, remains int64 }
	var most []left
	var doubtful []int64
	err = t.conn.Each(query, a.args, func(rows *sql.Rows) error {
		var kind int
		var x left
		err := rows.Scan(&kind, &x.id, &x.remains)
		switch kind {
		case 0:
			most = append(most, x)
		case 1:
			all = int(x.id)
		default:
			doubtful = append(doubtful, x.id)
		}
		return err
	})
	if err != nil {
		return nil, 0, err
	}
	moved, err := t.moved(q, doubtful)
	if err != nil {
		return nil, 0, err
	}
	for _, id := range moved {
		most, all = append(most, left{id: id}), all+1
	}
	slices.SortFunc(most, func(a, b left) int { return cmp.Or(cmp.Compare(b.remains, a.remains), cmp.Compare(a.id, b.id)) })
	for _, x := range most[:min(len(most), q.Most)] {
		ids = append(ids, x.id)
	}
	return ids, all, nil
}

// moved are those of orders or buyers of whom a part is not nothing.
func (t *JournalRows) moved(q earnings.Query, of []int64) (out []int64, err error) {
	for part := range slices.Chunk(of, table.Batch) {
		if q.Orders = part; q.By == earnings.LotBuyer {
			q.Orders, q.Buyers = nil, part
		}
		var a asking
		found, err := table.Values[int64](t.conn, `SELECT `+lotID[q.By]+` FROM earned_sums s`+joined[q.By]+` WHERE s.currency = `+a.arg(q.Currency)+a.asked(q)+` GROUP BY 1 HAVING `+
			partsAs(func(name string, _ earnings.Part) string { return `sum(s.` + name + `) <> 0` }, ` OR `), a.args...)
		if err != nil {
			return nil, err
		}
		out = append(out, found...)
	}
	return out, nil
}

// leftOf is what is left of each order or buyer that a query asks for, and whether something was sold. Of an order that does not count: one that was taken
// back whole is not named.
func (a *asking) leftOf(q earnings.Query) string {
	if q.By == earnings.LotBuyer && q.State == nil && len(q.Editions)+len(q.Outlets)+len(q.Orders)+len(q.Buyers) == 0 {
		return a.leftOfBuyers(q)
	}
	sold, none := soldPrint, ``
	if q.By == earnings.LotOrder {
		sold, none = `0`, ` AND s.order_id <> 0`
	}
	// Of narrow rows that were put down before SQLite sorts less than half as long; and told of days it reads the table as it lies, and not order by order.
	return `WITH n AS MATERIALIZED (SELECT ` + lotID[q.By] + ` AS id, s.remains, ` + sold + ` AS sold FROM earned_sums s` + joined[q.By] +
		` WHERE s.currency = ` + a.arg(q.Currency) + ` AND s.day >= ''` + a.asked(q) + none + `) SELECT id, CAST(sum(remains) AS BIGINT) AS remains, max(sold) AS sold FROM n GROUP BY id`
}

// soldPrint says whether a print was sold.
const soldPrint = `CASE WHEN s.line <> 0 THEN s.sold ELSE 0 END`

// leftOfBuyers puts it together from the sums that are kept of whole years, or of all time, and the days beside them.
func (a *asking) leftOfBuyers(q earnings.Query) string {
	in := a.arg(q.Currency)
	kept := `SELECT s.id, s.remains, CASE WHEN s.prints <> 0 THEN 1 ELSE 0 END AS sold FROM lot_sums s WHERE s.lot = 'buyer' AND s.currency = ` + in
	if q.From.IsZero() && q.To.IsZero() {
		return kept + ` AND s.period = ''`
	}
	years := wholeYears(q.From, q.To)
	query := kept + ` AND s.period >= ` + a.arg(years[0]) + ` AND s.period <= ` + a.arg(years[1])
	on := func(days string) {
		query += ` UNION ALL SELECT ` + lotID[earnings.LotBuyer] + `, s.remains, ` + soldPrint + ` FROM earned_sums s` + joinOrder + ` WHERE s.currency = ` + in + a.during(q.From, q.To) + days
	}
	if years[0] > years[1] { // none is whole
		on(``)
	} else {
		on(` AND s.day < ` + a.arg(years[0]))
		on(` AND s.day > ` + a.arg(years[1]+beyond))
	}
	return `SELECT id, CAST(sum(remains) AS BIGINT) AS remains, max(sold) AS sold FROM (` + query + `) u GROUP BY id`
}

// wholeYears are the first and the last year that lie whole between two days; the first is after the last when there is none.
func wholeYears(from, to calendar.Day) [2]string {
	out := [2]string{"0", beyond}
	for i, d := range []calendar.Day{from, to} {
		if d.IsZero() {
			continue
		}
		y, _, _ := d.Civil()
		if !strings.HasSuffix(d.String(), []string{"-01-01", "-12-31"}[i]) { // the year beside it
			y += 1 - 2*i
		}
		out[i] = fmt.Sprintf("%04d", y)
	}
	return out
}
