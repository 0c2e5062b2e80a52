package choosing_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/choosing"
	"solander/dispatch"
	"solander/fault"
	"solander/internal/bed"
	"solander/packing"
	"solander/packing/front"
	"solander/planning"
	"solander/studio"
)

func TestMain(m *testing.M) { bed.Properties(m) }

// waysOf compares the ways of an order.
func waysOf(b *bed.Bed, id int64) choosing.Choices {
	v := b.Plan(id)
	out, err := choosing.Ways(b.Ctx, b.Studio, v)
	b.Must(err)
	return out
}

// The first way is the plan; the others cost more and give something for it; each is told with what it asks.
func TestWaysBesideThePlan(t *testing.T) {
	b := bed.New(t)
	o := b.Ready(b.Heron.ID)
	c := waysOf(b, o.ID)
	if len(c.Ways) < 3 || c.Ways[0].Cost.Minor != b.Plan(o.ID).Plan.Total || c.Taken != -1 {
		t.Fatalf("%+v", c)
	}
	if c.Sooner < 0 || c.Ways[c.Sooner].Sooner < 1 || c.Ways[c.Sooner].More.Sign() <= 0 {
		t.Errorf("the sooner way: %+v", c)
	}
	if c.Safer < 0 || !c.Ways[c.Safer].Protection.AtLeast(c.Ways[0].Protection) || c.Ways[c.Safer].Protection == c.Ways[0].Protection {
		t.Errorf("the safer way: %+v", c)
	}
	for i, w := range c.Ways {
		if i > 0 && (w.Cost.Minor < c.Ways[i-1].Cost.Minor || w.Demand == (front.Demand{})) {
			t.Errorf("way %d: %+v", i, w)
		}
	}
}

// What a way shows is what the plan of the day and packing do when it is taken: of an order among others, of orders that share parcels,
// and where packaging is scarce.
func TestAWayTakenIsWhatIsPacked(t *testing.T) {
	for name, c := range map[string]struct{ together, scarce bool }{"among others": {}, "together": {together: true}, "scarce": {scarce: true}, "scarce, together": {true, true}} {
		t.Run(name, func(t *testing.T) {
			taken := 0
			rapid.Check(t, func(rt *rapid.T) {
				b := bed.New(t)
				b.Combine(c.together)
				var ids []int64
				for range 2 {
					var eds []int64
					for range rapid.IntRange(1, 2).Draw(rt, "prints") {
						eds = append(eds, rapid.SampledFrom([]int64{b.Heron.ID, b.Card.ID}).Draw(rt, "edition"))
					}
					ids = append(ids, b.Ready(eds...).ID)
				}
				id := rapid.SampledFrom(ids).Draw(rt, "order")
				if used := b.Plan(id).Plan.StockUsed; c.scarce && len(used) > 0 {
					u := rapid.SampledFrom(used).Draw(rt, "item")
					b.Scarce(u.Count, u.Item)
				}
				ways := waysOf(b, id)
				ways.Ways = slices.DeleteFunc(ways.Ways, func(w choosing.Way) bool { return w.Demand == (front.Demand{}) })
				if len(ways.Ways) == 0 {
					return
				}
				taken++
				takenIsPacked(rt, b, id, ways, rapid.SampledFrom(ways.Ways).Draw(rt, "way"))
			})
			if taken == 0 && !testing.Short() { // with few runs there may be none
				t.Error("no way was taken: nothing was tested")
			}
		})
	}
}

// takenIsPacked takes a way, packs all that was chosen for, and holds what is packed against what was shown.
func takenIsPacked(t *rapid.T, b *bed.Bed, id int64, c choosing.Choices, w choosing.Way) {
	got, err := choosing.Take(b.Ctx, b.Studio, choosing.TakeIn{Order: id, Demand: w.Demand, Total: &w.Cost.Minor})
	b.Must(err)
	if got.Cost != w.Cost || got.Arrives != w.Arrives || got.Protection != w.Protection || !slices.Equal(got.By, w.By) {
		t.Fatalf("taken %+v, shown %+v", got, w)
	}
	var total int64
	var latest calendar.Day
	for _, mark := range c.Orders {
		v := b.Mark(mark)
		if v.Choice == nil || v.Choice.Reason == "" {
			t.Fatalf("%s: no choice is kept: %+v", mark, v.Choice)
		}
		if len(v.Parcels) > 0 {
			continue // packed with another
		}
		p := b.Plan(v.ID)
		if p.Unkept != "" {
			t.Fatalf("%s: %s", mark, p.Unkept)
		}
		parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID, Total: &p.Plan.Total})
		b.Must(err)
		for _, pc := range parcels {
			total += pc.Plan.Cost
			if pc.Plan.Arrives.After(latest) {
				latest = pc.Plan.Arrives
			}
		}
	}
	if total != w.Cost.Minor || !w.Arrives.IsZero() && latest != w.Arrives {
		t.Fatalf("packed for %d, the last there by %s; shown %+v", total, latest, w)
	}
	b.Sound()
}

