package certify

import (
	"context"
	"fmt"
	"net/http"

	"solander/certify"
	"solander/studio"
	"solander/web/page"
)

// ClosingPDF is the declaration that an edition ended.
func (f *Certify) ClosingPDF(w http.ResponseWriter, r *http.Request) error {
	return paperOf(w, r, f.Seen(r), "closing", certify.Declaration)
}

// StatementPDF is what is true of every print of an open edition.
func (f *Certify) StatementPDF(w http.ResponseWriter, r *http.Request) error {
	return paperOf(w, r, f.Seen(r), "statement", certify.Statement)
}

// paperOf answers with a paper of the edition of the address.
func paperOf[P interface{ Draw() ([]byte, error) }](w http.ResponseWriter, r *http.Request, s *studio.Studio, name string, of func(context.Context, *studio.Studio, int64) (P, error)) error {
	id, err := page.PathID(r, "edition")
	if err != nil {
		return err
	}
	paper, err := of(r.Context(), s, id)
	if err != nil {
		return err
	}
	body, err := paper.Draw()
	if err != nil {
		return err
	}
	return send(w, r, "application/pdf", fmt.Sprintf("%s-%d.pdf", name, id), "inline", body)
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
