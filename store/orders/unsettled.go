package orders

import "solander/store/table"

// Unsettled returns the orders that are not open any more and of which something else was paid than is due; see owing.Store. The journal keeps which those are.
func (t *OrderRows) Unsettled() ([]int64, error) {
	return table.Values[int64](t.conn, `SELECT order_id FROM order_sums WHERE owed = 1 ORDER BY order_id`)
}

// UnsettledRows are those orders (id) as their rows say: it adds up what order.Order.Short does.
const UnsettledRows = `SELECT id FROM (
	SELECT id, CASE state WHEN 'closed' THEN 2 ELSE 1 END AS ended, 0 AS goods, postage + CASE tax_by_outlet WHEN 1 THEN 0 ELSE tax END AS more, 0 AS paid
		FROM orders WHERE state <> 'open'
	UNION ALL SELECT order_id, 0, price, 0, 0 FROM lines WHERE dropped = 0
	UNION ALL SELECT order_id, 0, 0, 0, CASE kind WHEN 'refund' THEN -amount ELSE amount END FROM payments WHERE reversed = 0) x
	GROUP BY id HAVING max(ended) > 0 AND sum(paid) <> CASE max(ended) WHEN 2 THEN sum(goods) + sum(more) ELSE 0 END`
