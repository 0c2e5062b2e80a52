package sales

import (
	"fmt"
	"net/http"
	"net/url"

	"solander/book"
	"solander/edition"
	"solander/measure"
	"solander/studio"
	"solander/web/page"
)

// SearchPage is what was found anywhere.
type SearchPage struct {
	page.Frame
	Found   studio.Found
	Numbers []foundNumber
	Orders  []page.OrderRow
	More    string // where the other orders are, when not all are shown
	Nothing bool
}

// foundNumber answers "who has 17/250 of heron".
type foundNumber struct {
	studio.NumberView
	State string
	Link  string
	Name  string
	Once  string // the mark of the order that it last went with, when none holds it now
	Note  string // why it stands so, of a number that is spoilt, returned, kept, withdrawn, or went to a gallery
}

// Here reports whether there is a print of the number, in the studio.
func (n foundNumber) Here() bool {
	switch n.Row.Standing.State {
	case edition.Signed, edition.Returned, edition.Kept:
		return true
	default:
		return false
	}
}

func (f *Book) Search(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "", "Search")
	if err != nil {
		return err
	}
	p := &SearchPage{Frame: fr}
	p.Looked = r.URL.Query().Get("q")
	if p.Looked != "" {
		if p.Found, err = book.Find(r.Context(), f.Seen(r), p.Looked); err != nil {
			return err
		}
	}
	p.Orders = page.RowsOf(p.Found.Orders, fr.Today)
	if len(p.Orders) >= book.MostFound {
		p.More = "/orders?" + url.Values{"text": {p.Looked}}.Encode()
	}
	for _, n := range p.Found.Numbers {
		p.Numbers = append(p.Numbers, viewFound(n, fr.Units))
	}
	if err := f.Hang(r, &p.Frame, worksOf(p.Found)...); err != nil {
		return err
	}
	p.Nothing = p.Found.None()
	if len(p.Orders) == 1 && len(p.Numbers)+len(p.Found.Works) == 0 && p.Orders[0].Mark == p.Looked {
		http.Redirect(w, r, "/orders/"+url.PathEscape(p.Orders[0].Mark), http.StatusSeeOther)
		return nil
	}
	return f.Show(w, r, http.StatusOK, "search", p)
}

// worksOf are the works of what was found.
func worksOf(found studio.Found) (works []int64) {
	for _, n := range found.Numbers {
		works = append(works, n.Edition.Work)
	}
	for _, w := range found.Works {
		works = append(works, w.ID)
	}
	return works
}

// viewFound tells who has a number; of one that nobody has, who had it and what became of it.
func viewFound(n studio.NumberView, u measure.System) foundNumber {
	v := foundNumber{
		NumberView: n, State: page.StateWords[n.Row.Standing.State], Name: n.Edition.Name(u),
		Link: fmt.Sprintf("/editions/%d/numbers/%s", n.Edition.ID, page.NumberPath(n.Row.Number)),
	}
	for _, e := range n.History {
		if e.Order != "" && n.Row.OrderMark == "" {
			v.Once = e.Order
		}
	}
	switch last := len(n.History) - 1; n.Row.Standing.State {
	case edition.Returned, edition.Spoilt, edition.Kept, edition.Withdrawn, edition.Consigned, edition.SoldThere:
		if last >= 0 {
			v.Note = n.History[last].Note
		}
	default:
	}
	return v
}
