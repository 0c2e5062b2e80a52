package store

import (
	"context"
	"fmt"
	"slices"
	"time"

	"solander/calendar"
	"solander/edition"
	"solander/order"
	"solander/store/copies"
	"solander/store/numbers"
	"solander/store/orders"
	"solander/store/table"
	"solander/studio/storetest/bed"
)

// The large studio of the benchmarks: every order has one line, every fifth two; all but the open ones
// are sent. The numbers that no line has went into the archive and out of it again, so that the register
// has a million entries.
const (
	editions   = 40
	limit      = 10_000
	allOrders  = 100_000
	openOrders = 200
	entries    = 1_000_000
)

var (
	titles = []string{"Harbour at noon", "Meadow, frost", "Heron at dusk", "Old weir", "Étude in grey"}
	cities = []string{"Roanoke", "Zwolle", "Malmö", "Salem", "Łódź", "Cork"}
)

// seed fills an empty store in one transaction.
func seed(ctx context.Context, s *store) error {
	return s.write(ctx, func(t *tx) error {
		h, err := bed.Furnish(t)
		if err != nil {
			return err
		}
		d := seeder{tx: t, wait: make(map[string][]any)}
		for _, f := range []func(bed.House) error{d.editions, d.buyersAndOrders, d.register} {
			if err := f(h); err != nil {
				return err
			}
		}
		for name, n := range map[string]int{"editions": editions, "works": len(titles), "buyers": allOrders / 2, "orders": allOrders, "lines": d.lines, "marks of orders": 1000 + allOrders} {
			if _, err := t.conn.Exec(`UPDATE counters SET value = $2 WHERE name = $1`, name, n); err != nil {
				return err
			}
		}
		return t.index.All()
	})
}

type seeder struct {
	tx    *tx
	wait  map[string][]any
	lines int
	of    [editions*limit + 1]int // line of each number, counted through
	open  [editions*limit + 1]bool
	seqs  int64
}

// row adds a row to a table, many at a time.
func (d *seeder) row(name string, values ...any) error {
	d.wait[name] = append(d.wait[name], values...)
	if len(d.wait[name]) >= copies.Together*len(values) {
		return d.flush(name)
	}
	return nil
}

func (d *seeder) flush(name string) error {
	i := slices.IndexFunc(copies.Tables, func(t copies.Table) bool { return t.Name == name })
	if i < 0 {
		return fmt.Errorf("no table %s", name)
	}
	if n := len(d.wait[name]) / len(copies.Tables[i].Split()); n > 0 {
		if _, err := d.tx.conn.Exec(copies.Tables[i].Insert(n), d.wait[name]...); err != nil {
			return err
		}
	}
	d.wait[name] = d.wait[name][:0]
	return nil
}

// editions declares forty; their numbers are made by register.
func (d *seeder) editions(h bed.House) error {
	for i, title := range titles[1:] {
		if err := d.row("works", i+2, title, 2029, ""); err != nil {
			return err
		}
	}
	if _, err := d.tx.conn.Exec(`UPDATE works SET title = $1 WHERE id = 1`, titles[0]); err != nil {
		return err
	}
	if err := d.flush("works"); err != nil {
		return err
	}
	var all []edition.Edition
	for i := range editions {
		e := h.Print(limit)
		e.ID, e.Work, e.Proofs = int64(i+1), int64(i%len(titles)+1), edition.Proofs{}
		all = append(all, e)
		w, err := d.tx.Work(e.Work)
		if err != nil {
			return err
		}
		if err := d.tx.AppendDeclared(e, w.Year); err != nil {
			return err
		}
	}
	_, err := numbers.Editions.InsertAll(d.tx.conn, all, "")
	return err
}

// nameOf gives the buyers five hundred first names and thirty family names, which all begin alike.
func nameOf(buyer int) string { return fmt.Sprintf("Anna%d Holm%d", buyer%500, buyer/500%30) }

func (d *seeder) buyersAndOrders(h bed.House) error {
	var buyers []order.Buyer
	for i := 2; i <= allOrders/2; i++ {
		buyers = append(buyers, order.Buyer{ID: int64(i), Name: nameOf(i), Email: fmt.Sprintf("b%d@example.org", i)})
	}
	if _, err := orders.Buyers.InsertAll(d.tx.conn, buyers, ""); err != nil {
		return err
	}
	var all []order.Order
	first := calendar.Date(2029, 1, 1)
	for i := 1; i <= allOrders; i++ {
		o := h.Sale()
		o.ID, o.Mark, o.Ref = int64(i), fmt.Sprintf("S-%d", 1000+i), fmt.Sprintf("REF-%d", i)
		o.Buyer, o.ShipTo.Name, o.ShipTo.City = int64(i/2%(allOrders/2)+1), nameOf(i/2%(allOrders/2)+1), cities[i%len(cities)]
		o.Placed = first.Add(i / 140)
		o.Promised, o.State = o.Placed.Add(7), order.Closed
		if i > allOrders-openOrders {
			o.State = order.Open
		}
		all = append(all, o)
	}
	if _, err := orders.Orders.InsertAll(d.tx.conn, all, ""); err != nil {
		return err
	}
	return d.linesOf(h)
}

