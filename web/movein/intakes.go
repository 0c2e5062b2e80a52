package movein

import (
	"fmt"
	"net/http"

	"solander/movein"
	"solander/web/form"
	"solander/web/page"
)

// BroughtInPage is a file that was brought in.
type BroughtInPage struct {
	page.Frame
	Intake movein.IntakeView
	Rows   []page.OrderRow
	More   int
	Undo   *form.Form
}

func (f *Files) BroughtIn(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id, err := page.PathID(r, "intake")
	if err != nil {
		return err
	}
	v, err := movein.Intake(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "orders", "Brought in: "+v.Name)
	if err != nil {
		return err
	}
	p := &BroughtInPage{Frame: fr, Intake: v, Rows: page.RowsOf(v.Orders, fr.Today), More: v.Made.Orders - len(v.Orders)}
	if v.Back == nil && len(v.InTheWay) == 0 {
		p.Undo = form.New("undo", fmt.Sprintf("/intakes/%d/take-back", id))
		p.Undo.Ask("reason", "Why").Must().Wide().WithHint("it stands in the register with every number that becomes free")
	}
	if p.Undo.Has() {
		p.Put(p.Undo, fail)
	} else {
		p.Tell(fail)
	}
	return f.Show(w, r, page.StatusOf(fail), "broughtin", p)
}

func (f *Files) UndoIntake(w http.ResponseWriter, r *http.Request, id int64) error {
	if err := movein.UndoIntake(r.Context(), f.Studio, id, r.PostForm.Get("reason")); err != nil {
		return f.ShowAgain(w, r, "undo", err, f.BroughtIn)
	}
	http.Redirect(w, r, page.With("/intakes/"+r.PathValue("intake"), "said", "back"), http.StatusSeeOther)
	return nil
}
