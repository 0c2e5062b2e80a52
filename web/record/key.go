package record

import (
	"archive/zip"
	"bytes"
	"net/http"

	"solander/certificate"
	"solander/certify"
	"solander/fault"
	"solander/record"
	"solander/web/form"
	"solander/web/page"
)

// deeds are the forms of the page.
type deeds struct {
	Verify              *form.Form // hold it against a signature
	Publish, Check      *form.Form // the public record, and its page of checks alone
	Words, Export       *form.Form // lock the key, carry it elsewhere
	Ring                *form.Form // let the keyring open it
	Load, Replace, Lost *form.Form
	Vouch               *form.Form // take the rows on as they stand
}

// words are what the forms of the key ask for.
type words struct {
	passphrase, next, again, reason string
	sure                            bool
}

// mostKey bounds the file of a key, in bytes.
const mostKey = 64 << 10

// askLocked asks for the passphrase of the key where it is locked.
func askLocked(fm *form.Form, locked bool, w *words) *form.Form {
	fd := fm.Text("passphrase", "Passphrase of the key", &w.passphrase).As("password").Half().Verbatim().WithAuto("current-password")
	if !locked {
		fd.WithHint("empty, when it is not locked")
	}
	return fm
}

func askNext(fm *form.Form, label, hint string, w *words) {
	fm.Text("next", label, &w.next).As("password").Half().Verbatim().WithAuto("new-password").WithHint(hint)
	fm.Text("again", "The same once more", &w.again).As("password").Half().Verbatim().WithAuto("new-password")
	fm.Then(func(l *fault.List) {
		l.Check(w.next == w.again, "again", "it is not the same", "type both once more")
	})
}

func publishForm(locked bool, w *words) *form.Form {
	return askLocked(form.New("publish", "/editions/record/publish"), locked, w)
}

func checkPageForm(locked bool, w *words) *form.Form {
	return askLocked(form.New("page", "/editions/record/check-page"), locked, w)
}

func wordsForm(locked bool, w *words) *form.Form {
	fm := askLocked(form.New("words", "/editions/record/key/passphrase"), locked, w)
	askNext(fm, "New passphrase", "empty: none; a file in your own settings on this computer opens the key", w)
	return fm
}

func exportForm(locked bool, w *words) *form.Form {
	fm := askLocked(form.New("export", "/editions/record/key/export"), locked, w)
	askNext(fm, "Passphrase of the file", "empty: whoever has the file can sign", w)
	return fm
}

func ringForm(locked bool, w *words) *form.Form {
	fm := askLocked(form.New("ring", "/editions/record/key/keyring"), locked, w)
	fm.Tick("sure", "The key was exported: without this computer's keyring it is lost", &w.sure).Wide()
	fm.Then(func(l *fault.List) {
		l.Check(w.sure, "sure", "without this computer's keyring the key is lost", "export it first, and tick the box to say so")
	})
	return fm
}

func loadForm(w *words) *form.Form {
	fm := form.New("load", "/editions/record/key/load")
	fm.Ask("file", "The file that was exported").As("file").Half().Must()
	return askLocked(fm, false, w)
}

func replaceForm(locked bool, w *words) *form.Form {
	return askLocked(form.New("replace", "/editions/record/key/replace"), locked, w)
}

func lostForm(w *words) *form.Form {
	fm := form.New("lost", "/editions/record/key/lost")
	fm.Text("reason", "What happened", &w.reason).Must().Wide().WithHint("without names; it stands in the register for good")
	fm.Text("passphrase", "Passphrase of the new key", &w.passphrase).As("password").Half().Verbatim().WithAuto("new-password").WithHint("empty: none")
	return fm
}

func vouchForm(w *words) *form.Form {
	fm := form.New("vouch", at+"/vouch")
	fm.Text("reason", "Why", &w.reason).Must().Wide().WithHint("the log and the bench's journal say it for good; without names")
	fm.Tick("sure", "What the check finds was looked at: what was changed before is not told any more", &w.sure).Wide()
	fm.Then(func(l *fault.List) {
		l.Check(w.sure, "sure", "what was changed before is not told any more", "run the check first, and tick the box to say that it was looked at")
	})
	return fm
}

// put lays out the forms that the state of the register asks for.
func (p *Page) put(fail *page.Failure) {
	s, locked := p.State, p.State.Locked
	p.Deeds.Verify = p.Put(verifyForm(new(string)), fail)
	if s.Rows.Place {
		p.Deeds.Vouch = p.Put(vouchForm(new(words)), fail)
	}
	if s.KeyFile == "" {
		return
	}
	if s.Verifier == "" || s.KeyThere {
		p.Deeds.Publish, p.Deeds.Check = p.Put(publishForm(locked, new(words)), fail), p.Put(checkPageForm(locked, new(words)), fail)
		p.Deeds.Words, p.Deeds.Export = p.Put(wordsForm(locked, new(words)), fail), p.Put(exportForm(locked, new(words)), fail)
	}
	if s.Verifier == "" {
		return
	}
	if s.KeyThere && s.Ring && !s.ByRing {
		p.Deeds.Ring = p.Put(ringForm(locked, new(words)), fail)
	}
	if s.KeyThere {
		p.Deeds.Replace = p.Put(replaceForm(locked, new(words)), fail)
	} else {
		p.Deeds.Load = p.Put(loadForm(new(words)), fail)
	}
	if !s.KeyThere || locked {
		p.Deeds.Lost = p.Put(lostForm(new(words)), fail)
	}
}

