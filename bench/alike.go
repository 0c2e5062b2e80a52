package bench

import (
	"fmt"
	"slices"
	"strings"
)

// alike says of every parcel to pack which others are built just so: they are built in one go, by one wrap sheet. Of an order in several
// parcels each counts.
func (b *maker) alike() {
	orders := map[int64]*Order{}
	for _, o := range b.open {
		orders[o.ID] = o
	}
	marks := map[string][]string{}
	each := func(f func(t *Task, p PlannedParcel, mark string)) {
		for i := range b.list.Groups[PackOrders] {
			t := &b.list.Groups[PackOrders][i]
			o := orders[t.Order]
			if t.Blocked != "" || o.Plan == nil || o.Plan.Under != "" {
				continue
			}
			for at, p := range o.Plan.Parcels {
				mark := t.Mark
				if n := len(o.Plan.Parcels); n > 1 {
					mark = fmt.Sprintf("%s %d/%d", t.Mark, at+1, n)
				}
				if p.Build != "" {
					f(t, p, mark)
				}
			}
		}
	}
	each(func(_ *Task, p PlannedParcel, mark string) { marks[p.Build] = append(marks[p.Build], mark) })
	each(func(t *Task, p PlannedParcel, _ string) {
		text := AlikeText(marks[p.Build]) + ", by one wrap sheet"
		if len(marks[p.Build]) < 2 || slices.Contains(t.Detail, text) {
			return
		}
		if t.Detail = append(t.Detail, text); len(t.Alike) == 0 {
			t.Alike = marks[p.Build]
		}
	})
}

// AlikeText says which parcels are built alike: "3 parcels alike: S-1, S-4, S-9".
func AlikeText(marks []string) string {
	return fmt.Sprintf("%d parcels alike: %s", len(marks), strings.Join(marks, ", "))
}
