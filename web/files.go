package web

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"solander/fault"
	"solander/postage"
	"solander/studio"
)

// filesPage is what goes out to other programs, and labels that come back.
type filesPage struct {
	frame
	Layouts  []layoutLine
	Waiting  int // parcels to label
	Back     *form
	Promises bool   // the calendar has an address
	Address  string // of the calendar, told once
	Report   *studio.PostageReport
	Note     *form // notes what the report shows
}

// layoutLine is a layout in a list.
type layoutLine struct {
	Name, Columns, Link, File string
}

func (f *face) files(w http.ResponseWriter, r *http.Request) error {
	p, err := f.filesPage(r)
	if err != nil {
		return err
	}
	p.put(p.Back, nil)
	return f.show(w, r, http.StatusOK, "files", p)
}

func (f *face) filesPage(r *http.Request) (*filesPage, error) {
	fr, err := f.frame(r, "studio", "Files for other programs")
	if err != nil {
		return nil, err
	}
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return nil, err
	}
	p := &filesPage{frame: fr, Promises: set.PromiseHash != ""}
	layouts, err := f.studio.Layouts(r.Context())
	if err != nil {
		return nil, err
	}
	var names []choice
	for _, l := range layouts {
		var heads []string
		for _, c := range l.Columns {
			heads = append(heads, c.Heading)
		}
		p.Layouts = append(p.Layouts, layoutLine{l.Name, strings.Join(heads, ", "), pathed("/studio/layouts/", l.Name, ""), pathed("/postage/", l.Name, ".csv")})
		names = append(names, choice{l.Name, l.Name})
	}
	p.Back = backForm(names)
	p.Waiting, err = f.studio.ToLabel(r.Context())
	return p, err
}

func backForm(layouts []choice) *form {
	fm := newForm("back", "/postage/back")
	fm.ask("layout", "Layout").of(layouts...)
	fm.ask("text", "The rows that came back").as("lines").wide().must().hint("with their heading; copy them from the file")
	fm.ask("note", "").as("hidden")
	return fm
}

// exportAll streams everything as a ZIP of plain files.
func (f *face) exportAll(w http.ResponseWriter, r *http.Request) error {
	today, err := f.studio.Today(r.Context())
	if err != nil {
		return err
	}
	attach(w, "application/zip", fmt.Sprintf("studio-%s.zip", today))
	out := &counted{ResponseWriter: w}
	z := zip.NewWriter(out)
	if err := errors.Join(f.studio.Export(r.Context(), z.Create), z.Close()); err != nil {
		if out.n == 0 {
			w.Header().Del("Content-Disposition")
			return err
		}
		f.brokeOff(r, "export", err)
		panic(http.ErrAbortHandler) // a cut connection tells the browser that it is not whole
	}
	return nil
}

