package web

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"solander/gallery"
	"solander/picture"
	"solander/studio/storetest/bed"
	"solander/web/page"
)

// The picture of a work is shown by an address that names it; another picture has another address.
func TestPictureIsShown(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	_, prints := bed.Hung(1, "", "first")
	p, err := gallery.Hang(s.ctx(), s.studio, 1, prints, "a heron")
	s.must(err)
	for _, size := range picture.Sizes() {
		a := s.get(page.PictureAt(p, size)).is(http.StatusOK)
		if string(a.body) != string(prints.At(size).JPEG) || a.header.Get("Content-Type") != "image/jpeg" {
			t.Errorf("%s: %d bytes of %s", size, len(a.body), a.header.Get("Content-Type"))
		}
		if !strings.Contains(a.header.Get("Cache-Control"), "immutable") || strings.Contains(a.header.Get("Cache-Control"), "public") {
			t.Errorf("%s: %s", size, a.header.Get("Cache-Control"))
		}
	}
	old := s.get("/works/1/picture/small?v=000000000000").is(http.StatusOK)
	if strings.Contains(old.header.Get("Cache-Control"), "immutable") {
		t.Error("an address that names another picture is kept for ever")
	}
	r := httptest.NewRequest("GET", "http://localhost/works/1/picture/small", nil)
	r.Header.Set("If-None-Match", old.header.Get("ETag"))
	s.send(r).is(http.StatusNotModified)
	for _, path := range []string{"/works/2/picture/small", "/works/9/picture/small", "/works/1/picture/vast", "/works/x/picture/small"} {
		s.get(path).is(http.StatusNotFound)
	}
}

// Where every work has a picture, no page shows the mark of one that has none: each reads the pictures that it shows.
func TestEveryPageHangsWhatItShows(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	paths := append(s.paths(), "/?open=money", "/orders/new?like=1", "/orders/new?edition=3", "/runs/new?edition=3", "/till?edition=3", "/search?q=17%20heron", "/orders/2", "/orders/7", "/hand-over?past=all")
	for _, work := range []int64{1, 2} {
		_, err := gallery.Put(s.ctx(), s.studio, work, aPicture(t, 40, 30, color.White), "")
		s.must(err)
	}
	shown := 0
	for _, path := range paths {
		a := s.get(path)
		if a.root == nil {
			continue
		}
		shown += len(a.find("img.work"))
		a.hasNot(".work.none")
	}
	if shown < 30 {
		t.Errorf("only %d pictures are on %d pages", shown, len(paths))
	}
}

func TestPictureInATemplate(t *testing.T) {
	t.Parallel()
	hung, _ := bed.Hung(7, `a "heron" <b>`, "x")
	hung.Title = "Heron"
	known := gallery.Pictures{7: hung}
	img, err := page.Picture(known, 7, picture.Small, 80)
	want := fmt.Sprintf(`<img class="work" loading="lazy" decoding="async" width="60" height="80" alt="a &#34;heron&#34; &lt;b&gt;" src="/works/7/picture/small?v=%s">`, hung.Digest[:12])
	if err != nil || string(img) != want {
		t.Errorf("got  %s\nwant %s (%v)", img, want, err)
	}
	seen := map[string]int64{}
	for work := range int64(40) {
		m, err := page.Picture(known, 100+work, picture.Small)
		if err != nil || !strings.HasPrefix(string(m), `<span class="work none" aria-hidden="true"><svg viewBox="0 0 100 100" width="160" height="160"`) {
			t.Fatalf("work without a picture: %s (%v)", m, err)
		}
		if other, twice := seen[string(m)]; twice {
			t.Errorf("works %d and %d have one mark", other, 100+work)
		}
		seen[string(m)] = 100 + work
		wellFormed(t, []byte(m))
	}
	if _, err := page.Picture(known, 7, "vast"); err == nil {
		t.Error("a size that is none was drawn")
	}
	var none picture.Picture
	if none.Seen() != "" || hung.Seen() != `a "heron" <b>` {
		t.Error("what is seen is not what was said")
	}
}

