package pdf

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/boombuler/barcode/code128"

	"solander/fault"
	"solander/internal/testpdf"
	"solander/measure"
	"solander/papers"
	"solander/papers/pdf/leaf"
	"solander/papers/wrap"
)

// says checks that a text holds every one of the words, whatever the spaces between them.
func says(t *testing.T, name, text string, words ...string) {
	t.Helper()
	flat := strings.Join(strings.Fields(text), " ")
	for _, w := range words {
		if !strings.Contains(flat, w) {
			t.Errorf("%s does not say %q:\n%s", name, w, text)
		}
	}
}

func TestTheSamePaperGivesTheSameBytes(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	var wait sync.WaitGroup
	for name, paper := range samples() {
		wait.Go(func() {
			want, err := Draw(paper)
			for range 3 {
				got, again := Draw(paper)
				if err != nil || again != nil || !bytes.Equal(got, want) {
					t.Errorf("%s: drawn again it differs (%v, %v)", name, err, again)
				}
			}
		})
	}
	wait.Wait()
	// Characters that share a glyph, such as the two kinds of capital delta, must not upset it either.
	shared := papers.BenchSheet{Head: papers.Head{Studio: "Ω Ω Δ ∆ µ μ – ― ‐ ‑ \u00a0 ½"}}
	want, _ := Draw(shared)
	for range 8 {
		if got, _ := Draw(shared); !bytes.Equal(got, want) {
			t.Fatal("a paper with characters that share a glyph differs when drawn again")
		}
	}
}

func TestEveryPaperSaysWhatItShould(t *testing.T) {
	t.Parallel()
	for name, words := range map[string][]string{
		// By hand: 16 × 20 twice and 12 × 16 are 832 of 1280 square inches; 448 of 1280 are 35 %.
		"cutting": {
			"Cutting list", "2 sheets; proven: no list takes fewer sheets", "Cutting 1: mount board, 32 × 40 in, 2 cut alike", "about 35 % of the sheet is left over",
			"2 × large, 16 × 20 in", "1 × small, 12 × 16 in", "Cut away from you", "keep its guards on",
			"Cut the piece of 32 × 40 in at 20 in from its lower edge (of 40 in).", "Cut the piece of 12 × 20 in at 16 in from its lower edge (of 20 in).",
		},
		"bench": {
			"Bench sheet", "7 open orders, 2 late", "Saltmarsh Studio", "Wed 15 Apr 2026", "collect 60.00 USD", "2 × Heron at dusk, 12 × 16 in, fine", "16/250 Heron at dusk", "Zoé Łukasik-Müller",
			"waiting 10 working days,", "3 late", "Not yet: no packaging is long enough: 40 in > 36 in", "tube 3 1/4 in, 24 in long", "Warning: " + ended, "25 × stiff envelope", "page 1 of 1",
		},
		"sign":      {"2 to sign", "16/250", "Ada Quill", "S-1031", "3/250", "Tide tables, low water", "18 × 24 in"},
		"slip":      {"S-1042", "sold by Harbour fair", "Große Straße 17½", "17/250", "AP 2/25", "open edition", "edition of 250 and 25 artist's", "120.00 USD", "Total", "313.50 USD"},
		"gift":      {"17/250", "A gift, with these words", "For your new walls, with love.", "Aunt Zoé"},
		"label":     {"Address label — this is not postage", "Zoé Łukasik-Müller", "50667 Köln", "GERMANY", "9 Quay Lane", "S-1042", "parcel 1 of 2"},
		"flat":      {"Wrap sheet", "Put the stack between 2 boards", "13 × 17 in, at least 1/4 in beyond the prints", "drawn to scale", "about 13 oz", "Warning: " + ended},
		"rolled":    {"round a hollow of at least 3 in", "tube outside 26 × 3 7/16 in", "roll outside 3 1/16 in", "4 in comes off", "Cut away from you", "local safety advice"},
		"carton":    {"Into a carton cut down to 1 in inside", "Mark 1 in above the inside of the base", "rim down to the mark: 5 in.", "the class it is issued for: priority", "steel rule"},
		"hand-over": {"4 parcels, postage 93.47 USD", "420232199205500000000000000012", "check digit not verified", "RR473124829US", "no tracking number", "16.37 USD", "received by (name and signature)"},
	} {
		paper := samples()[name]
		if paper == nil {
			t.Fatalf("no sample %q", name)
		}
		says(t, name, testpdf.Text(t, drawn(t, name, paper)), words...)
	}
}

// What leaves the house says nothing of the studio's price cards.
func TestNoWarningLeavesTheHouse(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"slip", "gift", "label", "hand-over"} {
		text := testpdf.Text(t, drawn(t, name, samples()[name]))
		for _, word := range []string{ended, "Warning", "For the studio", "card"} {
			if strings.Contains(text, word) {
				t.Errorf("the %s says %q", name, word)
			}
		}
	}
}

