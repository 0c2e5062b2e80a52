package record_test

import (
	"fmt"
	"image"
	"slices"
	"strings"
	"testing"

	"solander/calendar"
	"solander/internal/bed"
	"solander/internal/qrcode"
	"solander/internal/testpdf"
	"solander/papers/pdf"
	"solander/paperwork"
	"solander/record"
)

// The sign list carries the newest checkpoint in its short form; its root is compared with the line of the checkpoint itself.
// Source of the form: C2SP tlog-checkpoint, the third line is the root in base64.
func TestShortCheckpointOnTheSignList(t *testing.T) {
	b := bed.New(t)
	set, err := b.Settings(b.Ctx)
	b.Must(err)
	list, err := paperwork.SignPaper(b.Ctx, b.Studio, calendar.Day{})
	if b.Must(err); list.Register != "" {
		t.Errorf("nothing was signed yet: %q", list.Register)
	}
	for range 2 {
		b.Paid(b.Heron.ID)
		c, err := record.Sign(b.Ctx, b.Studio, "")
		b.Must(err)
		list, err = paperwork.SignPaper(b.Ctx, b.Studio, calendar.Day{})
		b.Must(err)
		lines := strings.Split(c.Body, "\n")
		for _, part := range []string{" " + lines[1] + " leaves", "root " + lines[2][:12] + "…", "key " + lines[0], calendar.In(c.At, set.Place()).Long()} {
			if !strings.Contains(list.Register, part) {
				t.Errorf("%q holds no %q", list.Register, part)
			}
		}
	}
}

// Two independent readers read the checkpoint from a scan of the sign list at the resolution of label and of office printers, soiled and askew; what they
// read holds the register to it.
func TestTheCheckpointOfTheSignListIsReadByOthers(t *testing.T) {
	b := bed.New(t)
	b.Paid(b.Heron.ID)
	c, err := record.Sign(b.Ctx, b.Studio, "")
	b.Must(err)
	list, err := paperwork.SignPaper(b.Ctx, b.Studio, calendar.Day{})
	b.Must(err)
	body, err := pdf.Draw(list)
	b.Must(err)
	modules, err := qrcode.Dense(c.Body)
	b.Must(err)
	at := testpdf.FindQR(t, testpdf.Image(t, body, 1, 100), c.Body, len(modules), qrcode.Quiet)
	for _, dpi := range []int{203, 300} {
		img := testpdf.Image(t, body, 1, dpi)
		code := image.Rect(at.Min.X*dpi/100, at.Min.Y*dpi/100, at.Max.X*dpi/100, at.Max.Y*dpi/100)
		for how, scan := range map[string]image.Image{"clean": img, "soiled": testpdf.Soiled(img, code)} {
			testpdf.ReadByOthers(t, fmt.Sprintf("%d dpi, %s", dpi, how), scan, []string{strings.TrimSuffix(c.Body, "\n")})
		}
	}
	b.Paid(b.Heron.ID)
	ofGiven := func(found string) bool { return strings.Contains(found, "that was given") }
	for how, text := range map[string]string{"as it was signed": c.Body, "without its last line end": strings.TrimSpace(c.Body), "by another system": "\r\n" + strings.ReplaceAll(c.Body, "\n", "\r\n")} {
		p, err := record.Verify(b.Ctx, b.Studio, []byte(text), nil)
		if b.Must(err); p.Against == nil || p.Against.Size != c.Size || slices.ContainsFunc(p.Found, ofGiven) {
			t.Errorf("%s: %+v", how, p)
		}
	}
	bent := strings.Replace(c.Body, fmt.Sprintf("\n%d\n", c.Size), fmt.Sprintf("\n%d\n", c.Size+1), 1)
	if p, err := record.Verify(b.Ctx, b.Studio, []byte(bent), nil); err != nil || p.Against != nil || !slices.ContainsFunc(p.Found, ofGiven) {
		t.Errorf("a bent one: %+v, %v", p, err)
	}
}
