// Package movein brings files of sales in by a browser: the file, how it is read, its trial, her answers, and the file
// taken in or taken back. Each exported method of Files answers one route of package web.
package movein

import (
	"context"
	"fmt"
	"io"
	"net/http"

	"solander/dayplan"
	"solander/fault"
	"solander/intake"
	"solander/intake/kept"
	"solander/internal/status"
	"solander/movein"
	"solander/web/form"
	"solander/web/movein/rows"
	"solander/web/page"
)

// Files is the handlers of this room.
type Files struct {
	*page.Kit
	lately lately // the file that was read last
}

// IntakePage is where files are brought in: a new one, those that wait, those that were.
type IntakePage struct {
	page.Frame
	File     *form.Form // paste and file; drawn by the template, for a file needs a form of its own kind
	Most     int        // MB of a file
	Waiting  []waitingFile
	Mappings []intake.Mapping
	Done     []kept.Intake
}

// waitingFile is a file that waits.
type waitingFile struct {
	kept.Arrival
	KB     int
	Folder bool
	Next   string // where she goes on
}

func (f *Files) Intake(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	ctx := r.Context()
	fr, err := f.Frame(r, "orders", "Bring in a file")
	if err != nil {
		return err
	}
	p := &IntakePage{Frame: fr, File: arriveForm(), Most: movein.MaxFile >> 20}
	p.Put(p.File, fail)
	waiting, err := movein.Arrivals(ctx, f.Seen(r))
	if err != nil {
		return err
	}
	for _, a := range waiting {
		x := waitingFile{Arrival: a, KB: (a.Size + 1023) / 1024, Folder: a.Source == kept.FromFolder, Next: fmt.Sprintf("/intake/%d", a.ID)}
		switch {
		case a.Note == movein.ListOfPrices:
			x.Next = fmt.Sprintf("/studio/cards/list?file=%d", a.ID)
		case a.Mapping != nil:
			x.Next += "/trial"
		}
		p.Waiting = append(p.Waiting, x)
	}
	if p.Mappings, err = movein.Mappings(ctx, f.Seen(r)); err != nil {
		return err
	}
	if p.Done, err = movein.Intakes(ctx, f.Seen(r)); err != nil {
		return err
	}
	return f.Show(w, r, page.StatusOf(fail), "intake", p)
}

func arriveForm() *form.Form {
	fm := form.New("arrive", "/intake")
	fm.Ask("file", "A workbook (.xlsx) or a text file (.csv)").As("file").Wide()
	fm.Ask("rows", "Or paste rows here, headings first").As("area").Wide()
	return fm
}

// Arrive keeps a file that was sent, or rows that were pasted, and leads to its page.
func (f *Files) Arrive(w http.ResponseWriter, r *http.Request) error {
	in, err := page.ArrivedFile(r)
	var a kept.Arrival
	if err == nil {
		a, err = movein.Arrive(r.Context(), f.Studio, in)
	}
	if err != nil {
		return f.ShowAgain(w, r, "arrive", err, f.Intake)
	}
	http.Redirect(w, r, fmt.Sprintf("/intake/%d", a.ID), http.StatusSeeOther)
	return nil
}

func (f *Files) DropArrival(w http.ResponseWriter, r *http.Request, id int64) error {
	if err := movein.DropArrival(r.Context(), f.Studio, id); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/intake", "file-gone")
}

func (f *Files) DropReading(w http.ResponseWriter, r *http.Request) error {
	if err := movein.DropMapping(r.Context(), f.Studio, r.PostForm.Get("name")); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/intake", "map-gone")
}

// given is a file that waits, with its bytes.
type given struct {
	kept.Arrival
	body []byte
}

func (f *Files) givenOf(r *http.Request) (given, error) {
	id, err := page.PathID(r, "arrival")
	if err != nil {
		return given{}, err
	}
	a, body, err := movein.Arrival(r.Context(), f.Seen(r), id)
	return given{a, body}, err
}

// tableOf reads a file that waits. The table of the file read last is kept, so that each step of one file does not
// read it anew; the bytes themselves stand in the store.
func (f *Files) tableOf(ctx context.Context, a given, tell dayplan.Tell) (intake.Table, error) {
	if t, ok := f.lately.get(a.Hash, a.Name); ok {
		return t, nil
	}
	t, err := movein.ReadFile(ctx, f.Studio, a.Name, a.body, tell)
	if err == nil {
		f.lately.put(a.Hash, a.Name, t)
	}
	return t, err
}

// mappedOf reads a file of which it is said what stands where. Faults: Invalid when it is not.
func (f *Files) mappedOf(ctx context.Context, a given, tell dayplan.Tell) (movein.FileTrialIn, error) {
	t, err := f.tableOf(ctx, a, tell)
	switch {
	case err != nil:
		return movein.FileTrialIn{}, err
	case a.Mapping == nil:
		return movein.FileTrialIn{}, fault.New(fault.Invalid, "what stands where is not said yet").ToMend("look at the columns and save")
	}
	return movein.FileTrialIn{Table: t, Mapping: *a.Mapping, Answers: a.Answers}, nil
}

// fileFault shows what is wrong with a file itself, with the way to drop it.
func (f *Files) fileFault(w http.ResponseWriter, r *http.Request, err error) error {
	if page.Ours(err) {
		return err
	}
	return f.showIntakeFault(w, r, err)
}

func (f *Files) showIntakeFault(w http.ResponseWriter, r *http.Request, err error) error {
	fr, e := f.Frame(r, "orders", "This file is not read")
	if e != nil {
		return e
	}
	fr.Faults = fault.All(err)
	fr.Links = form.LinksOf(fr.Faults, nil)
	id, e := page.PathID(r, "arrival")
	if e != nil {
		return e
	}
	return f.Show(w, r, status.Of(err), "unread", &UnreadPage{Frame: fr, Arrival: id})
}

// Colours answers with the style sheet of the colours of a page.
func (f *Files) Colours(w http.ResponseWriter, r *http.Request) error {
	sheet, err := rows.Sheet(r.URL.Query().Get("of"))
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/css; charset=utf-8")
	w.Header().Set("Cache-Control", "private, max-age=3600")
	_, err = io.WriteString(w, sheet)
	return err
}

// UnreadPage tells why a file cannot be read.
type UnreadPage struct {
	page.Frame
	Arrival int64
}
