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
	texts := map[string]string{}
	for build, all := range marks {
		if len(all) > 1 {
			texts[build] = AlikeText(all) + ", by one wrap sheet"
		}
	}
	each(func(t *Task, p PlannedParcel, _ string) {
		text := texts[p.Build]
		if text == "" || slices.Contains(t.Detail, text) {
			return
		}
		if t.Detail = append(t.Detail, text); len(t.Alike) == 0 {
			t.Alike = marks[p.Build]
		}
	})
}

// mostNamed is how many of the parcels that are built alike are named where it is said of each: all of a day's would be as many names as it
// has parcels, at every parcel. The wrap sheet names them all.
const mostNamed = 12

// AlikeText says which parcels are built alike: "3 parcels alike: S-1, S-4, S-9"; of many, the first.
func AlikeText(marks []string) string {
	if more := len(marks) - mostNamed; more > 0 {
		return fmt.Sprintf("%d parcels alike: %s and %d more", len(marks), strings.Join(marks[:mostNamed], ", "), more)
	}
	return fmt.Sprintf("%d parcels alike: %s", len(marks), strings.Join(marks, ", "))
}
