package onesheet

import (
	"context"

	"solander/measure"
)

// kind is a piece one way round, in reckoned sizes.
type kind struct {
	w, h  int64
	value int64
	asked int
}

// ways lists kinds each way round that fits.
func ways(sheet Sheet, kinds []Kind, kerf int64) []kind {
	var out []kind
	for i, k := range kinds {
		w, h := int64(k.Width), int64(k.Height)
		for turn := range 2 {
			if turn == 1 && (!k.Turn || w == h) {
				break
			}
			if turn == 1 {
				w, h = h, w
			}
			if w <= int64(sheet.Width) && h <= int64(sheet.Height) && k.Value > 0 {
				out = append(out, kind{w + kerf, h + kerf, k.Value, i})
			}
		}
	}
	return out
}

// Table holds the most value of every rectangle whose sides are points, any number of each kind: the
// recursion of P. C. Gilmore and R. E. Gomory, "The theory and computation of knapsack functions", 1966.
type Table struct {
	ctx    context.Context
	w, h   int64
	xs, ys points
	kinds  []kind
	most   []int // of each kind that was asked; 0 is any number
	value  []int64
	best   []choice
	cut    bool // the time ended first
}

// choice says how the value of a rectangle is reached: at is 0 for a piece (kind), else the index of the
// first part along the cut. kind -1 is nothing, with the same value as a smaller rectangle.
type choice struct {
	kind    int32
	at      int32
	upright bool
}

const (
	mostPoints = 4000    // along an axis
	mostCells  = 6 << 20 // of a table
	mostRow    = 200     // pieces in a row of the simplest answer
)

// NewTable fills the table of a sheet; nil when it would be too large, or ctx ends first.
func NewTable(ctx context.Context, sheet Sheet, asked []Kind, kerf int64) *Table {
	w, h := sheet.reckoned(kerf)
	kinds := ways(sheet, asked, kerf)
	var across, along []side
	for _, k := range kinds {
		across, along = append(across, side{k.w, 0}), append(along, side{k.h, 0})
	}
	xs, ok1 := sumsOf(across, w, mostPoints)
	ys, ok2 := sumsOf(along, h, mostPoints)
	if !ok1 || !ok2 || len(xs)*len(ys) > mostCells {
		return nil
	}
	t := &Table{ctx: ctx, w: w, h: h, xs: xs, ys: ys, kinds: kinds}
	for _, k := range asked {
		t.most = append(t.most, k.Max)
	}
	t.value, t.best = make([]int64, len(xs)*len(ys)), make([]choice, len(xs)*len(ys))
	if t.fill(); t.cut {
		return nil
	}
	return t
}

// Best is the most value that the sheet yields.
func (t *Table) Best() int64 { return t.value[len(t.value)-1] }

// Joint tells how that is reached; nil when it is 0.
func (t *Table) Joint() *Joint { return t.joint(len(t.xs)-1, len(t.ys)-1) }

// Work is about how many sums it took.
func (t *Table) Work() int { return len(t.value) * (len(t.xs) + len(t.ys)) / 4 }

func (t *Table) fill() {
	for _, k := range t.kinds {
		t.offer(t.xs.at(k.w)*len(t.ys)+t.ys.at(k.h), k.value, choice{kind: int32(t.index(k))})
	}
	restX, restY := rests(t.xs), rests(t.ys)
	for i := 1; i < len(t.xs); i++ {
		if t.cut = t.ctx.Err() != nil; t.cut {
			return
		}
		for j := 1; j < len(t.ys); j++ {
			t.cell(i, j, restX[i], restY[j])
		}
	}
}

func (t *Table) index(k kind) int {
	for i := range t.kinds {
		if t.kinds[i] == k {
			return i
		}
	}
	return -1
}

func (t *Table) offer(cell int, value int64, c choice) {
	if value > t.value[cell] {
		t.value[cell], t.best[cell] = value, c
	}
}

// cell reckons one rectangle; smaller ones are done.
func (t *Table) cell(i, j int, restX, restY []int32) {
	n := len(t.ys)
	at := i*n + j
	t.offer(at, t.value[at-n], choice{kind: -1, upright: true})
	t.offer(at, t.value[at-1], choice{kind: -1})
	best, c := t.value[at], t.best[at]
	for k := 1; k < len(restX); k++ {
		if v := t.value[k*n+j] + t.value[int(restX[k])*n+j]; v > best {
			best, c = v, choice{at: int32(k), upright: true}
		}
	}
	row := t.value[i*n : i*n+n]
	for k := 1; k < len(restY); k++ {
		if v := row[k] + row[restY[k]]; v > best {
			best, c = v, choice{at: int32(k)}
		}
	}
	t.value[at], t.best[at] = best, c
}

