package table

import (
	"context"
	"database/sql"
	"encoding/json"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	_ "modernc.org/sqlite" // the driver "sqlite"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/store/engine"
)

// thing is a row with one column of every kind.
type thing struct {
	ID     int64
	Mark   string
	Kind   kind
	Count  int
	Open   bool
	Price  money.Amount
	Day    calendar.Day
	At     time.Time
	Wait   time.Duration
	Other  int64
	List   []string
	Sparse []string
	Raw    json.RawMessage
	Said   *said
	Back   *said
}

type kind string

type said struct {
	Who string
	At  time.Time
}

var things = Make("things", "thing", func(x *thing) Columns {
	var s, b said
	if x.Said != nil {
		s = *x.Said
	}
	if x.Back != nil {
		b = *x.Back
	}
	return Columns{
		"id", &x.ID, "mark", Once(&x.Mark), "kind", &x.Kind, "number", &x.Count, "open", &x.Open, "price", &x.Price,
		"day", &x.Day, "at", &x.At, "wait", &x.Wait, "other", Ref(&x.Other), "list", JSON(&x.List),
		"sparse", JSONIf(len(x.Sparse) > 0, &x.Sparse), "raw", Raw(&x.Raw),
		"said", Maybe(&x.Said, &s), "said_who", &s.Who, "said_at", &s.At, "back_who", &b.Who, "back_at", MaybeAt(&x.Back, &b, &b.At),
	}
})

// session is a transaction of a bare database.
type session struct{ *sql.Tx }

func (s session) Commit(context.Context) error { return s.Tx.Commit() }
func (s session) Rollback()                    { _ = s.Tx.Rollback() }

func (s session) Soon(ctx context.Context, query string, args ...any) error {
	_, err := s.ExecContext(ctx, query, args...)
	return err
}

func (s session) Ahead(context.Context, []engine.Ask) error { return nil }
func (s session) Finish(context.Context) error              { return nil }

// begun is a transaction on a new database with the table of things.
func begun(t *testing.T, reading bool) *Conn {
	t.Helper()
	db, err := sql.Open("sqlite", filepath.Join(t.TempDir(), "things.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	for _, query := range []string{
		`CREATE TABLE things (` + things.Names + `, UNIQUE (id))`,
		`CREATE TABLE counters (name TEXT PRIMARY KEY, value INTEGER)`,
		`INSERT INTO counters VALUES ('things', 6)`,
	} {
		if _, err := db.Exec(query); err != nil {
			t.Fatal(err)
		}
	}
	tx, err := db.BeginTx(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = tx.Rollback() })
	return Begun(t.Context(), session{tx}, engine.Dialect{}, engine.Options{Clock: time.Now}, reading)
}

func full() thing {
	at := time.Date(2031, 3, 4, 5, 6, 7, 8000, time.UTC)
	return thing{
		Mark: "S-1", Kind: "large", Count: 3, Open: true, Price: money.Of(1250, "USD"), Day: calendar.Date(2031, 3, 4), At: at, Wait: time.Hour,
		Other: 9, List: []string{"a", "b"}, Sparse: []string{"c"}, Raw: json.RawMessage(`{"x": 1}`), Said: &said{"Ines", at}, Back: &said{"Nell", at.Add(time.Minute)},
	}
}

var days = cmp.Comparer(func(a, b calendar.Day) bool { return a == b })

// TestColumns holds that one list writes, changes and reads every kind of column, whole and empty.
func TestColumns(t *testing.T) {
	c := begun(t, false)
	for i, want := range []thing{full(), {}, {Said: &said{}}} {
		id, err := things.Save(c, want)
		if err != nil || id != int64(7+i) {
			t.Fatalf("added as %d: %v", id, err)
		}
		want.ID = id
		got, err := things.Get(c, id)
		if diff := cmp.Diff(want, got, days); err != nil || diff != "" {
			t.Errorf("added (-want +got): %v\n%s", err, diff)
		}
		other := full()
		if i == 0 {
			other = thing{Back: &said{At: want.At}}
		}
		other.ID = id
		if _, err := things.Save(c, other); err != nil {
			t.Fatal(err)
		}
		other.Mark = want.Mark // it is written once
		got, err = things.Get(c, id)
		if diff := cmp.Diff(other, got, days); err != nil || diff != "" {
			t.Errorf("changed (-want +got): %v\n%s", err, diff)
		}
	}
	if err := c.KeepCounters(); err != nil {
		t.Fatal(err)
	}
	if last, err := Values[int64](c, `SELECT value FROM counters`); err != nil || !cmp.Equal(last, []int64{9}) {
		t.Errorf("the counter stands at %v (%v)", last, err)
	}
}

// TestChangeOnly holds that no other column is touched, and that an amount is changed with its currency.
func TestChangeOnly(t *testing.T) {
	c := begun(t, false)
	id, err := things.Add(c, full())
	if err != nil {
		t.Fatal(err)
	}
	if err := things.ChangeOnly(c, thing{ID: id, Price: money.Of(70, "EUR"), Day: calendar.Date(2032, 1, 1)}, "price", "day"); err != nil {
		t.Fatal(err)
	}
	want := full()
	want.ID, want.Price, want.Day = id, money.Of(70, "EUR"), calendar.Date(2032, 1, 1)
	got, err := things.Get(c, id)
	if diff := cmp.Diff(want, got, days); err != nil || diff != "" {
		t.Errorf("(-want +got): %v\n%s", err, diff)
	}
}

