package certify

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"solander/certificate"
	"solander/certify"
	"solander/edition"
	"solander/fault"
	paper "solander/papers/certificate"
	"solander/web/form"
	"solander/web/page"
)

// CertificatesPage is the certificates of an edition, and the forms that make and revoke one.
type CertificatesPage struct {
	page.Frame
	OfEdition
	Rows    []certificateRow
	Days    []string // on which some were made that hold, the latest first
	Lacking int
	Make    *form.Form
	Revoke  *form.Form
}

// certificateRow is one certificate.
type certificateRow struct {
	Serial int64
	Label  string
	To     string // the page of its number
	Day    string
	Words  string
	Holds  bool
}

// mostShown is how many certificates stand on the page, the latest first.
const mostShown = 300

func makeForm(id int64, in *certify.MakeIn, numbers *string) *form.Form {
	fm := form.New("make", fmt.Sprintf("/editions/%d/certificates", id))
	fm.Text("numbers", "Numbers", numbers).Half().WithHint("12, 15-20, AP 1; empty: all that are signed and have none")
	fm.Text("place", "Where they were signed", &in.Place).Half()
	fm.Tick("reissue", "In the place of the certificate that the number has", &in.Reissue).Half()
	fm.Text("reason", "Reason of that", &in.Reason).Half()
	askPassphrase(fm, &in.Passphrase)
	return fm
}

func askPassphrase(fm *form.Form, words *string) {
	fm.Text("passphrase", "Passphrase of the register's key", words).As("password").Half().WithAuto("current-password").WithHint("empty, when it is not locked")
}

// revocation is what the second form asks.
type revocation struct {
	serial int
	reason string
}

func revokeForm(id int64, in *revocation) *form.Form {
	fm := form.New("revoke", fmt.Sprintf("/editions/%d/certificates/revoke", id))
	fm.Whole("serial", "Certificate", &in.serial).OrEmpty().Must().Small()
	fm.Text("reason", "Reason", &in.reason).Must().Wide().WithHint("without names; it stays for good")
	return fm
}

// Certificates is the page.
func (f *Certify) Certificates(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	frame, of, v, err := f.begin(r, "Certificates", fail)
	if err != nil {
		return err
	}
	all, err := certify.OfNumber(r.Context(), f.Seen(r), v.Edition.ID, edition.Number{})
	if err != nil {
		return err
	}
	var lacking []edition.Number
	if !v.Edition.Open() {
		if lacking, err = certify.Lacking(r.Context(), f.Seen(r), v.Edition.ID); err != nil {
			return err
		}
	}
	p := &CertificatesPage{Frame: frame, OfEdition: of, Lacking: len(lacking)}
	p.list(all)
	if !v.Edition.Open() {
		p.Make = p.Put(makeForm(v.Edition.ID, new(certify.MakeIn), new(string)), fail)
	}
	if len(all) > 0 {
		p.Revoke = p.Put(revokeForm(v.Edition.ID, new(revocation)), fail)
	}
	return f.Show(w, r, page.StatusOf(fail), "certificates", p)
}

func (p *CertificatesPage) list(all []certify.Standing) {
	days := map[string]bool{}
	for i := len(all) - 1; i >= 0; i-- {
		c := all[i]
		if day := c.Day.String(); c.End == nil && !days[day] {
			days[day] = true
			p.Days = append(p.Days, day)
		}
		if len(p.Rows) < mostShown {
			p.Rows = append(p.Rows, certificateRow{
				c.ID, c.Number.Of(p.Edition), fmt.Sprintf("%s/numbers/%s", p.Back, page.NumberPath(c.Number)), c.Day.Long(), c.Words(), c.End == nil,
			})
		}
	}
	p.Days = p.Days[:min(len(p.Days), 6)]
}

