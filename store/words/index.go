package words

import (
	"database/sql"
	"maps"
	"slices"
	"strconv"
	"strings"

	"solander/edition"
	"solander/store/engine"
	"solander/store/table"
)

// Gone is true of an order r whose file was taken back; GoneBuyer of a buyer r who has only such orders.
const (
	Gone = `EXISTS (SELECT 1 FROM origins g WHERE g.order_id = r.id AND g.gone = 1)`
	// ErasedBuyer is true of a buyer r who was erased: in no list any more, and still the buyer of her orders.
	ErasedBuyer = `EXISTS (SELECT 1 FROM erasures e WHERE e.buyer = r.id)`
	GoneBuyer   = `EXISTS (SELECT 1 FROM orders o JOIN origins g ON g.order_id = o.id WHERE o.buyer = r.id AND g.gone = 1)
		AND NOT EXISTS (SELECT 1 FROM orders o WHERE o.buyer = r.id AND NOT EXISTS (SELECT 1 FROM origins g WHERE g.order_id = o.id AND g.gone = 1))`
)

// Index keeps the words within one transaction. It is told whose words changed; they are kept anew before it is
// searched, and by Keep before the transaction ends.
type Index struct {
	conn           *table.Conn
	orders, buyers map[int64]bool
	works          []int64
}

// New is the index of a transaction.
func New(c *table.Conn) *Index {
	return &Index{conn: c, orders: map[int64]bool{}, buyers: map[int64]bool{}}
}

// StaleOrder says that the words of an order changed.
func (x *Index) StaleOrder(id int64) { x.orders[id] = true }

// StaleBuyer says that the words of a buyer changed, and so of her orders.
func (x *Index) StaleBuyer(id int64) { x.buyers[id] = true }

// StaleWork says that the title of a work changed.
func (x *Index) StaleWork(id int64) { x.works = append(x.works, id) }

// BareOrders makes the words of orders anew, also of those whose file was taken back: they are in no list, and keep no word.
func (x *Index) BareOrders(ids []int64) error {
	for _, id := range ids {
		x.StaleOrder(id)
	}
	return x.bare(ids)
}

// bare keeps no word of those whose file was taken back.
func (x *Index) bare(ids []int64) error {
	for part := range slices.Chunk(ids, table.Batch) {
		listed, err := x.listed(part)
		if err != nil {
			return err
		}
		bare := slices.DeleteFunc(slices.Clone(part), func(id int64) bool { return slices.Contains(listed, id) })
		if err := x.put(x.conn.Dialect.Orders.Put, bare, texts{}); err != nil {
			return err
		}
	}
	return nil
}

// DropBuyer forgets the words of a buyer.
func (x *Index) DropBuyer(id int64) error {
	delete(x.buyers, id)
	_, err := x.conn.Exec(`DELETE FROM buyer_words WHERE `+x.conn.Dialect.RowID+` = $1`, id)
	return err
}

// FindOrders returns how orders are found by a text: a text without a word finds none.
func (x *Index) FindOrders(text string) (Found, error) {
	return x.find(text, x.conn.Dialect.Orders, "orders r")
}

// FindBuyers returns how buyers are found by a text.
func (x *Index) FindBuyers(text string) (Found, error) {
	return x.find(text, x.conn.Dialect.Buyers, "buyers r")
}

// Found is how rows, called r, are found by a text.
type Found struct {
	Nothing bool   // the text asks for something that no row has
	From    string // the rows, with their words when any are asked for
	ID      string // the column to page and to order by
	Where   []string
	Args    []any
}

func (x *Index) find(text string, s engine.Search, rows string) (Found, error) {
	terms := Asked(text)
	if len(terms) == 0 {
		return Found{Nothing: strings.TrimSpace(text) != "", From: rows, ID: "r.id"}, nil
	}
	if _, people, err := x.conn.Sealing(); err != nil || people {
		return x.findInCipher(terms, rows, err)
	}
	if before := x.conn.Dialect.BeforeSearch; before != "" {
		if err := x.conn.Ask(before); err != nil {
			return Found{}, err
		}
	}
	return Found{From: s.From, ID: s.ID, Where: []string{s.Match}, Args: []any{x.conn.Dialect.Query(terms)}}, x.Keep()
}

// And restricts what is found: text ends in what stands before its argument.
func (f *Found) And(text string, arg any) {
	f.Where = append(f.Where, text+" "+f.Arg(arg))
}

// Arg adds an argument and returns its mark.
func (f *Found) Arg(arg any) string {
	f.Args = append(f.Args, arg)
	return "$" + strconv.Itoa(len(f.Args))
}

// Condition is all that restricts.
func (f *Found) Condition() string { return "WHERE " + strings.Join(f.Where, " AND ") }

// Keep keeps the words of all that changed.
func (x *Index) Keep() error {
	ids, buyers, works := x.orders, slices.Sorted(maps.Keys(x.buyers)), x.works
	*x = *New(x.conn)
	more := func(query string, of []int64) error {
		for part := range slices.Chunk(of, table.Batch) {
			in, args := table.InList(part)
			found, err := table.Values[int64](x.conn, query+in, args...)
			if err != nil {
				return err
			}
			for _, id := range found {
				ids[id] = true
			}
		}
		return nil
	}
	if err := more(`SELECT DISTINCT l.order_id FROM lines l JOIN editions e ON e.id = l.edition WHERE e.work IN `, works); err != nil {
		return err
	}
	if err := more(`SELECT id FROM orders WHERE buyer IN `, buyers); err != nil {
		return err
	}
	if err := x.indexBuyers(buyers); err != nil {
		return err
	}
	return x.indexOrders(slices.Sorted(maps.Keys(ids)))
}

