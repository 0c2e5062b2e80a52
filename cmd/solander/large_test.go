//go:build unix

package main

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"hash"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"solander/calendar"
	"solander/demo"
	"solander/edition"
	"solander/store"
	"solander/studio"
	"solander/supply"
	"solander/tariff/cards"
)

// The large studio is the invented one, its open orders as they are, with a long past added: it has
// 100 000 orders and 1 000 000 entries of the register. The past is written into a copy of the invented
// studio, by the form in docs/formats/backup.md, and the store loads that.
const largeEditions = 40 // beside those of the invented studio

// size is how large it is. One that is posted has its sheets, too, and all of it stands in the journal, entered by the program itself.
type size struct {
	orders, buyers, entries int
	limit                   int // of each edition
	posted                  bool
}

var largest = size{100_000, 50_000, 1_000_000, 10_000, false}

// the day and the seed of every invented studio here.
var speedDay = calendar.Date(2026, 4, 14)

const speedSeed = 1

func speedClock() time.Time { return time.Date(2026, 4, 14, 16, 0, 0, 0, time.UTC) }

// invented builds a demo studio and returns its place.
func invented(b *testing.B, seed uint64) string {
	b.Helper()
	place := filepath.Join(b.TempDir(), "demo.db")
	all, err := cards.All()
	if err != nil {
		b.Fatal(err)
	}
	err = demo.Build(b.Context(), func(clock func() time.Time) (studio.Store, error) {
		return store.Open(b.Context(), place, store.Options{Clock: clock, Hasty: true, Story: true})
	}, demo.Options{Day: speedDay, Seed: seed, Cards: all})
	if err != nil {
		b.Fatal(err)
	}
	return place
}

func opened(b *testing.B, place string) studio.Store {
	b.Helper()
	s, err := store.Open(b.Context(), place, store.Options{Clock: speedClock})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = s.Close() })
	return s
}

var makeLarge struct {
	sync.Once
	err error
}

// large returns the place of the large studio, which is made once a run.
func large(b *testing.B) string {
	b.Helper()
	place := filepath.Join(filepath.Dir(built), "large.db")
	makeLarge.Do(func() {
		start := time.Now()
		var small bytes.Buffer
		makeLarge.err = opened(b, invented(b, speedSeed)).Dump(b.Context(), &small)
		if makeLarge.err == nil {
			makeLarge.err = loadGrown(b.Context(), place, &small, largest)
		}
		b.Logf("the large studio was made in %v", time.Since(start).Round(time.Second))
	})
	if makeLarge.err != nil {
		b.Fatal(makeLarge.err)
	}
	return place
}

func loadGrown(ctx context.Context, place string, small io.Reader, of size) error {
	c, err := readCopy(small)
	if err != nil {
		return err
	}
	s, err := store.Open(ctx, place, store.Options{Clock: speedClock, Hasty: true})
	if err != nil {
		return err
	}
	defer s.Close()
	from, to := io.Pipe()
	go func() { to.CloseWithError(c.writeGrown(to, of)) }()
	return s.Load(ctx, from)
}

// copied is a copy of a studio in memory.
type copied struct {
	head  json.RawMessage
	names []string
	cols  map[string][]string
	rows  map[string][][]any
}

// copyTable and copyEnd are lines of a copy, whose members have this order.
type copyTable struct {
	Table   string   `json:"table"`
	Columns []string `json:"columns"`
}

type copyEnd struct {
	Rows   map[string]int `json:"rows"`
	SHA256 string         `json:"sha256"`
}

func readCopy(r io.Reader) (*copied, error) {
	zip, err := gzip.NewReader(r)
	if err != nil {
		return nil, err
	}
	c := &copied{cols: map[string][]string{}, rows: map[string][][]any{}}
	in, now := bufio.NewReader(zip), ""
	for {
		line, err := in.ReadBytes('\n')
		if err == io.EOF {
			return c, nil
		}
		if err != nil {
			return nil, err
		}
		if line[0] == '[' {
			dec := json.NewDecoder(bytes.NewReader(line))
			dec.UseNumber()
			var row []any
			if err := dec.Decode(&row); err != nil {
				return nil, err
			}
			c.rows[now] = append(c.rows[now], row)
			continue
		}
		var o struct {
			Format, Table string
			Columns       []string
		}
		if err := json.Unmarshal(line, &o); err != nil {
			return nil, err
		}
		switch {
		case o.Format != "":
			c.head = bytes.TrimSpace(line)
		case o.Table != "":
			now = o.Table
			c.names, c.cols[now] = append(c.names, now), o.Columns
		}
	}
}