// aPicture is a PNG of one colour.
func aPicture(t testing.TB, w, h int, c color.Color) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(img, img.Rect, image.NewUniform(c), image.Point{}, draw.Src)
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A picture is put, said, put anew and taken away on the page of its work; what is no picture is refused beside its field, and what
// hangs stays.
func TestPictureOfAWork(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	bare := s.get("/works/1").is(http.StatusOK)
	bare.has("#picture label", "A picture of it")
	if form := bare.one("#picture form"); attr(form, "enctype") != "multipart/form-data" {
		t.Error("the form does not send files")
	}
	s.get("/editions").is(http.StatusOK).has(".work.none", "")

	put := s.leads(s.uploadTo("/works/1/picture", "heron.exe", aPicture(t, 900, 1200, color.Gray{90}), "alt", "A heron"), "/works/1")
	put.has(".said", "The picture hangs.")
	if img := put.one("#picture img"); attr(img, "alt") != "A heron" || attr(img, "width") != "420" || attr(img, "height") != "560" {
		t.Errorf("alt %q, %s × %s", attr(img, "alt"), attr(img, "width"), attr(img, "height"))
	}
	first, _, err := gallery.Of(s.ctx(), s.studio, 1)
	s.must(err)

	for name, c := range map[string]struct {
		body   []byte
		status int
		says   string
	}{
		"nothing chosen": {nil, 422, "The file is empty"},
		"a drawing":      {[]byte("<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>"), 422, "SVG"},
		"torn":           {aPicture(t, 300, 300, color.White)[:100], 422, "ends too early"},
		"41 MB":          {bytes.Repeat([]byte("\xff\xd8\xff"), 41<<20/3), 413, "40 MB"},
		"far too large":  {make([]byte, 46<<20), 413, "40 MB"},
	} {
		a := s.uploadTo("/works/1/picture", "x.jpg", c.body, "alt", "typed words").is(c.status)
		a.has(".faults", c.says)
		if name != "far too large" { // that is not even read
			a.has("#picture-file-wrong", "")
			if typed := a.one("#picture-alt"); attr(typed, "value") != "typed words" {
				t.Errorf("%s: what was typed is gone", name)
			}
		}
	}
	s.post("/works/1/picture", "alt", "x").is(422).has(".faults", "No file was chosen")
	if still, _, err := gallery.Of(s.ctx(), s.studio, 1); err != nil || still != first {
		t.Errorf("what was refused changed it: %v, %v", still, err)
	}

	s.post("/works/1/picture/words", "alt", strings.Repeat("x", 501)).is(422).has("#say-alt-wrong", "500")
	said := s.leads(s.post("/works/1/picture/words", "alt", "A heron, standing"), "/works/1")
	if alt := attr(said.one("#picture img"), "alt"); alt != "A heron, standing" {
		t.Errorf("it is said to be %q", alt)
	}
	second := s.leads(s.uploadTo("/works/1/picture", "b.png", aPicture(t, 1200, 900, color.White), "alt", "Another"), "/works/1")
	if src := attr(second.one("#picture img"), "src"); strings.Contains(src, first.Digest[:12]) {
		t.Error("another picture has the old address")
	}
	s.post("/works/1/picture/take-away").is(422).has(".faults", "not kept elsewhere")
	s.leads(s.post("/works/1/picture/take-away", "sure", "1"), "/works/1").has("#picture label", "A picture of it")
	s.get("/works/1/picture/small").is(http.StatusNotFound)
	for _, path := range []string{"/works/9/picture", "/works/9/picture/words", "/works/9/picture/take-away"} {
		s.post(path, "alt", "x", "sure", "1").is(404)
	}
	s.uploadTo("/works/9/picture", "b.png", aPicture(t, 9, 9, color.White)).is(404)
}

// A print is chosen by its picture: what was typed stays, and the print stands in the first free row.
func TestSaleByPicture(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get("/orders/new").is(http.StatusOK)
	if n := len(p.find(".contact button")); n != 3 {
		t.Fatalf("%d editions to choose from", n)
	}
	if first := p.find("main form button")[0]; attr(first, "name") != "" {
		t.Error("the key for sending chooses a print")
	}
	a := s.post("/orders", "buyer", "Ada Quill", "lines[0].edition", "", "lines[0].number", "17", "lines[1].edition", "", "add", "2").is(http.StatusOK)
	if attr(a.one("#sale-buyer"), "value") != "Ada Quill" {
		t.Error("what was typed is gone")
	}
	a.has("#sale-lines-0--edition option[selected]", "Low tide")
	a = s.post("/orders", "lines[0].edition", "1", "lines[1].edition", "2", "add", "3").is(http.StatusOK)
	a.has("#sale-lines-2--edition option[selected]", "Low tide")
	if n := len(a.find(".chosen .work")); n != 3 {
		t.Errorf("%d prints are shown", n)
	}
}