func TestAGiftSaysNoPrice(t *testing.T) {
	t.Parallel()
	text := testpdf.Text(t, drawn(t, "gift", samples()["gift"]))
	for _, price := range []string{"USD", "120", "Total", "313"} {
		if strings.Contains(text, price) {
			t.Errorf("a gift's slip says %q:\n%s", price, text)
		}
	}
}

func TestMarksAreReadBackAsCode128(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	for name, want := range map[string]string{"label": "S-1042/1", "slip": "S-1042", "gift": "S-1042", "flat": "S-1038"} {
		codes := testpdf.ReadCode128(t, testpdf.Image(t, drawn(t, name, samples()[name]), 1, 203)) // a usual label printer
		if len(codes) != 1 || codes[0] != want {
			t.Errorf("%s: read %q, want %s", name, codes, want)
		}
	}
	for _, mark := range []string{"S-1", "STUDIO-2026-104217", "7"} {
		l := papers.Label(head(), papers.LabelIn{From: home(), To: abroad(), Mark: mark})
		if codes := testpdf.ReadCode128(t, testpdf.Image(t, drawn(t, "label "+mark, l), 1, 203)); len(codes) != 1 || codes[0] != mark {
			t.Errorf("read %q, want %s", codes, mark)
		}
	}
}

// Source: worked examples of Code 128 in use, check = (start + sum of value × position) mod 103: start B
// "abcdef" 1539 → 97; start C "345678" 485 → 73. Patterns of the stop (1100011101011) and of the starts B
// (11010010000) and C (11010011100): table of ISO/IEC 15417 as given in open sources.
func TestCode128Vectors(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]struct {
		check int
		start string
	}{"abcdef": {97, "11010010000"}, "345678": {73, "11010011100"}} {
		code, err := code128.Encode(text)
		if err != nil || code.CheckSum() != want.check {
			t.Errorf("%s: check %d, published %d (%v)", text, code.CheckSum(), want.check, err)
		}
		modules, err := leaf.Bars(text)
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		for _, dark := range modules {
			b.WriteByte(map[bool]byte{true: '1', false: '0'}[dark])
		}
		if got := b.String(); !strings.HasPrefix(got, want.start) || !strings.HasSuffix(got, "1100011101011") {
			t.Errorf("%s: modules %s, want start %s and the stop", text, got, want.start)
		}
	}
}

func TestMarksThatNoBarCodeCanSay(t *testing.T) {
	t.Parallel()
	for _, mark := range []string{"", "S-Ü1", "S\n1", strings.Repeat("1", 81)} {
		l := papers.Label(head(), papers.LabelIn{From: home(), To: abroad(), Mark: mark})
		if _, err := Draw(l); !fault.Is(err, fault.Invalid) {
			t.Errorf("%q: %v", mark, err)
		}
	}
}

// Sources: ANSI/ASME Y14.1 size A, 8.5 × 11 in; ISO 216 A4, 210 × 297 mm. At 100 dots an inch.
func TestSizesOfSheets(t *testing.T) {
	t.Parallel()
	size := func(p papers.Paper) (float64, float64) {
		b := testpdf.Image(t, drawn(t, "size", p), 1, 100).Bounds()
		return float64(b.Dx()), float64(b.Dy())
	}
	metric := head()
	metric.Units = measure.Metric
	for name, tc := range map[string]struct {
		paper papers.Paper
		w, h  float64
	}{
		"inches":   {papers.Bench(head(), benchList()), 850, 1100},
		"metric":   {papers.Bench(metric, benchList()), 827, 1169},
		"label":    {samples()["label"], 400, 600},
		"no units": {papers.BenchSheet{}, 850, 1100},
	} {
		if w, h := size(tc.paper); math.Abs(w-tc.w) > 1 || math.Abs(h-tc.h) > 1 {
			t.Errorf("%s: %v × %v, want %v × %v", name, w, h, tc.w, tc.h)
		}
	}
}

