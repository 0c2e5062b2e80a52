// Package record is the register as it is vouched for, in a browser: how far it was signed, by which key, signing it now, what is done with the key, and what
// is published. Each exported method of
// Record answers one route of package web.
package record

import (
	"net/http"
	"strings"

	"solander/fault"
	"solander/record"
	"solander/web/form"
	"solander/web/page"
)

// Record is the handlers of this room.
type Record struct{ *page.Kit }

// at is the address of the page.
const at = "/editions/record"

// Page is how the register stands.
type Page struct {
	page.Frame
	State  record.State
	None   bool           // nothing was entered yet
	LastAt string         // when it was signed last, in words
	Proven *record.Proven // what came of a look through it; nil = none was asked for
	Deeds  deeds
}

// Show is the page.
func (f *Record) Show(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	return f.show(w, r, nil, fail)
}

func (f *Record) show(w http.ResponseWriter, r *http.Request, proven *record.Proven, fail *page.Failure) error {
	fr, err := f.Frame(r, "editions", "The register on record")
	if err != nil {
		return err
	}
	p := &Page{Frame: fr, Proven: proven}
	p.Tell(fail)
	p.State, err = record.Stands(r.Context(), f.Seen(r))
	if p.None = fault.Is(err, fault.Missing); err != nil && !p.None {
		return err
	}
	if c := p.State.Latest; c != nil {
		p.LastAt = c.At.In(page.Settings(r).Place()).Format("2 January 2006, 15:04")
	}
	if !p.None {
		p.put(fail)
	}
	return f.Kit.Show(w, r, page.StatusOf(fail), "record", p)
}

func verifyForm(given *string) *form.Form {
	fm := form.New("verify", at+"/verify")
	fm.Area("given", "A signature that was kept", given).Wide().WithHint("the text of its file, or of the code on a sign list; empty: the register alone is looked through")
	return fm
}

// Verify looks through the register, and holds it against a signature that was kept elsewhere. It writes nothing.
func (f *Record) Verify(w http.ResponseWriter, r *http.Request) error {
	var text string
	if err := verifyForm(&text).Take(r.PostForm); err != nil {
		return f.ShowAgain(w, r, "verify", err, f.Show)
	}
	var given []byte
	if strings.TrimSpace(text) != "" {
		given = []byte(text)
	}
	proven, err := record.Verify(r.Context(), f.Seen(r), given, nil)
	if err != nil {
		return err
	}
	return f.show(w, r, &proven, nil)
}

// Sign signs how far the register has come.
func (f *Record) Sign(w http.ResponseWriter, r *http.Request) error {
	if _, err := record.Sign(r.Context(), f.Studio, r.PostForm.Get("passphrase")); err != nil {
		return f.ShowAgain(w, r, "", err, f.Show)
	}
	return f.DoneSaying(w, r, at, "signed-record")
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
	return send(w, r, "text/plain; charset=utf-8", "checkpoint.txt", []byte(s.Latest.Body))
}
