package accounts

import (
	"fmt"
	"net/http"
	"strings"

	"github.com/boombuler/barcode/qr"

	"solander/access"
	"solander/calendar"
	"solander/fault"
	"solander/people"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// AccountPage is one's own account.
type AccountPage struct {
	page.Frame
	Account  people.Account
	Role     string
	Second   bool
	Sessions []sessionLine
	Devices  []deviceLine
	Passkeys []passkeyLine
	Passkey  *form.Form // nil where the address allows none
	Trusted  bool       // this browser holds a device's key
	Trusting bool       // it may be let in as a trusted computer: it sits at the machine itself
}

type sessionLine struct {
	ID      int64
	Browser string
	Made    calendar.Day
	Seen    string
	This    bool
}

type deviceLine struct {
	ID   int64
	Name string
	Of   string
	Most string
	Made calendar.Day
	Seen calendar.Day
	Gone calendar.Day
	This bool
}

type passkeyLine struct {
	access.Passkey
	On   calendar.Day
	Last calendar.Day
}

// Account shows one's own account.
func (f *Accounts) Account(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	who := people.Asking(r.Context())
	if who.Alone {
		http.Redirect(w, r, "/studio/people", http.StatusSeeOther)
		return nil
	}
	fr, err := f.Frame(r, "", "Your account")
	if err != nil {
		return err
	}
	a, err := people.Mine(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	set := page.Settings(r)
	p := &AccountPage{Frame: fr, Account: a, Role: who.Role.Word(), Second: a.TOTP != "", Trusted: who.Key != 0 || f.Gate.HeldKey(r) != "", Trusting: f.Gate.Here()}
	for _, x := range a.Sessions {
		p.Sessions = append(p.Sessions, sessionLine{x.ID, browserName(x.Browser), page.DayIn(x.Made, set), x.Seen.In(set.Place()).Format("15:04"), x.ID == who.Session})
	}
	for _, k := range a.Devices {
		p.Devices = append(p.Devices, deviceOf(people.Device{DeviceKey: k}, set, who))
	}
	for _, k := range a.Passkeys {
		p.Passkeys = append(p.Passkeys, passkeyLine{k, page.DayIn(k.Made, set), page.DayIn(k.Used, set)})
	}
	if f.Gate.Site(r).Name != "" {
		var name string
		p.Passkey = p.Put(passkeyForm(&name), fail)
	}
	p.Tell(fail)
	return f.Show(w, r, page.StatusOf(fail), "account", p)
}

func deviceOf(k people.Device, set studio.Settings, who people.Who) deviceLine {
	return deviceLine{k.ID, k.Name, k.Of, k.Most.Word(), page.DayIn(k.Made, set), page.DayIn(k.Seen, set), page.DayIn(k.Revoked, set), k.ID == who.Key}
}

// browserName is a browser in a few plain words: what it says of itself is long, and says much that is not so.
func browserName(text string) string {
	kind, on := "a browser", ""
	for _, x := range []struct{ sign, word string }{{"iPhone", "a phone"}, {"Android", "a phone"}, {"iPad", "a tablet"}, {"Windows", "Windows"}, {"Macintosh", "macOS"}, {"Linux", "Linux"}} {
		if strings.Contains(text, x.sign) {
			on = " on " + x.word
			break
		}
	}
	return kind + on
}

func passkeyForm(name *string) *form.Form {
	fm := form.New("passkey", "/account/passkeys")
	fm.Text("name", "Its name", name).Must().WithHint("by which you know it again: this computer, the blue stick")
	return fm
}

type passwordIn struct{ Old, Word, Again string }

func passwordForm(first bool, in *passwordIn) *form.Form {
	fm := form.New("password", "/account/password")
	if !first {
		fm.Text("old", "Password of now", &in.Old).As("password").Verbatim().Must().WithAuto("current-password")
	}
	fm.Text("password", "New password", &in.Word).As("password").Verbatim().Must().WithAuto("new-password").WithHint(goodWords)
	fm.Text("again", "Once more", &in.Again).As("password").Verbatim().Must().WithAuto("new-password")
	fm.Then(func(l *fault.List) { l.Check(in.Word == in.Again, "again", "it is another one", "type the same twice") })
	return fm
}

const goodWords = "10 characters or more, any that you like; four words that have nothing to do with one another are good"

// Password asks for another password; of who came by a first one, for her own.
func (f *Accounts) Password(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	p := people.Asking(r.Context()).Person
	if p.ID == 0 {
		http.Redirect(w, r, "/studio/people", http.StatusSeeOther)
		return nil
	}
	first := !p.Until.IsZero()
	one := page.OneForm{
		Title: "Choose your password", Button: "Take this password", Form: passwordForm(first, new(passwordIn)),
		Under: "The first one was known to somebody else: from now on only you know it.",
	}
	if !first {
		one.Title, one.Under, one.Back = "Another password", "All other browsers are signed out.", page.LinkTo("/account", "Your account")
	}
	return f.ShowForm(w, r, one, fail)
}

// SavePassword takes another password.
func (f *Accounts) SavePassword(w http.ResponseWriter, r *http.Request) error {
	var in passwordIn
	var e people.Entered
	fm := passwordForm(!people.Asking(r.Context()).Person.Until.IsZero(), &in)
	err := fm.TakeAnd(r.PostForm, func() (err error) {
		e, err = people.SetPassword(r.Context(), f.Studio, in.Old, in.Word, f.Gate.Address(r))
		return err
	})
	if err != nil {
		f.noteFailure(r, err)
		return f.ShowAgain(w, r, fm.Name, err, f.Password)
	}
	if e.Token != "" {
		f.Gate.Enter(w, e)
	}
	return f.DoneSaying(w, r, "/account", "password")
}

// SecondPage sets up a second factor.
type SecondPage struct {
	page.Frame
	Secret string // in groups of four
	URL    string
	Picture
	Form *form.Form
}

// Picture is a QR code: its side in modules with the quiet zone of four (ISO/IEC 18004), and a path that covers the dark ones.
type Picture struct {
	Side int
	Path string
}

func drawn(text string) (Picture, error) {
	code, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		return Picture{}, err
	}
	const quiet = 4
	n := code.Bounds().Dx()
	var b strings.Builder
	for y := range n {
		for x := range n {
			if v, _, _, _ := code.At(x, y).RGBA(); v == 0 {
				fmt.Fprintf(&b, "M%d %dh1v1h-1z", x+quiet, y+quiet)
			}
		}
	}
	return Picture{n + 2*quiet, b.String()}, nil
}

func secondForm(key string, code *string) *form.Form {
	fm := form.New("second", "/account/second/take")
	fm.Ask("key", "").As("hidden").Is(key)
	fm.Text("code", "The code that is shown now", code).Must().WithAuto("one-time-code").WithMode("numeric")
	return fm
}

// OfferSecond shows the secret of a second factor.
func (f *Accounts) OfferSecond(w http.ResponseWriter, r *http.Request) error {
	o, err := people.OfferSecond(r.Context(), f.Studio)
	if err != nil {
		return err
	}
	return f.showSecond(w, r, o, nil)
}

func (f *Accounts) showSecond(w http.ResponseWriter, r *http.Request, o people.Offered, fail *page.Failure) error {
	return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error {
		fr, err := f.Frame(r, "", "A second factor")
		if err != nil {
			return err
		}
		fr.Wrote = false
		p := &SecondPage{Frame: fr, URL: o.URL}
		for i := 0; i < len(o.Secret); i += 4 {
			p.Secret += o.Secret[i:min(i+4, len(o.Secret))] + " "
		}
		if p.Picture, err = drawn(o.URL); err != nil {
			return err
		}
		var code string
		p.Form = p.Put(secondForm(o.Key, &code), fail)
		return f.Show(w, r, page.StatusOf(fail), "second", p)
	})
}

