package proposal

import (
	"cmp"
	"slices"

	"solander/intake"
)

// finish settles the status of each proposal and counts.
func (r *assembly) finish() {
	r.sortProblems()
	c := &r.Report.Counts
	for _, d := range r.orders {
		barred := false
		seen := map[int]bool{}
		for _, s := range d.sales {
			barred = barred || s.Waits
			for _, at := range s.Problems {
				barred = barred || r.Report.Problems[at].Bars
				if !seen[at] {
					seen[at] = true
					d.p.Problems = append(d.p.Problems, at)
				}
			}
			c.Sales++
		}
		if d.p.Status == intake.Ready && barred {
			d.p.Status = intake.Asked
		}
		r.count(*d.p)
	}
	c.SetAside = len(r.Report.SetAside)
	for _, b := range r.Report.Buyers {
		c.Buyers += intake.One(b.ID == 0 && b.Orders > 0)
	}
	works := map[string]bool{}
	for _, e := range r.Report.Editions {
		if e.ID == 0 && e.Lines > 0 {
			c.Editions++
			if e.Work == 0 && !works[intake.Fold(e.Title)] {
				works[intake.Fold(e.Title)] = true
				c.Works++
			}
		}
	}
	for _, o := range r.Report.Outlets {
		c.Outlets += intake.One(o.ID == 0 && o.Orders > 0)
	}
	for _, p := range r.Report.Problems {
		c.Problems += intake.One(p.Bars)
		c.Doubts += intake.One(!p.Bars)
	}
	for _, q := range r.Report.Questions {
		c.Questions += intake.One(q.Answer == "")
	}
}

// count adds a proposal to the counts and to those of its buyer, editions and outlet.
func (r *assembly) count(p intake.Proposal) {
	c := &r.Report.Counts
	c.Facts += len(p.Facts)
	for _, f := range p.Facts {
		c.Taken += intake.One(f.Taken)
	}
	switch p.Status {
	case intake.Known:
		c.Known++
		return
	case intake.Ready:
		c.Ready++
	default:
		c.Asked++
	}
	c.Prints += len(p.Lines)
	if p.Buyer >= 0 {
		r.Report.Buyers[p.Buyer].Orders++
	}
	if p.Outlet >= 0 {
		r.Report.Outlets[p.Outlet].Orders++
	}
	for _, l := range p.Lines {
		if l.Edition >= 0 {
			r.Report.Editions[l.Edition].Lines++
		}
	}
}

// sortProblems puts the problems in the order of the file: by sheet, row and column.
func (r *assembly) sortProblems() {
	sheets := map[string]int{}
	for i, s := range r.In.Table.Sheets {
		sheets[s.Name] = i
	}
	list := r.Report.Problems
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := list[i], list[j]
		return cmp.Or(cmp.Compare(sheets[a.Sheet], sheets[b.Sheet]), cmp.Compare(a.Row, b.Row), cmp.Compare(len(a.Column), len(b.Column)), cmp.Compare(a.Column, b.Column))
	})
	to := make([]int, len(list))
	sorted := make([]intake.Problem, len(list))
	for at, from := range order {
		sorted[at], to[from] = list[from], at
	}
	r.Report.Problems = sorted
	for _, s := range r.Sales {
		for i, at := range s.Problems {
			s.Problems[i] = to[at]
		}
		slices.Sort(s.Problems)
	}
}