// All makes the words anew of every order and buyer.
func (x *Index) All() error {
	*x = *New(x.conn)
	for _, kind := range []struct {
		table string
		clear string
		index func([]int64) error
	}{{"buyers", x.conn.Dialect.Buyers.Clear, x.indexBuyers}, {"orders", x.conn.Dialect.Orders.Clear, x.bareAndListed}} {
		if kind.clear != "" {
			if _, err := x.conn.Exec(kind.clear); err != nil {
				return err
			}
		}
		ids, err := table.Values[int64](x.conn, `SELECT id FROM `+kind.table+` ORDER BY id`)
		if err != nil {
			return err
		}
		if err := kind.index(ids); err != nil {
			return err
		}
	}
	return nil
}

// bareAndListed makes the words of orders anew, none of those whose file was taken back.
func (x *Index) bareAndListed(ids []int64) error {
	if err := x.bare(ids); err != nil {
		return err
	}
	return x.indexOrders(ids)
}

func (x *Index) indexBuyers(ids []int64) error {
	for part := range slices.Chunk(ids, table.Batch) {
		texts, err := x.readBuyers(part)
		if err != nil {
			return err
		}
		if err := x.put(x.conn.Dialect.Buyers.Put, part, texts); err != nil {
			return err
		}
	}
	return nil
}

// readBuyers reads by what buyers are found. Who was taken as another is found as that one.
func (x *Index) readBuyers(part []int64) (texts, error) {
	texts := make(texts)
	in, args := table.InList(part)
	return texts, x.conn.Each(`SELECT coalesce(same_as, id), name, email, phone FROM buyers WHERE id IN `+in+` OR same_as IN `+in, args,
		texts.scan(x.conn, "buyers.name", "buyers.email", "buyers.phone"))
}

func (x *Index) indexOrders(ids []int64) error {
	for part := range slices.Chunk(ids, table.Batch) {
		if err := x.conn.Ahead(func() []engine.Ask { return append(ofOrders(part), listed(part)) }); err != nil {
			return err
		}
		part, err := x.listed(part)
		if err != nil {
			return err
		}
		if len(part) == 0 {
			continue
		}
		texts, err := x.readOrders(part)
		if err != nil {
			return err
		}
		if err := x.put(x.conn.Dialect.Orders.Put, part, texts); err != nil {
			return err
		}
	}
	return nil
}

// readOrders reads by what orders are found.
func (x *Index) readOrders(part []int64) (texts, error) {
	texts := make(texts)
	said := texts.scan(x.conn, "", "", "orders.ship_name", "orders.ship_city", "orders.said_name", "orders.said_email", "buyers.name", "buyers.email")
	for i, take := range []func(*sql.Rows) error{said, texts.scan(x.conn, ""), texts.print} {
		ask := ofOrders(part)[i]
		if err := x.conn.Each(ask.Query, ask.Args, take); err != nil {
			return nil, err
		}
	}
	return texts, nil
}

// ofOrders is what is asked for what is searched of at most a batch of orders: what was said of them, their parcels, their prints.
func ofOrders(ids []int64) []engine.Ask {
	in, args := table.InList(ids)
	return []engine.Ask{
		{Query: `SELECT o.id, o.mark, o.ref, o.ship_name, o.ship_city, o.said_name, o.said_email, b.name, b.email FROM orders o
		JOIN buyers b ON b.id = o.buyer WHERE o.id IN ` + in, Args: args},
		{Query: `SELECT order_id, tracking FROM parcels WHERE order_id IN ` + in + `
		UNION SELECT l.order_id, p.tracking FROM lines l JOIN parcels p ON p.id = l.parcel WHERE l.order_id IN ` + in, Args: args},
		{Query: `SELECT l.order_id, w.title, l.kind, l.number, e.declared_limit, e.ap, e.pp, e.hc, e.bat FROM lines l
		JOIN editions e ON e.id = l.edition JOIN works w ON w.id = e.work WHERE l.dropped = 0 AND l.order_id IN ` + in, Args: args},
	}
}

// listed leaves out the orders whose file was taken back: they are in no list for good, so that their words may stay as
// they are.
func (x *Index) listed(ids []int64) ([]int64, error) {
	ask := listed(ids)
	return table.Values[int64](x.conn, ask.Query, ask.Args...)
}

func listed(ids []int64) engine.Ask {
	in, args := table.InList(ids)
	return engine.Ask{Query: `SELECT r.id FROM orders r WHERE r.id IN ` + in + ` AND NOT ` + Gone + ` ORDER BY r.id`, Args: args}
}

// texts gathers what is searched of each row.
type texts map[int64][]string

// scan takes an id and texts, each of a column that may be in cipher, or of none that ever is.
func (x texts) scan(c *table.Conn, columns ...string) func(*sql.Rows) error {
	return func(rows *sql.Rows) error {
		var id int64
		found := make([]string, len(columns))
		dest := []any{&id}
		for i := range found {
			dest = append(dest, &found[i])
		}
		err := rows.Scan(dest...)
		for i, column := range columns {
			if in, name, ok := strings.Cut(column, "."); ok && err == nil {
				found[i], err = c.OpenCell(in, name, "", found[i])
			}
		}
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

func (x *Index) put(query string, ids []int64, found texts) error {
	_, people, err := x.conn.Sealing()
	if err != nil {
		return err
	}
	if people {
		found = texts{} // an index of words would tell what the cells do not
	}
	for _, id := range ids {
		words := wordsOf(strings.Join(found[id], " "))
		slices.Sort(words)
		if err := x.conn.Soon(query, id, strings.Join(slices.Compact(words), " ")); err != nil {
			return err
		}
	}
	return nil
}
