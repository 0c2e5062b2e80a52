package accounts

import (
	"cmp"
	"net/http"

	"solander/access"
	"solander/calendar"
	"solander/fault"
	"solander/people"
	"solander/web/form"
	"solander/web/page"
)

// PeoplePage is who may come in.
type PeoplePage struct {
	page.Frame
	None    bool // there is no account: who sits here is the artist
	People  []personLine
	Gone    []personLine
	Devices []deviceLine
	Form    *form.Form
	Second  *form.Form       // of whom a second factor is demanded; nil while there is no account
	Made    people.NewPerson // with her first password: it is shown this once
}

type personLine struct {
	access.Person
	Word  string
	On    calendar.Day
	Until calendar.Day // of a first password that was not used; no day = her own
	Gone  calendar.Day
	Roles []form.Choice
	Me    bool
	Has   string // beside the password
}

func roleChoices() (out []form.Choice) {
	for _, r := range access.Roles() {
		out = append(out, form.Pick(string(r), r.Word()))
	}
	return out
}

// roleWords say what the roles may do.
const roleWords = "an owner may do everything; a helper works at the bench: signing, packing, hand-over, counting, scanning, the till; a reader looks, and changes nothing"

type newPerson struct {
	Name string
	Role access.Role
}

func personForm(in *newPerson) *form.Form {
	fm := form.New("person", "/studio/people")
	fm.Text("name", "Name", &in.Name).Must().Half().WithHint("as it shall stand in the register and the journal, for good")
	in.Role = access.Helper
	form.Select(fm, "role", "May come in as", &in.Role, roleChoices()...).Half().WithHint(roleWords)
	return fm
}

// FirstOwner is what is asked of her who makes the first account.
type FirstOwner struct{ Name, Word, Again string }

// OwnerForm asks for it.
func OwnerForm(artist string, in *FirstOwner) *form.Form {
	fm := form.New("owner", "/studio/people/first")
	in.Name = artist
	fm.Text("name", "Your name", &in.Name).Must().WithAuto("username").WithHint("as it shall stand in the register and the journal, for good")
	fm.Text("password", "Password", &in.Word).As("password").Verbatim().Must().WithAuto("new-password").WithHint(goodWords)
	fm.Text("again", "Once more", &in.Again).As("password").Verbatim().Must().WithAuto("new-password")
	fm.Then(func(l *fault.List) { l.Check(in.Word == in.Again, "again", "it is another one", "type the same twice") })
	return fm
}

// People shows who may come in.
func (f *Accounts) People(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	return f.showPeople(w, r, fail, people.NewPerson{})
}

func (f *Accounts) showPeople(w http.ResponseWriter, r *http.Request, fail *page.Failure, made people.NewPerson) error {
	fr, err := f.Frame(r, "studio", "People")
	if err != nil {
		return err
	}
	ctx, set, who := r.Context(), page.Settings(r), people.Asking(r.Context())
	all, err := people.All(ctx, f.Seen(r))
	if err != nil {
		return err
	}
	seconds, err := people.Seconds(ctx, f.Seen(r))
	if err != nil {
		return err
	}
	p := &PeoplePage{Frame: fr, None: len(all) == 0, Made: made}
	for _, x := range all {
		l := personLine{x, x.Role.Word(), page.DayIn(x.Made, set), page.DayIn(x.Until, set), page.DayIn(x.Ended, set), roleChoices(), x.ID == who.Person.ID, secondWords[seconds[x.ID]]}
		if x.Active() {
			p.People = append(p.People, l)
		} else {
			p.Gone = append(p.Gone, l)
		}
	}
	devices, err := people.Devices(ctx, f.Seen(r))
	if err != nil {
		return err
	}
	for _, k := range devices {
		if k.Revoked.IsZero() {
			p.Devices = append(p.Devices, deviceOf(k, set, who))
		}
	}
	if p.None {
		p.Form = p.Put(OwnerForm(set.Artist, new(FirstOwner)), fail)
	} else {
		p.Form = p.Put(personForm(new(newPerson)), fail)
		of := set.SecondFactor.Said()
		p.Second = p.Put(demandForm(&of), fail)
	}
	if fail != nil && fail.Form != p.Form.Name && (p.None || fail.Form != p.Second.Name) {
		p.Tell(fail)
	}
	return f.Show(w, r, page.StatusOf(fail), "accounts", p)
}

// First makes the owner's account, and signs her in.
func (f *Accounts) First(w http.ResponseWriter, r *http.Request) error {
	var in FirstOwner
	var e people.Entered
	fm := OwnerForm("", &in)
	err := fm.TakeAnd(r.PostForm, func() (err error) {
		e, err = people.FirstOwner(r.Context(), f.Studio, in.Name, in.Word, r.UserAgent())
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, fm.Name, err, f.People)
	}
	f.Gate.Enter(w, e)
	return f.DoneSaying(w, r, within(cmp.Or(r.PostFormValue("to"), "/studio/people")), "firstowner")
}

// Add lets somebody sign in. Its page is the answer itself: the first password stands in no address and is kept nowhere.
func (f *Accounts) Add(w http.ResponseWriter, r *http.Request) error {
	var in newPerson
	var made people.NewPerson
	fm := personForm(&in)
	err := fm.TakeAnd(r.PostForm, func() (err error) {
		made, err = people.Add(r.Context(), f.Studio, in.Name, in.Role)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, fm.Name, err, f.People)
	}
	return f.madePerson(w, r, made)
}

func (f *Accounts) madePerson(w http.ResponseWriter, r *http.Request, made people.NewPerson) error {
	return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error { return f.showPeople(w, r, nil, made) })
}

// Readmit lets somebody in again by a first password.
func (f *Accounts) Readmit(w http.ResponseWriter, r *http.Request, id int64) error {
	made, err := people.Readmit(r.Context(), f.Studio, id)
	if err != nil {
		return f.ShowAgain(w, r, "readmit", err, f.People)
	}
	return f.madePerson(w, r, made)
}

// SetRole changes what a person may do.
func (f *Accounts) SetRole(w http.ResponseWriter, r *http.Request, id int64) error {
	_, err := people.SetRole(r.Context(), f.Studio, id, access.Role(r.PostFormValue("role")))
	return f.changed(w, r, "role", err)
}

// End ends an account.
func (f *Accounts) End(w http.ResponseWriter, r *http.Request, id int64) error {
	_, err := people.End(r.Context(), f.Studio, id)
	return f.changed(w, r, "personended", err)
}

// EverywhereOf signs somebody out everywhere.
func (f *Accounts) EverywhereOf(w http.ResponseWriter, r *http.Request, id int64) error {
	_, err := people.SignOutEverywhere(r.Context(), f.Studio, id)
	return f.changed(w, r, "everywhere", err)
}

func (f *Accounts) changed(w http.ResponseWriter, r *http.Request, said string, err error) error {
	if err != nil {
		return f.ShowAgain(w, r, said, err, f.People)
	}
	return f.DoneSaying(w, r, "/studio/people", said)
}
