package intake

import (
	"cmp"
	"slices"
)

// finish settles the status of each proposal and counts.
func (r *assembly) finish() {
	r.sortProblems()
	c := &r.report.Counts
	for _, d := range r.orders {
		barred := false
		seen := map[int]bool{}
		for _, s := range d.sales {
			barred = barred || s.waits
			for _, at := range s.problems {
				barred = barred || r.report.Problems[at].Bars
				if !seen[at] {
					seen[at] = true
					d.p.Problems = append(d.p.Problems, at)
				}
			}
			c.Sales++
		}
		if d.p.Status == Ready && barred {
			d.p.Status = Asked
		}
		r.count(*d.p)
	}
	c.SetAside = len(r.report.SetAside)
	for _, b := range r.report.Buyers {
		c.Buyers += One(b.ID == 0 && b.Orders > 0)
	}
	works := map[string]bool{}
	for _, e := range r.report.Editions {
		if e.ID == 0 && e.Lines > 0 {
			c.Editions++
			if e.Work == 0 && !works[Fold(e.Title)] {
				works[Fold(e.Title)] = true
				c.Works++
			}
		}
	}
	for _, o := range r.report.Outlets {
		c.Outlets += One(o.ID == 0 && o.Orders > 0)
	}
	for _, p := range r.report.Problems {
		c.Problems += One(p.Bars)
		c.Doubts += One(!p.Bars)
	}
	for _, q := range r.report.Questions {
		c.Questions += One(q.Answer == "")
	}
}

// count adds a proposal to the counts and to those of its buyer, editions and outlet.
func (r *assembly) count(p Proposal) {
	c := &r.report.Counts
	c.Facts += len(p.Facts)
	for _, f := range p.Facts {
		c.Taken += One(f.Taken)
	}
	switch p.Status {
	case Known:
		c.Known++
		return
	case Ready:
		c.Ready++
	default:
		c.Asked++
	}
	c.Prints += len(p.Lines)
	if p.Buyer >= 0 {
		r.report.Buyers[p.Buyer].Orders++
	}
	if p.Outlet >= 0 {
		r.report.Outlets[p.Outlet].Orders++
	}
	for _, l := range p.Lines {
		if l.Edition >= 0 {
			r.report.Editions[l.Edition].Lines++
		}
	}
}

// sortProblems puts the problems in the order of the file: by sheet, row and column.
func (r *assembly) sortProblems() {
	sheets := map[string]int{}
	for i, s := range r.in.Table.Sheets {
		sheets[s.Name] = i
	}
	list := r.report.Problems
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := list[i], list[j]
		return cmp.Or(cmp.Compare(sheets[a.Sheet], sheets[b.Sheet]), cmp.Compare(a.Row, b.Row), cmp.Compare(len(a.Column), len(b.Column)), cmp.Compare(a.Column, b.Column))
	})
	to := make([]int, len(list))
	sorted := make([]Problem, len(list))
	for at, from := range order {
		sorted[at], to[from] = list[from], at
	}
	r.report.Problems = sorted
	for _, s := range r.sales {
		for i, at := range s.problems {
			s.problems[i] = to[at]
		}
		slices.Sort(s.problems)
	}
}
