package today

import (
	"cmp"
	"net/http"
	"strconv"
	"strings"

	"solander/book"
	"solander/dispatch"
	"solander/labelling"
	"solander/money"
	"solander/register"
	"solander/web/page"
)

// The deeds of the bench and of an order's page: a form is taken, and leads back to where it stood.

func (f *Bench) Pay(w http.ResponseWriter, r *http.Request, id int64) error {
	cur := page.Settings(r).Currency
	in := book.PaymentIn{Order: id, Amount: money.Of(0, cmp.Or(r.PostForm.Get("amount_in"), cur))}
	fm := PayForm(&in, cur)
	err := fm.TakeAnd(r.PostForm, func() error { return book.Pay(r.Context(), f.Studio, in) })
	if err != nil {
		return f.Again(w, r, page.Failed(fm, r, err), id)
	}
	return f.Done(w, r, f.BackTo(r, id))
}

func (f *Bench) Sign(w http.ResponseWriter, r *http.Request) error {
	lines, err := page.IDs(r, "lines")
	if err == nil {
		err = register.Sign(r.Context(), f.Studio, lines)
	}
	orderID, _ := strconv.ParseInt(r.PostForm.Get("order"), 10, 64)
	if err != nil {
		return f.Again(w, r, page.FailedIn("sign", r, err), orderID)
	}
	return f.Done(w, r, f.BackTo(r, orderID))
}

func (f *Bench) Pack(w http.ResponseWriter, r *http.Request, id int64) error {
	in := dispatch.PackIn{Order: id}
	fm := PackForm(&in)
	err := fm.Take(r.PostForm)
	if err == nil {
		_, err = dispatch.Pack(r.Context(), f.Studio, in)
	}
	if err != nil {
		return f.Again(w, r, page.Failed(fm, r, err), id)
	}
	return f.Done(w, r, f.BackTo(r, id))
}

func (f *Bench) Label(w http.ResponseWriter, r *http.Request, id int64) error {
	in := labelling.LabelIn{Parcel: id, Paid: money.Of(0, page.Settings(r).Currency)}
	fm := LabelForm(&in, AsPlanned{}, page.Settings(r).Units)
	err := fm.TakeAnd(r.PostForm, func() error { return labelling.Label(r.Context(), f.Studio, in) })
	orderID, _ := strconv.ParseInt(r.PostForm.Get("order"), 10, 64)
	if err != nil {
		return f.Again(w, r, page.Failed(fm, r, err), orderID)
	}
	return f.Done(w, r, f.BackTo(r, orderID))
}

func (f *Bench) Undo(w http.ResponseWriter, r *http.Request, id int64) error {
	if err := dispatch.Undo(r.Context(), f.Studio, id); err != nil {
		return err
	}
	http.Redirect(w, r, page.With(ownPath(r.PostForm.Get("back")), "undone", strconv.FormatInt(id, 10)), http.StatusSeeOther)
	return nil
}

// ownPath returns a path of this face, as it stood hidden in a form; the bench for anything else. A page
// that answers to another method or another host cannot be named by it.
func ownPath(path string) string {
	if !strings.HasPrefix(path, "/orders/") && !strings.HasPrefix(path, "/shelf/") && !strings.HasPrefix(path, "/runs/") &&
		!strings.HasPrefix(path, "/hand-overs/") && !strings.HasPrefix(path, "/editions/") && !strings.HasPrefix(path, "/buyers/") {
		return "/"
	}
	if strings.ContainsAny(path, "\\?#\r\n") || strings.Contains(path, "//") {
		return "/"
	}
	return path
}
