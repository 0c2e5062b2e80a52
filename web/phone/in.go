package phone

import (
	"net/http"

	"solander/fault"
	"solander/internal/nearby"
	"solander/phones"
	"solander/web/form"
	"solander/web/page"
)

// comingIn is what a phone says of itself.
type comingIn struct{ Code, Name string }

func codeForm(in *comingIn) *form.Form {
	fm := form.New("phone", "/phone")
	fm.Text("code", "Code", &in.Code).Must().WithAuto("off").WithHint("the twelve letters and digits that the computer shows")
	in.Name = "phone"
	fm.Text("name", "What you call it", &in.Name).Must().WithAuto("off").WithHint("by which you find it in the list, and can end it")
	return fm
}

// InPage is what a phone sees that is not let in yet.
type InPage struct {
	page.Frame
	Near  bool // it is looked at by the door
	Form  *form.Form
	Print []string // of what vouches for the computer, in parts; none = it is trusted already
}

// In asks a phone for the code.
func (f *Phones) In(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "", "Let this phone in")
	if err != nil {
		return err
	}
	p := &InPage{Frame: fr, Near: nearby.Came(r.Context())}
	p.Form = p.Put(codeForm(new(comingIn)), fail)
	if f.Door != nil {
		if s := f.Door.State(); s.Authority != nil {
			p.Print = inParts(s.Print)
		}
	}
	return f.Show(w, r, page.StatusOf(fail), "phonein", p)
}

// Come lets the phone in that has the code, and leads it to the bench.
func (f *Phones) Come(w http.ResponseWriter, r *http.Request) error {
	var in comingIn
	var let phones.Let
	fm := codeForm(&in)
	err := f.byTheDoor(r)
	if err == nil {
		err = fm.TakeAnd(r.PostForm, func() (err error) {
			let, err = phones.LetIn(r.Context(), f.Studio, in.Code, in.Name)
			return err
		})
	}
	if err != nil {
		if fault.Is(err, fault.Unknown) {
			f.Away.Note("a code lets no phone in", r.URL.Path, r)
		}
		return f.ShowAgain(w, r, fm.Name, err, f.In)
	}
	f.Gate.GiveKey(w, let.Key)
	f.Log.Info("a phone was let in", "phone", let.Phone.ID, "address", f.Gate.Address(r))
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

// byTheDoor refuses who did not come by the door: the key would be given to the wrong browser.
func (f *Phones) byTheDoor(r *http.Request) error {
	if !nearby.Came(r.Context()) {
		return fault.New(fault.Refused, "this is the computer itself").ToMend("open the address on the phone")
	}
	return nil
}

// Authority answers with the certificate that a phone may trust, as its system wants it: DER, by the type that RFC 5280 leaves to
// systems (application/x-x509-ca-cert). It is no secret. Faults: Missing while the door is shut, or a certificate was given.
func (f *Phones) Authority(w http.ResponseWriter, r *http.Request) error {
	if f.Door != nil {
		if s := f.Door.State(); s.Authority != nil {
			h := w.Header()
			h.Set("Content-Type", "application/x-x509-ca-cert")
			h.Set("Content-Disposition", `attachment; filename="solander.crt"`)
			_, err := w.Write(s.Authority)
			return err
		}
	}
	return fault.New(fault.Missing, "there is no certificate to trust now").ToMend("open the studio to phones first: Studio, Let a phone in")
}
