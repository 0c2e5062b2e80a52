package programs

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"solander/fault"
	"solander/house"
	"solander/labelling"
	"solander/web/form"
	"solander/web/page"
)

// FilesPage is what goes out to other programs, and labels that come back.
type FilesPage struct {
	page.Frame
	Layouts  []layoutLine
	Waiting  int // parcels to label
	Back     *form.Form
	Promises bool   // the calendar has an address
	Address  string // of the calendar, told once
	Report   *labelling.PostageReport
	Note     *form.Form // notes what the report shows
}

// layoutLine is a layout in a list.
type layoutLine struct {
	Name, Columns, Link, File string
}

func (f *Programs) Files(w http.ResponseWriter, r *http.Request) error {
	p, err := f.filesPage(r, new(sentBack))
	if err != nil {
		return err
	}
	p.Put(p.Back, nil)
	return f.Show(w, r, http.StatusOK, "files", p)
}

func (f *Programs) filesPage(r *http.Request, in *sentBack) (*FilesPage, error) {
	fr, err := f.Frame(r, "studio", "Files for other programs")
	if err != nil {
		return nil, err
	}
	p := &FilesPage{Frame: fr, Promises: page.Settings(r).PromiseHash != ""}
	layouts, err := labelling.Layouts(r.Context(), f.Seen(r))
	if err != nil {
		return nil, err
	}
	var names []form.Choice
	for _, l := range layouts {
		var heads []string
		for _, c := range l.Columns {
			heads = append(heads, c.Heading)
		}
		p.Layouts = append(p.Layouts, layoutLine{l.Name, strings.Join(heads, ", "), pathed("/studio/layouts/", l.Name, ""), pathed("/postage/", l.Name, ".csv")})
		names = append(names, form.Pick(l.Name, l.Name))
	}
	p.Back = backForm(names, in)
	p.Waiting, err = labelling.ToLabel(r.Context(), f.Seen(r))
	return p, err
}

// sentBack is rows of a seller of postage; note says that they are to be noted, not only looked at.
type sentBack struct {
	layout, text string
	note         string
}

func backForm(layouts []form.Choice, in *sentBack) *form.Form {
	fm := form.New("back", "/postage/back")
	fm.Text("layout", "Layout", &in.layout).Of(layouts...)
	fm.Ask("text", "The rows that came back").As("lines").Wide().Must().WithHint("with their heading; copy them from the file")
	fm.Text("note", "", &in.note).As("hidden")
	return fm
}

