package check

import (
	"fmt"
	"slices"

	"solander/packing"
)

// mostPacked bounds how many parcels are packed in search of a way to send an order; what would need more is
// left alone.
const mostPacked = 20_000

// conflict looks at the house rules that are said to hold an order together: with them alone no way to send it
// is admissible, and without any one of them some way is.
func (a *audit) conflict(path string, o *packing.OrderPlan) {
	if len(o.Conflict) == 0 {
		return
	}
	if o.Status != packing.Infeasible {
		a.finding(path, "plan.conflict", "an order that is %s has rules in conflict", o.Status)
		return
	}
	rules, last := []packing.Rule{}, -1
	for i, c := range o.Conflict {
		at := slices.IndexFunc(a.problem.Rules, func(r packing.Rule) bool { return r.ID == c.ID })
		if at <= last {
			a.finding(fmt.Sprintf("%s[%d]", path, i), "plan.conflict", "there is no house rule %q, or it is not in the problem's order", c.ID)
			return
		}
		last = at
		rules = append(rules, a.problem.Rules[at])
		same(a, fmt.Sprintf("%s[%d].text", path, i), "plan.conflict", a.problem.Rules[at].Text, c.Text)
	}
	order := a.reckoner.orders[o.ID]
	if order == nil {
		return // the id itself is a finding
	}
	if a.goes(order, rules) == yes {
		a.finding(path, "plan.conflict", "by these rules alone the order can go")
	}
	for i, r := range rules {
		if a.goes(order, slices.Delete(slices.Clone(rules), i, i+1)) == no {
			a.finding(fmt.Sprintf("%s[%d]", path, i), "plan.conflict", "the order cannot go without the rule %q either", r.ID)
		}
	}
}

// answer is yes, no, or too much to look at.
type answer int

const (
	unknown answer = iota
	yes
	no
)

// goes reports whether an order can go by these house rules, all others left out.
func (a *audit) goes(order *packing.Order, rules []packing.Rule) answer {
	p := *a.problem
	p.Rules = rules
	r := *a.reckoner
	r.problem = &p
	w := &way{r: &r, order: order, offers: r.Offers(), single: map[string][]uses{}, whole: map[string][]uses{}}
	var left []int
	copies := 0
	for i := range order.Sheets {
		w.sheets = append(w.sheets, order.Sheets[i].ID)
		copies += copiesOf(&order.Sheets[i])
	}
	slices.Sort(w.sheets)
	for _, id := range w.sheets {
		left = append(left, copiesOf(sheetOf(order, id)))
	}
	for i := range p.Shelf {
		if it := &p.Shelf[i]; it.Stock != nil && *it.Stock < copies*mostEach {
			w.scarce = append(w.scarce, it)
		}
	}
	switch {
	case len(w.split(left)) > 0:
		return yes
	case w.tried > mostPacked || copies > 1 && slices.ContainsFunc(p.Wraps, func(w packing.Wrap) bool { return w.Beside > 1 }):
		return unknown // side by side they might
	}
	return no
}
