package journal

import (
	"cmp"
	"database/sql"
	"maps"
	"slices"

	"solander/earnings"
	"solander/ledger"
	"solander/order"
	"solander/store/engine"
	"solander/store/table"
)

// lotKey is what sums of lots are told apart by: an edition, an outlet or a state in a month, a buyer in a year or in all ("").
type lotKey struct {
	lot    earnings.Lot
	period string
	lotOf
}

// lotSum is what the parts of one of a lot come to in a period.
type lotSum struct {
	lotKey
	prints  int64 // order lines that were sold, each once
	remains int64 // all parts; minor units
	of      partSums
}

// LotSums are the sums that are kept of what was earned by lot, so that a page need not gather those of all orders.
var LotSums = table.Make("lot_sums", "sum of a lot", func(s *lotSum) table.Columns {
	out := table.Columns{"lot", &s.lot, "period", &s.period, "id", &s.id, "text", &s.text, "currency", &s.currency, "prints", &s.prints, "remains", &s.remains}
	for i, name := range partColumns {
		out = append(out, name, &s.of[i])
	}
	return out
})

// orderSum is what is kept of an order.
type orderSum struct {
	order int64
	stand
	remains int64 // of all that it earned; minor units
	again   bool  // one of its lines was sold in more than one row of EarnedSums
}

// stand is how an order stands in the book: by what its sums are told apart, and whether something
// else was paid than is due of it though it is not open any more.
type stand struct {
	buyer int64
	state string
	owed  bool
}

// OrderSums are kept of orders that earned or cost something, or of which something else was paid than is due though they are not open any more.
var OrderSums = table.Make("order_sums", "sum of an order", func(s *orderSum) table.Columns {
	return table.Columns{"order_id", &s.order, "buyer", &s.buyer, "state", &s.state, "remains", &s.remains, "again", &s.again, "owed", &s.owed}
})

// keepLots and keepOrder add to what is kept.
var (
	keepLots = ` ON CONFLICT (lot, period, id, text, currency) DO UPDATE SET prints = lot_sums.prints + excluded.prints, remains = lot_sums.remains + excluded.remains, ` +
		partsAs(func(name string, _ earnings.Part) string { return name + ` = lot_sums.` + name + ` + excluded.` + name }, `, `)
	keepOrder = ` ON CONFLICT (order_id) DO UPDATE SET buyer = excluded.buyer, state = excluded.state, remains = order_sums.remains + excluded.remains, ` +
		`again = CASE WHEN excluded.again = 1 THEN 1 ELSE order_sums.again END, owed = excluded.owed`
)

// stood notes how an order stands in the book.
func (t *JournalRows) stood(o order.Order) {
	t.stands[o.ID] = stand{o.Buyer, earnings.State(o.ShipTo.Country, o.ShipTo.Region), o.State != order.Open && o.Short().Sign() != 0}
}

// recalled are sums of orders as they were kept when the transaction began to enter, read with what it asks ahead.
type recalled struct {
	orders map[int64]orderSum
	sums   map[int64][]earnedSum
	of     map[int64]bool // the orders whose row was asked for
	all    bool           // and the sums
}

// recall reads what is kept of the orders that were touched; gone: prints went, so that prices are entered.
func (k *keeping) recall(gone bool) error {
	stood, added := k.conn.Touched(ledger.Order)
	all := append(slices.Clone(stood), added...)
	if !recalls(stood, all, gone) {
		return nil
	}
	r := recalled{map[int64]orderSum{}, map[int64][]earnedSum{}, map[int64]bool{}, gone}
	rows, err := OrderSums.In(k.conn, "order_id", all, "")
	if err != nil {
		return err
	}
	var summed []int64
	for _, s := range rows {
		r.orders[s.order] = s
		summed = append(summed, s.order)
	}
	for _, id := range all {
		r.of[id] = true
	}
	k.known = r
	if !gone {
		return nil
	}
	sums, err := EarnedSums.In(k.conn, "order_id", summed, "") // an order without a row of its own has none
	if err != nil {
		return err
	}
	for _, e := range sums {
		r.sums[e.order] = append(r.sums[e.order], e)
	}
	return nil
}

