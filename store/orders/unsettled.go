package orders

import (
	"slices"

	"solander/store/table"
)

// Unsettled returns the orders that are not open any more and of which something is owed; see owing.Store. It adds up what order.Order.Owed
// does.
func (t *OrderRows) Unsettled() ([]int64, error) {
	return t.owed.Or(t.conn, struct{}{}, slices.Clone, t.unsettled)
}

// KeptOwed are those orders between transactions: they are looked for among all that ever were.
type KeptOwed = table.Kept[struct{}, int64]

func (t *OrderRows) unsettled() ([]int64, error) {
	return table.Values[int64](t.conn, `SELECT id FROM (
			SELECT id, CASE state WHEN 'closed' THEN 2 ELSE 1 END AS ended, 0 AS goods, postage + CASE tax_by_outlet WHEN 1 THEN 0 ELSE tax END AS more, 0 AS paid
				FROM orders WHERE state <> 'open'
			UNION ALL SELECT order_id, 0, price, 0, 0 FROM lines WHERE dropped = 0
			UNION ALL SELECT order_id, 0, 0, 0, CASE kind WHEN 'refund' THEN -amount ELSE amount END FROM payments WHERE reversed = 0) x
		GROUP BY id HAVING max(ended) > 0 AND sum(paid) <> CASE max(ended) WHEN 2 THEN sum(goods) + sum(more) ELSE 0 END ORDER BY id`)
}
