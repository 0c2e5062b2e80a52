package journal

import (
	"fmt"
	"slices"

	"solander/earnings"
	"solander/ledger"
	"solander/store/orders"
	"solander/store/table"
)

// Sums are questions whose answer is empty while the journal is right by itself; see store.
var Sums = [][2]string{
	{"the journal entry does not balance", `
		SELECT 'entry ' || entry FROM entry_lines GROUP BY entry, currency HAVING sum(amount) <> 0`},
	{"a line of the journal has no entry, or an entry too few lines", `
		SELECT 'entry ' || entry FROM entry_lines l WHERE NOT EXISTS (SELECT 1 FROM entries e WHERE e.id = l.entry)
		UNION ALL SELECT 'entry ' || e.id FROM entries e WHERE (SELECT count(*) FROM entry_lines l WHERE l.entry = e.id) < 2`},
	{"the sum of the month is not that of its entries", `
		SELECT 'account ' || account || ', ' || month FROM (
			SELECT substr(e.day, 1, 7) AS month, l.account AS account, l.currency AS currency, l.outlet AS outlet, l.edition AS edition, l.amount AS moved, 0 AS kept
				FROM entries e JOIN entry_lines l ON l.entry = e.id
			UNION ALL SELECT month, account, currency, outlet, edition, 0, amount FROM entry_sums) a
		GROUP BY month, account, currency, outlet, edition HAVING sum(moved) <> sum(kept)`},
	{"what is kept as earned on the day is not what its entries say", `
		SELECT 'order ' || order_id || ', ' || day FROM (
			SELECT 1 AS kept, day, order_id, line, edition, outlet, currency, sold, remains, ` + columnsOfParts + `, tax, outlet_tax FROM earned_sums
			UNION ALL SELECT -1, m.* FROM (` + earnedAgain + `) m) s
		GROUP BY day, order_id, line, edition, outlet, currency HAVING sum(kept) <> 0 OR sum(sold) <> 0 OR sum(remains) <> 0 OR sum(tax) <> 0 OR sum(outlet_tax) <> 0` + partsAs(func(name string, _ earnings.Part) string { return ` OR sum(` + name + `) <> 0` }, "")},
	{"what is kept of the order is not what its rows say", `
		SELECT 'order ' || id FROM (
			SELECT order_id AS id, 1 AS there, remains, again, owed FROM order_sums
			UNION ALL SELECT s.order_id, -1, -sum(` + allParts + `), 0, 0 FROM earned_sums s WHERE s.order_id <> 0 GROUP BY s.order_id
			UNION ALL SELECT order_id, 0, 0, -1, 0 FROM (
				SELECT DISTINCT order_id FROM (SELECT order_id FROM earned_sums WHERE sold = 1 AND order_id <> 0 AND line <> 0 GROUP BY order_id, line HAVING count(*) > 1) t) a
			UNION ALL SELECT id, 0, 0, 0, -1 FROM (` + orders.UnsettledRows + `) u) a
		GROUP BY id HAVING sum(there) < 0 OR sum(remains) <> 0 OR sum(again) <> 0 OR sum(owed) <> 0
		UNION SELECT 'order ' || k.order_id FROM order_sums k LEFT JOIN orders o ON o.id = k.order_id WHERE o.id IS NULL OR o.buyer <> k.buyer OR k.state <> ` + state},
	{"what is kept of the lot is not what its entries say", `
		SELECT lot || ' ' || CASE lot WHEN 'state' THEN text ELSE CAST(id AS TEXT) END || CASE period WHEN '' THEN '' ELSE ', ' || period END FROM (
			SELECT lot, period, id, text, currency, prints, remains, ` + columnsOfParts + ` FROM lot_sums` +
		lotAgain(earnings.LotEdition, `substr(s.day, 1, 7)`) + lotAgain(earnings.LotOutlet, `substr(s.day, 1, 7)`) + lotAgain(earnings.LotState, `substr(s.day, 1, 7)`) +
		lotAgain(earnings.LotBuyer, `substr(s.day, 1, 4)`) + lotAgain(earnings.LotBuyer, `''`) + `) a
		GROUP BY lot, period, id, text, currency HAVING sum(prints) <> 0 OR sum(remains) <> 0` + partsAs(func(name string, _ earnings.Part) string { return ` OR sum(` + name + `) <> 0` }, "")},
	{"the layers do not hold as many pieces as the stock", `
		SELECT kind || ' ' || item FROM (
			SELECT kind, item, remaining AS held, 0 AS qty FROM layers UNION ALL SELECT kind, item, 0, qty FROM stocks) a
		GROUP BY kind, item HAVING sum(held) <> sum(qty)`},
	{"what is left of the layer is not what its uses left", `
		SELECT 'layer ' || l.id FROM layers l LEFT JOIN (SELECT layer, sum(pieces) AS pieces, sum(cost) AS cost FROM layer_uses GROUP BY layer) u ON u.layer = l.id
		WHERE l.remaining <> l.pieces - coalesce(u.pieces, 0) OR l.remaining_cost <> l.cost - coalesce(u.cost, 0)`},
	{"the sheets on hand do not cost what the journal says", `
		SELECT 'edition ' || edition FROM (
			SELECT edition, currency, amount AS entered, 0 AS left_over FROM entry_sums WHERE account = '` + ledger.Sheets + `'
			UNION ALL SELECT item, cost_currency, 0, remaining_cost FROM layers WHERE kind = 'sheets') a
		GROUP BY edition, currency HAVING sum(entered) <> sum(left_over)`},
	{"the packaging on hand does not cost what the journal says", `
		SELECT 'currency ' || currency FROM (
			SELECT currency, amount AS entered, 0 AS left_over FROM entry_sums WHERE account = '` + ledger.Supplies + `'
			UNION ALL SELECT cost_currency, 0, remaining_cost FROM layers WHERE kind = 'packaging') a
		GROUP BY currency HAVING sum(entered) <> sum(left_over)`},
}

