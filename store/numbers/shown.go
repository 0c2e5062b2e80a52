package numbers

import (
	"database/sql"
	"slices"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/edition"
	"solander/store/table"
	"solander/studio"
)

// shown reads numbers with the order that holds them, or with which they were sent last.
const shown = `SELECT i.kind, i.number, i.state, i.line, i.signed, i.struck, i.turn, i.day,
		coalesce(h.mark, i.sent_mark), coalesce(h.id, s.id), coalesce(b.name, '')
	FROM impressions i
	LEFT JOIN lines l ON l.id = i.line
	LEFT JOIN orders h ON h.id = l.order_id
	LEFT JOIN orders s ON i.line IS NULL AND i.sent_mark <> '' AND s.mark = i.sent_mark
	LEFT JOIN buyers b ON b.id = coalesce(h.buyer, s.buyer)
	WHERE `

// Numbers returns all numbers of an edition. Faults: Missing.
func (t *RegisterRows) Numbers(ed int64) ([]studio.NumberRow, error) {
	if err := t.conn.Exists("editions", "edition", ed); err != nil {
		return nil, err
	}
	return table.List(t.conn, t.scanNumber, shown+`i.edition = $1
		ORDER BY CASE i.kind WHEN 'N' THEN 0 WHEN 'AP' THEN 1 WHEN 'PP' THEN 2 WHEN 'HC' THEN 3 ELSE 4 END, i.number`, ed)
}

func (t *RegisterRows) scanNumber(rows *sql.Rows) (r studio.NumberRow, err error) {
	err = rows.Scan(&r.Number.Kind, &r.Number.N, &r.Standing.State, table.Ref(&r.Standing.Line), &r.Standing.Signed, &r.Standing.Struck,
		&r.Standing.Turn, table.Day(&r.Day), &r.OrderMark, table.Ref(&r.Order), &r.Buyer)
	if err == nil {
		r.Buyer, err = t.conn.OpenCell("buyers", "name", "", r.Buyer)
	}
	return r, err
}

// lotIs is the condition of each lot: edition.Standing.Lot, of an impression i.
var lotIs = map[edition.Lot]string{
	edition.Sold:      "(i.line IS NOT NULL OR i.state = 'sold-there')",
	edition.Unsold:    "i.available = 1",
	edition.OutOfSale: "i.line IS NULL AND i.available = 0 AND i.state <> 'sold-there'",
}

// asked is the condition of a query, of an impression i, and its arguments.
func asked(q studio.NumberQuery) (string, []any) {
	where, args := "i.edition = $1 AND i.kind = $2", []any{q.Edition, q.Kind}
	and := func(condition string, arg any) {
		args = append(args, arg)
		where += " AND " + condition + strconv.Itoa(len(args))
	}
	if q.State != "" {
		and("i.state = $", q.State)
	}
	if q.Lot != "" {
		where += " AND " + lotIs[q.Lot]
	}
	if q.Loose {
		where += " AND i.line IS NULL AND i.state IN ('signed', 'returned')" // edition.Standing.Loose
	}
	if q.State == "" && q.Lot == "" && !q.Loose {
		where += " AND i.state <> 'free'"
	}
	and("i.number >= $", q.From)
	if q.To > 0 {
		and("i.number <= $", q.To)
	}
	return where, args
}

func (t *RegisterRows) NumbersIn(q studio.NumberQuery) ([]studio.NumberRow, error) {
	where, args := asked(q)
	return table.List(t.conn, t.scanNumber, shown+where+" ORDER BY i.number", args...)
}

// NumberStarts steps from start to start: to count the places of all numbers takes an engine five times as long.
func (t *RegisterRows) NumberStarts(q studio.NumberQuery, every int) ([]int, error) {
	var out []int
	for skip := 0; ; skip = max(1, every) {
		where, args := asked(q)
		args = append(args, skip)
		found, err := t.conn.One(`SELECT i.number FROM impressions i WHERE `+where+` ORDER BY i.number LIMIT 1 OFFSET $`+strconv.Itoa(len(args)), args, &q.From)
		if err != nil || !found {
			return out, err
		}
		out = append(out, q.From)
	}
}

func (t *RegisterRows) NumberLots(ed int64) (map[edition.Kind]map[edition.Lot]int, error) {
	out := map[edition.Kind]map[edition.Lot]int{}
	err := t.conn.Each(`SELECT i.kind, sum(CASE WHEN `+lotIs[edition.Sold]+` THEN 1 ELSE 0 END), sum(CASE WHEN `+lotIs[edition.Unsold]+` THEN 1 ELSE 0 END), count(*)
		FROM impressions i WHERE i.edition = $1 GROUP BY i.kind`, []any{ed}, func(rows *sql.Rows) error {
		var k edition.Kind
		var sold, unsold, all int
		err := rows.Scan(&k, &sold, &unsold, &all)
		out[k] = map[edition.Lot]int{edition.Sold: sold, edition.Unsold: unsold, edition.OutOfSale: all - sold - unsold}
		return err
	})
	return out, err
}

// KeptSales are the sales by day between transactions, by their edition: of a large edition they are most of what its page reads.
type KeptSales = table.Kept[int64, studio.SoldDay]

func (t *RegisterRows) SoldDays(ed int64) ([]studio.SoldDay, error) {
	return t.sales.Or(t.conn, ed, slices.Clone, func() ([]studio.SoldDay, error) { return t.soldDays(ed) })
}

func (t *RegisterRows) soldDays(ed int64) ([]studio.SoldDay, error) {
	return table.List(t.conn, func(rows *sql.Rows) (d studio.SoldDay, err error) {
		err = rows.Scan(table.Day(&d.Day), &d.Price.Minor, &d.Price.Currency, &d.Count)
		return d, err
	}, `SELECT o.placed, l.price, l.price_currency, count(*) FROM lines l JOIN orders o ON `+isSale+` WHERE l.edition = $1
		GROUP BY o.placed, l.price, l.price_currency ORDER BY o.placed, l.price_currency, l.price`, ed)
}

// isSale is what makes a line, with its order, a sale.
const isSale = `o.id = l.order_id AND l.kind IN ('', 'N') AND l.dropped = 0 AND o.state IN ('open', 'closed')`

// SoldByDay reads all sales as one text, "31 2026-04-14,…": they are counted here sooner than SQLite sorts them, and so many rows would take longer still. The
// orders are looked up line by line there, which CROSS says.
func (t *RegisterRows) SoldByDay() (map[int64]map[calendar.Day]int, error) {
	out := map[int64]map[calendar.Day]int{}
	return out, t.conn.Each(`SELECT coalesce(string_agg(l.edition || ' ' || o.placed, ','), '') FROM lines l CROSS JOIN orders o WHERE `+isSale, nil, func(rows *sql.Rows) error {
		var all string
		if err := rows.Scan(&all); err != nil || all == "" {
			return err
		}
		counts := map[string]int{}
		for sale := range strings.SplitSeq(all, ",") {
			counts[sale]++
		}
		for sale, n := range counts {
			of, placed, _ := strings.Cut(sale, " ")
			ed, err := strconv.ParseInt(of, 10, 64)
			if err != nil {
				return err
			}
			day, err := calendar.ParseDay(placed)
			if err != nil {
				return err
			}
			if out[ed] == nil {
				out[ed] = map[calendar.Day]int{}
			}
			out[ed][day] = n
		}
		return nil
	})
}
