package page

import (
	"fmt"
	"net/http"
	"strconv"

	"solander/papers"
	"solander/papers/pdf"
)

// ServePaper answers with a paper as PDF, drawn whole before anything is sent.
func ServePaper(w http.ResponseWriter, name string, paper papers.Paper, err error) error {
	if err != nil {
		return err
	}
	body, err := pdf.Draw(paper)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`inline; filename="%s.pdf"`, name))
	w.Header().Set("Content-Length", strconv.Itoa(len(body)))
	_, err = w.Write(body)
	return err
}
