// Package journal keeps the journal: entries with their lines, the sums of each month, closed periods, the names of accounts, and the layers
// by which stocks cost what they do. Before a transaction ends it enters what the book now comes to and did not before; which events
// that are is the rule of posted.
//
// An entry is never changed or deleted, and one that does not balance, or lies in a closed period, is refused by the database itself.
package journal

import (
	"cmp"
	"database/sql"
	"slices"
	"strconv"

	"solander/calendar"
	"solander/ledger"
	"solander/store/engine"
	"solander/store/house"
	"solander/store/orders"
	"solander/store/stocks"
	"solander/store/table"
	"solander/supply"
)

// Entries are the journal entries, without their lines.
var Entries = table.Make("entries", "journal entry", func(e *ledger.Entry) table.Columns {
	return table.Columns{
		"id", &e.ID, "day", &e.Day, "true_day", &e.True, "subject", &e.Subject.Kind, "subject_id", &e.Subject.ID,
		"part", &e.Part, "text", &e.Text, "at", &e.At, "who", &e.Who,
	}
})

// entryLine is a line with its place.
type entryLine struct {
	entry int64
	place int64
	ledger.Line
}

// Lines are the lines of entries.
var Lines = table.Make("entry_lines", "line of the journal", func(l *entryLine) table.Columns {
	return table.Columns{
		"entry", &l.entry, "place", &l.place, "account", &l.Account, "amount", &l.Amount.Minor, "currency", &l.Amount.Currency,
		"order_id", &l.Order, "line", &l.Line.Line, "edition", &l.Edition, "outlet", &l.Outlet, "run", &l.Run,
	}
})

// Totals are the sums of the lines by month.
var Totals = table.Make("entry_sums", "sum of the journal", func(s *ledger.Sum) table.Columns {
	return table.Columns{
		"month", &s.Month, "account", &s.Account, "currency", &s.Amount.Currency, "outlet", &s.Outlet, "edition", &s.Edition,
		"amount", &s.Amount.Minor,
	}
})

// Closings are the periods that were closed.
var Closings = table.Make("closed_periods", "closed period", func(c *ledger.Closing) table.Columns {
	return table.Columns{"id", &c.ID, "until", &c.Until, "at", &c.At, "who", &c.Who}
})

// JournalRows are the journal within one transaction.
type JournalRows struct {
	conn    *table.Conn
	house   *house.SettingsRows
	stock   *stocks.SupplyRows
	orders  *orders.OrderRows
	sources []Source
	stocked map[stockOf]*stock
	stands  map[int64]stand // orders that were looked at, and whose sums do not follow yet
}

// Source is one kind of subject: what it ought to have in the journal follows from its rows.
type Source struct {
	Kind string
	// Events returns what each of some subjects ought to have; one that is gone, or has nothing, may be absent.
	Events func(ids []int64) (map[int64][]ledger.Event, error)
	// All is a query of the ids of all subjects, ascending.
	All string
	// Costs says that its events know what sheets cost: they are asked for once the moves of the transaction took their layers.
	Costs bool
	// OfOrders is a query of the subjects that follow from some orders, too; a list of their ids is put behind it. "" = none does.
	OfOrders string
	// Of is the table of those; none follows while nothing was added to it.
	Of string
}

// New is the journal as a transaction sees it. More are the kinds of subject that other rooms keep.
func New(c *table.Conn, h *house.SettingsRows, o *orders.OrderRows, s *stocks.SupplyRows, more ...Source) *JournalRows {
	t := &JournalRows{conn: c, house: h, stock: s, orders: o, stocked: map[stockOf]*stock{}, stands: map[int64]stand{}}
	t.sources = append([]Source{ordersFrom(c, o, t.stood), parcelsFrom(c), runsFrom(c, s)}, more...)
	return t
}

// Keep enters what this transaction made of the book since it was entered last.
func (t *JournalRows) Keep() error {
	if t.conn.MayWrite() != nil {
		return nil
	}
	moves, err := t.stock.Moved()
	if err != nil {
		return err
	}
	k := &keeping{JournalRows: t}
	if err := t.conn.Ahead(func() []engine.Ask { return k.asks(moves) }); err != nil {
		return err
	}
	if err := k.touched(false); err != nil {
		return err
	}
	if err := k.recall(len(moves) > 0); err != nil {
		return err
	}
	if err := k.moves(moves); err != nil {
		return err
	}
	if err := k.touched(true); err != nil {
		return err
	}
	if err := k.write(); err != nil {
		return err
	}
	t.conn.Followed()
	return nil
}

