package journal

import (
	"cmp"
	"database/sql"
	"slices"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/earnings"
	"solander/layers"
	"solander/ledger"
	"solander/store/table"
	"solander/supply"
)

// lots are how a lot is told from what was earned and its order.
var lots = map[earnings.Lot]string{
	earnings.LotEdition: `s.edition, ''`,
	earnings.LotOutlet:  `s.outlet, ''`,
	earnings.LotOrder:   lotID[earnings.LotOrder] + `, ''`,
	earnings.LotBuyer:   lotID[earnings.LotBuyer] + `, ''`,
	earnings.LotState:   `0, coalesce(k.state, '')`,
}

// lotID is the first of these, of orders and buyers.
var lotID = map[earnings.Lot]string{earnings.LotOrder: `s.order_id`, earnings.LotBuyer: `coalesce(k.buyer, 0)`}

// joined is what has to be looked up beside it for that.
var joined = map[earnings.Lot]string{earnings.LotBuyer: joinOrder, earnings.LotState: joinOrder}

const joinOrder = ` LEFT JOIN order_sums k ON k.order_id = s.order_id`

// soldLines counts the order lines that were sold.
const soldLines = `count(DISTINCT CASE WHEN s.sold = 1 AND s.line <> 0 THEN s.line END)`

// state is how an order's is told in SQL, as earnings.State tells it.
const state = `CASE WHEN o.ship_country = '' OR o.ship_region = '' THEN o.ship_country ELSE o.ship_country || ' ' || o.ship_region END`

// asking is a query on its way, with its arguments.
type asking struct{ args []any }

// arg adds an argument, and returns its place.
func (a *asking) arg(v any) string {
	a.args = append(a.args, v)
	return "$" + strconv.Itoa(len(a.args))
}

// among restricts a column to ids.
func (a *asking) among(column string, ids []int64) string {
	if len(ids) == 0 {
		return ""
	}
	places := make([]string, len(ids))
	for i, id := range ids {
		places[i] = a.arg(id)
	}
	return ` AND ` + column + ` IN (` + strings.Join(places, ", ") + `)`
}

// SumsOfLots returns what was earned in some days and what it cost, by the one or the other of a lot.
func (t *JournalRows) SumsOfLots(q earnings.Query) ([]earnings.LotSum, error) {
	if kept, ok, err := t.lotsKept(q); ok || err != nil {
		return kept, err
	}
	if len(q.Buyers) > 0 {
		if err := t.ordersOf(&q); err != nil {
			return nil, err
		}
	}
	var a asking
	return t.lots(lots[q.By], ` FROM earned_sums s`+joined[q.By]+` WHERE 1 = 1`+a.asked(q), a.args)
}

// mostNamed bounds how many orders are named in a query.
const mostNamed = 4000

// ordersOf asks for buyers by their orders, which a server finds one by one; of more than mostNamed by the buyers.
func (t *JournalRows) ordersOf(q *earnings.Query) error {
	in, args := table.InList(q.Buyers)
	ids, err := table.Values[int64](t.conn, `SELECT id FROM orders WHERE buyer IN `+in+` LIMIT `+strconv.Itoa(mostNamed+1), args...)
	if err != nil || len(ids) > mostNamed || len(q.Orders) > 0 {
		return err
	}
	if slices.Contains(q.Buyers, 0) || len(ids) == 0 { // what belongs to no order is of no buyer
		return nil
	}
	q.Orders, q.Buyers = ids, nil
	return nil
}

// during restricts what was earned to some days. No day: from the first, to the last.
func (a *asking) during(from, to calendar.Day) (where string) {
	if !from.IsZero() {
		where = ` AND s.day >= ` + a.arg(from.String())
	}
	if !to.IsZero() {
		where += ` AND s.day <= ` + a.arg(to.String())
	}
	return where
}

