package ways

import (
	"net/http"
	"strconv"

	"solander/book"
	"solander/choosing"
	"solander/studio"
	"solander/web/page"
)

// orderOf reads the order that the address names, by id or by mark.
func (f *Ways) orderOf(r *http.Request) (studio.OrderView, error) {
	name := r.PathValue("order")
	if id, err := strconv.ParseInt(name, 10, 64); err == nil {
		return book.Order(r.Context(), f.Seen(r), id)
	}
	return book.OrderByMark(r.Context(), f.Seen(r), name)
}

// Take takes the way whose button was pressed.
func (f *Ways) Take(w http.ResponseWriter, r *http.Request) error {
	return f.deed(w, r, "chosen", func(v studio.OrderView) error {
		in := choosing.TakeIn{Order: v.ID}
		return wayForm("way", v.Mark, &in).TakeAnd(r.PostForm, func() error {
			_, err := choosing.Take(r.Context(), f.Studio, in)
			return err
		})
	})
}

// Back takes the choice back.
func (f *Ways) Back(w http.ResponseWriter, r *http.Request) error {
	return f.deed(w, r, "unchosen", func(v studio.OrderView) error { return choosing.TakeBack(r.Context(), f.Studio, v.ID) })
}

func (f *Ways) deed(w http.ResponseWriter, r *http.Request, says string, do func(studio.OrderView) error) error {
	v, err := f.orderOf(r)
	if err != nil {
		return err
	}
	if err := do(v); err != nil {
		return f.Again(w, r, &page.Failure{Form: "way", Typed: r.PostForm, Err: err}, v.ID)
	}
	return f.DoneSaying(w, r, "/orders/"+v.Mark, says)
}