// like copies a row and sets some of its columns, given by name and value in turn.
func (c *copied) like(table string, row []any, set ...any) []any {
	out := append([]any(nil), row...)
	for i := 0; i < len(set); i += 2 {
		out[c.at(table, set[i].(string))] = set[i+1]
	}
	return out
}

func (c *copied) at(table, column string) int {
	for i, name := range c.cols[table] {
		if name == column {
			return i
		}
	}
	panic("no column " + column + " in " + table)
}

// where returns the rows in which a column has a value.
func (c *copied) where(table, column string, value any) [][]any {
	var out [][]any
	for _, row := range c.rows[table] {
		if fmt.Sprint(row[c.at(table, column)]) == fmt.Sprint(value) {
			out = append(out, row)
		}
	}
	return out
}

// growth adds the past.
type growth struct {
	*copied
	size
	out  *bufio.Writer
	sum  hash.Hash
	sums map[string]int

	oldEditions, oldBuyers, oldOrders, oldLines, oldEntries int
	sold                                                    int // lines added
	seq                                                     int
	closed                                                  [][]any // orders of the invented studio
	tallies                                                 []map[edition.State]int
}

func (c *copied) writeGrown(w io.Writer, of size) error {
	zip, err := gzip.NewWriterLevel(w, gzip.NoCompression)
	if err != nil {
		return err
	}
	g := &growth{
		copied: c, size: of, out: bufio.NewWriterSize(zip, 1<<16), sum: sha256.New(), sums: map[string]int{},
		oldEditions: len(c.rows["editions"]), oldBuyers: len(c.rows["buyers"]), oldOrders: len(c.rows["orders"]),
		oldLines: len(c.rows["lines"]), oldEntries: len(c.rows["register"]),
	}
	added := g.size.orders - g.oldOrders
	g.sold = added + added/10
	g.count(map[string]int{"editions": largeEditions, "buyers": g.size.buyers - g.oldBuyers, "orders": added, "marks of orders": added, "lines": g.sold, "parcels": added, "payments": added, "moves": g.moved()})
	if err := g.all(); err != nil {
		return err
	}
	if err := g.out.Flush(); err != nil {
		return err
	}
	return zip.Close()
}

// count moves the counters on.
func (g *growth) count(added map[string]int) {
	for _, row := range g.rows["counters"] {
		n, _ := row[1].(json.Number).Int64()
		row[1] = n + int64(added[row[0].(string)])
	}
}

func (g *growth) all() error {
	more := map[string]func() error{
		"editions": g.editions, "buyers": g.buyers, "orders": g.orders, "parcels": g.parcels, "lines": g.lines,
		"payments": g.payments, "moves": g.moves, "stocks": g.stocks, "impressions": g.impressions, "register": g.register, "tallies": g.tally,
	}
	if err := g.write(g.head); err != nil {
		return err
	}
	for _, name := range g.names {
		if err := g.write(copyTable{name, g.cols[name]}); err != nil {
			return err
		}
		for _, row := range g.rows[name] {
			if g.posted && slices.Contains(followed, name) {
				continue
			}
			if err := g.row(name, row); err != nil {
				return err
			}
		}
		if f := more[name]; f != nil {
			if err := f(); err != nil {
				return err
			}
		}
		g.sums[name] += 0 // an empty table is there too
	}
	if g.sums["register"] != g.size.entries || g.sums["orders"] != g.size.orders {
		return fmt.Errorf("%d orders and %d entries were made", g.sums["orders"], g.sums["register"])
	}
	return g.write(copyEnd{g.sums, hex.EncodeToString(g.sum.Sum(nil))})
}

// followed are the tables that are filled by the program itself when it loads a copy of a studio of which nothing stands in the journal.
var followed = []string{"entries", "entry_lines", "entry_sums", "earned_sums", "order_sums", "lot_sums", "closed_periods", "layers", "layer_uses"}

// moved is how many moves of sheets are added.
func (g *growth) moved() int {
	if !g.posted {
		return 0
	}
	return largeEditions + g.sold
}

