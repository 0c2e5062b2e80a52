// Package galleries is galleries in a browser: what they have, sold and owe, and their statements. Each exported method of Galleries answers one
// route of package web.
package galleries

import (
	"net/http"
	"strconv"

	"solander/calendar"
	"solander/consign"
	"solander/consigning"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/register"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// Galleries is the handlers of this room.
type Galleries struct{ *page.Kit }

// ListPage lists galleries.
type ListPage struct {
	page.Frame
	Galleries []consigning.View
	New       *form.Form
	Cautions  []string
}

const here = "/earnings/galleries"

func address(id int64) string { return here + "/" + strconv.FormatInt(id, 10) }

func galleryForm(h *consign.House) *form.Form {
	to := here
	if h.ID != 0 {
		to = address(h.ID)
	}
	fm := form.New("gallery", to)
	fm.Text("name", "Name", &h.Name).Must().Half()
	share(fm, "share", "It keeps of a sale, per cent", &h.Share)
	share(fm, "wholesale", "Bought outright it pays, per cent", &h.Wholesale)
	form.Select(fm, "bears", "The loss of a print there is borne by", &h.Bears, form.Pick(string(consign.Gallery), "the gallery"), form.Pick(string(consign.Artist), "the artist")).Half()
	fm.Whole("pay_days", "It pays within days", &h.PayDays).Small()
	fm.Text("email", "E-mail address", &h.Email).Half()
	fm.Area("address", "Address", &h.Address).Wide()
	fm.Area("note", "Note", &h.Note).Wide()
	if h.ID != 0 {
		fm.Tick("closed", "Nothing goes there any more", &h.Closed)
	}
	return fm
}

func share(fm *form.Form, name, label string, to *int64) {
	fm.Bind(name, label, money.PerCent(*to), func(typed string) (err error) {
		*to, err = consign.ParseShare(typed)
		return err
	}).Small()
}

// List lists them.
func (f *Galleries) List(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "earnings", "Galleries")
	if err != nil {
		return err
	}
	p := &ListPage{Frame: fr, Cautions: consign.Cautions()}
	if p.Galleries, err = consigning.Galleries(r.Context(), f.Seen(r)); err != nil {
		return err
	}
	p.New = p.Put(galleryForm(fresh()), fail)
	return f.Show(w, r, page.StatusOf(fail), "galleries", p)
}

func fresh() *consign.House {
	return &consign.House{Share: 400, Wholesale: 500, Bears: consign.Gallery, PayDays: 30}
}

// Add adds a gallery.
func (f *Galleries) Add(w http.ResponseWriter, r *http.Request) error {
	h := fresh()
	err := galleryForm(h).Take(r.PostForm)
	if err == nil {
		*h, err = consigning.Save(r.Context(), f.Studio, *h)
	}
	if err != nil {
		return f.ShowAgain(w, r, "gallery", err, f.List)
	}
	return f.DoneSaying(w, r, address(h.ID), "gallery")
}

// GalleryPage is one gallery.
type GalleryPage struct {
	page.Frame
	View       consigning.View
	Terms      []string
	Keeps      string
	There      []printRow
	Ended      []printRow
	Debts      []debtRow
	Moneys     []moneyRow
	Send       *form.Form
	Money      *form.Form
	Change     *form.Form
	Prices     []priceRow
	MorePrices int // that are not shown
	Ask        *form.Form
}

type printRow struct {
	consigning.PrintView
	Link string
	Sold *form.Form
	Back *form.Form
	Lost *form.Form
	Undo string
}

// debtRow is what is owed for a print.
type debtRow struct {
	consign.Unpaid
	Label string
}

type moneyRow struct {
	consign.Money
	Undo string
}

// mostPrices are how many wholesale prices stand on the page.
const mostPrices = 200

// priceRow is an edition that may be bought outright.
type priceRow struct {
	Name             string
	Price, Wholesale money.Amount
}

func printAddress(id int64, deed string) string {
	return here + "/prints/" + strconv.FormatInt(id, 10) + "/" + deed
}

// endForm asks what became of a print.
func endForm(p consign.Print, deed string, in *consigning.EndIn, today calendar.Day) *form.Form {
	fm := form.New(deed+"-"+strconv.FormatInt(p.ID, 10), printAddress(p.ID, deed))
	if in.Day.IsZero() {
		in.Day = today
	}
	fm.Day("day", "Day", &in.Day).Half()
	switch deed {
	case "sold":
		fm.Amount("price", "Sold for", &in.Price, p.Price.Currency).Half()
	case "lost":
		fm.Text("why", "What happened", &in.Why).Must().Wide()
	}
	return fm
}

type sendIn struct {
	Edition int64
	Number  string
	Price   money.Amount
	Day     calendar.Day
	Due     calendar.Day
}

func sendForm(in *sendIn, gallery int64, eds []edition.Edition, set studio.Settings) *form.Form {
	fm := form.New("send", address(gallery)+"/send")
	var picks []form.Choice
	for _, e := range eds {
		picks = append(picks, form.PickID(e.ID, e.Name(set.Units)))
	}
	fm.ID("edition", "Edition", &in.Edition, picks...).Wide()
	fm.Text("number", "Number", &in.Number).Small().WithHint("empty: the lowest signed one that nobody has")
	fm.Amount("price", "Price", &in.Price, set.Currency).Small().WithHint("0: the edition’s")
	fm.Day("day", "It goes on", &in.Day).Small()
	fm.Day("due", "It comes back by", &in.Due).Small().WithHint("unless it is sold; empty: not agreed")
	return fm
}