// brokeOff logs why what was being sent ends early; that the browser left is its own affair.
func (f *face) brokeOff(r *http.Request, what string, err error) {
	if r.Context().Err() != nil {
		f.log.Debug("a browser left", "before the end of", what)
		return
	}
	f.log.Error("what was sent broke off", "what", what, "err", err)
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

// postageCSV is the batch of all parcels to label, in a layout.
func (f *face) postageCSV(w http.ResponseWriter, r *http.Request) error {
	name := strings.TrimSuffix(r.PathValue("file"), ".csv")
	return download(w, "text/csv; charset=utf-8", "parcels.csv", func(w io.Writer) error {
		_, err := f.studio.PostageOut(r.Context(), name, w)
		return err
	})
}

// postageBack tells what the rows would do, and with "note" does it.
func (f *face) postageBack(w http.ResponseWriter, r *http.Request) error {
	p, err := f.filesPage(r)
	if err != nil {
		return err
	}
	fm := p.Back
	fm.read(r.PostForm)
	rd := fm.reader()
	layout, text, note := rd.text("layout"), r.PostForm.Get("text"), rd.text("note") != ""
	var rep studio.PostageReport
	if err = rd.Err(); err == nil {
		rep, err = f.studio.PostageBack(r.Context(), layout, strings.NewReader(text), note)
	}
	var fail *failure
	switch {
	case ours(err):
		return err
	case err != nil && len(rep.Problems) == 0:
		fail = failed(fm, r, err)
		p.tell(fail)
	case err == nil && note:
		return f.doneSaying(w, r, "/#hand-over", "labels")
	default:
		p.Report = &rep
		if len(rep.Problems) == 0 && len(rep.Labels) > 0 {
			p.Note = newForm("note", "/postage/back")
			p.Note.ask("layout", "").as("hidden").is(layout)
			p.Note.ask("text", "").as("hidden").is(text)
			p.Note.ask("note", "").as("hidden").is("1")
		}
	}
	p.put(fm, fail)
	return f.show(w, r, statusOf(fail), "files", p)
}

func (f *face) promisesFile(w http.ResponseWriter, r *http.Request) error {
	return download(w, calendarType, "promises.ics", func(w io.Writer) error { return f.studio.Promises(r.Context(), w) })
}

const calendarType = "text/calendar; charset=utf-8"

// promisesAt is the calendar under its secret address.
func (f *face) promisesAt(w http.ResponseWriter, r *http.Request) error {
	secret, ok := strings.CutSuffix(r.PathValue("file"), ".ics")
	if !ok {
		secret = ""
	}
	w.Header().Set("Referrer-Policy", "no-referrer")
	return download(w, calendarType, "promises.ics", func(w io.Writer) error { return f.studio.PromisesAt(r.Context(), secret, w) })
}

func (f *face) newPromiseAddress(w http.ResponseWriter, r *http.Request) error {
	secret, err := f.studio.NewPromiseAddress(r.Context())
	if err != nil {
		return err
	}
	p, err := f.filesPage(r)
	if err != nil {
		return err
	}
	p.Address = "/promises/" + secret + ".ics"
	p.put(p.Back, nil)
	return f.show(w, r, http.StatusOK, "files", p)
}

func (f *face) endPromiseAddress(w http.ResponseWriter, r *http.Request) error {
	if err := f.studio.EndPromiseAddress(r.Context()); err != nil {
		return err
	}
	return f.doneSaying(w, r, "/studio/files", "address-gone")
}

const cardType = "text/vcard; charset=utf-8"

func (f *face) cardsFile(w http.ResponseWriter, r *http.Request) error {
	return download(w, cardType, "buyers.vcf", func(w io.Writer) error { return f.studio.BuyerCards(r.Context(), 0, w) })
}

func (f *face) cardFile(w http.ResponseWriter, r *http.Request) error {
	name, isCard := strings.CutSuffix(r.PathValue("file"), ".vcf")
	id, err := strconv.ParseInt(name, 10, 64)
	if err != nil || !isCard || id <= 0 {
		return fault.New(fault.Missing, "there is no card %.30q", r.PathValue("file")).ToMend("open it from the page of the buyer")
	}
	return download(w, cardType, fmt.Sprintf("buyer-%d.vcf", id), func(w io.Writer) error { return f.studio.BuyerCards(r.Context(), id, w) })
}

func layoutForm(was string, l postage.Layout) *form {
	fm := newForm("layout", "/studio/layouts")
	fm.ask("was", "").as("hidden").is(was)
	fm.ask("name", "Name").is(l.Name).must().half()
	fm.ask("columns", "Columns").as("lines").wide().is(postage.ColumnsText(l.Columns)).must().
		hint("one on each line: heading = field, or heading = 'text'. Fields: " + postage.Fields())
	fm.ask("separator", "Between columns").of(choice{"comma", "comma"}, choice{"semicolon", "semicolon"}, choice{"tab", "tab"}).is(l.Separator)
	fm.ask("decimal", "Decimal sign").of(choice{"point", "point"}, choice{"comma", "comma"}).is(l.Decimal)
	fm.ask("mass", "Weight in").of(choice{"g", "g"}, choice{"kg", "kg"}, choice{"oz", "oz"}, choice{"lb", "lb"}).is(l.Mass).hint("rounded up")
	fm.ask("length", "Sizes in").of(choice{"mm", "mm"}, choice{"cm", "cm"}, choice{"in", "in"}).is(l.Length).hint("rounded up")
	var days []choice
	for _, d := range postage.Dates() {
		days = append(days, choice{d, d})
	}
	fm.ask("date", "Days as").of(days...).is(l.Date)
	fm.ask("no_head", "Without a line of headings").as("check").is(ticked(l.NoHead))
	fm.ask("bare", "Leave cells that look like formulas as they are").as("check").is(ticked(l.Bare)).
		hint("only for a seller who takes the apostrophe for text; never open such a file in a spreadsheet")
	fm.ask("back_mark", "Parcel comes back under").is(l.Back.Mark).must().half()
	fm.ask("back_tracking", "Tracking number under").is(l.Back.Tracking).must().half()
	fm.ask("back_price", "Price paid under").is(l.Back.Price).half()
	fm.ask("back_service", "Service under").is(l.Back.Service).half()
	if was == "" {
		return fm
	}
	return fm.sealed()
}

func ticked(b bool) string {
	if b {
		return "1"
	}
	return ""
}

func readLayout(rd *reader, _ postage.Layout) postage.Layout {
	l := postage.Layout{
		Name: rd.text("name"), Separator: rd.text("separator"), Decimal: rd.text("decimal"), Mass: rd.text("mass"), Length: rd.text("length"),
		Date: rd.text("date"), NoHead: rd.ticked("no_head"), Bare: rd.ticked("bare"),
		Back: postage.Back{Mark: rd.text("back_mark"), Tracking: rd.text("back_tracking"), Price: rd.text("back_price"), Service: rd.text("back_service")},
	}
	var err error
	l.Columns, err = postage.ParseColumns(rd.text("columns"))
	rd.Add(err)
	return l
}

const layoutWords = "How one seller of postage wants its rows, and under which headings the labels come back."

func (f *face) layout(w http.ResponseWriter, r *http.Request) error {
	return f.showLayout(w, r, r.PathValue("layout"), nil)
}

// showLayout shows a layout, or a new one that begins as the first.
func (f *face) showLayout(w http.ResponseWriter, r *http.Request, name string, fail *failure) error {
	all, err := f.studio.Layouts(r.Context())
	if err != nil {
		return err
	}
	l, title := all[0], "New layout"
	l.Name = ""
	if name != "" {
		i := slices.IndexFunc(all, func(l postage.Layout) bool { return l.Name == name })
		if i < 0 {
			return fault.New(fault.Missing, "no layout is called %.60q", name).ToMend("choose one of the list")
		}
		l, title = all[i], "Layout "+name
	}
	return f.showForm(w, r, "studio", title, layoutWords, "Save the layout", toFiles, layoutForm(name, l), fail)
}

var toFiles = link{"/studio/files", "Files for other programs"}

func (f *face) saveLayout(w http.ResponseWriter, r *http.Request) error {
	was := r.PostForm.Get("was")
	build := func(l postage.Layout) *form { return layoutForm(was, l) }
	if err := f.studio.ChangeLayout(r.Context(), was, changing(r, build, readLayout)); err != nil {
		if ours(err) {
			return err
		}
		return f.showLayout(w, r, was, failedIn("layout", r, err))
	}
	return f.doneSaying(w, r, "/studio/files", "layout")
}

func (f *face) dropLayout(w http.ResponseWriter, r *http.Request) error {
	if err := f.studio.DropLayout(r.Context(), r.PostForm.Get("name")); err != nil {
		return err
	}
	return f.doneSaying(w, r, "/studio/files", "layout-gone")
}

// pathed is an address with a name in its last part.
func pathed(before, name, after string) string { return before + url.PathEscape(name) + after }