// moves are the sheets of the editions that were added, counted once, and one that goes with each line.
func (g *growth) moves() error {
	id := len(g.rows["moves"])
	move := func(ed, delta int, cause supply.Cause, line, cost int, day any) error {
		id++
		return g.row("moves", g.like("moves", g.rows["moves"][0], "id", id, "kind", supply.Sheets, "item", ed, "delta", delta, "cause", cause, "line", line, "parcel", 0, "run", 0,
			"cost", cost, "cost_currency", "USD", "day", day, "reason", "made"))
	}
	for i := range largeEditions {
		if g.posted {
			if err := move(g.oldEditions+1+i, g.limit, supply.FirstCount, 0, 12_00*g.limit, "2024-05-02"); err != nil {
				return err
			}
		}
	}
	for id := g.oldOrders + 1; g.posted && id <= g.size.orders; id++ {
		for _, line := range g.linesOf(id) {
			ed, _ := g.place(line)
			if err := move(ed, -1, supply.HandedOver, line, 0, g.cell("orders", g.old(id), "closed_on")); err != nil {
				return err
			}
		}
	}
	return nil
}

// stocks are what is left of those sheets.
func (g *growth) stocks() error {
	for i := range largeEditions {
		if !g.posted {
			break
		}
		sold := g.sold / largeEditions
		if i < g.sold%largeEditions {
			sold++
		}
		if err := g.row("stocks", g.like("stocks", g.rows["stocks"][0], "kind", supply.Sheets, "item", g.oldEditions+1+i, "qty", g.limit-sold)); err != nil {
			return err
		}
	}
	return nil
}

func (g *growth) row(table string, row []any) error {
	g.sums[table]++
	return g.write(row)
}

func (g *growth) write(v any) error {
	line, err := json.Marshal(v)
	if err != nil {
		return err
	}
	line = append(line, '\n')
	g.sum.Write(line)
	_, err = g.out.Write(line)
	return err
}

// editions have the works of the invented studio.
func (g *growth) editions() error {
	for i := range largeEditions {
		like := g.rows["editions"][i%g.oldEditions]
		err := g.row("editions", g.like("editions", like, "id", g.oldEditions+i+1, "declared_limit", g.limit, "ap", 0, "pp", 0, "hc", 0, "bat", 0, "closed", 0))
		if err != nil {
			return err
		}
	}
	return nil
}

// nameOf mixes the first names and the family names of the invented buyers.
func (g *growth) nameOf(buyer int) string {
	all := g.rows["buyers"]
	part := func(i, which int) string {
		words := strings.Fields(all[i%len(all)][1].(string))
		return words[min(which, len(words)-1)]
	}
	return part(buyer, 0) + " " + part(buyer/len(all)*7+buyer, 1)
}

func (g *growth) buyers() error {
	for id := g.oldBuyers + 1; id <= g.size.buyers; id++ {
		err := g.row("buyers", g.like("buyers", g.rows["buyers"][0], "id", id, "name", g.nameOf(id), "email", fmt.Sprintf("b%d@example.org", id), "phone", "", "note", ""))
		if err != nil {
			return err
		}
	}
	return nil
}

// old is a closed order of the invented studio, after which one was made that was added.
func (g *growth) old(id int) []any {
	if g.closed == nil {
		g.closed = g.where("orders", "state", "closed")
	}
	return g.closed[id%len(g.closed)]
}

// cell is what stands in a column of a row.
func (g *growth) cell(table string, row []any, column string) any { return row[g.at(table, column)] }

// minor is an amount that stands in a column of a row.
func (g *growth) minor(table string, row []any, column string) int64 {
	n, err := g.cell(table, row, column).(json.Number).Int64()
	if err != nil {
		panic(err)
	}
	return n
}

func (g *growth) orders() error {
	for id := g.oldOrders + 1; id <= g.size.orders; id++ {
		buyer := (id-1)/2 + 1
		err := g.row("orders", g.like("orders", g.old(id), "id", id, "mark", fmt.Sprintf("S-%d", 1000+id), "ref", fmt.Sprintf("P%07d", id), "buyer", buyer, "ship_name", g.nameOf(buyer)))
		if err != nil {
			return err
		}
	}
	return nil
}

// linesOf are the lines of an order that was added: every tenth has two.
func (g *growth) linesOf(id int) []int {
	n := id - g.oldOrders - 1
	first := g.oldLines + n + n/10 + 1
	if n%10 == 9 {
		return []int{first, first + 1}
	}
	return []int{first}
}

// place is the edition and the number of a line that was added.
func (g *growth) place(line int) (ed, n int) {
	at := line - g.oldLines - 1
	return g.oldEditions + 1 + at%largeEditions, at/largeEditions + 1
}

