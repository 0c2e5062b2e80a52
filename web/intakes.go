package web

import (
	"fmt"
	"net/http"

	"solander/studio"
)

// broughtInPage is a file that was brought in.
type broughtInPage struct {
	frame
	Intake studio.IntakeView
	Rows   []orderRow
	More   int
	Undo   *form
}

func (f *face) broughtIn(w http.ResponseWriter, r *http.Request) error {
	return f.showBroughtIn(w, r, nil)
}

func (f *face) showBroughtIn(w http.ResponseWriter, r *http.Request, fail *failure) error {
	id, err := pathID(r, "intake")
	if err != nil {
		return err
	}
	v, err := f.studio.Intake(r.Context(), id)
	if err != nil {
		return err
	}
	fr, err := f.frame(r, "orders", "Brought in: "+v.Name)
	if err != nil {
		return err
	}
	p := &broughtInPage{frame: fr, Intake: v, Rows: rowsOf(v.Orders, fr.Today), More: v.Made.Orders - len(v.Orders)}
	if v.Back == nil && len(v.InTheWay) == 0 {
		p.Undo = newForm("undo", fmt.Sprintf("/intakes/%d/take-back", id))
		p.Undo.ask("reason", "Why").must().wide().hint("it stands in the register with every number that becomes free")
	}
	if p.Undo.Has() {
		p.put(p.Undo, fail)
	} else {
		p.tell(fail)
	}
	return f.show(w, r, statusOf(fail), "broughtin", p)
}

func (f *face) undoIntake(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "intake")
	if err != nil {
		return err
	}
	if err := f.studio.UndoIntake(r.Context(), id, r.PostForm.Get("reason")); err != nil {
		if ours(err) {
			return err
		}
		return f.showBroughtIn(w, r, failedIn("undo", r, err))
	}
	http.Redirect(w, r, with("/intakes/"+r.PathValue("intake"), "said", "back"), http.StatusSeeOther)
	return nil
}
