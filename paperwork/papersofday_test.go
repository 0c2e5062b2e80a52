package paperwork_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"solander/calendar"
	"solander/fault"
	"solander/internal/bed"
	"solander/papers"
	"solander/papers/wrap"
	"solander/paperwork"
)

// names tells the papers of a bundle in their order: "wrap S-1001".
func names(b papers.Bundle) string {
	var out []string
	for _, p := range b.Of {
		switch x := p.(type) {
		case wrap.Sheet:
			out = append(out, "wrap "+x.Mark)
		case papers.PackingSlip:
			out = append(out, "slip "+x.Mark)
		case papers.AddressLabel:
			out = append(out, "label "+x.Mark)
		default:
			out = append(out, fmt.Sprintf("%T", p))
		}
	}
	return strings.Join(out, ", ")
}

// Each parcel of the day has its papers, in packing order: those to pack as planned, in the order of the bench, then those
// that are packed. They are the papers that each order gives alone.
func TestPapersOfTheDay(t *testing.T) {
	b := bed.New(t)
	_, err := paperwork.DayPapers(b.Ctx, b.Studio, calendar.Day{}, paperwork.Everything)
	b.Refused(err, fault.Refused, "", "nothing is to be packed or labelled")
	packed, _ := b.Packed(b.Heron.ID)
	first, second := b.Ready(b.Heron.ID), b.Ready(b.Card.ID)
	unpaid := b.Take(b.Sale())
	day := func(kind paperwork.Kind) papers.Bundle {
		bundle, err := paperwork.DayPapers(b.Ctx, b.Studio, calendar.Day{}, kind)
		b.Must(err)
		return bundle
	}
	all := day(paperwork.Everything)
	var want []string
	for _, mark := range []string{first.Mark, second.Mark, packed.Mark} {
		want = append(want, "wrap "+mark, "slip "+mark, "label "+mark)
	}
	if got := names(all); got != strings.Join(want, ", ") || strings.Contains(got, unpaid.Mark) {
		t.Errorf("the day has %s, want %s", got, want)
	}
	for i, kind := range []paperwork.Kind{paperwork.WrapSheets, paperwork.Slips, paperwork.Labels} {
		var of []string
		for j := i; j < len(want); j += 3 {
			of = append(of, want[j])
		}
		if got := names(day(kind)); got != strings.Join(of, ", ") {
			t.Errorf("%s are %s, want %s", kind, got, of)
		}
	}
	alone, err := paperwork.WrapPapers(b.Ctx, b.Studio, first.ID)
	b.Must(err)
	if got := all.Of[0].(wrap.Sheet); fmt.Sprint(got) != fmt.Sprint(alone[0]) {
		t.Errorf("of the day:\n%+v\nalone:\n%+v", got, alone[0])
	}
	slip, err := paperwork.SlipPaper(b.Ctx, b.Studio, packed.ID)
	b.Must(err)
	if got := all.Of[7].(papers.PackingSlip); fmt.Sprint(got) != fmt.Sprint(slip) {
		t.Errorf("of the day:\n%+v\nalone:\n%+v", got, slip)
	}
	_, err = paperwork.DayPapers(b.Ctx, b.Studio, calendar.Day{}, "all")
	b.Refused(err, fault.Invalid, "kind", "there are no papers")

	sheet, err := paperwork.DayStickers(b.Ctx, b.Studio, calendar.Day{}, papers.StickerSizes()[0], 4)
	b.Must(err)
	if len(sheet.Labels) != 3 || sheet.First != 4 || sheet.Labels[2].Mark != packed.Mark {
		t.Errorf("%+v", sheet)
	}
	_, err = paperwork.DayStickers(b.Ctx, b.Studio, calendar.Day{}, papers.StickerSizes()[0], 0)
	b.Refused(err, fault.Invalid, "first", "places 1 to 10")
}

// Orders that go in one parcel have one wrap sheet and one label, and a slip each that names what the other has in it.
func TestPapersOfAParcelOfTwoOrders(t *testing.T) {
	b := bed.New(t)
	b.Combine(true)
	first, second := b.Ready(b.Heron.ID), b.Ready(b.Heron.ID)
	all, err := paperwork.DayPapers(b.Ctx, b.Studio, calendar.Day{}, paperwork.Everything)
	b.Must(err)
	both := first.Mark + " and " + second.Mark
	want := fmt.Sprintf("wrap %s, slip %s, slip %s, label %s", both, first.Mark, second.Mark, first.Mark)
	if got := names(all); got != want {
		t.Fatalf("the day has %s, want %s", got, want)
	}
	for i, other := range []string{second.Mark, first.Mark} {
		s := all.Of[1+i].(papers.PackingSlip)
		if !slices.ContainsFunc(s.With, func(o papers.SlipOrder) bool { return o.Mark == other && len(o.Lines) == 1 }) {
			t.Errorf("the slip of %s does not name what %s has in it: %+v", s.Mark, other, s.With)
		}
	}
	if l := all.Of[3].(papers.AddressLabel); !strings.Contains(l.Part, second.Mark) {
		t.Errorf("the label does not name both: %+v", l)
	}
}