// asked restricts what was earned to what a query asks for.
func (a *asking) asked(q earnings.Query) string {
	where := a.during(q.From, q.To) + a.among(`s.edition`, q.Editions)
	if len(q.Editions) > 0 && !slices.Contains(q.Editions, 0) {
		where += ` AND s.edition <> 0` // as its index knows it
	}
	where += a.among(`s.outlet`, q.Outlets) + a.among(`s.order_id`, q.Orders)
	if len(q.Orders) > 0 && !slices.Contains(q.Orders, 0) {
		where += ` AND s.order_id <> 0` // as its index knows it
	}
	of := func(condition string, none bool) {
		where += ` AND (s.order_id IN (SELECT order_id FROM order_sums WHERE ` + condition + `)`
		if none {
			where += ` OR s.order_id = 0`
		}
		where += `)`
	}
	if len(q.Buyers) > 0 {
		of(`order_id IN (SELECT id FROM orders WHERE 1 = 1`+a.among(`buyer`, q.Buyers)+`)`, slices.Contains(q.Buyers, 0))
	}
	if q.State != nil {
		of(`state = `+a.arg(*q.State), *q.State == "")
	}
	return where
}

// lots reads sums by lots: of each part that moved.
func (t *JournalRows) lots(lot, rest string, args []any) ([]earnings.LotSum, error) {
	var out []earnings.LotSum
	query := `SELECT ` + lot + `, s.currency, ` + soldLines + `, ` + sumOfParts + rest + ` GROUP BY 1, 2, 3 ORDER BY 1, 2, 3`
	all := earnings.Parts()
	minor := make([]int64, len(all))
	var one earnings.LotSum
	var prints int
	places := []any{&one.ID, &one.Text, &one.Amount.Currency, &prints}
	for i := range minor {
		places = append(places, &minor[i])
	}
	err := t.conn.Each(query, args, func(rows *sql.Rows) error {
		err := rows.Scan(places...)
		for i, p := range all {
			s := one
			if s.Part, s.Amount.Minor = p, minor[i]; p == earnings.Price {
				s.Prints = prints
			}
			if s.Amount.Minor != 0 || s.Prints != 0 {
				out = append(out, s)
			}
		}
		return err
	})
	return out, err
}

// EarnedOfNoOrder returns the latest entries with lines of income or costs that belong to no order.
func (t *JournalRows) EarnedOfNoOrder(q earnings.Query, most int) ([]ledger.Entry, error) {
	if !q.HasNone(anyOf(q.Editions), anyOf(q.Outlets)) {
		return nil, nil
	}
	var a asking
	where, join := a.among(`l.edition`, q.Editions)+a.among(`l.outlet`, q.Outlets), ``
	if !q.From.IsZero() {
		where += ` AND e.day >= ` + a.arg(q.From.String())
	}
	if !q.To.IsZero() {
		where += ` AND e.day <= ` + a.arg(q.To.String())
	}
	if q.From != q.To || !q.From.IsZero() {
		join = ` JOIN entries e ON e.id = l.entry`
	}
	// The accounts that are left out are named as the index leaves them out: what was earned is not in them.
	ids, err := table.Values[int64](t.conn, `SELECT DISTINCT l.entry FROM entry_lines l`+join+` WHERE l.order_id = 0 AND l.account NOT IN ('sheets', 'supplies', 'postal') AND l.account IN `+accountsOf("")+where+
		` ORDER BY l.entry DESC LIMIT `+a.arg(most), a.args...)
	if err != nil || len(ids) == 0 {
		return nil, err
	}
	slices.Sort(ids)
	out, err := Entries.In(t.conn, "id", ids, "ORDER BY id")
	if err != nil {
		return nil, err
	}
	return out, t.fill(out)
}

