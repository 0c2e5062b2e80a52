package catalogue

import (
	"fmt"
	"net/http"

	"solander/fault"
	"solander/gallery"
	"solander/picture"
	"solander/register"
	"solander/web/form"
	"solander/web/page"
)

// WorkPage is one work: its picture, its words, its editions.
type WorkPage struct {
	page.Frame
	Work  register.WorkView
	Rows  []editionLine
	Hung  *picture.Picture // nil = it has no picture
	Words *form.Form
	Put   *form.Form
	Say   *form.Form
	Take  *form.Form
}

// Work shows a work. A form that failed is shown again as it was typed.
func (f *Catalogue) Work(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	wk, err := f.workOf(r)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "editions", wk.Title)
	if err != nil {
		return err
	}
	if err := f.Hang(r, &fr, wk.ID); err != nil {
		return err
	}
	p := &WorkPage{Frame: fr, Work: wk}
	for _, e := range wk.Editions {
		p.Rows = append(p.Rows, lineOf(e, e.Size(fr.Units)))
	}
	p.Tell(fail)
	p.Words = p.Frame.Put(workForm(&wk.Work), fail)
	alt := ""
	if hung, ok := fr.Pictures[wk.ID]; ok {
		p.Hung, alt = &hung, hung.Alt
		p.Say = p.Frame.Put(sayForm(wk.ID, &alt), fail)
		p.Take = p.Frame.Put(takeAwayForm(wk.ID, new(bool)), fail)
	}
	p.Put = p.Frame.Put(putForm(wk.ID, &alt), fail)
	return f.Show(w, r, page.StatusOf(fail), "work", p)
}

func (f *Catalogue) workOf(r *http.Request) (register.WorkView, error) {
	id, err := page.PathID(r, "work")
	if err != nil {
		return register.WorkView{}, err
	}
	works, err := register.Works(r.Context(), f.Seen(r))
	if err != nil {
		return register.WorkView{}, err
	}
	for _, wv := range works {
		if wv.ID == id {
			return wv, nil
		}
	}
	return register.WorkView{}, page.Missing("work", id)
}

// putForm asks for a picture and for what is to be seen in it.
func putForm(work int64, alt *string) *form.Form {
	fm := form.New("picture", fmt.Sprintf("/works/%d/picture", work))
	page.AskPicture(fm, "A picture of it")
	askAlt(fm, alt)
	return fm
}

func askAlt(fm *form.Form, alt *string) {
	fm.Text("alt", "What is to be seen", alt).Half().WithAuto("off").WithHint("in a sentence, for who cannot see it: “A heron stands in still water”")
}

func sayForm(work int64, alt *string) *form.Form {
	fm := form.New("say", fmt.Sprintf("/works/%d/picture/words", work))
	askAlt(fm, alt)
	fm.Find("alt").Class = "wide"
	return fm.Sealed()
}

func takeAwayForm(work int64, sure *bool) *form.Form {
	fm := form.New("away", fmt.Sprintf("/works/%d/picture/take-away", work))
	fm.Tick("sure", "Take it away; its file is not kept elsewhere by this program", sure).Wide()
	fm.Then(func(l *fault.List) {
		l.Check(*sure, "sure", "the picture is not kept elsewhere by this program", "tick the box to say that you mean it")
	})
	return fm
}

// PutPicture hangs a picture to a work, in place of the one it had.
func (f *Catalogue) PutPicture(w http.ResponseWriter, r *http.Request, id int64) error {
	alt := ""
	err := putForm(id, &alt).TakeAnd(r.PostForm, func() error {
		body, err := page.SentPicture(r)
		if err != nil {
			return err
		}
		_, err = gallery.Put(r.Context(), f.Studio, id, body, alt)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "picture", err, f.Work)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/works/%d", id), "picture")
}

// SayPicture changes what is said to be seen in a picture.
func (f *Catalogue) SayPicture(w http.ResponseWriter, r *http.Request, id int64) error {
	alt := ""
	err := sayForm(id, &alt).TakeAnd(r.PostForm, func() error { return gallery.Say(r.Context(), f.Studio, id, alt) })
	if err != nil {
		return f.ShowAgain(w, r, "say", err, f.Work)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/works/%d", id), "picture-said")
}

// TakePictureAway takes the picture of a work away.
func (f *Catalogue) TakePictureAway(w http.ResponseWriter, r *http.Request, id int64) error {
	err := takeAwayForm(id, new(bool)).TakeAnd(r.PostForm, func() error { return gallery.TakeAway(r.Context(), f.Studio, id) })
	if err != nil {
		return f.ShowAgain(w, r, "away", err, f.Work)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/works/%d", id), "picture-gone")
}
