package certificate_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/calendar"
	"solander/fault"
	"solander/internal/testpdf"
	"solander/measure"
	"solander/papers/certificate"
)

func painted(t testing.TB, w, h int) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.Set(x, y, color.RGBA{uint8(x * 255 / w), uint8(y * 200 / h), 140, 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The lengths are those of real codes: 262 signs for the small one, about a thousand for the large one.
func sample(t testing.TB, n int) certificate.Certificate {
	t.Helper()
	return certificate.Certificate{
		Head:  certificate.Head{Studio: "Quay Studio", Under: "Pinfold", Day: calendar.Date(2031, 3, 4), Units: measure.Imperial},
		Title: "Heron at dusk", Artist: "Ines Varga", Year: "2030", Number: fmt.Sprintf("%d/500", n), Kind: "numbered impression", Picture: painted(t, 480, 640),
		About: []certificate.Row{
			{Label: "Technique", Text: "pigment print"},
			{Label: "Paper", Text: "cotton rag, 310 gsm"},
			{Label: "Sheet", Text: "12 × 16 in"},
			{Label: "Image", Text: "10 × 14 in"},
			{Label: "Edition", Text: "500 numbered, and beside them 5 AP, 1 BAT"},
			{Label: "Signed", Text: "by the artist, in pencil, lower right"},
		},
		Facts: []certificate.Row{{Label: "Name of the artist", Text: "Ines Varga"}, {Label: "Printed after the artist's death", Text: "does not apply"}},
		Words: "Printed slowly, in the winter after the flood.", Truth: "This is to certify that all information and the statements contained herein are true and correct.",
		Place: "Pinfold", Made: "4 March 2031", Serial: int64(n),
		Small: "SOL1:" + strings.Repeat("7HQ", 85), Large: "SOL2:" + strings.Repeat("9ZK-4", 200), Key: "solander-register/0011223344556677+0a1b2c3d+AbCdEf", Check: "Open the page that goes with it and scan either code.",
	}
}

func TestCertificateOnBothFormats(t *testing.T) {
	t.Parallel()
	for _, format := range certificate.Formats() {
		for _, units := range []measure.System{measure.Imperial, measure.Metric} {
			c := sample(t, 17)
			c.Units = units
			pdf, err := certificate.Draw(format, []certificate.Certificate{c})
			if err != nil {
				t.Fatal(err)
			}
			again, err := certificate.Draw(format, []certificate.Certificate{c})
			if err != nil || !bytes.Equal(pdf, again) {
				t.Errorf("%s: other bytes, %v", format, err)
			}
			pages := testpdf.Pages(t, pdf)
			if len(pages) != 2 {
				t.Errorf("%s, %s: %d pages", format, units, len(pages))
			}
			text := strings.Join(strings.Fields(strings.Join(pages, " ")), " ")
			for _, want := range []string{"Heron at dusk", "Ines Varga", "17/500", "pigment print", "10 × 14 in", "4 March 2031"} {
				if !strings.Contains(text, want) {
					t.Errorf("%s: %q is not in %s", format, want, text)
				}
			}
			if format == certificate.Sheet && !strings.Contains(text, "does not apply") {
				t.Errorf("the facts are not on its back: %s", text)
			}
			if dir := os.Getenv("SOLANDER_SHOTS"); dir != "" {
				for p := range pages {
					testpdf.Shot(t, pdf, p+1, 80, filepath.Join(dir, fmt.Sprintf("%s-%s-%d.png", format, units, p)))
				}
			}
		}
	}
}

func TestCertificatesThatCannotBeDrawn(t *testing.T) {
	t.Parallel()
	if _, err := certificate.Draw(certificate.Sheet, nil); !fault.Is(err, fault.Invalid) {
		t.Errorf("none: %v", err)
	}
	c := sample(t, 1)
	c.Artist = "\U00010330"
	if _, err := certificate.Draw(certificate.Card, []certificate.Certificate{c}); !fault.Is(err, fault.Refused) {
		t.Errorf("letters that the type lacks: %v", err)
	}
	c = sample(t, 1)
	c.Large = strings.Repeat("A", 5000)
	if _, err := certificate.Draw(certificate.Sheet, []certificate.Certificate{c}); !fault.Is(err, fault.Refused) {
		t.Errorf("a code that is too long: %v", err)
	}
}

// Source: 203 dots an inch, four dots a module, 32 mm: 61 modules (version 9 with its quiet zone, ISO/IEC 18004) are 30.6 mm.
func TestSmallCodeIsSmallEnough(t *testing.T) {
	t.Parallel()
	const inch = 25.4
	if mm := 61 * certificate.Module / 72 * inch; mm > 32 || certificate.Module/72*203 < 4 {
		t.Errorf("%.2f mm, %.3f dots a module", mm, certificate.Module/72*203)
	}
}

func BenchmarkCertificate(b *testing.B) {
	c := sample(b, 17)
	for b.Loop() {
		if _, err := certificate.Draw(certificate.Sheet, []certificate.Certificate{c}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFiveHundredCertificates(b *testing.B) {
	all := make([]certificate.Certificate, 500)
	one := sample(b, 1)
	for i := range all {
		all[i] = one
		all[i].Serial, all[i].Number = int64(i+1), fmt.Sprintf("%d/500", i+1)
	}
	for b.Loop() {
		if _, err := certificate.Draw(certificate.Sheet, all); err != nil {
			b.Fatal(err)
		}
	}
}