// asks is what is asked when a transaction wrote a few orders, as most do: those orders, what stands in the journal of them and what follows from
// them, and the layers of what moved.
func (k *keeping) asks(moves []supply.Move) (asks []engine.Ask) {
	stood, added := k.conn.Touched(ledger.Order)
	all := append(slices.Clone(stood), added...)
	if len(all) == 0 || len(all) > fewOrders || len(moves) > fewOrders {
		return nil
	}
	for _, ids := range [][]int64{stood, added} {
		asks = append(asks, k.orders.AsksKnown(ids)...)
		asks = append(asks, cameIn(k.conn, ids)...)
	}
	if len(stood) > 0 {
		entries, lines := entered(ledger.Order, stood)
		asks = append(asks, entries, lines)
	}
	asks = append(asks, recallAsks(stood, all, len(moves) > 0)...)
	if !k.conn.Never(Closings.Name) {
		asks = append(asks, engine.Ask{Query: closedUntil})
	}
	for _, s := range k.sources {
		if k.ofOrders(s) {
			asks = append(asks, askIn(s.OfOrders, all))
		}
	}
	parcels, lines := goneWith(moves)
	asks = append(asks, printsOf(byParcel, parcels)...)
	asks = append(asks, printsOf(byLine, lines)...)
	for some := range slices.Chunk(k.unread(moves), fewStocks) {
		asks = append(asks, layersOf(some))
	}
	return asks
}

// fewOrders bounds what is asked for ahead.
const fewOrders = 32

// touched gathers what the transaction made of the subjects of sources, of those that know costs or of the others.
func (k *keeping) touched(costs bool) error {
	for _, s := range k.sources {
		if s.Costs != costs {
			continue
		}
		stood, added, err := k.follow(s)
		if err != nil {
			return err
		}
		if err := k.subjects(s, stood, true); err != nil {
			return err
		}
		if err := k.subjects(s, added, false); err != nil {
			return err
		}
	}
	return nil
}

// follow are the subjects of a source that were touched, and those that follow from orders that were.
func (t *JournalRows) follow(s Source) (stood, added []int64, err error) {
	if t.ofOrders(s) {
		orders, more := t.conn.Touched(ledger.Order)
		err = eachIn(t.conn, s.OfOrders, append(orders, more...), func(rows *sql.Rows) error {
			var id int64
			err := rows.Scan(&id)
			t.conn.Touch(s.Kind, id)
			return err
		})
	}
	stood, added = t.conn.Touched(s.Kind)
	return stood, added, err
}

func (t *JournalRows) ofOrders(s Source) bool { return s.OfOrders != "" && !t.conn.Never(s.Of) }

// keeping gathers entries, and writes them together.
type keeping struct {
	*JournalRows
	today   calendar.Day // no day until it is asked for
	until   calendar.Day // up to which all is closed
	entries []ledger.Entry
	only    bool // to compare: nothing is written
	known   recalled
}

// day is the day on which the studio stands.
func (k *keeping) day() (calendar.Day, error) {
	if k.today.IsZero() {
		place, err := k.house.Place()
		if err != nil {
			return k.today, err
		}
		k.today = calendar.In(k.conn.Now(), place)
		if k.until, err = k.ClosedUntil(); err != nil {
			return k.today, err
		}
	}
	return k.today, nil
}

// subjects gathers the difference between what subjects ought to have and what they have.
func (k *keeping) subjects(s Source, ids []int64, stood bool) error {
	for part := range slices.Chunk(ids, table.Batch) {
		events, err := s.Events(part)
		if err != nil {
			return err
		}
		entered := map[int64][]ledger.Entry{}
		if stood {
			if entered, err = k.entered(s.Kind, part); err != nil {
				return err
			}
		}
		for _, id := range part {
			if len(events[id])+len(entered[id]) == 0 {
				continue
			}
			today, err := k.day()
			if err != nil {
				return err
			}
			k.entries = append(k.entries, ledger.Difference(ledger.Subject{Kind: s.Kind, ID: id}, events[id], entered[id], today)...)
		}
		if err := k.full(); err != nil {
			return err
		}
	}
	return nil
}

