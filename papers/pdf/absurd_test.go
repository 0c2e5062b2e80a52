package pdf

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"os/exec"
	"strings"
	"testing"

	"solander/fault"
	"solander/internal/testpdf"
	"solander/letters"
	"solander/measure"
	"solander/order"
	"solander/packing"
	"solander/papers"
	"solander/papers/wrap"
)

// word is a word with its box in points, as pdftotext sees it.
type word struct {
	XMin float64 `xml:"xMin,attr"`
	YMin float64 `xml:"yMin,attr"`
	XMax float64 `xml:"xMax,attr"`
	YMax float64 `xml:"yMax,attr"`
	Text string  `xml:",chardata"`
}

type boxedPage struct {
	Width  float64 `xml:"width,attr"`
	Height float64 `xml:"height,attr"`
	Words  []word  `xml:"word"`
}

func boxes(t *testing.T, pdf []byte) []boxedPage {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		testpdf.Text(t, pdf) // fails with what to install, or skips where that is allowed
	}
	cmd := exec.Command("pdftotext", "-bbox", "-", "-")
	cmd.Stdin = bytes.NewReader(pdf)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("pdftotext -bbox: %v", err)
	}
	dec := xml.NewDecoder(bytes.NewReader(out))
	dec.Strict = false
	var pages []boxedPage
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if start, ok := tok.(xml.StartElement); ok && start.Name.Local == "page" {
			var p boxedPage
			if err := dec.DecodeElement(&p, &start); err != nil {
				t.Fatal(err)
			}
			pages = append(pages, p)
		}
	}
	if len(pages) == 0 {
		t.Fatal("pdftotext saw no page")
	}
	return pages
}

// tidy checks that every word stands inside the margins and that no two stand on each other.
func tidy(t *testing.T, name string, pdf []byte) {
	t.Helper()
	for n, p := range boxes(t, pdf) {
		margin := 53.0
		if p.Width < 300 {
			margin = 5
		}
		for i, a := range p.Words {
			if a.XMin < margin || a.XMax > p.Width-margin || a.YMin < 0 || a.YMax > p.Height-4 {
				t.Errorf("%s, page %d: %.40q stands outside the margins: %+v", name, n+1, a.Text, a)
				return
			}
			for _, b := range p.Words[:i] {
				w, h := min(a.XMax, b.XMax)-max(a.XMin, b.XMin), min(a.YMax, b.YMax)-max(a.YMin, b.YMin)
				if w > 1 && h > 4.5 {
					t.Errorf("%s, page %d: %.40q stands on %.40q: %+v %+v", name, n+1, a.Text, b.Text, a, b)
					return
				}
			}
		}
	}
}

func TestSamplesAreTidy(t *testing.T) {
	t.Parallel()
	for name, paper := range samples() {
		tidy(t, name, drawn(t, name, paper))
	}
}

// words that no layout likes.
var absurd = []string{
	strings.Repeat("W", 120),
	strings.Repeat("long-winded ", 50),
	"Ångström ½ × " + strings.Repeat("é", 200),
}

