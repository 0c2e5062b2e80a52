package ahead

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"

	"solander/dayplan"
	"solander/dayplan/horizon"
	"solander/packing"
)

// builder plans sets of orders on days as they are needed.
type builder struct {
	plans  *dayplan.Plans
	q      Question
	none   int
	alike  []int // of each day, the first on which the same cards and pieces are there
	units  []unit
	scarce []int // places on the shelf of items that plans of several days together take more of than there is
	loose  bool  // of some set not every use of scarce items was looked at

	mu   sync.Mutex
	made map[string][]made
}

// unit is orders, by their places, that may share parcels.
type unit []int

func (u unit) members(s horizon.Set) []int {
	var out []int
	for bit, i := range u {
		if s>>bit&1 == 1 {
			out = append(out, i)
		}
	}
	return out
}

// made is a plan of a set on a day: what it costs and takes, of all of the shelf.
type made struct {
	cost, least int64
	use         []int
	unkept      []int64 // orders whose choice it does not keep
}

func newBuilder(plans *dayplan.Plans, q Question) *builder {
	b := &builder{plans: plans, q: q, made: map[string][]made{}}
	for d := range q.Days {
		first := d
		for e := range d {
			if q.Days[e].Cards == q.Days[d].Cards && b.sameShelf(e, d) {
				first = e
				break
			}
		}
		b.alike = append(b.alike, first)
	}
	places := make([]int, len(q.Orders))
	for i := range places {
		places[i] = i
	}
	slices.SortFunc(places, func(i, j int) int { return strings.Compare(q.Orders[i].ID, q.Orders[j].ID) })
	at := map[string]int{}
	for _, i := range places {
		with := q.Orders[i].With
		u, known := at[with]
		if with == "" || !known || len(b.units[u]) == packing.MostJoint {
			at[with] = len(b.units)
			b.units = append(b.units, unit{i})
			continue
		}
		b.units[u] = append(b.units[u], i)
	}
	return b
}

func (b *builder) shelf(day int) []packing.Item { return b.q.Days[day].Ask.Base.Shelf }

// stock is how many pieces of an item there are by a day; an item without a count never runs out.
func (b *builder) stock(item, day int) int {
	if n := b.shelf(day)[item].Stock; n != nil {
		return *n
	}
	return 1 << 30
}

func (b *builder) sameShelf(x, y int) bool {
	for i := range b.shelf(x) {
		if b.stock(i, x) != b.stock(i, y) {
			return false
		}
	}
	return true
}

// days are the first and the last day on which all of a set may go.
func (b *builder) days(of []int) (from, to int) {
	to = len(b.q.Days) - 1
	for _, i := range of {
		from, to = max(from, b.q.Orders[i].From), min(to, max(b.q.Orders[i].From, b.q.Orders[i].To))
	}
	return from, to
}

// planned is the day by which a set on a day is planned: the first that is like it, unless the day of arrival matters.
func (b *builder) planned(of []int, day int) int {
	if slices.ContainsFunc(of, func(i int) bool {
		return !b.q.Orders[i].ArriveBy.IsZero() || !b.q.Orders[i].Demand.ArriveBy.IsZero()
	}) {
		return day
	}
	return b.alike[day]
}

// question is a set that is planned on a day.
type question struct {
	of  []int
	day int
}

func (q question) key() string { return fmt.Sprint(q.day, q.of) }

// questions are all sets and days that a plan may be made of.
func (b *builder) questions() []question {
	var out []question
	seen := map[string]bool{}
	for _, u := range b.units {
		for s := horizon.Set(1); int(s) < 1<<len(u); s++ {
			of := u.members(s)
			from, to := b.days(of)
			for d := from; d <= to; d++ {
				q := question{of, b.planned(of, d)}
				if k := q.key(); !seen[k] {
					seen[k] = true
					out = append(out, q)
				}
			}
		}
	}
	return out
}

// columns plans every set on every day, those that take scarce items in every way that may matter.
func (b *builder) columns(ctx context.Context) error {
	all := b.questions()
	return dayplan.SideBySide(ctx, len(all), func(i int) error {
		b.mu.Lock()
		known := b.made[all[i].key()]
		b.mu.Unlock()
		if known != nil && !b.takesScarce(known[0]) {
			return nil
		}
		found, whole, err := b.ways(ctx, all[i])
		b.mu.Lock()
		defer b.mu.Unlock()
		b.made[all[i].key()] = found
		b.loose = b.loose || !whole
		return err
	})
}

func (b *builder) takesScarce(m made) bool {
	return slices.ContainsFunc(b.scarce, func(i int) bool { return m.use[i] > 0 })
}

// mostWays bounds how many plans of a set on a day are made.
const mostWays = 60

// ways are the plans of a set on a day, the cheapest first, so that every other takes more of a scarce item than one that costs no more. A
// plan is the cheapest of all that take no more than a limit; what it does not speak for takes less than it of some scarce item. whole is
// false when there were too many.
func (b *builder) ways(ctx context.Context, q question) (out []made, whole bool, err error) {
	limits := []map[int]int{{}}
	seen := map[string]bool{}
	for len(limits) > 0 {
		if len(out) == mostWays {
			return out, false, nil
		}
		limit := limits[0]
		limits = limits[1:]
		m, goes, err := b.plan(ctx, q, limit)
		if err != nil {
			return nil, false, err
		}
		if !goes {
			continue
		}
		out = append(out, m)
		for _, item := range b.scarce {
			if m.use[item] == 0 {
				continue
			}
			less := map[int]int{item: m.use[item] - 1}
			for i, n := range limit {
				if i != item {
					less[i] = n
				}
			}
			if k := fmt.Sprint(less); !seen[k] {
				seen[k] = true
				limits = append(limits, less)
			}
		}
	}
	return out, true, nil
}

