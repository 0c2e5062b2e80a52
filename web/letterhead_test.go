package web

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"strings"
	"testing"

	"solander/certificate"
	"solander/certify"
	"solander/internal/testpdf"
)

// aCrest is a picture of a crest, in two colours.
func aCrest(t *testing.T) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 360, 120))
	for x := range 360 {
		for y := range 120 {
			img.Set(x, y, color.RGBA{uint8(x / 2), 90, 79, 255})
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Words and crest are looked at beforehand, kept and taken away by the page; what is wrong is said there, and a look keeps nothing and certifies nothing.
func TestLetterheadByForms(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	s.certified()
	const at = "/certificates/letterhead"
	s.get("/editions/1/certificates").one("a[href=" + at + "]")
	before := s.sum()
	words := []string{"words", "Printed slowly, in the winter.", "truth", "true", "edition", "1", "format", "sheet"}
	look := s.sendFile(at+"/beforehand", "crest", "crest.png", aCrest(t), words...).is(200)
	pages := testpdf.Pages(t, look.body)
	for _, want := range []string{"Looked at beforehand", "Printed slowly, in the winter.", "/250"} {
		if !strings.Contains(pages[0], want) {
			t.Errorf("the look says no %q: %.600s", want, pages[0])
		}
	}
	if !strings.Contains(pages[1], "Looked at beforehand") || !strings.Contains(strings.Join(strings.Fields(pages[1]), " "), certify.Truth) {
		t.Errorf("its back says: %.600s", pages[1])
	}
	s.sendFile(at+"/beforehand", "crest", "crest.png", aCrest(t), append(words, "format", "card")...).is(200)
	if after := s.sum(); after != before {
		t.Errorf("a look changed the studio:\n%s\n%s", before, after)
	}
	c, err := certify.Foresee(s.ctx(), s.studio, 1, func(*certificate.Letterhead) error { return nil })
	s.must(err)
	for _, code := range []string{c.Small, c.Large} {
		if v, err := certify.Check(s.ctx(), s.studio, code); err != nil || v.Word != certificate.ForeignKey {
			t.Errorf("a code of a look: %+v, %v", v, err)
		}
	}

	for name, bad := range map[string]struct {
		body   []byte
		fields []string
		status int
		says   string
	}{
		"no picture":     {[]byte("no picture"), words, 422, "crest"},
		"too many words": {aCrest(t), append([]string{"words", strings.Repeat("slow ", 90)}, words[2:]...), 422, "up to 400"},
		"too large":      {append(aCrest(t), make([]byte, 90<<20)...), words, 413, ""},
	} {
		p := s.sendFile(at, "crest", "crest.png", bad.body, bad.fields...)
		if p.status != bad.status || !strings.Contains(string(p.body), bad.says) {
			t.Errorf("%s: %d, %.300s", name, p.status, p.body)
		}
	}
	none := s.sendFile(at+"/beforehand", "crest", "", nil, "edition", "2", "format", "sheet")
	none.is(409).has("main", "No number of this edition is signed")
	if after := s.sum(); after != before {
		t.Error("what was refused changed the studio")
	}

	s.leads(s.sendFile(at, "crest", "crest.png", aCrest(t), words...), at).has("#own", "A crest is kept")
	set, err := s.studio.Settings(s.ctx())
	s.must(err)
	l := set.Letterhead
	if l == nil || !l.Truth || l.Words != "Printed slowly, in the winter." || !bytes.HasPrefix(l.Crest, []byte{0xFF, 0xD8}) {
		t.Fatalf("kept is %+v", l)
	}
	s.leads(s.sendFile(at, "crest", "", nil, "words", "Less."), at).has("#own", "A crest is kept")
	s.leads(s.sendFile(at, "crest", "", nil, "words", "", "away", "true"), at).has("#own", "studio's name stands")
	if set, err = s.studio.Settings(s.ctx()); err != nil || set.Letterhead.Words != "" || len(set.Letterhead.Crest) != 0 || set.Letterhead.Truth {
		t.Errorf("left is %+v, %v", set.Letterhead, err)
	}
}