func TestAbsurdTextsStayInTheirBoxes(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	for i, x := range absurd {
		h := papers.Head{Studio: x, Day: day, Units: measure.Imperial}
		rows := []papers.Row{}
		for range 5 {
			rows = append(rows, papers.Row{Mark: x, Who: x, What: x, Why: x, Timing: x, Detail: []string{x, x}, Blocked: x, Late: true})
		}
		short := papers.SlipLine{Label: "17/250", Title: "Heron", Facts: "12 × 16 in", Price: "120.00 USD"}
		lines := []papers.SlipLine{{Label: x, Title: x, Facts: x, Price: x}}
		for range 60 {
			lines = append(lines, short)
		}
		for name, paper := range map[string]papers.Paper{
			"bench":     papers.BenchSheet{Head: h, Summary: x, Sections: []papers.Section{{Name: x, Rows: rows}}, Warnings: []string{x}},
			"sign":      papers.SignList{Head: h, Count: 1, Editions: []papers.SignEdition{{Title: x, Size: x, Rows: []papers.SignRow{{Label: x, Buyer: x, Mark: x, Timing: x, Late: true}}}}},
			"slip":      papers.PackingSlip{Head: h, Mark: strings.Repeat("S-1042", 8), Ref: x, Outlet: x, From: []string{x, x}, To: []string{x, x, x}, Lines: lines, Totals: []papers.SlipTotal{{Name: x, Amount: x}}, Message: x},
			"hand-over": papers.HandOverList{Head: h, Note: x, Rows: []papers.HandOverRow{{Mark: x, To: x, Service: x, Tracking: strings.Repeat("9", 40), Postage: x}}, Services: []papers.ServiceSum{{Service: x, Parcels: 1, Postage: x}}, Total: x},
			"wrap": wrap.Sheet{
				Head: h, Mark: x, Part: x, Buyer: x, Wrap: x, Facts: []wrap.Fact{{Name: "Size", Text: x}}, Steps: []wrap.Step{{Text: x, Detail: x}}, Cautions: []string{x}, Warnings: []string{x},
				Views: []papers.View{{Name: "From above", Sizes: []string{"a"}, Shapes: []papers.Shape{{Step: 1, W: 1, H: 100 * measure.Metre}}}}, Cuts: []wrap.Cut{{Title: x, Steps: []string{x}}},
			},
		} {
			if slip, is := paper.(papers.PackingSlip); is && letters.Named(x) != "" {
				if _, err := Draw(slip); !fault.Is(err, fault.Refused) {
					t.Errorf("a slip with %.20q: %v", x, err)
				}
				continue
			}
			tidy(t, fmt.Sprintf("%s %d", name, i), drawn(t, fmt.Sprintf("absurd-%s-%d", name, i), paper))
		}
	}
}

// An address of the longest fields that are accepted still fits its label, whole.
func TestTheLongestAddressFitsItsLabel(t *testing.T) {
	t.Parallel()
	fill := func(c string, n int) string { return strings.Repeat(c, n) }
	longest := order.Address{Name: fill("Name ", 24), Line1: fill("Street", 20), Line2: fill("Rear house ", 10), City: fill("City", 20), Region: fill("Region ", 11), Postcode: "1234567890123456", Country: "DE"}
	if err := longest.Validate(); err != nil && !strings.Contains(err.Error(), "postcode") {
		t.Fatal(err)
	}
	l := papers.Label(head(), papers.LabelIn{From: longest, To: longest, Mark: "S-1042", Part: 1, Parts: 2, Service: fill("service ", 9)})
	b := drawn(t, "longest-label", l)
	tidy(t, "label", b)
	text := strings.Join(strings.Fields(testpdf.Text(t, b)), "")
	for _, want := range []string{fill("Street", 20), fill("Rearhouse", 10), "1234567890123456" + fill("City", 20)} {
		if strings.Count(text, want) != 2 {
			t.Errorf("%.30q… stands %d times on the label, want 2", want, strings.Count(text, want))
		}
	}
	l.To = []string{fill("W", 2000)}
	if _, err := Draw(l); !fault.Is(err, fault.Refused) {
		t.Errorf("an endless address: %v", err)
	}
}

// A label that others cannot read is refused, and says which letters are the matter.
func TestALabelInAnotherScriptIsRefused(t *testing.T) {
	t.Parallel()
	for script, name := range map[string]string{"Bengali": "বাংলা", "Ethiopic": "አማርኛ", "symbol": "🎨"} {
		to := abroad()
		to.Name = "Zoé " + name
		_, err := Draw(papers.Label(head(), papers.LabelIn{From: home(), To: to, Mark: "S-1042"}))
		if !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), script) {
			t.Fatalf("%s: %v", name, err)
		}
		if f := fault.All(err)[0]; f.Field != "ship_to" || !strings.Contains(f.Mend, "Latin letters") {
			t.Errorf("%s: field %q, mend %q", name, f.Field, f.Mend)
		}
	}
}

