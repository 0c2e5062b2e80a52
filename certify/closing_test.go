package certify_test

import (
	"bytes"
	"strings"
	"testing"

	"solander/certify"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/internal/testpdf"
	"solander/register"
)

func TestDeclaration(t *testing.T) {
	b := bed.New(t)
	_, err := certify.Declaration(b.Ctx, b.Studio, b.Heron.ID)
	b.Refused(err, fault.Refused, "", "neither closed nor cancelled")
	_, err = certify.Declaration(b.Ctx, b.Studio, 99)
	b.Refused(err, fault.Missing, "", "")
	b.Paid(b.Heron.ID)
	_, err = register.Close(b.Ctx, b.Studio, edition.Closing{Edition: b.Heron.ID, Fact: edition.Closed, Files: "the files are deleted", Note: "with a witness"})
	b.Must(err)
	paper, err := certify.Declaration(b.Ctx, b.Studio, b.Heron.ID)
	b.Must(err)
	pdf, err := paper.Draw()
	b.Must(err)
	again, err := paper.Draw()
	if b.Must(err); !bytes.Equal(pdf, again) {
		t.Error("the same paper gives other bytes")
	}
	text := strings.Join(strings.Fields(testpdf.Text(t, pdf)), " ")
	for _, want := range []string{"Declaration", b.Heron.Title, "was closed on", "the files are deleted", "with a witness", "With their buyers 1", "Withdrawn 4", "Numbers in all 5"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in %s", want, text)
		}
	}
	paper.Title = "\U00010330 in Gothic letters"
	_, err = paper.Draw()
	b.Refused(err, fault.Refused, "", "no letters")
}
