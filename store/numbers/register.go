package numbers

import (
	"database/sql"
	"slices"
	"strconv"
	"strings"
	"time"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/store/table"
	"solander/studio"
)

// impression is a row of the projection: a standing and what is kept beside it.
type impression struct {
	edition.Standing
	signedOn calendar.Day
	sentMark string
}

// RegisterRows are the entries of the register, and how every number stands, within one transaction. It is the only writer
// until it ends, so what it read need not be asked twice: a file of 50 000 rows comes in as one transaction.
type RegisterRows struct {
	conn   *table.Conn
	log    Log
	sales  *KeptSales           // nil = none are
	latest time.Time            // of the entries that it makes; zero until the first
	seq    int64                // of the latest entry, once latest is known
	fresh  unwritten            // to be written before the next statement
	moved  map[int64]*[11]int64 // how the tallies of an edition moved, in their order; kept by KeepCounts
	known  map[studio.NumberKey]*remembered
	unsold map[int64]int // by editions, as they were asked for and moved on since
	ahead  foreseen
}

// Register is the register of a transaction.
func Register(c *table.Conn, k *KeptSales, log Log) *RegisterRows {
	return &RegisterRows{conn: c, sales: k, log: log}
}

// Log takes what is entered and declared as leaves, in the same transaction.
type Log interface {
	AppendEntries([]edition.Entry) error
	AppendDeclared(e edition.Edition, year int) error
}

// impressionColumns are those of an impression i as places takes them.
const impressionColumns = `i.state, i.line, i.signed, i.struck, i.turn, i.signed_on, i.sent_mark`

func (p *impression) places() []any {
	return []any{&p.State, table.Ref(&p.Line), &p.Signed, &p.Struck, &p.Turn, table.Day(&p.signedOn), &p.sentMark}
}

func (t *RegisterRows) impression(ed int64, n edition.Number) (*remembered, error) {
	k := studio.NumberKey{Edition: ed, Number: n}
	if r := t.known[k]; r != nil {
		return r, nil
	}
	r := &remembered{}
	found, err := t.conn.One(`SELECT `+impressionColumns+` FROM impressions i WHERE edition = $1 AND kind = $2 AND number = $3`,
		[]any{ed, n.Kind, n.N}, r.row.places()...)
	err = table.Must(found, err, "number %q of edition %d", n, ed)
	if err == nil {
		if t.known == nil || len(t.known) >= mostKnown {
			t.known = map[studio.NumberKey]*remembered{}
		}
		t.known[k] = r
	}
	return r, err
}

// mostKnown bounds the numbers that are remembered when they are asked for one by one.
const mostKnown = 4096

func (t *RegisterRows) Standing(ed int64, n edition.Number) (edition.Standing, error) {
	r, err := t.impression(ed, n)
	return r.row.Standing, err
}

// Lowest needs no lock of its own: whoever writes is the only writer until its transaction ends.
func (t *RegisterRows) Lowest(ed int64, kind edition.Kind) (edition.Number, error) {
	n := edition.Number{Kind: kind}
	found, err := t.conn.One(`SELECT number FROM impressions WHERE edition = $1 AND kind = $2 AND available = 1 ORDER BY number LIMIT 1`,
		[]any{ed, kind}, &n.N)
	if err != nil || found {
		return n, err
	}
	if err := t.conn.Exists("editions", "edition", ed); err != nil {
		return edition.Number{}, err
	}
	return edition.Number{}, noneLeft(kind.Long()).At("edition %d", ed)
}

func noneLeft(what string) *fault.Error {
	return fault.New(fault.Refused, "no %s is left", what).ToMend("choose another edition, or release a number").In("number")
}

func (t *RegisterRows) LowestCommon(eds []int64) (edition.Number, error) {
	n := edition.Number{Kind: edition.Numbered}
	if len(eds) == 0 {
		return edition.Number{}, fault.Invalidf("lines", "no edition was named")
	}
	var query strings.Builder
	var args []any
	query.WriteString(`SELECT number FROM impressions i WHERE edition = $1 AND kind = 'N' AND available = 1`)
	for i, ed := range eds {
		if err := t.conn.Exists("editions", "edition", ed); err != nil {
			return edition.Number{}, err
		}
		args = append(args, ed)
		if i > 0 {
			query.WriteString(` AND EXISTS (SELECT 1 FROM impressions WHERE edition = $` + strconv.Itoa(i+1) +
				` AND kind = 'N' AND available = 1 AND number = i.number)`)
		}
	}
	query.WriteString(` ORDER BY number LIMIT 1`)
	found, err := t.conn.One(query.String(), args, &n.N)
	if err == nil && !found {
		return edition.Number{}, noneLeft("number that all these editions have")
	}
	return n, err
}