// full writes what was gathered once it is much, unless it is only compared.
func (k *keeping) full() error {
	if k.only || len(k.entries) < 1000 {
		return nil
	}
	return k.write()
}

// add gathers an event of a subject of which nothing was entered yet.
func (k *keeping) add(of ledger.Subject, e ledger.Event) error {
	today, err := k.day()
	if err == nil {
		k.entries = append(k.entries, ledger.Difference(of, []ledger.Event{e}, nil, today)...)
	}
	return err
}

// entered are the entries of subjects, by them.
func (t *JournalRows) entered(kind string, ids []int64) (map[int64][]ledger.Entry, error) {
	out := map[int64][]ledger.Entry{}
	list, err := t.Entered(kind, ids)
	if err != nil {
		return nil, err
	}
	for _, e := range list {
		out[e.Subject.ID] = append(out[e.Subject.ID], e)
	}
	return out, nil
}

// Entered returns the entries of subjects of a kind, as they were entered.
func (t *JournalRows) Entered(kind string, ids []int64) ([]ledger.Entry, error) {
	var out []ledger.Entry
	for part := range slices.Chunk(ids, table.Batch-1) {
		entries, itsLines := entered(kind, part)
		found, err := Entries.Read(t.conn, entries.Query, entries.Args)
		if err != nil {
			return nil, err
		}
		if len(found) == 0 {
			continue
		}
		lines, err := Lines.Read(t.conn, itsLines.Query, itsLines.Args)
		if err != nil {
			return nil, err
		}
		give(found, lines)
		out = append(out, found...)
	}
	return out, nil
}

// entered asks for what was entered of fewer subjects than a batch, and for its lines.
func entered(kind string, ids []int64) (entries, lines engine.Ask) {
	in, args := table.InList(ids)
	where, args := "WHERE subject_id IN "+in+" AND subject = $"+strconv.Itoa(len(args)+1), append(args, kind)
	return Entries.Ask(where+" ORDER BY id", args...), Lines.Ask("WHERE entry IN (SELECT id FROM entries "+where+") ORDER BY entry, place", args...)
}

// fill reads the lines of entries, which are in the order of their ids.
func (t *JournalRows) fill(entries []ledger.Entry) error {
	ids := make([]int64, len(entries))
	for i, e := range entries {
		ids[i] = e.ID
	}
	lines, err := Lines.In(t.conn, "entry", ids, "ORDER BY entry, place")
	if err == nil {
		give(entries, lines)
	}
	return err
}

// give gives entries their lines.
func give(entries []ledger.Entry, lines []entryLine) {
	at := make(map[int64]int, len(entries))
	for i, e := range entries {
		at[e.ID] = i
	}
	for _, l := range lines {
		e := &entries[at[l.entry]]
		e.Lines = append(e.Lines, l.Line)
	}
}

// EachEntry calls f for the entries of some days, by day and id; no day = from the first, to the last.
func (t *JournalRows) EachEntry(from, to calendar.Day, f func(ledger.Entry) error) error {
	where, args := between(from, to)
	lastDay, lastID := "", int64(0)
	for {
		n := len(args)
		page, err := Entries.List(t.conn, "WHERE "+where+" AND (day > $"+strconv.Itoa(n+1)+" OR day = $"+strconv.Itoa(n+1)+" AND id > $"+strconv.Itoa(n+2)+") ORDER BY day, id LIMIT 500",
			append(slices.Clone(args), lastDay, lastID)...)
		if err == nil {
			err = t.fill(page)
		}
		if err != nil || len(page) == 0 {
			return err
		}
		for _, e := range page {
			if err := f(e); err != nil {
				return err
			}
		}
		lastDay, lastID = page[len(page)-1].Day.String(), page[len(page)-1].ID
	}
}

func between(from, to calendar.Day) (where string, args []any) {
	where = "1 = 1"
	if !from.IsZero() {
		args = append(args, from)
		where += " AND day >= $" + strconv.Itoa(len(args))
	}
	if !to.IsZero() {
		args = append(args, to)
		where += " AND day <= $" + strconv.Itoa(len(args))
	}
	return where, args
}

// Sums returns what moved on the accounts in the months from one to another ("2026-01"), both too; "" = from the first, to the last.
func (t *JournalRows) Sums(from, to string) ([]ledger.Sum, error) {
	return Totals.List(t.conn, "WHERE month >= $1 AND ($2 = '' OR month <= $2) AND amount <> 0 ORDER BY month, account, currency, outlet, edition", from, to)
}

