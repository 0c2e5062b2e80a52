package web

import (
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/certificate"
	"solander/certify"
	"solander/edition"
	"solander/internal/browsertest"
	"solander/internal/qrcode"
	"solander/internal/testpdf"
	paper "solander/papers/certificate"
	"solander/register"
	"solander/sealog"
)

// checking is the page of checks, opened as a file in a browser that is cut off, and a folder for what is given to it.
type checking struct {
	t   *testing.T
	p   *browsertest.Page
	dir string
}

// keep writes a file and returns where it lies.
func (c *checking) keep(name string, body []byte) string {
	c.t.Helper()
	file := filepath.Join(c.dir, name)
	if err := os.WriteFile(file, body, 0o600); err != nil {
		c.t.Fatal(err)
	}
	return file
}

// picture writes a picture and returns where it lies.
func (c *checking) picture(name string, img image.Image) string {
	c.t.Helper()
	f, err := os.Create(filepath.Join(c.dir, name))
	if err == nil {
		err = png.Encode(f, img)
	}
	if err == nil {
		err = f.Close()
	}
	if err != nil {
		c.t.Fatal(err)
	}
	return f.Name()
}

// says gives something to the page, and fails unless it answers by a word: with the sign of what is good, or without.
func (c *checking) says(what string, give func(), word, words string) {
	c.t.Helper()
	browsertest.Eval[bool](c.p, `(document.getElementById("answer").replaceChildren(), document.getElementById("file").value = "", true)`)
	give()
	c.p.Wait("#answer:not(:empty)")
	text, class := c.p.Text("#answer"), browsertest.Eval[string](c.p, `document.getElementById("answer").className`)
	good := word == string(certificate.Holds) || word == string(certificate.SignedOnly)
	if !strings.Contains(text, word) || !strings.Contains(text, words) || good != strings.Contains(text, "✓") || good != (class == "good") {
		c.t.Errorf("%s: the page says, %s: %.300s; want %s, %s", what, class, text, word, words)
	}
}

func (c *checking) paste(text string) func() {
	return func() {
		c.t.Helper()
		browsertest.Eval[bool](c.p, `((t) => { const at = document.getElementById("text"); at.value = t; return at.dispatchEvent(new Event("input")); })(`+inScript(text)+`)`)
		c.p.Click("#check button")
	}
}

func (c *checking) file(path string) func() {
	return func() { c.t.Helper(); c.p.Upload("#file", path) }
}

// inScript is a text as a script has it.
func inScript(text string) string {
	raw, _ := json.Marshal(text)
	return string(raw)
}

// codeAs is a picture of a code, its modules so many dots wide.
func codeAs(t *testing.T, text string, dots int) *image.Gray {
	t.Helper()
	modules, err := qrcode.Dense(text)
	if err != nil {
		t.Fatal(err)
	}
	n := len(modules) * dots
	out := image.NewGray(image.Rect(0, 0, n, n))
	for y := range n {
		for x := range n {
			if !modules[y/dots][x/dots] {
				out.SetGray(x, y, color.Gray{255})
			}
		}
	}
	return out
}

