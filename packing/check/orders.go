package check

import (
	"fmt"
	"slices"
	"strings"

	"solander/packing"
)

// orders looks whether each order is there once, whole or held, with its own sums.
func (a *audit) orders() {
	wanted := make([]string, 0, len(a.problem.Orders))
	for i := range a.problem.Orders {
		wanted = append(wanted, a.problem.Orders[i].ID)
	}
	slices.Sort(wanted)
	same(a, "orders", "plan.orders", len(wanted), len(a.plan.Orders))
	sent := map[string][]*packing.Parcel{}
	for i := range a.plan.Parcels {
		p := &a.plan.Parcels[i]
		for _, c := range p.Contents {
			if l := sent[c.Order]; len(l) == 0 || l[len(l)-1] != p {
				sent[c.Order] = append(l, p)
			}
		}
	}
	for i := range min(len(wanted), len(a.plan.Orders)) {
		path := fmt.Sprintf("orders[%d]", i)
		o := &a.plan.Orders[i]
		same(a, path+".id", "plan.orders", wanted[i], o.ID)
		a.order(path, o, sent[o.ID])
	}
}

func (a *audit) order(path string, o *packing.OrderPlan, parcels []*packing.Parcel) {
	var total int64
	for _, p := range parcels {
		total += share(p, o.ID)
	}
	same(a, path+".total", "plan.total", total, o.Total)
	same(a, path+".parcels", "plan.parcels", len(parcels), o.Parcels)
	if len(parcels) == 0 {
		a.heldOrder(path, o)
		return
	}
	if o.Status != packing.Optimal && o.Status != packing.NotProven {
		a.finding(path+".status", "plan.status", "an order that is sent is %q", o.Status)
	}
	if o.Reason != nil || o.Sheet != "" {
		a.finding(path+".reason", "plan.held", "an order that is sent has a reason to be held")
	}
	if len(o.Conflict) > 0 {
		a.finding(path+".conflict", "plan.conflict", "an order that is sent has rules in conflict")
	}
	a.bound(path+".bound", o.Status, o.Total, o.Bound)
	a.whole(path, o.ID, parcels)
}

// bound looks whether a bound contradicts its total.
func (a *audit) bound(path string, status packing.Status, total, bound int64) {
	switch {
	case bound < 0 || bound > total:
		a.finding(path, "plan.bound", "expected 0 to %d, found %d", total, bound)
	case status != packing.NotProven && bound != total:
		a.finding(path, "plan.bound", "%s, so expected %d, found %d", status, total, bound)
	}
}

// whole looks whether every copy of every sheet is sent exactly once.
func (a *audit) whole(path, id string, parcels []*packing.Parcel) {
	order := a.reckoner.orders[id]
	if order == nil {
		return // the id itself is a finding
	}
	copies := map[string]int{}
	for _, p := range parcels {
		for _, c := range p.Contents {
			if c.Order == id {
				copies[c.Sheet] += c.Copies
			}
		}
	}
	for i := range order.Sheets {
		s := &order.Sheets[i]
		if copies[s.ID] != copiesOf(s) {
			a.finding(path, "plan.copies", "sheet %q: expected %d copies, found %d", s.ID, copiesOf(s), copies[s.ID])
		}
	}
}

func (a *audit) heldOrder(path string, o *packing.OrderPlan) {
	if o.Status != packing.Infeasible && o.Status != packing.NotProven {
		a.finding(path+".status", "plan.status", "an order without parcels is %q", o.Status)
	}
	if o.Status == packing.Infeasible {
		same(a, path+".bound", "plan.bound", 0, o.Bound)
	}
	if o.Reason == nil {
		a.finding(path+".reason", "plan.held", "an order without parcels has no reason")
		return
	}
	a.named(path+".reason", *o.Reason, true)
	a.short(path+".reason", o)
	unfinished := o.Reason.Rule == "plan.stopped" || o.Reason.Rule == "plan.unfound"
	if (o.Status == packing.NotProven) != unfinished {
		a.finding(path+".reason", "plan.held", "an order that is %s is held by %q", o.Status, o.Reason.Rule)
	}
	a.conflict(path+".conflict", o)
	if order := a.reckoner.orders[o.ID]; o.Sheet != "" && order != nil && sheetOf(order, o.Sheet) == nil {
		a.finding(path+".sheet", "plan.held", "order %q has no sheet %q", o.ID, o.Sheet)
	}
}

// units are the units of the rules of docs/formats/plan.md, section 5; more than one where a rule has
// numbers only sometimes. "¤" is the problem's currency.
var units = map[string]string{
	"wrap.fewest": "sheets", "wrap.most": "sheets", "wrap.rolled": "sheets", "wrap.flat": "sheets", "sheet.roll": "",
	"sleeve.length": "nm", "sleeve.width": "nm", "sleeve.thickness": "nm",
	"tissue.length": "nm", "tissue.width": "nm", "board.length": "nm", "board.width": "nm",
	"envelope.length": "nm", "envelope.width": "nm", "envelope.thickness": "nm",
	"tube.diameter": "nm", "tube.length": "nm",
	"carton.length": "nm", "carton.width": "nm", "carton.height": "nm", "carton.empty": "nm",
	"service.destination": "", "zone.origin": "", "zone.destination": "", "price.zone": "", "zone.mass": "ng",
	"service.issued": "", "service.container": "", "service.form": "", "service.flexible": "",
	"service.tracking": "", "service.signature": "",
	"price.step": "ng|um3|", "price.dash": "ng|um3|", "cover.most": "¤", "order.arrive_by": "days|", "shelf.stock": "pieces",
}

// heldUnits are those of the rules that only hold an order.
var heldUnits = map[string]string{"shelf.none": "", "tariff.none": "", "shelf.shared": "pieces|", "plan.stopped": "", "plan.unfound": "", "order.partner": ""}

// named looks whether a reason is one that the documents name, with the right unit and words.
func (a *audit) named(path string, r packing.Reason, held bool) {
	want, ok := units[r.Rule]
	if held && !ok {
		want, ok = heldUnits[r.Rule]
	}
	if id, house := strings.CutPrefix(r.Rule, "house."); house {
		want = "sheets|"
		ok = slices.ContainsFunc(a.problem.Rules, func(rule packing.Rule) bool { return rule.ID == id })
	}
	if m, limit := strings.CutPrefix(r.Rule, "limit."); limit {
		_, ok = (&Packed{}).measured(measureOf(m))
		want = a.reckoner.unitOf(measureOf(m))
	}
	if !ok {
		a.finding(path+".rule", "plan.reason", "there is no rule %q", r.Rule)
		return
	}
	want = strings.ReplaceAll(want, "¤", a.problem.Currency)
	if !slices.Contains(strings.Split(want, "|"), r.Unit) {
		a.finding(path+".unit", "plan.reason", "%s: expected %q, found %q", r.Rule, want, r.Unit)
	}
	if r.Unit == "" && (r.Got != 0 || r.Limit != 0) {
		a.finding(path, "plan.reason", "%s has numbers but no unit", r.Rule)
	}
	if r.Text == "" {
		a.finding(path+".text", "plan.reason", "%s is not told in words", r.Rule)
	}
}
