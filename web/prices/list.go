package prices

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"solander/fault"
	"solander/intake"
	"solander/intake/kept"
	"solander/intake/pricelist"
	"solander/movein"
	"solander/pricecards"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// ListPage takes an operator's list of prices in from a file: how it is read, cell by cell, and the card that it makes.
type ListPage struct {
	page.Frame
	Upload  *form.Form
	Arrival kept.Arrival
	Form    *form.Form // nil before a file is given
	Columns []*form.Field
	Across  bool // they are rows of the file
	Read    *pricelist.Reading
	Heads   []string
	Rows    []listRow
	Hidden  int // rows that are not shown
	Doubts  []listDoubt
	Made    *pricecards.Table // nil before it is shown
	Alone   bool              // the table makes a card of its own
}

// listRow is a row of the file as it is read.
type listRow struct {
	Name  string
	Head  bool
	Cells []listCell
}

// listCell is a cell, what it was taken for, and whether it is in doubt.
type listCell struct {
	Text, Class, Says string
}

// listDoubt is a doubt with the place of its cell.
type listDoubt struct {
	Place, What, Mend string
	Bars              bool
}

// mostList is how large a list of prices may be.
const mostList = 4 << 20

// List asks for a list of prices, or shows how the one that the address names is read.
func (f *Prices) List(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id := r.URL.Query().Get("file")
	if id == "" {
		fr, err := f.Frame(r, "studio", "Prices from a file")
		if err != nil {
			return err
		}
		p := &ListPage{Frame: fr, Upload: uploadForm()}
		p.Put(p.Upload, fail)
		return f.Show(w, r, page.StatusOf(fail), "pricelist", p)
	}
	x, err := f.listOf(r, id)
	if err != nil {
		return err
	}
	return f.showList(w, r, x)
}

func uploadForm() *form.Form {
	fm := form.New("list", "/studio/cards/lists")
	fm.Ask("file", "A workbook (.xlsx) or a text file (.csv)").As("file").Wide()
	fm.Ask("rows", "Or paste the rows here").As("area").Wide()
	return fm
}

// ArriveList keeps the file of a list until it is taken in, as a file of sales is kept.
func (f *Prices) ArriveList(w http.ResponseWriter, r *http.Request) error {
	in, err := page.ArrivedFile(r)
	var a kept.Arrival
	if err == nil && len(in.Body) > mostList {
		err = fault.New(fault.TooLarge, "the file has more than %d MB", mostList>>20).In("file").ToMend("save the sheet with the prices alone")
	}
	if err == nil {
		_, err = movein.ReadFile(r.Context(), f.Studio, in.Name, in.Body, nil)
	}
	if err == nil {
		in.Note = movein.ListOfPrices
		a, err = movein.Arrive(r.Context(), f.Studio, in)
	}
	if err != nil {
		return f.ShowAgain(w, r, "list", err, f.List)
	}
	http.Redirect(w, r, fmt.Sprintf("/studio/cards/list?file=%d", a.ID), http.StatusSeeOther)
	return nil
}

// list is a list that waits, with what is said of it.
type list struct {
	arrival kept.Arrival
	table   intake.Table
	cards   []pricecards.CardTables
	mapping pricelist.Mapping
	in      pricecards.TableIn
	sure    bool
	typed   url.Values
	made    *pricecards.Table
	err     error
}

func (f *Prices) listOf(r *http.Request, id string) (*list, error) {
	n, err := strconv.ParseInt(id, 10, 64)
	if err != nil {
		return nil, page.Missing("file", 0)
	}
	a, body, err := movein.Arrival(r.Context(), f.Seen(r), n)
	if err != nil {
		return nil, err
	}
	x := &list{arrival: a}
	if x.table, err = movein.ReadFile(r.Context(), f.Studio, a.Name, body, nil); err != nil {
		return nil, err
	}
	set := page.Settings(r)
	x.mapping = pricelist.Guess(x.table, set.Currency)
	if x.cards, err = pricecards.Tables(r.Context(), f.Seen(r)); err != nil {
		return nil, err
	}
	x.in = pricecards.TableIn{Place: pricecards.Alone, Class: "counter", Who: set.Artist}
	x.likely()
	return x, nil
}