// anyOf is the first of some ids; 0 of none.
func anyOf(ids []int64) int64 {
	if len(ids) == 0 {
		return 0
	}
	return ids[0]
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

// SumsOfOrdersSold returns what was earned and what it cost, of orders of which something was sold in some days, and which cost more than they
// brought in, the greatest loss first.
func (t *JournalRows) SumsOfOrdersSold(from, to calendar.Day, most int) ([]earnings.LotSum, error) {
	var a asking
	// Counted, not looked whether there is one: of the few orders below cost each is then looked up, and no server gathers the sales of all orders first.
	sold := `(SELECT count(*) FROM earned_sums s WHERE s.order_id = k.order_id AND s.sold = 1` + a.during(from, to) + `) > 0`
	ids, err := table.Values[int64](t.conn, `SELECT k.order_id FROM order_sums k WHERE k.remains < 0 AND `+sold+` ORDER BY k.remains, k.order_id LIMIT `+a.arg(most), a.args...)
	if err != nil || len(ids) == 0 {
		return nil, err
	}
	slices.Sort(ids)
	in, args := table.InList(ids)
	return t.lots(lots[earnings.LotOrder], ` FROM earned_sums s WHERE s.order_id IN `+in, args)
}

// earnedSum is what the parts of something that was earned come to on a day, by what its lines of the journal refer to.
type earnedSum struct {
	earnedOf
	sold    bool  // a price is among them
	remains int64 // of all parts; minor units
	of      partSums
	tax     taxSums
}

// taxSums are what is owed of tax: by the studio, and by an outlet that collects it. It is no part of what was earned.
type taxSums [2]int64

// partSums are amounts of the parts, in their order; minor units. Rows are read into the same place, so that it is no slice.
type partSums [17]int64

// earnedOf is what such sums are told apart by.
type earnedOf struct {
	day, currency                string
	order, line, edition, outlet int64
}

// EarnedSums are the sums that are kept of what was earned, so that it need not be gathered from all lines of the journal when it is asked for.
var EarnedSums = table.Make("earned_sums", "sum of what was earned", func(s *earnedSum) table.Columns {
	out := table.Columns{"day", &s.day, "order_id", &s.order, "line", &s.line, "edition", &s.edition, "outlet", &s.outlet, "currency", &s.currency, "sold", &s.sold, "remains", &s.remains}
	for i, name := range partColumns {
		out = append(out, name, &s.of[i])
	}
	return append(out, taxColumns[0], &s.tax[0], taxColumns[1], &s.tax[1])
})

// taxAccounts are the accounts of tax and taxColumns what is kept of them, in the order of taxSums.
var (
	taxAccounts = [...]string{ledger.Tax, ledger.OutletTax}
	taxColumns  = [...]string{"tax", "outlet_tax"}
)

// partColumns are the columns of the parts, in their order.
var partColumns = func() []string {
	var out []string
	for _, p := range earnings.Parts() {
		out = append(out, strings.ReplaceAll(string(p), "-", "_"))
	}
	return out
}()

// Pieces of SQL about the parts: their columns, each added up, all of them together, and how they are read out of a line of the journal.
var (
	columnsOfParts = strings.Join(partColumns, ", ")
	sumOfParts     = partsAs(func(name string, _ earnings.Part) string { return `CAST(sum(s.` + name + `) AS BIGINT)` }, `, `)
	allParts       = partsAs(func(name string, _ earnings.Part) string { return `s.` + name }, ` + `)
	isPrice        = `CASE WHEN l.account IN ` + accountsOf(earnings.Price) + ` THEN 1 ELSE 0 END`
	// keepEarned adds to what is kept.
	keepEarned = ` ON CONFLICT (day, order_id, line, edition, outlet, currency) DO UPDATE SET sold = CASE WHEN excluded.sold = 1 THEN 1 ELSE earned_sums.sold END, remains = earned_sums.remains + excluded.remains, ` +
		partsAs(func(name string, _ earnings.Part) string {
			return name + ` = earned_sums.` + name + ` + excluded.` + name
		}, `, `) + `, tax = earned_sums.tax + excluded.tax, outlet_tax = earned_sums.outlet_tax + excluded.outlet_tax`
)

func partsAs(as func(column string, p earnings.Part) string, between string) string {
	var out []string
	for i, p := range earnings.Parts() {
		out = append(out, as(partColumns[i], p))
	}
	return strings.Join(out, between)
}

// accountsOf are the accounts of a part, or of all of them together (""), as a list of SQL.
func accountsOf(p earnings.Part) string {
	var keys []string
	for _, a := range ledger.Chart(nil) {
		if of, ok := earnings.PartOf(a.Key); ok && (p == "" || of == p) {
			keys = append(keys, `'`+a.Key+`'`)
		}
	}
	return `(` + strings.Join(keys, ", ") + `)`
}

// earnedAgain gathers what is kept from the lines of the journal, the other way round, so that both come to nothing.
var earnedAgain = `SELECT e.day, l.order_id, l.line, l.edition, l.outlet, l.currency, -max(` + isPrice + `) AS sold, sum(CASE WHEN l.account IN ` + accountsOf("") + ` THEN l.amount ELSE 0 END) AS remains, ` +
	partsAs(func(name string, p earnings.Part) string {
		return `sum(CASE WHEN l.account IN ` + accountsOf(p) + ` THEN l.amount ELSE 0 END) AS ` + name
	}, `, `) + `, sum(CASE l.account WHEN '` + ledger.Tax + `' THEN l.amount ELSE 0 END) AS tax, sum(CASE l.account WHEN '` + ledger.OutletTax + `' THEN l.amount ELSE 0 END) AS outlet_tax
	FROM entries e JOIN entry_lines l ON l.entry = e.id WHERE l.account IN ` + accountsOf("") + ` OR l.account IN ('` + ledger.Tax + `', '` + ledger.OutletTax + `') GROUP BY 1, 2, 3, 4, 5, 6`

// wholeMonths are the first and the last month that lie whole between two days, and the days beside them. The first is after the last when there is none.
func wholeMonths(from, to calendar.Day) (months [2]string, edges [][2]calendar.Day) {
	begin, end := from, to
	if !from.IsZero() {
		if y, m, d := from.Civil(); d != 1 {
			begin = calendar.Date(y, m+1, 1)
		}
		months[0] = ledger.Month(begin)
	}
	if !to.IsZero() {
		if y, m, d := to.Add(1).Civil(); d != 1 {
			end = calendar.Date(y, m, 1).Add(-1)
		}
		months[1] = ledger.Month(end)
	}
	if begin != from && end != to && ledger.Month(from) == ledger.Month(to) {
		return months, [][2]calendar.Day{{from, to}}
	}
	if begin != from {
		edges = append(edges, [2]calendar.Day{from, begin.Add(-1)})
	}
	if end != to {
		edges = append(edges, [2]calendar.Day{end.Add(1), to})
	}
	return months, edges
}

// earnedOfEntries are the sums of entries, in the order of what they are of.
func earnedOfEntries(entries []ledger.Entry) []earnedSum {
	at := map[earnedOf]int{}
	var out []earnedSum
	all := earnings.Parts()
	for _, e := range entries {
		day := e.Day.String()
		for _, l := range e.Lines {
			f, ok := earnings.Of(l.Account, l.Amount)
			tax := slices.Index(taxAccounts[:], l.Account)
			if !ok && tax < 0 {
				continue
			}
			of := earnedOf{day, l.Amount.Currency, l.Order, l.Line, l.Edition, l.Outlet}
			i, known := at[of]
			if !known {
				i = len(out)
				at[of], out = i, append(out, earnedSum{earnedOf: of})
			}
			if !ok {
				out[i].tax[tax] -= l.Amount.Minor
				continue
			}
			out[i].sold = out[i].sold || f.Part == earnings.Price
			out[i].remains += f.Amount.Minor
			out[i].of[slices.Index(all, f.Part)] += f.Amount.Minor
		}
	}
	slices.SortFunc(out, func(a, b earnedSum) int {
		return cmp.Or(cmp.Compare(a.day, b.day), cmp.Compare(a.order, b.order), cmp.Compare(a.line, b.line), cmp.Compare(a.edition, b.edition),
			cmp.Compare(a.outlet, b.outlet), cmp.Compare(a.currency, b.currency))
	})
	return out
}
