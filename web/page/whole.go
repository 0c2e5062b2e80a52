package page

import (
	"net/http"

	"solander/web/form"
)

// FormPage is a page with one form and a few words above it.
type FormPage struct {
	Frame
	Under  string
	Form   *form.Form
	Button string
	Back   Link
}

// ShowForm answers with a page of one form.
func (f *Kit) ShowForm(w http.ResponseWriter, r *http.Request, room, title, under, button string, back Link, fm *form.Form, fail *Failure) error {
	fr, err := f.Frame(r, room, title)
	if err != nil {
		return err
	}
	p := &FormPage{Frame: fr, Under: under, Form: fm, Button: button, Back: back}
	p.Tell(fail)
	p.Put(fm, fail)
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