// SumsByOutlet is Sums without editions.
func (t *JournalRows) SumsByOutlet(from, to string) ([]ledger.Sum, error) {
	return table.List(t.conn, func(rows *sql.Rows) (s ledger.Sum, err error) {
		err = rows.Scan(&s.Month, &s.Account, &s.Amount.Currency, &s.Outlet, &s.Amount.Minor)
		return s, err
	}, `SELECT month, account, currency, outlet, CAST(sum(amount) AS BIGINT) FROM entry_sums WHERE month >= $1 AND ($2 = '' OR month <= $2)
		GROUP BY month, account, currency, outlet HAVING sum(amount) <> 0 ORDER BY month, account, currency, outlet`, from, to)
}

// SumsBetween is Sums of days, from the lines themselves.
func (t *JournalRows) SumsBetween(from, to calendar.Day) ([]ledger.Sum, error) {
	where, args := between(from, to)
	return table.List(t.conn, func(rows *sql.Rows) (s ledger.Sum, err error) {
		err = rows.Scan(&s.Month, &s.Account, &s.Amount.Currency, &s.Outlet, &s.Edition, &s.Amount.Minor)
		return s, err
	}, `SELECT substr(e.day, 1, 7), l.account, l.currency, l.outlet, l.edition, CAST(sum(l.amount) AS BIGINT) FROM entries e JOIN entry_lines l ON l.entry = e.id WHERE `+
		where+` GROUP BY 1, 2, 3, 4, 5 HAVING sum(l.amount) <> 0 ORDER BY 1, 2, 3, 4, 5`, args...)
}

// OrderEntries returns the entries of which a line refers to one of some orders.
func (t *JournalRows) OrderEntries(ids []int64) ([]ledger.Entry, error) {
	var out []ledger.Entry
	for part := range slices.Chunk(ids, table.Batch) {
		in, args := table.InList(part)
		found, err := Entries.List(t.conn, "WHERE id IN (SELECT entry FROM entry_lines WHERE order_id <> 0 AND order_id IN "+in+") ORDER BY id", args...)
		if err != nil {
			return nil, err
		}
		out = append(out, found...)
	}
	slices.SortFunc(out, func(a, b ledger.Entry) int { return cmp.Compare(a.ID, b.ID) })
	out = slices.CompactFunc(out, func(a, b ledger.Entry) bool { return a.ID == b.ID })
	return out, t.fill(out)
}

// ClosedUntil is the last day that is closed; no day = none is.
func (t *JournalRows) ClosedUntil() (calendar.Day, error) {
	var d calendar.Day
	if t.conn.Never(Closings.Name) {
		return d, nil
	}
	_, err := t.conn.One(closedUntil, nil, table.Day(&d))
	return d, err
}

const closedUntil = `SELECT until FROM closed_periods ORDER BY until DESC LIMIT 1`

// ClosePeriod closes all days up to one. What the transaction did before it is entered before it. Faults: those of ledger.Closing.May.
func (t *JournalRows) ClosePeriod(c ledger.Closing) error {
	if err := t.Keep(); err != nil {
		return err
	}
	_, err := Closings.Add(t.conn, c)
	return err
}

// ClosedPeriods returns the closings, the latest first.
func (t *JournalRows) ClosedPeriods() ([]ledger.Closing, error) {
	return Closings.List(t.conn, "ORDER BY until DESC")
}

// AccountNames are the names that were chosen, by the keys of accounts.
func (t *JournalRows) AccountNames() (map[string]string, error) {
	out := map[string]string{}
	err := t.conn.Each(`SELECT account, name FROM account_names`, nil, func(rows *sql.Rows) error {
		var account, name string
		err := rows.Scan(&account, &name)
		out[account] = name
		return err
	})
	return out, err
}

// NameAccount gives an account a name; "" gives it back its own.
func (t *JournalRows) NameAccount(account, name string) error {
	if name == "" {
		_, err := t.conn.Exec(`DELETE FROM account_names WHERE account = $1`, account)
		return err
	}
	_, err := t.conn.Exec(`INSERT INTO account_names (account, name) VALUES ($1, $2) ON CONFLICT (account) DO UPDATE SET name = excluded.name`, account, name)
	return err
}
