// Package record is the register as it is vouched for, in a browser: how far it was signed, by which key, and signing it now. Each exported method of
// Record answers one route of package web.
package record

import (
	"net/http"

	"solander/fault"
	"solander/record"
	"solander/web/page"
)

// Record is the handlers of this room.
type Record struct{ *page.Kit }

// Page is how the register stands.
type Page struct {
	page.Frame
	State  record.State
	None   bool   // nothing was entered yet
	LastAt string // when it was signed last, in words
}

// Show is the page.
func (f *Record) Show(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "editions", "The register on record")
	if err != nil {
		return err
	}
	p := &Page{Frame: fr}
	p.Tell(fail)
	p.State, err = record.Stands(r.Context(), f.Seen(r))
	if p.None = fault.Is(err, fault.Missing); err != nil && !p.None {
		return err
	}
	if c := p.State.Latest; c != nil {
		p.LastAt = c.At.In(page.Settings(r).Place()).Format("2 January 2006, 15:04")
	}
	return f.Kit.Show(w, r, page.StatusOf(fail), "record", p)
}

// Sign signs how far the register has come.
func (f *Record) Sign(w http.ResponseWriter, r *http.Request) error {
	if _, err := record.Sign(r.Context(), f.Studio, r.PostForm.Get("passphrase")); err != nil {
		return f.ShowAgain(w, r, "", err, f.Show)
	}
	return f.DoneSaying(w, r, "/editions/record", "signed-record")
}

// Checkpoint is the newest signature as a file.
func (f *Record) Checkpoint(w http.ResponseWriter, r *http.Request) error {
	s, err := record.Stands(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	if s.Latest == nil {
		return fault.New(fault.Missing, "the register was not signed yet").ToMend("sign it first")
	}
	return page.After(w, r, func(w http.ResponseWriter) error {
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		w.Header().Set("Content-Disposition", `attachment; filename="checkpoint.txt"`)
		_, err := w.Write([]byte(s.Latest.Body))
		return err
	})
}