// Entries are the entries of the register.
var Entries = table.Make("register", "entry", func(e *edition.Entry) table.Columns {
	return table.Columns{
		"seq", &e.Seq, "edition", &e.Edition, "kind", &e.Number.Kind, "number", &e.Number.N,
		"turn", &e.After.Turn, "step", &e.Step, "state", &e.After.State, "line", &e.After.Line,
		"signed", &e.After.Signed, "struck", &e.After.Struck, "order_mark", &e.Order, "day", &e.Day,
		"at", &e.At, "who", &e.Who, "note", &e.Note, "undoes", &e.Undoes,
	}
})

// entriesOf reads entries by a whole query; the turn of one stands in it twice.
func (t *RegisterRows) entriesOf(query string, args []any) ([]edition.Entry, error) {
	out, err := Entries.Read(t.conn, query, args)
	if err != nil {
		return nil, err
	}
	for i := range out {
		out[i].Turn = out[i].After.Turn
	}
	return out, nil
}

func (t *RegisterRows) entries(rest string, args ...any) ([]edition.Entry, error) {
	return t.entriesOf("SELECT "+Entries.Names+" FROM "+Entries.Name+" "+rest, args)
}

func (t *RegisterRows) History(ed int64, n edition.Number) ([]edition.Entry, error) {
	r, err := t.impression(ed, n)
	if err != nil {
		return nil, err
	}
	if r.history == nil {
		if r.history, err = t.entries("WHERE edition = $1 AND kind = $2 AND number = $3 ORDER BY turn", ed, n.Kind, n.N); err != nil {
			return nil, err
		}
	}
	return slices.Clip(r.history), nil
}

func (t *RegisterRows) Entries(after int64, limit int) ([]edition.Entry, error) {
	return t.entries("WHERE seq > $1 ORDER BY seq LIMIT $2", after, max(0, limit))
}

func (t *RegisterRows) Counts() (map[int64]map[edition.State]int, error) {
	out := make(map[int64]map[edition.State]int)
	states := edition.States()
	err := t.conn.Each(`SELECT edition, free, promised, signed, sent, consigned, sold, returned, spoilt, kept, withdrawn FROM tallies`, nil, func(rows *sql.Rows) error {
		var ed int64
		var n [10]int
		if err := rows.Scan(&ed, &n[0], &n[1], &n[2], &n[3], &n[4], &n[5], &n[6], &n[7], &n[8], &n[9]); err != nil {
			return err
		}
		out[ed] = make(map[edition.State]int)
		moved := t.moved[ed]
		for i, s := range states {
			if moved != nil {
				n[i] += int(moved[i])
			}
			if n[i] > 0 {
				out[ed][s] = n[i]
			}
		}
		return nil
	})
	return out, err
}

// Sold counts the numbered impressions that a line holds or a gallery sold; of an open edition, the lines that are part
// of an order which still stands.
func (t *RegisterRows) Sold(ed int64) (int, error) {
	var limit, n int
	found, err := t.conn.One(`SELECT declared_limit, held FROM editions JOIN tallies ON edition = id WHERE id = $1`, []any{ed}, &limit, &n)
	if err := table.Must(found, err, "edition %d", ed); err != nil {
		return 0, err
	}
	if limit > 0 {
		if moved := t.moved[ed]; moved != nil {
			n += int(moved[len(moved)-1])
		}
		return n, nil
	}
	_, err = t.conn.One(`SELECT count(*) FROM lines l JOIN orders o ON o.id = l.order_id
		WHERE l.edition = $1 AND l.dropped = 0 AND o.state IN ('open', 'closed')`, []any{ed}, &n)
	return n, err
}

// Unsold counts the numbered impressions that Lowest can give; by index, once a transaction.
func (t *RegisterRows) Unsold(ed int64) (int, error) {
	n, known := t.unsold[ed]
	if known {
		return n, nil
	}
	_, err := t.conn.One(`SELECT count(*) FROM impressions WHERE edition = $1 AND kind = 'N' AND available = 1`, []any{ed}, &n)
	if err == nil && n == 0 {
		err = t.conn.Exists("editions", "edition", ed)
	}
	if err != nil {
		return 0, err
	}
	if t.unsold == nil {
		t.unsold = map[int64]int{}
	}
	t.unsold[ed] = n
	return n, nil
}
