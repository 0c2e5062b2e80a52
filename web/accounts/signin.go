// Package accounts is who may come in, in a browser: signing in and out, one's own account, the people of the studio, and the proof of who
// one is before what could do the most harm. Each exported method of Accounts answers one route of package web. While there is no
// account, its only page that is reached says how the first one is made.
package accounts

import (
	"encoding/json"
	"errors"
	"net/http"
	"net/url"
	"strings"

	"solander/fault"
	"solander/people"
	"solander/web/form"
	"solander/web/gate"
	"solander/web/page"
)

// Accounts is the handlers of this room.
type Accounts struct {
	*page.Kit
	Gate *gate.Gate
}

// SignInPage asks who it is.
type SignInPage struct {
	page.Frame
	Form    *form.Form
	To      string
	Passkey bool // this address allows passkeys
}

// within is an address of the studio's own pages, as it may be led to; the bench when it is none.
func within(to string) string {
	u, err := url.Parse(to)
	if err != nil || !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.ContainsAny(to, "\\\r\n") || u.IsAbs() || u.Host != "" {
		return "/"
	}
	return to
}

func signInForm(in *people.SignIn) *form.Form {
	fm := form.New("sign-in", "/sign-in")
	fm.Text("name", "Name", &in.Name).Must().WithAuto("username")
	fm.Text("password", "Password", &in.Password).As("password").Verbatim().Must().WithAuto("current-password")
	fm.Text("code", "Code", &in.Code).WithAuto("one-time-code").WithHint("of your second factor, if you use one; or a recovery code")
	return fm
}

// SignIn asks who it is.
func (f *Accounts) SignIn(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "", "Sign in")
	if err != nil {
		return err
	}
	to := within(r.FormValue("to"))
	if people.Asking(r.Context()).Known() && fail == nil {
		http.Redirect(w, r, to, http.StatusSeeOther)
		return nil
	}
	p := &SignInPage{Frame: fr, To: to, Passkey: f.Gate.Site(r).Name != ""}
	p.Form = p.Put(signInForm(new(people.SignIn)), fail)
	if fail != nil && fail.Form != p.Form.Name {
		p.Tell(fail)
	}
	p.Form.Ask("to", "").As("hidden").Is(to)
	return f.Show(w, r, page.StatusOf(fail), "signin", p)
}

// Enter signs in.
func (f *Accounts) Enter(w http.ResponseWriter, r *http.Request) error {
	in := people.SignIn{Address: f.Gate.Address(r), Away: f.Gate.Away(r), Browser: r.UserAgent(), Before: f.Gate.Held(r)}
	var e people.Entered
	fm := signInForm(&in)
	err := fm.TakeAnd(r.PostForm, func() (err error) {
		e, err = people.Enter(r.Context(), f.Studio, in)
		return err
	})
	if err != nil {
		f.noteFailure(r, err)
		return f.ShowAgain(w, r, fm.Name, err, f.SignIn)
	}
	return f.entered(w, r, e)
}

// EnterByPasskey signs in by a passkey.
func (f *Accounts) EnterByPasskey(w http.ResponseWriter, r *http.Request) error {
	e, err := people.EnterByPasskey(r.Context(), f.Studio, f.Gate.Site(r), f.byPasskey(r))
	if err != nil {
		f.noteFailure(r, err)
		return f.ShowAgain(w, r, "passkey", err, f.SignIn)
	}
	return f.entered(w, r, e)
}

func (f *Accounts) byPasskey(r *http.Request) people.ByPasskey {
	return people.ByPasskey{Key: r.PostFormValue("passkey-key"), Answer: r.PostFormValue("passkey-answer"), Browser: r.UserAgent(), Before: f.Gate.Held(r)}
}

func (f *Accounts) entered(w http.ResponseWriter, r *http.Request, e people.Entered) error {
	f.Gate.Enter(w, e)
	f.Log.Info("signed in", "account", e.Person.ID, "address", f.Gate.Address(r), "failed before", e.Failed)
	to := within(r.PostFormValue("to"))
	switch {
	case !e.Person.Until.IsZero():
		to = "/account/password"
	case e.Failed > 0:
		to = page.With("/account", "said", "failedbefore")
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// noteFailure logs an attempt that failed: never what was typed, which may be a password in the wrong field.
func (f *Accounts) noteFailure(r *http.Request, err error) {
	if fault.Is(err, fault.Unknown) || fault.Is(err, fault.TooMany) {
		f.Log.Warn("an attempt to sign in failed", "address", f.Gate.Address(r), "why", why(err))
	}
}

func why(err error) string {
	var e *fault.Error
	if errors.As(err, &e) && e.Err != nil {
		return e.Err.Error()
	}
	return err.Error()
}

// AskPasskey answers what a browser is to ask its passkeys, to sign in or to prove who one is.
func (f *Accounts) AskPasskey(w http.ResponseWriter, r *http.Request) error {
	a, err := people.AskPasskey(r.Context(), f.Studio, f.Gate.Site(r))
	return answerJSON(w, a, err)
}

func answerJSON(w http.ResponseWriter, v any, err error) error {
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	return json.NewEncoder(w).Encode(v)
}

// SignOut ends this session, and this browser forgets it, its device's key too.
func (f *Accounts) SignOut(w http.ResponseWriter, r *http.Request) error {
	if err := people.SignOut(r.Context(), f.Studio, f.Gate.HeldKey(r)); err != nil {
		return err
	}
	f.Gate.Leave(w)
	w.Header().Set("Clear-Site-Data", `"cache", "cookies", "storage"`) // W3C, Clear Site Data, 3.1: what this browser keeps of the pages goes too
	http.Redirect(w, r, "/sign-in", http.StatusSeeOther)
	return nil
}