// MakeCertificates makes them.
func (f *Certify) MakeCertificates(w http.ResponseWriter, r *http.Request, id int64) error {
	in, numbers := certify.MakeIn{Edition: id}, ""
	err := makeForm(id, &in, &numbers).TakeAnd(r.PostForm, func() (err error) {
		if in.Numbers, err = f.chosen(r, id, numbers); err == nil {
			_, err = certify.Make(r.Context(), f.Studio, in)
		}
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "make", err, f.Certificates)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/editions/%d/certificates", id), "certified")
}

// chosen are the numbers that were typed, or all that lack a certificate.
func (f *Certify) chosen(r *http.Request, id int64, text string) ([]edition.Number, error) {
	if strings.TrimSpace(text) == "" {
		return certify.Lacking(r.Context(), f.Seen(r), id)
	}
	v, err := certify.Facts(r.Context(), f.Seen(r), id)
	if err != nil {
		return nil, err
	}
	return edition.ParseNumbers("numbers", text, v.Edition)
}

// RevokeCertificate revokes one of the edition.
func (f *Certify) RevokeCertificate(w http.ResponseWriter, r *http.Request, id int64) error {
	var in revocation
	err := revokeForm(id, &in).TakeAnd(r.PostForm, func() error {
		return certify.Revoke(r.Context(), f.Studio, int64(in.serial), in.reason)
	})
	if err != nil {
		return f.ShowAgain(w, r, "revoke", err, f.Certificates)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/editions/%d/certificates", id), "ended")
}

// Paper is one certificate: "12.pdf" as a sheet, or with ?format=card as a card; "12.txt" as a file with its proof.
func (f *Certify) Paper(w http.ResponseWriter, r *http.Request) error {
	name, kind, _ := strings.Cut(r.PathValue("file"), ".")
	serial, err := strconv.ParseInt(name, 10, 64)
	if err != nil || kind != "pdf" && kind != "txt" {
		return fault.New(fault.Missing, "there is no certificate %.30q", r.PathValue("file")).ToMend("open it from its edition")
	}
	if kind == "txt" {
		p, err := certify.Read(r.Context(), f.Seen(r), serial)
		if err != nil {
			return err
		}
		return send(w, r, "text/plain; charset=utf-8", "certificate-"+name+".txt", "attachment", []byte(p.File()))
	}
	return f.draw(w, r, []int64{serial}, "certificate-"+name)
}

// PapersOfDay are the certificates of an edition that were made on a day and hold, as one file.
func (f *Certify) PapersOfDay(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "edition")
	if err != nil {
		return err
	}
	all, err := certify.OfNumber(r.Context(), f.Seen(r), id, edition.Number{})
	if err != nil {
		return err
	}
	var serials []int64
	for _, c := range all {
		if day := r.URL.Query().Get("day"); c.End == nil && (day == "" || c.Day.String() == day) {
			serials = append(serials, c.ID)
		}
	}
	return f.draw(w, r, serials, "certificates")
}

func (f *Certify) draw(w http.ResponseWriter, r *http.Request, serials []int64, name string) error {
	format := paper.Format(r.URL.Query().Get("format"))
	if format == "" {
		format = paper.Sheet
	}
	if !slices.Contains(paper.Formats(), format) {
		return fault.Invalidf("format", "certificates are never %.20q", string(format)).ToMend("use sheet or card")
	}
	all, err := certify.Papers(r.Context(), f.Seen(r), serials)
	if err != nil {
		return err
	}
	body, err := paper.Draw(format, all)
	if err != nil {
		return err
	}
	return send(w, r, "application/pdf", name+".pdf", "inline", body)
}

// CheckPage checks a certificate, and notes what its owner tells.
type CheckPage struct {
	page.Frame
	Form    *form.Form
	Came    *certificate.Verdict
	Good    bool
	Lines   []fact
	Tellers *form.Form
}

func checkForm(code *string) *form.Form {
	fm := form.New("check", "/certificates/check")
	fm.Area("code", "Text of a code, or of a certificate's file", code).Must().Wide()
	return fm
}

func tellForm(in *certify.TellIn) *form.Form {
	fm := form.New("tell", "/certificates/tell")
	fm.Area("code", "The certificate in hand", &in.Code).Must().Wide().WithHint("the text of its code, or of its file")
	form.Select(fm, "told", "What the owner tells", &in.Told, form.Pick("transfer", "it changed hands"), form.Pick("resale", "it was sold on"),
		form.Pick("theft", "it was stolen"), form.Pick("loss", "it was lost"), form.Pick("found", "it was found again")).Half()
	fm.Day("day", "On", &in.Day).WithHint("empty: today")
	fm.Text("name", "Whose it is now", &in.Name).Half().WithHint("it stands outside the log, and can be forgotten")
	fm.Text("note", "Note", &in.Note).Half()
	return fm
}

// CheckForm is the page.
func (f *Certify) CheckForm(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	return f.showCheck(w, r, "", nil, fail)
}

func (f *Certify) showCheck(w http.ResponseWriter, r *http.Request, code string, v *certificate.Verdict, fail *page.Failure) error {
	fr, err := f.Frame(r, "editions", "Check a certificate")
	if err != nil {
		return err
	}
	p := &CheckPage{Frame: fr, Came: v}
	p.Tell(fail)
	p.Form = p.Put(checkForm(&code), fail)
	p.Tellers = p.Put(tellForm(&certify.TellIn{Code: code}), fail)
	if v != nil {
		p.Good = v.Word.Good()
		for i, line := range v.Statement {
			if name, words, _ := strings.Cut(line, " "); i > 0 && words != "" {
				p.Lines = append(p.Lines, fact{name, words})
			}
		}
	}
	return f.Show(w, r, page.StatusOf(fail), "certificate", p)
}

// Check checks what was pasted. It writes nothing.
func (f *Certify) Check(w http.ResponseWriter, r *http.Request) error {
	code := ""
	if err := checkForm(&code).Take(r.PostForm); err != nil {
		return f.ShowAgain(w, r, "check", err, f.CheckForm)
	}
	v, err := certify.Check(r.Context(), f.Seen(r), code)
	if err != nil {
		return err
	}
	return f.showCheck(w, r, code, &v, nil)
}

// Tell notes what an owner tells.
func (f *Certify) Tell(w http.ResponseWriter, r *http.Request) error {
	var in certify.TellIn
	var x certificate.Transfer
	err := tellForm(&in).TakeAnd(r.PostForm, func() (err error) {
		x, err = certify.Tell(r.Context(), f.Studio, in)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "tell", err, f.CheckForm)
	}
	return f.DoneSaying(w, r, ofNumber(x), "told")
}

// ofNumber is the page of the number of which something was told.
func ofNumber(x certificate.Transfer) string {
	return fmt.Sprintf("/editions/%d/numbers/%s", x.Edition, page.NumberPath(x.Number))
}

// ForgetTold forgets who told something.
func (f *Certify) ForgetTold(w http.ResponseWriter, r *http.Request, id int64) error {
	x, err := certify.Forget(r.Context(), f.Studio, id)
	if err != nil {
		return err
	}
	return f.DoneSaying(w, r, ofNumber(x)+"#chain", "forgotten")
}
