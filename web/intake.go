package web

import (
	"fmt"
	"io"
	"net/http"
	"strings"

	"solander/fault"
	"solander/intake"
	"solander/internal/status"
	"solander/studio"
)

// intakePage is where files are brought in: a new one, those that wait, those that were.
type intakePage struct {
	frame
	File     *form // paste and file; drawn by the template, for a file needs a form of its own kind
	Most     int   // MB of a file
	Waiting  []waitingFile
	Mappings []intake.Mapping
	Done     []studio.Intake
}

// waitingFile is a file that waits.
type waitingFile struct {
	studio.Arrival
	KB     int
	Folder bool
	Next   string // where she goes on
}

func (f *face) intake(w http.ResponseWriter, r *http.Request) error { return f.showIntake(w, r, nil) }

func (f *face) showIntake(w http.ResponseWriter, r *http.Request, fail *failure) error {
	ctx := r.Context()
	fr, err := f.frame(r, "orders", "Bring in a file")
	if err != nil {
		return err
	}
	p := &intakePage{frame: fr, File: arriveForm(), Most: studio.MaxFile >> 20}
	p.put(p.File, fail)
	waiting, err := f.studio.Arrivals(ctx)
	if err != nil {
		return err
	}
	for _, a := range waiting {
		x := waitingFile{Arrival: a, KB: (a.Size + 1023) / 1024, Folder: a.Source == studio.FromFolder, Next: fmt.Sprintf("/intake/%d", a.ID)}
		if a.Mapping != nil {
			x.Next += "/trial"
		}
		p.Waiting = append(p.Waiting, x)
	}
	if p.Mappings, err = f.studio.Mappings(ctx); err != nil {
		return err
	}
	if p.Done, err = f.studio.Intakes(ctx); err != nil {
		return err
	}
	return f.show(w, r, statusOf(fail), "intake", p)
}

func arriveForm() *form {
	fm := newForm("arrive", "/intake")
	fm.ask("file", "A workbook (.xlsx) or a text file (.csv)").as("file").wide()
	fm.ask("rows", "Or paste rows here, headings first").as("area").wide()
	return fm
}

// arrive keeps a file that was sent, or rows that were pasted, and leads to its page.
func (f *face) arrive(w http.ResponseWriter, r *http.Request) error {
	in, err := arrived(r)
	var a studio.Arrival
	if err == nil {
		a, err = f.studio.Arrive(r.Context(), in)
	}
	if err != nil {
		if ours(err) {
			return err
		}
		return f.showIntake(w, r, failed(arriveForm(), r, err))
	}
	http.Redirect(w, r, fmt.Sprintf("/intake/%d", a.ID), http.StatusSeeOther)
	return nil
}

// arrived reads the file of a form; pasted rows when there is none.
func arrived(r *http.Request) (studio.ArriveIn, error) {
	file, head, err := r.FormFile("file")
	if err == nil {
		defer file.Close()
		if head.Size > 0 {
			body, err := io.ReadAll(io.LimitReader(file, studio.MaxFile+1))
			return studio.ArriveIn{Name: head.Filename, Body: body}, err
		}
	}
	text := r.PostForm.Get("rows")
	if strings.TrimSpace(text) == "" {
		return studio.ArriveIn{}, fault.Invalidf("file", "no file was chosen, and no rows were pasted").ToMend("choose a file, or paste rows below")
	}
	return studio.ArriveIn{Name: "pasted rows.csv", Body: []byte(text)}, nil
}

func (f *face) dropArrival(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "arrival")
	if err != nil {
		return err
	}
	if err := f.studio.DropArrival(r.Context(), id); err != nil {
		return err
	}
	return f.doneSaying(w, r, "/intake", "file-gone")
}

func (f *face) dropReading(w http.ResponseWriter, r *http.Request) error {
	if err := f.studio.DropMapping(r.Context(), r.PostForm.Get("name")); err != nil {
		return err
	}
	return f.doneSaying(w, r, "/intake", "map-gone")
}

// tableOf reads a file that waits. The table of the file read last is kept, so that each step of one file does not
// read it anew; the bytes themselves stand in the store.
func (f *face) tableOf(r *http.Request, tell studio.Tell) (studio.Arrival, intake.Table, error) {
	id, err := pathID(r, "arrival")
	if err != nil {
		return studio.Arrival{}, intake.Table{}, err
	}
	a, body, err := f.studio.Arrival(r.Context(), id)
	if err != nil {
		return a, intake.Table{}, err
	}
	if t, ok := f.lately.get(a.Hash, a.Name); ok {
		return a, t, nil
	}
	t, err := f.studio.ReadFile(r.Context(), a.Name, body, tell)
	if err == nil {
		f.lately.put(a.Hash, a.Name, t)
	}
	return a, t, err
}

// fileFault shows what is wrong with a file itself, with the way to drop it.
func (f *face) fileFault(w http.ResponseWriter, r *http.Request, err error) error {
	if ours(err) {
		return err
	}
	return f.showIntakeFault(w, r, err)
}

func (f *face) showIntakeFault(w http.ResponseWriter, r *http.Request, err error) error {
	fr, e := f.frame(r, "orders", "This file is not read")
	if e != nil {
		return e
	}
	fr.Faults = fault.All(err)
	fr.Links = linksOf(fr.Faults, nil)
	id, e := pathID(r, "arrival")
	if e != nil {
		return e
	}
	return f.show(w, r, status.Of(err), "unread", &unreadPage{frame: fr, Arrival: id})
}

// unreadPage tells why a file cannot be read.
type unreadPage struct {
	frame
	Arrival int64
}
