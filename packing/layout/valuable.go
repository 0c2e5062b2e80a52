package layout

import (
	"context"
	"slices"

	"solander/fault"
	"solander/measure"
)

// Kind is pieces of one size, of which at most Max are taken, each worth Value.
type Kind struct {
	Width, Height measure.Length
	Max           int
	Value         int64
	Turn          bool
}

// Choice is the best layout found. No layout is worth more than Bound; Proven says that none is worth more
// than this one. Piece in Layout is the index of the kind.
type Choice struct {
	Value, Bound int64
	Layout       Layout
	Proven       bool
}

const highestValue = int64(1) << 40

// MostValuable chooses, among layouts with at most Max pieces of each kind, one that is worth most. When
// ctx ends first it returns the best layout so far, not proven, and a bound that holds.
// Faults: Invalid for a side that is not positive, a negative number, or a value over 2^40.
func MostValuable(ctx context.Context, room Room, kinds []Kind) (Choice, error) {
	if err := room.valid(); err != nil {
		return Choice{}, err
	}
	for i, k := range kinds {
		if err := sides("kinds", i, k.Width, k.Height); err != nil {
			return Choice{}, err
		}
		if k.Max < 0 || k.Max > 1<<20 || k.Value < 0 || k.Value > highestValue {
			return Choice{}, fault.Invalidf("kinds", "kind %d: at most %d of value %d: neither may be negative or over 2^20 and 2^40", i+1, k.Max, k.Value)
		}
	}
	c := newChooser(ctx, room, kinds)
	for _, steps := range []int{100, 3000} { // a good layout first, so that the proof is short
		c.run(steps)
	}
	c.run(0)
	return c.choice(), nil
}

// chooser walks through numbers of each kind, and asks of each whether such a layout exists. It passes over
// numbers whose value, with the most that the kinds not yet decided can add within the limits, is not more
// than the best so far. A set of pieces is not asked about when it holds one that does not fit, or is
// within one that does.
type chooser struct {
	ctx   context.Context
	room  Room
	kinds []chosen
	rules []limit
	sharp []*limit // those that are looked at for bounds

	steps  int
	counts []int
	caps   []int64
	best   int64
	layout Layout
	bound  int64 // of what has been passed over without an answer
	cut    bool
	fit    [][]int // numbers that fit
	not    [][]int // numbers that do not
	yes    bool    // counts, so far as decided, are known to fit
}

type chosen struct {
	kind
	asked int // index in what was asked
	width int64
	most  int
	value int64
}

func newChooser(ctx context.Context, room Room, kinds []Kind) *chooser {
	c := &chooser{ctx: ctx, room: room}
	q := newQuestion(ctx, int64(room.Width), int64(room.Height))
	shift := shiftFor(q.w, q.h)
	area := shifted(q.w, q.h, shift) + 1
	for i, k := range kinds {
		piece := newKind(int64(k.Width), int64(k.Height), k.Turn)
		if k.Max == 0 || k.Value == 0 || !q.alone(&piece) {
			continue
		}
		piece.area = max(shifted(int64(k.Width), int64(k.Height), shift), 1)
		c.kinds = append(c.kinds, chosen{piece, i, int64(k.Width), int(min(int64(k.Max), area/piece.area)), k.Value})
	}
	slices.SortStableFunc(c.kinds, denser)
	c.counts = make([]int, len(c.kinds))
	c.rule(q)
	return c
}

// denser puts more value for the area first, then the larger.
func denser(a, b chosen) int {
	if d := compareProducts(b.value, a.area, a.value, b.area); d != 0 {
		return d
	}
	return int(min(1, max(-1, b.area-a.area)))
}

func (c *chooser) run(steps int) {
	c.steps, c.bound, c.cut = steps, c.best, false
	for i := range c.rules {
		c.caps[i] = c.rules[i].room
	}
	c.yes = true
	c.walk(0, 0)
}

func (c *chooser) choice() Choice {
	bound := max(c.bound, c.best)
	return Choice{c.best, bound, c.layout, bound == c.best}
}