// A choice that can be kept no longer is told with its reason, and the order goes as if none had been made; taken back, nothing is asked.
func TestAChoiceThatCannotBeKept(t *testing.T) {
	b := bed.New(t)
	o := b.Ready(b.Heron.ID)
	c := waysOf(b, o.ID)
	i := -1
	for j, w := range c.Ways {
		if w.Protection.Packaging == front.Boxed && c.Ways[0].Protection.Packaging != front.Boxed {
			i = j
			break
		}
	}
	if i < 0 {
		t.Fatalf("no way is boxed: %+v", c)
	}
	way, err := choosing.Take(b.Ctx, b.Studio, choosing.TakeIn{Order: o.ID, Demand: c.Ways[i].Demand, Reason: "her first customer"})
	b.Must(err)
	p := b.Plan(o.ID)
	if p.Plan.Total != way.Cost.Minor || p.Unkept != "" || b.Order(o.ID).Choice.Reason != "her first customer" {
		t.Fatalf("planned for %d, %q, want %s", p.Plan.Total, p.Unkept, way.Cost)
	}
	if c = waysOf(b, o.ID); c.Taken != i {
		t.Errorf("way %d was taken, told is %d", i, c.Taken)
	}
	for key, it := range b.Shelf() {
		if it.Spec.Kind == packing.Carton || it.Spec.Kind == packing.Tube {
			b.Scarce(0, key)
		}
	}
	p = b.Plan(o.ID)
	if p.Unkept == "" || len(p.Plan.Parcels) == 0 || p.Plan.Total != c.Ways[0].Cost.Minor {
		t.Errorf("without cartons and tubes: %q, %d parcels for %d", p.Unkept, len(p.Plan.Parcels), p.Plan.Total)
	}
	_, err = dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: o.ID})
	b.Must(err)
	if text := b.Latest(studio.MarkPacked).Text; !bed.Contains(text, "could not be kept") {
		t.Errorf("the journal says %q", text)
	}
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkPacked).ID))
	b.Must(choosing.TakeBack(b.Ctx, b.Studio, o.ID))
	if p = b.Plan(o.ID); p.Unkept != "" || b.Order(o.ID).Choice != nil {
		t.Errorf("taken back: %q, %+v", p.Unkept, b.Order(o.ID).Choice)
	}
	b.Refused(choosing.TakeBack(b.Ctx, b.Studio, o.ID), fault.Refused, "", "no other way was chosen")
	b.Sound()
}

// A day by which it was to arrive passes: the order goes all the same, and is told why not by then.
func TestADayThatPassed(t *testing.T) {
	b := bed.New(t)
	o := b.Ready(b.Heron.ID)
	c := waysOf(b, o.ID)
	w := c.Ways[c.Sooner]
	_, err := choosing.Take(b.Ctx, b.Studio, choosing.TakeIn{Order: o.ID, Demand: front.Demand{ArriveBy: w.Arrives}})
	b.Must(err)
	v, err := planning.Plan(b.Ctx, b.Studio, o.ID, w.Arrives.Add(4))
	b.Must(err)
	if v.Unkept == "" || len(v.Plan.Parcels) == 0 {
		t.Errorf("on %s: %q", w.Arrives.Add(4), v.Unkept)
	}
}

// What cannot be chosen is refused, and nothing is written.
func TestChoicesThatAreRefused(t *testing.T) {
	b := bed.New(t)
	o := b.Ready(b.Heron.ID)
	c := waysOf(b, o.ID)
	one := int64(1)
	signed := front.Demand{Protection: front.Protection{Care: front.Signed}}
	for name, x := range map[string]struct {
		in    choosing.TakeIn
		code  fault.Code
		field string
		says  string
	}{
		"nothing asked":      {choosing.TakeIn{Order: o.ID}, fault.Invalid, "way", "nothing is asked for"},
		"no such protection": {choosing.TakeIn{Order: o.ID, Demand: front.Demand{Protection: front.Protection{Packaging: "iron"}}}, fault.Invalid, "way", "not known"},
		"another price":      {choosing.TakeIn{Order: o.ID, Demand: c.Ways[1].Demand, Total: &one}, fault.Refused, "total", "not 0.01 USD"},
		"no way keeps it":    {choosing.TakeIn{Order: o.ID, Demand: front.Demand{ArriveBy: c.Day, Protection: signed.Protection}}, fault.Refused, "way", "no way to send it"},
		"no such order":      {choosing.TakeIn{Order: 99, Demand: signed}, fault.Missing, "", "99"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := choosing.Take(b.Ctx, b.Studio, x.in)
			b.Refused(err, x.code, x.field, x.says)
			if b.Order(o.ID).Choice != nil {
				t.Error("it is kept")
			}
		})
	}
}