func (g *growth) parcels() error {
	sent := g.where("parcels", "state", "handed-over")
	first := len(g.rows["parcels"])
	for id := g.oldOrders + 1; id <= g.size.orders; id++ {
		like := sent[id%len(sent)]
		lines, err := json.Marshal(g.linesOf(id))
		if err != nil {
			return err
		}
		err = g.row("parcels", g.like("parcels", like, "id", first+id-g.oldOrders, "order_id", id, "lines", string(lines), "tracking", fmt.Sprintf("9%021d", id),
			"labelled_on", g.cell("orders", g.old(id), "closed_on"), "handed_over_on", g.cell("orders", g.old(id), "closed_on")))
		if err != nil {
			return err
		}
	}
	return nil
}

func (g *growth) lines() error {
	first := len(g.rows["parcels"])
	for id := g.oldOrders + 1; id <= g.size.orders; id++ {
		for _, line := range g.linesOf(id) {
			ed, n := g.place(line)
			err := g.row("lines", g.like("lines", g.rows["lines"][0], "id", line, "order_id", id, "edition", ed, "kind", "N", "number", n, "parcel", first+id-g.oldOrders))
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// payments pay the orders that were added, each whole on the day on which it left.
func (g *growth) payments() error {
	first := len(g.rows["payments"])
	for id := g.oldOrders + 1; id <= g.size.orders; id++ {
		o := g.old(id)
		due := int64(len(g.linesOf(id)))*g.minor("lines", g.rows["lines"][0], "price") + g.minor("orders", o, "postage")
		if g.minor("orders", o, "tax_by_outlet") == 0 {
			due += g.minor("orders", o, "tax")
		}
		if err := g.row("payments", g.like("payments", g.rows["payments"][0], "id", first+id-g.oldOrders, "order_id", id, "amount", due, "day", g.cell("orders", o, "closed_on"))); err != nil {
			return err
		}
	}
	return nil
}

// each goes through the numbers of the editions that were added: those of lines were sold; the others
// went into the archive and came out of it, and so many of them into it again that the entries are a million.
func (g *growth) each(f func(ed, n, line int, steps []edition.Step) error) error {
	numbers := largeEditions * g.limit
	again := g.size.entries - g.oldEntries - 3*g.sold - 2*(numbers-g.sold)
	for i := range largeEditions {
		for n := 1; n <= g.limit; n++ {
			at := (n-1)*largeEditions + i
			line, steps := g.oldLines+1+at, []edition.Step{edition.Promise, edition.Sign, edition.Send}
			if at >= g.sold {
				line, steps = 0, []edition.Step{edition.Keep, edition.Release}
				if again > 0 {
					again--
					steps = append(steps, edition.Keep)
				}
			}
			if err := f(g.oldEditions+1+i, n, line, steps); err != nil {
				return err
			}
		}
	}
	return nil
}

func (g *growth) impressions() error {
	g.tallies = make([]map[edition.State]int, largeEditions)
	for i := range g.tallies {
		g.tallies[i] = map[edition.State]int{}
	}
	return g.each(func(ed, n, line int, steps []edition.Step) error {
		last, err := after(steps, line)
		if err != nil {
			return err
		}
		now := last[len(last)-1]
		g.tallies[ed-g.oldEditions-1][now.State]++
		var held any
		available, signedOn := 0, ""
		if now.Line != 0 {
			held, signedOn = now.Line, "2025-02-03"
		}
		if now.State == edition.Free {
			available = 1
		}
		return g.row("impressions", []any{ed, "N", n, now.State, held, number(now.Signed), now.Struck, now.Turn, available, "2025-02-03", signedOn, ""})
	})
}

func (g *growth) register() error {
	g.seq = g.oldEntries
	return g.each(func(ed, n, line int, steps []edition.Step) error {
		all, err := after(steps, line)
		if err != nil {
			return err
		}
		for i, now := range all {
			g.seq++
			err := g.row("register", []any{g.seq, ed, "N", n, now.Turn, steps[i], now.State, now.Line, number(now.Signed), now.Struck, "", "2025-02-03", 1_738_600_000_000_000 + g.seq, "Wren Aldermoor", "", 0})
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// after is how a fresh number stands after each of some steps, by the rules.
func after(steps []edition.Step, line int) ([]edition.Standing, error) {
	var out []edition.Standing
	now := edition.FreshStanding()
	for _, step := range steps {
		next, err := now.After(step, int64(line), "")
		if err != nil {
			return nil, err
		}
		out, now = append(out, next), next
	}
	return out, nil
}

func number(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

func (g *growth) tally() error {
	for i, counts := range g.tallies {
		row := []any{g.oldEditions + 1 + i}
		for _, s := range edition.States() {
			row = append(row, counts[s])
		}
		if err := g.row("tallies", append(row, counts[edition.Sent])); err != nil {
			return err
		}
	}
	return nil
}
