package house_test

import (
	"slices"
	"strings"
	"testing"

	"solander/book"
	"solander/calendar"
	"solander/edition"
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
	const in, mm = measure.Inch, measure.Millimetre
	for _, c := range []struct {
		units measure.System
		w, h  measure.Length
	}{
		{measure.Imperial, 5 * in, 7 * in},
		{measure.Imperial, 8 * in, 10 * in},
		{measure.Imperial, 9 * in, 12 * in},
		{measure.Imperial, 11 * in, 14 * in},
		{measure.Imperial, 12 * in, 16 * in},
		{measure.Imperial, 13 * in, 19 * in},
		{measure.Imperial, 16 * in, 20 * in},
		{measure.Imperial, 18 * in, 24 * in},
		{measure.Imperial, 24 * in, 36 * in},
		{measure.Metric, 105 * mm, 148 * mm}, // the A series of ISO 216
		{measure.Metric, 148 * mm, 210 * mm},
		{measure.Metric, 210 * mm, 297 * mm},
		{measure.Metric, 297 * mm, 420 * mm},
		{measure.Metric, 420 * mm, 594 * mm},
		{measure.Metric, 130 * mm, 180 * mm},
		{measure.Metric, 180 * mm, 240 * mm},
		{measure.Metric, 200 * mm, 300 * mm},
		{measure.Metric, 240 * mm, 300 * mm},
		{measure.Metric, 300 * mm, 400 * mm},
		{measure.Metric, 400 * mm, 500 * mm},
		{measure.Metric, 500 * mm, 700 * mm},
		{measure.Metric, 700 * mm, 1000 * mm},
	} {
		b := bed.Empty(t)
		in := bed.FirstStudio().MeasuredIn(c.units)
		in.Settings.Margin = packing.Margin{}
		in.Edition.Width, in.Edition.Height = c.w, c.h
		in.Sheets = 20
		name := in.Edition.Size(c.units)
		all := in.Shelf
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

// Nothing offered is lost between the groups, and none stands twice; each has a key and a name of its own.
func TestOfferedStandsOnce(t *testing.T) {
	for _, u := range []measure.System{measure.Imperial, measure.Metric} {
		in := bed.FirstStudio().MeasuredIn(u)
		seen, called := map[int]int{}, map[string]bool{}
		for _, g := range house.Offered(in, in.Shelf) {
			for _, i := range g.Items {
				seen[i]++
			}
		}
		for i, it := range in.Shelf {
			if seen[i] != 1 {
				t.Errorf("%s stands %d times", it.Spec.Name, seen[i])
			}
			if called[it.Spec.ID] || called[it.Spec.Name] || strings.Contains(it.Spec.Name, " mm") != (u == measure.Metric) {
				t.Errorf("%s, %s: twice, or of other units than %s", it.Spec.ID, it.Spec.Name, u)
			}
			called[it.Spec.ID], called[it.Spec.Name] = true, true
		}
	}
}

// A sheet of A4 in two stiff envelopes is no larger than B4, the largest letter of several operators. Source: ISO 216, sizes of A4 and B4 (see
// the table of the A and B series, B4 is 250 mm × 353 mm).
func TestA4GoesAsALetterOfB4(t *testing.T) {
	d := house.Defaults(measure.Metric)
	e := edition.Edition{Width: 210 * measure.Millimetre, Height: 297 * measure.Millimetre}
	var outer *packing.Item
	proposed := house.Propose(e, measure.Metric, d.Settings.Wraps, d.Shelf)
	for _, it := range d.Shelf {
		if it.Spec.Kind == packing.Envelope && slices.Contains(proposed, it.Spec.ID) && (outer == nil || it.Spec.Width > outer.Width) {
			outer = &it.Spec
		}
	}
	if outer == nil || outer.Width+2*outer.Wall > 250*measure.Millimetre || outer.Height+2*outer.Wall > 353*measure.Millimetre {
		t.Errorf("of %v the outer envelope is %+v", proposed, outer)
	}
}

// Wraps follow what is chosen; what is left is sound.
func TestWrapsFollowTheShelf(t *testing.T) {
	b := bed.Empty(t)
	only := func(kinds ...packing.Kind) []string {
		in := bed.FirstStudio()
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
	in := bed.FirstStudio()
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