// walk decides kind i and those after it; value is that of the kinds before it.
func (c *chooser) walk(i int, value int64) {
	if i == len(c.kinds) {
		c.leaf(value)
		return
	}
	if c.cut = c.cut || c.ctx.Err() != nil; c.cut {
		c.missed(value + c.most(i))
		return
	}
	if value+c.most(i) <= c.best {
		return
	}
	known := c.yes
	for n := c.take(i, c.kinds[i].most); n >= 0; n-- {
		v := value + int64(n)*c.kinds[i].value
		c.yes = known
		if v+c.most(i+1) > c.best && (n == 0 || c.possible(i, v)) {
			c.walk(i+1, v)
		}
		if n > 0 {
			c.take(i, -1)
		}
	}
	c.yes = known
}

// take adds n of kind i, or as many as the limits allow, and returns how many there are.
func (c *chooser) take(i, n int) int {
	for r := range c.rules {
		if w := c.rules[r].weight[i]; w > 0 && n > 0 {
			n = int(min(int64(n), c.caps[r]/w))
		}
	}
	for r := range c.rules {
		c.caps[r] -= int64(n) * c.rules[r].weight[i]
	}
	c.counts[i] += n
	return c.counts[i]
}

// possible asks about the kinds decided so far; it reports false only when they do not fit.
func (c *chooser) possible(i int, value int64) bool {
	switch c.ask(i+1, c.steps == 0 && i+1 == len(c.kinds)) {
	case none:
		return false
	case found:
		c.yes = true
	default:
		c.yes = false
	}
	return true
}

// leaf looks at numbers of all kinds; what fits has been noted when it was asked.
func (c *chooser) leaf(value int64) {
	if value <= c.best || c.yes {
		return
	}
	switch c.ask(len(c.kinds), c.steps == 0) {
	case unknown:
		c.missed(value)
	case none, found:
	}
}

func (c *chooser) missed(bound int64) { c.bound = max(c.bound, bound) }

const (
	partSteps = 1500 // spent on a part of the kinds
	mostKnown = 4000 // answers kept
)

// ask asks whether the numbers of the first kinds fit, with all time or only some.
func (c *chooser) ask(first int, whole bool) verdict {
	if slices.ContainsFunc(c.fit, func(k []int) bool { return within(c.counts[:first], k) }) {
		c.note(first, nil)
		return found
	}
	if slices.ContainsFunc(c.not, func(k []int) bool { return within(k, c.counts[:first]) }) {
		return none
	}
	q := newQuestion(c.ctx, int64(c.room.Width), int64(c.room.Height))
	for i := range first {
		q.kinds = append(q.kinds, c.kinds[i].kind)
		q.left = append(q.left, c.counts[i])
	}
	limit := 0
	if !whole {
		limit = partSteps
		if c.steps > 0 {
			limit = c.steps
		}
	}
	puts, v := q.decide(limit)
	switch v {
	case found:
		c.fit = known(c.fit, c.counts[:first])
		c.note(first, func() Layout { return c.lay(q, puts) })
	case none:
		c.not = known(c.not, c.counts[:first])
	}
	return v
}

// note keeps a layout that is worth more than the best so far. Numbers that are within others that fit are
// worth less than those.
func (c *chooser) note(first int, lay func() Layout) {
	value := int64(0)
	for i := range first {
		value += int64(c.counts[i]) * c.kinds[i].value
	}
	if value > c.best && lay != nil {
		c.best, c.layout = value, lay()
	}
}

func (c *chooser) lay(q *question, puts []put) Layout {
	out := make(Layout, 0, len(puts))
	for _, p := range puts {
		k := &c.kinds[p.kind]
		out = append(out, q.place(p, k.asked, k.width))
	}
	return out
}

// within reports whether a has at most the numbers of b; numbers that are missing are 0.
func within(a, b []int) bool {
	for i, n := range a {
		if n > 0 && (i >= len(b) || n > b[i]) {
			return false
		}
	}
	return true
}

func known(list [][]int, counts []int) [][]int {
	if len(list) >= mostKnown {
		return list
	}
	return append(list, slices.Clone(counts))
}
