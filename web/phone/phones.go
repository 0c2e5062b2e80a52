// Package phone is phones in a browser: on the computer the door to the local network, a code as a picture, and the list of phones; on the
// phone the page by which it comes in. Each exported method of Phones answers one route of package web.
package phone

import (
	"cmp"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"solander/access"
	"solander/fault"
	"solander/internal/nearby"
	"solander/people"
	"solander/phones"
	"solander/web/accounts"
	"solander/web/form"
	"solander/web/gate"
	"solander/web/page"
)

// Door is the door to the local network.
type Door interface {
	State() nearby.State
	Open(long time.Duration) error // Faults: Invalid, Refused
	Shut() error
}

// Phones is the handlers of this room.
type Phones struct {
	*page.Kit
	Gate *gate.Gate
	Door Door // nil: the program was begun without one
}

// PhonesPage is the door, what vouches for the computer, and the phones.
type PhonesPage struct {
	page.Frame
	Able   bool // there is a door, and this page is looked at on the computer itself
	Away   bool // it is looked at on a phone
	State  nearby.State
	Until  string
	Print  []string   // the fingerprint, in parts
	None   bool       // there is no account
	First  *form.Form // makes it
	Let    *form.Form
	Phones []phoneLine
	Gone   []phoneLine
}

type phoneLine struct {
	phones.Phone
	Made, Seen, Ended string
	May               string
}

// Phones shows them.
func (f *Phones) Phones(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "studio", "Let a phone in")
	if err != nil {
		return err
	}
	p := &PhonesPage{Frame: fr, Away: nearby.Came(r.Context())}
	p.Able = f.Door != nil && !p.Away
	if f.Door != nil {
		p.State = f.Door.State()
		p.Until, p.Print = f.clock(r, p.State.Until), inParts(p.State.Print)
	}
	all, err := people.All(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	if p.None = len(all) == 0; p.None {
		p.First = accounts.OwnerForm(page.Settings(r).Artist, new(accounts.FirstOwner))
		p.First.Ask("to", "").As("hidden").Is("/studio/phones")
	} else if p.Able {
		p.Let = p.Put(letForm(all, people.Asking(r.Context()), p.State.On, new(letting)), fail)
	}
	if fail != nil && (p.Let == nil || fail.Form != p.Let.Name) {
		p.Tell(fail)
	}
	if err := f.list(r, p); err != nil {
		return err
	}
	return f.Show(w, r, page.StatusOf(fail), "phones", p)
}

func (f *Phones) list(r *http.Request, p *PhonesPage) error {
	all, err := phones.All(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	for _, x := range all {
		l := phoneLine{Phone: x, Made: f.when(r, x.Made), Seen: f.when(r, x.Seen), Ended: f.when(r, x.Revoked), May: mayWords[x.Most]}
		switch {
		case x.Revoked.IsZero():
			p.Phones = append(p.Phones, l)
		case !x.Hidden:
			p.Gone = append(p.Gone, l)
		}
	}
	return nil
}

var mayWords = map[access.Role]string{
	"": "all that the account may", access.Owner: "all that the account may", access.Helper: "the work of the bench", access.Reader: "looks alone",
}

// when is a day and an hour where the studio stands; "" for none.
func (f *Phones) when(r *http.Request, at time.Time) string {
	if at.IsZero() {
		return ""
	}
	return page.DayIn(at, page.Settings(r)).Long() + ", " + f.clock(r, at)
}

func (f *Phones) clock(r *http.Request, at time.Time) string {
	return at.In(page.Settings(r).Place()).Format("15:04")
}

// letting is what is asked before a phone is let in.
type letting struct {
	Hours  string
	Person int64
	Most   access.Role
}

var hourChoices = []form.Choice{form.Pick("1", "one hour"), form.Pick("4", "four hours"), form.Pick("8", "eight hours"), form.Pick("24", "a day")}

// letForm asks for how long the door is opened, unless it is open, and who comes in by the phone.
func letForm(all []access.Person, me people.Who, isOpen bool, in *letting) *form.Form {
	fm := form.New("let", "/studio/phones/let-in")
	if in.Hours = strconv.Itoa(int(nearby.Usual / time.Hour)); !isOpen {
		fm.Text("hours", "Phones reach the studio for", &in.Hours).Of(hourChoices...).WithHint("then it shuts by itself, as it does when the program ends")
	}
	var active []form.Choice
	for _, p := range all {
		if p.Active() {
			active = append(active, form.PickID(p.ID, p.Name))
		}
	}
	in.Person = me.Person.ID
	fm.ID("person", "Whose phone it is", &in.Person, active...)
	in.Most = access.Helper
	form.Select(fm, "most", "It may do", &in.Most,
		form.Pick(string(access.Helper), "the work of the bench: bench, signing, scanning, till, counting, pictures"),
		form.Pick(string(access.Owner), "all that its person may"),
		form.Pick(string(access.Reader), "look, and change nothing")).WithHint("a phone is lost more easily than a computer")
	return fm
}

func (in letting) long() (time.Duration, error) {
	n, err := strconv.Atoi(in.Hours)
	if err != nil || n < 1 || n > 24 {
		return 0, fault.Invalidf("hours", "%.20q is no number of hours", in.Hours).ToMend("choose one of the list")
	}
	return time.Duration(n) * time.Hour, nil
}

// atHome refuses what is done on the computer alone.
func (f *Phones) atHome(r *http.Request) error {
	if f.Door == nil {
		return fault.New(fault.Refused, "this program was begun without a door for phones").ToMend("begin it with solander serve")
	}
	if nearby.Came(r.Context()) {
		return fault.New(fault.Refused, "this is done on the computer itself").ToMend("open Studio, Let a phone in there")
	}
	any, err := people.Any(r.Context(), f.Studio)
	if err == nil && !any {
		err = fault.New(fault.Refused, "there is no account yet, so nobody could come in").ToMend("make yours first")
	}
	return err
}

// LetIn opens the door when it is shut, and makes a code. Its page is the answer itself: the code stands in no address and is kept nowhere.
func (f *Phones) LetIn(w http.ResponseWriter, r *http.Request) error {
	var in letting
	var offer phones.Offer
	err := f.atHome(r)
	if err == nil {
		fm := letForm(nil, people.Who{}, f.Door.State().On, &in)
		err = fm.TakeAnd(r.PostForm, func() (err error) {
			if err = f.open(in); err == nil {
				offer, err = phones.Invite(r.Context(), f.Studio, in.Person, in.Most)
			}
			return err
		})
	}
	if err != nil {
		return f.ShowAgain(w, r, "let", err, f.Phones)
	}
	return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error { return f.showCode(w, r, offer) })
}