// CodesPage shows what is shown this once.
type CodesPage struct {
	page.Frame
	Codes []string
}

// TakeSecond puts the second factor to use.
func (f *Accounts) TakeSecond(w http.ResponseWriter, r *http.Request) error {
	var code string
	key := r.PostFormValue("key")
	var codes []string
	fm := secondForm(key, &code)
	err := fm.TakeAnd(r.PostForm, func() (err error) {
		codes, err = people.TakeSecond(r.Context(), f.Studio, key, code)
		return err
	})
	if err == nil {
		return f.showCodes(w, r, codes)
	}
	o, e := people.OfferAgain(r.Context(), f.Studio, key)
	if page.Ours(err) || e != nil {
		return err
	}
	return f.showSecond(w, r, o, page.FailedIn(fm.Name, r, err))
}

func (f *Accounts) showCodes(w http.ResponseWriter, r *http.Request, codes []string) error {
	return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error {
		fr, err := f.Frame(r, "", "Recovery codes")
		if err != nil {
			return err
		}
		return f.Show(w, r, http.StatusOK, "codes", &CodesPage{fr, codes})
	})
}

// NewCodes draws the recovery codes anew.
func (f *Accounts) NewCodes(w http.ResponseWriter, r *http.Request) error {
	codes, err := people.NewCodes(r.Context(), f.Studio)
	if err != nil {
		return f.ShowAgain(w, r, "codes", err, f.Account)
	}
	return f.showCodes(w, r, codes)
}