// rests returns, for each point and each point up to its half, the last point within the rest.
func rests(p points) [][]int32 {
	out := make([][]int32, len(p))
	for i, whole := range p {
		r := len(p) - 1
		for k := 0; k <= i && 2*p[k] <= whole; k++ {
			for p[r] > whole-p[k] {
				r--
			}
			out[i] = append(out[i], int32(r))
		}
	}
	return out
}

// joint tells how the value of a rectangle is reached; nil when it is 0.
func (t *Table) joint(i, j int) *Joint {
	cell := i*len(t.ys) + j
	if t.value[cell] == 0 {
		return nil
	}
	c := t.best[cell]
	switch {
	case c.at > 0 && c.upright:
		a, b := t.joint(int(c.at), j), t.joint(t.xs.at(t.xs[i]-t.xs[c.at]), j)
		return Join(a, b, true)
	case c.at > 0:
		a, b := t.joint(i, int(c.at)), t.joint(i, t.ys.at(t.ys[j]-t.ys[c.at]))
		return Join(a, b, false)
	case c.kind < 0 && c.upright:
		return t.joint(i-1, j)
	case c.kind < 0:
		return t.joint(i, j-1)
	}
	k := t.kinds[c.kind]
	return &Joint{W: k.w, H: k.h, Piece: k.asked}
}

// MostValuable cuts the most valuable pieces from one sheet. Without a Max the answer comes from one table,
// exact and at once; with it, from a search that the table bounds. When ctx ends first, the answer is the
// best so far, not proven, with a bound that holds.
// Faults: Invalid for a side that is not positive, a negative number, or a value over 2^40.
func MostValuable(ctx context.Context, sheet Sheet, kinds []Kind, kerf measure.Length) (Choice, error) {
	if err := validKinds(sheet, kinds, kerf); err != nil {
		return Choice{}, err
	}
	k := int64(kerf)
	w, h := sheet.reckoned(k)
	t := NewTable(ctx, sheet, kinds, k)
	if t == nil {
		return fallback(sheet, kinds, ways(sheet, kinds, k), k), nil
	}
	if !bounded(kinds, t.kinds, w, h) {
		return Choice{t.Best(), t.Best(), Draw(t.Joint(), sheet.Width, sheet.Height, k), true}, nil
	}
	b := newBounded(t, 0)
	b.run()
	return Choice{b.floor, b.bound, Draw(b.best(), sheet.Width, sheet.Height, k), b.bound == b.floor}, nil
}

// bounded reports whether a Max matters: whether more than that fit by area.
func bounded(kinds []Kind, all []kind, w, h int64) bool {
	for _, k := range all {
		if most := kinds[k.asked].Max; most > 0 && int64(most) < (w/k.w)*(h/k.h) {
			return true
		}
		if most := kinds[k.asked].Max; most > 0 && kinds[k.asked].Turn {
			return true
		}
	}
	return false
}

// fallback lays rows of one kind, where there is no time or no room for a table; the bound is by area.
func fallback(sheet Sheet, kinds []Kind, all []kind, kerf int64) Choice {
	w, h := sheet.reckoned(kerf)
	out := Choice{Panel: Draw(nil, sheet.Width, sheet.Height, kerf)}
	for _, k := range all {
		nx, ny := min(w/k.w, mostRow), min(h/k.h, mostRow)
		if most := int64(kinds[k.asked].Max); most > 0 {
			nx = min(nx, most)
			ny = min(ny, most/nx)
		}
		if v := nx * ny * k.value; v > out.Value {
			out.Value, out.Panel = v, Draw(rows(k, nx, ny), sheet.Width, sheet.Height, kerf)
		}
	}
	out.Bound = areaBound(kinds, all, w, h)
	out.Proven = out.Bound == out.Value
	return out
}

func rows(k kind, nx, ny int64) *Joint {
	var all *Joint
	for range ny {
		var row *Joint
		for range nx {
			row = Join(row, &Joint{W: k.w, H: k.h, Piece: k.asked}, true)
		}
		all = Join(all, row, false)
	}
	return all
}