// open opens the door, unless it is open.
func (f *Phones) open(in letting) error {
	if f.Door.State().On {
		return nil
	}
	long, err := in.long()
	if err != nil {
		return err
	}
	return f.Door.Open(long)
}

// Open opens the door for so long, or says anew for how long it is open.
func (f *Phones) Open(w http.ResponseWriter, r *http.Request) error {
	err := f.atHome(r)
	if err == nil {
		var long time.Duration
		if long, err = (letting{Hours: cmp.Or(r.PostFormValue("hours"), "8")}).long(); err == nil {
			err = f.Door.Open(long)
		}
	}
	if err != nil {
		return f.ShowAgain(w, r, "open", err, f.Phones)
	}
	return f.DoneSaying(w, r, "/studio/phones", "phonesopen")
}

// Shut shuts the door, and ends a code that is open.
func (f *Phones) Shut(w http.ResponseWriter, r *http.Request) error {
	if f.Door == nil {
		return f.ShowAgain(w, r, "shut", f.atHome(r), f.Phones)
	}
	if err := phones.Withdraw(r.Context(), f.Studio); err != nil {
		return err
	}
	if err := f.Door.Shut(); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/studio/phones", "phonesshut")
}

// End lets a phone in no more.
func (f *Phones) End(w http.ResponseWriter, r *http.Request, id int64) error {
	if err := phones.End(r.Context(), f.Studio, id); err != nil {
		return f.ShowAgain(w, r, "end", err, f.Phones)
	}
	return f.DoneSaying(w, r, "/studio/phones#phones", "phoneended")
}

// Hide takes a phone that ended off the list.
func (f *Phones) Hide(w http.ResponseWriter, r *http.Request, id int64) error {
	if err := phones.Hide(r.Context(), f.Studio, id); err != nil {
		return f.ShowAgain(w, r, "hide", err, f.Phones)
	}
	http.Redirect(w, r, "/studio/phones#phones", http.StatusSeeOther)
	return nil
}

// Notices says on the bench that phones reach the studio, and whose key was copied.
func (f *Phones) Notices(r *http.Request) (out []page.Notice, err error) {
	copied, err := phones.Cloned(r.Context(), f.Seen(r))
	if err != nil {
		return nil, err
	}
	lead := func(n page.Notice) page.Notice {
		if people.Asking(r.Context()).Role == access.Owner {
			n.To, n.Link = "/studio/phones#phones", "Phones"
		}
		return n
	}
	for _, c := range copied {
		out = append(out, lead(page.Notice{Text: fmt.Sprintf("The key of %s was used from two devices; both are let in no more.", c.Name), Grave: true}))
	}
	if f.Door == nil {
		return out, nil
	}
	if s := f.Door.State(); s.On {
		out = append(out, lead(page.Notice{Text: "Phones on the local network reach the studio until " + f.clock(r, s.Until) + "."}))
	}
	return out, nil
}
