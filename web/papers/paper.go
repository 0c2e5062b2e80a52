// Package papers draws what is printed of a day, an order, a parcel or a hand-over, and asks where on a sheet of stickers it begins. Each
// exported method of Papers answers one route of package web.
package papers

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"solander/fault"
	"solander/paperwork"
	"solander/web/page"
)

// Papers is the handlers of this room.
type Papers struct{ *page.Kit }

// fileNamed reads the name of a paper, or the number of what it is of, in the last part of the address: "sign.pdf", "12.pdf".
func fileNamed(r *http.Request) (string, error) {
	name, isPDF := strings.CutSuffix(r.PathValue("file"), ".pdf")
	if !isPDF || name == "" {
		return "", noPaper(r, "page of what it is of")
	}
	return name, nil
}

func noPaper(r *http.Request, from string) error {
	return fault.New(fault.Missing, "there is no paper %.30q", r.PathValue("file")).ToMend("open it from the %s", from)
}

func fileID(r *http.Request, what string) (int64, error) {
	name, err := fileNamed(r)
	if err != nil {
		return 0, err
	}
	id, err := strconv.ParseInt(name, 10, 64)
	if err != nil || id <= 0 {
		return 0, noPaper(r, "page of the "+what)
	}
	return id, nil
}

// PaperOfDay draws a paper of a day's bench.
func (f *Papers) PaperOfDay(w http.ResponseWriter, r *http.Request) error {
	name, err := fileNamed(r)
	if err != nil {
		return err
	}
	made, known := paperwork.PapersOfDay[name]
	if !known {
		return noPaper(r, "bench")
	}
	day, err := page.QueryDay(r)
	if err != nil {
		return err
	}
	paper, err := made(r.Context(), f.Seen(r), day)
	return page.ServePaper(w, name, paper, err)
}

// PaperOf draws a paper of one order, parcel or hand-over.
func (f *Papers) PaperOf(w http.ResponseWriter, r *http.Request) error {
	of, known := paperwork.PapersOf[r.PathValue("paper")]
	if !known {
		return noPaper(r, "bench")
	}
	id, err := fileID(r, of.What)
	if err != nil {
		return err
	}
	paper, err := of.Made(r.Context(), f.Seen(r), id)
	return page.ServePaper(w, fmt.Sprintf("%s-%d", r.PathValue("paper"), id), paper, err)
}

// WrapPDF draws how to build one parcel of an order: ?part=2 the second.
func (f *Papers) WrapPDF(w http.ResponseWriter, r *http.Request) error {
	id, err := fileID(r, "order")
	if err != nil {
		return err
	}
	sheets, err := paperwork.WrapPapers(r.Context(), f.Seen(r), id)
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
