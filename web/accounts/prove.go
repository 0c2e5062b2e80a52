package accounts

import (
	"maps"
	"net/http"
	"net/url"
	"slices"

	"solander/fault"
	"solander/people"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// ProvePage asks again who it is, before what could do the most harm.
type ProvePage struct {
	page.Frame
	Action  string
	Fields  []form.Field // the form that was sent, to be sent on
	Form    *form.Form
	Passkey bool
	Minutes int
}

func proveForm(action string, in *people.Proof) *form.Form {
	fm := form.New("prove", action)
	fm.Text("proof", "Password, or code of your second factor", &in.Word).As("password").Verbatim().Must().WithAuto("current-password")
	return fm
}

// Prove asks who it is before a page: its address stands in "to".
func (f *Accounts) Prove(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	return f.ask(w, r, "/account/prove", []form.Field{{Name: "to", Value: within(r.FormValue("to"))}}, http.StatusOK, fail)
}

func (f *Accounts) ask(w http.ResponseWriter, r *http.Request, action string, sent []form.Field, code int, fail *page.Failure) error {
	fr, err := f.Frame(r, "", "Is it you?")
	if err != nil {
		return err
	}
	fr.Wrote = false
	p := &ProvePage{Frame: fr, Action: action, Fields: sent, Minutes: int(people.FreshFor.Minutes()), Passkey: f.Gate.Site(r).Name != ""}
	p.Form = p.Put(proveForm(action, new(people.Proof)), fail)
	if fail != nil {
		code = page.StatusOf(fail)
	}
	return f.Show(w, r, code, "prove", p)
}

// Proved leads on to the page that was asked for.
func (f *Accounts) Proved(w http.ResponseWriter, r *http.Request) error {
	if err := f.prove(w, r); err != nil {
		return f.ShowAgain(w, r, "prove", err, f.Prove)
	}
	http.Redirect(w, r, within(r.PostFormValue("to")), http.StatusSeeOther)
	return nil
}

// prove looks at what was sent as proof.
func (f *Accounts) prove(w http.ResponseWriter, r *http.Request) (err error) {
	var e people.Entered
	if r.PostFormValue("passkey-answer") != "" {
		e, err = people.ProveByPasskey(r.Context(), f.Studio, f.Gate.Site(r), f.byPasskey(r))
	} else {
		in := people.Proof{Address: f.Gate.Address(r)}
		err = proveForm("", &in).TakeAnd(r.PostForm, func() (err error) {
			e, err = people.Prove(r.Context(), f.Studio, in)
			return err
		})
	}
	if err != nil {
		f.noteFailure(r, err)
		return err
	}
	if e.Token != "" {
		f.Gate.Enter(w, e)
	}
	return nil
}

// proofs are the fields that prove who sent a form; they are no part of it.
var proofs = []string{"proof", "passkey-key", "passkey-answer"}

// Again asks who sent a form that could do harm, unless the proof stands in it. done says that the answer was given.
func (f *Accounts) Again(w http.ResponseWriter, r *http.Request) (done bool, err error) {
	var fail *page.Failure
	if r.PostForm.Has("proof") || r.PostForm.Has("passkey-answer") {
		err := f.prove(w, r)
		if err == nil {
			for _, name := range proofs {
				r.PostForm.Del(name)
				r.Form.Del(name)
			}
			return false, nil
		}
		if page.Ours(err) {
			return true, err
		}
		fail = page.FailedIn("prove", r, err)
	}
	if r.MultipartForm != nil {
		return true, fault.New(fault.Denied, "you did not show lately who you are").ToMend("show it on your account's page, then send the file again")
	}
	ctx := studio.WithForm(r.Context(), nil) // nothing of the form is done
	return true, f.Visit(w, r.WithContext(ctx), func(w http.ResponseWriter, r *http.Request) error {
		set, err := f.Seen(r).Settings(r.Context())
		if err != nil {
			return err
		}
		r = page.WithSettings(r, set)
		return f.ask(w, r, r.URL.Path, fieldsOf(r.PostForm), http.StatusForbidden, fail)
	})
}

func fieldsOf(sent url.Values) (out []form.Field) {
	for _, name := range slices.Sorted(maps.Keys(sent)) {
		if slices.Contains(proofs, name) {
			continue
		}
		for _, v := range sent[name] {
			out = append(out, form.Field{Name: name, Value: v})
		}
	}
	return out
}
