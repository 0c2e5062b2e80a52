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
	return table.Values[int64](t.conn, `SELECT o.id FROM orders o
		LEFT JOIN (SELECT order_id, SUM(price) AS goods FROM lines WHERE dropped = 0 GROUP BY order_id) l ON l.order_id = o.id
		LEFT JOIN (SELECT order_id, SUM(CASE kind WHEN 'refund' THEN -amount ELSE amount END) AS paid FROM payments WHERE reversed = 0 GROUP BY order_id) p
			ON p.order_id = o.id
		WHERE o.state <> 'open' AND COALESCE(p.paid, 0) <> CASE o.state
			WHEN 'closed' THEN COALESCE(l.goods, 0) + o.postage + CASE o.tax_by_outlet WHEN 1 THEN 0 ELSE o.tax END ELSE 0 END
		ORDER BY o.id`)
}