// kept are the rows of orders, and the sums of some of them, as they are kept.
func (k *keeping) kept(orders []int64, f func(orderSum)) error {
	missing := slices.DeleteFunc(slices.Clone(orders), func(id int64) bool { return k.known.of[id] })
	rows, err := OrderSums.In(k.conn, "order_id", missing, "")
	if err != nil {
		return err
	}
	for _, id := range orders {
		if s, there := k.known.orders[id]; there {
			rows = append(rows, s)
		}
	}
	for _, s := range rows {
		f(s)
	}
	return nil
}

func (k *keeping) sumsOf(orders []int64) ([]earnedSum, error) {
	missing := slices.DeleteFunc(slices.Clone(orders), func(id int64) bool { return k.known.all && k.known.of[id] })
	rows, err := EarnedSums.In(k.conn, "order_id", missing, "")
	if err != nil {
		return nil, err
	}
	for _, id := range orders {
		rows = append(rows, k.known.sums[id]...)
	}
	return rows, nil
}

// follows are the sums that are kept of orders and lots, on their way.
type follows struct {
	orders map[int64]*orderSum // what is added to each
	lots   map[lotKey]*lotSum
	sold   map[soldAs]bool // lines that were counted as prints of a lot in a period
}

// soldAs is an order line among the prints of a lot.
type soldAs struct {
	lotKey
	line int64
}

// follows finds out what the sums that are kept of orders and lots become, before anything of it is written.
func (k *keeping) follows(earned []earnedSum) (*follows, error) {
	ids, priced := []int64{}, []int64{}
	for id, s := range k.stands {
		if s.owed || !k.conn.IsAdded(ledger.Order, id) { // else nothing is kept of it but what is entered now
			ids = append(ids, id)
		}
	}
	for _, e := range earned {
		if e.order != 0 {
			ids = append(ids, e.order)
		}
		if e.order != 0 && e.sold {
			priced = append(priced, e.order)
		}
	}
	was, now, err := k.standing(distinct(ids))
	if err != nil {
		return nil, err
	}
	f := &follows{map[int64]*orderSum{}, map[lotKey]*lotSum{}, map[soldAs]bool{}}
	moved := map[int64]bool{}
	for id, s := range now {
		before, stood := was[id]
		if stood && before.stand != s || !stood && s.owed {
			f.orders[id] = &orderSum{order: id, stand: s}
		}
		if stood && (before.buyer != s.buyer || before.state != s.state) {
			moved[id], priced = true, append(priced, id)
		}
	}
	stood, err := k.sumsOf(distinct(priced))
	if err != nil {
		return nil, err
	}
	sold := map[int64]map[int64]int{} // by order and line, in how many rows
	count := func(e earnedSum) {
		if e.sold && e.line != 0 {
			if sold[e.order] == nil {
				sold[e.order] = map[int64]int{}
			}
			sold[e.order][e.line]++
		}
	}
	there := map[earnedOf]bool{}
	for _, e := range stood {
		if moved[e.order] {
			f.move(e, was[e.order].stand, now[e.order])
		}
		for _, key := range e.lots(now[e.order]) {
			if e.sold {
				f.sold[soldAs{key, e.line}] = true
			}
		}
		there[e.earnedOf] = e.sold
		count(e)
	}
	for _, e := range earned {
		for _, key := range e.lots(now[e.order]) {
			f.add(key, e, 1)
		}
		if !there[e.earnedOf] {
			count(e)
		}
		if e.order == 0 {
			continue
		}
		o := f.orders[e.order]
		if o == nil {
			o = &orderSum{order: e.order, stand: now[e.order]}
			f.orders[e.order] = o
		}
		o.remains += e.remains
	}
	for id, lines := range sold {
		for _, n := range lines {
			if o := f.orders[id]; o != nil && n > 1 {
				o.again = true
			}
		}
	}
	clear(k.stands)
	k.known = recalled{} // it is written anew
	return f, nil
}