// linesOf gives the lines numbers, going round the editions.
func (d *seeder) linesOf(h bed.House) error {
	var all []order.Line
	for i := 1; i <= allOrders; i++ {
		for j := 0; j == 0 || j == 1 && i%5 == 0; j++ {
			d.lines++
			at := d.lines - 1
			ed, n := at%editions, at/editions+1
			d.of[ed*limit+n] = d.lines
			d.open[ed*limit+n] = i > allOrders-openOrders
			all = append(all, order.Line{ID: int64(d.lines), Order: int64(i), Edition: int64(ed + 1), Number: edition.Number{Kind: edition.Numbered, N: n}, Price: h.Print(1).Price})
		}
	}
	_, err := orders.Lines.InsertAll(d.tx.conn, all, "")
	return err
}

// register writes every number's steps and how it stands after them, by the rules.
func (d *seeder) register(bed.House) error {
	more := entries - 3*d.lines - 2*(editions*limit-d.lines) // so many have a third step
	for ed := 1; ed <= editions; ed++ {
		tally := make(map[edition.State]int)
		held := 0
		var all []edition.Entry
		for n := 1; n <= limit; n++ {
			at := (ed-1)*limit + n
			steps := []edition.Step{edition.Keep, edition.Release}
			switch {
			case d.of[at] > 0 && d.open[at]:
				steps, held = []edition.Step{edition.Sign, edition.Promise}, held+1
				more++
			case d.of[at] > 0:
				steps, held = []edition.Step{edition.Sign, edition.Promise, edition.Send}, held+1
			case more > 0:
				steps, more = append(steps, edition.Keep), more-1
			}
			own, err := d.history(int64(ed), n, steps, int64(d.of[at]))
			if err != nil {
				return err
			}
			last := own[len(own)-1].After
			tally[last.State]++
			if err := d.row("impressions", ed, edition.Numbered, n, last.State, table.Optional(last.Line), last.Signed, last.Struck, last.Turn, last.Line == 0 && (last.State == edition.Free || last.State == edition.Signed), "2031-03-04", "", ""); err != nil {
				return err
			}
			all = append(all, own...)
		}
		if err := d.flush("impressions"); err != nil {
			return err
		}
		if err := d.enter(all); err != nil {
			return err
		}
		values := []any{ed}
		for _, s := range []edition.State{
			edition.Free, edition.Promised, edition.Signed, edition.Sent, edition.Returned, edition.Spoilt, edition.Kept, edition.Withdrawn,
		} {
			values = append(values, tally[s])
		}
		values = append(values, held, tally[edition.Consigned], tally[edition.SoldThere])
		if err := d.row("tallies", values...); err != nil {
			return err
		}
	}
	if d.seqs != entries {
		return fmt.Errorf("%d entries were made, %d were wanted", d.seqs, entries)
	}
	return d.flush("tallies")
}

func (d *seeder) history(ed int64, n int, steps []edition.Step, line int64) ([]edition.Entry, error) {
	var out []edition.Entry
	now := edition.FreshStanding()
	for _, step := range steps {
		after, err := now.After(step, line, "")
		if err != nil {
			return nil, err
		}
		d.seqs++
		out = append(out, edition.Entry{
			Seq: d.seqs, Edition: ed, Number: edition.Number{Kind: edition.Numbered, N: n}, Turn: after.Turn, Step: step, After: after,
			Order: "S-1001", Day: calendar.Date(2031, 3, 4), At: time.UnixMicro(1_900_000_000_000_000 + d.seqs), Who: "Ines",
		})
		now = after
	}
	return out, nil
}

// enter writes entries with their leaves.
func (d *seeder) enter(all []edition.Entry) error {
	if err := d.tx.AppendEntries(all); err != nil {
		return err
	}
	for _, e := range all {
		a := e.After
		if err := d.row("register", e.Seq, e.Edition, e.Number.Kind, e.Number.N, e.Turn, e.Step, a.State, a.Line, a.Signed, a.Struck,
			e.Order, e.Day.String(), e.At.UnixMicro(), e.Who, e.Note, e.Undoes); err != nil {
			return err
		}
	}
	return d.flush("register")
}
