package bench

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/supply"
)

// waiting is a line without a sheet, with its order and what it is called.
type waiting struct {
	supply.Claim
	order *Order
	name  string // of its edition
	piece Piece
}

// orderSheets lists what to order from the lab, one task an edition, and who waits for a run.
func (b *maker) orderSheets() {
	byEdition := make(map[int64][]waiting)
	byRun := make(map[[2]int64][]waiting) // order and run
	for _, w := range b.waits() {
		if c, ok := b.sheets.Coming[w.Line]; ok {
			byRun[[2]int64{w.order.ID, c.Run}] = append(byRun[[2]int64{w.order.ID, c.Run}], w)
		} else {
			byEdition[w.Edition] = append(byEdition[w.Edition], w)
		}
	}
	for _, ed := range keys(byEdition) {
		b.add(b.toOrder(ed, byEdition[ed]))
	}
	for _, ws := range byRun {
		b.add(b.waitsForRun(ws, b.sheets.Coming[ws[0].Line]))
	}
}

// waits returns the lines without a sheet with their orders, in the order in which they are served.
func (b *maker) waits() []waiting {
	at := make(map[int64]int, len(b.sheets.Waits))
	out := make([]waiting, len(b.sheets.Waits))
	for i, c := range b.sheets.Waits {
		at[c.Line], out[i].Claim = i, c
	}
	for _, o := range b.open {
		for _, l := range Pending(o.Order) {
			if i, ok := at[l.ID]; ok {
				p := o.print(l)
				out[i].order, out[i].name, out[i].piece = o, p.Edition, p.piece()
			}
		}
	}
	return out
}

// toOrder is the task to order sheets of an edition: wanted less on hand less outstanding.
func (b *maker) toOrder(ed int64, ws []waiting) Task {
	first := ws[0].order // the most urgent: lines are served by promise
	t := Task{Group: OrderSheets, Edition: ed, What: ws[0].name, Quantity: len(ws), Pieces: []Piece{{Work: ws[0].piece.Work, Title: ws[0].piece.Title}}}
	b.timed(&t, first.Placed, first.Promised)
	for _, w := range ws {
		t.Lines = append(t.Lines, w.Line)
		if !slices.Contains(t.Orders, w.order.ID) {
			t.Orders = append(t.Orders, w.order.ID)
			t.Detail = append(t.Detail, w.order.Mark+" "+w.order.BuyerName+": "+b.timing(w.order.Placed, w.order.Promised))
		}
	}
	wanted := b.wanted(ed)
	t.Why = fmt.Sprintf("%s wanted, %s on hand", fault.Count(wanted, "sheet"), none(max(0, b.OnHand[ed])))
	if out := b.outstanding(ed); out > 0 {
		t.Why += fmt.Sprintf(", %d on the way", out)
	}
	return t
}

// wanted counts the lines of open orders that need a sheet of the edition or have one.
func (b *maker) wanted(ed int64) int {
	n := 0
	for _, o := range b.open {
		for _, l := range Pending(o.Order) {
			if l.Edition == ed && (l.Signed || Funded(o.Order)) {
				n++
			}
		}
	}
	return n
}

func (b *maker) outstanding(ed int64) int {
	n := 0
	for _, r := range b.Runs {
		if r.Edition == ed {
			n += r.Outstanding()
		}
	}
	return n
}

// waitsForRun tells of an order whose sheets a run will bring.
func (b *maker) waitsForRun(ws []waiting, c supply.Coming) Task {
	o := ws[0].order
	t := b.task(OrderSheets, o)
	t.Edition, t.Run, t.Expected, t.What, t.Pieces = ws[0].Edition, c.Run, c.Expected, ws[0].name, nil
	for _, w := range ws {
		t.Lines, t.Pieces = append(t.Lines, w.Line), append(t.Pieces, w.piece)
	}
	t.Why = fault.Count(len(ws), "sheet") + " ordered"
	t.Detail = append(t.Detail, o.kept()...)
	t.Blocked = fmt.Sprintf("waits for run %d since %s", c.Run, b.day(c.Since))
	if !c.Expected.IsZero() {
		t.Blocked += ", expected " + b.day(c.Expected) + b.overdue(c.Expected)
	}
	return t
}

func (b *maker) overdue(expected calendar.Day) string {
	if n := b.late(expected); n > 0 {
		return ", " + workingDays(n) + " overdue"
	}
	return ""
}

// restock lists what the shelf runs short of: whole packs, enough to be above the mark again.
func (b *maker) restock() {
	for _, s := range b.Shelf {
		if s.Stock > s.ReorderAt && s.OneMore == "" {
			continue
		}
		pack := max(1, s.Pack)
		packs := max(1, (s.ReorderAt+1-s.Stock+pack-1)/pack)
		t := Task{Group: Restock, Item: s.ID, What: s.Name, Quantity: packs * pack, Unused: !s.Used}
		t.Why = fmt.Sprintf("%s left, reorder at %d", none(s.Stock), s.ReorderAt)
		if s.Pack > 1 {
			t.Detail = []string{fmt.Sprintf("%s of %d", fault.Count(packs, "pack"), pack)}
		}
		if s.OneMore != "" {
			t.Detail = append(t.Detail, s.OneMore)
		}
		b.add(t)
	}
}

func none(n int) string {
	if n == 0 {
		return "none"
	}
	return fmt.Sprint(n)
}

func keys[K cmp.Ordered, V any](m map[K]V) []K {
	var out []K
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// names joins "a", "b", "c" as "a, b and c".
func names(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