// take reads a form that build lays out, and does f with it; what is wrong is shown on the page.
func (f *Record) take(w http.ResponseWriter, r *http.Request, build func(*words) *form.Form, do func(*words) error, done func() error) error {
	in := &words{}
	fm := build(in)
	if err := fm.TakeAnd(r.PostForm, func() error { return do(in) }); err != nil {
		return f.ShowAgain(w, r, fm.Name, err, f.Show)
	}
	return done()
}

// unlocked lays out a form as for a key that is not locked: what is asked is the same.
func unlocked(build func(bool, *words) *form.Form) func(*words) *form.Form {
	return func(w *words) *form.Form { return build(false, w) }
}

// Passphrase gives the key another passphrase, or none.
func (f *Record) Passphrase(w http.ResponseWriter, r *http.Request) error {
	said := "key-open"
	return f.take(w, r, unlocked(wordsForm), func(in *words) error {
		if in.next != "" {
			said = "key-locked"
		}
		return record.Reseal(r.Context(), f.Studio, in.passphrase, in.next)
	}, func() error { return f.DoneSaying(w, r, at, said) })
}

// Keyring lets this computer's keyring open the key.
func (f *Record) Keyring(w http.ResponseWriter, r *http.Request) error {
	return f.take(w, r, unlocked(ringForm), func(in *words) error {
		return record.ToKeyring(r.Context(), f.Studio, in.passphrase)
	}, func() error { return f.DoneSaying(w, r, at, "key-ring") })
}

// Export is the key as a file to be kept elsewhere.
func (f *Record) Export(w http.ResponseWriter, r *http.Request) error {
	var body []byte
	name := "register-key.txt"
	return f.take(w, r, unlocked(exportForm), func(in *words) (err error) {
		if in.next != "" {
			name = "register-key.age"
		}
		body, err = record.Export(r.Context(), f.Studio, in.passphrase, in.next)
		return err
	}, func() error { return send(w, r, "application/octet-stream", name, body) })
}

// Load puts an exported key where the studio looks for it.
func (f *Record) Load(w http.ResponseWriter, r *http.Request) error {
	return f.take(w, r, loadForm, func(in *words) error {
		body, err := page.BytesOf(r, "file", mostKey)
		if err == nil {
			_, err = record.Load(r.Context(), f.Studio, body, in.passphrase)
		}
		return err
	}, func() error { return f.DoneSaying(w, r, at, "key-loaded") })
}

// Replace makes another key, to which the one before hands over.
func (f *Record) Replace(w http.ResponseWriter, r *http.Request) error {
	return f.take(w, r, unlocked(replaceForm), func(in *words) error {
		_, err := record.Replace(r.Context(), f.Studio, in.passphrase)
		return err
	}, func() error { return f.DoneSaying(w, r, at, "key-replaced") })
}

// Lost says that the key is lost.
func (f *Record) Lost(w http.ResponseWriter, r *http.Request) error {
	return f.take(w, r, lostForm, func(in *words) error {
		_, err := record.Lost(r.Context(), f.Studio, in.reason, in.passphrase)
		return err
	}, func() error { return f.DoneSaying(w, r, at, "key-lost") })
}

// Vouch takes the rows beside the register on as they stand.
func (f *Record) Vouch(w http.ResponseWriter, r *http.Request) error {
	return f.take(w, r, vouchForm, func(in *words) error {
		return record.Vouch(r.Context(), f.Studio, in.reason)
	}, func() error { return f.DoneSaying(w, r, at, "rows-vouched") })
}

// Publish is the public record, as one file.
func (f *Record) Publish(w http.ResponseWriter, r *http.Request) error {
	var body bytes.Buffer
	return f.take(w, r, unlocked(publishForm), func(in *words) error {
		check, err := f.checkPage(r, in.passphrase)
		if err != nil {
			return err
		}
		files, err := record.Publish(r.Context(), f.Studio, in.passphrase, record.File{Path: record.CheckPage, Body: check})
		if err != nil {
			return err
		}
		z := zip.NewWriter(&body)
		for _, one := range files {
			part, err := z.Create("public-record/" + one.Path)
			if err == nil {
				_, err = part.Write(one.Body)
			}
			if err != nil {
				return err
			}
		}
		return z.Close()
	}, func() error { return send(w, r, "application/zip", "public-record.zip", body.Bytes()) })
}

// CheckPage is the page on which anybody checks a certificate, as a file.
func (f *Record) CheckPage(w http.ResponseWriter, r *http.Request) error {
	var body []byte
	return f.take(w, r, unlocked(checkPageForm), func(in *words) (err error) {
		body, err = f.checkPage(r, in.passphrase)
		return err
	}, func() error { return send(w, r, "text/html; charset=utf-8", record.CheckPage, body) })
}

func (f *Record) checkPage(r *http.Request, passphrase string) ([]byte, error) {
	name, known, err := certify.ForThePage(r.Context(), f.Studio, passphrase)
	if err != nil {
		return nil, err
	}
	text, err := certificate.Page(name, known)
	return []byte(text), err
}

// send answers with a file.
func send(w http.ResponseWriter, r *http.Request, kind, name string, body []byte) error {
	return page.After(w, r, func(w http.ResponseWriter) error {
		w.Header().Set("Content-Type", kind)
		w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
		_, err := w.Write(body)
		return err
	})
}
