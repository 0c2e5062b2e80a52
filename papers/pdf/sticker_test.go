package pdf

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"solander/fault"
	"solander/internal/testpdf"
	"solander/measure"
	"solander/order"
	"solander/papers"
)

// labelFor is the label of an order that goes to a house of its own.
func labelFor(n int) papers.AddressLabel {
	to := order.Address{Name: fmt.Sprintf("Buyer%d Quill", n), Line1: fmt.Sprintf("%d Wharf Street", n), City: "Norfolk", Region: "VA", Postcode: "23510", Country: "US"}
	return papers.Label(head(), papers.LabelIn{From: home(), To: to, Mark: fmt.Sprintf("S-%d", 1000+n), Part: 1, Parts: 1})
}

func stickerSheet(on papers.Stickers, first, n int) papers.StickerSheet {
	s := papers.StickerSheet{Head: head(), Stickers: on, First: first}
	for i := range n {
		s.Labels = append(s.Labels, labelFor(i+1))
	}
	return s
}

// On every die-cut sheet each label stands on its own sticker, whole, in order from the first free place, and goes on on
// the next sheet.
func TestEachLabelStandsOnItsSticker(t *testing.T) {
	t.Parallel()
	for _, on := range papers.StickerSizes() {
		first := on.Places()/2 + 1
		n := on.Places()
		b := drawn(t, "stickers-"+strings.NewReplacer("/", "-").Replace(on.Name), stickerSheet(on, first, n))
		pages := boxes(t, b)
		if len(pages) != 2 {
			t.Fatalf("%s: %d pages, want 2", on.Name, len(pages))
		}
		for i := range n {
			place := first - 1 + i
			page := pages[place/on.Places()]
			if w := float64(on.Paper.Width) / float64(measure.Inch) * 72; math.Abs(page.Width-w) > 0.01 {
				t.Fatalf("%s: the page is %v wide, the paper %v", on.Name, page.Width, w)
			}
			left, top := on.At(place % on.Places())
			x, y, w, h := points(left), points(top), points(on.Width), points(on.Height)
			inside := ""
			for _, word := range page.Words {
				mx, my := (word.XMin+word.XMax)/2, (word.YMin+word.YMax)/2
				if mx < x || mx > x+w || my < y || my > y+h {
					continue
				}
				if word.XMin < x+4 || word.XMax > x+w-4 || word.YMin < y || word.YMax > y+h {
					t.Errorf("%s, place %d: %q stands over the edge: %+v", on.Name, place, word.Text, word)
				}
				inside += word.Text + " "
			}
			for _, want := range []string{fmt.Sprintf("Buyer%d Quill", i+1), fmt.Sprintf("%d Wharf Street", i+1), "Norfolk VA 23510", fmt.Sprintf("S-%d", 1001+i), "this is not postage", "9 Quay Lane"} {
				if !strings.Contains(inside, want) {
					t.Errorf("%s, place %d does not say %q: %s", on.Name, place, want, inside)
				}
			}
		}
	}
}

func TestStickersThatHaveRoomCarryTheirBarCode(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	on, err := papers.StickersNamed("4x2in")
	if err != nil {
		t.Fatal(err)
	}
	got := testpdf.ReadCode128(t, testpdf.Image(t, drawn(t, "stickers", stickerSheet(on, 1, 3)), 1, 300))
	slices.Sort(got)
	if want := []string{"S-1001", "S-1002", "S-1003"}; !slices.Equal(got, want) {
		t.Errorf("read %q, want %q", got, want)
	}
}

// A sheet of stickers larger than its paper is refused, with what it comes to.
func TestASheetLargerThanThePaperIsRefused(t *testing.T) {
	t.Parallel()
	on, err := papers.StickersNamed("4x2in")
	if err != nil {
		t.Fatal(err)
	}
	on.Columns, on.Rows = 3, 6
	_, err = Draw(stickerSheet(on, 1, 1))
	if !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "larger than its paper") || len(fault.All(err)) != 2 {
		t.Fatalf("%v", err)
	}
	// By hand: 5/32 + 2 × 67/16 + 4 = 12 17/32 in.
	if f := fault.All(err)[0]; f.Field != "columns" || !strings.Contains(f.What, "12 17/32 in") || !strings.Contains(f.What, "8 1/2 in") {
		t.Errorf("%+v", f)
	}
}

// What cannot be printed is left out and told at the end; its place goes to the next.
func TestWhatCannotBePrintedIsLeftOutAndTold(t *testing.T) {
	t.Parallel()
	bad := labelFor(2)
	bad.To = append([]string{"🎨"}, bad.To...)
	on, err := papers.StickersNamed("4x2in")
	if err != nil {
		t.Fatal(err)
	}
	sheet := papers.StickerSheet{Head: head(), Stickers: on, First: 1, Labels: []papers.AddressLabel{labelFor(1), bad, labelFor(3)}}
	bundle := papers.Bundle{Head: head(), Name: "Address labels", Of: []papers.Paper{labelFor(1), bad, labelFor(3)}}
	for name, paper := range map[string]papers.Paper{"sheet": sheet, "bundle": bundle} {
		pages := testpdf.Pages(t, drawn(t, "left-out-"+name, paper))
		last := pages[len(pages)-1]
		says(t, name, last, "Left out", "S-1002", "the label's type has no letters for ____", "Latin letters", "U+1F3A8")
		rest := strings.Join(pages[:len(pages)-1], "")
		if !strings.Contains(rest, "Buyer1") || !strings.Contains(rest, "Buyer3") || strings.Contains(rest, "Wharf Street 2") || strings.Contains(rest, "Buyer2") {
			t.Errorf("%s: %s", name, rest)
		}
	}
	for name, paper := range map[string]papers.Paper{
		"sheet": papers.StickerSheet{Head: head(), Stickers: on, First: 1, Labels: []papers.AddressLabel{bad, bad}}, "bundle": papers.Bundle{Head: head(), Of: []papers.Paper{bad, bad}},
	} {
		if _, err := Draw(paper); !fault.Is(err, fault.Refused) || len(fault.All(err)) != 2 {
			t.Errorf("%s of which nothing can be printed: %v", name, err)
		}
	}
}