// ExportAll streams everything as a ZIP of plain files.
func (f *Programs) ExportAll(w http.ResponseWriter, r *http.Request) error {
	today, err := house.Today(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	return page.After(w, r, func(w http.ResponseWriter) error {
		attach(w, "application/zip", fmt.Sprintf("studio-%s.zip", today))
		return f.SendLong(w, r, "export", func(w io.Writer) error {
			z := zip.NewWriter(w)
			return errors.Join(house.Export(r.Context(), f.Studio, z.Create), z.Close())
		})
	})
}

func attach(w http.ResponseWriter, kind, name string) {
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="%s"`, name))
}

// download answers with a file that a use case makes, made whole before anything is sent.
func download(w http.ResponseWriter, kind, name string, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	attach(w, kind, name)
	_, err := w.Write(b.Bytes())
	return err
}

// PostageCSV is the batch of all parcels to label, in a layout.
func (f *Programs) PostageCSV(w http.ResponseWriter, r *http.Request) error {
	name := strings.TrimSuffix(r.PathValue("file"), ".csv")
	return download(w, "text/csv; charset=utf-8", "parcels.csv", func(w io.Writer) error {
		_, err := labelling.PostageOut(r.Context(), f.Seen(r), name, w)
		return err
	})
}

// PostageBack tells what the rows would do, and with "note" does it.
func (f *Programs) PostageBack(w http.ResponseWriter, r *http.Request) error {
	in := sentBack{text: r.PostForm.Get("text")} // every line of it
	p, err := f.filesPage(r, &in)
	if err != nil {
		return err
	}
	fm := p.Back
	var rep labelling.PostageReport
	if err = fm.Take(r.PostForm); err == nil {
		rep, err = labelling.PostageBack(r.Context(), f.Studio, in.layout, strings.NewReader(in.text), in.note != "")
	}
	var fail *page.Failure
	switch {
	case page.Ours(err):
		return err
	case err != nil && len(rep.Problems) == 0:
		fail = page.Failed(fm, r, err)
		p.Tell(fail)
	case err == nil && in.note != "":
		return f.DoneSaying(w, r, "/#hand-over", "labels")
	default:
		p.Report = &rep
		if len(rep.Problems) == 0 && len(rep.Labels) > 0 {
			p.Note = form.New("note", "/postage/back")
			p.Note.Ask("layout", "").As("hidden").Is(in.layout)
			p.Note.Ask("text", "").As("hidden").Is(in.text)
			p.Note.Ask("note", "").As("hidden").Is("1")
		}
	}
	p.Put(fm, fail)
	return f.Show(w, r, page.StatusOf(fail), "files", p)
}

func (f *Programs) PromisesFile(w http.ResponseWriter, r *http.Request) error {
	return download(w, calendarType, "promises.ics", func(w io.Writer) error { return house.Promises(r.Context(), f.Seen(r), w) })
}

const calendarType = "text/calendar; charset=utf-8"

// PromisesAt is the calendar under its secret address.
func (f *Programs) PromisesAt(w http.ResponseWriter, r *http.Request) error {
	secret, ok := strings.CutSuffix(r.PathValue("file"), ".ics")
	if !ok {
		secret = ""
	}
	w.Header().Set("Referrer-Policy", "no-referrer")
	err := download(w, calendarType, "promises.ics", func(w io.Writer) error { return house.PromisesAt(r.Context(), f.Seen(r), secret, w) })
	if fault.Is(err, fault.Missing) {
		f.Away.Note("a calendar's address is not known", "/promises/", r)
	}
	return err
}

func (f *Programs) NewPromiseAddress(w http.ResponseWriter, r *http.Request) error {
	secret, err := house.NewPromiseAddress(r.Context(), f.Studio)
	if err != nil {
		return err
	}
	p, err := f.filesPage(r, new(sentBack))
	if err != nil {
		return err
	}
	p.Promises, p.Address = true, "/promises/"+secret+".ics"
	p.Put(p.Back, nil)
	return f.Show(w, r, http.StatusOK, "files", p)
}

func (f *Programs) EndPromiseAddress(w http.ResponseWriter, r *http.Request) error {
	if err := house.EndPromiseAddress(r.Context(), f.Studio); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/studio/files", "address-gone")
}

const cardType = "text/vcard; charset=utf-8"

func (f *Programs) CardsFile(w http.ResponseWriter, r *http.Request) error {
	return download(w, cardType, "buyers.vcf", func(w io.Writer) error { return house.BuyerCards(r.Context(), f.Seen(r), 0, w) })
}

func (f *Programs) CardFile(w http.ResponseWriter, r *http.Request) error {
	name, isCard := strings.CutSuffix(r.PathValue("file"), ".vcf")
	id, err := strconv.ParseInt(name, 10, 64)
	if err != nil || !isCard || id <= 0 {
		return fault.New(fault.Missing, "there is no card %.30q", r.PathValue("file")).ToMend("open it from the page of the buyer")
	}
	return download(w, cardType, fmt.Sprintf("buyer-%d.vcf", id), func(w io.Writer) error { return house.BuyerCards(r.Context(), f.Seen(r), id, w) })
}

// pathed is an address with a name in its last part.
func pathed(before, name, after string) string { return before + url.PathEscape(name) + after }
