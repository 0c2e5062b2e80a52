package certify_test

import (
	"strings"
	"testing"

	"solander/certificate"
	"solander/certify"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/internal/testpdf"
)

// Prints of an open edition are not certified one by one; what is true of all of them is stated, without a limit and without a code.
func TestOpenEditionIsStatedNotCertified(t *testing.T) {
	b := bed.New(t)
	for _, n := range []edition.Number{{}, bed.Num(1)} {
		_, err := certify.Make(b.Ctx, b.Studio, certify.MakeIn{Edition: b.Card.ID, Numbers: []edition.Number{n}})
		b.Refused(err, fault.Refused, "numbers", "an open edition has no numbers")
	}
	_, err := certify.Lacking(b.Ctx, b.Studio, b.Card.ID)
	b.Refused(err, fault.Refused, "numbers", "an open edition has no numbers")
	_, err = certify.Foresee(b.Ctx, b.Studio, b.Card.ID, func(*certificate.Letterhead) error { return nil })
	b.Refused(err, fault.Refused, "numbers", "an open edition has no numbers")
	_, err = certify.Statement(b.Ctx, b.Studio, b.Heron.ID)
	b.Refused(err, fault.Refused, "", "its prints have numbers")

	_, err = certify.ChangeLetterhead(b.Ctx, b.Studio, func(l *certificate.Letterhead) error {
		l.Words, l.Truth = "Printed slowly.", true
		return nil
	})
	b.Must(err)
	s, err := certify.Statement(b.Ctx, b.Studio, b.Card.ID)
	b.Must(err)
	pdf, err := s.Draw()
	b.Must(err)
	text := strings.Join(strings.Fields(testpdf.Text(t, pdf)), " ")
	for _, want := range []string{"Statement of authenticity", "of an open edition", "no limit and no numbers", "an open edition, without a limit", s.Title, s.Artist, "Printed slowly.", certify.Truth, "nothing of one print alone"} {
		if !strings.Contains(text, want) {
			t.Errorf("it says no %q: %s", want, text)
		}
	}
	if found := testpdf.ReadQR(t, testpdf.Image(t, pdf, 1, 100)); len(found) > 0 {
		t.Errorf("it carries a code: %q", found)
	}
}
