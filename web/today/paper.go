package today

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"solander/dispatch"
	"solander/fault"
	"solander/web/page"
)

// fileID reads the number in the last part of the address: "12.pdf".
func fileID(r *http.Request, what string) (int64, error) {
	name, isPDF := strings.CutSuffix(r.PathValue("file"), ".pdf")
	id, err := strconv.ParseInt(name, 10, 64)
	if err != nil || !isPDF || id <= 0 {
		return 0, fault.New(fault.Missing, "there is no paper %.30q", r.PathValue("file")).ToMend("open it from the page of the %s", what)
	}
	return id, nil
}

func (f *Bench) BenchPDF(w http.ResponseWriter, r *http.Request) error {
	day, err := page.QueryDay(r)
	if err != nil {
		return err
	}
	paper, err := dispatch.BenchPaper(r.Context(), f.Seen(r), day)
	return page.ServePaper(w, "bench", paper, err)
}

func (f *Bench) SignPDF(w http.ResponseWriter, r *http.Request) error {
	day, err := page.QueryDay(r)
	if err != nil {
		return err
	}
	paper, err := dispatch.SignPaper(r.Context(), f.Seen(r), day)
	return page.ServePaper(w, "sign", paper, err)
}

func (f *Bench) SlipPDF(w http.ResponseWriter, r *http.Request) error {
	id, err := fileID(r, "order")
	if err != nil {
		return err
	}
	paper, err := dispatch.SlipPaper(r.Context(), f.Seen(r), id)
	return page.ServePaper(w, fmt.Sprintf("slip-%d", id), paper, err)
}

func (f *Bench) LabelPDF(w http.ResponseWriter, r *http.Request) error {
	id, err := fileID(r, "parcel")
	if err != nil {
		return err
	}
	paper, err := dispatch.LabelPaper(r.Context(), f.Seen(r), id)
	return page.ServePaper(w, fmt.Sprintf("label-%d", id), paper, err)
}

// WrapPDF draws how to build one parcel of an order: ?part=2 the second.
func (f *Bench) WrapPDF(w http.ResponseWriter, r *http.Request) error {
	id, err := fileID(r, "order")
	if err != nil {
		return err
	}
	sheets, err := dispatch.WrapPapers(r.Context(), f.Seen(r), id)
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
		return fault.New(fault.Missing, "this order has no parcel %.20q", r.URL.Query().Get("part")).ToMend("it has %s", page.Many(len(sheets), "parcel"))
	}
	return page.ServePaper(w, fmt.Sprintf("wrap-%d-%d", id, part), sheets[part-1], nil)
}

func (f *Bench) HandOverPDF(w http.ResponseWriter, r *http.Request) error {
	id, err := fileID(r, "hand-over")
	if err != nil {
		return err
	}
	paper, err := dispatch.HandOverPaper(r.Context(), f.Seen(r), id)
	return page.ServePaper(w, fmt.Sprintf("hand-over-%d", id), paper, err)
}
