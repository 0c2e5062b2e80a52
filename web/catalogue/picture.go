package catalogue

import (
	"bytes"
	"net/http"
	"time"

	"solander/gallery"
	"solander/picture"
	"solander/web/page"
)

// Picture answers with the picture of a work at a size. An address that names the picture by its digest is good for ever.
func (f *Catalogue) Picture(w http.ResponseWriter, r *http.Request) error {
	work, err := page.PathID(r, "work")
	if err != nil {
		return err
	}
	size, err := picture.ParseSize(r.PathValue("size"))
	if err != nil {
		return err
	}
	p, body, err := gallery.Body(r.Context(), f.Seen(r), work, size)
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "image/jpeg")
	h.Set("ETag", `"`+p.Digest+`"`)
	h.Set("Cache-Control", "private, no-cache")
	if r.URL.Query().Get("v") == p.Digest[:min(12, len(p.Digest))] {
		h.Set("Cache-Control", "private, max-age=31536000, immutable")
	}
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body))
	return nil
}
