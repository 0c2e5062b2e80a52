package check

import (
	"fmt"
	"slices"
	"strconv"

	"solander/packing"
	"solander/tariff"
)

// parcels looks at each parcel by itself, and at their order.
func (a *audit) parcels() {
	for i := range a.plan.Parcels {
		path := fmt.Sprintf("parcels[%d]", i)
		if i > 0 && a.plan.Parcels[i-1].Order > a.plan.Parcels[i].Order {
			a.finding(path+".order", "plan.order", "%q comes after %q", a.plan.Parcels[i].Order, a.plan.Parcels[i-1].Order)
		}
		a.parcel(path, &a.plan.Parcels[i])
	}
}

// parcel packs and prices a parcel again and compares every field.
func (a *audit) parcel(path string, found *packing.Parcel) {
	p := a.reckoner.pack(found)
	a.report(path, p.broken)
	offer, unknown := a.reckoner.offer(found.Card, found.Service)
	if unknown != nil {
		a.report(path, []packing.Reason{*unknown})
	}
	if p.lost || unknown != nil {
		return
	}
	want, broken := a.reckoner.send(p, offer)
	a.report(path, broken)
	if !slices.Equal(want.Orders, found.Orders) {
		a.finding(path+".orders", "plan.orders", "expected %q, found %q", want.Orders, found.Orders)
	}
	same(a, path+".shape", "plan.shape", want.Shape, found.Shape)
	a.sameRoll(path+".roll", want.Roll, found.Roll)
	for i, e := range found.Layers {
		if item := a.reckoner.items[e.Item]; e.CutTo != 0 && e.CutTo == fullSize(item) {
			a.finding(fmt.Sprintf("%s.layers[%d].cut_to", path, i), "plan.cut", "an uncut item has no cut_to")
		}
	}
	same(a, path+".form", "plan.form", want.Form, found.Form)
	same(a, path+".stiff", "plan.stiff", want.Stiff, found.Stiff)
	same(a, path+".size", "plan.size", want.Size, found.Size)
	same(a, path+".mass", "plan.mass", want.Mass, found.Mass)
	same(a, path+".value", "plan.value", want.Value, found.Value)
	same(a, path+".class", "plan.class", want.Class, found.Class)
	same(a, path+".zone", "plan.zone", want.Zone, found.Zone)
	same(a, path+".billed", "plan.billed", want.Billed, found.Billed)
	same(a, path+".cover", "plan.cover", want.Cover, found.Cover)
	same(a, path+".signature", "plan.signature", want.Signature, found.Signature)
	a.sameLines(path+".lines", want.Lines, found.Lines)
	same(a, path+".cost", "plan.cost", want.Cost, found.Cost)
	same(a, path+".days_min", "plan.days", stated(want.DaysMin), stated(found.DaysMin))
	same(a, path+".days_max", "plan.days", stated(want.DaysMax), stated(found.DaysMax))
	same(a, path+".arrives", "plan.days", want.Arrives, found.Arrives)
}

// stated is a number of days for comparing; absent is none, not 0.
func stated(days *int) string {
	if days == nil {
		return "not stated"
	}
	return strconv.Itoa(*days)
}

func (a *audit) report(path string, broken []packing.Reason) {
	for _, r := range broken {
		a.finding(path, r.Rule, "%s", describe(r))
	}
}

func (a *audit) sameRoll(path string, want, found *packing.RollPlan) {
	if want == nil || found == nil {
		same(a, path, "plan.roll", want != nil, found != nil)
		return
	}
	same(a, path, "plan.roll", *want, *found)
}

// sameLines compares the cost lines; their texts are for reading and are not looked at.
func (a *audit) sameLines(path string, want, found []tariff.Line) {
	same(a, path, "plan.lines", len(want), len(found))
	for i := range min(len(want), len(found)) {
		w, f := want[i], found[i]
		w.Text, f.Text = "", ""
		same(a, fmt.Sprintf("%s[%d]", path, i), "plan.lines", w, f)
	}
}