// likely proposes the service of a card that holds whose table has most of the list's zones and steps.
func (x *list) likely() {
	read, most := x.read(), 0
	for _, c := range x.cards {
		for _, s := range c.Services {
			n := 0
			for _, z := range s.Prices.Zones {
				if slices.Contains(read.Zones, z) {
					n += 100
				}
			}
			if n == 0 {
				continue // of no zone in common it is likely another operator's
			}
			for _, r := range s.Prices.Rows {
				if slices.ContainsFunc(read.Steps, func(at pricelist.Step) bool { return at.Size == max(int64(r.Mass), int64(r.Volume)) }) {
					n++
				}
			}
			if c.Used && n > most {
				most, x.in.Place, x.in.Card, x.in.Service = n, pricecards.After, c.ID, s.ID
			}
		}
	}
}

// SaveList shows how a list is read and the card that it makes, or keeps the card.
func (f *Prices) SaveList(w http.ResponseWriter, r *http.Request) error {
	x, err := f.listOf(r, r.PostForm.Get("file"))
	if err != nil {
		return err
	}
	x.typed = x.relay(r.PostForm)
	err = x.ask().Take(x.typed)
	do := r.PostForm.Get("do")
	read := x.read()
	x.in.Currency, x.in.Prices = x.mapping.Currency, read.Table()
	if err == nil && do != "read" {
		if read.Barred() {
			err = fault.New(fault.Invalid, "some cells cannot be read").ToMend("each is marked below: correct the file and give it again, or say otherwise what stands where")
		}
		if err == nil {
			var made pricecards.Table
			if made, err = pricecards.TryTable(r.Context(), f.Seen(r), x.in); err == nil {
				x.made = &made
			}
		}
	}
	if keep := do == "keep"; err == nil && keep {
		doubts := len(x.made.Doubts) + len(read.Doubts)
		if doubts > 0 && !x.sure {
			err = fault.Invalidf("sure", "%s may be slips", fault.Count(doubts, "thing")).ToMend("look at each against the list; tick that they are so, or correct the file")
		} else {
			err = f.keepList(r, x)
		}
		if err == nil {
			return f.DoneSaying(w, r, "/studio/cards/edit?"+url.Values{"id": {x.made.Card.ID}, "service": {x.made.Service}}.Encode(), "card-list")
		}
	}
	if page.Ours(err) {
		return err
	}
	x.err = err
	return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error { return f.showList(w, r, x) })
}

// keepList keeps the card; the file waits no more.
func (f *Prices) keepList(r *http.Request, x *list) error {
	if _, err := pricecards.KeepTable(r.Context(), f.Studio, x.in); err != nil {
		return err
	}
	err := movein.DropArrival(studio.Part(r.Context()), f.Studio, x.arrival.ID)
	if fault.Is(err, fault.Missing) {
		return nil
	}
	return err
}

// relay reads as the form was laid out; when she says that another sheet, layout or row of headings is to be read, the columns are
// others then and what stands where is guessed anew.
func (x *list) relay(typed url.Values) url.Values {
	sheet, _ := strconv.Atoi(typed.Get("sheet"))
	head, _ := strconv.Atoi(typed.Get("head"))
	layout, was := pricelist.Layout(typed.Get("layout")), typed.Get("laid")
	same := was == laidOut(sheet, layout, head-1)
	if !same && !strings.HasPrefix(was, laidOut(sheet, layout, 0)[:len(laidOut(sheet, layout, 0))-1]) {
		head = 0 // its row stood in another sheet or layout
	}
	x.mapping = pricelist.GuessIn(x.table, sheet, layout, head-1, x.mapping.Currency)
	if same {
		return typed
	}
	out := url.Values{}
	for name, v := range form.Values(x.ask()) {
		if out[name] = v; slices.Contains(aboutCard, name) {
			out[name] = typed[name]
		}
	}
	return out
}

// aboutCard are the fields that say where a table goes, and not how it is read.
var aboutCard = []string{"place", "places", "operator", "class", "name", "from", "to", "source", "who", "sure"}

func laidOut(sheet int, layout pricelist.Layout, head int) string {
	return fmt.Sprintf("%d %s %d", sheet, layout, head)
}

func (x *list) sheet() intake.Sheet {
	if x.mapping.Sheet < len(x.table.Sheets) {
		return x.table.Sheets[x.mapping.Sheet]
	}
	return intake.Sheet{}
}

func (x *list) read() pricelist.Reading { return pricelist.Read(x.sheet(), x.mapping) }
