package cutting

import (
	"cmp"
	"context"
	"math/bits"

	"solander/fault"
	"solander/measure"
	"solander/packing/cutting/onesheet"
	"solander/packing/layout"
)

// Plan cuts all that is needed from the fewest sheets; among those, at the least cost, then with the least
// waste. It first lays pieces greedily in many orders, then, where the numbers of pieces allow it, solves
// the whole exactly over all sets of pieces; else it bounds it by columns, looks whether a sheet less is enough, and fills
// sheet after sheet by search. It counts its work, which is some seconds at most for the usual list. When that or ctx ends
// first, it returns the best plan so far and a bound that holds.
// Faults: Invalid for a side that is not positive or a negative number; Refused for a piece that fits on
// no sheet, or when the sheets there are do not suffice.
func Plan(ctx context.Context, stock []Stock, demand []Piece, kerf measure.Length) (CutPlan, error) {
	if err := validPlan(stock, demand, kerf); err != nil {
		return CutPlan{}, err
	}
	p := newPlanner(ctx, stock, demand, int64(kerf))
	if err := p.alone(); err != nil {
		return CutPlan{}, err
	}
	if p.total == 0 {
		return CutPlan{Proven: true, Least: true}, nil
	}
	p.bound = p.atLeast()
	p.greedy()
	exact := p.small() && p.subsets()
	if !exact && !p.done() {
		p.byColumns()
	}
	if !exact && !p.done() {
		p.fillSheets()
	}
	if p.best == nil {
		return CutPlan{}, fault.New(fault.Refused, "the sheets there are do not suffice for %d boards", p.total).
			In("stock").ToMend("add sheets, or ask for fewer boards")
	}
	return p.plan(exact), nil
}

func validPlan(stock []Stock, demand []Piece, kerf measure.Length) error {
	for i, s := range stock {
		if err := onesheet.ValidSize("stock", i, s.Width, s.Height); err != nil {
			return err
		}
		if s.Count < 0 || s.Cost < 0 || s.Cost > onesheet.HighestValue {
			return fault.Invalidf("stock", "stock %d: %d sheets at %d: neither may be negative, or the cost over 2^40", i+1, s.Count, s.Cost)
		}
	}
	total := 0
	for i, d := range demand {
		if err := onesheet.ValidSize("demand", i, d.Width, d.Height); err != nil {
			return err
		}
		if d.Count < 0 || d.Count > mostPieces {
			return fault.Invalidf("demand", "piece %d: a count of %d is not from 0 to %d", i+1, d.Count, mostPieces)
		}
		total += d.Count
	}
	if total > mostPieces {
		return fault.New(fault.TooLarge, "%d boards are more than %d", total, mostPieces).In("demand")
	}
	return onesheet.ValidKerf(kerf)
}

const mostPieces = 5000

// planner works in reckoned sizes.
type planner struct {
	ctx    context.Context
	kerf   int64
	stock  []Stock
	demand []Piece
	total  int
	bound  int
	best   []sheet
	laid   []sheet // of all plans that were laid greedily
}

// sheet is one sheet of a plan.
type sheet struct {
	stock int
	joint *onesheet.Joint
}

func newPlanner(ctx context.Context, stock []Stock, demand []Piece, kerf int64) *planner {
	p := &planner{ctx: ctx, kerf: kerf, stock: stock, demand: demand}
	for _, d := range demand {
		p.total += d.Count
	}
	return p
}

// size is the reckoned size of a sheet of the stock.
func (p *planner) size(s int) (w, h int64) {
	return int64(p.stock[s].Width) + p.kerf, int64(p.stock[s].Height) + p.kerf
}

// sheet is the real size of a sheet of the stock.
func (p *planner) sheet(s int) onesheet.Sheet {
	return onesheet.Sheet{Width: p.stock[s].Width, Height: p.stock[s].Height}
}

// kinds is what is asked of one sheet, with a price for each piece; what is not needed has none.
func (p *planner) kinds(price []int64) []onesheet.Kind {
	var out []onesheet.Kind
	for i, d := range p.demand {
		k := onesheet.Kind{Width: d.Width, Height: d.Height, Max: d.Count, Turn: d.Turn}
		if d.Count > 0 && price != nil {
			k.Value = price[i]
		}
		out = append(out, k)
	}
	return out
}

// sets is all sets of pieces that fit on a sheet; nil when that takes more divisions than the limit.
func (p *planner) sets(limit int) *onesheet.Sets {
	var sheets []onesheet.Sheet
	for s := range p.stock {
		sheets = append(sheets, p.sheet(s))
	}
	return onesheet.NewSets(p.ctx, sheets, p.kinds(nil), p.kerf, limit)
}

