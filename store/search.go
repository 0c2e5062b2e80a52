package store

import (
	"database/sql"
	"maps"
	"slices"
	"strings"

	"solander/edition"
)

// searchSQL is how an engine keeps the words of one kind of row and finds rows by them. $1 is what
// query makes of the terms.
type searchSQL struct {
	put   string // $1 id, $2 words parted by spaces
	from  string // the words and the rows (alias r), joined
	match string
	id    string
}

// staleWords says whose words changed in this transaction; they are kept anew before it is searched
// and before it commits.
type staleWords struct {
	orders, buyers map[int64]bool
	works          []int64
}

func (t *tx) staleOrder(id int64) {
	if t.stale.orders == nil {
		t.stale.orders = make(map[int64]bool)
	}
	t.stale.orders[id] = true
}

func (t *tx) staleBuyer(id int64) {
	if t.stale.buyers == nil {
		t.stale.buyers = make(map[int64]bool)
	}
	t.stale.buyers[id] = true
}

// searching makes the transaction ready for a search: of what it changed itself, too.
func (t *tx) searching() error {
	if t.dialect.beforeSearch != "" {
		if _, err := t.q.ExecContext(t.ctx, t.dialect.beforeSearch); err != nil {
			return t.fail(err)
		}
	}
	return t.indexWords()
}

// indexWords keeps the words of all that changed.
func (t *tx) indexWords() error {
	stale := t.stale
	t.stale = staleWords{}
	ids := stale.orders
	if ids == nil {
		ids = make(map[int64]bool)
	}
	into := func(rows *sql.Rows) error {
		var id int64
		err := rows.Scan(&id)
		ids[id] = true
		return err
	}
	for _, work := range stale.works {
		if err := t.each(`SELECT DISTINCT l.order_id FROM lines l JOIN editions e ON e.id = l.edition WHERE e.work = $1`, []any{work}, into); err != nil {
			return err
		}
	}
	for buyer := range stale.buyers {
		if err := t.each(`SELECT id FROM orders WHERE buyer = $1`, []any{buyer}, into); err != nil {
			return err
		}
	}
	if err := t.indexBuyers(slices.Sorted(maps.Keys(stale.buyers))); err != nil {
		return err
	}
	return t.indexOrders(slices.Sorted(maps.Keys(ids)))
}

func (t *tx) indexBuyers(ids []int64) error {
	for part := range slices.Chunk(ids, batch) {
		texts := make(texts)
		in, args := inList(part)
		// Who was taken as another is found as that one.
		if err := t.each(`SELECT coalesce(same_as, id), name, email, phone FROM buyers WHERE id IN `+in+` OR same_as IN `+in, args, texts.scan(3)); err != nil {
			return err
		}
		if err := t.put(t.dialect.buyers.put, part, texts); err != nil {
			return err
		}
	}
	return nil
}

func (t *tx) indexOrders(ids []int64) error {
	for part := range slices.Chunk(ids, batch) {
		part, err := t.listed(part)
		if err != nil {
			return err
		}
		if len(part) == 0 {
			continue
		}
		texts := make(texts)
		in, args := inList(part)
		if err := t.each(`SELECT o.id, o.mark, o.ref, o.ship_name, o.ship_city, o.said_name, o.said_email, b.name, b.email FROM orders o
			JOIN buyers b ON b.id = o.buyer WHERE o.id IN `+in, args, texts.scan(8)); err != nil {
			return err
		}
		if err := t.each(`SELECT order_id, tracking FROM parcels WHERE order_id IN `+in+`
			UNION SELECT l.order_id, p.tracking FROM lines l JOIN parcels p ON p.id = l.parcel WHERE l.order_id IN `+in, args, texts.scan(1)); err != nil {
			return err
		}
		if err := t.each(`SELECT l.order_id, w.title, l.kind, l.number, e.declared_limit, e.ap, e.pp, e.hc, e.bat FROM lines l
			JOIN editions e ON e.id = l.edition JOIN works w ON w.id = e.work WHERE l.dropped = 0 AND l.order_id IN `+in, args, texts.print); err != nil {
			return err
		}
		if err := t.put(t.dialect.orders.put, part, texts); err != nil {
			return err
		}
	}
	return nil
}

// listed leaves out the orders whose file was taken back: they are in no list for good, so that their words may stay as
// they are.
func (t *tx) listed(ids []int64) ([]int64, error) {
	in, args := inList(ids)
	return list(t, func(rows *sql.Rows) (id int64, err error) {
		err = rows.Scan(&id)
		return id, err
	}, `SELECT r.id FROM orders r WHERE r.id IN `+in+` AND NOT `+gone+` ORDER BY r.id`, args...)
}

// texts gathers what is searched of each row.
type texts map[int64][]string

// scan takes an id and n texts.
func (x texts) scan(n int) func(*sql.Rows) error {
	return func(rows *sql.Rows) error {
		var id int64
		found := make([]string, n)
		dest := []any{&id}
		for i := range found {
			dest = append(dest, &found[i])
		}
		err := rows.Scan(dest...)
		x[id] = append(x[id], found...)
		return err
	}
}

// print takes an order line with its edition: the title and the number as it is written on the sheet.
func (x texts) print(rows *sql.Rows) error {
	var id int64
	var title string
	var n edition.Number
	var e edition.Edition
	err := rows.Scan(&id, &title, &n.Kind, &n.N, &e.Limit, &e.Proofs.AP, &e.Proofs.PP, &e.Proofs.HC, &e.Proofs.BAT)
	x[id] = append(x[id], title, n.Of(e))
	return err
}

func (t *tx) put(query string, ids []int64, found texts) error {
	for _, id := range ids {
		words := wordsOf(strings.Join(found[id], " "))
		slices.Sort(words)
		if _, err := t.exec(query, id, strings.Join(slices.Compact(words), " ")); err != nil {
			return err
		}
	}
	return nil
}

// batch is how many rows are asked for by id at once.
const batch = 256

// inList makes "($1, $2, …)" for at most batch ids. The list is filled up to a power of two with the
// last id, so that few different statements are made.
func inList(ids []int64) (string, []any) {
	n := 1
	for n < len(ids) {
		n *= 2
	}
	args := make([]any, n)
	for i := range args {
		args[i] = ids[min(i, len(ids)-1)]
	}
	return "(" + marks(n) + ")", args
}