// plan makes one plan of a set; goes is false when one of its orders cannot go so.
func (b *builder) plan(ctx context.Context, q question, limit map[int]int) (m made, goes bool, err error) {
	var orders []*Order
	for _, i := range q.of {
		orders = append(orders, &b.q.Orders[i])
	}
	a := ask(b.q.Days[q.day].Ask, orders, limit)
	a.Base.Options.RejectedMost = &b.none // nobody reads why others are not
	plans, _, err := b.plans.Kept(ctx, a)
	if err != nil {
		return m, false, err
	}
	m.use = make([]int, len(a.Base.Shelf))
	used := map[string]int{}
	for id, p := range plans {
		if !p.Goes() {
			return m, false, nil
		}
		if p.Unkept != "" {
			m.unkept = append(m.unkept, id)
		}
		if !p.Leads(id) {
			continue
		}
		m.cost += p.Plan.Total
		m.least += p.Plan.Bound
		for _, u := range p.Plan.StockUsed {
			used[u.Item] += u.Count
		}
	}
	for i, it := range a.Base.Shelf {
		m.use[i] = used[it.ID]
	}
	return m, true, nil
}

// answer is a plan of the days by the columns that it was found among.
type answer struct {
	horizon.Answer
	columns [][]horizon.Column
	uses    [][][]int // what each takes of all of the shelf
}

// choice is what a plan of the days is sought among.
type choice struct {
	may   func(o *Order, at, day int) bool // whether an order may go on a day
	free  func(order int64) bool           // whether what is kept for an order is there for all; nil = for none
	money bool                             // how many days orders wait does not matter
}

// withheld is how many pieces of an item are kept on a day for orders of later days, but for those of which they are free.
func (q Question) withheld(id string, day int, free func(int64) bool) int {
	n := 0
	for _, k := range q.Kept {
		if day < k.To && (free == nil || !free(k.Order)) {
			n += k.Pieces[id]
		}
	}
	return n
}

// left is how many pieces of an item there are by a day for all.
func (b *builder) left(item, day int, c choice) int {
	return max(0, b.stock(item, day)-b.q.withheld(b.shelf(0)[item].ID, day, c.free))
}

// solve finds the best plan in which every order goes on a day that is allowed, if it goes. An item that it takes too much of is scarce from
// then on, and it is sought again.
func (b *builder) solve(ctx context.Context, among choice) (answer, error) {
	until, _ := dayplan.SearchOf(ctx)
	for {
		p := horizon.Problem{Days: len(b.q.Days), Loose: b.loose, Money: among.money}
		for _, item := range b.scarce {
			var stock []int
			for d := range b.q.Days {
				stock = append(stock, b.left(item, d, among))
			}
			p.Stock = append(p.Stock, stock)
		}
		a := answer{}
		for _, u := range b.units {
			columns, use := b.columnsOf(u, among.may)
			a.columns, a.uses = append(a.columns, columns), append(a.uses, use)
			p.Units = append(p.Units, horizon.Unit{Orders: len(u), Columns: columns})
		}
		var err error
		if a.Answer, err = horizon.Solve(until, p); err != nil {
			return a, err
		}
		more := b.overdrawn(a, among)
		if len(more) == 0 {
			return a, nil
		}
		b.scarce = append(b.scarce, more...)
		slices.Sort(b.scarce)
		if err := b.columns(dayplan.Quietly(ctx)); err != nil {
			return a, err
		}
	}
}

// columnsOf are the columns of a unit on the days that are allowed, with what each takes of all of the shelf.
func (b *builder) columnsOf(u unit, may func(o *Order, at, day int) bool) (out []horizon.Column, uses [][]int) {
	for s := horizon.Set(1); int(s) < 1<<len(u); s++ {
		of := u.members(s)
		from, to := b.days(of)
		for d := from; d <= to; d++ {
			if slices.ContainsFunc(of, func(i int) bool { return !may(&b.q.Orders[i], i, d) }) {
				continue
			}
			waits := 0
			for _, i := range of {
				waits += d - b.q.Orders[i].From
			}
			for _, m := range b.made[question{of, b.planned(of, d)}.key()] {
				if b.worse(of, d, m) {
					continue
				}
				c := horizon.Column{Orders: s, Day: d, Cost: m.cost, Least: min(m.least, m.cost), Waits: waits, Use: make([]int, len(b.scarce))}
				for j, item := range b.scarce {
					c.Use[j] = m.use[item]
				}
				out, uses = append(out, c), append(uses, m.use)
			}
		}
	}
	return out, uses
}

// worse reports that a plan does not keep what was chosen for an order that would wait for it: that is no reason to wait.
func (b *builder) worse(of []int, day int, m made) bool {
	return slices.ContainsFunc(of, func(i int) bool {
		return day > b.q.Orders[i].From && slices.Contains(m.unkept, b.q.Orders[i].Key)
	})
}

// overdrawn are the items of which a plan takes more up to some day than there is by then, that are not known as scarce.
func (b *builder) overdrawn(a answer, among choice) []int {
	var out []int
	for item := range b.shelf(0) {
		if slices.Contains(b.scarce, item) {
			continue
		}
		used := make([]int, len(b.q.Days))
		for u, taken := range a.Columns {
			for _, at := range taken {
				for d := a.columns[u][at].Day; d < len(used); d++ {
					used[d] += a.uses[u][at][item]
				}
			}
		}
		for d, n := range used {
			if n > b.left(item, d, among) {
				out = append(out, item)
				break
			}
		}
	}
	slices.SortFunc(out, cmp.Compare)
	return out
}