// ways is the reckoned sizes of a piece, each way round.
func (p *planner) ways(i int) [][2]int64 {
	d := p.demand[i]
	w, h := int64(d.Width)+p.kerf, int64(d.Height)+p.kerf
	if d.Turn && w != h {
		return [][2]int64{{w, h}, {h, w}}
	}
	return [][2]int64{{w, h}}
}

func (p *planner) fitsOn(s int, w, h int64) bool {
	sw, sh := p.size(s)
	return w <= sw && h <= sh
}

func (p *planner) fitsAny(w, h int64) bool {
	for s := range p.stock {
		if p.fitsOn(s, w, h) {
			return true
		}
	}
	return false
}

// alone looks whether each piece fits on some sheet by itself.
func (p *planner) alone() error {
	for i, d := range p.demand {
		ok := d.Count == 0
		for _, way := range p.ways(i) {
			ok = ok || p.fitsAny(way[0], way[1])
		}
		if !ok {
			return fault.New(fault.Refused, "a board of %v × %v fits on no sheet", d.Width, d.Height).
				In("demand").At("%s", d.ID).ToMend("add a larger sheet, or allow the board to be turned")
		}
	}
	return nil
}

// atLeast bounds the number of sheets: by area and scales in a room that holds each kind of sheet, and for
// each kind of board by how many of it one sheet yields.
func (p *planner) atLeast() int {
	var room layout.Room
	var kinds []layout.Kind
	for s := range p.stock {
		w, h := p.size(s)
		room.Width, room.Height = max(room.Width, measure.Length(w)), max(room.Height, measure.Length(h))
	}
	for i, d := range p.demand {
		w, h := p.ways(i)[0][0], p.ways(i)[0][1]
		kinds = append(kinds, layout.Kind{Width: measure.Length(w), Height: measure.Length(h), Max: d.Count, Turn: d.Turn})
	}
	least := layout.AtLeast(room, kinds)
	for _, d := range p.demand {
		if d.Count < 2 {
			continue
		}
		one := []onesheet.Kind{{Width: d.Width, Height: d.Height, Value: 1, Turn: d.Turn}}
		most := int64(1)
		for s := range p.stock {
			if c, err := onesheet.MostValuable(p.ctx, p.sheet(s), one, measure.Length(p.kerf)); err == nil {
				most = max(most, c.Bound)
			}
		}
		least = max(least, int((int64(d.Count)+most-1)/most))
	}
	return least
}

// offer keeps a plan when it is better, and when there are sheets enough for it.
func (p *planner) offer(sheets []sheet) {
	used := make([]int, len(p.stock))
	for _, s := range sheets {
		if used[s.stock]++; p.stock[s.stock].Count > 0 && used[s.stock] > p.stock[s.stock].Count {
			return
		}
	}
	if p.best == nil || p.rank(sheets).less(p.rank(p.best)) {
		p.best = sheets
	}
}

// rank is what a plan is judged by: sheets, cost, area (which tells the waste, in 128 bits).
type rank struct {
	sheets   int
	cost     int64
	areaHigh uint64
	areaLow  uint64
}

func (p *planner) rank(sheets []sheet) rank {
	var r rank
	for _, s := range sheets {
		r = r.with(p.stock[s.stock])
	}
	return r
}

// with adds one sheet.
func (r rank) with(s Stock) rank {
	hi, lo := bits.Mul64(uint64(s.Width), uint64(s.Height))
	var carry uint64
	r.areaLow, carry = bits.Add64(r.areaLow, lo, 0)
	r.areaHigh, _ = bits.Add64(r.areaHigh, hi, carry)
	r.sheets++
	r.cost += s.Cost
	return r
}

func (r rank) less(o rank) bool {
	return cmp.Or(cmp.Compare(r.sheets, o.sheets), cmp.Compare(r.cost, o.cost),
		cmp.Compare(r.areaHigh, o.areaHigh), cmp.Compare(r.areaLow, o.areaLow)) < 0
}

func (p *planner) plan(exact bool) CutPlan {
	out := CutPlan{Bound: p.bound, Least: exact}
	if exact {
		out.Bound = len(p.best)
	}
	for _, s := range p.best {
		st := p.stock[s.stock]
		out.Sheets = append(out.Sheets, Cutting{s.stock, onesheet.Draw(s.joint, st.Width, st.Height, p.kerf)})
		out.Cost += st.Cost
	}
	out.Proven = out.Bound >= len(p.best)
	out.Least = out.Least || out.Proven && len(p.stock) == 1
	return out
}
