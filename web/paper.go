package web

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"solander/fault"
	"solander/papers"
	"solander/papers/pdf"
)

// servePaper answers with a paper as PDF, drawn whole before anything is sent.
func servePaper(w http.ResponseWriter, name string, paper papers.Paper, err error) error {
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

// fileID reads the number in the last part of the address: "12.pdf".
func fileID(r *http.Request, what string) (int64, error) {
	name, isPDF := strings.CutSuffix(r.PathValue("file"), ".pdf")
	id, err := strconv.ParseInt(name, 10, 64)
	if err != nil || !isPDF || id <= 0 {
		return 0, fault.New(fault.Missing, "there is no paper %.30q", r.PathValue("file")).ToMend("open it from the page of the %s", what)
	}
	return id, nil
}

func (f *face) benchPDF(w http.ResponseWriter, r *http.Request) error {
	day, err := queryDay(r)
	if err != nil {
		return err
	}
	paper, err := f.studio.BenchPaper(r.Context(), day)
	return servePaper(w, "bench", paper, err)
}

func (f *face) signPDF(w http.ResponseWriter, r *http.Request) error {
	day, err := queryDay(r)
	if err != nil {
		return err
	}
	paper, err := f.studio.SignPaper(r.Context(), day)
	return servePaper(w, "sign", paper, err)
}

func (f *face) slipPDF(w http.ResponseWriter, r *http.Request) error {
	id, err := fileID(r, "order")
	if err != nil {
		return err
	}
	paper, err := f.studio.SlipPaper(r.Context(), id)
	return servePaper(w, fmt.Sprintf("slip-%d", id), paper, err)
}

func (f *face) labelPDF(w http.ResponseWriter, r *http.Request) error {
	id, err := fileID(r, "parcel")
	if err != nil {
		return err
	}
	paper, err := f.studio.LabelPaper(r.Context(), id)
	return servePaper(w, fmt.Sprintf("label-%d", id), paper, err)
}

// wrapPDF draws how to build one parcel of an order: ?part=2 the second.
func (f *face) wrapPDF(w http.ResponseWriter, r *http.Request) error {
	id, err := fileID(r, "order")
	if err != nil {
		return err
	}
	sheets, err := f.studio.WrapPapers(r.Context(), id)
	if err != nil {
		return err
	}
	part := 1
	if text := r.URL.Query().Get("part"); text != "" {
		if part, err = strconv.Atoi(text); err != nil {
			part = 0
		}
	}
	if part < 1 || part > len(sheets) {
		return fault.New(fault.Missing, "this order has no parcel %.20q", r.URL.Query().Get("part")).ToMend("it has %s", many(len(sheets), "parcel"))
	}
	return servePaper(w, fmt.Sprintf("wrap-%d-%d", id, part), sheets[part-1], nil)
}

func (f *face) handOverPDF(w http.ResponseWriter, r *http.Request) error {
	id, err := fileID(r, "hand-over")
	if err != nil {
		return err
	}
	paper, err := f.studio.HandOverPaper(r.Context(), id)
	return servePaper(w, fmt.Sprintf("hand-over-%d", id), paper, err)
}
