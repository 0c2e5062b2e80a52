package house_test

import (
	"slices"
	"testing"

	"solander/book"
	"solander/calendar"
	"solander/house"
	"solander/internal/bed"
	"solander/measure"
	"solander/packing"
	"solander/planning"
	"solander/studio"
)

// What is proposed for a size is enough: a studio with nothing else on its shelf, whose wraps and rules followed it, sends one print of
// the size, and two in one order. The planner is the judge, and shares no code with the proposal.
func TestProposedPackagingIsEnough(t *testing.T) {
	for _, c := range []struct{ w, h measure.Length }{{5, 7}, {8, 10}, {9, 12}, {11, 14}, {12, 16}, {13, 19}, {16, 20}, {18, 24}, {24, 36}} {
		b := bed.Empty(t)
		in := bed.FirstStudio(b.Studio)
		in.Edition.Width, in.Edition.Height = c.w*measure.Inch, c.h*measure.Inch
		in.Sheets = 20
		name := in.Edition.Size(measure.Imperial)
		all := house.Defaults(b.Studio).Shelf
		groups := house.Offered(in, all)
		if groups[0].Head != "For "+name+": these" {
			t.Fatalf("first stands %q", groups[0].Head)
		}
		in.Shelf = house.Proposed(in, all)
		if len(in.Shelf) != len(groups[0].Items) {
			t.Fatalf("%d items are proposed, %d shown", len(in.Shelf), len(groups[0].Items))
		}
		for _, it := range in.Shelf {
			if it.Stock != house.Count(it) || it.Stock < 1 || it.Stock%max(1, it.Pack) != 0 {
				t.Errorf("%d of %s are proposed, which is sold in packs of %d", it.Stock, it.Spec.Name, it.Pack)
			}
		}
		in, _ = in.Follow()
		b.Must(house.SetUp(b.Ctx, b.Studio, in))
		for _, prints := range [][]int64{{1}, {1, 1}} {
			sale := b.Sale0()
			sale.Lines = nil
			for _, e := range prints {
				sale.Lines = append(sale.Lines, book.SaleLine{Edition: e})
			}
			v := b.Take(sale)
			plan, err := planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
			b.Must(err)
			if plan.Plan.Held != 0 {
				t.Errorf("%d of %s is held with %d proposed items: %+v", len(prints), name, len(in.Shelf), plan.Plan.Orders)
			}
		}
	}
}

// Nothing offered is lost between the groups, and none stands twice.
func TestOfferedStandsOnce(t *testing.T) {
	b := bed.Empty(t)
	in := bed.FirstStudio(b.Studio)
	all := house.Defaults(b.Studio).Shelf
	seen := map[int]int{}
	for _, g := range house.Offered(in, all) {
		for _, i := range g.Items {
			seen[i]++
		}
	}
	for i := range all {
		if seen[i] != 1 {
			t.Errorf("%s stands %d times", all[i].Spec.Name, seen[i])
		}
	}
}

// Wraps follow what is chosen; what is left is sound.
func TestWrapsFollowTheShelf(t *testing.T) {
	b := bed.Empty(t)
	only := func(kinds ...packing.Kind) []string {
		in := bed.FirstStudio(b.Studio)
		shelf := in.Shelf
		in.Shelf = nil
		for _, it := range shelf {
			for _, k := range kinds {
				if it.Spec.Kind == k {
					in.Shelf = append(in.Shelf, it)
				}
			}
		}
		in, _ = in.Follow()
		b.Must(studio.Packable(in.Settings, in.Shelf))
		var out []string
		for _, w := range in.Settings.Wraps {
			out = append(out, w.ID)
		}
		return out
	}
	for _, c := range []struct {
		kinds []packing.Kind
		want  []string
	}{
		{nil, []string{"double-envelope", "carton", "tube"}},
		{[]packing.Kind{packing.Tissue}, []string{"double-envelope", "carton", "tube"}},
		{[]packing.Kind{packing.Envelope}, []string{"double-envelope"}},
		{[]packing.Kind{packing.Tube}, []string{"tube"}},
		{[]packing.Kind{packing.Board, packing.Carton, packing.Tube}, []string{"carton", "tube"}},
	} {
		got := only(c.kinds...)
		if len(got) != len(c.want) {
			t.Errorf("with %v the wraps are %v, want %v", c.kinds, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("with %v the wraps are %v, want %v", c.kinds, got, c.want)
			}
		}
	}
}

// What followed is said, a wrap of her own stays, and a second time nothing is left to change.
func TestFollowingIsSaid(t *testing.T) {
	b := bed.Empty(t)
	in := bed.FirstStudio(b.Studio)
	own := packing.Wrap{ID: "own", Name: "in my own box", Shape: packing.Flat, Layers: []packing.Layer{{Kind: packing.Carton}}}
	in.Settings.Wraps = append(in.Settings.Wraps, own)
	in.Shelf = slices.DeleteFunc(in.Shelf, func(it studio.ShelfItem) bool { return it.Spec.Kind != packing.Envelope })
	in, said := in.Follow()
	b.Must(studio.Packable(in.Settings, in.Shelf))
	for _, want := range []string{
		"the wrap “flat in two stiff envelopes” goes without a sleeve: there is none on the shelf",
		"the wrap “rolled in a tube” is left out: there is no tube on the shelf",
		"the wrap “flat between stiff boards in a carton cut down” is left out: there is no board on the shelf",
	} {
		if !slices.Contains(said, want) {
			t.Errorf("said is %q, not %q", said, want)
		}
	}
	if n := len(in.Settings.Wraps); n != 2 || in.Settings.Wraps[1].ID != "own" {
		t.Errorf("the wraps are %+v", in.Settings.Wraps)
	}
	if _, again := in.Follow(); len(again) > 0 {
		t.Errorf("a second time it says %q", again)
	}
}
