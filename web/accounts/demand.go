package accounts

import (
	"net/http"

	"solander/access"
	"solander/people"
	"solander/web/form"
	"solander/web/page"
)

// DemandedPage leads who lacks a second factor to one.
type DemandedPage struct {
	page.Frame
	Name    string
	Passkey *form.Form // nil where the address allows none
}

// Demanded leads who lacks a second factor to one, everybody else to her account.
func (f *Accounts) Demanded(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	who := people.Asking(r.Context())
	if !f.lacking(r) {
		http.Redirect(w, r, "/account", http.StatusSeeOther)
		return nil
	}
	fr, err := f.Frame(r, "", "A second factor first")
	if err != nil {
		return err
	}
	p := &DemandedPage{Frame: fr, Name: who.Person.Name}
	if f.Gate.Site(r).Name != "" {
		var name string
		p.Passkey = p.Put(passkeyForm(&name), fail)
	}
	p.Tell(fail)
	return f.Show(w, r, page.StatusOf(fail), "demanded", p)
}

// lacking reports whether who asks must set up a second factor first.
func (f *Accounts) lacking(r *http.Request) bool {
	return people.Asking(r.Context()).Lacks && f.Gate.Away(r)
}

// demandWords are the demands as they are said on a page.
var demandWords = map[access.Demand]string{
	access.OfEverybody: "everybody", access.OfOwners: "owners alone", access.OfNobody: "nobody: a password is enough",
}

func demandForm(of *access.Demand) *form.Form {
	fm := form.New("second-factor", "/studio/people/second-factor")
	var choices []form.Choice
	for _, d := range access.Demands() {
		choices = append(choices, form.Pick(string(d), demandWords[d]))
	}
	form.Select(fm, "of", "Who signs in from another machine needs one", of, choices...).
		WithHint("who has none yet is led to set one up first; on this machine a password is enough, and a phone that was let in comes by its key")
	return fm
}

// Demand says of whom a second factor is demanded.
func (f *Accounts) Demand(w http.ResponseWriter, r *http.Request) error {
	of := page.Settings(r).SecondFactor.Said()
	fm := demandForm(&of)
	err := fm.TakeAnd(r.PostForm, func() error { return people.Demand(r.Context(), f.Studio, of) })
	if err != nil {
		return f.ShowAgain(w, r, fm.Name, err, f.People)
	}
	return f.DoneSaying(w, r, "/studio/people", "demanded")
}

// secondWords are what a person has beside the password, as it is said on a page.
var secondWords = map[people.Second]string{people.None: "none", people.ByCodes: "codes", people.ByKeyAlone: "passkey"}
