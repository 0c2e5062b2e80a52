package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"solander/gallery"
	"solander/picture"
	"solander/studio"
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
	var none studio.Picture
	if none.Seen() != "" || hung.Seen() != `a "heron" <b>` {
		t.Error("what is seen is not what was said")
	}
}