func moneyForm(in *consigning.MoneyIn, set studio.Settings) *form.Form {
	fm := form.New("money", address(in.Gallery)+"/money")
	var picks []form.Choice
	for _, k := range consign.Kinds() {
		picks = append(picks, form.Pick(string(k), form.Upper(k.Words())))
	}
	form.Select(fm, "kind", "What it is", &in.Kind, picks...).Half()
	fm.Amount("amount", "Amount", &in.Amount, set.Currency).Small().Must()
	fm.Day("day", "Day", &in.Day).Small()
	fm.Text("note", "Note", &in.Note).Wide()
	return fm
}

// Gallery shows one.
func (f *Galleries) Gallery(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id, err := page.PathID(r, "gallery")
	if err != nil {
		return err
	}
	v, err := consigning.Gallery(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "earnings", v.Name)
	if err != nil {
		return err
	}
	p := &GalleryPage{Frame: fr, View: v, Terms: consigning.Terms(v.House), Keeps: money.PerCent(v.Share)}
	p.Tell(fail)
	set := page.Settings(r)
	for _, x := range v.Prints {
		p.row(x, fail)
	}
	for _, d := range v.Debts {
		row := debtRow{Unpaid: d}
		for _, x := range v.Prints {
			if x.ID == d.Print.ID {
				row.Label = x.Label
			}
		}
		p.Debts = append(p.Debts, row)
	}
	for _, m := range v.Moneys {
		if !m.Reversed {
			p.Moneys = append(p.Moneys, moneyRow{m, here + "/money/" + strconv.FormatInt(m.ID, 10) + "/reverse"})
		}
	}
	eds, err := f.sellable(r)
	if err != nil {
		return err
	}
	for _, e := range eds {
		if len(p.Prices) == mostPrices {
			p.MorePrices++
			continue
		}
		at, err := v.WholesalePrice(e.Price)
		if err != nil {
			return err
		}
		p.Prices = append(p.Prices, priceRow{e.Name(set.Units), e.Price, at})
	}
	if there := signed(eds); !v.Closed && len(there) > 0 {
		p.Send = p.Put(sendForm(&sendIn{Edition: there[0].ID, Day: fr.Today, Price: money.Of(0, set.Currency)}, id, there, set), fail)
	}
	p.Money = p.Put(moneyForm(&consigning.MoneyIn{Gallery: id, Kind: consign.Paid, Day: fr.Today, Amount: money.Of(max(0, v.Owed.Minor), set.Currency)}, set), fail)
	p.Change = p.Put(galleryForm(&v.House), fail)
	return f.Show(w, r, page.StatusOf(fail), "gallery", p)
}

func (p *GalleryPage) row(x consigning.PrintView, fail *page.Failure) {
	row := printRow{PrintView: x, Undo: printAddress(x.ID, "take-back")}
	row.Link = "/editions/" + strconv.FormatInt(x.Edition, 10) + "/numbers/" + page.NumberPath(x.Number)
	if x.State != consign.Out {
		p.Ended = append(p.Ended, row)
		return
	}
	row.Sold = p.Put(endForm(x.Print, "sold", &consigning.EndIn{Price: x.Price}, p.Today), fail)
	row.Back = p.Put(endForm(x.Print, "back", &consigning.EndIn{}, p.Today), fail)
	row.Lost = p.Put(endForm(x.Print, "lost", &consigning.EndIn{}, p.Today), fail)
	p.There = append(p.There, row)
}

// signed are those of which a signed number may be in the drawer.
func signed(eds []studio.EditionRow) []edition.Edition {
	var out []edition.Edition
	for _, e := range eds {
		if e.Counts[edition.Signed]+e.Counts[edition.Returned] > 0 {
			out = append(out, e.Edition)
		}
	}
	return out
}

// sellable are the editions of which something can go to a gallery.
func (f *Galleries) sellable(r *http.Request) ([]studio.EditionRow, error) {
	works, err := register.Works(r.Context(), f.Seen(r))
	if err != nil {
		return nil, err
	}
	var out []studio.EditionRow
	for _, wk := range works {
		for _, e := range wk.Editions {
			if !e.Open() && !e.Closed {
				out = append(out, e)
			}
		}
	}
	return out, nil
}

// Statement shows the statement as PDF or, when its address ends so, as a table.
func (f *Galleries) Statement(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "gallery")
	if err != nil {
		return err
	}
	from, to, err := span(r)
	if err != nil {
		return err
	}
	paper, err := consigning.Paper(r.Context(), f.Seen(r), id, from, to)
	return page.ServePaper(w, "statement", paper, err)
}

// StatementCSV sends it as a table.
func (f *Galleries) StatementCSV(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "gallery")
	if err != nil {
		return err
	}
	from, to, err := span(r)
	if err != nil {
		return err
	}
	v, err := consigning.Statement(r.Context(), f.Seen(r), id, from, to)
	if err != nil {
		return err
	}
	return page.After(w, r, func(w http.ResponseWriter) error {
		w.Header().Set("Content-Type", "text/csv; charset=utf-8")
		w.Header().Set("Content-Disposition", `attachment; filename="statement.csv"`)
		return consigning.WriteCSV(w, v)
	})
}

// span reads the days of a statement.
func span(r *http.Request) (from, to calendar.Day, err error) {
	for _, x := range []struct {
		name string
		to   *calendar.Day
	}{{"from", &from}, {"to", &to}} {
		text := r.URL.Query().Get(x.name)
		if text == "" {
			continue
		}
		if *x.to, err = calendar.ParseDay(text); err != nil {
			return from, to, fault.Invalidf(x.name, "%q is no day", fault.Clip(text)).ToMend("write it like 2026-03-31")
		}
	}
	return from, to, nil
}