// standing are orders as their sums are kept, and as they stand now.
func (k *keeping) standing(ids []int64) (was map[int64]orderSum, now map[int64]stand, err error) {
	was, now = map[int64]orderSum{}, map[int64]stand{}
	err = k.kept(ids, func(s orderSum) { was[s.order], now[s.order] = s, s.stand })
	if err != nil {
		return was, now, err
	}
	for _, id := range ids {
		if s, looked := k.stands[id]; looked {
			now[id] = s
		}
	}
	missing := slices.DeleteFunc(slices.Clone(ids), func(id int64) bool { _, known := now[id]; return known })
	return was, now, eachIn(k.conn, `SELECT o.id, o.buyer, `+state+` FROM orders o WHERE o.id IN `, missing, func(rows *sql.Rows) error {
		var id int64
		var s stand
		err := rows.Scan(&id, &s.buyer, &s.state)
		now[id] = s
		return err
	})
}

// lots are those to which a sum belongs, of an order that stands so.
func (e earnedSum) lots(s stand) []lotKey {
	of := func(id int64, text string) lotOf { return lotOf{id, text, e.currency} }
	month := monthOf(e.day)
	return []lotKey{
		{earnings.LotEdition, month, of(e.edition, "")},
		{earnings.LotOutlet, month, of(e.outlet, "")},
		{earnings.LotState, month, of(0, s.state)},
		{earnings.LotBuyer, yearOf(e.day), of(s.buyer, "")},
		{earnings.LotBuyer, "", of(s.buyer, "")},
	}
}

// yearOf and monthOf are the year and the month of a day: "2031-04-09" → "2031", "2031-04".
func yearOf(day string) string  { return day[:min(4, len(day))] }
func monthOf(day string) string { return day[:min(7, len(day))] }

// at is the sum of a key.
func (f *follows) at(key lotKey) *lotSum {
	s := f.lots[key]
	if s == nil {
		s = &lotSum{lotKey: key}
		f.lots[key] = s
	}
	return s
}

// add adds a sum to that of a key, or takes it off (-1); its line is one of the prints of the key once.
func (f *follows) add(key lotKey, e earnedSum, sign int64) {
	s := f.at(key)
	for i, n := range e.of {
		s.of[i] += sign * n
	}
	s.remains += sign * e.remains
	if as := (soldAs{key, e.line}); e.sold && e.line != 0 && !f.sold[as] {
		f.sold[as], s.prints = true, s.prints+sign
	}
}

// move takes a sum of an order from the lots to which it belonged, and adds it to those to which it belongs now.
func (f *follows) move(e earnedSum, was, now stand) {
	before, after := e.lots(was), e.lots(now)
	for i := range before {
		if before[i] != after[i] {
			f.add(before[i], e, -1)
			f.add(after[i], e, 1)
		}
	}
}

// write keeps them.
func (f *follows) write(c *table.Conn) error {
	orders := make([]orderSum, 0, len(f.orders))
	for _, id := range slices.Sorted(maps.Keys(f.orders)) {
		orders = append(orders, *f.orders[id])
	}
	if err := OrderSums.InsertSoon(c, orders, keepOrder); err != nil {
		return err
	}
	lots := make([]lotSum, 0, len(f.lots))
	for _, s := range f.lots {
		if s.prints != 0 || s.of != (partSums{}) {
			lots = append(lots, *s)
		}
	}
	slices.SortFunc(lots, func(a, b lotSum) int {
		return cmp.Or(cmp.Compare(a.lot, b.lot), cmp.Compare(a.period, b.period), cmp.Compare(a.id, b.id), cmp.Compare(a.text, b.text), cmp.Compare(a.currency, b.currency))
	})
	return LotSums.InsertSoon(c, lots, keepLots)
}

// recalls reports whether something of orders is recalled.
func recalls(stood, all []int64, gone bool) bool {
	return len(all) <= fewOrders && (len(stood) > 0 || gone && len(all) > 0)
}

// recallAsks asks ahead what recall asks.
func recallAsks(stood, orders []int64, gone bool) []engine.Ask {
	if !recalls(stood, orders, gone) {
		return nil
	}
	return OrderSums.AskIn("order_id", orders, "")
}
