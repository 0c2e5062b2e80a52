package check

import "solander/packing"

// short looks at a reason that packaging is scarce: there are as few of some item as it says, and where others
// are said to take what an order needs, another order does take one of an item of which there are so few.
// Source: docs/formats/plan.md, section 5.
func (a *audit) short(path string, o *packing.OrderPlan) {
	r := o.Reason
	if r.Rule != "shelf.stock" && r.Rule != "shelf.shared" || r.Unit != "pieces" {
		return
	}
	if r.Got <= r.Limit {
		a.finding(path, "plan.held", "%s: %d pieces are not more than %d", r.Rule, r.Got, r.Limit)
	}
	scarce := map[string]bool{}
	for id, item := range a.reckoner.items {
		if item.Stock != nil && int64(*item.Stock) == r.Limit {
			scarce[id] = true
		}
	}
	if len(scarce) == 0 {
		a.finding(path+".limit", "plan.held", "%s: there are %d of no item", r.Rule, r.Limit)
		return
	}
	if r.Rule == "shelf.shared" && !a.taken(scarce) {
		a.finding(path, "plan.held", "others are said to take packaging, but none takes any of which there are %d", r.Limit)
	}
}

// taken reports whether a parcel of the plan takes one of some items.
func (a *audit) taken(items map[string]bool) bool {
	for i := range a.plan.Parcels {
		for _, e := range a.plan.Parcels[i].Layers {
			if items[e.Item] {
				return true
			}
		}
	}
	return false
}
