package bench

import (
	"cmp"
	"slices"
	"strings"

	"solander/order"
)

// Make returns the bench of the state's day. It looks at every open order once and gives each task the
// group it belongs to; the same state in any order of its parts gives the same list.
func Make(s State) List {
	b := maker{State: s, list: List{Day: s.Day, SetUps: s.SetUps, Groups: make(map[Group][]Task)}}
	b.open = open(s.Orders)
	plain := make([]order.Order, len(b.open))
	for i, o := range b.open {
		plain[i] = o.Order
	}
	b.sheets = SheetsOf(plain, s.OnHand, s.Runs)
	for i := range Fortnight {
		day := s.Day.Add(i)
		b.list.Ahead = append(b.list.Ahead, Promises{Day: day, Off: !s.Working.Is(day)})
	}
	for _, o := range b.open {
		b.money(o)
		b.address(o)
		b.sign(o)
		b.pack(o)
		b.parcels(o)
		b.promise(o)
	}
	b.orderSheets()
	b.restock()
	b.claims()
	for _, g := range Groups() {
		b.list.Groups[g] = inOrder(b.list.Groups[g])
	}
	b.tell()
	b.signed()
	b.alike()
	b.leave()
	return b.list
}

// open returns the open orders by mark and id, so that the order of the input does not matter.
func open(all []Order) []*Order {
	var out []*Order
	for i := range all {
		if all[i].State == order.Open {
			out = append(out, &all[i])
		}
	}
	slices.SortFunc(out, func(a, b *Order) int {
		return cmp.Or(strings.Compare(a.Mark, b.Mark), cmp.Compare(a.ID, b.ID))
	})
	return out
}

// maker holds what Make works on.
type maker struct {
	State
	open   []*Order // those of the state that are open
	sheets Sheets
	list   List
}

func (b *maker) add(t Task) { b.list.Groups[t.Group] = append(b.list.Groups[t.Group], t) }

// promise counts the order into the head of the list.
func (b *maker) promise(o *Order) {
	b.list.Open++
	p := o.Promised
	switch {
	case p.IsZero():
		return
	case b.late(p) > 0:
		b.list.Late++
		return
	case p.After(b.Day) && (b.list.Next.IsZero() || p.Before(b.list.Next)):
		b.list.Next = p
	}
	if at := max(0, p.Sub(b.Day)); at < len(b.list.Ahead) { // a promise for the days off before today is due today
		b.list.Ahead[at].Orders++
	}
}

// inOrder sorts tasks into the working order: by their places, as a task is large to move.
func inOrder(tasks []Task) []Task {
	places := make([]*Task, len(tasks))
	for i := range tasks {
		places[i] = &tasks[i]
	}
	if slices.IsSortedFunc(places, before) {
		return tasks
	}
	slices.SortStableFunc(places, before)
	out := make([]Task, len(tasks))
	for i, t := range places {
		out[i] = *t
	}
	return out
}

// before is the working order within a group: late first, the latest of all at the front; then by
// promise, those without one last; then by mark, and so that no two tasks are equal.
func before(a, b *Task) int {
	return cmp.Or(
		cmp.Compare(b.Late, a.Late),
		compareDays(a, b),
		strings.Compare(a.Mark, b.Mark),
		cmp.Compare(a.Order, b.Order),
		strings.Compare(a.What, b.What),
		cmp.Compare(a.Edition, b.Edition),
		cmp.Compare(a.Run, b.Run),
		cmp.Compare(a.Item, b.Item),
		cmp.Compare(a.Parcel, b.Parcel),
		slices.Compare(a.Lines, b.Lines),
	)
}

func compareDays(a, b *Task) int {
	switch {
	case a.Promised == b.Promised:
		return 0
	case a.Promised.IsZero():
		return 1
	case b.Promised.IsZero() || a.Promised.Before(b.Promised):
		return -1
	}
	return 1
}

// task begins a task of an order with its names, age and promise, and what is doubtful about its address
// where the work is about the parcel or its buyer.
func (b *maker) task(g Group, o *Order) Task {
	t := Task{Group: g, Order: o.ID, Mark: o.Mark, Buyer: o.BuyerName, Outlet: o.OutletName, Owed: o.Owed()}
	for _, l := range Pending(o.Order) {
		t.Pieces = append(t.Pieces, o.print(l).piece())
	}
	b.timed(&t, o.Placed, o.Promised)
	if g != SignPrints && g != OrderSheets {
		for _, d := range o.Doubts() {
			t.Doubts = append(t.Doubts, d.Text)
		}
	}
	return t
}