// TestChangeFrom holds that what differs is written, what does not is left as another wrote it, and what is to be written always is.
func TestChangeFrom(t *testing.T) {
	c := begun(t, false)
	before := full()
	var err error
	if before.ID, err = things.Add(c, before); err != nil {
		t.Fatal(err)
	}
	stands := before
	stands.Count, stands.Kind, stands.Open = 50, "small", false
	if err := things.Change(c, stands); err != nil {
		t.Fatal(err)
	}
	now := before
	now.Price, now.Said = money.Of(70, "EUR"), nil
	if err := things.ChangeFrom(c, before, now, "kind"); err != nil {
		t.Fatal(err)
	}
	want := now
	want.Count, want.Open = stands.Count, stands.Open
	got, err := things.Get(c, before.ID)
	if diff := cmp.Diff(want, got, days); err != nil || diff != "" {
		t.Errorf("(-want +got): %v\n%s", err, diff)
	}
	changes := c.Changes()
	if err := things.ChangeFrom(c, now, now); err != nil || c.Changes() != changes {
		t.Errorf("what does not differ was written (%v)", err)
	}
	now.ID = 99
	if err := things.ChangeFrom(c, before, now); !fault.Is(err, fault.Missing) {
		t.Errorf("a row that is not there: %v", err)
	}
}

// TestHeap holds that gathered rows have ids at once, and are all there when they are written: by hand, when there are many, or at the end.
func TestHeap(t *testing.T) {
	c := begun(t, false)
	heap := things.Heap(c)
	count := func() int {
		found, err := things.List(c, "")
		if err != nil {
			t.Fatal(err)
		}
		return len(found)
	}
	for i := range atOnce + 5 {
		if id, err := heap.Add(thing{Count: i}); err != nil || id != int64(7+i) {
			t.Fatalf("row %d has the id %d (%v)", i, id, err)
		}
	}
	if n := count(); n != atOnce {
		t.Errorf("%d are written, want %d", n, atOnce)
	}
	if err := c.KeepHeaps(); err != nil || count() != atOnce+5 {
		t.Errorf("%d are written (%v)", count(), err)
	}
	if got, err := things.Get(c, int64(7+atOnce+4)); err != nil || got.Count != atOnce+4 {
		t.Errorf("the last is %+v (%v)", got, err)
	}
	if err := c.KeepHeaps(); err != nil || count() != atOnce+5 {
		t.Errorf("written twice: %d (%v)", count(), err)
	}
	if _, err := things.Heap(begun(t, true)).Add(thing{}); fault.CodeOf(err) != fault.Internal || err == nil {
		t.Errorf("a reading transaction: %v", err)
	}
}

// TestStatements holds what is made of a list of columns.
func TestStatements(t *testing.T) {
	o := Make("orders", "order", func(x *thing) Columns { return Columns{"id", &x.ID, "mark", Once(&x.Mark), "paid", &x.Price} })
	for got, want := range map[string]string{
		o.Names:        "id, mark, paid, paid_currency",
		o.inserting(1): "INSERT INTO orders (id, mark, paid, paid_currency) VALUES ($1, $2, $3, $4)",
		o.update:       "UPDATE orders SET paid = $2, paid_currency = $3 WHERE id = $1",
		o.Under("r"):   "r.id, r.mark, r.paid, r.paid_currency",
		o.inserting(2): "INSERT INTO orders (id, mark, paid, paid_currency) VALUES ($1, $2, $3, $4), ($5, $6, $7, $8)",
	} {
		if got != want {
			t.Errorf("got %s, want %s", got, want)
		}
	}
}

// TestRowsByID holds that many ids are asked for in batches, and that what is not there is missing, refused or left out.
func TestRowsByID(t *testing.T) {
	c := begun(t, false)
	var ids []int64
	for range 2*Batch + 3 {
		id, err := things.Add(c, thing{Kind: "small"})
		if err != nil {
			t.Fatal(err)
		}
		ids = append(ids, id)
	}
	found, err := things.In(c, "id", append(ids, 99_999), "ORDER BY id")
	if err != nil || len(found) != len(ids) || found[len(ids)-1].ID != ids[len(ids)-1] {
		t.Errorf("%d of %d were found (%v)", len(found), len(ids), err)
	}
	if err := things.Drop(c, ids[0]); err != nil {
		t.Error(err)
	}
	for what, err := range map[string]error{
		"dropped again": things.Drop(c, ids[0]), "changed": things.Change(c, thing{ID: ids[0]}), "pointed at": c.Exists("things", "thing", ids[0]),
	} {
		if !fault.Is(err, fault.Missing) {
			t.Errorf("%s: %v", what, err)
		}
	}
	if _, err := things.Get(c, ids[0]); !fault.Is(err, fault.Missing) {
		t.Errorf("read: %v", err)
	}
	if id, err := things.Add(c, thing{}); err != nil || id != ids[len(ids)-1]+1 {
		t.Errorf("the next id is %d (%v)", id, err)
	}
}

// TestReadingWritesNothing holds that a transaction that reads refuses every change.
func TestReadingWritesNothing(t *testing.T) {
	c := begun(t, true)
	_, add := things.Add(c, thing{})
	_, insert := things.Insert(c, thing{}, "")
	for what, err := range map[string]error{"add": add, "insert": insert, "change": things.Change(c, thing{ID: 1}), "drop": things.Drop(c, 1)} {
		if fault.CodeOf(err) != fault.Internal || err == nil {
			t.Errorf("%s: %v", what, err)
		}
	}
}
