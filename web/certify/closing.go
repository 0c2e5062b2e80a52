package certify

import (
	"fmt"
	"net/http"

	"solander/certify"
	"solander/web/page"
)

// ClosingPDF is the declaration that an edition ended.
func (f *Certify) ClosingPDF(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "edition")
	if err != nil {
		return err
	}
	paper, err := certify.Declaration(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	body, err := paper.Draw()
	if err != nil {
		return err
	}
	return send(w, r, "application/pdf", fmt.Sprintf("closing-%d.pdf", id), "inline", body)
}

// send answers with a file, once the page's transaction is let go.
func send(w http.ResponseWriter, r *http.Request, kind, name, as string, body []byte) error {
	return page.After(w, r, func(w http.ResponseWriter) error {
		w.Header().Set("Content-Type", kind)
		w.Header().Set("Content-Disposition", fmt.Sprintf(`%s; filename="%s"`, as, name))
		_, err := w.Write(body)
		return err
	})
}