// lotAgain gathers a lot in its periods from what was earned and the orders as they stand, so that what is kept of it and this come to nothing.
func lotAgain(lot earnings.Lot, period string) string {
	of := map[earnings.Lot]string{earnings.LotBuyer: `coalesce(o.buyer, 0), ''`, earnings.LotState: `0, coalesce(` + state + `, '')`}[lot]
	if of == "" {
		of = lots[lot]
	}
	return ` UNION ALL SELECT '` + string(lot) + `', ` + period + `, ` + of + `, s.currency, -` + soldLines + `, -sum(` + allParts + `), ` +
		partsAs(func(name string, _ earnings.Part) string { return `-sum(s.` + name + `)` }, `, `) + ` FROM earned_sums s LEFT JOIN orders o ON o.id = s.order_id GROUP BY 2, 3, 4, 5`
}

// mostDisagree bounds the list of what disagrees.
const mostDisagree = 50

// Disagree says of which subjects the journal does not say what the book does.
func (t *JournalRows) Disagree() ([]string, error) {
	var out []string
	for _, s := range t.sources {
		ids, err := table.Values[int64](t.conn, s.All)
		if err != nil {
			return nil, err
		}
		entered, err := table.Values[int64](t.conn, `SELECT DISTINCT subject_id FROM entries WHERE subject = $1`, s.Kind)
		if err != nil {
			return nil, err
		}
		k := &keeping{JournalRows: t, only: true}
		for part := range slices.Chunk(distinct(append(ids, entered...)), table.Batch) {
			if err := k.subjects(s, part, true); err != nil {
				return nil, err
			}
			for _, e := range k.entries {
				if len(out) < mostDisagree {
					out = append(out, fmt.Sprintf("%s %d: the journal does not say of it what the book does (%s)", e.Subject.Kind, e.Subject.ID, e.Part))
				}
			}
			k.entries = nil
			clear(t.stands)
		}
	}
	return out, nil
}
