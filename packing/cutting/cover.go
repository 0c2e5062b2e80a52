package cutting

import (
	"cmp"
	"slices"

	"solander/packing/cutting/onesheet"
)

// The cover decides whether one sheet less than the best plan has is enough. When so many sheets hold all boards, each
// holds at least the price of all less the most that the others hold: few cuttings do, and all of them are found
// (R. Baldacci, N. Christofides, A. Mingozzi, 2008, who keep the columns of small reduced cost). A search over sheets
// then takes those of the board that lies in the fewest, and remembers what boards it has failed with.

const (
	everyWork = 5           // times the work for one sheet, of all cuttings of one that matter
	coverWork = 500_000_000 // of the search over sheets, in boards looked at
)

// lot is boards of one sheet, by kind.
type lot struct {
	stock int
	joint func() *onesheet.Joint
	held  []held
}

type held struct{ of, count int }

// cover is the search over sheets.
type cover struct {
	c      *columns
	lots   []lot
	left   []int
	used   []int // sheets of each stock
	failed map[string]int
	taken  []int
	work   int
}

// part is how much of a lot is still needed.
type part struct {
	lot   int32
	worth int64
}

// cover looks for a sheet less until that is impossible, or the work ends.
func (c *columns) cover() {
	p := c.p
	if p.best == nil {
		return
	}
	for sheets := len(p.best) - 1; sheets >= p.bound; sheets-- {
		v := &cover{c: c, left: p.counts(), used: make([]int, len(p.stock)), failed: map[string]int{}}
		if !v.collect(sheets) {
			return
		}
		all := make([]part, len(v.lots))
		for i := range all {
			all[i].lot = int32(i)
		}
		switch found := v.search(all, c.all(), sheets); {
		case found:
			v.offer()
		case v.work > coverWork || p.ctx.Err() != nil:
			return
		default:
			p.bound = sheets + 1
		}
	}
}

// highest is the most that a sheet of any kind holds.
func (c *columns) highest() int64 { return slices.Max(c.worth) }

// collect finds all cuttings that may be in a plan of so many sheets; false when there is no time for it.
func (v *cover) collect(sheets int) bool {
	c := v.c
	if c.lots != nil {
		v.lots = c.lots
		return true
	}
	over := max(0, c.all()-int64(sheets-1)*c.highest()-1)
	for s := range c.p.stock {
		t := c.table(s)
		if t == nil {
			return false
		}
		sets, complete, _ := t.Every(over, everyWork*c.most)
		if !complete {
			return false
		}
		for _, j := range sets {
			counts := make([]int, len(v.left))
			j.Count(counts)
			v.lots = append(v.lots, lot{s, func() *onesheet.Joint { return j }, heldOf(counts)})
		}
	}
	return true
}

// lotsOf is the sets to which no piece can be added, by sheet.
func lotsOf(all *onesheet.Sets, kinds int) []lot {
	var out []lot
	all.Full(func(sheet int, code uint64, counts []int) {
		out = append(out, lot{sheet, func() *onesheet.Joint { return all.Joint(code, sheet) }, heldOf(counts)})
	}, kinds)
	return out
}

func heldOf(counts []int) []held {
	var out []held
	for i, n := range counts {
		if n > 0 {
			out = append(out, held{i, n})
		}
	}
	return out
}

// search reports whether so many sheets hold what is left, which is worth rest, each one of the lots.
func (v *cover) search(lots []part, rest int64, sheets int) bool {
	if rest == 0 {
		return true
	}
	if sheets == 0 || rest > int64(sheets)*v.c.highest() {
		return false
	}
	key := v.key()
	if most, known := v.failed[key]; known && most >= sheets {
		return false
	}
	least := rest - int64(sheets-1)*v.c.highest()
	still, of := v.still(lots, least)
	if v.work > coverWork || v.c.p.ctx.Err() != nil {
		return false
	}
	var own []part
	if of >= 0 {
		for _, l := range still {
			if v.holds(l, of) {
				own = append(own, l)
			}
		}
	}
	slices.SortStableFunc(own, func(a, b part) int { return cmp.Compare(b.worth, a.worth) })
	for _, l := range own {
		if v.take(l, still, rest, sheets) {
			return true
		}
	}
	if v.work <= coverWork && v.c.p.ctx.Err() == nil {
		v.failed[key] = sheets
	}
	return false
}

func (v *cover) take(l part, lots []part, rest int64, sheets int) bool {
	x := &v.lots[l.lot]
	if most := v.c.p.stock[x.stock].Count; most > 0 && v.used[x.stock] >= most {
		return false
	}
	took := make([]int, len(x.held))
	for i, h := range x.held {
		took[i] = min(h.count, v.left[h.of])
		v.left[h.of] -= took[i]
	}
	v.used[x.stock]++
	v.taken = append(v.taken, int(l.lot))
	if v.search(lots, rest-l.worth, sheets-1) {
		return true
	}
	v.taken = v.taken[:len(v.taken)-1]
	v.used[x.stock]--
	for i, h := range x.held {
		v.left[h.of] += took[i]
	}
	return false
}

// still are the lots that hold enough of what is left, and the board that lies in the fewest of them.
func (v *cover) still(lots []part, least int64) ([]part, int) {
	var out []part
	in := make([]int, len(v.left))
	for _, l := range lots {
		l.worth = 0
		x := &v.lots[l.lot]
		v.work += len(x.held)
		for _, h := range x.held {
			l.worth += int64(min(h.count, v.left[h.of])) * v.c.price[h.of]
		}
		if l.worth < least {
			continue
		}
		out = append(out, l)
		for _, h := range x.held {
			if v.left[h.of] > 0 {
				in[h.of]++
			}
		}
	}
	best := -1
	for i, n := range v.left {
		if n > 0 && (best < 0 || in[i] < in[best]) {
			best = i
		}
	}
	return out, best
}

func (v *cover) holds(l part, of int) bool {
	return slices.ContainsFunc(v.lots[l.lot].held, func(h held) bool { return h.of == of })
}

func (v *cover) key() string {
	out := make([]byte, 0, 2*len(v.left)+2*len(v.used))
	for _, n := range v.left {
		out = append(out, byte(n), byte(n>>8))
	}
	for s, n := range v.used {
		if v.c.p.stock[s].Count > 0 {
			out = append(out, byte(n), byte(n>>8))
		}
	}
	return string(out)
}

// offer gives each sheet what no sheet before it held.
func (v *cover) offer() {
	left := v.c.p.counts()
	var sheets []sheet
	for _, at := range v.taken {
		l := v.lots[at]
		if j := l.joint().Within(left); j != nil {
			sheets = append(sheets, sheet{l.stock, j})
		}
	}
	v.c.p.offer(sheets)
}