// A heading stands on the page of what it is the head of, however much comes before it.
func TestNoHeadingStandsAlone(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	three := []string{"one", "two", "three"}
	row := papers.Row{Mark: "S-1", What: "a print", Why: "why", Detail: three}
	long := strings.Repeat("cut away from you and mind the blade ", 9)
	slip, ok := samples()["gift"].(papers.PackingSlip)
	if !ok {
		t.Fatal("the sample of a gift is no slip")
	}
	for n := range 30 {
		rows := n + 1
		for heading, x := range map[string]struct {
			first string
			paper papers.Paper
		}{
			"To pack": {"the next", papers.BenchSheet{Head: head(), Sections: []papers.Section{
				{Name: "To sign", Rows: slices.Repeat([]papers.Row{row}, rows)}, {Name: "To pack", Rows: []papers.Row{{Mark: "S-2", What: "the next", Why: "why", Detail: three}}},
			}}},
			"Tide tables": {"S-2", papers.SignList{Head: head(), Editions: []papers.SignEdition{
				{Title: "Heron", Rows: slices.Repeat([]papers.SignRow{{Label: "1/5", Mark: "S-1"}}, rows)}, {Title: "Tide tables", Picture: greyPicture(t), Rows: []papers.SignRow{{Label: "17/250", Mark: "S-2"}}},
			}}},
			"When cutting": {"cut away from you", wrap.Sheet{Head: head(), Mark: "S-1", Steps: slices.Repeat([]wrap.Step{{Text: "a step", Detail: "its size"}}, rows), Cautions: []string{long}}},
			"A gift, with these words": {"For your new walls", papers.PackingSlip{
				Head: head(), Mark: "S-1", Lines: slices.Repeat(slip.Lines[:1], rows), Message: "For your new walls\nwith love\nZoé",
			}},
			"In the same parcel": {"Tide tables, low water", papers.PackingSlip{
				Head: head(), Mark: "S-1", Lines: slices.Repeat(slip.Lines[:1], rows), With: []papers.SlipOrder{{Mark: "S-2", Placed: "Tue 7 Apr 2026", Lines: slip.Lines[2:]}},
			}},
			"Totals": {"All", papers.HandOverList{Head: head(), Rows: slices.Repeat([]papers.HandOverRow{{Mark: "S-1", To: "Ada", Service: "post"}}, rows), Services: []papers.ServiceSum{{Service: "post", Parcels: rows}}}},
		} {
			together := 0
			for _, text := range testpdf.Pages(t, drawn(t, fmt.Sprintf("%s-%d", heading, n), x.paper)) {
				if _, under, ok := strings.Cut(text, heading); ok && strings.Contains(under, x.first) {
					together++
				}
			}
			if together != 1 {
				t.Errorf("after %d rows the heading %q stands alone", rows, heading)
			}
		}
	}
}

// greyPicture is a small JPEG.
func greyPicture(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	img := image.NewGray(image.Rect(0, 0, 30, 40))
	for i := range img.Pix {
		img.Pix[i] = byte(80 + i%30*4)
	}
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// An order of 40 prints and a long message go on on further pages, whole: every line and every word is there, and each page
// says which of how many it is.
func TestALongSlipGoesOnOverleaf(t *testing.T) {
	t.Parallel()
	s, ok := samples()["gift"].(papers.PackingSlip)
	if !ok {
		t.Fatal("the sample of a gift is no slip")
	}
	s.Lines = nil
	for i := range 40 {
		s.Lines = append(s.Lines, papers.SlipLine{Label: fmt.Sprintf("%d/250", i+1), Title: fmt.Sprintf("Heron%d", i+1), Facts: "12 × 16 in", Picture: greyPicture(t)})
	}
	var words []string
	for i := range 900 {
		words = append(words, fmt.Sprintf("word%d", i))
	}
	s.Message = strings.Join(words, " ")
	b := drawn(t, "long-slip", s)
	tidy(t, "long slip", b)
	pages := testpdf.Pages(t, b)
	if len(pages) < 4 {
		t.Fatalf("%d pages", len(pages))
	}
	all := strings.Fields(strings.Join(pages, " "))
	for _, w := range words {
		if !slices.Contains(all, w) {
			t.Fatalf("%s is lost", w)
		}
	}
	for i := range 40 {
		if !slices.Contains(all, fmt.Sprintf("Heron%d", i+1)) {
			t.Errorf("line %d is lost", i+1)
		}
	}
	for i, text := range pages {
		says(t, "a page", text, fmt.Sprintf("Packing slip, S-1042, page %d of %d", i+1, len(pages)))
	}
}

// A picture stands where it is given, and only there, on each paper that shows prints.
func TestPapersShowTheirPictures(t *testing.T) {
	t.Parallel()
	grey := greyPicture(t)
	in := slipIn("")
	in.Pictures = map[int64][]byte{0: grey}
	for name, paper := range map[string]papers.Paper{
		"slip":  papers.Slip(head(), in),
		"sign":  papers.Sign(head(), benchList(), map[int64][]byte{1: grey, 2: grey}),
		"wrap":  wrapPictured(t, grey),
		"label": samples()["label"],
	} {
		want := 1 // however often it is drawn
		if name == "label" {
			want = 0
		}
		b := drawn(t, "pictured-"+name, paper)
		tidy(t, name, b)
		if n := bytes.Count(b, []byte("/Subtype /Image")); n != want {
			t.Errorf("%s has %d pictures, want %d", name, n, want)
		}
	}
}

func wrapPictured(t *testing.T, picture []byte) wrap.Sheet {
	t.Helper()
	s := flatSheet(map[string][]byte{"a": picture})
	if len(s.Prints) != 1 || !slices.ContainsFunc(s.Views[0].Shapes, func(x papers.Shape) bool { return x.Print == "a" && x.Role == papers.RolePrint }) {
		t.Errorf("the print is not in its place: %+v", s.Views[0].Shapes)
	}
	return s
}