// A slip and a label in many scripts are printed, and their words are read back.
func TestManyScripts(t *testing.T) {
	t.Parallel()
	s, ok := samples()["gift"].(papers.PackingSlip)
	if !ok {
		t.Fatal("the sample of a gift is no slip")
	}
	s.To = []string{"山田 花子", "東京都千代田区丸の内1-1", "日本"}
	s.Message = "お誕生日おめでとう! ♥\nكل عام وأنت بخير، مع أطيب التمنيات من جدتك\nחג שמח לכם, עם 17 נשיקות (ממני)\nสุขสันต์วันเกิด ขอให้มีความสุข\nजन्मदिन मुबारक हो\nШчасливого дня, Χρόνια πολλά, 생일 축하합니다"
	b := drawn(t, "many-scripts", s)
	tidy(t, "many scripts", b)
	says(t, "slip", testpdf.Text(t, b), "山田 花子", "東京都千代田区丸の内1-1", "お誕生日おめでとう", "สุขสันต์วันเกิด", "जन्मदिन", "Χρόνια", "축하합니다", "שמח", "عام")
	l := papers.Label(head(), papers.LabelIn{From: home(), To: order.Address{Name: "سارة محمد", Line1: "١٢ شارع النيل", City: "القاهرة", Postcode: "11511", Country: "EG"}, Mark: "S-1042"})
	tidy(t, "label", drawn(t, "label-arabic", l))
}

// On a list of the house the letters that cannot be printed are a gap to write into, and are named at its end: never
// an empty box, and never a mark in their place.
func TestAListLeavesGapsForWhatItCannotPrint(t *testing.T) {
	t.Parallel()
	s := papers.SignList{Head: head(), Count: 1, Editions: []papers.SignEdition{{Title: "Heron 🎨", Rows: []papers.SignRow{{Label: "17/250", Buyer: "অমল Hanako", Mark: "S-1"}, {Label: "18/250", Buyer: "አማርኛ", Mark: "S-2"}}}}}
	b := drawn(t, "scripts", s)
	tidy(t, "scripts", b)
	says(t, "sign", testpdf.Text(t, b), "Heron ____", "____ Hanako", "stands for characters that this paper's type lacks (Bengali, Ethiopic, symbol: U+0985, U+09AE", "Write them in by hand")
}

// A slip that a buyer cannot read is refused, and says all that is the matter at once, with its mend.
func TestASlipInAnotherScriptIsRefused(t *testing.T) {
	t.Parallel()
	s, ok := samples()["gift"].(papers.PackingSlip)
	if !ok {
		t.Fatal("the sample of a gift is no slip")
	}
	s.To, s.Message, s.Ref = []string{"অমল Hanako"}, "お誕生日おめでとう 🎨", "№ 7"
	_, err := Draw(s)
	faults := fault.All(err)
	if len(faults) != 2 || faults[0].Field != "ship_to" || faults[1].Field != "gift_message" || !strings.Contains(faults[0].What, "অমল (Bengali)") || !strings.Contains(faults[1].Mend, "Latin letters") {
		t.Errorf("%v", err)
	}
	for name, p := range samples() {
		if strings.Contains(testpdf.Text(t, drawn(t, "plain "+name, p)), "[?]") {
			t.Errorf("%s marks letters", name)
		}
	}
}

func TestWhatCanBePrinted(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"Zoé e\u0301 ß ł ½ × — ’ €": "Zoé é ß ł ½ × — ’ €",
		"Αθήνα Київ":                "Αθήνα Київ",
		"ＡＢＣ１２３ ㎝":                  "ＡＢＣ１２３ ㎝",
		"a\u200bb\u00adc\ufeff":     "abc",
		"a\u00a0b\u2003c\td":        "a b c d",
		"well\u2011known":           "well-known",
		"অমল x অ":                   "____ x ____",
		"東京 x 京":                    "東京 x 京",
		"می\u200cخواهم a\u200cb":    "می\u200cخواهم ab",
		"\xff\xfe":                  "\uFFFD",
		"🎨🖼\ufe0f":                  "____",
	} {
		if got, _ := letters.Clean(text); got != want && !(strings.Contains(want, "\uFFFD") && got == letters.Gap) {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	if got := string(letters.Lacking("मঅঅ ok")); got != "অ" {
		t.Errorf("unprintable: %q", got)
	}
	if letters.Lacking("Zoé Łukasik") != nil {
		t.Error("Latin letters are said to be unprintable")
	}
}

// The zero papers draw: no index runs out of an empty list.
func TestEmptyPapers(t *testing.T) {
	t.Parallel()
	for _, p := range []papers.Paper{
		papers.BenchSheet{},
		papers.SignList{},
		papers.PackingSlip{Mark: "S-1"},
		papers.AddressLabel{Mark: "S-1"},
		wrap.Sheet{},
		papers.HandOverList{},
		wrap.Of(papers.Head{}, packing.Parcel{}, wrap.In{}),
	} {
		tidy(t, p.Title(), drawn(t, "empty-"+p.Title(), p))
	}
}