// DropSecond ends the use of the second factor.
func (f *Accounts) DropSecond(w http.ResponseWriter, r *http.Request) error {
	if err := people.DropSecond(r.Context(), f.Studio); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/account", "nosecond")
}

// OfferPasskey answers what a browser is to ask of whatever makes passkeys.
func (f *Accounts) OfferPasskey(w http.ResponseWriter, r *http.Request) error {
	a, err := people.OfferPasskey(r.Context(), f.Studio, f.Gate.Site(r))
	return answerJSON(w, a, err)
}

// TakePasskey keeps a passkey that was made.
func (f *Accounts) TakePasskey(w http.ResponseWriter, r *http.Request) error {
	var name string
	fm := passkeyForm(&name)
	err := fm.TakeAnd(r.PostForm, func() error {
		in := f.byPasskey(r)
		return people.TakePasskey(r.Context(), f.Studio, f.Gate.Site(r), in.Key, name, in.Answer)
	})
	if err != nil {
		f.noteFailure(r, err)
		if f.lacking(r) {
			return f.ShowAgain(w, r, fm.Name, err, f.Demanded)
		}
		return f.ShowAgain(w, r, fm.Name, err, f.Account)
	}
	return f.DoneSaying(w, r, "/account", "passkey")
}

// DropPasskey ends the use of a passkey.
func (f *Accounts) DropPasskey(w http.ResponseWriter, r *http.Request, id int64) error {
	if err := people.DropPasskey(r.Context(), f.Studio, id); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/account", "nopasskey")
}

// EndSession signs another browser out.
func (f *Accounts) EndSession(w http.ResponseWriter, r *http.Request, id int64) error {
	if err := people.EndOneSession(r.Context(), f.Studio, id); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/account", "signedout")
}

// Everywhere signs out everywhere, here too.
func (f *Accounts) Everywhere(w http.ResponseWriter, r *http.Request) error {
	if _, err := people.SignOutEverywhere(r.Context(), f.Studio, people.Asking(r.Context()).Person.ID); err != nil {
		return err
	}
	f.Gate.Leave(w)
	http.Redirect(w, r, "/sign-in", http.StatusSeeOther)
	return nil
}

// Trust lets this browser in without asking again: it sits at the machine itself.
func (f *Accounts) Trust(w http.ResponseWriter, r *http.Request) error {
	if !f.Gate.Here() {
		return fault.New(fault.Refused, "only the computer on which the studio runs is trusted so").ToMend("sign in here each time")
	}
	made, err := people.GrantKey(r.Context(), f.Studio, people.Grant{Person: people.Asking(r.Context()).Person.ID, Name: "this computer, " + browserName(r.UserAgent())})
	if err != nil {
		return err
	}
	f.Gate.GiveKey(w, made.Secret)
	return f.DoneSaying(w, r, "/account", "trusted")
}

// RevokeDevice ends a device's key.
func (f *Accounts) RevokeDevice(w http.ResponseWriter, r *http.Request, id int64) error {
	if err := people.Revoke(r.Context(), f.Studio, id); err != nil {
		return err
	}
	to := "/account"
	if r.PostFormValue("back") == "people" {
		to = "/studio/people"
	}
	return f.DoneSaying(w, r, to, "revoked")
}
