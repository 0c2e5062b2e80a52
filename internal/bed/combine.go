package bed

import (
	"slices"
	"strings"

	"solander/calendar"
	"solander/dispatch"
	"solander/order"
	"solander/packing/check"
	"solander/paperwork"
	"solander/planning"
	"solander/studio"
)

func (b *Bed) Combine(on bool) {
	b.Helper()
	b.ChangeSettings(func(set *studio.Settings) { set.Combine = on })
}

func (b *Bed) Plan(id int64) planning.PlanView {
	b.Helper()
	v, err := planning.Plan(b.Ctx, b.Studio, id, calendar.Day{})
	b.Must(err)
	b.Must(check.Plan(v.Problem, v.Plan))
	return v
}

// ToldOnce looks that the bench tells how to pack under the first, and names each under the other.
func (b *Bed) ToldOnce(first, second string) {
	b.Helper()
	tasks := b.PackTasks()
	a, z := tasks[first], tasks[second]
	if !slices.Equal(a.With, []string{second}) || !slices.Equal(z.With, []string{first}) || a.Service == "" || z.Service != "" || !slices.Contains(z.Detail, "how it is packed is told under "+first) {
		b.Errorf("the bench says %+v and %+v", a, z)
	}
	if !strings.Contains(strings.Join(a.Detail, "\n"), "Éclat") {
		b.Errorf("the bench does not name the other order's prints: %q", a.Detail)
	}
}

// HandedOverTogether hands over what is labelled, looks at both orders and takes it back.
func (b *Bed) HandedOverTogether(ids ...int64) {
	b.Helper()
	h, err := dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{})
	b.Must(err)
	_, parcels, orders, err := dispatch.HandOverDetail(b.Ctx, b.Studio, h.ID)
	b.Must(err)
	list, err := paperwork.HandOverPaper(b.Ctx, b.Studio, h.ID)
	b.Must(err)
	if h.Parcels != 1 || len(parcels) != 1 || len(orders) != 2 || len(list.Rows) != 1 || list.Rows[0].Mark != "S-1001 and S-1002" {
		b.Errorf("hand-over of %d parcels, %d orders; the list says %+v", len(parcels), len(orders), list.Rows)
	}
	for _, id := range ids {
		v := b.Order(id)
		for _, l := range v.Live() {
			if v.State != order.Closed || !l.Sent {
				b.Errorf("%s is %s, line %d sent: %v", v.Mark, v.State, l.ID, l.Sent)
			}
		}
	}
	b.Sound()
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkHandedOver).ID))
	for _, id := range ids {
		if v := b.Order(id); v.State != order.Open {
			b.Errorf("%s is %s after the hand-over was taken back", v.Mark, v.State)
		}
	}
	b.Sound()
}

// DayTotal adds up the plans of all open orders, each shared one once.
func (b *Bed) DayTotal() int64 {
	b.Helper()
	sum, seen := int64(0), map[string]bool{}
	for id := int64(1); id <= 3; id++ {
		v := b.Plan(id)
		if v.Plan.Held > 0 || seen[v.Plan.Orders[0].ID] {
			continue
		}
		for _, o := range v.Plan.Orders {
			seen[o.ID] = true
		}
		sum += v.Plan.Total
	}
	return sum
}
