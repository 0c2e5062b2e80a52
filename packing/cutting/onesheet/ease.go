package onesheet

// A table takes any number of a piece. So each piece is fined, and its fine is paid back as often as it may be taken:
// what takes no more than that is worth no less than before, and what takes more is worth less. Good fines come from
// looking at what the table takes too often (N. Christofides, E. Hadjiconstantinou, "An exact algorithm for orthogonal
// 2-D cutting problems using guillotine cuts", 1995).

// eased is a table with fines; refund is all of them, paid back.
type eased struct {
	*Table
	refund int64
}

const (
	easings  = 60
	easeWork = 100_000_000
)

// ease looks for the fines with which the sheet promises the least; over is where it may end.
func (t *Table) ease(over int64) *eased {
	best := &eased{Table: t}
	fine, stride := make([]float64, len(t.most)), 1.0
	at := best
	for n, work := 0, 0; n < easings && work < easeWork && best.Best()+best.refund > over; n++ {
		took := make([]int, len(t.most))
		at.Joint().Count(took)
		length := 0.0
		for i, most := range t.most {
			if most > 0 && (took[i] > most || fine[i] > 0) {
				length += float64((took[i] - most) * (took[i] - most))
			}
		}
		if length == 0 {
			break
		}
		now := at.Best() + at.refund
		step := stride * float64(now-over+now>>6) / length
		for i, most := range t.most {
			if most > 0 {
				fine[i] = max(0, fine[i]+float64(step*float64(took[i]-most)))
			}
		}
		if at = t.fined(fine); at == nil {
			break
		}
		work += t.Work()
		if at.Best()+at.refund < best.Best()+best.refund {
			best = at
		} else {
			stride = float64(stride * 0.85)
		}
	}
	return best
}

// fined is the table with fines, which leave each piece some worth; nil when the time is over.
func (t *Table) fined(fine []float64) *eased {
	out := &eased{Table: &Table{ctx: t.ctx, w: t.w, h: t.h, xs: t.xs, ys: t.ys, most: t.most}}
	paid := make([]int64, len(fine))
	for _, k := range t.kinds {
		paid[k.asked] = int64(min(fine[k.asked], float64(k.value-1)))
		k.value -= paid[k.asked]
		out.kinds = append(out.kinds, k)
	}
	for i, most := range t.most {
		out.refund += paid[i] * int64(most)
	}
	out.value, out.best = make([]int64, len(t.value)), make([]choice, len(t.value))
	if out.fill(); out.cut {
		return nil
	}
	return out
}