// Without a server and without a network the page of checks tells what holds by file, text and photo, and nothing else is ever called good.
func TestThePageOfChecksByHand(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	var all []edition.Number
	for n := 201; n <= 203; n++ {
		all = append(all, edition.Number{Kind: edition.Numbered, N: n})
	}
	s.must(register.SignAhead(s.ctx(), s.studio, 1, all))
	_, err := certify.Make(s.ctx(), s.studio, certify.MakeIn{Edition: 1, Numbers: all[:2], Place: "Roanoke"})
	s.must(err)
	given := func() []byte {
		return s.sendForm(s.get("/editions/record"), "form[action=/editions/record/check-page]").is(200).body
	}
	older := given()
	s.must(certify.Revoke(s.ctx(), s.studio, 2, "the sheet came back torn"))
	_, err = certify.Make(s.ctx(), s.studio, certify.MakeIn{Edition: 1, Numbers: all[2:]})
	s.must(err)
	newer := given()
	read := func(serial int64) certify.Proven {
		p, err := certify.Read(s.ctx(), s.studio, serial)
		s.must(err)
		return p
	}
	good, revoked, third := read(1), read(2), read(3)
	papers, err := certify.Papers(s.ctx(), s.studio, []int64{1})
	s.must(err)
	pdf, err := paper.Draw(paper.Sheet, papers)
	s.must(err)
	foreign, err := sealog.NewKey("solander-register/0011223344556677", make([]byte, sealog.SeedSize))
	s.must(err)
	forged, err := certificate.Sign(good.Signed.Statement, foreign)
	s.must(err)

	p := browsertest.Open(t)
	p.Offline()
	c := &checking{t, p, t.TempDir()}
	at := "file://" + c.keep("check.html", newer)
	p.Go(at)
	p.MustBeAccessible()
	for _, wide := range []int64{1280, 390} {
		p.Wide(wide)
		c.says("a file", c.file(c.keep("certificate.txt", []byte(good.File()))), "holds", "201/250")
		if p.WiderThanItsWindow() {
			t.Errorf("the page is wider than a window of %d pixels", wide)
		}
		p.MustBeAccessible()
		inPicture(p, fmt.Sprint("check-page-", wide))
	}
	c.says("the text of the small code", c.paste(good.Code), "signed", "Heron at dusk")
	c.says("the text of the large code", c.paste(good.Large()), "holds", "Ines Corrow")
	c.says("a photo of the front", c.file(c.picture("front.png", testpdf.Image(t, pdf, 1, 203))), "signed", "201/250")
	c.says("a photo of the back", c.file(c.picture("back.png", testpdf.Image(t, pdf, 2, 203))), "holds", "201/250")

	c.says("other facts", c.file(c.keep("changed.txt", []byte(strings.Replace(good.File(), "Edition:", "Edition :", 1)))), "changed", "not those that were signed")
	c.says("another sign", c.paste(swapped(good.Code)), "changed", "not what was signed")
	c.says("a revoked number", c.paste(revoked.Code), "revoked", "It was revoked by the studio. On ")
	c.says("a revoked number, by photo", c.file(c.picture("revoked.png", codeAs(t, revoked.Large(), 4))), "revoked", "not proven")
	c.says("a foreign key", c.paste(forged.Small()), "foreign-key", "not known to be this studio's")
	c.says("a foreign key, by photo", c.file(c.picture("foreign.png", codeAs(t, forged.Small(), 4))), "foreign-key", "")
	c.says("half a code", c.file(c.picture("half.png", codeAs(t, good.Large()[:200], 4))), "cut-off", "cut off")
	whole := codeAs(t, good.Large(), 4)
	c.says("half of a photo", c.file(c.picture("torn.png", whole.SubImage(image.Rect(0, 0, whole.Rect.Dx(), whole.Rect.Dy()/2)))), "There is no code of a certificate", "")
	c.says("a code of something else", c.file(c.picture("else.png", codeAs(t, "https://example.org/17", 6))), "There is no code of a certificate", "")
	c.says("no picture", c.file(c.keep("none.png", []byte("no picture"))), "", "")
	c.says("nothing", c.paste(""), "unreadable", "")

	// What was answered of one text does not stand beside another one.
	c.says("a good one before", c.paste(good.Code), "signed", "")
	p.Click("#text")
	p.Type("S")
	if got := p.Text("body"); strings.Contains(got, "✓") {
		t.Errorf("the answer to another text stands there: %s", got)
	}

	// A list that was cut off, or bent, makes nothing good; nor does one that is older than the certificate.
	list := browsertest.Eval[string](p, `document.getElementById("list").value`)
	for _, bent := range []string{list[:len(list)/2], strings.Replace(list, "revoked 2 ", "revoked 9 ", 1)} {
		browsertest.Eval[bool](p, `(document.getElementById("list").value = `+inScript(bent)+`, true)`)
		c.says("a list that was bent", c.paste(revoked.Code), "bad-list", "none that the studio signed")
	}
	p.Go("file://" + c.keep("older.html", older))
	c.says("an older list, of an older certificate", c.paste(good.Large()), "holds", "looked at as of")
	c.says("an older list", c.paste(third.Large()), "old-list", "Get the studio's newest list")

	if n := browsertest.Eval[int](p, `performance.getEntriesByType("resource").filter(e => !e.name.startsWith("blob:")).length`); n != 0 {
		t.Errorf("the page asked for %d files", n)
	}
	for _, m := range p.Messages() {
		t.Errorf("the console says: %s", m)
	}
}

// swapped is a code in which one sign of the signature is another one.
func swapped(code string) string {
	other := "0"
	if strings.HasSuffix(code, other) {
		other = "1"
	}
	return code[:len(code)-1] + other
}
