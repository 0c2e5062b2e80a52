package page

import (
	"net/http"

	"solander/web/form"
)

// OneForm is what a page of one form says: where it belongs, a few words above the form, its button, and the way back.
type OneForm struct {
	Room, Title, Under, Button string
	Back                       Link
	Form                       *form.Form
	Work                       int64 // whose picture stands beside the form; 0 = none
}

// FormPage is a page with one form and a few words above it.
type FormPage struct {
	Frame
	Under  string
	Form   *form.Form
	Button string
	Back   Link
	Work   int64
}

// ShowForm answers with a page of one form.
func (f *Kit) ShowForm(w http.ResponseWriter, r *http.Request, one OneForm, fail *Failure) error {
	fr, err := f.Frame(r, one.Room, one.Title)
	if err != nil {
		return err
	}
	if err := f.Hang(r, &fr, one.Work); err != nil {
		return err
	}
	p := &FormPage{Frame: fr, Under: one.Under, Form: one.Form, Button: one.Button, Back: one.Back, Work: one.Work}
	p.Tell(fail)
	p.Put(one.Form, fail)
	return f.Show(w, r, StatusOf(fail), "form", p)
}

// HelpPage explains the rooms and the keys.
type HelpPage struct{ Frame }

func (f *Kit) Help(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "", "Help and keys")
	if err != nil {
		return err
	}
	return f.Show(w, r, http.StatusOK, "help", &HelpPage{fr})
}
